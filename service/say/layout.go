package say

import (
	"snugtail/joint"
	"snugtail/joint/layout"
	"snugtail/service/codes"
	"snugtail/service/message"
)

// What is told of layouts.

// LayoutSummary says how the joint is laid out, and what to mind.
func (w Words) LayoutSummary(l *layout.Layout, heights []layout.Height) message.Message {
	said := []message.Message{message.New("layout_laid", message.Count("tails", wholes(l.TailBoard.Tails)),
		message.Length("pitch", l.Pitch), message.Length("width", l.Width), message.Said("ends", ends(l)))}
	if edge := l.Limits[joint.LimitEdgePin]; edge.Broken() {
		said = append(said, message.New("layout_weak", message.Length("least", joint.LeastRoot)))
	}
	if !l.HalfPins {
		said = append(said, nearestWidths(l.Nearest))
	}
	if l.Spacer.Known {
		said = append(said, message.New("layout_spacer", message.Length("thickness", l.Spacer.Thickness)))
	}
	if l.Groove.Known {
		said = append(said, GrooveText(l))
	}
	if len(heights) > 0 {
		said = append(said, highest(heights[0]))
	}
	return message.Sentences(append(said, layoutForbidden(l))...)
}

// layoutForbidden says which limit stands in the way that nothing was said of yet.
func layoutForbidden(l *layout.Layout) message.Message {
	for _, limit := range l.Limits {
		if limit.Broken() && limit.Code.Severity() == joint.SeverityForbids && limit.Code != joint.LimitEdgePin && limit.Code != joint.LimitGrooveDepth {
			return message.New("layout_forbidden", message.Said("broken", BrokenLimit(limit)))
		}
	}
	return message.Message{}
}

func highest(h layout.Height) message.Message {
	said := message.New("layout_highest", message.Length("height", h.Height))
	if h.Left.Rounded() == 0 {
		return said.As("fills")
	}
	return said.With(message.Length("left", h.Left)).As("leaves")
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
func ends(l *layout.Layout) message.Message {
	said := message.New("layout_ends").As(codes.Endings[l.Edge.Ending])
	if l.Edge.Ending != layout.EndsInHalfPin {
		said = said.With(message.Word("centre", "layout_centre", codes.Centres[l.Centre]))
	}
	if l.Edge.Ending != layout.EndsInTail {
		said = said.With(message.Length("root", l.SmallestEdgePin()))
	}
	return said
}

func nearestWidths(n layout.Nearest) message.Message {
	said := message.New("layout_nearest", message.Length("larger", n.Larger))
	if !n.SmallerKnown {
		return said.As("larger")
	}
	return said.With(message.Length("smaller", n.Smaller)).As("either")
}

// GrooveText says where the groove shows, and where it would not.
func GrooveText(l *layout.Layout) message.Message {
	f := &l.Groove
	if f.Hidden {
		return message.New("layout_groove", message.Count("tail", f.Tail+1).Beside(), message.Length("margin", f.Margin).Beside()).As("hidden")
	}
	var beside, under message.Message
	if len(f.Beside) > 0 {
		beside = grooveBeside(l)
	}
	if f.UnderTail {
		under = message.New("layout_groove", message.Length("most", l.Joint.Setup().Depth.PinBoard.Length)).As("under_tail")
	}
	return message.Sentences(beside, under)
}

func grooveBeside(l *layout.Layout) message.Message {
	f, from := &l.Groove, l.Groove.Asked.FromBottom
	seen := make([]message.Message, len(f.Beside))
	for i, s := range f.Beside {
		seen[i] = message.New("layout_groove_seen", message.Length("from", s.From), message.Length("to", s.To))
	}
	said := message.New("layout_groove", message.List("shows", seen...).Beside())
	if f.Lower.Known {
		said = said.With(message.Length("move_down", from-f.Lower.From).Beside(), message.Length("hides_lower", f.Lower.From).Beside())
	}
	if f.Higher.Known {
		said = said.With(message.Length("move_up", f.Higher.From-from).Beside(), message.Length("hides_higher", f.Higher.From).Beside())
	}
	switch {
	case f.Lower.Known && f.Higher.Known:
		return said.As("hides_either")
	case f.Lower.Known:
		return said.As("hides_lower")
	case f.Higher.Known:
		return said.As("hides_higher")
	}
	return said.With(message.Length("tail_root", l.Widths.TailRoot)).As("too_wide")
}

// GrooveInTail is the limit that a layout adds to those of the set-up.
const GrooveInTail = "groove_in_tail"

// GrooveLimit says that the groove stays inside one tail, or does not, or that
// this is not known.
func GrooveLimit(f *layout.Finding) message.Message {
	word := func(set string) message.Param { return message.Word("limit", set, GrooveInTail).Beside() }
	switch {
	case !f.Known:
		return message.New("limit", word("limit_needs")).As("unknown")
	case f.Margin >= 0:
		return message.New("limit", word("limit_keeps"), message.Length("margin", f.Margin).Beside()).As("kept")
	}
	return message.New("limit", word("limit_broken"), message.Length("by", -f.Margin)).As("broken")
}

// CornerText is the whole rule for one corner: the same faces and the same
// edge everywhere, so only the stop is left to remember.
func CornerText(c layout.Corner) message.Message {
	return message.New("layout_corner", message.Word("stop", "layout_stop", codes.Sides[c.Stop]).Beside()).As(codes.Depthwise[c.Depthwise] + "_" + codes.Sides[c.Side])
}
