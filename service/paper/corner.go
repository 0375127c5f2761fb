package paper

import (
	"strconv"

	"snugtail/joint/layout"
	"snugtail/joint/length"
	shapes "snugtail/joint/shape"
	"snugtail/service/draw"
	"snugtail/service/message"
	"snugtail/service/say"
)

// drawnCorner is one corner of a drawer, apart: the tail board above, its tails
// pointing down, the pin board below with its inside face up. Both have their
// bottom edge at the left.
type drawnCorner struct {
	say.Words
	l    *layout.Layout
	size float64 // of the texts
	page *draw.Page
	// left is where the boards' bottom edges lie, mm on paper; scale mm on paper for
	// one of the boards.
	left, scale float64
}

// Distances of the corner's figure: on paper, and shown of the tail board's body, mm.
const (
	markLength = 2.0
	boardsGap  = 4.0
	bodyShown  = 12.0
	// thicker than the depth is a pin board drawn whose thickness is not stated.
	thicknessUnknown = 1.6
)

// cornerScales are the scales that are taken, the largest that fits.
var cornerScales = []float64{10, 5, 2, 1, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01, 0.005, 0.002, 0.001}

// corner draws the boards with the positions of pins and tails from the bottom edge.
func (d *drawnJoint) corner(p *draw.Page, l *layout.Layout, box draw.Box) (scale string) {
	c := &drawnCorner{Words: d.Words, l: l, size: d.size, page: p}
	setup := l.Joint.Setup()
	thick := setup.PinBoard.Thickness.Or(setup.Depth.PinBoard.Length * thicknessUnknown).MM()
	tails := setup.Depth.TailBoard.MM() + bodyShown
	caption, notes := 2*c.size, 1.5*c.size*float64(len(c.notes()))
	labels := c.labelHeight()
	room := box.Height() - caption - notes - 2*labels - boardsGap
	c.scale = cornerScales[len(cornerScales)-1]
	for _, scale := range cornerScales {
		if scale*l.Width.MM() <= box.Width() && scale*(thick+tails) <= room {
			c.scale = scale
			break
		}
	}
	c.left = (box.Left+box.Right)/2 - c.scale*l.Width.MM()/2
	p.Group("id", p.Name+"-corner", "data-scale", strconv.FormatFloat(c.scale, 'f', -1, 64))
	title := c.Text(say.CornerView("caption")) + ", " + draw.ScaleText(c.scale)
	p.Begin(draw.Picture, title)
	p.Write(draw.Text{At: draw.Point{X: box.Left, Y: box.Top + draw.Ascent*1.15*c.size}, Size: 1.15 * c.size, Font: draw.Bold, Text: title})
	top := box.Top + caption + labels
	c.tailBoard(top)
	below := top + c.scale*tails + boardsGap
	c.pinBoard(below, thick)
	y := below + c.scale*thick + labels + c.size
	for _, note := range c.notes() {
		p.Write(draw.Text{At: draw.Point{X: box.Left, Y: y}, Size: c.size, Text: c.Text(note)})
		y += 1.5 * c.size
	}
	p.End()
	p.EndGroup()
	return draw.ScaleText(c.scale)
}

func (c *drawnCorner) notes() []message.Message { return say.CornerNotes(c.l, c.skips()) }

// at is a point of a board that is x from the bottom edge, on paper y.
func (c *drawnCorner) at(x length.Length, y float64) draw.Point {
	return draw.Point{X: c.left + float64(c.scale*x.MM()), Y: y}
}

// tailBoard draws its body, broken off above, and its tails.
func (c *drawnCorner) tailBoard(top float64) {
	shoulder := top + c.scale*bodyShown
	end := shoulder + c.scale*c.l.Joint.Setup().Depth.TailBoard.MM()
	outline := []draw.Point{c.at(c.l.Width, shoulder), c.at(c.l.Width, top), c.at(0, top), c.at(0, shoulder)}
	for _, t := range c.l.TailBoard.Tails {
		outline = append(outline, c.at(t.Narrowest.From, shoulder), c.at(t.Widest.From, end), c.at(t.Widest.To, end), c.at(t.Narrowest.To, shoulder))
	}
	c.board(outline, looks[shapes.TailBoard])
	c.marks(c.l.TailBoard.Tails, top, -1)
	c.name(c.Text(say.CornerView("tail_board")), top+c.scale*bodyShown/2)
}

// pinBoard draws it from its end: sockets open in its inside face, above.
func (c *drawnCorner) pinBoard(top, thick float64) {
	floor := top + c.scale*c.l.Joint.Setup().Depth.PinBoard.MM()
	face := top + c.scale*thick
	outline := []draw.Point{c.at(c.l.Width, top), c.at(c.l.Width, face), c.at(0, face), c.at(0, top)}
	for _, s := range c.l.PinBoard.TailSockets {
		outline = append(outline, c.at(s.Narrowest.From, top), c.at(s.Widest.From, floor), c.at(s.Widest.To, floor), c.at(s.Narrowest.To, top))
	}
	c.board(outline, looks[shapes.PinBoard])
	c.marks(c.l.PinBoard.Pins, face, 1)
	c.name(c.Text(say.CornerView("pin_board")), (floor+face)/2)
}

func (c *drawnCorner) board(outline []draw.Point, look draw.Look) {
	path := draw.Line(outline...)
	path.Closed = true
	c.page.Hatch(look.Hatch, path)
	c.page.Draw(path, draw.Style{Pen: look.Pen}, "data-part", look.Name)
}

// name writes what a board is, on white, in its middle.
func (c *drawnCorner) name(text string, y float64) {
	t := draw.Text{At: c.at(c.l.Width/2, y+draw.Ascent*c.size/2), Size: c.size, Anchor: draw.Middle, Text: text}
	b := t.Box()
	if b.Width() > 0.9*c.scale*c.l.Width.MM() {
		return
	}
	c.page.Draw(draw.Rect(b.Left-0.5, b.Top-0.3, b.Width()+1, b.Height()+0.6), draw.Style{Fill: draw.White})
	c.page.Write(t)
}

// marks writes where parts begin and end, widest, from the bottom edge: beyond an
// edge of the figure, below it where way is 1, above where it is -1. A number that
// would stand in another is left out, and a note says so.
func (c *drawnCorner) marks(parts []layout.Part, edge, way float64) {
	last := -1e9
	for _, x := range positions(parts) {
		at := c.at(x, edge)
		mark := draw.Line(at, draw.Point{X: at.X, Y: at.Y + way*markLength})
		c.page.Draw(mark, draw.Style{Pen: draw.Thin}, "data-position", strconv.FormatFloat(x.Rounded().MM(), 'f', -1, 64))
		if at.X-last < c.between() {
			continue
		}
		last = at.X
		t := draw.Text{At: draw.Point{X: at.X + draw.Ascent*c.size/2 - 0.2, Y: at.Y + way*(markLength+0.5)}, Size: c.size, Turned: true, Text: c.Bare(x)}
		if way > 0 {
			t.Anchor = draw.End
		}
		c.page.Write(t)
	}
}

// between is how far apart numbers stand at the least, on paper.
func (c *drawnCorner) between() float64 { return (draw.Ascent + draw.Descent) * c.size * 1.05 }

// positions are the ends of parts, in order.
func positions(parts []layout.Part) []length.Length {
	all := make([]length.Length, 0, 2*len(parts))
	for _, p := range parts {
		all = append(all, p.Widest.From, p.Widest.To)
	}
	return all
}

// skips reports whether numbers are left out.
func (c *drawnCorner) skips() bool {
	for _, parts := range [][]layout.Part{c.l.TailBoard.Tails, c.l.PinBoard.Pins} {
		all := positions(parts)
		for i := 1; i < len(all); i++ {
			if c.scale*(all[i]-all[i-1]).MM() < c.between() {
				return true
			}
		}
	}
	return false
}

// labelHeight is how far the longest number reaches beyond its board.
func (c *drawnCorner) labelHeight() float64 {
	widest := draw.TextWidth(c.Bare(c.l.Width), c.size, draw.Regular)
	for _, parts := range [][]layout.Part{c.l.TailBoard.Tails, c.l.PinBoard.Pins} {
		for _, x := range positions(parts) {
			widest = max(widest, draw.TextWidth(c.Bare(x), c.size, draw.Regular))
		}
	}
	return markLength + 1 + widest
}
