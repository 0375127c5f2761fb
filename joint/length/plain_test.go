package length

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// What is read as plain, the scanner reads, and as the same size.
func requireAsScanned(t require.TestingT, text string, unit Unit) (ok bool) {
	size, ok := plain(text, unit)
	if !ok || len(text) > MaxTextLength {
		return false
	}
	want, err := scan(text, unit)
	require.NoError(t, err, text)
	require.Equal(t, want, size, text)
	return true
}

func TestPlainIsScanned(t *testing.T) {
	read, all := 0, 0
	pieces := []string{"0", "1", "7/16", "27", ".", "0.4370", "/", "-", " ", "  ", "+/-", " +/- ", "in", " in", "mm", "inch", "0.001 in", "12345678901234567", "x", "½"}
	number := `[0-9]{1,9}(\.[0-9]{1,9}|/[0-9]{1,3})?`
	texts := rapid.OneOf(
		rapid.StringMatching(number+` ?(in|mm)?`), rapid.StringMatching(number+` ?(in|mm)? ?\+/- ?`+number+` ?(in|mm)?`),
		rapid.Map(rapid.SliceOfN(rapid.SampledFrom(pieces), 0, 6), func(all []string) string { return strings.Join(all, "") }),
	)
	rapid.Check(t, func(t *rapid.T) {
		all++
		if requireAsScanned(t, texts.Draw(t, "text"), rapid.SampledFrom([]Unit{UnitMillimetre, UnitInch}).Draw(t, "unit")) {
			read++
		}
	})
	assert.Greater(t, read, all/4, "enough that the test says something")
}

func TestPlainReadsWhatIsCommon(t *testing.T) {
	for _, text := range []string{
		"8", "8 mm", "8mm", "0.745 in", "12.35 mm", "7/16 in", "0.4370 +/- 0.001 in", "0.4370 in +/- 0.001 in", "11 mm +/- 0.05", "1/2in+/-1/64in",
	} {
		assert.True(t, requireAsScanned(t, text, UnitMillimetre), text)
	}
	for _, text := range []string{
		"", " 8", "8  mm", "8 MM", "1 1/2 in", "7/16", "7/0 in", "8.", ".5", "-8 mm", "8 inch", "8 mm x", "27/64 in +0.004", "8 ±1 mm", "1234567890123456", "8 +/- 1/8 mm", "8 +/-", "in",
	} {
		assert.False(t, requireAsScanned(t, text, UnitMillimetre), text)
	}
}

func FuzzPlain(f *testing.F) {
	for _, text := range []string{"8", "0.745 in", "7/16 in", "0.4370 +/- 0.001 in", "27/64 in +0.004", "1 1/2 in"} {
		f.Add(text, true)
	}
	f.Fuzz(func(t *testing.T, text string, inches bool) {
		unit := UnitMillimetre
		if inches {
			unit = UnitInch
		}
		requireAsScanned(t, text, unit)
	})
}

// The short ways of rounding are those of package math and of the noise's definition.
func TestRoundingIsTheSame(t *testing.T) {
	steps := rapid.OneOf(
		rapid.Float64(), rapid.Float64Range(-3e4, 3e4),
		rapid.Custom(func(t *rapid.T) float64 { // about half-way between two, of some step
			halves := float64(rapid.IntRange(-200000, 200000).Draw(t, "halves"))
			of := rapid.SampledFrom([]float64{0.5, 1.0 / 128, 25.4 / 128, 0.0005, 0.0127, 0.00005, 5e-7}).Draw(t, "step")
			return halves*of + rapid.SampledFrom([]float64{0, 1e-13, -1e-13, 4e-10, -4e-10, 6e-10, -6e-10, 1e-7, -1e-7}).Draw(t, "off")
		}))
	rapid.Check(t, func(t *rapid.T) {
		x := steps.Draw(t, "x")
		require.Equal(t, math.Float64bits(math.Round(x)), math.Float64bits(NearestWhole(x)), "%v", x)
		if math.Abs(x) >= farthest {
			return
		}
		for _, perUnit := range []int64{1000, 10000} {
			slow := int64(math.Round(math.Round(x*noisePerUnit) / (noisePerUnit / float64(perUnit))))
			require.Equal(t, slow, inSteps(x, perUnit), "%v in %d", x, perUnit)
		}
		require.Equal(t, math.Abs(withoutNoise(x)) >= MillimetresPerInch/64, Length(x).hasFraction(), "%v", x)
		whole, numerator, denominator, _ := Nearest64(Length(x))
		slow := math.Round(withoutNoise(Length(x).Inches() * 64))
		require.Equal(t, slow/64, float64(whole)+float64(numerator)/float64(denominator), "%v", x)
	})
}
