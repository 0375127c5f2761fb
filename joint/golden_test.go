package joint_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/joint"
	"snugtail/joint/length"
)

// The solid cases: joints cut as solids by an independent geometry kernel
// (the header of testdata/solid-joint.json names it), assembled and measured.
// No closed formula of the joint was used to make them.

type solidPass struct {
	FingerReach   float64 `json:"finger_reach"`
	FingerWidth   float64 `json:"finger_width"`
	OpeningReach  float64 `json:"opening_reach"`
	OpeningWidth  float64 `json:"opening_width"`
	TemplateShift float64 `json:"template_shift"`
}

func (p solidPass) pass() joint.Pass {
	return joint.Pass{
		Opening:      mm(p.OpeningWidth),
		Finger:       mm(p.FingerWidth),
		OpeningReach: mm(p.OpeningReach + p.TemplateShift),
		FingerReach:  mm(p.FingerReach - p.TemplateShift),
	}
}

type solidCase struct {
	ID              string   `json:"id"`
	BushingDiameter float64  `json:"bushing_diameter"`
	BushingOffsetX  float64  `json:"bushing_offset_x"`
	BushingOffsetY  float64  `json:"bushing_offset_y"`
	CutterAngle     float64  `json:"cutter_angle_deg"`
	CutterDiameter  float64  `json:"cutter_diameter"`
	CutterRunout    float64  `json:"cutter_runout"`
	DepthPinBoard   float64  `json:"depth_pin_board"`
	DepthTailBoard  float64  `json:"depth_tail_board"`
	PinBoard        float64  `json:"pin_board_thickness"`
	TailBoard       float64  `json:"tail_board_thickness"`
	Turned          bool     `json:"router_turned_in_use"`
	SideStopError   float64  `json:"side_stop_error"`
	Tags            []string `json:"tags"`
	TemplateKind    string   `json:"template_kind"`
	Template        struct {
		Pitch    float64   `json:"pitch"`
		TailPass solidPass `json:"tail_pass"`
		PinPass  solidPass `json:"pin_pass"`
	} `json:"template"`
	Measured struct {
		Play             float64   `json:"play"`
		PlayByLevel      []float64 `json:"play_by_level"`
		PulledTravel     *float64  `json:"pulled_travel"`
		SeatOffset       *float64  `json:"seat_offset"`
		SeatContact      *string   `json:"seat_contact"`
		FirstTouchProud  *float64  `json:"first_touch_proud"`
		ShoulderGap      float64   `json:"shoulder_gap"`
		FloorGap         float64   `json:"floor_gap"`
		EdgeStep         float64   `json:"edge_step"`
		PinWidest        float64   `json:"pin_widest"`
		PinNarrowest     float64   `json:"pin_narrowest"`
		TailWidest       float64   `json:"tail_widest"`
		TailNarrowest    float64   `json:"tail_narrowest"`
		PinSocketWidest  float64   `json:"pin_socket_widest"`
		TailSocketWidest float64   `json:"tail_socket_widest"`
	} `json:"measured"`
	Tolerance map[string]float64 `json:"tolerance"`
}

func mm(x float64) length.Size { return length.Exactly(length.Length(x)) }

func (c solidCase) setup(t *testing.T) joint.Setup {
	t.Helper()
	tail, pin := c.Template.TailPass.pass(), c.Template.PinPass.pass()
	template, err := joint.NewTwoPosition(tail, pin)
	require.NoError(t, err)
	if c.TemplateKind == "one_piece" {
		template = joint.NewOnePiece(mm(c.Template.Pitch), tail.Opening, tail.OpeningReach, tail.FingerReach)
	}
	return joint.Setup{
		Template: template,
		Bushing: joint.Bushing{
			Diameter: mm(c.BushingDiameter),
			OffsetX:  mm(c.BushingOffsetX), OffsetY: mm(c.BushingOffsetY),
		},
		Cutter: joint.Cutter{
			Diameter: mm(c.CutterDiameter), Angle: joint.Angle(c.CutterAngle), Runout: mm(c.CutterRunout),
		},
		Depth:         joint.Depth{PinBoard: mm(c.DepthPinBoard), TailBoard: mm(c.DepthTailBoard)},
		Router:        joint.Router{TurnedInUse: c.Turned},
		PinBoard:      joint.PinBoard{Thickness: mm(c.PinBoard)},
		TailBoard:     joint.TailBoard{Thickness: mm(c.TailBoard)},
		SideStopError: mm(c.SideStopError),
	}
}

func solidCases(t *testing.T) []solidCase {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join("..", "testdata", "solid-joint.json"))
	require.NoError(t, err, "the solid cases are part of the repository")
	var file struct {
		Cases []solidCase `json:"cases"`
	}
	require.NoError(t, json.Unmarshal(raw, &file))
	require.Len(t, file.Cases, 60)
	return file.Cases
}

// TestSolids holds every measured quantity of every solid case that the model
// predicts to the tolerance that the case itself states.
func TestSolids(t *testing.T) {
	contacts := map[string]joint.SeatContact{"nose": joint.ContactNose, "pin_end": joint.ContactPinEnd}
	for _, c := range solidCases(t) {
		t.Run(c.ID, func(t *testing.T) {
			j, err := joint.New(c.setup(t))
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
