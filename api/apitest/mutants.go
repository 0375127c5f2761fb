package apitest

import (
	"encoding/json"
	"maps"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
)

// Bodies are the examples of every operation that takes a body, by path, as
// encoding/json reads them.
func Bodies(t testing.TB, document *openapi3.T) map[string][]any {
	t.Helper()
	bodies := map[string][]any{}
	for path, item := range document.Paths.Map() {
		if item.Post == nil {
			continue
		}
		examples := item.Post.RequestBody.Value.Content.Get("application/json").Examples
		for _, name := range slices.Sorted(maps.Keys(examples)) {
			text, err := json.Marshal(examples[name].Value.Value)
			if err != nil {
				t.Fatal(err)
			}
			var value any
			if err := json.Unmarshal(text, &value); err != nil {
				t.Fatal(err)
			}
			bodies[path] = append(bodies[path], value)
		}
	}
	return bodies
}

// Mutant changes a value here and there, by members and values that stand
// elsewhere in it or that are at the edge of what a contract says.
func Mutant(r *rand.Rand, value any, pool []any) any {
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
				items = append(items, Mutant(r, item, pool))
			}
		}
		return items
	default:
		return value
	}
}

// MutantOf changes a body; of a big one only some part, or no mutant of it
// would still be good.
func MutantOf(r *rand.Rand, body any, pool []any) any {
	const big = 80 // values and names
	if len(Gather(body, nil)) <= big {
		return Mutant(r, body, pool)
	}
	switch body := body.(type) {
	case map[string]any:
		members, names := maps.Clone(body), slices.Sorted(maps.Keys(body))
		name := names[r.IntN(len(names))]
		members[name] = MutantOf(r, body[name], pool)
		return members
	case []any:
		items, i := slices.Clone(body), r.IntN(len(body))
		items[i] = MutantOf(r, body[i], pool)
		return items
	default:
		return Mutant(r, body, pool)
	}
}

func mutantObject(r *rand.Rand, value map[string]any, pool []any) map[string]any {
	members := map[string]any{}
	for _, name := range slices.Sorted(maps.Keys(value)) {
		if r.IntN(25) != 0 {
			members[name] = Mutant(r, value[name], pool)
		}
	}
	if name, ok := pool[r.IntN(len(pool))].(string); ok && r.IntN(8) == 0 {
		members[name] = pool[r.IntN(len(pool))]
	}
	return members
}

// Gather lists all values and names within a value.
func Gather(value any, into []any) []any {
	into = append(into, value)
	switch value := value.(type) {
	case map[string]any:
		for _, name := range slices.Sorted(maps.Keys(value)) {
			into = Gather(value[name], append(into, name))
		}
	case []any:
		for _, item := range value {
			into = Gather(item, into)
		}
	}
	return into
}

// ExtremeSizes are numbers and lengths at the edges of what a contract takes.
func ExtremeSizes() []any {
	return []any{
		5e-324, 1e-300, 1e-9, 0.001, 0.1, 1.0, 45.0, 90.0, 2000.0, -2000.0, 1e308,
		"2000 mm", "0.1 +/- 2000 mm", "10 +/- 2000 mm", "10 +/- 0 mm", "10 +/- 0.1 mm", "0.1 mm",
	}
}

// Edges are values of all kinds at the edges of what a contract takes.
func Edges() []any {
	return append(ExtremeSizes(),
		nil, true, false, "", "x", "7/16 in", "mm", "in", "a text that is longer than any limit that the contract sets to one",
		0.0, -1.0, 0.09, 45.1, 2000.5,
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
	)
}
