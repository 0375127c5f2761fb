package diagnose_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/joint"
	"snugtail/joint/correct"
	"snugtail/joint/diagnose"
	"snugtail/joint/learn"
	"snugtail/joint/length"
)

// setup is chosen to fit: its depth gives the target's play.
func setup(t require.TestingT) joint.Setup {
	s := joint.Setup{
		Template: joint.NewOnePiece(mm(22.225), mm(12.3), mm(14.2), mm(13.1)),
		Bushing:  joint.Bushing{Diameter: mm(11.1125), Barrel: mm(7.4)},
		Cutter:   joint.Cutter{Diameter: mm(12.7), Angle: 14},
		Depth:    joint.EqualDepth(mm(10)),
		PinBoard: joint.PinBoard{Thickness: mm(19), Width: mm(178)},
	}
	s.Template.Thickness = mm(9.5)
	j, err := joint.New(s)
	require.NoError(t, err)
	return s.AtDepth(j.DepthFor(joint.DefaultPlay))
}

func caseOf(s joint.Setup, cuts ...diagnose.Cut) diagnose.Case {
	return diagnose.Case{Setup: s, Cuts: cuts, Target: joint.DefaultTarget(0), Bands: joint.Bands{Crush: joint.DefaultCrush}}
}

func felt(f learn.Feel) diagnose.Cut { return diagnose.Cut{TestCut: learn.TestCut{Feel: f}} }

func of(t require.TestingT, c diagnose.Case) diagnose.Diagnosis {
	d, err := diagnose.Of(c)
	require.NoError(t, err)
	return d
}

func rank(d diagnose.Diagnosis, code diagnose.Code) int {
	for i, c := range d.Causes {
		if c.Code == code {
			return i + 1
		}
	}
	return 0
}

func probability(d diagnose.Diagnosis, code diagnose.Code) float64 {
	return d.Causes[rank(d, code)-1].Probability
}

// Common practice, no source: the first things to check when a joint will not
// go together are the bushing's diameter, the cutter's at its widest, and
// whether its angle suits.
func TestTradeBushingCutterAngleFirst(t *testing.T) {
	d := of(t, caseOf(setup(t), felt(learn.FeelWillNotStart)))
	for _, code := range []diagnose.Code{diagnose.CauseBushingDiameter, diagnose.CauseCutterDiameter, diagnose.CauseCutterResharpened, diagnose.CauseCutterAngle} {
		assert.LessOrEqual(t, rank(d, code), 6, "cause %d", code)
	}
	assert.Less(t, probability(d, diagnose.CauseSetUpRight), 0.01)
}

// Common practice, no source: with a set-up that is right, tools and wood still
// ask for a small change of depth.
func TestTradeSmallChangeOfDepth(t *testing.T) {
	cut := felt(learn.FeelSlidesFree)
	cut.PulledGap = mm(1.0)
	s := setup(t)
	s.Bushing.Diameter, s.Cutter.Diameter = length.Within(11.1125, 0.05), length.Within(12.7, 0.05)
	c := caseOf(s, cut)
	c.Answered[diagnose.CheckMeasureBushing], c.Answered[diagnose.CheckMeasureCutter] = true, true
	d := of(t, c)
	require.Equal(t, diagnose.CauseDepthOff, d.Causes[0].Code)
	step := d.Causes[0].Steps[1]
	assert.Equal(t, correct.LowerCutter, step.Action, "deeper is tighter")
	// Lower by the gap, less what the target leaves: 1.0 - 0.1 / (2 tan 14) = 0.80,
	// drawn a little towards what the set-up says.
	assert.InDelta(t, 0.80, step.Amount.MM(), 0.15)
}

// Common practice, no source: a depth read as projection is a classic mistake.
// Set below the bushing's tip the joint is cut T - L too shallow, 2.1 mm here,
// and shows a gap of as much and that of the target's play.
func TestTradeDepthReadAsProjection(t *testing.T) {
	cut := felt(learn.FeelRattles)
	cut.PulledGap = mm(9.5 - 7.4 + 0.1/(2*math.Tan(14*math.Pi/180)))
	d := of(t, caseOf(setup(t), cut))
	assert.Equal(t, diagnose.CauseDepthFromBushingTip, d.Causes[0].Code)
	assert.InDelta(t, -2.1, d.Causes[0].Size.Length.MM(), 0.1)

	s := setup(t)
	s.Template.Thickness, s.Bushing.Barrel = mm(9.5), length.Size{}
	cut = felt(learn.FeelRattles)
	cut.Measured.DepthPinBoard = mm(s.Depth.PinBoard.MM() - 9.5)
	d = of(t, caseOf(s, cut))
	assert.Equal(t, diagnose.CauseDepthFromRouterBase, d.Causes[0].Code)
}

// Only the widths tell a wrong cutter or bushing from a wrong depth, only the
// seat the template's place, only the edges the stop (model, section 10).
func TestWhatSeparatesTheFaults(t *testing.T) {
	s := setup(t)
	actual := func(change func(*joint.Setup)) joint.Widths {
		a := s
		change(&a)
		j, err := joint.New(a)
		require.NoError(t, err)
		w, ok := j.Widths()
		require.True(t, ok)
		return w
	}
	measured := func(feel learn.Feel, w joint.Widths) diagnose.Cut {
		cut := felt(feel)
		cut.Measured = learn.Measured{
			PinWidest: length.Exactly(w.PinWidest), TailWidest: length.Exactly(w.TailWidest),
			PinSocketWidest: length.Exactly(w.PinSocketWidest), TailSocketWidest: length.Exactly(w.TailSocketWidest),
		}
		return cut
	}
	seat := felt(learn.FeelHandPressure)
	seat.Seat = mm(0.9)
	edges := felt(learn.FeelHandPressure)
	edges.EdgeStep = mm(0.8)
	halfPitch := felt(learn.FeelHandPressure)
	halfPitch.EdgeStep = mm(11.1)
	level := felt(learn.FeelHardBlows)
	level.ShoulderGap = mm(0.5)
	level.Measured.DepthPinBoard, level.Measured.DepthTailBoard = s.Depth.PinBoard, mm(s.Depth.PinBoard.MM()+0.5)
	for name, row := range map[string]struct {
		cut     diagnose.Cut
		finding diagnose.Finding
		want    diagnose.Code
		within  int
	}{
		"bushing 1/2 in: sockets and tails off by one figure": {
			measured(learn.FeelWillNotStart, actual(func(a *joint.Setup) { a.Bushing.Diameter = mm(12) })), 0, diagnose.CauseBushingDiameter, 1,
		},
		"cutter 12 mm": {
			measured(learn.FeelWillNotStart, actual(func(a *joint.Setup) { a.Cutter.Diameter = mm(12) })), 0, diagnose.CauseCutterDiameter, 2,
		},
		"angle 18 deg: sockets right, tails wide": {
			measured(learn.FeelWillNotStart, actual(func(a *joint.Setup) { a.Cutter.Angle = 18 })), 0, diagnose.CauseCutterAngle, 2,
		},
		"seat inside":            {seat, 0, diagnose.CauseTemplatePosition, 1},
		"edges":                  {edges, 0, diagnose.CauseSideStop, 1},
		"edges half a pitch off": {halfPitch, diagnose.FoundEdgesHalfPitchOff, diagnose.CauseWrongFaceOrStop, 1},
		"tail board stood high":  {level, 0, diagnose.CauseBoardsNotLevel, 1},
	} {
		t.Run(name, func(t *testing.T) {
			c := caseOf(s, row.cut)
			if row.finding != 0 {
				c.Findings[row.finding] = diagnose.Yes
			}
			assert.LessOrEqual(t, rank(of(t, c), row.want), row.within)
		})
	}
}

// Places along the joint that differ by a slope tell of the template, by an
// edge step of two signs of the wood.
func TestAlongTheJoint(t *testing.T) {
	place := func(x float64, change func(*learn.TestCut)) diagnose.Place {
		p := diagnose.Place{Position: length.Length(x)}
		change(&p.TestCut)
		return p
	}
	tilted := felt(learn.FeelNone)
	tilted.Along = []diagnose.Place{
		place(10, func(c *learn.TestCut) { c.PulledGap = mm(0.1); c.ShoulderGap = mm(0.4) }),
		place(90, func(c *learn.TestCut) { c.PulledGap = mm(0.9) }),
		place(170, func(c *learn.TestCut) { c.PulledGap = mm(1.7); c.ShoulderGap = mm(0) }),
	}
	d := of(t, caseOf(setup(t), tilted))
	assert.Equal(t, diagnose.CauseTemplateTilted, d.Causes[0].Code)

	moved := felt(learn.FeelHardBlows)
	moved.Along = []diagnose.Place{
		place(0, func(c *learn.TestCut) { c.EdgeStep = mm(-0.3) }),
		place(178, func(c *learn.TestCut) { c.EdgeStep = mm(0.3) }),
	}
	d = of(t, caseOf(setup(t), moved))
	assert.Equal(t, diagnose.CauseWoodMoved, d.Causes[0].Code)
}

// A joint that fits and shows nothing else is most likely right.
func TestNothingWrong(t *testing.T) {
	cut := felt(learn.FeelHandPressure)
	cut.Seat, cut.EdgeStep, cut.ShoulderGap = mm(-0.02), mm(0.02), mm(0)
	d := of(t, caseOf(setup(t), cut))
	assert.Equal(t, diagnose.CauseSetUpRight, d.Causes[0].Code)
	assert.Equal(t, correct.StopAdjusting, d.Causes[0].Steps[0].Action)
	assert.False(t, d.Unexplained)
}

// The joint cannot tell cutter from bushing: only their difference shows. So
// with the widths known a caliper is asked for, and its answer decides.
func TestOnlyACaliperTellsCutterFromBushing(t *testing.T) {
	s := setup(t)
	a := s
	a.Bushing.Diameter = mm(12)
	j, err := joint.New(a)
	require.NoError(t, err)
	w, _ := j.Widths()
	cut := felt(learn.FeelWillNotStart)
	cut.Measured = learn.Measured{PinSocketWidest: length.Exactly(w.PinSocketWidest), TailSocketWidest: length.Exactly(w.TailSocketWidest), TailWidest: length.Exactly(w.TailWidest), PinWidest: length.Exactly(w.PinWidest)}
	c := caseOf(s, cut)
	before := of(t, c)
	assert.Contains(t, []diagnose.Check{diagnose.CheckMeasureBushing, diagnose.CheckMeasureCutter, diagnose.CheckScrapSlot}, before.Next.Check)

	// A measured size goes where it belongs, in the set-up.
	c.Setup.Bushing.Diameter = length.Within(12, 0.05)
	c.Answered[diagnose.CheckMeasureBushing] = true
	after := of(t, c)
	assert.Equal(t, diagnose.CauseBushingDiameter, after.Causes[0].Code)
	assert.Greater(t, after.Causes[0].Probability, 0.9)
	assert.True(t, after.Causes[0].Measured)
	assert.InDelta(t, 12, after.Causes[0].Size.Length.MM(), 1e-9, "in use")
	assert.InDelta(t, 11.1, after.Causes[0].Size.Against.MM(), 0.02, "wanted: 11 mm or 7/16 in")
	assert.NotEqual(t, diagnose.CheckMeasureBushing, after.Next.Check)
}

// What contradicts itself is said to be unexplained, and with what.
func TestUnexplained(t *testing.T) {
	cut := felt(learn.FeelWillNotStart)
	cut.PulledGap, cut.Seat, cut.EdgeStep = mm(4), mm(1.8), mm(2)
	cut.Measured.DepthPinBoard = mm(7)
	d := of(t, caseOf(setup(t), cut))
	assert.True(t, d.Unexplained)
	assert.NotEmpty(t, d.Misfits)
}

// Cures respect limits: a depth that would leave no lap is no cure.
func TestCureRespectsLimits(t *testing.T) {
	s := setup(t)
	s.PinBoard.Thickness = mm(s.Depth.PinBoard.MM() + 3.4)
	cut := felt(learn.FeelRattles)
	cut.PulledGap = mm(1.6)
	d := of(t, caseOf(s, cut))
	cause := d.Causes[rank(d, diagnose.CauseRouterTurned)-1]
	assert.Equal(t, correct.StopAndFix, cause.Steps[0].Action)
	off := d.Causes[rank(d, diagnose.CauseDepthOff)-1]
	assert.Equal(t, correct.LowerCutter, off.Steps[1].Action, "back to the depth that was set")

	measured := cut
	measured.Measured.DepthPinBoard = s.Depth.PinBoard // it is as deep as set, and that is not deep enough
	measured.Measured.DepthTailBoard = s.Depth.PinBoard
	s.Cutter.Diameter, s.Bushing.Diameter = length.Within(12.9, 0.02), length.Within(11.1125, 0.02)
	c := caseOf(s, measured)
	c.Answered[diagnose.CheckMeasureBushing], c.Answered[diagnose.CheckMeasureCutter], c.Answered[diagnose.CheckMeasureDepth] = true, true, true
	d = of(t, c)
	off = d.Causes[rank(d, diagnose.CauseDepthOff)-1]
	require.Equal(t, diagnose.FixLimit, off.Steps[1].Fix)
	assert.Equal(t, joint.LimitLap, off.Steps[1].Limit.Code)
	assert.Less(t, off.Steps[1].Limit.Margin.MM(), 0.0)
}

func TestImpossibleSetups(t *testing.T) {
	thin := setup(t)
	thin.PinBoard.Thickness = mm(8)
	_, err := diagnose.Of(caseOf(thin, felt(learn.FeelRattles)))
	var why *joint.Impossible
	require.ErrorAs(t, err, &why)
	assert.Equal(t, joint.ReasonThroughPinBoard, why.Reason)

	deep := felt(learn.FeelRattles)
	deep.Depth = joint.EqualDepth(mm(40))
	_, err = diagnose.Of(caseOf(setup(t), deep))
	var cut *learn.CutError
	require.ErrorAs(t, err, &cut)

	part := setup(t)
	part.Bushing.Diameter, part.PinBoard.Thickness = length.Size{}, length.Size{}
	_, err = diagnose.Of(caseOf(part, felt(learn.FeelRattles)))
	assert.NoError(t, err, "a bushing that is not stated is one that serves")
}

// Answered checks are not asked for again, and those that a jammed joint does
// not allow are not asked for at all.
func TestChecksAreAskedOnce(t *testing.T) {
	c := caseOf(setup(t), felt(learn.FeelWillNotStart))
	for range int(diagnose.CheckCount) + 1 {
		d := of(t, c)
		if !d.HasNext {
			break
		}
		assert.False(t, c.Answered[d.Next.Check])
		assert.NotContains(t, []diagnose.Check{diagnose.CheckPullJoint, diagnose.CheckSeeSeat}, d.Next.Check)
		c.Answered[d.Next.Check] = true
	}
	assert.False(t, of(t, c).HasNext)
}

// What can't be checked here is not asked for, and changes no probability.
func TestUnavailableChecks(t *testing.T) {
	c := caseOf(setup(t), felt(learn.FeelWillNotStart))
	free := of(t, c)
	require.True(t, free.HasNext)
	c.Unavailable[free.Next.Check] = true
	d := of(t, c)
	require.True(t, d.HasNext)
	assert.NotEqual(t, free.Next.Check, d.Next.Check)
	assert.Equal(t, free.Causes, d.Causes)
	for i := range c.Unavailable {
		c.Unavailable[i] = true
	}
	assert.False(t, of(t, c).HasNext)
}

// genCase draws any case, sensible or not.
func genCase(t *rapid.T) diagnose.Case {
	size := func(name string, low, high float64) length.Size {
		if rapid.Bool().Draw(t, name+" missing") {
			return length.Size{}
		}
		s := mm(rapid.Float64Range(low, high).Draw(t, name))
		if rapid.Bool().Draw(t, name+" with tolerance") {
			s.Tolerance, s.HasTolerance = length.Length(rapid.Float64Range(0, 5).Draw(t, name+" tolerance")), true
		}
		return s
	}
	s := joint.Setup{
		Bushing:   joint.Bushing{Diameter: size("bushing", 0.1, 60), Barrel: size("barrel", 0.1, 30)},
		Cutter:    joint.Cutter{Diameter: size("cutter", 0.1, 60)},
		Depth:     joint.EqualDepth(size("depth", 0.1, 60)),
		PinBoard:  joint.PinBoard{Thickness: size("pin board", 0.1, 60), Width: size("width", 0.1, 2000)},
		TailBoard: joint.TailBoard{Thickness: size("tail board", 0.1, 60)},
	}
	if rapid.Bool().Draw(t, "angle known") {
		s.Cutter.Angle = joint.Angle(rapid.Float64Range(0.01, 45).Draw(t, "angle"))
	}
	if rapid.Bool().Draw(t, "template known") {
		s.Template = joint.NewOnePiece(mm(rapid.Float64Range(1, 60).Draw(t, "pitch")), mm(rapid.Float64Range(0.5, 40).Draw(t, "opening")), size("s0", 0.1, 40), size("f0", 0.1, 40))
	}
	c := caseOf(s)
	look := func(name string) learn.TestCut {
		return learn.TestCut{
			Feel:      learn.Feel(rapid.IntRange(0, int(learn.FeelClosesOneEnd)).Draw(t, name+" feel")),
			PulledGap: size(name+" gap", 0, 2000), ShoulderGap: size(name+" shoulder", 0, 2000), WentIn: size(name+" went in", 0, 2000),
			Seat: size(name+" seat", -2000, 2000), EdgeStep: size(name+" edge", -2000, 2000),
			Measured: learn.Measured{TailWidest: size(name+" tail", 0.1, 2000), TailSocketWidest: size(name+" socket", 0.1, 2000), DepthPinBoard: size(name+" depth", 0.1, 2000)},
		}
	}
	for i := range rapid.IntRange(0, 3).Draw(t, "cuts") {
		cut := diagnose.Cut{TestCut: look("cut")}
		if i == 1 {
			cut.Depth = joint.EqualDepth(mm(rapid.Float64Range(0.1, 60).Draw(t, "own depth")))
		}
		for range rapid.IntRange(0, 3).Draw(t, "places") {
			cut.Along = append(cut.Along, diagnose.Place{Position: length.Length(rapid.Float64Range(0, 2000).Draw(t, "x")), TestCut: look("place")})
		}
		c.Cuts = append(c.Cuts, cut)
	}
	for f := range c.Findings {
		c.Findings[f] = diagnose.Answer(rapid.IntRange(0, 2).Draw(t, "finding"))
	}
	for k := range c.Answered {
		c.Answered[k] = rapid.Bool().Draw(t, "answered")
	}
	return c
}

// Whatever is told, probabilities are a distribution, figures are finite, and
// the same case has the same answer.
func TestProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := genCase(t)
		d, err := diagnose.Of(c)
		if err != nil {
			var why *joint.Impossible
			require.ErrorAs(t, err, &why)
			return
		}
		require.Len(t, d.Causes, int(diagnose.CauseCount))
		sum, priors, last := 0.0, 0.0, 1.0
		for _, cause := range d.Causes {
			require.False(t, math.IsNaN(cause.Probability) || cause.Probability < 0)
			require.LessOrEqual(t, cause.Probability, last)
			last = cause.Probability
			sum, priors = sum+cause.Probability, priors+cause.Prior
			requireFinite(t, cause.Size.Length.MM(), cause.Size.Against.MM(), float64(cause.Size.Angle), cause.Size.Spread)
			for _, s := range cause.Steps {
				requireFinite(t, s.Amount.MM(), s.Depth.MM(), s.Size.MM(), s.Or.MM(), s.Turns)
				require.GreaterOrEqual(t, s.Amount.MM(), 0.0)
			}
		}
		require.InDelta(t, 1, sum, 1e-9)
		require.InDelta(t, 1, priors, 1e-9)
		if d.HasNext {
			require.False(t, c.Answered[d.Next.Check])
			requireFinite(t, d.Next.Gain)
			for _, o := range d.Next.Outcomes {
				requireFinite(t, o.Probability, o.Chance)
				for _, f := range o.Figures {
					requireFinite(t, f.Length.MM(), float64(f.Angle))
				}
			}
		}
		again, err := diagnose.Of(c)
		require.NoError(t, err)
		require.Equal(t, d, again)
	})
}

func requireFinite(t require.TestingT, all ...float64) {
	for _, x := range all {
		require.False(t, math.IsNaN(x) || math.IsInf(x, 0), "%v", all)
	}
}
