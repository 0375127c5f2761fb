package plain

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"snugtail/api"
	"snugtail/service/message"
)

// Sheets of single pieces, for other programs. Here no cell holds a bare id, which a
// spreadsheet would take for a number or a date where it looks like one (1/2, 001,
// 1E5): labels, drawers and stock say in words what they are.

// MostPieces is how many pieces a sheet lists. Judgement: more than any cabinet's.
const MostPieces = 20_000

// Pieces counts the pieces of an answer.
func Pieces(a *api.DrawerPartsAnswer) (n int) {
	for i := range a.Drawers {
		for k := range a.Drawers[i].Parts {
			n += a.Drawers[i].Parts[k].Count
		}
	}
	for i := range a.TestStock {
		n += a.TestStock[i].PinBoards + a.TestStock[i].TailBoards
	}
	return n
}

// pieceColumns are those of a piece.
var pieceColumns = slices.Concat(
	[]string{"label", "drawer", "number", "part", "side"}, lengthColumns("length", "width", "thickness"),
	lengthColumns("rough_length", "rough_width", "rough_thickness"),
	[]string{"stock", "material", "species", "work"}, lengthColumns("groove_from_bottom", "groove_width", "groove_depth"),
	[]string{"front_setup", "back_setup", "note"})

// PieceList writes one row for each physical piece, with the label to write on it.
func PieceList(a *api.DrawerPartsAnswer, as Sheet) ([]byte, error) {
	t := table{columns: pieceColumns}
	for i := range a.Drawers {
		d := &a.Drawers[i]
		if d.Refused != nil {
			t.rows = append(t.rows, csvRow{"label": as.refused(d), "drawer": "drawer " + d.ID, "part": csvRefused, "note": d.Refused.Text})
			continue
		}
		for number := 1; number <= d.Count; number++ {
			t.rows = append(t.rows, as.piecesOf(d, number)...)
		}
	}
	for i := range a.TestStock {
		s := &a.TestStock[i]
		for _, of := range testPieces(s) {
			for n := 1; n <= of.count; n++ {
				row := testRow(s, of.part)
				row["label"] = as.Of("csv.label."+of.part, message.Count("number", n), message.Names("stock", s.Stock...))
				row["stock"] = "stock " + strings.Join(s.Stock, ", ")
				t.rows = append(t.rows, row)
			}
		}
	}
	return t.write(as)
}

// refused is what stands in the place of a label.
func (as Sheet) refused(d *api.DrawerMade) string {
	return as.Of("csv.refused", message.Name("id", d.ID))
}

// piecesOf are the pieces of one drawer of a row.
func (as Sheet) piecesOf(d *api.DrawerMade, number int) []csvRow {
	rows := make([]csvRow, 0, len(d.Parts)+1)
	for k := range d.Parts {
		p := &d.Parts[k]
		for _, side := range hands(p) {
			row := partRow(d, p)
			row["label"], row["drawer"], row["number"], row["stock"] = as.label(d, number, p, side), "drawer "+d.ID, number, "stock "+p.Stock
			if side != "" {
				row["side"] = side
			}
			rows = append(rows, row)
		}
	}
	return rows
}

// hands are left and right for a side.
func hands(p *api.DrawerPart) []string {
	if p.Part == "side" {
		return []string{"left", "right"}
	}
	return []string{""}
}

// label is what to write on a piece: shallow-03 left side.
func (as Sheet) label(d *api.DrawerMade, number int, p *api.DrawerPart, side string) string {
	piece := p.Part
	if side != "" {
		piece = side + "_" + piece
	}
	digits := max(2, len(strconv.Itoa(d.Count)))
	return fmt.Sprintf("%s-%0*d %s", d.ID, digits, number, as.Of("csv.piece."+piece))
}

// setupColumns are those of the sheet by set-up: a row is a set-up, or a piece that
// is cut with it.
var setupColumns = slices.Concat(
	[]string{"row", "setup", "label", "cut", "cutter"}, lengthColumns("cutter_diameter"), []string{"cutter_angle"},
	lengthColumns("depth_pin_board", "depth_tail_board", "forward", "side_stops", "below_base", "below_bushing", "play", "lap"),
	[]string{"in_target", "test_joints", "joints", "part", "side"}, lengthColumns("length", "width", "thickness"),
	[]string{"stock", "material", "species", "note"})

// SetupList writes the set-ups in their order, each followed by the pieces that are
// cut with it.
func SetupList(a *api.DrawerPartsAnswer, as Sheet) ([]byte, error) {
	t := table{columns: setupColumns}
	for i := range a.Setups {
		s := &a.Setups[i]
		t.rows = append(t.rows, as.setupRow(s))
		for k := range a.Drawers {
			t.rows = append(t.rows, as.cutWith(s, &a.Drawers[k])...)
		}
	}
	for i := range a.Drawers {
		if d := &a.Drawers[i]; d.Refused != nil {
			t.rows = append(t.rows, csvRow{"row": csvRefused, "label": as.refused(d), "note": d.Refused.Text})
		}
	}
	return t.write(as)
}

func (as Sheet) setupRow(s *api.PartsSetup) csvRow {
	r := csvRow{
		"row": "setup", "setup": s.Order, "label": as.Of("csv.label.setup", message.Count("number", s.Order)), "cutter_angle": s.Cutter.Angle,
		"in_target": s.InTarget, "test_joints": s.TestJoints, "joints": s.Joints, "note": s.Text,
	}
	if s.Cutter.ID != "" {
		r["cutter"] = "cutter " + s.Cutter.ID
	}
	r.length("cutter_diameter", s.Cutter.Diameter)
	r.length("depth_pin_board", s.DepthPinBoard)
	r.length("depth_tail_board", s.DepthTailBoard)
	r.maybe("forward", s.Lip)
	r.maybe("side_stops", s.SideStops)
	r.maybe("below_base", s.RouterSettings.BelowBase)
	r.maybe("below_bushing", s.RouterSettings.BelowBushing)
	r.length("play", s.Play)
	r.length("lap", s.Lap)
	return r
}

// cutWith are the pieces of a row of drawers that a set-up cuts, and at which end.
func (as Sheet) cutWith(s *api.PartsSetup, d *api.DrawerMade) []csvRow {
	var ends []string
	for i := range d.Joints {
		if d.Joints[i].Setup == s.Order {
			ends = append(ends, d.Joints[i].End)
		}
	}
	if len(ends) == 0 {
		return nil
	}
	var rows []csvRow
	for number := 1; number <= d.Count; number++ {
		for k := range d.Parts {
			p := &d.Parts[k]
			cut := as.cutAt(p, ends)
			if cut == "" {
				continue
			}
			for _, side := range hands(p) {
				row := csvRow{
					"row": "piece", "setup": s.Order, "label": as.label(d, number, p, side), "cut": cut, "part": p.Part,
					"stock": "stock " + p.Stock, "material": p.Material, "species": p.Species,
				}
				if side != "" {
					row["side"] = side
				}
				row.length("length", p.Length)
				row.length("width", p.Width)
				row.length("thickness", p.Thickness)
				rows = append(rows, row)
			}
		}
	}
	return rows
}

// cutAt says what is cut of a part: pins at both its ends, or a side's tails.
func (as Sheet) cutAt(p *api.DrawerPart, ends []string) string {
	switch {
	case p.Part == "side" && len(ends) == 2:
		return as.Of("csv.cut.tails.both")
	case p.Part == "side":
		return as.Of("csv.cut.tails." + ends[0])
	case slices.Contains(ends, p.Part):
		return as.Of("csv.cut.pins")
	}
	return ""
}
