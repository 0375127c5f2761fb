// Package apitest helps tests to hold the service to its contract.
package apitest

import (
	"testing"

	"github.com/getkin/kin-openapi/openapi3"

	"snugtail/api"
)

// ClosedDocument returns the contract with its answers closed. Clients are
// told to expect further members; in tests a member that the contract does not
// name is a mistake.
func ClosedDocument(t testing.TB) *openapi3.T {
	t.Helper()
	document, err := api.Document()
	if err != nil {
		t.Fatal(err)
	}
	for _, ref := range document.Components.Schemas {
		schema := ref.Value
		if len(schema.Properties) > 0 && schema.AdditionalProperties.Has == nil {
			closed := false
			schema.AdditionalProperties.Has = &closed
		}
	}
	return document
}

// PartialDocument returns ClosedDocument without a word of what is required: so an
// answer of which only a part is asked for is as it says.
func PartialDocument(t testing.TB) *openapi3.T {
	t.Helper()
	document := ClosedDocument(t)
	for _, ref := range document.Components.Schemas {
		ref.Value.Required = nil
	}
	return document
}

// Document returns the contract in the form by which the service checks.
func Document(t testing.TB) *openapi3.T {
	t.Helper()
	document, err := api.CheckedDocument()
	if err != nil {
		t.Fatal(err)
	}
	return document
}

// SchemaOf returns what a body that is posted to a path must be.
func SchemaOf(document *openapi3.T, path string) *openapi3.Schema {
	return document.Paths.Value(path).Post.RequestBody.Value.Content.Get("application/json").Schema.Value
}
