package say

import (
	"fmt"
	"math"

	"snugtail/joint/advise"
	"snugtail/joint/belief"
	"snugtail/joint/length"
)

// Causes, in a few words and in a sentence. Where a size belongs into them,
// cause and causeSentence put it there.
var causeTexts = [belief.CauseCount]struct{ name, text, ifSo string }{
	belief.CauseBushingDiameter: {
		"a guide bushing of another size",
		"The guide bushing (guide bush) is not of the size that the set-up needs. A wider one makes the joint tighter, a narrower one looser, by twice the difference.",
		"the caliper reads another standard size than the one stated",
	},
	belief.CauseCutterDiameter: {
		"a cutter of another diameter",
		"The cutter (bit) is not of the diameter that the set-up needs. A narrower one makes the joint tighter, a wider one looser, by twice the difference. A joint can't show whether cutter or bushing is off: a caliper or a slot in scrap can.",
		"the caliper reads another standard size than the one stated",
	},
	belief.CauseCutterAngle: {
		"a cutter of another angle",
		"The cutter's (bit's) angle is not the one stated: a larger one makes tails and pins wider at the same depth, and so tighter. Sockets stay as they are.",
		"the angle is not the one stated",
	},
	belief.CauseCutterResharpened: {
		"a cutter worn or resharpened",
		"The cutter (bit) is worn or resharpened and narrower than marked: the joint is tighter by twice what it lost. A joint can't show whether cutter or bushing is off: a caliper or a slot in scrap can.",
		"the caliper reads a little less than a standard size",
	},
	belief.CauseDepthFromBushingTip: {
		"depth measured from the bushing's tip",
		"The depth was set as the cutter's projection below the bushing's tip. The depth of cut is less, by as much as the template is thicker than the bushing's barrel is long: looser.",
		"the depth in the wood is short by template less barrel",
	},
	belief.CauseDepthFromRouterBase: {
		"depth measured from the router's base",
		"The depth was set as the cutter's projection below the router's base. The depth of cut is less by the template's thickness: much looser.",
		"the depth in the wood is short by the template's thickness",
	},
	belief.CauseDepthOff: {
		"the depth simply off",
		"Only the depth is off. Tools and wood vary: even a good set-up may need its depth changed a little.",
		"widths and tools are right, and only the depth is not what the fit asks for",
	},
	belief.CauseCutterCrept: {
		"the cutter crept in the collet",
		"The cutter (bit) crept in the collet while cutting, so one board, or the later one, is cut deeper.",
		"the two boards are not cut alike, or deeper than set",
	},
	belief.CauseBushingOffCentre: {
		"the bushing not centred on the cutter",
		"The bushing's axis is beside the cutter's. With the router held one way tightness stays, but the seat is off by twice the offset.",
		"the cutter is not in the middle of the bushing's bore, or the bushing is loose",
	},
	belief.CauseRouterTurned: {
		"the router turned while cutting",
		"The bushing's axis is beside the cutter's and the router was turned while cutting: openings come out wider than the cutter, or narrower on one side.",
		"the cutter is not in the middle of the bushing's bore, though cutter and bushing measure right",
	},
	belief.CauseOpeningsNotFollowed: {
		"bushing not kept against both sides of the opening",
		"The bushing was not kept against both sides of every opening, so sockets are narrower, and pins or tails wider, than the cutter makes them.",
		"sockets are narrower than template, cutter and bushing make them, and not all alike",
	},
	belief.CauseTemplateTilted: {
		"the template not seated or not level",
		"The template did not lie flat on the boards: one end is cut shallower, and looser, than the other.",
		"the template rocks, or fit and shoulder change along the joint",
	},
	belief.CauseTemplatePosition: {
		"the template in the wrong place fore and aft",
		"The template stands too far onto the pin board, or not far enough. Tightness is right, the seat is not.",
		"the side ends inside or proud all along, and tightness is as it should be",
	},
	belief.CauseSideStop: {
		"the side stop off",
		"The side stop is not half a pitch from the pin board's: the edges are out of line, tightness is right.",
		"both edges are out of line the same way by the same amount",
	},
	belief.CauseWrongFaceOrStop: {
		"the wrong face out, or the wrong stop",
		"A board stood at the wrong stop, or turned round: edges are off by about half a pitch, or mirrored.",
		"the edges are off by about half a pitch, or to opposite sides",
	},
	belief.CauseBoardCupped: {
		"a board cupped",
		"A board was not flat when it was cut: depth, or the seat, changes from its middle to its edges.",
		"light shows under the straight-edge",
	},
	belief.CauseBoardThickness: {
		"a board of another thickness than stated",
		"The tail board is thicker or thinner than stated. One pass does not clear a thick one: a ridge holds the joint open. A thin one loses part of its noses, and its seat.",
		"the side stands proud on a ridge along its outside, or its thickness is not the one stated",
	},
	belief.CauseBoardsNotLevel: {
		"the boards not level with each other",
		"The tail board's end did not stand level with the pin board's face, so its tails are cut deeper, or less deep, than the sockets.",
		"the tail board is cut deeper or shallower than the pin board",
	},
	belief.CauseStockNotSquare: {
		"an end not square",
		"An end of the boards is not square: the shoulder closes at one edge and stays open at the other.",
		"a square shows light at the board's end or in the corner",
	},
	belief.CauseChipsUnder: {
		"chips under template, base or stop",
		"Chips lay under template, router base or stop: a cut too shallow, a template out of place or an edge off, for one board or at one end.",
		"chips are found there",
	},
	belief.CauseDepthLockSlipped: {
		"the depth lock slipped",
		"The router's depth lock slipped after the depth was set, so the cut is not as deep as set.",
		"the depth in the wood is not the one set, and the setting has moved",
	},
	belief.CauseDullCutter: {
		"a dull cutter",
		"The cutter (bit) is dull: fuzz makes the joint feel tight although it measures right, and rounded corners leave a fillet on the sockets' floor that holds the tails' ends off.",
		"the cutter's edges are blunt, nicked or burnt, and widths measure right",
	},
	belief.CauseWoodMoved: {
		"the wood moved since it was cut",
		"The boards took up or lost moisture since they were cut: pins and sockets are out of step, most at the edges, and edges are off to opposite sides.",
		"the two boards' moisture is not alike, or not what it was",
	},
	belief.CauseMixedBoards: {
		"boards cut with different set-ups",
		"The two boards were not cut with one set-up.",
		"one board's widths and depth are those of another set-up",
	},
	belief.CauseTemplateSkewed: {
		"the template turned in plan",
		"The template did not stand the same at both ends: further onto the pin board at one end of the joint than at the other, so the seat changes along it.",
		"the seat is not the same at both ends",
	},
	belief.CauseGlueSwelled: {
		"the wood swelled with the glue",
		"The joint goes together dry, and not with glue: water swells pins and tails within minutes.",
		"it goes together dry, and not with glue",
	},
	belief.CauseLapBroken: {
		"cut through the pin board",
		"The cut is as deep as the pin board is thick, or deeper: the sockets come out at the drawer's face.",
		"the sockets show at the front's face",
	},
	belief.CauseTemplateSize: {
		"the template not of the size stated",
		"The template's openings or fingers are not as stated: play changes by as much as an opening does, for each board that it guides.",
		"the caliper reads another opening than the one stated",
	},
	belief.CauseSetUpRight: {
		"nothing wrong: the set-up is right",
		"The set-up is right: play is within the target.",
		"the gap when pulled is that of the target's play",
	},
}

// CauseName names a cause without its size.
func (w Words) CauseName(code belief.Code) string { return w.guided(causeTexts[code].name) }

// Cause names a cause, with its size where that says more.
func (w Words) Cause(c *advise.Cause) string {
	size, name := &c.Size, w.CauseName(c.Code)
	switch {
	case size.Kind == belief.SizeBushing && size.Against > 0:
		return w.guided(fmt.Sprintf("a guide bushing of %s instead of %s", w.Sold(size.Length), w.Sold(size.Against)))
	case c.Code == belief.CauseCutterDiameter && size.Kind == belief.SizeCutter && size.Against > 0:
		return fmt.Sprintf("a cutter of %s instead of %s", w.Sold(size.Length), w.Sold(size.Against))
	case size.Kind == belief.SizeAngle && size.AgainstAngle > 0:
		return fmt.Sprintf("a cutter of %s instead of %s", angleText(size.Angle), angleText(size.AgainstAngle))
	}
	return name
}

// CauseSentence is what a cause is, and how large it would be.
func (w Words) CauseSentence(c *advise.Cause) string {
	if !w.Wants("text") {
		return ""
	}
	text := w.guided(causeTexts[c.Code].text)
	if how := w.howLarge(c); how != "" {
		return text + " " + how
	}
	return text
}

func (w Words) howLarge(c *advise.Cause) string {
	x := c.Size.Length
	amount := w.about(length.Length(math.Abs(x.MM())))
	switch c.Size.Kind {
	case belief.SizeBushing, belief.SizeCutter:
		if c.Size.Against <= 0 {
			return ""
		}
		return fmt.Sprintf("This best fits a size of %s instead of %s.", w.Sold(x), w.Sold(c.Size.Against))
	case belief.SizeAngle:
		if c.Size.AgainstAngle <= 0 {
			return ""
		}
		return fmt.Sprintf("This best fits an angle of %s instead of %s.", angleText(c.Size.Angle), angleText(c.Size.AgainstAngle))
	case belief.SizeDepth:
		return fmt.Sprintf("It would be about %s too %s.", amount, deepOrShallow(x))
	case belief.SizeTail:
		return fmt.Sprintf("The tail board would be cut about %s %s than the pin board.", amount, deeperOrShallower(x))
	case belief.SizeOffset:
		return fmt.Sprintf("The axes would be about %s apart.", amount)
	case belief.SizePlay:
		return fmt.Sprintf("It would be about %s of play.", amount)
	case belief.SizeSeat:
		return fmt.Sprintf("The seat would be off by about %s.", amount)
	case belief.SizeEdge:
		return fmt.Sprintf("The edges would be off by about %s.", amount)
	case belief.SizeTilt:
		return fmt.Sprintf("One end would have stood about %s too high.", amount)
	case belief.SizeHollow:
		return fmt.Sprintf("The board would be about %s out of flat.", amount)
	case belief.SizeThick:
		return fmt.Sprintf("It would be about %s %s.", amount, map[bool]string{true: "thicker", false: "thinner"}[x > 0])
	case belief.SizeOpening:
		return fmt.Sprintf("Its openings would be about %s %s.", amount, map[bool]string{true: "wider", false: "narrower"}[x > 0])
	case belief.SizeShoulder:
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

// Findings, as half sentences: yes, and no.
var findingTexts = [belief.FindingCount]string{
	belief.FoundCutterChanged: "the cutter was changed since it last fitted", belief.FoundBushingWobbles: "the bushing wobbles",
	belief.FoundOneSetting: "both boards were cut at one setting", belief.FoundTemplateRocks: "the template rocks",
	belief.FoundBoardsCupped: "boards are cupped", belief.FoundCutWeeksAgo: "the boards were cut weeks ago",
	belief.FoundRouterTurned: "the router was turned while cutting", belief.FoundSecondPass: "a second pass was made",
	belief.FoundTearOut: "there is tear-out", belief.FoundChippedPin: "a pin is chipped", belief.FoundOnePinOff: "one pin alone is off",
	belief.FoundCornerNotSquare: "the corner is out of square", belief.FoundTightAtOneEnd: "the joint is tight at one end",
	belief.FoundEdgesHalfPitchOff: "the edges are off by about half a pitch", belief.FoundEdgesMirrored: "the edges are off to opposite sides",
	belief.FoundMoistureDiffers: "the moisture is not alike", belief.FoundCutterDull: "the cutter is dull",
	belief.FoundDepthMoved: "the depth setting has moved", belief.FoundChips: "chips are found",
	belief.FoundFitsDryOnly: "it goes together dry, but not with glue",
}

var seenTexts = [...]string{
	belief.SeenFeel: "how test joint %d went together", belief.SeenPulledGap: "the gap of test joint %d when pulled",
	belief.SeenShoulderGap: "the shoulder of test joint %d", belief.SeenWentIn: "how far test joint %d went in",
	belief.SeenSeat: "the seat of test joint %d", belief.SeenEdgeStep: "the edges of test joint %d",
	belief.SeenPinWidest: "the pins of test joint %d", belief.SeenTailWidest: "the tails of test joint %d",
	belief.SeenPinSocketWidest: "the pin sockets of test joint %d", belief.SeenTailSocketWidest: "the tail sockets of test joint %d",
	belief.SeenDepthPinBoard: "the depth in the pin board of test joint %d", belief.SeenDepthTailBoard: "the depth in the tail board of test joint %d",
	belief.SeenBushing: "the bushing's diameter", belief.SeenCutter: "the cutter's diameter",
}

func (w Words) EvidenceText(e belief.Evidence) string {
	if e.Seen == belief.SeenFinding {
		if e.Answer == belief.Yes {
			return "that " + w.guided(findingTexts[e.Finding])
		}
		return "the \"no\" to: " + w.guided(findingTexts[e.Finding])
	}
	if e.Cut < 0 {
		return w.guided(seenTexts[e.Seen])
	}
	text := fmt.Sprintf(seenTexts[e.Seen], e.Cut+1)
	if e.Place != belief.Whole {
		text += fmt.Sprintf(" at place %d", e.Place+1)
	}
	return text
}
