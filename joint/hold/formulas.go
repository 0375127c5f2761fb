package hold

import (
	"snugtail/joint"
	"snugtail/joint/formula"
	"snugtail/joint/length"
)

// Formulas returns the records of this package's formulas, in the order of the
// model's page.
func Formulas() []*formula.Record {
	return []*formula.Record{
		&FlareFormula, &flareThatFitsFormula, &glueFormula, &slopeFormula, &rubbedFormula, &shearFormula, &edgePinFormula, &ratioFormula,
	}
}

// holdOf is what the joint holds whose symbols have these values: L_y is the
// tail board's thickness, b the root of the half pin.
func holdOf(v formula.Values) Hold {
	size := func(x float64) length.Size { return length.Exactly(length.Length(x)) }
	pass := joint.Pass{Opening: size(12), Finger: size(12 + 2*v["b"])}
	j, _ := joint.New(joint.Setup{
		Cutter: joint.Cutter{Diameter: size(12), Angle: joint.Angle(v["a"])}, Bushing: joint.Bushing{Diameter: size(0)},
		Depth: joint.EqualDepth(size(v["h"])), TailBoard: joint.TailBoard{Thickness: size(v["L_y"])},
		Template: joint.Template{Kind: joint.TwoPosition, Tail: pass, Pin: pass},
	})
	w := Woods{crush: v["f_c"], crushKnown: true, shear: v["tau"], shearKnown: true, tension: v["f_t"], tensionKnown: true}
	return w.Of(&j, v["mu"])
}

var (
	engagedLength = formula.Own("L_y", "mm", "tail left at its root, along y")
	crushing      = formula.Own("f_c", "MPa", "lower of both strengths in compression across the grain, where crushing begins")
)

// FlareFormula is the record of Hold.Flare.
var FlareFormula = formula.Record{
	Name: "flare", Section: formula.SectionHold, Text: "f = h tan a", Remark: ", h the depth that both boards share", Unit: "mm",
	Symbols: formula.Symbols("h a"), Source: formula.Follows, Vary: 0.5, Example: formula.Values{"h": 10.904, "a": 14}, Result: 2.7187,
	Code: "hold.Of", Function: func(v formula.Values) float64 { return holdOf(v).Flare.MM() },
}

var flareThatFitsFormula = formula.Record{
	Name: "flare at the depth that fits, whatever the angle", Section: formula.SectionHold, Text: "f = K/2 + (d - g) - c*/2", Unit: "mm",
	Symbols: formula.Symbols("K d g c*"), Source: formula.Follows, Vary: 0.3, Example: formula.Values{"K": 2.3622, "d": 12.7, "g": 11.1125, "c*": 0.1}, Result: 2.7186,
	Code: "hold.Of",
	Function: func(v formula.Values) float64 {
		size := func(x float64) length.Size { return length.Exactly(length.Length(x)) }
		s := joint.Setup{
			Cutter: joint.Cutter{Diameter: size(v["d"]), Angle: 11}, Bushing: joint.Bushing{Diameter: size(v["g"])},
			Template: joint.NewAllowance(size(v["K"])),
		}
		free, _ := joint.New(s)
		fits, _ := joint.New(s.AtDepth(free.DepthFor(length.Length(v["c*"]))))
		return Of(&fits, 0).Flare.MM()
	},
}

var glueFormula = formula.Record{
	Name: "long grain to be glued, each tail", Section: formula.SectionHold, Text: "2 L_y h/cos(a)", Unit: "mm^2",
	Symbols: formula.Symbols("h a", engagedLength), Source: formula.Follows, Vary: 0.5,
	Example: formula.Values{"L_y": 12, "h": 10.904, "a": 14}, Result: 269.7075,
	Code: "hold.Of", Function: func(v formula.Values) float64 { return holdOf(v).Glue },
}

var slopeFormula = formula.Record{
	Name: "pull that the slope alone bears, each tail", Section: formula.SectionHold, Text: "H = 2 f_c L_y h tan a", Unit: "N",
	Symbols: formula.Symbols("h a", engagedLength, crushing), Source: formula.Follows, Vary: 0.5,
	Example: formula.Values{"f_c": 7, "L_y": 12, "h": 10.904, "a": 14}, Result: 456.737,
	Code: "hold.Of", Function: func(v formula.Values) float64 { return holdOf(v).Slope },
}

var rubbedFormula = formula.Record{
	Name: "the same with friction", Section: formula.SectionHold, Text: "2 f_c L_y h (tan a + mu)", Unit: "N",
	Symbols: formula.Symbols("h a mu", engagedLength, crushing), Source: formula.Follows, Vary: 0.5,
	Example: formula.Values{"f_c": 7, "L_y": 12, "h": 10.904, "a": 14, "mu": 0.3}, Result: 1006.2986,
	Code: "hold.Woods.Of", Function: func(v formula.Values) float64 { return holdOf(v).Rubbed },
}

var shearFormula = formula.Record{
	Name: "pull at which tails shear off", Section: formula.SectionHold, Text: "2 tau L_y h", Remark: ": slope and friction come before it", Unit: "N",
	Symbols: formula.Symbols("h", engagedLength, formula.Own("tau", "MPa", "shear strength along the grain")), Source: formula.Follows, Vary: 0.5,
	Example: formula.Values{"tau": 12.3, "L_y": 12, "h": 10.904}, Result: 3218.8608,
	Code: "hold.Of", Function: func(v formula.Values) float64 { return holdOf(v).Shear },
}

var edgePinFormula = formula.Record{
	Name: "pull at which a half pin at an edge breaks off", Section: formula.SectionHold, Text: "2 tan(a + atan(mu)) f_t L_y b^2/(3 h)",
	Remark: ", dry and by itself: edge pins live by their glue", Unit: "N",
	Symbols: formula.Symbols("a mu h", formula.Own("f_t", "MPa", "tension across the grain"), engagedLength, formula.Own("b", "mm", "root of the half pin")),
	Source:  formula.Follows, Vary: 0.3, Example: formula.Values{"a": 14, "mu": 0.3, "f_t": 5.5, "L_y": 12, "b": 4.2, "h": 10.904}, Result: 42.263,
	Code: "hold.Of",
	Function: func(v formula.Values) float64 {
		h := holdOf(v)
		return formula.Known(h.EdgePin, h.EdgePinKnown)
	},
}

var ratioFormula = formula.Record{
	Name: "how many times one joint holds another", Section: formula.SectionHold, Text: "f_1/f_2", Remark: ", in the same wood and with the same engaged length", Unit: "1",
	Symbols: []formula.Symbol{formula.Own("f_1", "mm", "flare of the one"), formula.Own("f_2", "mm", "flare of the other")},
	Source:  formula.Follows, Vary: 0.5, Example: formula.Values{"f_1": 2.72, "f_2": 1.13}, Result: 2.4071,
	Code: "hold.Hold.Against",
	Function: func(v formula.Values) float64 {
		return Hold{Flare: length.Length(v["f_1"])}.Against(Hold{Flare: length.Length(v["f_2"])})
	},
}
