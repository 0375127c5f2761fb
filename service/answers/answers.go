// Package answers writes the domain's results as answers have them: lengths,
// fits, limits, cautions. What is said of them comes from package say.
package answers

import (
	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/advise"
	"snugtail/joint/length"
	"snugtail/service/codes"
	"snugtail/service/message"
	"snugtail/service/say"
)

// ModelVersion is the version of the formulas. A change that alters any
// answer's figures raises it.
const ModelVersion = "2.3.0"

// Writer writes results as answers have them, with what is said of them.
type Writer struct {
	say.Words
	Model string // the version of formulas and priors
}

// NewWriter writes in a request's unit and language.
func NewWriter(unit length.Unit, language *message.Catalogue, model string) Writer {
	return Writer{Words: say.Words{Printer: message.Printer{Catalogue: language, Unit: unit}}, Model: model}
}

// Say is a message as an object with a text of its own has it: the sentence, and
// what it names.
func (w Writer) Say(m message.Message) (text string, params api.Params) {
	if w.Wants("text") {
		text = w.Text(m)
	}
	if w.Wants("params") {
		params = w.Params(m)
	}
	return text, params
}

// Tell is a message as a member of this name has it: the sentence, and beside it
// the message as "NAME_message"; nil where nothing is said.
func (w Writer) Tell(name string, m message.Message) (string, *api.Message) {
	var text string
	if w.Wants(name) {
		text = w.Text(m)
	}
	if !m.Says() || !w.Wants(name+"_message") {
		return text, nil
	}
	if text == "" {
		text = w.Text(m)
	}
	return text, &api.Message{Code: m.Code, Params: w.Params(m), Text: text}
}

// Length writes a length, rounded to the stated resolution.
func (w Writer) Length(l length.Length) api.Length {
	l = l.Rounded()
	out := api.Length{MM: l.MM(), In: Rounded(l.Inches())}
	if w.Wants("text") {
		out.Text = l.Text(w.Unit)
	}
	return out
}

func (w Writer) Known(l length.Length, known bool) *api.Length {
	if !known {
		return nil
	}
	out := w.Length(l)
	return &out
}

// Rounded rounds any figure of an answer to the same resolution, never -0.
func Rounded(x float64) float64 { return message.Rounded(x) }

func (w Writer) fit(f *joint.Fit) api.Fit {
	return api.Fit{
		Play: w.Length(f.Play),
		Band: codes.Bands[f.Band], Likeliest: likeliest(f), Shortfall: w.shortfall(f),
		Uncertainty: api.Uncertainty{
			Standard: w.Length(f.Standard), Low: w.Length(f.Low), High: w.Length(f.High),
		},
		Probability: api.Probability{
			TooLoose: Rounded(f.Probability[joint.TooLoose]), Loose: Rounded(f.Probability[joint.Loose]),
			HandFit: Rounded(f.Probability[joint.HandFit]), Tight: Rounded(f.Probability[joint.Tight]),
			WillNotClose: Rounded(f.Probability[joint.WillNotClose]), NoJoint: Rounded(f.Probability[joint.NoJoint]),
		},
		InTarget:      Rounded(f.InTarget),
		PulledGap:     w.Known(f.PulledGap, f.PulledGapKnown && !f.Shortfall.NoJoint),
		Seat:          api.Seat{Offset: w.Known(f.Seat.Offset, f.Seat.Known), State: codes.Seat(f.Seat)},
		EdgeStep:      w.Length(f.EdgeStep),
		ShoulderGap:   w.Length(f.ShoulderGap),
		FloorGap:      w.Length(f.FloorGap),
		FirstTouch:    w.Known(f.FirstTouch, f.FirstTouchKnown && !f.Shortfall.NoJoint),
		Contributions: w.contributions(f),
		Glue:          codes.GlueOf(f),
	}
}

func likeliest(f *joint.Fit) []string {
	bands := f.Likeliest()
	out := make([]string, len(bands))
	for i, b := range bands {
		out[i] = codes.Bands[b]
	}
	return out
}

// shortfall is nil where there is a joint, or where that is not known.
func (w Writer) shortfall(f *joint.Fit) *api.Shortfall {
	s := &f.Shortfall
	if !s.NoJoint {
		return nil
	}
	m := say.NoJoint(s)
	out := &api.Shortfall{
		Limit: codes.Limits[s.Limit], By: w.Length(s.By),
		FingerReachBy: w.Length(s.FingerReach), OpeningReachBy: w.Length(s.OpeningReach), Code: m.Code,
	}
	out.Text, out.Params = w.Say(m)
	return out
}

// contributions lists the sources by their share, the largest first.
func (w Writer) contributions(f *joint.Fit) []api.Contribution {
	all := make([]api.Contribution, 0, joint.SourceCount)
	for source := range joint.SourceCount {
		if share := f.Budget.Share(source); share > 0 {
			all = append(all, api.Contribution{Source: codes.Sources[source], Share: Rounded(share)})
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

// Limits writes every limit that concerns the set-up.
func (w Writer) Limits(limits *joint.Limits) []api.Limit {
	return w.LimitsBeside(limits, nil, nil)
}

// LimitsBeside writes the limits of a set-up at another depth than that whose limits
// are written already: those that the depth leaves alone are not put into words again.
func (w Writer) LimitsBeside(limits, other *joint.Limits, written []api.Limit) []api.Limit {
	all := make([]api.Limit, 0, len(limits))
	margins, kept := make([]api.Length, len(limits)), make([]bool, len(limits)) // what is pointed to, at once
	for i := range limits {
		l := &limits[i]
		if l.Elsewhere {
			continue
		}
		if other != nil && *l == other[i] {
			all = append(all, written[len(all)])
			continue
		}
		out := api.Limit{Code: codes.Limits[l.Code], Severity: codes.Severities[l.Code.Severity()]}
		out.Text, out.Params = w.Say(w.Limit(l))
		if l.Known {
			margins[i], kept[i] = w.Length(l.Margin), l.OK()
			out.Margin, out.OK = &margins[i], &kept[i]
		}
		all = append(all, out)
	}
	return all
}

func (w Writer) Widths(d joint.Widths, known bool) *api.Widths {
	if !known {
		return nil
	}
	return &api.Widths{
		PinWidest: w.Length(d.PinWidest), PinRoot: w.Length(d.PinRoot),
		TailWidest: w.Length(d.TailWidest), TailRoot: w.Length(d.TailRoot),
		PinSocketWidest: w.Length(d.PinSocketWidest), TailSocketWidest: w.Length(d.TailSocketWidest),
	}
}

func (w Writer) Settings(p joint.Projection) api.RouterSettings {
	return api.RouterSettings{
		BelowBase:    w.Known(p.BelowBase, p.BelowBaseKnown),
		BelowBushing: w.Known(p.BelowBushing, p.BelowBushingKnown),
	}
}

func (w Writer) Cutter(c *joint.Cutter) api.CutterChoice {
	return api.CutterChoice{
		ID: c.ID, Diameter: w.Length(c.Diameter.Length), Angle: float64(c.Angle),
		CuttingLength: w.Known(c.CuttingLength.Length, c.CuttingLength.Given),
		Shank:         w.Known(c.Shank.Length, c.Shank.Given),
	}
}

func (w Writer) MeasureFirst(gains [joint.SourceCount]joint.Gain) []api.MeasureFirst {
	all := make([]api.MeasureFirst, 0, len(gains))
	for _, g := range gains {
		if g.Rise <= 0 {
			continue
		}
		m := say.MeasureFirst(g)
		out := api.MeasureFirst{Quantity: codes.Quantities[g.Source], Gain: Rounded(g.Rise), Code: m.Code}
		out.Text, out.Params = w.Say(m)
		all = append(all, out)
	}
	for i := 1; i < len(all); i++ {
		for k := i; k > 0 && all[k].Gain > all[k-1].Gain; k-- {
			all[k], all[k-1] = all[k-1], all[k]
		}
	}
	return all
}

// Grinding is told of cutters that have been, or may soon be, reground.
func (w Writer) Grinding(s *joint.Setup, target joint.Target) *api.Regrind {
	if s.Cutter.Condition != joint.ConditionResharpened && s.Cutter.Condition != joint.ConditionUsed {
		return nil
	}
	g := advise.Grinding(*s, target)
	m := say.Regrind(g)
	out := &api.Regrind{
		DepthPerTenth: w.Length(g.DepthPerTenth),
		FinishedBelow: w.Length(g.FinishedBelow),
		LastDepth:     w.Known(g.LastDepth, g.LastDepth > 0),
		Finished:      g.Finished,
		Code:          m.Code,
	}
	out.Text, out.Params = w.Say(m)
	return out
}
