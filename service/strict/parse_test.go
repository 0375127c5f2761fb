package strict

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/api/apitest"
)

// seeds are texts at the edges of JSON's grammar (RFC 8259).
func seeds() []string {
	return []string{
		apitest.GoodProbe, ``, ` `, `null`, `true`, `false`, `0`, `-0`, `-`, `01`, `1.`, `.5`, `+1`, `1e5`, `1E-5`, `1e`, `1e+`,
		`1e308`, `1e309`, `-1e309`, `5e-324`, `1e-400`, `0.1`, `123456789012345678901234567890`,
		`""`, `"`, `"\`, `"\"`, `"\u"`, `"\u12"`, `"\u00e9"`, `"\ud83d\ude00"`, `"\ud83d"`, `"\ude00\ud83d"`, `"\ud83dx"`, `"\u+123"`,
		`"\b\f\n\r\t\/\\\""`, `"\a"`, "\"\t\"", "\"\x7f\"", "\"é😀\"", "\"\xff\"", "\"\ufffd\"", "\ufeff1",
		`[]`, `[1]`, `[1,]`, `[,1]`, `[1 2]`, `[1`, `[`, `]`, `[[[[]]]]`, strings.Repeat("[", 32) + strings.Repeat("]", 32), strings.Repeat("[", 33) + strings.Repeat("]", 33),
		`{}`, `{"a":1}`, `{"a":1,}`, `{,}`, `{a:1}`, `{"a"}`, `{"a":}`, `{"a":1 "b":2}`, `{"a":1,"a":2}`, `{"a":{"b":1,"b":1}}`, `{"":1}`,
		`{"a":1}{`, `1 1`, `1,`, "\t\r\n 1 \n", `nul`, `nulll`, `NaN`, `Infinity`, `-Infinity`, `tRUE`, `// x`, "\x00",
	}
}

// checkParse holds parse against encoding/json: what both take is the same
// value, and what only one takes is one of the stated differences.
func checkParse(t *testing.T, text string) {
	value, fields, broken := Parse(text, 0, Skim{})
	var reference any
	err := json.Unmarshal([]byte(text), &reference)
	switch {
	case broken != nil && (broken.Code == CodeTooDeep || broken.State == "not_utf" || broken.State == "byte_order_mark" || broken.State == "surrogate"):
		return // stricter on purpose
	case broken != nil:
		require.Error(t, err, "refused what encoding/json takes: %q: %s", text, broken.State)
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
	for offset, want := range map[int][2]int{strings.Index(text, "x"): {2, 8}, 0: {1, 1}, len(text) + 5: {2, 9}} {
		line, column := Place(text, offset)
		assert.Equal(t, want, [2]int{line, column})
	}
}

// What is skimmed is held against the same grammar as what is kept.
func TestSkimmingIsAsStrict(t *testing.T) {
	fragments := []string{
		"{", "}", "[", "]", ",", ":", `"a"`, `"b":`, "1", "-", "01", "1.5e3", "1e", "1e999", "true", "nul", "null", " ", "\n",
		`"\u00e9"`, `"\ud800"`, `"\x"`, "\"\n\"", `"`, "NaN", `{"a":1,"a":2}`, `[[],{}]`, `{"a":{"b":[1,2,{"c":null}]}}`,
	}
	good := 0
	rapid.Check(t, func(t *rapid.T) {
		text := "{" + strings.Join(rapid.SliceOfN(rapid.SampledFrom(fragments), 0, 6).Draw(t, "fragments"), "") + "}"
		_, _, kept := Parse(text, 0, Skim{})
		_, _, skimmed := Parse(text, 0, Skim{func([]Step) bool { return true }, func([]Step, string) {}})
		require.Equal(t, kept, skimmed, "%s", text)
		if kept == nil {
			good++
		}
	})
	assert.Positive(t, good)
}
