package site

import (
	"bytes"
	"compress/gzip"
	_ "embed"
	"fmt"
	"io"
	"sync"

	"github.com/labstack/echo/v4"
	"github.com/swaggest/swgui/v5/static"

	"snugtail/service/transfer"
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

// pagePolicy lets a page load scripts and answers from this origin and nothing
// from elsewhere; what is its own is added.
const pagePolicy = "default-src 'none'; script-src 'self'; connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; "

// docsPolicy: images may be data: for the viewer's icons stand in its style sheet.
const docsPolicy = pagePolicy + "style-src 'self'; img-src 'self' data:"

// Docs is the page and the files it loads, by name.
type Docs struct {
	page   file
	assets map[string]docsAsset
}

// docsAsset is a file that may also be had as gzip. Such a one is unzipped when
// somebody first asks for it plain: that costs a tenth of the time to start, and
// every browser takes gzip.
type docsAsset struct {
	plain func() (file, error)
	zip   file // zero where the plain file is as small
}

func plainAsset(media string, content []byte) docsAsset {
	f := newFile(media, content)
	return docsAsset{plain: func() (file, error) { return f, nil }}
}

// LoadDocs makes the page of our own files and the viewer's.
func LoadDocs() (*Docs, error) {
	d := &Docs{page: newFile("text/html; charset=utf-8", docsPage), assets: map[string]docsAsset{}}
	d.assets["start.js"] = plainAsset("text/javascript; charset=utf-8", docsStart)
	d.assets["style.css"] = plainAsset("text/css; charset=utf-8", docsStyle)
	for name, media := range map[string]string{
		"swagger-ui.css":       "text/css; charset=utf-8",
		"swagger-ui-bundle.js": "text/javascript; charset=utf-8",
	} {
		zipped, err := static.FS.ReadFile(name + ".gz")
		if err != nil {
			return nil, fmt.Errorf("loading %s for the page /docs: %w", name, err)
		}
		d.assets[name] = docsAsset{zip: newFile(media, zipped), plain: sync.OnceValues(func() (file, error) { return unzipped(media, zipped) })}
	}
	return d, nil
}

func unzipped(media string, zipped []byte) (file, error) {
	reader, err := gzip.NewReader(bytes.NewReader(zipped))
	if err != nil {
		return file{}, fmt.Errorf("unzipping a file of the page /docs: %w", err)
	}
	plain, err := io.ReadAll(reader)
	if err != nil {
		return file{}, fmt.Errorf("unzipping a file of the page /docs: %w", err)
	}
	return newFile(media, plain), nil
}

func (d *Docs) ServePage(c echo.Context) error {
	c.Response().Header().Set(echo.HeaderContentSecurityPolicy, docsPolicy)
	return d.page.serve(c)
}

func (d *Docs) ServeAsset(c echo.Context) error {
	a, ok := d.assets[c.Param("asset")]
	if !ok {
		return echo.ErrNotFound
	}
	if a.zip.content == nil {
		return a.servePlain(c)
	}
	c.Response().Header().Add(echo.HeaderVary, echo.HeaderAcceptEncoding)
	accepted := c.Request().Header.Get(echo.HeaderAcceptEncoding)
	if accepted == "" || transfer.Quality(accepted, "gzip") == 0 {
		return a.servePlain(c)
	}
	c.Response().Header().Set(echo.HeaderContentEncoding, "gzip")
	return a.zip.serve(c)
}

func (a *docsAsset) servePlain(c echo.Context) error {
	plain, err := a.plain()
	if err != nil {
		return err
	}
	return plain.serve(c)
}
