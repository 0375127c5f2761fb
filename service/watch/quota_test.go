package watch

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// The forms are those of the kernel's documentation, Control Group v2.
func TestQuotas(t *testing.T) {
	for text, want := range map[string]int64{"max\n": 0, "268435456\n": 256 << 20, "": 0, "-1": 0} {
		assert.Equal(t, want, limitIn(text), text)
	}
	assert.InDelta(t, 1.5, throttledIn("usage_usec 9\nnr_periods 3\nnr_throttled 2\nthrottled_usec 1500000\n"), 1e-9)
	assert.Zero(t, throttledIn("usage_usec 9\n"))
	assert.Zero(t, throttledIn(""))
}
