package say

import (
	"fmt"

	"snugtail/joint/correct"
	"snugtail/joint/diagnose"
)

var fixTexts = map[diagnose.Fix]string{
	diagnose.FixCollet:       "Clean collet and shank, put the cutter in as deep as it goes less a hair, and tighten the collet; mark the shank to see whether it creeps again.",
	diagnose.FixFacing:       "Keep the router facing one way from the first opening to the last, and centre the bushing on the cutter's axis.",
	diagnose.FixBothSides:    "Follow both sides of every opening, the bushing pressed to the template, in a second pass too. Boards still clamped where they were can be run again now.",
	diagnose.FixSeatTemplate: "Bring the template down flat on both boards, level along its length, and clamp it there.",
	diagnose.FixFace:         "Put face and edge as marked to the right stop, the same ones every time, and cut new boards.",
	diagnose.FixFlatBoards:   "Use flat boards, or clamp them flat over their whole width before the template comes down.",
	diagnose.FixThickness:    "Use boards of the thickness stated, or state the one they have; cut the ridge on a thick side away in front.",
	diagnose.FixSquareEnds:   "Square the ends of both boards, and cut again.",
	diagnose.FixChips:        "Blow the chips out from under template, stops and router base before every cut, and cut again.",
	diagnose.FixDepthLock:    "Lock the depth so that it stays, and try by hand whether it does.",
	diagnose.FixDullCutter:   "Fit a sharp cutter. A resharpened one is narrower: measure it and state its diameter.",
	diagnose.FixMoisture:     "Keep both boards together until their moisture is alike, cut them and put them together the same day. Boards already cut may come back as they settle.",
	diagnose.FixPair:         "Cut both boards of a joint with one set-up, one after the other, and mark them as a pair.",
	diagnose.FixDepthInWood:  "Take the depth of cut from the wood, with a test cut in scrap: neither the projection below the router's base nor that below the bushing's tip is the depth of cut.",
}

func (w Words) CureText(s *diagnose.Step, c *diagnose.Cause) string {
	switch s.Action {
	case correct.LowerCutter:
		return w.cureTurn(s, "Lower the cutter (deeper)") + freshBoards
	case correct.RaiseCutter:
		return w.cureTurn(s, "Raise the cutter (shallower)")
	case correct.MoveTemplateIn:
		return fmt.Sprintf("Move the template onto the pin board (away from you) by about %s: the seat changes by twice that.", w.about(s.Amount))
	case correct.MoveTemplateOut:
		return fmt.Sprintf("Move the template off the pin board (towards you) by about %s: the seat changes by twice that.", w.about(s.Amount))
	case correct.SetSideStop:
		return fmt.Sprintf("Set the tail board's side stop right: half a pitch from the pin board's, which moves the edges by about %s. Tightness does not change.", w.about(s.Amount))
	case correct.LevelBoards:
		return fmt.Sprintf("Clamp the tail board's end level with the pin board's face: it was off by about %s.", w.about(s.Amount))
	case correct.ChangeBushing:
		return w.cureTool(s, "guide bushing (guide bush)", "")
	case correct.ChangeCutter:
		return w.cureTool(s, "cutter (bit)", angleOf(s))
	case correct.RecutTest:
		return w.cureRecut(s)
	case correct.KeepGauge:
		return "Keep the test tail board as a depth gauge."
	case correct.StopAdjusting:
		return "Stop adjusting: it fits. Lock the depth."
	}
	return w.cureFix(s, c)
}

func angleOf(s *diagnose.Step) string {
	if s.Angle > 0 {
		return angleText(s.Angle)
	}
	return ""
}

func (w Words) cureTurn(s *diagnose.Step, what string) string {
	text := fmt.Sprintf("%s by about %s", what, w.set(s.Amount))
	if s.TurnsKnown {
		text += fmt.Sprintf(" (%.2f turns of the adjuster)", s.Turns)
	}
	if s.DepthKnown {
		text += fmt.Sprintf(", to a depth of %s in the wood", w.set(s.Depth))
	}
	return text + "."
}

// cureTool fits the tool that was meant, or keeps the one at hand at its own depth.
func (w Words) cureTool(s *diagnose.Step, tool, angle string) string {
	text := "Fit the " + tool + " that the set-up is meant for"
	switch {
	case angle != "":
		text = "Fit a " + tool + " of " + angle
	case s.Size > 0:
		text = "Fit a " + tool + " of " + w.asSold(s.Size)
	}
	if s.OrKnown {
		return text + fmt.Sprintf(". Or keep the one in use and cut %s deep: that fits within every limit known.", w.set(s.Or))
	}
	return text + "."
}

func (w Words) cureRecut(s *diagnose.Step) string {
	if s.DepthKnown {
		return fmt.Sprintf("Cut a new test joint %s deep, measured in the wood, in fresh boards from the same stock, before any drawer part.", w.set(s.Depth))
	}
	return "Cut a new test joint in fresh boards from the same stock, before any drawer part."
}

func (w Words) cureFix(s *diagnose.Step, c *diagnose.Cause) string {
	switch s.Fix {
	case diagnose.FixLimit:
		return fmt.Sprintf("Do not set %s, which the fit would ask for: there %s.", w.set(s.Depth), w.brokenLimit(s.Limit))
	case diagnose.FixCentre:
		return fmt.Sprintf("Centre the bushing on the cutter's axis, with a centring cone: it would be about %s off.", w.about(s.Amount))
	}
	return fixTexts[s.Fix]
}

// CureWhy says what a step is for.
func CureWhy(s *diagnose.Step, c *diagnose.Cause) string {
	switch s.Action {
	case correct.RecutTest:
		return "To see whether it was that, before drawer parts are cut."
	case correct.LowerCutter:
		return "Deeper is tighter: brings play to the target."
	case correct.RaiseCutter:
		return "Shallower is looser: brings play to the target."
	case correct.StopAdjusting, correct.KeepGauge:
		return "A joint that fits is a setting worth keeping."
	case correct.StopAndFix:
		if s.Fix == diagnose.FixLimit {
			return "Past this limit tools or wood are damaged."
		}
	}
	return "It takes the cause away: " + causeTexts[c.Code].name + "."
}
