package site

import (
	"fmt"
	"math"

	"snugtail/service/draw"
)

// The page's pictures of what is to be measured, from where to where. A group is
// one picture: `data-box` is what of the drawing it takes, and each dimension's
// group names in `data-for` the fields that it belongs to. The page shows the one
// that is asked for. Nothing in them is to scale: gaps and angles are drawn so
// that they can be seen.

// Distances in a picture, mm.
const (
	pictureWidth  = 100.0
	pictureText   = 4.5
	pictureArrow  = 1.8
	pictureBeyond = 1.2 // extension lines beyond the dimension's
)

// pictures draws all of them with the texts of a language.
func pictures(text func(key string) (string, error)) ([]byte, error) {
	d := &pictureBook{page: &draw.Page{Name: "measure", Width: pictureWidth, Fluid: true}, text: text}
	title, err := text("answer.measure")
	if err != nil {
		return nil, err
	}
	d.page.Title, d.page.Desc = title, title
	d.picture("template", 62, (*pictureBook).template)
	d.picture("tool", 62, (*pictureBook).tool)
	d.picture("joint", 62, (*pictureBook).corner)
	d.picture("widths", 92, (*pictureBook).widths)
	d.picture("edges", 58, (*pictureBook).edges)
	d.picture("adjuster", 62, (*pictureBook).adjuster)
	d.picture("corners", 114, (*pictureBook).corners)
	d.page.Height = d.top
	return d.page.SVG(), d.err
}

// pictureBook draws one picture below the other.
type pictureBook struct {
	page *draw.Page
	text func(key string) (string, error)
	top  float64 // of the picture being drawn
	err  error
}

func (d *pictureBook) picture(name string, height float64, drawn func(*pictureBook)) {
	d.page.Group("id", "measure-"+name, "data-box", fmt.Sprintf("0 %g %g %g", d.top, pictureWidth, height))
	drawn(d)
	d.page.EndGroup()
	d.top += height
}

func (d *pictureBook) at(x, y float64) draw.Point { return draw.Point{X: x, Y: y + d.top} }

// outline is a closed line through points given as x and y by turns.
func (d *pictureBook) outline(xy ...float64) draw.Path {
	points := make([]draw.Point, 0, len(xy)/2)
	for i := 0; i+1 < len(xy); i += 2 {
		points = append(points, d.at(xy[i], xy[i+1]))
	}
	path := draw.Line(points...)
	path.Closed = true
	return path
}

func (d *pictureBook) metal(path draw.Path) {
	d.page.Draw(path, draw.Style{Fill: draw.Grey, Pen: draw.Thick})
}

func (d *pictureBook) wood(degrees float64, path draw.Path) {
	d.page.Draw(path, draw.Style{Fill: draw.White, Pen: draw.Thick})
	d.page.Hatch(draw.Hatching{Degrees: degrees, Gap: 2.4, Pen: draw.Hair}, path)
}

// name writes what a part is called, on white so that no hatching runs through it.
func (d *pictureBook) name(key string, x, y float64) {
	text, err := d.text("shows.part." + key)
	if err != nil && d.err == nil {
		d.err = err
	}
	t := draw.Text{At: d.at(x, y), Size: pictureText, Anchor: draw.Middle, Text: text}
	box := t.Box()
	d.page.Draw(draw.Rect(box.Left-0.5, box.Top-0.3, box.Width()+1, box.Height()+0.6), draw.Style{Fill: draw.White})
	d.page.Write(t)
}

// across is a level dimension from x to x at height y; its extension lines come
// from the height `from`.
func (d *pictureBook) across(fields string, x1, x2, from, y float64) {
	beyond := math.Copysign(pictureBeyond, y-from)
	d.dimension(fields, d.at(x1, y), d.at(x2, y),
		draw.Line(d.at(x1, from), d.at(x1, y+beyond)), draw.Line(d.at(x2, from), d.at(x2, y+beyond)))
}

// upright is a dimension from height to height at x; its extension lines come
// from the place `from`.
func (d *pictureBook) upright(fields string, y1, y2, from, x float64) {
	beyond := math.Copysign(pictureBeyond, x-from)
	d.dimension(fields, d.at(x, y1), d.at(x, y2),
		draw.Line(d.at(from, y1), d.at(x+beyond, y1)), draw.Line(d.at(from, y2), d.at(x+beyond, y2)))
}

func (d *pictureBook) dimension(fields string, a, b draw.Point, extensions ...draw.Path) {
	style := draw.Style{Pen: draw.Thick}
	d.page.Group("data-for", fields)
	for _, line := range append(extensions, draw.Line(a, b)) {
		d.page.Draw(line, style)
	}
	d.arrow(b, a)
	d.arrow(a, b)
	d.page.EndGroup()
}

// arrow is a head at its tip; where the dimension is short it stands outside.
func (d *pictureBook) arrow(from, tip draw.Point) {
	dx, dy := tip.X-from.X, tip.Y-from.Y
	long := math.Hypot(dx, dy)
	x, y := dx/long, dy/long
	if long < 3*pictureArrow {
		x, y = -x, -y
		d.page.Draw(draw.Line(tip, draw.Point{X: tip.X - 2.5*x*pictureArrow, Y: tip.Y - 2.5*y*pictureArrow}), draw.Style{Pen: draw.Thick})
	}
	side := func(s float64) draw.Point {
		return draw.Point{X: tip.X - pictureArrow*x - s*y, Y: tip.Y - pictureArrow*y + s*x}
	}
	d.page.Draw(draw.Line(side(pictureArrow/2), tip, side(-pictureArrow/2)), draw.Style{Pen: draw.Thick})
}

// template is seen from above, the board below it, the bushing in an opening.
func (d *pictureBook) template() {
	const tips, floor, end, back = 42.0, 18.0, 32.0, 4.0
	d.wood(45, d.outline(2, 2, 98, 2, 98, end, 2, end))
	plate := draw.Path{Start: d.at(2, back), Closed: true}
	line := func(x, y float64) { plate.Segs = append(plate.Segs, draw.Seg{To: d.at(x, y)}) }
	line(98, back)
	line(98, tips)
	for _, x := range []float64{82, 52, 22} { // the right side of each opening
		const wide, round = 17.0, 8.5
		line(x, tips)
		line(x, floor+round)
		plate.Segs = append(plate.Segs,
			draw.Seg{To: d.at(x-round, floor), Radius: round}, draw.Seg{To: d.at(x-wide, floor+round), Radius: round})
		line(x-wide, tips)
	}
	line(2, tips)
	d.page.Draw(plate, draw.Style{Fill: draw.Pale, Pen: draw.Thick})
	d.page.Draw(draw.Line(d.at(2, end), d.at(98, end)), draw.Style{Pen: draw.Thin, Dash: []float64{2, 1}})
	const r = 7.0
	ring := draw.Path{Start: d.at(43.5-r, 30), Closed: true}
	for _, to := range [][2]float64{{0, -r}, {r, 0}, {0, r}, {-r, 0}} {
		ring.Segs = append(ring.Segs, draw.Seg{To: d.at(43.5+to[0], 30+to[1]), Radius: r, Clockwise: true})
	}
	d.metal(ring)
	d.name("bushing", 50, 12)
	d.page.Draw(draw.Line(d.at(46, 13.5), d.at(44, 25)), draw.Style{Pen: draw.Thin})
	d.name("template", 17, 12)
	d.name("end", 83, 12)
	d.page.Draw(draw.Line(d.at(88, 13), d.at(90, end)), draw.Style{Pen: draw.Thin})
	d.across("template-pitch", 22, 52, tips, 52)
	d.across("template-opening template-tail_pass-opening template-pin_pass-opening", 35, 52, tips, 50)
	d.across("template-tail_pass-finger template-pin_pass-finger", 52, 65, tips, 50)
	d.upright("template-opening_reach", floor, end, 73.5, 92)
	d.upright("template-finger_reach", end, tips, 65, 60)
}

// tool is router, bushing, template and board, cut through.
func (d *pictureBook) tool() {
	const base, plate, barrel, tip = 12.0, 25.0, 20.0, 45.0
	d.wood(45, d.outline(2, plate, 43, plate, 37, tip, 63, tip, 57, plate, 98, plate, 98, 60, 2, 60))
	d.page.Draw(d.outline(2, base, 36, base, 36, plate, 2, plate), draw.Style{Fill: draw.Pale, Pen: draw.Thick})
	d.page.Draw(d.outline(64, base, 98, base, 98, plate, 64, plate), draw.Style{Fill: draw.Pale, Pen: draw.Thick})
	d.metal(d.outline(2, base-6, 40, base-6, 40, barrel, 37, barrel, 37, base, 2, base))
	d.metal(d.outline(98, base-6, 60, base-6, 60, barrel, 63, barrel, 63, base, 98, base))
	d.page.Draw(d.outline(37, tip, 63, tip, 56.5, 23, 54, 21, 54, 3, 46, 3, 46, 21, 43.5, 23), draw.Style{Fill: draw.White, Pen: draw.Thick})
	d.name("base", 82, 10.5)
	d.name("template", 17, 20)
	d.name("board", 17, 40)
	d.name("cutter", 50, 38)
	d.across("bushing-diameter template-bushing-diameter", 37, 63, barrel, 22.6)
	d.upright("bushing-barrel", base, barrel, 63, 72)
	d.upright("template-thickness", base, plate, 64, 78)
	d.across("cutter-diameter template-cutter-diameter", 37, 63, tip, 52)
	d.upright("depth template-depth measured-depth_pin_board measured-depth_tail_board", plate, tip, 57, 78)
	d.page.Group("data-for", "cutter-angle template-cutter-angle")
	d.page.Draw(draw.Line(d.at(63, tip), d.at(63, 21)), draw.Style{Pen: draw.Thick, Dash: []float64{2, 1}})
	d.page.Draw(draw.Line(d.at(63, tip), d.at(56.5, 23)), draw.Style{Pen: draw.Thick})
	d.page.Draw(draw.Path{Start: d.at(63, 26), Segs: []draw.Seg{{To: d.at(57.4, 26.8), Radius: 19}}}, draw.Style{Pen: draw.Thick})
	d.page.EndGroup()
}

// corner is two boards from their edge: at the left home, at the right pulled.
func (d *pictureBook) corner() {
	const face, inside, floor = 6.0, 24.0, 14.0
	d.wood(45, d.outline(6, face, 96, face, 96, inside, 78, inside, 78, floor, 60, floor, 60, inside, 30, inside, 30, floor, 12, floor, 12, inside, 6, inside))
	d.wood(135, d.outline(12, floor, 30, floor, 30, 56, 12, 56))
	d.wood(135, d.outline(60, floor+5, 78, floor+5, 78, 56, 60, 56))
	d.page.Draw(draw.Line(d.at(56, inside+5), d.at(82, inside+5)), draw.Style{Pen: draw.Thin, Dash: []float64{2, 1}})
	d.name("front_board", 79, 11.5)
	d.name("side", 45, 48)
	d.page.Draw(draw.Line(d.at(34, 47), d.at(28, 44)), draw.Style{Pen: draw.Thin})
	d.page.Draw(draw.Line(d.at(56, 47), d.at(62, 44)), draw.Style{Pen: draw.Thin})
	d.upright("pin_board-thickness", face, inside, 60, 52)
	d.across("tail_board-thickness", 12, 30, 56, 59)
	d.upright("pulled_gap shoulder_gap", inside, inside+5, 78, 88)
	d.upright("went_in", inside, floor+5, 60, 52)
	d.across("seat", 6, 12, inside, 34)
}

// widths are tails and pins, with their sockets.
func (d *pictureBook) widths() {
	const end, shoulder = 12.0, 28.0
	d.wood(135, d.outline(4, shoulder, 18, shoulder, 14, end, 42, end, 38, shoulder, 62, shoulder, 58, end, 86, end, 82, shoulder, 96, shoulder, 96, 42, 4, 42))
	d.name("tail", 28, 22)
	d.name("tail", 72, 22)
	d.name("pin_socket", 50, 20)
	d.across("measured-tail_widest", 14, 42, end, 6)
	d.across("measured-pin_socket_widest", 38, 62, shoulder, 36)
	const floor, face = 62.0, 78.0
	d.wood(45, d.outline(4, 52, 96, 52, 96, face, 86, face, 90, floor, 60, floor, 64, face, 36, face, 40, floor, 10, floor, 14, face, 4, face))
	d.name("pin", 50, 72)
	d.name("tail_socket", 25, 72)
	d.name("tail_socket", 75, 72)
	d.across("measured-pin_widest", 36, 64, face, 85)
	d.across("measured-tail_socket_widest", 10, 40, floor, 56)
}
