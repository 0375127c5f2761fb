package joint

import (
	"snugtail/joint/formula"
	"snugtail/joint/length"
)

// Records of cutter.go, bushing.go, template.go, widths.go, section.go and
// play.go. Their example is one joint: pitch 7/8 in, opening 0.484 in, bushing
// 7/16 in, cutter 1/2 in of 14 degrees, 10.904 mm deep.

func widthFormulas() []*formula.Record {
	return []*formula.Record{
		&tipDiameterFormula, &eccentricityFormula, &sweptFormula, &radiusFormula,
		&PinRootFormula, &PinWidestFormula, &TailRootFormula, &TailWidestFormula, &PinSocketFormula, &TailSocketFormula,
		&sectionPinFormula, &sectionTailSocketFormula, &sectionTailFormula, &sectionPinSocketFormula, &edgePinFormula,
	}
}

func fitFormulas() []*formula.Record {
	return []*formula.Record{
		&OnePieceFormula, &TwoPositionFormula, &ProvenFormula,
		&PlayFormula, &LearnedPlayFormula, &DepthFormula, &LearnedDepthFormula, &PlayPerTenthFormula, &playPerDepthFormula, &PulledGapFormula, &LearnedGapFormula,
		&shoulderGapFormula, &floorGapFormula, &turnsFormula, &belowBaseFormula, &belowBushingFormula,
	}
}

var tipDiameterFormula = formula.Record{
	Name: "tip diameter", Section: formula.SectionWidths, Text: "d = d_0 + T_r", Unit: "mm",
	Symbols: []formula.Symbol{{Name: "d_0", Unit: "mm", Meaning: "cutter diameter at its tip"}, {Name: "T_r", Unit: "mm", Meaning: "total indicated runout"}},
	Source:  formula.Derived, Vary: 0.5,
	Example: formula.Values{"d_0": 12.7, "T_r": 0.05}, Result: 12.75,
	Code: "joint.Cutter.TipDiameter",
	Function: func(v formula.Values) float64 {
		c := Cutter{Diameter: length.Exactly(length.Length(v["d_0"])), Runout: length.Exactly(length.Length(v["T_r"]))}
		return c.TipDiameter().MM()
	},
}

var eccentricityFormula = formula.Record{
	Name: "eccentricity", Section: formula.SectionWidths, Text: "e = sqrt(ex^2 + ey^2)", Unit: "mm",
	Symbols: formula.Symbols("ex ey"), Source: formula.Follows, Vary: 0.5,
	Example: formula.Values{"ex": 0.3, "ey": 0.4}, Result: 0.5,
	Code:     "joint.Bushing.Eccentricity",
	Function: func(v formula.Values) float64 { b := jointOf(v).setup.Bushing; return b.Eccentricity().MM() },
}

var sweptFormula = formula.Record{
	Name: "swept diameter of a router turned in use", Section: formula.SectionMoves, Text: "d_e = d + 2 sqrt(ex^2 + ey^2)",
	Remark: ", at every angle: the widest case, so c + 4 e", Unit: "mm",
	Symbols: formula.Symbols("d ex ey"), Source: formula.Derived, Vary: 0.5,
	Example: formula.Values{"d": 12.7, "ex": 0.03, "ey": 0.04}, Result: 12.8,
	Code: "joint.New",
	Function: func(v formula.Values) float64 {
		j := jointOf(v)
		return j.setup.Cutter.sweptDiameter(&j.setup.Bushing, true)
	},
}

var radiusFormula = formula.Record{
	Name: "cutter radius", Section: formula.SectionWidths, Text: "r = d/2 - u tan a", Unit: "mm",
	Symbols: formula.Symbols("d u a"), Source: formula.Derived, Vary: 0.5,
	Example: formula.Values{"d": 12.7, "u": 10.904, "a": 14}, Result: 3.6313,
	Code: "joint.Cutter.RadiusAt",
	Function: func(v formula.Values) float64 {
		c := jointOf(v).setup.Cutter
		return c.RadiusAt(length.Length(v["u"])).MM()
	},
}

// widthOf makes a function of one of the widths.
func widthOf(of func(w *Widths) length.Length) func(formula.Values) float64 {
	return func(v formula.Values) float64 {
		w, ok := jointOf(v).Widths()
		return known(of(&w), ok)
	}
}

// PinRootFormula is the record of Widths.PinRoot.
var PinRootFormula = formula.Record{
	Name: "pin at the socket's floor", Section: formula.SectionWidths, Text: "F_p + g - d", Unit: "mm",
	Symbols: formula.Symbols("F_p g d"), Source: formula.Derived, Vary: 0.5,
	Example: formula.Values{"F_p": 9.9314, "g": 11.1125, "d": 12.7}, Result: 8.3439,
	Code: "joint.Joint.Widths", Function: widthOf(func(w *Widths) length.Length { return w.PinRoot }),
}

// PinWidestFormula is the record of Widths.PinWidest.
var PinWidestFormula = formula.Record{
	Name: "pin at the face, its widest", Section: formula.SectionWidths, Text: "F_p + g - d + 2 h_p tan a", Unit: "mm",
	Symbols: formula.Symbols("F_p g d h_p a"), Source: formula.Derived, Vary: 0.5,
	Example: formula.Values{"F_p": 9.9314, "g": 11.1125, "d": 12.7, "h_p": 10.904, "a": 14}, Result: 13.7812,
	Code: "joint.Joint.Widths", Function: widthOf(func(w *Widths) length.Length { return w.PinWidest }),
}

// TailRootFormula is the record of Widths.TailRoot.
var TailRootFormula = formula.Record{
	Name: "tail at its root", Section: formula.SectionWidths, Text: "P - S_t + g - d", Unit: "mm",
	Symbols: formula.Symbols("P S_t g d"), Source: formula.Derived, Vary: 0.5,
	Example: formula.Values{"P": 22.225, "S_t": 12.2936, "g": 11.1125, "d": 12.7}, Result: 8.3439,
	Code: "joint.Joint.Widths", Function: widthOf(func(w *Widths) length.Length { return w.TailRoot }),
}

// TailWidestFormula is the record of Widths.TailWidest.
var TailWidestFormula = formula.Record{
	Name: "tail at its end, its widest", Section: formula.SectionWidths, Text: "P - S_t + g - d + 2 h_t tan a", Unit: "mm",
	Symbols: formula.Symbols("P S_t g d h_t a"), Source: formula.Derived, Vary: 0.5,
	Example: formula.Values{"P": 22.225, "S_t": 12.2936, "g": 11.1125, "d": 12.7, "h_t": 10.904, "a": 14}, Result: 13.7812,
	Code: "joint.Joint.Widths", Function: widthOf(func(w *Widths) length.Length { return w.TailWidest }),
}

// PinSocketFormula is the record of Widths.PinSocketWidest.
var PinSocketFormula = formula.Record{
	Name: "pin socket at the shoulder line, its widest", Section: formula.SectionWidths, Text: "S_t - g + d", Unit: "mm",
	Symbols: formula.Symbols("S_t g d"), Source: formula.Derived, Vary: 0.5,
	Example: formula.Values{"S_t": 12.2936, "g": 11.1125, "d": 12.7}, Result: 13.8811,
	Code: "joint.Joint.Widths", Function: widthOf(func(w *Widths) length.Length { return w.PinSocketWidest }),
}

// TailSocketFormula is the record of Widths.TailSocketWidest.
var TailSocketFormula = formula.Record{
	Name: "tail socket at the floor, its widest", Section: formula.SectionWidths, Text: "P - F_p - g + d", Unit: "mm",
	Symbols: formula.Symbols("P F_p g d"), Source: formula.Derived, Vary: 0.5,
	Example: formula.Values{"P": 22.225, "F_p": 9.9314, "g": 11.1125, "d": 12.7}, Result: 13.8811,
	Code: "joint.Joint.Widths", Function: widthOf(func(w *Widths) length.Length { return w.TailSocketWidest }),
}

// sectionOf makes a function of one half width of a level section.
func sectionOf(of func(s *Section) length.Length) func(formula.Values) float64 {
	return func(v formula.Values) float64 {
		s, ok := jointOf(v).SectionAt(length.Length(v["u"]))
		return known(of(&s), ok)
	}
}

var sectionPinFormula = formula.Record{
	Name: "half of a pin at a level, and its end's radius", Section: formula.SectionWidths, Text: "r_p = (F_p + g)/2 - d/2 + u tan a", Unit: "mm",
	Symbols: formula.Symbols("F_p g d u a"), Source: formula.Derived, Vary: 0.5,
	Example: formula.Values{"F_p": 9.9314, "g": 11.1125, "d": 12.7, "u": 5, "a": 14}, Result: 5.4186,
	Code: "joint.Joint.SectionAt", Function: sectionOf(func(s *Section) length.Length { return s.Pin }),
}

var sectionTailSocketFormula = formula.Record{
	Name: "half of a tail socket at a level", Section: formula.SectionWidths, Text: "P/2 - (F_p + g)/2 + d/2 - u tan a", Unit: "mm",
	Symbols: formula.Symbols("P F_p g d u a"), Source: formula.Derived, Vary: 0.5,
	Example: formula.Values{"P": 22.225, "F_p": 9.9314, "g": 11.1125, "d": 12.7, "u": 5, "a": 14}, Result: 5.6939,
	Code: "joint.Joint.SectionAt", Function: sectionOf(func(s *Section) length.Length { return s.TailSocket }),
}

var sectionTailFormula = formula.Record{
	Name: "half of a tail at a level", Section: formula.SectionWidths, Text: "P/2 - (F_p + g)/2 + d/2 - u tan a - c/2", Unit: "mm",
	Symbols: formula.Symbols("P F_p g d u a c"), Source: formula.Derived, Vary: 0.5,
	Example: formula.Values{"P": 22.225, "F_p": 9.9314, "g": 11.1125, "d": 12.7, "u": 5, "a": 14, "c": 0.1}, Result: 5.6439,
	Code: "joint.Joint.SectionAt", Function: sectionOf(func(s *Section) length.Length { return s.Tail }),
}

var sectionPinSocketFormula = formula.Record{
	Name: "half of a pin socket at a level", Section: formula.SectionWidths, Text: "(F_p + g)/2 - d/2 + u tan a + c/2", Unit: "mm",
	Symbols: formula.Symbols("F_p g d u a c"), Source: formula.Derived, Vary: 0.5,
	Example: formula.Values{"F_p": 9.9314, "g": 11.1125, "d": 12.7, "u": 5, "a": 14, "c": 0.1}, Result: 5.4686,
	Code: "joint.Joint.SectionAt", Function: sectionOf(func(s *Section) length.Length { return s.PinSocket }),
}

var edgePinFormula = formula.Record{
	Name: "half pin at the first edge", Section: formula.SectionWidths, Text: "(F_p + g - d)/2 - |m|", Remark: "; at the last edge W - n P more", Unit: "mm",
	Symbols: formula.Symbols("F_p g d m"), Source: formula.Derived, Vary: 0.5,
	Example: formula.Values{"F_p": 9.9314, "g": 11.1125, "d": 12.7, "m": -0.2}, Result: 3.972,
	Code:     "joint.Joint.EdgePin",
	Function: func(v formula.Values) float64 { return known(jointOf(v).EdgePin()) },
}

// OnePieceFormula is the record of Template.TotalAllowance for one opening.
var OnePieceFormula = formula.Record{
	Name: "allowance of a one-piece template", Section: formula.SectionFit, Text: "K = 2 S - P", Unit: "mm",
	Symbols: formula.Symbols("S P"), Source: formula.Derived, Vary: 0.5,
	Example: formula.Values{"S": 12.2936, "P": 22.225}, Result: 2.3622,
	Code:     "joint.NewOnePiece",
	Function: func(v formula.Values) float64 { t := templateOf(v); return t.TotalAllowance().MM() },
}

// TwoPositionFormula is the record of Template.TotalAllowance for two passes.
var TwoPositionFormula = formula.Record{
	Name: "allowance of a two-position template", Section: formula.SectionFit, Text: "K = S_t - F_p", Unit: "mm",
	Symbols: formula.Symbols("S_t F_p"), Source: formula.Derived, Vary: 0.5,
	Example: formula.Values{"S_t": 12.2936, "F_p": 9.9314}, Result: 2.3622,
	Code:     "joint.Template.TotalAllowance",
	Function: func(v formula.Values) float64 { t := templateOf(v); return t.TotalAllowance().MM() },
}

// ProvenFormula is the record of NewProven.
var ProvenFormula = formula.Record{
	Name: "allowance of a joint that fitted", Section: formula.SectionFit, Text: "K = c_proven - 2 (d - g) + 2 h tan a", Remark: ", all of the proven joint", Unit: "mm",
	Symbols: formula.Symbols("d g h a", formula.Symbol{Name: "c_proven", Unit: "mm", Meaning: "play that its feel stands for"}),
	Source:  formula.Follows, Vary: 0.1,
	Example: formula.Values{"c_proven": 0.1, "d": 12.7, "g": 11.1125, "h": 10.904, "a": 14}, Result: 2.3623,
	Code: "joint.NewProven",
	Function: func(v formula.Values) float64 {
		s := jointOf(v).setup
		t, err := NewProven(ProvenJoint{
			Cutter: s.Cutter, Bushing: s.Bushing, Depth: s.Depth.PinBoard, Play: length.Exactly(length.Length(v["c_proven"])),
		})
		return known(t.TotalAllowance(), err == nil)
	},
}

// PlayFormula is the record of Joint.Play.
var PlayFormula = formula.Record{
	Name: "play", Section: formula.SectionFit, Text: "c = K + 2 (d - g) - 2 h tan a", Unit: "mm",
	Symbols: formula.Symbols("K d g h a"), Source: formula.Derived, Vary: 0.5,
	Example: formula.Values{"K": 2.3622, "d": 12.7, "g": 11.1125, "h": 10.904, "a": 14}, Result: 0.0999,
	Code: "joint.Joint.Play", Function: func(v formula.Values) float64 { return jointOf(v).Play().MM() },
}

// LearnedPlayFormula is the record of Joint.Play where test cuts have taught.
var LearnedPlayFormula = formula.Record{
	Name: "play after test cuts", Section: formula.SectionFit, Text: "c = K + b + 2 (d - g) - 2 h tan a", Remark: ", b what earlier test cuts taught", Unit: "mm",
	Symbols: formula.Symbols("K b d g h a"), Source: formula.Follows, Vary: 0.5,
	Example: formula.Values{"K": 2.3622, "b": -0.12, "d": 12.7, "g": 11.1125, "h": 10.904, "a": 14}, Result: -0.0201,
	Code: "joint.Joint.Play", Function: func(v formula.Values) float64 { return jointOf(v).Play().MM() },
}

// DepthFormula is the record of Joint.DepthFor.
var DepthFormula = formula.Record{
	Name: "depth for a wanted play", Section: formula.SectionFit, Text: "h* = (K + 2 (d - g) - c*) / (2 tan a)", Unit: "mm",
	Symbols: formula.Symbols("K d g a c*"), Source: formula.Derived, Vary: 0.5,
	Example: formula.Values{"K": 2.3622, "d": 12.7, "g": 11.1125, "a": 14, "c*": 0.1}, Result: 10.9037,
	Code: "joint.Joint.DepthFor", Function: func(v formula.Values) float64 { return jointOf(v).DepthFor(length.Length(v["c*"])).MM() },
}

// LearnedDepthFormula is the record of Joint.DepthFor where test cuts have taught.
var LearnedDepthFormula = formula.Record{
	Name: "depth for a wanted play after test cuts", Section: formula.SectionFit, Text: "h* = (K + b + 2 (d - g) - c*) / (2 tan a)",
	Remark: ", b what earlier test cuts taught", Unit: "mm",
	Symbols: formula.Symbols("K b d g a c*"), Source: formula.Follows, Vary: 0.5,
	Example: formula.Values{"K": 2.3622, "b": -0.12, "d": 12.7, "g": 11.1125, "a": 14, "c*": 0.1}, Result: 10.6631,
	Code: "joint.Joint.DepthFor", Function: func(v formula.Values) float64 { return jointOf(v).DepthFor(length.Length(v["c*"])).MM() },
}

// LearnedGapFormula is the record of Joint.PulledGap where test cuts have taught.
var LearnedGapFormula = formula.Record{
	Name: "pulled gap after test cuts", Section: formula.SectionFit, Text: "w = (K + b + 2 (d - g)) / (2 tan a) - h_p",
	Remark: ", b what earlier test cuts taught", Unit: "mm",
	Symbols: formula.Symbols("K b d g a h_p"), Source: formula.Follows, Vary: 0.01,
	Example: formula.Values{"K": 2.3622, "b": -0.12, "d": 12.7, "g": 11.1125, "a": 14, "h_p": 10.5}, Result: 0.3636,
	Code: "joint.Joint.PulledGap", Function: func(v formula.Values) float64 { return known(jointOf(v).PulledGap()) },
}

var playPerDepthFormula = formula.Record{
	Name: "play for each mm of depth", Section: formula.SectionFit, Text: "2 tan a", Unit: "1",
	Symbols: formula.Symbols("a"), Source: formula.Derived, Vary: 0.5, Example: formula.Values{"a": 14}, Result: 0.4987,
	Code: "joint.Joint.PlayPerDepth", Function: func(v formula.Values) float64 { return jointOf(v).PlayPerDepth() },
}

// PlayPerTenthFormula is the record of Prediction.PlayPerTenth.
var PlayPerTenthFormula = formula.Record{
	Name: "play for each tenth of a millimetre of depth", Section: formula.SectionFit, Text: "0.1 * 2 tan a", Unit: "mm",
	Symbols: formula.Symbols("a"), Source: formula.Derived, Vary: 0.5, Example: formula.Values{"a": 14}, Result: 0.0499,
	Code: "joint.Joint.Predict",
	Function: func(v formula.Values) float64 {
		p := jointOf(v).Predict(DefaultTarget(1), Bands{Crush: DefaultCrush})
		return p.PlayPerTenth.MM()
	},
}

// PulledGapFormula is the record of Joint.PulledGap.
var PulledGapFormula = formula.Record{
	Name: "pulled gap", Section: formula.SectionFit, Text: "w = (K + 2 (d - g)) / (2 tan a) - h_p", Unit: "mm",
	Symbols: formula.Symbols("K d g a h_p"), Source: formula.Derived, Vary: 0.02,
	Example: formula.Values{"K": 2.3622, "d": 12.7, "g": 11.1125, "a": 14, "h_p": 10.5}, Result: 0.6042,
	Code: "joint.Joint.PulledGap", Function: func(v formula.Values) float64 { return known(jointOf(v).PulledGap()) },
}

var shoulderGapFormula = formula.Record{
	Name: "shoulder left open", Section: formula.SectionFit, Text: "h_t - h_p, not below 0", Unit: "mm",
	Symbols: formula.Symbols("h_t h_p"), Source: formula.Derived, Vary: 0.5,
	Example: formula.Values{"h_t": 11.1, "h_p": 10.9}, Result: 0.2,
	Code: "joint.Joint.ShoulderGap", Function: func(v formula.Values) float64 { return jointOf(v).ShoulderGap().MM() },
}

var floorGapFormula = formula.Record{
	Name: "gap hidden at the floor", Section: formula.SectionFit, Text: "h_p - h_t, not below 0", Unit: "mm",
	Symbols: formula.Symbols("h_t h_p"), Source: formula.Derived, Vary: 0.5,
	Example: formula.Values{"h_t": 10.8, "h_p": 10.9}, Result: 0.1,
	Code: "joint.Joint.FloorGap", Function: func(v formula.Values) float64 { return jointOf(v).FloorGap().MM() },
}

var turnsFormula = formula.Record{
	Name: "turns of the adjuster", Section: formula.SectionFit, Text: "x/l", Unit: "1",
	Symbols: []formula.Symbol{{Name: "x", Unit: "mm", Meaning: "change of depth, > 0 deeper"}, {Name: "l", Unit: "mm", Meaning: "adjuster's change of depth for each turn"}},
	Source:  formula.Follows, Vary: 0.5, Example: formula.Values{"x": -0.4, "l": 1.6}, Result: -0.25,
	Code: "joint.Router.Turns",
	Function: func(v formula.Values) float64 {
		turns, ok := jointOf(v).setup.Router.Turns(length.Length(v["x"]))
		return known(length.Length(turns), ok)
	},
}

var belowBaseFormula = formula.Record{
	Name: "projection below the router's base", Section: formula.SectionFit, Text: "T + h_p", Unit: "mm",
	Symbols: formula.Symbols("T h_p"), Source: formula.Follows, Vary: 0.5, Example: formula.Values{"T": 8, "h_p": 10.904}, Result: 18.904,
	Code: "joint.Joint.Projection",
	Function: func(v formula.Values) float64 {
		p := jointOf(v).Projection()
		return known(p.BelowBase, p.BelowBaseKnown)
	},
}

var belowBushingFormula = formula.Record{
	Name: "projection below the bushing's tip", Section: formula.SectionFit, Text: "T + h_p - L", Unit: "mm",
	Symbols: formula.Symbols("T h_p L"), Source: formula.Follows, Vary: 0.5, Example: formula.Values{"T": 8, "h_p": 10.904, "L": 7}, Result: 11.904,
	Code: "joint.Joint.Projection",
	Function: func(v formula.Values) float64 {
		p := jointOf(v).Projection()
		return known(p.BelowBushing, p.BelowBushingKnown)
	},
}
