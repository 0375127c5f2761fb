package service

import (
	"encoding/json"
	"io/fs"
	"path"
	"regexp"
	"strings"
	"testing"

	"snugtail/service/codes"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The page is there in one request, loads only what is served here, and its
// policy allows its own style and nothing else inline.
func TestKioskPage(t *testing.T) {
	s, err := New(Config{})
	require.NoError(t, err)
	w := ask(s.Handler(), request("GET", "/", "", "Accept", "text/html"))
	require.Equal(t, 200, w.Code)
	assert.Equal(t, "text/html; charset=utf-8", w.Header().Get("Content-Type"))
	page := w.Body.String()
	size := len(page)
	policy := w.Header().Get("Content-Security-Policy")
	assert.NotContains(t, policy, "unsafe")
	_, rest, _ := strings.Cut(page, "<style>")
	style, _, _ := strings.Cut(rest, "</style>")
	assert.Equal(t, kioskPolicy([]byte(style)), policy, "the hash is that of the style as it is sent")
	assert.NotContains(t, page, " style=")
	assert.NotContains(t, page, " onclick=")

	links := regexp.MustCompile(`(?:src|href)="(kiosk/[^"]+)"`).FindAllStringSubmatch(page, -1)
	loaded := map[string]bool{}
	for _, link := range links {
		w := ask(s.Handler(), request("GET", "/"+link[1], ""))
		require.Equal(t, 200, w.Code, link[1])
		assert.Equal(t, "text/javascript; charset=utf-8", w.Header().Get("Content-Type"))
		if !loaded[link[1]] {
			size += w.Body.Len()
		}
		loaded[link[1]] = true
		for _, imported := range regexp.MustCompile(`from "\./([^"]+)"`).FindAllStringSubmatch(w.Body.String(), -1) {
			assert.Contains(t, page, `<link rel="modulepreload" href="kiosk/`+imported[1]+`">`, "all modules in one round")
		}
	}
	assert.Len(t, loaded, len(s.kiosk.modules))
	assert.Less(t, size, 150_000, "the page in all")
	assert.Equal(t, 404, ask(s.Handler(), request("GET", "/kiosk/index.html", "")).Code)
}

// Every text that the modules name is in the file of every language, and no
// file has another.
func TestKioskTexts(t *testing.T) {
	files, err := fs.Glob(kioskFiles, "kiosk/texts/*.json")
	require.NoError(t, err)
	require.Contains(t, files, "kiosk/texts/en.json")
	want := kioskTexts(t, "kiosk/texts/en.json")
	for _, file := range files {
		got := kioskTexts(t, file)
		for key := range want {
			assert.NotEmpty(t, got[key], "%s in %s", key, file)
		}
		assert.Len(t, got, len(want), file)
	}
	scripts, err := fs.Glob(kioskFiles, "kiosk/*.js")
	require.NoError(t, err)
	named := 0
	for _, script := range scripts {
		content, err := kioskFiles.ReadFile(script)
		require.NoError(t, err)
		for _, key := range regexp.MustCompile(`\bt\("([^"]+)"`).FindAllStringSubmatch(string(content), -1) {
			assert.Contains(t, want, key[1], path.Base(script))
			named++
		}
	}
	assert.Greater(t, named, 30)
}

// What the page asks for by a check's code, it can ask for by every one.
func TestKioskKnowsEveryCheck(t *testing.T) {
	forms, err := kioskFiles.ReadFile("kiosk/forms.js")
	require.NoError(t, err)
	texts := kioskTexts(t, "kiosk/texts/en.json")
	for _, code := range codes.Checks {
		assert.Contains(t, string(forms), "\n  "+code+": [")
		assert.Contains(t, texts, "check."+code)
	}
}

func kioskTexts(t *testing.T, file string) map[string]string {
	t.Helper()
	raw, err := kioskFiles.ReadFile(file)
	require.NoError(t, err)
	var texts map[string]string
	require.NoError(t, json.Unmarshal(raw, &texts))
	return texts
}

func TestKioskLanguage(t *testing.T) {
	k := &kiosk{pages: map[string]file{"en": {}, "de": {}}}
	for accepted, want := range map[string]string{
		"": "en", "*": "en", "de": "de", "de-AT,de;q=0.9,en;q=0.8": "de", "fr-FR, fr;q=0.9, DE;q=0.5": "de", "en-US,de;q=0.1": "en", ";;,": "en",
	} {
		assert.Equal(t, want, k.language(accepted), accepted)
	}
}
