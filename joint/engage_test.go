package joint_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/joint"
	"snugtail/joint/jointtest"
	"snugtail/joint/length"
)

// verdict in the words of the solid cases.
func verdict(f *joint.Fit, limits *joint.Limits) string {
	switch {
	case f.Shortfall.NoJoint:
		return "no_joint"
	case limits[joint.LimitSeats].Broken():
		return "proud"
	case limits[joint.LimitPinsReachEnd].Broken():
		return "pins_short"
	}
	return "joint"
}

// TestLimitSolids holds verdict, seat and lengths of set-ups on both sides of
// each limit to what was measured of the solids, each within the tolerance that
// the case itself states.
func TestLimitSolids(t *testing.T) {
	for _, c := range jointtest.LimitCases(t, "..") {
		t.Run(c.ID, func(t *testing.T) {
			p := predict(t, c.Setup(t))
			e, m := p.Joint.Engagement(), c.Measured
			near := func(want float64, got joint.Extent, quantity, tolerance string) {
				t.Helper()
				require.Contains(t, c.Tolerance, tolerance)
				require.True(t, got.Known, quantity)
				assert.InDelta(t, want, got.MM(), c.Tolerance[tolerance], quantity)
			}
			orNone := func(x joint.Extent) joint.Extent { x.Length = max(0, x.Length); return x }

			assert.Equal(t, m.Verdict, verdict(&p.Fit, &p.Limits))
			assert.Equal(t, m.Verdict == "no_joint", p.Fit.Band == joint.NoJoint)
			assert.True(t, p.Fit.Shortfall.Checked)
			require.True(t, p.Fit.Seat.Known)
			assert.InDelta(t, m.Seat, p.Fit.Seat.Offset.MM(), c.Tolerance["seat_offset"], "seat")
			assert.Equal(t, e.Seat.Length, p.Fit.Seat.Offset)

			near(m.TailLeftAtRoot, orNone(e.TailLeft), "tail left at its root, T_r", "lengths")
			near(m.PinShort, orNone(joint.Extent{Length: -e.PinReach.Length, Known: true}), "pins short of the end, -e", "lengths")
			near(m.Bridge, orNone(joint.Extent{Length: -e.BreakThrough.Length, Known: true}), "bridge, -b", "lengths")
			near(m.StraightFlankAtRest, orNone(e.StraightFlank), "straight flank at rest, L", "straight_flank")
			near(m.SocketAtOutsideFace, e.OutsideOpening, "opening in the outside face", "socket_width_at_outside_face")
			if m.Entered != nil {
				// The solids' seat is in it too.
				assert.InDelta(t, *m.Entered, e.Entered.MM(), c.Tolerance["lengths"]+c.Tolerance["seat_offset"], "entered, E")
			}
			// Whether a socket opens in the outside face is the sign of b.
			assert.Equal(t, m.SocketAtOutsideFace > 0, e.BreakThrough.Length > 0)
			if straight := p.Joint.Play().MM(); e.StraightFlank.Length > 0.7 && m.PlayAtRest != nil {
				if r, _ := p.Joint.RoundEnds(); r.PinSocket <= 0 {
					assert.InDelta(t, straight, *m.PlayAtRest, c.Tolerance["play_at_rest"], "play at rest")
				}
			}
		})
	}
}

// Every one of the other solids is a joint.
func TestSolidsAreJoints(t *testing.T) {
	for _, c := range jointtest.Solids(t, "..") {
		p := predict(t, c.Setup(t))
		assert.True(t, p.Fit.Shortfall.Checked, c.ID)
		assert.False(t, p.Fit.Shortfall.NoJoint, "%s: %+v", c.ID, p.Joint.Engagement())
		assert.NotEqual(t, joint.NoJoint, p.Fit.Band, c.ID)
		assert.Zero(t, p.Fit.Probability[joint.NoJoint], c.ID)
	}
}

// reported is the case worked in the model, section 13: pitch 7/8
// in, opening 0.484 in, bushing 7/16 in, 1/2 in at 14 deg, 10.904 mm deep, finger
// reach 0.53 in, side 12 mm.
func reported(openingReach float64) joint.Setup {
	return joint.Setup{
		Template:  joint.NewOnePiece(inch(7.0/8), inch(0.484), mm(openingReach), inch(0.53)),
		Bushing:   joint.Bushing{Diameter: inch(7.0 / 16)},
		Cutter:    joint.Cutter{Diameter: inch(1.0 / 2), Angle: 14},
		Depth:     joint.EqualDepth(mm(10.904)),
		PinBoard:  joint.PinBoard{Thickness: mm(19)},
		TailBoard: joint.TailBoard{Thickness: mm(12)},
	}
}

// Figures of the model, section 13, as printed there.
func TestReportedCase(t *testing.T) {
	p := predict(t, reported(1))
	e := p.Joint.Engagement()
	assert.InDelta(t, 0.1, p.Fit.Play.MM(), 5e-4)
	assert.InDelta(t, -0.925, e.BreakThrough.MM(), 5e-4)
	assert.InDelta(t, -12, e.Seat.MM(), 1e-9, "as thick as the side, not the 13.6 of q0 + c/2")
	assert.InDelta(t, 0, e.Entered.MM(), 1e-9)
	assert.Negative(t, e.StraightFlank.MM())
	assert.Equal(t, joint.ContactBoardEnd, p.Fit.Seat.Contact)
	assert.Equal(t, joint.NoJoint, p.Fit.Band)
	assert.Equal(t, joint.BandProbability{joint.NoJoint: 1}, p.Fit.Probability)
	assert.Zero(t, p.Fit.InTarget)
	// L = y_s - 0 = 1 - 0.484 in / 2 is short by most.
	assert.Equal(t, joint.LimitStraightFlank, p.Fit.Shortfall.Limit)
	assert.InDelta(t, 0.242*25.4-1, p.Fit.Shortfall.By.MM(), 1e-6)

	p = predict(t, reported(5))
	e = p.Joint.Engagement()
	assert.InDelta(t, 3.1, e.BreakThrough.MM(), 0.05)
	assert.InDelta(t, -9.6, e.Seat.MM(), 0.05)
	assert.Negative(t, e.StraightFlank.MM())
	assert.Equal(t, joint.NoJoint, p.Fit.Band)
}

// Margins of the six, by hand from section 13: a one-piece
// template, flush and half nose, so y_n = -A and y_s = -B.
func TestEngagementMargins(t *testing.T) {
	s := onePiece() // S 12.3, F 9.925, s0 14.2, f0 10.86, g 11.1125, d 12.7, 9 deep, side 15
	p := predict(t, s)
	tan14 := math.Tan(14 * math.Pi / 180)
	reach := 10.86 + 11.1125/2 - 12.7/2 // of the nose at the tail's root
	play := 2.375 + 2*1.5875 - 18*tan14
	seat := 14.2 - 10.86 - 2.375/2 + play/2
	for _, row := range []struct {
		code            joint.LimitCode
		margin, comfort float64
		severity        joint.Severity
	}{
		{joint.LimitTailLeft, reach - 15.0/4, 5 - 15.0/4, joint.SeverityForbids},
		{joint.LimitTailEnters, reach + seat - 0.9*reach, 0, joint.SeverityForbids},
		{joint.LimitStraightFlank, 10.86 - 9.925/2 - 15.0/4, 5 - 15.0/4, joint.SeverityForbids},
		{joint.LimitSeats, seat + 1, 0.85, joint.SeverityNotFlush},
		{joint.LimitPinsReachEnd, 10.86 + (11.1125-12.7)/2, 0, joint.SeverityNotFlush},
		{joint.LimitSocketsBreakThrough, 14.2 - 11.1125/2 + 12.7/2 - 9*tan14, 0, joint.SeverityNote},
	} {
		l := p.Limits[row.code]
		assert.True(t, l.OK(), "limit %d", row.code)
		assert.InDelta(t, row.margin, l.Margin.MM(), 1e-9, "limit %d", row.code)
		assert.InDelta(t, row.comfort, l.Comfort.MM(), 1e-9, "limit %d", row.code)
		assert.Equal(t, row.severity, row.code.Severity(), "limit %d", row.code)
	}
	assert.True(t, p.Limits[joint.LimitStraightFlank].Margin < 6 && !p.Limits[joint.LimitStraightFlank].Tight())

	thin := s
	thin.TailBoard.Thickness = mm(6) // max(3, 1.5) and max(4, 2): all of it is left
	l := predict(t, thin).Limits[joint.LimitTailLeft]
	assert.InDelta(t, 6-3, l.Margin.MM(), 1e-9)
	assert.InDelta(t, 1, l.Comfort.MM(), 1e-9)
}

// A kept limit below its comfort is a caution, a broken one is none.
func TestTight(t *testing.T) {
	for _, row := range []struct {
		margin, comfort length.Length
		known, tight    bool
	}{{0.5, 1, true, true}, {1, 1, true, false}, {-0.1, 1, true, false}, {0, 1, true, true}, {0.5, 1, false, false}, {0, 0, true, false}} {
		assert.Equal(t, row.tight, joint.Limit{Known: row.known, Margin: row.margin, Comfort: row.comfort}.Tight(), "%+v", row)
	}
}

// Only what forbids a joint is found by Broken.
func TestBrokenForbids(t *testing.T) {
	limits := joint.Limits{}
	for _, code := range []joint.LimitCode{joint.LimitSeats, joint.LimitPinsReachEnd, joint.LimitSocketsBreakThrough} {
		limits[code] = joint.Limit{Code: code, Known: true, Margin: -1}
	}
	_, broken := limits.Broken()
	assert.False(t, broken)
	limits[joint.LimitTailEnters] = joint.Limit{Code: joint.LimitTailEnters, Known: true, Margin: -1}
	l, broken := limits.Broken()
	assert.True(t, broken)
	assert.Equal(t, joint.LimitTailEnters, l.Code)
}

// Without reaches none of the six is looked at; with some of them, what follows
// from those is.
func TestEngagementNeedsReaches(t *testing.T) {
	s := onePiece()
	s.Template = joint.NewOnePiece(mm(22.225), mm(12.3), length.Size{}, length.Size{})
	p := predict(t, s)
	assert.Equal(t, joint.Engagement{}, p.Joint.Engagement())
	assert.Equal(t, joint.Shortfall{}, p.Fit.Shortfall)
	for code := joint.LimitTailLeft; code < joint.LimitCount; code++ {
		assert.False(t, p.Limits[code].Known)
	}

	s.Template = joint.NewOnePiece(mm(22.225), mm(12.3), length.Size{}, mm(0.5))
	p = predict(t, s)
	assert.True(t, p.Fit.Shortfall.NoJoint, "the tail's root is cut away, whatever the openings")
	assert.False(t, p.Fit.Shortfall.Checked)
	assert.Equal(t, joint.LimitTailLeft, p.Fit.Shortfall.Limit)
	assert.True(t, p.Limits[joint.LimitTailLeft].Broken())
	assert.False(t, p.Limits[joint.LimitTailEnters].Known)

	allowance := onePiece()
	allowance.Template = joint.NewAllowance(mm(2.4))
	assert.Equal(t, joint.Shortfall{}, predict(t, allowance).Fit.Shortfall)
}

// Reaches at 0 and below are templates that stand back from the edge.
func TestReachesAtOrBelowNothing(t *testing.T) {
	for _, reach := range []float64{0, -0.5, -20} {
		s := onePiece()
		s.Template = joint.NewOnePiece(mm(22.225), mm(12.3), mm(14.2), mm(reach))
		p := predict(t, s)
		assert.Equal(t, joint.NoJoint, p.Fit.Band, "%g", reach)
		s.Template = joint.NewOnePiece(mm(22.225), mm(12.3), mm(reach), mm(10.86))
		p = predict(t, s)
		assert.Equal(t, joint.NoJoint, p.Fit.Band, "%g", reach)
	}
}

// drawReaches is a two-position template anywhere from -20 to 25 mm, with a
// tail board of any thickness.
func drawReaches(t *rapid.T) joint.Setup {
	reach := func(name string) length.Size { return mm(rapid.Float64Range(-20, 25).Draw(t, name)) }
	pitch := rapid.Float64Range(18, 32).Draw(t, "pitch")
	tail := joint.Pass{Opening: mm(pitch * rapid.Float64Range(0.5, 0.65).Draw(t, "tail opening")), OpeningReach: reach("s0 tail"), FingerReach: reach("f0 tail")}
	pin := joint.Pass{Opening: mm(pitch * rapid.Float64Range(0.5, 0.65).Draw(t, "pin opening")), OpeningReach: reach("s0 pin"), FingerReach: reach("f0 pin")}
	tail.Finger, pin.Finger = length.Exactly(length.Length(pitch)-tail.Opening.Length), length.Exactly(length.Length(pitch)-pin.Opening.Length)
	template, err := joint.NewTwoPosition(tail, pin)
	require.NoError(t, err)
	s := joint.Setup{
		Template:  template,
		Bushing:   joint.Bushing{Diameter: mm(0.85 * min(tail.Opening.MM(), pin.Opening.MM())), OffsetY: mm(rapid.Float64Range(-0.3, 0.3).Draw(t, "ey"))},
		Cutter:    joint.Cutter{Angle: joint.Angle(rapid.Float64Range(7, 15).Draw(t, "angle"))},
		TailBoard: joint.TailBoard{Thickness: mm(rapid.Float64Range(4, 30).Draw(t, "side"))},
	}
	s.Cutter.Diameter = s.Bushing.Diameter
	h := rapid.Float64Range(4, 12).Draw(t, "depth")
	s.Depth = joint.Depth{PinBoard: mm(h), TailBoard: mm(h + rapid.Float64Range(-1, 1).Draw(t, "step"))}
	return s
}

func drawJoint(t *rapid.T, s joint.Setup) joint.Joint {
	j, err := joint.New(s)
	if err != nil {
		t.Skip("no such joint can be cut")
	}
	return j
}

// No joint is one answer: no band, no chance, the length that is short.
func TestNoJointIsOneAnswer(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j := drawJoint(t, drawReaches(t))
		e := j.Engagement()
		f := j.Fit(target, bands)
		none := e.TailLeft.Rounded() <= 0 || e.Entered.Rounded() <= 0 || e.StraightFlank.Rounded() <= 0
		assert.Equal(t, none, f.Shortfall.NoJoint)
		assert.Equal(t, none, f.Band == joint.NoJoint)
		sum := 0.0
		for _, p := range f.Probability {
			sum += p
		}
		assert.InDelta(t, 1, sum, 1e-9)
		if none {
			assert.Equal(t, 1.0, f.Probability[joint.NoJoint])
			assert.Zero(t, f.InTarget)
			assert.GreaterOrEqual(t, f.Shortfall.By.MM(), 0.0)
			limits := j.Limits()
			assert.True(t, limits[f.Shortfall.Limit].Broken())
		}
	})
}

// Where tail sockets do not open at the face nothing enters, and the seat is
// never further out than the pin board's end.
func TestTailSocketsMustOpen(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawReaches(t)
		j := drawJoint(t, s)
		e := j.Engagement()
		opens := s.Template.Pin.OpeningReach.MM() + s.Bushing.OffsetY.MM() - s.Bushing.Diameter.MM()/2 + s.Cutter.RadiusAt(s.Depth.PinBoard.Length).MM()
		if opens <= 0 && j.Play() >= 0 {
			assert.LessOrEqual(t, e.Entered.MM(), 1e-9)
		}
		assert.GreaterOrEqual(t, e.Seat.MM(), -s.TailBoard.Thickness.MM()-1e-9)
	})
}

// A side whose thickness is not known counts as thick: a thinner one has no
// more of tail, entered length and flank, and is no prouder.
func TestThickSidesHaveMost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawReaches(t)
		known := drawJoint(t, s)
		s.TailBoard.Thickness = length.Size{}
		unknown := drawJoint(t, s)
		k, u := known.Engagement(), unknown.Engagement()
		for _, row := range [][2]joint.Extent{{k.TailLeft, u.TailLeft}, {k.Entered, u.Entered}, {k.StraightFlank, u.StraightFlank}} {
			// Below 0 there is none: how far below says nothing of the thickness.
			assert.LessOrEqual(t, max(0, row[0].MM()), max(0, row[1].MM())+1e-9)
		}
		assert.GreaterOrEqual(t, k.Seat.MM(), u.Seat.MM()-1e-9)
		limits, thick := known.Limits(), unknown.Limits()
		for code := joint.LimitTailLeft; code < joint.LimitCount; code++ {
			if thick[code].Broken() {
				assert.True(t, limits[code].Broken(), "limit %d", code)
			}
		}
	})
}

// Interference is a matter of play, not of there being a joint: the lengths
// are those at no play.
func TestInterferenceIsStillAJoint(t *testing.T) {
	p := predict(t, onePiece().AtDepth(12.5))
	require.Negative(t, p.Fit.Play.MM())
	assert.False(t, p.Fit.Seat.Known)
	assert.False(t, p.Fit.Shortfall.NoJoint)
	e := p.Joint.Engagement()
	assert.InDelta(t, 14.2-10.86-2.375/2, e.Seat.MM(), 1e-9) // q0 = s0 - f0 - K/2
}
