package joint_test

import (
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
