package hold_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/joint"
	"snugtail/joint/hold"
	"snugtail/joint/length"
	"snugtail/joint/wood"
)

func mm(x float64) length.Size { return length.Exactly(length.Length(x)) }

// setup is the front of the model, sections 13 and 14: pitch 7/8 in,
// opening 0.484 in, bushing 7/16 in, red oak, side 12 mm.
func setup(d float64, angle joint.Angle, depth float64) joint.Setup {
	oak := joint.Stock{Species: "red_oak"}
	return joint.Setup{
		Template:  joint.NewOnePiece(mm(22.225), mm(0.484*25.4), length.Size{}, length.Size{}),
		Bushing:   joint.Bushing{Diameter: mm(11.1125)},
		Cutter:    joint.Cutter{Diameter: mm(d), Angle: angle},
		Depth:     joint.EqualDepth(mm(depth)),
		PinBoard:  joint.PinBoard{Thickness: mm(19.05), Stock: oak},
		TailBoard: joint.TailBoard{Thickness: mm(12), Stock: oak},
	}
}

func newJoint(t require.TestingT, s joint.Setup) joint.Joint {
	j, err := joint.New(s)
	require.NoError(t, err)
	return j
}

// The figures that the model, section 14, prints for red oak and a
// side of 12 mm, to the digits printed: compression across the grain 7.0 MPa
// (Wood Handbook, FPL-GTR-190, Table 5-3a), mu = 0.3.
func TestRedOak(t *testing.T) {
	for name, row := range map[string]struct {
		joint                      joint.Setup
		slope, rubbed, glue, flare float64
	}{
		"14 deg at 10.9": {setup(12.7, 14, 10.9), 457, 1006, 270, 2.72},
		"9.5 deg at 6.8": {setup(11.1125, 9.5, 6.8), 191, 534, 165, 1.14},
	} {
		t.Run(name, func(t *testing.T) {
			j := newJoint(t, row.joint)
			h := hold.Of(&j, 0.3)
			require.True(t, h.SlopeKnown)
			assert.InDelta(t, row.slope, h.Slope, 0.7)
			assert.InDelta(t, row.rubbed, h.Rubbed, 0.7)
			assert.InDelta(t, row.glue, h.Glue, 0.6)
			assert.InDelta(t, row.flare, h.Flare.MM(), 0.005)
			assert.Equal(t, 12.0, h.Engaged.MM())
			require.True(t, h.EdgePinKnown)
			assert.True(t, h.EdgePin > 10 && h.EdgePin < 100, "tens of newtons: %g", h.EdgePin)
		})
	}
	assert.Equal(t, 0.3, hold.Friction())
}

// The edge half pin as a cantilever with an even load, bent about its root: the
// section's modulus is L_y b^2 / 6, the load's arm h/2 (textbook statics).
func TestEdgePinByStatics(t *testing.T) {
	j := newJoint(t, setup(12.7, 14, 10.9))
	h := hold.Of(&j, 0.3)
	b, ok := j.EdgePin()
	require.True(t, ok)
	const tension = 5.5 // MPa, red oak, Wood Handbook, FPL-GTR-190, Table 5-3a
	thrust := (h.EdgePin / 2) / math.Tan(14*math.Pi/180+math.Atan(0.3))
	stress := thrust * 10.9 / 2 / (12 * b.MM() * b.MM() / 6)
	assert.InDelta(t, tension, stress, 1e-9)
}

// Tails never shear off first: f_c tan a is at most 0.27 tau at 15 deg in the 42
// species that have both (model, section 14).
func TestTailsDoNotShearFirst(t *testing.T) {
	species, most := 0, 0.0
	for _, w := range wood.Species() {
		if !w.CompressionPerpendicular.Known || !w.ShearParallel.Known {
			continue
		}
		species++
		most = math.Max(most, w.CompressionPerpendicular.Value*math.Tan(15*math.Pi/180)/w.ShearParallel.Value)
		s := setup(12.7, 15, 9)
		s.PinBoard.Stock.Species, s.TailBoard.Stock.Species = w.ID, w.ID
		j := newJoint(t, s)
		h := hold.Of(&j, hold.Friction())
		require.True(t, h.SlopeKnown && h.ShearKnown)
		assert.Less(t, h.Slope, h.Shear)
		assert.Less(t, h.Rubbed, h.Shear)
	}
	assert.Equal(t, 42, species)
	assert.InDelta(t, 0.27, most, 0.005)
}

// Both woods count, the weaker one; of one that is not known nothing is said.
func TestWoods(t *testing.T) {
	in := func(pin, tail string) hold.Hold {
		s := setup(12.7, 14, 10.9)
		s.PinBoard.Stock.Species, s.TailBoard.Stock.Species = pin, tail
		j := newJoint(t, s)
		return hold.Of(&j, 0.3)
	}
	oak, mixed := in("red_oak", "red_oak"), in("red_oak", "yellow_poplar")
	poplar, ok := wood.ByID("yellow_poplar")
	require.True(t, ok)
	assert.InDelta(t, oak.Slope*poplar.CompressionPerpendicular.Value/7, mixed.Slope, 1e-9)
	assert.Equal(t, mixed.Slope, in("yellow_poplar", "red_oak").Slope)
	assert.InDelta(t, oak.Shear*poplar.ShearParallel.Value/12.3, mixed.Shear, 1e-9)
	for _, h := range []hold.Hold{in("", "red_oak"), in("red_oak", ""), in("red_oak", "okoume")} {
		assert.False(t, h.SlopeKnown)
		assert.Zero(t, h.Slope+h.Rubbed)
		assert.Positive(t, h.Flare.MM())
		assert.Positive(t, h.Glue)
	}
	maple := in("sugar_maple", "sugar_maple") // of which the table prints no tension across the grain
	assert.True(t, maple.SlopeKnown && maple.ShearKnown)
	assert.False(t, maple.EdgePinKnown)
}

// L_y is the tail left at its root, where reaches tell it.
func TestEngaged(t *testing.T) {
	s := setup(12.7, 14, 10.9)
	s.Template = joint.NewOnePiece(mm(22.225), mm(12.2936), mm(10), mm(8))
	j := newJoint(t, s)
	assert.InDelta(t, 8+(11.1125-12.7)/2, hold.Of(&j, 0.3).Engaged.MM(), 1e-9)
	s.Template = joint.NewOnePiece(mm(22.225), mm(12.2936), mm(10), mm(-5))
	j = newJoint(t, s)
	assert.Equal(t, hold.Hold{Flare: hold.Of(&j, 0).Flare}, hold.Of(&j, 0.3), "no tail, nothing held")
	s.TailBoard.Thickness = length.Size{}
	j = newJoint(t, s)
	assert.Zero(t, hold.Of(&j, 0.3).Engaged)
}

// H/H' = f/f' at one engaged length, whatever the species.
func TestAgainst(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := setup(rapid.Float64Range(11.2, 13).Draw(t, "d"), 14, rapid.Float64Range(5, 12).Draw(t, "h"))
		b := setup(11.1125, 9.5, 6.8)
		species := rapid.SampledFrom([]string{"", "red_oak", "yellow_poplar", "okoume"}).Draw(t, "species")
		a.TailBoard.Stock.Species, b.TailBoard.Stock.Species = species, species
		j, k := newJoint(t, a), newJoint(t, b)
		h, other := hold.Of(&j, 0.3), hold.Of(&k, 0.3)
		assert.InEpsilon(t, (h.Flare / other.Flare).MM(), h.Against(other), 1e-9)
		assert.InEpsilon(t, 1, h.Against(other)*other.Against(h), 1e-9)
	})
	assert.Zero(t, hold.Hold{}.Against(hold.Hold{Flare: 1}))
	assert.True(t, math.IsInf(hold.Hold{Flare: 1}.Against(hold.Hold{}), 1))
}
