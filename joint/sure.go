package joint

import (
	"math"

	"snugtail/joint/length"
)

// Default tolerances, half-widths in mm or degrees that hold where none is
// stated, taken as two standard uncertainties. Judgement, no source.
const (
	ToleranceBushing       = 0.05
	ToleranceNewCutter     = 0.05
	ToleranceUsedCutter    = 0.10
	ToleranceReground      = 0.16
	ToleranceAngle         = 0.3 // degrees
	ToleranceTemplate      = 0.05
	ToleranceAllowance     = 0.15
	ToleranceDepthSet      = 0.15
	ToleranceDepthMeasured = 0.08
	ToleranceCaliper       = 0.05
	ToleranceGap           = 0.15
)

// A cutter of unknown history is as new, or it has been reground: somewhere
// from +0.02 to -0.30 mm, taken as RegroundShift +- ToleranceReground.
// One in four is judgement, no source.
const (
	RegroundShare = 0.25
	RegroundShift = -0.14
)

// Source is what a part of the uncertainty of play comes from.
type Source uint8

// Sources of uncertainty.
const (
	SourceBushing Source = iota
	SourceCutter
	SourceAngle
	SourceTemplate
	SourceDepth   // how exactly the depth is set
	SourceLearned // what test cuts left unsure of all but the depth
	SourceCount
)

// Budget is the variance of play by source, mm^2 (law of propagation,
// JCGM 100:2008, equation 10).
type Budget [SourceCount]float64

// Total returns u_c^2.
func (b Budget) Total() float64 {
	sum := 0.0
	for _, v := range b {
		sum += v
	}
	return sum
}

// Lasting returns the variance of what stays the same from one test joint to
// the next: all but the setting of the depth.
func (b Budget) Lasting() float64 { return b.Total() - b[SourceDepth] }

// Share returns the share of a source in the variance, 0 to 1.
func (b Budget) Share(s Source) float64 {
	if total := b.Total(); total > 0 {
		return b[s] / total
	}
	return 0
}

// Budget returns the variance of the joint's play by source, with
//
//	dc/dd = 2, dc/dg = -2, dc/dh = -2 tan a, dc/da = -2 h sec^2 a
//
// Where test cuts have taught the set-up's offset, what they left unsure
// stands for all that lasts. For a template known by a proven joint only what differs from that joint
// counts: the same id of cutter or bushing is the same piece of steel.
func (j *Joint) Budget() Budget {
	s := &j.setup
	b := Budget{
		SourceBushing:  square(2 * s.Bushing.Diameter.StandardUncertainty(ToleranceBushing)),
		SourceCutter:   4 * s.Cutter.DiameterVariance(),
		SourceAngle:    square(s.Cutter.PlayPerAngle(j.h) * s.Cutter.AngleUncertainty()),
		SourceTemplate: s.Template.variance(),
		SourceDepth:    square(2 * j.tanA * s.Depth.Deeper().StandardUncertainty(ToleranceDepthSet)),
	}
	if s.Offset.Known {
		return Budget{SourceDepth: b[SourceDepth], SourceLearned: square(s.Offset.SD.MM())}
	}
	if s.Template.Kind == Proven {
		j.budgetAgainstProven(&b)
	}
	return b
}

// budgetAgainstProven cancels what the joint has in common with the proven
// one, and adds what was different there.
func (j *Joint) budgetAgainstProven(b *Budget) {
	s, proven := &j.setup, j.setup.Template.Joint
	if SamePiece(s.Bushing.ID, proven.Bushing.ID) {
		b[SourceBushing] = 0
	} else {
		b[SourceBushing] += square(2 * proven.Bushing.Diameter.StandardUncertainty(ToleranceBushing))
	}
	if SamePiece(s.Cutter.ID, proven.Cutter.ID) {
		b[SourceCutter] = 0
		perAngle := s.Cutter.PlayPerAngle(j.h - proven.Depth.MM())
		b[SourceAngle] = square(perAngle * s.Cutter.AngleUncertainty())
		return
	}
	b[SourceCutter] += 4 * proven.Cutter.DiameterVariance()
	b[SourceAngle] += square(proven.Cutter.PlayPerAngle(proven.Depth.MM()) * proven.Cutter.AngleUncertainty())
}

// SamePiece reports whether two ids name the same piece of steel.
func SamePiece(a, b string) bool { return a != "" && a == b }

// variance of the allowance K that the template contributes, mm^2. A one-piece
// template's S and F = P - S are one opening cut twice: dK/dS = 2, dK/dP = -1.
func (t *Template) variance() float64 {
	switch t.Kind {
	case OnePiece:
		return square(2*t.Tail.Opening.StandardUncertainty(ToleranceTemplate)) +
			square(t.Pitch.StandardUncertainty(ToleranceTemplate))
	case TwoPosition:
		return square(t.Tail.Opening.StandardUncertainty(ToleranceTemplate)) +
			square(t.Pin.Finger.StandardUncertainty(ToleranceTemplate))
	case Proven:
		perDepth := 2 * t.Joint.Cutter.Angle.Tan()
		return square(t.Joint.Play.StandardUncertainty(0)) +
			square(perDepth*t.Joint.Depth.StandardUncertainty(ToleranceDepthSet))
	default:
		return square(t.Allowance.StandardUncertainty(ToleranceAllowance))
	}
}

// Uncertainties returns the standard uncertainties of the template's own
// unknowns, mm: of opening and pitch for a one-piece template, of the tail
// pass's opening and the pin pass's finger for a two-position one, otherwise
// of K and 0. For a proven joint K carries the pieces of steel that the cutter
// and bushing now in use do not share with it.
func (t *Template) Uncertainties(cutter *Cutter, bushing *Bushing) (a, b float64) {
	switch t.Kind {
	case OnePiece:
		return t.Tail.Opening.StandardUncertainty(ToleranceTemplate), t.Pitch.StandardUncertainty(ToleranceTemplate)
	case TwoPosition:
		return t.Tail.Opening.StandardUncertainty(ToleranceTemplate), t.Pin.Finger.StandardUncertainty(ToleranceTemplate)
	case AllowanceOnly:
		return t.Allowance.StandardUncertainty(ToleranceAllowance), 0
	}
	v := t.variance()
	if !SamePiece(bushing.ID, t.Joint.Bushing.ID) {
		v += square(2 * t.Joint.Bushing.Diameter.StandardUncertainty(ToleranceBushing))
	}
	if c := &t.Joint.Cutter; !SamePiece(cutter.ID, c.ID) {
		v += 4*c.DiameterVariance() + square(c.PlayPerAngle(t.Joint.Depth.MM())*c.AngleUncertainty())
	}
	return math.Sqrt(v), 0
}

// DiameterVariance returns the variance of the cutter's diameter, mm^2.
func (c *Cutter) DiameterVariance() float64 {
	if c.HistoryUnknown() {
		asNew, reground := square(ToleranceNewCutter/2.0), square(ToleranceReground/2.0)
		mean := RegroundShare * RegroundShift
		return (1-RegroundShare)*(asNew+square(mean)) +
			RegroundShare*(reground+square(RegroundShift-mean))
	}
	return square(c.Diameter.StandardUncertainty(c.defaultTolerance()))
}

// HistoryUnknown reports whether the diameter may be a reground one.
func (c *Cutter) HistoryUnknown() bool {
	return c.Condition == ConditionUnknown && !c.Diameter.HasTolerance
}

func (c *Cutter) defaultTolerance() length.Length {
	switch c.Condition {
	case ConditionUsed:
		return ToleranceUsedCutter
	case ConditionResharpened, ConditionUnknown:
		return ToleranceReground
	default:
		return ToleranceNewCutter
	}
}

// PlayPerAngle returns |dc/da| = 2 h sec^2 a for each degree.
func (c *Cutter) PlayPerAngle(h float64) float64 {
	cos := math.Cos(c.Angle.Radians())
	return 2 * math.Abs(h) / (cos * cos) * math.Pi / 180
}

// AngleUncertainty in degrees, standard.
func (c *Cutter) AngleUncertainty() float64 {
	if c.HasAngleTolerance {
		return float64(c.AngleTolerance) / 2
	}
	return ToleranceAngle / 2
}

func square(x float64) float64 { return x * x }

// Spread is the distribution of play: a normal one, or for a cutter of
// unknown history two of them, weighed. Lengths in mm.
type Spread struct {
	parts [2]normal
	count int
}

type normal struct{ weight, mean, sd float64 }

// NormalSpread returns a normal distribution.
func NormalSpread(mean, sd float64) Spread {
	return Spread{parts: [2]normal{{1, mean, sd}}, count: 1}
}

// Spread returns the distribution of the joint's play.
func (j *Joint) Spread() Spread { return j.spread(j.Budget(), true) }

// LastingSpread returns the distribution of b, what the set-up adds to play
// from one test joint to the next: everything but the setting of the depth.
func (j *Joint) LastingSpread() Spread {
	b := j.Budget()
	b[SourceDepth] = 0
	return j.spread(b, false)
}

func (j *Joint) spread(b Budget, aroundPlay bool) Spread {
	mean := 0.0
	if aroundPlay {
		mean = j.Play().MM()
	}
	if !j.setup.Cutter.HistoryUnknown() || b[SourceCutter] == 0 {
		return NormalSpread(mean, math.Sqrt(b.Total()))
	}
	extra := b[SourceCutter] - 4*j.setup.Cutter.DiameterVariance() // the proven cutter's
	rest := b.Total() - b[SourceCutter] + extra
	return Spread{count: 2, parts: [2]normal{
		{1 - RegroundShare, mean, math.Sqrt(rest + square(2*ToleranceNewCutter/2))},
		{RegroundShare, mean + 2*RegroundShift, math.Sqrt(rest + square(2*ToleranceReground/2))},
	}}
}

// CDF returns the probability that play is at most x.
func (s Spread) CDF(x float64) float64 {
	sum := 0.0
	for _, n := range s.parts[:s.count] {
		sum += n.weight * n.cdf(x)
	}
	return sum
}

// Density returns the probability density of play at x, per mm. A spread
// without width has none.
func (s Spread) Density(x float64) float64 {
	sum := 0.0
	for _, n := range s.parts[:s.count] {
		if n.sd > 0 {
			z := (x - n.mean) / n.sd
			sum += n.weight * math.Exp(-z*z/2) / (n.sd * math.Sqrt(2*math.Pi))
		}
	}
	return sum
}

func (n normal) cdf(x float64) float64 {
	if n.sd <= 0 {
		if x < n.mean {
			return 0
		}
		return 1
	}
	return NormalCDF((x - n.mean) / n.sd)
}

// NormalCDF returns the standard normal distribution function.
func NormalCDF(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }

// Mean returns the expected play.
func (s Spread) Mean() float64 {
	sum := 0.0
	for _, n := range s.parts[:s.count] {
		sum += n.weight * n.mean
	}
	return sum
}

// SD returns the standard uncertainty of play.
func (s Spread) SD() float64 {
	mean, sum := s.Mean(), 0.0
	for _, n := range s.parts[:s.count] {
		sum += n.weight * (square(n.sd) + square(n.mean-mean))
	}
	return math.Sqrt(sum)
}

// RangeHolds is the probability with which the range of play holds it.
const RangeHolds = 0.95

// Range95 returns the range that holds play with a probability of 95 %,
// 2.5 % left on either side.
func (s Spread) Range95() (low, high float64) {
	const z = 1.959963984540054
	if s.count == 1 {
		n := s.parts[0]
		return n.mean - z*n.sd, n.mean + z*n.sd
	}
	return s.quantile(0.025), s.quantile(0.975)
}

// quantile by Newton's steps, and by halves where one would leave the bracket:
// the distribution function of two normals has no closed inverse.
func (s Spread) quantile(p float64) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for _, n := range s.parts[:s.count] {
		low, high = math.Min(low, n.mean-8*n.sd), math.Max(high, n.mean+8*n.sd)
	}
	const enough = 1e-12 // mm; rounding of answers is far coarser
	x := (low + high) / 2
	for range 60 {
		off := s.CDF(x) - p
		if off < 0 {
			low = x
		} else {
			high = x
		}
		next := x - off/s.Density(x)
		if !(next > low && next < high) {
			next = (low + high) / 2
		}
		if math.Abs(next-x) < enough {
			return next
		}
		x = next
	}
	return x
}

// shifted returns the spread moved by dx.
func (s Spread) shifted(dx float64) Spread {
	for i := range s.count {
		s.parts[i].mean += dx
	}
	return s
}

// A Distribution of play: a Spread, or what test cuts left of one.
type Distribution interface {
	CDF(x float64) float64
}

// BandProbability is the probability of each band, indexed by Band.
type BandProbability [bandCount]float64

// Probabilities returns the probability of each band.
func Probabilities[D Distribution](d D, bands Bands) BandProbability {
	var p BandProbability
	below := 0.0
	for i, edge := range bands.Edges() {
		at := d.CDF(edge)
		if i == 0 && bands.CrushSD > 0 {
			at = belowCrush(d, bands)
		}
		p[i], below = at-below, at
	}
	p[TooLoose] = 1 - below
	return p
}

// belowCrush averages over what the crush limit may be: the three points of
// Gauss and Hermite, exact for a cubic.
func belowCrush[D Distribution](d D, bands Bands) float64 {
	reach := math.Sqrt(3) * bands.CrushSD.MM()
	at := func(off float64) float64 { return d.CDF(math.Min(-bands.Crush.MM()+off, TightBelow)) }
	return (at(-reach) + 4*at(0) + at(reach)) / 6
}

// InTarget returns the probability that play is within the target's range.
func InTarget[D Distribution](d D, t Target) float64 {
	return math.Max(0, d.CDF(t.To.MM())-d.CDF(t.From.MM()))
}
