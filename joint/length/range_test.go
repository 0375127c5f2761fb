package length_test

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/joint/length"
)

// What a range is refused with says the same as the range: middles and half
// widths by hand.
func TestRangesAreToldAsTolerances(t *testing.T) {
	for text, want := range map[string]string{
		"10.5 to 11 mm":      "10.75 +/- 0.25 mm",
		"10.5mm to 11mm":     "10.75 +/- 0.25 mm",
		"10.5-11 mm":         "10.75 +/- 0.25 mm",
		"10.5 – 11 mm":       "10.75 +/- 0.25 mm",
		"10.5..11":           "10.75 +/- 0.25",
		"3/8 to 7/16 in":     "0.4063 +/- 0.0313 in",
		`3/8" to 7/16"`:      "0.4063 +/- 0.0313 in",
		"1 cm to 11 mm":      "10.5 +/- 0.5 mm",
		"0.498 to 0.5 inch":  "0.499 +/- 0.001 inch",
		"12.6 mm to 12.7 mm": "12.65 +/- 0.05 mm",
	} {
		_, err := length.Parse(text, mm)
		var refused *length.ParseError
		require.True(t, errors.As(err, &refused), text)
		assert.Equal(t, length.CodeRange, refused.Code, text)
		assert.Equal(t, want, refused.Instead, text)
		_, err = length.Parse(refused.Instead, mm)
		assert.NoError(t, err, "what is advised is read")
	}
	for _, text := range []string{"11 to 10.5 mm", "10 to", "to 11 mm", "10 to 11 to 12 mm", "top 11 mm", "10 mm to 11 ft", "a-b", "10 +/- 1 to 12 mm"} {
		_, err := length.Parse(text, mm)
		var refused *length.ParseError
		require.True(t, errors.As(err, &refused), text)
		assert.NotEqual(t, length.CodeRange, refused.Code, text)
		assert.Empty(t, refused.Instead, text)
	}
}
