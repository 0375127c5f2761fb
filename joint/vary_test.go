package joint_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"

	"snugtail/joint"
	"snugtail/joint/length"
)

func within(x, tolerance float64) length.Size {
	return length.Within(length.Length(x), length.Length(tolerance))
}

// The worked figures of the model, section 17: a front of 18.6 +/- 0.5 mm cut 14.9 mm
// deep has a lap of 3.7, 2.2 % under 1/8 in; 1 % at 14.82 mm. Under 3.2 mm, 2.8 %
// and 14.79 mm.
func TestLapOfAFrontThatVaries(t *testing.T) {
	s := onePiece().AtDepth(14.9)
	s.PinBoard.Thickness = within(18.6, 0.5)
	j, err := joint.New(s)
	require.NoError(t, err)
	p, ok := j.LapChance(3.2)
	require.True(t, ok)
	assert.InDelta(t, 0.028, p, 5e-4)
	h, ok := j.DeepestForLap(3.2, 0.01)
	require.True(t, ok)
	assert.InDelta(t, 14.79, h.MM(), 0.005)
	p, _ = j.LapChance(joint.LeastLap)
	assert.InDelta(t, 0.0221, p, 1e-4)
	h, _ = j.DeepestForLap(joint.LeastLap, 0.01)
	assert.InDelta(t, 14.82, h.MM(), 0.005)

	s.PinBoard.Thickness = length.Size{}
	j, err = joint.New(s)
	require.NoError(t, err)
	_, ok = j.LapChance(3.2)
	assert.False(t, ok)
	_, ok = j.DeepestForLap(3.2, 0.01)
	assert.False(t, ok)
}

// A board of 14.2 +/- 0.5 mm, 10.904 mm deep: the lap of 3.296 mm is kept on
// paper, and is under 1/8 in on one front in three.
func TestKeptOnPaper(t *testing.T) {
	s := onePiece().AtDepth(10.904)
	s.PinBoard.Thickness = within(14.2, 0.5)
	p := predict(t, s)
	assert.True(t, p.Limits[joint.LimitLap].OK())
	chance, ok := p.Joint.ChanceBroken(joint.LimitLap)
	require.True(t, ok)
	want := distuv.UnitNormal.CDF((25.4/8 - (14.2 - 10.904)) / math.Hypot(0.25, 0.075))
	assert.InDelta(t, want, chance, 1e-9)
	assert.InDelta(t, 0.32, chance, 0.005)
	lap, _ := p.Joint.LapChance(joint.LeastLap)
	assert.InDelta(t, chance, lap, 1e-12)
}

// The depth for a chance has that chance; deeper has more.
func TestDeepestForLapHasItsChance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := onePiece()
		s.PinBoard.Thickness = within(rapid.Float64Range(14, 25).Draw(t, "front"), rapid.Float64Range(0, 1).Draw(t, "tolerance"))
		want := rapid.Float64Range(0.001, 0.5).Draw(t, "chance")
		j, err := joint.New(s)
		require.NoError(t, err)
		h, ok := j.DeepestForLap(joint.LeastLap, want)
		require.True(t, ok)
		at, _ := joint.New(s.AtDepth(h))
		got, ok := at.LapChance(joint.LeastLap)
		require.True(t, ok)
		assert.InDelta(t, want, got, 1e-9)
	})
}

func TestDeepestForLapNeedsAChance(t *testing.T) {
	j, err := joint.New(onePiece())
	require.NoError(t, err)
	for _, p := range []float64{-0.1, 0, 1, 2, math.NaN()} {
		_, ok := j.DeepestForLap(joint.LeastLap, p)
		assert.False(t, ok, "%g", p)
	}
}

// 1 - (1 - p)^N for boards that err apart; boards from one planing are good or
// bad together.
func TestChanceOfAny(t *testing.T) {
	assert.InDelta(t, 1-math.Pow(0.972, 12), joint.Apart.ChanceOfAny(0.028, 12), 1e-12)
	assert.Equal(t, 0.028, joint.OnePlaning.ChanceOfAny(0.028, 12))
	assert.Zero(t, joint.Apart.ChanceOfAny(0.5, 0))
	assert.Equal(t, 1.0, joint.Apart.ChanceOfAny(1, 3))
}

// The formula of the ridge as the model prints it, section 17, for
// an angle that is sure: the overhanging ridge of a tail board too thick.
func TestRidge(t *testing.T) {
	s := onePiece()
	s.Template = joint.NewOnePiece(mm(22.225), mm(12.3), mm(14.2), within(10.86, 0.3))
	s.Bushing.Diameter, s.Cutter.Diameter = within(11.1125, 0.06), within(12.7, 0.08)
	s.Cutter.AngleTolerance, s.Cutter.HasAngleTolerance = 0, true
	s.TailBoard.Thickness = within(20, 0.8)
	s.Depth = joint.EqualDepth(within(9, 0.2))
	j, err := joint.New(s)
	require.NoError(t, err)
	got, ok := j.ChanceBroken(joint.LimitTailBoardCleared)
	require.True(t, ok)
	tan14 := math.Tan(14 * math.Pi / 180)
	u := math.Sqrt(0.4*0.4 + 0.15*0.15 + 0.03*0.03/4 + 0.04*0.04/4 + tan14*tan14*0.1*0.1)
	want := distuv.UnitNormal.CDF((20 - (10.86 + 11.1125/2 + 12.7/2 - 9*tan14)) / u)
	assert.InDelta(t, want, got, 1e-6)
	assert.True(t, want > 0.05 && want < 0.95, "%g", want)
}

// u(L), u(b) and u(e) are that of the reach, where only that is unsure: both
// reaches with coefficients of 1 (model, section 13).
func TestReachIsUnsure(t *testing.T) {
	exact := func(x float64) length.Size { return within(x, 0) }
	s := joint.Setup{
		Template:  joint.NewOnePiece(exact(22.225), exact(12.3), within(14.2, 0.4), within(8, 0.4)),
		Bushing:   joint.Bushing{Diameter: exact(11.1125)},
		Cutter:    joint.Cutter{Diameter: exact(12.7), Angle: 14, HasAngleTolerance: true},
		Depth:     joint.EqualDepth(exact(9)),
		TailBoard: joint.TailBoard{Thickness: exact(12)},
	}
	p := predict(t, s)
	for _, code := range []joint.LimitCode{joint.LimitStraightFlank, joint.LimitTailLeft, joint.LimitPinsReachEnd, joint.LimitSocketsBreakThrough} {
		got, ok := p.Joint.ChanceBroken(code)
		require.True(t, ok)
		want := distuv.UnitNormal.CDF(-p.Limits[code].Margin.MM() / 0.2)
		assert.InDelta(t, want, got, 1e-9, "limit %d", code)
	}
	// y_n = 8 - 9.925/2 = 3.0375 is 0.0375 more than is wanted.
	flank, _ := p.Joint.ChanceBroken(joint.LimitStraightFlank)
	assert.InDelta(t, 0.4256, flank, 1e-3)
}

// Nothing unsure: a limit is broken or it is not.
func TestNothingUnsure(t *testing.T) {
	s := onePiece()
	s.PinBoard.Thickness = within(9+joint.LeastLap+0.01, 0)
	s.Depth = joint.EqualDepth(within(9, 0))
	j, err := joint.New(s)
	require.NoError(t, err)
	p, ok := j.ChanceBroken(joint.LimitLap)
	assert.True(t, ok)
	assert.InDelta(t, 0, p, 1e-12)
	_, ok = j.ChanceBroken(joint.LimitGrooveDepth)
	assert.False(t, ok)
	_, ok = j.ChanceBroken(joint.LimitCount)
	assert.False(t, ok)
}

// drawn is the set-up with every size that is unsure drawn from its own normal
// distribution: what the chances are checked against.
func drawn(r *rand.Rand, s joint.Setup) joint.Setup {
	draw := func(x length.Size, byDefault length.Length) length.Size {
		return mm(x.MM() + x.StandardUncertainty(byDefault)*r.NormFloat64())
	}
	t := s.Template
	s.Template = joint.NewOnePiece(
		draw(t.Pitch, joint.ToleranceTemplate), draw(t.Tail.Opening, joint.ToleranceTemplate),
		draw(t.Tail.OpeningReach, joint.ToleranceReach), draw(t.Tail.FingerReach, joint.ToleranceReach),
	)
	s.Bushing.Diameter = draw(s.Bushing.Diameter, joint.ToleranceBushing)
	s.Cutter.Diameter = draw(s.Cutter.Diameter, joint.ToleranceNewCutter)
	s.Cutter.Angle += joint.Angle(s.Cutter.AngleUncertainty() * r.NormFloat64())
	s.Depth = joint.EqualDepth(draw(s.Depth.PinBoard, joint.ToleranceDepthSet))
	s.PinBoard.Thickness = draw(s.PinBoard.Thickness, joint.ToleranceThickness)
	s.TailBoard.Thickness = draw(s.TailBoard.Thickness, joint.ToleranceThickness)
	return s
}

// TestChancesAgainstDraws holds the chances to 40,000 drawn set-ups each: what
// is linear to the draws' own 0.7 points, the seat near its kink too.
func TestChancesAgainstDraws(t *testing.T) {
	const draws, tolerance = 40_000, 0.01
	r := rand.New(rand.NewPCG(14, 6))
	nose := 10.86 + 11.1125/2 - 12.7/2 // the nose's reach at the tail's root
	for name, row := range map[string]struct{ side, tolerance float64 }{
		"nose whole":       {18, 0.5},
		"nose just whole":  {nose, 0.8},
		"nose half off":    {nose - 2, 0.8},
		"face at its root": {6, 0.5},
	} {
		t.Run(name, func(t *testing.T) {
			s := onePiece()
			s.Template = joint.NewOnePiece(mm(22.225), mm(12.3), mm(11.8), mm(10.86)) // q0 is -0.25 mm
			s.PinBoard.Thickness = within(12.4, 0.4)
			s.TailBoard.Thickness = within(row.side, row.tolerance)
			j, err := joint.New(s)
			require.NoError(t, err)
			chance, ok := j.SeatChances()
			require.True(t, ok)
			var inside, proud, lap, ridge float64
			for range draws {
				k, err := joint.New(drawn(r, s))
				require.NoError(t, err)
				q := k.Seat()
				require.True(t, q.Known)
				inside += count(q.Offset > joint.GoodInside)
				proud += count(q.Offset < -joint.GoodProud)
				limits := k.Limits()
				lap += count(limits[joint.LimitLap].Broken())
				ridge += count(limits[joint.LimitTailBoardCleared].Broken())
			}
			assert.InDelta(t, inside/draws, chance.Inside, tolerance, "inside")
			assert.InDelta(t, proud/draws, chance.Proud, tolerance, "proud")
			p, _ := j.ChanceBroken(joint.LimitLap)
			assert.InDelta(t, lap/draws, p, tolerance, "lap")
			p, _ = j.ChanceBroken(joint.LimitTailBoardCleared)
			assert.InDelta(t, ridge/draws, p, tolerance, "ridge")
			assert.True(t, inside+proud > 0.02*draws, "something to compare")
		})
	}
}

func count(is bool) float64 {
	if is {
		return 1
	}
	return 0
}

// A seat that is not known has no chances; a side that is sure needs no
// integral, and one just as sure as nothing gives the same.
func TestSeatChancesOfASureSide(t *testing.T) {
	s := onePiece()
	s.TailBoard.Thickness = within(15, 0)
	sure, err := joint.New(s)
	require.NoError(t, err)
	s.TailBoard.Thickness = within(15, 1e-6)
	almost, err := joint.New(s)
	require.NoError(t, err)
	a, ok := sure.SeatChances()
	require.True(t, ok)
	b, _ := almost.SeatChances()
	assert.InDelta(t, a.Inside, b.Inside, 1e-6)
	assert.InDelta(t, a.Proud, b.Proud, 1e-6)

	tight, err := joint.New(s.AtDepth(12.5))
	require.NoError(t, err)
	_, ok = tight.SeatChances()
	assert.False(t, ok)
}

// The slope of the seat on the side's thickness as the model prints it,
// section 17: 0 while the nose is whole, then from about 0 to -c/(2R), -1
// for sides that end before the nose begins.
func TestSeatFallsWithThickness(t *testing.T) {
	s := onePiece() // y_n = 10.86 - 9.925/2, R = (F + g - d)/2
	yn, r := 10.86-9.925/2, (9.925+11.1125-12.7)/2
	slope := func(side float64) float64 {
		const step = 1e-4
		seat := func(side float64) float64 {
			s.TailBoard.Thickness = mm(side)
			j, err := joint.New(s)
			require.NoError(t, err)
			return j.Seat().Offset.MM()
		}
		return (seat(side+step) - seat(side-step)) / (2 * step)
	}
	j, err := joint.New(s)
	require.NoError(t, err)
	c := j.Play().MM()
	for _, side := range []float64{6.5, 7.5, 9, yn + r - 0.01} {
		want := (side-yn)/math.Sqrt(math.Pow(r+c/2, 2)-r*r+math.Pow(side-yn, 2)) - 1
		assert.InDelta(t, want, slope(side), 1e-4, "%g", side)
	}
	assert.InDelta(t, 0, slope(yn+r+0.01), 1e-9)
	assert.InDelta(t, -1, slope(yn-0.5), 1e-9)
}

func BenchmarkBoardsThatVary(b *testing.B) {
	j, err := joint.New(onePiece())
	require.NoError(b, err)
	b.ReportAllocs()
	for b.Loop() {
		j.SeatChances()
		j.ChanceBroken(joint.LimitTailBoardCleared)
	}
}
