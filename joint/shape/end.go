package shape

import (
	"math"

	"snugtail/joint"
	"snugtail/joint/length"
)

// End is the end view of the assembled joint: x along it, 0 at the centre of a
// pin; y up from the sockets' floor, out of the pin board's face into the tail
// board.
type End struct {
	View
	Factor    float64 // how many times as large as it is play is drawn
	Pitch     float64 // from pin to pin
	Schematic bool    // widths are not known: only depths, angle and play are true
}

// Frame is what of the end view is wanted.
type Frame struct {
	From, To float64 // x
	Below    float64 // of the pin board, below the sockets' floor
	Above    float64 // of the tail board, above the shoulder; negative: the view ends below it
	Factor   float64 // how many times as large as it is to draw play; 0 counts as 1
}

// leastShare of a tail or pin socket stays when play is drawn larger. Judgement.
const leastShare = 0.4

// levels are the widths of a joint at any height, and its heights.
type levels struct {
	j          *joint.Joint
	pitch      float64
	tanA       float64
	pinRoot    float64 // half of the pin at the sockets' floor
	socketRoot float64 // half of the tail's socket at the shoulder's height
	hp, ht, h  float64
	play       float64
	schematic  bool
}

// newLevels: where the widths are not known, pin and tail are as strong at
// their root as the joint is deep, which only shows where the flanks are.
func newLevels(j *joint.Joint) levels {
	s := j.Setup()
	l := levels{
		j: j, tanA: s.Cutter.Angle.Tan(), pitch: s.Template.Pitch.MM(),
		hp: s.Depth.PinBoard.MM(), ht: s.Depth.TailBoard.MM(), h: s.Depth.Deeper().MM(),
		play: j.Play().MM(),
	}
	floor, known := j.SectionAt(0)
	shoulder, _ := j.SectionAt(s.Depth.Deeper().Length)
	l.pinRoot, l.socketRoot = floor.Pin.MM(), shoulder.TailSocket.MM()
	if !known {
		l.schematic = true
		l.pinRoot, l.socketRoot = l.h/2, l.h/2
		l.pitch = 2 * (l.pinRoot + l.h*l.tanA + l.socketRoot)
	}
	return l
}

// factor returns the factor nearest to the one asked for at which something is
// left of tails and pin sockets.
func (l *levels) factor(asked float64) float64 {
	if asked == 0 {
		asked = 1
	}
	most := 2 * (1 - leastShare) * l.socketRoot
	if l.play < 0 {
		most = 2 * (1 - leastShare) * l.pinRoot
	}
	if drawn := asked * math.Abs(l.play); drawn > most {
		return asked * most / drawn
	}
	return asked
}

func (l *levels) pin(u float64) float64 { return l.pinRoot + u*l.tanA }

// tail is half of a tail at height u when play is drawn so many times as large.
func (l *levels) tail(u, factor float64) float64 {
	return l.socketRoot + (l.h-u)*l.tanA - factor*l.play/2
}

// EndOf returns the end view of the joint as far as the frame shows it.
func EndOf(j *joint.Joint, f Frame) End {
	l := newLevels(j)
	e := End{Factor: l.factor(f.Factor), Pitch: l.pitch, Schematic: l.schematic}
	e.Bounds = Box{f.From, -f.Below, f.To, l.h + f.Above}
	if lap, known := j.Lap(); known && lap.MM() < f.Below {
		e.Bounds.Bottom = -lap.MM()
	}
	first, last := math.Floor(f.From/l.pitch)-1, math.Ceil(f.To/l.pitch)+1
	e.boards(&l, first, last)
	if l.play < 0 {
		e.overlaps(&l, first, last)
	}
	e.dimensions(&l, f)
	return e
}

// beyond is how far boards reach out of the view before they are cut to it.
const beyond = 1

func (e *End) boards(l *levels, first, last float64) {
	b, p := e.Bounds, l.pitch
	lap, known := l.j.Lap()
	bottom := b.Bottom - beyond
	if known {
		bottom = -lap.MM()
	}
	top := math.Max(b.Top, l.h) + beyond
	front, side := Outline{Start: Point{first * p, bottom}}, Outline{Start: Point{first * p, top}}
	front.line(Point{first * p, 0})
	side.line(Point{first * p, l.h})
	end := l.h - l.ht
	for k := first; k < last; k++ {
		pin, tail := k*p, (k+0.5)*p
		for _, c := range [...]Point{{-l.pin(0), 0}, {-l.pin(l.hp), l.hp}, {l.pin(l.hp), l.hp}, {l.pin(0), 0}} {
			front.line(Point{pin + c.X, c.Y})
		}
		root, widest := l.tail(l.h, e.Factor), l.tail(end, e.Factor)
		for _, c := range [...]Point{{-root, l.h}, {-widest, end}, {widest, end}, {root, l.h}} {
			side.line(Point{tail + c.X, c.Y})
		}
	}
	front.line(Point{last * p, 0})
	front.line(Point{last * p, bottom})
	side.line(Point{last * p, l.h})
	side.line(Point{last * p, top})
	for _, board := range [...]Piece{{PinBoard, front}, {TailBoard, side}} {
		if shown := board.Outline.closed(Solid).within(b); len(shown.Edges) > 0 {
			e.piece(board.Part, shown)
		}
	}
}

// overlaps are what a tail's flanks and its neighbours' have in common.
func (e *End) overlaps(l *levels, first, last float64) {
	low, high := l.shared()
	for k := first; k < last; k++ {
		for _, side := range [...]float64{-1, 1} {
			tail, pin := (k+0.5)*l.pitch, (k+0.5+side/2)*l.pitch
			at := func(u float64) (outer, inner Point) {
				return Point{tail + side*l.tail(u, e.Factor), u}, Point{pin - side*l.pin(u), u}
			}
			lowOuter, lowInner := at(low)
			highOuter, highInner := at(high)
			if o := straight(lowInner, lowOuter, highOuter, highInner).within(e.Bounds); len(o.Edges) > 0 {
				e.piece(Overlap, o)
			}
		}
	}
}

// shared returns the lowest and the highest level of both pins and tails.
func (l *levels) shared() (low, high float64) { return math.Max(0, l.h-l.ht), l.hp }

// dimensions measures the pin and the tail right of it that stand nearest to
// the middle of the view.
func (e *End) dimensions(l *levels, f Frame) {
	middle := (f.From + f.To) / 2
	pin := l.pitch * math.Round(middle/l.pitch-0.01)
	tail := pin + l.pitch/2
	across := func(m Measure, centre, half, u float64, value length.Length) {
		e.dimension(m, Point{centre - half, u}, Point{centre + half, u}, value)
	}
	if w, known := l.j.Widths(); known {
		root := l.tail(l.h, e.Factor)
		across(PinWidest, pin, l.pin(l.hp), l.hp, w.PinWidest)
		across(PinSocketWidest, pin, l.pitch/2-root, l.h, w.PinSocketWidest)
		across(TailRoot, tail, root, l.h, w.TailRoot)
		across(Pitch, tail-l.pin(l.hp), l.pitch/2, l.hp, length.Length(l.pitch)) // from flank to flank
		across(PinRoot, pin, l.pin(0), 0, w.PinRoot)
		across(TailSocketWidest, tail, l.pitch/2-l.pin(0), 0, w.TailSocketWidest)
		across(TailWidest, tail, l.tail(l.h-l.ht, e.Factor), l.h-l.ht, w.TailWidest)
	}
	e.heights(l)
	first := l.pitch * math.Ceil(f.From/l.pitch)
	e.flank(l, first, first+l.pitch/2)
	e.spot(PinBoard, f.From, e.Bounds.Bottom/2)
	if f.Above > 0 {
		e.spot(TailBoard, f.From, l.h+f.Above/2)
	}
}

// heights are measured at the view's sides.
func (e *End) heights(l *levels) {
	left, right := e.Bounds.Left, e.Bounds.Right
	upright := func(m Measure, x, from, to float64) {
		if value := length.Length(to - from); value > 0 && from < e.Bounds.Top {
			e.dimension(m, Point{x, from}, Point{x, math.Min(to, e.Bounds.Top)}, value)
		}
	}
	if l.hp == l.ht {
		upright(Depth, right, 0, l.hp)
	} else {
		upright(DepthPinBoard, right, 0, l.hp)
		upright(DepthTailBoard, left, l.h-l.ht, l.h)
		upright(ShoulderGap, left, l.hp, l.h)
		upright(FloorGap, left, 0, l.h-l.ht)
	}
	if lap, known := l.j.Lap(); known {
		from := math.Max(-lap.MM(), e.Bounds.Bottom)
		e.dimension(Lap, Point{right, from}, Point{right, 0}, lap)
	}
}

// flank measures play and angle between a pin and the tail right of it.
func (e *End) flank(l *levels, pin, tail float64) {
	low, high := l.shared()
	u := (low + high) / 2
	e.dimension(Play, Point{pin + l.pin(u), u}, Point{tail - l.tail(u, e.Factor), u}, l.j.Play())
	s := l.j.Setup()
	u = low + 0.8*(high-low)
	e.angle(Point{tail - l.tail(u, e.Factor), u}, s.Cutter.Angle)
}

// Pitches returns the frame of so many pitches, from the centre of a pin on,
// or of one flank where the widths are not known.
func Pitches(j *joint.Joint, n int) Frame {
	l := newLevels(j)
	f := Frame{To: float64(n) * l.pitch, Above: 0.45 * l.h, Below: math.Max(1.2*l.h, 12)}
	if l.schematic {
		f.To = l.pitch / 2
	}
	return f
}

// OneTail returns the frame of one tail with half a pin on either side.
func OneTail(j *joint.Joint) Frame { return Pitches(j, 1) }

// Window returns the frame of as many pitches, up to the number given, as are
// not wider than the window, or of one flank where none is; and of as much of
// the boards as the window is high, the sockets' floor within it.
func Window(j *joint.Joint, pitches int, width, height float64) Frame {
	l := newLevels(j)
	f := Pitches(j, min(pitches, int(width/l.pitch)))
	switch {
	case l.schematic:
		f.To = math.Min(f.To, width)
	case f.To == 0:
		f.From = math.Max(0, l.pitch/4-width/2)
		f.To = f.From + width
	}
	if lap, known := j.Lap(); known {
		f.Below = lap.MM()
	}
	const share = 0.3 // of the height, that is left below the floor
	if f.Below+l.h+f.Above > height {
		f.Below = math.Min(f.Below, share*height)
		f.Above = math.Min(f.Above, height-f.Below-l.h)
	}
	return f
}

// FactorToSee returns a round factor at which play is about a millimetre, the
// most that is told apart at a glance from what it is.
func FactorToSee(j *joint.Joint) float64 {
	const seen = 1.0
	c := math.Abs(j.Play().MM())
	for _, factor := range [...]float64{50, 20, 10, 5, 2} {
		if factor*c <= seen {
			return factor
		}
	}
	return 1
}
