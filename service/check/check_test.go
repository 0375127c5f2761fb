package check

import (
	"encoding/json"
	"maps"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
	"time"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/stretchr/testify/require"

	"snugtail/api"
	"snugtail/api/apitest"
	"snugtail/service/strict"
)

// probeBody is what a probe is read into.
type probeBody struct {
	Units   api.Units    `json:"units"`
	Do      string       `json:"do"`
	Setup   *api.Setup   `json:"setup"`
	Cutters []api.Cutter `json:"cutters"`
}

// bodyTypes are what bodies are read into, by path; a batch is read item by item.
var bodyTypes = map[string]reflect.Type{
	"/v1/corrections":            reflect.TypeFor[api.CorrectionRequest](),
	"/v1/cutter-recommendations": reflect.TypeFor[api.CutterRecommendationRequest](),
	"/v1/diagnoses":              reflect.TypeFor[api.DiagnosisRequest](),
	"/v1/drawer-parts":           reflect.TypeFor[api.DrawerPartsRequest](),
	"/v1/fit-predictions":        reflect.TypeFor[api.FitPredictionRequest](),
	"/v1/joint-drawings":         reflect.TypeFor[api.JointDrawingRequest](),
	"/v1/layouts":                reflect.TypeFor[api.LayoutRequest](),
	"/v1/qr-codes":               reflect.TypeFor[api.QRCodeRequest](),
	"/v1/setup-sheets":           reflect.TypeFor[api.SetupSheetRequest](),
	"/v1/wood-movements":         reflect.TypeFor[api.WoodMovementRequest](),
	"/v1/probes":                 reflect.TypeFor[probeBody](),
}

// shapeOf is the shape of an operation's body, and what the body is read into.
func shapeOf(t testing.TB, document *openapi3.T, path string) (*Shape, reflect.Type) {
	require.True(t, path == "/v1/batches" || bodyTypes[path] != nil, path)
	shape, err := New(document, path, strict.Prechecks{}, 0)
	require.NoError(t, err)
	return shape, bodyTypes[path]
}

// readingCase is a body, what it must be, and what it is read into.
type readingCase struct {
	shape    *Shape
	question reflect.Type
	body     any
	pool     []any // that mutants are made with
}

// check holds that a body is read exactly if the schema says so.
func (c *readingCase) check(t *testing.T, seed uint64, rounds int) {
	r := rand.New(rand.NewPCG(seed, 1))
	for range apitest.Rounds(rounds, 100*time.Millisecond) {
		value := apitest.MutantOf(r, c.body, c.pool)
		text, err := json.Marshal(value)
		require.NoError(t, err)
		good := c.shape.schema.VisitJSON(value, openapi3.FailFast()) == nil
		err = c.shape.Decode(string(text), reflect.New(c.question).Interface(), nil)
		require.Equal(t, good, err == nil, "the contract and the service differ on %s: %v", text, err)
	}
}

func readingCases(t testing.TB) (cases []readingCase) {
	examples := apitest.Bodies(t, apitest.Document(t))
	for _, path := range slices.Sorted(maps.Keys(examples)) {
		shape, question := shapeOf(t, apitest.Document(t), path)
		for _, example := range examples[path] {
			if question != nil {
				cases = append(cases, readingCase{shape, question, example, append(apitest.Gather(example, nil), apitest.Edges()...)})
			}
		}
	}
	shape, question := shapeOf(t, apitest.ProbeDocument(t), "/v1/probes")
	value, _, _ := strict.Parse(apitest.GoodProbe, 0, strict.Skim{})
	return append(cases, readingCase{shape, question, value, append(apitest.Gather(value, nil), apitest.Edges()...)})
}

func TestBodiesAreReadAsTheContractSays(t *testing.T) {
	for i, c := range readingCases(t) {
		c.check(t, uint64(i), 1000)
	}
}

// FuzzVerdict is the same property, driven by the fuzzer.
func FuzzVerdict(f *testing.F) {
	cases := readingCases(f)
	for i := range cases {
		f.Add(uint64(i), uint(i))
	}
	f.Fuzz(func(t *testing.T, seed uint64, which uint) {
		cases[which%uint(len(cases))].check(t, seed, 1)
	})
}

// A rule by a keyword that explain.go has no sentence for would be told in
// kin-openapi's words: the contract has none.
func TestEveryRuleHasASentence(t *testing.T) {
	seen := map[*openapi3.Schema]bool{}
	var walk func(name string, ref *openapi3.SchemaRef)
	walk = func(name string, ref *openapi3.SchemaRef) {
		if ref == nil || seen[ref.Value] {
			return
		}
		s := ref.Value
		seen[s] = true
		untold := s.MinProps > 0 || s.MaxProps != nil || s.UniqueItems || s.ExclusiveMax.IsSet() || s.MultipleOf != nil || s.Not != nil && !isLength(s)
		require.False(t, untold, name)
		walk(name, s.Items)
		for member, of := range s.Properties {
			walk(name+"."+member, of)
		}
		for _, of := range slices.Concat(s.OneOf, s.AnyOf, s.AllOf) {
			walk(name, of)
		}
	}
	document, err := api.CheckedDocument()
	require.NoError(t, err)
	for name, ref := range document.Components.Schemas {
		walk(name, ref)
	}
	require.Greater(t, len(seen), 100)
}
