package length_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"snugtail/joint/length"
)

// Source of the wants: 1 in = 25.4 mm, worked out by hand; half-way goes away
// from zero.
func TestText(t *testing.T) {
	for _, row := range []struct {
		length length.Length
		mm, in string
	}{
		{0, "0 mm", "0 in"},
		{length.Length(math.Copysign(0, -1)), "0 mm", "0 in"},
		{8, "8 mm", "5/16 in +0.002"},   // 0.31496 in
		{-0.25, "-0.25 mm", "-0.01 in"}, // 0.00984 in
		{0.0004, "0 mm", "0 in"},        // below what is printed
		{-0.0004, "0 mm", "0 in"},       //
		{0.0005, "0.001 mm", "0 in"},    // half-way
		{-0.0005, "-0.001 mm", "0 in"},  //
		{100, "100 mm", "3 15/16 in"},   // 3.93701 in, 0.00049 in away
		{7 * length.Inch / 16, "11.113 mm", "7/16 in"},
		{-7 * length.Inch / 16, "-11.113 mm", "-7/16 in"},
		{1.5 * length.Inch, "38.1 mm", "1 1/2 in"},
		{length.Inch, "25.4 mm", "1 in"},
		{-2 * length.Inch, "-50.8 mm", "-2 in"},
		{length.Inch / 64, "0.397 mm", "1/64 in"},
		{-3 * length.Inch / 64, "-1.191 mm", "-3/64 in"},
		{length.Inch * 127 / 64, "50.403 mm", "1 63/64 in"},
		{length.Inch * 0.012, "0.305 mm", "0.012 in"},
		{length.Inch * -0.012, "-0.305 mm", "-0.012 in"},
		{length.Inch * 0.0155, "0.394 mm", "0.016 in"},
		{length.Inch * 0.0004, "0.01 mm", "0 in"},
		{length.Inch * -0.0004, "-0.01 mm", "0 in"},
		{length.Inch * (27.0/64 + 0.004), "10.817 mm", "27/64 in +0.004"},
		{length.Inch * (27.0/64 - 0.004), "10.614 mm", "27/64 in -0.004"},
		{length.Inch * -(27.0/64 + 0.004), "-10.817 mm", "-27/64 in -0.004"},
		{length.Inch * -(27.0/64 - 0.004), "-10.614 mm", "-27/64 in +0.004"},
		{length.Inch * 0.9995, "25.387 mm", "1 in -0.001"}, // half-way
		{length.Inch * 0.99951, "25.388 mm", "1 in"},
		{length.Inch * 3 / 128, "0.595 mm", "1/32 in -0.008"}, // half-way between 1/64 and 1/32
		{2000, "2000 mm", "78 47/64 in +0.006"},               // 78.74016 in
		{1e10, "10000000000 mm", "393700787.402 in"},
		{length.Length(math.NaN()), "NaN mm", "NaN in"},
		{length.Length(math.Inf(-1)), "-Inf mm", "-Inf in"},
	} {
		t.Run(row.mm, func(t *testing.T) {
			assert.Equal(t, row.mm, row.length.Text(mm))
			assert.Equal(t, row.in, row.length.Text(in))
			assert.Equal(t, "= "+row.in, string(row.length.AppendText([]byte("= "), in)))
		})
	}
}

// Source of the wants: as for TestText.
func TestDecimal(t *testing.T) {
	for _, row := range []struct {
		length length.Length
		mm, in string
	}{
		{0, "0 mm", "0 in"},
		{-0.0004, "0 mm", "0 in"},
		{7 * length.Inch / 16, "11.113 mm", "0.4375 in"},
		{length.Inch / 32, "0.794 mm", "0.0313 in"}, // 0.03125 in, half-way
		{-length.Inch / 32, "-0.794 mm", "-0.0313 in"},
		{100, "100 mm", "3.937 in"},
		{-0.25, "-0.25 mm", "-0.0098 in"},
		{length.Length(math.Inf(1)), "+Inf mm", "+Inf in"},
	} {
		t.Run(row.mm, func(t *testing.T) {
			assert.Equal(t, row.mm, row.length.Decimal(mm))
			assert.Equal(t, row.in, row.length.Decimal(in))
		})
	}
}

// Every multiple of 1/64 in up to 80 in, and so the whole ruler, prints
// without remainder and is read as it was.
func TestTextOfEvery64th(t *testing.T) {
	for n := -80 * 64; n <= 80*64; n++ {
		l := length.Length(float64(n) * 25.4 / 64)
		for _, l := range []length.Length{l, l.Rounded(), l + 1e-10, l - 1e-10} {
			text := l.Text(in)
			assert.InDelta(t, l.MM(), parse(t, text, mm).MM(), 1e-6, text)
		}
	}
}

// someLength draws lengths of all the sizes that a joint has, and beyond, in
// mm; many of them are half-way between two texts, or next to it.
func someLength() *rapid.Generator[length.Length] {
	return rapid.Custom(func(t *rapid.T) length.Length {
		l := rapid.Float64Range(-1e6, 1e6).Draw(t, "mm")
		steps := float64(rapid.IntRange(-4_000_000, 4_000_000).Draw(t, "steps"))
		noise := rapid.Float64Range(-1e-9, 1e-9).Draw(t, "noise")
		return rapid.SampledFrom([]length.Length{
			length.Length(l), length.Length(l / 1e6), length.Length(l / 1e9),
			length.Length(steps*0.0005 + noise), length.Length(steps*25.4/2000/64 + noise),
		}).Draw(t, "length")
	})
}

func TestTextIsReadBack(t *testing.T) {
	const slack = 2e-9 // half-way figures are rounded twice, see noisePerUnit
	rapid.Check(t, func(t *rapid.T) {
		l := someLength().Draw(t, "l")
		assert.InDelta(t, l.MM(), parse(t, l.Text(mm), in).MM(), 0.0005+slack, l.Text(mm))
		assert.InDelta(t, l.Inches(), parse(t, l.Text(in), mm).Inches(), 0.0005+slack, l.Text(in))
		assert.InDelta(t, l.MM(), parse(t, l.Decimal(mm), in).MM(), 0.0005+slack, l.Decimal(mm))
		assert.InDelta(t, l.Inches(), parse(t, l.Decimal(in), mm).Inches(), 0.00005+slack, l.Decimal(in))
	})
}

func TestTextIsStable(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := someLength().Draw(t, "l")
		text := l.Text(mm)
		assert.Equal(t, text, parse(t, text, mm).Text(mm))
		decimal := l.Decimal(in)
		assert.Equal(t, decimal, parse(t, decimal, mm).Decimal(in))
	})
}

func TestTextMirrors(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := someLength().Draw(t, "l")
		for _, unit := range []length.Unit{mm, in} {
			there, back := parse(t, l.Text(unit), unit), parse(t, (-l).Text(unit), unit)
			assert.Equal(t, there.Length, 0-back.Length)
		}
	})
}

func TestNearest64(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := someLength().Draw(t, "l")
		whole, numerator, denominator, remainder := length.Nearest64(l)
		sum := float64(whole) + float64(numerator)/float64(denominator)
		assert.InDelta(t, l.MM(), sum*25.4+remainder.MM(), 1e-9)
		assert.LessOrEqual(t, math.Abs(remainder.Inches()), 1.0/128+1e-9)
		assert.Contains(t, []int{1, 2, 4, 8, 16, 32, 64}, denominator)
		assert.True(t, denominator == 1 && numerator == 0 || numerator%2 != 0, "reduced")
		assert.False(t, l > 0 && (whole < 0 || numerator < 0) || l < 0 && (whole > 0 || numerator > 0), "signs")
	})
}

func TestNearest64LeavesWhatIsNoLength(t *testing.T) {
	for _, l := range []length.Length{1e9, -1e300, length.Length(math.Inf(1))} {
		whole, numerator, denominator, remainder := length.Nearest64(l)
		assert.Equal(t, []int{0, 0, 1}, []int{whole, numerator, denominator})
		assert.Equal(t, l, remainder)
	}
}

func ExampleLength_Text() {
	for _, l := range []length.Length{11.1125, 10.817225, -38.1, 0.3} {
		fmt.Println(l.Text(length.UnitMillimetre), "=", l.Text(length.UnitInch))
	}
	// Output:
	// 11.113 mm = 7/16 in
	// 10.817 mm = 27/64 in +0.004
	// -38.1 mm = -1 1/2 in
	// 0.3 mm = 0.012 in
}

func ExampleLength_Decimal() {
	fmt.Println(length.Length(11.1125).Decimal(length.UnitInch))
	// Output: 0.4375 in
}

func ExampleNearest64() {
	whole, numerator, denominator, remainder := length.Nearest64(1.5*length.Inch + 0.1)
	fmt.Printf("%d %d/%d in and %.1f mm\n", whole, numerator, denominator, remainder.MM())
	// Output: 1 1/2 in and 0.1 mm
}

func BenchmarkAppendText(b *testing.B) {
	buffer := make([]byte, 0, 64)
	for name, unit := range map[string]length.Unit{"mm": mm, "in": in} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				buffer = length.Length(10.817225).AppendText(buffer[:0], unit)
			}
		})
	}
}
