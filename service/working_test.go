package service

import (
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/formula"
	"snugtail/joint/model"
)

// What answers show of a formula can be checked by hand: its text, evaluated with
// the values beside it, gives the result. Values are shown to 1e-6, strains too,
// which a board's width multiplies.
func TestWorkingIsRight(t *testing.T) {
	const rounding = 5e-4
	// What is told with "less where" or "nearest" may be another figure.
	except := map[string]bool{"seat": true, "pitches": true}
	texts := map[string]string{}
	for _, r := range model.Formulas() {
		texts[r.Shown()] = r.Text
	}
	c := newCaller(t)
	seen := map[string]bool{}
	for path, item := range c.contract.Paths.Map() {
		if item.Post == nil || !answersJSON(item.Post) || path == "/v1/batches" {
			continue
		}
		for name, example := range item.Post.RequestBody.Value.Content.Get("application/json").Examples {
			for _, line := range workingOf(t, c, path, withMembers(t, example.Value.Value, map[string]any{"explain": true})) {
				text, evaluated := texts[line.Formula]
				if !evaluated || except[line.Name] {
					continue
				}
				got, err := formula.Evaluate(text, line.Values)
				require.NoError(t, err, "%s %s: %s", path, name, line.Name)
				assert.InDelta(t, line.Result, got, rounding*math.Max(1, math.Abs(line.Result)/100), "%s %s: %s", path, name, line.Name)
				seen[line.Formula] = true
			}
		}
	}
	assert.Greater(t, len(seen), 25, "formulas that answers show")
}

// After test cuts, what they taught is part of the arithmetic.
func TestWorkingAfterTestCuts(t *testing.T) {
	c := newCaller(t)
	record, err := json.Marshal(answerOf[api.CorrectionAnswer](t, c, "/v1/corrections", recordBody).Record)
	require.NoError(t, err)
	checked := 0
	for _, line := range workingOf(t, c, "/v1/fit-predictions", fmt.Sprintf(`{"explain":true,"setup":{"record":%s,`+
		`"bushing":{"id":"ours","diameter":"7/16 in"},"cutter":{"id":"old","diameter":"1/2 in","angle":14},"depth":9}}`, record)) {
		for _, r := range []*formula.Record{&joint.LearnedPlayFormula, &joint.LearnedDepthFormula, &joint.LearnedGapFormula} {
			if line.Formula != r.Shown() {
				continue
			}
			checked++
			assert.NotZero(t, line.Values["b"])
			got, err := formula.Evaluate(r.Text, line.Values)
			require.NoError(t, err)
			assert.InDelta(t, line.Result, got, 5e-6, line.Name)
		}
	}
	assert.Equal(t, 3, checked)
}

// workingOf is the arithmetic of an answer, nothing where there is none.
func workingOf(t *testing.T, c *caller, path, body string) []api.WorkingLine {
	status, raw := c.post(t, path, body)
	if status != http.StatusOK {
		return nil
	}
	var answer struct {
		Working []api.WorkingLine `json:"working"`
	}
	require.NoError(t, json.Unmarshal(raw, &answer))
	return answer.Working
}
