package advise

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/joint/belief"
	"snugtail/joint/length"
)

// A reading that agrees with what was told already, as exactly as can be, never
// lowers the chance that is claimed, nor makes the depth that is advised worse.
// Where the depth scale is off, widths agree with the play alone: they also tell that
// the wood is not cut to the depth as set. A cutter that crept does that too, and comes
// to another depth next time, so the chance is then held against the gap's alone.
func TestAReadingThatAgreesNeverHarms(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := looseAtFirst(t)
		if e == nil {
			return
		}
		last := &e.told.Cuts[0]
		feel := last.Feel
		last.Feel = belief.FeelNone
		gap := on(t, e.told)
		last.Feel = feel
		both := on(t, e.told)
		w, _ := e.cut.Widths()
		last.Measured.PinWidest, last.Measured.PinSocketWidest = length.Exactly(w.PinWidest), length.Exactly(w.PinSocketWidest)
		last.Measured.TailWidest, last.Measured.TailSocketWidest = length.Exactly(w.TailWidest), length.Exactly(w.TailSocketWidest)
		all := on(t, e.told)
		const hair = 0.005 // what the grid of play leaves
		assert.GreaterOrEqual(t, both.ChanceNext, gap.ChanceNext-hair, "a feel that agrees")
		if e.zero != 0 {
			assert.GreaterOrEqual(t, all.ChanceNext, gap.ChanceNext-hair, "widths that agree in play")
		} else {
			assert.GreaterOrEqual(t, all.ChanceNext, both.ChanceNext-hair, "widths that agree")
		}
		assert.InDelta(t, gap.NextDepth.MM(), both.NextDepth.MM(), 0.1)
	})
}

// What is decided, the steps, the check and the cures are one advice: whatever
// is told, no two of its figures for one quantity differ.
func TestOneAdvice(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 2))
	for range 300 {
		c := randomCase(r)
		a, err := On(belief.Default(), c)
		if err != nil {
			continue
		}
		d := &a.Decision
		switch d.Do {
		case DoCheck:
			require.NotNil(t, a.NextCheck)
			require.Equal(t, d.Check, a.NextCheck.Check)
			require.Equal(t, d.Check, a.Steps[0].Check)
			require.Equal(t, Measure, a.Steps[0].Action)
			require.False(t, c.Unavailable[d.Check])
		case DoCut, DoStop:
			require.Equal(t, a.NextDepth, d.Depth)
			require.InDelta(t, a.ChanceNext, d.Chance, 1e-12)
		}
		if a.NextKnown {
			require.InDelta(t, a.ChanceNext, a.Predicted.InTarget, 1e-12)
			require.Equal(t, a.NextDepth, a.Set.Setting.Depth)
		}
		if d.Do != DoCheck {
			require.Equal(t, a.Steps, a.Answers[0].Steps)
		}
		for _, of := range stepsOf(a) {
			for _, s := range of {
				if s.DepthKnown {
					require.Equal(t, d.Depth, s.Depth)
				}
				if s.Action == Measure && s.Reason == ReasonUnsure {
					require.False(t, c.Unavailable[s.Check], "%+v", s)
				}
			}
		}
		again, err := On(belief.Default(), c)
		require.NoError(t, err)
		require.Equal(t, a.Decision, again.Decision)
		require.Equal(t, a.Steps, again.Steps)
	}
}

// stepsOf is every list of steps in an advice.
func stepsOf(a *Advice) [][]Step {
	all := [][]Step{a.Steps}
	for i := range a.Causes {
		all = append(all, a.Causes[i].Steps)
	}
	for i := range a.Answers {
		all = append(all, a.Answers[i].Steps)
	}
	return all
}

// A depth that breaks a limit is never named as what to set; to keep one at which
// a joint fitted all the same is said with that limit.
func TestNoDepthBeyondALimitUnsaid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := harbour(rapid.Float64Range(8, 13).Draw(t, "depth"))
		s.PinBoard.Thickness = mm(rapid.Float64Range(12, 20).Draw(t, "board"))
		s.Cutter.CuttingLength = mm(rapid.Float64Range(9, 14).Draw(t, "cutting length"))
		if rapid.Bool().Draw(t, "wide bushing") {
			s.Bushing.Diameter = mm(12)
		}
		sight := belief.Sight{Feel: rapid.SampledFrom([]belief.Feel{
			belief.FeelNone, belief.FeelRattles, belief.FeelSlidesFree, belief.FeelHandPressure, belief.FeelHardBlows, belief.FeelWillNotStart,
		}).Draw(t, "feel")}
		if !sight.Feel.Tight() && rapid.Bool().Draw(t, "gap told") {
			sight.PulledGap = mm(rapid.Float64Range(0, 4).Draw(t, "gap"))
		}
		c := seen(s, sight)
		a, err := On(belief.Default(), c)
		if err != nil {
			return // no joint at all
		}
		for _, of := range stepsOf(a) {
			for _, step := range of {
				if !step.DepthKnown {
					continue
				}
				if limit, broken := blocking(c.Setup.AtDepth(step.Depth + a.Deeper)); broken {
					require.Equal(t, DoStop, a.Decision.Do, "%v: %+v", limit, step)
					require.Equal(t, limit, a.Decision.Limit)
				}
			}
		}
	})
}
