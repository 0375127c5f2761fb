package joint_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/joint"
	"snugtail/joint/jointtest"
	"snugtail/joint/length"
)

// Sections of the solid cases' joints: at the ends of the flanks they are as
// wide as the solids were measured, they fill the pitch, and the clearance is
// the same at every height.
func TestSectionsAreTheSolids(t *testing.T) {
	for _, c := range jointtest.Solids(t, "..") {
		t.Run(c.ID, func(t *testing.T) {
			j, err := joint.New(c.Setup(t))
			require.NoError(t, err)
			h := math.Max(c.DepthPinBoard, c.DepthTailBoard)
			near := func(want float64, half length.Length, quantity string) {
				t.Helper()
				assert.InDelta(t, want, 2*half.MM(), c.Tolerance["widths"]+1e-6, quantity)
			}
			at := func(u float64) joint.Section {
				s, ok := j.SectionAt(length.Length(u))
				require.True(t, ok)
				assert.InDelta(t, c.Template.Pitch/2, (s.Pin + s.TailSocket).MM(), 1e-9)
				assert.InDelta(t, c.Template.Pitch/2, (s.Tail + s.PinSocket).MM(), 1e-9)
				assert.InDelta(t, c.Measured.Play, 2*(s.TailSocket-s.Tail).MM(), c.Tolerance["play"])
				return s
			}
			near(c.Measured.PinNarrowest, at(0).Pin, "pin root")
			near(c.Measured.TailSocketWidest, at(0).TailSocket, "tail socket")
			near(c.Measured.PinWidest, at(c.DepthPinBoard).Pin, "pin")
			near(c.Measured.TailNarrowest, at(h).Tail, "tail root")
			near(c.Measured.PinSocketWidest, at(h).PinSocket, "pin socket")
			near(c.Measured.TailWidest, at(h-c.DepthTailBoard).Tail, "tail")
		})
	}
}

func TestSectionsNeedOpeningsAndEndsReaches(t *testing.T) {
	s := joint.Setup{
		Template: joint.NewAllowance(mm(2.5)), Bushing: joint.Bushing{Diameter: mm(11.11)},
		Cutter: joint.Cutter{Diameter: mm(12.7), Angle: 14}, Depth: joint.EqualDepth(mm(11)),
	}
	j, err := joint.New(s)
	require.NoError(t, err)
	_, ok := j.SectionAt(0)
	assert.False(t, ok)
	_, ok = j.RoundEnds()
	assert.False(t, ok)
	s.Template = joint.NewOnePiece(mm(22.225), mm(12.35), mm(15.1), length.Size{})
	j, err = joint.New(s)
	require.NoError(t, err)
	_, ok = j.SectionAt(0)
	assert.True(t, ok)
	_, ok = j.RoundEnds()
	assert.False(t, ok, "it needs both reaches")
}

// Noses and sockets of concentric ends: q0 = s0 - f0 - K/2 is where the seat
// would be without play; the offset of the axes shifts all four.
func TestRoundEnds(t *testing.T) {
	s := joint.Setup{
		Template: joint.NewOnePiece(mm(22), mm(12), mm(15), mm(14)), Bushing: joint.Bushing{Diameter: mm(11), OffsetY: mm(0.3)},
		Cutter: joint.Cutter{Diameter: mm(12.5), Angle: 14}, Depth: joint.EqualDepth(mm(9)),
	}
	j, err := joint.New(s)
	require.NoError(t, err)
	r, ok := j.RoundEnds()
	require.True(t, ok)
	assert.InDelta(t, 14-5-0.3, r.Nose.MM(), 1e-12)      // f0 - F/2 - ey
	assert.InDelta(t, 15-6+0.3, r.SocketEnd.MM(), 1e-12) // s0 - S/2 + ey
	assert.InDelta(t, 5-14+0.3, r.Pin.MM(), 1e-12)       // F/2 - f0 + ey
	assert.InDelta(t, 6-15-0.3, r.PinSocket.MM(), 1e-12) // S/2 - s0 - ey
	assert.True(t, r.PinKnown && r.PinSocketKnown)
	seat := j.Seat()
	require.True(t, seat.Known)
	assert.InDelta(t, (r.SocketEnd-r.Nose).MM()+j.Play().MM()/2, seat.Offset.MM(), 1e-12)
}

// The flare's clearance is what its limit is judged by: what the cone, off by
// the axes' offset, leaves of the bushing's radius at the wood's face.
func TestFlareClearanceIsTheLimits(t *testing.T) {
	for _, c := range jointtest.Solids(t, "..") {
		j, err := joint.New(c.Setup(t))
		require.NoError(t, err)
		margin := j.Limits()[joint.LimitFlareInTemplate].Margin
		s := j.Setup()
		flare := s.Cutter.RadiusAt(min(s.Depth.PinBoard.Length, s.Depth.TailBoard.Length)).MM() + math.Hypot(c.BushingOffsetX, c.BushingOffsetY)
		assert.InDelta(t, c.BushingDiameter/2-flare, margin.MM()+joint.FlareClearance, 1e-12, c.ID)
		assert.InDelta(t, margin.MM()+joint.FlareClearance, j.FlareClearance(j.ShallowerDepth()).MM(), 1e-12, c.ID)
	}
}
