package joint

import (
	"math"

	"snugtail/joint/length"
)

// LimitCode names a limit of section 7 of the model.
type LimitCode uint8

// The limits, in the order in which they are told.
const (
	LimitLap              LimitCode = iota // wood left in front of the socket
	LimitFlareInTemplate                   // flare clear of the template above the wood
	LimitCutterInBushing                   // cutter or neck clear of the bore
	LimitCuttingLength                     // depth within the cutting length
	LimitBarrelAboveWood                   // barrel ends above the wood
	LimitColletGrip                        // enough shank in the collet
	LimitGrooveDepth                       // groove no deeper than the cut
	LimitPinRoot                           // wood at the pin's root
	LimitTailRoot                          // wood at the tail's root
	LimitEdgePin                           // wood in the pin at the edge
	LimitTailBoardCleared                  // one pass clears the tail board
	LimitStraightFinger                    // fingers keep a straight side
	LimitCount
)

// Margins of the limits, mm.
const (
	// LeastLap is 1/8 in. Common practice, no source.
	LeastLap = 3.175
	// ComfortableLap deserves a caution below it. Judgement.
	ComfortableLap = 4.8
	// FlareClearance between flare and template, and BoreClearance a side
	// between cutter and bore: judgement.
	FlareClearance = 0.25
	// ComfortableFlare between flare and template: judgement.
	ComfortableFlare = 0.4
	BoreClearance    = 0.5
	// BarrelClearance keeps the barrel off the wood: judgement.
	BarrelClearance = 0.5
	// LeastColletGrip of the shank: judgement; the tool's own instructions rule.
	LeastColletGrip = 20
	// LeastRoot of pins and tails, and of the pin at an edge: judgement.
	LeastRoot = 3
)

// Limit is one limit of a set-up and how far the set-up stays within it.
type Limit struct {
	Code   LimitCode
	Known  bool          // false: it needs what was not stated
	Margin length.Length // negative: broken by so much
}

// OK reports whether the limit is known and kept.
func (l Limit) OK() bool { return l.Known && l.Margin.Rounded() >= 0 }

// Broken reports whether the limit is known and not kept.
func (l Limit) Broken() bool { return l.Known && l.Margin.Rounded() < 0 }

// Limits holds every limit of a set-up, indexed by its code.
type Limits [LimitCount]Limit

// Broken returns the first broken limit, if any.
func (l *Limits) Broken() (Limit, bool) {
	for _, limit := range l {
		if limit.Broken() {
			return limit, true
		}
	}
	return Limit{}, false
}

// Limits returns every limit of section 7 with its margin.
func (j *Joint) Limits() Limits {
	var all Limits
	for code := range all {
		margin, known := j.margin(LimitCode(code))
		all[code] = Limit{LimitCode(code), known, length.Length(margin)}
	}
	return all
}

// Lap returns the wood left between the socket's end and the pin board's
// outer face, t_p - h_p; ok is false where the thickness was not stated.
func (j *Joint) Lap() (lap length.Length, ok bool) {
	t := j.setup.PinBoard.Thickness
	return t.Length - length.Length(j.hp), t.Given
}

func (j *Joint) margin(code LimitCode) (margin float64, known bool) {
	s, openings := &j.setup, j.setup.Template.KnownByOpenings()
	switch code {
	case LimitLap:
		return s.PinBoard.Thickness.MM() - j.hp - LeastLap, s.PinBoard.Thickness.Given
	case LimitFlareInTemplate:
		return j.flareMargin(), true
	case LimitCutterInBushing:
		return j.boreMargin()
	case LimitCuttingLength:
		return s.Cutter.CuttingLength.MM() - j.h, s.Cutter.CuttingLength.Given
	case LimitBarrelAboveWood:
		return s.Template.Thickness.MM() - BarrelClearance - s.Bushing.Barrel.MM(), s.Template.Thickness.Given && s.Bushing.Barrel.Given
	case LimitColletGrip:
		return j.gripMargin()
	case LimitGrooveDepth:
		return j.hp - s.PinBoard.GrooveDepth.MM(), s.PinBoard.GrooveDepth.Given
	case LimitPinRoot:
		return j.pinRoot() - LeastRoot, openings
	case LimitTailRoot:
		return j.tailRoot() - LeastRoot, openings
	case LimitEdgePin:
		return j.pinRoot()/2 - math.Abs(s.SideStopError.MM()) - LeastRoot, openings
	case LimitTailBoardCleared:
		reach := s.Template.Tail.FingerReach
		return reach.MM() + j.g/2 + j.radius(j.ht) - s.TailBoard.Thickness.MM(), openings && reach.Given && s.TailBoard.Thickness.Given
	case LimitStraightFinger:
		return j.straightFingerMargin()
	}
	return 0, false
}

// flareMargin: above the wood, at the shallower depth, the flare must stay
// inside the barrel's outside with room to spare, or it cuts the template:
// d/2 + |e| - h tan a <= g/2 - FlareClearance.
func (j *Joint) flareMargin() float64 {
	return j.FlareClearance(j.ShallowerDepth()).MM() - FlareClearance
}

// boreMargin: at the barrel's lower end, u = h + T - L above the tip, the
// cutter, or its neck above the cutting length, must be thinner than the bore
// less BoreClearance a side. It is unknown where what passes there is unknown.
func (j *Joint) boreMargin() (margin float64, known bool) {
	s := &j.setup
	if !s.Bushing.Bore.Given || !s.Bushing.Barrel.Given || !s.Template.Thickness.Given || !s.Cutter.CuttingLength.Given {
		return 0, false
	}
	u := j.ShallowerDepth().MM() + s.Template.Thickness.MM() - s.Bushing.Barrel.MM()
	widest := 0.0
	if u <= s.Cutter.CuttingLength.MM() {
		widest = j.tip - 2*u*j.tanA
	} else if !s.Cutter.stem().Given {
		return 0, false
	}
	if stem := s.Cutter.stem(); stem.Given {
		widest = math.Max(widest, stem.MM())
	}
	return s.Bushing.Bore.MM() - 2*BoreClearance - widest - 2*s.Bushing.Eccentricity().MM(), true
}

// stem is what runs in the bore above the flank: the neck, or the shank of a
// cutter without one.
func (c *Cutter) stem() length.Size {
	if c.Neck.Given {
		return c.Neck
	}
	return c.Shank
}

// gripMargin: shank in the collet = overall length - (T + h) - collet height.
func (j *Joint) gripMargin() (margin float64, known bool) {
	s := &j.setup
	if !s.Cutter.OverallLength.Given || !s.Router.ColletHeight.Given || !s.Template.Thickness.Given {
		return 0, false
	}
	grip := s.Cutter.OverallLength.MM() - s.Template.Thickness.MM() - j.hp - s.Router.ColletHeight.MM()
	return grip - LeastColletGrip, true
}

// straightFingerMargin: a finger keeps a straight side only if
// s0 + f0 >= P/2, in both passes where both are known.
func (j *Joint) straightFingerMargin() (margin float64, known bool) {
	margin = math.Inf(1)
	for _, pass := range [...]Pass{j.setup.Template.Tail, j.setup.Template.Pin} {
		if pass.OpeningReach.Given && pass.FingerReach.Given {
			margin, known = math.Min(margin, pass.OpeningReach.MM()+pass.FingerReach.MM()-j.pitch/2), true
		}
	}
	if !known {
		return 0, false
	}
	return margin, true
}
