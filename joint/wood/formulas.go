package wood

import (
	"math"

	"snugtail/joint/formula"
	"snugtail/joint/length"
)

const handbook = "Wood Handbook, FPL-GTR-190, equation "

// Formulas returns the records of this package's formulas, in the order of the
// model's page.
func Formulas() []*formula.Record {
	return []*formula.Record{
		&EquilibriumFormula, &CoefficientFormula, &ShrinkageFormula, &grownFormula, &mixedFormula, &strainUncertaintyFormula,
		&MiddleFormula, &OutermostFormula, &EdgeStepFormula, &SeatChangeFormula, &ShoulderFormula, &woodUncertaintyFormula,
		&modulusFormula, &pressureFormula, &pushFormula, &crushFormula, &variationFormula, &spreadFormula,
	}
}

// EquilibriumFormula is the record of EquilibriumMoisture.
var EquilibriumFormula = formula.Record{
	Name: "equilibrium moisture content", Section: formula.SectionWood,
	Text: "M = 1800/W (K h/(1 - K h) + (K1 K h + 2 K1 K2 K^2 h^2)/(1 + K1 K h + K1 K2 K^2 h^2)), " +
		"h = H/100, W = 349 + 1.29 T + 0.0135 T^2, K = 0.805 + 0.000736 T - 0.00000273 T^2, " +
		"K1 = 6.27 - 0.00938 T - 0.000303 T^2, K2 = 1.91 + 0.0407 T - 0.000293 T^2",
	Unit:    "%",
	Symbols: []formula.Symbol{formula.Own("T", "degC", "temperature"), formula.Own("H", "%", "relative humidity")},
	Source:  handbook + "(4-5)", Vary: 0.5, Example: formula.Values{"T": 20, "H": 50}, Result: 9.2711,
	Code: "wood.EquilibriumMoisture",
	Function: func(v formula.Values) float64 {
		m, err := EquilibriumMoisture(v["T"], v["H"])
		return formula.Known(m, err == nil)
	},
}

var (
	moistureCut = formula.Own("M_0", "%", "moisture content when it was cut")
	moistureNow = formula.Own("M", "%", "moisture content now")
	strainPin   = formula.Own("e_p", "1", "strain of the pin board's width since cutting")
	strainTail  = formula.Own("e_t", "1", "strain of the tail board's width")
	tailWidest  = formula.Own("w", "mm", "tail at its widest")
)

// figure returns a property with a value.
func figure(x float64) Property { return Property{Figure: Figure{Value: x, Known: true}} }

// strainFrom makes a function of the strain of flat-sawn wood, of one rate.
func strainFrom(rate string, basis Basis) func(formula.Values) float64 {
	return func(v formula.Values) float64 {
		w := Wood{ID: "one", TangentialCoefficient: figure(v["C"]), TangentialShrinkage: figure(v["S"])}
		s, err := Strain(&w, FlatSawn, Width, v["M_0"], v["M"])
		return formula.Known(s.Strain, err == nil && s.Basis == basis && v[rate] != 0)
	}
}

// CoefficientFormula is the record of Strain within 6 to 14 %.
var CoefficientFormula = formula.Record{
	Name: "strain from 6 to 14 %", Section: formula.SectionWood, Text: "C (M - M_0)", Unit: "1",
	Symbols: []formula.Symbol{formula.Own("C", "1/%", "dimensional change coefficient"), moistureNow, moistureCut},
	Source:  handbook + "(13-2)", Vary: 0.2, Example: formula.Values{"C": 0.00369, "M": 11, "M_0": 7}, Result: 0.01476,
	Code: "wood.Strain", Function: strainFrom("C", BasisCoefficient),
}

// ShrinkageFormula is the record of Strain outside 6 to 14 %.
var ShrinkageFormula = formula.Record{
	Name: "strain below 6 and above 14 %", Section: formula.SectionWood, Text: "(M - M_0) / (30*100/S - 30 + M_0)", Unit: "1",
	Symbols: []formula.Symbol{formula.Own("S", "%", "shrinkage from green to oven-dry"), moistureNow, moistureCut},
	Source:  handbook + "(13-3), from memory", Vary: 0.1, Example: formula.Values{"S": 8.6, "M": 16, "M_0": 24}, Result: -0.02333,
	Code: "wood.Strain", Function: strainFrom("S", BasisShrinkage),
}

var grownFormula = formula.Record{
	Name: "two strains, one after the other", Section: formula.SectionWood, Text: "e_1 + e_2 + e_1 e_2",
	Remark: ", where a change lies partly within 6 to 14 %", Unit: "1",
	Symbols: []formula.Symbol{formula.Own("e_1", "1", "the first"), formula.Own("e_2", "1", "the second")}, Source: formula.Follows, Vary: 0.9,
	Example: formula.Values{"e_1": 0.01, "e_2": 0.02}, Result: 0.0302,
	Code: "wood.Strain", Function: func(v formula.Values) float64 { return grown(v["e_1"], v["e_2"]) },
}

var mixedFormula = formula.Record{
	Name: "strain of mixed or unknown grain", Section: formula.SectionWood, Text: "(C_R + C_T)/2 (M - M_0)", Unit: "1",
	Symbols: []formula.Symbol{formula.Own("C_R", "1/%", "radial coefficient"), formula.Own("C_T", "1/%", "tangential coefficient"), moistureNow, moistureCut},
	Source:  formula.Judgement, Vary: 0.2, Example: formula.Values{"C_R": 0.00158, "C_T": 0.00369, "M": 11, "M_0": 7}, Result: 0.01054,
	Code: "wood.Strain",
	Function: func(v formula.Values) float64 {
		w := Wood{ID: "one", RadialCoefficient: figure(v["C_R"]), TangentialCoefficient: figure(v["C_T"])}
		s, err := Strain(&w, GrainMixed, Width, v["M_0"], v["M"])
		return formula.Known(s.Strain, err == nil && s.Basis == BasisCoefficient)
	},
}

var strainUncertaintyFormula = formula.Record{
	Name: "standard uncertainty of a strain", Section: formula.SectionWood, Text: "sqrt((0.15 (e_1 + e_2)/2)^2 + ((e_1 - e_2)/2)^2)",
	Remark: ": scatter between pieces, and the grain where it is not known", Unit: "1",
	Symbols: []formula.Symbol{formula.Own("e_1", "1", "tangential strain"), formula.Own("e_2", "1", "radial strain")},
	Source:  formula.Propagation, Vary: 0.4, Example: formula.Values{"e_1": 0.01476, "e_2": 0.00632}, Result: 0.00451,
	Code: "wood.Swelling.Uncertainty",
	Function: func(v formula.Values) float64 {
		c := curve{one: rate{c: v["e_1"]}, other: rate{c: v["e_2"]}, scatter: ShrinkageScatter}
		return c.swelling(8, 9).Uncertainty()
	},
}

// movedBy is a joint whose boards' strains are told: of widths, and of thickness.
func movedBy(v formula.Values) (Outcome, bool) {
	board := func(width, thickness float64) Board {
		w := Wood{ID: "one", TangentialCoefficient: figure(width), RadialCoefficient: figure(thickness)}
		return Board{Wood: w, Grain: FlatSawn, Width: length.Length(v["W"]), Moisture: Moisture{Percent: 8}}
	}
	j := Joint{
		PinBoard: board(v["e_p"], v["e"]), TailBoard: board(v["e_t"], v["e"]),
		Play: length.Length(v["c"]), Pitch: length.Length(v["P"]), TailWidth: length.Length(v["w"]),
		DepthPinBoard: length.Length(v["h_p"]), DepthTailBoard: length.Exactly(length.Length(v["h_t"])),
		NoseReach: length.Exactly(length.Length(v["y_n + R_n"])),
		Climates:  []Climate{{Moisture: Moisture{Percent: 9}}},
	}
	for _, missing := range [...]struct {
		of *length.Length
		is length.Length
	}{{&j.PinBoard.Width, 200}, {&j.TailBoard.Width, 200}, {&j.Pitch, 20}, {&j.TailWidth, 10}, {&j.DepthPinBoard, 10}, {&j.DepthTailBoard.Length, 10}} {
		if *missing.of == 0 {
			*missing.of = missing.is
		}
	}
	m, err := Movement(&j)
	if err != nil || m.Outcomes[0].Missing != nil {
		return Outcome{}, false
	}
	return m.Outcomes[0], true
}

func outcomeOf(of func(o *Outcome) length.Length) func(formula.Values) float64 {
	return func(v formula.Values) float64 {
		o, ok := movedBy(v)
		return formula.Known(of(&o).MM(), ok)
	}
}

// MiddleFormula is the record of Outcome.PlayMiddle.
var MiddleFormula = formula.Record{
	Name: "play of a tail in the middle", Section: formula.SectionWood, Text: "c + w (e_p - e_t)", Unit: "mm",
	Symbols: formula.Symbols("c", tailWidest, strainPin, strainTail), Source: formula.Follows, Vary: 0.5,
	Example: formula.Values{"c": 0.1, "w": 13.78, "e_p": 0.002, "e_t": -0.003}, Result: 0.1689,
	Code: "wood.Movement", Function: outcomeOf(func(o *Outcome) length.Length { return o.PlayMiddle }),
}

// OutermostFormula is the record of Outcome.PlayOutermost.
var OutermostFormula = formula.Record{
	Name: "play at the outermost tails", Section: formula.SectionWood, Text: "c - |e_p - e_t| (W - P + s w)",
	Remark: ", s = 1 where the tails swelled more, -1 where the sockets did", Unit: "mm",
	Symbols: formula.Symbols("c W P", tailWidest, formula.Own("s", "1", "1 or -1"), strainPin, strainTail), Source: formula.Follows, Vary: 0.2,
	Example: formula.Values{"c": 0.1, "W": 133.35, "P": 22.225, "w": 13.78, "s": 1, "e_p": 0.002, "e_t": 0.003}, Result: -0.0249,
	Code: "wood.Movement",
	Function: func(v formula.Values) float64 {
		o, ok := movedBy(v)
		right := v["s"] == 1 && v["e_t"] > v["e_p"] || v["s"] == -1 && v["e_p"] > v["e_t"]
		return formula.Known(o.PlayOutermost.MM(), ok && right)
	},
}

// EdgeStepFormula is the record of Outcome.EdgeStep.
var EdgeStepFormula = formula.Record{
	Name: "edge step", Section: formula.SectionWood, Text: "(e_p - e_t) W/2", Unit: "mm",
	Symbols: formula.Symbols("W", strainPin, strainTail), Source: formula.Follows, Vary: 0.5,
	Example: formula.Values{"W": 133.35, "e_p": 0.002, "e_t": 0.003}, Result: -0.0667,
	Code: "wood.Movement", Function: outcomeOf(func(o *Outcome) length.Length { return o.EdgeStep }),
}

// SeatChangeFormula is the record of Outcome.SeatChange.
var SeatChangeFormula = formula.Record{
	Name: "change of the seat", Section: formula.SectionWood, Text: "-e (y_n + R_n)", Unit: "mm",
	Symbols: []formula.Symbol{
		formula.Own("e", "1", "strain of the tail board's thickness"), formula.Own("y_n + R_n", "mm", "how far the tail's nose reaches along y"),
	},
	Source: formula.Follows, Vary: 0.5, Example: formula.Values{"e": 0.004, "y_n + R_n": 11.2}, Result: -0.0448,
	Code: "wood.Movement", Function: outcomeOf(func(o *Outcome) length.Length { return o.SeatChange }),
}

// ShoulderFormula is the record of Outcome.ShoulderGap.
var ShoulderFormula = formula.Record{
	Name: "shoulder gap after movement", Section: formula.SectionWood, Text: "h_t - h_p (1 + e), not below 0", Remark: "; floor_gap is what is below it", Unit: "mm",
	Symbols: formula.Symbols("h_t h_p", formula.Own("e", "1", "strain of the pin board's thickness")), Source: formula.Follows, Vary: 0.5,
	Example: formula.Values{"h_t": 10.9, "h_p": 10.9, "e": -0.012}, Result: 0.1308,
	Code: "wood.Movement", Function: outcomeOf(func(o *Outcome) length.Length { return o.ShoulderGap }),
}

var woodUncertaintyFormula = formula.Record{
	Name: "standard uncertainty of the outermost play from the wood", Section: formula.SectionWood,
	Text: "(W - P + w) sqrt((0.15 e_p)^2 + (0.15 e_t)^2)", Remark: ", where the tails swelled more and moistures are exact", Unit: "mm",
	Symbols: formula.Symbols("W P", tailWidest, strainPin, strainTail), Source: formula.Propagation, Vary: 0.1,
	Example: formula.Values{"W": 133.35, "P": 22.225, "w": 13.78, "e_p": 0.002, "e_t": 0.003}, Result: 0.0676,
	Code: "wood.Movement", Function: outcomeOf(func(o *Outcome) length.Length { return o.Uncertainty }),
}

var modulusFormula = formula.Record{
	Name: "modulus across the grain", Section: formula.SectionWood, Text: "E = 1.1 MOE x", Unit: "MPa",
	Symbols: []formula.Symbol{formula.Own("MOE", "MPa", "modulus of elasticity in bending"), formula.Own("x", "1", "elastic ratio, tangential or radial")},
	Source:  "Wood Handbook, FPL-GTR-282, Table 5-1, footnote", Vary: 0.5, Example: formula.Values{"MOE": 12500, "x": 0.082}, Result: 1127.5,
	Code: "wood.Closing",
	Function: func(v formula.Values) float64 {
		w := Wood{ModulusOfElasticity: figure(v["MOE"])}
		return formula.Known(w.modulusAcross(figure(v["x"])))
	},
}

// squeezeOf is a joint with interference in wood of the moduli E_t and E_p.
func squeezeOf(v formula.Values) (Effort, bool) {
	of := func(modulus, width string) Part {
		w := Wood{
			ID: "one", ModulusOfElasticity: figure(v[modulus] / LongitudinalFactor), RadialRatio: figure(1), TangentialRatio: figure(1),
			CompressionPerpendicular: figure(v["f_c"]),
		}
		return Part{Wood: w, Grain: FlatSawn, MeanWidth: length.Length(v[width])}
	}
	s := Squeeze{
		Interference: length.Length(v["i"]), Pin: of("E_p", "w_p"), Tail: of("E_t", "w_t"),
		Depth: 10, AngleDegrees: v["a"], Engaged: 10, Tails: 1, Friction: Friction{Value: 0.4, Low: 0.3, High: 0.5},
	}
	if h, ok := v["h"]; ok {
		n, whole := formula.Whole(v["n"])
		if !whole {
			return Effort{}, false
		}
		s.Depth, s.Engaged, s.Tails = length.Length(h), length.Length(v["l"]), n
		s.Friction = Friction{Value: v["mu"], Low: v["mu"], High: v["mu"]}
	}
	e, err := Closing(&s)
	return e, err == nil && e.Estimated
}

var squeeze = [...]formula.Symbol{
	formula.Own("i", "mm", "interference, -c"),
	formula.Own("w_t", "mm", "mean width of a tail"), formula.Own("E_t", "MPa", "modulus of the tail board across its grain"),
	formula.Own("w_p", "mm", "mean width of a pin"), formula.Own("E_p", "MPa", "modulus of the pin board across its grain"),
}

var pressureFormula = formula.Record{
	Name: "pressure of an interference", Section: formula.SectionWood, Text: "p = i / (w_t/E_t + w_p/E_p)",
	Remark: ": in series; an estimate, the pin held at its root is stiffer", Unit: "MPa",
	Symbols: squeeze[:], Source: formula.Follows, Vary: 0.5,
	Example: formula.Values{"i": 0.1, "w_t": 11.1, "E_t": 1127.5, "w_p": 11.1, "E_p": 1127.5}, Result: 5.0788,
	Code:     "wood.Closing",
	Function: func(v formula.Values) float64 { e, ok := squeezeOf(v); return formula.Known(e.Pressure.Value, ok) },
}

var pushFormula = formula.Record{
	Name: "push that closes a joint", Section: formula.SectionWood, Text: "F = 2 n mu p h/cos(a) l, p = i / (w_t/E_t + w_p/E_p)", Unit: "N",
	Symbols: formula.Symbols("n mu h a", append([]formula.Symbol{formula.Own("l", "mm", "engaged length along y")}, squeeze[:]...)...),
	Source:  formula.Follows, Vary: 0.2,
	Example: formula.Values{"n": 5, "mu": 0.4, "h": 10.904, "a": 14, "l": 7, "i": 0.01, "w_t": 11.1, "E_t": 1127.5, "w_p": 11.1, "E_p": 1127.5}, Result: 159.8098,
	Code:     "wood.Closing",
	Function: func(v formula.Values) float64 { e, ok := squeezeOf(v); return formula.Known(e.Push.Value, ok) },
}

var crushFormula = formula.Record{
	Name: "interference that bruises", Section: formula.SectionWood, Text: "i = f_c (w_t/E_t + w_p/E_p)", Unit: "mm",
	Symbols: append([]formula.Symbol{formula.Own("f_c", "MPa", "lower of both strengths in compression across the grain")}, squeeze[1:]...),
	Source:  formula.Follows, Vary: 0.5,
	Example: formula.Values{"f_c": 7, "w_t": 11.1, "E_t": 1127.5, "w_p": 11.1, "E_p": 1127.5}, Result: 0.1378,
	Code: "wood.Closing",
	Function: func(v formula.Values) float64 {
		e, ok := squeezeOf(v)
		return formula.Known(e.Crush.MM(), ok && e.CrushKnown)
	},
}

var variationFormula = formula.Record{
	Name: "coefficient of variation", Section: formula.SectionWood, Text: "s/m", Remark: ", of a property over the species of the table", Unit: "1",
	Symbols: []formula.Symbol{formula.Own("s", "1", "deviation about the median, in the property's unit"), formula.Own("m", "1", "median")},
	Source:  formula.Follows, Vary: 0.5, Example: formula.Values{"s": 0.0008, "m": 0.0029}, Result: 0.2759,
	Code: "wood.Spread.Variation", Function: func(v formula.Values) float64 { return Spread{Median: v["m"], Deviation: v["s"]}.Variation() },
}

var spreadFormula = formula.Record{
	Name: "upper end of an estimate's 95 % range", Section: formula.SectionWood, Text: "x exp(2 V)", Remark: ", the lower end with -2 V: log-normal, never 0", Unit: "as x",
	Symbols: []formula.Symbol{formula.Own("x", "MPa", "the estimate"), formula.Own("V", "1", "coefficient of variation")},
	Source:  formula.Judgement, Vary: 0.5, Example: formula.Values{"x": 5, "V": 0.22}, Result: 7.7635,
	Code: "wood.Closing",
	Function: func(v formula.Values) float64 {
		i := spreadOut(v["x"], v["V"])
		return formula.Known(i.High, math.Abs(i.Low*i.High-v["x"]*v["x"]) < 1e-9)
	},
}
