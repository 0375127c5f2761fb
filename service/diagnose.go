package service

import (
	"context"
	"strconv"

	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/correct"
	"snugtail/joint/diagnose"
	"snugtail/service/answers"
	"snugtail/service/codes"
	"snugtail/service/read"
	"snugtail/service/say"
	"snugtail/service/working"
)

// diagnoseJoint answers: what is wrong, and what to check next?
func diagnoseJoint(_ context.Context, in *api.DiagnosisRequest) (*api.DiagnosisAnswer, error) {
	r := read.New(in.Units)
	c, sessions := r.Case(in)
	if err := r.Fault(); err != nil {
		return nil, err
	}
	if statedInFull(&c.Setup) {
		if err := r.BandsOf(c.Setup); err != nil {
			return nil, err
		}
	}
	c.Bands = r.Bands
	if err := read.Taught(&c, sessions); err != nil {
		return nil, r.Refusal(err)
	}
	d, err := diagnose.Of(c)
	if err != nil {
		return nil, r.Refusal(err)
	}
	answer := diagnosisAnswer(answers.NewWriter(r.Unit), &d, &c)
	if in.Explain {
		answer.Working = working.Diagnosis(&d, &c, len(answer.Causes))
	}
	return answer, nil
}

// statedInFull reports whether a joint follows from a set-up.
func statedInFull(s *joint.Setup) bool {
	t := &s.Template
	template := t.Allowance.Given || t.KnownByOpenings() && t.Tail.Opening.Given && t.Pitch.Given
	return template && s.Bushing.Diameter.Given && s.Cutter.Diameter.Given && s.Cutter.Angle > 0 && s.Depth.PinBoard.Given
}

// Causes that are answered: the likely ones, at least a few.
const (
	fewestCauses = 3
	likelyCause  = 0.01
)

func diagnosisAnswer(w answers.Writer, d *diagnose.Diagnosis, c *diagnose.Case) *api.DiagnosisAnswer {
	answer := &api.DiagnosisAnswer{
		Model:       answers.ModelVersion,
		Summary:     w.DiagnosisSummary(d, saysSomething(c)),
		Unexplained: d.Unexplained,
		Misfits:     evidence(d.Misfits),
		Cautions:    diagnosisCautions(d, c),
	}
	for i := range d.Causes {
		if i < fewestCauses || d.Causes[i].Probability >= likelyCause {
			answer.Causes = append(answer.Causes, causeAnswer(w, &d.Causes[i]))
		}
	}
	if d.Unexplained {
		text := say.UnexplainedText(len(d.Misfits))
		answer.UnexplainedText = &text
	}
	if d.HasNext {
		answer.NextCheck = nextCheck(w, d)
	}
	return answer
}

// saysSomething reports whether anything was told beside the set-up.
func saysSomething(c *diagnose.Case) bool {
	return len(c.Cuts) > 0 || c.Findings != diagnose.Findings{} || c.Answered != diagnose.Checks{}
}

func causeAnswer(w answers.Writer, c *diagnose.Cause) api.DiagnosisCause {
	answer := api.DiagnosisCause{
		Code:           codes.Causes[c.Code],
		Probability:    answers.Rounded(c.Probability),
		Prior:          answers.Rounded(c.Prior),
		Size:           causeSize(w, &c.Size),
		Name:           w.Cause(c),
		Text:           w.CauseSentence(c),
		Explains:       evidence(c.Explains),
		DoesNotExplain: evidence(c.NotExplains),
		Check: api.CauseCheck{
			Code: codes.Checks[c.Check], Tool: say.CheckTool(c.Check), Minutes: c.Check.Minutes(), Text: w.HowToSee(c),
		},
		Cure: make([]api.Step, len(c.Steps)),
	}
	for i := range c.Steps {
		answer.Cure[i] = cureStep(w, &c.Steps[i], c, i+1)
	}
	return answer
}

func cureStep(w answers.Writer, s *diagnose.Step, c *diagnose.Cause, order int) api.Step {
	step := api.Step{
		Order: order, Action: codes.Actions[s.Action], Amount: w.Known(s.Amount, s.AmountKnown),
		Text: w.CureText(s, c), Why: say.CureWhy(s, c),
	}
	if s.TurnsKnown {
		turns := answers.Rounded(s.Turns)
		step.Turns = &turns
	}
	return step
}

// causeSize is null where a cause has no size that could be named.
func causeSize(w answers.Writer, s *diagnose.Size) *api.CauseSize {
	name, named := codes.CauseSizes[s.Kind]
	if !named {
		return nil
	}
	size := &api.CauseSize{Of: name}
	if s.Kind == diagnose.SizeAngle {
		angle, against := answers.Rounded(float64(s.Angle)), answers.Rounded(float64(s.AgainstAngle))
		size.Angle, size.InsteadOfAngle = &angle, &against
		return size
	}
	size.Length = w.Known(s.Length, true)
	size.InsteadOf = w.Known(s.Against, s.Against > 0)
	return size
}

func evidence(all []diagnose.Evidence) []api.Evidence {
	out := make([]api.Evidence, len(all))
	for i, e := range all {
		out[i] = api.Evidence{Pointer: evidencePointer(e), Text: say.EvidenceText(e)}
	}
	return out
}

// evidencePointer is where in the request something was told.
func evidencePointer(e diagnose.Evidence) string {
	if e.Seen == diagnose.SeenFinding {
		return "#/findings/" + codes.Findings[e.Finding]
	}
	at := "#/test_cuts/" + strconv.Itoa(e.Cut)
	if e.Place != diagnose.Whole {
		at += "/along/" + strconv.Itoa(e.Place)
	}
	return at + "/" + codes.Seen[e.Seen]
}

func nextCheck(w answers.Writer, d *diagnose.Diagnosis) *api.NextCheck {
	n := &d.Next
	next := &api.NextCheck{
		Code: codes.Checks[n.Check], Tool: say.CheckTool(n.Check), Minutes: n.Minutes, ExpectedGain: answers.Rounded(n.Gain),
		Text: say.CheckText(n.Check), Report: say.ReportText(n.Check), Outcomes: make([]api.CheckOutcome, len(n.Outcomes)),
	}
	for i := range n.Outcomes {
		o := &n.Outcomes[i]
		next.Outcomes[i] = api.CheckOutcome{
			If: w.OutcomeIf(o), Means: w.OutcomeMeans(o, causeOf(w, d, o.Cause)),
			Cause: codes.Causes[o.Cause], Probability: answers.Rounded(o.Probability),
		}
	}
	return next
}

// causeOf names a cause as the diagnosis has it.
func causeOf(w answers.Writer, d *diagnose.Diagnosis, code diagnose.Code) string {
	for i := range d.Causes {
		if d.Causes[i].Code == code {
			return w.Cause(&d.Causes[i])
		}
	}
	return say.CauseName(code)
}

// diagnosisCautions fit the checks, and the cure of the likeliest cause.
func diagnosisCautions(d *diagnose.Diagnosis, c *diagnose.Case) []api.Caution {
	codes := []string{"power_off", "test_in_scrap", "same_face_to_stop", "blow_out_chips"}
	for i := range d.Causes[0].Steps {
		if d.Causes[0].Steps[i].Action == correct.LowerCutter {
			codes = append(codes, "fresh_boards")
		}
	}
	if onlyFelt := len(c.Cuts) > 0; onlyFelt && !anyReading(c) {
		codes = append(codes, "estimate_only")
	}
	if s := &c.Setup; s.Cutter.Diameter.Given && s.Bushing.Diameter.Given && s.Cutter.TipDiameter() > s.Bushing.Diameter.Length {
		codes = append(codes, "never_lift_running_router")
	}
	if t, h := c.Setup.PinBoard.Thickness, c.Setup.Depth.PinBoard; t.Given && h.Given && t.Length-h.Length < joint.ComfortableLap {
		codes = append(codes, "thin_lap")
	}
	return answers.Cautions(append(codes, "eyes_ears_dust", "own_instructions_first")...)
}

// anyReading reports whether anything beside feels was read of a joint.
func anyReading(c *diagnose.Case) bool {
	for i := range c.Cuts {
		t := &c.Cuts[i].TestCut
		m := &t.Measured
		if t.PulledGap.Given || t.ShoulderGap.Given || t.Seat.Given || t.EdgeStep.Given || len(c.Cuts[i].Along) > 0 ||
			m.PinWidest.Given || m.TailWidest.Given || m.PinSocketWidest.Given || m.TailSocketWidest.Given ||
			m.DepthPinBoard.Given || m.DepthTailBoard.Given {
			return true
		}
	}
	return false
}
