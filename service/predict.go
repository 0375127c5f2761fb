package service

import (
	"context"

	"snugtail/api"
	"snugtail/service/answers"
	"snugtail/service/working"
)

// predictFit answers: will it fit, how surely, and what decides it?
func (s *Service) predictFit(ctx context.Context, in *api.FitPredictionRequest) (*api.FitPredictionAnswer, error) {
	r := s.reader(ctx, in.Units)
	setup, sessions := r.Setup(in.Setup)
	target := r.Target(in.Target, setup.Tails())
	if err := r.Fault(); err != nil {
		return nil, err
	}
	p, err := r.Predicted(&setup, sessions, target)
	if err != nil {
		return nil, err
	}
	w := s.writerOf(r)
	atTarget := p.AtTarget()
	limitsThere := atTarget.Limits()
	fit, err := w.FitOf(&p.Joint, &p.Fit)
	if err != nil {
		return nil, err
	}
	moving, err := w.WoodCautions(&p.Joint, &p.Fit)
	if err != nil {
		return nil, err
	}
	answer := &api.FitPredictionAnswer{
		Model:          s.model,
		Summary:        w.FitSummary(&p),
		Fit:            fit,
		Widths:         w.Widths(p.Widths, p.WidthsKnown),
		Limits:         w.Limits(&p.Limits),
		DepthForTarget: w.Length(p.DepthForTarget),
		LimitsAtTarget: w.Limits(&limitsThere),
		Touchiness:     w.Length(p.PlayPerTenth),
		RouterSettings: w.Settings(p.Projection),
		MeasureFirst:   w.MeasureFirst(p.Joint.MeasureFirst(target)),
		Regrind:        w.Grinding(&setup, target),
		Cautions:       append(answers.BeforeFirstCut(&p), moving...),
	}
	if in.Explain && w.Wants("working") {
		answer.Working = working.Prediction(&p, target)
	}
	return answer, nil
}
