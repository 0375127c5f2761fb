package recommend

import (
	"math"

	"snugtail/joint"
	"snugtail/joint/formula"
	"snugtail/joint/hold"
	"snugtail/joint/length"
	"snugtail/joint/setting"
)

// Formulas returns the records of this package's formulas, in the order of the
// model's page.
func Formulas() []*formula.Record {
	return []*formula.Record{
		&leastFormula, &mostLapFormula, &mostRootFormula, &TrialsFormula, &secondFormula, &HoldTermFormula, &LapTermFormula, &CostFormula, &breakEvenFormula,
	}
}

func size(x float64) length.Size { return length.Exactly(length.Length(x)) }

// windowFor is the window of a pair; what is not told of the template is wide.
func windowFor(v formula.Values) Window {
	s := joint.Setup{
		Cutter: joint.Cutter{Diameter: size(v["d"]), Angle: joint.Angle(v["a"])}, Bushing: joint.Bushing{Diameter: size(v["g"])},
		Template: joint.NewAllowance(size(v["K"])),
	}
	if t, ok := v["t_p"]; ok {
		s.PinBoard.Thickness = size(t)
	}
	if f, ok := v["F_p"]; ok {
		s.Template = joint.Template{Kind: joint.TwoPosition, Pitch: size(1000), Tail: joint.Pass{Opening: size(100)}, Pin: joint.Pass{Finger: size(f)}}
	}
	free, _ := joint.New(s)
	depth := free.DepthFor(length.Length(v["c*"]))
	j, _ := joint.New(s.AtDepth(depth))
	w, _, _ := windowOf(&j, depth)
	return w
}

var leastFormula = formula.Record{
	Name: "least difference of diameters, for the flare", Section: formula.SectionHold, Text: "d - g >= c* + 2 * 0.25 - K", Unit: "mm",
	Symbols: formula.Symbols("c* K"), Source: formula.Derived, Vary: 0.1, Example: formula.Values{"c*": 0.1, "K": 2.3622}, Result: -1.7622,
	Code: "recommend.Pairs",
	Function: func(v formula.Values) float64 {
		return windowFor(formula.Values{"c*": v["c*"], "K": v["K"], "d": 12.7, "a": 14, "g": 11.1125}).Least.MM()
	},
}

var mostLapFormula = formula.Record{
	Name: "most, for the lap", Section: formula.SectionHold, Text: "d - g <= (c* - K)/2 + (t_p - 3.175) tan a", Unit: "mm",
	Symbols: formula.Symbols("c* K t_p a"), Source: formula.Derived, Vary: 0.1, Example: formula.Values{"c*": 0.1, "K": 2.3622, "t_p": 19.05, "a": 14}, Result: 2.827,
	Code: "recommend.Pairs",
	Function: func(v formula.Values) float64 {
		w := windowFor(formula.Values{"c*": v["c*"], "K": v["K"], "t_p": v["t_p"], "a": v["a"], "d": 12.7, "g": 11.1125})
		return formula.Known(w.Most.MM(), w.MostKnown)
	},
}

var mostRootFormula = formula.Record{
	Name: "most, for the pin's root", Section: formula.SectionHold, Text: "d - g <= F_p - 3", Remark: ", and P - S_t - 3 for the tail's", Unit: "mm",
	Symbols: formula.Symbols("F_p"), Source: formula.Judgement, Vary: 0.5, Example: formula.Values{"F_p": 9.9314}, Result: 6.9314,
	Code: "recommend.Pairs",
	Function: func(v formula.Values) float64 {
		w := windowFor(formula.Values{"F_p": v["F_p"], "c*": 0.1, "a": 14, "d": 12.7, "g": 11.1125})
		return formula.Known(w.Most.MM(), w.MostKnown)
	},
}

// TrialsFormula is the record of Trials.
var TrialsFormula = formula.Record{
	Name: "test joints until one fits", Section: formula.SectionHold, Text: "T = 1 + (1 - p1) + (1 - p1)(1 - p2)", Remark: ", counted to the third", Unit: "1",
	Symbols: []formula.Symbol{formula.Own("p1", "1", "chance of the first"), formula.Own("p2", "1", "chance of the second, after one reading of the gap")},
	Source:  formula.Follows, Vary: 0.2, Example: formula.Values{"p1": 0.72, "p2": 0.95}, Result: 1.294,
	Code: "recommend.Trials", Function: func(v formula.Values) float64 { return Trials(v["p1"], v["p2"]) },
}

var secondFormula = formula.Record{
	Name: "chance of the second", Section: formula.SectionHold,
	Text:   "p2 = Phi(x/u) - Phi(-x/u), x = (c_hi - c_lo)/2, u = 2 tan a sqrt(0.075^2 + u_h^2)",
	Remark: ", the range's middle off by setting the depth and by reading the gap; where depths can't be set at will, the mean over half a step", Unit: "1",
	Symbols: formula.Symbols("c_hi c_lo a", formula.Own("u_h", "mm", "standard uncertainty of the depth as set")), Source: formula.Propagation, Vary: 0.2,
	Example: formula.Values{"c_hi": 0.2, "c_lo": -0.05, "a": 14, "u_h": 0.075}, Result: 0.9819,
	Code: "recommend.Pairs",
	Function: func(v formula.Values) float64 {
		q := asked{Query: &Query{exact: true, Target: joint.Target{From: length.Length(v["c_lo"]), To: length.Length(v["c_hi"])}}}
		j, _ := joint.New(joint.Setup{
			Cutter: joint.Cutter{Angle: joint.Angle(v["a"])}, Depth: joint.EqualDepth(length.Within(10, length.Length(2*v["u_h"]))),
		})
		return q.second(&j, nil, setting.Ladder{})
	},
}

// holding is the cost of what holds a share of the best.
func holding(share float64, cost Cost) Cost {
	o := option{hold: hold.Hold{Flare: length.Length(share)}, cost: cost}
	o.weigh(hold.Hold{Flare: 1})
	return o.cost
}

// HoldTermFormula is the record of Cost.Hold.
var HoldTermFormula = formula.Record{
	Name: "what less hold costs, in test joints", Section: formula.SectionHold, Text: "-log2(H/H_best)", Remark: ": half of the hold is worth one", Unit: "1",
	Symbols: []formula.Symbol{formula.Own("H/H_best", "1", "share of the hold of the pair that holds most")}, Source: formula.Judgement, Vary: 0.3,
	Example: formula.Values{"H/H_best": 0.415}, Result: 1.2688,
	Code: "recommend.Pairs", Function: func(v formula.Values) float64 { return holding(v["H/H_best"], Cost{}).Hold },
}

// LapTermFormula is the record of Cost.Lap.
var LapTermFormula = formula.Record{
	Name: "what less lap costs", Section: formula.SectionHold, Text: "max(0, 4.8 - lap)/1.6",
	Remark: "; likewise max(0, 3 - b)/1 of the edge pin, which is 0 for every pair that serves, since less than 3 mm refuses it", Unit: "1",
	Symbols: []formula.Symbol{formula.Own("lap", "mm", "wood left in front of the socket")}, Source: formula.Judgement, Vary: 0.3, Example: formula.Values{"lap": 4.096}, Result: 0.44,
	Code: "recommend.Pairs",
	Function: func(v formula.Values) float64 {
		s := joint.Setup{
			Cutter: joint.Cutter{Diameter: size(12.7), Angle: 14}, Depth: joint.EqualDepth(size(10)), PinBoard: joint.PinBoard{Thickness: size(10 + v["lap"])},
			Template: joint.NewAllowance(size(0)),
		}
		j, _ := joint.New(s)
		q := asked{Query: &Query{exact: true}}
		return q.costOf(&j, &setting.Best{}, setting.Ladder{}).Lap
	},
}

// CostFormula is the record of Cost.Total.
var CostFormula = formula.Record{
	Name: "cost of a pair", Section: formula.SectionHold, Text: "T + hold + lap + edge_pin", Remark: ", in test joints; exchange rates are judgement", Unit: "1",
	Symbols: []formula.Symbol{
		formula.Own("T", "1", "test joints until one fits"), formula.Own("hold", "1", "what less hold costs"),
		formula.Own("lap", "1", "what less lap costs"), formula.Own("edge_pin", "1", "what a weak edge pin costs: 0"),
	},
	Source: formula.Judgement, Vary: 0.3, Example: formula.Values{"T": 1.29, "hold": 1.27, "lap": 0.44, "edge_pin": 0.1}, Result: 3.1,
	Code: "recommend.Pairs",
	Function: func(v formula.Values) float64 {
		return holding(math.Exp2(-v["hold"]), Cost{Trials: v["T"], Lap: v["lap"], EdgePin: v["edge_pin"]}).Total
	},
}

var breakEvenFormula = formula.Record{
	Name: "what twice the hold is worth where two pairs cost the same", Section: formula.SectionHold, Text: "(x_1 - x_2) / (h_2 - h_1)", Unit: "1",
	Symbols: []formula.Symbol{
		formula.Own("x_1", "1", "cost of the first but for the hold"), formula.Own("x_2", "1", "of the second"),
		formula.Own("h_1", "1", "what the first's hold costs"), formula.Own("h_2", "1", "what the second's costs"),
	},
	Source: formula.Follows, Vary: 0.1, Example: formula.Values{"x_1": 1.29, "x_2": 1.21, "h_1": 0.1, "h_2": 1.37}, Result: 0.063,
	Code: "recommend.BreakEvenOf",
	Function: func(v formula.Values) float64 {
		b := BreakEvenOf(&Cost{Total: v["x_1"] + v["h_1"], Hold: v["h_1"]}, &Cost{Total: v["x_2"] + v["h_2"], Hold: v["h_2"]})
		return formula.Known(b.Worth, b.Known)
	},
}
