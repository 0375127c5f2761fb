package plain

import (
	"fmt"
	"strings"

	"snugtail/api"
	"snugtail/service/message"
	"snugtail/service/spelling"
)

// Layout is a layout as a cutting guide.
func Layout(in *message.Printer, a *api.LayoutAnswer) string {
	s := NewLines(in)
	s.Para(0, a.Summary)
	s.layoutFigures(a)
	s.brokenLimits(a.Limits)
	s.parts("PIN BOARD (front, back): pins at the face, from the bottom edge", a.Layout.PinBoard.Pins)
	s.parts("TAIL BOARD (sides): tails at their ends, from the bottom edge", a.Layout.TailBoard.Tails)
	s.corners(a.Corners)
	s.heights(a.Heights)
	if a.Seasons != nil {
		s.Title("THROUGH THE YEAR")
		s.Para(0, a.Seasons.Text)
	}
	s.Cautions(a.Cautions)
	return s.String()
}

func (s *Lines) layoutFigures(a *api.LayoutAnswer) {
	s.Title("LAYOUT")
	s.Row("board width", s.bothBoards(a.Layout.BoardWidth))
	s.Row("pitch", s.both(a.Layout.Pitch))
	s.Row("centred on a", a.Layout.CentredOn)
	s.Row("first pin's centre", s.both(a.Layout.FirstPin)+" from either edge")
	s.Row("edge pins", fmt.Sprintf("%s at the root, %s", s.both(a.EdgePins.Smallest), strings.ReplaceAll(a.EdgePins.Ending, "_", " ")))
	if a.Layout.Spacer != nil {
		s.Row("spacer at each stop", s.both(*a.Layout.Spacer))
	}
	if a.Nearest.Smaller != nil {
		s.Row("half pins below", s.bothBoards(*a.Nearest.Smaller))
	}
	s.Row("half pins above", s.bothBoards(a.Nearest.Larger))
	if len(a.Layout.PinBoard.Pins) > 0 {
		s.Row("whole pin", s.widestPart(a.Layout.PinBoard.Pins))
	}
	s.Row("whole tail", s.widestPart(a.Layout.TailBoard.Tails))
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
	return fmt.Sprintf("%s wide, %s at the root", s.size(widest.Widest), s.size(widest.Narrowest))
}

func (s *Lines) parts(title string, parts []api.LayoutPart) {
	s.Title(title)
	if len(parts) == 0 {
		s.Para(0, "none")
		return
	}
	fmt.Fprintf(s, "%-5s%-20s%-20s%s\n", "NO.", "FROM", "TO", "CENTRE")
	for i := range parts {
		p := &parts[i]
		centre := s.size(p.Centre)
		if p.Share != "whole" {
			centre += ", " + p.Share
		}
		fmt.Fprintf(s, "%-5d%-20s%-20s%s\n", p.Number, s.size(p.From), s.size(p.To), centre)
	}
}

func (s *Lines) corners(corners []api.LayoutCorner) {
	s.Title("CORNERS: the bottom edge always at the stop, to stick on")
	for _, c := range corners {
		s.Para(4, fmt.Sprintf("%s  %s", c.Label, c.Text))
	}
}

// listedHeights is how many heights a receipt shows.
const listedHeights = 10

func (s *Lines) heights(heights []api.LayoutHeight) {
	if len(heights) == 0 {
		return
	}
	s.Title("DRAWER HEIGHTS THAT END IN HALF PINS")
	for i, h := range heights {
		if i == listedHeights {
			s.Para(0, fmt.Sprintf("... and %d more in the JSON.", len(heights)-listedHeights))
			return
		}
		text := fmt.Sprintf("%s, %s of the opening left", s.bothBoards(h.Height), s.board(h.LeftOver))
		if h.LeastHeight.MM < h.Height.MM {
			text += ", or down to " + s.board(h.LeastHeight)
		}
		s.Row(spelling.Plural(h.Tails, "tail"), text)
	}
}
