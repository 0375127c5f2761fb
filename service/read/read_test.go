package read

import (
	"encoding/json"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/api"
	"snugtail/api/apitest"
	"snugtail/joint/belief"
	"snugtail/service/codes"
	"snugtail/service/message"
)

// reading reads a body into the domain's quantities, or says that it is no
// JSON of that type.
type reading func(body []byte) (bad []api.FieldError, ok bool)

func readingOf[Q any](read func(*Reader, *Q)) reading {
	return func(body []byte) (bad []api.FieldError, ok bool) {
		question := new(Q)
		if json.Unmarshal(body, question) != nil {
			return nil, false
		}
		r := New(UnitsOf(body), nil)
		read(r, question)
		all, err := message.Load()
		in := message.Printer{Catalogue: all.Default(), Unit: r.Unit}
		for _, field := range r.Bad {
			bad = append(bad, api.FieldError{Pointer: field.Pointer, Code: field.Code, Detail: in.Text(field.Detail)})
		}
		return bad, err == nil
	}
}

// readings are all that turn JSON into the domain's quantities, by path.
func readings() map[string]reading {
	return map[string]reading{
		"/v1/corrections":            readingOf(ReadCorrection),
		"/v1/cutter-recommendations": readingOf(Recommendation),
		"/v1/diagnoses":              readingOf(ReadDiagnosis),
		"/v1/drawer-parts":           readingOf(DrawerParts),
		"/v1/fit-predictions":        readingOf(Prediction),
		"/v1/joint-drawings":         readingOf(Drawing),
		"/v1/layouts":                readingOf(Layout),
		"/v1/setup-sheets":           readingOf(ReadSheet),
		"/v1/wood-movements":         readingOf(Movement),
	}
}

// FuzzReading reads JSON that no schema has seen: the readers also get what is
// left of refused requests. Each bad field has a pointer, a code of the
// contract and words, and the same body has the same bad fields.
func FuzzReading(f *testing.F) {
	document := apitest.Document(f)
	codes := document.Components.Schemas["FieldError"].Value.Properties["code"].Value.Enum
	all := readings()
	paths := slices.Sorted(maps.Keys(all))
	for i, path := range paths {
		examples := document.Paths.Value(path).Post.RequestBody.Value.Content.Get("application/json").Examples
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
			if noNumber := regexp.MustCompile(`\b(NaN|Inf)\b`); !noNumber.Match(body) {
				require.NotRegexp(t, noNumber, field.Detail, "%s", body)
			}
		}
		again, _ := all[path](body)
		require.Equal(t, bad, again, path)
	})
}

// Each finding is read into its own place.
func TestFindingsAreRead(t *testing.T) {
	for f, name := range codes.Findings {
		var in api.Findings
		require.NoError(t, json.Unmarshal(fmt.Appendf(nil, `{%q: true}`, name), &in))
		got := findings(&in)
		for other, answer := range got {
			want := belief.NotSaid
			if other == f {
				want = belief.Yes
			}
			assert.Equal(t, want, answer, name)
		}
	}
}
