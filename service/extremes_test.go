package service

import (
	"encoding/json"
	"fmt"
	"maps"
	"math/rand/v2"
	"net/http"
	"runtime"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"snugtail/api/apitest"
)

// mostAllocated is what one answer may take of memory, all in all, with one of
// its sizes at the edge: a table as long as a size is large takes far more.
const mostAllocated = 48 << 20

// One size at the edge of what the contract takes, all else as in an example:
// an answer or a refusal, never a failure, and no more work than for another.
func TestOneExtremeSize(t *testing.T) {
	s, err := New(Config{})
	require.NoError(t, err)
	type asked struct {
		path          string
		body, extreme any
		place         []any
	}
	var all []asked
	for path, bodies := range apitest.Bodies(t, s.contract.Document) {
		for _, body := range bodies {
			if len(apitest.Gather(body, nil)) > 150 {
				continue // batches and records say the same things many times
			}
			for _, place := range sizesIn(body, nil) {
				for _, extreme := range apitest.ExtremeSizes() {
					all = append(all, asked{path, body, extreme, place})
				}
			}
		}
	}
	inTime := apitest.Within(1500 * time.Millisecond)
	for _, i := range rand.Perm(len(all)) {
		if !inTime() {
			return
		}
		text, err := json.Marshal(withAt(all[i].body, all[i].place, all[i].extreme))
		require.NoError(t, err)
		askExtreme(t, s.Handler(), all[i].path, string(text))
	}
}

func askExtreme(t *testing.T, h http.Handler, path, body string) {
	t.Helper()
	before := allocated()
	w := ask(h, request(http.MethodPost, path, body))
	require.Contains(t, []int{200, 400, 422}, w.Code, "%s of %s", path, body)
	require.NotContains(t, w.Body.String(), `"status":500`, "an item of a batch: %s", body)
	require.Less(t, allocated()-before, uint64(mostAllocated), "%s of %s", path, body)
}

func allocated() uint64 {
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.TotalAlloc
}

// sizesIn lists where the numbers and the texts of lengths stand, each as the
// names and indices that lead to it.
func sizesIn(value any, at []any) (all [][]any) {
	switch value := value.(type) {
	case float64:
		return [][]any{at}
	case string:
		if len(value) > 0 && value[0] >= '0' && value[0] <= '9' {
			return [][]any{at}
		}
	case map[string]any:
		for _, name := range slices.Sorted(maps.Keys(value)) {
			all = append(all, sizesIn(value[name], append(slices.Clip(at), name))...)
		}
	case []any:
		for i := range value {
			all = append(all, sizesIn(value[i], append(slices.Clip(at), i))...)
		}
	}
	return all
}

// withAt is a copy of a value with another one at a place in it.
func withAt(value any, place []any, with any) any {
	if len(place) == 0 {
		return with
	}
	switch key := place[0].(type) {
	case string:
		members := maps.Clone(value.(map[string]any))
		members[key] = withAt(members[key], place[1:], with)
		return members
	case int:
		items := slices.Clone(value.([]any))
		items[key] = withAt(items[key], place[1:], with)
		return items
	}
	panic(fmt.Sprintf("no place: %v", place))
}
