package length

import (
	"strconv"
	"strings"
)

// MaxTextLength is the number of bytes that a length's text may have.
const MaxTextLength = 64

// The codes of a ParseError. What the user is told for each is written
// elsewhere, in one place.
const (
	CodeEmpty             = "empty"               // nothing but white space
	CodeTooLong           = "too_long"            // more than MaxTextLength bytes
	CodeComma             = "comma"               // a comma, where only a decimal point is read
	CodeNotANumber        = "not_a_number"        // no number, or a form of number that isn't read
	CodeZeroDenominator   = "zero_denominator"    // a fraction over 0
	CodeUnitUnknown       = "unit_unknown"        // a unit that isn't read
	CodeFractionNeedsInch = "fraction_needs_inch" // a fraction of another unit, or without one
	CodeRemainder         = "remainder"           // a signed part after the unit that Text can't have written
	CodeTolerance         = "tolerance"           // nothing, or a sign, after +/-
	CodeTrailing          = "trailing"            // more text after a complete length
	CodeRange             = "range"               // two lengths, the ends of a range; Instead says the same
)

// A ParseError says why a text is no length.
type ParseError struct {
	Text    string // the text, cut to MaxTextLength bytes, as valid UTF-8
	Code    string // one of the codes above
	Unknown string // the part of Text that wasn't understood; may be empty
	Instead string // a length that says the same, where there is one
}

// Error returns the code and what it is about, in English, for logs.
func (e *ParseError) Error() string {
	message := "length " + strconv.Quote(e.Text) + ": " + e.Code
	if e.Unknown != "" {
		message += " at " + strconv.Quote(e.Unknown)
	}
	return message
}

// Parse returns the length that text states, in millimetres, with its
// tolerance if it states one. It reads
//
//	11.1 mm   1.2 cm   0.4375 in   .5 inch   437 thou   437 mil
//	7/16 in   1 1/2 in   1-1/2 in   1/2"   1½ inches   1/2″   1/2''   7⁄16 in
//	-0.2 mm   +0.2 mm   0.500 +/- 0.002 in   11.1 mm ± 0.05 mm   27/64 in +0.004
//
// in upper or lower case; spaces around numbers and units don't count. A thou
// and a mil are both 1/1000 in.
//
// A text without unit is in unit (any Unit but UnitInch is the millimetre).
// The tolerance follows +/-, +- or ±, is 0 or more, and may have its own unit;
// a value or a tolerance without unit takes the other's. Fractions are of
// inches only, so that one without unit needs UnitInch. After whole inches or
// a fraction of them a signed decimal below 1/64 in is added, which is how
// [Length.Text] writes what it can't write as a fraction; it is in inches.
//
// Decimal commas, exponents, ranges, feet and whatever else isn't listed are
// refused with a *ParseError. Results are finite; no other limit is set.
func Parse(text string, unit Unit) (Size, error) {
	if len(text) <= MaxTextLength {
		if size, ok := plain(text, unit); ok {
			return size, nil
		}
	}
	return scan(text, unit)
}

// scan is Parse for any text.
func scan(text string, unit Unit) (Size, error) {
	s := scanner{}
	s.begin(text)
	size := s.size(unit)
	if s.code != "" {
		err := newParseError(text, s.code, s.unknown)
		if low, high, ok := ends(text, unit); ok {
			err.Code, err.Instead = CodeRange, middle(low, high)
		}
		return Size{}, err
	}
	return size, nil
}

func newParseError(text, code, unknown string) *ParseError {
	return &ParseError{Text: valid(text[:min(len(text), MaxTextLength)]), Code: code, Unknown: valid(unknown)}
}

// valid returns text with what isn't UTF-8, a character cut in two included,
// marked as such.
func valid(text string) string { return strings.ToValidUTF8(text, "\uFFFD") }

// form is how a number was written.
type form uint8

const (
	wholeNumber form = iota
	decimal
	fraction
)

// measure is a unit as the text names it. The zero measure was not written.
type measure struct {
	name string  // as written; empty for the default unit
	mm   float64 // millimetres that it holds
	inch bool    // may have fractions
}

// or returns m if it was written, and otherwise other.
func (m measure) or(other measure) measure {
	if m.mm != 0 {
		return m
	}
	return other
}

// defaultMeasure returns the measure of a text without unit.
func defaultMeasure(unit Unit) measure {
	if unit == UnitInch {
		return measure{mm: MillimetresPerInch, inch: true}
	}
	return measure{mm: 1}
}

// unitNames are the units' names in lower case; the commonest come first.
var unitNames = [...]measure{
	{name: "mm", mm: 1},
	{name: "in", mm: MillimetresPerInch, inch: true},
	{name: "inch", mm: MillimetresPerInch, inch: true},
	{name: "inches", mm: MillimetresPerInch, inch: true},
	{name: "thou", mm: MillimetresPerInch / 1000},
	{name: "mil", mm: MillimetresPerInch / 1000},
	{name: "cm", mm: 10},
	{name: "millimetre", mm: 1},
	{name: "millimetres", mm: 1},
	{name: "millimeter", mm: 1},
	{name: "millimeters", mm: 1},
}

// measureNamed returns the unit that word, of ASCII letters, names.
func measureNamed(word string) (measure, bool) {
	for _, m := range &unitNames {
		if len(m.name) == len(word) && strings.EqualFold(m.name, word) {
			return measure{name: word, mm: m.mm, inch: m.inch}, true
		}
	}
	return measure{}, false
}

// term is a number and its unit.
type term struct {
	measure
	value float64 // in that unit
	form  form
}

// size reads the whole text.
func (s *scanner) size(unit Unit) Size {
	value := s.signedTerm()
	s.remainder(&value)
	if !s.toleranceSign() {
		s.end(value)
		value.measure = value.or(defaultMeasure(unit))
		return Exactly(s.length(value))
	}
	tolerance := s.tolerance()
	s.end(tolerance)
	either := value.or(tolerance.measure).or(defaultMeasure(unit))
	value.measure = value.or(either)
	tolerance.measure = tolerance.or(either)
	return Within(s.length(value), s.length(tolerance))
}

// length returns t, whose unit is known by now, in millimetres.
func (s *scanner) length(t term) Length {
	if t.form == fraction && !t.inch {
		s.failAt(CodeFractionNeedsInch, t.name)
		return 0
	}
	return Length(t.value * t.mm)
}

// signedTerm reads a number that may have a sign, and its unit if it has one.
func (s *scanner) signedTerm() term {
	negative := s.sign()
	t := s.term()
	if negative {
		t.value = 0 - t.value // never -0
	}
	return t
}

// term reads a number without sign, and its unit if it has one.
func (s *scanner) term() term {
	var t term
	t.value, t.form = s.number()
	t.measure = s.unit()
	return t
}

// remainder reads what Text appends to the nearest 1/64 in, and adds it to t.
// With decimals or other units a signed number might be meant as a one-sided
// tolerance, and a large one as the end of a range, so it is refused there.
func (s *scanner) remainder(t *term) {
	s.skipSpace()
	if t.mm == 0 || s.toleranceWidth() > 0 || s.signWidth() == 0 {
		return
	}
	token := s.token()
	negative := s.sign()
	s.skipSpace()
	r := s.term()
	ofText := t.inch && t.form != decimal
	small := r.form != fraction && r.value < 1.0/64 && (r.inch || r.mm == 0)
	if !ofText || !small {
		s.failAt(CodeRemainder, token)
	}
	if negative {
		r.value = -r.value
	}
	t.value += r.value
}

// tolerance reads what follows the sign of a tolerance.
func (s *scanner) tolerance() term {
	s.skipSpace()
	if s.rest == "" || s.signWidth() > 0 {
		s.fail(CodeTolerance)
	}
	return s.term()
}
