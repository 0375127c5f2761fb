package joint_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/joint"
	"snugtail/joint/length"
)

// A play on the limit of two bands belongs to the tighter one.
func TestBandsAtTheirLimits(t *testing.T) {
	bands := joint.Bands{Crush: joint.DefaultCrush}
	for play, want := range map[length.Length]joint.Band{
		-0.20: joint.WillNotClose, -0.199: joint.Tight, -0.05: joint.Tight, -0.049: joint.HandFit,
		0.20: joint.HandFit, 0.201: joint.Loose, 0.50: joint.Loose, 0.501: joint.TooLoose,
	} {
		assert.Equal(t, want, bands.Of(play), "%g mm", play.MM())
	}
	// Wood that bruises before it is tight leaves no band of tight joints.
	assert.Equal(t, joint.WillNotClose, joint.Bands{Crush: 0.03}.Of(-0.05))
}

// A one-piece template moved by 0.3 mm further onto the pin board: the socket is
// deeper by it, the tail longer by as much less, and the play is as it was.
func TestMovedTemplate(t *testing.T) {
	s := chartDrawer()
	before, err := joint.New(s)
	require.NoError(t, err)
	s.Template = s.Template.Moved(0.3)
	after, err := joint.New(s)
	require.NoError(t, err)
	assert.Equal(t, before.Play(), after.Play())
	assert.InDelta(t, 0.6, (after.Seat().Offset - before.Seat().Offset).MM(), 1e-9)
	assert.InDelta(t, 13.5, s.Template.Pin.OpeningReach.MM(), 1e-9)
	assert.InDelta(t, 11.7, s.Template.Tail.FingerReach.MM(), 1e-9)
}

// Pin sockets that are open right through the tail board hold nothing: the seat
// is the nose's, however far inside that is.
func TestOpenSocketsHoldNothing(t *testing.T) {
	s := chartDrawer()
	template, err := joint.NewTwoPosition(
		joint.Pass{Opening: mm(12.3), Finger: mm(9.925), OpeningReach: mm(12.3/2 + 0.8), FingerReach: mm(12)},
		joint.Pass{Opening: mm(12.3), Finger: mm(9.925), OpeningReach: mm(15.6), FingerReach: mm(3)},
	)
	require.NoError(t, err)
	s.Template, s.TailBoard.Thickness = template, mm(20)
	j, err := joint.New(s.AtDepth(10.904))
	require.NoError(t, err)
	seat := j.Seat()
	assert.Equal(t, joint.ContactNose, seat.Contact)
	assert.InDelta(t, 15.6-12-2.375/2+j.Play().MM()/2, seat.Offset.MM(), 1e-9, "s0 - f0 - K/2 + c/2")
}

// Without the side's thickness a joint that is not proud is known to seat; one
// that may be more proud than planes off is not known.
func TestSeatsWithoutThickness(t *testing.T) {
	s := chartDrawer()
	s.TailBoard.Thickness = length.Size{}
	for reach, known := range map[float64]bool{13.2: true, 10.9: false} {
		s.Template = joint.NewOnePiece(size("7/8 in"), size("0.484 in"), mm(reach), mm(12))
		j, err := joint.New(s)
		require.NoError(t, err)
		assert.Equal(t, known, j.LimitOf(joint.LimitSeats).Known, "opening reach %g", reach)
	}
}

// A joint that fitted with another bushing leaves both unsure, 2 u each; with
// another cutter both diameters, and both angles over their own depths.
func TestBudgetAgainstAnotherPieceOfSteel(t *testing.T) {
	then := joint.ProvenJoint{
		Cutter:  joint.Cutter{ID: "old", Diameter: mm(12.7), Angle: 14},
		Bushing: joint.Bushing{ID: "brass", Diameter: mm(11.1125)}, Depth: mm(10.9), Play: mm(0.1),
	}
	template, err := joint.NewProven(then)
	require.NoError(t, err)
	s := chartDrawer()
	s.Template, s.Cutter, s.Bushing = template, then.Cutter, then.Bushing
	budget := func() joint.Budget {
		j, err := joint.New(s.AtDepth(10.5))
		require.NoError(t, err)
		return j.Budget()
	}
	same := budget()
	assert.Zero(t, same[joint.SourceBushing])
	assert.Zero(t, same[joint.SourceCutter])
	s.Bushing.ID, s.Cutter.ID = "steel", "new"
	other := budget()
	assert.InDelta(t, 2*0.05*0.05, other[joint.SourceBushing], 1e-12)
	assert.InDelta(t, 2*0.05*0.05, other[joint.SourceCutter], 1e-12)
	perDegree := func(h float64) float64 { return (&joint.Cutter{Angle: 14}).PlayPerAngle(h) * 0.15 }
	assert.InDelta(t, perDegree(10.5)*perDegree(10.5)+perDegree(10.9)*perDegree(10.9), other[joint.SourceAngle], 1e-12)
	assert.InDelta(t, perDegree(0.4)*perDegree(0.4), same[joint.SourceAngle], 1e-12)
}

// What test cuts left unsure stands for all that lasts: two sources are left.
func TestBudgetAfterTestCuts(t *testing.T) {
	s := chartDrawer()
	s.Offset = joint.Offset{Mean: 0.1, SD: 0.03, Known: true}
	j, err := joint.New(s)
	require.NoError(t, err)
	b := j.Budget()
	assert.InDelta(t, 0.03*0.03, b[joint.SourceLearned], 1e-12)
	assert.InDelta(t, 0.03*0.03, b.Lasting(), 1e-12)
	assert.Positive(t, b[joint.SourceDepth])
	for _, source := range []joint.Source{joint.SourceBushing, joint.SourceCutter, joint.SourceAngle, joint.SourceTemplate} {
		assert.Zero(t, b[source])
	}
}

// The shallowest cut that keeps the flank out of the bore, by hand: it must be 9 mm
// wide at most where it passes the barrel's end, 1 mm above the template's
// lower face, so (12.7 - 9)/2/tan a - 1 deep.
func TestShallowestInBore(t *testing.T) {
	s := chartDrawer()
	s.Bushing.Bore, s.Bushing.Barrel = mm(10), mm(7)
	s.Template.Thickness, s.Cutter.CuttingLength = mm(8), mm(30)
	j, err := joint.New(s)
	require.NoError(t, err)
	from, _ := j.DepthsWithin()
	assert.InDelta(t, 3.7/2/math.Tan(14*math.Pi/180)-1, from.MM(), 1e-9)
	at, err := joint.New(s.AtDepth(from))
	require.NoError(t, err)
	assert.InDelta(t, 0, at.LimitOf(joint.LimitCutterInBushing).Margin.MM(), 1e-9)
}

// One setting for both boards errs once: the deeper cut is off by all of it.
func TestOneSettingErrsOnce(t *testing.T) {
	s := chartDrawer()
	s.Cutter.CuttingLength = length.Within(10.6, 0)
	j, err := joint.New(s) // 10.5 deep
	require.NoError(t, err)
	p, ok := j.ChanceBroken(joint.LimitCuttingLength)
	require.True(t, ok)
	assert.InDelta(t, joint.NormalCDF(-0.1/0.075), p, 1e-9)
}

// What measuring a cutter of unknown history gains, by hand: two histories and
// their spread before, one diameter by caliper after.
func TestMeasuringACutterOfUnknownHistory(t *testing.T) {
	s := chartDrawer()
	s.Cutter.Condition = joint.ConditionUnknown
	j, err := joint.New(s)
	require.NoError(t, err)
	target := joint.DefaultTarget(0)
	b := j.Budget()
	rest := b.Total() - b[joint.SourceCutter]
	within := func(mean, variance float64) float64 {
		return joint.InTarget(joint.NormalSpread(mean, math.Sqrt(variance)), target)
	}
	now := 0.75*within(0.10, rest+0.05*0.05) + 0.25*within(0.10-0.28, rest+0.16*0.16)
	after := within(0.10, rest+0.05*0.05)
	assert.InDelta(t, after-now, j.MeasureFirst(target)[joint.SourceCutter].Rise, 1e-9)
	// Measuring something else leaves the two histories.
	angle := b[joint.SourceAngle] / 9 // 0.05 deg instead of 0.15
	other := 0.75*within(0.10, rest-b[joint.SourceAngle]+angle+0.05*0.05) + 0.25*within(0.10-0.28, rest-b[joint.SourceAngle]+angle+0.16*0.16)
	rise := other - now
	if rise < joint.LeastGain {
		rise = 0
	}
	assert.InDelta(t, rise, j.MeasureFirst(target)[joint.SourceAngle].Rise, 1e-9)
}

// The bore is kept clear at the shallower of two depths, where the widest part of the
// flank is highest in it.
func TestBoreAtTheShallowerDepth(t *testing.T) {
	s := chartDrawer()
	s.Bushing.Bore, s.Bushing.Barrel = mm(10), mm(7)
	s.Template.Thickness, s.Cutter.CuttingLength = mm(8), mm(30)
	margin := func(d joint.Depth) float64 {
		s.Depth = d
		j, err := joint.New(s)
		require.NoError(t, err)
		return j.LimitOf(joint.LimitCutterInBushing).Margin.MM()
	}
	same := margin(joint.EqualDepth(mm(9)))
	assert.InDelta(t, same, margin(joint.Depth{PinBoard: mm(9), TailBoard: mm(11)}), 1e-12)
	assert.InDelta(t, same, margin(joint.Depth{PinBoard: mm(11), TailBoard: mm(9)}), 1e-12)
	assert.Greater(t, margin(joint.EqualDepth(mm(11))), same)
}

// A bearing must clear the wood by BarrelClearance: with edges 12 mm long no cut is
// deeper than 12 less that.
func TestDeepestUnderABearing(t *testing.T) {
	s := chartDrawer()
	s.Bushing.Kind, s.Cutter.CuttingLength = joint.KindBearing, mm(12)
	s.PinBoard.Thickness = mm(30)
	j, err := joint.New(s)
	require.NoError(t, err)
	_, to := j.DepthsWithin()
	assert.InDelta(t, 12-joint.BarrelClearance, to.MM(), 1e-12)
}

// Eight tails are not many yet, nine are.
func TestManyTails(t *testing.T) {
	assert.Equal(t, length.Length(joint.DefaultPlay), joint.DefaultTarget(joint.ManyTails).Play)
	assert.Equal(t, length.Length(joint.ManyTailPlay), joint.DefaultTarget(joint.ManyTails+1).Play)
}
