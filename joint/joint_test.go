package joint_test

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/joint"
	"snugtail/joint/belief"
	"snugtail/joint/length"
)

func inch(x float64) length.Size { return length.Exactly(length.Length(x) * length.Inch) }

// halfInchProven is common practice, no source: a 1/2 in 14 deg cutter in a
// 7/16 in bushing, 7/16 in deep, closed by hand.
func halfInchProven(t *testing.T) joint.Setup {
	t.Helper()
	cutter := joint.Cutter{Diameter: inch(1.0 / 2), Angle: 14}
	bushing := joint.Bushing{Diameter: inch(7.0 / 16)}
	play, ok := belief.FeelHandPressure.Play(bands)
	require.True(t, ok)
	template, err := joint.NewProven(joint.ProvenJoint{Cutter: cutter, Bushing: bushing, Depth: inch(7.0 / 16), Play: play})
	require.NoError(t, err)
	return joint.Setup{Template: template, Cutter: cutter, Bushing: bushing, Depth: joint.EqualDepth(inch(7.0 / 16))}
}

var (
	bands  = joint.Bands{Crush: joint.DefaultCrush}
	target = joint.DefaultTarget(0)
)

func predict(t require.TestingT, s joint.Setup) joint.Prediction {
	p, err := joint.Predict(s, target, bands)
	require.NoError(t, err)
	return p
}

// Common practice, no source: with the proven combination above, 3/8 in deep
// is very loose and 1/2 in deep will not go together.
func TestTradeDepths(t *testing.T) {
	s := halfInchProven(t)
	for _, row := range []struct {
		depth float64 // in
		want  joint.Band
	}{
		{3.0 / 8, joint.TooLoose},
		{7.0 / 16, joint.HandFit},
		{1.0 / 2, joint.WillNotClose},
	} {
		p := predict(t, s.AtDepth(inch(row.depth).Length))
		assert.Equal(t, row.want, p.Fit.Band, "%g in deep: play %g mm", row.depth, p.Fit.Play)
	}
}

// onePiece is a set-up of our own scenario: 7/8 in pitch, both boards at once.
func onePiece() joint.Setup {
	return joint.Setup{
		Template:  joint.NewOnePiece(mm(22.225), mm(12.3), mm(14.2), mm(10.86)),
		Bushing:   joint.Bushing{Diameter: inch(7.0 / 16)},
		Cutter:    joint.Cutter{Diameter: inch(1.0 / 2), Angle: 14},
		Depth:     joint.EqualDepth(mm(9)),
		PinBoard:  joint.PinBoard{Thickness: mm(19)},
		TailBoard: joint.TailBoard{Thickness: mm(15)},
	}
}

// Common practice, no source: over the three depths both sockets keep their
// widest width while pins and tails get wider with depth.
func TestSocketsKeepTheirWidth(t *testing.T) {
	shallow, deep := predict(t, onePiece().AtDepth(inch(3.0/8).Length)), predict(t, onePiece().AtDepth(inch(1.0/2).Length))
	require.True(t, shallow.WidthsKnown)
	assert.Equal(t, shallow.Widths.PinSocketWidest, deep.Widths.PinSocketWidest)
	assert.Equal(t, shallow.Widths.TailSocketWidest, deep.Widths.TailSocketWidest)
	assert.Greater(t, deep.Widths.PinWidest, shallow.Widths.PinWidest)
	assert.Greater(t, deep.Widths.TailWidest, shallow.Widths.TailWidest)
}

// Common practice, no source: over cutters of one diameter the fitting depth
// falls as the angle grows.
func TestFittingDepthFallsWithAngle(t *testing.T) {
	last := length.Length(math.Inf(1))
	for _, angle := range []joint.Angle{8, 10, 12, 14, 18} {
		s := onePiece().AtDepth(5)
		s.Cutter.Angle = angle
		depth := predict(t, s).DepthForTarget
		assert.Less(t, depth, last, "%g deg", float64(angle))
		last = depth
	}
}

// Common practice, no source: lowering a loose joint's cutter by the gap seen
// when the joint is pulled closes it; no play is left.
func TestLoweringByTheGapClosesTheJoint(t *testing.T) {
	s := onePiece().AtDepth(7.5)
	j, err := joint.New(s)
	require.NoError(t, err)
	gap, ok := j.PulledGap()
	require.True(t, ok)
	closed, err := joint.New(s.AtDepth(s.Depth.PinBoard.Length + gap))
	require.NoError(t, err)
	assert.InDelta(t, 0, closed.Play().MM(), 1e-9)
}

// Common practice, no source: depth is measured in the wood and is neither the
// projection below the base nor that below the bushing's tip.
func TestProjectionIsNotDepth(t *testing.T) {
	s := onePiece()
	s.Template.Thickness, s.Bushing.Barrel = mm(8), mm(6)
	p := predict(t, s).Projection
	assert.InDelta(t, 17, p.BelowBase.MM(), 1e-9)
	assert.InDelta(t, 11, p.BelowBushing.MM(), 1e-9)
	assert.True(t, p.BelowBaseKnown && p.BelowBushingKnown)
}

// A router is stated as soon as anything of it is.
func TestRouterStated(t *testing.T) {
	assert.False(t, new(joint.Router).Stated())
	for _, r := range []joint.Router{
		{AdjusterLead: mm(1)},
		{AdjusterStep: mm(1)},
		{Backlash: mm(1)},
		{ColletHeight: mm(1)},
		{GaugeBlocks: []length.Size{mm(1)}},
		{TurnedInUse: true},
	} {
		assert.True(t, r.Stated(), "%+v", r)
	}
}

// Common practice, no source: a half-pitch stop error shows at the edges, not
// in the fit.
func TestStopErrorShowsAtTheEdges(t *testing.T) {
	right, wrong := onePiece(), onePiece()
	wrong.SideStopError = mm(0.8)
	a, b := predict(t, right), predict(t, wrong)
	assert.Equal(t, a.Fit.Play, b.Fit.Play)
	assert.Equal(t, a.Widths, b.Widths)
	assert.InDelta(t, 0.8, b.Fit.EdgeStep.MM(), 1e-12)
}

// Common practice, no source: at least 1/8 in of lap is left.
func TestLapLimit(t *testing.T) {
	for _, row := range []struct {
		thickness float64 // mm
		ok        bool
	}{{9 + joint.LeastLap, true}, {9 + joint.LeastLap - 0.01, false}} {
		s := onePiece()
		s.PinBoard.Thickness = mm(row.thickness)
		assert.Equal(t, row.ok, predict(t, s).Limits[joint.LimitLap].OK(), "%g mm", row.thickness)
	}
}

func TestLimitsThatNeedWhatWasNotStated(t *testing.T) {
	s := halfInchProven(t)
	p := predict(t, s)
	for _, code := range []joint.LimitCode{
		joint.LimitLap, joint.LimitCutterInBushing, joint.LimitCuttingLength, joint.LimitBarrelAboveWood,
		joint.LimitColletGrip, joint.LimitGrooveDepth, joint.LimitPinRoot, joint.LimitTailRoot, joint.LimitEdgePin,
		joint.LimitTailBoardCleared, joint.LimitStraightFinger,
	} {
		assert.False(t, p.Limits[code].Known, "limit %d", code)
	}
	assert.False(t, p.WidthsKnown)
	assert.False(t, p.Fit.Seat.Known)
	assert.False(t, p.Projection.BelowBaseKnown)
}

// Each row is one limit worked by hand from section 7 of the model.
func TestLimitMargins(t *testing.T) {
	s := onePiece()
	s.Template.Thickness = mm(8)
	s.Bushing.Barrel, s.Bushing.Bore = mm(6), mm(9.5)
	s.Cutter.CuttingLength, s.Cutter.Shank, s.Cutter.OverallLength = mm(12.7), mm(6.35), mm(60)
	s.Router.ColletHeight = mm(20)
	s.PinBoard.GrooveDepth = mm(6)
	s.SideStopError = mm(-0.01)
	tan14 := math.Tan(14 * math.Pi / 180)
	pinRoot := 22.225 - 12.3 + 11.1125 - 12.7 // F + g - d
	limits := predict(t, s).Limits
	for code, want := range map[joint.LimitCode]float64{
		joint.LimitLap:              19 - 9 - 3.175,
		joint.LimitFlareInTemplate:  11.1125/2 - 0.25 - (12.7/2 - 9*tan14),
		joint.LimitCutterInBushing:  9.5 - 1 - math.Max(12.7-2*11*tan14, 6.35), // u = 9 + 8 - 6 = 11 < 12.7
		joint.LimitCuttingLength:    12.7 - 9,
		joint.LimitBarrelAboveWood:  8 - 0.5 - 6,
		joint.LimitColletGrip:       60 - (8 + 9) - 20 - 20,
		joint.LimitGrooveDepth:      9 - 6,
		joint.LimitPinRoot:          pinRoot - 3,
		joint.LimitTailRoot:         pinRoot - 3, // one-piece: both F + g - d
		joint.LimitEdgePin:          pinRoot/2 - 0.01 - 3,
		joint.LimitTailBoardCleared: 10.86 + 11.1125/2 + 12.7/2 - 9*tan14 - 15,
		joint.LimitStraightFinger:   14.2 + 10.86 - 22.225/2,
	} {
		assert.True(t, limits[code].Known, "limit %d", code)
		assert.InDelta(t, want, limits[code].Margin.MM(), 1e-9, "limit %d", code)
	}
}

func TestImpossibleJoints(t *testing.T) {
	for name, row := range map[string]struct {
		change   func(*joint.Setup)
		quantity joint.Quantity
		reason   joint.Reason
	}{
		"through the front":          {func(s *joint.Setup) { s.PinBoard.Thickness = mm(9) }, joint.QuantityDepthPinBoard, joint.ReasonThroughPinBoard},
		"past the apex":              {func(s *joint.Setup) { s.Cutter.Angle = 40 }, joint.QuantityDepthPinBoard, joint.ReasonCutterRunsOut},
		"past the apex in the tails": {func(s *joint.Setup) { s.Depth.TailBoard = mm(26) }, joint.QuantityDepthTailBoard, joint.ReasonCutterRunsOut},
		"bushing too wide":           {func(s *joint.Setup) { s.Bushing.Diameter = mm(12.3) }, joint.QuantityTailOpening, joint.ReasonBushingTooWide},
		"no pin left":                {func(s *joint.Setup) { s.Cutter.Diameter = mm(21.5) }, joint.QuantityPinRoot, joint.ReasonNoPinLeft},
	} {
		t.Run(name, func(t *testing.T) {
			s := onePiece()
			row.change(&s)
			_, err := joint.New(s)
			var impossible *joint.Impossible
			require.True(t, errors.As(err, &impossible), "%v", err)
			assert.Equal(t, row.quantity, impossible.Quantity)
			assert.Equal(t, row.reason, impossible.Reason)
		})
	}
	_, err := joint.NewTwoPosition(joint.Pass{Opening: mm(14), Finger: mm(8)}, joint.Pass{Opening: mm(14), Finger: mm(8.02)})
	var impossible *joint.Impossible
	require.True(t, errors.As(err, &impossible))
	assert.Equal(t, joint.ReasonPitchesDiffer, impossible.Reason)
}

// drawSetup draws a set-up that can be cut.
func drawSetup(t *rapid.T) joint.Setup {
	pitch := rapid.Float64Range(18, 30).Draw(t, "pitch")
	bushing := rapid.Float64Range(8, pitch*0.55).Draw(t, "bushing")
	opening := rapid.Float64Range(math.Max(bushing+0.5, pitch*0.5), pitch*0.7).Draw(t, "opening")
	// Leave at least 1 mm of root: F + g - d >= 1.
	most := math.Min(16, pitch-opening+bushing-1)
	return joint.Setup{
		Template: joint.NewOnePiece(mm(pitch), mm(opening), mm(rapid.Float64Range(10, 20).Draw(t, "s0")), mm(rapid.Float64Range(8, 16).Draw(t, "f0"))),
		Bushing:  joint.Bushing{Diameter: mm(bushing)},
		Cutter: joint.Cutter{
			Diameter: mm(rapid.Float64Range(7, most).Draw(t, "cutter")),
			Angle:    joint.Angle(rapid.Float64Range(7, 18).Draw(t, "angle")),
		},
		Depth:     joint.EqualDepth(mm(rapid.Float64Range(2, 9).Draw(t, "depth"))),
		PinBoard:  joint.PinBoard{Thickness: mm(rapid.Float64Range(11, 30).Draw(t, "front"))},
		TailBoard: joint.TailBoard{Thickness: mm(rapid.Float64Range(9, 20).Draw(t, "side"))},
	}
}

func TestPlayFallsWithDepth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSetup(t)
		a := predict(t, s)
		step := rapid.Float64Range(0.01, 0.5).Draw(t, "step")
		b := predict(t, s.AtDepth(s.Depth.PinBoard.Length+length.Length(step)))
		assert.InDelta(t, step*a.Joint.PlayPerDepth(), (a.Fit.Play - b.Fit.Play).MM(), 1e-9)
		assert.Less(t, b.Fit.Play, a.Fit.Play)
	})
}

func TestDepthForTargetGivesTheTarget(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSetup(t)
		j, err := joint.New(s.AtDepth(predict(t, s).DepthForTarget))
		if err != nil {
			t.Skip("no such joint")
		}
		assert.InDelta(t, target.Play.MM(), j.Play().MM(), 1e-9)
	})
}

func TestOnePieceIsTwoEqualPasses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSetup(t)
		two := s
		template, err := joint.NewTwoPosition(s.Template.Tail, s.Template.Pin)
		require.NoError(t, err)
		two.Template = template
		a, b := predict(t, s), predict(t, two)
		// Only the uncertainty differs: a one-piece opening is cut twice.
		assert.InDelta(t, a.Fit.Play.MM(), b.Fit.Play.MM(), 1e-9)
		assert.Equal(t, a.Fit.Seat.Known, b.Fit.Seat.Known)
		assert.InDelta(t, a.Fit.Seat.Offset.MM(), b.Fit.Seat.Offset.MM(), 1e-9)
		assert.InDelta(t, a.Widths.TailWidest.MM(), b.Widths.TailWidest.MM(), 1e-9)
		for i := range a.Limits {
			assert.Equal(t, a.Limits[i].Known, b.Limits[i].Known)
			assert.InDelta(t, a.Limits[i].Margin.MM(), b.Limits[i].Margin.MM(), 1e-9)
		}
	})
}

func TestScalingScales(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSetup(t)
		by := rapid.Float64Range(0.5, 2).Draw(t, "scale")
		big := s
		scale := func(l *length.Size) { l.Length *= length.Length(by) }
		tail := s.Template.Tail
		for _, l := range []*length.Size{&tail.Opening, &tail.OpeningReach, &tail.FingerReach} {
			scale(l)
		}
		pitch := s.Template.Pitch
		scale(&pitch)
		big.Template = joint.NewOnePiece(pitch, tail.Opening, tail.OpeningReach, tail.FingerReach)
		for _, l := range []*length.Size{
			&big.Bushing.Diameter, &big.Cutter.Diameter, &big.Depth.PinBoard, &big.Depth.TailBoard,
			&big.PinBoard.Thickness, &big.TailBoard.Thickness,
		} {
			scale(l)
		}
		a, err := joint.New(s)
		require.NoError(t, err)
		b, err := joint.New(big)
		require.NoError(t, err)
		assert.InDelta(t, by*a.Play().MM(), b.Play().MM(), 1e-9)
		assert.InDelta(t, by*a.Seat().Offset.MM(), b.Seat().Offset.MM(), 1e-9)
		wa, _ := a.Widths()
		wb, _ := b.Widths()
		assert.InDelta(t, by*wa.TailSocketWidest.MM(), wb.TailSocketWidest.MM(), 1e-9)
	})
}

// The sensitivities of the law of propagation against finite differences.
func TestSensitivities(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSetup(t)
		j, err := joint.New(s)
		require.NoError(t, err)
		budget := j.Budget()
		const step = 1e-5
		slope := func(change func(*joint.Setup)) float64 {
			moved := s
			change(&moved)
			m, err := joint.New(moved)
			require.NoError(t, err)
			return (m.Play() - j.Play()).MM() / step
		}
		square := func(x float64) float64 { return x * x }
		assert.InDelta(t, square(slope(func(s *joint.Setup) { s.Bushing.Diameter.Length += step })*0.025), budget[joint.SourceBushing], 1e-6)
		assert.InDelta(t, square(slope(func(s *joint.Setup) { s.Cutter.Diameter.Length += step })*0.025), budget[joint.SourceCutter], 1e-6)
		assert.InDelta(t, square(slope(func(s *joint.Setup) { s.Cutter.Angle += step })*0.15), budget[joint.SourceAngle], 1e-4)
		assert.InDelta(t, square(slope(func(s *joint.Setup) {
			s.Depth.PinBoard.Length += step
			s.Depth.TailBoard.Length += step
		})*0.075), budget[joint.SourceDepth], 1e-6)
		opening := slope(func(s *joint.Setup) {
			o := s.Template.Tail.Opening
			o.Length += step
			s.Template = joint.NewOnePiece(s.Template.Pitch, o, s.Template.Tail.OpeningReach, s.Template.Tail.FingerReach)
		})
		pitch := slope(func(s *joint.Setup) {
			p := s.Template.Pitch
			p.Length += step
			s.Template = joint.NewOnePiece(p, s.Template.Tail.Opening, s.Template.Tail.OpeningReach, s.Template.Tail.FingerReach)
		})
		assert.InDelta(t, square(opening*0.025)+square(pitch*0.025), budget[joint.SourceTemplate], 1e-6)
	})
}

func TestProbabilitiesSumToOne(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSetup(t)
		s.Cutter.Condition = joint.Condition(rapid.IntRange(0, 3).Draw(t, "condition"))
		f := predict(t, s).Fit
		sum := 0.0
		for _, p := range f.Probability {
			assert.GreaterOrEqual(t, p, -1e-12)
			sum += p
		}
		assert.InDelta(t, 1, sum, 1e-9)
		assert.LessOrEqual(t, f.Low, f.High)
	})
}

// The same piece of steel in both joints cannot make them differ.
func TestWhatIsCommonWithTheProvenJointCancels(t *testing.T) {
	s := halfInchProven(t)
	apart, err := joint.New(s)
	require.NoError(t, err)
	s.Cutter.ID, s.Bushing.ID = "shop-14", "shop-7-16"
	proven := *s.Template.Joint
	proven.Cutter.ID, proven.Bushing.ID = s.Cutter.ID, s.Bushing.ID
	s.Template.Joint = &proven
	same, err := joint.New(s)
	require.NoError(t, err)
	b := same.Budget()
	assert.Zero(t, b[joint.SourceBushing])
	assert.Zero(t, b[joint.SourceCutter])
	assert.Zero(t, b[joint.SourceAngle], "same depth, same flank")
	assert.Less(t, b.Total(), apart.Budget().Total())
}

func BenchmarkPredict(b *testing.B) {
	s := onePiece()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := joint.Predict(s, target, bands); err != nil {
			b.Fatal(err)
		}
	}
}
