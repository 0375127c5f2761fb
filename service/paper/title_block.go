package paper

import (
	"math"

	"snugtail/service/draw"
	"snugtail/service/say"
)

// The title block of a drawing, along the foot of its page: what is drawn, its
// scale and unit, how its views are projected, and lines for date and name.

const (
	blockHeight = 13.0
	blockName   = 1.9 // of what a cell is, mm
	blockLarge  = 3.0 // of what stands in it, at the most and at the least
	blockSmall  = 1.6
)

// blockCell is a cell: its share of the width, the code of its name and what stands
// in it.
type blockCell struct {
	share      float64
	name, text string
	symbol     bool
}

// titleBlock draws it; scale is that of the views in projection.
func (d *drawnJoint) titleBlock(p *draw.Page, area draw.Box, scale string) {
	setup := d.p.Joint.Setup()
	cells := []blockCell{
		{share: 0.34, name: "title", text: p.Title},
		{share: 0.22, name: "tools", text: d.Text(say.DrawnTools(&setup))},
		{share: 0.08, name: "scale", text: scale},
		{share: 0.07, name: "sizes", text: d.Text(d.DrawnUnit())},
		{share: 0.09, name: "projection", symbol: true},
		{share: 0.09, name: "date"},
		{share: 0.11, name: "who"},
	}
	p.Begin(draw.Table, "")
	p.Begin(draw.TableRow, "")
	left := area.Left
	for _, c := range cells {
		box := draw.Box{Left: left, Top: area.Bottom - blockHeight, Right: left + c.share*area.Width(), Bottom: area.Bottom}
		p.Draw(draw.Rect(box.Left, box.Top, box.Width(), box.Height()), draw.Style{Pen: draw.Thin})
		p.Begin(draw.Cell, "")
		d.cell(p, c, box)
		p.End()
		left = box.Right
	}
	p.End()
	p.End()
}

// cell writes a cell's name and text, as large as there is room.
func (d *drawnJoint) cell(p *draw.Page, c blockCell, box draw.Box) {
	f := draw.Flow{Page: p, X: box.Left + 1, Y: box.Top + 0.6, Width: box.Width() - 2, Size: blockName}
	name := d.drawn("block", c.name)
	f.Size = math.Min(f.Size, f.Size*f.Width/draw.TextWidth(name, f.Size, draw.Regular))
	f.Text(name, draw.Regular)
	if c.symbol {
		d.symbol(p, draw.Box{Left: box.Left, Top: f.Y, Right: box.Right, Bottom: box.Bottom})
		return
	}
	for f.Size = blockLarge; f.Size > blockSmall; f.Size -= 0.1 {
		if trial := (draw.Flow{Y: f.Y, Width: f.Width, Size: f.Size}); trial.Fits(c.text, box.Bottom-0.5) {
			break
		}
	}
	f.Text(c.text, draw.Regular)
}

// symbol draws the frustum by which a drawing says how its views are projected
// (ISO 5456-2): a small end to the left, and beside it its view from there, on the
// far side in first angle, on the near side in third.
func (d *drawnJoint) symbol(p *draw.Page, box draw.Box) {
	const small, large, long, apart = 1.6, 3.2, 6.0, 2.6
	y, whole := (box.Top+box.Bottom)/2, long+apart+2*large
	frustum := (box.Left+box.Right)/2 - whole/2
	circles := frustum + long + apart + large
	if d.thirdAngle {
		circles, frustum = frustum+large, frustum+2*large+apart
	}
	at := func(x, up float64) draw.Point { return draw.Point{X: frustum + x, Y: y - up} }
	outline := draw.Line(at(0, small), at(long, large), at(long, -large), at(0, -small))
	outline.Closed = true
	p.Draw(outline, draw.Style{Pen: draw.Thin}, "data-projection", map[bool]string{true: "third_angle", false: "first_angle"}[d.thirdAngle])
	for _, r := range []float64{small, large} {
		p.Draw(draw.Circle(draw.Point{X: circles, Y: y}, r), draw.Style{Pen: draw.Thin})
	}
	axis := draw.Style{Pen: draw.Hair, Dash: []float64{2, 0.6, 0.4, 0.6}}
	p.Draw(draw.Line(at(-1, 0), at(long+1, 0)), axis)
	p.Draw(draw.Line(draw.Point{X: circles - large - 1, Y: y}, draw.Point{X: circles + large + 1, Y: y}), axis)
	p.Draw(draw.Line(draw.Point{X: circles, Y: y - large - 0.8}, draw.Point{X: circles, Y: y + large + 0.8}), axis)
}
