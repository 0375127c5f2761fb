package service

import (
	"encoding/json"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/api"
	"snugtail/joint"
)

const correctionPath = "/v1/corrections"

var (
	jams  = []string{"will_not_start", "sticks_part_way", "hard_blows"}
	loose = []string{"slides_free", "rattles"}
)

// seenCut is a test cut as a request states it; what is not stated is left out.
type seenCut struct {
	Depth     float64  `json:"depth"`
	Feel      string   `json:"feel,omitempty"`
	PulledGap *float64 `json:"pulled_gap,omitempty"`
	Seat      *float64 `json:"seat,omitempty"`
}

// drawCut: what was felt need not agree with what was read, nor with the sizes
// that are stated.
func drawCut(t *rapid.T, s drawnSetup) seenCut {
	cut := seenCut{
		Depth: s.depth + rapid.Float64Range(-0.8, 1.2).Draw(t, "set"),
		Feel:  rapid.SampledFrom([]string{"", "will_not_start", "sticks_part_way", "hard_blows", "light_taps", "hand_pressure", "slides_free", "rattles"}).Draw(t, "feel"),
	}
	if rapid.Bool().Draw(t, "gap read") && !slices.Contains(jams, cut.Feel) {
		gap := rapid.Float64Range(0.05, 3).Draw(t, "gap")
		cut.PulledGap = &gap
	}
	if rapid.Bool().Draw(t, "seat read") && !slices.Contains(jams, cut.Feel) {
		seat := rapid.Float64Range(-0.6, 0.8).Draw(t, "seat")
		cut.Seat = &seat
	}
	return cut
}

func drawCuts(t *rapid.T, s drawnSetup, least int) []seenCut {
	n := rapid.IntRange(least, 3).Draw(t, "cuts")
	cuts := make([]seenCut, n)
	for i := range cuts {
		cuts[i] = drawCut(t, s)
	}
	return cuts
}

// call is a request about a set-up and its test cuts; the last one's depth is
// what is set.
func (s drawnSetup) call(t require.TestingT, cuts []seenCut) string {
	if n := len(cuts); n > 0 {
		s.depth = cuts[n-1].Depth
	}
	raw, err := json.Marshal(cuts)
	require.NoError(t, err)
	return s.body("mm", `,"test_cuts":`+string(raw))
}

func corrected(t require.TestingT, c *caller, body string) api.CorrectionAnswer {
	return answerOf[api.CorrectionAnswer](t, c, correctionPath, body)
}

// One request has one decision, whoever is asked, and each of its figures is
// the same wherever it stands.
func TestOneDecision(t *testing.T) {
	c := newCaller(t)
	rapid.Check(t, func(t *rapid.T) {
		s := drawSetup(t)
		body := s.call(t, drawCuts(t, s, 0))
		correction, diagnosis := corrected(t, c, body), diagnosed(t, c, body)
		require.Equal(t, correction.Decision, diagnosis.Decision, "%s", body)
		requireDecided(t, correction)
	})
}

// requireDecided holds a decision against the rest of its answer.
func requireDecided(t require.TestingT, a api.CorrectionAnswer) {
	d := a.Decision
	require.Equal(t, d.Do == "check", d.Check != nil, "%+v", d)
	require.Equal(t, d.Do == "cut" || d.Do == "stop", d.Depth != nil, "%+v", d)
	if d.Depth != nil {
		require.Equal(t, a.NextDepth, d.Depth)
		require.InDelta(t, a.ChanceNextFits, d.Chance, 1e-12)
	}
	if d.Do == "check" {
		require.NotNil(t, a.NextCheck)
		require.Equal(t, *d.Check, a.NextCheck.Code)
	}
	require.GreaterOrEqual(t, d.ExpectedMinutes, 0.0)
	require.True(t, strings.HasPrefix(a.Summary, d.Text), "%q begins %q", a.Summary, d.Text)
}

// After a jam nothing says deeper, after a joint that slid nothing says
// shallower, whatever the sizes stated say; unless the reading is doubted and
// to be made again.
func TestNeverAgainstTheHand(t *testing.T) {
	c := newCaller(t)
	rapid.Check(t, func(t *rapid.T) {
		s := drawSetup(t)
		cuts := drawCuts(t, s, 1)
		last := &cuts[len(cuts)-1]
		jam := rapid.Bool().Draw(t, "jam")
		last.PulledGap = nil
		wrong := regexp.MustCompile(`(?i)\b(raise|shallower)\b`)
		last.Feel = rapid.SampledFrom(loose).Draw(t, "felt")
		if jam {
			last.Feel, wrong = rapid.SampledFrom(jams).Draw(t, "felt"), regexp.MustCompile(`(?i)\b(lower the cutter|deeper)\b`)
		}
		body := s.call(t, cuts)
		for _, path := range []string{correctionPath, diagnosisPath} {
			a := answerOf[struct {
				Decision       api.Decision
				Steps          []api.Step
				Disagreements  []api.Disagreement
				NextDepth      *api.Length `json:"next_depth"`
				ChanceNextFits float64     `json:"chance_next_fits"`
			}](t, c, path, body)
			if a.Decision.Do == "check" && len(a.Disagreements) > 0 {
				continue
			}
			require.NotRegexp(t, wrong, a.Decision.Text, body)
			for _, step := range a.Steps {
				if step.Action == "lower_cutter" || step.Action == "raise_cutter" {
					require.Equal(t, jam, step.Action == "raise_cutter", "%s: %s", body, step.Text)
				}
			}
			if a.Decision.Depth == nil {
				continue
			}
			by := a.Decision.Depth.MM - last.Depth
			if jam {
				by = -by
			}
			require.GreaterOrEqual(t, by, -1e-6, "%s: %s", body, a.Decision.Text)
		}
	})
}

// The same failure at the same depth, told again: the chance that is claimed
// for the next joint falls each time.
func TestChanceFallsAsJointsFail(t *testing.T) {
	c := newCaller(t)
	rapid.Check(t, func(t *rapid.T) {
		s := drawSetup(t)
		cut := seenCut{Depth: s.depth, Feel: rapid.SampledFrom(slices.Concat(jams, loose)).Draw(t, "felt")}
		before := 1.0
		for n := 1; n <= 3; n++ {
			body := s.call(t, slices.Repeat([]seenCut{cut}, n))
			chance := corrected(t, c, body).ChanceNextFits
			require.Less(t, chance, before, "%d times %s", n, body)
			before = chance
		}
	})
}

// A larger gap at the same depth, everything else as it was, is never answered
// by a shallower depth, whether a feel goes with it or not. Where no depth within
// the limits serves and something else is to be changed, next_depth is what is left
// of the readings that may be wrong, and is not compared.
func TestLargerGapsAreCutDeeper(t *testing.T) {
	c := newCaller(t)
	rapid.Check(t, func(t *rapid.T) {
		s := drawSetup(t)
		cut := seenCut{Depth: s.depth, Feel: rapid.SampledFrom(append(loose, "")).Draw(t, "feel")}
		small := rapid.Float64Range(0.1, 3).Draw(t, "gap")
		large := small + rapid.Float64Range(0.1, 2).Draw(t, "more")
		next := func(gap float64) api.CorrectionAnswer {
			cut.PulledGap = &gap
			return corrected(t, c, s.call(t, []seenCut{cut}))
		}
		before, after := next(small), next(large)
		if len(before.Disagreements)+len(after.Disagreements) > 0 {
			return // one of the two is to be read again
		}
		if before.Decision.Do == "change" || after.Decision.Do == "change" {
			return
		}
		const flat = 0.05 // mm: the step that depths are told in; about the top the chance is flat
		require.GreaterOrEqual(t, after.NextDepth.MM, before.NextDepth.MM-flat, "gap %g, then %g at %g", small, large, cut.Depth)
	})
}

// In which order the earlier joints are told doesn't matter; only which was
// the last does.
func TestOrderOfEarlierCuts(t *testing.T) {
	c := newCaller(t)
	rapid.Check(t, func(t *rapid.T) {
		s := drawSetup(t)
		cuts := []seenCut{drawCut(t, s), drawCut(t, s), drawCut(t, s)}
		one := corrected(t, c, s.call(t, cuts))
		other := corrected(t, c, s.call(t, []seenCut{cuts[1], cuts[0], cuts[2]}))
		require.Equal(t, one.Decision.Do, other.Decision.Do)
		require.InDelta(t, one.Decision.Chance, other.Decision.Chance, 1e-6)
		require.InDelta(t, one.NextDepth.MM, other.NextDepth.MM, 1e-6)
	})
}

// A caller whose play is off by a constant and who does as told gets a fit:
// where gaps are read by the second joint.
func TestExactCallerFits(t *testing.T) {
	c := newCaller(t)
	rapid.Check(t, func(t *rapid.T) {
		s := drawSetup(t)
		off := rapid.Float64Range(-0.4, 0.5).Draw(t, "play that nobody knows of")
		tan := math.Tan(s.angle * math.Pi / 180)
		play := func(depth float64) float64 {
			return 2*s.opening - s.pitch - 2*s.bushing + 2*s.cutter - 2*depth*tan + off
		}
		if fits := (play(0) - 0.1) / 2 / tan; fits > s.front-joint.LeastLap-0.1 {
			return // through the front: then something else than the depth is changed
		}
		var cuts []seenCut
		depth := s.depth
		for range 4 {
			if p := play(depth); p >= 0 && p <= 0.2 {
				return
			}
			cut := seenCut{Depth: depth, Feel: "will_not_start"}
			if p := play(depth); p > 0.2 {
				gap := round3(p / 2 / tan)
				cut.Feel, cut.PulledGap = "rattles", &gap
			}
			cuts = append(cuts, cut)
			a := corrected(t, c, s.call(t, cuts))
			depth = a.NextDepth.MM
			if cut.PulledGap != nil {
				require.InDelta(t, 0.1, play(depth), 0.1, "after a gap of %g at %g: %s", *cut.PulledGap, cut.Depth, a.Summary)
			}
		}
	})
}

func round3(x float64) float64 { return math.Round(x*1e3) / 1e3 }

// A depth that breaks a limit is never named without it in the same sentence.
func TestLimitsAreNamedWithTheDepth(t *testing.T) {
	c := newCaller(t)
	broken := 0
	rapid.Check(t, func(t *rapid.T) {
		s := drawSetup(t)
		s.front = rapid.Float64Range(9, 14).Draw(t, "thin front")
		s.depth = min(s.depth, s.front-1)
		cuts := []seenCut{{Depth: s.depth, Feel: rapid.SampledFrom(append(loose, "hand_pressure")).Draw(t, "felt")}}
		body := s.call(t, cuts)
		a := corrected(t, c, body)
		if a.Decision.Depth == nil {
			return
		}
		for _, l := range a.Limits {
			if l.OK == nil || *l.OK {
				continue
			}
			broken++
			require.Contains(t, a.Decision.Text, "though there", "%s breaks %s", body, l.Code)
		}
	})
	t.Logf("%d broken limits were told", broken)
}
