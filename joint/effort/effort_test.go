package effort_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/joint"
	"snugtail/joint/effort"
	"snugtail/joint/length"
	"snugtail/joint/wood"
)

func mm(x float64) length.Size { return length.Exactly(length.Length(x)) }

func setup(pin, tail string) joint.Setup {
	stock := func(species string) joint.Stock {
		return joint.Stock{Species: species, Grain: wood.FlatSawn, Moisture: wood.Reading(12), MoistureKnown: true}
	}
	return joint.Setup{
		Template:  joint.NewOnePiece(mm(22.225), mm(12.3), mm(14.2), mm(13.5)),
		Bushing:   joint.Bushing{Diameter: mm(11.1125)},
		Cutter:    joint.Cutter{Diameter: mm(12.7), Angle: 14},
		Depth:     joint.EqualDepth(mm(11.4)),
		PinBoard:  joint.PinBoard{Thickness: mm(19), Width: mm(155.575), Stock: stock(pin)},
		TailBoard: joint.TailBoard{Thickness: mm(12.7), Width: mm(155.575), Stock: stock(tail)},
	}
}

func newJoint(t *testing.T, s joint.Setup) joint.Joint {
	t.Helper()
	j, err := joint.New(s)
	require.NoError(t, err)
	return j
}

// Without a species the bands are the model's; with one the crush limit comes
// from the table, and harder wood bears more.
func TestBands(t *testing.T) {
	unknown := newJoint(t, setup("", ""))
	bands, err := effort.Bands(&unknown)
	require.NoError(t, err)
	assert.Equal(t, joint.Bands{Crush: joint.DefaultCrush}, bands)

	oak := newJoint(t, setup("white_oak", "white_oak"))
	bands, err = effort.Bands(&oak)
	require.NoError(t, err)
	e, _, err := effort.Closing(&oak, 0)
	require.NoError(t, err)
	assert.Equal(t, e.Crush, bands.Crush)
	assert.InDelta(t, (e.CrushHigh - e.CrushLow).MM(), 4*bands.CrushSD.MM(), 1e-12, "about 95 %")
	assert.NotEqual(t, length.Length(joint.DefaultCrush), bands.Crush)
}

// Figures of the joint that the closing effort is worked from, by hand.
func TestClosing(t *testing.T) {
	j := newJoint(t, setup("white_oak", "white_oak"))
	got, known, err := effort.Closing(&j, -0.1)
	require.NoError(t, err)
	require.True(t, known)
	w, _ := j.Widths()
	oak, _ := wood.ByID("white_oak")
	want, err := wood.Closing(&wood.Squeeze{
		Interference: 0.1,
		Pin:          wood.Part{Wood: oak, Grain: wood.FlatSawn, MeanWidth: (w.PinRoot + w.PinWidest) / 2},
		Tail:         wood.Part{Wood: oak, Grain: wood.FlatSawn, MeanWidth: (w.TailRoot + w.TailWidest) / 2},
		Depth:        11.4, AngleDegrees: 14,
		Engaged: 13.5 - (22.225-12.3)/2, // f0 - F_t/2 is less than the board's 12.7
		Tails:   7,                      // 155.575 mm on a pitch of 7/8 in
	})
	require.NoError(t, err)
	assert.Equal(t, want, got)
	assert.True(t, got.Estimated)
}

func TestClosingNeedsTheTemplatesOpenings(t *testing.T) {
	s := setup("white_oak", "white_oak")
	s.Template = joint.NewAllowance(mm(2.4))
	j := newJoint(t, s)
	_, known, err := effort.Closing(&j, -0.1)
	require.NoError(t, err)
	assert.False(t, known)
	bands, err := effort.Bands(&j)
	require.NoError(t, err)
	assert.Equal(t, length.Length(joint.DefaultCrush), bands.Crush)
}

// Boards of one wood at one moisture move together; of two woods the
// outermost tails lose play.
func TestSettled(t *testing.T) {
	same := newJoint(t, setup("white_oak", "white_oak"))
	m, known, err := effort.Settled(&same, 0.1)
	require.NoError(t, err)
	require.True(t, known)
	assert.InDelta(t, 0.1, m.Outermost.MM(), 1e-9)

	mixed := newJoint(t, setup("white_oak", "yellow_poplar"))
	m, known, err = effort.Settled(&mixed, 0.1)
	require.NoError(t, err)
	require.True(t, known)
	assert.Less(t, m.Outermost.MM(), 0.1)

	s := setup("white_oak", "yellow_poplar")
	s.TailBoard.Stock.MoistureKnown = false
	unknown := newJoint(t, s)
	_, known, err = effort.Settled(&unknown, 0.1)
	require.NoError(t, err)
	assert.False(t, known)
}
