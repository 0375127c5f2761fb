package wood

import (
	"math"
	"slices"
	"sync"
)

// Spread is a property over all species of the table that have it.
type Spread struct {
	Median float64
	// Deviation is the standard deviation about the median.
	Deviation float64
	Count     int
}

// Variation returns the deviation as a fraction of the median.
func (s Spread) Variation() float64 { return s.Deviation / s.Median }

// MiddleValues are what a species that is not known is taken to be: the median
// of each property on its own, over the species that have it. Units as of the
// properties; moduli across the grain in MPa.
type MiddleValues struct {
	RadialCoefficient, TangentialCoefficient Spread
	RadialShrinkage, TangentialShrinkage     Spread
	RadialModulus, TangentialModulus         Spread // E_R, E_T
	CompressionPerpendicular                 Spread
}

// Middle returns the middle values of the table.
func Middle() MiddleValues { return middle() }

var middle = sync.OnceValue(func() MiddleValues {
	value := func(of func(*Wood) *Property) Spread {
		return spreadOf(func(w *Wood) (float64, bool) { p := of(w); return p.Value, p.Known })
	}
	return MiddleValues{
		RadialCoefficient:        value(func(w *Wood) *Property { return &w.RadialCoefficient }),
		TangentialCoefficient:    value(func(w *Wood) *Property { return &w.TangentialCoefficient }),
		RadialShrinkage:          value(func(w *Wood) *Property { return &w.RadialShrinkage }),
		TangentialShrinkage:      value(func(w *Wood) *Property { return &w.TangentialShrinkage }),
		RadialModulus:            spreadOf(func(w *Wood) (float64, bool) { return w.modulusAcross(w.RadialRatio) }),
		TangentialModulus:        spreadOf(func(w *Wood) (float64, bool) { return w.modulusAcross(w.TangentialRatio) }),
		CompressionPerpendicular: value(func(w *Wood) *Property { return &w.CompressionPerpendicular }),
	}
})

// spreadOf takes the spread of what of returns, over the species that have it.
func spreadOf(of func(*Wood) (float64, bool)) Spread {
	var values []float64
	for i := range species() {
		if v, ok := of(&species()[i]); ok {
			values = append(values, v)
		}
	}
	slices.Sort(values)
	n := len(values)
	median := (values[(n-1)/2] + values[n/2]) / 2
	squares := 0.0
	for _, v := range values {
		squares += (v - median) * (v - median)
	}
	return Spread{Median: median, Deviation: math.Sqrt(squares / float64(n-1)), Count: n}
}
