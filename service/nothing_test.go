package service

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The answer to nothing told is found once; many may be written from it at a time.
func TestNothingToldIsAnsweredAlike(t *testing.T) {
	s, err := New(Config{})
	require.NoError(t, err)
	askIn := func(language, body string) string {
		r := httptest.NewRequest(http.MethodPost, "/v1/diagnoses", strings.NewReader(body))
		r.Header.Set("Content-Type", "application/json")
		r.Header.Set("Accept-Language", language)
		w := httptest.NewRecorder()
		s.Handler().ServeHTTP(w, r)
		assert.Equal(t, http.StatusOK, w.Code)
		return w.Body.String()
	}
	for _, language := range []string{"en", "de", "en"} { // a unit is told: that is put into words anew
		assert.Equal(t, askIn(language, `{"units": "mm"}`), askIn(language, "{}"))
	}
	ask := func(body string) string { return askIn("en", body) }
	first := ask("{}")
	var all sync.WaitGroup
	for i := range 8 {
		all.Go(func() {
			if i%2 == 0 {
				assert.Equal(t, first, ask("{}"))
			} else {
				ask(`{"units": "in"}`)
			}
		})
	}
	all.Wait()
}
