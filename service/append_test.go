package service

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"path"
	"reflect"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/api"
)

// standard is what encoding/json writes; appenders must write the same.
func standard(v any) (string, error) {
	var buffer bytes.Buffer
	e := json.NewEncoder(&buffer)
	e.SetEscapeHTML(false)
	err := e.Encode(v)
	return string(bytes.TrimSuffix(buffer.Bytes(), []byte("\n"))), err
}

func requireStandard(t require.TestingT, v any) {
	want, wantErr := standard(v)
	got, err := appenders{}.append([]byte("before"), v)
	if wantErr != nil {
		require.EqualError(t, err, wantErr.Error())
		return
	}
	require.NoError(t, err)
	require.Equal(t, "before"+want, string(got))
}

func TestAppendedAnswersAreEncodingJSONs(t *testing.T) {
	s, err := New(Config{})
	require.NoError(t, err)
	facts := newFacts(t, s)
	for _, at := range slices.Sorted(maps.Keys(bodiesOf(t, s.contract))) {
		run := s.batch.runners[path.Base(at)]
		if run == nil {
			continue // it answers no JSON of its own, or is the batch
		}
		t.Run(path.Base(at), func(t *testing.T) {
			answered := 0
			check := func(t require.TestingT, body string) {
				answer, err := run(context.Background(), body)
				if err != nil {
					requireStandard(t, problemOf(faultOf(err, request("POST", at, body)), "id"))
					return
				}
				answered++
				requireStandard(t, answer)
			}
			for _, example := range bodiesOf(t, s.contract)[at] {
				text, err := json.Marshal(example)
				require.NoError(t, err)
				check(t, string(text))
			}
			rapid.Check(t, func(rt *rapid.T) { check(rt, written(facts.drawn(rt, at), "mm")) })
			assert.Positive(t, answered)
		})
	}
}

func TestAppendedListsAreEncodingJSONs(t *testing.T) {
	species, err := listSpecies(t.Context())
	require.NoError(t, err)
	one, err := showSpecies(t.Context(), species.Species[0].ID)
	require.NoError(t, err)
	cutters, err := listCutters(t.Context())
	require.NoError(t, err)
	bushings, err := listBushings(t.Context())
	require.NoError(t, err)
	for _, v := range []any{species, one, cutters, bushings} {
		requireStandard(t, v)
	}
}

type within struct {
	Again *within `json:"again,omitempty"`
	X     float64 `json:"x"`
}

func TestAppendedRestIsEncodingJSONs(t *testing.T) {
	type shout string
	yes := true
	for _, v := range []any{
		nil, true, 1, -1, 1.5, "x", shout("y"), &yes, (*bool)(nil), int8(3), uint(4), float32(0.1), 'r',
		[]int(nil),
		[]int{},
		[]int{1, 2},
		[2]int{1, 2},
		[]byte("bytes"), json.RawMessage(`{"a": [1 ]}`),
		map[string]float64{"b": 1e-9, "a": 2},
		map[string]any{},
		[]any{1, "x", nil},
		struct{}{},
		struct {
			A int            `json:"a,omitempty"`
			B []int          `json:"b,omitempty"`
			C *int           `json:"c,omitempty"`
			D string         `json:"d,omitempty"`
			E float64        `json:"e,omitempty"`
			F bool           `json:"f,omitempty"`
			G any            `json:"g,omitempty"`
			H struct{}       `json:"h,omitempty"`
			I map[string]int `json:"i,omitempty"`
		}{},
		struct {
			A int                   `json:"a"`
			B []struct{ C *string } `json:"b"`
		}{B: make([]struct{ C *string }, 2)},
		struct{ Plain int }{1},
		struct {
			Hidden int `json:"-"`
			Text   int `json:",string"`
			hidden int
		}{hidden: 1},
		struct{ within }{within{X: 1}},
		within{Again: &within{X: 2}},
		&within{Again: &within{X: 2}},
		api.LengthIn{Text: `7/16 <in> "quoted"`},
		&api.LengthIn{Number: 0.1, Form: api.LengthObject},
		[]api.Depth{{Both: &api.LengthIn{Number: 5, Form: api.LengthNumber}}},
		math.NaN(), math.Inf(1),
		[]float64{1, math.Inf(-1)},
		struct{ X *within }{&within{X: math.NaN()}},
		func() {},
	} {
		t.Run(fmt.Sprintf("%T", v), func(t *testing.T) { requireStandard(t, v) })
	}
}

func TestAppendedNumbersAreEncodingJSONs(t *testing.T) {
	for _, x := range []float64{
		0, math.Copysign(0, -1), 1e-6, -1e-6, 1e-7, 0.1, 0.3, 1e15, 1e9, 999999999.999999, 1e9 + 1e-6, 1e20, 1e21, 1e300, 5e-324, 123.456789, 0.1 + 0.2,
		100, 1234567, -0.000001, math.MaxFloat64, math.MaxInt64,
	} {
		requireStandard(t, x)
	}
	rapid.Check(t, func(t *rapid.T) {
		requireStandard(t, rapid.Float64().Draw(t, "any"))
		requireStandard(t, float64(rapid.Int64Range(-2e15, 2e15).Draw(t, "millionths"))/1e6)
		requireStandard(t, rounded(rapid.Float64Range(-2000, 2000).Draw(t, "length")))
	})
}

func TestAppendedTextsAreEncodingJSONs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		requireStandard(t, rapid.String().Draw(t, "text"))
		requireStandard(t, string(rapid.SliceOf(rapid.Byte()).Draw(t, "bytes")))
		requireStandard(t, rapid.StringOf(rapid.RuneFrom([]rune("ab\"\\<>&\u2028\u2029\x7f\n±é"))).Draw(t, "escapes"))
	})
}

func FuzzAppendNumber(f *testing.F) {
	f.Add(uint64(1))
	f.Fuzz(func(t *testing.T, bits uint64) {
		requireStandard(t, math.Float64frombits(bits))
		requireStandard(t, float64(int64(bits)%2e15)/1e6)
	})
}

// Every byte stands once at every place of a word.
func TestIsPlain(t *testing.T) {
	for at := range 19 {
		for char := range 256 {
			text := []byte("nineteen characters"[:19])
			text[at] = byte(char)
			want := char >= ' ' && char < 0x80 && char != '"' && char != '\\'
			assert.Equal(t, want, isPlain(string(text)), "%q", text)
		}
	}
}

// What is written without looking up fields is what encoding/json writes, with
// values that need escapes and such as can't be written, and where a field is new.
func TestOwnAppendersAreEncodingJSONs(t *testing.T) {
	texts := rapid.OneOf(rapid.SampledFrom([]string{"", "plain", `"`, "\\", "é", "\x00", "\xff", "<&>", "\u2028"}), rapid.String())
	figures := rapid.OneOf(rapid.Float64Range(-1e4, 1e4), rapid.SampledFrom([]float64{0, math.Copysign(0, -1), math.NaN(), math.Inf(1), 1e21, 1e-7, 0.1}))
	rapid.Check(t, func(t *rapid.T) {
		length := api.Length{MM: figures.Draw(t, "mm"), In: figures.Draw(t, "in"), Text: texts.Draw(t, "text")}
		limit := api.Limit{Code: texts.Draw(t, "code"), Text: texts.Draw(t, "text")}
		if rapid.Bool().Draw(t, "known") {
			ok := rapid.Bool().Draw(t, "ok")
			limit.OK, limit.Margin = &ok, &length
		}
		caution := api.Caution{Code: texts.Draw(t, "code"), Text: texts.Draw(t, "text")}
		for _, v := range []any{length, &length, limit, &limit, []api.Limit{limit, limit}, caution, &caution, []*api.Caution{&caution, nil}, [2]api.Length{length, length}} {
			requireStandard(t, v)
		}
	})
	for _, v := range []any{api.Length{}, api.Limit{}, api.Caution{}} {
		requireStandard(t, v)
		assert.NotNil(t, ownAppender(reflect.TypeOf(v)))
	}
}
