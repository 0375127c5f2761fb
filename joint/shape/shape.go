// Package shape is the joint as something to draw: outlines of straight lines
// and arcs, and the dimensions between their points, in millimetres of wood
// and steel. It knows no paper, scale or word; whatever is drawn, drawn shapes
// and dimensions agree with package joint.
//
// The three views:
//
//	end.go     the assembled joint seen from the end: pins, tails and play
//	plan.go    the assembled joint cut level at the pin board's face: round
//	           noses and sockets, and the seat
//	cutter.go  the cutter in bushing and template, at its depth in the wood
//
// Boards go on beyond a view. Where a view breaks them off, the edge is Broken.
package shape

import (
	"math"

	"snugtail/joint"
	"snugtail/joint/length"
)

// Point is a point of a view, mm. Each view says where its axes are.
type Point struct{ X, Y float64 }

// Ending is what an edge of an outline is the end of.
type Ending uint8

// Endings.
const (
	Solid  Ending = iota // the part ends there
	Broken               // the view ends there, the part goes on
	Seam                 // the outline ends there, its neighbour goes on
)

// Edge leads from where the last edge ended to To: straight, or along an arc
// of Radius of at most a quarter of a circle.
type Edge struct {
	To     Point
	Radius float64 // 0: straight
	Left   bool    // the arc bends to the left of its way, y pointing up
	Ending Ending
}

// Outline is a line of edges.
type Outline struct {
	Start Point
	Edges []Edge
	Open  bool // it is no area, only a line
}

// Part is what an outline is the outline of.
type Part uint8

// Parts. Pieces of one part may be several.
const (
	PinBoard    Part = iota
	TailBoard        // in a plan: one tail of it
	Overlap          // wood that both boards claim: interference
	Wood             // the board below the cutter, its slot cut out
	Cutter           // the flank
	Shank            // neck or shank above the flank
	Template         // what the bushing runs along
	Bushing          // a wall of the barrel
	BushingSide      // the barrel's outside, where its wall is not known
	RouterBase       // the plane that the router slides on
	CutterAxis
	BushingAxis // where it is not the cutter's
	PartCount
)

// Piece is one outline of a part.
type Piece struct {
	Part    Part
	Outline Outline
}

// Measure is what a dimension measures.
type Measure uint8

// Measures: widths of section 3 of the model, then the rest.
const (
	PinWidest Measure = iota
	PinRoot
	TailWidest
	TailRoot
	PinSocketWidest
	TailSocketWidest
	Pitch
	Depth         // of cut, both boards alike
	DepthPinBoard // where the two differ
	DepthTailBoard
	Lap
	Play
	ShoulderGap
	FloorGap
	SeatOffset
	FirstTouch
	NoseRadius
	SocketRadius
	PinEndRadius
	TailThickness
	CutterDiameter
	BushingDiameter
	BushingBore
	FlareClearance
	BelowBase
	BelowBushing
	CutterAngle // Dimension.Degrees
	MeasureCount
)

// Dimension is a figure of joint and the two points of the view that it lies
// between; of a radius, from the arc's centre to the arc; of an angle, one
// point of the flank, twice.
type Dimension struct {
	Measure  Measure
	From, To Point
	Value    length.Length
	Degrees  float64 // of CutterAngle
	// NotToScale: what lies between the points is more or less than Value, since
	// play is drawn larger, or a board broken off.
	NotToScale bool
}

// Box is an upright rectangle.
type Box struct{ Left, Bottom, Right, Top float64 }

// Width and Height of the box.
func (b Box) Width() float64  { return b.Right - b.Left }
func (b Box) Height() float64 { return b.Top - b.Bottom }

// Spot is a point of a part, to which its name can point.
type Spot struct {
	Part Part
	At   Point
}

// View is a drawing to be made.
type View struct {
	Pieces     []Piece
	Dimensions []Dimension
	Spots      []Spot
	Bounds     Box
}

func (v *View) spot(part Part, x, y float64) { v.Spots = append(v.Spots, Spot{part, Point{x, y}}) }

func (v *View) piece(part Part, outline Outline) {
	v.Pieces = append(v.Pieces, Piece{part, outline})
}

func (v *View) dimension(m Measure, from, to Point, value length.Length) {
	drawn := math.Hypot(to.X-from.X, to.Y-from.Y)
	v.Dimensions = append(v.Dimensions, Dimension{
		Measure: m, From: from, To: to, Value: value,
		NotToScale: math.Abs(drawn-math.Abs(value.MM())) > length.Resolution,
	})
}

// angle says at a point of the cutter's flank, or of one that it cut, how
// steep that is.
func (v *View) angle(at Point, a joint.Angle) {
	v.Dimensions = append(v.Dimensions, Dimension{Measure: CutterAngle, From: at, To: at, Degrees: float64(a)})
}

// straight returns a closed outline through the points.
func straight(points ...Point) Outline {
	o := Outline{Start: points[0]}
	for _, p := range points[1:] {
		o.line(p)
	}
	return o.closed(Solid)
}

func box(left, bottom, right, top float64) Outline {
	return straight(Point{left, bottom}, Point{right, bottom}, Point{right, top}, Point{left, top})
}

func open(points ...Point) Outline {
	o := straight(points...)
	o.Edges = o.Edges[:len(o.Edges)-1]
	o.Open = true
	return o
}

func (o *Outline) end() Point {
	if len(o.Edges) == 0 {
		return o.Start
	}
	return o.Edges[len(o.Edges)-1].To
}

// line adds a straight edge, unless it leads nowhere.
func (o *Outline) line(to Point) { o.ending(to, Solid) }

func (o *Outline) ending(to Point, e Ending) {
	if to != o.end() {
		o.Edges = append(o.Edges, Edge{To: to, Ending: e})
	}
}

// arc adds an arc, unless it leads nowhere.
func (o *Outline) arc(to Point, radius float64, left bool) {
	if to != o.end() {
		o.Edges = append(o.Edges, Edge{To: to, Radius: radius, Left: left})
	}
}

// closed leads the outline back to its start.
func (o Outline) closed(e Ending) Outline {
	o.ending(o.Start, e)
	return o
}

// within returns an outline of straight edges as far as it lies in the box;
// what the box cuts off leaves Broken edges. It has no edges where nothing
// lies within. (Sutherland and Hodgman's way, one side after the other.)
func (o Outline) within(b Box) Outline {
	sides := [...]func(Point) float64{
		func(p Point) float64 { return p.X - b.Left },
		func(p Point) float64 { return b.Right - p.X },
		func(p Point) float64 { return p.Y - b.Bottom },
		func(p Point) float64 { return b.Top - p.Y },
	}
	for _, inside := range sides {
		o = o.clipped(inside)
	}
	return o
}

// clipped keeps where inside is not below 0: the way from where the outline
// leaves to where it comes back is Broken.
func (o Outline) clipped(inside func(Point) float64) Outline {
	var out Outline
	begun := false
	add := func(to Point, e Ending) {
		if !begun {
			out.Start, begun = to, true
			return
		}
		out.ending(to, e)
	}
	last := o.Start
	if inside(last) >= 0 {
		add(last, Solid)
	}
	for _, edge := range o.Edges {
		from, to := inside(last), inside(edge.To)
		if (from < 0) != (to < 0) {
			add(between(last, edge.To, from/(from-to)), broken(from < 0, edge.Ending))
		}
		if to >= 0 {
			add(edge.To, edge.Ending)
		}
		last = edge.To
	}
	return out.closed(Broken) // it is, unless it began within
}

func broken(is bool, e Ending) Ending {
	if is {
		return Broken
	}
	return e
}

func between(a, b Point, share float64) Point {
	return Point{a.X + (b.X-a.X)*share, a.Y + (b.Y-a.Y)*share}
}
