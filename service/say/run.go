package say

import (
	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/joint/run"
	"snugtail/service/codes"
	"snugtail/service/message"
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
func RunText(r *Run) message.Message {
	said := []message.Message{trend(r), runLimits(&r.Chart)}
	switch {
	case len(r.Chart.Signals) > 0:
		said = append(said, message.New("run_changed"), message.New("run_hands_off").As("changed"))
		return message.Sentences(said...)
	case r.Chart.Limited:
		said = append(said, message.New("run_hands_off").As("within_limits"))
	}
	if r.LookAgain {
		said = append(said, message.New("run_look_again", message.Count("joint", r.LookAgainAt)))
	}
	return message.Sentences(said...)
}

func runLimits(c *run.Chart) message.Message {
	m := message.New("run_limits", message.Length("mean", c.Mean), message.Length("lower", c.Lower), message.Length("upper", c.Upper))
	switch {
	case !c.Limited:
		return message.New("run_limits", message.Count("least", run.LeastReadings), message.Count("readings", c.Readings)).As("none")
	case !c.Firm:
		return m.With(message.Count("least", run.FirmReadings)).As("not_firm")
	}
	return m.As("firm")
}

func trend(r *Run) message.Message {
	t := &r.Trend
	switch {
	case !r.TrendKnown:
		return message.New("run_trend").As("not_known")
	case t.Seen:
		return message.New("run_trend", message.Length("by", -t.Slope), message.Length("within", 2*t.StandardError), message.Length("wear", r.Wear)).As("wears")
	}
	return message.New("run_trend", message.Length("by", t.Slope), message.Length("error", t.StandardError)).As("no_wear_seen")
}

// Signal says what in a run is out of the ordinary.
func Signal(s *run.Signal) message.Message {
	return message.New("run_signal."+codes.Signals[s.Code], message.Count("joint", s.Joint).Beside(), message.Length("value", s.Value).Beside())
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
func ChartRange(c *ChartToFill) message.Message {
	return message.New("chart_range", message.Length("from", c.From), message.Length("to", c.To), message.Length("aim", c.Aim))
}
