package joint

import (
	"maps"
	"math"

	"snugtail/joint/formula"
	"snugtail/joint/length"
)

// Records of seat.go and engage.go.

func seatFormulas() []*formula.Record {
	return []*formula.Record{
		&noseCentreFormula, &socketEndFormula, &pinEndFormula, &pinSocketEndFormula, &noseRadiusFormula,
		&SeatFormula, &cutOffFormula, &pinEndsTouchFormula, &furthestOutFormula,
		&firstTouchFormula, &arcsTouchFormula, &flatTouchFormula, &wentInFormula,
	}
}

func engagementFormulas() []*formula.Record {
	return []*formula.Record{
		&tailLeftFormula, &enteredFormula, &straightFlankFormula, &pinReachFormula, &breakThroughFormula,
		&outsideOpeningFormula, &noseOpeningFormula,
	}
}

// plain returns values for a joint whose arcs and centres are as told, without
// a cutter's slope: what the formulas of this file have in common is geometry.
func plain(v formula.Values, more formula.Values) formula.Values {
	all := formula.Values{"d": 0, "g": 0, "a": 0, "S_t": 0, "F_p": 0, "F_t": 0, "S_p": 0}
	maps.Copy(all, v)
	maps.Copy(all, more)
	return all
}

var arcs = [...]formula.Symbol{
	{Name: "R", Unit: "mm", Meaning: "radius of the tail's nose"},
	{Name: "r", Unit: "mm", Meaning: "radius of the pin's end"},
	{Name: "y_n", Unit: "mm", Meaning: "centre of the tail's nose"},
	{Name: "y_s", Unit: "mm", Meaning: "centre of the tail socket's end"},
	{Name: "A", Unit: "mm", Meaning: "centre of the pin's end, where its straight flank begins"},
	{Name: "B", Unit: "mm", Meaning: "centre of the pin socket's end"},
}

// endsOf makes a function of one of the centres of round ends.
func endsOf(of func(r *RoundEnds) length.Length) func(formula.Values) float64 {
	return func(v formula.Values) float64 {
		reaches := formula.Values{"s0_t": 0, "s0_p": 0, "f0_t": 0, "f0_p": 0}
		if s0, ok := v["s0"]; ok {
			reaches["s0_t"], reaches["s0_p"] = s0, s0
		}
		if f0, ok := v["f0"]; ok {
			reaches["f0_t"], reaches["f0_p"] = f0, f0
		}
		r, ok := jointOf(plain(v, reaches)).RoundEnds()
		return known(of(&r), ok)
	}
}

var noseCentreFormula = formula.Record{
	Name: "centre of the tail's nose", Section: formula.SectionSeat, Text: "y_n = f0 - F_t/2 - ey", Remark: ", of the tail pass; y from the pin board's end", Unit: "mm",
	Symbols: formula.Symbols("f0 F_t ey"), Source: formula.Derived, Vary: 0.5,
	Example: formula.Values{"f0": 12, "F_t": 9.9314, "ey": 0.05}, Result: 6.9843,
	Code: "joint.Joint.RoundEnds", Function: endsOf(func(r *RoundEnds) length.Length { return r.Nose }),
}

var socketEndFormula = formula.Record{
	Name: "centre of the tail socket's end", Section: formula.SectionSeat, Text: "y_s = s0 - S_p/2 + ey", Remark: ", of the pin pass", Unit: "mm",
	Symbols: formula.Symbols("s0 S_p ey"), Source: formula.Derived, Vary: 0.5,
	Example: formula.Values{"s0": 13.2, "S_p": 12.2936, "ey": 0.05}, Result: 7.1032,
	Code: "joint.Joint.RoundEnds", Function: endsOf(func(r *RoundEnds) length.Length { return r.SocketEnd }),
}

var pinEndFormula = formula.Record{
	Name: "centre of the pin's end", Section: formula.SectionSeat, Text: "A = F_p/2 - f0 + ey", Remark: ", of the pin pass; at 0 or below the pin is full from the board's end on", Unit: "mm",
	Symbols: formula.Symbols("F_p f0 ey"), Source: formula.Derived, Vary: 0.5,
	Example: formula.Values{"F_p": 9.9314, "f0": 4, "ey": 0.05}, Result: 1.0157,
	Code: "joint.Joint.RoundEnds", Function: endsOf(func(r *RoundEnds) length.Length { return r.Pin }),
}

var pinSocketEndFormula = formula.Record{
	Name: "centre of the pin socket's end", Section: formula.SectionSeat, Text: "B = S_t/2 - s0 - ey", Remark: ", of the tail pass; at 0 or below the socket is open right through", Unit: "mm",
	Symbols: formula.Symbols("S_t s0 ey"), Source: formula.Derived, Vary: 0.5,
	Example: formula.Values{"S_t": 12.2936, "s0": 5, "ey": 0.05}, Result: 1.0968,
	Code: "joint.Joint.RoundEnds", Function: endsOf(func(r *RoundEnds) length.Length { return r.PinSocket }),
}

var noseRadiusFormula = formula.Record{
	Name: "radius of the tail's nose", Section: formula.SectionSeat, Text: "R = (F_t + g - d)/2 + u tan a", Remark: ", at height u above the tail's root", Unit: "mm",
	Symbols: formula.Symbols("F_t g d u a"), Source: formula.Derived, Vary: 0.5,
	Example: formula.Values{"F_t": 9.9314, "g": 11.1125, "d": 12.7, "u": 10.904, "a": 14}, Result: 6.8906,
	Code: "joint.Joint.Seat", Function: func(v formula.Values) float64 { return jointOf(v).noseRadius(v["u"]) },
}

// SeatFormula is the record of Joint.Seat where the nose is whole.
var SeatFormula = formula.Record{
	Name: "seat", Section: formula.SectionSeat, Text: "q = s0 - f0 - K/2 + c/2 + 2 ey", Remark: ", less where a thin board's face or the pins' ends touch first", Unit: "mm",
	Symbols: formula.Symbols("s0 f0 K c ey"), Source: formula.Derived, Vary: 0.2,
	Example: formula.Values{"s0": 13.2, "f0": 12, "K": 2.3622, "c": 0.1, "ey": 0.05}, Result: 0.1689,
	Code: "joint.Joint.Seat",
	Function: func(v formula.Values) float64 {
		k := v["K"] // the same in both passes of one pitch
		seat := jointOf(plain(v, formula.Values{"S_t": 9 + k, "F_p": 9, "F_t": 9, "S_p": 9 + k, "h": 10, "g": 2, "d": 1})).Seat()
		return known(seat.Offset, seat.Known && seat.Contact == ContactNose)
	},
}

var cutOffFormula = formula.Record{
	Name: "seat where the tail board's face cuts the nose off", Section: formula.SectionSeat,
	Text:   "q = y_s + sqrt((R + c/2)^2 - R^2 + max(0, t_t - y_n)^2) - t_t, R = (F_t + g - d)/2 + max(0, h_t - h_p) tan a",
	Remark: ", where y_n + R > t_t", Unit: "mm",
	Symbols: formula.Symbols("c t_t F_t g d h_t h_p a", arcs[2], arcs[3]), Source: formula.Derived,
	Example: formula.Values{"c": 0.1, "t_t": 10, "F_t": 9.9314, "g": 11.1125, "d": 12.7, "h_t": 11.1, "h_p": 10.9, "a": 14, "y_n": 7.0343, "y_s": 7.0532}, Result: 0.0897,
	Code: "joint.Joint.Seat",
	Function: func(v formula.Values) float64 {
		j := jointOf(plain(v, formula.Values{"f0": v["y_n"] + v["F_t"]/2, "s0": v["y_s"]}))
		if v["y_n"]+j.noseRadius(j.lowestShared()) <= v["t_t"] {
			return math.NaN()
		}
		return j.seatAtNose(v["c"])
	},
}

var pinEndsTouchFormula = formula.Record{
	Name: "seat where the pins' rounded ends touch first", Section: formula.SectionSeat,
	Text: "q = max(0, A - sqrt(max(0, r^2 - x^2))) + sqrt(max(0, r_s^2 - x^2)) - B, x = max(x_s, sqrt(max(0, r^2 - max(0, A)^2))), " +
		"x_s = sqrt(max(0, r_s^2 - B^2)), r_s = r + c/2",
	Remark: ", at the lowest and at the highest level that both boards share, where B > 0 and x_s < r", Unit: "mm",
	Symbols: formula.Symbols("c", arcs[1], arcs[4], arcs[5]), Source: formula.Derived, Vary: 0.3,
	Example: formula.Values{"c": 0.1, "r": 5, "A": 1, "B": 1.2}, Result: 0.03175,
	Code: "joint.Joint.Seat",
	Function: func(v formula.Values) float64 {
		q := jointOf(plain(nil, formula.Values{"F_p": 2 * v["r"]})).pinEndAt(0, v["A"], v["B"], v["c"])
		return known(length.Length(q), !math.IsInf(q, 0))
	},
}

var furthestOutFormula = formula.Record{
	Name: "seat at the furthest out", Section: formula.SectionSeat, Text: "q = -min(t_t, f0 - ey + g/2 - d/2 + h_t tan a)",
	Remark: ": the tail stands on the pin board's end and has not entered", Unit: "mm",
	Symbols: formula.Symbols("t_t f0 ey g d h_t a"), Source: formula.Derived, Vary: 0.5,
	Example: formula.Values{"t_t": 16, "f0": 12, "ey": 0.05, "g": 11.1125, "d": 12.7, "h_t": 10.904, "a": 14}, Result: -13.8749,
	Code: "joint.Joint.Seat",
	Function: func(v formula.Values) float64 {
		q, contact := jointOf(plain(v, formula.Values{"s0": -1000, "c": 0.1})).seatAt(0.1)
		return known(length.Length(q), contact == ContactBoardEnd)
	},
}

var firstTouchFormula = formula.Record{
	Name: "first touch, pins full from the board's end on", Section: formula.SectionSeat,
	Text:   "f0 - F_t/2 - ey + sqrt(|c| R - c^2/4), c = S_t - F_p + 2 (d - g) - 2 h tan a, R = (F_t + g - d)/2 + h tan a",
	Remark: ": how far the tail board still stands proud, where c < 0", Unit: "mm",
	Symbols: formula.Symbols("f0 F_t ey S_t F_p d g h a"), Source: formula.Derived, Vary: 0.01,
	Example: formula.Values{"f0": 12, "F_t": 9.9314, "ey": 0.05, "S_t": 12.2936, "F_p": 9.9314, "d": 12.7, "g": 11.1125, "h": 11.5, "a": 14}, Result: 8.1588,
	Code: "joint.Joint.FirstTouchProud",
	Function: func(v formula.Values) float64 {
		j := jointOf(plain(v, formula.Values{"P": v["S_t"] + v["F_t"]}))
		return known(j.FirstTouchProud())
	},
}

// touching is a joint with the arcs of a nose and a pin's end in one plane.
func touching(v formula.Values) *Joint {
	return jointOf(plain(nil, formula.Values{"F_t": 2 * v["R"], "F_p": 2 * v["r"], "P": v["P"], "f0": v["y_n"] + v["R"]}))
}

var arcsTouchFormula = formula.Record{
	Name: "first touch of nose and rounded pin", Section: formula.SectionSeat, Text: "y_n - A + sqrt((R + r)^2 - (P/2)^2)",
	Remark: ", at each level, where A > 0 and the arcs meet on the pin's end", Unit: "mm",
	Symbols: formula.Symbols("P", arcs[0], arcs[1], arcs[2], arcs[4]), Source: formula.Derived, Vary: 0.01,
	Example: formula.Values{"P": 22.225, "R": 7, "r": 4.3, "y_n": 7, "A": 1.4}, Result: 7.65,
	Code: "joint.Joint.FirstTouchProud",
	Function: func(v formula.Values) float64 {
		rise := math.Sqrt(math.Max(0, square(v["R"]+v["r"])-square(v["P"]/2)))
		if v["A"]-rise*v["r"]/(v["R"]+v["r"]) < 0 || v["R"]+v["r"] <= v["P"]/2 {
			return math.NaN()
		}
		return touching(v).firstTouchAt(0, v["A"])
	},
}

var flatTouchFormula = formula.Record{
	Name: "first touch of the corner of a nose that is cut off", Section: formula.SectionSeat,
	Text:   "t_t - max(0, A - sqrt(r^2 - (P/2 - sqrt(R^2 - max(0, t_t - y_n)^2))^2))",
	Remark: ", where the nose would touch beyond the tail board's face", Unit: "mm",
	Symbols: formula.Symbols("t_t P", arcs[0], arcs[1], arcs[2], arcs[4]), Source: formula.Follows, Vary: 0.01,
	Example: formula.Values{"t_t": 8, "P": 22.225, "R": 7, "r": 4.3, "y_n": 7, "A": 1.4}, Result: 7.5908,
	Code: "joint.Joint.FirstTouchProud",
	Function: func(v formula.Values) float64 {
		thick, thin := touching(v), touching(v)
		thin.setup.TailBoard.Thickness = length.Exactly(length.Length(v["t_t"]))
		proud := thin.firstTouchAt(0, v["A"])
		return known(length.Length(proud), proud != thick.firstTouchAt(0, v["A"]))
	},
}

var wentInFormula = formula.Record{
	Name: "interference of a joint that stuck after sliding in by s", Section: formula.SectionSeat, Text: "2 (R - sqrt(R^2 - max(0, R - s)^2))",
	Remark: ", R at the tail's end, if the boards were rigid: weak evidence", Unit: "mm",
	Symbols: []formula.Symbol{arcs[0], {Name: "s", Unit: "mm", Meaning: "how far it went in"}}, Source: formula.Follows, Vary: 0.2,
	Example: formula.Values{"R": 7, "s": 6}, Result: 0.1436,
	Code: "joint.Joint.OverlapFromWentIn",
	Function: func(v formula.Values) float64 {
		return known(jointOf(plain(nil, formula.Values{"F_t": 2 * v["R"]})).OverlapFromWentIn(length.Length(v["s"])))
	},
}

// engagementOf makes a function of one of the lengths of an engagement.
func engagementOf(of func(e *Engagement) Extent) func(formula.Values) float64 {
	return func(v formula.Values) float64 {
		e := jointOf(plain(v, nil)).Engagement()
		x := of(&e)
		return known(x.Length, x.Known)
	}
}

var tailLeftFormula = formula.Record{
	Name: "tail left at its root", Section: formula.SectionJoint, Text: "T_r = min(t_t, f0 - ey + (g - d)/2)", Remark: ", along y, of the tail pass", Unit: "mm",
	Symbols: formula.Symbols("t_t f0 ey g d"), Source: formula.Derived, Vary: 0.3,
	Example: formula.Values{"t_t": 12, "f0": 12, "ey": 0.05, "g": 11.1125, "d": 12.7}, Result: 11.1563,
	Code: "joint.Joint.Engagement", Function: engagementOf(func(e *Engagement) Extent { return e.TailLeft }),
}

var enteredFormula = formula.Record{
	Name: "how deep the tail has entered", Section: formula.SectionJoint,
	Text: "E = min(t_t, f0 - ey + (g - d)/2 + max(0, h_t - h_p) tan a) + q", Unit: "mm",
	Symbols: formula.Symbols("t_t f0 ey g d h_t h_p a q"), Source: formula.Derived, Vary: 0.05,
	Example: formula.Values{"t_t": 12, "f0": 12, "ey": 0.05, "g": 11.1125, "d": 12.7, "h_t": 11.1, "h_p": 10.9, "a": 14, "q": -0.1}, Result: 11.1061,
	Code: "joint.Joint.Engagement",
	Function: func(v formula.Values) float64 {
		j := jointOf(plain(v, formula.Values{"F_t": 9.9, "S_p": 12.3, "F_p": 9.9, "S_t": 12.3, "s0_p": 0, "c": 0.1}))
		play := j.Play().MM() // the socket's end moves the seat by as much
		reach := &j.setup.Template.Pin.OpeningReach
		reach.Length += length.Length(v["q"] - j.seatAtNose(play))
		e := j.Engagement()
		return known(e.Entered.Length, e.Entered.Known && math.Abs(e.Seat.MM()-v["q"]) < 1e-9)
	},
}

var straightFlankFormula = formula.Record{
	Name: "straight flank beside straight flank", Section: formula.SectionJoint,
	Text: "L = min(y_s, y_n + q_r, t_t + q_r) - max(0, A, B + q_r), q_r = min(q, 0)", Remark: ", along y", Unit: "mm",
	Symbols: formula.Symbols("t_t q", arcs[2:]...), Source: formula.Derived, Vary: 0.6,
	Example: formula.Values{"t_t": 8, "q": -0.1, "y_n": 7.0343, "y_s": 7.0532, "A": 1, "B": 1.2}, Result: 5.8343,
	Code: "joint.Joint.Engagement",
	Function: func(v formula.Values) float64 {
		j := jointOf(plain(nil, formula.Values{"f0_t": v["y_n"], "s0_p": v["y_s"], "f0_p": -v["A"], "s0_t": -v["B"]}))
		return j.straightFlank(math.Min(v["q"], 0), v["t_t"])
	},
}

var pinReachFormula = formula.Record{
	Name: "pin past the pin board's end", Section: formula.SectionJoint, Text: "e = f0 - ey + (g - d)/2", Remark: ", of the pin pass; below 0 pins stop that much short", Unit: "mm",
	Symbols: formula.Symbols("f0 ey g d"), Source: formula.Derived, Vary: 0.5,
	Example: formula.Values{"f0": 12, "ey": 0.05, "g": 11.1125, "d": 12.7}, Result: 11.1563,
	Code: "joint.Joint.Engagement", Function: engagementOf(func(e *Engagement) Extent { return e.PinReach }),
}

var breakThroughFormula = formula.Record{
	Name: "pin socket past the outside face", Section: formula.SectionJoint, Text: "s0 + ey - g/2 + d/2 - h_t tan a",
	Remark: ", of the tail pass; at 0 or below a bridge that thick stays", Unit: "mm",
	Symbols: formula.Symbols("s0 ey g d h_t a"), Source: formula.Derived, Vary: 0.5,
	Example: formula.Values{"s0": 1, "ey": 0.05, "g": 11.1125, "d": 12.7, "h_t": 10.904, "a": 14}, Result: -0.8749,
	Code: "joint.Joint.Engagement", Function: engagementOf(func(e *Engagement) Extent { return e.BreakThrough }),
}

var outsideOpeningFormula = formula.Record{
	Name: "pin socket's opening in the outside face", Section: formula.SectionJoint,
	Text:   "2 sqrt(r_s^2 - max(0, B)^2), r_s = (S_t - g + d)/2 - h_t tan a",
	Remark: ", at the tail's end, where it breaks through and y_n is not below 0", Unit: "mm",
	Symbols: formula.Symbols("S_t g d h_t a", arcs[5]), Source: formula.Derived, Vary: 0.1,
	Example: formula.Values{"S_t": 12.2936, "g": 11.1125, "d": 12.7, "h_t": 10.904, "a": 14, "B": 1.2}, Result: 8.0955,
	Code: "joint.Joint.Engagement",
	Function: func(v formula.Values) float64 {
		e := jointOf(plain(v, formula.Values{"s0_t": v["S_t"]/2 - v["B"], "f0_t": 10})).Engagement()
		return known(e.OutsideOpening.Length, e.OutsideOpening.MM() > 0)
	},
}

var noseOpeningFormula = formula.Record{
	Name: "the same where the nose begins in front of the face", Section: formula.SectionJoint, Text: "P - 2 sqrt(max(0, R^2 - y_n^2))",
	Remark: ", R at the tail's end", Unit: "mm",
	Symbols: formula.Symbols("P", arcs[0], arcs[2]), Source: formula.Derived, Vary: 0.3,
	Example: formula.Values{"P": 22.225, "R": 7, "y_n": -1}, Result: 8.3686,
	Code: "joint.Joint.Engagement",
	Function: func(v formula.Values) float64 {
		e := jointOf(plain(nil, formula.Values{"P": v["P"], "F_t": 2 * v["R"], "f0_t": v["y_n"] + v["R"], "s0_t": 1})).Engagement()
		return known(e.OutsideOpening.Length, e.OutsideOpening.Known)
	},
}
