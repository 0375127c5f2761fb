package site

import (
	"io/fs"
	"net/http"
	"net/http/httptest"
	"path"
	"regexp"
	"strings"
	"testing"

	"github.com/labstack/echo/v4"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/service/codes"
	"snugtail/service/message"
)

// Every text that the modules name is in the catalogues; that every language has
// all of them is tested there.
func TestKioskTexts(t *testing.T) {
	texts := kioskTexts(t)
	scripts, err := fs.Glob(kioskFiles, "kiosk/*.js")
	require.NoError(t, err)
	named := 0
	for _, script := range scripts {
		content, err := kioskFiles.ReadFile(script)
		require.NoError(t, err)
		for _, key := range regexp.MustCompile(`\bt\("([^"]+)"`).FindAllStringSubmatch(string(content), -1) {
			assert.Contains(t, texts, key[1], path.Base(script))
			named++
		}
	}
	assert.Greater(t, named, 30)
}

// What the page asks for by a check's code, it can ask for by every one.
func TestKioskKnowsEveryCheck(t *testing.T) {
	forms, err := kioskFiles.ReadFile("kiosk/forms.js")
	require.NoError(t, err)
	texts := kioskTexts(t)
	for _, code := range codes.Checks {
		assert.Contains(t, string(forms), "\n  "+code+": [")
		assert.Contains(t, texts, "check."+code)
		if finding, asked := strings.CutPrefix(code, "ask_"); asked {
			assert.Contains(t, codes.Findings, finding)
			assert.Contains(t, string(forms), "\n  "+code+`: [question("findings.`+finding+`")],`)
		}
	}
}

// A depth is told in what the service says, never in the page's own words: they
// stand there while there is none to cut at.
func TestKioskTextsNameNoLength(t *testing.T) {
	for key, text := range kioskTexts(t) {
		assert.NotRegexp(t, regexp.MustCompile(`\d\s*(mm|in\b|")`), text, key)
	}
}

func kioskTexts(t *testing.T) map[string]string {
	t.Helper()
	languages, err := message.Load()
	require.NoError(t, err)
	return textsOf(languages.Default())
}

// The page comes in the language that was chosen on it, or else in the one that
// the browser likes best.
func TestKioskLanguage(t *testing.T) {
	languages, err := message.Load()
	require.NoError(t, err)
	k, err := LoadKiosk("", languages)
	require.NoError(t, err)
	for asked, want := range map[[2]string]string{
		{"", ""}: "en", {"", "de"}: "de", {"", "de-CH, en;q=0.8"}: "de", {"", "fr, en;q=0.8"}: "en", {"", "fr"}: "en",
		{"?lang=en", "de"}: "en", {"?lang=de", ""}: "de", {"?lang=xx", "de"}: "de",
	} {
		r, w := httptest.NewRequest(http.MethodGet, "/"+asked[0], nil), httptest.NewRecorder()
		r.Header.Set("Accept-Language", asked[1])
		require.NoError(t, k.ServePage(echo.New().NewContext(r, w)))
		assert.Contains(t, w.Body.String(), `<html lang="`+want+`"`, asked)
		assert.Equal(t, want, w.Header().Get("Content-Language"), asked)
		assert.Contains(t, w.Header().Values("Vary"), "Accept-Language", asked)
		other := map[string]string{"en": "de", "de": "en"}[want]
		assert.Contains(t, w.Body.String(), `hreflang="`+other+`"`, asked)
	}
}
