package joint_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/joint"
	"snugtail/joint/length"
)

// A pitch of four openings is the widest; a bushing as wide as the opening does
// not run in it, whatever cuts.
func TestTemplatesThatCannotBe(t *testing.T) {
	one := func(pitch, opening float64) *joint.Setup {
		template := joint.NewOnePiece(length.Exactly(length.Length(pitch)), length.Exactly(length.Length(opening)), length.Size{}, length.Size{})
		return &joint.Setup{Template: template, Bushing: joint.Bushing{Diameter: length.Exactly(11)}}
	}
	require.NoError(t, one(48, 12).Template.Possible())
	var impossible *joint.Impossible
	require.ErrorAs(t, one(48.1, 12).Template.Possible(), &impossible)
	assert.Equal(t, joint.Impossible{Quantity: joint.QuantityPitch, Value: 48.1, Limit: 48, Reason: joint.ReasonPitchTooWide}, *impossible)
	require.NoError(t, joint.Guided(one(22, 11.1)))
	require.ErrorAs(t, joint.Guided(one(22, 11)), &impossible)
	assert.Equal(t, joint.ReasonBushingTooWide, impossible.Reason)
	require.NoError(t, joint.Guided(&joint.Setup{}), "nothing is stated")
}
