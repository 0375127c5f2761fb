package joint

import (
	"snugtail/joint/formula"
	"snugtail/joint/length"
)

// Records of limits.go and section.go: how far a set-up stays within each limit.
// Where the margins come from is said beside the constants.

func limitFormulas() []*formula.Record {
	return []*formula.Record{
		&lapFormula, &flareClearanceFormula,
		&lapMarginFormula, &flareMarginFormula, &boreMarginFormula, &cuttingMarginFormula, &barrelMarginFormula,
		&gripMarginFormula, &grooveMarginFormula, &pinRootMarginFormula, &tailRootMarginFormula, &edgeMarginFormula,
		&clearedMarginFormula, &fingerMarginFormula, &bearingMarginFormula,
		&tailLeftMarginFormula, &enteredMarginFormula, &seatsMarginFormula,
	}
}

// marginOf makes a function of the margin of a limit.
func marginOf(code LimitCode) func(formula.Values) float64 {
	return func(v formula.Values) float64 {
		l := jointOf(v).LimitOf(code)
		return known(l.Margin, l.Known)
	}
}

var lapFormula = formula.Record{
	Name: "lap", Section: formula.SectionLimits, Text: "t_p - h_p", Unit: "mm",
	Symbols: formula.Symbols("t_p h_p"), Source: formula.Follows, Vary: 0.5, Example: formula.Values{"t_p": 19.05, "h_p": 10.904}, Result: 8.146,
	Code: "joint.Joint.Lap", Function: func(v formula.Values) float64 { return known(jointOf(v).Lap()) },
}

var flareClearanceFormula = formula.Record{
	Name: "flare clear of the template", Section: formula.SectionLimits, Text: "g/2 - (d/2 + sqrt(ex^2 + ey^2) - h tan a)",
	Remark: ", at the wood's face", Unit: "mm",
	Symbols: formula.Symbols("g d ex ey h a"), Source: formula.Derived, Vary: 0.5,
	Example: formula.Values{"g": 11.1125, "d": 12.7, "ex": 0.03, "ey": 0.04, "h": 10.904, "a": 14}, Result: 1.8749,
	Code:     "joint.Joint.FlareClearance",
	Function: func(v formula.Values) float64 { return jointOf(v).FlareClearance(length.Length(v["h"])).MM() },
}

var lapMarginFormula = formula.Record{
	Name: "limit: lap", Section: formula.SectionLimits, Text: "t_p - h_p - 3.175", Remark: "; a caution below 4.8 mm of lap (judgement)", Unit: "mm",
	Symbols: formula.Symbols("t_p h_p"), Source: formula.CommonPractice, Vary: 0.5, Example: formula.Values{"t_p": 19.05, "h_p": 10.904}, Result: 4.971,
	Code: "joint.Joint.LimitOf", Function: marginOf(LimitLap),
}

var flareMarginFormula = formula.Record{
	Name: "limit: flare clear of the template", Section: formula.SectionLimits, Text: "g/2 - (d/2 + sqrt(ex^2 + ey^2) - min(h_p, h_t) tan a) - 0.25",
	Remark: "; 0.4 mm is comfortable", Unit: "mm",
	Symbols: formula.Symbols("g d ex ey h_p h_t a"), Source: formula.Judgement, Vary: 0.3,
	Example: formula.Values{"g": 11.1125, "d": 12.7, "ex": 0.03, "ey": 0.04, "h_p": 10.904, "h_t": 11, "a": 14}, Result: 1.6249,
	Code: "joint.Joint.LimitOf", Function: marginOf(LimitFlareInTemplate),
}

var boreMarginFormula = formula.Record{
	Name: "limit: cutter clear of the bore", Section: formula.SectionLimits,
	Text:   "b_g - 2 * 0.5 - max(d - 2 u tan a, d_s) - 2 sqrt(ex^2 + ey^2), u = h_p + T - L",
	Remark: ", where the flank passes the barrel's end, u not above the cutting length; h_p the shallower depth", Unit: "mm",
	Symbols: formula.Symbols("d a h_p T L ex ey",
		formula.Symbol{Name: "b_g", Unit: "mm", Meaning: "bore of the bushing"}, formula.Symbol{Name: "d_s", Unit: "mm", Meaning: "neck, or shank without one"}),
	Source: formula.Judgement, Vary: 0.1,
	Example: formula.Values{"b_g": 10.3, "d": 12.7, "a": 14, "h_p": 10.904, "T": 8, "L": 7, "d_s": 6.35, "ex": 0.03, "ey": 0.04}, Result: 2.436,
	Code: "joint.Joint.LimitOf",
	Function: func(v formula.Values) float64 {
		return marginOf(LimitCutterInBushing)(plain(v, formula.Values{"h_t": v["h_p"], "CL": 50}))
	},
}

var cuttingMarginFormula = formula.Record{
	Name: "limit: cutting length", Section: formula.SectionLimits, Text: "CL - h", Unit: "mm",
	Symbols: formula.Symbols("CL h"), Source: formula.Follows, Vary: 0.5, Example: formula.Values{"CL": 12.7, "h": 10.904}, Result: 1.796,
	Code: "joint.Joint.LimitOf", Function: marginOf(LimitCuttingLength),
}

var barrelMarginFormula = formula.Record{
	Name: "limit: barrel above the wood", Section: formula.SectionLimits, Text: "T - 0.5 - L", Unit: "mm",
	Symbols: formula.Symbols("T L"), Source: formula.Judgement, Vary: 0.5, Example: formula.Values{"T": 8, "L": 7}, Result: 0.5,
	Code: "joint.Joint.LimitOf", Function: marginOf(LimitBarrelAboveWood),
}

var gripMarginFormula = formula.Record{
	Name: "limit: shank in the collet", Section: formula.SectionLimits, Text: "OL - T - h_p - H_c - 20", Unit: "mm",
	Symbols: formula.Symbols("T h_p",
		formula.Symbol{Name: "OL", Unit: "mm", Meaning: "overall length of the cutter"}, formula.Symbol{Name: "H_c", Unit: "mm", Meaning: "collet's nose above the base"}),
	Source: formula.Judgement, Vary: 0.5, Example: formula.Values{"OL": 60, "T": 8, "h_p": 10.904, "H_c": 12}, Result: 9.096,
	Code: "joint.Joint.LimitOf", Function: marginOf(LimitColletGrip),
}

var grooveMarginFormula = formula.Record{
	Name: "limit: groove no deeper than the cut", Section: formula.SectionLimits, Text: "h_p - m_g", Unit: "mm",
	Symbols: formula.Symbols("h_p", formula.Symbol{Name: "m_g", Unit: "mm", Meaning: "depth of the groove"}),
	Source:  formula.Follows, Vary: 0.5, Example: formula.Values{"h_p": 10.904, "m_g": 6}, Result: 4.904,
	Code: "joint.Joint.LimitOf", Function: marginOf(LimitGrooveDepth),
}

var pinRootMarginFormula = formula.Record{
	Name: "limit: pin at its root", Section: formula.SectionLimits, Text: "F_p + g - d - 3", Unit: "mm",
	Symbols: formula.Symbols("F_p g d"), Source: formula.Judgement, Vary: 0.5, Example: formula.Values{"F_p": 9.9314, "g": 11.1125, "d": 12.7}, Result: 5.3439,
	Code: "joint.Joint.LimitOf", Function: marginOf(LimitPinRoot),
}

var tailRootMarginFormula = formula.Record{
	Name: "limit: tail at its root", Section: formula.SectionLimits, Text: "P - S_t + g - d - 3", Unit: "mm",
	Symbols: formula.Symbols("P S_t g d"), Source: formula.Judgement, Vary: 0.5,
	Example: formula.Values{"P": 22.225, "S_t": 12.2936, "g": 11.1125, "d": 12.7}, Result: 5.3439,
	Code: "joint.Joint.LimitOf", Function: marginOf(LimitTailRoot),
}

var edgeMarginFormula = formula.Record{
	Name: "limit: pin at the edge", Section: formula.SectionLimits, Text: "(F_p + g - d)/2 - |m| - 3", Unit: "mm",
	Symbols: formula.Symbols("F_p g d m"), Source: formula.Judgement, Vary: 0.5,
	Example: formula.Values{"F_p": 9.9314, "g": 11.1125, "d": 12.7, "m": -0.2}, Result: 0.972,
	Code: "joint.Joint.LimitOf", Function: marginOf(LimitEdgePin),
}

var clearedMarginFormula = formula.Record{
	Name: "limit: one pass clears the tail board", Section: formula.SectionLimits, Text: "f0 + g/2 + d/2 - h_t tan a - t_t", Remark: "; a thicker one keeps a ridge", Unit: "mm",
	Symbols: formula.Symbols("f0 g d h_t a t_t"), Source: formula.Derived, Vary: 0.5,
	Example: formula.Values{"f0": 12, "g": 11.1125, "d": 12.7, "h_t": 10.904, "a": 14, "t_t": 12}, Result: 9.1876,
	Code:     "joint.Joint.LimitOf",
	Function: func(v formula.Values) float64 { return marginOf(LimitTailBoardCleared)(plain(v, nil)) },
}

var fingerMarginFormula = formula.Record{
	Name: "limit: fingers keep a straight side", Section: formula.SectionLimits, Text: "s0 + f0 - P/2", Remark: ", in each pass", Unit: "mm",
	Symbols: formula.Symbols("s0 f0 P"), Source: formula.Derived, Vary: 0.5, Example: formula.Values{"s0": 13.2, "f0": 12, "P": 22.225}, Result: 14.0875,
	Code:     "joint.Joint.LimitOf",
	Function: func(v formula.Values) float64 { return marginOf(LimitStraightFinger)(plain(v, nil)) },
}

var bearingMarginFormula = formula.Record{
	Name: "limit: bearing on the template", Section: formula.SectionLimits,
	Text:   "the smaller of CL - h - 0.5 and T - (CL - min(h_p, h_t)) - 2.38125, h = max(h_p, h_t)",
	Remark: ": off the wood, and half of a bearing 3/16 in high on the template", Unit: "mm",
	Symbols: formula.Symbols("CL T h_p h_t"), Source: formula.Judgement, Vary: 0.3,
	Example: formula.Values{"CL": 14, "T": 8, "h_p": 10.904, "h_t": 11}, Result: 2.5,
	Code: "joint.Joint.LimitOf",
	Function: func(v formula.Values) float64 {
		j := jointOf(v)
		j.setup.Bushing.Kind = KindBearing
		l := j.LimitOf(LimitBearingOnTemplate)
		return known(l.Margin, l.Known)
	},
}

var tailLeftMarginFormula = formula.Record{
	Name: "limit: tail left at its root", Section: formula.SectionLimits, Text: "min(t_t, f0 - ey + (g - d)/2) - max(3, t_t/4)",
	Remark: "; a caution below max(4, t_t/3); the same of the straight flank", Unit: "mm",
	Symbols: formula.Symbols("t_t f0 ey g d"), Source: formula.Judgement, Vary: 0.5,
	Example: formula.Values{"t_t": 16, "f0": 12, "ey": 0.05, "g": 11.1125, "d": 12.7}, Result: 7.1563,
	Code:     "joint.Joint.LimitOf",
	Function: func(v formula.Values) float64 { return marginOf(LimitTailLeft)(plain(v, nil)) },
}

var enteredMarginFormula = formula.Record{
	Name: "limit: the tail goes in", Section: formula.SectionLimits, Text: "x + q - 0.9 x",
	Remark: ", x what the finger lets a tail reach, at most its thickness", Unit: "mm",
	Symbols: formula.Symbols("q", formula.Symbol{Name: "x", Unit: "mm", Meaning: "min(t_t, reach of the nose)"}),
	Source:  formula.Judgement, Vary: 0.5, Example: formula.Values{"x": 11.2, "q": -0.2}, Result: 0.92,
	Code: "joint.Joint.LimitOf",
	Function: func(v formula.Values) float64 {
		thick := length.Exactly(length.Length(v["x"]))
		j := Joint{setup: Setup{TailBoard: TailBoard{Thickness: thick}}}
		e := Engagement{Entered: extent(v["x"] + v["q"]), Seat: extent(v["q"])}
		margin, ok := j.margin(LimitTailEnters, &e)
		return known(length.Length(margin), ok)
	},
}

var seatsMarginFormula = formula.Record{
	Name: "limit: it seats", Section: formula.SectionLimits, Text: "q + 1", Remark: "; a caution below -0.15, which planes off", Unit: "mm",
	Symbols: formula.Symbols("q"), Source: formula.Judgement, Vary: 0.5, Example: formula.Values{"q": -0.2}, Result: 0.8,
	Code: "joint.Joint.LimitOf",
	Function: func(v formula.Values) float64 {
		j := Joint{setup: Setup{TailBoard: TailBoard{Thickness: length.Exactly(12)}}}
		e := Engagement{Seat: extent(v["q"])}
		margin, ok := j.margin(LimitSeats, &e)
		return known(length.Length(margin), ok)
	},
}
