package say

import (
	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/joint/recommend"
	"snugtail/service/codes"
	"snugtail/service/message"
)

// Which cutter with which bushing.

// Rates are what the terms of the sum are exchanged at.
func Rates() message.Message {
	return message.New("rates",
		message.Length("lap", recommend.LapWorth), message.Length("comfortable", joint.ComfortableLap),
		message.Length("edge_pin", recommend.EdgePinWorth), message.Length("least", joint.LeastRoot), message.Number("tie", recommend.Tie))
}

// guideWord names what runs along the template.
func guideWord(kind joint.BushingKind) message.Param {
	return message.Word("guide", "guide", codes.GuideNames[kind])
}

// WhyNot says what keeps a pair from serving.
func (w Words) WhyNot(r *recommend.Refusal) message.Message {
	if !r.Outside {
		return w.whyNot(r)
	}
	window := message.New("why_not_window", guideWord(r.Bushing.Kind),
		message.Length("difference", r.Window.Difference), message.Length("least", r.Window.Least))
	if r.Window.MostKnown {
		window = window.With(message.Length("most", r.Window.Most))
	}
	return message.Sentences(w.whyNot(r), window)
}

func (w Words) whyNot(r *recommend.Refusal) message.Message {
	m := message.New("why_not", message.Length("depth", r.Depth))
	switch r.Obstacle {
	case recommend.ObstacleNoDepth:
		return message.New("why_not", message.Length("play", r.PlayAtNone), guideWord(r.Bushing.Kind)).As("no_depth")
	case recommend.ObstacleTooShallow:
		return m.With(message.Length("least", recommend.LeastDepth)).As("too_shallow")
	case recommend.ObstacleNoSetting:
		return m.As("no_setting")
	case recommend.ObstacleImpossible:
		if r.Impossible.Reason == joint.ReasonThroughPinBoard {
			return m.With(message.Length("board", length.Length(r.Impossible.Limit))).As("through_pin_board")
		}
		return m.With(message.Said("why", Impossible(r.Impossible))).As("impossible")
	}
	switch r.Limit.Code {
	case joint.LimitLap:
		return m.With(message.Length("lap", r.Limit.Margin+joint.LeastLap), message.Length("least", joint.LeastLap)).As("lap")
	case joint.LimitCuttingLength:
		return m.With(message.Length("cutting_length", r.Depth+r.Limit.Margin)).As("cutting_length")
	case joint.LimitTailLeft, joint.LimitTailEnters, joint.LimitStraightFlank:
		return m.With(message.Said("limit", BrokenLimit(r.Limit))).As("no_joint")
	}
	return m.With(message.Said("limit", BrokenLimit(r.Limit))).As("limit")
}

// Why says what puts a choice where it is: every term of its sum.
func (w Words) Why(c *recommend.Choice, rank int) message.Message {
	m := message.New("why", message.Said("costs", costs(c)))
	if tight := tight(c); len(tight) > 0 {
		m = m.With(message.List("tight", tight...))
	}
	if rank == 1 {
		m = m.As("first")
	} else {
		m = m.As("further")
	}
	if c.Moved == nil {
		return m
	}
	return message.Sentences(m, w.Moved(c.Moved, c.Set.Setting.Depth, c.Prediction.Fit.Play))
}

// costs are the terms of the sum.
func costs(c *recommend.Choice) message.Message {
	cost := &c.Cost
	m := message.New("pair_costs", message.Number("total", cost.Total), message.Number("trials", cost.Trials),
		message.Chance("first", cost.First), message.Number("hold", cost.Hold), message.Said("held", held(c)))
	if lap, ok := c.Prediction.Joint.Lap(); ok {
		m = m.With(message.Length("lap_left", lap), message.Number("lap", cost.Lap))
	}
	if cost.EdgePin > 0 {
		m = m.With(message.Number("edge_pin", cost.EdgePin))
	}
	return m
}

// held is what a pair holds, in newtons where the woods are known.
func held(c *recommend.Choice) message.Message {
	share := message.New("pair_share", message.Chance("share", c.Cost.Share)).As("some")
	if c.Cost.Share == 1 {
		share = message.New("pair_share").As("most")
	}
	if c.Hold.SlopeKnown {
		return message.New("pair_held", message.Number("slope", c.Hold.Slope), message.Said("share", share)).As("slope")
	}
	return message.New("pair_held", message.Length("flare", c.Hold.Flare), message.Said("share", share)).As("flare")
}

// tight names the limits that deserve a caution.
func tight(c *recommend.Choice) []message.Message {
	all := make([]message.Message, len(c.Cautions))
	for i, code := range c.Cautions {
		if c.Prediction.Limits[code].Broken() {
			all[i] = message.New("limit_broken").As(codes.Limits[code])
		} else {
			all[i] = message.New("limit_keeps", appendLeast(nil, code)...).As(codes.Limits[code])
		}
	}
	return all
}

// LeadsWhile is while what the first pair leads.
func LeadsWhile(b *recommend.BreakEven) string {
	switch {
	case b.Tie != recommend.TieNone:
		return "alike"
	case b.Always:
		return "always"
	case b.More:
		return "worth_more"
	}
	return "worth_less"
}

var tieBreakers = map[recommend.TieBreaker]string{recommend.TieCautions: "cautions", recommend.TieLap: "lap", recommend.TieFirst: "first"}

// BreakEven says what the lead of the first pair hangs on.
func BreakEven(r *recommend.Result) message.Message {
	m := message.New("break_even", message.Said("second", pair(&r.Choices[1]))).As(LeadsWhile(&r.BreakEven))
	if by := r.BreakEven.Tie; by != recommend.TieNone {
		return m.With(message.Number("less", r.BreakEven.Less).Beside(), message.Word("by", "tie_breaker", tieBreakers[by]))
	}
	if r.BreakEven.Always {
		return m
	}
	return m.With(message.Number("worth", r.BreakEven.Worth).Beside(), message.Number("assumed", recommend.HoldWorth))
}

func pair(c *recommend.Choice) message.Message {
	return message.New("pair", message.Length("cutter", c.Cutter.Diameter.Length), message.Angle("angle", float64(c.Cutter.Angle)),
		message.Length("bushing", c.Bushing.Diameter.Length), guideWord(c.Bushing.Kind))
}

// Change is what else would serve, where no pair does.
func Change(c recommend.Change) message.Message {
	m := message.New("change."+codes.Changes[c.Code], message.Length("cutter", c.Cutter.Diameter.Length))
	switch angle := message.Angle("angle", float64(c.Cutter.Angle)); c.Code {
	case recommend.SteeperAngle, recommend.ShallowerAngle:
		m = m.With(message.Angle("angle", float64(c.Angle)))
	case recommend.LargerBushing:
		m = m.With(message.Length("size", c.Size), angle, guideWord(c.Bushing.Kind)).As("larger")
	case recommend.SmallerBushing:
		m = m.With(message.Length("size", c.Size), angle, guideWord(c.Bushing.Kind)).As("smaller")
	case recommend.ThickerBoard:
		m = m.With(message.Length("size", c.Size), angle)
	default:
		return message.New("change." + codes.Changes[c.Code])
	}
	if c.CuttingLength > 0 { // which cutting edges it needs beside
		return m.With(message.Length("cutting_length", c.CuttingLength))
	}
	return m
}

// Moved says why another depth is taken than the one that gives the target's play.
func (w Words) Moved(r *recommend.Refusal, depth, play length.Length) message.Message {
	return message.New("pair_moved", message.Length("depth", depth), message.Length("play", play), message.Said("why", w.WhyNot(r)))
}

// ChoiceSummary says which pair to take, and what its lead hangs on.
func ChoiceSummary(r *recommend.Result) message.Message {
	if len(r.Choices) == 0 {
		return noneWorks(r.Refused)
	}
	first := &r.Choices[0]
	take := message.New("choice", message.Said("pair", pair(first)), message.Length("depth", first.Set.Setting.Depth),
		message.Chance("chance", first.Cost.First)).As(RestsOn(&first.Prediction.Joint))
	summary := []message.Message{take, others(len(r.Choices)-1+r.Unlisted, len(r.Refused))}
	if r.BreakEven.Known {
		summary = append(summary, BreakEven(r))
	}
	return message.Sentences(summary...)
}

// noneWorks says that no pair keeps the limits.
func noneWorks(refused []recommend.Refusal) message.Message {
	m := message.New("choice_none", message.Count("pairs", len(refused)))
	switch len(refused) {
	case 1:
		return m.With(guideWord(refused[0].Bushing.Kind)).As("one")
	case 2:
		return m.As("two")
	}
	return m.As("many")
}

// others says how many of the other pairs work.
func others(work, fail int) message.Message {
	all := work + fail
	m := message.New("choice_others", message.Count("pairs", all), message.Count("work", work))
	switch {
	case all == 0:
		return message.Message{}
	case all == 1 && work == 1:
		return m.As("one_works")
	case all == 1:
		return m.As("one_fails")
	case work == 0 && all == 2:
		return m.As("two_fail")
	case work == 0:
		return m.As("all_fail")
	case fail == 0 && all == 2:
		return m.As("two_work")
	case fail == 0:
		return m.As("all_work")
	}
	return m.As("some_work")
}

// CuttersNote and BushingsNote stand above the built-in sets.
func CuttersNote() message.Message  { return message.New("stock_note").As("cutters") }
func BushingsNote() message.Message { return message.New("stock_note").As("bushings") }
