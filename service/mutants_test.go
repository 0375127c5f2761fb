package service

import (
	"encoding/json"
	"maps"
	"math/rand/v2"
	"net/http"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"snugtail/api/apitest"
)

// sendMutants sends changed examples of the contract down the whole path of
// the real operations: whatever a request says, the answer is one of those
// that the contract promises, and never a 500.
func sendMutants(t *testing.T, h http.Handler, path string, body any, seed uint64, rounds int) {
	r := rand.New(rand.NewPCG(seed, 2))
	pool := append(apitest.Gather(body, nil), apitest.Edges()...)
	for range apitest.Rounds(rounds, 250*time.Millisecond) {
		text, err := json.Marshal(apitest.MutantOf(r, body, pool))
		require.NoError(t, err)
		accept := []string{"application/json, */*;q=0.1", "text/plain, */*;q=0.1"}[r.IntN(2)]
		w := ask(h, request("POST", path, string(text), "Accept", accept))
		require.Contains(t, []int{200, 400, 422}, w.Code, "%s of %s", path, text)
		require.NotContains(t, w.Body.String(), `"status":500`, "an item of a batch: %s", text)
		if w.Code != 200 {
			require.NotEmpty(t, problemIn(t, w).Errors, "%s of %s", path, text)
		}
	}
}

func TestMutantsGetAnswers(t *testing.T) {
	s, err := New(Config{})
	require.NoError(t, err)
	bodies := apitest.Bodies(t, s.contract.Document)
	for _, path := range slices.Sorted(maps.Keys(bodies)) {
		for i, body := range bodies[path] {
			sendMutants(t, s.Handler(), path, body, uint64(i), 300)
		}
	}
}

func FuzzMutants(f *testing.F) {
	s, err := New(Config{})
	require.NoError(f, err)
	bodies := apitest.Bodies(f, s.contract.Document)
	paths := slices.Sorted(maps.Keys(bodies))
	for i := range uint64(20) {
		f.Add(i, uint(i))
	}
	f.Fuzz(func(t *testing.T, seed uint64, which uint) {
		path := paths[which%uint(len(paths))]
		examples := bodies[path]
		sendMutants(t, s.Handler(), path, examples[seed%uint64(len(examples))], seed, 5)
	})
}
