// Package strict reads JSON as a service for strangers must: nothing is guessed,
// and all that is wrong is told, with its place.
//
//	parse.go    a text becomes values, or is no JSON
//	number.go   numbers
//	precheck.go   a schema made ready to say of most good values that they are
//	pointer.go  where a value stands, as a JSON pointer
package strict

import (
	"strconv"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

const (
	maxNesting = 32 // objects and arrays within each other; the contract needs less than 10
	mostFlaws  = 50 // that one text is told of
)

// Codes of what is wrong with a text.
const (
	CodeNotJSON       = "not_json"
	CodeTrailing      = "trailing_bytes"
	CodeTooDeep       = "too_deep"
	CodeTooManyValues = "too_many_values"
	CodeDuplicate     = "duplicate_key"
	codeBeyond        = "out_of_range" // of what a float64 holds
)

// Flaw is what is wrong with one member of a text that is JSON: State says which
// of what its code stands for, Name is the member's.
type Flaw struct{ Pointer, Code, State, Name string }

// NotJSON is where and why a text stops being JSON. State says which of what its
// code stands for; the others are set where that knows them.
type NotJSON struct {
	Offset   int
	Code     string
	State    string
	Found    string // what stands there
	Expected string // what should
	Most     int    // how much there may be
}

// Parse reads one JSON value (RFC 8259) as encoding/json reads into an any, in
// one pass, and is stricter where a lenient reader would guess: no member
// twice, no text after the value, valid UTF-8 and whole surrogate pairs only,
// at most maxNesting levels, at most most values (0 sets no limit), of which not
// more than mostKept are kept, numbers within float64. What is wrong with one member is gathered, with its pointer;
// what is no JSON ends the reading. The strings in the value are parts of text,
// not copies.
func Parse(text string, most int, skim Skim) (any, []Flaw, *NotJSON) {
	p := parser{text: text, most: most, skim: skim}
	value, err := p.all()
	return value, p.flaws, err
}

// mostKept is how many values are kept of a text that may have more, which stand
// in what is passed over: the fullest request of the contract, 500 drawers by a
// record of 500 test joints, has under 40,000.
const mostKept = 50_000

// Skim passes over the objects that Over names: they are held against JSON's
// grammar, but neither kept nor looked at for members that stand twice. An empty
// object stands for each in the value, and Text is given its text. The zero Skim
// passes over none.
type Skim struct {
	Over func(path []Step) bool
	Text func(path []Step, text string)
}

// all reads the one value that the text holds.
func (p *parser) all() (any, *NotJSON) {
	if err := p.checkText(); err != nil {
		return nil, err
	}
	p.space()
	value, err := p.value()
	if err != nil {
		return nil, err
	}
	if p.space(); p.at < len(p.text) {
		return nil, p.fail(CodeTrailing, "")
	}
	return value, nil
}

type parser struct {
	text   string
	at     int
	values int // that were read
	kept   int // of them
	most   int // that may be read; 0 sets no limit
	path   []Step
	flaws  []Flaw

	skim     Skim
	skimming bool
}

// Step is one level of the way to a value: a member's name or an item's number.
type Step struct {
	Name   string
	Item   int
	IsItem bool
}

func (p *parser) fail(code, state string) *NotJSON {
	return &NotJSON{Offset: p.at, Code: code, State: state}
}

// tooMany is for more of something than there may be.
func (p *parser) tooMany(code string, most int) *NotJSON {
	return &NotJSON{Offset: p.at, Code: code, Most: most}
}

// expected names what stands where something else should.
func (p *parser) expected(what string) *NotJSON {
	if p.at >= len(p.text) {
		return &NotJSON{Offset: p.at, Code: CodeNotJSON, State: "ends", Expected: what}
	}
	char, _ := utf8.DecodeRuneInString(p.text[p.at:])
	return &NotJSON{Offset: p.at, Code: CodeNotJSON, State: "stands", Expected: what, Found: strconv.QuoteRune(char)}
}

// spoilt notes a bad member and lets the reading go on.
func (p *parser) spoilt(code, state, name string) {
	if len(p.flaws) < mostFlaws {
		p.flaws = append(p.flaws, Flaw{p.pointer(), code, state, name})
	}
}

func (p *parser) pointer() string {
	tokens := make([]string, len(p.path))
	for i, at := range p.path {
		tokens[i] = at.Name
		if at.IsItem {
			tokens[i] = strconv.Itoa(at.Item)
		}
	}
	return Pointer(tokens...)
}

func (p *parser) checkText() *NotJSON {
	if strings.HasPrefix(p.text, "\ufeff") {
		return p.fail(CodeNotJSON, "byte_order_mark")
	}
	if utf8.ValidString(p.text) {
		return nil
	}
	for r, size := rune(0), 0; r != utf8.RuneError || size != 1; {
		p.at += size
		r, size = utf8.DecodeRuneInString(p.text[p.at:])
	}
	return p.fail(CodeNotJSON, "not_utf")
}

func (p *parser) space() {
	for p.at < len(p.text) {
		switch p.text[p.at] {
		case ' ', '\t', '\n', '\r':
			p.at++
		default:
			return
		}
	}
}

// next takes char if it stands here, and the space behind it.
func (p *parser) next(char byte) bool {
	if !p.sees(char) {
		return false
	}
	p.at++
	p.space()
	return true
}

func (p *parser) sees(char byte) bool { return p.at < len(p.text) && p.text[p.at] == char }

func (p *parser) value() (any, *NotJSON) {
	if p.at >= len(p.text) {
		return nil, p.expected("value")
	}
	if most, ok := p.count(); !ok {
		return nil, p.tooMany(CodeTooManyValues, most)
	}
	switch char := p.text[p.at]; {
	case char == '"':
		text, err := p.string()
		if p.skimming {
			return nil, err
		}
		return text, err
	case char == '{':
		return p.object()
	case char == '[':
		return p.array()
	case char == '-' || isDigit(char):
		return p.number()
	default:
		return p.word()
	}
}

// count counts a value, and is false where it is one too many: a body of a few
// megabytes can hold millions, each of which takes memory many times its text.
func (p *parser) count() (most int, ok bool) {
	p.values++
	if !p.skimming {
		p.kept++
	}
	if p.most > mostKept && p.kept > mostKept {
		return mostKept, false
	}
	return p.most, p.most == 0 || p.values <= p.most
}

func (p *parser) word() (any, *NotJSON) {
	start := p.at
	for p.at < len(p.text) && isLetter(p.text[p.at]) {
		p.at++
	}
	switch word := p.text[start:p.at]; word {
	case "true":
		return true, nil
	case "false":
		return false, nil
	case "null":
		return nil, nil
	case "":
		return nil, p.expected("value")
	default:
		p.at = start
		const longest = 20
		return nil, &NotJSON{Offset: start, Code: CodeNotJSON, State: "word", Found: word[:min(len(word), longest)]}
	}
}

// enter goes one level down; leave comes back.
func (p *parser) enter(first Step) *NotJSON {
	if len(p.path) >= maxNesting {
		return p.tooMany(CodeTooDeep, maxNesting)
	}
	p.path = append(p.path, first)
	return nil
}

func (p *parser) leave() { p.path = p.path[:len(p.path)-1] }

func (p *parser) object() (any, *NotJSON) {
	if p.skim.Over != nil && !p.skimming && p.skim.Over(p.path) {
		return p.passOver()
	}
	if err := p.enter(Step{}); err != nil {
		return nil, err
	}
	defer p.leave()
	p.next('{')
	var members map[string]any
	if !p.skimming {
		members = map[string]any{}
	}
	if p.next('}') {
		return members, nil
	}
	for {
		if err := p.member(members); err != nil {
			return nil, err
		}
		if p.next('}') {
			return members, nil
		}
		if !p.next(',') {
			return nil, p.expected("comma_or_brace")
		}
	}
}

// passOver reads an object without keeping it.
func (p *parser) passOver() (any, *NotJSON) {
	start := p.at
	p.skimming = true
	defer func() { p.skimming = false }()
	if _, err := p.object(); err != nil {
		return nil, err
	}
	p.skim.Text(p.path, p.text[start:p.at])
	return map[string]any{}, nil
}

func (p *parser) member(members map[string]any) *NotJSON {
	if !p.sees('"') {
		return p.expected("name")
	}
	name, err := p.string()
	if err != nil {
		return err
	}
	p.path[len(p.path)-1].Name = name
	if p.space(); !p.next(':') {
		return p.expected("colon")
	}
	value, err := p.value()
	if err != nil {
		return err
	}
	if p.skimming {
		p.space()
		return nil
	}
	before := len(members)
	members[name] = value
	if len(members) == before {
		p.spoilt(CodeDuplicate, "", name)
	}
	p.space()
	return nil
}

func (p *parser) array() (any, *NotJSON) {
	if err := p.enter(Step{IsItem: true}); err != nil {
		return nil, err
	}
	defer p.leave()
	p.next('[')
	items := []any{}
	if p.next(']') {
		return items, nil
	}
	for {
		p.path[len(p.path)-1].Item = len(items)
		value, err := p.value()
		if err != nil {
			return nil, err
		}
		if !p.skimming {
			items = append(items, value)
		}
		p.space()
		if p.next(']') {
			return items, nil
		}
		if !p.next(',') {
			return nil, p.expected("comma_or_bracket")
		}
	}
}

// string reads a text in quotes: plain ones at once, escapes the long way.
func (p *parser) string() (string, *NotJSON) {
	p.at++
	start := p.at
	for p.at < len(p.text) {
		switch char := p.text[p.at]; {
		case char == '"':
			p.at++
			return p.text[start : p.at-1], nil
		case char == '\\':
			return p.escaped(p.text[start:p.at])
		case char < ' ':
			return "", p.fail(CodeNotJSON, "control_character")
		}
		p.at++
	}
	return "", p.expected("quote")
}

// escaped reads on from the first backslash of a text that began with plain.
func (p *parser) escaped(plain string) (string, *NotJSON) {
	b := []byte(plain)
	for p.at < len(p.text) {
		switch char := p.text[p.at]; {
		case char == '"':
			p.at++
			return string(b), nil
		case char == '\\':
			r, err := p.escape()
			if err != nil {
				return "", err
			}
			b = utf8.AppendRune(b, r)
		case char < ' ':
			return "", p.fail(CodeNotJSON, "control_character")
		default:
			b = append(b, char)
			p.at++
		}
	}
	return "", p.expected("quote")
}

func (p *parser) escape() (rune, *NotJSON) {
	if p.at+1 >= len(p.text) {
		p.at = len(p.text)
		return 0, p.expected("escape")
	}
	if p.text[p.at+1] == 'u' {
		return p.unicode()
	}
	const letters, meanings = `"\/bfnrt`, "\"\\/\b\f\n\r\t"
	i := strings.IndexByte(letters, p.text[p.at+1])
	if i < 0 {
		return 0, p.fail(CodeNotJSON, "backslash")
	}
	p.at += 2
	return rune(meanings[i]), nil
}

// unicode reads \u1234, or the pair of them that makes one character.
func (p *parser) unicode() (rune, *NotJSON) {
	first, ok := hex4(p.text[p.at:])
	if !ok {
		return 0, p.fail(CodeNotJSON, "no_digits")
	}
	const size = len(`\u1234`)
	if !utf16.IsSurrogate(first) {
		p.at += size
		return first, nil
	}
	second, _ := hex4(p.text[p.at+size:])
	r := utf16.DecodeRune(first, second)
	if r == utf8.RuneError {
		return 0, p.fail(CodeNotJSON, "surrogate")
	}
	p.at += 2 * size
	return r, nil
}

func hex4(text string) (rune, bool) {
	const size = len(`\u1234`)
	if len(text) < size || text[:2] != `\u` {
		return 0, false
	}
	for i := 2; i < size; i++ {
		if char := text[i]; !isDigit(char) && (char|0x20 < 'a' || char|0x20 > 'f') {
			return 0, false
		}
	}
	n, err := strconv.ParseUint(text[2:size], 16, 16)
	return rune(n), err == nil
}

func isDigit(char byte) bool { return '0' <= char && char <= '9' }

func isLetter(char byte) bool { return 'a' <= char|0x20 && char|0x20 <= 'z' }

// Place says where an offset is, as an editor counts.
func Place(text string, offset int) (line, column int) {
	before := text[:min(offset, len(text))]
	line = strings.Count(before, "\n") + 1
	return line, utf8.RuneCountInString(before[strings.LastIndexByte(before, '\n')+1:]) + 1
}
