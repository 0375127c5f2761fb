package service

import (
	"context"
	"slices"

	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/recommend"
	"snugtail/joint/setting"
	"snugtail/service/answers"
	"snugtail/service/read"
	"snugtail/service/say"
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
	p, chance, err := r.Predicted(&setup, sessions, target)
	if err != nil {
		return nil, err
	}
	w := s.writerFor(ctx, r, &setup)
	fit, err := w.FitOf(&p.Joint, &p.Fit)
	if err != nil {
		return nil, err
	}
	moving, err := w.WoodCautions(&p.Joint, &p.Fit)
	if err != nil {
		return nil, err
	}
	varying := answers.Vary(&p.Joint)
	answer := &api.FitPredictionAnswer{
		Model:          s.model,
		Fit:            fit,
		Widths:         w.Widths(p.Widths, p.WidthsKnown),
		Limits:         w.Limits(&p.Limits),
		LimitsAtTarget: []api.Limit{},
		Touchiness:     w.Length(p.PlayPerTenth),
		RouterSettings: w.Settings(p.Projection),
		MeasureFirst:   []api.MeasureFirst{},
		Regrind:        w.Grinding(&setup, target),
		Boards:         w.Boards(varying),
		Cautions:       slices.Concat(w.BeforeFirstCut(&p), w.BoardCautions(varying), moving),
	}
	if p.Fit.Shortfall.NoJoint {
		answer.Summary, answer.SummaryMessage = tellFit(w, &p, nil)
	} else {
		adviseDepth(w, answer, &p, target, chance)
	}
	if in.Explain && w.Wants("working") {
		answer.Working = working.Prediction(w, &p, target)
	}
	return answer, nil
}

// tellFit sums up a fit, where that is wanted.
func tellFit(w answers.Writer, p *joint.Prediction, best *setting.Best) (string, *api.Message) {
	if !w.Wants("summary") && !w.Wants("summary_message") {
		return "", nil
	}
	return w.Tell("summary", say.FitSummary(p, best))
}

// adviseDepth adds what is said of depths where there is a joint at all.
func adviseDepth(w answers.Writer, to *api.FitPredictionAnswer, p *joint.Prediction, target joint.Target, chance read.Chance) {
	setup := p.Joint.Setup()
	best, ok := recommend.ToSet(&p.Joint, target, chance)
	to.BestDepth = w.BestDepth(&best, ok, &setup)
	advised := &best
	if !ok {
		advised = nil
	}
	to.Summary, to.SummaryMessage = tellFit(w, p, advised)
	atTarget := p.AtTarget()
	limitsThere := atTarget.Limits()
	to.DepthForTarget = w.Known(p.DepthForTarget, true)
	to.LimitsAtTarget = w.LimitsBeside(&limitsThere, &p.Limits, to.Limits)
	to.MeasureFirst = w.MeasureFirst(p.Joint.MeasureFirst(target))
}
