package parts

import (
	"snugtail/joint"
	"snugtail/joint/formula"
	"snugtail/joint/length"
)

// Formulas returns the records of this package's formulas, in the order of the
// model's page.
func Formulas() []*formula.Record {
	return []*formula.Record{
		&SideFormula, &SideBothFormula, &BackHousedFormula, &BackButtedFormula, &BottomAcrossFormula, &BottomDeepFormula, &BottomUnderFormula,
		&openingFormula, &testJointsFormula,
	}
}

var (
	outsideWidth = formula.Own("W", "mm", "drawer's outside width")
	outsideDepth = formula.Own("D", "mm", "drawer's outside depth")
	ofFront      = formula.Own("t_f", "mm", "thickness of the front")
	ofSides      = formula.Own("t_s", "mm", "thickness of the sides")
	ofBack       = formula.Own("t_b", "mm", "thickness of the back")
	cutFront     = formula.Own("h_f", "mm", "min(h_p, h_t) at the front: how far the side goes in")
	cutBack      = formula.Own("h_b", "mm", "the same at the back")
	setback      = formula.Own("z", "mm", "from the sides' ends to the back's outside face")
	grooveDepth  = formula.Own("m", "mm", "depth of the groove")
	grooveFree   = formula.Own("e", "mm", "clearance in each groove")
)

// made makes a function of one length of a drawer's parts. How the back meets the
// sides, and whether the bottom goes under it, is told.
func made(back BackJoint, under bool, of func(all []Part) length.Length) func(formula.Values) float64 {
	return func(v formula.Values) float64 {
		at := func(symbol string) length.Length { return length.Length(v[symbol]) }
		depth := func(h length.Length) joint.Depth {
			return joint.Depth{PinBoard: length.Exactly(h), TailBoard: length.Exactly(h + 1)} // the lesser counts
		}
		m := newMaker(&Drawer{
			Count: 1, Outside: Size{Width: at("W"), Height: 100, Depth: at("D")}, Sides: 1, BackFrom: 2, Bottom: 3,
			Back:   BackPanel{Joint: back, Housing: at("n"), Setback: at("z")},
			Groove: Groove{Given: true, FromBottom: 10, Width: 6, Depth: at("m"), Clearance: at("e"), UnderBack: under},
		}, []Stock{{Thickness: at("t_f")}, {Thickness: at("t_s")}, {Thickness: at("t_b")}, {Thickness: 6}})
		return of(m.parts(depth(at("h_f")), depth(at("h_b")))).MM()
	}
}

func lengthOf(part Name) func([]Part) length.Length {
	return func(all []Part) length.Length { return all[part].Length }
}

// SideFormula is the record of a side's length, the back between the sides.
var SideFormula = formula.Record{
	Name: "length of a side, half-blind at the front", Section: formula.SectionParts, Text: "D - (t_f - h_f)", Unit: "mm",
	Symbols: []formula.Symbol{outsideDepth, ofFront, cutFront}, Source: formula.Follows, Vary: 0.3,
	Example: formula.Values{"D": 450, "t_f": 19.05, "h_f": 10.904}, Result: 441.854,
	Code: "parts.New", Function: made(ButtedBack, false, lengthOf(Side)),
}

// SideBothFormula is the record of a side's length, half-blind at both ends.
var SideBothFormula = formula.Record{
	Name: "length of a side, half-blind at both ends", Section: formula.SectionParts, Text: "D - (t_f - h_f) - (t_b - h_b)", Unit: "mm",
	Symbols: []formula.Symbol{outsideDepth, ofFront, cutFront, ofBack, cutBack}, Source: formula.Follows, Vary: 0.3,
	Example: formula.Values{"D": 450, "t_f": 19.05, "h_f": 10.904, "t_b": 16, "h_b": 10.904}, Result: 436.758,
	Code: "parts.New", Function: made(HalfBlindBack, false, lengthOf(Side)),
}

// BackHousedFormula is the record of the length of a back that is let in.
var BackHousedFormula = formula.Record{
	Name: "length of a back let into the sides", Section: formula.SectionParts, Text: "W - 2 t_s + 2 n", Unit: "mm",
	Symbols: []formula.Symbol{outsideWidth, ofSides, formula.Own("n", "mm", "depth of the housings")}, Source: formula.Follows, Vary: 0.3,
	Example: formula.Values{"W": 400, "t_s": 12, "n": 4}, Result: 384,
	Code: "parts.New", Function: made(HousedBack, false, lengthOf(Back)),
}

// BackButtedFormula is the record of the length of a back between the sides.
var BackButtedFormula = formula.Record{
	Name: "length of a back between the sides", Section: formula.SectionParts, Text: "W - 2 t_s", Unit: "mm",
	Symbols: []formula.Symbol{outsideWidth, ofSides}, Source: formula.Follows, Vary: 0.3, Example: formula.Values{"W": 400, "t_s": 12}, Result: 376,
	Code: "parts.New", Function: made(ButtedBack, false, lengthOf(Back)),
}

// BottomAcrossFormula is the record of a bottom's length.
var BottomAcrossFormula = formula.Record{
	Name: "bottom across", Section: formula.SectionParts, Text: "W - 2 t_s + 2 (m - e)", Unit: "mm",
	Symbols: []formula.Symbol{outsideWidth, ofSides, grooveDepth, grooveFree}, Source: formula.Follows, Vary: 0.3,
	Example: formula.Values{"W": 400, "t_s": 12, "m": 6, "e": 1}, Result: 386,
	Code: "parts.New", Function: made(ButtedBack, false, lengthOf(Bottom)),
}

// BottomDeepFormula is the record of a bottom's width, in a groove in the back.
var BottomDeepFormula = formula.Record{
	Name: "bottom front to back, in a groove in the back", Section: formula.SectionParts, Text: "D - t_f - t_b - z + 2 (m - e)", Unit: "mm",
	Symbols: []formula.Symbol{outsideDepth, ofFront, ofBack, setback, grooveDepth, grooveFree}, Source: formula.Follows, Vary: 0.3,
	Example: formula.Values{"D": 450, "t_f": 19.05, "t_b": 12, "z": 10, "m": 6, "e": 1}, Result: 418.95,
	Code: "parts.New", Function: made(ButtedBack, false, func(all []Part) length.Length { return all[Bottom].Width }),
}

// BottomUnderFormula is the record of a bottom's width, slid in under the back.
var BottomUnderFormula = formula.Record{
	Name: "bottom front to back, under the back", Section: formula.SectionParts, Text: "D - t_f - z + (m - e)", Unit: "mm",
	Symbols: []formula.Symbol{outsideDepth, ofFront, setback, grooveDepth, grooveFree}, Source: formula.Follows, Vary: 0.3,
	Example: formula.Values{"D": 450, "t_f": 19.05, "z": 10, "m": 6, "e": 1}, Result: 425.95,
	Code: "parts.New", Function: made(ButtedBack, true, func(all []Part) length.Length { return all[Bottom].Width }),
}

var openingFormula = formula.Record{
	Name: "outside depth of a drawer for an opening", Section: formula.SectionParts, Text: "D_o - x + l", Remark: "; width and height without l", Unit: "mm",
	Symbols: []formula.Symbol{
		formula.Own("D_o", "mm", "depth of the opening"), formula.Own("x", "mm", "allowance, both sides together"), formula.Own("l", "mm", "thickness of the lip"),
	},
	Source: formula.Follows, Vary: 0.3, Example: formula.Values{"D_o": 455, "x": 8, "l": 6}, Result: 453,
	Code: "parts.FromOpening",
	Function: func(v formula.Values) float64 {
		return FromOpening(Size{Depth: length.Length(v["D_o"])}, Size{Depth: length.Length(v["x"])}, Lip{Thickness: length.Length(v["l"])}).Depth.MM()
	},
}

var testJointsFormula = formula.Record{
	Name: "test joints to expect of a set-up's first pair of boards", Section: formula.SectionParts, Text: "1/p, of 1 to 3", Unit: "1",
	Symbols: []formula.Symbol{formula.Own("p", "1", "chance of a fit")}, Source: formula.Judgement, Vary: 0.5, Example: formula.Values{"p": 0.62}, Result: 1.6129,
	Code:     "parts.New",
	Function: func(v formula.Values) float64 { return formula.Known(firstJoints(v["p"]), v["p"] <= 1) },
}
