package service

import (
	"context"
	"fmt"

	"snugtail/api"
	"snugtail/joint"
	"snugtail/service/paper"
)

// The page for the bench answers: what do I take to the bench?

func (s *Service) sheetPDF(_ context.Context, in *api.SetupSheetRequest) ([]byte, error) {
	sheet, err := s.makeSheet(in)
	if err != nil {
		return nil, err
	}
	return sheet.Page(in.Paper).PDF(), nil
}

func (s *Service) sheetSVG(_ context.Context, in *api.SetupSheetRequest) ([]byte, error) {
	sheet, err := s.makeSheet(in)
	if err != nil {
		return nil, err
	}
	return sheet.Page(in.Paper).SVG(), nil
}

func (s *Service) sheetText(_ context.Context, in *api.SetupSheetRequest) ([]byte, error) {
	sheet, err := s.makeSheet(in)
	if err != nil {
		return nil, err
	}
	return []byte(sheet.Text()), nil
}

// makeSheet makes the page for the first test joint, or after some the one for
// what is to be done then.
func (s *Service) makeSheet(in *api.SetupSheetRequest) (*paper.Sheet, error) {
	r := s.reader(in.Units)
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
	w := s.writerFor(r, &bench)
	sheet, moved, fit := paper.FirstSheet(w.Words, in.Job, &now, a, bench.Target), &now.Joint, &now.Fit
	if len(bench.Cuts) > 0 {
		sheet, moved, fit = paper.NextSheet(w.Words, in.Job, &now, a, bench.Target), &a.Next, &a.Predicted
	}
	moving, err := w.WoodCautions(moved, fit)
	if err != nil {
		return nil, fmt.Errorf("looking how the boards will move: %w", err)
	}
	sheet.Add(moving, in.Link)
	return sheet, nil
}

// qrCode answers: how does this address get onto a phone?
func (s *Service) qrCode(_ context.Context, in *api.QRCodeRequest) ([]byte, error) {
	page, err := paper.QRPage(in.Link)
	if err != nil {
		return nil, err
	}
	return page.SVG(), nil
}
