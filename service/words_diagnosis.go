package service

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"snugtail/joint/correct"
	"snugtail/joint/diagnose"
	"snugtail/joint/length"
	"snugtail/service/codes"
)

// Causes, in a few words and in a sentence. Where a size belongs into them,
// cause and causeSentence put it there.
var causeTexts = [diagnose.CauseCount]struct{ name, text, ifSo string }{
	diagnose.CauseBushingDiameter: {
		"a guide bushing of another size",
		"The guide bushing (guide bush) is not of the size that the set-up needs. A mm of bushing is two of play: a wider one is tighter, a narrower one looser.",
		"the caliper reads another standard size than the one stated",
	},
	diagnose.CauseCutterDiameter: {
		"a cutter of another diameter",
		"The cutter (bit) is not of the diameter that the set-up needs. A mm of cutter is two of play: a narrower one is tighter, a wider one looser. Joints show only cutter less bushing: a caliper or a slot in scrap tells the two apart.",
		"the caliper reads another standard size than the one stated",
	},
	diagnose.CauseCutterAngle: {
		"a cutter of another angle",
		"The cutter's (bit's) angle is not the one stated: a larger one makes tails and pins wider at the same depth, and so tighter. Sockets stay as they are.",
		"the angle is not the one stated",
	},
	diagnose.CauseCutterResharpened: {
		"a cutter worn or resharpened",
		"The cutter (bit) is worn or resharpened and narrower than marked: tighter by twice what it lost. Joints show only cutter less bushing: a caliper or a slot in scrap tells the two apart.",
		"the caliper reads a little less than a standard size",
	},
	diagnose.CauseDepthFromBushingTip: {
		"depth measured from the bushing's tip",
		"The depth was set as the cutter's projection below the bushing's tip. The depth of cut is less, by as much as the template is thicker than the bushing's barrel is long: looser.",
		"the depth in the wood is short by template less barrel",
	},
	diagnose.CauseDepthFromRouterBase: {
		"depth measured from the router's base",
		"The depth was set as the cutter's projection below the router's base. The depth of cut is less by the template's thickness: much looser.",
		"the depth in the wood is short by the template's thickness",
	},
	diagnose.CauseDepthOff: {
		"the depth simply off",
		"The set-up is right but for its depth. Tools and wood vary: even a right set-up may need a small change of it.",
		"widths and tools are right, and only the depth is not what the fit asks for",
	},
	diagnose.CauseCutterCrept: {
		"the cutter crept in the collet",
		"The cutter (bit) crept in the collet while cutting, so one board, or the later one, is cut deeper.",
		"the two boards are not cut alike, or deeper than set",
	},
	diagnose.CauseBushingOffCentre: {
		"the bushing not centred on the cutter",
		"The bushing's axis is beside the cutter's. With the router held one way tightness stays, but the seat is off by twice the offset.",
		"the cutter is not in the middle of the bushing's bore, or the bushing is loose",
	},
	diagnose.CauseRouterTurned: {
		"the router turned while cutting",
		"The bushing's axis is beside the cutter's and the router was turned while cutting: openings come out wider than the cutter, or narrower on one side.",
		"the cutter is not in the middle of the bushing's bore, though cutter and bushing measure right",
	},
	diagnose.CauseOpeningsNotFollowed: {
		"openings not followed to both sides",
		"The bushing was not pressed to both sides of every opening, so sockets are narrower, and pins or tails wider, than the cutter makes them.",
		"sockets are narrower than template, cutter and bushing make them, and not all alike",
	},
	diagnose.CauseTemplateTilted: {
		"the template not seated or not level",
		"The template did not lie flat on the boards: one end is cut shallower, and looser, than the other.",
		"the template rocks, or fit and shoulder change along the joint",
	},
	diagnose.CauseTemplatePosition: {
		"the template in the wrong place fore and aft",
		"The template stands too far onto the pin board, or not far enough. Tightness is right, the seat is not.",
		"the side ends inside or proud all along, and tightness is as it should be",
	},
	diagnose.CauseSideStop: {
		"the side stop off",
		"The side stop is not half a pitch from the pin board's: the edges are out of line, tightness is right.",
		"both edges are out of line the same way by the same amount",
	},
	diagnose.CauseWrongFaceOrStop: {
		"the wrong face out, or the wrong stop",
		"A board stood at the wrong stop, or turned round: edges are off by about half a pitch, or mirrored.",
		"the edges are off by about half a pitch, or to opposite sides",
	},
	diagnose.CauseBoardCupped: {
		"a board cupped",
		"A board was not flat when it was cut: depth, or the seat, changes from its middle to its edges.",
		"light shows under the straight-edge",
	},
	diagnose.CauseBoardThickness: {
		"a board of another thickness than stated",
		"The tail board is thicker or thinner than stated. One pass does not clear a thick one: a ridge holds the joint open. A thin one loses part of its noses, and its seat.",
		"the side stands proud on a ridge along its outside, or its thickness is not the one stated",
	},
	diagnose.CauseBoardsNotLevel: {
		"the boards not level with each other",
		"The tail board's end did not stand level with the pin board's face, so its tails are cut deeper, or less deep, than the sockets.",
		"the tail board is cut deeper or shallower than the pin board",
	},
	diagnose.CauseStockNotSquare: {
		"an end not square",
		"An end of the boards is not square: the shoulder closes at one edge and stays open at the other.",
		"a square shows light at the board's end or in the corner",
	},
	diagnose.CauseChipsUnder: {
		"chips under template, base or stop",
		"Chips lay under template, router base or stop: a cut too shallow, a template out of place or an edge off, for one board or at one end.",
		"chips are found there",
	},
	diagnose.CauseDepthLockSlipped: {
		"the depth lock slipped",
		"The router's depth lock slipped after the depth was set, so the cut is not as deep as set.",
		"the depth in the wood is not the one set, and the setting has moved",
	},
	diagnose.CauseDullCutter: {
		"a dull cutter",
		"The cutter (bit) is dull: fuzz makes the joint feel tight although it measures right, and rounded corners leave a fillet on the sockets' floor that holds the tails' ends off.",
		"the cutter's edges are blunt, nicked or burnt, and widths measure right",
	},
	diagnose.CauseWoodMoved: {
		"the wood moved since it was cut",
		"The boards took up or lost moisture since they were cut: pins and sockets are out of step, most at the edges, and edges are off to opposite sides.",
		"the two boards' moisture is not alike, or not what it was",
	},
	diagnose.CauseMixedBoards: {
		"boards cut with different set-ups",
		"The two boards were not cut with one set-up.",
		"one board's widths and depth are those of another set-up",
	},
	diagnose.CauseSetUpRight: {
		"nothing wrong: the set-up is right",
		"The set-up is right: play is within the target.",
		"the gap when pulled is that of the target's play",
	},
}

// cause names a cause, with its size where that says more.
func (w words) cause(c *diagnose.Cause) string {
	size, name := &c.Size, causeTexts[c.Code].name
	switch {
	case size.Kind == diagnose.SizeBushing && size.Against > 0:
		return fmt.Sprintf("a guide bushing of %s instead of %s", w.asSold(size.Length), w.asSold(size.Against))
	case c.Code == diagnose.CauseCutterDiameter && size.Kind == diagnose.SizeCutter && size.Against > 0:
		return fmt.Sprintf("a cutter of %s instead of %s", w.asSold(size.Length), w.asSold(size.Against))
	case size.Kind == diagnose.SizeAngle && size.AgainstAngle > 0:
		return fmt.Sprintf("a cutter of %s instead of %s", angleText(size.Angle), angleText(size.AgainstAngle))
	}
	return name
}

// asSold writes a standard size as it is sold, whatever the request's unit,
// and any other in decimals.
func (w words) asSold(x length.Length) string {
	const same, perInch, perMM = 1e-3, 64, 2
	if off := x.Inches()*perInch - math.Round(x.Inches()*perInch); math.Abs(off)*length.MillimetresPerInch/perInch < same {
		return x.Text(length.UnitInch)
	}
	if off := x.MM()*perMM - math.Round(x.MM()*perMM); math.Abs(off)/perMM < same {
		return x.Text(length.UnitMillimetre)
	}
	return w.precise(x)
}

// about writes an estimate: to 0.01 mm or 0.001 in.
func (w words) about(x length.Length) string {
	step := 0.01
	if w.unit == length.UnitInch {
		step = length.MillimetresPerInch / 1000
	}
	return w.precise(length.Length(math.Round(x.MM()/step) * step))
}

// set writes an estimate that is to be set: to 0.01 mm, or in 64ths.
func (w words) set(x length.Length) string {
	if w.unit == length.UnitInch {
		return w.l(x)
	}
	return w.about(x)
}

// causeSentence is what a cause is, and how large it would be.
func (w words) causeSentence(c *diagnose.Cause) string {
	text := causeTexts[c.Code].text
	if how := w.howLarge(c); how != "" {
		return text + " " + how
	}
	return text
}

func (w words) howLarge(c *diagnose.Cause) string {
	x := c.Size.Length
	amount := w.about(length.Length(math.Abs(x.MM())))
	switch c.Size.Kind {
	case diagnose.SizeBushing, diagnose.SizeCutter:
		if c.Size.Against <= 0 {
			return ""
		}
		return fmt.Sprintf("What is seen agrees best with %s instead of %s.", w.asSold(x), w.asSold(c.Size.Against))
	case diagnose.SizeAngle:
		if c.Size.AgainstAngle <= 0 {
			return ""
		}
		return fmt.Sprintf("What is seen agrees best with %s instead of %s.", angleText(c.Size.Angle), angleText(c.Size.AgainstAngle))
	case diagnose.SizeDepth:
		return fmt.Sprintf("It would be about %s too %s.", amount, deepOrShallow(x))
	case diagnose.SizeTail:
		return fmt.Sprintf("The tail board would be cut about %s %s than the pin board.", amount, deeperOrShallower(x))
	case diagnose.SizeOffset:
		return fmt.Sprintf("The axes would be about %s apart.", amount)
	case diagnose.SizePlay:
		return fmt.Sprintf("It would be about %s of play.", amount)
	case diagnose.SizeSeat:
		return fmt.Sprintf("The seat would be off by about %s.", amount)
	case diagnose.SizeEdge:
		return fmt.Sprintf("The edges would be off by about %s.", amount)
	case diagnose.SizeTilt:
		return fmt.Sprintf("One end would have stood about %s too high.", amount)
	case diagnose.SizeHollow:
		return fmt.Sprintf("The board would be about %s out of flat.", amount)
	case diagnose.SizeThick:
		return fmt.Sprintf("It would be about %s %s.", amount, map[bool]string{true: "thicker", false: "thinner"}[x > 0])
	case diagnose.SizeShoulder:
		return fmt.Sprintf("One edge would be held open by about %s.", amount)
	}
	return ""
}

func deepOrShallow(x length.Length) string {
	if x < 0 {
		return "shallow"
	}
	return "deep"
}

// Checks: what to take, and how to do it; where the answer goes in the next request.
var checkTexts = [diagnose.CheckCount]struct{ short, tool, text, post string }{
	diagnose.CheckMeasureBushing: {
		"measure the guide bushing", "caliper",
		"Router off and unplugged: measure the outside diameter of the guide bushing (guide bush), and see whether it wobbles or the cutter stands beside its middle.",
		"Post it as setup.bushing.diameter with its tolerance, and findings.bushing_wobbles.",
	},
	diagnose.CheckMeasureCutter: {
		"measure the cutter at its widest", "caliper",
		"Router off and unplugged: measure the cutter (bit) at its tip, the widest place, across opposite edges, and look whether its edges are dull, nicked or burnt.",
		"Post it as setup.cutter.diameter with its tolerance, and findings.cutter_dull.",
	},
	diagnose.CheckMeasureCutterAngle: {
		"measure the cutter's angle", "bevel gauge",
		"Router off and unplugged: set a bevel gauge to the cutter's (bit's) flank and read its angle from the axis, one side.",
		"Post it as setup.cutter.angle with angle_tolerance.",
	},
	diagnose.CheckMeasureDepth: {
		"measure the depth in the wood", "depth gauge of a caliper",
		"Measure the depth of cut in the wood, on both boards, and see whether the router's setting is still where it was set.",
		"Post it as measured.depth_pin_board and measured.depth_tail_board, and findings.depth_moved.",
	},
	diagnose.CheckMeasureWidths: {
		"measure sockets, pins and tails", "caliper",
		"Measure at their widest: a tail at its end, a pin at the face, both sockets at floor and shoulder line; see whether one pin alone is off.",
		"Post them in measured, and findings.one_pin_off.",
	},
	diagnose.CheckPullJoint: {
		"pull the joint and measure the gap", "feeler gauge",
		"Slide the joint home, let go, and pull the tail board along its own length: measure how far the shoulder opens. Look whether it was closed before.",
		"Post it as pulled_gap and shoulder_gap.",
	},
	diagnose.CheckSeeSeat: {
		"see how the side seats", "straight-edge and feeler gauge",
		"Slide the joint home and measure how far the side ends inside (recessed, +) or stands proud (-) of the front's end.",
		"Post it as seat.",
	},
	diagnose.CheckSeeEdges: {
		"look at both edges", "rule and square",
		"Look at both edges of the joint: how far is the side out of line, is it half a pitch, to opposite sides, and is the corner square?",
		"Post edge_step, and findings.edges_half_pitch_off, edges_mirrored and corner_not_square.",
	},
	diagnose.CheckStraightedge: {
		"lay a straight-edge on the boards", "straight-edge",
		"Lay a straight-edge across both boards, in front of the joint, and look for light.",
		"Post findings.boards_cupped.",
	},
	diagnose.CheckRockTemplate: {
		"try whether the template rocks", "hands",
		"Clamp as for cutting and press the template's corners in turn: does it rock? Look for chips under template, base and stops.",
		"Post findings.template_rocks and chips_found.",
	},
	diagnose.CheckScrapSlot: {
		"cut a slot in scrap", "caliper",
		"Cut one straight slot in scrap with the cutter alone and measure its width at floor and face: the floor is the cutter's diameter, the difference its angle.",
		"Post setup.cutter.diameter with its tolerance, and setup.cutter.angle with angle_tolerance.",
	},
	diagnose.CheckMoistureMeter: {
		"read both boards' moisture", "moisture meter",
		"Read the moisture of both boards and compare: with each other, and with what it was when they were cut.",
		"Post findings.moisture_differs, or the readings as moisture of pin_board and tail_board.",
	},
}

// howToSee is how to check a cause, and what one will see if it is so.
func (w words) howToSee(c *diagnose.Cause) string {
	return checkTexts[c.Check].text + " It is so if " + causeTexts[c.Code].ifSo + "."
}

var quantityTexts = [...]string{
	diagnose.QuantityBushing: "the bushing measures", diagnose.QuantityCutter: "the cutter measures", diagnose.QuantityAngle: "the angle is",
	diagnose.QuantityPinDepth: "the pin board is cut", diagnose.QuantityTailDepth: "the tail board",
	diagnose.QuantityPin: "a pin is", diagnose.QuantityTail: "a tail", diagnose.QuantityPinSocket: "a pin socket", diagnose.QuantityTailSocket: "a tail socket",
	diagnose.QuantityPulledGap: "the gap is", diagnose.QuantityShoulderGap: "the shoulder stands open",
	diagnose.QuantitySeat: "the side", diagnose.QuantityEdgeStep: "the edges are off by",
	diagnose.QuantityPinPlay: "a pin socket is wider than a pin by", diagnose.QuantityTailPlay: "a tail socket is wider than a tail by",
}

// outcomeIf says what a check shows.
func (w words) outcomeIf(o *diagnose.Outcome) string {
	parts := w.figures(o.Figures)
	for _, seen := range o.Seen {
		if seen.Answer == diagnose.Yes {
			parts = append(parts, findingTexts[seen.Finding])
		}
	}
	if len(parts) == 0 {
		return "nothing is to be seen"
	}
	return strings.Join(parts, ", ")
}

// nearlySame is how much figures of two boards may differ to be told as one, mm.
const nearlySame = 0.05

// figures says figures that both boards have nearly alike once for both.
func (w words) figures(all []diagnose.Figure) []string {
	alike := func(i, k int) bool { return math.Abs((all[i].Length - all[k].Length).MM()) < nearlySame }
	switch {
	case len(all) == 4 && alike(0, 1) && alike(2, 3):
		return []string{"pins and tails are about " + w.about(all[0].Length) + " wide, sockets about " + w.about(all[2].Length)}
	case len(all) == 2 && all[0].Quantity == diagnose.QuantityPinDepth && alike(0, 1):
		return []string{"both boards are cut about " + w.about(all[0].Length) + " deep"}
	case len(all) == 2 && all[0].Quantity == diagnose.QuantityPinPlay && alike(0, 1):
		if all[0].Length < 0 {
			return []string{"sockets are narrower than pins and tails by about " + w.about(-all[0].Length)}
		}
		return []string{"sockets are wider than pins and tails by about " + w.about(all[0].Length)}
	}
	parts := make([]string, len(all))
	for i, f := range all {
		parts[i] = w.figure(f)
	}
	return parts
}

func (w words) figure(f diagnose.Figure) string {
	text := quantityTexts[f.Quantity]
	switch {
	case f.Quantity == diagnose.QuantityAngle:
		return text + " about " + angleText(f.Angle)
	case f.Quantity == diagnose.QuantitySeat && math.Abs(f.Length.MM()) < nearlySame:
		return text + " is about flush"
	case f.Quantity == diagnose.QuantityEdgeStep && math.Abs(f.Length.MM()) < nearlySame:
		return "the edges are in line"
	case f.Quantity == diagnose.QuantitySeat && f.Length < 0:
		return text + " stands about " + w.about(-f.Length) + " proud"
	case f.Quantity == diagnose.QuantitySeat:
		return text + " ends about " + w.about(f.Length) + " inside"
	case f.Quantity == diagnose.QuantityPulledGap && f.Length <= 0:
		return "there is no gap"
	case f.Quantity == diagnose.QuantityShoulderGap && f.Length.MM() < 0.05:
		return "the shoulder is closed"
	}
	return text + " about " + w.about(f.Length)
}

func (w words) outcomeMeans(o *diagnose.Outcome, name string) string {
	return fmt.Sprintf("%s, %s", name, percent(o.Probability))
}

// Findings, as half sentences: yes, and no.
var findingTexts = [diagnose.FindingCount]string{
	diagnose.FoundCutterChanged: "the cutter was changed since it last fitted", diagnose.FoundBushingWobbles: "the bushing wobbles",
	diagnose.FoundOneSetting: "both boards were cut at one setting", diagnose.FoundTemplateRocks: "the template rocks",
	diagnose.FoundBoardsCupped: "boards are cupped", diagnose.FoundCutWeeksAgo: "the boards were cut weeks ago",
	diagnose.FoundRouterTurned: "the router was turned while cutting", diagnose.FoundSecondPass: "a second pass was made",
	diagnose.FoundTearOut: "there is tear-out", diagnose.FoundChippedPin: "a pin is chipped", diagnose.FoundOnePinOff: "one pin alone is off",
	diagnose.FoundCornerNotSquare: "the corner is out of square", diagnose.FoundTightAtOneEnd: "the joint is tight at one end",
	diagnose.FoundEdgesHalfPitchOff: "the edges are off by about half a pitch", diagnose.FoundEdgesMirrored: "the edges are off to opposite sides",
	diagnose.FoundMoistureDiffers: "the moisture is not alike", diagnose.FoundCutterDull: "the cutter is dull",
	diagnose.FoundDepthMoved: "the depth setting has moved", diagnose.FoundChips: "chips are found",
}

var seenTexts = [...]string{
	diagnose.SeenFeel: "how test joint %d went together", diagnose.SeenPulledGap: "the gap of test joint %d when pulled",
	diagnose.SeenShoulderGap: "the shoulder of test joint %d", diagnose.SeenWentIn: "how far test joint %d went in",
	diagnose.SeenSeat: "the seat of test joint %d", diagnose.SeenEdgeStep: "the edges of test joint %d",
	diagnose.SeenPinWidest: "the pins of test joint %d", diagnose.SeenTailWidest: "the tails of test joint %d",
	diagnose.SeenPinSocketWidest: "the pin sockets of test joint %d", diagnose.SeenTailSocketWidest: "the tail sockets of test joint %d",
	diagnose.SeenDepthPinBoard: "the depth in the pin board of test joint %d", diagnose.SeenDepthTailBoard: "the depth in the tail board of test joint %d",
}

func evidenceText(e diagnose.Evidence) string {
	if e.Seen == diagnose.SeenFinding {
		if e.Answer == diagnose.Yes {
			return "that " + findingTexts[e.Finding]
		}
		return "that it is not so that " + findingTexts[e.Finding]
	}
	text := fmt.Sprintf(seenTexts[e.Seen], e.Cut+1)
	if e.Place != diagnose.Whole {
		text += fmt.Sprintf(" at place %d", e.Place+1)
	}
	return text
}

// Cures.

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

func (w words) cureText(s *diagnose.Step, c *diagnose.Cause) string {
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

func (w words) cureTurn(s *diagnose.Step, what string) string {
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
func (w words) cureTool(s *diagnose.Step, tool, angle string) string {
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

func (w words) cureRecut(s *diagnose.Step) string {
	if s.DepthKnown {
		return fmt.Sprintf("Cut a new test joint %s deep, measured in the wood, in fresh boards from the same stock, before any drawer part.", w.set(s.Depth))
	}
	return "Cut a new test joint in fresh boards from the same stock, before any drawer part."
}

func (w words) cureFix(s *diagnose.Step, c *diagnose.Cause) string {
	switch s.Fix {
	case diagnose.FixLimit:
		return fmt.Sprintf("Do not set %s, which the fit would ask for: there %s.", w.set(s.Depth), w.brokenLimit(s.Limit))
	case diagnose.FixCentre:
		return fmt.Sprintf("Centre the bushing on the cutter's axis, with a centring cone: it would be about %s off.", w.about(s.Amount))
	}
	return fixTexts[s.Fix]
}

// cureWhy says what a step is for.
func cureWhy(s *diagnose.Step, c *diagnose.Cause) string {
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

// Summary.

func (w words) diagnosisSummary(d *diagnose.Diagnosis, seen bool) string {
	b := new(strings.Builder)
	first := &d.Causes[0]
	switch {
	case !seen:
		fmt.Fprintf(b, "Nothing was told of a joint yet, so these are only how often things go wrong: %s leads (%s).", w.cause(first), percent(first.Probability))
	case d.Unexplained:
		fmt.Fprintf(b, "Nothing single explains all that was seen; %s comes nearest (%s).", w.cause(first), percent(first.Probability))
	case first.Probability >= 0.5:
		fmt.Fprintf(b, "Most likely (%s): %s.", percent(first.Probability), w.cause(first))
	default:
		fmt.Fprintf(b, "Not clear yet. Likeliest (%s): %s; then (%s) %s.", percent(first.Probability), w.cause(first), percent(d.Causes[1].Probability), w.cause(&d.Causes[1]))
	}
	if d.HasNext && first.Probability < sureEnough {
		fmt.Fprintf(b, " Next, %s: %s.", minutesText(d.Next.Minutes), checkTexts[d.Next.Check].short)
	}
	return b.String()
}

// sureEnough is the chance of a cause from which the summary asks for no
// further check.
const sureEnough = 0.9

func minutesText(m float64) string { return strconv.FormatFloat(m, 'f', -1, 64) + " minutes" }

func unexplainedText(misfits int) string {
	if misfits == 0 {
		return "No single cause, of whatever size, agrees with all the readings together: one of them, or a size stated, is not so, or two things are wrong at once. Read again what surprises you most."
	}
	return "Not even the likeliest cause agrees with what misfits lists: one of these readings, or a size stated, is not so, or two things are wrong at once. Read these again first."
}

func reportText(c diagnose.Check) string {
	return checkTexts[c].post + " Add " + codes.Checks[c] + " to answered."
}
