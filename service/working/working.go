// Package working shows the arithmetic behind the figures of an answer, ready to
// check by hand: mm and degrees, whatever the request's unit.
package working

import (
	"math"

	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/advise"
	"snugtail/joint/belief"
	"snugtail/joint/formula"
	"snugtail/joint/hold"
	"snugtail/joint/recommend"
	"snugtail/service/answers"
	"snugtail/service/codes"
	"snugtail/service/message"
)

// Prediction shows the figures of one prediction.
func Prediction(w answers.Writer, p *joint.Prediction, target joint.Target) []api.WorkingLine {
	return written(w, prediction(p, target))
}

func prediction(p *joint.Prediction, target joint.Target) []figure {
	s := p.Joint.Setup()
	k, d, g := s.Template.TotalAllowance().MM(), s.Cutter.TipDiameter().MM(), s.Bushing.Diameter.MM()
	if s.Router.TurnedInUse {
		d += 2 * s.Bushing.Eccentricity().MM()
	}
	h, a := s.Depth.Deeper().MM(), float64(s.Cutter.Angle)
	play, depth, gap := &joint.PlayFormula, &joint.DepthFormula, &joint.PulledGapFormula
	known := func(v values) values {
		v["K"], v["d"], v["g"], v["a"] = k, d, g, a
		if s.Offset.Known {
			v["b"] = s.Offset.Mean.MM()
		}
		return v
	}
	if s.Offset.Known {
		play, depth, gap = &joint.LearnedPlayFormula, &joint.LearnedDepthFormula, &joint.LearnedGapFormula
	}
	lines := []figure{
		allowanceLine(&s, k),
		line(message.New("working.play"), play, known(values{"h": h}), p.Fit.Play.MM()),
		line(message.New("working.depth_for_target"), depth, known(values{"c*": target.Play.MM()}), p.DepthForTarget.MM()),
		line(message.New("working.play_per_tenth"), &joint.PlayPerTenthFormula, values{"a": a}, p.PlayPerTenth.MM()),
		procedure(message.New("working.standard_uncertainty"), &joint.UncertaintyLaw, budgetValues(&p.Fit.Budget), p.Fit.Standard.MM()),
	}
	if p.Fit.PulledGapKnown {
		lines = append(lines, line(message.New("working.pulled_gap"), gap, known(values{"h_p": s.Depth.PinBoard.MM()}), p.Fit.PulledGap.MM()))
	}
	if p.Fit.Seat.Known {
		lines = append(lines, seatLine(p, &s, k))
	}
	return append(lines, widthLines(p, &s, d, g)...)
}

func seatLine(p *joint.Prediction, s *joint.Setup, k float64) figure {
	ey := s.Bushing.OffsetY.MM()
	if s.Router.TurnedInUse { // it is swept all round instead
		ey = 0
	}
	return line(message.New("working.seat"), &joint.SeatFormula, values{
		"s0": s.Template.Pin.OpeningReach.MM(), "f0": s.Template.Tail.FingerReach.MM(), "K": k, "c": p.Fit.Play.MM(), "ey": ey,
	}, p.Fit.Seat.Offset.MM())
}

// Choice shows the figures of the first pair, and the terms of its cost.
func Choice(w answers.Writer, c *recommend.Choice, target joint.Target) []api.WorkingLine {
	cost := &c.Cost
	lines := append(prediction(&c.Prediction, target),
		line(message.New("working.trials"), &recommend.TrialsFormula, values{"p1": cost.First, "p2": cost.Second}, cost.Trials),
		line(message.New("working.flare"), &hold.FlareFormula, values{"h": c.Set.Setting.Depth.MM(), "a": float64(c.Cutter.Angle)}, c.Hold.Flare.MM()),
		line(message.New("working.hold"), &recommend.HoldTermFormula, values{"H/H_best": cost.Share}, cost.Hold))
	if lap, known := c.Prediction.Joint.Lap(); known {
		lines = append(lines, line(message.New("working.lap"), &recommend.LapTermFormula, values{"lap": lap.MM()}, cost.Lap))
	}
	return written(w, append(lines, line(message.New("working.cost"), &recommend.CostFormula,
		values{"T": cost.Trials, "hold": cost.Hold, "lap": cost.Lap, "edge_pin": cost.EdgePin}, cost.Total)))
}

type values map[string]float64

// figure is a line before its name is put into a language.
type figure struct {
	name            message.Message
	formula, source string
	values          values
	result          float64
}

// written are the figures as an answer has them.
func written(w answers.Writer, all []figure) []api.WorkingLine {
	lines := make([]api.WorkingLine, len(all))
	for i := range all {
		f, l := &all[i], &lines[i]
		for symbol, x := range f.values {
			f.values[symbol] = answers.Rounded(x)
		}
		l.Name, l.NameMessage = w.Tell("name", f.name)
		l.Formula, l.Values, l.Result, l.Source = f.formula, f.values, answers.Rounded(f.result), f.source
	}
	return lines
}

// line shows a formula as its record has it.
func line(name message.Message, r *formula.Record, v values, result float64) figure {
	return shown(name, r.Shown(), r.Cited(), v, result)
}

// procedure shows what has no closed form.
func procedure(name message.Message, p *formula.Procedure, v values, result float64) figure {
	return shown(name, p.Text, p.Cited(), v, result)
}

func shown(name message.Message, text, source string, v values, result float64) figure {
	return figure{name: name, formula: text, source: source, values: v, result: result}
}

func allowanceLine(s *joint.Setup, k float64) figure {
	t := &s.Template
	switch t.Kind {
	case joint.OnePiece:
		return line(message.New("working.allowance"), &joint.OnePieceFormula, values{"S": t.Tail.Opening.MM(), "P": t.Pitch.MM()}, k)
	case joint.TwoPosition:
		return line(message.New("working.allowance"), &joint.TwoPositionFormula, values{"S_t": t.Tail.Opening.MM(), "F_p": t.Pin.Finger.MM()}, k)
	case joint.Proven:
		j := t.Joint
		return line(message.New("working.allowance"), &joint.ProvenFormula, values{
			"c_proven": j.Play.MM(), "d": j.Cutter.TipDiameter().MM(), "g": j.Bushing.Diameter.MM(),
			"h": j.Depth.MM(), "a": float64(j.Cutter.Angle),
		}, k)
	}
	return shown(message.New("working.allowance"), "K as stated", "the request", values{"K": k}, k)
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

func widthLines(p *joint.Prediction, s *joint.Setup, d, g float64) []figure {
	if !p.WidthsKnown {
		return nil
	}
	pitch, st, fp, a := s.Template.Pitch.MM(), s.Template.Tail.Opening.MM(), s.Template.Pin.Finger.MM(), float64(s.Cutter.Angle)
	hp, ht := s.Depth.PinBoard.MM(), s.Depth.TailBoard.MM()
	return []figure{
		line(message.New("working.pin_widest"), &joint.PinWidestFormula, values{"F_p": fp, "g": g, "d": d, "h_p": hp, "a": a}, p.Widths.PinWidest.MM()),
		line(message.New("working.tail_widest"), &joint.TailWidestFormula, values{"P": pitch, "S_t": st, "g": g, "d": d, "h_t": ht, "a": a}, p.Widths.TailWidest.MM()),
		line(message.New("working.pin_socket_widest"), &joint.PinSocketFormula, values{"S_t": st, "g": g, "d": d}, p.Widths.PinSocketWidest.MM()),
		line(message.New("working.tail_socket_widest"), &joint.TailSocketFormula, values{"P": pitch, "F_p": fp, "g": g, "d": d}, p.Widths.TailSocketWidest.MM()),
	}
}

// Correction shows how the next depth came about.
func Correction(w answers.Writer, a *advise.Advice, s *joint.Setup, target joint.Target) []api.WorkingLine {
	k, d, g := s.Template.TotalAllowance().MM(), s.Cutter.TipDiameter().MM(), s.Bushing.Diameter.MM()
	if s.Router.TurnedInUse {
		d += 2 * s.Bushing.Eccentricity().MM()
	}
	angle := float64(s.Cutter.Angle)
	b, u := a.Posterior.Estimate()
	setting, _ := a.Posterior.SettingPlay()
	perDepth := 2 * s.Cutter.Angle.Tan()
	middle := (target.From + target.To) / 2
	return written(w, []figure{
		allowanceLine(s, k),
		procedure(message.New("working.play_offset"), &belief.OffsetProcedure, values{"u": u.MM()}, b.MM()),
		procedure(message.New("working.next_depth"), &belief.NextDepthProcedure,
			values{"K": k, "b": b.MM(), "d": d, "g": g, "a": angle, "from": target.From.MM(), "to": target.To.MM(), "middle": middle.MM()}, a.NextDepth.MM()),
		line(message.New("working.setting"), &joint.SettingFormula, values{"a": angle, "u_h": setting / perDepth}, setting),
	})
}
