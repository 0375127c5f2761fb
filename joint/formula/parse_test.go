package formula_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/joint/formula"
)

var values = formula.Values{"K": 2, "h": 10, "h*": 7, "a": 45, "W": 4, "c": -0.5, "e_p": 1, "e_t": 3, "y_n + R_n": 11}

func TestEvaluate(t *testing.T) {
	for text, want := range map[string]float64{
		"2 h tan a":                    20,
		"2 h* + h":                     24,
		"1800/W (K h/(1 - K h) + 1)":   450 * (-20.0/19 + 1),
		"h - K - 3":                    5,
		"h/K/5":                        1,
		"-K^2":                         -4,
		"2^3^2":                        512,
		"K h^2/4":                      50,
		"-h (y_n + R_n)":               -110,
		"c - |e_p - e_t| (W - 1)":      -6.5,
		"2 |c| h":                      10,
		"tan(a)^2 + cos(60)":           1.5,
		"atan(1) + sin 30":             45.5,
		"sqrt(h^2 - 6^2)":              8,
		"min(h, K, 5) + max(1, K)":     4,
		"the smaller of h - 1 and K":   2,
		"K - h, not below 0":           0,
		"h, of 0 to K + 1":             3,
		"x = y + z, y = K z, z = h":    30,
		"d - g <= h - 3":               7,
		"floor(h/3) + log2(8)":         6,
		"Phi(1.959963984540054)":       0.975,
		"exp(0) + 2 pi":                1 + 2*math.Pi,
		"c = K + 2 (h - W) - 2 h* 0.5": 7,
	} {
		got, err := formula.Evaluate(text, values)
		require.NoError(t, err, text)
		assert.InDelta(t, want, got, 1e-12, text)
	}
}

func TestTextsThatAreNone(t *testing.T) {
	for text, says := range map[string]string{
		"2 x":            `nothing is known of "x"`,
		"K +":            `"" has no value`,
		"(K":             `"" instead of ")"`,
		"K) + 1":         `")" is one too many`,
		"|K":             `"" instead of "|"`,
		"min(K":          `"" instead of ")"`,
		"K, where h":     `nothing is known of "where h"`,
		"K, h":           `"h" defines nothing`,
		"K, of 0":        "a range without an end",
		"K, not below +": `"+" has no value`,
		"x = y, y = +":   `y: "+" has no value`,
		"1.2.3":          `"1.2.3" has no value`,
	} {
		_, err := formula.Evaluate(text, values)
		require.Error(t, err, text)
		assert.Contains(t, err.Error(), says, text)
	}
}

func TestWith(t *testing.T) {
	r := formula.Record{Text: "(M - M_0) / (30*100/S - 30 + M_0)", Symbols: []formula.Symbol{{Name: "M"}, {Name: "M_0"}, {Name: "S"}}}
	assert.Equal(t, "(M - M_0) / (30*100/S_T - 30 + M_0)", r.With("S", "S_T"))
	assert.Equal(t, "(x - M_0) / (30*100/S - 30 + M_0)", r.With("M", "x"))
}

// What Check is for: each of these records has one thing wrong.
func TestCheckFindsWhatIsWrong(t *testing.T) {
	right := formula.Record{
		Name: "area", Section: 3, Text: "x y", Unit: "mm^2", Source: formula.Follows, Code: "none",
		Symbols: []formula.Symbol{formula.Own("x", "mm", "one side"), formula.Own("y", "mm", "other side")},
		Example: formula.Values{"x": 2, "y": 3.5}, Result: 7,
		Function: func(v formula.Values) float64 { return v["x"] * v["y"] },
	}
	require.NoError(t, right.Check())
	assert.Equal(t, "joint/model.md, section 3", right.Cited())
	for name, spoil := range map[string]func(r *formula.Record){
		"text":               func(r *formula.Record) { r.Text = "x + y" },
		"figure":             func(r *formula.Record) { r.Result = 7.0001 },
		"function":           func(r *formula.Record) { r.Function = func(v formula.Values) float64 { return v["x"] * v["x"] * 1.75 } },
		"function elsewhere": func(r *formula.Record) { r.Function = func(v formula.Values) float64 { return 7 } },
		"never a result":     func(r *formula.Record) { r.Function = func(v formula.Values) float64 { return math.NaN() } },
		"symbol not used": func(r *formula.Record) {
			r.Symbols = append(r.Symbols, formula.Own("z", "mm", "height"))
			r.Example = formula.Values{"x": 2, "y": 3.5, "z": 1}
		},
		"symbol unexplained": func(r *formula.Record) { r.Symbols = r.Symbols[:1] },
		"symbol not shared":  func(r *formula.Record) { r.Symbols = formula.Symbols("x y") },
		"no source":          func(r *formula.Record) { r.Source = "" },
	} {
		r := right
		spoil(&r)
		assert.Error(t, r.Check(), name)
	}
}
