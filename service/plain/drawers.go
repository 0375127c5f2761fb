package plain

import (
	"fmt"
	"slices"
	"strings"

	"snugtail/api"
	"snugtail/joint/length"
	"snugtail/service/message"
	"snugtail/service/say"
	"snugtail/service/spelling"
)

// Drawers is a cut list to read: every row of drawers with its parts, then
// the set-ups in their order, and what it takes in all.
func Drawers(in *message.Printer, a *api.DrawerPartsAnswer) string {
	s := NewLines(in)
	s.Para(0, a.Summary)
	for i := range a.Drawers {
		s.drawer(&a.Drawers[i])
	}
	if len(a.Setups) > 0 { // something is to be made
		s.Title("SET-UPS, in this order")
		for i := range a.Setups {
			s.partsSetup(&a.Setups[i])
		}
		s.testStock(a.TestStock)
		s.stockTotals(a.Stock)
		s.labour(&a.Labour)
	}
	s.Cautions(a.Cautions)
	return s.String()
}

func (s *Lines) drawer(d *api.DrawerMade) {
	s.Title(fmt.Sprintf("%s x %d", d.ID, d.Count))
	if d.Refused != nil {
		s.Para(2, "! "+d.Refused.Text)
		for _, c := range d.Refused.Changes {
			s.Para(2, "- "+c.Text)
		}
		return
	}
	s.Para(2, fmt.Sprintf("outside %s x %s x %s", s.board(d.Outside.Width), s.board(d.Outside.Height), s.board(d.Outside.Depth)))
	for i := range d.Parts {
		p := &d.Parts[i]
		s.Para(7, fmt.Sprintf("%4d x %s: %s x %s x %s, %s", p.Count, p.Part, s.board(p.Length), s.board(p.Width), s.board(p.Thickness), p.Stock))
		for _, w := range p.Work {
			s.Para(9, "       "+w.Text)
		}
		if p.Rough != nil {
			s.Para(9, fmt.Sprintf("       saw out %s x %s x %s", s.board(p.Rough.Length), s.board(p.Rough.Width), s.board(p.Rough.Thickness)))
		}
	}
	for _, w := range warningsOf(d) {
		s.Para(2, "! "+w.Text)
	}
	if d.Seasons != nil {
		s.Para(2, "  "+d.Seasons.Text)
	}
	if d.Sawn != nil {
		s.Para(2, "  "+d.Sawn.Text)
	}
}

// warningsOf are those of a drawer, its joints and its parts.
func warningsOf(d *api.DrawerMade) []api.PartsWarning {
	all := slices.Clone(d.Warnings)
	for i := range d.Joints {
		all = append(all, d.Joints[i].Warnings...)
	}
	for i := range d.Parts {
		all = append(all, d.Parts[i].Warnings...)
	}
	return all
}

func (s *Lines) partsSetup(p *api.PartsSetup) {
	s.Para(3, fmt.Sprintf("%d. %s", p.Order, p.Text))
	s.Para(3, "   for "+strings.Join(p.Drawers, ", "))
	s.settings(p.RouterSettings)
	s.brokenLimits(p.Limits)
}

func (s *Lines) testStock(all []api.TestStock) {
	s.Title("TEST PIECES, on top of the parts")
	for i := range all {
		t := &all[i]
		s.Para(2, fmt.Sprintf("- %s, %s thick: %d as front or back, %d as side, %s x %s",
			strings.Join(t.Stock, ", "), s.board(t.Thickness), t.PinBoards, t.TailBoards, s.board(t.Length), s.board(t.Width)))
	}
}

func (s *Lines) stockTotals(all []api.StockTotal) {
	s.Title("STOCK, finished sizes without waste")
	for i := range all {
		t := &all[i]
		w := s.wordsOf(t.Thickness)
		amount, unit := t.Area.M2, "m2"
		if w.Unit == length.UnitInch {
			amount, unit = t.Area.FT2, "ft2"
		}
		s.Para(2, fmt.Sprintf("- %s, %s thick: %s, %s, %.2f %s", t.ID, s.board(t.Thickness), spelling.Plural(t.Pieces, "piece"),
			say.Words{Printer: w}.MetresText(t.Length.MM/1000, t.Length.In/12), amount, unit))
		if t.Rough != nil {
			amount, unit, volume, cubic := t.Rough.Area.M2, "m2", t.Rough.Volume.M3, "m3"
			if w.Unit == length.UnitInch {
				amount, unit, volume, cubic = t.Rough.Area.FT2, "ft2", t.Rough.Volume.FT3, "ft3"
			}
			s.Para(4, fmt.Sprintf("    sawn out: %s, %.2f %s, %.4f %s", say.Words{Printer: w}.MetresText(t.Rough.Length.MM/1000, t.Rough.Length.In/12), amount, unit, volume, cubic))
		}
	}
}

func (s *Lines) labour(l *api.Labour) {
	s.Title("LABOUR")
	s.Row("drawers", fmt.Sprint(l.Drawers))
	s.Row("parts", fmt.Sprint(l.Parts))
	s.Row("corners", fmt.Sprint(l.Joints))
	fewest := ", the fewest there can be"
	if !l.FewestSetups {
		fewest = fmt.Sprintf(", perhaps not the fewest, which are %d or more", l.SetupsAtLeast)
	}
	s.Row("set-ups", fmt.Sprintf("%d, %s of cutter%s", l.Setups, spelling.Plural(l.ChangesOfCutter, "change"), fewest))
	s.Row("test joints", fmt.Sprintf("%.1f to expect", l.TestJoints))
	if l.Openings != nil {
		s.Row("openings routed", fmt.Sprint(*l.Openings))
		s.Row("cutting distance", fmt.Sprintf("%.0f m (%.0f ft), an estimate", *l.MetresOfCut, *l.FeetOfCut))
	}
	if l.Hours != nil {
		s.Row("by your rates", say.HoursText(*l.Hours))
	}
}

// wordsOf writes in the unit that a length of the answer is written in.
func (s *Lines) wordsOf(l api.Length) message.Printer {
	if strings.HasSuffix(l.Text, "mm") {
		return message.Printer{Catalogue: s.Catalogue, Unit: length.UnitMillimetre}
	}
	return message.Printer{Catalogue: s.Catalogue, Unit: length.UnitInch}
}
