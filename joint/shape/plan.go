package shape

import (
	"math"

	"snugtail/joint"
	"snugtail/joint/length"
)

// Plan is the assembled joint cut level at the pin board's face and seen from
// the tail board's side: x along the joint, 0 at the centre of a pin; y from
// the pin board's end into it. Of a nose that the tail board's face cuts off,
// this is the level that touches first; round ends of pins may touch at the
// sockets' floor instead, by a hair before they do here.
type Plan struct {
	View
	Pitch  float64
	Factor float64 // as End's: below 1 where play as it is would leave nothing of the tails
	Known  bool    // false: the template says nothing of widths, and there is nothing to draw
	// Round: noses and ends of sockets are known; otherwise flanks are straight
	// and Broken off.
	Round bool
	// Rest says where the tail board is drawn.
	Rest Rest
}

// Rest is where the tail board of a plan stands.
type Rest uint8

// Where it stands.
const (
	FlushForWant Rest = iota // flush, since nothing says where it comes to rest
	Seated                   // slid home
	FirstTouched             // where rigid boards with interference first touch
	Pressed                  // pressed home with interference within a hand fit
)

// planPitches is how many pitches a plan shows.
const planPitches = 2

// plan is a Plan in the making.
type plan struct {
	Plan
	j     *joint.Joint
	at    joint.Section
	ends  joint.RoundEnds
	tail  float64 // half the tail, as drawn
	sock  float64 // half the pin's socket, as drawn
	q     float64 // where the tail board's outside face stands
	thick float64 // the tail board, or 0
	back  float64 // where the view ends in the pin board
}

// PlanOf returns the plan of the joint.
func PlanOf(j *joint.Joint) Plan {
	s := j.Setup()
	at, known := j.SectionAt(s.Depth.PinBoard.Length)
	if !known {
		return Plan{}
	}
	l := newLevels(j)
	p := plan{j: j, at: at}
	p.Known, p.Pitch, p.Factor = true, l.pitch, l.factor(1)
	p.tail = at.TailSocket.MM() - p.Factor*l.play/2
	p.sock = l.pitch/2 - p.tail
	p.thick = s.TailBoard.Thickness.MM()
	p.setEnds()
	p.rest()
	p.bounds()
	p.pinBoard()
	for k := range planPitches {
		p.piece(TailBoard, p.oneTail((float64(k)+0.5)*p.Pitch))
	}
	for k := range planPitches {
		p.overlap((float64(k) + 0.5) * p.Pitch)
	}
	p.dimensions()
	return p.Plan
}

// setEnds looks whether round ends can be drawn: reaches known, and such that
// flanks are straight between the round of pin or pin socket and that of nose
// or socket, as every template's fingers are.
func (p *plan) setEnds() {
	ends, known := p.j.RoundEnds()
	if !known {
		return
	}
	p.ends = ends
	pin, socket := math.Max(0, p.pinStart()), math.Max(0, p.pinSocketStart())
	if p.Round = ends.SocketEnd.MM() >= pin && ends.Nose.MM() >= socket; !p.Round {
		p.ends = joint.RoundEnds{}
	}
}

func (p *plan) pinStart() float64 {
	if !p.ends.PinKnown {
		return 0
	}
	return p.ends.Pin.MM()
}

func (p *plan) pinSocketStart() float64 {
	if !p.ends.PinSocketKnown {
		return 0
	}
	return p.ends.PinSocket.MM()
}

func (p *plan) rest() {
	if !p.Round {
		return
	}
	if seat := p.j.Seat(); seat.Known {
		p.q, p.Rest = seat.Offset.MM(), Seated
	} else if offset, pressed := p.j.SeatPressed(); pressed {
		p.q, p.Rest = offset.MM(), Pressed
	} else if proud, touches := p.j.FirstTouchProud(); touches {
		p.q, p.Rest = -proud.MM(), FirstTouched
	}
}

// bounds: the view shows all of the tails, and a little of the pin board
// behind them.
func (p *plan) bounds() {
	deepest := p.thick
	if p.Round {
		deepest = p.ends.SocketEnd.MM() + p.at.TailSocket.MM()
	}
	if deepest == 0 {
		deepest = p.Pitch / 2
	}
	margin := p.Pitch / 6
	p.back = deepest + margin
	if !p.Round {
		p.back = deepest
	}
	front := math.Min(0, p.q)
	p.Bounds = Box{0, front, planPitches * p.Pitch, math.Max(p.back, p.tailEnd()+p.q)}
}

// tailEnd is how far a tail reaches from the tail board's outside face.
func (p *plan) tailEnd() float64 {
	if !p.Round {
		return p.back
	}
	end := p.ends.Nose.MM() + p.tail
	if p.thick > 0 {
		end = math.Min(end, p.thick)
	}
	return end
}

// pinBoard is the outline from the view's left side to its right: half a pin,
// the sockets with whole pins between them, half a pin.
func (p *plan) pinBoard() {
	right, half := p.Bounds.Right, p.at.Pin.MM()
	o := Outline{Start: Point{0, p.back}}
	o.ending(Point{0, p.pinFront()}, Broken)
	for k := range planPitches + 1 {
		centre := float64(k) * p.Pitch
		if k > 0 {
			p.pinLeft(&o, centre)
		}
		if k < planPitches {
			p.pinRight(&o, centre)
			p.socketEnd(&o, centre+half, centre+p.Pitch-half)
		}
	}
	o.ending(Point{right, p.back}, Broken)
	p.piece(PinBoard, o.closed(Broken))
}

// pinFront is where a pin ends at its middle.
func (p *plan) pinFront() float64 { return math.Max(0, p.pinStart()-p.at.Pin.MM()) }

// pinLeft leads down a pin's left flank and round its end to its middle.
func (p *plan) pinLeft(o *Outline, centre float64) {
	half, start := p.at.Pin.MM(), math.Max(0, p.pinStart())
	o.line(Point{centre - half, start})
	if start > 0 {
		o.arc(Point{centre - chord(half, start), p.pinFront()}, half, true)
	}
	o.line(Point{centre, p.pinFront()})
}

// pinRight leads from a pin's middle round its end to its right flank.
func (p *plan) pinRight(o *Outline, centre float64) {
	half, start := p.at.Pin.MM(), math.Max(0, p.pinStart())
	if start == 0 {
		o.line(Point{centre + half, 0})
		return
	}
	o.line(Point{centre + chord(half, start), p.pinFront()})
	o.arc(Point{centre + half, start}, half, true)
}

// socketEnd leads from one pin's flank round the end of the socket to the next.
func (p *plan) socketEnd(o *Outline, from, to float64) {
	if !p.Round {
		o.line(Point{from, p.back})
		o.ending(Point{to, p.back}, Seam)
		return
	}
	y, r := p.ends.SocketEnd.MM(), p.at.TailSocket.MM()
	o.line(Point{from, y})
	o.arc(Point{(from + to) / 2, y + r}, r, false)
	o.arc(Point{to, y}, r, false)
}

// oneTail is the outline of a tail round its centre: along the tail board's
// outside face, then up its right flank, over the nose and down.
func (p *plan) oneTail(centre float64) Outline {
	half, end := p.tailFace()
	o := Outline{Start: Point{centre - half, p.q}}
	o.line(Point{centre + half, p.q})
	start := math.Max(0, p.pinSocketStart())
	if start > 0 {
		o.ending(Point{centre + half, end + p.q}, Seam)
		o.arc(Point{centre + p.tail, start + p.q}, p.sock, false)
	}
	if p.Round {
		p.nose(&o, centre)
	} else {
		o.line(Point{centre + p.tail, p.back})
		o.ending(Point{centre - p.tail, p.back}, Seam)
	}
	if start > 0 {
		o.line(Point{centre - p.tail, start + p.q})
		o.arc(Point{centre - half, end + p.q}, p.sock, false)
		return o.closed(Seam)
	}
	return o.closed(Solid)
}

// tailFace returns half of what a tail takes of the outside face, and how far
// from that face the pin sockets end at their middle: a tail is wider there
// where they end round within the board, and reaches its neighbour where they
// end before the face.
func (p *plan) tailFace() (half, end float64) {
	start := math.Max(0, p.pinSocketStart())
	if start == 0 {
		return p.tail, 0
	}
	return p.Pitch/2 - chord(p.sock, start), math.Max(0, start-p.sock)
}

// nose leads over the tail's round nose, or over the flat that the tail
// board's inside face leaves of it.
func (p *plan) nose(o *Outline, centre float64) {
	y, r := p.ends.Nose.MM(), p.tail
	if p.thick > 0 && y >= p.thick {
		o.line(Point{centre + r, p.thick + p.q})
		o.line(Point{centre - r, p.thick + p.q})
		return
	}
	o.line(Point{centre + r, y + p.q})
	if p.thick > 0 && y+r > p.thick {
		flat := chord(r, p.thick-y)
		o.arc(Point{centre + flat, p.thick + p.q}, r, true)
		o.line(Point{centre - flat, p.thick + p.q})
	} else {
		o.arc(Point{centre, y + r + p.q}, r, true)
	}
	o.arc(Point{centre - r, y + p.q}, r, true)
}

// overlap marks what a tail that is pressed home claims of the pins: a strip at
// either flank and, where its nose is whole, round the end of the socket.
func (p *plan) overlap(centre float64) {
	nose, end := p.ends.Nose.MM()+p.q, p.ends.SocketEnd.MM()
	sock, foot := p.at.TailSocket.MM(), math.Max(math.Max(0, p.q), math.Max(p.pinStart(), p.pinSocketStart()+p.q))
	if p.Rest != Pressed || p.tail <= sock || math.Min(nose, end) <= foot {
		return
	}
	if p.thick > 0 && p.ends.Nose.MM()+p.tail > p.thick {
		for _, side := range []float64{-1, 1} {
			o := Outline{Start: Point{centre + side*sock, foot}}
			o.line(Point{centre + side*p.tail, foot})
			o.line(Point{centre + side*p.tail, math.Min(nose, end)})
			o.line(Point{centre + side*sock, math.Min(nose, end)})
			p.piece(Overlap, o.closed(Solid))
		}
		return
	}
	o := Outline{Start: Point{centre + p.tail, foot}}
	o.line(Point{centre + p.tail, nose})
	o.arc(Point{centre, nose + p.tail}, p.tail, true)
	o.arc(Point{centre - p.tail, nose}, p.tail, true)
	o.line(Point{centre - p.tail, foot})
	o.line(Point{centre - sock, foot})
	o.line(Point{centre - sock, end})
	o.arc(Point{centre, end + sock}, sock, false)
	o.arc(Point{centre + sock, end}, sock, false)
	o.line(Point{centre + sock, foot})
	p.piece(Overlap, o.closed(Solid))
}

// chord is half the chord of a circle at a distance from its centre.
func chord(radius, distance float64) float64 {
	return math.Sqrt(math.Max(0, radius*radius-distance*distance))
}

func (p *plan) dimensions() {
	p.spot(PinBoard, p.Bounds.Right, (math.Max(0, p.pinStart())+p.back)/2)
	p.spot(TailBoard, (planPitches-0.5)*p.Pitch, p.q+p.tailEnd()/2)
	tail := (planPitches - 0.5) * p.Pitch
	if p.thick > 0 {
		x := p.Bounds.Left
		p.dimension(TailThickness, Point{x, p.q}, Point{x, math.Min(p.q+p.thick, p.Bounds.Top)}, length.Length(p.thick))
	}
	if !p.Round {
		return
	}
	diagonal := func(m Measure, x, y, radius, side float64) {
		across := side * radius * math.Sqrt2 / 2
		p.dimension(m, Point{x, y}, Point{x + across, y + radius*math.Sqrt2/2}, length.Length(radius))
	}
	if p.thick == 0 || p.ends.Nose.MM()+p.tail*math.Sqrt2/2 < p.thick {
		diagonal(NoseRadius, tail, p.ends.Nose.MM()+p.q, p.tail, 1)
	}
	diagonal(SocketRadius, tail, p.ends.SocketEnd.MM(), p.at.TailSocket.MM(), 1)
	if start := p.pinStart(); start > 0 {
		x, y := p.at.Pin.MM()*math.Sqrt2/2, start-p.at.Pin.MM()*math.Sqrt2/2
		if y > 0 {
			p.dimension(PinEndRadius, Point{p.Pitch, start}, Point{p.Pitch + x, y}, p.at.Pin)
		}
	}
	x := p.Pitch/2 - p.tail // so that no line to it hangs in the open socket
	face := Point{x, p.q}
	switch p.Rest {
	case Seated, Pressed:
		p.dimension(SeatOffset, Point{x, 0}, face, length.Length(p.q))
		if flank := (p.ends.Nose.MM() + p.q) / 2; p.Rest == Pressed {
			p.dimension(Play, Point{tail + p.tail, flank}, Point{tail + p.tail, flank}, p.j.Play())
		}
	case FirstTouched:
		p.dimension(FirstTouch, Point{x, 0}, face, length.Length(-p.q))
	}
}
