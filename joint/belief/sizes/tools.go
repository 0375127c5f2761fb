package sizes

import (
	"math"
	"slices"

	"snugtail/joint"
	"snugtail/joint/stock"
)

// How near another size must lie to be taken by mistake: its chance falls by e
// for each, mm and degrees. Judgement.
const (
	mistakenBushing, farthestBushing = 2.5, 6.5
	mistakenCutter, farthestCutter   = 2.0, 5.0
	mistakenAngle, farthestAngle     = 3.0, 8.0
	leastDiameter, leastAngle        = 0.05, 0.6
	asMarkedNot                      = 0.35 // share of an angle that is not quite the one marked
	offByAny                         = 0.10 // share of a diameter that is none of the standard ones
)

// OtherBushings returns by how much the bushing in use may be another than stated,
// of those that fit; broad is where it is none of the standard ones.
func OtherBushings(stated float64, broad []Lump, fits func(float64) bool) []Lump {
	return mixed(near(bushings, stated, leastDiameter, mistakenBushing, farthestBushing, fits), broad, offByAny)
}

// OtherCutters is the same of a cutter's diameter.
func OtherCutters(stated float64, broad []Lump, fits func(float64) bool) []Lump {
	return mixed(near(cutters, stated, leastDiameter, mistakenCutter, farthestCutter, fits), broad, offByAny)
}

// OtherAngles is the same of a cutter's angle, degrees; broad is where it is not
// quite the one marked.
func OtherAngles(stated float64, broad []Lump) []Lump {
	fits := func(float64) bool { return true }
	return mixed(near(angles, stated, leastAngle, mistakenAngle, farthestAngle, fits), broad, asMarkedNot)
}

// WantedBushings weighs bushings that may be wanted instead of the one in use, as
// differences from it; the commonest is wanted more often.
func WantedBushings(others []Lump, inUse, commonest float64) []Lump {
	return wantedInstead(others, bushings, inUse, commonest)
}

// WantedCutters is the same of a cutter's diameter.
func WantedCutters(others []Lump, inUse, commonest float64) []Lump {
	return wantedInstead(others, cutters, inUse, commonest)
}

// asSold is the standard uncertainty with which a measured size must be a
// standard one to count as that of another tool, mm. Judgement.
const asSold = 0.06

// How much likelier than other causes' a measured diameter is a ground
// cutter's if it is no standard size, if it is one, and if there is none above
// it that it may have been ground from. Judgement.
const (
	groundIfNot    = 2.5
	groundIfSold   = 0.2
	groundFromNone = 0.2
)

// commoner is how many times as common the commonest size is as any other.
// Judgement.
const commoner = 3

// wantedInstead weighs sizes wanted instead of the one in use: the commonest
// is wanted more often, and seldom is it the one taken by mistake.
func wantedInstead(sizes []Lump, standard []float64, inUse, commonest float64) []Lump {
	common := func(size float64) float64 {
		if math.Abs(size-commonest) < asSold {
			return commoner
		}
		return 1
	}
	sizes = slices.Clone(sizes)
	for i := range sizes {
		sizes[i].Weight *= common(inUse+sizes[i].Mean) / common(inUse)
	}
	return scaled(sizes, sold(standard, inUse))
}

// sold returns how well a size agrees with the nearest standard one, 0 to 1.
func sold(all []float64, size float64) float64 {
	best := 0.0
	for _, s := range all {
		z := (s - size) / asSold
		best = math.Max(best, math.Exp(-z*z/2))
	}
	return math.Max(best, 1e-3)
}

// usualDensity of losses is that of a common one; a cutter that would have lost
// more or less than cutters do is the less likely a ground one.
const usualDensity = 3

// GroundFrom returns by how much a cutter that measures d mm is below the standard
// sizes that it may have had; if there is none, as much as cutters lose.
func GroundFrom(losses []Lump, d float64) []Lump {
	standard := sold(cutters, d)
	return scaled(lostFrom(losses, d), groundIfNot*(1-standard)+groundIfSold*standard)
}

func lostFrom(losses []Lump, d float64) []Lump {
	const least, most = 0.06, 0.9
	var all []Lump
	sum := 0.0
	for _, size := range cutters {
		lost := size - d
		if lost < least || lost > most {
			continue
		}
		density := 0.0
		for _, l := range losses {
			z := (lost - l.Mean) / l.SD
			density += l.Weight / l.SD * math.Exp(-z*z/2)
		}
		all = append(all, Lump{density, lost, 0})
		sum += density
	}
	if sum == 0 {
		return scaled(losses, groundFromNone)
	}
	return scaled(all, 1/math.Max(sum, usualDensity))
}

// near returns the standard sizes near the one stated, as differences from it,
// likelier the nearer.
func near(all []float64, stated, least, by, farthest float64, fits func(float64) bool) []Lump {
	var sizes []Lump
	sum := 0.0
	for _, size := range all {
		off := size - stated
		if math.Abs(off) < least || math.Abs(off) > farthest || !fits(size) {
			continue
		}
		w := math.Exp(-math.Abs(off) / by)
		sizes = append(sizes, Lump{w, off, 0})
		sum += w
	}
	for i := range sizes {
		sizes[i].Weight /= sum
	}
	return sizes
}

// The standard sizes, from the built-in sets.
var (
	bushings = distinct(stock.Bushings(), func(b joint.Bushing) float64 { return b.Diameter.MM() })
	cutters  = distinct(stock.Cutters(), func(c joint.Cutter) float64 { return c.Diameter.MM() })
	angles   = distinct(stock.Cutters(), func(c joint.Cutter) float64 { return float64(c.Angle) })
)

// distinct are the sizes of tools in order, each once.
func distinct[T any](tools []T, size func(T) float64) []float64 {
	all := make([]float64, len(tools))
	for i := range tools {
		all[i] = size(tools[i])
	}
	slices.Sort(all)
	return slices.Compact(all)
}
