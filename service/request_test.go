package service

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"snugtail/api/apitest"
)

// unlikely are bodies that are no JSON, or hardly.
func unlikely() []string {
	return []string{
		apitest.GoodProbe, ``, ` `, `null`, `0`, `-`, `01`, `1e309`, `-1e309`, `"\ud83d"`, `"\u+123"`, "\"\xff\"", "\ufeff1", `[1,]`, `[`, nested(32), nested(33),
		`{}`, `{"a":1,}`, `{a:1}`, `{"a":1,"a":2}`, `{"a":{"b":1,"b":1}}`, `{"":1}`, `{"a":1}{`, `NaN`, "\x00",
	}
}

// FuzzRequest sends any body, headers and query down the whole path. Nothing but
// the probe's own ways to end may be a 500.
func FuzzRequest(f *testing.F) {
	for _, text := range unlikely() {
		f.Add(text, "application/json", "*/*", "", "", "")
		f.Add(`{"setup":`+text+`}`, "application/json", "text/plain", "de", "identity", "fields=")
	}
	f.Add(apitest.GoodProbe, "application/json; charset=x", "text/*;q=x", "de;q=0.5, en", "gzip", "fields=/a,%90")
	noText := strings.Repeat("\x90", 41) // longer than what a message holds
	f.Add(apitest.GoodProbe, noText, "*/*", "", "", "")
	f.Add(apitest.GoodProbe, "application/json; charset="+noText, noText, noText, "", "")
	f.Add(apitest.GoodProbe, "application/json", "*/*", noText, noText, "fields="+noText)
	s := newProbe(f, Config{})
	f.Fuzz(func(t *testing.T, body, contentType, accept, language, coding, query string) {
		if probesEnd(body) {
			t.Skip()
		}
		r := request("POST", "/v1/probes", body)
		r.URL.RawQuery = query
		for name, value := range map[string]string{
			"Content-Type": contentType, "Accept": accept, "Accept-Language": language, "Content-Encoding": coding,
		} {
			r.Header.Set(name, value)
		}
		w := ask(s.Handler(), r)
		if w.Code == 200 {
			require.NotEmpty(t, w.Body.String())
			return
		}
		require.Contains(t, []int{400, 406, 413, 415, 422}, w.Code)
		for _, field := range problemIn(t, w).Errors {
			require.True(t, strings.HasPrefix(field.Pointer, "#"))
			require.Equal(t, strings.HasPrefix(w.Header().Get("Content-Type"), "text/"), field.Code == "", "a text has no codes")
			require.NotEmpty(t, field.Detail)
		}
	})
}

// probesEnd is true for bodies that ask the probe to fail, or to take long.
func probesEnd(body string) bool {
	var q probe
	if json.Unmarshal([]byte(body), &q) != nil {
		return false
	}
	_, fails := map[string]bool{"panic": true, "nan": true, "infinity": true, "fail": true, "wait": true, "abort": true}[q.Do]
	return fails
}
