package service

import (
	"encoding/json"
	"errors"
	"slices"
	"strconv"
	"strings"

	"github.com/getkin/kin-openapi/openapi3"

	"snugtail/api"
	"snugtail/service/problem"
	"snugtail/service/strict"
)

// maxLeaves is how many faults are put into words before sorting and cutting
// to maxFields; a body can hold tens of thousands.
const maxLeaves = 4 * problem.MaxFields

// shape is what a request's body must be: the contract's schema, which alone
// decides, and a screen that lets most good bodies pass without asking it.
type shape struct {
	schema *openapi3.Schema
	screen *strict.Screen
	values int // that a body may hold; 0 sets no limit
}

// newShape makes a shape of a schema, with the screens made so far.
func newShape(schema *openapi3.Schema, made strict.Screens) *shape {
	return &shape{schema: schema, screen: made.Make(schema)}
}

// validate holds a body against the contract's schema and returns every bad
// field at once, with those that also finds in the rest.
func validate(body string, shape *shape, also func([]byte) []api.FieldError) error {
	if body == "" {
		return problem.BadJSON(strict.CodeNotJSON, "the body is empty; send a JSON object")
	}
	value, flaws, broken := strict.Parse(body, shape.values)
	if broken != nil {
		return unreadable(body, broken)
	}
	return judge(value, flaws, shape, also)
}

// unreadable is the 400 for a body that is no JSON.
func unreadable(body string, e *strict.NotJSON) error {
	return problem.BadJSON(e.Code, strict.Place(body, e.Offset)+": "+e.Reason)
}

// judge holds a value, and what was wrong already when it was read, against
// the contract's schema.
func judge(value any, flaws []strict.Flaw, shape *shape, also func([]byte) []api.FieldError) error {
	fields := wrongFields(value, shape)
	for _, each := range flaws {
		fields = append(fields, api.FieldError(each))
	}
	if len(fields) == 0 {
		return nil
	}
	return problem.BadFields(append(fields, wrongInRest(value, fields, also)...)...)
}

// wrongInRest takes the bad fields out of a request and looks at what is left:
// whoever wrote it should hear of everything at once.
func wrongInRest(value any, bad []api.FieldError, also func([]byte) []api.FieldError) []api.FieldError {
	told := make(map[string]bool, len(bad))
	for _, field := range bad {
		told[field.Pointer] = true
		if !without(value, field.Pointer) {
			return nil
		}
	}
	rest, err := json.Marshal(value)
	if err != nil {
		return nil
	}
	return slices.DeleteFunc(also(rest), func(field api.FieldError) bool {
		return field.Code == problem.CodeImpossible || told[field.Pointer]
	})
}

// without takes the member at a pointer out of a value; false where that
// cannot be done without moving others, as in an array.
func without(value any, pointer string) bool {
	path := strings.Split(strings.TrimPrefix(pointer, "#"), "/")[1:]
	for i, token := range path {
		switch at := value.(type) {
		case map[string]any:
			if i == len(path)-1 {
				delete(at, token)
				return true
			}
			value = at[token]
		case []any:
			index, err := strconv.Atoi(token)
			if err != nil || index >= len(at) || i == len(path)-1 {
				return false
			}
			value = at[index]
		default: // it is missing, or above something that was taken out
			return true
		}
	}
	return false
}

// wrongFields asks the schema what is wrong, unless the screen says that
// nothing is.
func wrongFields(value any, shape *shape) []api.FieldError {
	if shape.screen.Passes(value) {
		return nil
	}
	if err := shape.schema.VisitJSON(value, openapi3.MultiErrors()); err != nil {
		return appendLeaves(nil, err)
	}
	return nil
}

// appendLeaves walks kin-openapi's tree of errors down to those that say what
// is wrong with one value; the nodes above them only repeat it.
func appendLeaves(fields []api.FieldError, err error) []api.FieldError {
	if several, ok := err.(openapi3.MultiError); ok {
		for _, each := range several {
			if len(fields) >= maxLeaves {
				break
			}
			fields = appendLeaves(fields, each)
		}
		return fields
	}
	var leaf *openapi3.SchemaError
	if !errors.As(err, &leaf) {
		return append(fields, api.FieldError{Pointer: strict.Pointer(), Code: problem.CodeBadFormat, Detail: "the request is not as the contract says"})
	}
	if branches := branchErrors(leaf); branches != nil {
		return appendLeaves(fields, branches)
	}
	return append(fields, explain(leaf))
}

// branchErrors is what is wrong within the one branch that a discriminator
// chose, or within the parts of an allOf; nil for everything else.
func branchErrors(node *openapi3.SchemaError) error {
	chosen := node.SchemaField == "oneOf" && node.Schema.Discriminator != nil || node.SchemaField == "allOf"
	if !chosen || node.Origin == nil {
		return nil
	}
	for err := node.Origin; err != nil; err = errors.Unwrap(err) {
		if several, ok := err.(openapi3.MultiError); ok && len(several) > 0 {
			return several
		}
	}
	return nil
}
