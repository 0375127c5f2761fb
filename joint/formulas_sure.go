package joint

import (
	"maps"
	"math"

	"snugtail/joint/formula"
	"snugtail/joint/length"
)

// Records of sure.go, best.go and vary.go.

func sureFormulas() []*formula.Record {
	return []*formula.Record{
		&standardFormula, &unknownHistoryFormula, &perAngleFormula, &perAngleUncertaintyFormula,
		&UncertaintyFormula, &SettingFormula, &onePieceUncertaintyFormula, &provenUncertaintyFormula, &lastingFormula, &shareFormula,
		&normalFormula, &distributionFormula, &densityFormula, &unknownDistributionFormula, &unknownMeanFormula, &unknownSDFormula,
		&rangeFormula, &inTargetFormula, &bandFormula, &crushBandFormula, &chanceAtFormula, &BestDepthFormula,
	}
}

func varyFormulas() []*formula.Record {
	return []*formula.Record{&lapChanceFormula, &deepestForLapFormula, &ridgeChanceFormula, &anyFormula}
}

// unsure returns the symbol of a standard uncertainty.
func unsure(name, of string) formula.Symbol {
	return formula.Own(name, "mm", "standard uncertainty of "+of)
}

var standardFormula = formula.Record{
	Name: "standard uncertainty of a stated size", Section: formula.SectionSure, Text: "u = t/2",
	Remark: ", t the half-width stated or, where none is, the default (judgement)", Unit: "mm",
	Symbols: []formula.Symbol{formula.Own("t", "mm", "tolerance, a half-width")}, Source: formula.Judgement, Vary: 0.5,
	Example: formula.Values{"t": 0.05}, Result: 0.025,
	Code:     "length.Size.StandardUncertainty",
	Function: func(v formula.Values) float64 { return length.Size{}.StandardUncertainty(length.Length(v["t"])) },
}

var unknownHistoryFormula = formula.Record{
	Name: "variance of the diameter of a cutter of unknown history", Section: formula.SectionSure,
	Text:   "0.75 (0.025^2 + (0.25 * 0.14)^2) + 0.25 (0.08^2 + (0.75 * 0.14)^2)",
	Remark: ": as new, or one in four reground by 0.14 mm", Unit: "mm^2",
	Source: formula.Judgement, Example: formula.Values{}, Result: 0.00574375,
	Code:     "joint.Cutter.DiameterVariance",
	Function: func(formula.Values) float64 { c := Cutter{Condition: ConditionUnknown}; return c.DiameterVariance() },
}

var perAngleFormula = formula.Record{
	Name: "play for each degree of angle", Section: formula.SectionSure, Text: "2 |h| / cos(a)^2 * pi/180", Unit: "mm/deg",
	Symbols: formula.Symbols("h a"), Source: formula.Derived, Vary: 0.5, Example: formula.Values{"h": 10.904, "a": 14}, Result: 0.4043,
	Code:     "joint.Cutter.PlayPerAngle",
	Function: func(v formula.Values) float64 { c := jointOf(v).setup.Cutter; return c.PlayPerAngle(v["h"]) },
}

var perAngleUncertaintyFormula = formula.Record{
	Name: "standard uncertainty of the angle", Section: formula.SectionSure, Text: "t_a/2", Remark: ", 0.3 deg where none is stated", Unit: "deg",
	Symbols: []formula.Symbol{formula.Own("t_a", "deg", "tolerance, a half-width")}, Source: formula.Judgement, Vary: 0.5,
	Example: formula.Values{"t_a": 0.5}, Result: 0.25,
	Code: "joint.Cutter.AngleUncertainty",
	Function: func(v formula.Values) float64 {
		c := jointOf(formula.Values{"u_a": v["t_a"] / 2}).setup.Cutter
		return c.AngleUncertainty()
	},
}

// uncertainty is that of a joint's play.
func uncertainty(v formula.Values) float64 { return math.Sqrt(jointOf(v).Budget().Total()) }

// UncertaintyFormula is the record of Joint.Budget for a two-position template.
// Answers show its general form.
var UncertaintyFormula = formula.Record{
	Name: "standard uncertainty of play", Section: formula.SectionSure,
	Text: "u_c = sqrt((2 u_d)^2 + (2 u_g)^2 + u_S_t^2 + u_F_p^2 + (2 tan a u_h)^2 + (2 h / cos(a)^2 * pi/180 u_a)^2)", Unit: "mm",
	Symbols: formula.Symbols("h a", unsure("u_d", "d"), unsure("u_g", "g"), unsure("u_S_t", "S_t"), unsure("u_F_p", "F_p"), unsure("u_h", "h"),
		formula.Own("u_a", "deg", "standard uncertainty of a")),
	Source: formula.Propagation, Vary: 0.5,
	Example: formula.Values{"h": 10.904, "a": 14, "u_d": 0.025, "u_g": 0.025, "u_S_t": 0.025, "u_F_p": 0.025, "u_h": 0.075, "u_a": 0.15}, Result: 0.1064,
	Code:     "joint.Joint.Budget",
	Function: func(v formula.Values) float64 { return uncertainty(plain(v, nil)) },
}

var onePieceUncertaintyFormula = formula.Record{
	Name: "standard uncertainty of a one-piece template's allowance", Section: formula.SectionSure, Text: "u_K = sqrt((2 u_S)^2 + u_P^2)",
	Remark: ": one opening cut twice", Unit: "mm",
	Symbols: []formula.Symbol{unsure("u_S", "S"), unsure("u_P", "P")}, Source: formula.Propagation, Vary: 0.5,
	Example: formula.Values{"u_S": 0.025, "u_P": 0.01}, Result: 0.051,
	Code: "joint.Template.Uncertainties",
	Function: func(v formula.Values) float64 {
		return math.Sqrt(jointOf(formula.Values{"S": 0, "P": 0, "u_S": v["u_S"], "u_P": v["u_P"]}).Budget()[SourceTemplate])
	},
}

var provenUncertaintyFormula = formula.Record{
	Name: "standard uncertainty of the allowance of a joint that fitted", Section: formula.SectionSure, Text: "u_K = sqrt(u_p^2 + (2 tan a u_h)^2)",
	Remark: ", and what bushing and cutter do not share with it", Unit: "mm",
	Symbols: formula.Symbols("a", unsure("u_p", "the play that its feel stands for"), unsure("u_h", "its depth")), Source: formula.Propagation, Vary: 0.5,
	Example: formula.Values{"u_p": 0.05, "a": 14, "u_h": 0.075}, Result: 0.0624,
	Code: "joint.Template.Uncertainties",
	Function: func(v formula.Values) float64 {
		same := Cutter{ID: "c", Angle: Angle(v["a"])}
		t := Template{Kind: Proven, Joint: &ProvenJoint{
			Cutter: same, Bushing: Bushing{ID: "b"},
			Play: length.Within(0, length.Length(2*v["u_p"])), Depth: length.Within(0, length.Length(2*v["u_h"])),
		}}
		u, _ := t.Uncertainties(&same, &Bushing{ID: "b"})
		return u
	},
}

var lastingFormula = formula.Record{
	Name: "variance that lasts from joint to joint", Section: formula.SectionSure, Text: "u_c^2 - (2 tan a u_h)^2", Unit: "mm^2",
	Symbols: formula.Symbols("u_c a", unsure("u_h", "h")), Source: formula.Propagation, Vary: 0.3,
	Example: formula.Values{"u_c": 0.1057, "a": 14, "u_h": 0.075}, Result: 0.0098,
	Code: "joint.Budget.Lasting",
	Function: func(v formula.Values) float64 {
		depth := square(2 * Angle(v["a"]).Tan() * v["u_h"])
		return Budget{SourceDepth: depth, SourceBushing: square(v["u_c"]) - depth}.Lasting()
	},
}

var shareFormula = formula.Record{
	Name: "share of one source", Section: formula.SectionSure, Text: "u_i^2/u_c^2", Remark: ", u_i its term: says what to measure first", Unit: "1",
	Symbols: formula.Symbols("u_c", formula.Own("u_i", "mm", "term of one source")), Source: formula.Propagation, Vary: 0.3,
	Example: formula.Values{"u_i": 0.05, "u_c": 0.1}, Result: 0.25,
	Code: "joint.Budget.Share",
	Function: func(v formula.Values) float64 {
		of, all := square(v["u_i"]), square(v["u_c"])
		return Budget{SourceBushing: of, SourceAngle: all - of}.Share(SourceBushing)
	},
}

var (
	atPlay  = formula.Own("x", "mm", "a play")
	restOf  = unsure("u", "play but for the cutter's diameter")
	history = "; 0.25 the chance of a reground cutter, 2 * 0.14 mm the play that it loses"
)

var normalFormula = formula.Record{
	Name: "standard normal distribution", Section: formula.SectionSure, Text: "Phi(z)", Unit: "1",
	Symbols: []formula.Symbol{formula.Own("z", "1", "standard deviations from the mean")}, Source: formula.Guide + ", C.2.14, from memory", Vary: 0.9,
	Example: formula.Values{"z": 1.645}, Result: 0.95,
	Code: "joint.NormalCDF", Function: func(v formula.Values) float64 { return NormalCDF(v["z"]) },
}

func spreadOf(v formula.Values) Spread { return NormalSpread(v["c"], v["u_c"]) }

var distributionFormula = formula.Record{
	Name: "chance of at most some play", Section: formula.SectionSure, Text: "Phi((x - c)/u_c)", Unit: "1",
	Symbols: formula.Symbols("c u_c", atPlay), Source: formula.Guide + ", G.2.2, from memory", Vary: 0.9,
	Example: formula.Values{"x": 0.2, "c": 0.1, "u_c": 0.1}, Result: 0.8413,
	Code: "joint.Spread.CDF", Function: func(v formula.Values) float64 { return spreadOf(v).CDF(v["x"]) },
}

var densityFormula = formula.Record{
	Name: "density of play", Section: formula.SectionSure, Text: "exp(-z^2/2) / (u_c sqrt(2 pi)), z = (x - c)/u_c", Unit: "1/mm",
	Symbols: formula.Symbols("c u_c", atPlay), Source: formula.Guide + ", C.2.14, from memory", Vary: 0.5,
	Example: formula.Values{"x": 0.2, "c": 0.1, "u_c": 0.1}, Result: 2.4197,
	Code: "joint.Spread.Density", Function: func(v formula.Values) float64 { return spreadOf(v).Density(v["x"]) },
}

// unknownSpread is that of a cutter of unknown history about play 0.
func unknownSpread(u float64) Spread {
	j := Joint{setup: Setup{Cutter: Cutter{Condition: ConditionUnknown}}}
	return j.spread(Budget{SourceBushing: square(u), SourceCutter: 4 * j.setup.Cutter.DiameterVariance()}, false)
}

var unknownDistributionFormula = formula.Record{
	Name: "the same, of a cutter of unknown history", Section: formula.SectionSure,
	Text:   "0.75 Phi((x - c)/sqrt(u^2 + 0.05^2)) + 0.25 Phi((x - c + 0.28)/sqrt(u^2 + 0.16^2))",
	Remark: history, Unit: "1", Symbols: formula.Symbols("c", atPlay, restOf), Source: formula.Judgement, Vary: 0.5,
	Example: formula.Values{"x": 0.2, "c": 0.1, "u": 0.09}, Result: 0.8709,
	Code: "joint.Joint.Spread", Function: func(v formula.Values) float64 { return unknownSpread(v["u"]).CDF(v["x"] - v["c"]) },
}

var unknownMeanFormula = formula.Record{
	Name: "expected play of a cutter of unknown history", Section: formula.SectionSure, Text: "c - 0.25 * 2 * 0.14", Unit: "mm",
	Symbols: formula.Symbols("c"), Source: formula.Judgement, Vary: 0.5, Example: formula.Values{"c": 0.1}, Result: 0.03,
	Code: "joint.Spread.Mean", Function: func(v formula.Values) float64 { return unknownSpread(0.1).shifted(v["c"]).Mean() },
}

var unknownSDFormula = formula.Record{
	Name: "standard uncertainty of play for a cutter of unknown history", Section: formula.SectionSure, Text: "sqrt(u^2 + 0.75 * 0.05^2 + 0.25 * 0.16^2 + 0.75 * 0.25 * 0.28^2)",
	Remark: ", the same as with four times the variance of the diameter", Unit: "mm",
	Symbols: []formula.Symbol{restOf}, Source: formula.Propagation, Vary: 0.5, Example: formula.Values{"u": 0.09}, Result: 0.1763,
	Code: "joint.Spread.SD", Function: func(v formula.Values) float64 { return unknownSpread(v["u"]).SD() },
}

var rangeFormula = formula.Record{
	Name: "lower end of the 95 % range", Section: formula.SectionSure, Text: "c - 1.959963984540054 u_c", Remark: ", the upper end with +", Unit: "mm",
	Symbols: formula.Symbols("c u_c"), Source: formula.Guide + ", G.1.3, from memory", Vary: 0.5, Example: formula.Values{"c": 0.1, "u_c": 0.1}, Result: -0.096,
	Code: "joint.Spread.Range95",
	Function: func(v formula.Values) float64 {
		low, high := spreadOf(v).Range95()
		return known(length.Length(low), math.Abs(low+high-2*v["c"]) < 1e-12)
	},
}

var inTargetFormula = formula.Record{
	Name: "chance of a fit", Section: formula.SectionSure, Text: "Phi((c_hi - c)/u_c) - Phi((c_lo - c)/u_c)", Unit: "1",
	Symbols: formula.Symbols("c_hi c_lo c u_c"), Source: formula.Guide + ", G.2.2, from memory", Vary: 0.5,
	Example: formula.Values{"c_hi": 0.2, "c_lo": -0.05, "c": 0.1, "u_c": 0.1}, Result: 0.7745,
	Code: "joint.InTarget", Function: func(v formula.Values) float64 { return InTarget(spreadOf(v), targetOf(v)) },
}

func targetOf(v formula.Values) Target {
	return Target{Play: length.Length(v["c*"]), From: length.Length(v["c_lo"]), To: length.Length(v["c_hi"])}
}

var bandFormula = formula.Record{
	Name: "chance of a hand fit", Section: formula.SectionSure, Text: "Phi((0.2 - c)/u_c) - Phi((-0.05 - c)/u_c)", Remark: "; likewise the other bands between their edges", Unit: "1",
	Symbols: formula.Symbols("c u_c"), Source: formula.Judgement, Vary: 0.5, Example: formula.Values{"c": 0.1, "u_c": 0.1}, Result: 0.7745,
	Code:     "joint.Probabilities",
	Function: func(v formula.Values) float64 { return Probabilities(spreadOf(v), Bands{Crush: DefaultCrush})[HandFit] },
}

var crushBandFormula = formula.Record{
	Name: "chance that it will not close, the crush limit unsure", Section: formula.SectionSure,
	Text:   "(Phi((-i - sqrt(3) s - c)/u_c) + 4 Phi((-i - c)/u_c) + Phi((-i + sqrt(3) s - c)/u_c))/6",
	Remark: ", none of the three limits above -0.05: three points of Gauss and Hermite", Unit: "1",
	Symbols: formula.Symbols("c u_c", formula.Own("i", "mm", "interference that bruises"), formula.Own("s", "mm", "its standard uncertainty")), Source: formula.Memory, Vary: 0.2,
	Example: formula.Values{"c": -0.1, "u_c": 0.1, "i": 0.2, "s": 0.03}, Result: 0.1691,
	Code: "joint.Probabilities",
	Function: func(v formula.Values) float64 {
		return Probabilities(spreadOf(v), Bands{Crush: length.Length(v["i"]), CrushSD: length.Length(v["s"])})[WillNotClose]
	},
}

var chanceAtFormula = formula.Record{
	Name: "chance of a fit at a depth", Section: formula.SectionSure,
	Text: "Phi((c_hi - c)/u_K) - Phi((c_lo - c)/u_K), c = K + 2 (d - g) - 2 h tan a", Remark: ", u_K standing for all of u_c", Unit: "1",
	Symbols: formula.Symbols("c_hi c_lo K d g h a", unsure("u_K", "K")), Source: formula.Follows, Vary: 0.02,
	Example: formula.Values{"c_hi": 0.2, "c_lo": -0.05, "K": 2.3622, "d": 12.7, "g": 11.1125, "h": 10.904, "a": 14, "u_K": 0.1}, Result: 0.7747,
	Code: "joint.Joint.ChanceAt",
	Function: func(v formula.Values) float64 {
		j := exactBut(v)
		return j.ChanceAt(length.Length(v["h"]), targetOf(v))
	},
}

// exactBut is a joint of which only the allowance is unsure.
func exactBut(v formula.Values) *Joint {
	all := formula.Values{"u_d": 0, "u_g": 0, "u_h": 0, "u_a": 0}
	maps.Copy(all, v)
	return jointOf(all)
}

// BestDepthFormula is the record of Joint.BestDepth where play is normal.
var BestDepthFormula = formula.Record{
	Name: "depth with the best chance", Section: formula.SectionSetting, Text: "h_m = h* - (c_m - c*) / (2 tan a), h* = (K + 2 (d - g) - c*) / (2 tan a), c_m = (c_lo + c_hi)/2",
	Remark: ": that of the range's middle; a little shallower for a cutter of unknown history", Unit: "mm",
	Symbols: formula.Symbols("K d g a c* c_lo c_hi"), Source: formula.Follows, Vary: 0.02,
	Example: formula.Values{"K": 2.3622, "d": 12.7, "g": 11.1125, "a": 14, "c*": 0.1, "c_lo": -0.05, "c_hi": 0.2}, Result: 10.9538,
	Code: "joint.Joint.BestDepth", Function: func(v formula.Values) float64 { return exactBut(v).BestDepth(targetOf(v)).MM() },
}

var lapChanceFormula = formula.Record{
	Name: "chance of too little lap", Section: formula.SectionVary, Text: "Phi((x - (t_p - h_p)) / sqrt(u_t_p^2 + u_h_p^2))", Unit: "1",
	Symbols: formula.Symbols("t_p h_p", formula.Own("x", "mm", "least lap"), unsure("u_t_p", "t_p"), unsure("u_h_p", "h_p")), Source: formula.Propagation, Vary: 0.02,
	Example: formula.Values{"x": 3.175, "t_p": 18.6, "h_p": 14.9, "u_t_p": 0.25, "u_h_p": 0.075}, Result: 0.0221,
	Code: "joint.Joint.LapChance",
	Function: func(v formula.Values) float64 {
		p, ok := jointOf(v).LapChance(length.Length(v["x"]))
		return known(length.Length(p), ok)
	},
}

var deepestForLapFormula = formula.Record{
	Name: "deepest cut that keeps a chance of too little lap", Section: formula.SectionVary, Text: "t_p - x - z sqrt(u_t_p^2 + u_h_p^2)",
	Remark: ", z the quantile of that chance: 2.326 for 1 %", Unit: "mm",
	Symbols: formula.Symbols("t_p", formula.Own("x", "mm", "least lap"), formula.Own("z", "1", "quantile"), unsure("u_t_p", "t_p"), unsure("u_h_p", "h_p")), Source: formula.Propagation, Vary: 0.1,
	Example: formula.Values{"t_p": 18.6, "x": 3.175, "z": 2.326, "u_t_p": 0.25, "u_h_p": 0.075}, Result: 14.8179,
	Code: "joint.Joint.DeepestForLap",
	Function: func(v formula.Values) float64 {
		all := formula.Values{"h_p": 10}
		maps.Copy(all, v)
		return known(jointOf(all).DeepestForLap(length.Length(v["x"]), NormalCDF(-v["z"])))
	},
}

var ridgeChanceFormula = formula.Record{
	Name: "chance of a ridge on a thick side", Section: formula.SectionVary,
	Text:   "Phi((t_t - (f0 + g/2 + d/2 - h tan a)) / sqrt(u_t_t^2 + u_f0^2 + u_g^2/4 + u_d^2/4 + (tan a u_h)^2))",
	Remark: ", the angle taken as exact", Unit: "1",
	Symbols: formula.Symbols("t_t f0 g d h a", unsure("u_t_t", "t_t"), unsure("u_f0", "f0"), unsure("u_g", "g"), unsure("u_d", "d"), unsure("u_h", "h")),
	Source:  formula.Propagation, Vary: 0.01,
	Example: formula.Values{"t_t": 21.1, "f0": 12, "g": 11.1125, "d": 12.7, "h": 10.904, "a": 14, "u_t_t": 0.1, "u_f0": 0.05, "u_g": 0.025, "u_d": 0.025, "u_h": 0.075},
	Result:  0.2226, Code: "joint.Joint.ChanceBroken",
	Function: func(v formula.Values) float64 {
		p, ok := jointOf(plain(v, formula.Values{"u_a": 0})).ChanceBroken(LimitTailBoardCleared)
		return known(length.Length(p), ok)
	},
}

var anyFormula = formula.Record{
	Name: "chance of any bad board among n", Section: formula.SectionVary, Text: "1 - (1 - p)^n", Remark: ", of boards that err apart; p for boards from one planing; n p are expected", Unit: "1",
	Symbols: formula.Symbols("n", formula.Own("p", "1", "chance of one")), Source: formula.Follows, Vary: 0.3,
	Example: formula.Values{"p": 0.0221, "n": 8}, Result: 0.1637,
	Code: "joint.Lot.ChanceOfAny",
	Function: func(v formula.Values) float64 {
		n := math.Round(v["n"])
		if n != v["n"] {
			return math.NaN()
		}
		return Apart.ChanceOfAny(v["p"], int(n))
	},
}
