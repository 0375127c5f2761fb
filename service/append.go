package service

import (
	"bytes"
	"encoding"
	"encoding/json"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"snugtail/api"
)

// appender appends the JSON of a value of one type, byte for byte as
// encoding/json does with SetEscapeHTML(false), in less than half the time:
// what it must know of the type is looked up once, and figures that are rounded
// to the answers' resolution are printed as whole numbers.
type appender func(b []byte, v reflect.Value) ([]byte, error)

// appenders are those of the types that are written often.
type appenders map[reflect.Type]appender

// add makes the appender of a type.
func (a appenders) add(t reflect.Type) { a[t] = newAppender(t) }

// append appends the JSON of v.
func (a appenders) append(b []byte, v any) ([]byte, error) {
	value := reflect.ValueOf(v)
	if !value.IsValid() {
		return append(b, "null"...), nil
	}
	made := a[value.Type()]
	if made == nil {
		made = newAppender(value.Type())
	}
	return made(b, value)
}

// newAppender knows what answers are made of and leaves the rest, such as maps
// and types within themselves, to encoding/json. around are the types that t
// stands in.
func newAppender(t reflect.Type, around ...reflect.Type) appender {
	if slices.Contains(around, t) || writesItself(t) {
		return appendStandard
	}
	if own := ownAppender(t); own != nil {
		return own
	}
	around = append(slices.Clip(around), t)
	switch t.Kind() {
	case reflect.String:
		return func(b []byte, v reflect.Value) ([]byte, error) { return appendText(b, v.String()) }
	case reflect.Float64:
		return func(b []byte, v reflect.Value) ([]byte, error) { return appendNumber(b, v.Float()) }
	case reflect.Int:
		return func(b []byte, v reflect.Value) ([]byte, error) { return strconv.AppendInt(b, v.Int(), 10), nil }
	case reflect.Bool:
		return func(b []byte, v reflect.Value) ([]byte, error) { return strconv.AppendBool(b, v.Bool()), nil }
	case reflect.Pointer:
		return pointerAppender(newAppender(t.Elem(), around...))
	case reflect.Slice:
		if t.Elem().Kind() == reflect.Uint8 {
			return appendStandard
		}
		return sliceAppender(newAppender(t.Elem(), around...))
	case reflect.Struct:
		return structAppender(t, around)
	default:
		return appendStandard
	}
}

var (
	marshaler     = reflect.TypeFor[json.Marshaler]()
	textMarshaler = reflect.TypeFor[encoding.TextMarshaler]()
)

func writesItself(t reflect.Type) bool {
	p := reflect.PointerTo(t)
	return p.Implements(marshaler) || p.Implements(textMarshaler)
}

// appendStandard leaves a value to encoding/json.
func appendStandard(b []byte, v reflect.Value) ([]byte, error) {
	if v.CanAddr() {
		v = v.Addr() // so that methods of the pointer are found
	}
	var buffer bytes.Buffer
	e := json.NewEncoder(&buffer)
	e.SetEscapeHTML(false)
	if err := e.Encode(v.Interface()); err != nil {
		return b, err
	}
	return append(b, bytes.TrimSuffix(buffer.Bytes(), []byte("\n"))...), nil
}

// ownAppender is for the types that answers have most of: it does without looking
// up each field. It is nil for all others.
func ownAppender(t reflect.Type) appender {
	switch t {
	case reflect.TypeFor[api.Length]():
		return appenderOf(appendLength)
	case reflect.TypeFor[api.Limit]():
		return appenderOf(appendLimit)
	case reflect.TypeFor[api.Caution]():
		return appenderOf(appendCaution)
	}
	return nil
}

func appenderOf[T any](write func([]byte, *T) ([]byte, error)) appender {
	return func(b []byte, v reflect.Value) ([]byte, error) {
		if v.CanAddr() {
			p, _ := v.Addr().Interface().(*T)
			return write(b, p)
		}
		t, _ := v.Interface().(T)
		return write(b, &t)
	}
}

func appendLimit(b []byte, l *api.Limit) ([]byte, error) {
	b, err := appendText(append(b, `{"code":`...), l.Code)
	if err != nil {
		return b, err
	}
	b = append(b, `,"ok":`...)
	if l.OK == nil {
		b = append(b, "null"...)
	} else {
		b = strconv.AppendBool(b, *l.OK)
	}
	b = append(b, `,"margin":`...)
	if l.Margin == nil {
		b = append(b, "null"...)
	} else if b, err = appendLength(b, l.Margin); err != nil {
		return b, err
	}
	b, err = appendText(append(b, `,"text":`...), l.Text)
	return append(b, '}'), err
}

func appendCaution(b []byte, c *api.Caution) ([]byte, error) {
	b, err := appendText(append(b, `{"code":`...), c.Code)
	if err != nil {
		return b, err
	}
	b, err = appendText(append(b, `,"text":`...), c.Text)
	return append(b, '}'), err
}

func appendLength(b []byte, l *api.Length) ([]byte, error) {
	b, err := appendNumber(append(b, `{"mm":`...), l.MM)
	if err != nil {
		return b, err
	}
	b, err = appendNumber(append(b, `,"in":`...), l.In)
	if err != nil {
		return b, err
	}
	b, err = appendText(append(b, `,"text":`...), l.Text)
	return append(b, '}'), err
}

func pointerAppender(element appender) appender {
	return func(b []byte, v reflect.Value) ([]byte, error) {
		if v.IsNil() {
			return append(b, "null"...), nil
		}
		return element(b, v.Elem())
	}
}

func sliceAppender(element appender) appender {
	return func(b []byte, v reflect.Value) ([]byte, error) {
		if v.IsNil() {
			return append(b, "null"...), nil
		}
		b = append(b, '[')
		for i := range v.Len() {
			if i > 0 {
				b = append(b, ',')
			}
			var err error
			if b, err = element(b, v.Index(i)); err != nil {
				return b, err
			}
		}
		return append(b, ']'), nil
	}
}

// fieldAppender is one member of an object.
type fieldAppender struct {
	key       string // with quotes and colon
	index     int
	omitEmpty bool
	value     appender
}

func structAppender(t reflect.Type, around []reflect.Type) appender {
	fields, ok := fieldAppenders(t, around)
	if !ok {
		return appendStandard
	}
	return func(b []byte, v reflect.Value) ([]byte, error) {
		b = append(b, '{')
		first := len(b)
		for i := range fields {
			f := &fields[i]
			member := v.Field(f.index)
			if f.omitEmpty && isEmpty(member) {
				continue
			}
			if len(b) > first {
				b = append(b, ',')
			}
			var err error
			if b, err = f.value(append(b, f.key...), member); err != nil {
				return b, err
			}
		}
		return append(b, '}'), nil
	}
}

// fieldAppenders is not ok for a struct with anything but fields of a plain
// name, at most with omitempty.
func fieldAppenders(t reflect.Type, around []reflect.Type) (fields []fieldAppender, ok bool) {
	for i := range t.NumField() {
		field := t.Field(i)
		name, option, _ := strings.Cut(field.Tag.Get("json"), ",")
		if field.Anonymous || !field.IsExported() || !isSaneID(name) || option != "" && option != "omitempty" {
			return nil, false
		}
		fields = append(fields, fieldAppender{
			key: `"` + name + `":`, index: i, omitEmpty: option != "", value: newAppender(field.Type, around...),
		})
	}
	return fields, true
}

// isEmpty is what omitempty leaves out.
func isEmpty(v reflect.Value) bool {
	switch v.Kind() {
	case reflect.Slice, reflect.Map, reflect.Array, reflect.String:
		return v.Len() == 0
	case reflect.Struct:
		return false
	default:
		return v.IsZero()
	}
}

// appendText writes plain text as it stands, and leaves escapes to encoding/json.
func appendText(b []byte, text string) ([]byte, error) {
	if !isPlain(text) {
		return appendStandard(b, reflect.ValueOf(text))
	}
	return append(append(append(b, '"'), text...), '"'), nil
}

// isPlain is true for ASCII that JSON does not escape. It looks at eight
// characters at a time, each in a byte of a word: most of an answer is text.
func isPlain(text string) bool {
	const each, high = 0x0101010101010101, 0x8080808080808080
	for ; len(text) >= 8; text = text[8:] {
		word := uint64(text[0]) | uint64(text[1])<<8 | uint64(text[2])<<16 | uint64(text[3])<<24 |
			uint64(text[4])<<32 | uint64(text[5])<<40 | uint64(text[6])<<48 | uint64(text[7])<<56
		quote, backslash := word^each*'"', word^each*'\\'
		// A byte that is below n, up to the first such one, has its high bit set in word - each*n.
		if (word|(word-each*' ')|(quote-each)|(backslash-each))&high != 0 {
			return false
		}
	}
	for i := range len(text) {
		if char := text[i]; char < ' ' || char >= utf8.RuneSelf || char == '"' || char == '\\' {
			return false
		}
	}
	return true
}

// resolution and mostDigits are of the figures that appendNumber writes by itself.
const (
	resolution = 1e6
	mostDigits = 1e15
)

// appendNumber writes a number that is a whole count of millionths, as nearly
// all of an answer's are, by its decimal digits: of up to 15 of them no two
// decimals are the same float64, so these are the shortest, which encoding/json
// writes too. Other numbers, and -0, are left to it.
func appendNumber(b []byte, x float64) ([]byte, error) {
	count := math.RoundToEven(x * resolution)
	if !(math.Abs(count) < mostDigits) || count/resolution != x || x == 0 && math.Signbit(x) {
		return appendStandard(b, reflect.ValueOf(x))
	}
	if count < 0 {
		b, count = append(b, '-'), -count
	}
	whole, part := uint64(count)/resolution, uint64(count)%resolution
	b = strconv.AppendUint(b, whole, 10)
	if part == 0 {
		return b, nil
	}
	digits := [...]byte{'.', '0', '0', '0', '0', '0', '0'}
	last := 0
	for i := len(digits) - 1; part > 0; i-- {
		digit := byte(part % 10)
		digits[i] += digit
		part /= 10
		if last == 0 && digit != 0 {
			last = i
		}
	}
	return append(b, digits[:last+1]...), nil
}
