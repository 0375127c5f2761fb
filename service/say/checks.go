package say

import (
	"snugtail/joint"
	"snugtail/joint/advise"
	"snugtail/joint/belief"
	"snugtail/joint/length"
	"snugtail/service/codes"
	"snugtail/service/message"
)

// Checks: what to take, and how to do it; where the answer goes in the next
// request; and what a check may show.

// What goes into a gap where there is no feeler gauge. Judgement.
const (
	paperThick = length.Length(0.1)
	cardThick  = length.Length(0.3)
)

// paperRead is a gap that took one sheet of paper, as it is posted.
func (w Words) paperRead() string {
	if w.Unit == length.UnitInch {
		return "0.004 +/- 0.002 in"
	}
	return "0.1 +/- 0.05 mm"
}

// CheckTool is what a check takes.
func CheckTool(c belief.Check) message.Message { return message.New("check_tool." + codes.Checks[c]) }

// CheckText is how a check is done.
func CheckText(c belief.Check) message.Message {
	m := message.New("check_text." + codes.Checks[c])
	switch c {
	case belief.CheckPullJoint, belief.CheckSeeSeat:
		return m.With(message.Length("paper", paperThick), message.Length("card", cardThick))
	}
	return m
}

// HowToSee is how to check a cause, and what one will see if it is so.
func HowToSee(c *advise.Cause) message.Message {
	return message.Sentences(CheckText(c.Check), message.New("cause_is_so", message.Word("seen", "cause_seen", codes.Causes[c.Code])))
}

// Report is where in the next request the answer of a check goes.
func (w Words) Report(c belief.Check) message.Message {
	m := message.New("check_post." + codes.Checks[c])
	if c == belief.CheckPullJoint {
		m = m.With(message.Name("example", w.paperRead()))
	}
	return message.Sentences(m, message.New("check_answered", message.Name("check", codes.Checks[c])))
}

// OutcomeIf is what a check may show.
func OutcomeIf(o *advise.Outcome) message.Message {
	all := readings(o.Figures)
	for _, seen := range o.Seen {
		if seen.Answer == belief.Yes {
			all = append(all, Finding(seen.Finding))
		}
	}
	m := message.New("outcome")
	switch {
	case len(all) == 0:
		return m.As("nothing")
	case len(o.Figures) > 0 && o.Figures[0].Side != belief.Middle:
		return m.With(message.List("seen", all...)).As("at_ends")
	}
	return m.With(message.List("seen", all...)).As("seen")
}

// OutcomeMeans is the cause that this would point to, and how surely.
func OutcomeMeans(o *advise.Outcome, cause message.Message) message.Message {
	return message.New("outcome_means", message.Said("cause", cause), message.Chance("chance", o.Probability))
}

// readings tells figures that both boards have nearly alike once for both, and
// those at an end of the joint together.
func readings(all []advise.Told) []message.Message {
	if alike := bothAlike(all); alike.Says() {
		return []message.Message{alike}
	}
	var out, there []message.Message
	for i := range all {
		side := all[i].Side
		if side == belief.Middle {
			out = append(out, reading(&all[i]))
			continue
		}
		there = append(there, reading(&all[i]))
		if i+1 == len(all) || all[i+1].Side != side {
			at := message.New("readings_at", message.List("readings", there...))
			out, there = append(out, at.As(either(side == belief.LeftEnd, "left_end", "right_end"))), nil
		}
	}
	return out
}

// bothAlike says nothing where the boards differ.
func bothAlike(all []advise.Told) message.Message {
	alike := func(i, k int) bool { return near(all[i].Length - all[k].Length) }
	m := message.New("readings_alike")
	switch {
	case len(all) > 0 && all[0].Side != belief.Middle:
	case len(all) == 4 && alike(0, 1) && alike(2, 3):
		return m.With(message.Length("parts", all[0].Length), message.Length("sockets", all[2].Length)).As("widths")
	case len(all) == 2 && all[0].Quantity == belief.QuantityPinDepth && alike(0, 1):
		return m.With(message.Length("amount", all[0].Length)).As("depths")
	case len(all) == 2 && all[0].Quantity == belief.QuantityPinPlay && alike(0, 1):
		play := all[0].Length
		return m.With(message.Length("amount", max(play, -play))).As(either(play < 0, "narrower", "wider"))
	}
	return message.Message{}
}

// nearlySame is how much figures of two boards may differ to be told as one.
const nearlySame = length.Length(0.05)

// near is whether a length is next to nothing.
func near(x length.Length) bool { return max(x, -x) < nearlySame }

// readingCodes name what is read, within the keys of sentences.
var readingCodes = [...]string{
	belief.QuantityBushing: "bushing", belief.QuantityCutter: "cutter", belief.QuantityAngle: "angle",
	belief.QuantityPinDepth: "pin_depth", belief.QuantityTailDepth: "tail_depth",
	belief.QuantityPin: "pin", belief.QuantityTail: "tail", belief.QuantityPinSocket: "pin_socket", belief.QuantityTailSocket: "tail_socket",
	belief.QuantityPulledGap: "pulled_gap", belief.QuantityShoulderGap: "shoulder_gap", belief.QuantitySeat: "seat", belief.QuantityEdgeStep: "edge_step",
	belief.QuantityPinPlay: "pin_play", belief.QuantityTailPlay: "tail_play",
	belief.QuantityThickness: "thickness", belief.QuantityOpening: "opening", belief.QuantityPlay: "play",
}

func reading(f *advise.Told) message.Message {
	m := message.New("reading." + readingCodes[f.Quantity])
	if f.Quantity == belief.QuantityAngle {
		return m.With(message.Angle("angle", float64(f.Angle)))
	}
	amount, state := readingState(f)
	return m.With(message.Length("amount", amount)).As(state)
}

// readingState is the length that is told, and in which of its sentences.
func readingState(f *advise.Told) (length.Length, string) {
	x := f.Length
	switch f.Quantity {
	case belief.QuantityPlay:
		return x, playFelt(x)
	case belief.QuantitySeat:
		if near(x) {
			return x, "flush"
		}
		return max(x, -x), either(x < 0, "proud", "inside")
	case belief.QuantityEdgeStep:
		return x, either(near(x), "in_line", "off")
	case belief.QuantityPulledGap:
		return x, either(x <= 0, "none", "open")
	case belief.QuantityShoulderGap:
		return x, either(x < nearlySame, "closed", "open")
	case belief.QuantityPinPlay, belief.QuantityTailPlay:
		return max(x, -x), either(x < 0, "narrower", "wider")
	}
	return x, ""
}

// playFelt is how a play feels.
func playFelt(play length.Length) string {
	switch c := play.MM(); {
	case c < joint.TightBelow:
		return "tight"
	case c > joint.LooseAbove:
		return "loose"
	}
	return "fits"
}
