package service

import (
	"context"
	"fmt"

	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/advise"
	"snugtail/joint/length"
	"snugtail/joint/recommend"
	"snugtail/joint/setting"
	"snugtail/service/answers"
	"snugtail/service/paper"
	"snugtail/service/say"
)

// The page for the bench answers: what do I take to the bench?

func (s *Service) sheetPDF(ctx context.Context, in *api.SetupSheetRequest) ([]byte, error) {
	sheet, err := s.makeSheet(ctx, in)
	if err != nil {
		return nil, err
	}
	return sheet.Page(in.Paper).PDF(), nil
}

func (s *Service) sheetSVG(ctx context.Context, in *api.SetupSheetRequest) ([]byte, error) {
	sheet, err := s.makeSheet(ctx, in)
	if err != nil {
		return nil, err
	}
	sheet.ID = in.ID
	return sheet.Page(in.Paper).SVG(), nil
}

func (s *Service) sheetText(ctx context.Context, in *api.SetupSheetRequest) ([]byte, error) {
	sheet, err := s.makeSheet(ctx, in)
	if err != nil {
		return nil, err
	}
	return []byte(sheet.Text()), nil
}

// makeSheet makes the page for the first test joint, or after some the one for
// what is to be done then.
func (s *Service) makeSheet(ctx context.Context, in *api.SetupSheetRequest) (*paper.Sheet, error) {
	r := s.reader(ctx, in.Units)
	bench := r.Sheet(in)
	if err := r.Possible(&bench); err != nil {
		return nil, err
	}
	a, err := r.Advised(&bench)
	if err != nil {
		return nil, err
	}
	set := bench.Setup
	if len(bench.Earlier)+len(bench.Cuts) > 0 {
		set.Offset = learned(a)
	}
	now, err := joint.Predict(set, bench.Target, r.Bands)
	if err != nil {
		return nil, r.Refusal(err)
	}
	w := s.writerFor(ctx, r, &bench.Setup)
	best := bestSet(&now, a, bench.Target)
	advised := now
	if best != nil && !now.Fit.Shortfall.NoJoint && say.Better(&now, best) {
		// A depth at which no such joint can be cut is not put on paper.
		if there, err := joint.Predict(set.AtDepth(best.Setting.Depth), bench.Target, r.Bands); err == nil {
			advised = there
		}
	}
	sheet, moved, fit := paper.FirstSheet(w.Words, in.Job, &now, &advised, best, a, bench.Target), &advised.Joint, &advised.Fit
	if _, broken := advised.Limits.Broken(); len(bench.Cuts) > 0 || a.Decision.Why == advise.WhyNoJoint || !broken && toDoFirst(a) {
		sheet, moved, fit = paper.NextSheet(w.Words, in.Job, &now, a, bench.Target), &a.Next, &a.Predicted
	}
	moving, err := w.WoodCautions(moved, fit)
	if err != nil {
		return nil, fmt.Errorf("looking how the boards will move: %w", err)
	}
	if in.Chart == nil && a.Decision.Do == advise.DoStop || in.Chart != nil && *in.Chart {
		sheet.Chart(bench.Target, &bench.Setup)
	}
	sheet.Add(append(w.BoardCautions(answers.Vary(moved)), moving...), in.Link)
	return sheet, nil
}

// toDoFirst is true where something is to be checked or changed before a joint is
// cut.
func toDoFirst(a *advise.Advice) bool {
	return a.Decision.Do == advise.DoCheck || a.Decision.Do == advise.DoChange
}

// bestSet is the depth to set, as a prediction of the same set-up names it; nil
// where there is none.
func bestSet(now *joint.Prediction, a *advise.Advice, target joint.Target) *setting.Best {
	chance := func(h length.Length) float64 { return now.Joint.ChanceAt(h, target) }
	if setup := now.Joint.Setup(); setup.Offset.Known {
		chance = a.Posterior.Chance
	}
	best, ok := recommend.ToSet(&now.Joint, target, chance)
	if !ok {
		return nil
	}
	return &best
}

// qrCode answers: how does this address get onto a phone?
func (s *Service) qrCode(ctx context.Context, in *api.QRCodeRequest) ([]byte, error) {
	page, err := paper.QRPage(s.writer(ctx, length.UnitMillimetre).Words, in.Link)
	if err != nil {
		return nil, err
	}
	return page.SVG(), nil
}
