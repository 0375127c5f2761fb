package service

import (
	"encoding/json"
	"maps"
	"math/rand/v2"
	"net/http"
	"reflect"
	"slices"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/api"
)

// bodiesOf are the examples of every operation that takes a body, by path.
func bodiesOf(t testing.TB, k *contract) map[string][]any {
	bodies := map[string][]any{}
	for path, item := range k.document.Paths.Map() {
		if item.Post == nil {
			continue
		}
		for _, name := range slices.Sorted(maps.Keys(item.Post.RequestBody.Value.Content.Get(mediaJSON).Examples)) {
			example := item.Post.RequestBody.Value.Content.Get(mediaJSON).Examples[name]
			text, err := json.Marshal(example.Value.Value)
			require.NoError(t, err)
			value, fields, broken := parse(string(text), 0)
			require.Nil(t, broken)
			require.Empty(t, fields)
			bodies[path] = append(bodies[path], value)
		}
	}
	return bodies
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
	"/v1/setup-sheets":           reflect.TypeFor[api.SetupSheetRequest](),
	"/v1/wood-movements":         reflect.TypeFor[api.WoodMovementRequest](),
	"/v1/probes":                 reflect.TypeFor[probe](),
}

// shapeOf is the shape of an operation's body, and what the body is read into.
func shapeOf(t testing.TB, k *contract, path string) (*shape, reflect.Type) {
	schema, err := k.requestSchema(http.MethodPost, path)
	require.NoError(t, err)
	require.True(t, path == batchPath || bodyTypes[path] != nil, path)
	return screenMaker{}.shape(schema), bodyTypes[path]
}

// A keyword that the screen does not know would only make the service slower,
// so a test has to say it.
func TestScreenKnowsTheContract(t *testing.T) {
	k, err := embeddedContract()
	require.NoError(t, err)
	bodies := bodiesOf(t, k)
	require.NotEmpty(t, bodies)
	for path, examples := range bodies {
		shape, _ := shapeOf(t, k, path)
		for i, example := range examples {
			assert.True(t, shape.screen.passes(example), "example %d of %s", i, path)
		}
	}
}

// mutant changes a value here and there, by members and values that stand
// elsewhere in it or that are at the edge of what a contract says.
func mutant(r *rand.Rand, value any, pool []any) any {
	if r.IntN(12) == 0 {
		return pool[r.IntN(len(pool))]
	}
	switch value := value.(type) {
	case map[string]any:
		return mutantObject(r, value, pool)
	case []any:
		items := []any{}
		for _, item := range value {
			for range 1 + r.IntN(20)/18 - r.IntN(20)/19 {
				items = append(items, mutant(r, item, pool))
			}
		}
		return items
	default:
		return value
	}
}

// mutantOf changes a body; of a big one only some part, or no mutant of it
// would still be good.
func mutantOf(r *rand.Rand, body any, pool []any) any {
	const big = 80 // values and names
	if len(gather(body, nil)) <= big {
		return mutant(r, body, pool)
	}
	switch body := body.(type) {
	case map[string]any:
		members, names := maps.Clone(body), slices.Sorted(maps.Keys(body))
		name := names[r.IntN(len(names))]
		members[name] = mutantOf(r, body[name], pool)
		return members
	case []any:
		items, i := slices.Clone(body), r.IntN(len(body))
		items[i] = mutantOf(r, body[i], pool)
		return items
	default:
		return mutant(r, body, pool)
	}
}

func mutantObject(r *rand.Rand, value map[string]any, pool []any) map[string]any {
	members := map[string]any{}
	for _, name := range slices.Sorted(maps.Keys(value)) {
		if r.IntN(25) != 0 {
			members[name] = mutant(r, value[name], pool)
		}
	}
	if name, ok := pool[r.IntN(len(pool))].(string); ok && r.IntN(8) == 0 {
		members[name] = pool[r.IntN(len(pool))]
	}
	return members
}

// gather lists all values and names within a value.
func gather(value any, into []any) []any {
	into = append(into, value)
	switch value := value.(type) {
	case map[string]any:
		for _, name := range slices.Sorted(maps.Keys(value)) {
			into = gather(value[name], append(into, name))
		}
	case []any:
		for _, item := range value {
			into = gather(item, into)
		}
	}
	return into
}

func edges() []any {
	return []any{
		nil, true, false, "", "x", "7/16 in", "mm", "in", "a text that is longer than any limit that the contract sets to one",
		0.0, -1.0, 0.1, 0.09, 45.0, 45.1, 2000.0, 2000.5, -2000.0, 1e308,
		[]any{},
		[]any{1.0},
		map[string]any{},
		map[string]any{"mm": 5.0},
		map[string]any{"in": 5.0},
		map[string]any{"mm": 5.0, "in": 1.0, "text": "5 mm"},
		map[string]any{"pin_board": 5.0, "tail_board": "5 mm"},
		map[string]any{"pin_board": 5.0},
		map[string]any{"kind": "allowance", "allowance": 3.0},
		"kind", "one_piece", "allowance", "proven", "two_position", "pin_board", "tail_board", "diameter", "units", "do",
	}
}

// screenCase is a body and what it must be.
type screenCase struct {
	*shape
	question reflect.Type
	body     any
	pool     []any // that mutants are made with
}

func newScreenCase(s *shape, question reflect.Type, body any) screenCase {
	return screenCase{s, question, body, append(gather(body, nil), edges()...)}
}

// check holds that whatever passes the screen passes the schema, and that a
// body is read exactly if the schema says so.
func (c *screenCase) check(t *testing.T, seed uint64, rounds int) (passed int) {
	r := rand.New(rand.NewPCG(seed, 1))
	for range rounds {
		value := mutantOf(r, c.body, c.pool)
		text, err := json.Marshal(value)
		require.NoError(t, err)
		good := c.schema.VisitJSON(value, openapi3.FailFast()) == nil
		if c.screen.passes(value) {
			passed++
			require.True(t, good, "the screen lets pass what the contract refuses: %s", text)
		}
		if c.question != nil {
			c.checkText(t, string(text), good)
		}
	}
	return passed
}

// checkText holds the service's reading of a body against the contract's verdict.
func (c *screenCase) checkText(t *testing.T, text string, good bool) {
	read := reflect.New(c.question).Interface()
	err := decodeText(text, c.shape, read, func([]byte) []api.FieldError { return nil })
	require.Equal(t, good, err == nil, "the contract and the service differ on %s: %v", text, err)
}

func screenCases(t testing.TB) (cases []screenCase) {
	real, err := embeddedContract()
	require.NoError(t, err)
	examples := bodiesOf(t, real)
	for _, path := range slices.Sorted(maps.Keys(examples)) {
		shape, question := shapeOf(t, real, path)
		for _, example := range examples[path] {
			cases = append(cases, newScreenCase(shape, question, example))
		}
	}
	shape, question := shapeOf(t, loadProbeContract(t), "/v1/probes")
	value, _, _ := parse(goodProbe, 0)
	return append(cases, newScreenCase(shape, question, value))
}

func TestScreenIsNoWeakerThanTheContract(t *testing.T) {
	for i, c := range screenCases(t) {
		const rounds = 1000
		passed := c.check(t, uint64(i), rounds)
		assert.Greater(t, passed, rounds/200, "enough that the test says something")
		assert.Less(t, passed, rounds*9/10)
	}
}

func FuzzScreen(f *testing.F) {
	cases := screenCases(f)
	for i := range cases {
		f.Add(uint64(i), uint(i))
	}
	f.Fuzz(func(t *testing.T, seed uint64, which uint) {
		cases[which%uint(len(cases))].check(t, seed, 1)
	})
}

// A schema with a keyword that the screen does not know lets nothing pass.
func TestScreenIsCautious(t *testing.T) {
	never := map[string]*openapi3.Schema{
		"anyOf":       {AnyOf: openapi3.SchemaRefs{openapi3.NewStringSchema().NewRef()}},
		"integer":     openapi3.NewIntegerSchema(),
		"unique":      openapi3.NewArraySchema().WithItems(openapi3.NewStringSchema()).WithUniqueItems(true),
		"format":      openapi3.NewStringSchema().WithFormat("date"),
		"multiple":    {MultipleOf: openapi3.Ptr(0.5)},
		"bare oneOf":  openapi3.NewOneOfSchema(openapi3.NewStringSchema()),
		"own pattern": openapi3.NewStringSchema().WithPattern(`^\u0041$`),
		"plain not":   {Not: openapi3.NewStringSchema().NewRef()},
		"enum":        {Enum: []any{1.0}},
	}
	for name, schema := range never {
		for _, value := range edges() {
			assert.False(t, screenMaker{}.make(schema).passes(value), "%s: %v", name, value)
		}
	}
	recursive := openapi3.NewObjectSchema()
	recursive.WithProperty("within", recursive)
	assert.False(t, screenMaker{}.make(recursive).passes(map[string]any{"within": map[string]any{}}))
	assert.True(t, screenMaker{}.make(recursive).passes(map[string]any{}))
}
