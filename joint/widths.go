package joint

import (
	"math"

	"snugtail/joint/length"
)

// Widths of the joint's parts on their straight flanks.
type Widths struct {
	PinWidest        length.Length // at the pin board's face
	PinRoot          length.Length // at the socket floor
	TailWidest       length.Length // at the tail's end
	TailRoot         length.Length // at the shoulder
	PinSocketWidest  length.Length // in the tail board, at the shoulder line
	TailSocketWidest length.Length // in the pin board, at the floor
}

// Widths returns the widths of section 3 of joint/model.md; ok is false for
// templates that are not known by their openings. Sockets' widest widths do
// not depend on depth: with a wrong cutter they change, with a wrong depth not.
func (j *Joint) Widths() (w Widths, ok bool) {
	if !j.setup.Template.KnownByOpenings() {
		return Widths{}, false
	}
	return Widths{
		PinWidest:        length.Length(j.pinRoot() + 2*j.hp*j.tanA),
		PinRoot:          length.Length(j.pinRoot()),
		TailWidest:       length.Length(j.tailRoot() + 2*j.ht*j.tanA),
		TailRoot:         length.Length(j.tailRoot()),
		PinSocketWidest:  length.Length(j.st - j.g + j.d),
		TailSocketWidest: length.Length(j.pitch - j.fp - j.g + j.d),
	}, true
}

// pinRoot is F_p + g - d, the pin at the socket floor.
func (j *Joint) pinRoot() float64 { return j.fp + j.g - j.d }

// tailRoot is P - S_t + g - d, the tail at the shoulder.
func (j *Joint) tailRoot() float64 { return j.pitch - j.st + j.g - j.d }

// EdgePin returns the root of the half pin at the boards' first edge,
// (F_p + g - d)/2 less the error of the side stop; ok is false for templates that
// are not known by their openings. The pin at the last edge has W - nP more.
func (j *Joint) EdgePin() (root length.Length, ok bool) {
	if !j.setup.Template.KnownByOpenings() {
		return 0, false
	}
	return length.Length(j.pinRoot()/2 - math.Abs(j.setup.SideStopError.MM())), true
}
