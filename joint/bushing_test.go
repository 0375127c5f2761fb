package joint_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"snugtail/joint"
	"snugtail/joint/length"
)

// With a bearing instead of a bushing the joint is the same, since the bearing
// runs along the same template; what differs is what else must be clear.
func TestBearing(t *testing.T) {
	s := onePiece() // 9 mm deep
	s.Cutter.CuttingLength, s.Cutter.Shank, s.Template.Thickness = mm(12.7), mm(6.35), mm(8)
	s.Bushing.Bore, s.Bushing.Barrel = mm(9.5), mm(6)
	guided := s
	guided.Bushing.Kind = joint.KindBearing
	a, b := predict(t, s), predict(t, guided)
	assert.Equal(t, a.Fit, b.Fit)
	assert.Equal(t, a.Widths, b.Widths)
	assert.True(t, a.Projection.BelowBushingKnown)
	assert.False(t, b.Projection.BelowBushingKnown)
	assert.True(t, b.Projection.BelowBaseKnown)
	for code := range joint.LimitCount {
		switch code {
		case joint.LimitCutterInBushing, joint.LimitBarrelAboveWood:
			assert.True(t, a.Limits[code].Known)
			assert.False(t, b.Limits[code].Known)
		case joint.LimitBearingOnTemplate:
			assert.False(t, a.Limits[code].Known)
			assert.True(t, b.Limits[code].OK())
		default:
			assert.Equal(t, a.Limits[code], b.Limits[code])
			assert.True(t, code.Concerns(joint.KindBearing) && code.Concerns(joint.KindBushing))
		}
	}
}

// The bearing's limit by hand: it begins CL - h above the wood, there must be
// 0.5 mm to the wood, and half of 3/16 in of it on the template.
func TestBearingRunsOnTheTemplate(t *testing.T) {
	const half = 3.0 / 32 * 25.4
	for _, row := range []struct {
		cutting, template, pin, tail float64
		margin                       float64
		known, ok                    bool
	}{
		{12.7, 8, 9, 9, math.Min(12.7-9-0.5, 8-3.7-half), true, true},
		{12.7, 6, 9, 9, 6 - 3.7 - half, true, false},       // most of it above the template
		{12.7, 8, 12.4, 12.4, -0.2, true, false},           // 0.3 above the wood
		{12.7, 8, 12.4, 9, -0.2, true, false},              // at the deeper cut
		{12.7, 6.2, 10.7, 9, 6.2 - 3.7 - half, true, true}, // at the shallower one
		{12.7, 0, 12.4, 12.4, -0.2, true, false},           // in the wood, however thick the template
		{12.7, 0, 9, 9, 0, false, false},
		{0, 8, 9, 9, 0, false, false},
	} {
		s := onePiece()
		s.Bushing.Kind = joint.KindBearing
		s.Depth = joint.Depth{PinBoard: mm(row.pin), TailBoard: mm(row.tail)}
		if row.cutting > 0 {
			s.Cutter.CuttingLength = mm(row.cutting)
		}
		if row.template > 0 {
			s.Template.Thickness = mm(row.template)
		}
		l := predict(t, s).Limits[joint.LimitBearingOnTemplate]
		assert.Equal(t, row.known, l.Known, "%+v", row)
		assert.Equal(t, row.ok, l.OK(), "%+v", row)
		if row.known {
			assert.InDelta(t, row.margin, l.Margin.MM(), 1e-9, "%+v", row)
			assert.Equal(t, length.Length(half).Rounded(), l.Comfort.Rounded())
		}
	}
}
