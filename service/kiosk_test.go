package service

import (
	"crypto/sha256"
	"encoding/base64"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

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
	sum := sha256.Sum256([]byte(style))
	assert.Contains(t, policy, "style-src 'sha256-"+base64.StdEncoding.EncodeToString(sum[:])+"'", "the hash is that of the style as it is sent")
	assert.Contains(t, policy, "default-src 'none'")
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
	modules, err := filepath.Glob("site/kiosk/*.js")
	require.NoError(t, err)
	assert.Len(t, loaded, len(modules))
	assert.Less(t, size, 150_000, "the page in all")
	assert.Equal(t, 404, ask(s.Handler(), request("GET", "/kiosk/index.html", "")).Code)
}
