package site

import (
	"encoding/json"
	"fmt"
	"maps"
	"net/http"
	"path"
	"slices"
	"strings"
	"sync"

	"github.com/labstack/echo/v4"

	"snugtail/service/message"
	"snugtail/service/problem"
	"snugtail/service/spelling"
	"snugtail/service/transfer"
)

// SchemaPath is where the JSON Schema of an operation's request is, and
// schemaParam what the router calls the part of it that is asked for.
const (
	SchemaPath  = "/v1/schemas/{operation}.json"
	schemaParam = "operation.json"
)

// schemas are the JSON Schemas (2020-12) of all requests, by operation: the last
// part of its path.
type schemas map[string]*transfer.File

// ServeSchema serves the JSON Schema of an operation's request.
func (k *Contract) ServeSchema(c echo.Context) error {
	all, err := k.schemas()
	if err != nil {
		return err
	}
	name, isJSON := strings.CutSuffix(c.Param(schemaParam), ".json")
	if file, ok := all[name]; ok && isJSON {
		return file.Serve(c)
	}
	known := slices.Sorted(maps.Keys(all))
	near := spelling.Nearest(name, known)
	if near != "" {
		near = strings.ReplaceAll(SchemaPath, "{operation}", near)
	}
	return problem.New(http.StatusNotFound, problem.Detail("no_schema", message.Names("known", known...)).With(message.Given(message.Name("near", near))...))
}

// schemasOf makes them of the contract as it is published.
func schemasOf(published func() ([]byte, error)) func() (schemas, error) {
	return sync.OnceValues(func() (schemas, error) {
		text, err := published()
		if err != nil {
			return nil, err
		}
		var contract struct {
			Paths map[string]struct {
				Post *struct {
					Summary     string
					RequestBody struct {
						Content map[string]struct{ Schema map[string]any }
					}
				}
			}
			Components struct{ Schemas map[string]map[string]any }
		}
		if err := json.Unmarshal(text, &contract); err != nil {
			return nil, fmt.Errorf("reading the contract for its schemas: %w", err)
		}
		all := schemas{}
		for at, item := range contract.Paths {
			if item.Post == nil {
				continue
			}
			m := schemaMaker{of: contract.Components.Schemas, defs: map[string]any{}}
			name := path.Base(at)
			file, err := m.file(name, item.Post.Summary, item.Post.RequestBody.Content[transfer.JSON].Schema)
			if err != nil {
				return nil, fmt.Errorf("making the JSON Schema of %s: %w", at, err)
			}
			all[name] = file
		}
		return all, nil
	})
}

// schemaMaker rewrites schemas of OpenAPI 3.0 as JSON Schema, and gathers those
// that they refer to.
type schemaMaker struct {
	of   map[string]map[string]any
	defs map[string]any
}

func (m *schemaMaker) file(name, summary string, schema map[string]any) (*transfer.File, error) {
	root := m.schema(schema)
	root["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	root["$id"] = "urn:snugtail:schema:" + name
	root["title"] = summary
	root["$defs"] = m.defs
	text, err := json.Marshal(root)
	if err != nil {
		return nil, err
	}
	return transfer.NewFile("application/schema+json", transfer.ForAnHour, append(text, '\n')), nil
}

func (m *schemaMaker) schema(from map[string]any) map[string]any {
	out := map[string]any{}
	for keyword, value := range from {
		switch keyword {
		case "discriminator", "example", "externalDocs", "xml", "nullable": // an annotation, or no member of a request
		case "$ref":
			out["$ref"] = m.ref(value.(string))
		case "properties":
			out[keyword] = m.properties(value.(map[string]any))
		case "oneOf", "anyOf", "allOf":
			out[keyword] = m.several(value.([]any))
		case "items", "not", "additionalProperties":
			out[keyword] = m.maybe(value)
		default:
			out[keyword] = value
		}
	}
	for exclusive, bound := range map[string]string{"exclusiveMinimum": "minimum", "exclusiveMaximum": "maximum"} {
		if is, ok := out[exclusive].(bool); ok { // 3.0 marks the bound, JSON Schema gives it
			delete(out, exclusive)
			if is {
				out[exclusive] = out[bound]
				delete(out, bound)
			}
		}
	}
	return out
}

// ref notes what is referred to among the definitions, once.
func (m *schemaMaker) ref(to string) string {
	name := path.Base(to)
	if _, known := m.defs[name]; !known {
		m.defs[name] = nil // while it is made
		m.defs[name] = m.schema(m.of[name])
	}
	return "#/$defs/" + name
}

func (m *schemaMaker) properties(from map[string]any) map[string]any {
	out := make(map[string]any, len(from))
	for name, schema := range from {
		out[name] = m.maybe(schema)
	}
	return out
}

func (m *schemaMaker) several(from []any) []any {
	out := make([]any, len(from))
	for i, schema := range from {
		out[i] = m.maybe(schema)
	}
	return out
}

// maybe is for what may be a schema, or true or false.
func (m *schemaMaker) maybe(value any) any {
	if schema, ok := value.(map[string]any); ok {
		return m.schema(schema)
	}
	return value
}
