package belief

import (
	"errors"
	"fmt"
	"math"

	"snugtail/joint"
	"snugtail/joint/length"
)

// Case is a set-up and all that is told of the work done with it. Any part of
// the set-up may be missing: a size that is not Given, an Angle of 0, a
// template with neither openings nor allowance.
type Case struct {
	Setup joint.Setup
	Cuts  []Cut // test joints, the latest last
	// Earlier sessions with the same template, oldest first: each counts for
	// what it shares with Setup.
	Earlier  []Session
	Findings Findings
	Answered Checks // made already
	// Unavailable checks can't be made here, for want of a tool or of time;
	// they are not asked for, and nothing follows from that.
	Unavailable Checks
	Target      joint.Target
	Bands       joint.Bands
	lessons     []lesson // of Earlier, where they have been weighed
}

// Session is a set-up and the test joints made with it.
type Session struct {
	Setup joint.Setup
	Cuts  []Cut
}

// Missing says which parts of the set-up were not stated.
type Missing struct{ Template, Bushing, Cutter, Angle, Depth bool }

// Any reports whether anything was not stated.
func (m Missing) Any() bool { return m.Template || m.Bushing || m.Cutter || m.Angle || m.Depth }

// CutError says which test joint cannot have been cut.
type CutError struct {
	Cut int
	Err error
}

func (e *CutError) Error() string { return "taking in a test cut: " + e.Err.Error() }

func (e *CutError) Unwrap() error { return e.Err }

// SessionError says which earlier session cannot have been.
type SessionError struct {
	Session int
	Err     error
}

func (e *SessionError) Error() string {
	return fmt.Sprintf("taking in earlier session %d: %v", e.Session, e.Err)
}

func (e *SessionError) Unwrap() error { return e.Err }

// What is taken for a size that was not stated, mm and degrees: the commonest
// ones, with room for any other. Judgement.
const (
	typicalBushing, bushingSpread = 11.1125, 2.0
	typicalCutter, cutterSpread   = 12.7, 1.6
	typicalAngle, angleSpread     = 14.0, 3.0
	typicalDepth, depthSpread     = 9.5, 2.0
	templateSpread                = 2.5
	typicalPitch                  = 22.225
)

// filled is a set-up with its gaps filled.
type filled struct {
	setup           joint.Setup
	target          joint.Target
	missing         Missing
	widths, reaches bool // known
}

func fill(s joint.Setup, target joint.Target) filled {
	f := filled{setup: s, target: target}
	f.fill()
	return f
}

// fill puts the commonest sizes where none was stated, and then makes one of
// them such that the play is the target's, as it is meant to be.
func (f *filled) fill() {
	s := &f.setup
	openings := s.Template.KnownByOpenings() && s.Template.Tail.Opening.Given && s.Template.Pin.Finger.Given && s.Template.Pitch.Given
	f.missing = Missing{
		Template: !openings && !s.Template.Allowance.Given,
		Bushing:  !s.Bushing.Diameter.Given, Cutter: !s.Cutter.Diameter.Given,
		Angle: s.Cutter.Angle == 0, Depth: !s.Depth.PinBoard.Given,
	}
	f.widths, f.reaches = openings, openings && s.Template.Pin.OpeningReach.Given && s.Template.Tail.FingerReach.Given
	if !f.missing.Any() {
		return
	}
	if f.missing.Template {
		s.Template = joint.Template{Kind: joint.AllowanceOnly, Pitch: s.Template.Pitch, Thickness: s.Template.Thickness}
	}
	if f.missing.Bushing {
		s.Bushing.Diameter = length.Exactly(typicalBushing)
		if room := s.Template.Tail.Opening.Length - 1; openings && room < typicalBushing {
			s.Bushing.Diameter.Length = room
		}
	}
	if f.missing.Angle {
		s.Cutter.Angle = typicalAngle
	}
	if f.missing.Depth {
		s.Depth = joint.EqualDepth(length.Exactly(typicalDepth))
	}
	f.fillCutter()
	f.aim()
}

// coneUsed is the most of a cutter's cone, and lapUsed of a pin board, that a
// depth taken for one that was not stated uses. Judgement.
const coneUsed, lapUsed = 0.7, 0.6

// fillCutter puts a cutter that reaches as deep as the joint is or, where the
// cutter was stated, an angle and a depth that it reaches.
func (f *filled) fillCutter() {
	s := &f.setup
	h := s.Depth.Deeper().MM()
	if f.missing.Cutter {
		s.Cutter.Diameter = length.Exactly(length.Length(math.Max(typicalCutter, 2*h*s.Cutter.Angle.Tan()/coneUsed)))
	}
	cone := coneUsed * s.Cutter.Diameter.MM() / 2
	if f.missing.Depth {
		h = math.Min(h, cone/s.Cutter.Angle.Tan())
		if t := s.PinBoard.Thickness; t.Given {
			h = math.Min(h, lapUsed*t.MM())
		}
		s.Depth = joint.EqualDepth(length.Exactly(length.Length(h)))
	}
	if f.missing.Angle {
		s.Cutter.Angle = joint.Angle(math.Min(typicalAngle, math.Atan(cone/h)*180/math.Pi))
	}
}

// aim changes one of the sizes that were not stated so that the play is the
// target's, unless that size would be none that is to be had.
func (f *filled) aim() {
	s := &f.setup
	j, _ := joint.New(*s) // geometry answers even where limits are broken
	off := (j.Play() - f.target.Play).MM()
	tanA, h := s.Cutter.Angle.Tan(), s.Depth.Deeper().MM()
	switch {
	case f.missing.Template:
		s.Template.Allowance = length.Exactly(length.Length(s.Template.Allowance.MM() - off))
	case f.missing.Depth:
		if h += off / (2 * tanA); h > 3 && h < 25 && f.reached(h, s.Cutter.Angle) {
			s.Depth = joint.EqualDepth(length.Exactly(length.Length(h)))
		}
	case f.missing.Cutter:
		if d := s.Cutter.Diameter.MM() - off/2; d/2-h*tanA > 0 && d < 40 {
			s.Cutter.Diameter.Length = length.Length(d)
		}
	case f.missing.Bushing:
		g, opening := s.Bushing.Diameter.MM()+off/2, s.Template.Tail.Opening
		if g > 5 && (!opening.Given || g < opening.MM()) {
			s.Bushing.Diameter.Length = length.Length(g)
		}
	case f.missing.Angle:
		if a := math.Atan(tanA+off/(2*h)) * 180 / math.Pi; a > 5 && a < 25 && f.reached(h, joint.Angle(a)) {
			s.Cutter.Angle = joint.Angle(a)
		}
	}
}

// reached reports whether a depth stays within cutter and pin board.
func (f *filled) reached(h float64, a joint.Angle) bool {
	t := f.setup.PinBoard.Thickness
	return h*a.Tan() < f.setup.Cutter.Diameter.MM()/2 && (!t.Given || h < t.MM())
}

// possible returns the error of a joint that cannot be cut, where all that
// makes it impossible was stated. A set-up's depth that is a test cut's is that
// cut's matter. A cut through the pin board can be cut, and is what is wrong.
func (f *filled) possible(cuts []Cut, ownDepth bool) error {
	if err := f.impossible(f.setup); ownDepth && err != nil {
		return fmt.Errorf("reading the set-up: %w", err)
	}
	for i := range cuts {
		s := f.setup
		if d := cuts[i].depthKnown(); d.PinBoard.Given {
			s.Depth = d
		}
		if err := f.impossible(s); err != nil {
			return &CutError{Cut: i, Err: err}
		}
	}
	return nil
}

func (f *filled) impossible(s joint.Setup) error {
	_, err := joint.New(s)
	if err == nil {
		return nil
	}
	var standing []error
	for _, one := range each(err) {
		var why *joint.Impossible
		if !errors.As(one, &why) || why.Reason != joint.ReasonThroughPinBoard && f.stated(why.Reason) {
			standing = append(standing, one)
		}
	}
	if len(standing) > 0 {
		return errors.Join(standing...)
	}
	if s.Cutter.RadiusAt(s.Depth.Deeper().Length) <= 0 { // not even a cutter not stated reaches as deep
		return &joint.Impossible{
			Quantity: joint.QuantityDepthPinBoard, Value: s.Depth.Deeper().MM(),
			Limit: s.Cutter.TipDiameter().MM() / 2 / s.Cutter.Angle.Tan(), Reason: joint.ReasonCutterRunsOut,
		}
	}
	return nil
}

// each returns the errors that were joined into one.
func each(err error) []error {
	joined, ok := err.(interface{ Unwrap() []error })
	if !ok {
		return []error{err}
	}
	var all []error
	for _, one := range joined.Unwrap() {
		all = append(all, each(one)...)
	}
	return all
}

// stated reports whether all that a reason rests on was stated: what was not
// may be what makes the joint possible.
func (f *filled) stated(r joint.Reason) bool {
	miss := f.missing
	switch r {
	case joint.ReasonThroughPinBoard:
		return !miss.Depth
	case joint.ReasonBushingTooWide:
		return !miss.Template && !miss.Bushing
	case joint.ReasonNoPinLeft, joint.ReasonNoTailLeft:
		return !miss.Template && !miss.Bushing && !miss.Cutter
	}
	return true
}
