package site

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"html/template"
	"io/fs"
	"path"
	"strings"

	"github.com/labstack/echo/v4"

	"snugtail/service/transfer"
)

// The page for people at a counter: plain HTML, CSS and JavaScript modules,
// served as they stand here. Every text of the page is in one file for each language.
//
//go:embed kiosk/index.html kiosk/style.css kiosk/*.js kiosk/texts/*.json
var kioskFiles embed.FS

// kioskLanguage is spoken to whoever asks for none that there is.
const kioskLanguage = "en"

// Kiosk is the page in each language, and the modules it loads.
type Kiosk struct {
	policy  string
	pages   map[string]*transfer.File // by language
	modules map[string]*transfer.File // by name, and the pictures of each language
}

// LoadKiosk makes a page for each language. Its QR codes lead to publicURL; where
// that is empty, to where the page was opened.
func LoadKiosk(publicURL string) (*Kiosk, error) {
	k := &Kiosk{pages: map[string]*transfer.File{}, modules: map[string]*transfer.File{}}
	names, err := k.loadModules()
	if err != nil {
		return nil, err
	}
	style, err := kioskFiles.ReadFile("kiosk/style.css")
	if err != nil {
		return nil, fmt.Errorf("reading the kiosk's style: %w", err)
	}
	k.policy = kioskPolicy(style)
	texts, err := fs.Glob(kioskFiles, "kiosk/texts/*.json")
	if err != nil {
		return nil, fmt.Errorf("listing the kiosk's texts: %w", err)
	}
	for _, text := range texts {
		language := strings.TrimSuffix(path.Base(text), ".json")
		if err := k.speak(language, text, kioskPageOf{Style: template.CSS(style), Modules: names, PublicURL: publicURL}); err != nil { // #nosec G203 -- our own file
			return nil, fmt.Errorf("making the kiosk's page of %s: %w", text, err)
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
	Modules                   []string
	Style                     template.CSS
}

// speak makes the page and the pictures of a language. A text that either names
// and the file lacks is an error.
func (k *Kiosk) speak(language, texts string, of kioskPageOf) error {
	raw, err := kioskFiles.ReadFile(texts)
	if err != nil {
		return err
	}
	if err := json.Unmarshal(raw, &of.Texts); err != nil {
		return err
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
	of.Lang, of.Pictures = language, "pictures."+language+".svg"
	k.modules[of.Pictures] = transfer.NewFile("image/svg+xml", transfer.AskAgain, drawn)
	page, err := template.New("index.html").Funcs(template.FuncMap{"t": text}).ParseFS(kioskFiles, "kiosk/index.html")
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if err := page.Execute(&out, of); err != nil {
		return err
	}
	k.pages[language] = transfer.NewFile("text/html; charset=utf-8", transfer.AskAgain, out.Bytes())
	return nil
}

func (k *Kiosk) ServePage(c echo.Context) error {
	header := c.Response().Header()
	header.Set(echo.HeaderContentSecurityPolicy, k.policy)
	header.Add(echo.HeaderVary, "Accept-Language")
	page := k.pages[k.language(c.Request().Header.Get("Accept-Language"))]
	return page.Serve(c)
}

// language is the first of those that the browser lists that there is a page in.
func (k *Kiosk) language(accepted string) string {
	for tag := range strings.SplitSeq(accepted, ",") {
		tag, _, _ = strings.Cut(tag, ";")
		primary, _, _ := strings.Cut(strings.ToLower(strings.TrimSpace(tag)), "-")
		if _, ok := k.pages[primary]; ok {
			return primary
		}
	}
	return kioskLanguage
}

func (k *Kiosk) ServeModule(c echo.Context) error {
	module, ok := k.modules[c.Param("module")]
	if !ok {
		return echo.ErrNotFound
	}
	return module.Serve(c)
}
