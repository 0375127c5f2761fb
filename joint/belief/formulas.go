package belief

import (
	"snugtail/joint"
	"snugtail/joint/formula"
	"snugtail/joint/length"
)

// Formulas returns the records of this package's formulas, in the order of the
// model's page.
func Formulas() []*formula.Record {
	return []*formula.Record{&shoulderFormula, &feelFormula}
}

// Procedures returns what this package, and package advise after it, computes
// without a closed form.
func Procedures() []*formula.Procedure {
	return []*formula.Procedure{
		&CauseProcedure, &OffsetProcedure, &NextDepthProcedure, &GainProcedure, &atProcedure, &feltProcedure, &sizeProcedure, &showsProcedure,
	}
}

var shoulderFormula = formula.Record{
	Name: "shoulder of a test joint, from its depths", Section: formula.SectionLearning, Text: "h_t - h_p",
	Remark: ", as measured, else the shoulder that stayed open, else as set", Unit: "mm",
	Symbols: formula.Symbols("h_t h_p"), Source: formula.Derived, Vary: 0.5, Example: formula.Values{"h_t": 11.1, "h_p": 10.9}, Result: 0.2,
	Code: "belief.Cut.ShoulderOpen",
	Function: func(v formula.Values) float64 {
		size := func(symbol string) length.Size { return length.Exactly(length.Length(v[symbol])) }
		c := Cut{Sight: Sight{Measured: Measured{DepthPinBoard: size("h_p"), DepthTailBoard: size("h_t")}}}
		return c.ShoulderOpen().MM()
	},
}

var feelFormula = formula.Record{
	Name: "play that hard blows stand for, the middle of their range", Section: formula.SectionLearning, Text: "(-i - 0.1)/2", Unit: "mm",
	Symbols: []formula.Symbol{formula.Own("i", "mm", "interference that bruises")}, Source: formula.Judgement, Vary: 0.3,
	Example: formula.Values{"i": 0.2}, Result: -0.15,
	Code: "belief.Feel.Play",
	Function: func(v formula.Values) float64 {
		play, ok := FeelHardBlows.Play(joint.Bands{Crush: length.Length(v["i"])})
		return formula.Known(play.MM(), ok)
	},
}

// CauseProcedure is how probable a cause is after all that was told.
var CauseProcedure = formula.Procedure{
	Name: "probability of a cause", Section: formula.SectionWrong,
	Text:   "P(cause | seen) = P(cause) * R, R how much likelier what was told is under the cause than on average over all causes",
	Source: formula.Follows, Code: "belief.Posterior.Causes",
}

// OffsetProcedure is what a set-up adds to the play of its stated sizes.
var OffsetProcedure = formula.Procedure{
	Name: "what test cuts teach", Section: formula.SectionLearning,
	Text:   "b: mean of its distribution after all that was told; u its standard uncertainty",
	Source: formula.Follows, Code: "belief.Posterior.Estimate",
}

// NextDepthProcedure is the depth for the next joint.
var NextDepthProcedure = formula.Procedure{
	Name: "next depth", Section: formula.SectionLearning,
	Text:   "h with the most of the distribution of c = K + b + 2 (d - g) - 2 h tan a between from and to",
	Source: formula.Follows, Code: "belief.Posterior.Best",
}

// GainProcedure is what a check is expected to tell.
var GainProcedure = formula.Procedure{
	Name: "what a check is expected to tell", Section: formula.SectionWrong,
	Text:   "expected drop of the entropy of the causes' probabilities, bits",
	Source: formula.Follows, Code: "belief.Posterior.Outlooks",
}

var atProcedure = formula.Procedure{
	Name: "play of a next joint", Section: formula.SectionLearning,
	Text:   "a normal distribution for each cause and each offset on a grid, weighed by their probabilities; mean, standard uncertainty, range and chance are those of the sum",
	Source: formula.Follows, Code: "belief.Posterior.At",
}

var feltProcedure = formula.Procedure{
	Name: "chance that a feel was misjudged", Section: formula.SectionLearning,
	Text:   "each reading is right, or with a chance of its own (judgement) tells nothing: the share of the second after all that was told",
	Source: formula.Follows, Code: "belief.Posterior.FeltWrong",
}

var sizeProcedure = formula.Procedure{
	Name: "size that a cause stands for", Section: formula.SectionWrong,
	Text:   "mean and range of the size under that cause, over its distribution after all that was told",
	Source: formula.Follows, Code: "belief.Posterior.SizeOf",
}

var showsProcedure = formula.Procedure{
	Name: "chance that a check shows something", Section: formula.SectionWrong,
	Text:   "under one cause, from how it changes what is seen",
	Source: formula.Judgement, Code: "belief.Posterior.Shows",
}
