package site

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"io/fs"
	"path"

	"github.com/labstack/echo/v4"

	"snugtail/service/message"
	"snugtail/service/transfer"
)

// The page for people at a counter: plain HTML, CSS and JavaScript modules,
// served as they stand here. Its texts are those of the catalogues under "page.".
//
//go:embed kiosk/index.html kiosk/style.css kiosk/*.js
var kioskFiles embed.FS

const (
	pageTexts   = "page."
	figureTexts = "figure." // how a language writes numbers
)

// Kiosk is the page in each language, and the modules it loads.
type Kiosk struct {
	policy    string
	languages *message.Catalogues
	pages     map[string]*transfer.File // by language
	modules   map[string]*transfer.File // by name, and the pictures of each language
}

// LoadKiosk makes a page for each language. Its QR codes lead to publicURL; where
// that is empty, to where the page was opened.
func LoadKiosk(publicURL string, languages *message.Catalogues) (*Kiosk, error) {
	k := &Kiosk{languages: languages, pages: map[string]*transfer.File{}, modules: map[string]*transfer.File{}}
	names, err := k.loadModules()
	if err != nil {
		return nil, err
	}
	style, err := kioskFiles.ReadFile("kiosk/style.css")
	if err != nil {
		return nil, fmt.Errorf("reading the kiosk's style: %w", err)
	}
	k.policy = kioskPolicy(style)
	for _, language := range languages.All() {
		if err := k.speak(language, kioskPageOf{Style: template.CSS(style), Modules: names, PublicURL: publicURL}); err != nil { // #nosec G203 -- our own file
			return nil, fmt.Errorf("making the kiosk's page in %s: %w", language.Language, err)
		}
	}
	return k, nil
}

func (k *Kiosk) loadModules() ([]string, error) {
	scripts, err := fs.Glob(kioskFiles, "kiosk/*.js")
	if err != nil {
		return nil, fmt.Errorf("listing the kiosk's modules: %w", err)
	}
	names := make([]string, len(scripts))
	for i, script := range scripts {
		content, err := kioskFiles.ReadFile(script)
		if err != nil {
			return nil, fmt.Errorf("reading the kiosk's module: %w", err)
		}
		names[i] = path.Base(script)
		k.modules[names[i]] = transfer.NewFile("text/javascript; charset=utf-8", transfer.AskAgain, content)
	}
	k.modules[lettersModule] = transfer.NewFile("text/javascript; charset=utf-8", transfer.AskAgain, letters())
	return append(names, lettersModule), nil
}

// kioskPolicy: the style stands in the page, so that one request is enough to
// show it; the hash allows that style and no other.
func kioskPolicy(style []byte) string {
	sum := sha256.Sum256(style)
	return pagePolicy + "style-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'; img-src data:"
}

// kioskPageOf is what the page is filled with, beside its texts.
type kioskPageOf struct {
	Lang, Pictures, PublicURL string
	Texts                     map[string]string
	Others                    []spoken // the other languages
	Modules                   []string
	Style                     template.CSS
}

// spoken is a language that the page can be read in.
type spoken struct{ Code, Name string }

// textsOf are the page's texts in a language, and how that writes numbers.
func textsOf(language *message.Catalogue) map[string]string {
	texts := language.Under(pageTexts)
	for key, text := range language.Under(figureTexts) {
		texts[figureTexts+key] = text
	}
	return texts
}

// speak makes the page and the pictures of a language. A text that either names
// and the catalogue lacks is an error.
func (k *Kiosk) speak(language *message.Catalogue, of kioskPageOf) error {
	of.Texts = textsOf(language)
	for _, other := range k.languages.All() {
		if other != language {
			of.Others = append(of.Others, spoken{other.Language, other.Under(pageTexts)["language.name"]})
		}
	}
	text := func(key string) (string, error) {
		if of.Texts[key] == "" {
			return "", fmt.Errorf("no text for %q", key)
		}
		return of.Texts[key], nil
	}
	drawn, err := pictures(text)
	if err != nil {
		return err
	}
	of.Lang, of.Pictures = language.Language, "pictures."+language.Language+".svg"
	k.modules[of.Pictures] = transfer.NewFile("image/svg+xml", transfer.AskAgain, drawn)
	page, err := template.New("index.html").Funcs(template.FuncMap{"t": text}).ParseFS(kioskFiles, "kiosk/index.html")
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if err := page.Execute(&out, of); err != nil {
		return err
	}
	k.pages[language.Language] = transfer.NewFile("text/html; charset=utf-8", transfer.AskAgain, out.Bytes())
	return nil
}

// ServePage sends the page in the language that was chosen on it, "?lang=de", or
// else in the one that the browser likes best.
func (k *Kiosk) ServePage(c echo.Context) error {
	header := c.Response().Header()
	header.Set(echo.HeaderContentSecurityPolicy, k.policy)
	header.Add(echo.HeaderVary, "Accept-Language")
	language := c.QueryParam("lang")
	if k.pages[language] == nil {
		language = k.languages.For(c.Request().Header.Get("Accept-Language")).Language
	}
	header.Set("Content-Language", language)
	return k.pages[language].Serve(c)
}

func (k *Kiosk) ServeModule(c echo.Context) error {
	module, ok := k.modules[c.Param("module")]
	if !ok {
		return echo.ErrNotFound
	}
	return module.Serve(c)
}
