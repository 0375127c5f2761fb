package service

import (
	"context"
	"slices"

	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/advise"
	"snugtail/service/answers"
	"snugtail/service/codes"
	"snugtail/service/read"
	"snugtail/service/say"
	"snugtail/service/working"
)

// correctSetup answers: what do I change, and by how much?
func (s *Service) correctSetup(ctx context.Context, in *api.CorrectionRequest) (*api.CorrectionAnswer, error) {
	r := s.reader(ctx, in.Units)
	bench := r.Correction(in)
	if err := r.Possible(&bench); err != nil {
		return nil, err
	}
	a, err := r.Advised(&bench)
	if err != nil {
		return nil, err
	}
	w := s.writerFor(ctx, r, &bench.Setup)
	answer := correctionAnswer(w, a)
	if answer.Predicted, err = w.FitOf(&a.Next, &a.Predicted); err != nil {
		return nil, err
	}
	moving, err := w.WoodCautions(&a.Next, &a.Predicted)
	if err != nil {
		return nil, err
	}
	varying := answers.Vary(&a.Next)
	answer.Boards = w.Boards(varying)
	answer.Cautions = slices.Concat(answer.Cautions, w.BoardCautions(varying), moving)
	answer.Run = w.Run(bench.Run, a, bench.Target)
	answer.Regrind = w.Grinding(&bench.Setup, bench.Target)
	answer.Record = read.NewRecord(learned(a), bench.Sessions(), w.Text(say.Gauge(a, a.NextDepth)))
	if in.Explain && w.Wants("working") {
		answer.Working = working.Correction(w, a, &bench.Setup, bench.Target)
	}
	return answer, nil
}

// learned is what test joints and earlier sessions taught.
func learned(a *advise.Advice) joint.Offset {
	mean, sd := a.Posterior.Estimate()
	return joint.Offset{Mean: mean, SD: sd, Known: true}
}

func correctionAnswer(w answers.Writer, a *advise.Advice) *api.CorrectionAnswer {
	setup, offset := a.Next.Setup(), learned(a)
	answer := &api.CorrectionAnswer{
		Model:          w.Model,
		Decision:       w.Decision(a),
		Verdict:        codes.Verdicts[a.Verdict],
		Steps:          w.Steps(a.Steps, a),
		NextCheck:      w.NextCheck(a),
		NextDepth:      w.Known(a.NextDepth, a.Decision.Why != advise.WhyNoJoint),
		Setting:        w.NextSetting(a),
		ChanceNextFits: answers.Rounded(a.ChanceNext),
		Estimate: api.Estimate{
			Allowance:           w.Length(setup.Template.TotalAllowance() + offset.Mean),
			PlayOffset:          w.Length(offset.Mean),
			StandardUncertainty: w.Length(offset.SD),
			SeatOffset:          w.Known(a.SeatOffset, a.SeatOffsetKnown),
		},
		Disagreements:  w.Disagreements(a),
		Corners:        w.Corners(a),
		PartsOff:       w.PartsOff(a),
		Limits:         w.Limits(&a.Limits),
		RouterSettings: w.Settings(a.Next.Projection()),
		Salvage:        w.Salvage(a),
		CheckAgain:     w.CheckAgain(a.Drift),
		Cautions:       w.AdviceCautions(a),
	}
	answer.Summary, answer.SummaryMessage = w.Tell("summary", w.Summary(a))
	return answer
}
