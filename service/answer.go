package service

import (
	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/correct"
	"snugtail/joint/length"
	"snugtail/service/codes"
	"snugtail/service/say"
)

// modelVersion is the version of the formulas. A change that alters any
// answer's figures raises it.
const modelVersion = "1.0.0"

// writer writes results as answers have them, with what is said of them.
type writer struct{ say.Words }

// newWriter writes in a request's unit.
func newWriter(unit length.Unit) writer { return writer{say.Words{Unit: unit}} }

// length writes a length, rounded to the stated resolution.
func (w writer) length(l length.Length) api.Length {
	l = l.Rounded()
	return api.Length{MM: l.MM(), In: rounded(l.Inches()), Text: w.Text(l)}
}

func (w writer) known(l length.Length, known bool) *api.Length {
	if !known {
		return nil
	}
	out := w.length(l)
	return &out
}

// rounded rounds any figure of an answer to the same resolution, never -0.
func rounded(x float64) float64 { return length.NearestWhole(x*1e6)/1e6 + 0 }

func (w writer) fit(f *joint.Fit) api.Fit {
	return api.Fit{
		Play: w.length(f.Play),
		Band: codes.Bands[f.Band],
		Uncertainty: api.Uncertainty{
			Standard: w.length(f.Standard), Low: w.length(f.Low), High: w.length(f.High),
		},
		Probability: api.Probability{
			TooLoose: rounded(f.Probability[joint.TooLoose]), Loose: rounded(f.Probability[joint.Loose]),
			HandFit: rounded(f.Probability[joint.HandFit]), Tight: rounded(f.Probability[joint.Tight]),
			WillNotClose: rounded(f.Probability[joint.WillNotClose]),
		},
		InTarget:      rounded(f.InTarget),
		PulledGap:     w.known(f.PulledGap, f.PulledGapKnown),
		Seat:          api.Seat{Offset: w.known(f.Seat.Offset, f.Seat.Known), State: codes.Seat(f.Seat)},
		EdgeStep:      w.length(f.EdgeStep),
		ShoulderGap:   w.length(f.ShoulderGap),
		FloorGap:      w.length(f.FloorGap),
		FirstTouch:    w.known(f.FirstTouch, f.FirstTouchKnown),
		Contributions: w.contributions(f),
		Glue:          codes.Glue(f.Play),
	}
}

// contributions lists the sources by their share, the largest first.
func (w writer) contributions(f *joint.Fit) []api.Contribution {
	all := make([]api.Contribution, 0, joint.SourceCount)
	for source := range joint.SourceCount {
		if share := f.Budget.Share(source); share > 0 {
			all = append(all, api.Contribution{Source: codes.Sources[source], Share: rounded(share)})
		}
	}
	return sorted(all)
}

// sorted puts a handful of contributions in order, equal ones as they came.
func sorted(all []api.Contribution) []api.Contribution {
	for i := 1; i < len(all); i++ {
		for k := i; k > 0 && all[k].Share > all[k-1].Share; k-- {
			all[k], all[k-1] = all[k-1], all[k]
		}
	}
	return all
}

func (w writer) limits(limits *joint.Limits) []api.Limit {
	all := make([]api.Limit, len(limits))
	for i := range limits {
		l := &limits[i]
		all[i].Code, all[i].Text = codes.Limits[l.Code], w.Limit(l)
		if l.Known {
			ok := l.OK()
			all[i].Margin, all[i].OK = w.known(l.Margin, true), &ok
		}
	}
	return all
}

func (w writer) widths(d joint.Widths, known bool) *api.Widths {
	if !known {
		return nil
	}
	return &api.Widths{
		PinWidest: w.length(d.PinWidest), PinRoot: w.length(d.PinRoot),
		TailWidest: w.length(d.TailWidest), TailRoot: w.length(d.TailRoot),
		PinSocketWidest: w.length(d.PinSocketWidest), TailSocketWidest: w.length(d.TailSocketWidest),
	}
}

func (w writer) settings(p joint.Projection) api.RouterSettings {
	return api.RouterSettings{
		BelowBase:    w.known(p.BelowBase, p.BelowBaseKnown),
		BelowBushing: w.known(p.BelowBushing, p.BelowBushingKnown),
	}
}

func (w writer) cutter(c *joint.Cutter) api.CutterChoice {
	return api.CutterChoice{
		ID: c.ID, Diameter: w.length(c.Diameter.Length), Angle: float64(c.Angle),
		CuttingLength: w.known(c.CuttingLength.Length, c.CuttingLength.Given),
		Shank:         w.known(c.Shank.Length, c.Shank.Given),
	}
}

func (w writer) measureFirst(gains [joint.SourceCount]joint.Gain) []api.MeasureFirst {
	all := make([]api.MeasureFirst, 0, len(gains))
	for _, g := range gains {
		if g.Rise > 0 {
			all = append(all, api.MeasureFirst{Quantity: codes.Quantities[g.Source], Gain: rounded(g.Rise), Text: w.MeasureText(g)})
		}
	}
	for i := 1; i < len(all); i++ {
		for k := i; k > 0 && all[k].Gain > all[k-1].Gain; k-- {
			all[k], all[k-1] = all[k-1], all[k]
		}
	}
	return all
}

// grinding is told of cutters that have been, or may soon be, reground.
func (w writer) grinding(s *joint.Setup, target joint.Target) *api.Regrind {
	if s.Cutter.Condition != joint.ConditionResharpened && s.Cutter.Condition != joint.ConditionUsed {
		return nil
	}
	g := correct.Grinding(*s, target)
	return &api.Regrind{
		DepthPerTenth: w.length(g.DepthPerTenth),
		FinishedBelow: w.length(g.FinishedBelow),
		LastDepth:     w.known(g.LastDepth, g.LastDepth > 0),
		Finished:      g.Finished,
		Text:          w.Regrind(g),
	}
}

// cautions are warnings by their codes.
func cautions(codes ...string) []api.Caution {
	all := make([]api.Caution, len(codes))
	for i, code := range codes {
		all[i] = api.Caution{Code: code, Text: say.Caution(code)}
	}
	return all
}
