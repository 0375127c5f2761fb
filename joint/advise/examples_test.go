package advise

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/joint"
	"snugtail/joint/belief"
	"snugtail/joint/length"
)

// Common practice, no source: the first things to check when a joint will not
// go together are the bushing's diameter, the cutter's at its widest, and
// whether its angle suits.
func TestTradeBushingCutterAngleFirst(t *testing.T) {
	a := on(t, seen(fitting(t), belief.Sight{Feel: belief.FeelWillNotStart}))
	for _, code := range []belief.Code{belief.CauseBushingDiameter, belief.CauseCutterDiameter, belief.CauseCutterResharpened, belief.CauseCutterAngle} {
		assert.LessOrEqual(t, rank(a, code), 8, "cause %d", code)
	}
	assert.Greater(t, rank(a, belief.CauseSetUpRight), 8)
}

// Common practice, no source: with a set-up that is right, tools and wood still
// ask for a small change of depth: by the gap, less what the target leaves.
func TestTradeSmallChangeOfDepth(t *testing.T) {
	s := fitting(t)
	s.Bushing.Diameter, s.Cutter.Diameter = length.Within(11.1125, 0.05), length.Within(12.7, 0.05)
	c := seen(s, belief.Sight{Feel: belief.FeelSlidesFree, PulledGap: mm(1.0)})
	c.Answered[belief.CheckMeasureBushing], c.Answered[belief.CheckMeasureCutter] = true, true
	a := on(t, c)
	assert.Equal(t, belief.CauseDepthOff, a.Causes[0].Code)
	// 1.0 - 0.1 / (2 tan 14) = 0.80, drawn a little towards what the set-up says.
	assert.InDelta(t, 0.80, (a.NextDepth - s.Depth.PinBoard.Length).MM(), 0.2)
}

// Common practice, no source: a depth read as projection is a classic mistake.
// Set below the bushing's tip the joint is cut T - L too shallow, 2.1 mm here,
// and shows a gap of as much and that of the target's play.
func TestTradeDepthReadAsProjection(t *testing.T) {
	gap := 9.5 - 7.4 + 0.1/(2*math.Tan(14*math.Pi/180))
	a := on(t, seen(fitting(t), belief.Sight{Feel: belief.FeelRattles, PulledGap: mm(gap)}))
	assert.LessOrEqual(t, rank(a, belief.CauseDepthFromBushingTip), 2)
	at := a.Causes[rank(a, belief.CauseDepthFromBushingTip)-1]
	assert.InDelta(t, -2.1, at.Size.Length.MM(), 0.1)
}

// Only the widths tell a wrong cutter or bushing from a wrong depth, only the
// seat the template's place, only the edges the stop (joint/model.md).
func TestWhatSeparatesTheFaults(t *testing.T) {
	s := fitting(t)
	measured := func(change func(*joint.Setup)) belief.Sight {
		a := s
		change(&a)
		j, err := joint.New(a)
		require.NoError(t, err)
		w, ok := j.Widths()
		require.True(t, ok)
		return belief.Sight{Feel: belief.FeelWillNotStart, Measured: belief.Measured{
			PinWidest: length.Exactly(w.PinWidest), TailWidest: length.Exactly(w.TailWidest),
			PinSocketWidest: length.Exactly(w.PinSocketWidest), TailSocketWidest: length.Exactly(w.TailSocketWidest),
		}}
	}
	hand := belief.FeelHandPressure
	level := belief.Sight{Feel: belief.FeelHardBlows, ShoulderGap: mm(0.5)}
	level.Measured.DepthPinBoard, level.Measured.DepthTailBoard = s.Depth.PinBoard, mm(s.Depth.PinBoard.MM()+0.5)
	for name, row := range map[string]struct {
		sight   belief.Sight
		finding belief.Finding
		want    belief.Code
		within  int
	}{
		"bushing 12 mm":          {measured(func(a *joint.Setup) { a.Bushing.Diameter = mm(12) }), 0, belief.CauseBushingDiameter, 1},
		"cutter 12 mm":           {measured(func(a *joint.Setup) { a.Cutter.Diameter = mm(12) }), 0, belief.CauseCutterDiameter, 2},
		"angle 18 degrees":       {measured(func(a *joint.Setup) { a.Cutter.Angle = 18 }), 0, belief.CauseCutterAngle, 2},
		"seat inside":            {belief.Sight{Feel: hand, Seat: mm(0.9)}, 0, belief.CauseTemplatePosition, 1},
		"edges":                  {belief.Sight{Feel: hand, EdgeStep: mm(0.8)}, 0, belief.CauseSideStop, 1},
		"edges half a pitch off": {belief.Sight{Feel: hand, EdgeStep: mm(11.1)}, belief.FoundEdgesHalfPitchOff, belief.CauseWrongFaceOrStop, 1},
		"tail board stood high":  {level, 0, belief.CauseBoardsNotLevel, 1},
	} {
		t.Run(name, func(t *testing.T) {
			c := seen(s, row.sight)
			if row.finding != 0 {
				c.Findings[row.finding] = belief.Yes
			}
			assert.LessOrEqual(t, rank(on(t, c), row.want), row.within)
		})
	}
}

// A joint that fits and shows nothing else is most likely right, and is left
// alone.
func TestNothingWrong(t *testing.T) {
	a := on(t, seen(fitting(t), belief.Sight{Feel: belief.FeelHandPressure, Seat: mm(-0.02), EdgeStep: mm(0.02), ShoulderGap: mm(0)}))
	assert.Equal(t, DoStop, a.Decision.Do)
	assert.Equal(t, StopAdjusting, a.Steps[0].Action)
	assert.Equal(t, Fits, a.Verdict)
	assert.False(t, a.Unexplained)
}

// The joint cannot tell cutter from bushing: only their difference shows. A
// caliper can, and what was stated is kept beside its reading.
func TestOnlyACaliperTellsCutterFromBushing(t *testing.T) {
	s := fitting(t)
	is := s
	is.Bushing.Diameter = mm(12)
	j, err := joint.New(is)
	require.NoError(t, err)
	w, _ := j.Widths()
	c := seen(s, belief.Sight{Feel: belief.FeelWillNotStart, Measured: belief.Measured{
		PinSocketWidest: length.Exactly(w.PinSocketWidest), TailSocketWidest: length.Exactly(w.TailSocketWidest),
		TailWidest: length.Exactly(w.TailWidest), PinWidest: length.Exactly(w.PinWidest),
	}})
	c.Setup.Bushing.Labelled, c.Setup.Bushing.Diameter = s.Bushing.Diameter, length.Within(12, 0.05)
	c.Answered[belief.CheckMeasureBushing] = true
	a := on(t, c)
	require.Equal(t, belief.CauseBushingDiameter, a.Causes[0].Code)
	assert.Greater(t, a.Causes[0].Probability, 0.9)
	assert.InDelta(t, 12, a.Causes[0].Size.Length.MM(), 0.05, "in use")
	assert.InDelta(t, 11.1125, a.Causes[0].Size.Against.MM(), 1e-6, "as labelled")
}

// Answered checks are not asked for again, and those that a jammed joint does not
// allow are not asked for at all.
func TestChecksAreAskedOnce(t *testing.T) {
	c := seen(fitting(t), belief.Sight{Feel: belief.FeelWillNotStart})
	for range int(belief.CheckCount) + 1 {
		a := on(t, c)
		if a.NextCheck == nil {
			break
		}
		assert.False(t, c.Answered[a.NextCheck.Check])
		assert.NotContains(t, []belief.Check{belief.CheckPullJoint, belief.CheckSeeSeat}, a.NextCheck.Check)
		c.Answered[a.NextCheck.Check] = true
	}
	assert.Nil(t, on(t, c).NextCheck)
}

// What can't be checked here is not asked for, and changes no probability.
func TestUnavailableChecks(t *testing.T) {
	c := seen(fitting(t), belief.Sight{Feel: belief.FeelWillNotStart})
	free := on(t, c)
	require.NotNil(t, free.NextCheck)
	c.Unavailable[free.NextCheck.Check] = true
	a := on(t, c)
	require.NotNil(t, a.NextCheck)
	assert.NotEqual(t, free.NextCheck.Check, a.NextCheck.Check)
	assert.Equal(t, free.Posterior.Causes(), a.Posterior.Causes())
}

// dh = dd / tan a, and at the diameter where the cutter is finished its flare
// just clears the template at the depth that fits (joint/model.md).
func TestGrinding(t *testing.T) {
	s := fitting(t)
	g := Grinding(s, target)
	assert.InDelta(t, 0.1/math.Tan(14*math.Pi/180), g.DepthPerTenth.MM(), 1e-9)
	s.Cutter.Diameter = length.Exactly(g.FinishedBelow)
	last, err := joint.New(s.AtDepth(g.LastDepth))
	require.NoError(t, err)
	assert.InDelta(t, 0.1, last.Play().MM(), 1e-9)
	limits := last.Limits()
	assert.InDelta(t, 0, limits[joint.LimitFlareInTemplate].Margin.MM(), 1e-9)
}

// How far depth may drift is where play leaves the target.
func TestDrift(t *testing.T) {
	a := on(t, seen(harbour(9.5), belief.Sight{PulledGap: mm(1.2)}))
	require.True(t, a.Drift.Known)
	perDepth := 2 * math.Tan(14*math.Pi/180)
	assert.InDelta(t, (target.To-a.Predicted.Play).MM()/perDepth, a.Drift.Shallower.MM(), 1e-9)
	assert.InDelta(t, (a.Predicted.Play-target.From).MM()/perDepth, a.Drift.Deeper.MM(), 1e-9)
}

// An adviser's advice on nothing told is that of On, and is found once.
func TestAdviserKnowsNothingOnce(t *testing.T) {
	adviser, err := NewAdviser(belief.Default(), target, bands)
	require.NoError(t, err)
	nothing := caseOf(joint.Setup{})
	a, err := adviser.On(belief.Default(), nothing)
	require.NoError(t, err)
	again, err := adviser.On(belief.Default(), nothing)
	require.NoError(t, err)
	assert.Same(t, a, again)
	assert.Equal(t, on(t, nothing).Decision, a.Decision)
	told := caseOf(joint.Setup{})
	told.Findings[belief.FoundRouterTurned] = belief.Yes
	other, err := adviser.On(belief.Default(), told)
	require.NoError(t, err)
	assert.NotSame(t, a, other)
}

func ExampleOn() {
	s := joint.Setup{
		Template: joint.NewOnePiece(length.Exactly(22.225), length.Exactly(12.3), length.Size{}, length.Size{}),
		Bushing:  joint.Bushing{Diameter: length.Exactly(11.1125)},
		Cutter:   joint.Cutter{Diameter: length.Exactly(12.7), Angle: 14},
		Depth:    joint.EqualDepth(length.Exactly(10)),
	}
	c := &Case{Case: belief.Case{
		Setup: s, Target: joint.DefaultTarget(0), Bands: joint.Bands{Crush: joint.DefaultCrush},
		Cuts: []belief.Cut{{Depth: s.Depth, Sight: belief.Sight{Feel: belief.FeelRattles, PulledGap: length.Exactly(1.2)}}},
	}}
	a, err := On(belief.Default(), c)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(a.Decision.Do == DoCut, a.Steps[0].Action == LowerCutter)
	fmt.Printf("%.1f mm, %.0f %%\n", a.Decision.Depth.MM(), 100*a.Decision.Chance)
	// Output:
	// true true
	// 11.0 mm, 96 %
}
