package say

import (
	"math"

	"snugtail/joint/length"
)

// about writes what is read of a joint.
func (w Words) about(x length.Length) string { return w.About(x) }

// Hundredth writes a length that is an estimate.
func (w Words) Hundredth(x length.Length) string { return w.About(x) }

const (
	thou  = length.Length(length.MillimetresPerInch / 1000)
	tenth = length.Length(0.1)
)

func nearest(x, step length.Length) length.Length {
	return length.Length(math.Round(x.MM()/step.MM())) * step
}
