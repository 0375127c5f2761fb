package paper

import (
	"fmt"
	"slices"
	"strings"

	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/advise"
	"snugtail/joint/layout"
	"snugtail/joint/length"
	"snugtail/joint/setting"
	"snugtail/service/answers"
	"snugtail/service/codes"
	"snugtail/service/draw"
	"snugtail/service/message"
	"snugtail/service/plain"
	"snugtail/service/say"
)

// Sheet is what stands on the page, whatever its form.
type Sheet struct {
	ID string // ids within its page begin with it; "" adds nothing
	say.Words
	title, summary string
	settings       []row
	depth          []row
	expected       []row
	template       string
	steps          []string
	cautions       []api.Caution
	corners        [4]layout.Corner
	keep           []string
	link           string      // printed as a QR code; empty: none
	joint          joint.Joint // as it is to be cut, or as it is set now
	chart          *say.ChartToFill
}

// Chart prints the chart of a run to fill in, instead of lines to write on.
func (b *Sheet) Chart(target joint.Target, s *joint.Setup) {
	b.chart = b.ChartFor(target, s.Cutter.Angle)
}

// FirstSheet is the page for the first test joint. now is at the set-up's own
// depth; best is the one to set instead, nil where none is advised, and advised
// the prediction that the page is for, at the one or the other.
func FirstSheet(w say.Words, job string, now, advised *joint.Prediction, best *setting.Best, a *advise.Advice, target joint.Target) *Sheet {
	setup, asked := advised.Joint.Setup(), now.Joint.Setup()
	var instead *length.Length // of the depth asked about
	if depth := asked.Depth.Deeper().Length; setup.Depth.Deeper().Length != depth {
		instead = &depth
	}
	b := newSheet(w, job, &advised.Joint, instead)
	if _, broken := advised.Limits.Broken(); broken { // then nothing is to be cut
		b.depth = nil
	}
	b.summary = w.Text(say.FitSummary(now, best))
	b.steps = b.texts(say.FirstSteps(advised))
	b.cautions = answers.Writer{Words: w}.BeforeFirstCut(advised)
	b.expected = b.rows(say.Expected(&advised.Fit, target, say.RestsOn(&advised.Joint)))
	if !b.notYet() {
		b.keep = []string{w.Text(say.GaugeLine(say.Gauge(a, setup.Depth.Deeper().Length)))}
	}
	return b
}

// NextSheet is the page after test joints, or after something was told: for the
// next joint or, where what to do next names no depth, for what is to be done
// instead.
func NextSheet(w say.Words, job string, now *joint.Prediction, a *advise.Advice, target joint.Target) *Sheet {
	j, named := &now.Joint, a.Decision.Do == advise.DoCut || a.Decision.Do == advise.DoStop
	if named {
		j = &a.Next
	}
	b := newSheet(w, job, j, nil)
	if setup := a.Next.Setup(); named && a.Set.Setting.Way != setting.Free {
		set := say.Set{Best: &a.Set, Router: &setup.Router, Template: &setup.Template, Counted: !a.Missing.Depth}
		b.depth = append(b.depth, b.rows([]say.Row{say.SetByRow(set)})...)
	}
	if named {
		b.expected = b.rows(say.Expected(&a.Predicted, target, say.TestJoints))
		b.keep = []string{w.Text(say.GaugeLine(say.Gauge(a, a.Decision.Depth)))}
	} else { // then the page names no depth
		b.depth = nil
	}
	b.summary = w.Text(w.Summary(a))
	for i := range a.Steps {
		b.steps = append(b.steps, w.Text(w.Step(&a.Steps[i], a)))
	}
	b.cautions = answers.Writer{Words: w}.AdviceCautions(a)
	return b
}

func newSheet(w say.Words, job string, j *joint.Joint, asked *length.Length) *Sheet {
	setup := j.Setup()
	b := &Sheet{Words: w, title: w.Text(say.SheetTitle(job)), joint: *j, corners: layout.Corners(), template: w.Text(say.TemplatePlace(j))}
	b.settings, b.depth = b.rows(say.SettingsRows(&setup)), b.rows(say.DepthRows(j, asked))
	return b
}

// row is a line of the settings as it is printed.
type row struct{ name, value string }

func (b *Sheet) rows(all []say.Row) []row {
	rows := make([]row, len(all))
	for i, r := range all {
		rows[i] = row{b.Words.Text(r.Name), b.Words.Text(r.Value)}
	}
	return rows
}

func (b *Sheet) texts(all []message.Message) []string {
	texts := make([]string, len(all))
	for i, m := range all {
		texts[i] = b.Words.Text(m)
	}
	return texts
}

// said is a text of the page that names nothing.
func (b *Sheet) said(code string) string { return b.Words.Text(say.Sheet(code)) }

// Add adds further cautions, and a link to be scanned.
func (b *Sheet) Add(cautions []api.Caution, link string) {
	b.cautions = append(b.cautions, cautions...)
	b.link = link
}

// notYet is true where nothing is to be cut before something else is done: the
// page names no depth then.
func (b *Sheet) notYet() bool { return len(b.depth) == 0 }

// beforeAll are cautions that stand above the settings.
var beforeAll = []string{"power_off"}

// before and others are the cautions above the settings, and those below.
func (b *Sheet) before() []api.Caution { return b.cautioned(true) }
func (b *Sheet) others() []api.Caution { return b.cautioned(false) }

func (b *Sheet) cautioned(before bool) []api.Caution {
	return slices.DeleteFunc(slices.Clone(b.cautions), func(c api.Caution) bool { return slices.Contains(beforeAll, c.Code) != before })
}

// lacking are the letters of the title and of names in the settings that the PDF's
// font lacks.
func (b *Sheet) lacking() []rune {
	text := b.title
	for _, row := range b.settings {
		text += row.value
	}
	return draw.Lacking(text)
}

// Text is the page for curl and a receipt printer.
func (b *Sheet) Text() string {
	s := plain.NewLines(&b.Printer)
	s.Para(0, brokenUp(b.title))
	s.WriteByte('\n')
	s.Para(0, b.summary)
	for _, c := range b.before() {
		s.Para(2, "! "+c.Text)
	}
	b.heading(s, "settings")
	for _, rows := range [][]row{b.settings, b.depth, b.expected} {
		for _, row := range rows {
			s.Row(row.name, brokenUp(row.value))
		}
	}
	b.heading(s, "depth")
	s.Para(0, b.said("depth_how"))
	b.heading(s, "template")
	s.Para(0, b.template)
	b.heading(s, "steps")
	for i, step := range b.steps {
		s.Para(3, fmt.Sprintf("%d. %s", i+1, step))
	}
	b.heading(s, "corners")
	s.Para(0, b.said("corners_rule"))
	for _, c := range b.corners {
		s.Row(codes.CornerLabels[c.Depthwise][c.Side], b.Words.Text(say.SheetStop(c)))
	}
	if b.chart != nil {
		b.heading(s, "chart")
		s.Para(0, b.Words.Text(say.SheetChartHow()))
		s.Para(0, b.Words.Text(say.ChartRange(b.chart)))
	}
	if len(b.keep) > 0 {
		b.heading(s, "keep")
	}
	for _, line := range b.keep {
		s.Para(2, "- "+line)
	}
	s.Cautions(b.others())
	return s.String()
}

func (b *Sheet) heading(s *plain.Lines, code string) { s.Title(strings.ToUpper(b.said(code))) }

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
