package joint

import (
	"math"

	"snugtail/joint/length"
)

// SeatContact is where a tail board that is slid home touches first.
type SeatContact uint8

// Places of first touch.
const (
	ContactUnknown  SeatContact = iota
	ContactNose                 // the tail's round nose in the end of its socket
	ContactPinEnd               // the pin's rounded end in the rounded end of its socket
	ContactBoardEnd             // the tail on the pin board's end: it has not entered
)

// Seat is where the tail board comes to rest.
type Seat struct {
	// Offset is how far its outside face ends inside (+) or proud of (-) the
	// pin board's end.
	Offset  length.Length
	Contact SeatContact
	Known   bool
}

// Seat returns the seat (joint/model.md, section 5). It is unknown without the reaches of the
// template and, since the boards then jam, with play not above 0.
func (j *Joint) Seat() Seat {
	c := j.Play().MM()
	if c <= 0 || !j.reachesKnown() {
		return Seat{}
	}
	q, contact := j.seatAt(c)
	return Seat{length.Length(q), contact, true}
}

// SeatPressed returns where the tail board ends that is pressed home with a play of
// 0 or less, within a hand fit: the wood at the flanks gives way, and nose and
// socket meet as without play. It is false of any other play, and without the
// reaches of the template.
func (j *Joint) SeatPressed() (offset length.Length, pressed bool) {
	c := j.Play().Rounded().MM()
	if c > 0 || c <= TightBelow || !j.reachesKnown() {
		return 0, false
	}
	q, _ := j.seatAt(0)
	return length.Length(q), true
}

// seatAt returns the seat with play c, 0 or above, and what touches there: the
// least of what nose and pin ends allow, but no further out than where the tail
// stands on the pin board's end, q = -min(t_t, f0_t + g/2 - r(h_t)).
func (j *Joint) seatAt(c float64) (q float64, contact SeatContact) {
	q, contact = j.seatAtNose(c), ContactNose
	if end, touches := j.seatAtPinEnds(c); touches && end < q {
		q, contact = end, ContactPinEnd
	}
	if out := -math.Min(j.tailThickness(), j.noseReach(j.ht)); q < out {
		q, contact = out, ContactBoardEnd
	}
	return q, contact
}

// reachesKnown reports whether the seat follows from the template: it needs
// the deepest point of the pin pass's opening and the tail pass's finger tip.
func (j *Joint) reachesKnown() bool {
	t := &j.setup.Template
	return t.KnownByOpenings() && t.Pin.OpeningReach.Given && t.Tail.FingerReach.Given
}

// offsetY is the part of the axes' offset that shifts both boards' cuts: a
// router that is turned sweeps it all round instead.
func (j *Joint) offsetY() float64 {
	if j.setup.Router.TurnedInUse {
		return 0
	}
	return j.setup.Bushing.OffsetY.MM()
}

// noseCentre is y_n = f0 - F_t/2 - ey, the centre of the tail's nose.
func (j *Joint) noseCentre() float64 {
	return j.setup.Template.Tail.FingerReach.MM() - j.ft/2 - j.offsetY()
}

// socketEndCentre is y_s = s0 - S_p/2 + ey, the centre of the socket's end.
func (j *Joint) socketEndCentre() float64 {
	return j.setup.Template.Pin.OpeningReach.MM() - j.sp/2 + j.offsetY()
}

// pinEndCentre is A = F_p/2 - f0 + ey, where a pin's straight flank begins.
func (j *Joint) pinEndCentre() float64 {
	return j.fp/2 - (j.setup.Template.Pin.FingerReach.MM() - j.offsetY())
}

// pinSocketEndCentre is B = S_t/2 - s0 - ey, where that of its socket begins.
func (j *Joint) pinSocketEndCentre() float64 {
	return j.st/2 - (j.setup.Template.Tail.OpeningReach.MM() + j.offsetY())
}

// noseRadius is R_n = F_t/2 + g/2 - r(u), the tail's nose at height u.
func (j *Joint) noseRadius(u float64) float64 { return (j.ft+j.g)/2 - j.radius(u) }

// seatAtNose returns q = q0 + c/2, or the thin tail board's formula where the
// board's face cuts the nose off at the lowest level that both boards share.
func (j *Joint) seatAtNose(c float64) float64 {
	yn, ys := j.noseCentre(), j.socketEndCentre()
	r := j.noseRadius(j.lowestShared())
	if t := j.setup.TailBoard.Thickness; t.Given && yn+r > t.MM() {
		flat := math.Max(0, t.MM()-yn)
		return ys + math.Sqrt(math.Max(0, (r+c/2)*(r+c/2)-r*r+flat*flat)) - t.MM()
	}
	return ys - yn + c/2
}

// seatAtPinEnds returns the largest q that the rounded ends of pins and pin
// sockets allow. It applies where the tail pass's opening ends inside the tail
// board's thickness, s0_t < S_t/2.
func (j *Joint) seatAtPinEnds(c float64) (q float64, touches bool) {
	tail, pin := &j.setup.Template.Tail, &j.setup.Template.Pin
	if !tail.OpeningReach.Given || !pin.FingerReach.Given {
		return 0, false
	}
	a, b := j.pinEndCentre(), j.pinSocketEndCentre()
	if b <= 0 {
		return 0, false
	}
	q = math.Inf(1)
	for _, u := range j.sharedLevels() {
		q = math.Min(q, j.pinEndAt(u, a, b, c))
	}
	return q, !math.IsInf(q, 1)
}

// sharedLevels returns the lowest and highest level that pins and their
// sockets share, as heights above the pin's root.
func (j *Joint) sharedLevels() [2]float64 {
	return [2]float64{math.Max(0, j.hp-j.ht), j.hp}
}

// pinEndAt returns the largest q at one level, +Inf where the ends miss.
func (j *Joint) pinEndAt(u, a, b, c float64) float64 {
	rp := (j.fp+j.g)/2 - j.radius(u)
	rs := rp + c/2
	// Where the socket's end shows on the tail board's outside face; a socket
	// that ends inside the board shows nowhere, and holds from its middle on.
	xs := math.Sqrt(math.Max(0, rs*rs-b*b))
	if xs >= rp {
		return math.Inf(1)
	}
	free := math.Max(0, a)
	x := math.Max(xs, math.Sqrt(math.Max(0, rp*rp-free*free)))
	return math.Max(0, a-math.Sqrt(math.Max(0, rp*rp-x*x))) + math.Sqrt(math.Max(0, rs*rs-x*x)) - b
}

// FirstTouchProud returns how far the tail board's outside face stands proud
// when boards with interference, taken as rigid, first touch on sliding in.
// ok is false with play, or without the reaches of finger tips.
func (j *Joint) FirstTouchProud() (proud length.Length, ok bool) {
	t := &j.setup.Template
	if j.Play() >= 0 || !t.KnownByOpenings() || !t.Tail.FingerReach.Given {
		return 0, false
	}
	a := 0.0 // where the pins reach their full width; 0: at the board's end
	if t.Pin.FingerReach.Given {
		a = math.Max(0, j.pinEndCentre())
	}
	first := math.Inf(-1)
	for _, u := range j.sharedLevels() {
		first = math.Max(first, j.firstTouchAt(u, a))
	}
	return length.Length(first), true
}

// firstTouchAt returns how proud the board stands at first touch at height u
// above the pin's root. Where the pins are full from the board's end on, the
// nose meets their corner: y_n + sqrt(|c| R - c^2/4). Where their ends are
// rounded (a > 0), two arcs meet, or the nose and the corner that the board's
// end leaves of the arc. A nose that the tail board's face cuts off before
// that meets them with the corner of its flat.
func (j *Joint) firstTouchAt(u, a float64) float64 {
	tail, pin := j.noseRadius(j.h-u), (j.fp+j.g)/2-j.radius(u)
	yn, apart := j.noseCentre(), j.pitch/2
	proud, met := 0.0, 0.0 // met: y of the touch, from the pin board's end
	rise := math.Sqrt(math.Max(0, (tail+pin)*(tail+pin)-apart*apart))
	if on := a - rise*pin/(tail+pin); a > 0 && on >= 0 {
		proud, met = yn-a+rise, on
	} else {
		corner := apart - chord(pin, a)
		proud = yn + chord(tail, corner)
	}
	if t := j.setup.TailBoard.Thickness; t.Given && proud+met > t.MM() {
		flat := chord(tail, math.Max(0, t.MM()-yn))
		return t.MM() - math.Max(0, a-chord(pin, apart-flat))
	}
	return proud
}

// chord returns half the chord of a circle of radius r at distance d from its
// centre, 0 beyond it.
func chord(r, d float64) float64 { return math.Sqrt(math.Max(0, r*r-d*d)) }

// OverlapFromWentIn returns the interference |c| of a joint that stuck after
// sliding in by s, counted from where the tail's nose enters its socket, if
// the boards were rigid: |c| = 2 (R - sqrt(R^2 - (R - s)^2)). Boards give, so
// it is weak evidence; ok is false where the nose's radius is not known.
func (j *Joint) OverlapFromWentIn(s length.Length) (overlap length.Length, ok bool) {
	if !j.setup.Template.KnownByOpenings() {
		return 0, false
	}
	r := j.noseRadius(j.ht)
	left := math.Max(0, r-s.MM())
	return length.Length(2 * (r - math.Sqrt(math.Max(0, r*r-left*left)))), true
}
