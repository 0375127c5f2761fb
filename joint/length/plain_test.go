package length

import (
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
