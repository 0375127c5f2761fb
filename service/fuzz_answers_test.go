package service

import (
	"encoding/json"
	"maps"
	"net/http"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"snugtail/service/transfer"
)

// fuzzAnswers sends any bytes to an operation, for any form that it answers
// in: never a 500, and what comes back is what the contract promises.
func fuzzAnswers(f *testing.F, path string) {
	c := newCaller(f)
	forms := c.mediaFor(path)
	examples := c.contract.Paths.Value(path).Post.RequestBody.Value.Content.Get(transfer.JSON).Examples
	require.NotEmpty(f, examples)
	for _, name := range slices.Sorted(maps.Keys(examples)) {
		text, err := json.Marshal(examples[name].Value.Value)
		require.NoError(f, err)
		if len(text) > 4000 {
			continue // mutants of large bodies find little
		}
		for form := range forms {
			f.Add(uint8(form), string(text))
		}
	}
	for _, text := range []string{``, `{}`, `null`, `{"setup":{}}`, `{"setup":{"template":{"kind":"proven"}}}`, "{\"\xff\":1}", `NaN7`} {
		f.Add(uint8(0), text)
	}
	f.Fuzz(func(t *testing.T, form uint8, body string) {
		w := c.askIn(t, path, body, forms[int(form)%len(forms)], body)
		require.Contains(t, []int{200, 400, 413, 415, 422}, w.Code, "%s of %q", path, body)
	})
}

func FuzzCutterRecommendations(f *testing.F) { fuzzAnswers(f, "/v1/cutter-recommendations") }
func FuzzFitPredictions(f *testing.F)        { fuzzAnswers(f, "/v1/fit-predictions") }
func FuzzCorrections(f *testing.F)           { fuzzAnswers(f, "/v1/corrections") }
func FuzzDiagnoses(f *testing.F)             { fuzzAnswers(f, "/v1/diagnoses") }
func FuzzLayouts(f *testing.F)               { fuzzAnswers(f, "/v1/layouts") }
func FuzzDrawerParts(f *testing.F)           { fuzzAnswers(f, "/v1/drawer-parts") }
func FuzzWoodMovements(f *testing.F)         { fuzzAnswers(f, "/v1/wood-movements") }
func FuzzJointDrawings(f *testing.F)         { fuzzAnswers(f, "/v1/joint-drawings") }
func FuzzSetupSheets(f *testing.F)           { fuzzAnswers(f, "/v1/setup-sheets") }
func FuzzQRCodes(f *testing.F)               { fuzzAnswers(f, "/v1/qr-codes") }
func FuzzBatches(f *testing.F)               { fuzzAnswers(f, batchPath) }

// fuzzed are the operations that have a target.
var fuzzed = []string{
	"/v1/batches", "/v1/corrections", "/v1/cutter-recommendations", "/v1/diagnoses", "/v1/drawer-parts",
	"/v1/fit-predictions", "/v1/joint-drawings", "/v1/layouts", "/v1/qr-codes", "/v1/setup-sheets", "/v1/wood-movements",
}

func TestEveryPostIsFuzzed(t *testing.T) {
	s, err := New(Config{})
	require.NoError(t, err)
	var posts []string
	for _, op := range s.operations() {
		if op.method == http.MethodPost {
			posts = append(posts, op.path)
		}
	}
	slices.Sort(posts)
	require.Equal(t, posts, fuzzed)
}
