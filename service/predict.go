package service

import (
	"context"

	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/learn"
)

func readPrediction(r *reader, in *api.FitPredictionRequest) {
	setup, _ := r.setup(in.Setup)
	r.target(in.Target, setup.Tails())
}

// predicted puts what earlier sessions taught into a set-up, and the crush
// limit of its wood into the bands, and predicts the fit.
func (r *reader) predicted(s *joint.Setup, sessions []learn.Session, target joint.Target) (joint.Prediction, error) {
	if err := learnOffset(s, sessions, r.bands); err != nil {
		return joint.Prediction{}, r.refusal(err)
	}
	j, err := joint.New(*s)
	if err != nil {
		return joint.Prediction{}, r.refusal(err)
	}
	if err := r.bandsFor(&j); err != nil {
		return joint.Prediction{}, err
	}
	return j.Predict(target, r.bands), nil
}

// predictFit answers: will it fit, how surely, and what decides it?
func predictFit(_ context.Context, in *api.FitPredictionRequest) (*api.FitPredictionAnswer, error) {
	r := newReader(in.Units)
	setup, sessions := r.setup(in.Setup)
	target := r.target(in.Target, setup.Tails())
	if err := r.fault(); err != nil {
		return nil, err
	}
	p, err := r.predicted(&setup, sessions, target)
	if err != nil {
		return nil, err
	}
	w := newWriter(r.unit)
	fit, err := w.fitOf(&p.Joint, &p.Fit)
	if err != nil {
		return nil, err
	}
	moving, err := w.woodCautions(&p.Joint, &p.Fit)
	if err != nil {
		return nil, err
	}
	answer := &api.FitPredictionAnswer{
		Model:          modelVersion,
		Summary:        w.FitSummary(&p),
		Fit:            fit,
		Widths:         w.widths(p.Widths, p.WidthsKnown),
		Limits:         w.limits(&p.Limits),
		DepthForTarget: w.length(p.DepthForTarget),
		Touchiness:     w.length(p.PlayPerTenth),
		RouterSettings: w.settings(p.Projection),
		MeasureFirst:   w.measureFirst(p.Joint.MeasureFirst(target)),
		Regrind:        w.grinding(&setup, target),
		Cautions:       append(predictionCautions(&p), moving...),
	}
	if in.Explain {
		answer.Working = predictionWorking(&p, target)
	}
	return answer, nil
}

// predictionCautions: before anything is cut, what counts is the first test.
func predictionCautions(p *joint.Prediction) []api.Caution {
	codes := make([]string, 0, 10)
	codes = append(codes, "power_off", "test_in_scrap", "same_face_to_stop", "score_and_back_up", "blow_out_chips")
	return cautions(closing(codes, &p.Joint, &p.Limits)...)
}

// closing adds the cautions that every cut needs, and those that this set-up does.
func closing(codes []string, j *joint.Joint, limits *joint.Limits) []string {
	setup := j.Setup()
	if setup.Cutter.TipDiameter() > setup.Bushing.Diameter.Length {
		codes = append(codes, "never_lift_running_router")
	}
	if lap := limits[joint.LimitLap]; lap.Known && lap.Margin < joint.ComfortableLap-joint.LeastLap {
		codes = append(codes, "thin_lap")
	}
	return append(codes, "eyes_ears_dust", "own_instructions_first")
}
