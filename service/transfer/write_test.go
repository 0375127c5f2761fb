package transfer

import (
	"bytes"
	"encoding/json"
	"math"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// standard is what encoding/json writes, without escapes for HTML.
func standard(t require.TestingT, v any) string {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	require.NoError(t, e.Encode(v))
	return b.String()
}

func encoded(t require.TestingT, v any) string {
	var b bytes.Buffer
	require.NoError(t, Encode(&b, v))
	return b.String()
}

func TestEveryCharacterAsTheStandardLibraryWritesIt(t *testing.T) {
	for r := rune(0); r <= utf8.MaxRune; r++ {
		if text := "a drawer " + string(r); standard(t, text) != encoded(t, text) {
			t.Errorf("%U: %s instead of %s", r, encoded(t, text), standard(t, text))
		}
	}
}

// member is of every kind that answers have.
type member struct {
	Text  string             `json:"text"`
	Maybe string             `json:"maybe,omitempty"`
	Some  float64            `json:"some,omitempty"`
	Size  float64            `json:"size"`
	Count int                `json:"count"`
	OK    *bool              `json:"ok"`
	List  []string           `json:"list"`
	Open  map[string]float64 `json:"open,omitempty"`
	Inner []member           `json:"inner"`
	Any   any                `json:"any"`
}

func drawnMember(t *rapid.T, depth int) member {
	m := member{
		Text: drawnText(t), Maybe: drawnText(t), Size: drawnNumber(t), Some: drawnNumber(t), Count: rapid.Int().Draw(t, "count"),
		List: rapid.SliceOf(rapid.String()).Draw(t, "list"),
		Open: rapid.MapOf(rapid.String(), rapid.Float64Range(-9, 9)).Draw(t, "open"),
		Any:  rapid.SampledFrom([]any{nil, true, "x", 1.5, []any{}, map[string]any{"b": 1.0, "a": nil}}).Draw(t, "any"),
	}
	if rapid.Bool().Draw(t, "known") {
		m.OK = new(bool)
	}
	if depth > 0 {
		m.Inner = []member{drawnMember(t, depth-1)}
	}
	return m
}

// drawnText may be no UTF-8.
func drawnText(t *rapid.T) string { return string(rapid.SliceOf(rapid.Byte()).Draw(t, "bytes")) }

// drawnNumber is a double of any size, or a round one.
func drawnNumber(t *rapid.T) float64 {
	if rapid.Bool().Draw(t, "round") {
		return float64(rapid.IntRange(-1e9, 1e9).Draw(t, "millionths")) / 1e6
	}
	x := math.Float64frombits(rapid.Uint64().Draw(t, "bits"))
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return 0
	}
	return x
}

func TestAnswersAsTheStandardLibraryWritesThem(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := drawnMember(t, 2)
		require.Equal(t, standard(t, m), encoded(t, m))
	})
}

func TestNothingIsWrittenOfWhatJSONCannotHold(t *testing.T) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		b := bytes.NewBufferString("before")
		assert.ErrorContains(t, Encode(b, member{Text: "text", Size: x}), "unsupported value")
		assert.Equal(t, "before", b.String())
	}
}
