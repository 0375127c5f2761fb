// Package normal has the normal distribution function as a table: beliefs ask for it
// for every part at every point of a grid.
package normal

import (
	"math"

	"snugtail/joint"
)

const (
	reach   = 8  // the table's, standard deviations
	perUnit = 32 // its steps a standard deviation
)

// table holds a cubic for each step, with the function's values and slopes
// at both ends (Hermite).
var table = func() (all [2 * reach * perUnit][4]float64) {
	const h = 1.0 / perUnit
	density := func(z float64) float64 { return math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) }
	for i := range all {
		z := float64(i)*h - reach
		y0, y1 := joint.NormalCDF(z), joint.NormalCDF(z+h)
		s0, s1 := h*density(z), h*density(z+h)
		all[i] = [4]float64{y0, s0, 3*(y1-y0) - 2*s0 - s1, 2*(y0-y1) + s0 + s1}
	}
	return all
}()

// CDF is the normal distribution function, to 2e-9 and, far down, to 1e-4 of
// itself: the cubics err by h^4/384 times the fourth derivative, below them the
// first terms of the asymptotic series do (Abramowitz and Stegun 26.2.12).
func CDF(z float64) float64 {
	at := (z + reach) * perUnit
	if !(at >= 0) { // NaN too
		r := 1 / (z * z)
		return math.Exp(-z*z/2) / (-z * math.Sqrt(2*math.Pi)) * (1 - r*(1-3*r*(1-5*r)))
	}
	i := int(at)
	if i >= len(table) {
		return 1
	}
	c, t := &table[i], at-float64(i)
	return c[0] + t*(c[1]+t*(c[2]+t*c[3]))
}
