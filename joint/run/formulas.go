package run

import (
	"snugtail/joint"
	"snugtail/joint/formula"
	"snugtail/joint/length"
)

// Formulas returns the records of this package's formulas, in the order of the
// model's page.
func Formulas() []*formula.Record {
	return []*formula.Record{
		&slopeFormula, &lineFormula, &slopeErrorFormula, &wearFormula, &lookAgainFormula, &gapFormula,
		&upperFormula, &rangeFormula, &scatterFormula, &weightedFormula, &meanUpperFormula,
	}
}

const eHandbook = "NIST/SEMATECH e-Handbook of Statistical Methods, "

var three = []formula.Symbol{
	formula.Own("w_0", "mm", "gap of joint 0"), formula.Own("w_1", "mm", "gap of joint 1"), formula.Own("w_2", "mm", "gap of joint 2"),
}

// trendOf is the trend of three joints, one after the other.
func trendOf(v formula.Values) Trend {
	t, _ := TrendOf([]Reading{
		{Joint: 0, Gap: length.Length(v["w_0"]), FromWidths: true},
		{Joint: 1, Gap: length.Length(v["w_1"]), FromWidths: true},
		{Joint: 2, Gap: length.Length(v["w_2"]), FromWidths: true},
	}, 0)
	return t
}

var slopeFormula = formula.Record{
	Name: "slope of the gap, of three joints", Section: formula.SectionRun, Text: "(w_2 - w_0)/2",
	Remark: "; of any joints sum (n - n_m) (w - w_m) / S, S = sum (n - n_m)^2, n_m and w_m the means", Unit: "mm",
	Symbols: []formula.Symbol{three[0], three[2]}, Source: eHandbook + "4.1.4.1, from memory", Vary: 0.5, Example: formula.Values{"w_0": 0.42, "w_2": 0.33}, Result: -0.045,
	Code: "run.TrendOf", Function: func(v formula.Values) float64 { return trendOf(v).Slope.MM() },
}

var lineFormula = formula.Record{
	Name: "gap on the line, of three joints", Section: formula.SectionRun, Text: "(w_0 + w_1 + w_2)/3 + (w_2 - w_0)/2 (n - 1)",
	Remark: "; of any joints w_m + slope (n - n_m)", Unit: "mm",
	Symbols: append(three[:3:3], formula.Own("n", "1", "number of the joint")), Source: eHandbook + "4.1.4.1, from memory", Vary: 0.5,
	Example: formula.Values{"w_0": 0.42, "w_1": 0.36, "w_2": 0.33, "n": 2}, Result: 0.325,
	Code: "run.Trend.GapAt",
	Function: func(v formula.Values) float64 {
		n, ok := formula.Whole(v["n"])
		t := trendOf(v)
		return formula.Known(t.GapAt(n).MM(), ok)
	},
}

var slopeErrorFormula = formula.Record{
	Name: "its standard error", Section: formula.SectionRun, Text: "s/sqrt(2), s = sqrt((w_0 - 2 w_1 + w_2)^2/6)",
	Remark: ", s the scatter about the line over N - 2; wear is seen from two standard errors", Unit: "mm",
	Symbols: three, Source: eHandbook + "4.1.4.1, from memory", Vary: 0.5, Example: formula.Values{"w_0": 0.42, "w_1": 0.36, "w_2": 0.33}, Result: 0.00866,
	Code: "run.TrendOf", Function: func(v formula.Values) float64 { return trendOf(v).StandardError.MM() },
}

var wearFormula = formula.Record{
	Name: "diameter lost with each joint", Section: formula.SectionRun, Text: "-x tan a", Unit: "mm",
	Symbols: formula.Symbols("a", formula.Own("x", "mm", "slope of the gap for each joint")), Source: formula.Derived, Vary: 0.5,
	Example: formula.Values{"x": -0.005, "a": 14}, Result: 0.00125,
	Code: "run.Trend.Wear",
	Function: func(v formula.Values) float64 {
		t := Trend{Slope: length.Length(v["x"])}
		return t.Wear(joint.Angle(v["a"])).MM()
	},
}

var lookAgainFormula = formula.Record{
	Name: "joints until to look again", Section: formula.SectionRun, Text: "floor((c - c_lo - 1.645 u_c) / (2 k)), not below 0", Unit: "1",
	Symbols: formula.Symbols("c c_lo u_c", formula.Own("k", "mm", "diameter lost with each joint")), Source: formula.Follows, Vary: 0.5,
	Example: formula.Values{"c": 0.02, "c_lo": -0.05, "u_c": 0.03, "k": 0.002}, Result: 5,
	Code: "run.LookAgainAfter",
	Function: func(v formula.Values) float64 {
		n, ok := LookAgainAfter(length.Length(v["c"]), length.Length(v["c_lo"]), length.Length(v["u_c"]), length.Length(v["k"]))
		return formula.Known(float64(n), ok)
	},
}

var gapFormula = formula.Record{
	Name: "pulled gap that a play stands for", Section: formula.SectionRun, Text: "c / (2 tan a), not below 0", Unit: "mm",
	Symbols: formula.Symbols("c a"), Source: formula.Derived, Vary: 0.5, Example: formula.Values{"c": 0.2, "a": 14}, Result: 0.4011,
	Code: "run.Gaps",
	Function: func(v formula.Values) float64 {
		from, _ := Gaps(joint.Target{From: length.Length(v["c"]), To: 1}, joint.Angle(v["a"]))
		_, to := Gaps(joint.Target{From: -1, To: length.Length(v["c"])}, joint.Angle(v["a"]))
		return formula.Known(from.MM(), from == to)
	},
}

var (
	meanGap = formula.Own("w", "mm", "mean of the gaps")
	moving  = formula.Own("x", "mm", "mean moving range")
)

// chartOf is a chart of readings with a mean w and a mean moving range x.
func chartOf(v formula.Values) Chart {
	var readings []Reading
	for i := range LeastReadings {
		gap := v["w"] + v["x"]/2
		if i%2 == 1 {
			gap = v["w"] - v["x"]/2
		}
		readings = append(readings, Reading{Joint: i, Gap: length.Length(gap), FromWidths: true})
	}
	return ChartOf(readings)
}

var upperFormula = formula.Record{
	Name: "upper limit of a reading", Section: formula.SectionRun, Text: "w + 2.66 x", Remark: ", the lower with -", Unit: "mm",
	Symbols: []formula.Symbol{meanGap, moving}, Source: eHandbook + "6.3.2.2, from memory", Vary: 0.5, Example: formula.Values{"w": 0.2, "x": 0.085}, Result: 0.4261,
	Code: "run.ChartOf",
	Function: func(v formula.Values) float64 {
		c := chartOf(v)
		return formula.Known(c.Upper.MM(), (c.Upper+c.Lower-2*c.Mean).Rounded() == 0)
	},
}

var rangeFormula = formula.Record{
	Name: "upper limit of a moving range", Section: formula.SectionRun, Text: "3.267 x", Unit: "mm",
	Symbols: []formula.Symbol{moving}, Source: eHandbook + "6.3.2.2, from memory", Vary: 0.5, Example: formula.Values{"x": 0.085}, Result: 0.2777,
	Code: "run.ChartOf", Function: func(v formula.Values) float64 { return chartOf(v).RangeUpper.MM() },
}

var scatterFormula = formula.Record{
	Name: "standard deviation of a reading", Section: formula.SectionRun, Text: "s = x/1.128", Unit: "mm",
	Symbols: []formula.Symbol{moving}, Source: eHandbook + "6.3.2.2, from memory", Vary: 0.5, Example: formula.Values{"x": 0.085}, Result: 0.0754,
	Code: "run.ChartOf", Function: func(v formula.Values) float64 { return chartOf(v).Scatter.MM() },
}

var weightedFormula = formula.Record{
	Name: "weighted mean", Section: formula.SectionRun, Text: "z = 0.2 w + 0.8 z_0", Remark: ", z_0 that of the reading before, from the mean on", Unit: "mm",
	Symbols: []formula.Symbol{formula.Own("w", "mm", "reading"), formula.Own("z_0", "mm", "weighted mean before it")},
	Source:  eHandbook + "6.3.2.4, from memory", Vary: 0.5, Example: formula.Values{"w": 0.3, "z_0": 0.2}, Result: 0.22,
	Code: "run.ChartOf",
	Function: func(v formula.Values) float64 {
		return weighted([]Reading{{Gap: length.Length(v["w"])}}, length.Length(v["z_0"]), Weight)[0].MM()
	},
}

var meanUpperFormula = formula.Record{
	Name: "upper limit of the weighted mean", Section: formula.SectionRun, Text: "w + 3 x/1.128 sqrt(0.2/1.8)", Remark: ", which is w + s", Unit: "mm",
	Symbols: []formula.Symbol{meanGap, moving}, Source: eHandbook + "6.3.2.4, from memory", Vary: 0.5, Example: formula.Values{"w": 0.2, "x": 0.085}, Result: 0.2754,
	Code: "run.ChartOf",
	Function: func(v formula.Values) float64 {
		c := chartOf(v)
		return formula.Known(c.MeanUpper.MM(), (c.MeanUpper+c.MeanLower-2*c.Mean).Rounded() == 0)
	},
}
