package length

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// scanner reads a text from left to right. The first failure is kept and
// empties rest, so that whatever is asked for afterwards isn't there.
type scanner struct {
	rest    string // what is still to be read
	code    string // of the first failure
	unknown string // what caused it
}

// begin sets the scanner to the start of text, if it has a fit length.
func (s *scanner) begin(text string) {
	if len(text) > MaxTextLength {
		s.fail(CodeTooLong)
		return
	}
	s.rest = strings.TrimSpace(text)
	if s.rest == "" {
		s.fail(CodeEmpty)
	}
}

// end fails if anything is left after t, the last term.
func (s *scanner) end(t term) {
	s.skipSpace()
	switch {
	case s.rest == "":
	case strings.HasPrefix(s.rest, ","):
		s.fail(CodeComma)
	case t.mm != 0:
		s.fail(CodeTrailing)
	case s.atNumber():
		s.failNumber()
	default:
		s.fail(CodeUnitUnknown)
	}
}

// fail records code and the token that comes next.
func (s *scanner) fail(code string) { s.failAt(code, s.token()) }

// failAt records code and token, unless something failed before.
func (s *scanner) failAt(code, token string) {
	if s.code == "" {
		s.code, s.unknown = code, token
	}
	s.rest = ""
}

// failNumber records that what comes next is no number, or its comma.
func (s *scanner) failNumber() {
	if strings.HasPrefix(s.rest, ",") {
		s.fail(CodeComma)
		return
	}
	s.fail(CodeNotANumber)
}

// token returns what comes next, up to a space or the sign of a tolerance.
func (s *scanner) token() string {
	for i, r := range s.rest {
		if unicode.IsSpace(r) || i > 0 && toleranceWidth(s.rest[i:]) > 0 {
			return s.rest[:i]
		}
	}
	return s.rest
}

// skipSpace moves past white space, the no-break and thin kinds included.
func (s *scanner) skipSpace() {
	if s.rest != "" && (s.rest[0] <= ' ' || s.rest[0] >= utf8.RuneSelf) {
		s.rest = strings.TrimLeftFunc(s.rest, unicode.IsSpace)
	}
}

// accept moves past prefix if it comes next.
func (s *scanner) accept(prefix string) bool {
	rest, found := strings.CutPrefix(s.rest, prefix)
	s.rest = rest
	return found
}

// take moves past the next n bytes, and returns them.
func (s *scanner) take(n int) string {
	taken := s.rest[:n]
	s.rest = s.rest[n:]
	return taken
}

// digits reads decimal digits, perhaps none.
func (s *scanner) digits() string {
	n := 0
	for n < len(s.rest) && isDigit(s.rest[n]) {
		n++
	}
	return s.take(n)
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

// minus is the sign that typesetters use.
const minus = "\u2212"

// signWidth returns the number of bytes of the sign that comes next, or 0.
func (s *scanner) signWidth() int {
	switch {
	case s.rest == "":
		return 0
	case s.rest[0] == '+' || s.rest[0] == '-':
		return 1
	case strings.HasPrefix(s.rest, minus):
		return len(minus)
	}
	return 0
}

// sign reads a sign, if there is one, and tells whether it is a minus.
func (s *scanner) sign() (negative bool) {
	sign := s.take(s.signWidth())
	return sign == "-" || sign == minus
}

// toleranceSigns are what may stand between a value and its tolerance.
var toleranceSigns = [...]string{"+/-", "±", "+-", "+/" + minus, "+" + minus}

// toleranceWidth returns the number of bytes of the tolerance sign that text
// starts with, or 0.
func toleranceWidth(text string) int {
	if text == "" || text[0] != '+' && text[0] < utf8.RuneSelf {
		return 0
	}
	for _, sign := range &toleranceSigns {
		if strings.HasPrefix(text, sign) {
			return len(sign)
		}
	}
	return 0
}

func (s *scanner) toleranceWidth() int { return toleranceWidth(s.rest) }

// toleranceSign moves past the sign of a tolerance if it comes next.
func (s *scanner) toleranceSign() bool {
	s.skipSpace()
	return s.take(s.toleranceWidth()) != ""
}

// number reads "12", "1.2", ".5", "7/16", "1 1/2", "1-1/2", "½" or "1½".
func (s *scanner) number() (float64, form) {
	start := s.rest
	whole := s.digits()
	if part, found := s.vulgar(); found {
		return float(whole) + part, fraction
	}
	switch {
	case s.accept("."):
		return s.decimal(start), decimal
	case whole == "":
		s.failNumber()
		return 0, wholeNumber
	case s.slash():
		return s.over(whole), fraction
	}
	if part, found := s.part(); found {
		return float(whole) + part, fraction
	}
	return float(whole), wholeNumber
}

// decimal reads the digits behind the point of the number that start starts
// with, and returns all of it.
func (s *scanner) decimal(start string) float64 {
	if s.digits() == "" {
		s.rest = start
		s.failNumber()
		return 0
	}
	return float(start[:len(start)-len(s.rest)])
}

// slash moves past the stroke of a fraction: the plain one, the one that
// typesetters use (U+2044), or the one of mathematics (U+2215).
func (s *scanner) slash() bool { return s.accept("/") || s.accept("\u2044") || s.accept("\u2215") }

// over reads a denominator and returns numerator, which are digits, over it.
func (s *scanner) over(numerator string) float64 {
	start := s.rest
	text := s.digits()
	if text == "" {
		s.failNumber()
		return 0
	}
	denominator := float(text)
	if denominator == 0 {
		s.rest = start
		s.fail(CodeZeroDenominator)
		return 0
	}
	return float(numerator) / denominator
}

// part reads the fraction below 1 that follows a whole number and a space or
// a hyphen. It reads nothing if none is there.
func (s *scanner) part() (part float64, found bool) {
	start := s.rest
	if !s.accept("-") {
		s.skipSpace()
	}
	if part, found = s.vulgar(); found {
		return part, true
	}
	numerator := s.digits()
	if numerator == "" || !s.slash() {
		s.rest = start
		return 0, false
	}
	part = s.over(numerator)
	if part >= 1 {
		s.rest = strings.TrimSpace(start)
		s.failNumber()
	}
	return part, true
}

// vulgar reads a fraction that is one character.
func (s *scanner) vulgar() (part float64, found bool) {
	if s.rest == "" || s.rest[0] < utf8.RuneSelf {
		return 0, false
	}
	r, width := utf8.DecodeRuneInString(s.rest)
	if part = vulgarValue(r); part == 0 {
		return 0, false
	}
	s.take(width)
	return part, true
}

// vulgarValue returns the value of a fraction that is one character, or 0.
func vulgarValue(r rune) float64 {
	switch r {
	case '⅛':
		return 1.0 / 8
	case '¼':
		return 1.0 / 4
	case '⅜':
		return 3.0 / 8
	case '½':
		return 1.0 / 2
	case '⅝':
		return 5.0 / 8
	case '¾':
		return 3.0 / 4
	case '⅞':
		return 7.0 / 8
	}
	return 0
}

// atNumber tells whether what comes next looks like more of a number.
func (s *scanner) atNumber() bool {
	r, _ := utf8.DecodeRuneInString(s.rest)
	return strings.ContainsRune("0123456789.,/+-±\u2044\u2215"+minus, r) || vulgarValue(r) != 0
}

// float returns the value of text, which is digits with at most one point and
// no longer than MaxTextLength, so neither malformed nor infinite. Nothing
// is 0.
func float(text string) float64 {
	if text == "" {
		return 0
	}
	value, _ := strconv.ParseFloat(text, 64)
	return value
}

// inchMarks are the marks read as inches: straight, prime, as a word processor
// sets the straight one, and two apostrophes.
var inchMarks = [...]string{`"`, "\u2033", "\u201d", "''"}

// unit reads a unit. If something else comes next, it reads nothing.
func (s *scanner) unit() measure {
	s.skipSpace()
	word := s.rest[:wordLength(s.rest)]
	if word == "" {
		return s.inchMark()
	}
	m, known := measureNamed(word)
	if !known {
		s.failUnit()
		return measure{}
	}
	s.take(len(word))
	if strings.EqualFold(word, "in") {
		s.accept(".")
	}
	return m
}

// inchMark reads one of the inchMarks.
func (s *scanner) inchMark() measure {
	for _, mark := range &inchMarks {
		if s.accept(mark) {
			return measure{name: mark, mm: MillimetresPerInch, inch: true}
		}
	}
	return measure{}
}

// failUnit records an unknown unit, or, as in "1e5" and "0x10", a number in a
// form that isn't read.
func (s *scanner) failUnit() {
	if strings.ContainsAny(s.token(), "0123456789") {
		s.fail(CodeNotANumber)
		return
	}
	s.fail(CodeUnitUnknown)
}

// wordLength returns the number of ASCII letters that text starts with.
func wordLength(text string) int {
	n := 0
	for n < len(text) && isLetter(text[n]) {
		n++
	}
	return n
}

func isLetter(c byte) bool { return 'a' <= c|0x20 && c|0x20 <= 'z' }
