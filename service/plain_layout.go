package service

import (
	"fmt"
	"strings"

	"snugtail/api"
	"snugtail/service/spelling"
)

// layoutText is a layout as a cutting guide.
func layoutText(a *api.LayoutAnswer) string {
	s := new(sheet)
	s.para(0, a.Summary)
	s.layoutFigures(a)
	s.brokenLimits(a.Limits)
	s.parts("PIN BOARD (front, back): pins at the face, from the bottom edge", a.Layout.PinBoard.Pins)
	s.parts("TAIL BOARD (sides): tails at their ends, from the bottom edge", a.Layout.TailBoard.Tails)
	s.corners(a.Corners)
	s.heights(a.Heights)
	s.cautions(a.Cautions)
	return s.String()
}

func (s *sheet) layoutFigures(a *api.LayoutAnswer) {
	s.title("LAYOUT")
	s.row("board width", both(a.Layout.BoardWidth))
	s.row("pitch", both(a.Layout.Pitch))
	s.row("centred on a", a.Layout.CentredOn)
	s.row("first pin's centre", both(a.Layout.FirstPin)+" from either edge")
	s.row("edge pins", fmt.Sprintf("%s at the root, %s", both(a.EdgePins.Smallest), strings.ReplaceAll(a.EdgePins.Ending, "_", " ")))
	if a.Layout.Spacer != nil {
		s.row("spacer at each stop", both(*a.Layout.Spacer))
	}
	if a.Nearest.Smaller != nil {
		s.row("half pins below", both(*a.Nearest.Smaller))
	}
	s.row("half pins above", both(a.Nearest.Larger))
	if len(a.Layout.PinBoard.Pins) > 0 {
		s.row("whole pin", widestPart(a.Layout.PinBoard.Pins))
	}
	s.row("whole tail", widestPart(a.Layout.TailBoard.Tails))
}

// widestPart is the width of the widest of a row of parts, which is a whole one
// where there is any.
func widestPart(parts []api.LayoutPart) string {
	widest := &parts[0]
	for i := range parts {
		if parts[i].Widest.MM > widest.Widest.MM {
			widest = &parts[i]
		}
	}
	return fmt.Sprintf("%s wide, %s at the root", widest.Widest.Text, widest.Narrowest.Text)
}

func (s *sheet) parts(title string, parts []api.LayoutPart) {
	s.title(title)
	if len(parts) == 0 {
		s.para(0, "none")
		return
	}
	fmt.Fprintf(s, "%-5s%-20s%-20s%s\n", "NO.", "FROM", "TO", "CENTRE")
	for i := range parts {
		p := &parts[i]
		centre := p.Centre.Text
		if p.Share != "whole" {
			centre += ", " + p.Share
		}
		fmt.Fprintf(s, "%-5d%-20s%-20s%s\n", p.Number, p.From.Text, p.To.Text, centre)
	}
}

func (s *sheet) corners(corners []api.LayoutCorner) {
	s.title("CORNERS: the bottom edge always at the stop, to stick on")
	for _, c := range corners {
		s.para(4, fmt.Sprintf("%s  %s", c.Label, c.Text))
	}
}

// listedHeights is how many heights a receipt shows.
const listedHeights = 10

func (s *sheet) heights(heights []api.LayoutHeight) {
	if len(heights) == 0 {
		return
	}
	s.title("DRAWER HEIGHTS THAT END IN HALF PINS")
	for i, h := range heights {
		if i == listedHeights {
			s.para(0, fmt.Sprintf("... and %d more in the JSON.", len(heights)-listedHeights))
			return
		}
		text := fmt.Sprintf("%s, %s of the opening left", both(h.Height), h.LeftOver.Text)
		if h.LeastHeight.MM < h.Height.MM {
			text += ", or down to " + h.LeastHeight.Text
		}
		s.row(spelling.Plural(h.Tails, "tail"), text)
	}
}
