package fields

import (
	"bytes"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"sync"

	"github.com/segmentio/encoding/json"
)

// Of is what of an answer is asked for, ready to be encoded: members in the
// answer's order, lists as long as they are.
func (s *Selection) Of(answer any) any {
	if s == nil {
		return answer
	}
	return part{&s.root, answer}
}

// part is the asked part of a value.
type part struct {
	of    *node
	value any
}

// MarshalJSON writes it as it would stand in the whole.
func (p part) MarshalJSON() ([]byte, error) {
	w := &writer{}
	if err := w.write(p.of, reflect.ValueOf(p.value)); err != nil {
		return nil, fmt.Errorf("writing what is asked for of a %T: %w", p.value, err)
	}
	return w.Bytes(), nil
}

type writer struct{ bytes.Buffer }

var marshaler = reflect.TypeFor[json.Marshaler]()

func (w *writer) write(n *node, v reflect.Value) error {
	for v.IsValid() && (v.Kind() == reflect.Pointer || v.Kind() == reflect.Interface) && !v.IsNil() {
		v = v.Elem()
	}
	if n.whole || !v.IsValid() || v.Type().Implements(marshaler) {
		return w.whole(v)
	}
	switch v.Kind() {
	case reflect.Struct:
		return w.object(n, v)
	case reflect.Map:
		return w.dictionary(n, v)
	case reflect.Slice:
		if !v.IsNil() {
			return w.list(n, v)
		}
	}
	return w.whole(v) // null, where an object was asked into
}

func (w *writer) whole(v reflect.Value) error {
	if !v.IsValid() {
		w.WriteString("null")
		return nil
	}
	text, err := json.Append(w.AvailableBuffer(), v.Interface(), json.SortMapKeys)
	if err != nil {
		return err
	}
	w.Write(text)
	return nil
}

func (w *writer) object(n *node, v reflect.Value) error {
	w.WriteByte('{')
	first := true
	for _, m := range membersOf(v.Type()) {
		below := n.members[m.name]
		member := v.Field(m.index)
		if below == nil || m.omitEmpty && isEmpty(member) {
			continue
		}
		if err := w.member(&first, m.name, below, member); err != nil {
			return err
		}
	}
	w.WriteByte('}')
	return nil
}

func (w *writer) member(first *bool, name string, below *node, v reflect.Value) error {
	if !*first {
		w.WriteByte(',')
	}
	*first = false
	w.WriteString(strconv.Quote(name) + ":") // names of the contract are plain
	return w.write(below, v)
}

func (w *writer) dictionary(n *node, v reflect.Value) error {
	w.WriteByte('{')
	first := true
	for _, name := range slices.Sorted(maps.Keys(n.members)) {
		if member := v.MapIndex(reflect.ValueOf(name)); member.IsValid() {
			if err := w.member(&first, name, n.members[name], member); err != nil {
				return err
			}
		}
	}
	w.WriteByte('}')
	return nil
}

// list keeps the length: an element of which nothing is asked is {}.
func (w *writer) list(n *node, v reflect.Value) error {
	w.WriteByte('[')
	for i := range v.Len() {
		if i > 0 {
			w.WriteByte(',')
		}
		below := n.items[strconv.Itoa(i)]
		if below == nil {
			below = n.items[every]
		}
		if below == nil {
			below = &node{}
			if kind := v.Type().Elem().Kind(); kind != reflect.Struct && kind != reflect.Pointer { // {} would be none of a list of texts
				below.whole = true
			}
		}
		if err := w.write(below, v.Index(i)); err != nil {
			return err
		}
	}
	w.WriteByte(']')
	return nil
}

// member is a field of a Go type as encoding/json writes it.
type member struct {
	name      string
	index     int
	omitEmpty bool
}

var memberTypes sync.Map // of member, by type: as many as the contract has schemas

func membersOf(of reflect.Type) []member {
	if known, ok := memberTypes.Load(of); ok {
		return known.([]member)
	}
	var all []member
	for i := range of.NumField() {
		name, options, _ := strings.Cut(of.Field(i).Tag.Get("json"), ",")
		all = append(all, member{name, i, options == "omitempty"})
	}
	memberTypes.Store(of, all)
	return all
}

// isEmpty is what encoding/json takes for empty.
func isEmpty(v reflect.Value) bool {
	switch v.Kind() {
	case reflect.Slice, reflect.Map, reflect.String, reflect.Array:
		return v.Len() == 0
	case reflect.Struct:
		return false
	default:
		return v.IsZero()
	}
}
