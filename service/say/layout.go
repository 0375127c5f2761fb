package say

import (
	"fmt"
	"strings"

	"snugtail/joint"
	"snugtail/joint/layout"
	"snugtail/service/codes"
	"snugtail/service/spelling"
)

// What is told of layouts.

func (w Words) LayoutSummary(l *layout.Layout, heights []layout.Height) string {
	if !w.Wants("summary") {
		return ""
	}
	b := new(strings.Builder)
	fmt.Fprintf(b, "%s at a pitch of %s on boards %s wide: %s.", spelling.Plural(wholes(l.TailBoard.Tails), "whole tail"), w.Size(l.Pitch), w.Size(l.Width), w.ends(l))
	if edge := l.Limits[joint.LimitEdgePin]; edge.Broken() {
		fmt.Fprintf(b, " That is too weak: it takes at least %s at the root.", w.Size(joint.LeastRoot))
	}
	if !l.HalfPins {
		b.WriteString(" " + w.nearestWidths(l.Nearest))
	}
	if l.Spacer.Known {
		fmt.Fprintf(b, " With stops set for half pins, put a spacer of %s between each stop and the boards.", w.Size(l.Spacer.Thickness))
	}
	if l.Groove.Known {
		b.WriteString(" " + w.GrooveText(l))
	}
	if len(heights) > 0 {
		b.WriteString(" " + w.highest(heights[0]))
	}
	for _, limit := range l.Limits {
		if limit.Broken() && limit.Code.Severity() == joint.SeverityForbids && limit.Code != joint.LimitEdgePin && limit.Code != joint.LimitGrooveDepth {
			fmt.Fprintf(b, " Do not cut yet: %s.", w.brokenLimit(limit))
			break
		}
	}
	return b.String()
}

func (w Words) highest(h layout.Height) string {
	if h.Left.Rounded() == 0 {
		return fmt.Sprintf("A drawer of %s fills the opening and ends in half pins.", w.Board(h.Height))
	}
	return fmt.Sprintf("The highest drawer for the opening that ends in half pins is %s, which leaves %s.", w.Board(h.Height), w.Board(h.Left))
}

func wholes(parts []layout.Part) int {
	n := 0
	for _, part := range parts {
		if part.Share == layout.Whole {
			n++
		}
	}
	return n
}

// ends says what the edges of the boards are like.
func (w Words) ends(l *layout.Layout) string {
	centred := "centred on a " + codes.Centres[l.Centre]
	switch l.Edge.Ending {
	case layout.EndsInHalfPin:
		return fmt.Sprintf("half pins at both edges, %s at the root; the tail board's edges show half a socket", w.Size(l.SmallestEdgePin()))
	case layout.EndsInPartPin:
		return fmt.Sprintf("%s, the pins at both edges keep %s at the root", centred, w.Size(l.SmallestEdgePin()))
	case layout.EndsInWholePin:
		return fmt.Sprintf("%s, the pins at both edges are whole at the root, %s, with a narrow open notch in front of them", centred, w.Size(l.SmallestEdgePin()))
	}
	return centred + ", both edges run through a tail, and no pin closes them"
}

func (w Words) nearestWidths(n layout.Nearest) string {
	if !n.SmallerKnown {
		return fmt.Sprintf("Boards of %s would end in half pins.", w.Board(n.Larger))
	}
	return fmt.Sprintf("Boards of %s or %s would end in half pins.", w.Board(n.Smaller), w.Board(n.Larger))
}

// GrooveText says where the groove shows, and where it would not.
func (w Words) GrooveText(l *layout.Layout) string {
	f := &l.Groove
	if f.Hidden {
		return fmt.Sprintf("The groove stays hidden in tail %d, %s to spare.", f.Tail+1, w.about(f.Margin))
	}
	var text []string
	if len(f.Beside) > 0 {
		text = append(text, w.grooveBeside(l))
	}
	if f.UnderTail {
		text = append(text, fmt.Sprintf("The groove is deeper than the cut and shows as a notch under the tail, at both ends of front and back: make it at most %s deep.",
			w.Setting(l.Joint.Setup().Depth.PinBoard.Length)))
	}
	return strings.Join(text, " ")
}

func (w Words) grooveBeside(l *layout.Layout) string {
	f, from := &l.Groove, l.Groove.Asked.FromBottom
	seen := make([]string, len(f.Beside))
	for i, s := range f.Beside {
		seen[i] = fmt.Sprintf("from %s to %s", w.Size(s.From), w.Size(s.To))
	}
	shows := fmt.Sprintf("The groove shows at both ends of front and back, %s above the bottom edge", strings.Join(seen, " and "))
	down := fmt.Sprintf("down by %s, to %s", w.Size(from-f.Lower.From), w.Size(f.Lower.From))
	up := fmt.Sprintf("up by %s, to %s", w.Size(f.Higher.From-from), w.Size(f.Higher.From))
	switch {
	case f.Lower.Known && f.Higher.Known:
		return fmt.Sprintf("%s. It hides when it is moved %s, or %s.", shows, down, up)
	case f.Lower.Known:
		return fmt.Sprintf("%s. It hides when it is moved %s.", shows, down)
	case f.Higher.Known:
		return fmt.Sprintf("%s. It hides when it is moved %s.", shows, up)
	}
	return fmt.Sprintf("%s. Wider than the tails at their root, %s, it can't be hidden.", shows, w.Size(l.Widths.TailRoot))
}

func (w Words) GrooveLimitText(f *layout.Finding) string {
	if !w.Wants("text") {
		return ""
	}
	switch {
	case !f.Known:
		return "Not known: needs the groove's place, width and depth."
	case f.Margin >= 0:
		return fmt.Sprintf("Kept, %s to spare: the groove inside one tail, which covers its ends.", w.about(f.Margin))
	}
	return fmt.Sprintf("Broken by %s: the groove shows beside the tail, at both ends of front and back.", w.about(-f.Margin))
}

// CornerText is the whole rule for one corner: the same faces and the same
// edge everywhere, so only the stop is left to remember.
func CornerText(c layout.Corner) string {
	front, side := codes.Depthwise[c.Depthwise], codes.Sides[c.Side]
	return fmt.Sprintf("%s %s corner: the %s lies with its inside face up, the %s side stands with its inside face towards you, and both have their bottom edge at the %s stop.",
		capital(front), side, front, side, codes.Sides[c.Stop])
}
