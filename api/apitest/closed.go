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
