package say

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"snugtail/joint"
	"snugtail/joint/advise"
	"snugtail/joint/belief"
	"snugtail/joint/length"
	"snugtail/service/codes"
)

// Checks: what to take, and how to do it; where the answer goes in the next request.
var checkTexts = [belief.CheckCount]struct{ short, tool, text, post string }{
	belief.CheckMeasureBushing: {
		"measure the guide bushing", "caliper",
		"Router unplugged: put a caliper over the barrel of the guide bushing (guide bush). Then try by hand whether it is loose, and look whether bore and cutter are concentric.",
		"Post it as setup.bushing.diameter with its tolerance, what its label says as labelled beside it, and findings.bushing_wobbles.",
	},
	belief.CheckMeasureCutter: {
		"measure the cutter at its widest", "caliper",
		"Router unplugged: measure the cutter (bit) at its tip, the widest place, across opposite edges, and look whether its edges are dull, nicked or burnt.",
		"Post it as setup.cutter.diameter with its tolerance, what its label says as labelled beside it, and findings.cutter_dull.",
	},
	belief.CheckMeasureCutterAngle: {
		"measure the cutter's angle", "bevel gauge",
		"Router unplugged: set a bevel gauge to the cutter's (bit's) flank and read its angle from the axis, one side.",
		"Post it as setup.cutter.angle with angle_tolerance.",
	},
	belief.CheckMeasureDepth: {
		"measure the depth in the wood", "depth gauge of a caliper",
		"Measure the depth of cut in the wood, on both boards, and see whether the router's setting is still where it was set.",
		"Post it as measured.depth_pin_board and measured.depth_tail_board, and findings.depth_moved.",
	},
	belief.CheckMeasureWidths: {
		"measure sockets, pins and tails", "caliper",
		"Measure at their widest: a tail at its end, a pin at the face, both sockets at floor and shoulder line; see whether one pin alone is off.",
		"Post them in measured, and findings.one_pin_off.",
	},
	belief.CheckPullJoint: {
		"pull the joint and measure the gap", "feeler gauge, or paper and a playing card",
		"Slide the joint home, let go, and pull the tail board along its own length. Try what goes into the gap at the shoulder: feeler gauges, " +
			"or sheets of paper (about 0.1 mm each) and playing cards (about 0.3 mm). Look whether the shoulder was closed before.",
		"Post what went in as pulled_gap, such as \"0.1 +/- 0.05 mm\" for one sheet of paper, and shoulder_gap.",
	},
	belief.CheckSeeSeat: {
		"see how the side seats", "straight-edge and feeler gauge, or paper",
		"Slide the joint home and measure how far the side ends inside (recessed, +) or stands proud (-) of the front's end: a rule across, and paper (about 0.1 mm a sheet) or cards (about 0.3) under it.",
		"Post it as seat.",
	},
	belief.CheckSeeEdges: {
		"look at both edges", "rule and square",
		"Look at both edges of the joint: how far is the side out of line, is it half a pitch, to opposite sides, and is the corner square?",
		"Post edge_step, and findings.edges_half_pitch_off, edges_mirrored and corner_not_square.",
	},
	belief.CheckStraightedge: {
		"lay a straight-edge on the boards", "straight-edge",
		"Lay a straight-edge across both boards, in front of the joint, and look for light.",
		"Post findings.boards_cupped.",
	},
	belief.CheckRockTemplate: {
		"try whether the template rocks", "hands",
		"Router off and away: clamp as for cutting and press the template's corners in turn: does it rock? Look for chips under template, base and stops.",
		"Post findings.template_rocks and chips_found.",
	},
	belief.CheckScrapSlot: {
		"cut a slot in scrap", "caliper",
		"Clamp a scrap board, guide the router along the template or a clamped fence, and cut one straight slot. Router off, measure its width at floor and face: the floor is the cutter's diameter, the difference its angle.",
		"Post setup.cutter.diameter with its tolerance, what the label says as labelled beside it, and setup.cutter.angle with angle_tolerance.",
	},
	belief.CheckMoistureMeter: {
		"read both boards' moisture", "moisture meter",
		"Read the moisture of both boards and compare: with each other, and with what it was when they were cut.",
		"Post findings.moisture_differs, or the readings as moisture of pin_board and tail_board.",
	},
	belief.CheckLookBothEnds: {
		"look at both ends of the joint", "hands, rule and depth gauge",
		"At each end of the joint: how does it go together there, how deep is it cut, and does the shoulder close?",
		"Post a place for each end in along: position from the joint's left end, feel, measured.depth_pin_board and shoulder_gap.",
	},
	belief.CheckMeasureBoards: {
		"measure how thick the boards are", "caliper",
		"Measure the thickness of both boards at the joint.",
		"Post it as thickness of setup.pin_board and setup.tail_board with its tolerance.",
	},
	belief.CheckMeasureTemplate: {
		"measure the template's openings", "caliper",
		"Router off and away: measure an opening of the template between its parallel sides, and a finger beside it.",
		"Post the opening with its tolerance in setup.template.",
	},
	belief.CheckAskCutterChanged: {
		"ask whether the cutter was changed", "a question",
		"Was the cutter (bit) changed, taken out or sharpened since joints last fitted?",
		"Post findings.cutter_changed.",
	},
	belief.CheckAskOneSetting: {
		"ask whether both boards were cut at one setting", "a question",
		"Were both boards cut at one setting, with nothing loosened or turned between them?",
		"Post findings.one_setting.",
	},
	belief.CheckAskCutWeeksAgo: {
		"ask when the boards were cut", "a question",
		"Were the boards cut weeks ago, or kept apart since?",
		"Post findings.cut_weeks_ago.",
	},
	belief.CheckAskRouterTurned: {
		"ask how the router was held", "a question",
		"Was the router turned, its handles to another side, while the openings were cut?",
		"Post findings.router_turned.",
	},
	belief.CheckAskSecondPass: {
		"ask whether a second pass was made", "a question",
		"Was every opening followed once more, to both of its sides?",
		"Post findings.second_pass.",
	},
	belief.CheckAskTearOut: {
		"ask for fuzz or tear-out", "a question",
		"Are the cuts fuzzy or torn out?",
		"Post findings.tear_out.",
	},
}

// CheckTool is what a check takes, CheckText how it is done.
func CheckTool(c belief.Check) string { return checkTexts[c].tool }

func (w Words) CheckText(c belief.Check) string { return w.guided(checkTexts[c].text) }

// HowToSee is how to check a cause, and what one will see if it is so.
func (w Words) HowToSee(c *advise.Cause) string {
	if !w.Wants("text") {
		return ""
	}
	return w.guided(checkTexts[c.Check].text + " It is so if " + causeTexts[c.Code].ifSo + ".")
}

var quantityTexts = [...]string{
	belief.QuantityBushing: "the bushing measures", belief.QuantityCutter: "the cutter measures", belief.QuantityAngle: "the angle is",
	belief.QuantityPinDepth: "the pin board is cut", belief.QuantityTailDepth: "the tail board",
	belief.QuantityPin: "a pin is", belief.QuantityTail: "a tail", belief.QuantityPinSocket: "a pin socket", belief.QuantityTailSocket: "a tail socket",
	belief.QuantityPulledGap: "the gap is", belief.QuantityShoulderGap: "the shoulder stands open",
	belief.QuantitySeat: "the side", belief.QuantityEdgeStep: "the edges are off by",
	belief.QuantityPinPlay: "a pin socket is wider than a pin by", belief.QuantityTailPlay: "a tail socket is wider than a tail by",
	belief.QuantityThickness: "the tail board is", belief.QuantityOpening: "an opening is", belief.QuantityPlay: "play is",
}

// OutcomeIf says what a check shows.
func (w Words) OutcomeIf(o *advise.Outcome) string {
	if !w.Wants("if") {
		return ""
	}
	parts := w.figures(o.Figures)
	for _, seen := range o.Seen {
		if seen.Answer == belief.Yes {
			parts = append(parts, w.guided(findingTexts[seen.Finding]))
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
func (w Words) figures(all []advise.Told) []string {
	alike := func(i, k int) bool { return math.Abs((all[i].Length - all[k].Length).MM()) < nearlySame }
	switch {
	case len(all) > 0 && all[0].Side != belief.Middle:
	case len(all) == 4 && alike(0, 1) && alike(2, 3):
		return []string{"pins and tails are about " + w.about(all[0].Length) + " wide, sockets about " + w.about(all[2].Length)}
	case len(all) == 2 && all[0].Quantity == belief.QuantityPinDepth && alike(0, 1):
		return []string{"both boards are cut about " + w.about(all[0].Length) + " deep"}
	case len(all) == 2 && all[0].Quantity == belief.QuantityPinPlay && alike(0, 1):
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

func (w Words) figure(f advise.Told) string {
	return w.figureAlone(f) + sideText(f.Side)
}

func sideText(s belief.Side) string {
	switch s {
	case belief.LeftEnd:
		return " at the left end"
	case belief.RightEnd:
		return " at the right end"
	}
	return ""
}

func (w Words) figureAlone(f advise.Told) string {
	text := w.guided(quantityTexts[f.Quantity])
	switch {
	case f.Quantity == belief.QuantityAngle:
		return text + " about " + angleText(f.Angle)
	case f.Quantity == belief.QuantityPlay:
		return playFelt(f.Length)
	case f.Quantity == belief.QuantitySeat && math.Abs(f.Length.MM()) < nearlySame:
		return text + " is about flush"
	case f.Quantity == belief.QuantityEdgeStep && math.Abs(f.Length.MM()) < nearlySame:
		return "the edges are in line"
	case f.Quantity == belief.QuantitySeat && f.Length < 0:
		return text + " stands about " + w.about(-f.Length) + " proud"
	case f.Quantity == belief.QuantitySeat:
		return text + " ends about " + w.about(f.Length) + " inside"
	case f.Quantity == belief.QuantityPulledGap && f.Length <= 0:
		return "there is no gap"
	case f.Quantity == belief.QuantityShoulderGap && f.Length.MM() < nearlySame:
		return "the shoulder is closed"
	}
	return text + " about " + w.about(f.Length)
}

// playFelt says how a play feels.
func playFelt(play length.Length) string {
	switch c := play.MM(); {
	case c < joint.TightBelow:
		return "it is tight"
	case c > joint.LooseAbove:
		return "it is loose"
	}
	return "it fits"
}

func (w Words) OutcomeMeans(o *advise.Outcome, name string) string {
	if !w.Wants("means") {
		return ""
	}
	return fmt.Sprintf("%s, %s", name, Percent(o.Probability))
}

func ReportText(c belief.Check) string {
	return checkTexts[c].post + " Add " + codes.Checks[c] + " to answered."
}

func MinutesText(m float64) string { return strconv.FormatFloat(m, 'f', -1, 64) + " minutes" }
