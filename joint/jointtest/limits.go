package jointtest

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// LimitCase is a set-up on one side of a limit beyond which there is no joint,
// or none that is flush, cut and measured as the solids are; the header of
// testdata/limits.json says how. Measured and Tolerance stand instead of the
// Solid's own.
type LimitCase struct {
	Solid
	Limit     string             `json:"limit"`
	Side      string             `json:"side"`
	Measured  MeasuredLimits     `json:"measured"`
	Tolerance map[string]float64 `json:"tolerance"`
}

// MeasuredLimits is what was measured of such a set-up, mm; nil where there is
// no such thing.
type MeasuredLimits struct {
	Verdict              string   `json:"verdict"`
	Bridge               float64  `json:"bridge_at_tail_end"`
	Entered              *float64 `json:"entered"`
	PinShort             float64  `json:"pin_end_short"`
	PlayAtRest           *float64 `json:"play_at_rest"`
	Seat                 float64  `json:"seat_offset"`
	SocketAtOutsideFace  float64  `json:"socket_width_at_outside_face"`
	StraightFlankAtRest  float64  `json:"straight_flank_at_rest"`
	StraightFlankFlush   float64  `json:"straight_flank_flush"`
	TailLeftAtEnd        float64  `json:"tail_left_at_end"`
	TailLeftAtRoot       float64  `json:"tail_left_at_root"`
	TailSocketReachFaces float64  `json:"tail_socket_reach_at_face"`
}

// LimitCases reads all cases; root is the way from the test's directory to the
// repository's.
func LimitCases(t testing.TB, root string) []LimitCase {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join(root, "testdata", "limits.json")) // #nosec G304 -- a test names its own repository
	require.NoError(t, err, "the solid cases are part of the repository")
	var file struct {
		Cases []LimitCase `json:"cases"`
	}
	require.NoError(t, json.Unmarshal(raw, &file))
	require.Len(t, file.Cases, 16)
	return file.Cases
}
