package joint_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"snugtail/joint"
)

// Of two bands within ten points of each other both are named, likeliest first,
// wherever the play itself lies.
func TestLikeliest(t *testing.T) {
	for _, row := range []struct {
		name string
		of   joint.BandProbability
		want []joint.Band
	}{
		{"one leads", joint.BandProbability{joint.Tight: 0.35, joint.WillNotClose: 0.55, joint.HandFit: 0.1}, []joint.Band{joint.WillNotClose}},
		{"two alike", joint.BandProbability{joint.Tight: 0.41, joint.HandFit: 0.44, joint.Loose: 0.15}, []joint.Band{joint.HandFit, joint.Tight}},
		{"three alike", joint.BandProbability{joint.Tight: 0.3, joint.HandFit: 0.36, joint.Loose: 0.34}, []joint.Band{joint.HandFit, joint.Loose, joint.Tight}},
		{"eleven points apart", joint.BandProbability{joint.Tight: 0.4, joint.HandFit: 0.51, joint.Loose: 0.09}, []joint.Band{joint.HandFit}},
		{"no joint", joint.BandProbability{joint.NoJoint: 1}, []joint.Band{joint.NoJoint}},
	} {
		f := joint.Fit{Band: joint.Tight, Probability: row.of}
		assert.Equal(t, row.want, f.Likeliest(), row.name)
	}
}
