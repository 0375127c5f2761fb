package working

import (
	"slices"
	"strconv"

	"snugtail/api"
	"snugtail/joint/formula"
	"snugtail/joint/seasons"
	"snugtail/joint/wood"
	"snugtail/service/read"
)

// The arithmetic of wood movement, ready to check by hand.

// Movement is the arithmetic, climate by climate.
func Movement(m *read.MovementAsked, year *seasons.Year) []api.WorkingLine {
	var lines []api.WorkingLine
	if m.Predicted != nil && !m.StatesPlay() {
		for _, each := range Prediction(m.Predicted, m.Target) {
			if slices.Contains([]string{"allowance", "play", "standard_uncertainty", "tail_widest"}, each.Name) {
				lines = append(lines, each)
			}
		}
	}
	lines = append(lines, airLines(m)...)
	for i := range year.Outcomes {
		if o := &year.Outcomes[i]; o.Missing == nil {
			lines = append(lines, outcomeLines(m, "climates/"+strconv.Itoa(i)+"/", o)...)
		}
	}
	return lines
}

// airLines are the moistures that follow from some air.
func airLines(m *read.MovementAsked) []api.WorkingLine {
	var lines []api.WorkingLine
	add := func(name string, temperature, humidity *float64, result float64) {
		if temperature != nil && humidity != nil {
			lines = append(lines, line(name+"/moisture", &wood.EquilibriumFormula,
				values{"T": *temperature, "H": *humidity}, result))
		}
	}
	for _, b := range []struct {
		name  string
		in    *api.WoodBoard
		board *wood.Board
	}{{"pin_board", m.In.PinBoard, &m.Question.PinBoard}, {"tail_board", m.In.TailBoard, &m.Question.TailBoard}} {
		if b.in != nil && b.in.Climate != nil {
			add(b.name, b.in.Climate.Temperature, b.in.Climate.Humidity, b.board.Moisture.Percent)
		}
	}
	for i := range m.In.Climates {
		add("climates/"+strconv.Itoa(i), m.In.Climates[i].Temperature, m.In.Climates[i].Humidity, m.Climates[i].Moisture.Percent)
	}
	return lines
}

func outcomeLines(m *read.MovementAsked, at string, o *seasons.Outcome) []api.WorkingLine {
	c, w := &m.Question.Cut, o.Outcome
	ep, et := w.PinBoard.Width.Strain, w.TailBoard.Width.Strain
	width := min(m.Question.PinBoard.Width, m.Question.TailBoard.Width).MM()
	sign := 1.0
	if ep > et {
		sign = -1
	}
	lines := []api.WorkingLine{
		strainLine(at+"pin_board/strain", &m.Question.PinBoard, wood.Width, o.Climate.Moisture.Percent, w.PinBoard.Width),
		strainLine(at+"tail_board/strain", &m.Question.TailBoard, wood.Width, o.Climate.Moisture.Percent, w.TailBoard.Width),
		line(at+"middle", &wood.MiddleFormula,
			values{"c": c.Play.Play.MM(), "w": c.TailWidest.MM(), "e_p": ep, "e_t": et}, w.PlayMiddle.MM()),
		line(at+"outermost", &wood.OutermostFormula,
			values{"c": c.Play.Play.MM(), "W": width, "P": c.Pitch.MM(), "w": c.TailWidest.MM(), "s": sign, "e_p": ep, "e_t": et}, w.PlayOutermost.MM()),
		line(at+"outermost/standard_uncertainty", &seasons.UncertaintyFormula,
			values{"u_c": c.Play.Standard.MM(), "u_wood": w.Uncertainty.MM()}, o.Outermost.Standard.MM()),
		line(at+"edge_step", &wood.EdgeStepFormula, values{"e_p": ep, "e_t": et, "W": width}, w.EdgeStep.MM()),
		strainLine(at+"pin_board/thickness_strain", &m.Question.PinBoard, wood.Thickness, o.Climate.Moisture.Percent, w.PinBoard.Thickness),
		line(at+"shoulder_gap", &wood.ShoulderFormula,
			values{"h_t": c.DepthTailBoard.Or(c.DepthPinBoard).MM(), "h_p": c.DepthPinBoard.MM(), "e": w.PinBoard.Thickness.Strain}, w.ShoulderGap.MM()),
	}
	if w.SeatKnown {
		lines = append(lines, strainLine(at+"tail_board/thickness_strain", &m.Question.TailBoard, wood.Thickness, o.Climate.Moisture.Percent, w.TailBoard.Thickness),
			line(at+"seat_change", &wood.SeatChangeFormula,
				values{"e": w.TailBoard.Thickness.Strain, "y_n + R_n": c.NoseReach.MM()}, w.SeatChange.MM()))
	}
	return lines
}

// strainLine shows a board's strain in one direction.
func strainLine(name string, b *wood.Board, d wood.Direction, now float64, s wood.Swelling) api.WorkingLine {
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
