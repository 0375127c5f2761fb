package layout

import (
	"math"

	"snugtail/joint"
	"snugtail/joint/formula"
	"snugtail/joint/length"
)

// Formulas returns the records of this package's formulas, in the order of the
// model's page.
func Formulas() []*formula.Record {
	return []*formula.Record{
		&PitchesFormula, &FirstPinFormula, &EdgePinFormula, &GrooveFormula, &HeightFormula, &spacerFormula, &spacerOutsideFormula, &tailMouthFormula,
	}
}

func size(x float64) length.Size { return length.Exactly(length.Length(x)) }

// setupFor is a joint of pitch P that can be laid out.
func setupFor(pitch float64) joint.Setup {
	tail := joint.Pass{Opening: size(0.55 * pitch), Finger: size(0.45 * pitch)}
	pin := joint.Pass{Opening: size(0.55 * pitch), Finger: size(0.45 * pitch)}
	return joint.Setup{
		Cutter: joint.Cutter{Diameter: size(0.57 * pitch), Angle: 14}, Bushing: joint.Bushing{Diameter: size(0.5 * pitch)},
		Depth:    joint.EqualDepth(size(0.45 * pitch)),
		Template: joint.Template{Kind: joint.TwoPosition, Pitch: size(pitch), Tail: tail, Pin: pin},
	}
}

var offEdge = formula.Own("x", "mm", "centre of the first pin from the edge; negative outside")

// PitchesFormula is the record of Layout.Pitches.
var PitchesFormula = formula.Record{
	Name: "pitches between the outermost pins", Section: formula.SectionLayout, Text: "W / P",
	Remark: "; whole, or the number nearest to it that leaves the stronger edge pin", Unit: "1",
	Symbols: formula.Symbols("W P"), Source: formula.Follows, Vary: 0.5, Example: formula.Values{"W": 133.35, "P": 22.225}, Result: 6,
	Code: "layout.New",
	Function: func(v formula.Values) float64 {
		n := math.Round(v["W"] / v["P"]) // a width beside whole pitches is another case: try the nearest
		l, err := New(Plan{Setup: setupFor(v["P"]), Width: length.Length(n * v["P"])})
		if err != nil || n == 0 {
			return math.NaN()
		}
		return float64(l.Pitches) * v["W"] / (n * v["P"])
	},
}

// FirstPinFormula is the record of Layout.FirstPin.
var FirstPinFormula = formula.Record{
	Name: "centre of the first pin", Section: formula.SectionLayout, Text: "(W - n P) / 2",
	Remark: ", its centre from the edge; every next one P on, tails P / 2 between", Unit: "mm",
	Symbols: formula.Symbols("W n P"), Source: formula.Follows, Vary: 0.3, Example: formula.Values{"W": 140, "n": 6, "P": 22.225}, Result: 3.325,
	Code: "layout.New",
	Function: func(v formula.Values) float64 {
		n, ok := formula.Whole(v["n"])
		c := centred(v["W"], n, v["P"], func(float64) EdgePin { return EdgePin{} })
		return formula.Known(c.first, ok)
	},
}

// EdgePinFormula is the record of Layout.SmallestEdgePin.
var EdgePinFormula = formula.Record{
	Name: "wood of the pin at the weaker edge, at its root", Section: formula.SectionLayout, Text: "p_0 / 2 + x - |m|, of 0 to p_0 - |m|",
	Remark: "; none where x is beyond p_1 / 2", Unit: "mm",
	Symbols: formula.Symbols("m", formula.Own("p_0", "mm", "pin at its root"), offEdge), Source: formula.Follows, Vary: 0.9,
	Example: formula.Values{"p_0": 8.3439, "x": 3.325, "m": 0.2}, Result: 7.2969,
	Code: "layout.Layout.SmallestEdgePin",
	Function: func(v formula.Values) float64 {
		s := joint.Setup{
			Cutter: joint.Cutter{Diameter: size(1), Angle: 14}, Bushing: joint.Bushing{Diameter: size(1)}, SideStopError: size(v["m"]),
			Depth:    joint.EqualDepth(size(100)), // a wide face
			Template: joint.Template{Kind: joint.TwoPosition, Pin: joint.Pass{Finger: size(v["p_0"])}},
		}
		j, _ := joint.New(s)
		l := Layout{Joint: j, Edge: edgeOf(&j)(v["x"])}
		return l.SmallestEdgePin().MM()
	},
}

// GrooveFormula is the record of Finding.Margin.
var GrooveFormula = formula.Record{
	Name: "how far a groove stays inside a tail", Section: formula.SectionLayout, Text: "the smaller of y - t_1 and t_2 - (y + w)",
	Remark: ", the tail's root from t_1 to t_2", Unit: "mm",
	Symbols: []formula.Symbol{
		formula.Own("y", "mm", "groove's nearer wall from the bottom edge"), formula.Own("w", "mm", "its width"),
		formula.Own("t_1", "mm", "where the tail's root begins"), formula.Own("t_2", "mm", "where it ends"),
	},
	Source: formula.Follows, Vary: 0.3, Example: formula.Values{"y": 8.5, "w": 5.5, "t_1": 6.94, "t_2": 15.28}, Result: 1.28,
	Code: "layout.New",
	Function: func(v formula.Values) float64 {
		g := Groove{FromBottom: length.Length(v["y"]), Width: length.Length(v["w"])}
		return g.inside(Span{length.Length(v["t_1"]), length.Length(v["t_2"])}).MM()
	},
}

// HeightFormula is the record of Heights.
var HeightFormula = formula.Record{
	Name: "height that ends in half pins", Section: formula.SectionLayout, Text: "n P", Remark: ", as much of the opening as it fills", Unit: "mm",
	Symbols: formula.Symbols("n P"), Source: formula.Follows, Vary: 0.5, Example: formula.Values{"n": 6, "P": 22.225}, Result: 133.35,
	Code: "layout.Heights",
	Function: func(v formula.Values) float64 {
		n, ok := formula.Whole(v["n"])
		h := heightOf(n, pitches{v["P"], v["P"], v["P"]}, 10_000)
		return formula.Known(h.Height.MM(), ok)
	},
}

var spacerFormula = formula.Record{
	Name: "strip between stop and boards, the first pin inside", Section: formula.SectionLayout, Text: "P - x", Unit: "mm",
	Symbols: formula.Symbols("P", offEdge), Source: formula.CommonPractice, Vary: 0.5, Example: formula.Values{"P": 22.225, "x": 3.325}, Result: 18.9,
	Code: "layout.New",
	Function: func(v formula.Values) float64 {
		s := choice{pitch: v["P"], first: v["x"]}.spacer()
		return formula.Known(s.Thickness.MM(), s.Known)
	},
}

var spacerOutsideFormula = formula.Record{
	Name: "the same, the first pin outside", Section: formula.SectionLayout, Text: "-x", Unit: "mm",
	Symbols: []formula.Symbol{offEdge}, Source: formula.CommonPractice, Vary: 0.5, Example: formula.Values{"x": -3.3}, Result: 3.3,
	Code: "layout.New",
	Function: func(v formula.Values) float64 {
		s := choice{pitch: 22.225, first: v["x"]}.spacer()
		return formula.Known(s.Thickness.MM(), s.Known)
	},
}

var tailMouthFormula = formula.Record{
	Name: "tail socket at its mouth", Section: formula.SectionLayout, Text: "P - p_1", Remark: ", beside pins as wide as p_1; likewise the others", Unit: "mm",
	Symbols: formula.Symbols("P", formula.Own("p_1", "mm", "pin at its widest")), Source: formula.Derived, Vary: 0.3,
	Example: formula.Values{"P": 22.225, "p_1": 13.7812}, Result: 8.4438,
	Code: "layout.Span.Width",
	Function: func(v formula.Values) float64 {
		l := Layout{
			Width: length.Length(6 * v["P"]), Pitch: length.Length(v["P"]), Pitches: 6,
			Widths: joint.Widths{PinWidest: length.Length(v["p_1"]), TailSocketWidest: length.Length(v["P"]), TailWidest: 1},
		}
		l.lay()
		return l.PinBoard.TailSockets[1].Narrowest.Width().MM()
	},
}
