package working

import (
	"strconv"

	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/parts"
)

// Drawers shows how the sizes of each drawer came about.
func Drawers(job *parts.Job, plan *parts.Plan, ids []string) []api.WorkingLine {
	var lines []api.WorkingLine
	for i := range plan.Setups {
		s := plan.Setups[i].Prediction.Joint.Setup()
		k, d, g := s.Template.TotalAllowance().MM(), s.Cutter.TipDiameter().MM(), s.Bushing.Diameter.MM()
		if s.Router.TurnedInUse {
			d += 2 * s.Bushing.Eccentricity().MM()
		}
		lines = append(lines, allowanceLine(&s, k),
			line("setup "+strconv.Itoa(i+1)+": play", "c = K + b + 2 (d - g) - 2 h tan a, b what earlier test cuts taught", model+"4",
				values{"K": k, "b": s.Offset.Mean.MM(), "d": d, "g": g, "h": s.Depth.Deeper().MM(), "a": float64(s.Cutter.Angle)},
				plan.Setups[i].Prediction.Fit.Play.MM()))
	}
	for i := range plan.Drawers {
		if plan.Drawers[i].Refusal == nil {
			lines = append(lines, drawerWorking(job, plan, i, ids[i])...)
		}
	}
	return lines
}

func drawerWorking(job *parts.Job, plan *parts.Plan, i int, id string) []api.WorkingLine {
	row, made, name := &job.Drawers[i], &plan.Drawers[i], id+": "
	tf, ts, tb := job.Stock[row.Front].Thickness.MM(), job.Stock[row.Sides].Thickness.MM(), job.Stock[row.BackFrom].Thickness.MM()
	w, d := row.Outside.Width.MM(), row.Outside.Depth.MM()
	side := values{"D": d, "t_f": tf, "h_f": lesser(made.Front.Depth)}
	formula := "D - (t_f - h_f)"
	if made.Back.Known {
		formula += " - (t_b - h_b)"
		side["t_b"], side["h_b"] = tb, lesser(made.Back.Depth)
	}
	lines := []api.WorkingLine{line(name+"side length", formula, model+"12", side, made.Parts[parts.Side].Length.MM())}
	switch row.Back.Joint {
	case parts.HousedBack:
		lines = append(lines, line(name+"back length", "W - 2 t_s + 2 n", model+"12",
			values{"W": w, "t_s": ts, "n": row.Back.Housing.MM()}, made.Parts[parts.Back].Length.MM()))
	case parts.ButtedBack:
		lines = append(lines, line(name+"back length", "W - 2 t_s", model+"12", values{"W": w, "t_s": ts}, made.Parts[parts.Back].Length.MM()))
	}
	if row.Bottom == parts.NoBottom {
		return lines
	}
	m, e := row.Groove.Depth.MM(), row.Groove.Clearance.MM()
	deep := values{"D": d, "t_f": tf, "z": row.Back.Setback.MM(), "m": m, "e": e}
	formula = "D - t_f - z + (m - e)"
	if !row.Groove.UnderBack {
		formula = "D - t_f - t_b - z + 2 (m - e)"
		deep["t_b"] = tb
	}
	return append(lines,
		line(name+"bottom across", "W - 2 t_s + 2 (m - e)", model+"12", values{"W": w, "t_s": ts, "m": m, "e": e}, made.Parts[parts.Bottom].Length.MM()),
		line(name+"bottom front to back", formula, model+"12", deep, made.Parts[parts.Bottom].Width.MM()))
}

// lesser is how far a side goes into a pin board.
func lesser(d joint.Depth) float64 { return min(d.PinBoard.Length, d.TailBoard.Length).MM() }
