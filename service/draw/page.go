// Package draw puts drawings on paper: one model of a page, written as SVG or
// as PDF.
//
//	page.go     the page: lines, arcs, areas, hatching and texts, in mm
//	svg.go      the page as SVG
//	pdf.go      the page as PDF
//	pdf_font.go its fonts; subset.go cuts them out of the whole
//	tags.go     what each part of a page is, for those who do not see it
//	metrics.go  the font, and how wide texts are
//	figure.go   a view of package shape to a scale: where everything of it stands
//	rows.go     dimensions above and below a figure
//	labels.go   dimensions beside it
//	pieces.go   the figure itself
//	flow.go     texts that flow
//
// Everything prints in black and white and is a pure function of the page: no
// date, no random id, and figures rounded before they are written, so that all
// processors write the same bytes.
package draw

import "math"

// Point is a point of the page: mm from its upper left corner, x to the right,
// y down.
type Point struct{ X, Y float64 }

// Seg leads to a point: straight, or along an arc of at most a quarter of a
// circle.
type Seg struct {
	To        Point
	Radius    float64 // 0: straight
	Clockwise bool    // as seen on the page
}

// Path is a line of segments.
type Path struct {
	Start  Point
	Segs   []Seg
	Closed bool
}

// Line returns a path through the points.
func Line(points ...Point) Path {
	p := Path{Start: points[0]}
	for _, to := range points[1:] {
		p.Segs = append(p.Segs, Seg{To: to})
	}
	return p
}

// Rect returns the outline of an upright rectangle.
func Rect(x, y, width, height float64) Path {
	p := Line(Point{x, y}, Point{x + width, y}, Point{x + width, y + height}, Point{x, y + height})
	p.Closed = true
	return p
}

// Circle returns the outline of a circle.
func Circle(centre Point, r float64) Path {
	p := Path{Start: Point{centre.X - r, centre.Y}, Closed: true}
	for _, to := range [...]Point{{centre.X, centre.Y - r}, {centre.X + r, centre.Y}, {centre.X, centre.Y + r}, {centre.X - r, centre.Y}} {
		p.Segs = append(p.Segs, Seg{To: to, Radius: r, Clockwise: true})
	}
	return p
}

// Pens, mm.
const (
	Thick = 0.35
	Thin  = 0.18
	Hair  = 0.1
)

// Ink is what an area is filled with, or a line drawn with.
type Ink uint8

// Inks, from light to dark.
const (
	Empty Ink = iota
	White
	Pale
	Grey
	Dark
	Blue // as dark as Dark in black and white
	Black
	inkCount
)

// inks are the inks in SVG, and in PDF as their share of white or of red, green
// and blue.
var inks = [inkCount]struct{ svg, pdf string }{
	White: {"#fff", "1"}, Pale: {"#e2e2e2", "0.886"}, Grey: {"#c4c4c4", "0.769"}, Dark: {"#555", "0.333"},
	Blue: {"#0b3d91", "0.043 0.239 0.569"}, Black: {"#000", "0"},
}

// Style is how a path is drawn.
type Style struct {
	Pen  float64   // width of the line, mm; 0: none
	Ink  Ink       // of the line; Empty: Black
	Dash []float64 // lengths of dashes and gaps, mm
	Fill Ink
}

// ink is what the line is drawn with.
func (s *Style) ink() Ink {
	if s.Ink == Empty {
		return Black
	}
	return s.Ink
}

// Anchor is where a text stands relative to its point.
type Anchor uint8

// Anchors.
const (
	Start Anchor = iota
	Middle
	End
)

// Text is a line of text; At is on its baseline.
type Text struct {
	At     Point
	Size   float64 // mm
	Font   Font
	Anchor Anchor
	Turned bool // a quarter turn to the left about At: it reads from below
	GoesOn bool // in the next line: a space stands between the two
	Text   string
}

// Box returns what the text covers.
func (t Text) Box() Box {
	width := TextWidth(t.Text, t.Size, t.Font)
	before := width * [...]float64{Start: 0, Middle: 0.5, End: 1}[t.Anchor]
	if t.Turned {
		return Box{t.At.X - Ascent*t.Size, t.At.Y + before - width, t.At.X + Descent*t.Size, t.At.Y + before}
	}
	left := t.At.X - before
	return Box{left, t.At.Y - Ascent*t.Size, left + width, t.At.Y + Descent*t.Size}
}

// Box is an upright rectangle of the page.
type Box struct{ Left, Top, Right, Bottom float64 }

// Width and Height of the box.
func (b Box) Width() float64  { return b.Right - b.Left }
func (b Box) Height() float64 { return b.Bottom - b.Top }

// Page is a drawing in the making. Nothing on it may reach out of it.
type Page struct {
	Name          string // begins the ids of its elements
	Width, Height float64
	Fluid         bool // it is shown as large as there is room, not by its mm
	Title, Desc   string
	Lang          string // of its words; "" is English
	items         []item
	cropped       *Box // nil shows all of it
}

// item is a path or a text, or the beginning or end of a group.
type item struct {
	kind  itemKind
	path  Path
	lines []Path // of a hatching
	style Style
	text  Text
	attrs []string // of a group or path: names and values by turns; of a part its role and its words
}

type itemKind uint8

const (
	itemPath itemKind = iota
	itemHatch
	itemText
	itemGroup
	itemGroupEnd
	itemPart
	itemPartEnd
)

// lang is the language of the page's words.
func (p *Page) lang() string {
	if p.Lang == "" {
		return "en"
	}
	return p.Lang
}

// Draw adds a path. Attributes, names and values by turns, say in SVG what it is.
func (p *Page) Draw(path Path, style Style, attrs ...string) {
	p.items = append(p.items, item{kind: itemPath, path: path, style: style, attrs: attrs})
}

// Write adds a text, unless it is empty.
func (p *Page) Write(t Text) {
	if t.Text != "" {
		p.items = append(p.items, item{kind: itemText, text: t})
	}
}

// Group begins a group of items; EndGroup ends it.
func (p *Page) Group(attrs ...string) {
	p.items = append(p.items, item{kind: itemGroup, attrs: attrs})
}

// EndGroup ends the group begun last.
func (p *Page) EndGroup() { p.items = append(p.items, item{kind: itemGroupEnd}) }

// Strokes adds straight lines that are drawn alike as one item.
func (p *Page) Strokes(style Style, lines ...Path) {
	if len(lines) > 0 {
		p.items = append(p.items, item{kind: itemHatch, lines: lines, style: style})
	}
}

// Hatching is parallel lines.
type Hatching struct {
	Degrees float64 // of the lines, clockwise from the right as seen on the page
	Gap     float64 // mm
	Pen     float64
	Ink     Ink
}

// Hatch fills the area within a path, or several of which inner ones are
// holes, with lines.
func (p *Page) Hatch(h Hatching, around ...Path) {
	if lines := h.lines(around); len(lines) > 0 {
		p.items = append(p.items, item{kind: itemHatch, lines: lines, style: Style{Pen: h.Pen, Ink: h.Ink}})
	}
}

// lines cuts the hatching's lines to the area: turned so that they lie level,
// each runs between the places where it crosses the outline.
func (h Hatching) lines(around []Path) []Path {
	sin, cos := math.Sincos(-h.Degrees * math.Pi / 180)
	var rings [][]Point
	low, high := math.Inf(1), math.Inf(-1)
	for _, path := range around {
		ring := path.points()
		for i, q := range ring {
			ring[i] = turn(q, sin, cos)
			low, high = math.Min(low, ring[i].Y), math.Max(high, ring[i].Y)
		}
		rings = append(rings, ring)
	}
	var all []Path
	for n := math.Ceil(low / h.Gap); n*h.Gap < high; n++ {
		y := float64(n * h.Gap)
		xs := crossings(rings, y)
		for i := 0; i+1 < len(xs); i += 2 {
			if xs[i+1]-xs[i] > Hair {
				all = append(all, Line(turn(Point{xs[i], y}, -sin, cos), turn(Point{xs[i+1], y}, -sin, cos)))
			}
		}
	}
	return all
}

// turn turns a point about the page's corner, by the angle whose sine and
// cosine are given; the conversions keep processors from joining a product and
// a sum, so that all draw the same.
func turn(p Point, sin, cos float64) Point {
	return Point{float64(p.X*cos) + float64(p.Y*-sin), float64(p.X*sin) + float64(p.Y*cos)}
}

// crossings are where a level line crosses the rings, left to right.
func crossings(rings [][]Point, y float64) []float64 {
	var xs []float64
	for _, ring := range rings {
		for i, a := range ring {
			b := ring[(i+1)%len(ring)]
			if (a.Y <= y) != (b.Y <= y) {
				xs = append(xs, a.X+float64((b.X-a.X)*(y-a.Y)/(b.Y-a.Y)))
			}
		}
	}
	for i := 1; i < len(xs); i++ {
		for k := i; k > 0 && xs[k] < xs[k-1]; k-- {
			xs[k], xs[k-1] = xs[k-1], xs[k]
		}
	}
	return xs
}

// arcSteps is how many straight pieces stand for an arc where only its area
// counts.
const arcSteps = 12

// points flattens a path.
func (p Path) points() []Point {
	all, at := []Point{p.Start}, p.Start
	for _, s := range p.Segs {
		if s.Radius > 0 {
			a := arcOf(at, s)
			for i := 1; i < arcSteps; i++ {
				all = append(all, a.at(float64(i)/arcSteps))
			}
		}
		all = append(all, s.To)
		at = s.To
	}
	return all
}

// arc is a segment as its centre, radius and angles.
type arc struct {
	centre       Point
	radius       float64
	from, turned float64
}

// arcOf finds the centre of an arc of at most half a circle.
func arcOf(from Point, s Seg) arc {
	dx, dy := s.To.X-from.X, s.To.Y-from.Y
	half := math.Hypot(dx, dy) / 2
	off := math.Sqrt(math.Max(0, float64(s.Radius*s.Radius)-float64(half*half))) / (2 * half)
	if !s.Clockwise { // y points down: clockwise, the centre is to the right
		off = -off
	}
	a := arc{radius: s.Radius, centre: Point{
		(from.X+s.To.X)/2 - float64(dy*off),
		(from.Y+s.To.Y)/2 + float64(dx*off),
	}}
	a.from = math.Atan2(from.Y-a.centre.Y, from.X-a.centre.X)
	a.turned = math.Atan2(s.To.Y-a.centre.Y, s.To.X-a.centre.X) - a.from
	switch {
	case s.Clockwise && a.turned < 0:
		a.turned += 2 * math.Pi
	case !s.Clockwise && a.turned > 0:
		a.turned -= 2 * math.Pi
	}
	return a
}

// at is a point of the arc, 0 its beginning and 1 its end.
func (a arc) at(share float64) Point {
	sin, cos := math.Sincos(a.from + float64(share*a.turned))
	return Point{a.centre.X + float64(a.radius*cos), a.centre.Y + float64(a.radius*sin)}
}
