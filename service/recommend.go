package service

import (
	"context"

	"snugtail/api"
	"snugtail/joint/recommend"
	"snugtail/service/answers"
	"snugtail/service/codes"
	"snugtail/service/working"
)

// recommendCutter answers: which cutter, at which depth?
func (s *Service) recommendCutter(_ context.Context, in *api.CutterRecommendationRequest) (*api.CutterRecommendationAnswer, error) {
	r := s.reader(in.Units)
	setup, sessions := r.Setup(in.Setup)
	cutters := r.CuttersAtHand(in, setup.Cutter)
	target := r.Target(in.Target, setup.Tails())
	if err := r.Fault(); err != nil {
		return nil, err
	}
	if err := r.Guided(&setup); err != nil {
		return nil, err
	}
	result, err := recommend.Cutters(setup, cutters, target, r.Bands, sessions...)
	if err != nil {
		return nil, r.Refusal(err)
	}
	w := s.writer(r.Unit)
	answer := &api.CutterRecommendationAnswer{
		Model:           s.model,
		Summary:         w.ChoiceSummary(&result),
		Recommendations: make([]api.Recommendation, len(result.Choices)),
		Refused:         make([]api.Refusal, len(result.Refused)),
		Changes:         make([]api.Change, len(result.Changes)),
		Cautions:        choiceCautions(&result),
	}
	for i := range result.Choices {
		choice := &result.Choices[i]
		answer.Recommendations[i] = recommendation(w, choice, i+1)
		if answer.Recommendations[i].Fit, err = w.FitOf(&choice.Prediction.Joint, &choice.Prediction.Fit); err != nil {
			return nil, err
		}
	}
	for i := range result.Refused {
		answer.Refused[i] = refusedCutter(w, &result.Refused[i])
	}
	for i, change := range result.Changes {
		answer.Changes[i] = api.Change{Code: codes.Changes[change.Code], Text: w.Change(change)}
	}
	if in.Explain && len(result.Choices) > 0 {
		answer.Working = working.Prediction(&result.Choices[0].Prediction, target)
	}
	return answer, nil
}

func recommendation(w answers.Writer, c *recommend.Choice, rank int) api.Recommendation {
	p := &c.Prediction
	lap, lapKnown := p.Joint.Lap()
	return api.Recommendation{
		Rank:       rank,
		Cutter:     w.Cutter(&c.Cutter),
		Depth:      w.Length(p.DepthForTarget),
		Lap:        w.Known(lap, lapKnown),
		Limits:     w.Limits(&p.Limits),
		Touchiness: w.Length(p.PlayPerTenth),
		Router:     w.Settings(p.Projection),
		Why:        w.Why(c, rank),
	}
}

func refusedCutter(w answers.Writer, c *recommend.Refusal) api.Refusal {
	out := api.Refusal{
		Cutter: w.Cutter(&c.Cutter),
		Depth:  w.Known(c.Depth, c.Depth > 0),
		Code:   codes.Obstacles[max(c.Obstacle, recommend.ObstacleNoDepth)],
		WhyNot: w.WhyNot(c),
	}
	if c.Obstacle == recommend.ObstacleLimit {
		out.Code = codes.Limits[c.Limit.Code]
	}
	return out
}

func choiceCautions(result *recommend.Result) []api.Caution {
	if len(result.Choices) == 0 {
		return answers.Cautions("power_off", "own_instructions_first")
	}
	return answers.BeforeFirstCut(&result.Choices[0].Prediction)
}
