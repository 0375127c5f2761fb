package api

import (
	"fmt"
	"slices"

	"github.com/getkin/kin-openapi/openapi3"
)

// CheckedDocument is Document in the form by which the service checks requests:
// each union of a text, a number and an object is one schema without type.
// Generators need the union; held against one schema, a value takes two thirds
// of the time, and what is wrong with it is known by keyword instead of as "none
// of three forms". Both take the same values, but for depths: that one takes `mm`
// or both boards only this form says.
func CheckedDocument() (*openapi3.T, error) {
	document, err := Document()
	if err != nil {
		return nil, err
	}
	for name, ref := range document.Components.Schemas {
		if !isUnion(ref.Value) {
			continue
		}
		if err := merge(ref.Value); err != nil {
			return nil, fmt.Errorf("making one schema of the forms of %s: %w", name, err)
		}
	}
	return document, nil
}

// isUnion is true for forms that are told apart by their JSON type.
func isUnion(s *openapi3.Schema) bool { return len(s.OneOf) > 0 && s.Discriminator == nil }

// merge makes one schema of the forms of a union, in place, so that all that
// refers to it sees it. Keywords for texts, numbers and objects don't meet:
// each says nothing of values of another type.
func merge(union *openapi3.Schema) error {
	var text, number, object *openapi3.Schema
	for _, form := range union.OneOf {
		switch s := form.Value; {
		case s.Type.Is(openapi3.TypeString):
			text = s
		case s.Type.Is(openapi3.TypeNumber):
			number = s
		case s.Type.Is(openapi3.TypeObject):
			object = s
		}
	}
	if len(union.OneOf) != 3 || text == nil || number == nil || object == nil {
		return fmt.Errorf("it has %d forms, not a text, a number and an object", len(union.OneOf))
	}
	union.OneOf = nil
	union.Pattern, union.MaxLength = text.Pattern, text.MaxLength
	union.Min, union.Max = number.Min, number.Max
	union.Properties, union.Required, union.AdditionalProperties = object.Properties, object.Required, object.AdditionalProperties
	union.Not = openapi3.NewSchemaRef("", &openapi3.Schema{AnyOf: noneOf(object)})
	return nil
}

// noneOf are the values that are in no form of a union. A boolean or an array is
// not; nor, where the object has one length or one for each board, are neither,
// one board only, and both with a length. An object with a member that is
// unknown is left to the schema itself, which names that member.
func noneOf(object *openapi3.Schema) openapi3.SchemaRefs {
	none := []*openapi3.Schema{openapi3.NewBoolSchema(), openapi3.NewArraySchema().WithItems(&openapi3.Schema{})}
	if object.Properties["pin_board"] != nil {
		both := closed([]string{"pin_board", "tail_board"}, "pin_board", "tail_board", "mm", "in", "text")
		both.MinProps = 3
		none = append(none,
			closed(nil, "in", "text"),
			closed([]string{"pin_board"}, "pin_board", "mm", "in", "text"),
			closed([]string{"tail_board"}, "tail_board", "mm", "in", "text"),
			both,
		)
	}
	refs := make(openapi3.SchemaRefs, len(none))
	for i, each := range none {
		refs[i] = openapi3.NewSchemaRef("", each)
	}
	return refs
}

// closed is an object with no members but these, which may be anything.
func closed(required []string, members ...string) *openapi3.Schema {
	s := openapi3.NewObjectSchema().WithoutAdditionalProperties()
	s.Required = slices.Clone(required)
	for _, name := range members {
		s.WithProperty(name, &openapi3.Schema{})
	}
	return s
}
