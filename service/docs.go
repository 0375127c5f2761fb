package service

import (
	"bytes"
	"compress/gzip"
	_ "embed"
	"fmt"
	"io"

	"github.com/labstack/echo/v4"
	"github.com/swaggest/swgui/v5/static"
)

// The page is ours, so that nothing in it is inline and its policy can be
// strict; only the viewer's script and style come from swgui, embedded.
var (
	//go:embed docs/index.html
	docsPage []byte
	//go:embed docs/start.js
	docsStart []byte
	//go:embed docs/style.css
	docsStyle []byte
)

// docsPolicy lets the page load from this origin and nowhere else. Images may
// be data: for the viewer's icons stand in its style sheet.
const docsPolicy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; " +
	"connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// docs is the page and the files it loads, by name.
type docs struct {
	page   file
	assets map[string]docsAsset
}

// docsAsset is a file that may also be had as gzip.
type docsAsset struct {
	plain file
	zip   file // zero where the plain file is as small
}

func loadDocs() (*docs, error) {
	d := &docs{page: newFile("text/html; charset=utf-8", docsPage), assets: map[string]docsAsset{}}
	d.assets["start.js"] = docsAsset{plain: newFile("text/javascript; charset=utf-8", docsStart)}
	d.assets["style.css"] = docsAsset{plain: newFile("text/css; charset=utf-8", docsStyle)}
	for name, media := range map[string]string{
		"swagger-ui.css":       "text/css; charset=utf-8",
		"swagger-ui-bundle.js": "text/javascript; charset=utf-8",
	} {
		a, err := unzipped(name, media)
		if err != nil {
			return nil, fmt.Errorf("loading %s for the page /docs: %w", name, err)
		}
		d.assets[name] = a
	}
	return d, nil
}

func unzipped(name, media string) (docsAsset, error) {
	zipped, err := static.FS.ReadFile(name + ".gz")
	if err != nil {
		return docsAsset{}, err
	}
	reader, err := gzip.NewReader(bytes.NewReader(zipped))
	if err != nil {
		return docsAsset{}, err
	}
	plain, err := io.ReadAll(reader)
	if err != nil {
		return docsAsset{}, err
	}
	return docsAsset{plain: newFile(media, plain), zip: newFile(media, zipped)}, nil
}

func serveDocsPage(s *Service, c echo.Context) error {
	c.Response().Header().Set(echo.HeaderContentSecurityPolicy, docsPolicy)
	return s.docs.page.serve(c)
}

func serveDocsAsset(s *Service, c echo.Context) error {
	a, ok := s.docs.assets[c.Param("asset")]
	if !ok {
		return echo.ErrNotFound
	}
	if a.zip.content == nil {
		return a.plain.serve(c)
	}
	c.Response().Header().Add(echo.HeaderVary, echo.HeaderAcceptEncoding)
	accepted := c.Request().Header.Get(echo.HeaderAcceptEncoding)
	if accepted == "" || quality(accepted, "gzip") == 0 {
		return a.plain.serve(c)
	}
	c.Response().Header().Set(echo.HeaderContentEncoding, "gzip")
	return a.zip.serve(c)
}
