package service

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// seeds are texts at the edges of JSON's grammar (RFC 8259).
func seeds() []string {
	return []string{
		goodProbe, ``, ` `, `null`, `true`, `false`, `0`, `-0`, `-`, `01`, `1.`, `.5`, `+1`, `1e5`, `1E-5`, `1e`, `1e+`,
		`1e308`, `1e309`, `-1e309`, `5e-324`, `1e-400`, `0.1`, `123456789012345678901234567890`,
		`""`, `"`, `"\`, `"\"`, `"\u"`, `"\u12"`, `"\u00e9"`, `"\ud83d\ude00"`, `"\ud83d"`, `"\ude00\ud83d"`, `"\ud83dx"`, `"\u+123"`,
		`"\b\f\n\r\t\/\\\""`, `"\a"`, "\"\t\"", "\"\x7f\"", "\"é😀\"", "\"\xff\"", "\"\ufffd\"", "\ufeff1",
		`[]`, `[1]`, `[1,]`, `[,1]`, `[1 2]`, `[1`, `[`, `]`, `[[[[]]]]`, nested(32), nested(33),
		`{}`, `{"a":1}`, `{"a":1,}`, `{,}`, `{a:1}`, `{"a"}`, `{"a":}`, `{"a":1 "b":2}`, `{"a":1,"a":2}`, `{"a":{"b":1,"b":1}}`, `{"":1}`,
		`{"a":1}{`, `1 1`, `1,`, "\t\r\n 1 \n", `nul`, `nulll`, `NaN`, `Infinity`, `-Infinity`, `tRUE`, `// x`, "\x00",
	}
}

// checkParse holds parse against encoding/json: what both take is the same
// value, and what only one takes is one of the stated differences.
func checkParse(t *testing.T, text string) {
	value, fields, broken := parse(text, 0)
	var reference any
	err := json.Unmarshal([]byte(text), &reference)
	switch {
	case broken != nil && (broken.code == codeTooDeep || strings.Contains(broken.reason, "UTF-8") || strings.Contains(broken.reason, "surrogate")):
		return // stricter on purpose
	case broken != nil:
		require.Error(t, err, "refused what encoding/json takes: %q: %s", text, broken.reason)
	case len(fields) > 0:
		require.NotEmpty(t, fields[0].Pointer)
	default:
		require.NoError(t, err, "took what encoding/json refuses: %q", text)
		require.Equal(t, reference, value)
	}
}

func TestParseAgreesWithEncodingJSON(t *testing.T) {
	for _, text := range seeds() {
		checkParse(t, text)
		checkParse(t, `{"in":[`+text+`]}`)
	}
}

func FuzzParse(f *testing.F) {
	for _, text := range seeds() {
		f.Add(text)
	}
	f.Fuzz(checkParse)
}

func TestPlace(t *testing.T) {
	text := "{\n  \"é\": x"
	assert.Equal(t, "line 2, column 8", place(text, strings.Index(text, "x")))
	assert.Equal(t, "line 1, column 1", place(text, 0))
	assert.Equal(t, "line 2, column 9", place(text, len(text)+5))
}

// FuzzRequest sends any body down the whole path. Nothing but the probe's own
// ways to end may be a 500.
func FuzzRequest(f *testing.F) {
	for _, text := range seeds() {
		f.Add(text, "application/json", "*/*")
		f.Add(`{"setup":`+text+`}`, "application/json", "text/plain")
	}
	f.Add(goodProbe, "application/json; charset=x", "text/*;q=x")
	s := newProbe(f, Config{})
	f.Fuzz(func(t *testing.T, body, contentType, accept string) {
		if probesEnd(body) {
			t.Skip()
		}
		r := request("POST", "/v1/probes", body)
		r.Header.Set("Content-Type", contentType)
		r.Header.Set("Accept", accept)
		w := ask(s.Handler(), r)
		if w.Code == 200 {
			require.NotEmpty(t, w.Body.String())
			return
		}
		require.Contains(t, []int{400, 406, 413, 415, 422}, w.Code)
		for _, field := range problemIn(t, w).Errors {
			require.True(t, strings.HasPrefix(field.Pointer, "#"))
			require.NotEmpty(t, field.Code)
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
