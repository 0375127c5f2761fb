package service

import (
	"encoding/json"
	"maps"
	"net/http"
	"slices"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// drawnValue is a value that a schema takes, or at least is meant to: patterns are
// drawn as lengths and names, and what the contract refuses after all is passed over.
func drawnValue(t *rapid.T, s *openapi3.Schema, depth int) any {
	if s.Discriminator != nil {
		kinds := slices.Sorted(maps.Keys(s.Discriminator.Mapping))
		kind := rapid.SampledFrom(kinds).Draw(t, "kind")
		for _, branch := range s.OneOf {
			if branch.Ref == s.Discriminator.Mapping[kind].Ref {
				return drawnValue(t, branch.Value, depth)
			}
		}
	}
	switch {
	case len(s.Enum) > 0:
		return rapid.SampledFrom(s.Enum).Draw(t, "code")
	case s.Type == nil: // a length
		return drawnLength(t, s)
	case s.Type.Is(openapi3.TypeObject):
		return drawnObject(t, s, depth)
	case s.Type.Is(openapi3.TypeArray):
		most := s.MinItems + 2
		if s.MaxItems != nil {
			most = min(most, *s.MaxItems)
		}
		items := make([]any, rapid.IntRange(int(s.MinItems), int(most)).Draw(t, "items"))
		for i := range items {
			items[i] = drawnValue(t, s.Items.Value, depth+1)
		}
		return items
	case s.Type.Is(openapi3.TypeBoolean):
		return rapid.Bool().Draw(t, "yes")
	case s.Type.Is(openapi3.TypeString):
		return rapid.SampledFrom([]string{"a", "drawer-1", "red_oak", "hard_maple"}).Draw(t, "name")
	case s.Type.Is(openapi3.TypeInteger):
		return rapid.IntRange(int(least(s, 0)), int(most(s, 20))).Draw(t, "number")
	default:
		return rapid.Float64Range(least(s, -10), most(s, 30)).Draw(t, "number")
	}
}

func least(s *openapi3.Schema, standard float64) float64 {
	if s.Min != nil {
		return *s.Min
	}
	return standard
}

func most(s *openapi3.Schema, standard float64) float64 {
	if s.Max != nil {
		return *s.Max
	}
	return max(standard, least(s, standard))
}

func drawnLength(t *rapid.T, s *openapi3.Schema) any {
	mm := rapid.Float64Range(max(least(s, 0.1), 0.1), min(most(s, 100), 100)).Draw(t, "mm")
	switch rapid.IntRange(0, 3).Draw(t, "form") {
	case 0:
		return rapid.SampledFrom([]string{"7/16 in", "12.7 mm", "1/2 in", "0.500 +/- 0.002 in", "3/4 in", "10 mm"}).Draw(t, "text")
	case 1:
		return map[string]any{"mm": mm}
	default:
		return mm
	}
}

func drawnObject(t *rapid.T, s *openapi3.Schema, depth int) any {
	object := map[string]any{}
	for _, name := range slices.Sorted(maps.Keys(s.Properties)) {
		if slices.Contains(s.Required, name) || rapid.IntRange(0, depth+1).Draw(t, "given") == 0 {
			object[name] = drawnValue(t, s.Properties[name].Value, depth+1)
		}
	}
	return object
}

// What the contract's schema takes is answered 200, or 422 where no such joint
// can be cut; or 400 naming the fields whose text, range or company only the
// service can judge. It is never refused without a field, and never a 500.
func TestRandomRequestsOfTheSchemas(t *testing.T) {
	s, err := New(Config{})
	require.NoError(t, err)
	taken, answered := 0, 0
	rapid.Check(t, func(rt *rapid.T) {
		op := rapid.SampledFrom(slices.DeleteFunc(s.operations(), func(op operation) bool { return op.inBatch == nil })).Draw(rt, "operation")
		schema, err := s.contract.requestSchema(http.MethodPost, op.path)
		require.NoError(rt, err)
		body := drawnValue(rt, schema, 0)
		text, err := json.Marshal(body)
		require.NoError(rt, err)
		var plain any
		require.NoError(rt, json.Unmarshal(text, &plain))
		if schema.VisitJSON(plain) != nil {
			return
		}
		taken++
		w := ask(s.Handler(), request(http.MethodPost, op.path, string(text)))
		require.Contains(rt, []int{200, 400, 422}, w.Code, "%s of %s: %s", op.path, text, w.Body)
		if w.Code != 200 {
			require.NotEmpty(rt, problemIn(t, w).Errors, "%s of %s", op.path, text)
			return
		}
		answered++
	})
	t.Logf("the contract took %d, of which %d were answered 200", taken, answered)
	require.Positive(t, taken)
}

// A record that was damaged in any byte is refused or answered, never a 500.
func FuzzRecord(f *testing.F) {
	s, err := New(Config{})
	require.NoError(f, err)
	w := ask(s.Handler(), request(http.MethodPost, "/v1/corrections", recordBody))
	require.Equal(f, 200, w.Code, w.Body)
	var answer struct{ Record json.RawMessage }
	require.NoError(f, json.Unmarshal(w.Body.Bytes(), &answer))
	require.NotEmpty(f, answer.Record)
	f.Add(string(answer.Record))
	f.Add(`{"version":1,"checksum":"","sessions":[]}`)
	f.Add(`null`)
	f.Fuzz(func(t *testing.T, record string) {
		body := `{"setup":{"record":` + record + `,"bushing":{"diameter":11},"cutter":{"diameter":12,"angle":14},"depth":10}}`
		w := ask(s.Handler(), request(http.MethodPost, "/v1/fit-predictions", body))
		require.Contains(t, []int{200, 400, 413, 422}, w.Code, body)
	})
}
