package joint_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/joint"
	"snugtail/joint/length"
)

// At 14 deg and the default target the best depth is 0.05 mm below the one for
// the target's play (model, section 15).
func TestBestDepthIsTheMiddle(t *testing.T) {
	j, err := joint.New(onePiece())
	require.NoError(t, err)
	assert.InDelta(t, 0.05, (j.BestDepth(target) - j.DepthFor(target.Play)).MM(), 5e-4)
	assert.InDelta(t, j.DepthFor(0.075).MM(), j.BestDepth(target).MM(), 1e-12)
}

// No depth has a better chance, for cutters of any history.
func TestBestDepthIsBest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := onePiece()
		s.Cutter.Angle = joint.Angle(rapid.Float64Range(7, 18).Draw(t, "angle"))
		s.Cutter.Condition = rapid.SampledFrom([]joint.Condition{joint.ConditionNew, joint.ConditionUnknown, joint.ConditionResharpened}).Draw(t, "condition")
		s.Bushing.Diameter = within(11.1125, rapid.Float64Range(0, 0.2).Draw(t, "bushing"))
		j, err := joint.New(s.AtDepth(5))
		require.NoError(t, err)
		best := j.BestDepth(target)
		at := j.ChanceAt(best, target)
		for off := -0.6; off <= 0.6; off += 0.02 {
			assert.LessOrEqual(t, j.ChanceAt(best+length.Length(off), target), at+1e-4, "%g mm off", off)
		}
	})
}

// ChanceAt is the prediction's, depth by depth.
func TestChanceAtIsThePrediction(t *testing.T) {
	s := onePiece()
	s.Cutter.Condition = joint.ConditionUnknown
	j, err := joint.New(s)
	require.NoError(t, err)
	for _, h := range []length.Length{8, 9.3, 11, 11.6} {
		assert.InDelta(t, predict(t, s.AtDepth(h)).Fit.InTarget, j.ChanceAt(h, target), 1e-12)
	}
}

// DepthsWithin is where the limits that depend on the depth are kept, no less and
// no more.
func TestDepthsWithinKeepTheLimits(t *testing.T) {
	maybe := func(t *rapid.T, name string, low, high float64) length.Size {
		if !rapid.Bool().Draw(t, name+" known") {
			return length.Size{}
		}
		return mm(rapid.Float64Range(low, high).Draw(t, name))
	}
	depends := []joint.LimitCode{
		joint.LimitLap, joint.LimitFlareInTemplate, joint.LimitCutterInBushing, joint.LimitCuttingLength,
		joint.LimitColletGrip, joint.LimitGrooveDepth, joint.LimitTailBoardCleared, joint.LimitBearingOnTemplate,
	}
	rapid.Check(t, func(t *rapid.T) {
		s := onePiece()
		s.Bushing.Kind = rapid.SampledFrom([]joint.BushingKind{joint.KindBushing, joint.KindBearing}).Draw(t, "kind")
		s.Bushing.OffsetX = mm(rapid.Float64Range(0, 0.2).Draw(t, "offset"))
		s.Cutter.Angle = joint.Angle(rapid.Float64Range(7, 18).Draw(t, "angle"))
		s.Cutter.Shank = mm(rapid.Float64Range(5, 7).Draw(t, "shank"))
		s.Template.Thickness, s.Bushing.Barrel = maybe(t, "template", 5, 13), maybe(t, "barrel", 2, 8)
		s.Bushing.Bore, s.Cutter.CuttingLength = maybe(t, "bore", 8, 10), maybe(t, "cutting length", 8, 16)
		s.Cutter.OverallLength, s.Router.ColletHeight = maybe(t, "overall", 45, 60), maybe(t, "collet", 10, 20)
		s.PinBoard.GrooveDepth, s.PinBoard.Thickness = maybe(t, "groove", 4, 10), maybe(t, "front", 10, 22)
		s.TailBoard.Thickness = maybe(t, "side", 10, 22)
		j, _ := joint.New(s)
		from, to := j.DepthsWithin()
		h := length.Length(rapid.Float64Range(1, 20).Draw(t, "depth"))
		if math.Min(math.Abs((h-from).MM()), math.Abs((h-to).MM())) < 1e-5 || s.Cutter.RadiusAt(h) <= 0 {
			t.Skip("on the edge")
		}
		at, _ := joint.New(s.AtDepth(h))
		limits, kept := at.Limits(), true
		for _, code := range depends {
			kept = kept && !limits[code].Broken()
		}
		stem := s.Bushing.Bore.MM()-1-2*s.Bushing.Eccentricity().MM() < s.Cutter.Shank.MM()
		if l := limits[joint.LimitCutterInBushing]; l.Broken() && stem {
			t.Skip("the shank does not fit at any depth")
		}
		assert.Equal(t, h >= from && h <= to, kept, "%g within %g to %g", h, from, to)
	})
}
