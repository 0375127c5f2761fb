package working

import (
	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/parts"
	"snugtail/service/answers"
	"snugtail/service/message"
)

// Drawers shows how the sizes of each drawer came about.
func Drawers(w answers.Writer, job *parts.Job, plan *parts.Plan, ids []string) []api.WorkingLine {
	var lines []figure
	for i := range plan.Setups {
		s := plan.Setups[i].Prediction.Joint.Setup()
		k, d, g := s.Template.TotalAllowance().MM(), s.Cutter.TipDiameter().MM(), s.Bushing.Diameter.MM()
		if s.Router.TurnedInUse {
			d += 2 * s.Bushing.Eccentricity().MM()
		}
		lines = append(lines, allowanceLine(&s, k),
			line(message.New("working.setup_play", message.Count("setup", i+1)), &joint.LearnedPlayFormula,
				values{"K": k, "b": s.Offset.Mean.MM(), "d": d, "g": g, "h": s.Depth.Deeper().MM(), "a": float64(s.Cutter.Angle)},
				plan.Setups[i].Prediction.Fit.Play.MM()))
	}
	for i := range plan.Drawers {
		if plan.Drawers[i].Refusal == nil {
			lines = append(lines, drawerWorking(job, plan, i, ids[i])...)
		}
	}
	return written(w, lines)
}

func drawerWorking(job *parts.Job, plan *parts.Plan, i int, id string) []figure {
	row, made, drawer := &job.Drawers[i], &plan.Drawers[i], message.Name("drawer", id)
	tf, ts, tb := job.Stock[row.Front].Thickness.MM(), job.Stock[row.Sides].Thickness.MM(), job.Stock[row.BackFrom].Thickness.MM()
	w, d := row.Outside.Width.MM(), row.Outside.Depth.MM()
	side := values{"D": d, "t_f": tf, "h_f": lesser(made.Front.Depth)}
	of := &parts.SideFormula
	if made.Back.Known {
		of = &parts.SideBothFormula
		side["t_b"], side["h_b"] = tb, lesser(made.Back.Depth)
	}
	lines := []figure{line(message.New("working.side_length", drawer), of, side, made.Parts[parts.Side].Length.MM())}
	switch row.Back.Joint {
	case parts.HousedBack:
		lines = append(lines, line(message.New("working.back_length", drawer), &parts.BackHousedFormula,
			values{"W": w, "t_s": ts, "n": row.Back.Housing.MM()}, made.Parts[parts.Back].Length.MM()))
	case parts.ButtedBack:
		lines = append(lines, line(message.New("working.back_length", drawer), &parts.BackButtedFormula, values{"W": w, "t_s": ts}, made.Parts[parts.Back].Length.MM()))
	}
	if row.Bottom == parts.NoBottom {
		return lines
	}
	m, e := row.Groove.Depth.MM(), row.Groove.Clearance.MM()
	deep := values{"D": d, "t_f": tf, "z": row.Back.Setback.MM(), "m": m, "e": e}
	of = &parts.BottomUnderFormula
	if !row.Groove.UnderBack {
		of = &parts.BottomDeepFormula
		deep["t_b"] = tb
	}
	return append(lines,
		line(message.New("working.bottom_across", drawer), &parts.BottomAcrossFormula, values{"W": w, "t_s": ts, "m": m, "e": e}, made.Parts[parts.Bottom].Length.MM()),
		line(message.New("working.bottom_front_to_back", drawer), of, deep, made.Parts[parts.Bottom].Width.MM()))
}

// lesser is how far a side goes into a pin board.
func lesser(d joint.Depth) float64 { return min(d.PinBoard.Length, d.TailBoard.Length).MM() }
