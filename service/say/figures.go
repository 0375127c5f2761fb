package say

import "snugtail/joint/length"

// Lengths that people reckon in: a thousandth of an inch, a tenth of a millimetre.
const (
	thou  = length.Length(length.MillimetresPerInch / 1000)
	tenth = length.Length(0.1)
)
