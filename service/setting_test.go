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
	"pgregory.net/rapid"

	"snugtail/api"
)

// cutWith is a set-up with a router, at a depth; a front of 18.6 mm.
func cutWith(router string, depth float64, more string) string {
	return fmt.Sprintf(`{"setup":{"template":{"kind":"one_piece","pitch":"7/8 in","opening":"0.484 in","thickness":8},"bushing":{"diameter":"7/16 in","barrel":5.05},`+
		`"cutter":{"diameter":"1/2 in","angle":14},"depth":%g,"router":%s,"pin_board":{"thickness":18.6}}%s}`, depth, router, more)
}

// wholeSteps holds that a depth is whole steps from another.
func wholeSteps(t require.TestingT, depth *api.Length, from, step float64) {
	require.NotNil(t, depth)
	n := (depth.MM - from) / step
	assert.InDelta(t, math.Round(n), n, 1e-4, "%g mm from %g mm in steps of %g mm", depth.MM, from, step)
}

// Steps of a quarter of a millimetre: "0.603 mm (0.40 turns)" is no advice for an
// adjuster that clicks. Every depth that is advised is whole steps from the one
// that is set.
func TestAdvisedDepthsAreWholeSteps(t *testing.T) {
	c := newCaller(t)
	const router = `{"adjuster_step":0.25,"adjuster_lead":1.5,"backlash":0.3}`
	p := answerOf[api.FitPredictionAnswer](t, c, "/v1/fit-predictions", cutWith(router, 10.3, ""))
	require.NotNil(t, p.BestDepth)
	wholeSteps(t, &p.BestDepth.Depth, 10.3, 0.25)
	require.NotNil(t, p.BestDepth.Setting.Steps)
	assert.Equal(t, "depth_now", p.BestDepth.Setting.From)
	assert.InDelta(t, float64(*p.BestDepth.Setting.Steps)*0.25/1.5, *p.BestDepth.Setting.Turns, 1e-6)
	assert.Equal(t, 0.3, p.BestDepth.Setting.BackOff.MM)
	assert.InDelta(t, 10.903709, p.DepthForTarget.MM, 1e-5, "exact, whether it can be set or not")

	for _, cuts := range []string{"", `,"test_cuts":[{"depth":10.3,"pulled_gap":0.9}]`, `,"test_cuts":[{"depth":10.3,"feel":"rattles"},{"depth":11.05,"feel":"hard_blows"}]`} {
		a := answerOf[api.CorrectionAnswer](t, c, "/v1/corrections", cutWith(router, 10.3, cuts))
		wholeSteps(t, a.NextDepth, 10.3, 0.25)
		require.NotNil(t, a.Setting)
		assert.InDelta(t, a.NextDepth.MM, 10.3+0.25*float64(*a.Setting.Steps), 1e-6)
		if a.Decision.Depth != nil {
			assert.Equal(t, a.NextDepth, a.Decision.Depth)
			assert.Equal(t, a.Setting, a.Decision.Setting)
		}
		for _, step := range a.Steps {
			if step.Action == "lower_cutter" || step.Action == "raise_cutter" {
				wholeSteps(t, step.Amount, 0, 0.25)
			}
		}
	}
}

// Of all steps the best is taken: a prediction of each tells its chance.
func TestBestStepIsTheBest(t *testing.T) {
	c := newCaller(t)
	rapid.Check(t, func(t *rapid.T) {
		now := rapid.Float64Range(9.5, 11.5).Draw(t, "now")
		step := rapid.Float64Range(0.08, 0.8).Draw(t, "step")
		router := fmt.Sprintf(`{"adjuster_step":%g}`, step)
		best := answerOf[api.FitPredictionAnswer](t, c, "/v1/fit-predictions", cutWith(router, now, "")).BestDepth
		require.NotNil(t, best)
		next := answerOf[api.CorrectionAnswer](t, c, "/v1/corrections", cutWith(router, now, ""))
		most := 0.0
		for n := math.Ceil((9 - now) / step); now+n*step < 13; n++ {
			at := answerOf[api.FitPredictionAnswer](t, c, "/v1/fit-predictions", cutWith(router, now+n*step, ""))
			most = math.Max(most, at.Fit.InTarget)
		}
		assert.InDelta(t, most, best.Chance, 2e-5)
		assert.InDelta(t, best.Depth.MM, next.NextDepth.MM, step*1.001, "predictions and corrections name one depth, or two as good")
	})
}

// A stack of blocks under the base is template and depth, T + h; under the
// bushing's tip less the barrel, T + h - L (model, section 7).
func TestStacksMakeTheDepth(t *testing.T) {
	c := newCaller(t)
	const router = `{"gauge_blocks":[16,"10 mm",2,1,0.5,"1/8 in"]}`
	p := answerOf[api.FitPredictionAnswer](t, c, "/v1/fit-predictions", cutWith(router, 10.3, ""))
	require.NotNil(t, p.BestDepth)
	set := p.BestDepth.Setting
	require.NotEmpty(t, set.Stack)
	sum := 0.0
	for _, block := range set.Stack {
		sum += block.MM
	}
	beyond := map[string]float64{"base": 8, "bushing_tip": 8 - 5.05}[set.From]
	assert.InDelta(t, p.BestDepth.Depth.MM+beyond, sum, 1e-6)
	assert.Nil(t, set.Steps)
	assert.Nil(t, set.Turns)

	thin := answerOf[api.FitPredictionAnswer](t, c, "/v1/fit-predictions", strings.Replace(cutWith(router, 10.3, ""), `,"thickness":8`, "", 1))
	assert.Empty(t, thin.BestDepth.Setting.Stack)
	assert.Contains(t, thin.BestDepth.Setting.Text, "only with the template's thickness")
}

// What can't be set, or read, is refused where it stands.
func TestRouterIsRefusedWhereItIsBad(t *testing.T) {
	c := newCaller(t)
	for router, pointer := range map[string]string{
		`{"gauge_blocks":[]}`:                                  "#/setup/router/gauge_blocks",
		`{"gauge_blocks":[1,"2 furlong"]}`:                     "#/setup/router/gauge_blocks/1",
		`{"gauge_blocks":[0]}`:                                 "#/setup/router/gauge_blocks/0",
		`{"gauge_blocks":["-3 mm"]}`:                           "#/setup/router/gauge_blocks/0",
		`{"gauge_blocks":[null]}`:                              "#/setup/router/gauge_blocks/0",
		`{"gauge_blocks":"3 mm"}`:                              "#/setup/router/gauge_blocks",
		`{"backlash":-0.1}`:                                    "#/setup/router/backlash",
		`{"adjuster_step":"-0.1 mm"}`:                          "#/setup/router/adjuster_step",
		`{"gauge_blocks":[` + strings.Repeat("1,", 16) + `1]}`: "#/setup/router/gauge_blocks",
	} {
		for _, path := range []string{"/v1/fit-predictions", "/v1/corrections"} {
			status, raw := c.post(t, path, cutWith(router, 10.3, ""))
			assert.Equal(t, http.StatusBadRequest, status, "%s: %s", router, raw)
			assert.Contains(t, string(raw), `"`+pointer+`"`, router)
		}
	}
}

// A record keeps what the router can be set to.
func TestRecordKeepsTheRouter(t *testing.T) {
	c := newCaller(t)
	a := answerOf[api.CorrectionAnswer](t, c, "/v1/corrections", cutWith(`{"gauge_blocks":[16,2,"1 +/- 0.02 mm"],"backlash":0.2}`, 10.3, `,"test_cuts":[{"depth":10.3,"pulled_gap":0.5}]`))
	raw, err := json.Marshal(a.Record.Sessions[0].Setup.Router)
	require.NoError(t, err)
	assert.JSONEq(t, `{"gauge_blocks":["16 mm","2 mm","1 +/- 0.02 mm"],"backlash":"0.2 mm"}`, string(raw))
}
