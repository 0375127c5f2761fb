package problem

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/api"
	"snugtail/joint/length"
	"snugtail/service/message"
)

func TestFieldsAreSortedAsTheyStand(t *testing.T) {
	want := []string{"#", "#/a", "#/a/9", "#/a/10", "#/a/10/c", "#/a/b", "#/a-b", "#/b"}
	fields := make([]Field, 0, 2*len(want))
	for _, p := range slices.Backward(want) {
		fields = append(fields, Field{Pointer: p, Code: "x"}, Field{Pointer: p, Code: "x"})
	}
	var got []string
	for _, f := range tidy(fields) {
		got = append(got, f.Pointer)
	}
	assert.Equal(t, want, got)
}

// A field's reason is the problem's own, ended as a sentence; params say the same
// in each language.
func TestAnswers(t *testing.T) {
	all, err := message.Load()
	require.NoError(t, err)
	f := BadFields(At("#/a", CodeOutOfRange, "most", message.Number("most", 2.5))).InUnit(length.UnitInch)
	english, german := f.Answer("id", all.Default()), f.Answer("id", all.For("de"))
	assert.Equal(t, "#/a: this must be at most 2.5.", english.Detail)
	assert.Equal(t, "#/a: darf höchstens 2,5 sein.", german.Detail)
	assert.Equal(t, "darf höchstens 2,5 sein", german.Errors[0].Detail)
	for _, p := range []*api.Problem{english, german} {
		assert.JSONEq(t, `{"state": "most", "most": 2.5}`, string(p.Errors[0].Params))
		assert.JSONEq(t, `{"pointer": "#/a", "reason": {"code": "field.out_of_range", "params": {"state": "most", "most": 2.5}}}`, string(p.DetailMessage.Params))
		assert.Equal(t, "problem.bad_request", p.TitleMessage.Code)
		assert.Equal(t, TypePrefix+"bad-request", p.Type)
	}
	assert.EqualError(t, f, "The request is not as the contract says: #/a: this must be at most 2.5.")

	one := message.New("field.missing.housing")
	assert.Equal(t, "#/a: Say how deep the back is let into each side.", BadFields(Field{"#/a", CodeMissing, one}).Answer("id", all.Default()).Detail)
	assert.Nil(t, New(StatusClientGone, message.Message{}).Answer("id", all.Default()).DetailMessage)
}

// Each kind of problem has its title.
func TestTitles(t *testing.T) {
	all, err := message.Load()
	require.NoError(t, err)
	for status := 400; status < 600; status++ {
		title := New(status, Detail("failed")).title()
		assert.True(t, all.Default().Has(title.Code), title.Code)
	}
}
