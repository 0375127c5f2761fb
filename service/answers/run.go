package answers

import (
	"math"

	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/advise"
	"snugtail/joint/length"
	"snugtail/joint/run"
	"snugtail/service/codes"
	"snugtail/service/say"
)

// Run writes what a run of joints shows, nil without readings.
func (w Writer) Run(readings []run.Reading, a *advise.Advice, target joint.Target) *api.Run {
	if len(readings) == 0 {
		return nil
	}
	setup := a.Next.Setup()
	seen := say.Run{Chart: run.ChartOf(readings)}
	seen.Trend, seen.TrendKnown = run.TrendOf(readings, joint.ToleranceGap/2)
	seen.From, seen.To = run.Gaps(target, setup.Cutter.Angle)
	out := &api.Run{
		Readings: seen.Chart.Readings, Seen: seen.Trend.Seen, Firm: seen.Chart.Firm,
		SlopePerJoint: w.Known(seen.Trend.Slope, seen.TrendKnown), StandardError: w.Known(seen.Trend.StandardError, seen.TrendKnown),
		Limits: w.runLimits(&seen), Signals: make([]api.RunSignal, len(seen.Chart.Signals)),
	}
	if seen.Trend.Seen {
		seen.Wear = seen.Trend.Wear(setup.Cutter.Angle)
		out.WearPerJoint = w.Known(seen.Wear, true)
	}
	seen.LookAgainAt, seen.LookAgain = lookAgain(readings, a, &seen, target)
	if seen.LookAgain {
		out.LookAgainAt = &seen.LookAgainAt
	}
	for i := range seen.Chart.Signals {
		s := &seen.Chart.Signals[i]
		out.Signals[i] = api.RunSignal{Code: codes.Signals[s.Code], Joint: s.Joint, Value: w.Length(s.Value)}
		out.Signals[i].Text, out.Signals[i].Params = w.Say(say.Signal(s))
	}
	m := say.RunText(&seen)
	out.Code = m.Code
	out.Text, out.Params = w.Say(m)
	return out
}

func (w Writer) runLimits(r *say.Run) *api.RunLimits {
	c := &r.Chart
	if !c.Limited {
		return nil
	}
	return &api.RunLimits{
		Mean: w.Length(c.Mean), Lower: w.Length(c.Lower), Upper: w.Length(c.Upper), RangeUpper: w.Length(c.RangeUpper),
		WeightedLower: w.Length(c.MeanLower), WeightedUpper: w.Length(c.MeanUpper),
	}
}

// lookAgain is the joint at which to look again: where wear may have taken the
// play to the least that fits or, without wear to be seen, where the depth may
// have crept too far; at once where something is out of the ordinary.
func lookAgain(readings []run.Reading, a *advise.Advice, r *say.Run, target joint.Target) (at int, ok bool) {
	last := 0
	for i := range readings {
		last = max(last, readings[i].Joint)
	}
	if n := len(r.Chart.Signals); n > 0 {
		return last, true
	}
	setup := a.Next.Setup()
	after, ok := 0, false
	if r.Trend.Seen {
		now := a.Posterior.At(a.DepthNow)
		spread := length.Length(math.Hypot(now.SD().MM(), r.Trend.Scatter.MM()*2*setup.Cutter.Angle.Tan()))
		after, ok = run.LookAgainAfter(r.PlayAt(last, setup.Cutter.Angle), target.From, spread, r.Wear)
	}
	if a.Drift.Known && (!ok || a.Drift.Joints < after) {
		after, ok = a.Drift.Joints, true
	}
	return last + after, ok
}
