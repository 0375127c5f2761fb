package joint_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/joint"
	"snugtail/joint/jointtest"
	"snugtail/joint/length"
)

func mm(x float64) length.Size { return length.Exactly(length.Length(x)) }

// TestSolids holds every measured quantity of every solid case that the model
// predicts to the tolerance that the case itself states.
func TestSolids(t *testing.T) {
	contacts := map[string]joint.SeatContact{"nose": joint.ContactNose, "pin_end": joint.ContactPinEnd}
	for _, c := range jointtest.Solids(t, "..") {
		t.Run(c.ID, func(t *testing.T) {
			j, err := joint.New(c.Setup(t))
			require.NoError(t, err)
			near := func(want float64, got length.Length, quantity, tolerance string) {
				t.Helper()
				require.Contains(t, c.Tolerance, tolerance)
				assert.InDelta(t, want, got.MM(), c.Tolerance[tolerance], "%s %v", quantity, c.Tags)
			}
			m := c.Measured
			near(m.Play, j.Play(), "play", "play")
			for _, play := range m.PlayByLevel {
				near(play, j.Play(), "play at a level", "play")
			}
			near(m.ShoulderGap, j.ShoulderGap(), "shoulder gap", "shoulder_gap")
			near(m.FloorGap, j.FloorGap(), "floor gap", "floor_gap")
			near(m.EdgeStep, j.EdgeStep(), "edge step", "play")

			w, ok := j.Widths()
			require.True(t, ok)
			near(m.PinWidest, w.PinWidest, "pin", "widths")
			near(m.PinNarrowest, w.PinRoot, "pin root", "widths")
			near(m.TailWidest, w.TailWidest, "tail", "widths")
			near(m.TailNarrowest, w.TailRoot, "tail root", "widths")
			near(m.PinSocketWidest, w.PinSocketWidest, "pin socket", "widths")
			near(m.TailSocketWidest, w.TailSocketWidest, "tail socket", "widths")

			gap, ok := j.PulledGap()
			require.Equal(t, m.PulledTravel != nil, ok)
			if ok {
				// Travel starts at the seat, where the shoulder may stand open already.
				near(*m.PulledTravel, gap-j.ShoulderGap(), "pulled travel", "pulled_travel")
			}
			seat := j.Seat()
			require.Equal(t, m.SeatOffset != nil, seat.Known)
			if seat.Known {
				near(*m.SeatOffset, seat.Offset, "seat offset", "seat_offset")
				assert.Equal(t, contacts[*m.SeatContact], seat.Contact)
			}
			proud, ok := j.FirstTouchProud()
			require.Equal(t, m.FirstTouchProud != nil, ok)
			if ok {
				near(*m.FirstTouchProud, proud, "first touch", "first_touch_proud")
			}
		})
	}
}
