package setting

import (
	"math"

	"snugtail/joint"
	"snugtail/joint/formula"
	"snugtail/joint/length"
)

// Formulas returns the records of this package's formulas, in the order of the
// model's page.
func Formulas() []*formula.Record {
	return []*formula.Record{&backlashMeanFormula, &backlashFormula, &stackFormula, &stackDepthFormula, &stepFormula}
}

func size(x float64) length.Size { return length.Exactly(length.Length(x)) }

var beta = formula.Own("beta", "mm", "lost motion of the adjuster")

var backlashMeanFormula = formula.Record{
	Name: "mean error of a depth come up to from either side", Section: formula.SectionSetting, Text: "beta/2", Unit: "mm",
	Symbols: []formula.Symbol{beta}, Source: formula.Guide + ", 4.3.7, from memory", Vary: 0.5, Example: formula.Values{"beta": 0.15}, Result: 0.075,
	Code: "setting.Ladder.Backlash",
	Function: func(v formula.Values) float64 {
		mean, _ := Ladder{backlash: v["beta"]}.Backlash()
		return mean.MM()
	},
}

var backlashFormula = formula.Record{
	Name: "standard uncertainty of such a depth", Section: formula.SectionSetting, Text: "beta/sqrt(12)", Remark: "; from one side always it is a constant, and none", Unit: "mm",
	Symbols: []formula.Symbol{beta}, Source: formula.Guide + ", 4.3.7, from memory", Vary: 0.5, Example: formula.Values{"beta": 0.15}, Result: 0.0433,
	Code: "setting.Ladder.Backlash",
	Function: func(v formula.Values) float64 {
		_, u := Ladder{backlash: v["beta"]}.Backlash()
		return u.MM()
	},
}

// stackOf is a stack of n blocks of one tolerance, each of its own length.
func stackOf(v formula.Values) (s Setting, ok bool) {
	n, ok := formula.Whole(v["n"])
	if !ok || n < 1 || n > MostBlocks {
		return Setting{}, false
	}
	l := Ladder{}
	for i := range n {
		l.blocks = append(l.blocks, length.Within(length.Length(int(1)<<i), length.Length(2*v["u"])))
	}
	return l.setting(stack{set: uint16(1<<n - 1)}, surface{of: Base}), true
}

var stackFormula = formula.Record{
	Name: "standard uncertainty of a stack of blocks", Section: formula.SectionSetting, Text: "u sqrt(n) + 0.01 (n - 1)",
	Remark: ", 0.01 mm of dust in each joint (judgement)", Unit: "mm",
	Symbols: formula.Symbols("n", formula.Own("u", "mm", "standard uncertainty of one block")), Source: formula.Propagation, Vary: 0.5,
	Example: formula.Values{"u": 0.025, "n": 3}, Result: 0.0633,
	Code: "setting.Ladder.Around",
	Function: func(v formula.Values) float64 {
		s, ok := stackOf(v)
		return formula.Known(s.Uncertainty.MM(), ok)
	},
}

var stackDepthFormula = formula.Record{
	Name: "depth of a stack under the bushing's tip", Section: formula.SectionSetting, Text: "x - (T - L)", Remark: "; under the base x - T", Unit: "mm",
	Symbols: formula.Symbols("T L", formula.Own("x", "mm", "height of the stack")), Source: formula.Follows, Vary: 0.1,
	Example: formula.Values{"x": 12, "T": 8, "L": 7}, Result: 11,
	Code: "setting.New",
	Function: func(v formula.Values) float64 {
		l := New(joint.Router{GaugeBlocks: []length.Size{size(v["x"])}}, joint.Template{Thickness: size(v["T"])}, joint.Bushing{Barrel: size(v["L"])})
		return l.setting(l.stacks[0], l.surfaces[1]).Depth.MM()
	},
}

var stepFormula = formula.Record{
	Name: "depth that can be set below a wanted one", Section: formula.SectionSetting, Text: "h_0 + floor((h - h_0)/x) x", Remark: ", or one step more", Unit: "mm",
	Symbols: []formula.Symbol{
		formula.Own("h", "mm", "depth that is wanted"), formula.Own("h_0", "mm", "depth the adjuster stands at"), formula.Own("x", "mm", "its step"),
	},
	Source: formula.Follows, Vary: 0.02, Example: formula.Values{"h": 10.954, "h_0": 10.3, "x": 0.25}, Result: 10.8,
	Code: "setting.Ladder.Around",
	Function: func(v formula.Values) float64 {
		all := New(joint.Router{AdjusterStep: size(v["x"])}, joint.Template{}, joint.Bushing{}).At(length.Length(v["h_0"])).
			Around(0, 100, length.Length(v["h"]))
		below := math.NaN()
		for i := range all {
			if all[i].Depth <= length.Length(v["h"]) {
				below = all[i].Depth.MM()
			}
		}
		return below
	},
}

// Procedures returns what this package computes without a closed form.
func Procedures() []*formula.Procedure {
	return []*formula.Procedure{&bestProcedure, &spacingProcedure}
}

var bestProcedure = formula.Procedure{
	Name: "depth to set", Section: formula.SectionSetting,
	Text:   "of the depths that can be set, that with the best chance; stacks of fewer pieces within half a percent of it, and the shallower of two alike, come first",
	Source: formula.Judgement, Code: "setting.Ladder.Best",
}

var spacingProcedure = formula.Procedure{
	Name: "how far depths that can be set are apart", Section: formula.SectionSetting,
	Text:   "the next above less the next below; where there is but one, twice how far it is off",
	Source: formula.Follows, Code: "setting.Ladder.Spacing",
}
