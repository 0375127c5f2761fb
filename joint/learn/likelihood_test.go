package learn

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A feel's likelihood is the same on either side of its range and keeps its
// digits far outside: what play contradicts by ten standard deviations is
// weighed by what is left of the bell, not by how 1 - 1 was rounded.
func TestLikelihoodFarOutside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low, width, sd := rapid.Float64Range(-1, 1).Draw(t, "low"), rapid.Float64Range(0.05, 1).Draw(t, "width"), rapid.Float64Range(0.02, 0.3).Draw(t, "sd")
		away := rapid.Float64Range(0, 10).Draw(t, "away") * sd
		c := conditional{at: 0, slope: 1, sd: sd, site: site{low: low, high: low + width}}
		above, below := c.likelihood(low+width+away), c.likelihood(low-away)
		require.Positive(t, above)
		require.InEpsilon(t, below, above, 1e-9) // 1e-9: ten deviations out, density moves by 1e-14 relative for each 1e-15 of z, and a margin
	})
	open := conditional{slope: 1, sd: 0.1, site: site{low: 0.5, high: math.Inf(1)}}
	require.InDelta(t, 1, open.likelihood(5), 1e-12)
	require.Positive(t, open.likelihood(-0.5))
}
