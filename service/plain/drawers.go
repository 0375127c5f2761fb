package plain

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"snugtail/api"
	"snugtail/joint/length"
	"snugtail/service/message"
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
		s.Title(s.drawers("setups"))
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

// drawers is a text of this form.
func (s *Lines) drawers(key string, params ...message.Param) string {
	return s.Of("plain.drawers."+key, params...)
}

// by is three sizes of wood.
func (s *Lines) by(a, b, c api.Length) []message.Param {
	return []message.Param{message.Name("a", s.board(a)), message.Name("b", s.board(b)), message.Name("c", s.board(c))}
}

func (s *Lines) drawer(d *api.DrawerMade) {
	s.Title(s.drawers("row", message.Name("id", d.ID), message.Count("count", d.Count)))
	if d.Refused != nil {
		s.Para(2, "! "+d.Refused.Text)
		for _, c := range d.Refused.Changes {
			s.Para(2, "- "+c.Text)
		}
		return
	}
	s.Para(2, s.drawers("outside", s.by(d.Outside.Width, d.Outside.Height, d.Outside.Depth)...))
	for i := range d.Parts {
		p := &d.Parts[i]
		named := append(s.by(p.Length, p.Width, p.Thickness), message.Word("part", "drawer_part", p.Part), message.Name("stock", p.Stock))
		s.Para(7, fmt.Sprintf("%4d ", p.Count)+s.drawers("part", named...))
		for _, w := range p.Work {
			s.Para(9, "       "+w.Text)
		}
		if p.Rough != nil {
			s.Para(9, "       "+s.drawers("rough", s.by(p.Rough.Length, p.Rough.Width, p.Rough.Thickness)...))
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
	s.Para(3, "   "+s.drawers("for", message.Names("drawers", p.Drawers...)))
	s.settings(p.RouterSettings)
	s.brokenLimits(p.Limits)
}

func (s *Lines) testStock(all []api.TestStock) {
	s.Title(s.drawers("test_pieces"))
	for i := range all {
		t := &all[i]
		s.Para(2, "- "+s.drawers("test_piece", message.Names("stock", t.Stock...), message.Name("thickness", s.board(t.Thickness)),
			message.Count("pin_boards", t.PinBoards), message.Count("tail_boards", t.TailBoards), message.Name("length", s.board(t.Length)), message.Name("width", s.board(t.Width))))
	}
}

func (s *Lines) stockTotals(all []api.StockTotal) {
	s.Title(s.drawers("stock"))
	for i := range all {
		t := &all[i]
		w := s.wordsOf(t.Thickness)
		named := append(amount(w, t.Length, t.Area), message.Name("id", t.ID), message.Name("thickness", s.board(t.Thickness)), message.Count("pieces", t.Pieces))
		s.Para(2, "- "+s.drawers("finished", named...))
		if t.Rough != nil {
			s.Para(4, "    "+s.drawers("sawn_out", append(amount(w, t.Rough.Length, t.Rough.Area), volume(w, t.Rough.Volume)...)...))
		}
	}
}

// mmPerMetre and inPerFoot: amounts of wood are told in the larger units.
const (
	mmPerMetre = 1000
	inPerFoot  = 12
)

// amount is a length and an area of wood, in the larger units.
func amount(w message.Printer, l api.Length, a api.Area) []message.Param {
	if w.Unit == length.UnitInch {
		return []message.Param{message.Number("length", l.In/inPerFoot), message.Name("unit", "ft"), message.Number("area", a.FT2), message.Name("squared", "ft2")}
	}
	return []message.Param{message.Number("length", l.MM/mmPerMetre), message.Name("unit", "m"), message.Number("area", a.M2), message.Name("squared", "m2")}
}

// volume is one of wood, to a tenth of a litre.
func volume(w message.Printer, v api.Volume) []message.Param {
	const decimals = 4
	if w.Unit == length.UnitInch {
		return []message.Param{message.Name("volume", w.Number(v.FT3, decimals)), message.Name("cubed", "ft3")}
	}
	return []message.Param{message.Name("volume", w.Number(v.M3, decimals)), message.Name("cubed", "m3")}
}

func (s *Lines) labour(l *api.Labour) {
	row := func(label, value string) { s.Row(s.drawers(label), value) }
	s.Title(s.drawers("labour"))
	row("drawers", strconv.Itoa(l.Drawers))
	row("parts", strconv.Itoa(l.Parts))
	row("corners", strconv.Itoa(l.Joints))
	fewest := "fewest"
	if !l.FewestSetups {
		fewest = "perhaps_more"
	}
	row("set_ups", s.drawers("set_ups_are."+fewest, message.Count("setups", l.Setups), message.Count("changes", l.ChangesOfCutter), message.Count("least", l.SetupsAtLeast)))
	row("tests", s.drawers("tests_are", message.Number("tests", l.TestJoints)))
	if l.Openings != nil {
		row("openings", strconv.Itoa(*l.Openings))
		row("cutting", s.drawers("cutting_is", message.Number("metres", *l.MetresOfCut), message.Number("feet", *l.FeetOfCut)))
	}
	if l.Hours != nil {
		row("hours", s.drawers("hours_are", message.Number("hours", *l.Hours)))
	}
}

// wordsOf writes in the unit that a length of the answer is written in.
func (s *Lines) wordsOf(l api.Length) message.Printer {
	if strings.HasSuffix(l.Text, "mm") {
		return message.Printer{Catalogue: s.Catalogue, Unit: length.UnitMillimetre}
	}
	return message.Printer{Catalogue: s.Catalogue, Unit: length.UnitInch}
}
