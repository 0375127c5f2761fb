package site

import "snugtail/service/draw"

// edges is a corner from the outside of its side, the bottom edges of front and
// side out of line.
func (d *pictureBook) edges() {
	const line, front, side, shoulder, end = 6.0, 46.0, 38.0, 30.0, 16.0
	d.wood(45, d.outline(8, line, shoulder, line, shoulder, front, 8, front))
	d.wood(135, d.outline(92, line, 92, side, shoulder, side, shoulder, side-3, end, side, end, side-14, shoulder, side-11,
		shoulder, side-18, end, side-15, end, side-29, shoulder, side-26, shoulder, line))
	d.name("side", 70, 16)
	d.name("front_board", 36, 54)
	d.page.Draw(draw.Line(d.at(24, 50.5), d.at(20, 43)), draw.Style{Pen: draw.Thin})
	d.name("bottom_edge", 76, 51)
	d.page.Draw(draw.Line(d.at(76, 47), d.at(80, side+0.5)), draw.Style{Pen: draw.Thin})
	d.page.Draw(draw.Line(d.at(62, 48.5), d.at(50, front+0.5)), draw.Style{Pen: draw.Thin})
	d.upright("edge_step", side, front, shoulder, 54)
}

// adjuster is the screw that sets a router's depth: a turn moves it by its lead.
func (d *pictureBook) adjuster() {
	const left, right, depth, lead, top, bottom = 44.0, 56.0, 3.0, 7.0, 17.0, 59.0
	d.metal(d.outline(30, 4, 70, 4, 70, 13, 30, 13))
	d.metal(d.outline(46, 13, 54, 13, 54, top, 46, top))
	xy := []float64{right - depth, top}
	for y := top; y < bottom; y += lead {
		xy = append(xy, right, y+lead/2, right-depth, y+lead)
	}
	for y := bottom; y > top; y -= lead { // its crests half a turn on
		xy = append(xy, left, y, left+depth, y-lead/2)
	}
	d.metal(d.outline(append(xy, left, top)...))
	for y := top; y < bottom; y += lead {
		d.page.Draw(draw.Line(d.at(right, y+lead/2), d.at(left, y+lead)), draw.Style{Pen: draw.Thin})
	}
	d.name("adjuster", 50, 10.2)
	d.name("one_turn", 84, top+2*lead+1.6)
	d.upright("router-adjuster_lead", top+1.5*lead, top+2.5*lead, right, 68)
}
