// Package fields sends of an answer only what a client asks for: pointers into
// it (RFC 6901) are read against the contract's schema of the answer
// (fields.go), and what they point at is written (write.go).
package fields

import (
	"context"
	"maps"
	"slices"
	"strconv"
	"strings"

	"github.com/getkin/kin-openapi/openapi3"

	"snugtail/service/message"
	"snugtail/service/problem"
	"snugtail/service/spelling"
	"snugtail/service/strict"
)

// Most is how many pointers one answer may be asked for by.
const Most = 32

// every stands for all elements of an array.
const every = "*"

// Selection is what a client asks for of an answer. nil asks for all of it.
type Selection struct {
	root    node
	members map[string]bool
}

// node is a place in an answer, with what is asked for below it.
type node struct {
	whole   bool             // all of it
	members map[string]*node // of an object
	items   map[string]*node // of an array: by index, or every
}

// Parse reads pointers into answers of a schema. What is wrong with them is told
// in one field error at the root: they are no part of the body.
func Parse(pointers []string, schema *openapi3.Schema) (*Selection, error) {
	if len(pointers) == 0 {
		return nil, bad(problem.CodeMissing)
	}
	if len(pointers) > Most {
		return nil, bad(problem.CodeTooMany, message.Count("most", Most))
	}
	s := &Selection{members: map[string]bool{}}
	var wrong []message.Message
	for _, pointer := range pointers {
		if reason := s.add(pointer, schema); reason.Says() {
			wrong = append(wrong, reason)
		}
	}
	if len(wrong) > 0 {
		return nil, bad(problem.CodeUnknownField, message.List("wrong", wrong...))
	}
	s.root.settle()
	return s, nil
}

func bad(code string, params ...message.Param) error {
	return problem.BadFields(problem.At(strict.Pointer(), code, "fields", params...))
}

// add follows one pointer, and says what is wrong with it.
func (s *Selection) add(pointer string, schema *openapi3.Schema) (wrong message.Message) {
	shown := message.New("pointer_wrong", message.Name("pointer", spelling.Brief(pointer)))
	rest, ok := strings.CutPrefix(pointer, "/")
	if !ok {
		return shown.As("no_slash")
	}
	at := &s.root
	for token := range strings.SplitSeq(rest, "/") {
		token = unescape.Replace(token)
		below, isItem, known := below(schema, token)
		if below == nil {
			return instead(shown, token, known)
		}
		if isItem {
			at = child(&at.items, token)
		} else {
			at = child(&at.members, token)
			s.members[token] = true
		}
		schema = below
	}
	at.whole = true
	s.gather(schema, map[*openapi3.Schema]bool{})
	return message.Message{}
}

var unescape = strings.NewReplacer("~1", "/", "~0", "~")

func child(of *map[string]*node, name string) *node {
	if *of == nil {
		*of = map[string]*node{}
	}
	if (*of)[name] == nil {
		(*of)[name] = &node{}
	}
	return (*of)[name]
}

// below is the schema of a member or an element; nil where there is none, and
// then what there is. Below what may be of several types nothing is known.
func below(schema *openapi3.Schema, token string) (found *openapi3.Schema, isItem bool, known []string) {
	switch {
	case schema.Type.Is(openapi3.TypeArray):
		if token == every || isIndex(token) {
			return schema.Items.Value, true, nil
		}
		return nil, true, []string{every}
	case schema.Discriminator != nil:
		for _, kind := range schema.OneOf {
			below, _, names := below(kind.Value, token)
			if below != nil {
				return below, false, nil
			}
			known = append(known, names...)
		}
		return nil, false, known
	case schema.Type.Is(openapi3.TypeObject):
		if member := schema.Properties[token]; member != nil {
			return member.Value, false, nil
		}
		return nil, false, slices.Collect(maps.Keys(schema.Properties))
	}
	return nil, false, nil
}

// isIndex: a number without leading zeros, of a list that an answer may have.
func isIndex(token string) bool {
	n, err := strconv.Atoi(token)
	return err == nil && n >= 0 && strconv.Itoa(n) == token
}

// instead says of a pointer that is not in the answer what is there.
func instead(shown message.Message, token string, known []string) message.Message {
	switch near := spelling.Nearest(token, known); {
	case len(known) == 0:
		return shown.As("nothing_below")
	case slices.Equal(known, []string{every}):
		return shown.With(message.Count("first", 0), message.Name("every", every)).As("list")
	case near != "":
		return shown.With(message.Name("name", spelling.Brief(token)), message.Name("near", near)).As("near")
	}
	slices.Sort(known)
	return shown.With(message.Name("name", spelling.Brief(token)), message.Names("known", slices.Compact(known)...)).As("unknown")
}

// gather notes the names of all that is asked for with a whole.
func (s *Selection) gather(schema *openapi3.Schema, seen map[*openapi3.Schema]bool) {
	if seen[schema] {
		return
	}
	seen[schema] = true
	if schema.Items != nil {
		s.gather(schema.Items.Value, seen)
	}
	for _, kind := range schema.OneOf {
		s.gather(kind.Value, seen)
	}
	for name, member := range schema.Properties {
		s.members[name] = true
		s.gather(member.Value, seen)
	}
}

// settle gives elements that are asked for by number what is asked for of all.
func (n *node) settle() {
	if all := n.items[every]; all != nil {
		for index, item := range n.items {
			if index != every {
				item.join(all)
			}
		}
	}
	for _, below := range n.members {
		below.settle()
	}
	for _, below := range n.items {
		below.settle()
	}
}

func (n *node) join(other *node) {
	n.whole = n.whole || other.whole
	for name, below := range other.members {
		child(&n.members, name).join(below)
	}
	for index, below := range other.items {
		child(&n.items, index).join(below)
	}
}

// Members are the names of all members that are asked for, at any depth; nil
// asks for all. What has none of them need not be put into words.
func (s *Selection) Members() map[string]bool {
	if s == nil {
		return nil
	}
	return s.members
}

type key struct{}

// With is a context in which a selection is asked for.
func With(ctx context.Context, s *Selection) context.Context {
	return context.WithValue(ctx, key{}, s)
}

// From is the selection that is asked for in a context, or nil.
func From(ctx context.Context) *Selection {
	s, _ := ctx.Value(key{}).(*Selection)
	return s
}
