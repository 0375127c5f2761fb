// Package site serves what is sent as it is: the contract in its two forms, the
// page to try it (docs), and the page for people at a counter (kiosk).
package site

import (
	"fmt"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/labstack/echo/v4"

	"snugtail/api"
	"snugtail/service/transfer"
)

// Contract is the OpenAPI document: as it is published, and as requests are checked by.
type Contract struct {
	yaml, json *transfer.File
	schemas    func() (schemas, error)
	Document   *openapi3.T // by which requests are checked
}

// EmbeddedContract is the contract of package api. Its JSON is made when it is
// first asked for, which shortens the start by a third.
func EmbeddedContract() (*Contract, error) {
	document, err := api.CheckedDocument()
	if err != nil {
		return nil, fmt.Errorf("reading its document: %w", err)
	}
	return NewContract(api.YAML(), api.JSON, document), nil
}

// NewContract is a contract in its three forms.
func NewContract(asYAML []byte, asJSON func() ([]byte, error), document *openapi3.T) *Contract {
	return &Contract{
		yaml:     transfer.NewFile("application/yaml", transfer.AskAgain, asYAML),
		json:     transfer.LateFile(transfer.JSON, transfer.AskAgain, asJSON),
		schemas:  schemasOf(asJSON),
		Document: document,
	}
}

// ServeYAML serves the document as it was written, ServeJSON as JSON.
func (k *Contract) ServeYAML(c echo.Context) error { return k.yaml.Serve(c) }

func (k *Contract) ServeJSON(c echo.Context) error { return k.json.Serve(c) }
