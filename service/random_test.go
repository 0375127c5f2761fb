package service

import (
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"net/http"
	"slices"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/api/apitest"
	"snugtail/service/transfer"
)

// asker sends drawn requests and counts what becomes of them.
type asker struct {
	*caller
	*facts
	asked, answered int
}

func newAsker(t testing.TB) *asker {
	s, err := New(Config{})
	require.NoError(t, err)
	c := newCaller(t)
	return &asker{caller: c, facts: newFacts(t, s)}
}

// holdsFor asks one drawn request: what the contract takes is answered 200, or
// 422 where no such joint can be cut. An answer is then held to one more thing,
// drawn from those that must hold of it.
func (a *asker) holdsFor(t *rapid.T, path string) {
	drawn := a.drawn(t, path)
	body := written(drawn, "mm")
	requireTaken(t, a, path, body)
	a.asked++
	forms := a.mediaFor(path)
	answer, ok := a.askedIn(t, path, body, forms[0])
	if !ok {
		_, ok = a.askedIn(t, path, body, forms[len(forms)-1])
		require.False(t, ok, "%s of %s: impossible in one form, but not in another", path, body)
		return
	}
	a.answered++
	also := []func(){func() {
		again, _ := a.askedIn(t, path, body, forms[0])
		require.Equal(t, string(answer), string(again), "%s of %s", path, body)
	}}
	for _, media := range forms[1:] {
		also = append(also, func() {
			_, ok := a.askedIn(t, path, body, media)
			require.True(t, ok, "%s of %s: impossible in one form, but not in another", path, body)
		})
	}
	if forms[0] == transfer.JSON {
		also = append(also, func() { a.agreesInInches(t, path, written(drawn, "in"), answer) }, func() { a.takesBack(t, answer) })
	}
	rapid.SampledFrom(also).Draw(t, "also")()
}

// askedIn is the answer in one form, and whether the joint can be cut.
func (a *asker) askedIn(t *rapid.T, path, body, media string) ([]byte, bool) {
	w := a.askIn(t, path, body, media, "")
	if w.Code == http.StatusRequestEntityTooLarge {
		said := `"too_costly"`
		if media == transfer.Text { // which has no codes
			said = "The request is too large.\n- #/"
		}
		require.Contains(t, w.Body.String(), said)
		return nil, false
	}
	require.Contains(t, []int{200, 422}, w.Code, "%s of %s: %s", path, body, w.Body)
	require.NotContains(t, w.Body.String(), `"status":400`, "an item of %s", body)
	return w.Body.Bytes(), w.Code == http.StatusOK
}

// requireTaken: the generator draws only what the contract takes.
func requireTaken(t *rapid.T, a *asker, path, body string) {
	var plain any
	require.NoError(t, json.Unmarshal([]byte(body), &plain))
	require.NoError(t, a.request(path).Value.VisitJSON(plain), "%s of %s", path, body)
}

// agreesInInches holds the millimetres of an answer against those of the
// same request written in inches.
func (a *asker) agreesInInches(t *rapid.T, path, body string, mm []byte) {
	w := a.askIn(t, path, body, transfer.JSON, "")
	require.Equal(t, http.StatusOK, w.Code, "in inches: %s of %s: %s", path, body, w.Body)
	var one, other any
	require.NoError(t, json.Unmarshal(mm, &one))
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &other))
	require.Empty(t, apart(one, other, ""), "%s of %s", path, body)
}

// apart lists where two answers have other lengths, or other members.
func apart(one, other any, at string) (where []string) {
	differ := []string{fmt.Sprintf("%s: %v, %v", at, one, other)}
	switch one := one.(type) {
	case map[string]any:
		members, ok := other.(map[string]any)
		if !ok || len(one) != len(members) {
			return differ
		}
		if mm, isLength := one["mm"].(float64); isLength {
			if o, ok := members["mm"].(float64); !ok || math.Abs(mm-o) > 2e-6*max(1, math.Abs(mm)) {
				return differ
			}
			return nil
		}
		for _, name := range slices.Sorted(maps.Keys(one)) {
			where = append(where, apart(one[name], members[name], at+"/"+name)...)
		}
	case []any:
		items, ok := other.([]any)
		if !ok || len(one) != len(items) {
			return differ
		}
		for i := range one {
			where = append(where, apart(one[i], items[i], at+"/"+strconv.Itoa(i))...)
		}
	}
	return where
}

// takesBack posts a length of an answer back as a length of a request.
func (a *asker) takesBack(t *rapid.T, answer []byte) {
	var value any
	require.NoError(t, json.Unmarshal(answer, &value))
	all := lengthsIn(value, nil)
	if len(all) == 0 {
		return
	}
	text, err := json.Marshal(rapid.SampledFrom(all).Draw(t, "answered length"))
	require.NoError(t, err)
	body := `{"setup":{"template":{"kind":"allowance","allowance":2.5},"bushing":{"diameter":11},"cutter":{"diameter":12.7,"angle":14},"depth":10,"side_stop_error":` + string(text) + `}}`
	w := a.askIn(t, "/v1/fit-predictions", body, transfer.JSON, "")
	require.Equal(t, http.StatusOK, w.Code, "%s: %s", body, w.Body)
}

// lengthsIn gathers the lengths of an answer that a request may state.
func lengthsIn(value any, into []any) []any {
	switch value := value.(type) {
	case map[string]any:
		if mm, ok := value["mm"].(float64); ok {
			if math.Abs(mm) <= 2000 {
				into = append(into, value)
			}
			return into
		}
		for _, name := range slices.Sorted(maps.Keys(value)) {
			into = lengthsIn(value[name], into)
		}
	case []any:
		for _, item := range value {
			into = lengthsIn(item, into)
		}
	}
	return into
}

// leastAnswered is the share of drawn requests that must be answered 200, so
// that the property goes on to test answers. What is usual is 60 to 100 %.
const leastAnswered = 0.3

func TestRandomRequestsOfTheSchemas(t *testing.T) {
	one := newAsker(t)
	for _, path := range fuzzed {
		t.Run(path, func(t *testing.T) {
			a := &asker{caller: one.caller, facts: one.facts}
			inTime := apitest.Within(1500 * time.Millisecond)
			rapid.Check(t, func(t *rapid.T) {
				if inTime() {
					a.holdsFor(t, path)
				}
			})
			t.Logf("of %d requests %d were answered 200", a.asked, a.answered)
			if a.asked < 10 {
				return // on a machine that is busy with other things a few say nothing of a share; with CI=true all are asked
			}
			require.GreaterOrEqual(t, float64(a.answered), leastAnswered*float64(a.asked), "of %d", a.asked)
		})
	}
}

// FuzzDrawnRequests is the same property, driven by the fuzzer.
func FuzzDrawnRequests(f *testing.F) {
	a := newAsker(f)
	f.Add([]byte{})
	f.Fuzz(rapid.MakeFuzz(func(t *rapid.T) { a.holdsFor(t, rapid.SampledFrom(fuzzed).Draw(t, "path")) }))
}

// A record that was damaged in any byte is refused or answered, never a 500.
func FuzzRecord(f *testing.F) {
	c := newCaller(f)
	w := ask(c.handler, request(http.MethodPost, "/v1/corrections", recordBody))
	require.Equal(f, 200, w.Code, w.Body)
	var answer struct{ Record json.RawMessage }
	require.NoError(f, json.Unmarshal(w.Body.Bytes(), &answer))
	require.NotEmpty(f, answer.Record)
	f.Add(string(answer.Record))
	f.Add(`{"version":1,"checksum":"","sessions":[]}`)
	f.Add(`null`)
	f.Fuzz(func(t *testing.T, record string) {
		body := `{"setup":{"record":` + record + `,"bushing":{"diameter":11},"cutter":{"diameter":12,"angle":14},"depth":10}}`
		w := c.askIn(t, "/v1/fit-predictions", body, transfer.JSON, record)
		require.Contains(t, []int{200, 400, 413, 422}, w.Code, body)
	})
}

// Requests that once were answered otherwise in inches: a cutter as wide as its
// bushing was told to be wider, a play that is where its range begins was told
// to lie outside, and test joints that contradict a feel by many standard
// deviations were weighed by what rounding left.
func TestInchesDoNotDecide(t *testing.T) {
	a := newAsker(t)
	ranges := func(in string) string {
		return `{"setup":{"template":{"kind":"allowance","allowance":2.5},"bushing":{"diameter":11},"cutter":{"diameter":12.7,"angle":14},"depth":10},` +
			`"target":{"play":0.05,"from":` + in + `}}`
	}
	for _, from := range []string{"0.05", `"0.0019685039370078744 in"`} {
		w := a.askIn(t, "/v1/fit-predictions", ranges(from), transfer.JSON, "")
		require.Equal(t, http.StatusOK, w.Code, "%s", w.Body)
	}
	for path, body := range map[string]func(of func(mm float64) string) string{
		"/v1/cutter-recommendations": func(of func(float64) string) string {
			return `{"setup":{"template":{"kind":"allowance","allowance":` + of(1.5) + `},"bushing":{"diameter":` + of(8) + `}}}`
		},
		"/v1/corrections": func(of func(float64) string) string {
			return `{"setup":{"template":{"kind":"two_position","tail_pass":{"opening":` + of(12.265) + `,"finger":` + of(11.472) + `},` +
				`"pin_pass":{"opening":` + of(13.093) + `,"finger":` + of(10.644) + `}},"bushing":{"diameter":` + of(8) + `},` +
				`"cutter":{"angle":15,"condition":"used","diameter":` + of(10.805) + `},"depth":` + of(11) + `},"test_cuts":[` +
				`{"depth":` + of(8.853) + `,"feel":"slides_free","measured":{"depth_pin_board":` + of(9.578) + `,"pin_widest":` + of(14.587) + `,"tail_socket_widest":` + of(11.397) + `},` +
				`"pulled_gap":` + of(0.298) + `,"went_in":` + of(8) + `},{"depth":` + of(8.118) + `,"feel":"rattles","shoulder_gap":` + of(0.5) + `}]}`
		},
	} {
		inMM := a.askIn(t, path, body(func(mm float64) string { return fmt.Sprintf("%g", mm) }), transfer.JSON, "")
		inInches := a.askIn(t, path, body(func(mm float64) string { return fmt.Sprintf(`"%.17g in"`, mm/25.4) }), transfer.JSON, "")
		var one, other any
		require.NoError(t, json.Unmarshal(inMM.Body.Bytes(), &one))
		require.NoError(t, json.Unmarshal(inInches.Body.Bytes(), &other))
		require.Empty(t, apart(one, other, ""), path)
	}
}
