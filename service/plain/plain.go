// Package plain makes the forms of answers that are texts: readable ones of at
// most 72 columns, for curl and a receipt printer, and the cut list as CSV.
package plain

import (
	"fmt"
	"strings"

	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/service/message"
)

const width = 72

// Lines writes lines wrapped to plainWidth.
type Lines struct {
	strings.Builder
	*message.Printer
}

func NewLines(p *message.Printer) *Lines { return &Lines{Printer: p} }

// Para writes text; lines after the first are indented by hang.
func (s *Lines) Para(hang int, text string) {
	column := 0
	for i, word := range words(text, width-hang) {
		switch n := len([]rune(word)); {
		case i == 0:
			column = n + leading(text)
			s.WriteString(strings.Repeat(" ", leading(text)))
		case column+1+n > width:
			s.WriteString("\n" + strings.Repeat(" ", hang))
			column = hang + n
		default:
			s.WriteByte(' ')
			column += 1 + n
		}
		s.WriteString(word)
	}
	s.WriteByte('\n')
}

// words are those of a text, what is longer than a line in pieces.
func words(text string, most int) []string {
	var all []string
	for word := range strings.FieldsSeq(text) {
		runes := []rune(word)
		for len(runes) > most {
			all, runes = append(all, string(runes[:most])), runes[most:]
		}
		all = append(all, string(runes))
	}
	return all
}

func leading(text string) int { return len(text) - len(strings.TrimLeft(text, " ")) }

func (s *Lines) Title(text string) { s.WriteString("\n" + text + "\n") }

// Row writes a name and its value, wrapped, in two columns.
func (s *Lines) Row(name, value string) {
	const column = 20
	wrapped := NewLines(s.Printer)
	wrapped.Para(column, strings.Repeat(" ", column)+value)
	text := wrapped.String()
	s.WriteString(fmt.Sprintf("%-*s", column, name) + strings.TrimLeft(text, " "))
}

// both writes a length in the request's unit, and in the other one.
func (s *Lines) both(l api.Length) string {
	return s.wordsOf(l).BothSizes(length.Length(l.MM))
}

// setting writes a depth to set, or what stands out at the router, in both units.
// stepped says that it is one of the depths that the router is known to set.
func (s *Lines) setting(l api.Length, stepped bool) string {
	w := s.wordsOf(l)
	w.KnownSteps = stepped
	return w.BothSettings(length.Length(l.MM))
}

// stepped says whether a router's own steps lead to a setting.
func stepped(s *api.Setting) bool { return s != nil && (s.Steps != nil || len(s.Stack) > 0) }

// size writes a size of tool or template, board one of wood, in one unit.
func (s *Lines) size(l api.Length) string { return s.wordsOf(l).Size(length.Length(l.MM)) }

// bothBoards writes a size of wood in both units.
func (s *Lines) bothBoards(l api.Length) string { return s.wordsOf(l).BothBoards(length.Length(l.MM)) }

// about writes what is read of a joint, in one unit.
func (s *Lines) about(l api.Length) string { return s.wordsOf(l).About(length.Length(l.MM)) }

func (s *Lines) board(l api.Length) string { return s.wordsOf(l).Board(length.Length(l.MM)) }

// fine writes what is read by feeler or caliper, such as plays and gaps: in
// decimals, since 64ths say little of it.
func (s *Lines) fine(l api.Length) string { return s.wordsOf(l).BothAbout(length.Length(l.MM)) }

func (s *Lines) maybe(l *api.Length) string {
	if l == nil {
		return s.Of("plain.not_known")
	}
	return s.fine(*l)
}

// row writes a value under its label in the catalogue.
func (s *Lines) row(label, value string) { s.Row(s.Of("plain."+label), value) }

// fineRow is a row of what is read by feeler or caliper; nothing where it is 0.
func (s *Lines) fineRow(label string, l api.Length) {
	if l.MM != 0 {
		s.row(label, s.fine(l))
	}
}

func (s *Lines) fit(f *api.Fit) {
	if f.Shortfall != nil {
		s.seat("fit.pushed_together", &f.Seat)
		return
	}
	s.row("fit.play", s.fine(f.Play))
	s.row("fit.likely", s.likeliest(f.Likeliest))
	s.Row(s.Of("plain.fit.range", message.Chance("sure", joint.RangeHolds)),
		s.Of("plain.fit.from_to", message.Name("low", s.fine(f.Uncertainty.Low)), message.Name("high", s.fine(f.Uncertainty.High))))
	s.row("fit.chance", s.Percent(f.InTarget))
	if f.Assembly != nil {
		s.row("fit.closing", f.Assembly.Text)
	}
	if f.PulledGap != nil {
		s.row("fit.pulled_gap", s.fine(*f.PulledGap))
	}
	s.seat("fit.seat", &f.Seat)
	s.fineRow("fit.shoulder", f.ShoulderGap)
	s.fineRow("fit.floor", f.FloorGap)
	s.fineRow("fit.edges", f.EdgeStep)
}

func (s *Lines) seat(label string, seat *api.Seat) {
	if seat.Offset == nil {
		return
	}
	s.row(label, s.Of("plain.fit.seat_at", message.Word("state", "plain.seat", seat.State), message.Name("by", s.fine(*seat.Offset))))
}

func (s *Lines) likeliest(bands []string) string {
	all := make([]message.Message, len(bands))
	for i, band := range bands {
		all[i] = message.New("plain.band").As(band)
	}
	return s.Of("plain.fit.bands", message.List("bands", all...))
}

// brokenLimits lists what is broken; kept and unknown limits are for the JSON.
func (s *Lines) brokenLimits(limits []api.Limit) {
	for _, l := range limits {
		if l.OK != nil && !*l.OK {
			s.Para(2, "! "+l.Text)
		}
	}
}

func (s *Lines) settings(r api.RouterSettings) {
	for _, out := range []struct {
		label string
		of    *api.Length
	}{{"router.below_base", r.BelowBase}, {"router.below_bushing", r.BelowBushing}} {
		if out.of != nil {
			s.row(out.label, s.Of("plain.router.not_the_depth", message.Name("length", s.setting(*out.of, false))))
		}
	}
}

func (s *Lines) Cautions(all []api.Caution) {
	s.Title(s.Of("plain.caution"))
	for _, c := range all {
		s.Para(2, "- "+c.Text)
	}
}

func Prediction(in *message.Printer, a *api.FitPredictionAnswer) string {
	s := NewLines(in)
	s.Para(0, a.Summary)
	s.Title(s.Of("plain.fit.title"))
	s.fit(&a.Fit)
	s.depths(a)
	s.settings(a.RouterSettings)
	if a.Boards.LapThin != nil || a.Boards.Ridge != nil {
		s.row("boards", a.Boards.Text)
	}
	s.brokenLimits(a.Limits)
	if a.Regrind != nil {
		s.Para(0, a.Regrind.Text)
	}
	s.decides(&a.Fit)
	for _, m := range a.MeasureFirst {
		s.Para(2, "- "+m.Text)
	}
	s.Cautions(a.Cautions)
	return s.String()
}

func (s *Lines) depths(a *api.FitPredictionAnswer) {
	if b := a.BestDepth; b != nil {
		s.row("best_depth", s.setting(b.Depth, stepped(b.Setting)))
	}
	if a.DepthForTarget != nil {
		s.row("depth_for_target", s.setting(*a.DepthForTarget, a.BestDepth != nil && stepped(a.BestDepth.Setting)))
	}
	if a.Fit.Shortfall == nil {
		per := s.wordsOf(a.Touchiness).About(perDepth)
		s.row("touchiness", s.Of("plain.play_per_depth", message.Name("play", s.fine(a.Touchiness)), message.Name("depth", per)))
	}
}

// perDepth is the depth, mm, for which touchiness tells the play.
const perDepth = 0.1

func (s *Lines) decides(f *api.Fit) {
	if len(f.Contributions) == 0 || f.Shortfall != nil {
		return
	}
	s.Title(s.Of("plain.decides"))
	for _, c := range f.Contributions {
		s.row("source."+c.Source, s.Percent(c.Share))
	}
}

// listed is how many choices and refusals a receipt shows.
const listed = 5

func Recommendation(in *message.Printer, a *api.CutterRecommendationAnswer) string {
	s := NewLines(in)
	s.Para(0, a.Summary)
	for i := range a.Recommendations[:min(len(a.Recommendations), listed)] {
		s.choice(&a.Recommendations[i])
	}
	s.more(len(a.Recommendations))
	if len(a.Recommendations) > 0 {
		s.WriteByte('\n')
		s.Para(0, a.Rates)
	}
	if len(a.Changes) > 0 {
		s.Title(s.Of("plain.change"))
		for _, c := range a.Changes {
			s.Para(2, "- "+c.Text)
		}
	}
	if len(a.Refused) > 0 {
		s.Title(s.Of("plain.refused"))
	}
	for i := range a.Refused[:min(len(a.Refused), listed)] {
		r := &a.Refused[i]
		s.Para(2, s.pair("plain.refused_pair", &r.Cutter, &r.Bushing, message.Name("why_not", r.WhyNot)))
	}
	s.more(len(a.Refused))
	s.Cautions(a.Cautions)
	return s.String()
}

// more says that not all of them are listed.
func (s *Lines) more(of int) {
	if of > listed {
		s.Para(0, s.Of("plain.more", message.Count("more", of-listed)))
	}
}

// pair writes a line on a cutter and what guides it.
func (s *Lines) pair(key string, c *api.CutterChoice, b *api.PairedBushing, more ...message.Param) string {
	return s.Of(key, append(more, message.Name("cutter", s.size(c.Diameter)), message.Angle("angle", c.Angle),
		message.Word("guide", "guide", b.Kind), message.Name("bushing", s.size(b.Diameter)))...)
}

func (s *Lines) choice(r *api.Recommendation) {
	s.Title(s.pair("plain.choice", &r.Cutter, &r.Bushing, message.Count("rank", r.Rank)))
	s.row("depth", s.setting(r.Depth, stepped(r.Setting)))
	if r.Setting.Steps != nil || len(r.Setting.Stack) > 0 || r.Setting.Turns != nil {
		s.row("set_by", r.Setting.Text)
	}
	s.row("lap", s.maybe(r.Lap))
	s.row("fit.play", s.Of("plain.play_and_chance", message.Name("play", s.fine(r.Fit.Play)), message.Chance("chance", r.Fit.InTarget)))
	s.settings(r.Router)
	s.Para(2, "  "+r.Why)
}

func Cutters(in *message.Printer, a *api.CuttersAnswer) string {
	const columns = "%-20s%-14s%-12s%s\n"
	s := NewLines(in)
	s.Para(0, a.Note)
	fmt.Fprintf(s, "\n"+columns, s.Of("plain.stock.id"), s.Of("plain.stock.diameter"), s.Of("plain.stock.angle"), s.Of("plain.stock.cutting_length"))
	for _, c := range a.Cutters {
		fmt.Fprintf(s, columns, c.ID, s.size(c.Diameter), s.Degrees(c.Angle), s.size(*c.CuttingLength))
	}
	return s.String()
}

func Bushings(in *message.Printer, a *api.BushingsAnswer) string {
	const columns = "%-20s%-14s%s\n"
	s := NewLines(in)
	s.Para(0, a.Note)
	fmt.Fprintf(s, "\n"+columns, s.Of("plain.stock.id"), s.Of("plain.stock.diameter"), s.Of("plain.stock.bore"))
	for _, b := range a.Bushings {
		fmt.Fprintf(s, columns, b.ID, s.size(b.Diameter), s.size(b.Bore))
	}
	return s.String()
}
