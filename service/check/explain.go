package check

import (
	"encoding/json"
	"fmt"
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

// explain tells what kin-openapi found, where it is, and what to do.
func explain(e *openapi3.SchemaError) problem.Field {
	path := e.JSONPointer()
	switch e.SchemaField {
	case "properties":
		return unknownField(path, e)
	case "discriminator":
		return unknownKind(path, e)
	}
	r := reasonOf(e)
	return problem.At(strict.Pointer(path...), r.code, r.state, r.params...)
}

// reason is a code, which of its sentences it is, and what that names.
type reason struct {
	code, state string
	params      []message.Param
}

func because(code, state string, params ...message.Param) reason { return reason{code, state, params} }

func reasonOf(e *openapi3.SchemaError) reason {
	if isLength(e.Schema) && aboutForm(e.SchemaField) {
		return noLength(e)
	}
	switch e.SchemaField {
	case "oneOf", "anyOf", "allOf":
		return because(problem.CodeBadFormat, "no_form")
	case "required":
		return because(problem.CodeMissing, "")
	case "type":
		return because(problem.CodeWrongType, "", typesOf(e.Schema), message.Word("given", "json_kind", kindOf(e.Value)))
	case "nullable":
		return because(problem.CodeWrongType, "null")
	case "enum":
		return noneOf(e.Value, enumOf(e.Schema))
	case "pattern", "format":
		return because(problem.CodeBadFormat, "form", described(e)...)
	}
	return boundOf(e)
}

// boundOf covers the keywords that set a limit to a size.
func boundOf(e *openapi3.SchemaError) reason {
	s := e.Schema
	count := func(n uint64) message.Param { return message.Count("count", int(n)) }
	switch e.SchemaField {
	case "minimum":
		return because(problem.CodeOutOfRange, "least", message.Number("least", *s.Min))
	case "maximum":
		return because(problem.CodeOutOfRange, "most", message.Number("most", *s.Max))
	case "exclusiveMinimum":
		return because(problem.CodeOutOfRange, "above", message.Number("least", *s.Min))
	case "minLength":
		return because(problem.CodeOutOfRange, "characters", count(s.MinLength))
	case "maxLength":
		return because(problem.CodeTooLong, "", count(*s.MaxLength))
	case "minItems":
		return because(problem.CodeOutOfRange, "items", count(s.MinItems))
	case "maxItems":
		return because(problem.CodeTooMany, "items", count(*s.MaxItems))
	}
	// A keyword that the contract does not use: kin-openapi's own words.
	return because(problem.CodeBadFormat, "", message.Name("reason", e.Reason))
}

// unknownField points at the member itself, where kin-openapi points at the
// object around it and names the member only in its reason.
func unknownField(path []string, e *openapi3.SchemaError) problem.Field {
	name := e.Reason
	if prefixed, ok := strings.CutPrefix(e.Reason, "property "); ok {
		if unquoted, err := strconv.Unquote(strings.TrimSuffix(prefixed, " is unsupported")); err == nil {
			name = unquoted
		}
	}
	known := slices.Sorted(maps.Keys(e.Schema.Properties))
	near := spelling.Nearest(name, known)
	if near != "" {
		known = nil
	}
	params := append(message.Given(message.Name("near", near), message.Names("known", known...)), message.Name("name", spelling.Brief(name)))
	return problem.At(strict.Pointer(append(path, name)...), problem.CodeUnknownField, "", params...)
}

// unknownKind points at the discriminator's member, missing or wrong.
func unknownKind(path []string, e *openapi3.SchemaError) problem.Field {
	kinds := slices.Sorted(maps.Keys(e.Schema.Discriminator.Mapping))
	r := noneOf(e.Value, kinds)
	if e.Value == nil && strings.Contains(e.Reason, "does not contain") {
		r = because(problem.CodeMissing, "one_of", message.Names("known", kinds...))
	}
	return problem.At(strict.Pointer(append(path, e.Schema.Discriminator.PropertyName)...), r.code, r.state, r.params...)
}

// noneOf is for a value that is none of those that are listed.
func noneOf(value any, known []string) reason {
	near := ""
	if text, ok := value.(string); ok {
		near = spelling.Nearest(text, known)
	}
	params := append(message.Given(message.Name("near", near)), given(value), message.Names("known", known...))
	return because(problem.CodeNotAllowed, "", params...)
}

func enumOf(s *openapi3.Schema) []string {
	allowed := make([]string, len(s.Enum))
	for i, value := range s.Enum {
		allowed[i] = fmt.Sprint(value)
	}
	return allowed
}

// isLength knows the schema of a length: it has no type, so that text, number
// and object are all taken, and a not, which refuses the rest.
func isLength(s *openapi3.Schema) bool { return s.Not != nil && s.Type == nil }

// aboutForm tells what a length looks like from how large it is.
func aboutForm(keyword string) bool {
	switch keyword {
	case "not", "pattern", "maxLength", "minLength", "nullable", "type":
		return true
	default:
		return false
	}
}

func noLength(e *openapi3.SchemaError) reason {
	is := message.Word("given", "json_kind", kindOf(e.Value))
	if _, isText := e.Value.(string); isText {
		is = given(e.Value)
	}
	examples := message.Names("examples", `"7/16 in"`, `"11.1 mm"`)
	if e.Schema.Properties["pin_board"] != nil { // a depth, which may differ between the boards
		return because(problem.CodeNotALength, "depth", is, examples)
	}
	return because(problem.CodeNotALength, "form", is, examples)
}

// described is a value and what the contract says of its field, where a keyword
// alone says little.
func described(e *openapi3.SchemaError) []message.Param {
	first, _, _ := strings.Cut(strings.TrimSpace(e.Schema.Description), "\n")
	return append(message.Given(message.Name("described", first)), given(e.Value))
}

// kindOf is the code of what kind of JSON a value is.
func kindOf(value any) string {
	switch value.(type) {
	case nil:
		return "null"
	case bool:
		return openapi3.TypeBoolean
	case float64:
		return openapi3.TypeNumber
	case string:
		return openapi3.TypeString
	case []any:
		return openapi3.TypeArray
	default:
		return openapi3.TypeObject
	}
}

// typesOf are JSON's types that a schema takes.
func typesOf(s *openapi3.Schema) message.Param {
	types := s.Type.Slice()
	all := make([]message.Message, len(types))
	for i, name := range types {
		all[i] = message.New("json_kind." + name)
	}
	return message.List("wanted", all...)
}

// given shows a value as JSON, short, or tells its kind.
func given(value any) message.Param {
	switch value := value.(type) {
	case string:
		return message.Name("given", strconv.Quote(spelling.Brief(value)))
	case float64, bool:
		if text, err := json.Marshal(value); err == nil {
			return message.Name("given", string(text))
		}
	}
	return message.Word("given", "json_kind", kindOf(value))
}
