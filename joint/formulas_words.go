package joint

import (
	"math"

	"snugtail/joint/formula"
)

// Procedures returns what this package computes without a closed form.
func Procedures() []*formula.Procedure {
	return []*formula.Procedure{&UncertaintyLaw, &sweepOfLimits, &seatChances, &measureFirst, &chanceBroken, &fitOf}
}

// UncertaintyLaw is the law of propagation as answers show it; UncertaintyFormula
// has its terms.
var UncertaintyLaw = formula.Procedure{
	Name: "law of propagation", Section: formula.SectionSure,
	Text:   "u_c^2 = sum (dc/dx_i)^2 u_i^2, each value the term of one source",
	Source: formula.Propagation, Code: "joint.Joint.Budget",
}

var sweepOfLimits = formula.Procedure{
	Name: "depths within the limits", Section: formula.SectionLimits,
	Text:   "each limit that depends on the depth, solved for it: the deepest that all of lap, cutting length, collet, tail board and bearing allow, and the shallowest that flare, bore, groove and bearing do",
	Source: formula.Follows, Code: "joint.Joint.DepthsWithin",
}

var chanceBroken = formula.Procedure{
	Name: "chance that a limit is broken in the wood", Section: formula.SectionVary,
	Text:   "Phi(-margin/u), u by the law of propagation, each size moved by its own standard uncertainty both ways",
	Source: formula.Propagation, Code: "joint.Joint.ChanceBroken",
}

var seatChances = formula.Procedure{
	Name: "chances that the seat is out", Section: formula.SectionVary,
	Text:   "the integral over the tail board's thickness t, which is normal, of Phi((bound - q(t))/u_q): q(t) has a kink where the nose is just whole",
	Source: formula.Follows, Code: "joint.Joint.SeatChances",
}

var measureFirst = formula.Procedure{
	Name: "what to measure first", Section: formula.SectionSure,
	Text:   "for each source, by how much the chance of a fit at the depth for the target rises where its term is what a measurement leaves",
	Source: formula.Judgement, Code: "joint.Joint.MeasureFirst",
}

var fitOf = formula.Procedure{
	Name: "fit", Section: formula.SectionFit,
	Text:   "play, its band and chances, gaps and seat of one joint, by the formulas of sections 4 to 8",
	Source: formula.Follows, Code: "joint.Joint.Fit",
}

// SettingFormula is the record of what setting the depth adds to a Budget.
var SettingFormula = formula.Record{
	Name: "what setting the depth adds to the uncertainty of play", Section: formula.SectionSure, Text: "2 tan a u_h",
	Remark: ", what setting the depth adds to the uncertainty of play", Unit: "mm",
	Symbols: formula.Symbols("a", unsure("u_h", "the depth as set")), Source: formula.Propagation, Vary: 0.5,
	Example: formula.Values{"a": 14, "u_h": 0.075}, Result: 0.0374,
	Code: "joint.Joint.Budget",
	Function: func(v formula.Values) float64 {
		return math.Sqrt(jointOf(plain(v, formula.Values{"h": 10})).Budget()[SourceDepth])
	},
}
