package seasons

import (
	"math"

	"snugtail/joint"
	"snugtail/joint/formula"
	"snugtail/joint/length"
)

// Formulas returns the records of this package's formulas, in the order of the
// model's page.
func Formulas() []*formula.Record {
	return []*formula.Record{&noseReachFormula, &UncertaintyFormula, &measuredFormula, &looserDepthFormula}
}

func size(x float64) length.Size { return length.Exactly(length.Length(x)) }

var noseReachFormula = formula.Record{
	Name: "how far the tail's nose reaches along y", Section: formula.SectionWood,
	Text: "min(t_t, f0 - ey + (g - d)/2 + max(0, h_t - h_p) tan a)", Unit: "mm",
	Symbols: formula.Symbols("t_t f0 ey g d h_t h_p a"), Source: formula.Derived, Vary: 0.1,
	Example: formula.Values{"t_t": 12, "f0": 12, "ey": 0.05, "g": 11.1125, "d": 12.7, "h_t": 11.1, "h_p": 10.9, "a": 14}, Result: 11.2061,
	Code: "seasons.CutBy",
	Function: func(v formula.Values) float64 {
		s := joint.Setup{
			Bushing: joint.Bushing{Diameter: size(v["g"]), OffsetY: size(v["ey"])}, TailBoard: joint.TailBoard{Thickness: size(v["t_t"])},
			Cutter: joint.Cutter{Diameter: size(v["d"]), Angle: joint.Angle(v["a"])}, Depth: joint.Depth{PinBoard: size(v["h_p"]), TailBoard: size(v["h_t"])},
			Template: joint.Template{Tail: joint.Pass{FingerReach: size(v["f0"])}},
		}
		reach := noseReach(&s)
		return formula.Known(reach.MM(), reach.Given)
	},
}

// UncertaintyFormula is the record of Play.Standard after movement.
var UncertaintyFormula = formula.Record{
	Name: "standard uncertainty of play after movement", Section: formula.SectionWood, Text: "sqrt(u_c^2 + u_wood^2)", Unit: "mm",
	Symbols: formula.Symbols("u_c", formula.Own("u_wood", "mm", "standard uncertainty from the wood")), Source: formula.Propagation, Vary: 0.5,
	Example: formula.Values{"u_c": 0.1064, "u_wood": 0.07}, Result: 0.1274,
	Code: "seasons.Question.Through",
	Function: func(v formula.Values) float64 {
		q := Question{Cut: Cut{Play: Play{Standard: length.Length(v["u_c"])}}}
		return q.play(0, length.Length(v["u_wood"]), 0, 0).Standard.MM()
	},
}

var measuredFormula = formula.Record{
	Name: "lower end of the range of a play that was measured", Section: formula.SectionWood, Text: "c - 1.959963984540054 t/2", Remark: ", the upper end with +", Unit: "mm",
	Symbols: formula.Symbols("c", formula.Own("t", "mm", "tolerance, a half-width; 0.05 where none is stated")), Source: formula.Guide + ", G.1.3, from memory", Vary: 0.5,
	Example: formula.Values{"c": 0.1, "t": 0.08}, Result: 0.0216,
	Code: "seasons.Measured",
	Function: func(v formula.Values) float64 {
		p := Measured(length.Within(length.Length(v["c"]), length.Length(v["t"])))
		return formula.Known(p.Low.MM(), math.Abs((p.Low+p.High-2*p.Play).MM()) < 1e-12)
	},
}

var looserDepthFormula = formula.Record{
	Name: "depth that cuts looser", Section: formula.SectionWood, Text: "h - x / (2 tan a)", Unit: "mm",
	Symbols: formula.Symbols("h a", formula.Own("x", "mm", "how much looser")), Source: formula.Derived, Vary: 0.3,
	Example: formula.Values{"h": 10.904, "x": 0.1, "a": 14}, Result: 10.7035,
	Code: "seasons.Question.Through",
	Function: func(v formula.Values) float64 {
		q := Question{Cut: Cut{DepthPinBoard: length.Length(v["h"]), PlayPerDepth: 2 * joint.Angle(v["a"]).Tan()}}
		h := q.looserDepth(length.Length(v["x"]))
		return formula.Known(h.MM(), h.Given)
	},
}

// Procedures returns what this package computes without a closed form.
func Procedures() []*formula.Procedure {
	return []*formula.Procedure{&humidityProcedure, &outermostProcedure}
}

var humidityProcedure = formula.Procedure{
	Name: "humidity for a moisture content", Section: formula.SectionWood,
	Text:   "the equation of the equilibrium moisture content solved by bisection, to 1e-6 %",
	Source: formula.Follows, Code: "seasons.HumidityOf",
}

var outermostProcedure = formula.Procedure{
	Name: "range of the play at the outermost tails", Section: formula.SectionWood,
	Text:   "what they lose at the ends of the mismatch's 95 %, or at no mismatch where that lies within: boards out of step only take play, so the two halves differ",
	Source: formula.Follows, Code: "seasons.Question.Through",
}
