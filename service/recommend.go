package service

import (
	"context"

	"snugtail/api"
	"snugtail/joint/recommend"
	"snugtail/service/answers"
	"snugtail/service/codes"
	"snugtail/service/read"
	"snugtail/service/say"
	"snugtail/service/working"
)

// mostListed is how many pairs that serve, and how many that do not, are listed.
const mostListed = 100

// recommendCutter answers: which cutter, with which bushing, at which depth?
func (s *Service) recommendCutter(ctx context.Context, in *api.CutterRecommendationRequest) (*api.CutterRecommendationAnswer, error) {
	r := s.reader(ctx, in.Units)
	query, err := s.pairsAsked(r, in)
	if err != nil {
		return nil, err
	}
	result, err := recommend.Pairs(query)
	if err != nil {
		return nil, r.Refusal(err)
	}
	w := s.writerFor(ctx, r, &query.Setup)
	refused := result.Refused[:min(len(result.Refused), mostListed)]
	answer := &api.CutterRecommendationAnswer{
		Model:           s.model,
		Prefer:          codes.PreferenceNames[query.Prefer],
		Recommendations: make([]api.Recommendation, len(result.Choices)),
		Refused:         make([]api.Refusal, len(refused)),
		NotListed:       result.Unlisted + len(result.Refused) - len(refused),
		BreakEven:       w.BreakEven(&result),
		Changes:         w.Changes(result.Changes),
		Cautions:        choiceCautions(w, &result),
	}
	answer.Summary, answer.SummaryMessage = w.Tell("summary", say.ChoiceSummary(&result))
	answer.Rates, answer.RatesMessage = w.Tell("rates", say.Rates())
	for i := range result.Choices {
		choice := &result.Choices[i]
		answer.Recommendations[i] = recommendation(w, choice, i+1, query.DepthNow.Given)
		if answer.Recommendations[i].Fit, err = w.FitOf(&choice.Prediction.Joint, &choice.Prediction.Fit); err != nil {
			return nil, err
		}
	}
	for i := range refused {
		answer.Refused[i] = refusedPair(w, &refused[i])
	}
	if in.Explain && w.Wants("working") && len(result.Choices) > 0 {
		answer.Working = working.Choice(w, &result.Choices[0], query.Target)
	}
	return answer, nil
}

// pairsAsked reads what is asked.
func (s *Service) pairsAsked(r *read.Reader, in *api.CutterRecommendationRequest) (*recommend.Query, error) {
	setup, sessions := r.Setup(in.Setup)
	q := &recommend.Query{
		Setup: setup, Cutters: r.CuttersAtHand(in, setup.Cutter), Bushings: r.BushingsAtHand(in),
		Target: r.Target(in.Target, setup.Tails()), Prefer: codes.Preferences[in.Prefer],
		DepthNow: setup.Depth.Deeper(), Earlier: sessions, Observer: r.Observer, Most: mostListed,
	}
	q.Bands = r.Bands
	if err := r.Fault(); err != nil || len(q.Bushings) > 0 {
		return q, err
	}
	return q, r.Guided(&q.Setup)
}

func recommendation(w answers.Writer, c *recommend.Choice, rank int, counted bool) api.Recommendation {
	p := &c.Prediction
	setup := p.Joint.Setup()
	lap, lapKnown := p.Joint.Lap()
	out := api.Recommendation{
		Rank:       rank,
		Cutter:     w.Cutter(&c.Cutter),
		Bushing:    w.Bushing(&c.Bushing),
		Depth:      w.Length(c.Set.Setting.Depth),
		Setting:    w.Setting(&c.Set, &setup, counted),
		Lap:        w.Known(lap, lapKnown),
		LapThin:    answers.LapThin(&p.Joint),
		Cost:       answers.Cost(&c.Cost),
		Hold:       w.Hold(&c.Hold),
		Limits:     w.Limits(&p.Limits),
		Touchiness: w.Length(p.PlayPerTenth),
		Router:     w.Settings(p.Projection),
	}
	if w.Wants("why") || w.Wants("why_message") {
		out.Why, out.WhyMessage = w.Tell("why", w.Why(c, rank))
	}
	return out
}

func refusedPair(w answers.Writer, c *recommend.Refusal) api.Refusal {
	out := api.Refusal{
		Cutter:  w.Cutter(&c.Cutter),
		Bushing: w.Bushing(&c.Bushing),
		Depth:   w.Known(c.Depth, c.Depth > 0),
		Code:    codes.Obstacles[max(c.Obstacle, recommend.ObstacleNoDepth)],
	}
	if c.Obstacle == recommend.ObstacleLimit {
		out.Code = codes.Limits[c.Limit.Code]
	}
	if w.Wants("why_not") || w.Wants("why_not_message") {
		out.WhyNot, out.WhyNotMessage = w.Tell("why_not", w.WhyNot(c))
	}
	if c.Outside {
		out.Window = w.Window(&c.Window)
	}
	return out
}

func choiceCautions(w answers.Writer, result *recommend.Result) []api.Caution {
	if len(result.Choices) == 0 {
		return w.Cautions("power_off", "own_instructions_first")
	}
	return w.BeforeFirstCut(&result.Choices[0].Prediction)
}
