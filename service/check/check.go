// Package check holds what is posted against the contract, and reads it.
//
// Its shape is what package strict prechecks, and what kin-openapi judges where
// the precheck is not sure; explain.go says why. Only then it is read into a Go
// type.
package check

import (
	"encoding/json"
	"errors"
	"slices"
	"strconv"
	"strings"

	"github.com/getkin/kin-openapi/openapi3"
	fast "github.com/segmentio/encoding/json"

	"snugtail/joint/length"
	"snugtail/service/message"
	"snugtail/service/problem"
	"snugtail/service/spelling"
	"snugtail/service/strict"
)

// maxLeaves is how many faults are told of before sorting and cutting
// to maxFields; a body can hold tens of thousands.
const maxLeaves = 4 * problem.MaxFields

// Shape is what a request's body must be: the contract's schema, which alone
// decides, and a precheck that lets most good bodies pass without asking it.
type Shape struct {
	schema   *openapi3.Schema
	precheck *strict.Precheck
	values   int // that a body may hold; 0 sets no limit
}

// New makes the shape of what is posted to a path, with the prechecks made
// so far. It is done once, at the start; a verdict then needs no routing.
func New(document *openapi3.T, path string, made strict.Prechecks, values int) (*Shape, error) {
	schema, err := requestSchema(document, path)
	if err != nil {
		return nil, err
	}
	return Of(schema, made, values), nil
}

// Of makes the shape of what a schema describes.
func Of(schema *openapi3.Schema, made strict.Prechecks, values int) *Shape {
	return &Shape{schema: schema, precheck: made.Make(schema), values: values}
}

// Items is the shape of each item of an array that is a member.
func (s *Shape) Items(member string, values int) *Shape {
	return Of(s.schema.Properties[member].Value.Items.Value, strict.Prechecks{}, values)
}

// Named makes the shape of what is of a schema of the contract, whoever sends it.
func Named(document *openapi3.T, schema string, values int) (*Shape, error) {
	ref := document.Components.Schemas[schema]
	if ref == nil {
		return nil, errors.New("the contract has no such schema")
	}
	return Of(ref.Value, strict.Prechecks{}, values), nil
}

// requestSchema looks up what is posted to a path.
func requestSchema(document *openapi3.T, path string) (*openapi3.Schema, error) {
	item := document.Paths.Value(path)
	if item == nil || item.Post == nil {
		return nil, errors.New("the contract has no such operation")
	}
	if item.Post.RequestBody == nil || item.Post.RequestBody.Value == nil {
		return nil, errors.New("the contract gives it no request body")
	}
	media := item.Post.RequestBody.Value.Content.Get("application/json")
	if media == nil || media.Schema == nil || media.Schema.Value == nil {
		return nil, errors.New("the contract gives its body no JSON schema")
	}
	return media.Schema.Value, nil
}

// More finds what else is wrong with what is left of a body that the contract
// refuses, and the unit of its lengths.
type More func(rest []byte) ([]problem.Field, length.Unit)

// Decode holds a body against the contract and reads it into question.
func (s *Shape) Decode(body string, question any, also More) error {
	value, err := s.Value(body, strict.Skim{}, also)
	if err != nil {
		return err
	}
	return decodeTyped(body, value, question)
}

// Value is what a body holds that is as the contract says, but for what skim
// passes over.
func (s *Shape) Value(body string, skim strict.Skim, also More) (any, error) {
	if body == "" {
		return nil, problem.BadJSON(strict.CodeNotJSON, "empty")
	}
	value, flaws, broken := strict.Parse(body, s.values, skim)
	if broken != nil {
		return nil, NotJSON(body, broken)
	}
	return value, s.judge(value, flaws, also)
}

// judge holds a value, and what was wrong already when it was read, against
// the contract's schema.
func (s *Shape) judge(value any, flaws []strict.Flaw, also More) error {
	fields := append(s.WrongFields(value), Flaws(flaws)...)
	if len(fields) == 0 {
		return nil
	}
	rest, unit := wrongInRest(value, fields, also)
	return problem.BadFields(append(fields, rest...)...).InUnit(unit)
}

// Flaws are what was wrong already when a text was read.
func Flaws(flaws []strict.Flaw) []problem.Field {
	fields := make([]problem.Field, len(flaws))
	for i, flaw := range flaws {
		fields[i] = problem.At(flaw.Pointer, flaw.Code, flaw.State)
		if flaw.Name != "" {
			fields[i].Detail = fields[i].Detail.With(message.Name("name", spelling.Brief(flaw.Name)))
		}
	}
	return fields
}

// NotJSON says where and why a text stops being JSON.
func NotJSON(body string, e *strict.NotJSON) *problem.Fault {
	line, column := strict.Place(body, e.Offset)
	params := []message.Param{message.Count("line", line), message.Count("column", column)}
	if e.Found != "" {
		params = append(params, message.Name("found", e.Found))
	}
	if e.Expected != "" {
		params = append(params, message.Word("expected", "json_expected", e.Expected))
	}
	if e.State == "not_utf" || e.State == "byte_order_mark" {
		params = append(params, message.Name("encoding", "UTF-8"))
	}
	if e.Most > 0 {
		params = append(params, message.Count("most", e.Most))
	}
	return problem.BadJSON(e.Code, e.State, params...)
}

// wrongInRest takes the bad fields out of a request and looks at what is left:
// whoever wrote it should hear of everything at once.
func wrongInRest(value any, bad []problem.Field, also More) ([]problem.Field, length.Unit) {
	if also == nil {
		return nil, length.UnitMillimetre
	}
	told := make(map[string]bool, len(bad))
	for _, field := range bad {
		told[field.Pointer] = true
		if !without(value, field.Pointer) {
			return nil, length.UnitMillimetre
		}
	}
	rest, err := json.Marshal(value)
	if err != nil {
		return nil, length.UnitMillimetre
	}
	fields, unit := also(rest)
	return slices.DeleteFunc(fields, func(field problem.Field) bool {
		return field.Code == problem.CodeImpossible || told[field.Pointer]
	}), unit
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

// WrongFields asks the schema what is wrong, unless the precheck says that
// nothing is.
func (s *Shape) WrongFields(value any) []problem.Field {
	if s.precheck.Passes(value) {
		return nil
	}
	if err := s.schema.VisitJSON(value, openapi3.MultiErrors()); err != nil {
		return appendLeaves(nil, err)
	}
	return nil
}

// appendLeaves walks kin-openapi's tree of errors down to those that say what
// is wrong with one value; the nodes above them only repeat it.
func appendLeaves(fields []problem.Field, err error) []problem.Field {
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
		return append(fields, problem.At(strict.Pointer(), problem.CodeBadFormat, "", message.Name("reason", err.Error())))
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

// decodeTyped reads a body that the contract takes into a Go type. What that does
// not take as it was written, such as the whole number 12.0 or 1e1, it takes as its
// value is written plainly.
func decodeTyped(body string, value, question any) error {
	if fast.Unmarshal([]byte(body), question) == nil {
		return nil
	}
	plain, err := json.Marshal(value)
	if err == nil {
		err = json.Unmarshal(plain, question)
	}
	if err != nil { // the contract promises more than the type takes
		return problem.BadFields(problem.At(strict.Pointer(), problem.CodeWrongType, "unread"))
	}
	return nil
}
