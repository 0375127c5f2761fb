package message

import (
	"bytes"
	"encoding/json"
	"math"
	"slices"
	"strconv"
	"sync"
	"unicode"
	"unicode/utf8"

	fast "github.com/segmentio/encoding/json"

	"snugtail/joint/length"
)

// Printer writes messages in one language, with lengths in one unit.
type Printer struct {
	*Catalogue
	Unit length.Unit
	// AdjusterStep is the least change of depth that the router can set, 0 where
	// that is not known.
	AdjusterStep length.Length
	// KnownSteps: the depths that can be set are known, so what is told to set is
	// one of them, and written as it is.
	KnownSteps bool
	// Variant, where it is not empty, puts the sentence "key@variant" in the place
	// of "key" where there is one.
	Variant string
}

func (p Printer) figures() *figures { return &p.Catalogue.figures }

// style is how a value is written, and how a list is joined.
type style uint32

const (
	styleAbout style = 1 << iota
	styleSetting
	styleTurn
	styleSize
	styleBoard
	styleSold
	stylePrecise
	styleBare // precise, without its unit
	styleText // as it can be posted back
	styleFloor
	styleTiny // less than can be read of one joint
	styleBoth // in both units, with another style
	styleTenths
	styleHundredths
	styleWhole
	styleCapital
	styleAnd
	styleOr
	styleComma
	styleSemicolon
	styleSentence // a message, ended as a sentence
	styleCode     // a word as the contract has it
)

// stylePlus joins with plus signs; it shares no place with a style of lengths.
const stylePlus = styleComma | styleSemicolon

var styles = map[string]style{
	"about": styleAbout, "setting": styleSetting, "turn": styleTurn, "size": styleSize, "board": styleBoard, "sold": styleSold,
	"precise": stylePrecise, "bare": styleBare, "tiny": styleTiny, "text": styleText, "floor": styleFloor, "both": styleBoth, "tenths": styleTenths, "hundredths": styleHundredths, "whole": styleWhole,
	"capital": styleCapital, "and": styleAnd, "or": styleOr, "comma": styleComma, "semicolon": styleSemicolon, "plus": stylePlus, "sentence": styleSentence, "code": styleCode,
}

// scratch is memory in which sentences are put together, used again.
var scratch = sync.Pool{New: func() any { return new([]byte) }}

// Text is the message as it is said. What no catalogue has is said by its key, in
// brackets.
func (p Printer) Text(m Message) string {
	if !m.Says() {
		return ""
	}
	b := scratch.Get().(*[]byte)
	defer scratch.Put(b)
	*b = p.append((*b)[:0], &m)
	return string(*b)
}

// Of is the sentence of a code, with its values.
func (p Printer) Of(code string, params ...Param) string { return p.Text(New(code, params...)) }

func (p *Printer) append(b []byte, m *Message) []byte {
	switch m.Code {
	case sentencesCode:
		return p.appendList(b, m.Params[0].value.said, " ", " ")
	case verbatimCode:
		return append(b, m.Params[0].value.text...)
	}
	return p.appendNamed(b, name{m.Code, m.State}, m)
}

// appendNamed writes the sentence of a name, or what was asked for in brackets.
func (p *Printer) appendNamed(b []byte, of name, m *Message) []byte {
	found := p.sentence(of)
	switch {
	case found != nil:
		return p.appendPattern(b, found.pattern, m)
	case of.state == "":
		return append(append(append(b, '['), of.code...), ']')
	}
	return append(append(append(append(append(b, '['), of.code...), '.'), of.state...), ']')
}

// sentence is the one of a name, or its variant; nil where there is none.
func (p *Printer) sentence(of name) *sentence {
	if p.Variant != "" {
		if found := p.patterns[of.form("@"+p.Variant)]; found != nil {
			return p.told(found)
		}
	}
	return p.told(p.patterns[of])
}

// form is the name of a form of a sentence.
func (n name) form(form string) name {
	if n.state == "" {
		return name{n.code + form, ""}
	}
	return name{n.code, n.state + form}
}

// told tells who observes of a sentence that is said.
func (p *Printer) told(of *sentence) *sentence {
	if p.observe != nil && of != nil {
		p.observe(of.key)
	}
	return of
}

func (p *Printer) appendPattern(b []byte, of pattern, m *Message) []byte {
	for i := range of {
		n := &of[i]
		if n.place == "" {
			b = append(b, n.text...)
			continue
		}
		b = p.appendPlace(b, n, m)
	}
	return b
}

func (p *Printer) appendPlace(b []byte, n *node, m *Message) []byte {
	v := m.find(n.place)
	switch n.as {
	case byPresence:
		switch {
		case v.given():
			return p.appendPattern(b, n.cases[0].pattern, m)
		case len(n.cases) > 1:
			return p.appendPattern(b, n.cases[1].pattern, m)
		}
		return b
	case byPlural:
		return p.appendPattern(b, n.chosen(p.pluralOf(v)), m)
	case byWord:
		return p.appendPattern(b, n.chosen(v.code()), m)
	case theCount:
		return strconv.AppendInt(b, int64(v.count()), 10)
	}
	if v == nil {
		return append(append(append(b, '['), n.place...), ']')
	}
	from := len(b)
	b = p.appendValue(b, v, n, m)
	if n.style&styleCapital != 0 {
		b = capital(b, from)
	}
	if n.style&styleSentence != 0 {
		b = ended(b)
	}
	return b
}

// ended is a text with a full stop, unless it ends as a sentence does.
func ended(b []byte) []byte {
	if bytes.HasSuffix(b, []byte(".")) || bytes.HasSuffix(b, []byte("?")) {
		return b
	}
	return append(b, '.')
}

// capital gives what stands from an index on a capital.
func capital(b []byte, from int) []byte {
	first, size := utf8.DecodeRune(b[from:])
	upper := unicode.ToUpper(first)
	if size == 0 || upper == first {
		return b
	}
	return append(b[:from], append([]byte(string(upper)), b[from+size:]...)...)
}

// given is whether there is anything to be said of a value.
func (v *value) given() bool {
	switch {
	case v == nil:
		return false
	case v.kind == aName:
		return v.text != ""
	case v.kind == aMessage, v.kind == aList:
		return len(v.said) > 0
	}
	return true
}

func (v *value) count() int {
	if v == nil {
		return 0
	}
	return int(math.Round(v.number))
}

// pluralOf is the form of grammar that a number asks for; one that is not whole
// is neither one thing nor two.
func (p *Printer) pluralOf(v *value) string {
	if v != nil && v.number != math.Trunc(v.number) {
		return other
	}
	return p.plural(v.count())
}

// code is what a select goes by.
func (v *value) code() string {
	switch {
	case v == nil:
		return ""
	case v.kind == aWord:
		return v.word
	case v.kind == aName:
		return v.text
	case v.kind == aMessage && len(v.said) > 0 && v.said[0].State != "":
		return v.said[0].State
	case v.kind == aMessage && len(v.said) > 0:
		return v.said[0].Code
	case v.kind == aCount:
		return strconv.Itoa(v.count())
	}
	return ""
}

func (p *Printer) appendValue(b []byte, v *value, n *node, m *Message) []byte {
	switch v.kind {
	case aLength:
		return p.appendMeasure(b, length.Length(v.number), n.style)
	case aChance:
		return append(b, p.Percent(v.number)...)
	case anAngle:
		return append(b, p.Degrees(v.number)...)
	case aCount, aNumber:
		return append(b, p.Number(v.number, decimalsOf(n.style))...)
	case aName:
		return append(b, v.text...)
	case aWord:
		if n.style&styleCode != 0 {
			return append(b, v.word...)
		}
		return p.appendWord(b, v, n.form, m)
	case aMessage:
		if len(v.said) == 0 {
			return b
		}
		return p.append(b, &v.said[0])
	}
	between, last := p.joint(n.style)
	return p.appendList(b, v.said, between, last)
}

func decimalsOf(s style) int {
	switch {
	case s&styleTenths != 0:
		return 1
	case s&styleHundredths != 0:
		return 2
	case s&styleWhole != 0:
		return 0
	}
	return -1
}

// joint is what stands between the parts of a list, and between its last two.
func (p *Printer) joint(s style) (between, last string) {
	switch {
	case s&styleAnd != 0:
		return ", ", p.figures().and
	case s&styleOr != 0:
		return ", ", p.figures().or
	case s&stylePlus == stylePlus:
		return " + ", " + "
	case s&styleComma != 0:
		return ", ", ", "
	case s&styleSemicolon != 0:
		return "; ", "; "
	}
	return " ", " "
}

func (p *Printer) appendList(b []byte, all []Message, between, last string) []byte {
	for i := range all {
		switch {
		case i == 0:
		case i == len(all)-1:
			b = append(b, last...)
		default:
			b = append(b, between...)
		}
		b = p.append(b, &all[i])
	}
	return b
}

// appendWord writes a word in the form that the sentence asks for, where the
// language has one. A word may name values of the sentence around it.
func (p *Printer) appendWord(b []byte, v *value, form string, m *Message) []byte {
	of := name{v.text, v.word}
	if form != "" {
		if found := p.patterns[of.form(form)]; found != nil {
			return p.appendPattern(b, p.told(found).pattern, m)
		}
	}
	return p.appendNamed(b, of, m)
}

// appendMeasure writes a length in a style. What is read of a joint, which is what
// most sentences name, is written without a text of its own.
func (p *Printer) appendMeasure(b []byte, x length.Length, s style) []byte {
	if s&^styleCapital&^styleAbout != 0 || !p.figures().plain {
		return append(b, p.lengthIn(x, s)...)
	}
	if p.Unit == length.UnitInch {
		return nearest(x, thou).AppendDecimal(b, p.Unit)
	}
	return nearest(x, readable).AppendDecimal(b, p.Unit)
}

func (p *Printer) lengthIn(x length.Length, s style) string {
	way := wayOf(s)
	if s&styleBoth != 0 {
		return p.Both(x, way)
	}
	return way(*p, x)
}

// wayOf is how a style writes a length.
func wayOf(s style) func(Printer, length.Length) string {
	switch {
	case s&styleSetting != 0:
		return Printer.Setting
	case s&styleTurn != 0:
		return Printer.Turn
	case s&styleSize != 0:
		return Printer.Size
	case s&styleBoard != 0:
		return Printer.Board
	case s&styleSold != 0:
		return Printer.Sold
	case s&stylePrecise != 0:
		return Printer.Precise
	case s&styleBare != 0:
		return Printer.Bare
	case s&styleFloor != 0:
		return Printer.Floor
	case s&styleTiny != 0:
		return Printer.Tiny
	case s&styleText != 0:
		return func(p Printer, x length.Length) string { return x.Text(p.Unit) }
	}
	return Printer.About
}

// Params are the values of a message as a JSON object: lengths as length objects,
// probabilities and counts as numbers, words by their codes, messages by code and
// values, and the state, if it has one. Nil where it has none of them.
func (p Printer) Params(m Message) json.RawMessage {
	if !m.carries() {
		return nil
	}
	b := scratch.Get().(*[]byte)
	defer scratch.Put(b)
	*b = p.appendParams((*b)[:0], &m, true)
	return slices.Clone(*b)
}

// carries is whether there is anything to tell beside its code.
func (m *Message) carries() bool {
	return m.State != "" || slices.ContainsFunc(m.Params, func(p Param) bool { return !p.beside })
}

// appendParams writes the values of a message; the object that carries it may have
// some as members.
func (p *Printer) appendParams(b []byte, m *Message, carried bool) []byte {
	b = append(b, '{')
	if m.State != "" {
		b = append(append(append(b, `"state":"`...), m.State...), '"')
	}
	for i := range m.Params {
		if carried && m.Params[i].beside {
			continue
		}
		if len(b) > 0 && b[len(b)-1] != '{' {
			b = append(b, ',')
		}
		b = append(append(append(b, '"'), m.Params[i].Name...), '"', ':')
		b = p.appendJSON(b, &m.Params[i].value)
	}
	return append(b, '}')
}

func (p *Printer) appendJSON(b []byte, v *value) []byte {
	switch v.kind {
	case aLength:
		return p.appendLength(b, length.Length(v.number).Rounded())
	case aCount:
		return strconv.AppendInt(b, int64(v.count()), 10)
	case aChance, aNumber, anAngle:
		return appendNumber(b, Rounded(v.number))
	case aName:
		return fast.AppendEscape(b, v.text, 0)
	case aWord:
		return fast.AppendEscape(b, v.word, 0)
	case aMessage:
		if len(v.said) == 0 {
			return append(b, "null"...)
		}
		return p.appendMessage(b, &v.said[0])
	}
	b = append(b, '[')
	for i := range v.said {
		if i > 0 {
			b = append(b, ',')
		}
		b = p.appendMessage(b, &v.said[i])
	}
	return append(b, ']')
}

func (p *Printer) appendMessage(b []byte, m *Message) []byte {
	if m.Code == verbatimCode {
		return fast.AppendEscape(b, m.Params[0].value.text, 0)
	}
	b = append(append(append(b, `{"code":"`...), m.Code...), '"')
	if m.State != "" || len(m.Params) > 0 {
		b = p.appendParams(append(b, `,"params":`...), m, false)
	}
	return append(b, '}')
}

func (p *Printer) appendLength(b []byte, l length.Length) []byte {
	b = appendNumber(append(b, `{"mm":`...), l.MM())
	b = appendNumber(append(b, `,"in":`...), Rounded(l.Inches()))
	return append(append(append(b, `,"text":"`...), l.Text(p.Unit)...), `"}`...)
}

// Rounded rounds any figure of an answer to the same resolution, never -0.
func Rounded(x float64) float64 { return length.NearestWhole(x*1e6)/1e6 + 0 }

// appendNumber writes a number as encoding/json does.
func appendNumber(b []byte, x float64) []byte {
	if size := math.Abs(x); size == 0 || size >= 1e-6 && size < 1e21 { // what it writes without an exponent
		return strconv.AppendFloat(b, x, 'f', -1, 64)
	}
	out, err := json.Marshal(x)
	if err != nil { // not a number: nothing computed it, nothing can be said of it
		return append(b, "null"...)
	}
	return append(b, out...)
}
