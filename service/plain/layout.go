package plain

import (
	"fmt"

	"snugtail/api"
	"snugtail/service/message"
)

// Layout is a layout as a cutting guide.
func Layout(in *message.Printer, a *api.LayoutAnswer) string {
	s := NewLines(in)
	s.Para(0, a.Summary)
	s.layoutFigures(a)
	s.brokenLimits(a.Limits)
	s.parts("pin_board", a.Layout.PinBoard.Pins)
	s.parts("tail_board", a.Layout.TailBoard.Tails)
	s.corners(a.Corners)
	s.heights(a.Heights)
	if a.Seasons != nil {
		s.Title(s.layout("year"))
		s.Para(0, a.Seasons.Text)
	}
	s.Cautions(a.Cautions)
	return s.String()
}

// layout is a text of this form.
func (s *Lines) layout(key string, params ...message.Param) string {
	return s.Of("plain.layout."+key, params...)
}

func (s *Lines) layoutFigures(a *api.LayoutAnswer) {
	row := func(label, value string) { s.Row(s.layout(label), value) }
	s.Title(s.layout("title"))
	row("width", s.bothBoards(a.Layout.BoardWidth))
	row("pitch", s.both(a.Layout.Pitch))
	row("centred_on", s.Of("layout_centre."+a.Layout.CentredOn))
	row("first_pin", s.layout("first_pin_is", message.Name("centre", s.both(a.Layout.FirstPin))))
	row("edge_pins", s.layout("edge_pins_are", message.Name("root", s.both(a.EdgePins.Smallest)), message.Word("ending", "plain.layout.ending", a.EdgePins.Ending)))
	if a.Layout.Spacer != nil {
		row("spacer", s.both(*a.Layout.Spacer))
	}
	if a.Nearest.Smaller != nil {
		row("below", s.bothBoards(*a.Nearest.Smaller))
	}
	row("above", s.bothBoards(a.Nearest.Larger))
	if len(a.Layout.PinBoard.Pins) > 0 {
		row("whole_pin", s.widestPart(a.Layout.PinBoard.Pins))
	}
	row("whole_tail", s.widestPart(a.Layout.TailBoard.Tails))
}

// widestPart is the width of the widest of a row of parts, which is a whole one
// where there is any.
func (s *Lines) widestPart(parts []api.LayoutPart) string {
	widest := &parts[0]
	for i := range parts {
		if parts[i].Widest.MM > widest.Widest.MM {
			widest = &parts[i]
		}
	}
	return s.layout("part", message.Name("width", s.size(widest.Widest)), message.Name("root", s.size(widest.Narrowest)))
}

func (s *Lines) parts(board string, parts []api.LayoutPart) {
	s.Title(s.layout(board))
	if len(parts) == 0 {
		s.Para(0, s.layout("none"))
		return
	}
	fmt.Fprintf(s, "%-5s%-20s%-20s%s\n", s.layout("number"), s.layout("from"), s.layout("to"), s.layout("centre"))
	for i := range parts {
		p := &parts[i]
		centre := s.size(p.Centre)
		if p.Share != "whole" {
			centre += ", " + s.layout("share."+p.Share)
		}
		fmt.Fprintf(s, "%-5d%-20s%-20s%s\n", p.Number, s.size(p.From), s.size(p.To), centre)
	}
}

func (s *Lines) corners(corners []api.LayoutCorner) {
	s.Title(s.layout("corners"))
	for _, c := range corners {
		s.Para(4, c.Label+" "+c.Text)
	}
}

// listedHeights is how many heights a receipt shows.
const listedHeights = 10

func (s *Lines) heights(heights []api.LayoutHeight) {
	if len(heights) == 0 {
		return
	}
	s.Title(s.layout("heights"))
	for i, h := range heights {
		if i == listedHeights {
			s.Para(0, s.Of("plain.more", message.Count("more", len(heights)-listedHeights)))
			return
		}
		least := ""
		if h.LeastHeight.MM < h.Height.MM {
			least = s.board(h.LeastHeight)
		}
		s.Row(s.layout("tails", message.Count("tails", h.Tails)),
			s.layout("height", message.Name("height", s.bothBoards(h.Height)), message.Name("left", s.board(h.LeftOver)), message.Name("least", least)))
	}
}
