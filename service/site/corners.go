package site

import (
	"snugtail/joint/layout"
	"snugtail/service/codes"
	"snugtail/service/draw"
)

// corners draws how the boards of each corner of a drawer lie at the template, as
// the operator sees them: the front or back flat and seen from above, the side
// upright before it, the template between them. Which stop they go to, and with
// which edge, is that of package layout.
func (d *pictureBook) corners() {
	const wide, high = 50.0, 57.0
	for _, c := range layout.Corners() {
		x, y := 0.0, 0.0
		if c.Side == layout.Right {
			x = wide
		}
		if c.Depthwise == layout.Front { // as a drawer is seen from above, its front below
			y = high
		}
		d.page.Group("data-corner", codes.CornerLabels[c.Depthwise][c.Side], "data-stop", codes.Sides[c.Stop])
		d.cornerAt(c, x, y)
		d.page.EndGroup()
	}
}

// cornerAt draws one corner, its upper left at x, y.
func (d *pictureBook) cornerAt(c layout.Corner, x, y float64) {
	const left, right, stop = 10.0, 40.0, 3.0
	d.label("corner."+codes.CornerLabels[c.Depthwise][c.Side], x+25, y+5.5, draw.Bold)
	pin := "front"
	if c.Depthwise == layout.Back {
		pin = "back"
	}
	for _, board := range []struct {
		name, face  string
		top, bottom float64
	}{{pin, "up", 9, 27}, {"side_board", "towards", 33, 52}} {
		d.page.Draw(d.outline(x+left, y+board.top, x+right, y+board.top, x+right, y+board.bottom, x+left, y+board.bottom), draw.Style{Fill: draw.White, Pen: draw.Thick})
		d.label(board.name, x+25, y+board.top+6, draw.Regular)
		d.label(board.face, x+25, y+board.top+11.5, draw.Regular)
		edge, block := x+left, x+left-stop-0.8
		if c.Stop == layout.Right {
			edge, block = x+right, x+right+0.8
		}
		d.page.Draw(draw.Line(d.at(edge, y+board.top), d.at(edge, y+board.bottom)), draw.Style{Pen: 1.6, Ink: draw.Blue}, "data-part", "bottom_edge")
		middle := (board.top + board.bottom) / 2
		d.page.Draw(draw.Rect(block, d.top+y+middle-4, stop, 8), draw.Style{Fill: draw.Black}, "data-part", "stop")
	}
	d.page.Draw(d.outline(x+4, y+28, x+46, y+28, x+46, y+32, x+4, y+32), draw.Style{Fill: draw.Grey, Pen: draw.Thin})
}

// label is a name without the white that keeps hatching off.
func (d *pictureBook) label(key string, x, y float64, font draw.Font) {
	text, err := d.text("shows.part." + key)
	if err != nil && d.err == nil {
		d.err = err
	}
	d.page.Write(draw.Text{At: d.at(x, y), Size: pictureText, Anchor: draw.Middle, Font: font, Text: text})
}
