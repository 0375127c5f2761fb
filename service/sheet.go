package service

import (
	"context"
	"fmt"
	"strings"

	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/correct"
	"snugtail/joint/layout"
	"snugtail/service/answers"
	"snugtail/service/codes"
	"snugtail/service/plain"
	"snugtail/service/read"
	"snugtail/service/say"
)

// The page for the bench answers: what do I take to the bench?

func sheetPDF(_ context.Context, in *api.SetupSheetRequest) ([]byte, error) {
	b, err := makeBenchSheet(in)
	if err != nil {
		return nil, err
	}
	return b.page(in.Paper).PDF(), nil
}

func sheetSVG(_ context.Context, in *api.SetupSheetRequest) ([]byte, error) {
	b, err := makeBenchSheet(in)
	if err != nil {
		return nil, err
	}
	return b.page(in.Paper).SVG(), nil
}

func sheetText(_ context.Context, in *api.SetupSheetRequest) ([]byte, error) {
	b, err := makeBenchSheet(in)
	if err != nil {
		return nil, err
	}
	return []byte(b.text()), nil
}

// benchSheet is what stands on the page, whatever its form.
type benchSheet struct {
	say.Words
	title, summary string
	settings       []say.Row
	depth          []say.Row
	expected       []say.Row
	template       string
	steps          []string
	cautions       []api.Caution
	corners        [4]layout.Corner
	keep           []string
	joint          joint.Joint // as it is to be cut, or as it is set now
	depthName      string
}

func makeBenchSheet(in *api.SetupSheetRequest) (*benchSheet, error) {
	r := read.New(in.Units)
	bench := r.Bench(in.Setup, in.TestCuts, in.Target)
	c, err := r.Corrected(&bench)
	if err != nil {
		return nil, err
	}
	w := answers.In(r.Unit)
	b := &benchSheet{Words: w.Words, title: say.SheetTitle(in.Job), corners: layout.Corners(), depthName: say.DepthToCut}
	record := read.NewRecord(&c, bench.Sessions(), w.Gauge(&c))
	set := bench.Setup
	if len(bench.Earlier)+len(bench.Cuts) > 0 {
		set.Offset = c.Learned.Offset()
	}
	now, err := joint.Predict(set, bench.Target, r.Bands)
	if err != nil {
		return nil, r.Refusal(err)
	}
	moved, fit := &now.Joint, &now.Fit // what the cautions on movement are of
	if len(bench.Cuts) == 0 {
		b.first(&now, &c, bench.Target)
	} else {
		b.next(&now, &c, bench.Target)
		moved, fit = &c.Next, &c.Predicted
	}
	moving, err := w.WoodCautions(moved, fit)
	if err != nil {
		return nil, fmt.Errorf("looking how the boards will move: %w", err)
	}
	b.cautions = append(b.cautions, moving...)
	b.keep = append(b.keep, say.RecordKept(record.Checksum))
	b.rows()
	return b, nil
}

// first is the page for the first test joint, at the set-up's own depth.
func (b *benchSheet) first(p *joint.Prediction, c *correct.Correction, target joint.Target) {
	setup := p.Joint.Setup()
	b.joint, b.summary = p.Joint, b.FitSummary(p)
	b.steps = b.FirstSteps(p)
	b.cautions = answers.BeforeFirstCut(p)
	b.expected = b.Words.Expected(&p.Fit, target)
	b.keep = []string{say.GaugeLine(b.FirstGauge(c, setup.Depth.Deeper().Length))}
}

// next is the page after test joints: for the next one or, where that can't be
// cut, for what is set now.
func (b *benchSheet) next(now *joint.Prediction, c *correct.Correction, target joint.Target) {
	b.joint, b.summary = c.Next, b.Verdict(c)
	b.expected = b.Words.Expected(&c.Predicted, target)
	if c.Verdict == correct.CannotReach {
		b.joint, b.expected, b.depthName = now.Joint, nil, say.DepthNow
	}
	for i := range c.Steps {
		b.steps = append(b.steps, b.Step(&c.Steps[i], c))
	}
	b.cautions = correctionCautions(c)
	if c.Verdict != correct.CannotReach { // else there is no joint to keep
		b.keep = []string{say.GaugeLine(b.Gauge(c))}
	}
}

func (b *benchSheet) rows() {
	setup := b.joint.Setup()
	b.settings = b.SettingsRows(&setup)
	b.depth = b.DepthRows(b.depthName, &b.joint)
	b.template = b.TemplatePlace(&b.joint)
}

// text is the page for curl and a receipt printer.
func (b *benchSheet) text() string {
	s := new(plain.Lines)
	s.Para(0, brokenUp(b.title))
	s.WriteByte('\n')
	s.Para(0, b.summary)
	s.Title(strings.ToUpper(say.SheetSettings))
	for _, rows := range [][]say.Row{b.settings, b.depth, b.expected} {
		for _, row := range rows {
			s.Row(row.Name, brokenUp(row.Value))
		}
	}
	s.Title(strings.ToUpper(say.SheetDepth))
	s.Para(0, say.SheetDepthHow)
	s.Title(strings.ToUpper(say.SheetTemplate))
	s.Para(0, b.template)
	s.Title(strings.ToUpper(say.SheetSteps))
	for i, step := range b.steps {
		s.Para(3, fmt.Sprintf("%d. %s", i+1, step))
	}
	s.Title(strings.ToUpper(say.SheetCorners))
	s.Para(0, say.CornersRule)
	for _, c := range b.corners {
		s.Row(codes.CornerLabels[c.Depthwise][c.Side], say.StopText(c))
	}
	s.Title(strings.ToUpper(say.SheetKeep))
	for _, line := range b.keep {
		s.Para(2, "- "+line)
	}
	s.Cautions(b.cautions)
	return s.String()
}

// brokenUp breaks words that would be wider than a column of the readable text.
func brokenUp(text string) string {
	const longest = 50
	var b strings.Builder
	run := 0
	for _, r := range text {
		if run++; r == ' ' {
			run = 0
		}
		if run > longest {
			b.WriteByte(' ')
			run = 1
		}
		b.WriteRune(r)
	}
	return b.String()
}
