// Package jointtest has the solid cases for the tests of several packages:
// joints cut as solids by an independent geometry kernel (the header of
// testdata/solid-joint.json names it), assembled and measured. No closed formula
// of the joint was used to make them.
package jointtest

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"snugtail/joint"
	"snugtail/joint/length"
)

// Pass is one pass of a solid's template, mm. The template may have been
// shifted towards the pin board.
type Pass struct {
	FingerReach   float64 `json:"finger_reach"`
	FingerWidth   float64 `json:"finger_width"`
	OpeningReach  float64 `json:"opening_reach"`
	OpeningWidth  float64 `json:"opening_width"`
	TemplateShift float64 `json:"template_shift"`
}

func (p Pass) pass() joint.Pass {
	return joint.Pass{
		Opening:      mm(p.OpeningWidth),
		Finger:       mm(p.FingerWidth),
		OpeningReach: mm(p.OpeningReach + p.TemplateShift),
		FingerReach:  mm(p.FingerReach - p.TemplateShift),
	}
}

// Solid is one joint, what was measured of it, and how closely that is known,
// mm; the header of testdata/solid-joint.json says how.
type Solid struct {
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
		Pitch    float64 `json:"pitch"`
		TailPass Pass    `json:"tail_pass"`
		PinPass  Pass    `json:"pin_pass"`
	} `json:"template"`
	Measured  Measured           `json:"measured"`
	Tolerance map[string]float64 `json:"tolerance"`
}

// Measured is what was measured of a solid joint; nil where there is no such thing.
type Measured struct {
	Play                float64    `json:"play"`
	PlayByLevel         []float64  `json:"play_by_level"`
	PulledTravel        *float64   `json:"pulled_travel"`
	SeatOffset          *float64   `json:"seat_offset"`
	SeatContact         *string    `json:"seat_contact"`
	FirstTouchProud     *float64   `json:"first_touch_proud"`
	ShoulderGap         float64    `json:"shoulder_gap"`
	FloorGap            float64    `json:"floor_gap"`
	EdgeStep            float64    `json:"edge_step"`
	PinWidest           float64    `json:"pin_widest"`
	PinNarrowest        float64    `json:"pin_narrowest"`
	TailWidest          float64    `json:"tail_widest"`
	TailNarrowest       float64    `json:"tail_narrowest"`
	PinSocketWidest     float64    `json:"pin_socket_widest"`
	PinSocketNarrowest  float64    `json:"pin_socket_narrowest"`
	TailSocketWidest    float64    `json:"tail_socket_widest"`
	TailSocketNarrowest float64    `json:"tail_socket_narrowest"`
	NoseRadius          []*float64 `json:"nose_radius_by_level"`
	SocketEndRadius     []*float64 `json:"socket_end_radius_by_level"`
}

func mm(x float64) length.Size { return length.Exactly(length.Length(x)) }

// Setup is the set-up that cut the solid.
func (c *Solid) Setup(t testing.TB) joint.Setup {
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

// Solids reads all cases; root is the way from the test's directory to the
// repository's.
func Solids(t testing.TB, root string) []Solid {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join(root, "testdata", "solid-joint.json")) // #nosec G304 -- a test names its own repository
	require.NoError(t, err, "the solid cases are part of the repository")
	var file struct {
		Cases []Solid `json:"cases"`
	}
	require.NoError(t, json.Unmarshal(raw, &file))
	require.Len(t, file.Cases, 60)
	return file.Cases
}
