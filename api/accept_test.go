package api_test

import (
	"encoding/json"
	"errors"
	"slices"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/api/apitest"
)

func toJSON(t testing.TB, value any) string {
	t.Helper()
	text, err := json.Marshal(value)
	require.NoError(t, err)
	return string(text)
}

// visit holds a JSON text against a schema. Both ways of asking must agree.
func visit(schema *openapi3.Schema, text string) error {
	var value any
	if err := json.Unmarshal([]byte(text), &value); err != nil {
		return err
	}
	fast, all := schema.VisitJSON(value, openapi3.FailFast()), schema.VisitJSON(value, openapi3.MultiErrors())
	if (fast == nil) != (all == nil) {
		return errors.New("asking fast and asking for all faults do not agree")
	}
	return all
}

// faults are the leaves of kin-openapi's tree of errors: where, and the
// keyword that was broken; an unknown member with its name.
func faults(err error) []string {
	var all []string
	if several, ok := err.(openapi3.MultiError); ok {
		for _, each := range several {
			all = append(all, faults(each)...)
		}
		return slices.Compact(slices.Sorted(slices.Values(all)))
	}
	var leaf *openapi3.SchemaError
	if !errors.As(err, &leaf) {
		return nil
	}
	for inner := leaf.Origin; inner != nil; inner = errors.Unwrap(inner) {
		if several, ok := inner.(openapi3.MultiError); ok {
			return faults(several)
		}
	}
	what := "/" + strings.Join(leaf.JSONPointer(), "/") + " " + leaf.SchemaField
	if leaf.SchemaField == "properties" {
		what += " " + strings.Split(leaf.Reason, `"`)[1]
	}
	return []string{what}
}

// row is a JSON text and the faults that it must have; none: it is accepted.
type row struct {
	text  string
	wants []string
}

func check(t *testing.T, schema string, rows []row) {
	t.Helper()
	s := apitest.Document(t).Components.Schemas[schema].Value
	for _, row := range rows {
		t.Run(schema+" "+row.text, func(t *testing.T) {
			err := visit(s, row.text)
			if len(row.wants) == 0 {
				require.NoError(t, err)
				return
			}
			require.Error(t, err)
			assert.Equal(t, row.wants, faults(err))
		})
	}
}

var lengths = []row{
	{`"7/16 in"`, nil},
	{`"1 1/2 in"`, nil},
	{`"1-1/2 in"`, nil},
	{`"0.4375 in"`, nil},
	{`".5 in"`, nil},
	{`"½ in"`, nil},
	{`"1½ in"`, nil},
	{`"1/2\""`, nil},
	{`"11.1 mm"`, nil},
	{`"437 thou"`, nil},
	{`"11.1"`, nil},
	{`" \t11.1 mm\n"`, nil},
	{`"-0.2 mm"`, nil},
	{`"−0.2 mm"`, nil},
	{`"+0.2 mm"`, nil},
	{`"0.500 +/- 0.002 in"`, nil},
	{`"11.1 mm ± 0.05 mm"`, nil},
	{`"27/64 in +0.004"`, nil},
	{`11.1`, nil},
	{`0`, nil}, // its range is the service's to check
	{`-2000`, nil},
	{`2000`, nil},
	{`{"mm":11.1125,"in":0.4375,"text":"7/16 in"}`, nil},
	{`{"mm":11.1125}`, nil},

	{`true`, []string{"/ not"}},
	{`[]`, []string{"/ not"}},
	{`[11.1]`, []string{"/ not"}},
	{`null`, []string{"/ nullable"}},
	{`{}`, []string{"/mm required"}},
	{`{"in":0.4375}`, []string{"/mm required"}},
	{`{"mm":null}`, []string{"/mm nullable"}},
	{`{"mm":"11.1"}`, []string{"/mm type"}},
	{`{"mm":5000}`, []string{"/mm maximum"}},
	{`{"mm":1,"inch":1}`, []string{"/ properties inch"}},
	{`{"MM":1}`, []string{"/ properties MM", "/mm required"}},
	{`2000.1`, []string{"/ maximum"}},
	{`1e308`, []string{"/ maximum"}},
	{`-1e308`, []string{"/ minimum"}},
	{`""`, []string{"/ pattern"}},
	{`"NaN"`, []string{"/ pattern"}},
	{`"Inf mm"`, []string{"/ pattern"}},
	{`"-"`, []string{"/ pattern"}},
	{`"about 11 mm"`, []string{"/ pattern"}},
	{`"` + strings.Repeat("1", 65) + `"`, []string{"/ maxLength"}},
}

func TestLengths(t *testing.T) {
	for _, schema := range []string{"LengthIn", "LengthInFromZero", "LengthInSigned", "LengthInReach"} {
		check(t, schema, lengths)
	}
}

var depths = []row{
	{`"7/16 in"`, nil},
	{`11.1`, nil},
	{`{"mm":11.1125,"in":0.4375,"text":"7/16 in"}`, nil},
	{`{"mm":11.1125}`, nil},
	{`{"pin_board":8,"tail_board":"8.2 mm"}`, nil},
	{`{"pin_board":{"mm":8},"tail_board":{"mm":8.2,"in":0.3228346,"text":"8.2 mm"}}`, nil},

	{`true`, []string{"/ not"}},
	{`[8, 8.2]`, []string{"/ not"}},
	{`null`, []string{"/ nullable"}},
	{`{}`, []string{"/ not"}},
	{`{"in":0.4375,"text":"7/16 in"}`, []string{"/ not"}},
	{`{"pin_board":8}`, []string{"/ not"}},
	{`{"tail_board":8}`, []string{"/ not"}},
	{`{"mm":8,"pin_board":8}`, []string{"/ not"}},
	{`{"mm":8,"pin_board":8,"tail_board":8}`, []string{"/ not"}},
	{`{"pin_board":8,"tail_board":8,"text":"8 mm"}`, []string{"/ not"}},
	{`{"pin_board":8,"tail_bord":8}`, []string{"/ properties tail_bord"}},
	{`{"pinboard":8,"tailboard":8}`, []string{"/ properties pinboard", "/ properties tailboard"}},
	{`{"pin_board":true,"tail_board":null}`, []string{"/pin_board not", "/tail_board nullable"}},
	{`{"pin_board":{},"tail_board":"deep"}`, []string{"/pin_board/mm required", "/tail_board pattern"}},
	{`"deep"`, []string{"/ pattern"}},
	{`5000`, []string{"/ maximum"}},
}

func TestDepths(t *testing.T) { check(t, "Depth", depths) }

// Whatever is wrong, only the kind that was named is reported.
func TestTemplates(t *testing.T) {
	check(t, "Template", []row{
		{`{"kind":"one_piece","pitch":"7/8 in","opening":"1/2 in"}`, nil},
		{`{"kind":"one_piece","pitch":22,"opening":12,"opening_reach":15,"finger_reach":13,"thickness":9}`, nil},
		{`{"kind":"two_position","tail_pass":{"opening":14,"finger":11},"pin_pass":{"opening":13,"finger":12}}`, nil},
		{`{"kind":"allowance","allowance":-2.5}`, nil},
		{`{"kind":"proven","cutter":{"diameter":12.7,"angle":14},"bushing":{"diameter":11},"depth":11}`, nil},
		{`{"kind":"proven","cutter":{"diameter":12.7,"angle":14},"bushing":{"diameter":11},"depth":11,"feel":"light_taps"}`, nil},

		{`{}`, []string{"/ discriminator"}},
		{`{"kind":"onepiece","pitch":true}`, []string{"/ discriminator"}},
		{`{"kind":"One_Piece"}`, []string{"/ discriminator"}},
		{`{"kind":""}`, []string{"/ discriminator"}},
		{`{"kind":7}`, []string{"/ discriminator"}},
		{`{"kind":null}`, []string{"/ discriminator"}},
		{`"one_piece"`, []string{"/ type"}},
		{`[]`, []string{"/ type"}},
		{`null`, []string{"/ nullable"}},
		{`{"kind":"one_piece"}`, []string{"/opening required", "/pitch required"}},
		{`{"kind":"one_piece","pitch":22,"opening":true}`, []string{"/opening not"}},
		{`{"kind":"one_piece","pitch":22,"openin":12}`, []string{"/ properties openin", "/opening required"}},
		{`{"kind":"one_piece","pitch":22,"opening":12,"allowance":2}`, []string{"/ properties allowance"}},
		{`{"kind":"two_position","tail_pass":{"opening":14},"pin_pass":{"opening":"x","finger":12}}`, []string{"/pin_pass/opening pattern", "/tail_pass/finger required"}},
		{`{"kind":"allowance"}`, []string{"/allowance required"}},
		{`{"kind":"proven","cutter":{"diameter":12.7},"bushing":{"id":"a b"},"depth":{"pin_board":8,"tail_board":8}}`, []string{
			"/bushing/diameter required", "/bushing/id pattern", "/cutter/angle required",
			"/depth properties pin_board", "/depth properties tail_board", "/depth/mm required",
		}},
		{`{"kind":"proven","cutter":{"diameter":12.7,"angle":14},"bushing":{"diameter":11},"depth":11,"feel":"sticks_part_way"}`, []string{"/feel enum"}},
	})
}

func TestCutters(t *testing.T) {
	with := func(member string) string { return `{"diameter":12.7,"angle":14,` + member + `}` }
	check(t, "Cutter", []row{
		{`{"diameter":"1/2 in","angle":14}`, nil},
		{`{"diameter":12.7,"angle":45}`, nil},
		{with(`"angle_tolerance":0,"condition":"unknown","runout":0,"id":"A.b_c-9"`), nil},
		{`{"diameter":12.7,"angle":0}`, []string{"/angle minimum"}},
		{`{"diameter":12.7,"angle":45.1}`, []string{"/angle maximum"}},
		{`{"diameter":12.7,"angle":"14"}`, []string{"/angle type"}},
		{`{"diameter":12.7,"angle":null}`, []string{"/angle nullable"}},
		{`{"id":"1_2in_14deg"}`, []string{"/angle required", "/diameter required"}},
		{with(`"angle_tolerance":10.1`), []string{"/angle_tolerance maximum"}},
		{with(`"condition":"blunt"`), []string{"/condition enum"}},
		{with(`"id":""`), []string{"/id pattern"}},
		{with(`"id":"-a"`), []string{"/id pattern"}},
		{with(`"id":"` + strings.Repeat("a", 65) + `"`), []string{"/id pattern"}},
	})
	check(t, "CutterAtHand", []row{
		{`{"id":"1_2in_14deg"}`, nil},
		{`{"diameter":"1/2 in","angle":14}`, nil},
		{`{"dia":"1/2 in"}`, []string{"/ properties dia"}},
	})
}

func TestRequests(t *testing.T) {
	const setup = `"setup":{"template":{"kind":"allowance","allowance":2.5},"bushing":{"diameter":11.1}`
	const whole = setup + `,"cutter":{"diameter":12.7,"angle":14},"depth":11}`
	repeated := func(item string, n int) string {
		return `[` + strings.TrimSuffix(strings.Repeat(item+",", n), ",") + `]`
	}
	check(t, "FitPredictionRequest", []row{
		{`{` + whole + `}`, nil},
		{`{"units":"in","explain":true,"target":{"play":0,"from":"-0.1 mm","to":0.01},` + whole + `}`, nil},
		{`{` + setup + `}}`, []string{"/setup/cutter required", "/setup/depth required"}},
		{`{}`, []string{"/setup required"}},
		{`{"units":"inch","explain":1,` + whole + `}`, []string{"/explain type", "/units enum"}},
		{`{"unit":"in",` + whole + `}`, []string{"/ properties unit"}},
		{`{"cutters":[],` + whole + `}`, []string{"/ properties cutters"}},
		{`[]`, []string{"/ type"}},
		{`null`, []string{"/ nullable"}},
	})
	check(t, "CutterRecommendationRequest", []row{
		{`{` + setup + `}}`, nil},
		{`{` + whole + `}`, nil},
		{`{` + setup + `},"cutters":` + repeated(`{"id":"1_2in_14deg"}`, 100) + `}`, nil},
		{`{` + setup + `},"cutters":` + repeated(`{"id":"1_2in_14deg"}`, 101) + `}`, []string{"/cutters maxItems"}},
		{`{` + setup + `},"cutters":[]}`, []string{"/cutters minItems"}},
	})
	check(t, "CorrectionRequest", []row{
		{`{` + whole + `}`, nil},
		{`{` + whole + `,"test_cuts":[]}`, nil},
		{`{` + whole + `,"test_cuts":` + repeated(`{"depth":11}`, 50) + `}`, nil},
		{`{` + whole + `,"test_cuts":` + repeated(`{"depth":11}`, 51) + `}`, []string{"/test_cuts maxItems"}},
		{`{` + whole + `,"test_cuts":[{"feel":"floppy"}]}`, []string{"/test_cuts/0/depth required", "/test_cuts/0/feel enum"}},
		{`{` + whole + `,"test_cuts":[{"depth":11,"measured":{"pin":9}}]}`, []string{"/test_cuts/0/measured properties pin"}},
	})
}
