// Package length is the project's one way of holding, reading and printing
// lengths: a Length is millimetres, a Size is a length as somebody stated it,
// with the tolerance they gave, if they gave one.
package length

import "math"

// MillimetresPerInch is exact by definition (international inch, 1959).
const MillimetresPerInch = 25.4

// Resolution is the step, in millimetres, to which answers are rounded, so
// that processors that fuse multiply and add answer with the same digits.
const Resolution = 1e-6

// perResolution divides exactly where a product with Resolution would leave
// digits behind it.
const perResolution = 1e6

// Length is a length in millimetres.
type Length float64

// Millimetre and Inch are unit lengths: 3*length.Inch is three inches.
const (
	Millimetre Length = 1
	Inch       Length = MillimetresPerInch
)

// MM returns the length in millimetres.
func (l Length) MM() float64 { return float64(l) }

// Inches returns the length in inches.
func (l Length) Inches() float64 { return float64(l) / MillimetresPerInch }

// Rounded returns the length rounded to the stated Resolution, never -0.
func (l Length) Rounded() Length {
	return Length(NearestWhole(float64(l)*perResolution)/perResolution) + 0
}

// NearestWhole is [math.Round], in one instruction where x is not half-way.
func NearestWhole(x float64) float64 {
	if n := math.RoundToEven(x); math.Abs(x-n) != 0.5 {
		return n
	}
	return math.Round(x)
}

// nearest returns the whole number nearest to x, and whether it is so surely:
// also if x were off by some millionths, as when it is freed of noise for print.
func nearest(x float64) (n float64, sure bool) {
	n = math.RoundToEven(x)
	return n, math.Abs(x-n) < 0.4999 && math.Abs(x) < 1e9
}

// Unit is a unit that lengths are written in when they carry none.
type Unit uint8

// The units a request may choose.
const (
	UnitMillimetre Unit = iota
	UnitInch
)

// A Size is a length as stated by somebody. The zero Size was not stated.
type Size struct {
	Length
	// Tolerance is the half-width that the writer is as good as sure of,
	// taken as two standard uncertainties; it counts only with HasTolerance.
	Tolerance    Length
	HasTolerance bool
	Given        bool
}

// Exactly returns l as a stated size without a tolerance of its own.
func Exactly(l Length) Size { return Size{Length: l, Given: true} }

// Within returns l as a stated size with tolerance t, a half-width.
func Within(l, t Length) Size {
	return Size{Length: l, Tolerance: t, HasTolerance: true, Given: true}
}

// Or returns s if it was stated, and otherwise l as if it had been.
func (s Size) Or(l Length) Size {
	if s.Given {
		return s
	}
	return Exactly(l)
}

// StandardUncertainty returns half the stated tolerance, or half of the
// default tolerance where none was stated, in millimetres.
func (s Size) StandardUncertainty(byDefault Length) float64 {
	if s.HasTolerance {
		return float64(s.Tolerance) / 2
	}
	return float64(byDefault) / 2
}
