package length_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/joint/length"
)

const (
	mm = length.UnitMillimetre
	in = length.UnitInch
)

// exact is how far a parsed length may be from the decimal figure in a table:
// the last binary digits of a few operations on lengths up to 1 m, in mm.
const exact = 1e-12

// readings are texts and what they state, in mm. Source of all wants: an inch
// is 25.4 mm by definition (1959), worked out by hand in decimals.
var readings = []struct {
	text string
	unit length.Unit
	want float64
}{
	{"7/16 in", mm, 11.1125},
	{"7/16 in", in, 11.1125},
	{"7/16in", mm, 11.1125},
	{"7/16", in, 11.1125},
	{"1 1/2 in", mm, 38.1},
	{"1  1/2  in", mm, 38.1},
	{"1-1/2 in", mm, 38.1},
	{"1-1/2", in, 38.1},
	{"-1-1/2 in", mm, -38.1},
	{"-1 1/2 in", mm, -38.1},
	{"9/8 in", mm, 28.575},
	{"0/8 in", mm, 0},
	{`1/2"`, mm, 12.7},
	{`1 1/2"`, mm, 38.1},
	{`1/2 "`, mm, 12.7},
	{"1/2″", mm, 12.7},
	{"1/2”", mm, 12.7},
	{"1/2''", mm, 12.7},
	{"1\u20442 in", mm, 12.7},
	{"1 7\u204416 in", mm, 36.5125},
	{"1\u22152 in", mm, 12.7},
	{"½ in", mm, 12.7},
	{"¼ in", mm, 6.35},
	{"¾ in", mm, 19.05},
	{"⅛ in", mm, 3.175},
	{"⅜ in", mm, 9.525},
	{"⅝ in", mm, 15.875},
	{"⅞ in", mm, 22.225},
	{"½", in, 12.7},
	{"1½ in", mm, 38.1},
	{"1 ½ in", mm, 38.1},
	{"1-½″", mm, 38.1},
	{"-½ in", mm, -12.7},
	{"0.4375 in", mm, 11.1125},
	{"0.4375", in, 11.1125},
	{".5 in", mm, 12.7},
	{"-.5 in", mm, -12.7},
	{"2 inch", mm, 50.8},
	{"2 inches", mm, 50.8},
	{"2 in.", mm, 50.8},
	{"2 INCHES", mm, 50.8},
	{"2 In", mm, 50.8},
	{"11.1 mm", mm, 11.1},
	{"11.1 mm", in, 11.1},
	{"11.1MM", in, 11.1},
	{"11.1", mm, 11.1},
	{"007.50 mm", mm, 7.5},
	{"11 millimetres", in, 11},
	{"1 millimetre", in, 1},
	{"11 millimeters", in, 11},
	{"1 millimeter", in, 1},
	{"1.2 cm", mm, 12},
	{"437 thou", mm, 11.0998},
	{"437 thou", in, 11.0998},
	{"2 mil", mm, 0.0508},
	{"-2 Thou", mm, -0.0508},
	{"-0.2 mm", mm, -0.2},
	{"+0.2 mm", mm, 0.2},
	{"\u22120.2 mm", mm, -0.2},
	{"0", mm, 0},
	{" \t11.1 mm\n", mm, 11.1},
	{"11.1\u00a0mm", mm, 11.1},
	{"11.1\u202fmm\u3000", mm, 11.1},
	// Remainders: (27/64 + 0.004) in = 0.425875 in.
	{"27/64 in +0.004", mm, 10.817225},
	{"27/64 in -0.004", mm, 10.614025},
	{"27/64 in + 0.004", mm, 10.817225},
	{"27/64 in +0.004 in", mm, 10.817225},
	{`27/64" +0.004"`, mm, 10.817225},
	{"27/64 in \u22120.004", mm, 10.614025},
	{"-27/64 in -0.004", mm, -10.817225},
	{"1 1/2 in +0.001", in, 38.1254},
	{"1 in -.001", in, 25.3746},
	{"1½ in -0.001", in, 38.0746},
}

func TestParse(t *testing.T) {
	for _, row := range readings {
		t.Run(row.text, func(t *testing.T) {
			size, err := length.Parse(row.text, row.unit)
			require.NoError(t, err)
			assert.InDelta(t, row.want, size.MM(), exact)
			assert.Equal(t, length.Exactly(size.Length), size, "no tolerance was stated")
		})
	}
}

// Source of the wants: as for readings.
func TestParseTolerance(t *testing.T) {
	for _, row := range []struct {
		text            string
		unit            length.Unit
		want, tolerance float64
	}{
		{"0.500 +/- 0.002 in", mm, 12.7, 0.0508},
		{"0.500 in +/- 0.002", mm, 12.7, 0.0508},
		{"0.500 in +/- 0.002 in", mm, 12.7, 0.0508},
		{"0.500 +/- 0.002", in, 12.7, 0.0508},
		{"0.500 +/- 0.002", mm, 0.5, 0.002},
		{"0.500+/-0.002in", mm, 12.7, 0.0508},
		{"0.500 +- 0.002 in", mm, 12.7, 0.0508},
		{"0.500 +/\u2212 0.002 in", mm, 12.7, 0.0508},
		{"0.500 +\u2212 0.002 in", mm, 12.7, 0.0508},
		{"11.1 mm ± 0.05 mm", in, 11.1, 0.05},
		{"11.1±0.05mm", in, 11.1, 0.05},
		{"11.1 mm ± 0.05", in, 11.1, 0.05},
		{"11.1 ± .05", mm, 11.1, 0.05},
		{"11.1 mm ± 2 thou", mm, 11.1, 0.0508},
		{"1/2 in ± 0.05 mm", mm, 12.7, 0.05},
		{`1 1/2" +/- 1/64`, mm, 38.1, 0.396875},
		{"7/16 +/- 1/64 in", mm, 11.1125, 0.396875},
		{"½ ± 1/64", in, 12.7, 0.396875},
		{"437 +/- 2 thou", in, 11.0998, 0.0508},
		{"-0.2 ± 0.1 mm", mm, -0.2, 0.1},
		{"8 mm +/- 0", mm, 8, 0},
		{"27/64 in +0.004 +/- 0.001", mm, 10.817225, 0.0254},
	} {
		t.Run(row.text, func(t *testing.T) {
			size, err := length.Parse(row.text, row.unit)
			require.NoError(t, err)
			assert.InDelta(t, row.want, size.MM(), exact)
			assert.InDelta(t, row.tolerance, size.Tolerance.MM(), exact)
			assert.True(t, size.HasTolerance)
			assert.True(t, size.Given)
		})
	}
}

// refusals are texts that are no length, and why.
var refusals = []struct {
	text          string
	unit          length.Unit
	code, unknown string
}{
	{"", mm, length.CodeEmpty, ""},
	{" \t\u00a0", mm, length.CodeEmpty, ""},
	{strings.Repeat("1", 65), mm, length.CodeTooLong, ""},
	{strings.Repeat(" ", 65), mm, length.CodeTooLong, ""},
	{"11,1 mm", mm, length.CodeComma, ",1"},
	{",5 mm", mm, length.CodeComma, ",5"},
	{"1,234.5 mm", mm, length.CodeComma, ",234.5"},
	{"11.1 mm ± 0,05 mm", mm, length.CodeComma, ",05"},
	{"27/64 in +0,004", mm, length.CodeComma, ",004"},
	{"abc", mm, length.CodeNotANumber, "abc"},
	{"in", mm, length.CodeNotANumber, "in"},
	{"-", mm, length.CodeNotANumber, ""},
	{".", mm, length.CodeNotANumber, "."},
	{"5. mm", mm, length.CodeNotANumber, "5."},
	{"NaN", mm, length.CodeNotANumber, "NaN"},
	{"Inf", mm, length.CodeNotANumber, "Inf"},
	{"-Infinity mm", mm, length.CodeNotANumber, "Infinity"},
	{"1e308", mm, length.CodeNotANumber, "e308"},
	{"1e5", mm, length.CodeNotANumber, "e5"},
	{"1e-5 mm", mm, length.CodeNotANumber, "e-5"},
	{"0x10", mm, length.CodeNotANumber, "x10"},
	{"1_000 mm", mm, length.CodeUnitUnknown, "_000"},
	{"1.2.3 mm", mm, length.CodeNotANumber, ".3"},
	{"--1 mm", mm, length.CodeNotANumber, "-1"},
	{"- 0.2 mm", mm, length.CodeNotANumber, ""},
	{"+/- 0.1 mm", mm, length.CodeNotANumber, "/-"},
	{"± 0.1 mm", mm, length.CodeNotANumber, "±"},
	{"1 2 in", mm, length.CodeNotANumber, "2"},
	{"1-2 in", mm, length.CodeRange, "-2"},
	{"1 - 1/2 in", mm, length.CodeNotANumber, "-"},
	{"1 3/2 in", mm, length.CodeNotANumber, "3/2"},
	{"1-3/2 in", mm, length.CodeNotANumber, "-3/2"},
	{"1.5 1/2 in", mm, length.CodeNotANumber, "1/2"},
	{"0.5/2 in", mm, length.CodeNotANumber, "/2"},
	{"1/2.5 in", mm, length.CodeNotANumber, ".5"},
	{"1/ 2 in", mm, length.CodeNotANumber, ""},
	{"1/-2 in", mm, length.CodeNotANumber, "-2"},
	{"1/½ in", mm, length.CodeNotANumber, "½"},
	{"½½ in", mm, length.CodeNotANumber, "½"},
	{"7/16/3 in", mm, length.CodeNotANumber, "/3"},
	{"27/64 +0.004", in, length.CodeNotANumber, "+0.004"},
	{"1 mm +/- abc", mm, length.CodeNotANumber, "abc"},
	{"1 ± 2 ± 3", mm, length.CodeNotANumber, "±"},
	{"7/0 in", mm, length.CodeZeroDenominator, "0"},
	{"0/0 in", mm, length.CodeZeroDenominator, "0"},
	{"1 7/00 in", mm, length.CodeZeroDenominator, "00"},
	{"5 furlong", mm, length.CodeUnitUnknown, "furlong"},
	{"5 furlong+/-0.1", mm, length.CodeUnitUnknown, "furlong"},
	{"0.3 m", mm, length.CodeUnitUnknown, "m"},
	{"1'", mm, length.CodeUnitUnknown, "'"},
	{`1' 6"`, mm, length.CodeUnitUnknown, "'"},
	{"5 µm", mm, length.CodeUnitUnknown, "µm"},
	{"5 ± 2%", mm, length.CodeUnitUnknown, "%"},
	{"5 mmm", mm, length.CodeUnitUnknown, "mmm"},
	{"5 \xff", mm, length.CodeUnitUnknown, "\uFFFD"},
	{"1/2 mm", in, length.CodeFractionNeedsInch, "mm"},
	{"½ mm", in, length.CodeFractionNeedsInch, "mm"},
	{"1 1/2 CM", in, length.CodeFractionNeedsInch, "CM"},
	{"1/2 thou", in, length.CodeFractionNeedsInch, "thou"},
	{"1/2", mm, length.CodeFractionNeedsInch, ""},
	{"1/2 ± 0.1 mm", in, length.CodeFractionNeedsInch, "mm"},
	{"11 mm ± 1/64", in, length.CodeFractionNeedsInch, "mm"},
	{"0.500 in +0.002", mm, length.CodeRemainder, "+0.002"},
	{"0.500 in +0.002/-0.001", mm, length.CodeRemainder, "+0.002/-0.001"},
	{"11 mm +0.1", mm, length.CodeRemainder, "+0.1"},
	{"437 thou +0.5", mm, length.CodeRemainder, "+0.5"},
	{"1/2 in +0.004 mm", mm, length.CodeRemainder, "+0.004"},
	{"1/2 in +1/64", mm, length.CodeRemainder, "+1/64"},
	{"1 in - 2 in", mm, length.CodeRange, "-"},
	{"1 in +0.015625", mm, length.CodeRemainder, "+0.015625"},
	{"1 mm +/-", mm, length.CodeTolerance, ""},
	{"1 mm +/- -0.1", mm, length.CodeTolerance, "-0.1"},
	{"1 mm ± \u22120.1", mm, length.CodeTolerance, "\u22120.1"},
	{"1 mm +/- +0.1", mm, length.CodeTolerance, "+0.1"},
	{"1 mm foo", mm, length.CodeTrailing, "foo"},
	{"1 mm 2", mm, length.CodeTrailing, "2"},
	{"1 mm2", mm, length.CodeTrailing, "2"},
	{"1 in in", mm, length.CodeTrailing, "in"},
	{"1 mm.", mm, length.CodeTrailing, "."},
	{"1 mm ± 2 mm ± 3 mm", mm, length.CodeTrailing, "±"},
	{"1 in\x00", mm, length.CodeTrailing, "\x00"},
}

func TestParseRefuses(t *testing.T) {
	for _, row := range refusals {
		t.Run(row.text, func(t *testing.T) {
			size, err := length.Parse(row.text, row.unit)
			assert.Zero(t, size)
			var refusal *length.ParseError
			require.ErrorAs(t, err, &refusal)
			assert.Equal(t, row.code, refusal.Code)
			assert.Equal(t, row.unknown, refusal.Unknown)
		})
	}
}

func TestParseErrorQuotesLittle(t *testing.T) {
	_, err := length.Parse(strings.Repeat("é\xff", 1e5), mm)
	var refusal *length.ParseError
	require.ErrorAs(t, err, &refusal)
	assert.True(t, utf8.ValidString(refusal.Text))
	assert.Less(t, len(refusal.Text), 3*length.MaxTextLength)
	assert.Less(t, len(err.Error()), 4*length.MaxTextLength)
}

func TestParseLongestText(t *testing.T) {
	size, err := length.Parse(strings.Repeat("9", length.MaxTextLength-3)+" in", mm)
	require.NoError(t, err)
	assert.InEpsilon(t, 25.4e61, size.MM(), 1e-15)
}

func TestParseZeroHasNoSign(t *testing.T) {
	for _, text := range []string{"-0 mm", "-0.0 in", "\u22120/8 in", "-0 in -0.000"} {
		size, err := length.Parse(text, mm)
		require.NoError(t, err, text)
		assert.False(t, math.Signbit(size.MM()), text)
	}
}

func TestParseAllocatesNothing(t *testing.T) {
	for _, row := range readings {
		assert.Zero(t, testing.AllocsPerRun(10, func() { _, _ = length.Parse(row.text, row.unit) }), row.text)
	}
}

func parse(t require.TestingT, text string, unit length.Unit) length.Size {
	size, err := length.Parse(text, unit)
	require.NoError(t, err, text)
	return size
}

func TestParseUnitsAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		thou := rapid.IntRange(-80_000, 80_000).Draw(t, "thou")
		want := parse(t, fmt.Sprintf("%.3f in", float64(thou)/1000), mm).MM()
		assert.InDelta(t, want, parse(t, fmt.Sprintf("%d thou", thou), mm).MM(), 1e-9)
		assert.InDelta(t, want, parse(t, fmt.Sprintf("%.4f mm", float64(thou)*0.0254), in).MM(), 1e-9)
		assert.InDelta(t, want, parse(t, fmt.Sprintf("%.5f cm", float64(thou)*0.00254), in).MM(), 1e-9)
		assert.InDelta(t, want, parse(t, fmt.Sprintf("%.3f", float64(thou)/1000), in).MM(), 1e-9)
	})
}

func TestParseFractionsAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		whole := rapid.IntRange(0, 80).Draw(t, "whole")
		denominator := rapid.IntRange(2, 1000).Draw(t, "denominator")
		numerator := rapid.IntRange(0, denominator-1).Draw(t, "numerator")
		want := 25.4 * (float64(whole) + float64(numerator)/float64(denominator))
		for _, format := range []string{"%d %d/%d in", "%d-%d/%d\"", " %d  %d/%d''"} {
			text := fmt.Sprintf(format, whole, numerator, denominator)
			assert.InDelta(t, want, parse(t, text, mm).MM(), 1e-9, text)
			assert.InDelta(t, -want, parse(t, "-"+strings.TrimSpace(text), mm).MM(), 1e-9, text)
		}
	})
}

// sound fails unless a reading is finite or a typed refusal.
func sound(t require.TestingT, text string, unit length.Unit) {
	size, err := length.Parse(text, unit)
	if err == nil {
		require.True(t, size.Given)
		require.False(t, math.IsNaN(size.MM()) || math.IsInf(size.MM(), 0), text)
		require.False(t, math.IsNaN(size.Tolerance.MM()) || math.IsInf(size.Tolerance.MM(), 0), text)
		require.GreaterOrEqual(t, size.Tolerance.MM(), 0.0, text)
		return
	}
	var refusal *length.ParseError
	require.True(t, errors.As(err, &refusal), text)
	require.NotEmpty(t, refusal.Code)
	require.NotEmpty(t, err.Error())
	require.True(t, utf8.ValidString(refusal.Text) && utf8.ValidString(refusal.Unknown), text)
	require.Zero(t, size)
}

func TestParseIsSound(t *testing.T) {
	pieces := []string{
		"0", "1", "27", "64", ".", "/", "-", "+", "\u2212", "±", "+/-", " ", "\u00a0", ",", "½", "⅞",
		"in", "mm", "thou", "cm", `"`, "'", "e", "x", "NaN", "Inf", "\xff", "\xe2\x88", "999999999999999999999",
	}
	rapid.Check(t, func(t *rapid.T) {
		text := strings.Join(rapid.SliceOfN(rapid.SampledFrom(pieces), 0, 12).Draw(t, "pieces"), "")
		sound(t, text, mm)
		sound(t, text, in)
	})
}

func FuzzParse(f *testing.F) {
	require.NotEmpty(f, readings)
	require.NotEmpty(f, refusals)
	for _, row := range readings {
		f.Add(row.text, row.unit == in)
	}
	for _, row := range refusals {
		f.Add(row.text, row.unit == in)
	}
	f.Add("0.500 +/- 0.002 in", true)
	f.Fuzz(func(t *testing.T, text string, inches bool) {
		unit := mm
		if inches {
			unit = in
		}
		sound(t, text, unit)
	})
}

func ExampleParse() {
	size, err := length.Parse("0.500 +/- 0.002 in", length.UnitMillimetre)
	fmt.Println(size.Text(length.UnitMillimetre), size.Tolerance.Text(length.UnitMillimetre), err)
	// Output: 12.7 mm 0.051 mm <nil>
}

func ExampleParse_refused() {
	_, err := length.Parse("5 furlong", length.UnitMillimetre)
	var refusal *length.ParseError
	if errors.As(err, &refusal) {
		fmt.Println(refusal.Code, refusal.Unknown)
	}
	fmt.Println(err)
	// Output:
	// unit_unknown furlong
	// length "5 furlong": unit_unknown at "furlong"
}

func BenchmarkParse(b *testing.B) {
	for _, text := range []string{"11.1 mm", "7/16 in", "1 1/2\"", "0.500 +/- 0.002 in", "27/64 in +0.004", "5 furlong"} {
		b.Run(text, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				_, _ = length.Parse(text, length.UnitMillimetre)
			}
		})
	}
}
