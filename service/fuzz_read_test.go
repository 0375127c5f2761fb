package service

import (
	"encoding/json"
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"snugtail/api"
)

// reading reads a body into the domain's quantities, or says that it is no
// JSON of that type.
type reading func(body []byte) (bad []api.FieldError, ok bool)

func readingOf[Q any](read func(*reader, *Q)) reading {
	return func(body []byte) ([]api.FieldError, bool) {
		question := new(Q)
		if json.Unmarshal(body, question) != nil {
			return nil, false
		}
		r := newReader(unitsOf(body))
		read(r, question)
		return r.bad, true
	}
}

// readings are all that turn JSON into the domain's quantities, by path.
func readings() map[string]reading {
	return map[string]reading{
		"/v1/corrections":            readingOf(readCorrection),
		"/v1/cutter-recommendations": readingOf(readRecommendation),
		"/v1/diagnoses":              readingOf(readDiagnosis),
		"/v1/drawer-parts":           readingOf(readDrawerParts),
		"/v1/fit-predictions":        readingOf(readPrediction),
		"/v1/joint-drawings":         readingOf(readDrawing),
		"/v1/layouts":                readingOf(readLayout),
		"/v1/setup-sheets":           readingOf(readSheet),
		"/v1/wood-movements":         readingOf(readMovement),
	}
}

// FuzzReading reads JSON that no schema has seen: the readers also get what is
// left of refused requests. Each bad field has a pointer, a code of the
// contract and words, and the same body has the same bad fields.
func FuzzReading(f *testing.F) {
	k, err := embeddedContract()
	require.NoError(f, err)
	codes := k.document.Components.Schemas["FieldError"].Value.Properties["code"].Value.Enum
	all := readings()
	paths := slices.Sorted(maps.Keys(all))
	for i, path := range paths {
		examples := k.document.Paths.Value(path).Post.RequestBody.Value.Content.Get(mediaJSON).Examples
		for _, name := range slices.Sorted(maps.Keys(examples)) {
			text, err := json.Marshal(examples[name].Value.Value)
			require.NoError(f, err)
			f.Add(uint8(i), text)
		}
		f.Add(uint8(i), []byte(`{"units":"in","setup":{"template":{"kind":"two_position"},"cutter":{"angle":1e308}}}`))
	}
	f.Fuzz(func(t *testing.T, which uint8, body []byte) {
		path := paths[int(which)%len(paths)]
		bad, ok := all[path](body)
		if !ok {
			return
		}
		for _, field := range bad {
			require.True(t, strings.HasPrefix(field.Pointer, "#/"), "%s: %+v", path, field)
			require.Contains(t, codes, any(field.Code), "%s: %+v", path, field)
			require.NotEmpty(t, field.Detail, "%s: %+v", path, field)
			if !notFinite.Match(body) {
				require.NotRegexp(t, notFinite, field.Detail, "%s", body)
			}
		}
		again, _ := all[path](body)
		require.Equal(t, bad, again, path)
	})
}

// What is left out of a template is told once, as missing: nothing is worked
// out from what is not there.
func TestNothingFollowsFromWhatIsMissing(t *testing.T) {
	c := newCaller(t)
	for template, missing := range map[string][]string{
		`{"kind":"proven","cuttre":{"diameter":12.7,"angle":14},"bushing":{"diameter":11},"depth":11}`:     {"#/setup/template/cutter", "#/setup/template/cuttre"},
		`{"kind":"proven","cutter":{"diameter":12.7},"bushing":{"diameter":11},"depth":11}`:                {"#/setup/template/cutter/angle"},
		`{"kind":"two_position","tail_pass":{"opening":12.3,"finger":10},"pin_pass":{"opening":12.3}}`:     {"#/setup/template/pin_pass/finger"},
		`{"kind":"two_position","tail_pass":{"opening":12.3,"finger":10},"pinpass":{}}`:                    {"#/setup/template/pin_pass", "#/setup/template/pinpass"},
		`{"kind":"proven","cutter":{"diameter":12.7,"angle":14},"bushing":{"bore":9},"depth":"11 metres"}`: {"#/setup/template/bushing/diameter", "#/setup/template/depth"},
	} {
		body := `{"setup":{"template":` + template + `,"bushing":{"diameter":11},"cutter":{"diameter":12.7,"angle":14},"depth":10}}`
		w := c.askIn(t, "/v1/fit-predictions", body, mediaJSON, "")
		require.Equal(t, 400, w.Code)
		require.NotContains(t, w.Body.String(), "NaN")
		var pointers []string
		for _, field := range problemIn(t, w).Errors {
			pointers = append(pointers, field.Pointer)
		}
		require.ElementsMatch(t, missing, pointers, "%s", body)
	}
}
