package service

import (
	"encoding/json"
	"maps"
	"math/rand/v2"
	"net/http"
	"slices"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
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
			value, fields, broken := parse(string(text))
			require.Nil(t, broken)
			require.Empty(t, fields)
			bodies[path] = append(bodies[path], value)
		}
	}
	return bodies
}

// A keyword that the screen does not know would only make the service slower,
// so a test has to say it.
func TestScreenKnowsTheContract(t *testing.T) {
	k, err := embeddedContract()
	require.NoError(t, err)
	bodies := bodiesOf(t, k)
	require.NotEmpty(t, bodies)
	for path, examples := range bodies {
		schema, err := k.requestSchema(http.MethodPost, path)
		require.NoError(t, err)
		for i, example := range examples {
			assert.True(t, newShape(schema).screen.passes(example), "example %d of %s", i, path)
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

// checkScreen holds that whatever passes the screen passes the schema.
func checkScreen(t *testing.T, s *shape, body any, seed uint64, rounds int) (passed int) {
	r := rand.New(rand.NewPCG(seed, 1))
	pool := append(gather(body, nil), edges()...)
	for range rounds {
		value := mutantOf(r, body, pool)
		if !s.screen.passes(value) {
			continue
		}
		passed++
		if err := s.schema.VisitJSON(value, openapi3.FailFast()); err != nil {
			text, _ := json.Marshal(value)
			t.Fatalf("the screen lets pass what the contract refuses: %s", text)
		}
	}
	return passed
}

func screenCases(t testing.TB) (shapes []*shape, bodies []any) {
	real, err := embeddedContract()
	require.NoError(t, err)
	examples := bodiesOf(t, real)
	for _, path := range slices.Sorted(maps.Keys(examples)) {
		schema, err := real.requestSchema(http.MethodPost, path)
		require.NoError(t, err)
		for _, example := range examples[path] {
			shapes, bodies = append(shapes, newShape(schema)), append(bodies, example)
		}
	}
	schema, err := loadProbeContract(t).requestSchema(http.MethodPost, "/v1/probes")
	require.NoError(t, err)
	value, _, _ := parse(goodProbe)
	return append(shapes, newShape(schema)), append(bodies, value)
}

func TestScreenIsNoWeakerThanTheContract(t *testing.T) {
	shapes, bodies := screenCases(t)
	for i := range shapes {
		const rounds = 4000
		passed := checkScreen(t, shapes[i], bodies[i], uint64(i), rounds)
		assert.Greater(t, passed, rounds/200, "enough that the test says something")
		assert.Less(t, passed, rounds*9/10)
	}
}

func FuzzScreen(f *testing.F) {
	shapes, bodies := screenCases(f)
	for i := range shapes {
		f.Add(uint64(i), uint(i))
	}
	f.Fuzz(func(t *testing.T, seed uint64, which uint) {
		i := which % uint(len(shapes))
		checkScreen(t, shapes[i], bodies[i], seed, 50)
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
			assert.False(t, newScreen(schema).passes(value), "%s: %v", name, value)
		}
	}
	recursive := openapi3.NewObjectSchema()
	recursive.WithProperty("within", recursive)
	assert.False(t, newScreen(recursive).passes(map[string]any{"within": map[string]any{}}))
	assert.True(t, newScreen(recursive).passes(map[string]any{}))
}
