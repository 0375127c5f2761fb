package site

import (
	_ "embed"
	"fmt"

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

// Docs is the page and the files it loads, by name. The viewer's are at hand as
// gzip, and unzipped when somebody first asks for one plain: that costs a tenth of
// the time to start, and every browser takes gzip.
type Docs struct {
	page   *transfer.File
	assets map[string]*transfer.File
}

// LoadDocs makes the page of our own files and the viewer's.
func LoadDocs() (*Docs, error) {
	const script, style = "text/javascript; charset=utf-8", "text/css; charset=utf-8"
	d := &Docs{page: transfer.NewFile("text/html; charset=utf-8", transfer.AskAgain, docsPage), assets: map[string]*transfer.File{
		"start.js":  transfer.NewFile(script, transfer.AskAgain, docsStart),
		"style.css": transfer.NewFile(style, transfer.AskAgain, docsStyle),
	}}
	for name, media := range map[string]string{"swagger-ui.css": style, "swagger-ui-bundle.js": script} {
		zipped, err := static.FS.ReadFile(name + ".gz")
		if err != nil {
			return nil, fmt.Errorf("loading %s for the page /docs: %w", name, err)
		}
		d.assets[name] = transfer.ZippedFile(media, transfer.AskAgain, zipped)
	}
	return d, nil
}

func (d *Docs) ServePage(c echo.Context) error {
	c.Response().Header().Set(echo.HeaderContentSecurityPolicy, docsPolicy)
	return d.page.Serve(c)
}

func (d *Docs) ServeAsset(c echo.Context) error {
	a, ok := d.assets[c.Param("asset")]
	if !ok {
		return echo.ErrNotFound
	}
	return a.Serve(c)
}
