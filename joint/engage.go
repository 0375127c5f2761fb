package joint

import (
	"math"

	"snugtail/joint/length"
)

// Extent is a length that may not be known.
type Extent struct {
	length.Length
	Known bool
}

// Engagement is how the parts of a joint stand in one another once the tail
// board is slid home: the six lengths that say whether there is a joint at all.
// Play, depth and the chance of a fit say nothing of that.
//
// Seat, Entered and StraightFlank are those of the joint with its play, or with
// none where there is interference: too tight is not the same as no joint.
// A tail board whose thickness was not stated counts as thick; a thinner one
// has no more of TailLeft, Entered and StraightFlank.
//
// Source: derived, and compared with joints cut as solids
// (testdata/limits.json): lengths to 1.2e-4 mm, straight flank to 0.25 mm with
// facets of 0.2 mm, verdicts 16 of 16.
type Engagement struct {
	// TailLeft is the wood left of a tail at its root, along y,
	// T_r = min(t_t, f0_t + (g - d)/2). At 0 or below tails are cut away.
	TailLeft Extent
	// Entered is how deep the tail has gone in between the pins,
	// E = min(t_t, f0_t + g/2 - r(u0)) + q. At 0 or below it stands on the pin
	// board's end.
	Entered Extent
	// StraightFlank is how much straight flank lies beside straight flank along y,
	// L = min(y_s, y_n + q_r, t_t + q_r) - max(0, A, B + q_r), q_r = min(q, 0).
	// At 0 or below arcs alone hold the joint, and play does not describe it.
	StraightFlank Extent
	// Seat is the seat offset q.
	Seat Extent
	// PinReach is how far a pin's root reaches past the pin board's end,
	// e = f0_p + (g - d)/2; below 0 pins stop that much short of flush.
	PinReach Extent
	// BreakThrough is how far a pin socket reaches past the tail board's outside
	// face, b = s0_t - g/2 + r(h_t); at 0 or below a bridge that thick stays.
	BreakThrough Extent
	// OutsideOpening is how wide a pin socket opens in the tail board's outside
	// face at the tail's end: 0 where it does not break through, the pitch where
	// tails are cut away there.
	OutsideOpening Extent
}

// Engagement returns the lengths of the joint that follow from what is known of
// the template's reaches; with an offset of the axes ey, f0 is f0 - ey and s0 is
// s0 + ey. Only tightness is learned from test cuts: the reaches are as stated.
func (j *Joint) Engagement() Engagement {
	t := &j.setup.Template
	if !t.KnownByOpenings() {
		return Engagement{}
	}
	var e Engagement
	thick, y := j.tailThickness(), j.offsetY()
	if t.Tail.FingerReach.Given {
		e.TailLeft = extent(math.Min(thick, t.Tail.FingerReach.MM()-y+(j.g-j.d)/2))
	}
	if t.Pin.FingerReach.Given {
		e.PinReach = extent(t.Pin.FingerReach.MM() - y + (j.g-j.d)/2)
	}
	if t.Tail.OpeningReach.Given {
		e.BreakThrough = extent(t.Tail.OpeningReach.MM() + y - j.g/2 + j.radius(j.ht))
		if t.Tail.FingerReach.Given {
			e.OutsideOpening = extent(j.outsideOpening(e.BreakThrough.MM()))
		}
	}
	if j.reachesKnown() {
		q, _ := j.seatAt(math.Max(0, j.Play().MM()))
		e.Seat = extent(q)
		e.Entered = extent(math.Min(thick, j.noseReach(j.lowestShared())) + q)
		if t.Tail.OpeningReach.Given && t.Pin.FingerReach.Given {
			e.StraightFlank = extent(j.straightFlank(math.Min(q, 0), thick))
		}
	}
	return e
}

func extent(x float64) Extent { return Extent{length.Length(x), true} }

// tailThickness is t_t, +Inf where it was not stated.
func (j *Joint) tailThickness() float64 {
	if t := j.setup.TailBoard.Thickness; t.Given {
		return t.MM()
	}
	return math.Inf(1)
}

// lowestShared is u0 = max(0, h_t - h_p): the lowest level that both boards
// share, as a height above the tail's root.
func (j *Joint) lowestShared() float64 { return math.Max(0, j.ht-j.hp) }

// noseReach is f0_t + g/2 - r(u), how far the finger lets a tail reach at
// height u above its root.
func (j *Joint) noseReach(u float64) float64 {
	return j.setup.Template.Tail.FingerReach.MM() - j.offsetY() + j.g/2 - j.radius(u)
}

// straightFlank is L, the tail board moved back by q, 0 or below.
func (j *Joint) straightFlank(q, thick float64) float64 {
	deepest := math.Min(j.socketEndCentre(), math.Min(j.noseCentre(), thick)+q)
	return deepest - math.Max(math.Max(0, j.pinEndCentre()), j.pinSocketEndCentre()+q)
}

// outsideOpening is what a pin socket that reaches b past the outside face cuts
// from it at the tail's end, u = h_t: 2 r_s where its flanks do, or the chord of
// its round end; where the tail's nose begins in front of the face, what the nose
// leaves of the pitch.
func (j *Joint) outsideOpening(b float64) float64 {
	if b <= 0 {
		return 0
	}
	if yn := j.noseCentre(); yn < 0 {
		return j.pitch - 2*chord(j.noseRadius(j.ht), yn)
	}
	return 2 * chord((j.st-j.g)/2+j.radius(j.ht), math.Max(0, j.pinSocketEndCentre()))
}

// Shortfall says that there is no joint, whatever its play, and why.
type Shortfall struct {
	NoJoint bool
	// Limit is the one of LimitTailLeft, LimitTailEnters and LimitStraightFlank
	// whose length is at 0 or below, and By how much it is below; the worst where
	// it is several.
	Limit LimitCode
	By    length.Length
	// FingerReach and OpeningReach are how much further fingers and openings would
	// have to reach, in the pass that lacks most, for the straight flanks of a joint
	// that ends flush to begin inside it: f0 >= F/2 + ey, s0 >= S/2 - ey. 0 where
	// they reach far enough. Source: joint/model.md, section 13.
	FingerReach, OpeningReach length.Length
	// Checked says that all six lengths are known. Where they are not, NoJoint
	// may still be true; false then means that it was not found.
	Checked bool
}

// Shortfall returns whether there is no joint at all, and what its reaches lack.
func (j *Joint) Shortfall() Shortfall {
	e := j.Engagement()
	s := e.Shortfall()
	if !s.NoJoint {
		return s
	}
	lacking := func(most *length.Length, short float64, p length.Size) {
		if p.Given {
			*most = max(*most, length.Length(short))
		}
	}
	t := &j.setup.Template
	lacking(&s.FingerReach, -j.noseCentre(), t.Tail.FingerReach)
	lacking(&s.FingerReach, j.pinEndCentre(), t.Pin.FingerReach)
	lacking(&s.OpeningReach, -j.socketEndCentre(), t.Pin.OpeningReach)
	lacking(&s.OpeningReach, j.pinSocketEndCentre(), t.Tail.OpeningReach)
	return s
}

// Shortfall returns whether there is no joint at all.
func (e *Engagement) Shortfall() Shortfall {
	s := Shortfall{Checked: e.PinReach.Known && e.BreakThrough.Known && e.Seat.Known}
	for _, row := range [...]struct {
		of   *Extent
		code LimitCode
	}{{&e.TailLeft, LimitTailLeft}, {&e.Entered, LimitTailEnters}, {&e.StraightFlank, LimitStraightFlank}} {
		by := -row.of.Rounded()
		if row.of.Known && by >= 0 && (!s.NoJoint || by > s.By) {
			s.NoJoint, s.Limit, s.By = true, row.code, by
		}
	}
	return s
}
