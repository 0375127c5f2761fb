package service

import (
	"fmt"
	"math"
	"strings"

	"snugtail/api"
	"snugtail/joint/length"
	"snugtail/service/say"
)

// The readable form of the answers: text/plain of at most plainWidth columns,
// for curl and a receipt printer.

const plainWidth = 72

// sheet writes lines wrapped to plainWidth.
type sheet struct{ strings.Builder }

// para writes text; lines after the first are indented by hang.
func (s *sheet) para(hang int, text string) {
	column := 0
	for i, word := range strings.Fields(text) {
		switch n := len([]rune(word)); {
		case i == 0:
			column = n + leading(text)
			s.WriteString(strings.Repeat(" ", leading(text)))
		case column+1+n > plainWidth:
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

func (s *sheet) title(text string) { s.WriteString("\n" + text + "\n") }

// row writes a name and its value, wrapped, in two columns.
func (s *sheet) row(name, value string) {
	const column = 20
	wrapped := new(sheet)
	wrapped.para(column, strings.Repeat(" ", column)+value)
	text := wrapped.String()
	s.WriteString(fmt.Sprintf("%-*s", column, name) + strings.TrimLeft(text, " "))
}

// both writes a length in the request's unit, and in the other one.
func both(l api.Length) string {
	if strings.HasSuffix(l.Text, "mm") {
		return l.Text + " (" + inches(l) + ")"
	}
	return l.Text + " (" + millimetres(l) + ")"
}

// fine writes what is read by feeler or caliper, such as plays and gaps: in
// decimals, since 64ths say little of it.
func fine(l api.Length) string {
	if strings.HasSuffix(l.Text, "mm") {
		return both(l)
	}
	return inches(l) + " (" + millimetres(l) + ")"
}

func inches(l api.Length) string { return length.Length(l.MM).Decimal(length.UnitInch) }

func millimetres(l api.Length) string { return length.Length(l.MM).Decimal(length.UnitMillimetre) }

func maybe(l *api.Length) string {
	if l == nil {
		return "not known"
	}
	return both(*l)
}

func (s *sheet) fit(f *api.Fit) {
	s.row("play", fmt.Sprintf("%s, %s", fine(f.Play), strings.ReplaceAll(f.Band, "_", " ")))
	s.row("95 % range", fine(f.Uncertainty.Low)+" to "+fine(f.Uncertainty.High))
	s.row("chance of a fit", say.Percent(f.InTarget))
	if f.Assembly != nil {
		s.row("closing it", f.Assembly.Text)
	}
	if f.PulledGap != nil {
		s.row("gap when pulled", fine(*f.PulledGap))
	}
	if f.Seat.Offset != nil {
		s.row("seat", f.Seat.State+", "+fine(*f.Seat.Offset))
	}
	if f.ShoulderGap.MM != 0 {
		s.row("shoulder open", fine(f.ShoulderGap))
	}
	if f.FloorGap.MM != 0 {
		s.row("hidden floor gap", fine(f.FloorGap))
	}
	if f.EdgeStep.MM != 0 {
		s.row("edges out of line", fine(f.EdgeStep))
	}
}

// brokenLimits lists what is broken; kept and unknown limits are for the JSON.
func (s *sheet) brokenLimits(limits []api.Limit) {
	for _, l := range limits {
		if l.OK != nil && !*l.OK {
			s.para(2, "! "+l.Text)
		}
	}
}

func (s *sheet) settings(r api.RouterSettings) {
	if r.BelowBase != nil {
		s.row("cutter below base", both(*r.BelowBase)+", not the depth of cut")
	}
	if r.BelowBushing != nil {
		s.row("below bushing tip", both(*r.BelowBushing)+", not the depth of cut")
	}
}

func (s *sheet) cautions(all []api.Caution) {
	s.title("CAUTION")
	for _, c := range all {
		s.para(2, "- "+c.Text)
	}
}

func predictionText(a *api.FitPredictionAnswer) string {
	s := new(sheet)
	s.para(0, a.Summary)
	s.title("FIT")
	s.fit(&a.Fit)
	s.row("depth for target", both(a.DepthForTarget))
	s.row("touchiness", fine(a.Touchiness)+" of play for every 0.1 mm of depth")
	s.settings(a.RouterSettings)
	s.brokenLimits(a.Limits)
	if a.Regrind != nil {
		s.para(0, a.Regrind.Text)
	}
	if len(a.Fit.Contributions) > 0 {
		s.title("WHAT DECIDES IT")
		for _, c := range a.Fit.Contributions {
			s.row(strings.ReplaceAll(c.Source, "_", " "), fmt.Sprintf("%d %%", int(math.Round(100*c.Share))))
		}
	}
	for _, m := range a.MeasureFirst {
		s.para(2, "- "+m.Text)
	}
	s.cautions(a.Cautions)
	return s.String()
}

// listed is how many choices and refusals a receipt shows.
const listed = 5

func recommendationText(a *api.CutterRecommendationAnswer) string {
	s := new(sheet)
	s.para(0, a.Summary)
	for i := range a.Recommendations {
		if i == listed {
			s.para(0, fmt.Sprintf("... and %d more in the JSON.", len(a.Recommendations)-listed))
			break
		}
		s.choice(&a.Recommendations[i])
	}
	if len(a.Changes) > 0 {
		s.title("WHAT TO CHANGE")
		for _, c := range a.Changes {
			s.para(2, "- "+c.Text)
		}
	}
	if len(a.Refused) > 0 {
		s.title("NOT THESE")
	}
	for i, r := range a.Refused {
		if i == listed {
			s.para(0, fmt.Sprintf("... and %d more in the JSON.", len(a.Refused)-listed))
			break
		}
		s.para(2, fmt.Sprintf("- %s, %g deg: %s", r.Cutter.Diameter.Text, r.Cutter.Angle, r.WhyNot))
	}
	s.cautions(a.Cautions)
	return s.String()
}

func (s *sheet) choice(r *api.Recommendation) {
	s.title(fmt.Sprintf("%d. %s cutter, %g deg", r.Rank, r.Cutter.Diameter.Text, r.Cutter.Angle))
	s.row("depth", both(r.Depth))
	s.row("lap left", maybe(r.Lap))
	s.row("play", fmt.Sprintf("%s, fits first time: %s", fine(r.Fit.Play), say.Percent(r.Fit.InTarget)))
	s.settings(r.Router)
	s.para(2, "  "+r.Why)
}

func correctionText(a *api.CorrectionAnswer) string {
	s := new(sheet)
	s.para(0, a.Summary)
	if len(a.Steps) > 0 {
		s.title("DO")
	}
	for _, step := range a.Steps {
		s.para(3, fmt.Sprintf("%d. %s", step.Order, step.Text))
		s.para(3, "   "+step.Why)
	}
	s.title("THEN EXPECT")
	s.fit(&a.Predicted)
	s.settings(a.RouterSettings)
	s.brokenLimits(a.Limits)
	s.row("check again", a.CheckAgain.Text)
	s.noted(a)
	s.cautions(a.Cautions)
	return s.String()
}

// noted is what the test joints showed besides.
func (s *sheet) noted(a *api.CorrectionAnswer) {
	if len(a.Salvage) > 0 {
		s.title("BOARDS ALREADY CUT")
	}
	for _, salvage := range a.Salvage {
		s.para(2, "- "+salvage.Text)
	}
	if len(a.Disagreements)+len(a.PartsOff) > 0 || a.Regrind != nil {
		s.title("NOTED")
	}
	for _, d := range a.Disagreements {
		s.para(2, "- "+d.Text)
	}
	for _, p := range a.PartsOff {
		s.para(2, "- "+p.Text)
	}
	if a.Regrind != nil {
		s.para(2, "- "+a.Regrind.Text)
	}
}

func cuttersText(a *api.CuttersAnswer) string {
	s := new(sheet)
	s.para(0, a.Note)
	s.title(fmt.Sprintf("%-20s%-14s%-12s%s", "ID", "DIAMETER", "ANGLE", "CUTTING LENGTH"))
	for _, c := range a.Cutters {
		fmt.Fprintf(s, "%-20s%-14s%-12s%s\n", c.ID, c.Diameter.Text, fmt.Sprintf("%g deg", c.Angle), c.CuttingLength.Text)
	}
	return s.String()
}

func bushingsText(a *api.BushingsAnswer) string {
	s := new(sheet)
	s.para(0, a.Note)
	s.title(fmt.Sprintf("%-20s%-14s%s", "ID", "DIAMETER", "BORE"))
	for _, b := range a.Bushings {
		fmt.Fprintf(s, "%-20s%-14s%s\n", b.ID, b.Diameter.Text, b.Bore.Text)
	}
	return s.String()
}
