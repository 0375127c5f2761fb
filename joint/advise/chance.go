package advise

import (
	"math"

	"snugtail/joint"
)

// quickCDF is the normal distribution function from a table, to 2e-5: enough to
// compare checks by.
func quickCDF(z float64) float64 {
	at := (z + cdfReach) * cdfPerUnit
	switch {
	case at <= 0:
		return 0
	case at >= 2*cdfReach*cdfPerUnit:
		return 1
	}
	i := int(at)
	return cdfTable[i] + (at-float64(i))*(cdfTable[i+1]-cdfTable[i])
}

const cdfReach, cdfPerUnit = 5, 50

var cdfTable = func() (all [2*cdfReach*cdfPerUnit + 1]float64) {
	for i := range all {
		all[i] = joint.NormalCDF(float64(i)/cdfPerUnit - cdfReach)
	}
	return all
}()

// past is how surely something is past a limit that nobody knows to better
// than a third of it.
func past(off, limit float64) float64 { return quickCDF((math.Abs(off) - limit) / (limit / 3)) }
