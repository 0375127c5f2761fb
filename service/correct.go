package service

import (
	"context"

	"snugtail/api"
	"snugtail/joint/correct"
	"snugtail/joint/learn"
)

func readCorrection(r *reader, in *api.CorrectionRequest) {
	setup, _ := r.setup(in.Setup)
	r.testCuts(in.TestCuts, "")
	r.target(in.Target, setup.Tails())
}

// correctSetup answers: what do I change, and by how much?
func correctSetup(_ context.Context, in *api.CorrectionRequest) (*api.CorrectionAnswer, error) {
	r := newReader(in.Units)
	setup, sessions := r.setup(in.Setup)
	cuts := r.testCuts(in.TestCuts, "")
	target := r.target(in.Target, setup.Tails())
	if err := r.fault(); err != nil {
		return nil, err
	}
	if err := r.bandsFor(setup); err != nil {
		return nil, err
	}
	c, err := correct.After(setup, cuts, target, r.bands, sessions...)
	if err != nil {
		return nil, r.refusal(err)
	}
	w := words{r.unit}
	answer := w.correction(&c)
	if answer.Predicted, err = w.fitOf(&c.Next, &c.Predicted); err != nil {
		return nil, err
	}
	moving, err := w.woodCautions(&c.Next, &c.Predicted)
	if err != nil {
		return nil, err
	}
	answer.Cautions = append(answer.Cautions, moving...)
	answer.Regrind = w.grinding(&setup, target)
	answer.Record = w.record(&c, append(sessions, learn.Session{Setup: setup, Cuts: cuts}))
	if in.Explain {
		answer.Working = correctionWorking(&c, &setup, target)
	}
	return answer, nil
}

func (w words) correction(c *correct.Correction) *api.CorrectionAnswer {
	setup := c.Next.Setup()
	answer := &api.CorrectionAnswer{
		Model:          modelVersion,
		Summary:        w.verdict(c),
		Verdict:        verdictNames[c.Verdict],
		Steps:          make([]api.Step, len(c.Steps)),
		NextDepth:      w.length(c.NextDepth),
		ChanceNextFits: rounded(c.Chance),
		Estimate: api.Estimate{
			Allowance:           w.length(setup.Template.TotalAllowance() + c.Learned.Mean),
			PlayOffset:          w.length(c.Learned.Mean),
			StandardUncertainty: w.length(c.Learned.SD),
			SeatOffset:          w.known(c.Learned.Seat.Offset, c.Learned.Seat.Known),
		},
		Disagreements:  make([]api.Disagreement, len(c.Learned.Outliers)),
		PartsOff:       make([]api.PartOff, len(c.PartsOff)),
		Limits:         w.limits(&c.Limits),
		RouterSettings: w.settings(c.Next.Projection()),
		Salvage:        make([]api.Salvage, len(c.Salvage)),
		CheckAgain:     w.checkAgain(c.Drift),
		Cautions:       correctionCautions(c),
	}
	for i := range c.Steps {
		answer.Steps[i] = w.stepAnswer(&c.Steps[i], c, i+1)
	}
	for i, o := range c.Learned.Outliers {
		answer.Disagreements[i] = api.Disagreement{TestCut: o.Cut, Observation: observationNames[o.Observation], Text: w.disagreement(o)}
	}
	for i := range c.PartsOff {
		answer.PartsOff[i] = w.partOffAnswer(&c.PartsOff[i])
	}
	for i := range c.Salvage {
		s := &c.Salvage[i]
		answer.Salvage[i] = api.Salvage{
			Code: salvageNames[s.Code], Possible: s.Possible,
			Amount: w.known(s.Amount, s.Amount > 0), Text: w.salvage(s),
		}
	}
	return answer
}

func (w words) stepAnswer(s *correct.Step, c *correct.Correction, order int) api.Step {
	step := api.Step{
		Order:  order,
		Action: actionNames[s.Action],
		Amount: w.known(s.Amount, s.AmountKnown),
		Text:   w.step(s, c),
		Why:    w.stepWhy(s, c),
	}
	if s.TurnsKnown {
		turns := rounded(s.Turns)
		step.Turns = &turns
	}
	return step
}

func (w words) partOffAnswer(p *correct.PartOff) api.PartOff {
	return api.PartOff{
		TestCut: p.Cut, Part: partNames[p.Part],
		Expected: w.length(p.Expected), Measured: w.length(p.Measured), Off: w.length(p.Measured - p.Expected),
		Text: w.partOff(p),
	}
}

func (w words) checkAgain(d correct.Drift) api.CheckAgain {
	check := api.CheckAgain{
		Shallower: w.known(d.Shallower, d.Known),
		Deeper:    w.known(d.Deeper, d.Known),
		Text:      w.drift(d),
	}
	if d.Known {
		check.AfterJoints = &d.Joints
	}
	return check
}

// correctionCautions fit the steps told.
func correctionCautions(c *correct.Correction) []api.Caution {
	codes := make([]string, 0, 12)
	if c.Verdict == correct.Fits {
		return cautions(closing(append(codes, "same_face_to_stop", "blow_out_chips"), &c.Next, &c.Limits)...)
	}
	codes = append(codes, "power_off", "test_in_scrap")
	for i := range c.Steps {
		if c.Steps[i].Action == correct.LowerCutter {
			codes = append(codes, "fresh_boards")
			break
		}
	}
	if c.Learned.OnlyFelt {
		codes = append(codes, "estimate_only")
	}
	codes = append(codes, "same_face_to_stop", "score_and_back_up", "blow_out_chips")
	return cautions(closing(codes, &c.Next, &c.Limits)...)
}
