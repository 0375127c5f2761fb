package seasons_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/joint/length"
	"snugtail/joint/seasons"
	"snugtail/joint/wood"
)

// By hand, of white oak, C_T = 0.00365 and C_R = 0.0018 (Table 13-5): from 6 to
// 10 %, from 9 to 10 %, and down from 9 to 6 %.
func TestMovesThroughAHeatedHome(t *testing.T) {
	home := wood.HeatedHome()
	house := seasons.HouseOf(home[:])
	assert.Equal(t, seasons.House{Dry: 6, Damp: 10}, house)
	oak := wood.Board{Wood: byID(t, "white_oak")}
	m, err := house.MovesIn(&oak, false)
	require.NoError(t, err)
	assert.True(t, m.Assumed)
	assert.InDelta(t, 0.0146, m.Swells, 1e-12, "flat-sawn, where nothing is said")
	assert.InDelta(t, 0.0146, m.Shrinks, 1e-12)
	assert.InDelta(t, 0.0072, m.Thickens, 1e-12)
	assert.InDelta(t, 4*0.002/30, m.Lengthens, 1e-12)

	oak.Grain, oak.Moisture = wood.QuarterSawn, wood.Reading(9)
	m, err = house.MovesIn(&oak, true)
	require.NoError(t, err)
	assert.False(t, m.Assumed)
	assert.InDelta(t, 0.0018, m.Swells, 1e-12)
	assert.InDelta(t, 3*0.0018, m.Shrinks, 1e-12)
}

// What fits is, swollen, no more than the opening, and a tenth more would be.
func TestGapFits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		size := rapid.Float64Range(40, 900).Draw(t, "size")
		strain := rapid.Float64Range(0, 0.06).Draw(t, "strain")
		more := rapid.Float64Range(0, 1).Draw(t, "more")
		room := rapid.Float64Range(-1, 20).Draw(t, "room")
		g := seasons.GapOf(length.Length(size), strain, length.Length(more), length.Exactly(length.Length(room)))
		swollen := func(size float64) float64 { return size*(1+strain) + more }
		assert.InDelta(t, swollen(size)-size, g.Swells.MM(), 1e-9)
		assert.LessOrEqual(t, swollen(g.Fits.MM()), size+room+2e-6)
		assert.Greater(t, swollen(g.Fits.MM()+0.1), size+room-2e-6)
		assert.Equal(t, g.Enough(), (g.Room.Length-g.Swells).Rounded() >= 0)
	})
	assert.False(t, seasons.GapOf(100, 0, 0, length.Size{}).Enough(), "no opening is known")
}
