package service

import (
	"context"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/labstack/echo/v4"

	"snugtail/service/fields"
	"snugtail/service/message"
	"snugtail/service/problem"
	"snugtail/service/spelling"
	"snugtail/service/strict"
	"snugtail/service/transfer"
)

// fieldsParameter is the query parameter that says which parts of an answer are
// wanted.
const fieldsParameter = "fields"

// parameters holds the query of a request under /v1 against the parameters that
// its operation takes. One that is passed over may be one that was meant: lengths
// would be in other units than their sender thinks.
func (s *Service) parameters(op operation, next echo.HandlerFunc) echo.HandlerFunc {
	item := s.contract.Document.Paths.Value(op.path)
	if item == nil || !strings.HasPrefix(op.path, "/v1") {
		return next
	}
	known := queryParameters(item.GetOperation(op.method))
	body := bodyMembers(item.GetOperation(op.method))
	schema := answerSchema(item.GetOperation(op.method))
	return func(c echo.Context) error {
		request := c.Request()
		if request.URL.RawQuery == "" {
			return next(c)
		}
		query, err := url.ParseQuery(request.URL.RawQuery)
		if err != nil {
			return problem.New(http.StatusBadRequest, problem.Detail("query_unreadable"))
		}
		if err := unknownParameters(query, known, body); err != nil {
			return err
		}
		asked, err := fields.Parse(pointersIn(query[fieldsParameter]), schema)
		if err != nil {
			return err
		}
		c.SetRequest(request.WithContext(fields.With(request.Context(), asked)))
		return next(c)
	}
}

func queryParameters(op *openapi3.Operation) (names []string) {
	for _, parameter := range op.Parameters {
		if parameter.Value.In == openapi3.ParameterInQuery {
			names = append(names, parameter.Value.Name)
		}
	}
	return names
}

// bodyMembers are the members of the operation's request.
func bodyMembers(op *openapi3.Operation) openapi3.Schemas {
	if op.RequestBody == nil {
		return nil
	}
	return op.RequestBody.Value.Content.Get(transfer.JSON).Schema.Value.Properties
}

// answerSchema is that of the answer as JSON; nil where there is none.
func answerSchema(op *openapi3.Operation) *openapi3.Schema {
	answer := op.Responses.Status(http.StatusOK)
	if answer == nil || answer.Value.Content.Get(transfer.JSON) == nil || answer.Value.Content.Get(transfer.JSON).Schema == nil {
		return nil
	}
	return answer.Value.Content.Get(transfer.JSON).Schema.Value
}

// unknownParameters tells of all that the operation does not take, in one error:
// they stand at one place, which is not in the body.
func unknownParameters(query url.Values, known []string, body openapi3.Schemas) error {
	var wrong []message.Message
	for _, name := range slices.Sorted(maps.Keys(query)) {
		if !slices.Contains(known, name) {
			wrong = append(wrong, unknownParameter(name, known, body))
		}
	}
	if len(wrong) == 0 {
		return nil
	}
	return problem.BadFields(problem.At(strict.Pointer(), problem.CodeUnknownParameter, "", message.List("wrong", wrong...)))
}

// unknownParameter says where a parameter belongs, or which one may be meant.
func unknownParameter(name string, known []string, body openapi3.Schemas) message.Message {
	m := message.New("parameter_wrong", message.Name("name", spelling.Brief(name)))
	switch near := spelling.Nearest(name, known); {
	case body[name] != nil:
		return m.As("in_body")
	case name == fieldsParameter && body["items"] != nil:
		return m.As("of_items")
	case near != "":
		return m.With(message.Name("near", near)).As("near")
	case len(known) > 0:
		return m.With(message.Names("known", known...)).As("unknown")
	}
	return m.As("none")
}

// pointersIn are the pointers of a parameter that may be given more than once,
// each time with several between commas.
func pointersIn(values []string) (pointers []string) {
	for _, value := range values {
		for pointer := range strings.SplitSeq(value, ",") {
			if pointer = strings.TrimSpace(pointer); pointer != "" {
				pointers = append(pointers, pointer)
			}
		}
	}
	return pointers
}

// fieldsFit refuses parts of an answer in a form that has no members.
func fieldsFit(ctx context.Context, media string) error {
	if media == transfer.JSON || fields.From(ctx) == nil {
		return nil
	}
	return problem.BadFields(problem.At(strict.Pointer(), problem.CodeConflict, "fields", message.Name("media", media)))
}
