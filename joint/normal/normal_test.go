package normal_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"snugtail/joint"
	"snugtail/joint/normal"
)

// The table is as exact as it says.
func TestNormalTable(t *testing.T) {
	for z := -12.0; z <= 9; z += 0.0071 {
		want := joint.NormalCDF(z)
		assert.InDelta(t, want, normal.CDF(z), 2e-9)
		if z < -3 {
			assert.InEpsilon(t, want, normal.CDF(z), 1e-4)
		}
	}
}
