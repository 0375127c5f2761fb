package say

import (
	"fmt"
	"math"
	"strings"

	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/joint/recommend"
	"snugtail/service/codes"
)

// Which cutter with which bushing.

// Rates are what the terms of the sum are exchanged at.
const Rates = "All terms are in test joints. What they are exchanged at is judgement: half of the hold is worth one test joint, and so are 1.6 mm " +
	"of lap under 4.8 mm and 1 mm of edge pin under 3 mm. Pairs within a tenth of a test joint count as alike. Holds are estimates."

// WhyNot says what keeps a pair from serving.
func (w Words) WhyNot(r *recommend.Refusal) string {
	text := w.whyNot(r)
	if !r.Outside {
		return text
	}
	most := "."
	if r.Window.MostKnown {
		most = fmt.Sprintf(", and at most %s.", w.about(r.Window.Most))
	}
	return fmt.Sprintf("%s Cutter less %s is %s; with this template, front and angle it has to be at least %s%s",
		text, guide(r.Bushing.Kind), w.about(r.Window.Difference), w.about(r.Window.Least), most)
}

func (w Words) whyNot(r *recommend.Refusal) string {
	switch r.Obstacle {
	case recommend.ObstacleNoDepth:
		return fmt.Sprintf("It fits at no depth: even at zero depth play is only %s. This cutter is too narrow for the %s and template.", w.about(r.PlayAtNone), guide(r.Bushing.Kind))
	case recommend.ObstacleTooShallow:
		return fmt.Sprintf("It fits at %s: a joint less than %s deep doesn't hold.", w.Setting(r.Depth), w.Size(recommend.LeastDepth))
	case recommend.ObstacleNoSetting:
		return fmt.Sprintf("It fits at %s, but no depth within the limits can be set with this router.", w.Setting(r.Depth))
	case recommend.ObstacleImpossible:
		if r.Impossible.Reason == joint.ReasonThroughPinBoard {
			return fmt.Sprintf("It fits at %s, deeper than the pin board is thick: %s.", w.Setting(r.Depth), w.Board(length.Length(r.Impossible.Limit)))
		}
		return fmt.Sprintf("It would fit at %s, but: %s", w.Setting(r.Depth), w.Impossible(r.Impossible))
	}
	switch r.Limit.Code {
	case joint.LimitLap:
		return fmt.Sprintf("It fits at %s, which leaves %s of lap in front: it takes at least %s.",
			w.Setting(r.Depth), w.about(r.Limit.Margin+joint.LeastLap), w.Size(joint.LeastLap))
	case joint.LimitCuttingLength:
		return fmt.Sprintf("It fits at %s, but its cutting edges are only %s long.", w.Setting(r.Depth), w.Size(r.Depth+r.Limit.Margin))
	case joint.LimitTailLeft, joint.LimitTailEnters, joint.LimitStraightFlank:
		return fmt.Sprintf("Its play would be right at %s, but there %s.", w.Setting(r.Depth), w.brokenLimit(r.Limit))
	}
	return fmt.Sprintf("It fits at %s, but there %s.", w.Setting(r.Depth), w.brokenLimit(r.Limit))
}

// Why says what puts a choice where it is: every term of its sum.
func (w Words) Why(c *recommend.Choice, rank int) string {
	cost := &c.Cost
	b := new(strings.Builder)
	if rank == 1 {
		b.WriteString("First: ")
	}
	fmt.Fprintf(b, "costs %s test joints: %s until one fits (%s at once), %s for the hold (%s)",
		hundredths(cost.Total), hundredths(cost.Trials), Percent(cost.First), hundredths(cost.Hold), w.held(c))
	if lap, ok := c.Prediction.Joint.Lap(); ok {
		fmt.Fprintf(b, ", %s for the lap (%s)", hundredths(cost.Lap), w.about(lap))
	} else {
		b.WriteString(", nothing for the lap, which is not known")
	}
	if cost.EdgePin > 0 {
		fmt.Fprintf(b, ", %s for the edge pins", hundredths(cost.EdgePin))
	}
	if text := w.tight(c); text != "" {
		b.WriteString("; with little to spare: " + text)
	}
	if c.Moved != nil {
		fmt.Fprintf(b, "; %s", w.MovedText(c.Moved, c.Set.Setting.Depth, c.Prediction.Fit.Play))
	}
	return capital(b.String()) + "."
}

func hundredths(x float64) string { return fmt.Sprintf("%.2f", x) }

// held is what a pair holds, in newtons where the woods are known.
func (w Words) held(c *recommend.Choice) string {
	share := fmt.Sprintf("%d %% of the best pair's", int(math.Round(100*c.Cost.Share)))
	if c.Cost.Share == 1 {
		share = "the most of these pairs"
	}
	if c.Hold.SlopeKnown {
		return fmt.Sprintf("about %.0f N a tail, %s", c.Hold.Slope, share)
	}
	return fmt.Sprintf("flare %s, %s", w.about(c.Hold.Flare), share)
}

// tight names the limits that deserve a caution.
func (w Words) tight(c *recommend.Choice) string {
	all := make([]string, 0, len(c.Cautions))
	for _, code := range c.Cautions {
		l := &c.Prediction.Limits[code]
		if l.Broken() {
			all = append(all, w.Of("limit_broken."+codes.Limits[code]))
		} else {
			all = append(all, w.Of("limit_keeps."+codes.Limits[code], leastOf(code)...))
		}
	}
	return strings.Join(all, "; ")
}

// BreakEvenText says what the lead of the first pair hangs on.
func (w Words) BreakEvenText(r *recommend.Result) string {
	b, second := &r.BreakEven, w.pair(&r.Choices[1])
	switch {
	case b.Always:
		return fmt.Sprintf("The first pair comes out ahead of %s, whatever the hold is worth to you.", second)
	case b.More:
		return fmt.Sprintf("The first pair comes out ahead of %s, unless twice the hold is worth less than %s test joints to you (1 is assumed).", second, hundredths(b.Worth))
	}
	return fmt.Sprintf("The first pair comes out ahead of %s, unless twice the hold is worth more than %s test joints to you (1 is assumed).", second, hundredths(b.Worth))
}

func (w Words) pair(c *recommend.Choice) string {
	return fmt.Sprintf("the %s cutter, %s, with the %s %s", w.Size(c.Cutter.Diameter.Length), angleText(c.Cutter.Angle), w.Size(c.Bushing.Diameter.Length), guide(c.Bushing.Kind))
}

// Change is what else would serve, where no pair does.
func (w Words) Change(c recommend.Change) string {
	if !w.Wants("text") {
		return ""
	}
	cutter := w.Size(c.Cutter.Diameter.Length) + " cutter"
	switch c.Code {
	case recommend.SteeperAngle:
		return fmt.Sprintf("A %s of at least %s cuts shallow enough%s.", cutter, angleText(c.Angle), w.longEdges(&c))
	case recommend.ShallowerAngle:
		return fmt.Sprintf("A %s of at most %s cuts deep enough%s.", cutter, angleText(c.Angle), w.longEdges(&c))
	case recommend.LargerBushing:
		return fmt.Sprintf("A bushing of at least %s lets the %s, %s, cut shallow enough%s.", w.Size(c.Size), cutter, angleText(c.Cutter.Angle), w.longEdges(&c))
	case recommend.SmallerBushing:
		return fmt.Sprintf("A bushing of at most %s lets the %s, %s, cut deep enough to clear the template%s.", w.Size(c.Size), cutter, angleText(c.Cutter.Angle), w.longEdges(&c))
	case recommend.ThickerBoard:
		return fmt.Sprintf("A pin board at least %s thick, measured, takes the %s, %s%s.", w.Size(c.Size), cutter, angleText(c.Cutter.Angle), w.longEdges(&c))
	}
	return "Another template: with this one no pair at hand closes the joint within the limits."
}

// longEdges says which cutting edges a change needs beside.
func (w Words) longEdges(c *recommend.Change) string {
	if c.CuttingLength <= 0 {
		return ""
	}
	return ", if its cutting edges are at least " + w.Size(c.CuttingLength) + " long"
}

// MovedText says why another depth is taken than the one that gives the target's
// play.
func (w Words) MovedText(r *recommend.Refusal, depth, play length.Length) string {
	return fmt.Sprintf("set it at %s, where play is %s and every limit is kept; at the target's own play it would not work (%s)",
		w.Setting(depth), w.about(play), strings.TrimSuffix(w.WhyNot(r), "."))
}

// ChoiceSummary says which pair to take, and what its lead hangs on.
func (w Words) ChoiceSummary(r *recommend.Result) string {
	if !w.Wants("summary") {
		return ""
	}
	if len(r.Choices) == 0 {
		return noneWorks(len(r.Refused))
	}
	first := &r.Choices[0]
	text := fmt.Sprintf("Take %s, at a depth of %s: the first joint fits with a chance of %s%s.%s",
		w.pair(first), w.Setting(first.Set.Setting.Depth), Percent(first.Cost.First), AsStated(&first.Prediction.Joint), others(len(r.Choices)-1+r.Unlisted, len(r.Refused)))
	if r.BreakEven.Known {
		text += " " + w.BreakEvenText(r)
	}
	return text
}

// noneWorks says that no pair keeps the limits.
func noneWorks(pairs int) string {
	switch pairs {
	case 1:
		return "This cutter with this bushing doesn't work: no depth fits within the limits."
	case 2:
		return "Neither of these two pairs of cutter and bushing works within the limits."
	}
	return fmt.Sprintf("None of these %d pairs of cutter and bushing works within the limits.", pairs)
}

// others says how many of the other pairs work.
func others(work, fail int) string {
	all := work + fail
	switch {
	case all == 0:
		return ""
	case all == 1 && work == 1:
		return " The only other pair works too."
	case all == 1:
		return " The only other pair doesn't work."
	case work == 0 && all == 2:
		return " Neither of the other two pairs works."
	case work == 0:
		return fmt.Sprintf(" None of the other %d pairs works.", all)
	case fail == 0 && all == 2:
		return " Both other pairs work too."
	case fail == 0:
		return fmt.Sprintf(" All %d other pairs work too.", all)
	case work == 1:
		return fmt.Sprintf(" One of the other %d pairs works too.", all)
	}
	return fmt.Sprintf(" Of the other %d pairs %d work too.", all, work)
}

// CuttersNote and BushingsNote stand above the built-in sets.
const (
	CuttersNote  = "Standard sizes as commonly to be had; diameter at the tip, angle one side from the axis. Cutting lengths are judgement: measure the cutter at hand."
	BushingsNote = "Standard sizes as commonly to be had; diameter is the outside of the barrel. Bores are judgement: measure the bushing at hand."
)
