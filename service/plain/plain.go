// Package plain makes the forms of answers that are texts: readable ones of at
// most 72 columns, for curl and a receipt printer, and the cut list as CSV.
package plain

import (
	"fmt"
	"math"
	"strings"

	"snugtail/api"
	"snugtail/joint/length"
	"snugtail/service/message"
	"snugtail/service/say"
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
	for i, word := range strings.Fields(text) {
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
		return "not known"
	}
	return s.fine(*l)
}

func (s *Lines) fit(f *api.Fit) {
	if f.Shortfall != nil {
		if f.Seat.Offset != nil {
			s.Row("pushed together", f.Seat.State+", "+s.fine(*f.Seat.Offset))
		}
		return
	}
	s.Row("play", s.fine(f.Play))
	s.Row("most likely", strings.ReplaceAll(strings.Join(f.Likeliest, " or "), "_", " "))
	s.Row("95 % range", s.fine(f.Uncertainty.Low)+" to "+s.fine(f.Uncertainty.High))
	s.Row("chance of a fit", say.Percent(f.InTarget))
	if f.Assembly != nil {
		s.Row("closing it", f.Assembly.Text)
	}
	if f.PulledGap != nil {
		s.Row("gap when pulled", s.fine(*f.PulledGap))
	}
	if f.Seat.Offset != nil {
		s.Row("seat", f.Seat.State+", "+s.fine(*f.Seat.Offset))
	}
	if f.ShoulderGap.MM != 0 {
		s.Row("shoulder open", s.fine(f.ShoulderGap))
	}
	if f.FloorGap.MM != 0 {
		s.Row("hidden floor gap", s.fine(f.FloorGap))
	}
	if f.EdgeStep.MM != 0 {
		s.Row("edges out of line", s.fine(f.EdgeStep))
	}
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
	if r.BelowBase != nil {
		s.Row("cutter below base", s.setting(*r.BelowBase, false)+", not the depth of cut")
	}
	if r.BelowBushing != nil {
		s.Row("below bushing tip", s.setting(*r.BelowBushing, false)+", not the depth of cut")
	}
}

func (s *Lines) Cautions(all []api.Caution) {
	s.Title("CAUTION")
	for _, c := range all {
		s.Para(2, "- "+c.Text)
	}
}

func Prediction(in *message.Printer, a *api.FitPredictionAnswer) string {
	s := NewLines(in)
	s.Para(0, a.Summary)
	s.Title("FIT")
	s.fit(&a.Fit)
	if b := a.BestDepth; b != nil {
		s.Row("best depth to set", s.setting(b.Depth, stepped(b.Setting)))
	}
	if a.DepthForTarget != nil {
		s.Row("depth for target", s.setting(*a.DepthForTarget, a.BestDepth != nil && stepped(a.BestDepth.Setting)))
	}
	if a.Fit.Shortfall == nil {
		s.Row("touchiness", s.fine(a.Touchiness)+" of play for every "+s.wordsOf(a.Touchiness).About(0.1)+" of depth")
	}
	s.settings(a.RouterSettings)
	if a.Boards.LapThin != nil || a.Boards.Ridge != nil {
		s.Row("boards that vary", a.Boards.Text)
	}
	s.brokenLimits(a.Limits)
	if a.Regrind != nil {
		s.Para(0, a.Regrind.Text)
	}
	if len(a.Fit.Contributions) > 0 && a.Fit.Shortfall == nil {
		s.Title("WHAT DECIDES IT")
		for _, c := range a.Fit.Contributions {
			s.Row(strings.ReplaceAll(c.Source, "_", " "), fmt.Sprintf("%d %%", int(math.Round(100*c.Share))))
		}
	}
	for _, m := range a.MeasureFirst {
		s.Para(2, "- "+m.Text)
	}
	s.Cautions(a.Cautions)
	return s.String()
}

// listed is how many choices and refusals a receipt shows.
const listed = 5

func Recommendation(in *message.Printer, a *api.CutterRecommendationAnswer) string {
	s := NewLines(in)
	s.Para(0, a.Summary)
	for i := range a.Recommendations {
		if i == listed {
			s.Para(0, fmt.Sprintf("... and %d more in the JSON.", len(a.Recommendations)-listed))
			break
		}
		s.choice(&a.Recommendations[i])
	}
	if len(a.Recommendations) > 0 {
		s.WriteByte('\n')
		s.Para(0, a.Rates)
	}
	if len(a.Changes) > 0 {
		s.Title("WHAT TO CHANGE")
		for _, c := range a.Changes {
			s.Para(2, "- "+c.Text)
		}
	}
	if len(a.Refused) > 0 {
		s.Title("NOT THESE")
	}
	for i, r := range a.Refused {
		if i == listed {
			s.Para(0, fmt.Sprintf("... and %d more in the JSON.", len(a.Refused)-listed))
			break
		}
		s.Para(2, fmt.Sprintf("- %s, %g deg, %s %s: %s", s.size(r.Cutter.Diameter), r.Cutter.Angle, r.Bushing.Kind, s.size(r.Bushing.Diameter), r.WhyNot))
	}
	s.Cautions(a.Cautions)
	return s.String()
}

func (s *Lines) choice(r *api.Recommendation) {
	s.Title(fmt.Sprintf("%d. %s cutter, %g deg, %s %s", r.Rank, s.size(r.Cutter.Diameter), r.Cutter.Angle, s.size(r.Bushing.Diameter), r.Bushing.Kind))
	s.Row("depth", s.setting(r.Depth, stepped(r.Setting)))
	if r.Setting.Steps != nil || len(r.Setting.Stack) > 0 || r.Setting.Turns != nil {
		s.Row("set by", r.Setting.Text)
	}
	s.Row("lap left", s.maybe(r.Lap))
	s.Row("play", fmt.Sprintf("%s, fits first time: %s", s.fine(r.Fit.Play), say.Percent(r.Fit.InTarget)))
	s.settings(r.Router)
	s.Para(2, "  "+r.Why)
}

func Cutters(in *message.Printer, a *api.CuttersAnswer) string {
	s := NewLines(in)
	s.Para(0, a.Note)
	s.Title(fmt.Sprintf("%-20s%-14s%-12s%s", "ID", "DIAMETER", "ANGLE", "CUTTING LENGTH"))
	for _, c := range a.Cutters {
		fmt.Fprintf(s, "%-20s%-14s%-12s%s\n", c.ID, s.size(c.Diameter), fmt.Sprintf("%g deg", c.Angle), s.size(*c.CuttingLength))
	}
	return s.String()
}

func Bushings(in *message.Printer, a *api.BushingsAnswer) string {
	s := NewLines(in)
	s.Para(0, a.Note)
	s.Title(fmt.Sprintf("%-20s%-14s%s", "ID", "DIAMETER", "BORE"))
	for _, b := range a.Bushings {
		fmt.Fprintf(s, "%-20s%-14s%s\n", b.ID, s.size(b.Diameter), s.size(b.Bore))
	}
	return s.String()
}
