package length

import (
	"math"
	"strconv"
)

// farthest is the length, in millimetres, up to which lengths are printed as
// documented. It is far beyond any joint, and keeps the integers below from
// overflowing.
const farthest = 1e9

// noisePerUnit is the reciprocal of the step to which a figure is rounded
// before it is rounded for print, in the unit that it is printed in. So a
// figure that is half-way but for the last binary digits of the arithmetic, as
// 7/16 in = 11.1125 mm, rounds away from zero.
const noisePerUnit = 1e9

// Text returns the length as a person at the bench reads it, in unit (any Unit
// but UnitInch is the millimetre).
//
// In millimetres that is a decimal to the nearest 0.001: "11.113 mm", "8 mm",
// "-0.25 mm".
//
// In inches it is the nearest 1/64 as a reduced mixed fraction, "7/16 in" or
// "1 1/2 in", and what remains to the nearest 0.001 where that is not 0:
// "27/64 in +0.004", "27/64 in -0.004". The remainder is signed and added to
// the signed fraction, below zero too: "-27/64 in -0.004" is the length
// opposite to "27/64 in +0.004". Below 1/64 in it is a decimal to the nearest
// 0.001: "0.012 in".
//
// [Parse] reads the result as within 0.0005 of the unit. Nothing prints as
// "-0". Lengths from 1e9 mm up print as decimals, not to be parsed again, and
// those that aren't finite as "NaN" or "Inf", which Parse refuses.
func (l Length) Text(unit Unit) string {
	var buffer [48]byte
	return string(l.AppendText(buffer[:0], unit))
}

// AppendText appends to b what [Length.Text] returns for unit, and returns the
// extended slice.
func (l Length) AppendText(b []byte, unit Unit) []byte {
	switch {
	case unit != UnitInch:
		return append(appendDecimal(b, l.MM(), 3), " mm"...)
	case l.hasFraction():
		return l.appendFraction(b)
	default:
		return append(appendDecimal(b, l.Inches(), 3), " in"...)
	}
}

// Decimal returns the length as a decimal of unit (any Unit but UnitInch is
// the millimetre): to the nearest 0.001 mm, "11.113 mm", or the nearest
// 0.0001 in, "0.4375 in", without trailing zeros and never "-0". Lengths from
// 1e9 mm up and those that aren't finite print as with [Length.Text].
func (l Length) Decimal(unit Unit) string {
	var buffer [48]byte
	return string(l.AppendDecimal(buffer[:0], unit))
}

// AppendDecimal appends to b what [Length.Decimal] returns for unit, and
// returns the extended slice.
func (l Length) AppendDecimal(b []byte, unit Unit) []byte {
	if unit == UnitInch {
		return append(appendDecimal(b, l.Inches(), 4), " in"...)
	}
	return append(appendDecimal(b, l.MM(), 3), " mm"...)
}

// Nearest64 returns the multiple of 1/64 in nearest to l as whole inches and a
// reduced fraction of an inch, and what remains:
//
//	l = (whole + numerator/denominator) in + remainder
//
// Below zero, whole and numerator both are 0 or negative. The denominator is
// 1, 2, 4 ... 64, and 1 where the numerator is 0; the remainder is at most
// 1/128 in either way, and half-way the multiple is the one farther from zero.
// Of lengths from 1e9 mm up, and those that aren't finite, all remains.
func Nearest64(l Length) (whole, numerator, denominator int, remainder Length) {
	if !l.printable() {
		return 0, 0, 1, l
	}
	n, sure := nearest(l.Inches() * 64)
	if !sure {
		n = math.Round(withoutNoise(l.Inches() * 64))
	}
	remainder = l - Length(n*MillimetresPerInch/64)
	whole, numerator = int(n)/64, int(n)%64
	denominator = 64
	for denominator > 1 && numerator%2 == 0 {
		numerator /= 2
		denominator /= 2
	}
	return whole, numerator, denominator, remainder
}

func (l Length) printable() bool { return math.Abs(l.MM()) < farthest }

// hasFraction tells whether l is printed as a fraction of an inch.
func (l Length) hasFraction() bool {
	const least, around = MillimetresPerInch / 64, 1e-6
	mm := math.Abs(l.MM())
	if math.Abs(mm-least) > around { // noise decides nothing
		return mm > least && mm < farthest
	}
	return withoutNoise(mm) >= least
}

// appendFraction appends l, at least 1/64 in either way, as a mixed fraction
// of an inch with its remainder.
func (l Length) appendFraction(b []byte) []byte {
	whole, numerator, denominator, remainder := Nearest64(l)
	if l < 0 {
		b = append(b, '-')
		whole, numerator = -whole, -numerator
	}
	if whole != 0 {
		b = strconv.AppendInt(b, int64(whole), 10)
	}
	if whole != 0 && numerator != 0 {
		b = append(b, ' ')
	}
	if numerator != 0 {
		b = strconv.AppendInt(b, int64(numerator), 10)
		b = append(b, '/')
		b = strconv.AppendInt(b, int64(denominator), 10)
	}
	return appendRemainder(append(b, " in"...), remainder.Inches())
}

// appendRemainder appends inches with their sign, unless they round to 0.000.
func appendRemainder(b []byte, inches float64) []byte {
	steps := inSteps(inches, 1000)
	if steps == 0 {
		return b
	}
	b = append(b, ' ')
	if steps > 0 {
		b = append(b, '+')
	}
	return appendDecimal(b, inches, 3)
}

// appendDecimal appends value with at most the given number of decimals, of
// which it leaves out the zeros at the end.
func appendDecimal(b []byte, value float64, decimals int) []byte {
	if !(math.Abs(value) < farthest) { // NaN too
		return strconv.AppendFloat(b, value, 'f', -1, 64)
	}
	perUnit := int64(1)
	for range decimals {
		perUnit *= 10
	}
	steps := inSteps(value, perUnit)
	if steps < 0 {
		b = append(b, '-')
		steps = -steps
	}
	b = strconv.AppendInt(b, steps/perUnit, 10)
	return appendDecimals(b, steps%perUnit, perUnit)
}

// appendDecimals appends the point and the decimals of steps/perUnit, which is
// below 1, unless it is 0.
func appendDecimals(b []byte, steps, perUnit int64) []byte {
	if steps == 0 {
		return b
	}
	b = append(b, '.')
	for steps > 0 {
		perUnit /= 10
		b = append(b, '0'+byte(steps/perUnit))
		steps %= perUnit
	}
	return b
}

// inSteps returns the nearest number of steps, of which a unit has perUnit,
// half-way the one farther from zero.
func inSteps(value float64, perUnit int64) int64 {
	if n, sure := nearest(value * float64(perUnit)); sure {
		return int64(n)
	}
	return int64(math.Round(math.Round(value*noisePerUnit) / (noisePerUnit / float64(perUnit))))
}

// withoutNoise returns value rounded to 1/noisePerUnit.
func withoutNoise(value float64) float64 { return math.Round(value*noisePerUnit) / noisePerUnit }
