package joint

import (
	"math"

	"snugtail/joint/length"
)

// atDepth returns the joint with both boards cut h deep, possible or not.
func (j *Joint) atDepth(h float64) Joint {
	k := *j
	k.setup = k.setup.AtDepth(length.Length(h))
	k.hp, k.ht, k.h = h, h, h
	return k
}

// ChanceAt returns the chance that a joint cut h deep in both boards has a play
// within the target's range. It looks at play alone: see Shortfall and Limits.
func (j *Joint) ChanceAt(h length.Length, t Target) float64 {
	k := j.atDepth(h.MM())
	return InTarget(k.spread(k.Budget(), true), t)
}

// BestDepth returns the depth of cut at which the chance of a play within the
// target's range is best: that of the middle of the range where play is normal,
//
//	h_m = h* - (c_m - c*) / (2 tan a),
//
// and a little shallower for a cutter that may have been reground. It may break
// a limit, and be 0 or below. Source: joint/model.md, section 15.
func (j *Joint) BestDepth(t Target) length.Length {
	middle := (t.From + t.To) / 2
	h := j.DepthFor(middle)
	k := j.atDepth(h.MM())
	spread := k.spread(k.Budget(), true)
	if spread.count == 1 {
		return h
	}
	// The play of a reground cutter is less by twice RegroundShift: the best is
	// between the middles of both.
	looser := bestShift(spread, t, -RegroundShift)
	return h - length.Length(looser/(2*j.tanA))
}

// bestShift is by how much, from 0 to most, more play gives the best chance, by
// golden sections.
func bestShift(s Spread, t Target, most float64) float64 {
	const turns = 12 // to 0.3 % of the range: the chance is flat there
	ratio := (math.Sqrt(5) - 1) / 2
	chance := func(x float64) float64 { return InTarget(s.shifted(x), t) }
	low, high := 0.0, most
	x1, x2 := high-ratio*(high-low), low+ratio*(high-low)
	p1, p2 := chance(x1), chance(x2)
	for range turns {
		if p1 >= p2 {
			high, x2, p2 = x2, x1, p1
			x1 = high - ratio*(high-low)
			p1 = chance(x1)
		} else {
			low, x1, p1 = x1, x2, p2
			x2 = low + ratio*(high-low)
			p2 = chance(x2)
		}
	}
	return (low + high) / 2
}

// DepthsWithin returns the depths, the same in both boards, that keep every
// limit of section 7 that depends on the depth and is known: those of lap,
// cutting length, collet, tail board cleared and, of a bearing, the wood from
// above; those of flare, bore, groove and, of a bearing, the template from below.
// from > to where no depth does; to is no deeper than the cutter's cone.
func (j *Joint) DepthsWithin() (from, to length.Length) {
	s := &j.setup
	t, cutting, e := s.Template.Thickness, s.Cutter.CuttingLength, s.Bushing.Eccentricity().MM()
	low, high := 0.0, j.d/2/j.tanA
	shallowest := func(h float64, known bool) {
		if known {
			low = math.Max(low, h)
		}
	}
	deepest := func(h float64, known bool) {
		if known {
			high = math.Min(high, h)
		}
	}
	deepest(s.PinBoard.Thickness.MM()-LeastLap, s.PinBoard.Thickness.Given)
	deepest(cutting.MM(), cutting.Given)
	deepest(s.Cutter.OverallLength.MM()-t.MM()-s.Router.ColletHeight.MM()-LeastColletGrip,
		s.Cutter.OverallLength.Given && s.Router.ColletHeight.Given && t.Given)
	shallowest((j.tip/2+e+FlareClearance-j.g/2)/j.tanA, true)
	shallowest(s.PinBoard.GrooveDepth.MM(), s.PinBoard.GrooveDepth.Given)
	if reach := s.Template.Tail.FingerReach; reach.Given && s.Template.KnownByOpenings() {
		deepest((reach.MM()+j.g/2+j.d/2-s.TailBoard.Thickness.MM())/j.tanA, s.TailBoard.Thickness.Given)
	}
	if s.Bushing.Kind == KindBearing {
		deepest(cutting.MM()-BarrelClearance, cutting.Given)
		shallowest(cutting.MM()-t.MM()+LeastBearing, cutting.Given && t.Given)
		return length.Length(low), length.Length(high)
	}
	shallowest(j.shallowestInBore())
	return length.Length(low), length.Length(high)
}

// shallowestInBore is the depth at which the flank, where it passes the barrel's
// lower end, is just clear of the bore; from just above the cutting length on the
// stem is there, which no depth changes.
func (j *Joint) shallowestInBore() (h float64, known bool) {
	s := &j.setup
	if _, known := j.boreMargin(); !known {
		return 0, false
	}
	room := s.Bushing.Bore.MM() - 2*BoreClearance - 2*s.Bushing.Eccentricity().MM()
	u := math.Min((j.tip-room)/2/j.tanA, s.Cutter.CuttingLength.MM()+length.Resolution)
	return u - s.Template.Thickness.MM() + s.Bushing.Barrel.MM(), true
}
