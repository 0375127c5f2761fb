package check

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"github.com/getkin/kin-openapi/openapi3"

	"snugtail/api"
	"snugtail/service/problem"
	"snugtail/service/spelling"
	"snugtail/service/strict"
)

// explain says in words what kin-openapi found, where it is, and what to do.
func explain(e *openapi3.SchemaError) api.FieldError {
	path := e.JSONPointer()
	switch e.SchemaField {
	case "properties":
		return unknownField(path, e)
	case "discriminator":
		return unknownKind(path, e)
	case "oneOf", "anyOf", "allOf":
		return fieldError(path, problem.CodeBadFormat, "this matches none of the forms that the contract allows")
	}
	if isLength(e.Schema) && aboutForm(e.SchemaField) {
		return fieldError(path, problem.CodeNotALength, lengthReason(e))
	}
	code, detail := plainReason(e)
	return fieldError(path, code, detail)
}

func fieldError(path []string, code, detail string) api.FieldError {
	return api.FieldError{Pointer: strict.Pointer(path...), Code: code, Detail: detail}
}

// plainReason covers the keywords that need no look at the schema around.
func plainReason(e *openapi3.SchemaError) (code, detail string) {
	switch e.SchemaField {
	case "required":
		return problem.CodeMissing, "required"
	case "type":
		return problem.CodeWrongType, "this must be " + article(e.Schema.Type.Slice()) + ", not " + kindOf(e.Value)
	case "nullable":
		return problem.CodeWrongType, "null is not allowed here; leave the member out"
	case "enum":
		return problem.CodeNotAllowed, enumReason(e)
	case "pattern", "format":
		return problem.CodeBadFormat, quoted(e.Value) + " is not in the form that is asked here" + described(e.Schema)
	case "not":
		return problem.CodeBadFormat, quoted(e.Value) + " is not taken here" + described(e.Schema)
	default:
		return boundReason(e)
	}
}

// boundReason covers the keywords that set a limit to a size.
func boundReason(e *openapi3.SchemaError) (code, detail string) {
	s := e.Schema
	switch e.SchemaField {
	case "minimum":
		return problem.CodeOutOfRange, "this must be at least " + boundText(s.Min)
	case "maximum":
		return problem.CodeOutOfRange, "this must be at most " + boundText(s.Max)
	case "exclusiveMinimum":
		return problem.CodeOutOfRange, "this must be above " + boundText(s.Min)
	case "exclusiveMaximum":
		return problem.CodeOutOfRange, "this must be below " + boundText(s.Max)
	case "minLength":
		return problem.CodeOutOfRange, fmt.Sprintf("this must have at least %s", spelling.Plural(int(s.MinLength), "character"))
	case "maxLength":
		return problem.CodeTooLong, fmt.Sprintf("this must have at most %s", spelling.Plural(int(*s.MaxLength), "character"))
	case "minItems":
		return problem.CodeOutOfRange, fmt.Sprintf("this must have at least %s", spelling.Plural(int(s.MinItems), "item"))
	case "maxItems":
		return problem.CodeTooMany, fmt.Sprintf("this must have at most %s", spelling.Plural(int(*s.MaxItems), "item"))
	case "minProperties":
		return problem.CodeOutOfRange, fmt.Sprintf("this must have at least %s", spelling.Plural(int(s.MinProps), "member"))
	case "maxProperties":
		return problem.CodeTooMany, fmt.Sprintf("this must have at most %s", spelling.Plural(int(*s.MaxProps), "member"))
	case "uniqueItems":
		return problem.CodeNotAllowed, "an item stands here twice"
	default:
		return problem.CodeBadFormat, e.Reason
	}
}

// unknownField points at the member itself, where kin-openapi points at the
// object around it and names the member only in its reason.
func unknownField(path []string, e *openapi3.SchemaError) api.FieldError {
	name := e.Reason
	if prefixed, ok := strings.CutPrefix(e.Reason, "property "); ok {
		if unquoted, err := strconv.Unquote(strings.TrimSuffix(prefixed, " is unsupported")); err == nil {
			name = unquoted
		}
	}
	known := slices.Sorted(maps.Keys(e.Schema.Properties))
	detail := "`" + spelling.Brief(name) + "` is not known here"
	if near := spelling.Nearest(name, known); near != "" {
		detail += "; did you mean `" + near + "`?"
	} else if len(known) > 0 {
		detail += "; known are " + strings.Join(known, ", ")
	}
	return fieldError(append(path, name), problem.CodeUnknownField, detail)
}

// unknownKind points at the discriminator's member, missing or wrong.
func unknownKind(path []string, e *openapi3.SchemaError) api.FieldError {
	name := e.Schema.Discriminator.PropertyName
	kinds := slices.Sorted(maps.Keys(e.Schema.Discriminator.Mapping))
	allowed := strings.Join(kinds, ", ")
	if e.Value == nil && strings.Contains(e.Reason, "does not contain") {
		return fieldError(append(path, name), problem.CodeMissing, "required: one of "+allowed)
	}
	detail := quoted(e.Value) + " is none of " + allowed
	if text, ok := e.Value.(string); ok {
		detail += didYouMean(text, kinds)
	}
	return fieldError(append(path, name), problem.CodeNotAllowed, detail)
}

func enumReason(e *openapi3.SchemaError) string {
	allowed := make([]string, len(e.Schema.Enum))
	for i, value := range e.Schema.Enum {
		allowed[i] = fmt.Sprint(value)
	}
	detail := quoted(e.Value) + " is none of " + strings.Join(allowed, ", ")
	if text, ok := e.Value.(string); ok {
		detail += didYouMean(text, allowed)
	}
	return detail
}

func didYouMean(name string, known []string) string {
	if near := spelling.Nearest(name, known); near != "" {
		return "; did you mean `" + near + "`?"
	}
	return ""
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

func lengthReason(e *openapi3.SchemaError) string {
	given := kindOf(e.Value)
	if _, isText := e.Value.(string); isText {
		given = quoted(e.Value)
	}
	const length = `a text such as "7/16 in" or "11.1 mm", a number, or a length object`
	if e.Schema.Properties["pin_board"] != nil { // a depth, which may differ between the boards
		return given + " is no depth: a depth is " + length + `, or one for each board, {"pin_board": ..., "tail_board": ...}`
	}
	return given + " is not a length: a length is " + length
}

// described adds what the contract says of a field, where a keyword alone says little.
func described(s *openapi3.Schema) string {
	first, _, _ := strings.Cut(strings.TrimSpace(s.Description), "\n")
	if first == "" {
		return ""
	}
	return ": " + first
}

func kindOf(value any) string {
	switch value.(type) {
	case nil:
		return "null"
	case bool:
		return "a boolean"
	case float64:
		return "a number"
	case string:
		return "a text"
	case []any:
		return "an array"
	default:
		return "an object"
	}
}

// article names JSON's types as kindOf does.
func article(types []string) string {
	names := make([]string, len(types))
	for i, name := range types {
		switch name {
		case openapi3.TypeString:
			names[i] = "a text"
		case openapi3.TypeInteger, openapi3.TypeArray, openapi3.TypeObject:
			names[i] = "an " + name
		default:
			names[i] = "a " + name
		}
	}
	return strings.Join(names, " or ")
}

// quoted shows a value as JSON, short.
func quoted(value any) string {
	switch value := value.(type) {
	case string:
		return strconv.Quote(spelling.Brief(value))
	case float64, bool:
		text, err := json.Marshal(value)
		if err != nil {
			return kindOf(value)
		}
		return string(text)
	default:
		return kindOf(value)
	}
}

func boundText(bound *float64) string {
	if bound == nil {
		return "the contract's limit"
	}
	return strconv.FormatFloat(*bound, 'f', -1, 64)
}
