package service

import (
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/api"
)

// chooseFrom asks for pairs: pitch 7/8 in, opening 0.484 in, a 3/4 in front and a
// side of 12 mm in red oak, as the joint/model.md, section 14, works it.
func chooseFrom(more string) string {
	return fmt.Sprintf(`{"setup":{"template":{"kind":"one_piece","pitch":"7/8 in","opening":"0.484 in"},"bushing":{"diameter":"7/16 in"},`+
		`"pin_board":{"thickness":"3/4 in","species":"red_oak"},"tail_board":{"thickness":12,"species":"red_oak"}}%s}`, more)
}

const steepAndShallow = `,"cutters":[{"diameter":"7/16 in","angle":9.5},{"diameter":"1/2 in","angle":14}]`

// The case at hand of the joint/model.md, section 14: flares of 1.13 and 2.72
// are 1.27 test joints, so 14 deg at 10.9 mm leads 9.5 deg at 6.8 mm. Holds as
// printed there, 457 and 191 N a tail, scale with the flare at the depth that is
// set, which is that of the band's middle.
func TestSteeperLeadsInAThickFront(t *testing.T) {
	c := newCaller(t)
	a := answerOf[api.CutterRecommendationAnswer](t, c, "/v1/cutter-recommendations", chooseFrom(steepAndShallow))
	require.Len(t, a.Recommendations, 2)
	first, second := a.Recommendations[0], a.Recommendations[1]
	assert.Equal(t, 14.0, first.Cutter.Angle)
	assert.InDelta(t, 10.9, first.Depth.MM, 0.06)
	assert.InDelta(t, 6.8, second.Depth.MM, 0.06)
	assert.InDelta(t, 457*first.Hold.Flare.MM/2.719, *first.Hold.SlopeN, 1)
	assert.InDelta(t, 191*second.Hold.Flare.MM/1.131, *second.Hold.SlopeN, 1)
	assert.InDelta(t, math.Log2(2.72/1.13), second.Cost.Hold, 0.02)
	assert.Zero(t, first.Cost.Hold)
	assert.Equal(t, "balance", a.Prefer)
	assert.Contains(t, a.Rates, "judgement")
	for _, r := range a.Recommendations {
		cost := r.Cost
		assert.InDelta(t, cost.Trials+cost.Hold+cost.Lap+cost.EdgePin, cost.Total, 1e-5)
		assert.InDelta(t, 1+(1-cost.First)+(1-cost.First)*(1-cost.Second), cost.Trials, 1e-5)
		assert.InDelta(t, r.Fit.InTarget, cost.First, 1e-6)
		assert.InDelta(t, math.Max(0, 4.8-r.Lap.MM)/1.6, cost.Lap, 1e-5)
	}
}

// With the worth that is said to break even, both pairs cost the same.
func TestBreakEvenIsWhereBothCostTheSame(t *testing.T) {
	c := newCaller(t)
	a := answerOf[api.CutterRecommendationAnswer](t, c, "/v1/cutter-recommendations", chooseFrom(steepAndShallow))
	require.NotNil(t, a.BreakEven)
	assert.Equal(t, "worth_more", a.BreakEven.LeadsWhile)
	require.NotNil(t, a.BreakEven.Worth)
	first, second := a.Recommendations[0].Cost, a.Recommendations[1].Cost
	at := func(cost api.PairCost) float64 { return cost.Total - cost.Hold + *a.BreakEven.Worth*cost.Hold }
	assert.InDelta(t, at(first), at(second), 1e-5)
	assert.Contains(t, a.Summary, a.BreakEven.Text)
	assert.Contains(t, a.BreakEven.Text, fmt.Sprintf("%.2f", *a.BreakEven.Worth))

	for _, prefer := range []string{"least_trial", "hold"} {
		b := answerOf[api.CutterRecommendationAnswer](t, c, "/v1/cutter-recommendations", chooseFrom(steepAndShallow+`,"prefer":"`+prefer+`"`))
		assert.Equal(t, prefer, b.Prefer)
		assert.Nil(t, b.BreakEven)
		for i := 1; i < len(b.Recommendations); i++ {
			before, after := b.Recommendations[i-1], b.Recommendations[i]
			if prefer == "hold" {
				assert.GreaterOrEqual(t, before.Cost.Share, after.Cost.Share)
			} else {
				assert.LessOrEqual(t, before.Cost.Trials, after.Cost.Trials)
			}
		}
	}
}

// The built-in set is every pair once; what is outside the window on d - g is
// refused with it.
func TestAllBushings(t *testing.T) {
	c := newCaller(t)
	a := answerOf[api.CutterRecommendationAnswer](t, c, "/v1/cutter-recommendations", chooseFrom(`,"all_bushings":true`))
	cutters := answerGet[api.CuttersAnswer](t, c, "/v1/cutters")
	bushings := answerGet[api.BushingsAnswer](t, c, "/v1/bushings")
	assert.Equal(t, len(cutters.Cutters)*len(bushings.Bushings), len(a.Recommendations)+len(a.Refused)+a.NotListed)
	assert.LessOrEqual(t, len(a.Refused), 100)
	outside := 0
	for _, r := range a.Refused {
		assert.InDelta(t, r.Cutter.Diameter.MM-r.Bushing.Diameter.MM, pairDifference(&r), 2e-6)
		if w := r.Window; w != nil {
			outside++
			assert.True(t, w.Difference.MM < w.Least.MM || w.Most != nil && w.Difference.MM > w.Most.MM, "%+v", r)
			assert.Contains(t, r.WhyNot, "Cutter less bushing is")
		}
	}
	assert.Positive(t, outside)
	unsaid := answerOf[api.CutterRecommendationAnswer](t, c, "/v1/cutter-recommendations",
		strings.Replace(chooseFrom(`,"all_bushings":true`), `"bushing":{"diameter":"7/16 in"},`, "", 1))
	assert.Equal(t, a, unsaid, "no bushing has to be in the router")
	named := answerOf[api.CutterRecommendationAnswer](t, c, "/v1/cutter-recommendations",
		chooseFrom(steepAndShallow+`,"bushings":[{"id":"`+bushings.Bushings[0].ID+`"},{"id":"mine","diameter":"11.1 mm","barrel":5}]`))
	assert.Equal(t, 4, len(named.Recommendations)+len(named.Refused))
}

func pairDifference(r *api.Refusal) float64 {
	if r.Window == nil {
		return r.Cutter.Diameter.MM - r.Bushing.Diameter.MM
	}
	return r.Window.Difference.MM
}

// Each bad bushing, and a wish that is none, is refused where it stands.
func TestPairsAreRefusedWhereTheyAreBad(t *testing.T) {
	c := newCaller(t)
	for more, want := range map[string]string{
		`,"bushings":[]`:                                    `"#/bushings"`,
		`,"bushings":[{}]`:                                  `"#/bushings/0/diameter"`,
		`,"bushings":[{"id":"7_16inch"}]`:                   `"#/bushings/0/id"`,
		`,"bushings":[{"diameter":11},{"diameter":"x"}]`:    `"#/bushings/1/diameter"`,
		`,"bushings":[{"diameter":"11 parsec"}]`:            `"#/bushings/0/diameter"`,
		`,"bushings":[{"id":"7_16in","barrel":5}]`:          `"#/bushings/0/diameter"`,
		`,"all_bushings":true,"bushings":[{"diameter":11}]`: `"#/all_bushings"`,
		`,"all_bushings":"yes"`:                             `"#/all_bushings"`,
		`,"prefer":"cheap"`:                                 `"#/prefer"`,
		`,"bushings":[` + strings.Repeat(`{"diameter":11},`, 20) + `{"diameter":11}]`: `"#/bushings"`,
	} {
		without := strings.Replace(chooseFrom(""), `"bushing":{"diameter":"7/16 in"},`, "", 1)
		status, raw := c.post(t, "/v1/cutter-recommendations", without)
		assert.Equal(t, http.StatusBadRequest, status)
		assert.Contains(t, string(raw), `"#/setup/bushing"`)
		status, raw = c.post(t, "/v1/cutter-recommendations", chooseFrom(more))
		assert.Equal(t, http.StatusBadRequest, status, "%s: %s", more, raw)
		assert.Contains(t, string(raw), want, more)
	}
}

// With a record each pair is taught by itself, so fewer of them are judged.
func TestRecordIsLearnedFromForFewPairs(t *testing.T) {
	c := newCaller(t)
	record, err := json.Marshal(answerOf[api.CorrectionAnswer](t, c, "/v1/corrections", recordBody).Record)
	require.NoError(t, err)
	body := func(more string) string {
		return fmt.Sprintf(`{"setup":{"record":%s,"bushing":{"diameter":"7/16 in"},"pin_board":{"thickness":"3/4 in"}}%s}`, record, more)
	}
	status, raw := c.post(t, "/v1/cutter-recommendations", body(`,"all_bushings":true`))
	assert.Equal(t, http.StatusRequestEntityTooLarge, status)
	assert.Contains(t, string(raw), `"too_costly"`)
	few := answerOf[api.CutterRecommendationAnswer](t, c, "/v1/cutter-recommendations", body(steepAndShallow+`,"all_bushings":true`))
	assert.NotEmpty(t, few.Recommendations)
}

func answerGet[A any](t require.TestingT, c *caller, path string) (a A) {
	w := ask(c.handler, request(http.MethodGet, path, ""))
	require.Equal(t, http.StatusOK, w.Code)
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &a))
	return a
}
