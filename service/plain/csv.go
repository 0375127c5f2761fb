package plain

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"

	"snugtail/api"
)

// The cut list for a spreadsheet: RFC 4180, lines end in CRLF, the first is the
// header. Lengths stand in mm and in, as the JSON has them.

// csvColumns are the columns and their order.
var csvColumns = []string{
	"drawer", "part", "count",
	"length_mm", "length_in", "width_mm", "width_in", "thickness_mm", "thickness_in",
	"stock", "material", "species", "work",
	"groove_from_bottom_mm", "groove_from_bottom_in", "groove_width_mm", "groove_width_in", "groove_depth_mm", "groove_depth_in",
	"front_setup", "back_setup", "note",
}

// What stands in the column part beside the parts' own names.
const (
	csvTestPinBoard  = "test_pin_board"
	csvTestTailBoard = "test_tail_board"
	csvRefused       = "refused"
)

// CutList writes the drawers' parts.
func CutList(a *api.DrawerPartsAnswer) ([]byte, error) {
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	w.UseCRLF = true
	if err := w.WriteAll(csvRows(a)); err != nil {
		return nil, fmt.Errorf("writing the cut list: %w", err)
	}
	return out.Bytes(), nil
}

func csvRows(a *api.DrawerPartsAnswer) [][]string {
	rows := [][]string{csvColumns}
	for i := range a.Drawers {
		d := &a.Drawers[i]
		if d.Refused != nil {
			rows = append(rows, csvRow{"drawer": csvText(d.ID), "part": csvRefused, "count": strconv.Itoa(d.Count), "note": csvText(d.Refused.Text)}.cells())
			continue
		}
		for k := range d.Parts {
			rows = append(rows, partRow(d, &d.Parts[k]).cells())
		}
	}
	for i := range a.TestStock {
		t := &a.TestStock[i]
		if t.PinBoards > 0 {
			rows = append(rows, testRow(t, csvTestPinBoard, t.PinBoards).cells())
		}
		if t.TailBoards > 0 {
			rows = append(rows, testRow(t, csvTestTailBoard, t.TailBoards).cells())
		}
	}
	return rows
}

// csvRow holds cells by their column; what is not in it stays empty.
type csvRow map[string]string

func (r csvRow) cells() []string {
	cells := make([]string, len(csvColumns))
	for i, column := range csvColumns {
		cells[i] = r[column]
	}
	return cells
}

// length fills the two columns of a length.
func (r csvRow) length(name string, l api.Length) {
	r[name+"_mm"] = strconv.FormatFloat(l.MM, 'f', -1, 64)
	r[name+"_in"] = strconv.FormatFloat(l.In, 'f', -1, 64)
}

func partRow(d *api.DrawerMade, p *api.DrawerPart) csvRow {
	r := csvRow{
		"drawer": csvText(d.ID), "part": p.Part, "count": strconv.Itoa(p.Count),
		"stock": csvText(p.Stock), "material": p.Material, "species": csvText(p.Species),
	}
	r.length("length", p.Length)
	r.length("width", p.Width)
	r.length("thickness", p.Thickness)
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
	r["work"] = csvText(strings.Join(work, "; "))
	r["note"] = csvText(noteOf(d, p))
	for _, j := range d.Joints {
		if p.Part == "side" || p.Part == j.End {
			r[j.End+"_setup"] = strconv.Itoa(j.Setup)
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

func testRow(t *api.TestStock, part string, count int) csvRow {
	r := csvRow{
		"part": part, "count": strconv.Itoa(count), "stock": csvText(strings.Join(t.Stock, " ")),
		"material": t.Material, "species": csvText(t.Species),
	}
	r.length("length", t.Length)
	r.length("width", t.Width)
	r.length("thickness", t.Thickness)
	return r
}

// csvText keeps a spreadsheet from taking a text for a formula: one that
// begins like a formula gets an apostrophe in front, which spreadsheets take for
// "this is text" (common practice).
func csvText(text string) string {
	if text != "" && strings.ContainsRune("=+-@\t\r", rune(text[0])) {
		return "'" + text
	}
	return text
}
