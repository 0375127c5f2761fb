package service

import (
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/api"
)

// limitSolids are the set-ups on both sides of the limits beyond which there is
// no joint, as a client would write them; the header of testdata/limits.json says
// how they were cut as solids and measured.
func limitSolids(t *testing.T) []map[string]any {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join("..", "testdata", "limits.json"))
	require.NoError(t, err)
	var file struct{ Cases []map[string]any }
	require.NoError(t, json.Unmarshal(raw, &file))
	require.Len(t, file.Cases, 16)
	for _, solid := range file.Cases { // what the other solids state, these have as nothing
		for name, none := range map[string]any{"bushing_offset_x": 0, "cutter_runout": 0, "router_turned_in_use": false, "side_stop_error": 0} {
			solid[name] = none
		}
	}
	return file.Cases
}

func limitNamed(t require.TestingT, all []api.Limit, code string) api.Limit {
	for _, l := range all {
		if l.Code == code {
			return l
		}
	}
	require.Fail(t, "no such limit", code)
	return api.Limit{}
}

func broken(t require.TestingT, all []api.Limit, code string) bool {
	ok := limitNamed(t, all, code).OK
	return ok != nil && !*ok
}

// All 16 solids over HTTP: verdict as measured, seat within the tolerance that
// the case states (and the resolution of answers).
func TestLimitSolidsOverHTTP(t *testing.T) {
	c := newCaller(t)
	verdicts := map[string]int{}
	for _, solid := range limitSolids(t) {
		t.Run(solid["id"].(string), func(t *testing.T) {
			measured, tolerance := solid["measured"].(map[string]any), solid["tolerance"].(map[string]any)
			a := answerOf[api.FitPredictionAnswer](t, c, "/v1/fit-predictions", solidRequest(t, solid))
			verdict := measured["verdict"].(string)
			verdicts[verdict]++
			require.NotNil(t, a.Fit.Seat.Offset)
			assert.InDelta(t, measured["seat_offset"].(float64), a.Fit.Seat.Offset.MM, tolerance["seat_offset"].(float64)+1e-6)
			if verdict == "no_joint" {
				assertNoJoint(t, &a)
				return
			}
			assert.NotEqual(t, "no_joint", a.Fit.Band)
			assert.Nil(t, a.Fit.Shortfall)
			assert.Zero(t, a.Fit.Probability.NoJoint)
			assert.NotNil(t, a.DepthForTarget)
			assert.Equal(t, verdict == "proud", broken(t, a.Limits, "seats"))
			assert.Equal(t, verdict == "pins_short", broken(t, a.Limits, "pins_reach_end"))
		})
	}
	assert.Equal(t, map[string]int{"no_joint": 8, "proud": 3, "pins_short": 2, "joint": 3}, verdicts)
}

func assertNoJoint(t *testing.T, a *api.FitPredictionAnswer) {
	t.Helper()
	assert.Equal(t, "no_joint", a.Fit.Band)
	assert.Equal(t, api.Probability{NoJoint: 1}, a.Fit.Probability)
	assert.Zero(t, a.Fit.InTarget)
	assert.Nil(t, a.DepthForTarget)
	assert.Empty(t, a.LimitsAtTarget)
	assert.Empty(t, a.MeasureFirst)
	assert.Nil(t, a.Fit.PulledGap)
	require.NotNil(t, a.Fit.Shortfall)
	assert.GreaterOrEqual(t, a.Fit.Shortfall.By.MM, 0.0)
	assert.True(t, broken(t, a.Limits, a.Fit.Shortfall.Limit))
	assert.Contains(t, a.Summary, a.Fit.Shortfall.Text)
}

// Whatever else is asked of a set-up without a joint copes with it in words, and
// names no depth to try.
func TestNoJointElsewhere(t *testing.T) {
	c := newCaller(t)
	for _, solid := range limitSolids(t) {
		if solid["measured"].(map[string]any)["verdict"] != "no_joint" {
			continue
		}
		t.Run(solid["id"].(string), func(t *testing.T) {
			body := solidRequest(t, solid)
			a := answerOf[api.CorrectionAnswer](t, c, "/v1/corrections", body)
			assert.Equal(t, "change", a.Decision.Do)
			assert.Equal(t, "no_joint", a.Decision.Why.Code)
			assert.Nil(t, a.Decision.Depth)
			assert.Nil(t, a.NextDepth)
			assert.Zero(t, a.ChanceNextFits)
			assert.Equal(t, "no_joint", a.Predicted.Band)
			require.Len(t, a.Steps, 1)
			assert.Equal(t, "stop_and_fix", a.Steps[0].Action)
			assert.Contains(t, a.Steps[0].Text, "No joint at any depth")

			d := answerOf[api.DiagnosisAnswer](t, c, "/v1/diagnoses", body)
			assert.Equal(t, a.Decision, d.Decision)
			assert.Nil(t, d.NextDepth)

			r := answerOf[api.CutterRecommendationAnswer](t, c, "/v1/cutter-recommendations", body)
			for _, choice := range r.Recommendations {
				assert.NotEqual(t, "no_joint", choice.Fit.Band)
				assert.False(t, broken(t, choice.Limits, "tail_left") || broken(t, choice.Limits, "straight_flank"))
			}
			for _, media := range []string{"text/plain", "image/svg+xml", "application/pdf"} {
				sheet := ask(c.handler, request(http.MethodPost, "/v1/setup-sheets", body, "Accept", media))
				require.Equal(t, http.StatusOK, sheet.Code)
				if media != "application/pdf" {
					assert.Contains(t, strings.Join(strings.Fields(sheet.Body.String()), " "), "No joint at any depth")
				}
				assert.NotRegexp(t, `DEPTH OF CUT( {2}|<)`, sheet.Body.String())
			}
			drawing := ask(c.handler, request(http.MethodPost, "/v1/joint-drawings", body))
			require.Equal(t, http.StatusOK, drawing.Code)
			assert.Contains(t, drawing.Body.String(), "No joint at any depth")
		})
	}
}

const withReaches = `{"setup":{"template":{"kind":"one_piece","pitch":"7/8 in","opening":"0.484 in"%s},"bushing":{"diameter":"7/16 in"},` +
	`"cutter":{"diameter":"1/2 in","angle":14},"depth":10.904,"pin_board":{"thickness":18.6},"tail_board":{"thickness":12}}%s}`

// The case worked in the joint/model.md, section 13: at an opening reach of
// 1.0 the side stands 12.0 proud, as thick as it is, b = -0.925 and E = 0; at 5.0
// b = +3.1, yet q = -9.6 and L < 0.
func TestReportedCaseHasNoJoint(t *testing.T) {
	c := newCaller(t)
	for reach, want := range map[string]struct{ seat, b float64 }{"1.0": {-12.0, -0.925}, "5.0": {-9.6, 3.1}} {
		body := strings.NewReplacer("REACH", reach).Replace(fmt.Sprintf(withReaches, `,"opening_reach":REACH,"finger_reach":"0.53 in"`, ""))
		a := answerOf[api.FitPredictionAnswer](t, c, "/v1/fit-predictions", body)
		assertNoJoint(t, &a)
		assert.InDelta(t, want.seat, a.Fit.Seat.Offset.MM, 0.05)
		assert.InDelta(t, want.b, limitNamed(t, a.Limits, "sockets_break_through").Margin.MM, 0.05)
	}
}

// Without reaches an answer says that nobody looked, and every limit that needs
// them says what it needs.
func TestReachesUnknownIsSaid(t *testing.T) {
	c := newCaller(t)
	body := fmt.Sprintf(withReaches, "", "")
	a := answerOf[api.FitPredictionAnswer](t, c, "/v1/fit-predictions", body)
	for _, code := range []string{"tail_left", "tail_enters", "straight_flank", "seats", "pins_reach_end", "sockets_break_through"} {
		l := limitNamed(t, a.Limits, code)
		assert.Nil(t, l.OK, code)
		assert.Contains(t, l.Text, "Not known: needs", code)
	}
	asked := map[string][]api.Caution{
		"prediction":     a.Cautions,
		"correction":     answerOf[api.CorrectionAnswer](t, c, "/v1/corrections", body).Cautions,
		"recommendation": answerOf[api.CutterRecommendationAnswer](t, c, "/v1/cutter-recommendations", body).Cautions,
	}
	for name, cautions := range asked {
		assert.Contains(t, cautionCodes(cautions), "joint_not_checked", name)
	}
	known := answerOf[api.FitPredictionAnswer](t, c, "/v1/fit-predictions", fmt.Sprintf(withReaches, `,"opening_reach":14.2,"finger_reach":13.46`, ""))
	assert.NotContains(t, cautionCodes(known.Cautions), "joint_not_checked")
}

func cautionCodes(all []api.Caution) []string {
	codes := make([]string, len(all))
	for i, c := range all {
		codes[i] = c.Code
	}
	return codes
}

// A template that stands back from the boards' ends is an input like any other,
// down to -20 mm.
func TestReachesDownToTwentyBelow(t *testing.T) {
	c := newCaller(t)
	for reach, status := range map[string]int{"-20": 200, "0": 200, `"-1/4 in"`: 200, "-20.1": 400, `"-1 in"`: 400} {
		got, raw := c.post(t, "/v1/fit-predictions", fmt.Sprintf(withReaches, `,"opening_reach":14.2,"finger_reach":`+reach, ""))
		require.Equal(t, status, got, "%s", raw)
		if status == 400 {
			assert.Contains(t, string(raw), "#/setup/template/finger_reach")
			assert.Contains(t, string(raw), "out_of_range")
		}
	}
}

// Tails that were seen to go together are tails: then reaches that leave no joint
// were misread, and are not counted.
func TestSeenJointOverrulesReaches(t *testing.T) {
	c := newCaller(t)
	body := fmt.Sprintf(withReaches, `,"opening_reach":1.0,"finger_reach":"0.53 in"`, `,"test_cuts":[{"depth":10.904,"feel":"hand_pressure"}]`)
	a := answerOf[api.CorrectionAnswer](t, c, "/v1/corrections", body)
	assert.Equal(t, "stop", a.Decision.Do)
	assert.NotEqual(t, "no_joint", a.Predicted.Band)
	assert.Contains(t, cautionCodes(a.Cautions), "reaches_doubted")
	jammed := fmt.Sprintf(withReaches, `,"opening_reach":1.0,"finger_reach":"0.53 in"`, `,"test_cuts":[{"depth":10.904,"feel":"will_not_start"}]`)
	assert.Equal(t, "no_joint", answerOf[api.CorrectionAnswer](t, c, "/v1/corrections", jammed).Decision.Why.Code)
}

// Where the reaches leave no joint, no other cutter, bushing or board is told to
// help: only another template does.
func TestNoJointIsNotCuredByACutter(t *testing.T) {
	c := newCaller(t)
	body := fmt.Sprintf(withReaches, `,"opening_reach":-3,"finger_reach":0`, "")
	a := answerOf[api.CutterRecommendationAnswer](t, c, "/v1/cutter-recommendations", body)
	require.Empty(t, a.Recommendations)
	require.Len(t, a.Changes, 1)
	assert.Equal(t, "another_template", a.Changes[0].Code)
}

// A depth that breaks a limit as the one asked about does is not named as a better
// one: the tails of a template that stands too far back go in far enough nowhere.
func TestNoBetterDepthBeyondALimit(t *testing.T) {
	c := newCaller(t)
	a := answerOf[api.FitPredictionAnswer](t, c, "/v1/fit-predictions", `{"setup": {
		"template": {"kind": "one_piece", "pitch": "22.225 mm", "opening": "12.29 mm", "opening_reach": "14 mm", "finger_reach": "16 mm"},
		"bushing": {"diameter": "11.11 mm"}, "cutter": {"diameter": "12.7 mm", "angle": 14}, "depth": "10.9 mm",
		"pin_board": {"thickness": "18.6 mm"}, "tail_board": {"thickness": "12 mm"}}}`)
	assert.Contains(t, a.Summary, "Do not cut yet: the tails don't go in far enough between the pins (1.78 mm past the limit).")
	assert.NotContains(t, a.Summary, "best depth")
}
