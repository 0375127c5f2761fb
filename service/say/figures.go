package say

import "snugtail/joint/length"

// about writes what is read of a joint.
func (w Words) about(x length.Length) string { return w.About(x) }

// Hundredth writes a length that is an estimate.
func (w Words) Hundredth(x length.Length) string { return w.About(x) }

const (
	thou  = length.Length(length.MillimetresPerInch / 1000)
	tenth = length.Length(0.1)
)
