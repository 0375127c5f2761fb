package say

import (
	"fmt"

	"snugtail/joint"
	"snugtail/joint/advise"
	"snugtail/joint/length"
)

// Steps: what is done, in the order in which it is done. The same words carry
// out a decision and cure a cause.

const freshBoards = " Use fresh test boards: wood can't be put back."

// fixTexts say what to do where something else than a setting is put right.
var fixTexts = map[advise.Fix]string{
	advise.FixCollet:         "Router unplugged: clean collet and shank, push the shank in as far as it goes, draw it back a hair, and tighten the collet; mark the shank to see whether it creeps again.",
	advise.FixCentre:         "Router unplugged: centre the bushing on the cutter's axis, with a centring cone.",
	advise.FixFacing:         "Keep the router facing one way from the first opening to the last, and centre the bushing on the cutter's axis.",
	advise.FixBothSides:      "Follow both sides of every opening, the bushing pressed to the template, in a second pass too.",
	advise.FixSeatTemplate:   "Bring the template down flat on both boards, the same at both ends, and clamp it there.",
	advise.FixFace:           "Put face and edge as marked to the right stop, the same ones every time, and cut new boards.",
	advise.FixFlatBoards:     "Take flat boards, or clamp them flat over their whole width before the template comes down.",
	advise.FixThickness:      "Take boards of the thickness stated, or state the one they have; cut the ridge on a thick side away in front.",
	advise.FixSquareEnds:     "Square the ends of both boards, and cut again.",
	advise.FixChips:          "Blow the chips out from under template, stops and router base before every cut, and cut again.",
	advise.FixDepthLock:      "Lock the depth so that it stays, and try by hand whether it does.",
	advise.FixDullCutter:     "Fit a sharp cutter. A resharpened one is narrower: measure it and state its diameter.",
	advise.FixMoisture:       "Keep both boards together until their moisture is alike, cut them and put them together the same day. Boards already cut may come back as they settle.",
	advise.FixPair:           "Cut both boards of a joint with one set-up, one after the other, and mark them as a pair.",
	advise.FixDepthInWood:    "Take the depth of cut from the wood, with a cut in scrap: neither the projection below the router's base nor that below the bushing's tip is the depth of cut.",
	advise.FixReseat:         "Blow out the chips, seat the template flat and level, the same at both ends, and set the side stop.",
	advise.FixTighten:        "Router unplugged: clean and tighten the collet, and lock the depth; turn the adjuster up to the setting from one side, so that its backlash is out.",
	advise.FixSquareTemplate: "Set the template the same distance onto the pin board at both ends, and clamp it there.",
	advise.FixGlue:           "Less water on the joint: glue in the sockets only, put together at once, clamps ready.",
	advise.FixThinner:        "Set less depth than the pin board is thick, with a lap left in front.",
}

// Step is what to do.
func (w Words) Step(s *advise.Step, a *advise.Advice) string {
	switch s.Action {
	case advise.LowerCutter:
		return w.turn(s, "Lower the cutter (deeper)") + freshBoards
	case advise.RaiseCutter:
		return w.turn(s, "Raise the cutter (shallower)")
	case advise.MoveTemplateIn:
		return w.moveTemplate(s, a, "onto the pin board (away from you)")
	case advise.MoveTemplateOut:
		return w.moveTemplate(s, a, "off the pin board (towards you)")
	case advise.SetSideStop:
		return w.sideStop(s)
	case advise.LevelBoards:
		return w.levelBoards(s)
	case advise.Measure:
		return w.measureStep(s)
	case advise.RecutTest:
		return w.recut(s, a)
	case advise.KeepGauge:
		return fmt.Sprintf("Keep the test tail board as a depth gauge: mark it with the cutter and %s.", w.Setting(s.Depth))
	case advise.StopAdjusting:
		return "Stop adjusting: it fits. Lock the depth."
	case advise.ChangeBushing:
		return w.otherBushing(s, a)
	case advise.ChangeCutter:
		return w.otherCutter(s)
	}
	return w.stopAndFix(s, a)
}

func (w Words) turn(s *advise.Step, what string) string {
	text := what + " by about " + w.Turn(s.Amount)
	if s.TurnsKnown {
		text += fmt.Sprintf(" (%.2f turns of the adjuster)", s.Turns)
	}
	if s.DepthKnown {
		return text + ": to " + w.Setting(s.Depth) + "."
	}
	return text + " from where it is set now."
}

func (w Words) moveTemplate(s *advise.Step, a *advise.Advice, way string) string {
	setup := a.Next.Setup()
	amount := w.Turn(s.Amount)
	if setup.Template.Kind == joint.TwoPosition {
		return fmt.Sprintf("Move the template %s by %s in both passes, or by %s in one of them, the same at both ends.", way, amount, w.Turn(2*s.Amount))
	}
	return fmt.Sprintf("Move the template %s by %s, the same at both ends: the seat changes by twice that.", way, amount)
}

func (w Words) sideStop(s *advise.Step) string {
	way := "closer to"
	if s.Size < 0 {
		way = "further from"
	}
	return fmt.Sprintf("Set the tail board's side stop %s %s the pin board's: half a pitch apart, no more and no less. Tightness does not change.", w.Turn(s.Amount), way)
}

func (w Words) levelBoards(s *advise.Step) string {
	const level = "Clamp the tail board's end level with the pin board's face"
	switch {
	case !s.AmountKnown:
		return level + "."
	case s.Size > 0:
		return fmt.Sprintf("%s: it stood about %s too high, so its tails were cut too deep and the shoulder stays open.", level, w.about(s.Amount))
	}
	return fmt.Sprintf("%s: it stood about %s too low, which leaves a hidden gap at the socket's floor.", level, w.about(s.Amount))
}

func (w Words) measureStep(s *advise.Step) string {
	if s.Reason == advise.ReasonSetting {
		return "Use a finer adjuster, a wider target or a cutter of a smaller angle: the depth varies more from setting to setting than the target allows, and turning the adjuster again won't help."
	}
	return capital(w.checkShort(s.Check)) + ". " + w.Text(CheckText(s.Check))
}

func (w Words) recut(s *advise.Step, a *advise.Advice) string {
	const boards = "in fresh boards from the same stock, before any drawer part."
	switch {
	case s.DepthKnown && a.Deeper != 0:
		return fmt.Sprintf("Cut a new test joint with %s set the way it was set before (that will measure about %s in the wood), %s",
			w.Setting(s.Depth), w.Setting(s.Depth+a.Deeper), boards)
	case s.DepthKnown:
		return fmt.Sprintf("Cut a new test joint %s deep, measured in the wood, %s", w.Setting(s.Depth), boards)
	}
	return "Cut a new test joint " + boards
}

// onceFitted is what every change of cutter or bushing asks for.
const onceFitted = " Router unplugged: push the shank in as far as it goes, draw it back a hair and tighten the collet; then turn it by hand to see that nothing touches."

func (w Words) otherBushing(s *advise.Step, a *advise.Advice) string {
	if setup := a.Next.Setup(); setup.Bushing.Kind == joint.KindBearing {
		if !s.SizeKnown {
			return "Fit the bearing that the set-up is meant for." + onceFitted
		}
		return "Fit a bearing of " + w.Sold(s.Size) + ", if there is one for this shank." + onceFitted
	}
	if !s.SizeKnown {
		return "Fit the guide bushing (guide bush) that the set-up is meant for." + onceFitted
	}
	return "Fit a guide bushing (guide bush) of " + w.Sold(s.Size) + "." + onceFitted
}

func (w Words) otherCutter(s *advise.Step) string {
	switch {
	case s.Angle > 0:
		return "Fit a cutter (bit) of " + angleText(s.Angle) + "." + onceFitted
	case s.SizeKnown:
		return "Fit a cutter (bit) of " + w.Sold(s.Size) + " at its tip, measured." + onceFitted
	}
	return "Fit the cutter (bit) that the set-up is meant for." + onceFitted
}

func (w Words) stopAndFix(s *advise.Step, a *advise.Advice) string {
	switch {
	case s.Reason == advise.ReasonHalfPitch:
		return "The edges are off by about half a pitch: a board was at the wrong stop or turned round. Cut again with face and edge as marked."
	case s.Fix == advise.FixLimit:
		return fmt.Sprintf("No depth will do with these tools: at the one that fits, %s.", w.brokenLimit(s.Limit))
	case s.Fix == advise.FixReaches:
		return w.NoJoint(&a.Shortfall)
	}
	return w.guided(fixTexts[s.Fix])
}

// StepWhy is what a step is for.
func (w Words) StepWhy(s *advise.Step, a *advise.Advice) string {
	if !w.Wants("why") {
		return ""
	}
	switch s.Reason {
	case advise.ReasonPlay:
		return w.whyPlay(s)
	case advise.ReasonSeat:
		return "The seat is off; twice the template's move puts it right, and tightness stays."
	case advise.ReasonEdges, advise.ReasonHalfPitch:
		return "Edges out of line come from the stop, not from the fit."
	case advise.ReasonUnequalDepths:
		return "Boards clamped at different heights are cut to different depths."
	case advise.ReasonLimit:
		if s.Action == advise.StopAndFix {
			return "Past this limit tools or wood are damaged."
		}
		return "It brings the depth that closes the joint within the limit."
	case advise.ReasonNoJoint:
		return "Boards cut like this don't hold together, whatever their play."
	case advise.ReasonTry:
		return "Tools and wood vary: prove every change with a test joint."
	case advise.ReasonFits:
		return "Play is within the target; any more adjusting can only lose it."
	case advise.ReasonUnsure:
		return "It tells you more than another test joint, in less time."
	case advise.ReasonSetting:
		return "How exactly the depth is set decides the fit now."
	}
	return "This removes the cause: " + w.CauseName(s.Cause) + "."
}

func (w Words) whyPlay(s *advise.Step) string {
	if s.Action == advise.LowerCutter {
		return "Deeper is tighter: it brings play to the target."
	}
	return "Shallower is looser: it brings play to the target."
}

// Salvage is what becomes of boards that are cut.
func (w Words) Salvage(s *advise.Salvage) string {
	if !w.Wants("text") {
		return ""
	}
	switch s.Code {
	case advise.PlaneProud:
		return fmt.Sprintf("The side stands proud: plane %s off once it is glued.", w.about(s.Amount))
	case advise.RunAgainShallower:
		return w.runAgain(s)
	case advise.NewBoards:
		return "A joint that is too loose, cut too deep or far proud can't be saved: cut new boards."
	case advise.UseAsGauge:
		return "These test boards are your gauge: keep them, marked."
	}
	return "Nothing to save: these boards fit."
}

func (w Words) runAgain(s *advise.Salvage) string {
	by := ""
	if s.AmountKnown {
		by = " by " + w.Turn(s.Amount)
	}
	if !s.Possible {
		return fmt.Sprintf("These boards can't be run again with the cutter raised%s: %s.", by, w.brokenLimit(s.Limit))
	}
	return fmt.Sprintf("Quicker than fresh boards, if it works: clamp the same boards in exactly the same place, raise the cutter%s and run both again. "+
		"Clamping again can be off by as much as you gain, so try it on the test joint first.", by)
}

var partTexts = [...]string{
	advise.PartPin: "the pins", advise.PartTail: "the tails", advise.PartPinSocket: "the pin sockets", advise.PartTailSocket: "the tail sockets",
	advise.PartDepthPinBoard: "the depth in the pin board", advise.PartDepthTailBoard: "the depth in the tail board",
}

// PartOff is a part that measures otherwise than the set-up gives.
func (w Words) PartOff(p *advise.PartOff) string {
	if !w.Wants("text") {
		return ""
	}
	off := p.Measured - p.Expected
	amount, way := w.about(max(off, -off)), "more"
	if off < 0 {
		way = "less"
	}
	text := fmt.Sprintf("%s measure %s %s than the set-up gives: ", capital(partTexts[p.Part]), amount, way)
	switch p.Part {
	case advise.PartPinSocket, advise.PartTailSocket:
		return text + "sockets do not depend on depth, so " + w.guided("cutter, bushing or template are not as stated.")
	case advise.PartPin, advise.PartTail:
		return text + "if the sockets are right, the depth is off."
	}
	return fmt.Sprintf("%s measures %s %s than it was set: trust the wood, not the scale.", capital(partTexts[p.Part]), amount, way)
}

// Drift is when to look again.
func (w Words) Drift(d advise.Drift) string {
	if !w.Wants("text") {
		return ""
	}
	if !d.Known {
		return "The next joint is expected outside the target: check every joint."
	}
	return fmt.Sprintf("The fit stays good from %s shallower to %s deeper: check again after %d joints, and after every change of cutter or wood.",
		w.about(d.Shallower), w.about(d.Deeper), d.Joints)
}

// Gauge is what to write on the test tail board that is kept.
func (w Words) Gauge(a *advise.Advice, depth length.Length) string {
	setup := a.Next.Setup()
	text := fmt.Sprintf("Cutter %s %s, %s %s, depth %s", w.Size(setup.Cutter.Diameter.Length), angleText(setup.Cutter.Angle), guide(setup.Bushing.Kind),
		w.Size(setup.Bushing.Diameter.Length), w.Setting(depth))
	if a.Decision.Why == advise.WhyNoJoint {
		return text + ": no joint, not to be cut."
	}
	if a.Verdict == advise.Fits {
		return text + ": fits. Depth gauge, do not cut."
	}
	return text + ": to be tried."
}
