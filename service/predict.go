package service

import (
	"context"

	"snugtail/api"
	"snugtail/joint"
	"snugtail/service/read"
)

// predictFit answers: will it fit, how surely, and what decides it?
func predictFit(_ context.Context, in *api.FitPredictionRequest) (*api.FitPredictionAnswer, error) {
	r := read.New(in.Units)
	setup, sessions := r.Setup(in.Setup)
	target := r.Target(in.Target, setup.Tails())
	if err := r.Fault(); err != nil {
		return nil, err
	}
	p, err := r.Predicted(&setup, sessions, target)
	if err != nil {
		return nil, err
	}
	w := newWriter(r.Unit)
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
