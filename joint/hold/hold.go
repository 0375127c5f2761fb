// Package hold estimates what a joint holds: the pull along the tail board that
// its slope bears, what friction adds, the long grain there is to glue, and what
// the half pins at the edges bear.
//
// What holds is the flare, f = h tan a. At the depth that fits it does not
// depend on the angle: f = K/2 + (d - g) - c*/2. So the cutter and the bushing
// are picked by d - g for the hold, and the angle for the lap.
//
// All of it is an estimate: strengths are averages of clear wood at 12 %
// moisture content, and the compression across the grain is the onset of
// crushing, whose coefficient of variation between pieces is Scatter. The ratio
// of two holds in the same wood needs no strength and is much surer.
//
// Source: joint/model.md, section 14 (derived; not tested with solids).
package hold

import (
	"math"

	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/joint/wood"
)

// Scatter is the coefficient of variation of Slope from piece to piece: that of
// the compression across the grain.
const Scatter = wood.CompressionScatter

// Hold is what one joint holds, each tail by itself. Forces are in newtons.
type Hold struct {
	// Flare is f = h tan a, h the depth that both boards share.
	Flare length.Length
	// Engaged is L_y, the length of flank along y: the tail left at its root
	// (joint.Engagement), or as thick as the tail board where reaches are not
	// known. 0 where the board's thickness is not.
	Engaged length.Length
	// Glue is the long grain to be glued, 2 L_y h / cos a, mm^2.
	Glue float64

	// Slope is the pull that the slope alone bears before the weaker of the two
	// woods begins to crush across the grain, 2 f_c L_y h tan a. Rubbed is that
	// with friction, 2 f_c L_y h (tan a + mu), and Shear the pull at which tails
	// shear off, 2 tau L_y h, which slope and friction come before. SlopeKnown:
	// both woods' f_c are; ShearKnown: the tail board's tau is.
	Slope, Rubbed, Shear   float64
	SlopeKnown, ShearKnown bool

	// EdgePin is the pull on the tail beside a half pin at which that pin, thrust
	// aside by half of it, breaks off its root, dry and by itself:
	// 2 tan(a + atan mu) f_t L_y b^2 / (3 h), b the half pin's root. Edge pins live
	// by their glue. EdgePinKnown: the pin board's f_t and the openings are.
	EdgePin      float64
	EdgePinKnown bool
}

// Friction returns the coefficient of friction to count with: the least that
// dry wood is as good as sure to have.
func Friction() float64 { return wood.DefaultFriction().Low }

// Woods are the strengths of a joint's two boards that holding needs, MPa.
type Woods struct {
	crush, shear, tension                float64 // f_c, tau, f_t
	crushKnown, shearKnown, tensionKnown bool
}

// WoodsOf returns the strengths of a pin board's and a tail board's stock: the
// lower compression across the grain of the two, the tail's shear along it and the
// pin's tension across it. Of a species that is not stated, or lacks a strength,
// nothing is guessed.
func WoodsOf(pinBoard, tailBoard joint.Stock) Woods {
	pin, _ := wood.ByID(pinBoard.Species)
	tail, _ := wood.ByID(tailBoard.Species)
	p, t := &pin.CompressionPerpendicular, &tail.CompressionPerpendicular
	return Woods{
		crush: math.Min(p.Value, t.Value), crushKnown: p.Known && t.Known,
		shear: tail.ShearParallel.Value, shearKnown: tail.ShearParallel.Known,
		tension: pin.TensionPerpendicular.Value, tensionKnown: pin.TensionPerpendicular.Known,
	}
}

// Of returns what a joint holds in the woods of its set-up with a coefficient of
// friction mu, 0 or above.
func Of(j *joint.Joint, mu float64) Hold {
	s := j.Setup()
	woods := WoodsOf(s.PinBoard.Stock, s.TailBoard.Stock)
	return woods.Of(j, mu)
}

// Of returns what a joint holds in these woods with a coefficient of friction mu,
// 0 or above.
func (w *Woods) Of(j *joint.Joint, mu float64) Hold {
	s := j.Setup()
	shared, angle := j.ShallowerDepth().MM(), s.Cutter.Angle.Radians()
	h := Hold{Flare: length.Length(shared * math.Tan(angle)), Engaged: engaged(j)}
	flank := 2 * h.Engaged.MM() * shared // both flanks, seen from above
	h.Glue = flank / math.Cos(angle)
	if flank <= 0 {
		return h
	}
	if w.crushKnown {
		h.Slope, h.Rubbed, h.SlopeKnown = w.crush*flank*math.Tan(angle), w.crush*flank*(math.Tan(angle)+mu), true
	}
	if w.shearKnown {
		h.Shear, h.ShearKnown = w.shear*flank, true
	}
	if b, known := j.EdgePin(); known && w.tensionKnown {
		section := h.Engaged.MM() * b.MM() * math.Max(0, b.MM())
		h.EdgePin = 2 * math.Tan(angle+math.Atan(mu)) * w.tension * section / (3 * shared)
		h.EdgePinKnown = true
	}
	return h
}

func engaged(j *joint.Joint) length.Length {
	s := j.Setup()
	if !s.TailBoard.Thickness.Given {
		return 0
	}
	if e := j.Engagement(); e.TailLeft.Known {
		return max(0, e.TailLeft.Length)
	}
	return s.TailBoard.Thickness.Length
}

// Against returns how many times h holds what other holds, by what is known of
// both: newtons, else flare times engaged length, else the flare alone, which
// needs no species. 0 where h holds nothing, +Inf where only other does.
func (h Hold) Against(other Hold) float64 {
	switch {
	case h.SlopeKnown && other.SlopeKnown:
		return ratio(h.Slope, other.Slope)
	case h.Engaged > 0 && other.Engaged > 0:
		return ratio((h.Flare * h.Engaged).MM(), (other.Flare * other.Engaged).MM())
	default:
		return ratio(h.Flare.MM(), other.Flare.MM())
	}
}

func ratio(a, b float64) float64 {
	if a <= 0 {
		return 0
	}
	return a / math.Max(0, b)
}
