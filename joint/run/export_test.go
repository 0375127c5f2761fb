package run

import "snugtail/joint/length"

// Weighted lets a test weigh by another weight than the package's.
func Weighted(all []Reading, start, weight length.Length) []length.Length {
	return weighted(all, start, weight)
}

// The constants, for the test that computes them anew.
const (
	RangeLimit = rangeLimit
	RangePerSD = rangePerSD
	OneSided   = oneSided
)
