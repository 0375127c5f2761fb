package service

import (
	"context"
	"fmt"

	"snugtail/api"
	"snugtail/joint"
	"snugtail/service/answers"
	"snugtail/service/paper"
	"snugtail/service/read"
)

// The page for the bench answers: what do I take to the bench?

func sheetPDF(_ context.Context, in *api.SetupSheetRequest) ([]byte, error) {
	sheet, err := makeSheet(in)
	if err != nil {
		return nil, err
	}
	return sheet.Page(in.Paper).PDF(), nil
}

func sheetSVG(_ context.Context, in *api.SetupSheetRequest) ([]byte, error) {
	sheet, err := makeSheet(in)
	if err != nil {
		return nil, err
	}
	return sheet.Page(in.Paper).SVG(), nil
}

func sheetText(_ context.Context, in *api.SetupSheetRequest) ([]byte, error) {
	sheet, err := makeSheet(in)
	if err != nil {
		return nil, err
	}
	return []byte(sheet.Text()), nil
}

// makeSheet makes the page for the first test joint, or after some the one for
// what is to be done then.
func makeSheet(in *api.SetupSheetRequest) (*paper.Sheet, error) {
	r := read.New(in.Units)
	bench := r.Bench(in.Setup, in.TestCuts, in.Target)
	c, err := r.Corrected(&bench)
	if err != nil {
		return nil, err
	}
	set := bench.Setup
	if len(bench.Earlier)+len(bench.Cuts) > 0 {
		set.Offset = c.Learned.Offset()
	}
	now, err := joint.Predict(set, bench.Target, r.Bands)
	if err != nil {
		return nil, r.Refusal(err)
	}
	w := answers.NewWriter(r.Unit)
	sheet, moved, fit := paper.FirstSheet(w.Words, in.Job, &now, &c, bench.Target), &now.Joint, &now.Fit
	if len(bench.Cuts) > 0 {
		sheet, moved, fit = paper.NextSheet(w.Words, in.Job, &now, &c, bench.Target), &c.Next, &c.Predicted
	}
	moving, err := w.WoodCautions(moved, fit)
	if err != nil {
		return nil, fmt.Errorf("looking how the boards will move: %w", err)
	}
	record := read.NewRecord(&c, bench.Sessions(), w.Gauge(&c))
	sheet.Add(moving, record.Checksum)
	return sheet, nil
}
