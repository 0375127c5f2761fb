package say

import (
	"fmt"
	"strings"

	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/joint/run"
)

// A run of joints, and the chart to fill in by hand.

// Run is what a run of joints shows.
type Run struct {
	Chart       run.Chart
	Trend       run.Trend
	TrendKnown  bool
	Wear        length.Length // diameter lost with each joint, where wear is seen
	From, To    length.Length // gaps that the target's range stands for
	LookAgainAt int
	LookAgain   bool
}

// PlayAt is the play of a joint of the run on the line of its trend.
func (r *Run) PlayAt(n int, angle joint.Angle) length.Length {
	gap := r.Trend.GapAt(n)
	return gap * length.Length(2*angle.Tan())
}

// RunText says what a run shows, and when to look again.
func (w Words) RunText(r *Run) string {
	said := []string{w.trend(r)}
	switch {
	case !r.Chart.Limited:
		said = append(said, fmt.Sprintf("Control limits need %d readings above 0; there are %d.", run.LeastReadings, r.Chart.Readings))
	default:
		firm := "firm"
		if !r.Chart.Firm {
			firm = fmt.Sprintf("not firm before %d readings", run.FirmReadings)
		}
		said = append(said, fmt.Sprintf("The gap reads %s on average; limits of a reading are %s to %s (%s).",
			w.about(r.Chart.Mean), w.about(r.Chart.Lower), w.about(r.Chart.Upper), firm))
	}
	switch {
	case len(r.Chart.Signals) > 0:
		return strings.Join(append(said, "Something has changed: stop now and measure depth and widths. Change nothing until you know what it is."), " ")
	case r.Chart.Limited:
		said = append(said, "Within the limits leave the depth alone: correcting it after every reading makes the gaps scatter twice as much.")
	}
	if r.LookAgain {
		said = append(said, fmt.Sprintf("Look again at joint %d.", r.LookAgainAt))
	}
	return strings.Join(said, " ")
}

func (w Words) trend(r *Run) string {
	switch t := &r.Trend; {
	case !r.TrendKnown:
		return "A trend needs readings of three different joints."
	case t.Seen:
		return fmt.Sprintf("The gap closes by %s a joint (+/- %s): the cutter loses about %s of diameter with each.",
			w.tiny(-t.Slope), w.tiny(2*t.StandardError), w.tiny(r.Wear))
	default:
		return fmt.Sprintf("No wear is seen yet: the gap changes by %s a joint, which is within two standard errors of %s or no wear at all.", w.tiny(t.Slope), w.tiny(t.StandardError))
	}
}

// tiny writes what is less than can be read of one joint.
func (w Words) tiny(x length.Length) string {
	if w.Unit == length.UnitInch {
		return fmt.Sprintf("%.5f in", x.Inches())
	}
	return fmt.Sprintf("%.4f mm", x.MM())
}

// Signal says what in a run is out of the ordinary.
func (w Words) Signal(s *run.Signal) string {
	switch s.Code {
	case run.SignalClosed:
		return fmt.Sprintf("Joint %d has no play left to pull: its gap is 0.", s.Joint)
	case run.SignalGap:
		return fmt.Sprintf("Joint %d reads %s, beyond the limits.", s.Joint, w.about(s.Value))
	case run.SignalRange:
		return fmt.Sprintf("Joint %d differs by %s from the one read before it, more than the limit.", s.Joint, w.about(s.Value))
	}
	return fmt.Sprintf("Up to joint %d the weighted mean has gone to %s, beyond its limits.", s.Joint, w.about(s.Value))
}

// ChartToFill is the scale of a chart that is filled in by hand: gaps from 0 to
// Top in steps, the range that fits, and the gap to aim at.
type ChartToFill struct{ From, To, Aim, Top, Step length.Length }

// ChartFor returns the scale for a target, at a cutter's angle.
func (w Words) ChartFor(target joint.Target, angle joint.Angle) *ChartToFill {
	const fewest, most = 4, 10 // steps
	c := &ChartToFill{Step: tenth}
	if w.Unit == length.UnitInch {
		c.Step = 5 * thou
	}
	c.From, c.To = run.Gaps(target, angle)
	c.Aim = max(0, target.Play/length.Length(2*angle.Tan()))
	for c.To*3/2 > most*c.Step {
		c.Step *= 2
	}
	for c.Top = fewest * c.Step; c.Top.Rounded() < (c.To * 3 / 2).Rounded(); {
		c.Top += c.Step
	}
	return c
}

// ChartRange says between which gaps a joint fits.
func (w Words) ChartRange(c *ChartToFill) string {
	return fmt.Sprintf("The joint fits from %s to %s (heavy lines); %s is aimed at (dashed).", w.about(c.From), w.about(c.To), w.about(c.Aim))
}
