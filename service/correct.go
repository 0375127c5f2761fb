package service

import (
	"context"

	"snugtail/api"
	"snugtail/joint/correct"
	"snugtail/service/answers"
	"snugtail/service/codes"
	"snugtail/service/read"
	"snugtail/service/working"
)

// correctSetup answers: what do I change, and by how much?
func correctSetup(_ context.Context, in *api.CorrectionRequest) (*api.CorrectionAnswer, error) {
	r := read.New(in.Units)
	bench := r.Bench(in.Setup, in.TestCuts, in.Target)
	c, err := r.Corrected(&bench)
	if err != nil {
		return nil, err
	}
	w := answers.NewWriter(r.Unit)
	answer := correctionAnswer(w, &c)
	if answer.Predicted, err = w.FitOf(&c.Next, &c.Predicted); err != nil {
		return nil, err
	}
	moving, err := w.WoodCautions(&c.Next, &c.Predicted)
	if err != nil {
		return nil, err
	}
	answer.Cautions = append(answer.Cautions, moving...)
	answer.Regrind = w.Grinding(&bench.Setup, bench.Target)
	answer.Record = read.NewRecord(&c, bench.Sessions(), w.Gauge(&c))
	if in.Explain {
		answer.Working = working.Correction(&c, &bench.Setup, bench.Target)
	}
	return answer, nil
}

func correctionAnswer(w answers.Writer, c *correct.Correction) *api.CorrectionAnswer {
	setup := c.Next.Setup()
	answer := &api.CorrectionAnswer{
		Model:          answers.ModelVersion,
		Summary:        w.Verdict(c),
		Verdict:        codes.Verdicts[c.Verdict],
		Steps:          make([]api.Step, len(c.Steps)),
		NextDepth:      w.Length(c.NextDepth),
		ChanceNextFits: answers.Rounded(c.Chance),
		Estimate: api.Estimate{
			Allowance:           w.Length(setup.Template.TotalAllowance() + c.Learned.Mean),
			PlayOffset:          w.Length(c.Learned.Mean),
			StandardUncertainty: w.Length(c.Learned.SD),
			SeatOffset:          w.Known(c.Learned.Seat.Offset, c.Learned.Seat.Known),
		},
		Disagreements:  make([]api.Disagreement, len(c.Learned.Outliers)),
		PartsOff:       make([]api.PartOff, len(c.PartsOff)),
		Limits:         w.Limits(&c.Limits),
		RouterSettings: w.Settings(c.Next.Projection()),
		Salvage:        make([]api.Salvage, len(c.Salvage)),
		CheckAgain:     checkAgain(w, c.Drift),
		Cautions:       answers.AfterTestCuts(c),
	}
	for i := range c.Steps {
		answer.Steps[i] = stepAnswer(w, &c.Steps[i], c, i+1)
	}
	for i, o := range c.Learned.Outliers {
		answer.Disagreements[i] = api.Disagreement{TestCut: o.Cut, Observation: codes.Observations[o.Observation], Text: w.Disagreement(o)}
	}
	for i := range c.PartsOff {
		answer.PartsOff[i] = partOffAnswer(w, &c.PartsOff[i])
	}
	for i := range c.Salvage {
		s := &c.Salvage[i]
		answer.Salvage[i] = api.Salvage{
			Code: codes.Salvages[s.Code], Possible: s.Possible,
			Amount: w.Known(s.Amount, s.Amount > 0), Text: w.Salvage(s),
		}
	}
	return answer
}

func stepAnswer(w answers.Writer, s *correct.Step, c *correct.Correction, order int) api.Step {
	step := api.Step{
		Order:  order,
		Action: codes.Actions[s.Action],
		Amount: w.Known(s.Amount, s.AmountKnown),
		Text:   w.Step(s, c),
		Why:    w.StepWhy(s, c),
	}
	if s.TurnsKnown {
		turns := answers.Rounded(s.Turns)
		step.Turns = &turns
	}
	return step
}

func partOffAnswer(w answers.Writer, p *correct.PartOff) api.PartOff {
	return api.PartOff{
		TestCut: p.Cut, Part: codes.Measured[p.Part],
		Expected: w.Length(p.Expected), Measured: w.Length(p.Measured), Off: w.Length(p.Measured - p.Expected),
		Text: w.PartOff(p),
	}
}

func checkAgain(w answers.Writer, d correct.Drift) api.CheckAgain {
	check := api.CheckAgain{
		Shallower: w.Known(d.Shallower, d.Known),
		Deeper:    w.Known(d.Deeper, d.Known),
		Text:      w.Drift(d),
	}
	if d.Known {
		check.AfterJoints = &d.Joints
	}
	return check
}
