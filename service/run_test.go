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

// runOf asks about a run at 10.9 mm: every j-th joint, and the gaps read of them.
func runOf(every int, gaps ...float64) string {
	all := make([]string, len(gaps))
	for i, gap := range gaps {
		all[i] = fmt.Sprintf(`{"joint":%d,"pulled_gap":%g}`, 1+i*every, gap)
	}
	return cutWith(`{}`, 10.9, `,"run":[`+strings.Join(all, ",")+`]`)
}

// gapsOf is a gap that changes by slope with each reading, with a scatter that is
// no trend: +, -, -, +.
func gapsOf(n int, from, slope, scatter float64) []float64 {
	gaps := make([]float64, n)
	for i := range gaps {
		gaps[i] = from + slope*float64(i) + scatter*[]float64{1, -1, -1, 1}[i%4]
	}
	return gaps
}

// The line by its normal equations, and the limits by their definitions (model,
// second part, section 5; the constants from memory of the NIST/SEMATECH
// e-Handbook, 6.3.2), worked out anew.
func TestRunIsALineAndAChart(t *testing.T) {
	c := newCaller(t)
	gaps := gapsOf(24, 0.30, -0.004, 0.02)
	a := answerOf[api.CorrectionAnswer](t, c, "/v1/corrections", runOf(5, gaps...))
	require.NotNil(t, a.Run)
	var n, sn, sw, snn, snw, moving float64
	for i, w := range gaps {
		x := float64(1 + 5*i)
		n, sn, sw, snn, snw = n+1, sn+x, sw+w, snn+x*x, snw+x*w
		if i > 0 {
			moving += math.Abs(w-gaps[i-1]) / float64(len(gaps)-1)
		}
	}
	slope := (n*snw - sn*sw) / (n*snn - sn*sn)
	squares := 0.0
	for i, w := range gaps {
		off := w - sw/n - slope*(float64(1+5*i)-sn/n)
		squares += off * off
	}
	assert.InDelta(t, slope, a.Run.SlopePerJoint.MM, 1e-6)
	assert.InDelta(t, math.Sqrt(squares/(n-2)/(snn-sn*sn/n)), a.Run.StandardError.MM, 1e-6)
	assert.True(t, a.Run.Seen)
	assert.InDelta(t, -slope*math.Tan(14*math.Pi/180), a.Run.WearPerJoint.MM, 1e-6)
	assert.True(t, a.Run.Firm)
	assert.InDelta(t, sw/n-2.66*moving, a.Run.Limits.Lower.MM, 1e-5)
	assert.InDelta(t, sw/n+2.66*moving, a.Run.Limits.Upper.MM, 1e-5)
	assert.InDelta(t, 3.267*moving, a.Run.Limits.RangeUpper.MM, 1e-5)
	assert.InDelta(t, sw/n+moving/1.128, a.Run.Limits.WeightedUpper.MM, 1e-5)
}

// Under two standard errors no wear is seen; under 8 readings there are no limits,
// under 20 none that are firm; a gap of 0 is a signal by itself.
func TestRunSaysNoMoreThanItKnows(t *testing.T) {
	c := newCaller(t)
	asked := func(gaps ...float64) *api.Run {
		return answerOf[api.CorrectionAnswer](t, c, "/v1/corrections", runOf(1, gaps...)).Run
	}
	steady := asked(gapsOf(24, 0.2, 0, 0.03)...)
	assert.False(t, steady.Seen)
	assert.Nil(t, steady.WearPerJoint)
	require.NotNil(t, steady.LookAgainAt)
	assert.Greater(t, *steady.LookAgainAt, 24)
	assert.Empty(t, steady.Signals)

	one := asked(0.2)
	assert.Nil(t, one.SlopePerJoint)
	assert.Nil(t, one.Limits)
	assert.Nil(t, asked(gapsOf(7, 0.2, 0, 0.02)...).Limits)
	assert.NotNil(t, asked(gapsOf(8, 0.2, 0, 0.02)...).Limits)
	assert.False(t, asked(gapsOf(19, 0.2, 0, 0.02)...).Firm)
	assert.True(t, asked(gapsOf(20, 0.2, 0, 0.02)...).Firm)

	closed := asked(append(gapsOf(8, 0.2, 0, 0.02), 0)...)
	assert.Equal(t, 8, closed.Readings)
	require.NotEmpty(t, closed.Signals)
	assert.Equal(t, "closed", closed.Signals[len(closed.Signals)-1].Code)
	assert.Equal(t, 9, closed.Signals[len(closed.Signals)-1].Joint)
	require.NotNil(t, closed.LookAgainAt)
	assert.Equal(t, 9, *closed.LookAgainAt, "at once")
	jump := asked(append(gapsOf(20, 0.2, 0, 0.02), 0.5)...)
	assert.Equal(t, "gap", jump.Signals[0].Code)
}

// Faster wear is looked at again sooner.
func TestFasterWearIsLookedAtSooner(t *testing.T) {
	c := newCaller(t)
	var at []int
	for _, slope := range []float64{-0.002, -0.004} {
		r := answerOf[api.CorrectionAnswer](t, c, "/v1/corrections", runOf(1, gapsOf(24, 0.3, slope, 0.03)...)).Run
		require.True(t, r.Seen)
		if len(r.Signals) == 0 {
			at = append(at, *r.LookAgainAt)
		}
	}
	for i := 1; i < len(at); i++ {
		assert.LessOrEqual(t, at[i], at[i-1])
	}
	assert.NotEmpty(t, at)
}

// Readings of a run teach what test cuts at the same depth do: the same estimate,
// decision and next depth.
func TestRunTeachesAsTestCutsDo(t *testing.T) {
	c := newCaller(t)
	gaps := []float64{0.3, 0.36, 0.28, 0.33}
	cuts := make([]string, len(gaps))
	for i, gap := range gaps {
		cuts[i] = fmt.Sprintf(`{"depth":10.9,"pulled_gap":%g}`, gap)
	}
	run := answerOf[api.CorrectionAnswer](t, c, "/v1/corrections", runOf(1, gaps...))
	tested := answerOf[api.CorrectionAnswer](t, c, "/v1/corrections", cutWith(`{}`, 10.9, `,"test_cuts":[`+strings.Join(cuts, ",")+`]`))
	assert.Nil(t, tested.Run)
	assert.Equal(t, tested.Estimate, run.Estimate)
	assert.Equal(t, tested.Decision, run.Decision)
	assert.Equal(t, tested.NextDepth, run.NextDepth)
	assert.Equal(t, tested.Record, run.Record)

	widths := cutWith(`{}`, 10.9, `,"run":[{"joint":3,"measured":{"tail_socket_widest":13.9,"tail_widest":13.8}},{"joint":4,"measured":{"pin_socket_widest":13.88,"pin_widest":13.8}}]`)
	assert.Equal(t, 2, answerOf[api.CorrectionAnswer](t, c, "/v1/corrections", widths).Run.Readings)
}

// A record keeps the latest 50 of a long run, and can be posted back.
func TestRecordOfALongRun(t *testing.T) {
	c := newCaller(t)
	a := answerOf[api.CorrectionAnswer](t, c, "/v1/corrections", runOf(1, gapsOf(100, 0.2, 0, 0.02)...))
	assert.Len(t, a.Record.Sessions[0].TestCuts, 50)
	raw, err := json.Marshal(a.Record)
	require.NoError(t, err)
	answerOf[api.FitPredictionAnswer](t, c, "/v1/fit-predictions", fmt.Sprintf(
		`{"setup":{"record":%s,"bushing":{"diameter":"7/16 in"},"cutter":{"diameter":"1/2 in","angle":14},"depth":10.9}}`, raw))
}

// What is no reading is refused where it stands.
func TestRunIsRefusedWhereItIsBad(t *testing.T) {
	c := newCaller(t)
	for run, pointer := range map[string]string{
		`[]`:                                "#/run",
		`[{"joint":1}]`:                     "#/run/0/pulled_gap",
		`[{"pulled_gap":0.2}]`:              "#/run/0/joint",
		`[{"joint":0,"pulled_gap":0.2}]`:    "#/run/0/joint",
		`[{"joint":1.5,"pulled_gap":0.2}]`:  "#/run/0/joint",
		`[{"joint":1,"pulled_gap":-0.2}]`:   "#/run/0/pulled_gap",
		`[{"joint":1,"pulled_gap":"wide"}]`: "#/run/0/pulled_gap",
		`[{"joint":1,"pulled_gap":0.2},{"joint":2,"measured":{}}]`:                               "#/run/1/measured",
		`[{"joint":1,"measured":{"pin_widest":13.8,"tail_socket_widest":13.9}}]`:                 "#/run/0/measured",
		`[{"joint":1,"pulled_gap":0.2,"measured":{"pin_widest":13.8,"pin_socket_widest":13.9}}]`: "#/run/0/measured",
		`[{"joint":1,"gap":0.2}]`: "#/run/0/gap",
	} {
		status, raw := c.post(t, "/v1/corrections", cutWith(`{}`, 10.9, `,"run":`+run))
		assert.Equal(t, http.StatusBadRequest, status, "%s: %s", run, raw)
		assert.Contains(t, string(raw), `"`+pointer+`"`, run)
	}
}

// The text for the phone tells of the run first, and once when to look again.
func TestRunIsReadOut(t *testing.T) {
	c := newCaller(t)
	text := unwrapped(ask(c.handler, request(http.MethodPost, "/v1/corrections", runOf(4, gapsOf(12, 0.25, 0, 0.03)...), "Accept", "text/plain")).Body.Bytes())
	assert.Contains(t, text, "THE RUN")
	assert.Contains(t, text, "No wear is seen yet")
	assert.Equal(t, 1, strings.Count(strings.ToLower(text), "look again"))
}
