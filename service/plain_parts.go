package service

import (
	"fmt"
	"strings"

	"snugtail/api"
	"snugtail/joint/length"
	"snugtail/service/say"
	"snugtail/service/spelling"
)

// partsText is a cut list to read: every row of drawers with its parts, then
// the set-ups in their order, and what it takes in all.
func partsText(a *api.DrawerPartsAnswer) string {
	s := new(sheet)
	s.para(0, a.Summary)
	for i := range a.Drawers {
		s.drawer(&a.Drawers[i])
	}
	if len(a.Setups) > 0 { // something is to be made
		s.title("SET-UPS, in this order")
		for i := range a.Setups {
			s.partsSetup(&a.Setups[i])
		}
		s.testStock(a.TestStock)
		s.stockTotals(a.Stock)
		s.labour(&a.Labour)
	}
	s.cautions(a.Cautions)
	return s.String()
}

func (s *sheet) drawer(d *api.DrawerMade) {
	s.title(fmt.Sprintf("%s x %d", d.ID, d.Count))
	if d.Refused != nil {
		s.para(2, "! "+d.Refused.Text)
		for _, c := range d.Refused.Changes {
			s.para(2, "- "+c.Text)
		}
		return
	}
	s.para(2, fmt.Sprintf("outside %s x %s x %s", d.Outside.Width.Text, d.Outside.Height.Text, d.Outside.Depth.Text))
	for i := range d.Parts {
		p := &d.Parts[i]
		s.para(7, fmt.Sprintf("%4d x %s: %s x %s x %s, %s", p.Count, p.Part, p.Length.Text, p.Width.Text, p.Thickness.Text, p.Stock))
		for _, w := range p.Work {
			s.para(9, "       "+w.Text)
		}
	}
	for _, j := range d.Joints {
		if j.GrooveHidden != nil && !*j.GrooveHidden {
			s.para(2, fmt.Sprintf("! The groove shows at the ends of the %s: POST /v1/layouts says where it hides.", j.End))
		}
	}
	if d.Sawn != nil {
		s.para(2, "  "+d.Sawn.Text)
	}
}

func (s *sheet) partsSetup(p *api.PartsSetup) {
	s.para(3, fmt.Sprintf("%d. %s", p.Order, p.Text))
	s.para(3, "   for "+strings.Join(p.Drawers, ", "))
	s.settings(p.RouterSettings)
	s.brokenLimits(p.Limits)
}

func (s *sheet) testStock(all []api.TestStock) {
	s.title("TEST PIECES, on top of the parts")
	for i := range all {
		t := &all[i]
		s.para(2, fmt.Sprintf("- %s, %s thick: %d as front or back, %d as side, %s x %s",
			strings.Join(t.Stock, ", "), t.Thickness.Text, t.PinBoards, t.TailBoards, t.Length.Text, t.Width.Text))
	}
}

func (s *sheet) stockTotals(all []api.StockTotal) {
	s.title("STOCK, finished sizes without waste")
	for i := range all {
		t := &all[i]
		w := wordsOf(t.Thickness)
		amount, unit := t.Area.M2, "m2"
		if w.Unit == length.UnitInch {
			amount, unit = t.Area.FT2, "ft2"
		}
		s.para(2, fmt.Sprintf("- %s, %s thick: %s, %s, %.2f %s", t.ID, t.Thickness.Text, spelling.Plural(t.Pieces, "piece"),
			w.MetresText(t.Length.MM/1000, t.Length.In/12), amount, unit))
	}
}

func (s *sheet) labour(l *api.Labour) {
	s.title("LABOUR")
	s.row("drawers", fmt.Sprint(l.Drawers))
	s.row("parts", fmt.Sprint(l.Parts))
	s.row("corners", fmt.Sprint(l.Joints))
	s.row("set-ups", fmt.Sprintf("%d, %s of cutter", l.Setups, spelling.Plural(l.ChangesOfCutter, "change")))
	s.row("test joints", fmt.Sprintf("%.1f to expect", l.TestJoints))
	if l.Openings != nil {
		s.row("openings routed", fmt.Sprint(*l.Openings))
		s.row("way in the wood", fmt.Sprintf("%.0f m (%.0f ft), an estimate", *l.MetresOfCut, *l.FeetOfCut))
	}
	if l.Hours != nil {
		s.row("by your rates", say.HoursText(*l.Hours))
	}
}

// wordsOf writes in the unit that a length of the answer is written in.
func wordsOf(l api.Length) say.Words {
	if strings.HasSuffix(l.Text, "mm") {
		return say.Words{Unit: length.UnitMillimetre}
	}
	return say.Words{Unit: length.UnitInch}
}
