package joint

import (
	"math"

	"snugtail/joint/length"
)

// LimitCode names a limit of section 7 or 13 of joint/model.md.
type LimitCode uint8

// The limits, in the order in which they are told.
const (
	LimitLap                 LimitCode = iota // wood left in front of the socket
	LimitFlareInTemplate                      // flare clear of the template above the wood
	LimitCutterInBushing                      // cutter or neck clear of the bore
	LimitCuttingLength                        // depth within the cutting length
	LimitBarrelAboveWood                      // barrel ends above the wood
	LimitColletGrip                           // enough shank in the collet
	LimitGrooveDepth                          // groove no deeper than the cut
	LimitPinRoot                              // wood at the pin's root
	LimitTailRoot                             // wood at the tail's root
	LimitEdgePin                              // wood in the pin at the edge
	LimitTailBoardCleared                     // one pass clears the tail board
	LimitStraightFinger                       // fingers keep a straight side
	LimitTailLeft                             // a tail is left at its root
	LimitTailEnters                           // the tail goes in between the pins
	LimitStraightFlank                        // straight flank beside straight flank at rest
	LimitSeats                                // not proud by more than can be planed away
	LimitPinsReachEnd                         // pins reach the pin board's end
	LimitSocketsBreakThrough                  // pin sockets open in the tail board's outside face
	LimitBearingOnTemplate                    // a bearing runs on the template, clear of the wood
	LimitCount
)

// Severity says what a broken limit means.
type Severity uint8

// Severities, the gravest first.
const (
	SeverityForbids  Severity = iota // tool, template, wood or joint would fail: not to be cut so
	SeverityNotFlush                 // the joint goes together, but not flush
	SeverityNote                     // worth a note: another joint than the usual one
)

// Severity returns what it means that the limit is broken.
func (c LimitCode) Severity() Severity {
	switch c {
	case LimitSeats, LimitPinsReachEnd:
		return SeverityNotFlush
	case LimitSocketsBreakThrough:
		return SeverityNote
	default:
		return SeverityForbids
	}
}

// Concerns reports whether the limit is one of set-ups with that kind of guide.
// One that does not concern a set-up is never known.
func (c LimitCode) Concerns(kind BushingKind) bool {
	switch c {
	case LimitCutterInBushing, LimitBarrelAboveWood:
		return kind == KindBushing
	case LimitBearingOnTemplate:
		return kind == KindBearing
	default:
		return true
	}
}

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
	// BarrelClearance keeps the barrel, or a bearing, off the wood: judgement.
	BarrelClearance = 0.5
	// LeastBearing is how much of a bearing's height has to run on the template:
	// half of one 3/16 in high, all of which is comfortable. The height is common
	// practice, no source, the half judgement.
	LeastBearing       = 3.0 / 16 * length.MillimetresPerInch / 2
	ComfortableBearing = 3.0 / 16 * length.MillimetresPerInch
	// LeastColletGrip of the shank: judgement; the tool's own instructions rule.
	LeastColletGrip = 20
	// LeastRoot of pins and tails, and of the pin at an edge: judgement.
	LeastRoot = 3
	// LeastTail of a tail's root along y and of straight flank, or
	// LeastTailShare of the tail board's thickness where that is more; a caution
	// below the comfortable ones. Judgement.
	LeastTail            = 3.0
	LeastTailShare       = 1.0 / 4
	ComfortableTail      = 4.0
	ComfortableTailShare = 1.0 / 3
	// LeastEntered is the share of a tail that has to be in between the pins.
	// Judgement.
	LeastEntered = 0.9
	// MostProud can be planed away; up to GoodProud it planes off, beyond it
	// deserves a caution. Judgement.
	MostProud = 1.0
	GoodProud = 0.15
)

// Limit is one limit of a set-up and how far the set-up stays within it.
type Limit struct {
	Code  LimitCode
	Known bool // false: it needs what was not stated
	// Elsewhere says that it is a limit of set-ups with another kind of guide; then
	// it is never known.
	Elsewhere bool
	Margin    length.Length // negative: broken by so much
	// Comfort is the margin below which the limit, though kept, deserves a
	// caution; 0 where any margin will do. Judgement.
	Comfort length.Length
}

// OK reports whether the limit is known and kept.
func (l Limit) OK() bool { return l.Known && l.Margin.Rounded() >= 0 }

// Broken reports whether the limit is known and not kept.
func (l Limit) Broken() bool { return l.Known && l.Margin.Rounded() < 0 }

// Tight reports whether the limit is kept, but deserves a caution.
func (l Limit) Tight() bool { return l.OK() && l.Margin.Rounded() < l.Comfort.Rounded() }

// Limits holds every limit of a set-up, indexed by its code.
type Limits [LimitCount]Limit

// Broken returns the first broken limit that forbids to cut the joint, if any.
func (l *Limits) Broken() (Limit, bool) {
	for _, limit := range l {
		if limit.Broken() && limit.Code.Severity() == SeverityForbids {
			return limit, true
		}
	}
	return Limit{}, false
}

// Furthest returns the limit that forbids to cut the joint and is broken
// furthest, if any.
func (l *Limits) Furthest() (worst Limit, broken bool) {
	for _, limit := range l {
		if limit.Broken() && limit.Code.Severity() == SeverityForbids && (!broken || limit.Margin < worst.Margin) {
			worst, broken = limit, true
		}
	}
	return worst, broken
}

// Limits returns every limit with its margin.
func (j *Joint) Limits() Limits {
	var all Limits
	e := j.Engagement()
	for i := range all {
		code := LimitCode(i)
		margin, known := j.margin(code, &e)
		all[i] = Limit{
			Code: code, Known: known, Elsewhere: !code.Concerns(j.setup.Bushing.Kind),
			Margin: length.Length(margin), Comfort: length.Length(j.comfort(code)),
		}
	}
	return all
}

// comfort returns the margin of a limit below which it deserves a caution.
func (j *Joint) comfort(code LimitCode) float64 {
	switch code {
	case LimitLap:
		return ComfortableLap - LeastLap
	case LimitFlareInTemplate:
		return ComfortableFlare - FlareClearance
	case LimitTailLeft, LimitStraightFlank:
		t := j.setup.TailBoard.Thickness.MM()
		return math.Max(ComfortableTail, ComfortableTailShare*t) - math.Max(LeastTail, LeastTailShare*t)
	case LimitSeats:
		return MostProud - GoodProud
	case LimitBearingOnTemplate:
		return ComfortableBearing - LeastBearing
	default:
		return 0
	}
}

// Lap returns the wood left between the socket's end and the pin board's
// outer face, t_p - h_p; ok is false where the thickness was not stated.
func (j *Joint) Lap() (lap length.Length, ok bool) {
	t := j.setup.PinBoard.Thickness
	return t.Length - length.Length(j.hp), t.Given
}

func (j *Joint) margin(code LimitCode, e *Engagement) (margin float64, known bool) {
	if !code.Concerns(j.setup.Bushing.Kind) {
		return 0, false
	}
	if code >= LimitTailLeft && code <= LimitSocketsBreakThrough {
		return j.engagementMargin(code, e)
	}
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
		root, _ := j.EdgePin()
		return root.MM() - LeastRoot, openings
	case LimitTailBoardCleared:
		reach := s.Template.Tail.FingerReach
		return reach.MM() + j.g/2 + j.radius(j.ht) - s.TailBoard.Thickness.MM(), openings && reach.Given && s.TailBoard.Thickness.Given
	case LimitStraightFinger:
		return j.straightFingerMargin()
	case LimitBearingOnTemplate:
		return j.bearingMargin()
	}
	return 0, false
}

// engagementMargin is the margin of a limit of section 13.
func (j *Joint) engagementMargin(code LimitCode, e *Engagement) (margin float64, known bool) {
	t := j.setup.TailBoard.Thickness
	wanted := math.Max(LeastTail, LeastTailShare*t.MM())
	switch code {
	case LimitTailLeft:
		return atMost(e.TailLeft, wanted, t.Given)
	case LimitTailEnters:
		reach := e.Entered.MM() - e.Seat.MM() // min(t_t, reach of the nose)
		return e.Entered.MM() - LeastEntered*reach, e.Entered.Known && (t.Given || e.Entered.MM() <= 0)
	case LimitStraightFlank:
		return atMost(e.StraightFlank, wanted, t.Given)
	case LimitSeats:
		return e.Seat.MM() + MostProud, e.Seat.Known && (t.Given || e.Seat.MM() > -MostProud)
	case LimitPinsReachEnd:
		return e.PinReach.MM(), e.PinReach.Known
	case LimitSocketsBreakThrough:
		return e.BreakThrough.MM(), e.BreakThrough.Known
	}
	return 0, false
}

// atMost is the margin of a length that is known for a thick tail board, if its
// thickness is known or if even a thick one would have too little.
func atMost(have Extent, wanted float64, thick bool) (margin float64, known bool) {
	margin = have.MM() - wanted
	return margin, have.Known && (thick || margin < 0)
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

// bearingMargin: a bearing sits on the shank from the cutting length on, so it
// begins at CL - h above the wood. It must be clear of the wood, which it does
// not fit into since the flare is slimmer there, at the deeper cut,
//
//	CL - h >= BarrelClearance,
//
// and enough of it must run on the template at the shallower one,
//
//	T - (CL - h) >= LeastBearing.
//
// Without the template's thickness only the first may be known to be broken. A
// neck or collar under the bearing lifts it further, which is not looked at.
func (j *Joint) bearingMargin() (margin float64, known bool) {
	cutting, template := j.setup.Cutter.CuttingLength, j.setup.Template.Thickness
	if !cutting.Given {
		return 0, false
	}
	overWood := cutting.MM() - j.h - BarrelClearance
	if !template.Given {
		return overWood, overWood < 0
	}
	onTemplate := template.MM() - (cutting.MM() - j.ShallowerDepth().MM()) - LeastBearing
	return math.Min(overWood, onTemplate), true
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

// LimitOf returns one limit with its margin.
func (j *Joint) LimitOf(code LimitCode) Limit {
	var e Engagement
	if code >= LimitTailLeft && code <= LimitSocketsBreakThrough {
		e = j.Engagement()
	}
	margin, known := j.margin(code, &e)
	return Limit{Code: code, Known: known, Margin: length.Length(margin), Comfort: length.Length(j.comfort(code))}
}
