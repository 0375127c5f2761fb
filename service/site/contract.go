// Package site serves what is sent as it is: the contract in its two forms, the
// page to try it (docs), and the page for people at a counter (kiosk).
package site

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"net/http"
	"strings"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/labstack/echo/v4"

	"snugtail/api"
	"snugtail/service/transfer"
)

// Contract is the OpenAPI document in its three forms.
type Contract struct {
	yaml, json file
	Document   *openapi3.T
}

// file is something served as it is.
type file struct {
	media   string
	content []byte
	etag    string
}

func newFile(media string, content []byte) file {
	sum := sha256.Sum256(content)
	return file{media: media, content: content, etag: `"` + hex.EncodeToString(sum[:12]) + `"`}
}

// EmbeddedContract is the contract of package api.
func EmbeddedContract() (*Contract, error) {
	document, err := api.CheckedDocument()
	if err != nil {
		return nil, fmt.Errorf("reading its document: %w", err)
	}
	asJSON, err := api.JSON()
	if err != nil {
		return nil, fmt.Errorf("writing it as JSON: %w", err)
	}
	return NewContract(api.YAML(), asJSON, document), nil
}

// NewContract is a contract in its three forms.
func NewContract(asYAML, asJSON []byte, document *openapi3.T) *Contract {
	return &Contract{
		yaml:     newFile("application/yaml", asYAML),
		json:     newFile(transfer.JSON, asJSON),
		Document: document,
	}
}

// ServeYAML serves the document as it was written, serveJSON as JSON.
func (k *Contract) ServeYAML(c echo.Context) error { return k.yaml.serve(c) }

func (k *Contract) ServeJSON(c echo.Context) error { return k.json.serve(c) }

// serve sends the file, or says that the client's copy is still good.
func (f file) serve(c echo.Context) error {
	header := c.Response().Header()
	header.Set("ETag", f.etag)
	header.Set(echo.HeaderCacheControl, "no-cache") // ask again, with the ETag
	if strings.Contains(c.Request().Header.Get("If-None-Match"), f.etag) {
		return c.NoContent(http.StatusNotModified)
	}
	return transfer.Write(c, http.StatusOK, f.media, f.content)
}
