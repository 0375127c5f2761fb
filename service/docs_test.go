package service

import (
	"compress/gzip"
	"io"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestContractIsServed(t *testing.T) {
	s := newProbe(t, Config{})
	for path, media := range map[string]string{"/openapi.yaml": "application/yaml", "/openapi.json": "application/json"} {
		w := ask(s.Handler(), request("GET", path, ""))
		assert.Equal(t, 200, w.Code)
		assert.Equal(t, media, w.Header().Get("Content-Type"))
		assert.Contains(t, w.Body.String(), "/v1/probes")
		etag := w.Header().Get("ETag")
		require.NotEmpty(t, etag)
		again := ask(s.Handler(), request("GET", path, "", "If-None-Match", etag))
		assert.Equal(t, 304, again.Code)
		assert.Empty(t, again.Body.String())
		assert.Equal(t, 200, ask(s.Handler(), request("GET", path, "", "If-None-Match", `"other"`)).Code)
	}
}

// What the page loads is served here, and the policy allows no more.
func TestDocsPage(t *testing.T) {
	s := newProbe(t, Config{})
	w := ask(s.Handler(), request("GET", "/docs", "", "Accept", "text/html"))
	require.Equal(t, 200, w.Code)
	assert.Equal(t, "text/html; charset=utf-8", w.Header().Get("Content-Type"))
	policy := w.Header().Get("Content-Security-Policy")
	assert.Contains(t, policy, "default-src 'none'; script-src 'self'; connect-src 'self';")
	assert.NotContains(t, policy, "unsafe")
	page := w.Body.String()
	assert.Contains(t, page, "<title>snugtail: the contract</title>")
	assert.NotContains(t, page, "//", "nothing from elsewhere")
	links := regexp.MustCompile(`(?:src|href)="([^"]+)"`).FindAllStringSubmatch(page, -1)
	require.GreaterOrEqual(t, len(links), 6)
	for _, link := range links {
		if strings.HasPrefix(link[1], "data:") {
			continue
		}
		w := ask(s.Handler(), request("GET", "/"+link[1], ""))
		assert.Equal(t, 200, w.Code, link[1])
		assert.Empty(t, w.Header().Get("Content-Encoding"))
		assert.NotEmpty(t, w.Body.Bytes())
	}
}

func TestDocsAssetsComeZipped(t *testing.T) {
	s := newProbe(t, Config{})
	const path = "/docs/swagger-ui-bundle.js"
	plain := ask(s.Handler(), request("GET", path, "", "Accept-Encoding", "gzip;q=0"))
	zipped := ask(s.Handler(), request("GET", path, "", "Accept-Encoding", "br, gzip"))
	assert.Empty(t, plain.Header().Get("Content-Encoding"))
	assert.Equal(t, "gzip", zipped.Header().Get("Content-Encoding"))
	assert.Equal(t, "Accept-Encoding", zipped.Header().Get("Vary"))
	assert.NotEqual(t, plain.Header().Get("ETag"), zipped.Header().Get("ETag"))
	assert.Less(t, zipped.Body.Len(), plain.Body.Len()/2)
	reader, err := gzip.NewReader(zipped.Body)
	require.NoError(t, err)
	unzipped, err := io.ReadAll(reader)
	require.NoError(t, err)
	assert.Equal(t, plain.Body.Bytes(), unzipped)
}
