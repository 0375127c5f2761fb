package joint

import (
	"math"

	"snugtail/joint/length"
)

// Section is the closed joint cut level, at one height above the socket's
// floor: half the width of each part, which is also the radius of its round
// end. At every height Pin + TailSocket = Tail + PinSocket = P/2.
type Section struct {
	Pin        length.Length // (F_p + g)/2 - r(u)
	TailSocket length.Length // in the pin board, between the pins: P/2 - Pin
	Tail       length.Length // TailSocket - c/2
	PinSocket  length.Length // in the tail board, between the tails: Pin + c/2
}

// SectionAt returns the closed joint's section at height u above the socket's
// floor. Pins reach from 0 to h_p, tails from h - h_t to h; their flanks are
// straight, so the section of a part may be asked for beyond its ends. The
// clearance c is Play's: what test cuts taught of it counts as tails cut
// narrower. ok is false for templates that are not known by their openings.
func (j *Joint) SectionAt(u length.Length) (s Section, ok bool) {
	if !j.setup.Template.KnownByOpenings() {
		return Section{}, false
	}
	pin, half := length.Length((j.fp+j.g)/2-j.radius(u.MM())), j.Play()/2
	socket := length.Length(j.pitch/2) - pin
	return Section{Pin: pin, TailSocket: socket, Tail: socket - half, PinSocket: pin + half}, true
}

// RoundEnds is where the centres of the parts' round ends lie: y from the pin
// board's end into it, while the tail board's outside face is flush with that
// end. With a seat offset the two of the tail board lie that much further in.
type RoundEnds struct {
	Nose      length.Length // of the tail: y_n = f0 - F_t/2
	SocketEnd length.Length // of the tail's socket: y_s = s0 - S_p/2
	// Pin is the centre of the pin's rounded end, A = F_p/2 - f0; at 0 or below
	// the pin is full from the board's end on.
	Pin      length.Length
	PinKnown bool
	// PinSocket is the centre of the pin socket's end, B = S_t/2 - s0; at 0 or
	// below the socket is open right through the tail board.
	PinSocket      length.Length
	PinSocketKnown bool
}

// RoundEnds returns the centres of section 5 of joint/model.md, the offset of the
// axes in them; ok is false without the reaches that the seat needs.
func (j *Joint) RoundEnds() (r RoundEnds, ok bool) {
	if !j.reachesKnown() {
		return RoundEnds{}, false
	}
	pin, tail := j.setup.Template.Pin.FingerReach, j.setup.Template.Tail.OpeningReach
	r = RoundEnds{
		Nose: length.Length(j.noseCentre()), SocketEnd: length.Length(j.socketEndCentre()),
		PinKnown: pin.Given, PinSocketKnown: tail.Given,
	}
	if pin.Given {
		r.Pin = length.Length(j.pinEndCentre())
	}
	if tail.Given {
		r.PinSocket = length.Length(j.pinSocketEndCentre())
	}
	return r, true
}

// FlareClearance returns how far the flare stays inside the bushing's outside,
// which runs along the template, at the wood's face with a cut h deep:
// g/2 - (d/2 + |e| - h tan a). Negative: it cuts the template.
func (j *Joint) FlareClearance(h length.Length) length.Length {
	e := j.setup.Bushing.Eccentricity().MM()
	return length.Length(j.g/2 - (j.tip/2 + e - h.MM()*j.tanA))
}

// ShallowerDepth returns the lesser of the two depths of cut, at which the
// flare comes nearest to the template.
func (j *Joint) ShallowerDepth() length.Length { return length.Length(math.Min(j.hp, j.ht)) }
