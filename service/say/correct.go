package say

import (
	"fmt"
	"math"

	"snugtail/joint"
	"snugtail/joint/correct"
	"snugtail/joint/learn"
	"snugtail/joint/length"
)

func (w Words) Verdict(c *correct.Correction) string {
	play := w.Precise(c.Current)
	switch c.Verdict {
	case correct.NotYetCut:
		return fmt.Sprintf("Nothing cut at this depth yet. Cut a test joint at %s; the chance that it fits is %s.", w.Text(c.NextDepth), Percent(c.Chance))
	case correct.Fits:
		return fmt.Sprintf("It fits (play about %s): stop adjusting.", play)
	case correct.SeatOff:
		return "Tightness is right, the seat is not: leave the depth, move the template."
	case correct.EdgesOff:
		return "Tightness is right, the edges are out of line: leave the depth, move the side stop."
	case correct.DepthsUnequal:
		return "Tightness is right, but the boards were cut to different depths."
	case correct.CannotReach:
		return fmt.Sprintf("Play is about %s; the depth that would fit, %s, cannot be cut safely with this set-up.", play, w.Text(c.NextDepth))
	case correct.TooLoose:
		return fmt.Sprintf("Too loose (play about %s). Next test joint at %s; the chance that it fits is %s.", play, w.Text(c.NextDepth), Percent(c.Chance))
	}
	return fmt.Sprintf("Too tight (play about %s). Next test joint at %s; the chance that it fits is %s.", play, w.Text(c.NextDepth), Percent(c.Chance))
}

const freshBoards = " Needs fresh test boards: wood is not put back."

func (w Words) Step(s *correct.Step, c *correct.Correction) string {
	switch s.Action {
	case correct.LowerCutter:
		return w.turn(s, "Lower the cutter (deeper)", true)
	case correct.RaiseCutter:
		return w.turn(s, "Raise the cutter (shallower)", false)
	case correct.MoveTemplateIn, correct.MoveTemplateOut:
		return w.moveTemplate(s, c)
	case correct.SetSideStop:
		return w.sideStop(s)
	case correct.LevelBoards:
		return w.levelBoards(s)
	case correct.Measure:
		return capital(w.measure(s)) + "."
	case correct.RecutTest:
		return fmt.Sprintf("Cut a new test joint %s deep, measured in the wood, in fresh boards from the same stock, before any drawer part.", w.Text(s.Depth))
	case correct.KeepGauge:
		return fmt.Sprintf("Keep the test tail board as a depth gauge: mark it with the cutter and %s.", w.Text(s.Depth))
	case correct.StopAdjusting:
		return "Stop adjusting: it fits. Lock the depth."
	case correct.StopAndFix:
		return w.stopAndFix(s)
	case correct.ChangeBushing:
		return w.changeBushing(s, c)
	}
	return w.changeCutter(s, c)
}

func (w Words) turn(s *correct.Step, what string, deeper bool) string {
	text := fmt.Sprintf("%s by %s, to a depth of %s.", what, w.Text(s.Amount), w.Text(s.Depth))
	if s.TurnsKnown {
		text = fmt.Sprintf("%s by %s (%.2f turns of the adjuster), to a depth of %s.", what, w.Text(s.Amount), s.Turns, w.Text(s.Depth))
	}
	if deeper {
		return text + freshBoards
	}
	return text
}

func (w Words) moveTemplate(s *correct.Step, c *correct.Correction) string {
	way := "onto the pin board (away from you)"
	if s.Action == correct.MoveTemplateOut {
		way = "off the pin board (towards you)"
	}
	setup := c.Next.Setup()
	if setup.Template.Kind == joint.TwoPosition {
		return fmt.Sprintf("Move the template %s by %s in both passes, or by %s in one of them.", way, w.Text(s.Amount), w.Text(2*s.Amount))
	}
	return fmt.Sprintf("Move the template %s by %s: the seat changes by twice that.", way, w.Text(s.Amount))
}

func (w Words) sideStop(s *correct.Step) string {
	way := "closer to"
	if s.Size < 0 {
		way = "further from"
	}
	return fmt.Sprintf("Set the tail board's side stop %s %s the pin board's: half a pitch apart, no more and no less. Tightness does not change.", w.Text(s.Amount), way)
}

func (w Words) levelBoards(s *correct.Step) string {
	if s.Size > 0 {
		return fmt.Sprintf("Clamp the tail board's end level with the pin board's face: it stood %s too high, so its tails were cut too deep and the shoulder stays open.", w.Text(s.Amount))
	}
	return fmt.Sprintf("Clamp the tail board's end level with the pin board's face: it stood %s too low, which leaves a hidden gap at the socket's floor.", w.Text(s.Amount))
}

func (w Words) measure(s *correct.Step) string {
	if s.Cause == correct.CauseSetting {
		return "use a finer adjuster, a wider target or a cutter of a smaller angle: the depth as set scatters more than the target allows, and more turning will not help"
	}
	return "measure " + measureTexts[s.Source] + " and ask again with what it reads"
}

func (w Words) stopAndFix(s *correct.Step) string {
	switch s.Cause {
	case correct.CauseHalfPitch:
		return "Stop: the edges are off by about half a pitch. A board was at the wrong stop or turned round; cut again with face and edge as marked."
	case correct.CauseLimit:
		return fmt.Sprintf("Do not set %s: there %s.", w.Text(s.Depth), w.brokenLimit(s.Limit))
	}
	return fmt.Sprintf("Do not set %s: no joint can be cut there.", w.Text(s.Depth))
}

func (w Words) changeBushing(s *correct.Step, c *correct.Correction) string {
	setup := c.Next.Setup()
	if s.Size < setup.Bushing.Diameter.Length {
		return fmt.Sprintf("Fit a guide bushing (guide bush) of at most %s: the joint then fits deeper.", w.Text(s.Size))
	}
	return fmt.Sprintf("Fit a guide bushing (guide bush) of at least %s: the joint then fits shallower.", w.Text(s.Size))
}

func (w Words) changeCutter(s *correct.Step, c *correct.Correction) string {
	setup := c.Next.Setup()
	switch {
	case s.SizeKnown:
		return fmt.Sprintf("Or a cutter (bit) of at least %s and the same angle.", w.Text(s.Size))
	case s.Angle > 0:
		return fmt.Sprintf("Or a cutter (bit) of the same diameter, %s, with an angle of at least %s: it fits shallower.", w.Text(setup.Cutter.Diameter.Length), angleText(s.Angle))
	}
	return "Or a cutter of a steeper angle: it fits shallower."
}

func (w Words) StepWhy(s *correct.Step, c *correct.Correction) string {
	switch s.Cause {
	case correct.CausePlay:
		return fmt.Sprintf("Play is about %s; at %s it should be %s.", w.Precise(c.Current), w.Text(c.NextDepth), w.Precise(c.Predicted.Play))
	case correct.CauseSeat:
		if c.Settled {
			return fmt.Sprintf("The seat is off; moved, %s.", w.seat(c.Predicted.Seat))
		}
		return fmt.Sprintf("After the change of depth the seat would be off; moved, %s.", w.seat(c.Predicted.Seat))
	case correct.CauseEdges, correct.CauseHalfPitch:
		return "Edges out of line come from the stop, not from the fit."
	case correct.CauseUnequalDepths:
		return "Boards clamped at different heights are cut to different depths."
	case correct.CauseLimit:
		if s.Action != correct.StopAndFix {
			return "It brings the depth that closes the joint within the limit."
		}
		return fmt.Sprintf("The depth that closes the joint breaks a limit: %s.", limitTexts[s.Limit.Code].subject)
	case correct.CauseImpossible:
		return "The depth that would close the joint cannot be cut at all."
	case correct.CauseTry:
		return "Tools and wood vary: a change counts when a test joint has shown it."
	case correct.CauseFits:
		return "Play is within the target; more turning only loses it."
	case correct.CauseUnsure:
		if c.Learned.Surprise >= 3 {
			return "The test joints do not agree with the sizes stated, by more than their tolerances allow."
		}
		return "A caliper tells more than another test joint."
	}
	return "The setting of the depth decides the fit now."
}

func (w Words) Salvage(s *correct.Salvage) string {
	switch s.Code {
	case correct.PlaneProud:
		return fmt.Sprintf("The side stands proud: plane %s off once it is glued.", w.Precise(s.Amount))
	case correct.RunAgainShallower:
		if !s.Possible {
			return fmt.Sprintf("These boards cannot be run again %s shallower: %s.", w.Text(s.Amount), w.brokenLimit(s.Limit))
		}
		return fmt.Sprintf("Too tight can be saved: clamp the same boards in exactly the same place, raise the cutter by %s and run both again.", w.Text(s.Amount))
	case correct.NewBoards:
		return "Too loose cannot be saved by the cutter, nor can too deep or through the lap: new boards."
	case correct.UseAsGauge:
		return "These test boards are your gauge: keep them, marked."
	}
	return "Nothing to save: these boards fit."
}

var partTexts = [...]string{
	correct.PartPin: "the pins", correct.PartTail: "the tails", correct.PartPinSocket: "the pin sockets", correct.PartTailSocket: "the tail sockets",
	correct.PartDepthPinBoard: "the depth in the pin board", correct.PartDepthTailBoard: "the depth in the tail board",
}

func (w Words) PartOff(p *correct.PartOff) string {
	off := p.Measured - p.Expected
	amount, way := w.Precise(length.Length(math.Abs(off.MM()))), "more"
	if off < 0 {
		way = "less"
	}
	text := fmt.Sprintf("%s measure %s %s than the set-up gives: ", capital(partTexts[p.Part]), amount, way)
	switch p.Part {
	case correct.PartPinSocket, correct.PartTailSocket:
		return text + "sockets do not depend on depth, so cutter, bushing or template are not as stated."
	case correct.PartPin, correct.PartTail:
		return text + "if the sockets are right, the depth is off."
	}
	return fmt.Sprintf("%s measures %s %s than it was set: trust the wood, not the scale.", capital(partTexts[p.Part]), amount, way)
}

func (w Words) Disagreement(o learn.Outlier) string {
	return fmt.Sprintf("Test cut %d: %s stands for a play of %s, all the rest for %s. It was left out; look at it again.",
		o.Cut+1, observationTexts[o.Observation], w.Precise(o.Seen), w.Precise(o.Rest))
}

func (w Words) Drift(d correct.Drift) string {
	if !d.Known {
		return "The next joint is expected outside the target: check every joint."
	}
	return fmt.Sprintf("Between %s shallower and %s deeper the fit stays in its target: look again after %d joints, and after every change of cutter or wood.",
		w.Precise(d.Shallower), w.Precise(d.Deeper), d.Joints)
}

// Gauge is what to write on the test tail board that is kept.
func (w Words) Gauge(c *correct.Correction) string {
	setup := c.Next.Setup()
	text := fmt.Sprintf("Cutter %s %s, bushing %s, depth %s", w.Text(setup.Cutter.Diameter.Length), angleText(setup.Cutter.Angle),
		w.Text(setup.Bushing.Diameter.Length), w.Text(c.NextDepth))
	if c.Verdict == correct.Fits {
		return text + ": fits. Depth gauge, do not cut."
	}
	return text + ": to be tried."
}
