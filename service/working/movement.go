package working

import (
	"slices"

	"snugtail/api"
	"snugtail/joint/formula"
	"snugtail/joint/seasons"
	"snugtail/joint/wood"
	"snugtail/service/answers"
	"snugtail/service/message"
	"snugtail/service/read"
)

// The arithmetic of wood movement, ready to check by hand.

// Movement is the arithmetic, climate by climate.
func Movement(w answers.Writer, m *read.MovementAsked, year *seasons.Year) []api.WorkingLine {
	var lines []figure
	if m.Predicted != nil && !m.StatesPlay() {
		for _, each := range prediction(m.Predicted, m.Target) {
			if slices.Contains(ofTheCut, each.name.Code) {
				lines = append(lines, each)
			}
		}
	}
	lines = append(lines, airLines(m)...)
	for i := range year.Outcomes {
		if o := &year.Outcomes[i]; o.Missing == nil {
			lines = append(lines, outcomeLines(m, climate(i), o)...)
		}
	}
	return written(w, lines)
}

// ofTheCut are the figures of a prediction that movement starts from.
var ofTheCut = []string{"working.allowance", "working.play", "working.standard_uncertainty", "working.tail_widest"}

// climate is one of the answer's, by its place among them.
func climate(i int) message.Param { return message.Count("climate", i) }

// board is one of the two, by its name in the contract.
func board(name string) message.Param { return message.Word("board", "plain.movement", name) }

// airLines are the moistures that follow from some air.
func airLines(m *read.MovementAsked) []figure {
	var lines []figure
	add := func(name message.Message, temperature, humidity *float64, result float64) {
		if temperature != nil && humidity != nil {
			lines = append(lines, line(name, &wood.EquilibriumFormula,
				values{"T": *temperature, "H": *humidity}, result))
		}
	}
	for _, b := range []struct {
		name  string
		in    *api.WoodBoard
		board *wood.Board
	}{{"pin_board", m.In.PinBoard, &m.Question.PinBoard}, {"tail_board", m.In.TailBoard, &m.Question.TailBoard}} {
		if b.in != nil && b.in.Climate != nil {
			add(message.New("working.board_moisture", board(b.name)), b.in.Climate.Temperature, b.in.Climate.Humidity, b.board.Moisture.Percent)
		}
	}
	for i := range m.In.Climates {
		add(message.New("working.climate_moisture", climate(i)), m.In.Climates[i].Temperature, m.In.Climates[i].Humidity, m.Climates[i].Moisture.Percent)
	}
	return lines
}

func outcomeLines(m *read.MovementAsked, at message.Param, o *seasons.Outcome) []figure {
	c, w := &m.Question.Cut, o.Outcome
	ep, et := w.PinBoard.Width.Strain, w.TailBoard.Width.Strain
	width := min(m.Question.PinBoard.Width, m.Question.TailBoard.Width).MM()
	sign := 1.0
	if ep > et {
		sign = -1
	}
	lines := []figure{
		strainLine(message.New("working.strain", at, board("pin_board")).As("width"), &m.Question.PinBoard, wood.Width, o.Climate.Moisture.Percent, w.PinBoard.Width),
		strainLine(message.New("working.strain", at, board("tail_board")).As("width"), &m.Question.TailBoard, wood.Width, o.Climate.Moisture.Percent, w.TailBoard.Width),
		line(message.New("working.middle", at), &wood.MiddleFormula,
			values{"c": c.Play.Play.MM(), "w": c.TailWidest.MM(), "e_p": ep, "e_t": et}, w.PlayMiddle.MM()),
		line(message.New("working.outermost", at), &wood.OutermostFormula,
			values{"c": c.Play.Play.MM(), "W": width, "P": c.Pitch.MM(), "w": c.TailWidest.MM(), "s": sign, "e_p": ep, "e_t": et}, w.PlayOutermost.MM()),
		line(message.New("working.outermost_standard_uncertainty", at), &seasons.UncertaintyFormula,
			values{"u_c": c.Play.Standard.MM(), "u_wood": w.Uncertainty.MM()}, o.Outermost.Standard.MM()),
		line(message.New("working.edge_step", at), &wood.EdgeStepFormula, values{"e_p": ep, "e_t": et, "W": width}, w.EdgeStep.MM()),
		strainLine(message.New("working.strain", at, board("pin_board")).As("thickness"), &m.Question.PinBoard, wood.Thickness, o.Climate.Moisture.Percent, w.PinBoard.Thickness),
		line(message.New("working.shoulder_gap", at), &wood.ShoulderFormula,
			values{"h_t": c.DepthTailBoard.Or(c.DepthPinBoard).MM(), "h_p": c.DepthPinBoard.MM(), "e": w.PinBoard.Thickness.Strain}, w.ShoulderGap.MM()),
	}
	if w.SeatKnown {
		lines = append(lines, strainLine(message.New("working.strain", at, board("tail_board")).As("thickness"), &m.Question.TailBoard, wood.Thickness, o.Climate.Moisture.Percent, w.TailBoard.Thickness),
			line(message.New("working.seat_change", at), &wood.SeatChangeFormula,
				values{"e": w.TailBoard.Thickness.Strain, "y_n + R_n": c.NoseReach.MM()}, w.SeatChange.MM()))
	}
	return lines
}

// strainLine shows a board's strain in one direction.
func strainLine(name message.Message, b *wood.Board, d wood.Direction, now float64, s wood.Swelling) figure {
	v := values{"M_0": b.Moisture.Percent, "M": now}
	one, other := &wood.CoefficientFormula, &wood.ShrinkageFormula
	rate, shrinkage := woodRates(b, d, v)
	switch s.Basis {
	case wood.BasisNone:
		forget(v, "C")
		forget(v, "S")
		return shown(name, "no change", formula.InSection(formula.SectionWood), v, s.Strain)
	case wood.BasisCoefficient:
		forget(v, "S")
		return shown(name, one.With("C", rate), one.Cited(), v, s.Strain)
	case wood.BasisShrinkage:
		forget(v, "C")
		return shown(name, shrinkage, other.Cited(), v, s.Strain)
	default:
		return shown(name, "part by part, one after the other: "+rate+" times the change between 6 and 14 %, and outside "+shrinkage+
			" for each part", "Wood Handbook, FPL-GTR-190, equation (13-2) and (13-3), the latter from memory", v, s.Strain)
	}
}

// woodRates puts a board's coefficients and shrinkages among the values and
// returns how they enter: the coefficient, and the formula of shrinkage, of one
// direction of the log or the mean of both.
func woodRates(b *wood.Board, d wood.Direction, v values) (rate, shrinkage string) {
	w := &b.Wood
	all := map[string][2]float64{
		"R": {w.RadialCoefficient.Value, w.RadialShrinkage.Value},
		"T": {w.TangentialCoefficient.Value, w.TangentialShrinkage.Value},
	}
	if !w.Known() {
		middle := wood.Middle()
		all["R"] = [2]float64{middle.RadialCoefficient.Median, middle.RadialShrinkage.Median}
		all["T"] = [2]float64{middle.TangentialCoefficient.Median, middle.TangentialShrinkage.Median}
	}
	for _, name := range directions(b.Grain, d) {
		v["C_"+name], v["S_"+name] = all[name][0], all[name][1]
	}
	of := &wood.ShrinkageFormula
	if len(directions(b.Grain, d)) == 2 {
		return "((C_R + C_T)/2)", "the mean of " + of.Text + " for S_R and S_T"
	}
	name := directions(b.Grain, d)[0]
	return "(C_" + name + ")", of.With("S", "S_"+name)
}

// directions of the log that a board's direction runs in.
func directions(g wood.Grain, d wood.Direction) []string {
	switch {
	case g == wood.FlatSawn && d == wood.Width, g == wood.QuarterSawn && d == wood.Thickness:
		return []string{"T"}
	case g == wood.FlatSawn, g == wood.QuarterSawn:
		return []string{"R"}
	}
	return []string{"R", "T"}
}

func forget(v values, symbol string) {
	delete(v, symbol+"_R")
	delete(v, symbol+"_T")
}
