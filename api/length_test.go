package api_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/api"
	"snugtail/api/apitest"
)

func text(s string) api.LengthIn    { return api.LengthIn{Text: s} }
func number(x float64) api.LengthIn { return api.LengthIn{Number: x, Form: api.LengthNumber} }
func object(x float64) api.LengthIn { return api.LengthIn{Number: x, Form: api.LengthObject} }

func TestReadLength(t *testing.T) {
	for from, want := range map[string]api.LengthIn{
		`"7/16 in"`:       text("7/16 in"),
		`"½ in"`:          text("½ in"),
		`"1/2\" \u00b1"`:  text(`1/2" ±`),
		`""`:              text(""),
		`11.1`:            number(11.1),
		` -2e1 `:          number(-20),
		`0`:               number(0),
		`{"mm": 11.1125}`: object(11.1125),
		`{"mm":0.4,"in":7,"text":"a length object's mm counts"}`: object(0.4),
	} {
		t.Run(from, func(t *testing.T) {
			got := api.LengthIn{Text: "from before", Number: 7, Form: api.LengthObject}
			require.NoError(t, json.Unmarshal([]byte(from), &got))
			assert.Equal(t, want, got)
		})
	}
}

func TestReadNoLength(t *testing.T) {
	for _, from := range []string{
		`true`, `[]`, `[11.1]`, `null`, `{}`, `{"mm":null}`, `{"mm":"11.1"}`, `{"in":0.5}`, `1e999`, `{"mm":1e999}`,
	} {
		assert.Error(t, json.Unmarshal([]byte(from), new(api.LengthIn)), from)
	}
	for _, from := range []string{"", " ", "nul", `"`, "{", "NaN", "Infinity"} {
		assert.Error(t, new(api.LengthIn).UnmarshalJSON([]byte(from)), from)
		assert.Error(t, new(api.Depth).UnmarshalJSON([]byte(from)), from)
	}
}

func TestReadDepth(t *testing.T) {
	both := func(l api.LengthIn) api.Depth { return api.Depth{Both: &l} }
	each := func(pin, tail api.LengthIn) api.Depth { return api.Depth{PinBoard: &pin, TailBoard: &tail} }
	for from, want := range map[string]api.Depth{
		`"7/16 in"`: both(text("7/16 in")),
		`11.1`:      both(number(11.1)),
		`{"mm":11.1125,"in":0.4375,"text":"7/16 in"}`:   both(object(11.1125)),
		`{"pin_board":8,"tail_board":"8.2 mm"}`:         each(number(8), text("8.2 mm")),
		` {"tail_board":{"mm":8.2},"pin_board":"8 mm"}`: each(text("8 mm"), object(8.2)),
	} {
		t.Run(from, func(t *testing.T) {
			got := both(number(7))
			require.NoError(t, json.Unmarshal([]byte(from), &got))
			assert.Equal(t, want, got)
		})
	}
}

func TestReadNoDepth(t *testing.T) {
	for _, from := range []string{
		`true`, `[8]`, `null`, `{}`, `{"in":0.5}`, `{"pin_board":8}`, `{"tail_board":8}`, `{"pin_board":8,"tail_board":null}`,
		`{"mm":8,"pin_board":8}`, `{"mm":8,"pin_board":8,"tail_board":8}`, `{"pin_board":true,"tail_board":8}`, `{"mm":true}`,
	} {
		assert.Error(t, json.Unmarshal([]byte(from), new(api.Depth)), from)
	}
}

// A member that is null is as good as left out: Go never calls UnmarshalJSON.
// The contract refuses it before.
func TestNullMembersAreNotGiven(t *testing.T) {
	var setup api.Setup
	require.NoError(t, json.Unmarshal([]byte(`{"depth":null,"side_stop_error":null}`), &setup))
	assert.Equal(t, api.Setup{}, setup)
}

// What an answer gives can be posted back.
func TestAnsweredLengthIsRead(t *testing.T) {
	answered, schemas := toJSON(t, api.Length{MM: 11.1125, In: 0.4375, Text: "7/16 in"}), document(t).Components.Schemas
	for _, schema := range []string{"LengthIn", "LengthInFromZero", "LengthInSigned", "LengthInReach", "Depth"} {
		require.NoError(t, visit(schemas[schema].Value, answered), schema)
	}
	var got api.LengthIn
	require.NoError(t, json.Unmarshal([]byte(answered), &got))
	assert.Equal(t, object(11.1125), got)
}

// Whatever the contract takes for a length, Go reads, and into one form.
func FuzzLength(f *testing.F) {
	seed(f, lengths)
	schema := apitest.Document(f).Components.Schemas["LengthIn"].Value
	f.Fuzz(func(t *testing.T, from []byte) {
		var got api.LengthIn
		err := got.UnmarshalJSON(from)
		if !json.Valid(from) || visit(schema, string(from)) != nil {
			return
		}
		require.NoError(t, err)
		isText := got.Form == api.LengthText
		assert.Equal(t, isText, got.Text != "", "the contract takes no empty text")
		assert.True(t, !isText || got.Number == 0)
	})
}

// Whatever the contract takes for a depth is one for both boards or one for each.
func FuzzDepth(f *testing.F) {
	seed(f, lengths)
	seed(f, depths)
	schema := apitest.Document(f).Components.Schemas["Depth"].Value
	f.Fuzz(func(t *testing.T, from []byte) {
		var got api.Depth
		err := got.UnmarshalJSON(from)
		if err == nil {
			assert.Equal(t, got.Both == nil, got.PinBoard != nil)
			assert.Equal(t, got.PinBoard != nil, got.TailBoard != nil)
		}
		if json.Valid(from) && visit(schema, string(from)) == nil {
			require.NoError(t, err)
		}
	})
}

func seed(f *testing.F, rows []row) {
	require.NotEmpty(f, rows)
	for _, row := range rows {
		f.Add([]byte(row.text))
	}
}

// A length is written as encoding/json would write its text.
func TestLengthInIsWrittenAsRead(t *testing.T) {
	for _, text := range []string{"", "12.7 mm +/- 0.05 mm", `1/2"`, "½ in", "11.1 mm ± 0.05", `a\b`, "a<b>&c", "tab\t"} {
		want, err := json.Marshal(text)
		require.NoError(t, err)
		got, err := json.Marshal(api.LengthIn{Text: text})
		require.NoError(t, err)
		assert.Equal(t, string(want), string(got))
	}
}
