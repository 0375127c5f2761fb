package say

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"snugtail/joint/diagnose"
	"snugtail/service/codes"
)

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

// CheckTool is what a check takes, CheckText how it is done.
func CheckTool(c diagnose.Check) string { return checkTexts[c].tool }

func CheckText(c diagnose.Check) string { return checkTexts[c].text }

// HowToSee is how to check a cause, and what one will see if it is so.
func (w Words) HowToSee(c *diagnose.Cause) string {
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

// OutcomeIf says what a check shows.
func (w Words) OutcomeIf(o *diagnose.Outcome) string {
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
func (w Words) figures(all []diagnose.Figure) []string {
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

func (w Words) figure(f diagnose.Figure) string {
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

func (w Words) OutcomeMeans(o *diagnose.Outcome, name string) string {
	return fmt.Sprintf("%s, %s", name, Percent(o.Probability))
}

func ReportText(c diagnose.Check) string {
	return checkTexts[c].post + " Add " + codes.Checks[c] + " to answered."
}

func MinutesText(m float64) string { return strconv.FormatFloat(m, 'f', -1, 64) + " minutes" }
