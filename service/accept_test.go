package service

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"snugtail/api/apitest"
)

func TestAccept(t *testing.T) {
	s := newProbe(t, Config{})
	const asJSON, asText, none = "application/json", "text/plain; charset=utf-8", ""
	for accept, want := range map[string]string{
		"":                                    asJSON,
		"*/*":                                 asJSON,
		"application/json":                    asJSON,
		"Application/JSON":                    asJSON,
		"application/json; charset=utf-8":     asJSON,
		"application/*":                       asJSON,
		"text/plain":                          asText,
		"text/*":                              asText,
		"TEXT/PLAIN;charset=utf-8":            asText,
		"text/plain, application/json":        asJSON, // liked as much: the service's choice
		"text/plain, */*;q=0.1":               asText,
		"text/plain;q=0.2, */*;q=0.1":         asText,
		"text/plain;q=0.2, */*":               asJSON,
		"application/json;q=0, text/*;q=0.01": asText,
		"application/json;q=0, */*":           asText,
		"text/html,application/xhtml+xml,application/xml;q=0.9,*/*;q=0.8": asJSON, // a browser
		"image/png":                none,
		"application/json;q=0":     none,
		"application/json;q=x":     none,
		"application/json;q=5":     none,
		"application/json;q=-1":    none,
		"application/problem+json": none,
		",;q=,":                    none,
	} {
		w := ask(s.Handler(), request("POST", "/v1/probes", apitest.GoodProbe, "Accept", accept))
		if want == none {
			assert.Equal(t, 406, w.Code, accept)
			continue
		}
		assert.Equal(t, 200, w.Code, accept)
		assert.Equal(t, want, w.Header().Get("Content-Type"), accept)
		assert.Equal(t, "Accept, Accept-Language", w.Header().Get("Vary"), accept)
	}
}

func TestAcceptInTwoHeaders(t *testing.T) {
	r := request("POST", "/v1/probes", apitest.GoodProbe)
	r.Header["Accept"] = []string{"application/json;q=0.1", "text/plain"}
	w := ask(newProbe(t, Config{}).Handler(), r)
	assert.Equal(t, "text/plain; charset=utf-8", w.Header().Get("Content-Type"))
}
