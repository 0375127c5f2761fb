package plain

import (
	"slices"
	"strings"

	"snugtail/api"
)

// The cut list for a spreadsheet: one row for each kind of part.

// csvColumns are the columns and their order.
var csvColumns = slices.Concat(
	[]string{"drawer", "part", "count"}, lengthColumns("length", "width", "thickness"),
	[]string{"stock", "material", "species", "work"}, lengthColumns("groove_from_bottom", "groove_width", "groove_depth"),
	[]string{"front_setup", "back_setup", "note"}, lengthColumns("rough_length", "rough_width", "rough_thickness"))

// What stands in the column part beside the parts' own names.
const (
	csvTestPinBoard  = "test_pin_board"
	csvTestTailBoard = "test_tail_board"
	csvRefused       = "refused"
)

// CutList writes the drawers' parts.
func CutList(a *api.DrawerPartsAnswer, as Sheet) ([]byte, error) {
	t := table{columns: csvColumns}
	for i := range a.Drawers {
		d := &a.Drawers[i]
		if d.Refused != nil {
			t.rows = append(t.rows, csvRow{"drawer": d.ID, "part": csvRefused, "count": d.Count, "note": d.Refused.Text})
			continue
		}
		for k := range d.Parts {
			row := partRow(d, &d.Parts[k])
			row["drawer"], row["count"], row["stock"] = d.ID, d.Parts[k].Count, d.Parts[k].Stock
			t.rows = append(t.rows, row)
		}
	}
	for i := range a.TestStock {
		s := &a.TestStock[i]
		for _, of := range testPieces(s) {
			row := testRow(s, of.part)
			row["count"], row["stock"] = of.count, strings.Join(s.Stock, " ")
			t.rows = append(t.rows, row)
		}
	}
	return t.write(as)
}

// testPiece is what test stock is cut as, and how many.
type testPiece struct {
	part  string
	count int
}

func testPieces(s *api.TestStock) []testPiece {
	all := []testPiece{{csvTestPinBoard, s.PinBoards}, {csvTestTailBoard, s.TailBoards}}
	return slices.DeleteFunc(all, func(p testPiece) bool { return p.count == 0 })
}

// partRow is a part without its names and numbers.
func partRow(d *api.DrawerMade, p *api.DrawerPart) csvRow {
	r := csvRow{"part": p.Part, "material": p.Material, "species": p.Species}
	r.length("length", p.Length)
	r.length("width", p.Width)
	r.length("thickness", p.Thickness)
	if p.Rough != nil {
		r.length("rough_length", p.Rough.Length)
		r.length("rough_width", p.Rough.Width)
		r.length("rough_thickness", p.Rough.Thickness)
	}
	work := make([]string, len(p.Work))
	for i := range p.Work {
		w := &p.Work[i]
		work[i] = w.Text
		if w.Code == "groove" {
			r.length("groove_from_bottom", *w.From)
			r.length("groove_width", *w.Width)
			r.length("groove_depth", w.Depth)
		}
	}
	r["work"] = strings.Join(work, "; ")
	r["note"] = noteOf(d, p)
	for _, j := range d.Joints {
		if p.Part == "side" || p.Part == j.End {
			r[j.End+"_setup"] = j.Setup
		}
	}
	return r
}

// noteOf is what is warned of at a part: a front's and a back's note tells of
// their joint too, and a front's of the whole drawer.
func noteOf(d *api.DrawerMade, p *api.DrawerPart) string {
	var all []string
	add := func(warnings []api.PartsWarning) {
		for i := range warnings {
			all = append(all, warnings[i].Text)
		}
	}
	if p.Part == "front" {
		add(d.Warnings)
	}
	for i := range d.Joints {
		if d.Joints[i].End == p.Part {
			add(d.Joints[i].Warnings)
		}
	}
	add(p.Warnings)
	return strings.Join(all, " ")
}

func testRow(s *api.TestStock, part string) csvRow {
	r := csvRow{"part": part, "material": s.Material, "species": s.Species}
	r.length("length", s.Length)
	r.length("width", s.Width)
	r.length("thickness", s.Thickness)
	return r
}
