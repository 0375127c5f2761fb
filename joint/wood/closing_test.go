package wood_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/joint/length"
	"snugtail/joint/wood"
)

// squeeze is a joint of our own scenario: five tails on a 22.2 mm pitch.
func squeeze(pin, tail wood.Wood) wood.Squeeze {
	return wood.Squeeze{
		Interference: 0.1,
		Pin:          wood.Part{Wood: pin, Grain: wood.FlatSawn, MeanWidth: 10},
		Tail:         wood.Part{Wood: tail, Grain: wood.FlatSawn, MeanWidth: 12.2},
		Depth:        9, AngleDegrees: 14, Engaged: 15, Tails: 5,
	}
}

func closing(t require.TestingT, s wood.Squeeze) wood.Effort {
	e, err := wood.Closing(&s)
	require.NoError(t, err)
	return e
}

// Worked by hand from the table: red oak MOE 12500, E_T/E_L 0.082, 7.0 MPa;
// yellow-poplar 10900, 0.043, 3.4 MPa.
//
//	E_p = 1.1*12500*0.082 = 1127.5    E_t = 1.1*10900*0.043 = 515.57 MPa
//	k = 10/1127.5 + 12.2/515.57 = 0.032532 mm/MPa
//	p = 0.1/k = 3.0739 MPa            crush = 3.4 k = 0.11061 mm
//	F = 2*5*0.4*3.0739*9/cos(14)*15 = 1710.7 N
func TestClosingByHand(t *testing.T) {
	e := closing(t, squeeze(byID(t, "red_oak"), byID(t, "yellow_poplar")))
	assert.True(t, e.Estimated && e.CrushKnown)
	assert.False(t, e.SpeciesUnknown)
	assert.InDelta(t, 3.0739, e.Pressure.Value, 5e-5)
	assert.InDelta(t, 1710.7, e.Push.Value, 0.05)
	assert.InDelta(t, 0.11061, e.Crush.MM(), 5e-6)
	assert.Equal(t, wood.Mallet, e.Words)
	// variation of k: each board's 22 % by its share, 0.27263 and 0.72737
	u := 0.22 * math.Hypot(0.27263, 0.72737)
	assert.InDelta(t, 3.0739*math.Exp(-2*u), e.Pressure.Low, 1e-3)
	assert.InDelta(t, 3.0739*math.Exp(2*u), e.Pressure.High, 1e-3)
	assert.InDelta(t, 1710.7*0.5/0.4*math.Exp(2*u), e.Push.High, 0.5)
	assert.InDelta(t, 1710.7*0.3/0.4*math.Exp(-2*u), e.Push.Low, 0.5)
	assert.InDelta(t, 0.11061*math.Exp(2*math.Hypot(u, 0.28)), e.CrushHigh.MM(), 1e-4)
}

// The thresholds of the words are judgement; these are their order.
func TestWords(t *testing.T) {
	s := squeeze(byID(t, "sugar_maple"), byID(t, "sugar_maple"))
	for _, row := range []struct {
		interference length.Length
		want         wood.Words
	}{
		{-0.1, wood.ByHand},
		{0, wood.ByHand},
		{0.005, wood.ByHand},
		{0.05, wood.Mallet},
		{0.15, wood.Clamp},
		{0.30, wood.Crushes},
	} {
		s.Interference = row.interference
		e := closing(t, s)
		assert.Equal(t, row.want, e.Words, "%g mm: %g N", row.interference, e.Push.Value)
		if row.interference <= 0 {
			assert.Zero(t, e.Push)
			assert.Zero(t, e.Pressure)
			assert.Positive(t, e.Crush)
		}
	}
}

// x is across the grain in both boards: tangential in flat-sawn ones, radial in
// quarter-sawn ones. Sugar maple: E_R/E_L 0.132, E_T/E_L 0.065.
func TestGrainDecidesStiffness(t *testing.T) {
	maple := byID(t, "sugar_maple")
	s := squeeze(maple, maple)
	pressure := func(g wood.Grain) float64 {
		s.Pin.Grain, s.Tail.Grain = g, g
		return closing(t, s).Pressure.Value
	}
	flat := pressure(wood.FlatSawn)
	assert.InEpsilon(t, flat*0.132/0.065, pressure(wood.QuarterSawn), 1e-12)
	assert.InEpsilon(t, flat*(0.132+0.065)/2/0.065, pressure(wood.GrainMixed), 1e-12)
	assert.Equal(t, pressure(wood.GrainMixed), pressure(wood.GrainUnknown))
}

// What a species lacks is not borrowed: what needs it is left out, and said.
func TestMissingProperties(t *testing.T) {
	maple := byID(t, "sugar_maple")
	for _, row := range []struct {
		pin        string
		want       wood.Missing
		estimated  bool
		crushKnown bool
	}{
		{"sugar_maple", wood.Missing{}, true, true},
		{"eastern_white_pine", wood.Missing{ElasticRatio: true}, false, false},
		{"mahogany_true", wood.Missing{Compression: true}, true, false},
		{"teak", wood.Missing{ElasticRatio: true, Compression: true}, false, false},
	} {
		for _, swapped := range []bool{false, true} {
			s := squeeze(byID(t, row.pin), maple)
			if swapped {
				s.Pin, s.Tail = s.Tail, s.Pin
			}
			e := closing(t, s)
			missing := e.PinMissing
			if swapped {
				missing = e.TailMissing
			}
			assert.Equal(t, row.want, missing, row.pin)
			assert.Equal(t, row.estimated, e.Estimated, row.pin)
			assert.Equal(t, row.crushKnown, e.CrushKnown, row.pin)
			if !row.estimated {
				assert.Equal(t, wood.WordsUnknown, e.Words)
				assert.Zero(t, e.Push)
			}
		}
	}
}

// Species unknown: the middle value, and a wider range.
func TestClosingOfUnknownSpecies(t *testing.T) {
	known := closing(t, squeeze(byID(t, "red_oak"), byID(t, "red_oak")))
	unknown := closing(t, squeeze(wood.Wood{}, wood.Wood{}))
	assert.True(t, unknown.SpeciesUnknown && unknown.Estimated && unknown.CrushKnown)
	m := wood.Middle()
	assert.InEpsilon(t, 0.1*m.TangentialModulus.Median/22.2, unknown.Pressure.Value, 1e-12)
	assert.InEpsilon(t, m.CompressionPerpendicular.Median*22.2/m.TangentialModulus.Median, unknown.Crush.MM(), 1e-12)
	assert.Greater(t, unknown.Push.High/unknown.Push.Low, known.Push.High/known.Push.Low)
	assert.Greater(t, unknown.CrushHigh/unknown.CrushLow, known.CrushHigh/known.CrushLow)
}

func TestClosingOutOfRange(t *testing.T) {
	nan := length.Length(math.NaN())
	s := wood.Squeeze{
		Interference: nan, Depth: 0, AngleDegrees: 46, Engaged: 3000, Tails: 0,
		Friction: wood.Friction{Value: 0.4, Low: 0.5, High: 0.3},
	}
	_, err := wood.Closing(&s)
	assert.Equal(t, []wood.Quantity{
		wood.QuantityInterference, wood.QuantityPinWidth, wood.QuantityTailWidth, wood.QuantityDepth,
		wood.QuantityEngagedLength, wood.QuantityAngle, wood.QuantityTails, wood.QuantityFrictionLow, wood.QuantityFrictionHigh,
	}, quantities(err))
}

// Pressure is in proportion to interference; push to tails, depth and friction;
// pins and tails may change places; at the crush limit p is the lower strength.
func TestClosingProperties(t *testing.T) {
	stiff := rapid.SampledFrom(append(wood.Species(), wood.Wood{})).Filter(func(w wood.Wood) bool {
		return !w.Known() || w.TangentialRatio.Known && w.CompressionPerpendicular.Known
	})
	rapid.Check(t, func(t *rapid.T) {
		s := squeeze(stiff.Draw(t, "pin"), stiff.Draw(t, "tail"))
		s.Pin.Grain, s.Tail.Grain = anyGrain.Draw(t, "pin grain"), anyGrain.Draw(t, "tail grain")
		s.Interference = length.Length(rapid.Float64Range(0.001, 1).Draw(t, "i"))
		e := closing(t, s)
		for _, v := range []wood.Interval{e.Pressure, e.Push} {
			assert.True(t, v.Low > 0 && v.Low < v.Value && v.Value < v.High && !math.IsInf(v.High, 0))
		}
		more := s
		more.Interference *= 2
		more.Tails *= 3
		assert.InEpsilon(t, 2*e.Pressure.Value, closing(t, more).Pressure.Value, 1e-12)
		assert.InEpsilon(t, 6*e.Push.Value, closing(t, more).Push.Value, 1e-12)
		swapped := s
		swapped.Pin, swapped.Tail = s.Tail, s.Pin
		assert.InEpsilon(t, e.Push.Value, closing(t, swapped).Push.Value, 1e-12)
		assert.InEpsilon(t, e.Crush.MM(), closing(t, swapped).Crush.MM(), 1e-12)

		s.Interference = e.Crush
		lower := math.Min(strength(s.Pin.Wood), strength(s.Tail.Wood))
		assert.InEpsilon(t, lower, closing(t, s).Pressure.Value, 1e-9)
	})
}

func strength(w wood.Wood) float64 {
	if !w.Known() {
		return wood.Middle().CompressionPerpendicular.Median
	}
	return w.CompressionPerpendicular.Value
}
