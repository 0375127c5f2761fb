package service

import (
	"encoding"
	"encoding/json"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"snugtail/api"
)

// filler reads the JSON of one schema straight into the Go type for it, in one
// pass over the text, if it is surely good: if a screen made of the schema
// passes it and encoding/json would read the same. A no is no verdict, only a
// reason to go the long way: parse the text, hold it against the contract, read
// it with encoding/json. Fuzz tests hold that a yes is what the long way says.
type filler struct {
	screen *screen
	fill   func(f *filler, p *source, to reflect.Value) bool
	slot   int // see spare

	item     *filler // of an array
	members  members // of an object
	required uint64
	kinds    map[string]*filler // of a oneOf: the objects that screen.kind picks from
}

// member is one of an object's, and the field that it fills.
type member struct {
	name  string
	value *filler
	field int
	bit   uint64
}

// members are those of an object, by the length of their names: few are of the
// same, so that one is found sooner than in a map.
type members [][]member

func (all *members) add(m member) {
	for len(*all) <= len(m.name) {
		*all = append(*all, nil)
	}
	(*all)[len(m.name)] = append((*all)[len(m.name)], m)
}

// named is nil where there is none of that name.
func (all members) named(name string) *member {
	if len(name) >= len(all) {
		return nil
	}
	same := all[len(name)]
	for i := range same {
		if same[i].name == name {
			return &same[i]
		}
	}
	return nil
}

// source is the text that is read, and room for what is made of it.
type source struct {
	parser
	*spare
}

// spare is what earlier questions of one shape were read into, all of it zero: one
// of each value that a pointer leads to, by the slot of its filler, and lengths.
type spare struct {
	made    []reflect.Value
	taken   []int // slots
	lengths slab[api.LengthIn]
}

// take is a new value, or what an earlier question left.
func (s *spare) take(slot int, t reflect.Type) reflect.Value {
	if slot >= len(s.made) {
		s.made = append(s.made, make([]reflect.Value, slot+1-len(s.made))...)
	}
	if slices.Contains(s.taken, slot) { // in a list
		return reflect.New(t)
	}
	if !s.made[slot].IsValid() {
		s.made[slot] = reflect.New(t)
	}
	s.taken = append(s.taken, slot)
	return s.made[slot]
}

func (s *spare) length() *api.LengthIn {
	const usual = 24
	return s.lengths.one(usual)
}

// clear takes everything back.
func (s *spare) clear() {
	for _, slot := range s.taken {
		s.made[slot].Elem().SetZero()
	}
	s.taken = s.taken[:0]
	s.lengths.clear()
}

// newFiller makes a filler, or nil where the screen or the type is not known in full.
func newFiller(s *screen, t reflect.Type) *filler {
	if s == nil {
		return nil
	}
	if t.Kind() == reflect.Pointer { // of which into sees one
		t = t.Elem()
	}
	f := &filler{screen: s}
	switch {
	case t == reflect.TypeFor[api.LengthIn]():
		f.fill = (*filler).length
	case t == reflect.TypeFor[api.Depth]():
		f.fill = (*filler).depth
	case readsItself(t):
		return nil
	case t.Kind() == reflect.String && s.text:
		f.fill = (*filler).text
	case t.Kind() == reflect.Float64 && s.number:
		f.fill = (*filler).real
	case t.Kind() == reflect.Int && s.number:
		f.fill = (*filler).whole
	case t.Kind() == reflect.Bool && s.boolean:
		f.fill = (*filler).boolean
	case t.Kind() == reflect.Slice && s.array:
		f.fill, f.item = (*filler).array, newFiller(s.items, t.Elem())
	case t.Kind() == reflect.Struct && s.kinds != nil:
		return f.ofKinds(t)
	case t.Kind() == reflect.Struct && s.object && !s.open && len(s.unlike) == 0:
		return f.ofMembers(t)
	default:
		return nil
	}
	return f
}

func readsItself(t reflect.Type) bool {
	p := reflect.PointerTo(t)
	return p.Implements(reflect.TypeFor[json.Unmarshaler]()) || p.Implements(reflect.TypeFor[encoding.TextUnmarshaler]())
}

func (f *filler) ofKinds(t reflect.Type) *filler {
	f.fill, f.kinds = (*filler).kind, map[string]*filler{}
	for kind, branch := range f.screen.kinds {
		f.kinds[kind] = newFiller(branch, t)
	}
	return f
}

func (f *filler) ofMembers(t reflect.Type) *filler {
	f.fill = (*filler).object
	const most = 64 // bits of required
	if t.NumField() > most {
		return nil
	}
	for i := range t.NumField() {
		name, _, _ := strings.Cut(t.Field(i).Tag.Get("json"), ",")
		if value := newFiller(f.screen.members[name], t.Field(i).Type); value != nil {
			f.members.add(member{name: name, value: value, field: i, bit: 1 << i})
		}
	}
	for _, name := range f.screen.required {
		m := f.members.named(name)
		if m == nil {
			return nil
		}
		f.required |= m.bit
	}
	return f
}

// number gives f and all that it is made of a slot each, from next on, and
// returns the one after them.
func (f *filler) number(next int) int {
	if f == nil {
		return next
	}
	f.slot = next
	next = f.item.number(next + 1)
	for _, same := range f.members {
		for i := range same {
			next = same[i].value.number(next)
		}
	}
	for _, kind := range f.kinds {
		next = kind.number(next)
	}
	return next
}

// fills reads all of text into question, which is zero, and what it leads to into
// spare. It is true if that is surely what the contract takes and holds at most so
// many values. If not, question holds some part of it.
func (f *filler) fills(text string, most int, question any, spare *spare) bool {
	if f == nil {
		return false
	}
	p := source{parser{text: text, most: most}, spare}
	if p.checkText() != nil {
		return false
	}
	p.space()
	if !f.into(&p, reflect.ValueOf(question).Elem()) {
		return false
	}
	p.space()
	return p.at == len(text) && len(p.fields) == 0
}

// into reads one value, behind a pointer where to is one.
func (f *filler) into(p *source, to reflect.Value) bool {
	if f == nil || p.at >= len(p.text) || !p.count() {
		return false
	}
	if to.Kind() != reflect.Pointer {
		return f.fill(f, p, to)
	}
	if l, ok := to.Addr().Interface().(**api.LengthIn); ok {
		*l = p.spare.length()
		return f.lengthInto(p, *l)
	}
	made := p.take(f.slot, to.Type().Elem())
	to.Set(made)
	return f.fill(f, p, made.Elem())
}

// plainText reads a text that the screen passes.
func (f *filler) plainText(p *source) (string, bool) {
	if !p.sees('"') {
		return "", false
	}
	text, err := p.string()
	return text, err == nil && f.screen.passesText(text)
}

func (f *filler) text(p *source, to reflect.Value) bool {
	text, ok := f.plainText(p)
	to.SetString(text)
	return ok
}

// plainNumber reads a number that the screen passes.
func (f *filler) plainNumber(p *source) (float64, bool) {
	start := p.at
	if p.scanNumber() != nil {
		return 0, false
	}
	number, err := strconv.ParseFloat(p.text[start:p.at], 64)
	return number, err == nil && f.screen.passesNumber(number)
}

func (f *filler) real(p *source, to reflect.Value) bool {
	number, ok := f.plainNumber(p)
	to.SetFloat(number)
	return ok
}

// whole leaves 1.0 and 1e3 to encoding/json, which does not take them as whole numbers.
func (f *filler) whole(p *source, to reflect.Value) bool {
	start := p.at
	number, ok := f.plainNumber(p)
	to.SetInt(int64(number))
	return ok && math.Abs(number) < 1<<53 && strings.Trim(p.text[start:p.at], "-0123456789") == ""
}

func (f *filler) boolean(p *source, to reflect.Value) bool {
	value, err := p.word()
	truth, ok := value.(bool)
	to.SetBool(truth)
	return ok && err == nil
}

func (f *filler) array(p *source, to reflect.Value) bool {
	if !p.next('[') {
		return false
	}
	to.Grow(4) // few arrays are longer, and an empty one must not be nil
	for n := 0; !p.next(']'); n++ {
		if n > 0 && !p.next(',') || n == f.screen.mostItem {
			return false
		}
		to.Grow(1)
		to.SetLen(n + 1)
		if !f.item.into(p, to.Index(n)) {
			return false
		}
		p.space()
	}
	return to.Len() >= f.screen.fewest
}

func (f *filler) object(p *source, to reflect.Value) bool {
	if !p.next('{') {
		return false
	}
	var seen uint64
	for first := true; !p.next('}'); first = false {
		if !first && !p.next(',') {
			return false
		}
		name, ok := p.name()
		m := f.members.named(name)
		if !ok || m == nil || seen&m.bit != 0 || !m.value.into(p, to.Field(m.field)) {
			return false
		}
		seen |= m.bit
		p.space()
	}
	return seen&f.required == f.required
}

// name reads a member's name and the colon behind it.
func (p *parser) name() (string, bool) {
	if !p.sees('"') {
		return "", false
	}
	name, err := p.string()
	p.space()
	return name, err == nil && p.next(':')
}

// kind looks ahead for the member that picks the branch.
func (f *filler) kind(p *source, to reflect.Value) bool {
	ahead := *p
	ahead.skimming = true
	if !ahead.next('{') {
		return false
	}
	for {
		name, ok := ahead.name()
		if !ok {
			return false
		}
		if name == f.screen.kind {
			return f.branch(&ahead.parser, p, to)
		}
		if _, err := ahead.value(); err != nil {
			return false
		}
		ahead.space()
		if !ahead.next(',') {
			return false
		}
	}
}

// branch reads the object at p by the kind that stands at ahead.
func (f *filler) branch(ahead *parser, p *source, to reflect.Value) bool {
	if !ahead.sees('"') {
		return false
	}
	kind, err := ahead.string()
	branch := f.kinds[kind]
	return err == nil && branch != nil && branch.fill(branch, p, to)
}

// any reads a value that the screen passes, of whatever type.
func (f *filler) any(p *source) (any, bool) {
	value, err := p.value()
	return value, err == nil && f.screen.passes(value)
}

func (f *filler) length(p *source, to reflect.Value) bool {
	return f.lengthInto(p, to.Addr().Interface().(*api.LengthIn))
}

func (f *filler) lengthInto(p *source, l *api.LengthIn) bool {
	if p.sees('"') {
		text, ok := f.plainText(p)
		*l = api.LengthIn{Text: text, Form: api.LengthText}
		return ok && f.screen.text
	}
	value, ok := f.any(p)
	return ok && setLength(l, value)
}

// setLength reads a value as LengthIn does.
func setLength(l *api.LengthIn, value any) bool {
	switch value := value.(type) {
	case string:
		*l = api.LengthIn{Text: value, Form: api.LengthText}
	case float64:
		*l = api.LengthIn{Number: value, Form: api.LengthNumber}
	case map[string]any:
		mm, ok := value["mm"].(float64)
		*l = api.LengthIn{Number: mm, Form: api.LengthObject}
		return ok
	default:
		return false
	}
	return true
}

// depth is one length, or an object with one for each board.
func (f *filler) depth(p *source, to reflect.Value) bool {
	d := to.Addr().Interface().(*api.Depth)
	*d = api.Depth{}
	value, ok := f.any(p)
	members, _ := value.(map[string]any)
	_, isPair := members["pin_board"]
	if !ok || !isPair {
		d.Both = p.spare.length()
		return ok && setLength(d.Both, value)
	}
	d.PinBoard, d.TailBoard = p.spare.length(), p.spare.length()
	return setLength(d.PinBoard, members["pin_board"]) && setLength(d.TailBoard, members["tail_board"])
}
