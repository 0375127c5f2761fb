package joint_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/joint"
	"snugtail/joint/length"
)

// A second way to the seat: no formula of it, but level sections of both
// boards, as sets of points, pushed together until one is inside the other's
// wood. Sections are straight flanks that end in half circles, which is how
// template, bushing and cutter make them.

// sections is one level of the assembled joint, tail and pin on their own
// middle lines. Rounded ends are half circles about a centre.
type sections struct {
	tail, tailCentre     float64 // half width, and the centre of the nose
	socket, socketCentre float64 // of the tail socket in the pin board
	pin, pinCentre       float64 // the pin's rounded end
	slot, slotCentre     float64 // of the pin socket in the tail board
	board                float64 // thickness of the tail board
}

func sectionsAt(s joint.Setup, u float64) sections {
	turn, ey := 0.0, s.Bushing.OffsetY.MM()
	if s.Router.TurnedInUse {
		turn, ey = 2*s.Bushing.Eccentricity().MM(), 0
	}
	radius := func(u float64) float64 {
		return (s.Cutter.Diameter.MM()+s.Cutter.Runout.MM()+turn)/2 - u*s.Cutter.Angle.Tan()
	}
	h := s.Depth.Deeper().MM()
	tail, pin, g := s.Template.Tail, s.Template.Pin, s.Bushing.Diameter.MM()
	return sections{
		tail:   (tail.Finger.MM()+g)/2 - radius(h-u),
		socket: (pin.Opening.MM()-g)/2 + radius(u),
		pin:    (pin.Finger.MM()+g)/2 - radius(u),
		slot:   (tail.Opening.MM()-g)/2 + radius(h-u),

		tailCentre:   tail.FingerReach.MM() - tail.Finger.MM()/2 - ey,
		socketCentre: pin.OpeningReach.MM() - pin.Opening.MM()/2 + ey,
		pinCentre:    pin.Finger.MM()/2 - pin.FingerReach.MM() + ey,
		slotCentre:   tail.Opening.MM()/2 - tail.OpeningReach.MM() - ey,
		board:        s.TailBoard.Thickness.MM(),
	}
}

// inside reports whether (x, y) is in a strip of half width w that ends, on
// the side of larger y, in a half circle about c.
func inside(x, y, w, c float64) bool {
	if y <= c {
		return math.Abs(x) <= w
	}
	return math.Hypot(x, y-c) <= w
}

const sampled = 1500

// fits reports whether the level is free of contact with the tail board q inside.
func (s sections) fits(q float64) bool {
	// The pin where the tail board's outside face is: samples alone may step
	// over the edge of a socket that narrows there by a hair.
	before := math.Max(0, s.pinCentre-q) // where the rounded end is cut
	if q >= 0 && before < s.pin && s.pinTouches(math.Sqrt(s.pin*s.pin-before*before), 0) {
		return false
	}
	for k := range sampled + 1 {
		angle := math.Pi / 2 * float64(k) / sampled
		// The nose, cut off by the board's inside face; only what is past the
		// pin board's end can touch.
		x, y := s.tail*math.Cos(angle), s.tailCentre+s.tail*math.Sin(angle)
		if y > s.board {
			y = s.board
			if s.board < s.tailCentre {
				x = s.tail * float64(k) / sampled
			} else {
				x = math.Min(x, math.Sqrt(s.tail*s.tail-square(y-s.tailCentre)))
			}
		}
		if y+q >= 0 && !inside(x, y+q, s.socket, s.socketCentre) {
			return false
		}
		// The pin's end, of which the pin board's own end leaves y >= 0, in a
		// socket that runs the other way; only within the tail board.
		x, y = s.pin*math.Cos(angle), s.pinCentre-s.pin*math.Sin(angle)
		if y < 0 {
			y = 0
			if s.pinCentre > 0 {
				x = math.Min(x, math.Sqrt(math.Max(0, s.pin*s.pin-s.pinCentre*s.pinCentre)))
			} else {
				x = s.pin * float64(k) / sampled
			}
		}
		flank := math.Max(0, s.pinCentre) + 2*s.board*float64(k)/sampled
		if s.pinTouches(x, y-q) || s.pinTouches(s.pin, flank-q) {
			return false
		}
	}
	return true
}

// pinTouches reports whether a point of the pin, in the tail board's own y, is
// in that board's wood.
func (s sections) pinTouches(x, y float64) bool {
	return y >= 0 && y <= s.board && !inside(x, -y, s.slot, -s.slotCentre)
}

func square(x float64) float64 { return x * x }

// seatBySections slides the tail board in until any level touches.
func seatBySections(s joint.Setup) float64 {
	low, high := -30.0, 30.0
	hp, ht := s.Depth.PinBoard.MM(), s.Depth.TailBoard.MM()
	var levels []sections
	for k := range 9 {
		levels = append(levels, sectionsAt(s, math.Max(0, hp-ht)+math.Min(hp, ht)*float64(k)/8))
	}
	for range 50 {
		q := (low + high) / 2
		free := true
		for _, level := range levels {
			free = free && level.fits(q)
		}
		if free {
			low = q
		} else {
			high = q
		}
	}
	return low
}

func drawTwoPosition(t *rapid.T) joint.Setup {
	draw := func(name string, low, high float64) length.Size {
		return mm(rapid.Float64Range(low, high).Draw(t, name))
	}
	pitch := draw("pitch", 20, 30).MM()
	bushing := draw("bushing", 8, 11).MM()
	tailOpening := draw("tail opening", math.Max(bushing+1, pitch*0.45), pitch*0.6)
	k := draw("allowance", 1, 4).MM()
	tail := joint.Pass{Opening: tailOpening, Finger: mm(pitch - tailOpening.MM())}
	pin := joint.Pass{Finger: mm(tailOpening.MM() - k), Opening: mm(pitch - tailOpening.MM() + k)}
	tail.OpeningReach, tail.FingerReach = draw("s0 tail", 3, 16), draw("f0 tail", 8, 15)
	pin.OpeningReach, pin.FingerReach = draw("s0 pin", 10, 18), draw("f0 pin", 1, 14)
	template, err := joint.NewTwoPosition(tail, pin)
	require.NoError(t, err)
	s := joint.Setup{
		Template:  template,
		Bushing:   joint.Bushing{Diameter: mm(bushing), OffsetX: draw("ex", -0.3, 0.3), OffsetY: draw("ey", -0.3, 0.3)},
		Cutter:    joint.Cutter{Diameter: draw("cutter", bushing, bushing+3), Angle: joint.Angle(rapid.Float64Range(7, 15).Draw(t, "angle"))},
		Router:    joint.Router{TurnedInUse: rapid.Bool().Draw(t, "turned")},
		TailBoard: joint.TailBoard{Thickness: draw("tail board", 8, 20)},
	}
	wanted := rapid.Float64Range(0.05, 0.9).Draw(t, "play")
	flat, err := joint.New(s.AtDepth(0))
	if err != nil {
		t.Skip("no such joint")
	}
	h := flat.DepthFor(length.Length(wanted))
	s = s.AtDepth(h)
	less := rapid.Float64Range(0, 1).Draw(t, "less")
	if rapid.Bool().Draw(t, "pins shallower") {
		s.Depth.PinBoard.Length -= length.Length(less)
	} else {
		s.Depth.TailBoard.Length -= length.Length(less)
	}
	if h > 20 || s.Depth.PinBoard.MM() < 3 || s.Depth.TailBoard.MM() < 3 {
		t.Skip("too shallow")
	}
	return s
}

func TestSeatAgainstSections(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawTwoPosition(t)
		j, err := joint.New(s)
		if err != nil {
			t.Skip("no such joint")
		}
		seat := j.Seat()
		require.True(t, seat.Known)
		// 0.03 mm: points along the flanks stand 0.01 mm apart, and touch at a slant.
		assert.InDelta(t, seatBySections(s), seat.Offset.MM(), 0.03, "%+v", s.Depth)
	})
}

// touchesAt reports whether a tail that stands proud overlaps its neighbour
// pin, whose rounded end the pin board's own end may cut off.
func (s sections) touchesAt(proud, pitch float64) bool {
	for k := range sampled + 1 {
		angle := math.Pi / 2 * float64(k) / sampled
		x, y := s.tail*math.Cos(angle), s.tailCentre+s.tail*math.Sin(angle)
		if s.board < s.tailCentre {
			x, y = s.tail, s.board
		} else if y > s.board {
			y = s.board
			x = math.Min(x, math.Sqrt(s.tail*s.tail-square(y-s.tailCentre)))
		}
		if y -= proud; y < 0 {
			continue
		}
		pin := s.pin
		if y < s.pinCentre {
			pin = math.Sqrt(math.Max(0, s.pin*s.pin-square(s.pinCentre-y)))
		}
		if x+pin > pitch/2 && pin > 0 {
			return true
		}
	}
	return false
}

// The same for boards that interfere: pushed in from afar, they first touch
// where the formula says.
func TestFirstTouchAgainstSections(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawTwoPosition(t)
		flat, err := joint.New(s.AtDepth(0))
		require.NoError(t, err)
		h := flat.DepthFor(length.Length(rapid.Float64Range(-0.5, -0.05).Draw(t, "interference")))
		s = s.AtDepth(h)
		j, err := joint.New(s)
		if err != nil || h > 20 {
			t.Skip("no such joint")
		}
		proud, ok := j.FirstTouchProud()
		require.True(t, ok)
		touches := func(proud float64) bool {
			for k := range 9 {
				if sectionsAt(s, h.MM()*float64(k)/8).touchesAt(proud, s.Template.Pitch.MM()) {
					return true
				}
			}
			return false
		}
		// 0.02 mm: contact is grazing, and the arcs are sampled.
		assert.False(t, touches(proud.MM()+0.02), "before %g", proud)
		assert.True(t, touches(proud.MM()-0.1), "after %g", proud)
	})
}
