package recommend_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/joint/recommend"
)

// drawn is any pair with boards, edges and a bore, of which about half serve.
func drawn(t *rapid.T) (joint.Setup, joint.Cutter) {
	size := func(name string, from, to float64) length.Size { return mm(rapid.Float64Range(from, to).Draw(t, name)) }
	s := setup(rapid.Float64Range(8, 22).Draw(t, "front"))
	s.Template = joint.NewOnePiece(mm(22.225), size("opening", 11.4, 12.6), length.Size{}, length.Size{})
	s.Template.Thickness = size("template", 6, 10)
	s.Bushing = joint.Bushing{Diameter: size("bushing", 9, 11.9)}
	if rapid.Bool().Draw(t, "bore known") {
		s.Bushing.Bore, s.Bushing.Barrel = size("bore", 8, 10), size("barrel", 3, 7)
	}
	k := cutter(rapid.Float64Range(9, 14).Draw(t, "cutter"), joint.Angle(rapid.Float64Range(6, 18).Draw(t, "angle")))
	if rapid.Bool().Draw(t, "edges known") {
		k.CuttingLength = size("edges", 8, 16)
	}
	if rapid.Bool().Draw(t, "grooved") {
		s.PinBoard.GrooveDepth = size("groove", 3, 9)
	}
	return s, k
}

// Whatever does not serve: each tip, done exactly as told, makes the pair serve.
func TestEveryTipServes(t *testing.T) {
	tips := map[recommend.ChangeCode]int{}
	longer := 0
	for range 6 {
		rapid.Check(t, func(t *rapid.T) {
			s, k := drawn(t)
			r := ranked(t, s, []joint.Cutter{k})
			if len(r.Choices) > 0 {
				assert.Empty(t, r.Changes)
				return
			}
			require.NotEmpty(t, r.Changes)
			for _, c := range r.Changes {
				tips[c.Code]++
				if c.Code == recommend.AnotherTemplate {
					assert.Len(t, r.Changes, 1, "the last that is left")
					continue
				}
				if c.CuttingLength > 0 {
					longer++
				}
				changed, with := changed(s, k, c)
				assert.Len(t, ranked(t, changed, []joint.Cutter{with}).Choices, 1, "%+v of %+v", c, k)
			}
		})
	}
	t.Log(tips, longer)
	for _, code := range []recommend.ChangeCode{recommend.SteeperAngle, recommend.LargerBushing, recommend.ThickerBoard} {
		assert.Positive(t, tips[code], "tip %d is never told", code)
	}
}

// A pair is refused only if no depth with a play within the target keeps every
// limit, and a depth that a limit moved has the best chance of those: both by
// trying depths 0.01 mm apart.
func TestMovedDepthsAreTheBest(t *testing.T) {
	moved, refused := 0, 0
	for range 6 {
		rapid.Check(t, func(t *rapid.T) {
			s, k := drawn(t)
			s.Cutter = k
			best, found := 0.0, false
			for h := recommend.LeastDepth + 1e-3; h < 20; h += 0.01 {
				at := s.AtDepth(length.Length(h))
				j, err := joint.New(at)
				if err != nil {
					continue
				}
				limits := j.Limits()
				if _, broken := limits.Broken(); broken || !target.Holds(j.Play()) {
					continue
				}
				best, found = max(best, j.ChanceAt(length.Length(h), target)), true
			}
			r := ranked(t, s, []joint.Cutter{k})
			if len(r.Choices) == 0 {
				refused++
				assert.False(t, found, "a depth serves, but the pair is refused")
				return
			}
			c := &r.Choices[0]
			if c.Moved == nil {
				return
			}
			moved++
			assert.GreaterOrEqual(t, c.Prediction.Fit.InTarget, best-1e-3)
			_, broken := c.Prediction.Limits.Broken()
			assert.False(t, broken)
			assert.True(t, c.Moved.Obstacle != recommend.ObstacleLimit || c.Moved.Limit.Broken(), "the limit that moved it is broken at %g", c.Moved.Depth.MM())
		})
	}
	t.Logf("%d moved, %d refused", moved, refused)
	assert.Positive(t, moved)
	assert.Positive(t, refused)
}
