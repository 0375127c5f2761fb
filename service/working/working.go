// Package working shows the arithmetic behind the figures of an answer, ready to
// check by hand: mm and degrees, whatever the request's unit.
package working

import (
	"math"

	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/advise"
	"snugtail/joint/recommend"
	"snugtail/service/answers"
	"snugtail/service/codes"
)

const model = "model section "

// Prediction shows the figures of one prediction.
func Prediction(p *joint.Prediction, target joint.Target) []api.WorkingLine {
	s := p.Joint.Setup()
	k, d, g := s.Template.TotalAllowance().MM(), s.Cutter.TipDiameter().MM(), s.Bushing.Diameter.MM()
	if s.Router.TurnedInUse {
		d += 2 * s.Bushing.Eccentricity().MM()
	}
	h, a := s.Depth.Deeper().MM(), float64(s.Cutter.Angle)
	lines := []api.WorkingLine{
		allowanceLine(&s, k),
		line("play", "c = K + 2 (d - g) - 2 h tan a", model+"4",
			values{"K": k, "d": d, "g": g, "h": h, "a": a}, p.Fit.Play.MM()),
		line("depth_for_target", "h* = (K + 2 (d - g) - c*) / (2 tan a)", model+"4",
			values{"K": k, "d": d, "g": g, "a": a, "c*": target.Play.MM()}, p.DepthForTarget.MM()),
		line("play_per_tenth", "0.1 * 2 tan a", model+"4", values{"a": a}, p.PlayPerTenth.MM()),
		line("standard_uncertainty", "u_c^2 = sum (dc/dx_i)^2 u_i^2, each value the term of one source", "JCGM 100:2008, equation 10",
			budgetValues(&p.Fit.Budget), p.Fit.Standard.MM()),
	}
	if p.Fit.PulledGapKnown {
		lines = append(lines, line("pulled_gap", "w = (K + 2 (d - g)) / (2 tan a) - h_p", model+"4",
			values{"K": k, "d": d, "g": g, "a": a, "h_p": s.Depth.PinBoard.MM()}, p.Fit.PulledGap.MM()))
	}
	if p.Fit.Seat.Known {
		lines = append(lines, line("seat", "q = s0 - f0 - K/2 + c/2 + 2 ey, less where a thin board's face or the pins' ends touch first", model+"5",
			values{
				"s0": s.Template.Pin.OpeningReach.MM(), "f0": s.Template.Tail.FingerReach.MM(), "K": k,
				"c": p.Fit.Play.MM(), "ey": s.Bushing.OffsetY.MM(),
			}, p.Fit.Seat.Offset.MM()))
	}
	return append(lines, widthLines(p, &s, d, g)...)
}

// Choice shows the figures of the first pair, and the terms of its cost.
func Choice(c *recommend.Choice, target joint.Target) []api.WorkingLine {
	const pairs = "model, second part, section 3"
	cost := &c.Cost
	lines := append(Prediction(&c.Prediction, target),
		line("trials", "T = 1 + (1 - p1) + (1 - p1)(1 - p2)", pairs, values{"p1": cost.First, "p2": cost.Second}, cost.Trials),
		line("flare", "f = h tan a", pairs, values{"h": c.Set.Setting.Depth.MM(), "a": float64(c.Cutter.Angle)}, c.Hold.Flare.MM()),
		line("hold", "log2(H_best/H)", pairs, values{"H/H_best": cost.Share}, cost.Hold))
	if lap, known := c.Prediction.Joint.Lap(); known {
		lines = append(lines, line("lap", "max(0, 4.8 - lap)/1.6, judgement", pairs, values{"lap": lap.MM()}, cost.Lap))
	}
	return append(lines, line("cost", "T + hold + lap + edge pin, in test joints; exchange rates are judgement", pairs,
		values{"T": cost.Trials, "hold": cost.Hold, "lap": cost.Lap, "edge_pin": cost.EdgePin}, cost.Total))
}

type values map[string]float64

func line(name, formula, source string, v values, result float64) api.WorkingLine {
	for key, x := range v {
		v[key] = answers.Rounded(x)
	}
	return api.WorkingLine{Name: name, Formula: formula, Values: v, Result: answers.Rounded(result), Source: source}
}

func allowanceLine(s *joint.Setup, k float64) api.WorkingLine {
	t := &s.Template
	switch t.Kind {
	case joint.OnePiece:
		return line("allowance", "K = 2 S - P", model+"2", values{"S": t.Tail.Opening.MM(), "P": t.Pitch.MM()}, k)
	case joint.TwoPosition:
		return line("allowance", "K = S_t - F_p", model+"2", values{"S_t": t.Tail.Opening.MM(), "F_p": t.Pin.Finger.MM()}, k)
	case joint.Proven:
		j := t.Joint
		return line("allowance", "K = c_proven - 2 (d - g) + 2 h tan a, all of the proven joint", model+"4",
			values{
				"c_proven": j.Play.MM(), "d": j.Cutter.TipDiameter().MM(), "g": j.Bushing.Diameter.MM(),
				"h": j.Depth.MM(), "a": float64(j.Cutter.Angle),
			}, k)
	}
	return line("allowance", "K as stated", "the request", values{"K": k}, k)
}

func budgetValues(b *joint.Budget) values {
	v := values{}
	for source, variance := range b {
		if variance > 0 {
			v[codes.Sources[source]] = math.Sqrt(variance)
		}
	}
	return v
}

func widthLines(p *joint.Prediction, s *joint.Setup, d, g float64) []api.WorkingLine {
	if !p.WidthsKnown {
		return nil
	}
	pitch, st, fp, a := s.Template.Pitch.MM(), s.Template.Tail.Opening.MM(), s.Template.Pin.Finger.MM(), float64(s.Cutter.Angle)
	hp, ht := s.Depth.PinBoard.MM(), s.Depth.TailBoard.MM()
	return []api.WorkingLine{
		line("pin_widest", "F_p + g - d + 2 h_p tan a", model+"3", values{"F_p": fp, "g": g, "d": d, "h_p": hp, "a": a}, p.Widths.PinWidest.MM()),
		line("tail_widest", "P - S_t + g - d + 2 h_t tan a", model+"3", values{"P": pitch, "S_t": st, "g": g, "d": d, "h_t": ht, "a": a}, p.Widths.TailWidest.MM()),
		line("pin_socket_widest", "S_t - g + d", model+"3", values{"S_t": st, "g": g, "d": d}, p.Widths.PinSocketWidest.MM()),
		line("tail_socket_widest", "P - F_p - g + d", model+"3", values{"P": pitch, "F_p": fp, "g": g, "d": d}, p.Widths.TailSocketWidest.MM()),
	}
}

// Correction shows how the next depth came about.
func Correction(a *advise.Advice, s *joint.Setup, target joint.Target) []api.WorkingLine {
	k, d, g := s.Template.TotalAllowance().MM(), s.Cutter.TipDiameter().MM(), s.Bushing.Diameter.MM()
	if s.Router.TurnedInUse {
		d += 2 * s.Bushing.Eccentricity().MM()
	}
	angle := float64(s.Cutter.Angle)
	b, u := a.Posterior.Estimate()
	setting, _ := a.Posterior.SettingPlay()
	middle := (target.From + target.To) / 2
	return []api.WorkingLine{
		allowanceLine(s, k),
		line("play_offset", "b: mean of its distribution after all that was told; u its standard uncertainty", model+"9",
			values{"u": u.MM()}, b.MM()),
		line("next_depth", "h with the most of the distribution of c = K + b + 2 (d - g) - 2 h tan a between from and to", model+"9",
			values{"K": k, "b": b.MM(), "d": d, "g": g, "a": angle, "from": target.From.MM(), "to": target.To.MM(), "middle": middle.MM()}, a.NextDepth.MM()),
		line("setting", "2 tan a u_h, what setting the depth adds to the uncertainty of play", "JCGM 100:2008, equation 10",
			values{"a": angle}, setting),
	}
}
