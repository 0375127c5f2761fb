package correct_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/joint"
	"snugtail/joint/correct"
	"snugtail/joint/learn"
	"snugtail/joint/length"
)

var (
	bands  = joint.Bands{Crush: joint.DefaultCrush}
	target = joint.DefaultTarget(0)
	tan14  = math.Tan(14 * math.Pi / 180)
)

func mm(x float64) length.Size { return length.Exactly(length.Length(x)) }

func setup(h float64) joint.Setup {
	return joint.Setup{
		Template:  joint.NewOnePiece(mm(22.225), mm(12.3), mm(14.2), mm(10.86)),
		Bushing:   joint.Bushing{Diameter: mm(11.1125)},
		Cutter:    joint.Cutter{Diameter: mm(12.7), Angle: 14},
		Depth:     joint.EqualDepth(mm(h)),
		PinBoard:  joint.PinBoard{Thickness: mm(19)},
		TailBoard: joint.TailBoard{Thickness: mm(14)},
		Router:    joint.Router{AdjusterLead: mm(1.5)},
	}
}

func after(t require.TestingT, s joint.Setup, cuts ...learn.TestCut) correct.Correction {
	c, err := correct.After(s, cuts, target, bands)
	require.NoError(t, err)
	return c
}

func cutAt(h float64) learn.TestCut { return learn.TestCut{Depth: joint.EqualDepth(mm(h))} }

// asPredicted is a test cut in which everything is seen as predicted.
func asPredicted(t require.TestingT, s joint.Setup) learn.TestCut {
	p, err := joint.Predict(s, target, bands)
	require.NoError(t, err)
	cut := learn.TestCut{Depth: s.Depth}
	if p.Fit.PulledGapKnown {
		cut.PulledGap = length.Exactly(p.Fit.PulledGap)
	}
	if p.Fit.Seat.Known {
		cut.Seat = length.Exactly(p.Fit.Seat.Offset)
	}
	return cut
}

func actions(c correct.Correction) []correct.Action {
	var all []correct.Action
	for _, s := range c.Steps {
		all = append(all, s.Action)
	}
	return all
}

// Predict, cut as predicted, correct, predict again: the target's play and a
// good seat.
func TestPredictCorrectPredictLandsOnTarget(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := setup(rapid.Float64Range(9, 10.4).Draw(t, "depth"))
		s.TailBoard.Thickness = mm(18)
		s.Template = joint.NewOnePiece(mm(22.225), mm(12.3), mm(rapid.Float64Range(13, 15).Draw(t, "s0")), mm(10.86))
		c := after(t, s, asPredicted(t, s))
		next := c.Next.Setup()
		again, err := joint.Predict(next, target, bands)
		require.NoError(t, err)
		assert.InDelta(t, target.Play.MM(), again.Fit.Play.MM(), 1e-6)
		assert.InDelta(t, target.Play.MM(), c.Predicted.Play.MM(), 1e-6)
		require.True(t, again.Fit.Seat.Known)
		assert.GreaterOrEqual(t, again.Fit.Seat.Offset.MM(), -correct.SeatProud-1e-6)
		assert.LessOrEqual(t, again.Fit.Seat.Offset.MM(), correct.SeatInside+1e-6)
	})
}

// Depth and template position are coupled: tightening by dh moves the seat by
// -tan a dh, and the template is moved for what is left (model, section 5).
func TestDepthAndSeatAreSolvedTogether(t *testing.T) {
	s := setup(10)
	cut := cutAt(10)
	j, err := joint.New(s)
	require.NoError(t, err)
	gap, _ := j.PulledGap()
	cut.PulledGap, cut.Seat = length.Exactly(gap), mm(0.9)
	c := after(t, s, cut)
	assert.Equal(t, correct.TooLoose, c.Verdict)
	require.Equal(t, []correct.Action{correct.LowerCutter, correct.MoveTemplateOut, correct.RecutTest}, actions(c))
	down := c.Steps[0].Amount.MM()
	assert.InDelta(t, gap.MM()-0.1/(2*tan14), down, 1e-6, "by the gap, less what leaves the play wanted")
	assert.InDelta(t, down/1.5, c.Steps[0].Turns, 1e-9)
	assert.True(t, c.Steps[0].Fresh)
	assert.InDelta(t, (0.9-down*tan14)/2, c.Steps[1].Amount.MM(), 1e-6)
	assert.InDelta(t, 0, c.Predicted.Seat.Offset.MM(), 1e-9)
}

func TestAFitIsLeftAlone(t *testing.T) {
	s := setup(10.5)
	cut := cutAt(10.5)
	cut.Feel = learn.FeelHandPressure
	j, err := joint.New(s)
	require.NoError(t, err)
	require.InDelta(t, j.DepthFor(0.1).MM(), 10.9, 0.1, "the scenario's depth is not far off")
	s = setup(j.DepthFor(0.1).MM())
	cut.Depth = s.Depth
	c := after(t, s, cut)
	assert.Equal(t, correct.Fits, c.Verdict)
	assert.Equal(t, []correct.Action{correct.StopAdjusting, correct.KeepGauge}, actions(c))
	assert.Equal(t, s.Depth.PinBoard.Length, c.NextDepth)
	require.Len(t, c.Salvage, 1)
	assert.Equal(t, correct.UseAsGauge, c.Salvage[0].Code)
}

func TestTooTightCanBeRunAgain(t *testing.T) {
	j, err := joint.New(setup(10.5))
	require.NoError(t, err)
	h := j.DepthFor(-0.3).MM()
	cut := cutAt(h)
	cut.Feel = learn.FeelWillNotStart
	c := after(t, setup(h), cut)
	assert.Equal(t, correct.TooTight, c.Verdict)
	assert.Equal(t, correct.RaiseCutter, c.Steps[0].Action)
	require.Len(t, c.Salvage, 1)
	assert.Equal(t, correct.RunAgainShallower, c.Salvage[0].Code)
	assert.True(t, c.Salvage[0].Possible)
	// What fresh boards would gain: 2 tan a for each mm raised.
	assert.InDelta(t, (0.1-c.Current.MM())/(2*tan14), c.Salvage[0].Amount.MM(), 1e-9)
}

func TestTooLooseCannotBeSaved(t *testing.T) {
	s := setup(9.5)
	c := after(t, s, asPredicted(t, s))
	require.Equal(t, correct.TooLoose, c.Verdict)
	codes := map[correct.SalvageCode]bool{}
	for _, s := range c.Salvage {
		codes[s.Code] = s.Possible
	}
	assert.Contains(t, codes, correct.NewBoards)
	assert.False(t, codes[correct.NewBoards])
}

// A step past a limit is refused, and what would do instead does.
func TestStepsPastALimit(t *testing.T) {
	t.Run("lap too thin", func(t *testing.T) {
		s := setup(10)
		s.PinBoard.Thickness = mm(13.5)
		c := after(t, s, asPredicted(t, s))
		assert.Equal(t, correct.CannotReach, c.Verdict)
		require.Equal(t, []correct.Action{correct.StopAndFix, correct.ChangeBushing, correct.ChangeCutter}, actions(c))
		assert.Equal(t, joint.LimitLap, c.Steps[0].Limit.Code)
		bushing, cutter := s, s
		bushing.Bushing.Diameter = length.Exactly(c.Steps[1].Size)
		cutter.Cutter.Angle = c.Steps[2].Angle
		for name, changed := range map[string]joint.Setup{"bushing": bushing, "cutter": cutter} {
			j, err := joint.New(changed)
			require.NoError(t, err)
			assert.InDelta(t, 13.5-joint.LeastLap, j.DepthFor(0.1).MM(), 1e-6, name)
		}
	})
	t.Run("flare meets the template", func(t *testing.T) {
		// The flare clears the template from 4.19 mm of depth on; the joint fits at 3.96 mm.
		s := setup(4.6)
		s.Template = joint.NewAllowance(mm(-1.1))
		cut := cutAt(4.6)
		cut.Feel = learn.FeelWillNotStart
		c := after(t, s, cut)
		assert.Equal(t, correct.CannotReach, c.Verdict)
		require.Equal(t, []correct.Action{correct.StopAndFix, correct.ChangeBushing, correct.ChangeCutter}, actions(c))
		assert.Equal(t, joint.LimitFlareInTemplate, c.Steps[0].Limit.Code)
		// Bushing or cutter of the size named clears the flare just so, at the depth that fits with it.
		bushing, cutter := s, s
		bushing.Bushing.Diameter = length.Exactly(c.Steps[1].Size)
		cutter.Cutter.Diameter = length.Exactly(c.Steps[2].Size)
		for name, changed := range map[string]joint.Setup{"bushing": bushing, "cutter": cutter} {
			j, err := joint.New(changed)
			require.NoError(t, err)
			fits, err := joint.New(changed.AtDepth(j.DepthFor(c.Predicted.Play - c.Learned.Mean)))
			require.NoError(t, err)
			limits := fits.Limits()
			assert.InDelta(t, 0, limits[joint.LimitFlareInTemplate].Margin.MM(), 1e-6, name)
		}
	})
}

func TestEdges(t *testing.T) {
	s := setup(10.5)
	j, err := joint.New(s)
	require.NoError(t, err)
	s = setup(j.DepthFor(0.1).MM())
	cut := cutAt(s.Depth.PinBoard.MM())
	cut.Feel = learn.FeelHandPressure
	cut.EdgeStep = mm(0.6)
	c := after(t, s, cut)
	assert.Equal(t, correct.EdgesOff, c.Verdict)
	assert.Equal(t, []correct.Action{correct.SetSideStop, correct.RecutTest}, actions(c))
	assert.InDelta(t, 0.6, c.Steps[0].Amount.MM(), 1e-12)
	cut.EdgeStep = mm(11)
	c = after(t, s, cut)
	assert.Equal(t, correct.StopAndFix, c.Steps[0].Action)
	assert.Equal(t, correct.CauseHalfPitch, c.Steps[0].Cause)
}

func TestUnequalDepthsAreSaid(t *testing.T) {
	s := setup(10)
	cut := asPredicted(t, s)
	cut.ShoulderGap = mm(0.5)
	cut.PulledGap.Length += 0.5
	c := after(t, s, cut)
	require.NotEmpty(t, c.Steps)
	assert.Equal(t, correct.LevelBoards, c.Steps[0].Action)
	assert.InDelta(t, 0.5, c.Steps[0].Amount.MM(), 1e-12)
	assert.InDelta(t, 0, c.Learned.Mean.MM(), 1e-6, "the open shoulder is taken off the gap first")
}

// A wrong cutter changes the sockets; a wrong depth leaves them alone.
func TestPartsOff(t *testing.T) {
	s := setup(10.5)
	j, err := joint.New(s)
	require.NoError(t, err)
	w, _ := j.Widths()
	cut := cutAt(10.5)
	cut.Measured.PinSocketWidest = length.Exactly(w.PinSocketWidest - 0.3)
	cut.Measured.TailWidest = length.Exactly(w.TailWidest)
	c := after(t, s, cut)
	require.Len(t, c.PartsOff, 1)
	assert.Equal(t, correct.PartPinSocket, c.PartsOff[0].Part)
}

// dh = dd / tan a, and at the diameter where the cutter is finished its flare
// just clears the template at the depth that fits.
func TestGrinding(t *testing.T) {
	s := setup(10.5)
	g := correct.Grinding(s, target)
	assert.InDelta(t, 0.1/tan14, g.DepthPerTenth.MM(), 1e-9)
	a, err := joint.New(s)
	require.NoError(t, err)
	s.Cutter.Diameter.Length -= 0.1
	b, err := joint.New(s)
	require.NoError(t, err)
	assert.InDelta(t, g.DepthPerTenth.MM(), (a.DepthFor(0.1) - b.DepthFor(0.1)).MM(), 1e-9)
	s.Cutter.Diameter = length.Exactly(g.FinishedBelow)
	last, err := joint.New(s.AtDepth(g.LastDepth))
	require.NoError(t, err)
	assert.InDelta(t, 0.1, last.Play().MM(), 1e-9)
	limits := last.Limits()
	assert.InDelta(t, 0, limits[joint.LimitFlareInTemplate].Margin.MM(), 1e-9)
}

// How far depth may drift is where play leaves the target.
func TestDrift(t *testing.T) {
	s := setup(10)
	c := after(t, s, asPredicted(t, s))
	require.True(t, c.Drift.Known)
	assert.InDelta(t, (target.To-c.Predicted.Play).MM()/(2*tan14), c.Drift.Shallower.MM(), 1e-9)
	assert.InDelta(t, (c.Predicted.Play-target.From).MM()/(2*tan14), c.Drift.Deeper.MM(), 1e-9)
	assert.Positive(t, c.Drift.Joints)
}

// A cutter known only to half a millimetre is advised on the loose side before anything is
// cut: a loose joint can be measured, a jammed one cannot.
func TestUnsureAimsLoose(t *testing.T) {
	s := setup(10.5)
	s.Cutter.Diameter = within(12.7, 0.5)
	c := after(t, s)
	assert.Equal(t, correct.NotYetCut, c.Verdict)
	assert.Greater(t, c.Predicted.Play, target.Play)
	sure := after(t, setup(10.5))
	assert.InDelta(t, target.Play.MM(), sure.Predicted.Play.MM(), 1e-6)
}

func BenchmarkAfterOneCut(b *testing.B) {
	s := setup(10)
	cut := asPredicted(b, s)
	b.ReportAllocs()
	for b.Loop() {
		after(b, s, cut)
	}
}

func BenchmarkAfterTenCuts(b *testing.B) {
	s := setup(10)
	var cuts []learn.TestCut
	for i := range 10 {
		cut := asPredicted(b, s.AtDepth(length.Length(9+0.05*float64(i))))
		cut.Feel = learn.FeelRattles
		cuts = append(cuts, cut)
	}
	b.ReportAllocs()
	for b.Loop() {
		after(b, s, cuts...)
	}
}

// When the depth as set scatters more than the target allows, or the
// adjuster's finest step does, more turning does not help, and that is said.
func TestMoreTurningDoesNotHelp(t *testing.T) {
	says := func(s joint.Setup) bool {
		for _, step := range after(t, s, asPredicted(t, s)).Steps {
			if step.Cause == correct.CauseSetting {
				return true
			}
		}
		return false
	}
	assert.False(t, says(setup(10)))
	coarse := setup(10)
	coarse.Depth = joint.EqualDepth(within(10, 0.4)) // 95 % of settings: 2 * 0.4 * 2 tan 14 = 0.40 of play, the range is 0.25
	assert.True(t, says(coarse))
	stepped := setup(10)
	stepped.Router.AdjusterStep = mm(0.6) // 0.30 of play
	assert.True(t, says(stepped))
}

// A set-up whose joints contradict the sizes stated is told to measure.
func TestContradictedSizesAreMeasured(t *testing.T) {
	s := setup(10)
	cut := cutAt(10)
	cut.PulledGap = mm(3) // 0.95 mm of play more than the sizes give
	c := after(t, s, cut)
	assert.Greater(t, c.Learned.Surprise, 3.0)
	assert.Equal(t, correct.Measure, c.Steps[0].Action)
	assert.Equal(t, correct.CauseUnsure, c.Steps[0].Cause)
}
