package strict

import (
	"encoding/json"
	"maps"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/api/apitest"
)

// A keyword that the precheck does not know would only make the service slower,
// so a test has to say it.
func TestPrecheckKnowsTheContract(t *testing.T) {
	document, prechecks := apitest.Document(t), Prechecks{}
	bodies := apitest.Bodies(t, document)
	require.NotEmpty(t, bodies)
	for path, examples := range bodies {
		s := prechecks.Make(apitest.SchemaOf(document, path))
		for i, example := range examples {
			assert.True(t, s.Passes(example), "example %d of %s", i, path)
		}
	}
}

// precheckCase is a body, its schema, and the precheck made of that.
type precheckCase struct {
	schema   *openapi3.Schema
	precheck *Precheck
	body     any
	pool     []any // that mutants are made with
}

func newPrecheckCase(schema *openapi3.Schema, prechecks Prechecks, body any) precheckCase {
	return precheckCase{schema, prechecks.Make(schema), body, append(apitest.Gather(body, nil), apitest.Edges()...)}
}

// check holds that whatever passes the precheck passes the schema.
func (c *precheckCase) check(t *testing.T, seed uint64, rounds int) (passed int) {
	r := rand.New(rand.NewPCG(seed, 1))
	for range rounds {
		value := apitest.MutantOf(r, c.body, c.pool)
		if c.precheck.Passes(value) {
			passed++
			text, _ := json.Marshal(value)
			require.NoError(t, c.schema.VisitJSON(value, openapi3.FailFast()), "the precheck lets pass what the contract refuses: %s", text)
		}
	}
	return passed
}

func precheckCases(t testing.TB) (cases []precheckCase) {
	real, prechecks := apitest.Document(t), Prechecks{}
	examples := apitest.Bodies(t, real)
	for _, path := range slices.Sorted(maps.Keys(examples)) {
		for _, example := range examples[path] {
			cases = append(cases, newPrecheckCase(apitest.SchemaOf(real, path), prechecks, example))
		}
	}
	value, _, _ := Parse(apitest.GoodProbe, 0, Skim{})
	return append(cases, newPrecheckCase(apitest.SchemaOf(apitest.ProbeDocument(t), "/v1/probes"), prechecks, value))
}

func TestPrecheckIsNoWeakerThanTheContract(t *testing.T) {
	for i, c := range precheckCases(t) {
		const rounds = 1000
		passed := c.check(t, uint64(i), rounds)
		assert.Greater(t, passed, rounds/200, "enough that the test says something")
		assert.Less(t, passed, rounds*9/10)
	}
}

func FuzzPrecheck(f *testing.F) {
	cases := precheckCases(f)
	for i := range cases {
		f.Add(uint64(i), uint(i))
	}
	f.Fuzz(func(t *testing.T, seed uint64, which uint) {
		cases[which%uint(len(cases))].check(t, seed, 1)
	})
}

// A schema with a keyword that the precheck does not know lets nothing pass.
func TestPrecheckIsCautious(t *testing.T) {
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
		for _, value := range apitest.Edges() {
			assert.False(t, Prechecks{}.Make(schema).Passes(value), "%s: %v", name, value)
		}
	}
	recursive := openapi3.NewObjectSchema()
	recursive.WithProperty("within", recursive)
	assert.False(t, Prechecks{}.Make(recursive).Passes(map[string]any{"within": map[string]any{}}))
	assert.True(t, Prechecks{}.Make(recursive).Passes(map[string]any{}))
}
