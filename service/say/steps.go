package say

import (
	"snugtail/joint"
	"snugtail/joint/advise"
	"snugtail/joint/length"
	"snugtail/service/codes"
	"snugtail/service/message"
)

// Steps: what is done, in the order in which it is done. The same words carry
// out a decision and cure a cause. The first sentence of a step says what is done,
// and can stand alone.

// fixStates are what is done where something else than a setting is put right.
var fixStates = [...]string{
	advise.FixNone: "", advise.FixLimit: "limit", advise.FixCentre: "centre", advise.FixFacing: "facing",
	advise.FixBothSides: "both_sides", advise.FixFace: "face", advise.FixFlatBoards: "flat_boards",
	advise.FixThickness: "thickness", advise.FixSquareEnds: "square_ends", advise.FixDullCutter: "dull_cutter",
	advise.FixMoisture: "moisture", advise.FixPair: "pair", advise.FixDepthInWood: "depth_in_wood",
	advise.FixReseat: "reseat", advise.FixTighten: "tighten", advise.FixSquareTemplate: "square_template", advise.FixGlue: "glue",
	advise.FixThinner: "thinner", advise.FixReaches: "reaches",
}

// reasonCodes are what steps are for.
var reasonCodes = [...]string{
	advise.ReasonPlay: "play", advise.ReasonSeat: "seat", advise.ReasonEdges: "edges", advise.ReasonUnequalDepths: "unequal_depths",
	advise.ReasonLimit: "limit", advise.ReasonTry: "try", advise.ReasonFits: "fits", advise.ReasonUnsure: "unsure",
	advise.ReasonSetting: "setting", advise.ReasonHalfPitch: "half_pitch", advise.ReasonCause: "cause", advise.ReasonNoJoint: "no_joint",
}

// Step is what to do.
func (w Words) Step(s *advise.Step, a *advise.Advice) message.Message {
	m := message.New("step." + codes.Actions[s.Action])
	switch s.Action {
	case advise.LowerCutter:
		return message.Sentences(depthStep(m, s), message.New("step_then.fresh_boards"))
	case advise.RaiseCutter:
		return depthStep(m, s)
	case advise.MoveTemplateIn, advise.MoveTemplateOut:
		return moved(m, s, a)
	case advise.SetSideStop:
		return message.Sentences(sideStop(m, s), message.New("step_then.side_stop"))
	case advise.LevelBoards:
		return levelBoards(m, s)
	case advise.Measure:
		return measureStep(m, s)
	case advise.RecutTest:
		return recut(m, s, a)
	case advise.KeepGauge:
		return m.With(message.Length("depth", s.Depth))
	case advise.ChangeBushing, advise.ChangeCutter:
		return message.Sentences(otherTool(m, s), message.New("step_then.fitted"))
	case advise.StopAndFix:
		return w.stopAndFix(m, s, a)
	}
	return m
}

func depthStep(m message.Message, s *advise.Step) message.Message {
	m = m.With(message.Length("by", s.Amount)).As("from_now")
	if s.TurnsKnown {
		m = m.With(message.Number("turns", s.Turns))
	}
	if s.DepthKnown {
		return m.With(message.Length("depth", s.Depth)).As("to_depth")
	}
	return m
}

func moved(m message.Message, s *advise.Step, a *advise.Advice) message.Message {
	m = m.With(message.Length("by", s.Amount))
	if setup := a.Next.Setup(); setup.Template.Kind == joint.TwoPosition {
		return m.With(message.Length("in_one_pass", 2*s.Amount)).As("each_pass")
	}
	return m.As("both_boards")
}

func sideStop(m message.Message, s *advise.Step) message.Message {
	m = m.With(message.Length("by", s.Amount))
	if s.Size < 0 {
		return m.As("further")
	}
	return m.As("closer")
}

func levelBoards(m message.Message, s *advise.Step) message.Message {
	switch {
	case !s.AmountKnown:
		return m.As("level")
	case s.Size > 0:
		return m.With(message.Length("by", s.Amount)).As("too_high")
	}
	return m.With(message.Length("by", s.Amount)).As("too_low")
}

func measureStep(m message.Message, s *advise.Step) message.Message {
	if s.Reason == advise.ReasonSetting {
		return m.As("finer_setting")
	}
	return message.Sentences(m.With(checkShort(s.Check)).As("check"), CheckText(s.Check))
}

func recut(m message.Message, s *advise.Step, a *advise.Advice) message.Message {
	switch {
	case s.DepthKnown && a.Deeper != 0:
		return m.With(message.Length("depth", s.Depth), message.Length("in_wood", s.Depth+a.Deeper)).As("set_as_before")
	case s.DepthKnown:
		return m.With(message.Length("depth", s.Depth)).As("measured")
	}
	return m.As("as_set")
}

func otherTool(m message.Message, s *advise.Step) message.Message {
	switch {
	case s.Action == advise.ChangeCutter && s.Angle > 0:
		return m.With(message.Angle("angle", float64(s.Angle))).As("of_angle")
	case s.SizeKnown:
		return m.With(message.Length("diameter", s.Size)).As("of_size")
	}
	return m.As("as_meant")
}

func (w Words) stopAndFix(m message.Message, s *advise.Step, a *advise.Advice) message.Message {
	fix := m.As(fixStates[s.Fix])
	switch {
	case s.Reason == advise.ReasonHalfPitch:
		return message.Sentences(m.As("half_pitch"), message.New("step_then.half_pitch"))
	case s.Fix == advise.FixLimit:
		return fix.With(message.Said("limit", BrokenLimit(s.Limit)))
	case s.Fix == advise.FixReaches:
		return NoJoint(&a.Shortfall)
	case s.Fix == advise.FixDullCutter, s.Fix == advise.FixMoisture:
		return message.Sentences(fix, message.New("step_then."+fix.State))
	}
	return fix
}

// StepWhy is what a step is for.
func StepWhy(s *advise.Step) message.Message {
	m := message.New("step_why." + reasonCodes[s.Reason])
	switch {
	case s.Reason == advise.ReasonPlay && s.Action == advise.LowerCutter:
		return m.As("deeper")
	case s.Reason == advise.ReasonPlay:
		return m.As("shallower")
	case s.Reason == advise.ReasonLimit && s.Action == advise.StopAndFix:
		return m.As("in_the_way")
	case s.Reason == advise.ReasonLimit:
		return m.As("brought_within")
	case s.Reason == advise.ReasonCause:
		return m.With(causeName(s.Cause))
	}
	return m
}

// Salvage is what becomes of boards that are cut.
func Salvage(s *advise.Salvage) message.Message {
	m := message.New("salvage." + codes.Salvages[s.Code])
	if s.AmountKnown {
		amount := message.Length("amount", s.Amount)
		if s.Amount > 0 { // then it stands beside
			amount = amount.Beside()
		}
		m = m.With(amount)
	}
	switch {
	case s.Code != advise.RunAgainShallower:
		return m
	case !s.Possible:
		return m.With(message.Said("limit", BrokenLimit(s.Limit))).As("not_possible")
	}
	return m.As("possible")
}

// PartOff is a part that measures otherwise than the set-up gives.
func PartOff(p *advise.PartOff) message.Message {
	off, way := p.Measured-p.Expected, "more"
	if off < 0 {
		way = "less"
	}
	m := message.New("part_off", message.Word("part", "part_off_part", codes.Measured[p.Part]).Beside(),
		message.Length("by", max(off, -off)), message.Word("way", "part_off_way", way))
	switch p.Part {
	case advise.PartPinSocket, advise.PartTailSocket:
		return m.As("sockets")
	case advise.PartPin, advise.PartTail:
		return m.As("pins_or_tails")
	}
	return m.As("depth")
}

// Drift is when to look again.
func Drift(d advise.Drift) message.Message {
	if !d.Known {
		return message.New("check_again").As("every_joint")
	}
	return message.New("check_again", message.Length("shallower", d.Shallower).Beside(), message.Length("deeper", d.Deeper).Beside(),
		message.Count("after_joints", d.Joints).Beside()).As("after_joints")
}

// Gauge is what to write on the test tail board that is kept.
func Gauge(a *advise.Advice, depth length.Length) message.Message {
	setup := a.Next.Setup()
	m := message.New("gauge", message.Length("cutter", setup.Cutter.Diameter.Length), message.Angle("angle", float64(setup.Cutter.Angle)),
		message.Length("bushing", setup.Bushing.Diameter.Length), message.Length("depth", depth))
	switch {
	case a.Decision.Why == advise.WhyNoJoint:
		return m.As("no_joint")
	case a.Verdict == advise.Fits:
		return m.As("fits")
	}
	return m.As("to_be_tried")
}
