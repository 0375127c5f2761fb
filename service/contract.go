package service

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

// contract is the OpenAPI document in its three forms.
type contract struct {
	yaml, json file
	document   *openapi3.T
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

func embeddedContract() (*contract, error) {
	document, err := api.Document()
	if err != nil {
		return nil, fmt.Errorf("reading its document: %w", err)
	}
	asJSON, err := api.JSON()
	if err != nil {
		return nil, fmt.Errorf("writing it as JSON: %w", err)
	}
	return newContract(api.YAML(), asJSON, document), nil
}

func newContract(asYAML, asJSON []byte, document *openapi3.T) *contract {
	return &contract{
		yaml:     newFile("application/yaml", asYAML),
		json:     newFile(transfer.JSON, asJSON),
		document: document,
	}
}

func serveContractYAML(s *Service, c echo.Context) error { return s.contract.yaml.serve(c) }

func serveContractJSON(s *Service, c echo.Context) error { return s.contract.json.serve(c) }

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
