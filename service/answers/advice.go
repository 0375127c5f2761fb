package answers

import (
	"slices"
	"strconv"

	"snugtail/api"
	"snugtail/joint/advise"
	"snugtail/joint/belief"
	"snugtail/service/codes"
	"snugtail/service/message"
	"snugtail/service/say"
)

// Decision writes what to do next.
func (w Writer) Decision(a *advise.Advice) api.Decision {
	d := &a.Decision
	out := api.Decision{
		Do: codes.Dos[d.Do], Chance: Rounded(d.Chance), ExpectedMinutes: Rounded(d.Minutes),
		Depth: w.Known(d.Depth, d.Do == advise.DoCut || d.Do == advise.DoStop),
		Why:   api.Why{Code: codes.Whys[d.Why]},
	}
	out.Text, out.Params = w.Say(w.FirstLine(a))
	out.Why.Text, out.Why.Params = w.Say(say.DecidedBy(a))
	if out.Depth != nil {
		out.Setting = w.NextSetting(a)
	}
	if d.Do == advise.DoCheck {
		check := codes.Checks[d.Check]
		out.Check = &check
	}
	return out
}

// Steps writes steps in their order.
func (w Writer) Steps(all []advise.Step, a *advise.Advice) []api.Step {
	out := make([]api.Step, len(all))
	for i := range all {
		s := &all[i]
		out[i] = api.Step{Order: i + 1, Action: codes.Actions[s.Action], Amount: w.Known(s.Amount, s.AmountKnown)}
		out[i].Text, out[i].Params = w.Say(w.Step(s, a))
		out[i].Why, out[i].WhyMessage = w.Tell("why", say.StepWhy(s))
		if s.TurnsKnown {
			turns := Rounded(s.Turns)
			out[i].Turns = &turns
		}
	}
	return out
}

// Disagreements writes what is to be read again.
func (w Writer) Disagreements(a *advise.Advice) []api.Disagreement {
	out := make([]api.Disagreement, len(a.Doubts))
	for i := range a.Doubts {
		d := &a.Doubts[i]
		m := say.Doubt(d)
		out[i] = api.Disagreement{
			TestCut: d.Cut, Observation: codes.Observations[d.Seen], Pointer: Pointer(d.Evidence), Chance: Rounded(d.Chance), Code: m.Code,
		}
		out[i].Text, out[i].Params = w.Say(m)
	}
	return out
}

// Corners writes which corners differ.
func (w Writer) Corners(a *advise.Advice) []api.CornerDifference {
	out := make([]api.CornerDifference, len(a.Corners))
	for i := range a.Corners {
		c := &a.Corners[i]
		m := say.Corners(c)
		out[i] = api.CornerDifference{
			Of: codes.Seen[c.Seen], Between: codes.Between[c.Sides], Difference: w.Length(c.Amount), StandardError: w.Length(c.Error), Code: m.Code,
		}
		out[i].Text, out[i].Params = w.Say(m)
	}
	return out
}

// NextCheck writes the check to make next, nil where there is none.
func (w Writer) NextCheck(a *advise.Advice) *api.NextCheck {
	n := a.NextCheck
	if n == nil {
		return nil
	}
	next := &api.NextCheck{
		Code: codes.Checks[n.Check], Minutes: n.Minutes, ExpectedGain: Rounded(n.Gain), Outcomes: make([]api.CheckOutcome, len(n.Outcomes)),
	}
	next.Tool, next.ToolMessage = w.Tell("tool", say.CheckTool(n.Check))
	next.Text, next.Params = w.Say(say.CheckText(n.Check))
	next.Report, next.ReportMessage = w.Tell("report", w.Words.Report(n.Check))
	for i := range n.Outcomes {
		next.Outcomes[i] = w.outcome(a, &n.Outcomes[i])
	}
	return next
}

func (w Writer) outcome(a *advise.Advice, o *advise.Outcome) api.CheckOutcome {
	out := api.CheckOutcome{Cause: codes.Causes[o.Cause], Probability: Rounded(o.Probability)}
	out.If, out.IfMessage = w.Tell("if", say.OutcomeIf(o))
	out.Means, out.MeansMessage = w.Tell("means", say.OutcomeMeans(o, causeOf(a, o.Cause)))
	return out
}

// causeOf names a cause as the advice has it.
func causeOf(a *advise.Advice, code belief.Code) message.Message {
	for i := range a.Causes {
		if a.Causes[i].Code == code {
			return say.Cause(&a.Causes[i])
		}
	}
	return say.CauseName(code)
}

// CauseCheck writes how to see whether a cause is so.
func (w Writer) CauseCheck(c *advise.Cause, a *advise.Advice) api.CauseCheck {
	out := api.CauseCheck{Code: codes.Checks[c.Check], Minutes: a.Minutes[c.Check]}
	out.Tool, out.ToolMessage = w.Tell("tool", say.CheckTool(c.Check))
	out.Text, out.Params = w.Say(say.HowToSee(c))
	return out
}

// Evidence writes where in the request something was told, and what.
func (w Writer) Evidence(all []belief.Evidence) []api.Evidence {
	out := make([]api.Evidence, len(all))
	for i, e := range all {
		m := say.Evidence(e)
		out[i] = api.Evidence{Pointer: Pointer(e), Code: m.Code}
		out[i].Text, out[i].Params = w.Say(m)
	}
	return out
}

// Pointer is where in the request something was told.
func Pointer(e belief.Evidence) string {
	switch e.Seen {
	case belief.SeenFinding:
		return "#/findings/" + codes.Findings[e.Finding]
	case belief.SeenBushing:
		return "#/setup/bushing/diameter"
	case belief.SeenCutter:
		return "#/setup/cutter/diameter"
	}
	at := "#/test_cuts/" + strconv.Itoa(e.Cut)
	if e.Place != belief.Whole {
		at += "/along/" + strconv.Itoa(e.Place)
	}
	return at + "/" + codes.Seen[e.Seen]
}

// Salvage writes what becomes of boards that are cut.
func (w Writer) Salvage(a *advise.Advice) []api.Salvage {
	out := make([]api.Salvage, len(a.Salvage))
	for i := range a.Salvage {
		s := &a.Salvage[i]
		out[i] = api.Salvage{Code: codes.Salvages[s.Code], Possible: s.Possible, Amount: w.Known(s.Amount, s.AmountKnown && s.Amount > 0)}
		out[i].Text, out[i].Params = w.Say(say.Salvage(s))
	}
	return out
}

// PartsOff writes what measures otherwise than the set-up gives.
func (w Writer) PartsOff(a *advise.Advice) []api.PartOff {
	out := make([]api.PartOff, len(a.PartsOff))
	for i := range a.PartsOff {
		p := &a.PartsOff[i]
		m := say.PartOff(p)
		out[i] = api.PartOff{
			TestCut: p.Cut, Part: codes.Measured[p.Part], Code: m.Code,
			Expected: w.Length(p.Expected), Measured: w.Length(p.Measured), Off: w.Length(p.Measured - p.Expected),
		}
		out[i].Text, out[i].Params = w.Say(m)
	}
	return out
}

// CheckAgain writes when to look again.
func (w Writer) CheckAgain(d advise.Drift) api.CheckAgain {
	m := say.Drift(d)
	check := api.CheckAgain{Shallower: w.Known(d.Shallower, d.Known), Deeper: w.Known(d.Deeper, d.Known), Code: m.Code}
	check.Text, check.Params = w.Say(m)
	if d.Known {
		check.AfterJoints = &d.Joints
	}
	return check
}

// AdviceCautions fit the decision and its steps.
func (w Writer) AdviceCautions(a *advise.Advice) []api.Caution {
	all := make([]string, 0, 12)
	if a.Decision.Do == advise.DoStop {
		return w.cautionsFor(append(all, "same_face_to_stop", "blow_out_chips"), a)
	}
	all = append(all, "power_off", "test_in_scrap")
	for i := range a.Steps {
		if a.Steps[i].Action == advise.LowerCutter {
			all = append(all, "fresh_boards")
			break
		}
	}
	if a.OnlyFelt {
		all = append(all, "estimate_only")
	}
	all = append(all, "same_face_to_stop", "score_and_back_up", "blow_out_chips")
	return w.cautionsFor(all, a)
}

// cautionsFor adds those of the next joint. Reaches that were left out of account
// are not as if nobody had looked.
func (w Writer) cautionsFor(codes []string, a *advise.Advice) []api.Caution {
	all := ForCutting(codes, &a.Next, &a.Limits)
	if i := slices.Index(all, "joint_not_checked"); i >= 0 && a.ReachesDoubted {
		all[i] = "reaches_doubted"
	}
	return w.Cautions(all...)
}
