package joint

import (
	"math"

	"snugtail/joint/length"
)

// Default tolerances of what only limits and seat depend on, half-widths as in
// sure.go. Judgement, no source.
const (
	ToleranceThickness = 0.10 // of a board, as planed
	ToleranceReach     = 0.10 // of the template's ends against the board's
)

// GoodInside is how far inside, mm, a tail board may end and still be good.
// Judgement.
const GoodInside = 0.05

// ChanceBroken returns the probability that a limit is broken in the wood, with
// a normal margin and the law of propagation (JCGM 100:2008, equation 10):
//
//	P = Phi(-margin / u),   u^2 = sum (dm/dx)^2 u_x^2
//
// over every size that is stated, each with half of its tolerance or of the
// documented default. So for the lap Phi((1/8 in - (t_p - h)) / sqrt(u_t^2 +
// u_h^2)), for the ridge on a thick tail board (LimitTailBoardCleared)
// Phi((t_t - (f0 + g/2 + r(h_t))) / u), for the lengths of Engagement with the u
// of the reach. Where the margin has a kink near by, as the seat's, the normal
// form is rough: see SeatChances. ok is false where the limit is not known.
//
// Source: joint/model.md, sections 13 and 17.
func (j *Joint) ChanceBroken(code LimitCode) (p float64, ok bool) {
	limit := j.LimitOf(code)
	if !limit.Known {
		return 0, false
	}
	u := j.uncertaintyOf(func(k *Joint) float64 { return k.LimitOf(code).Margin.MM() }, everySize)
	return chanceBelow(-limit.Margin.MM(), u), true
}

// chanceBelow is the probability that a normal error of standard deviation u is less
// than x; beyond 8 of them, and where nothing is unsure, it is 0 or 1 (6e-16 is lost).
func chanceBelow(x, u float64) float64 {
	switch {
	case x == 0:
		return 0.5
	case x <= -8*u:
		return 0
	case x >= 8*u:
		return 1
	}
	return NormalCDF(x / u)
}

// LapChance returns the probability that the lap is less than least,
//
//	Phi((least - (t_p - h)) / sqrt(u_t^2 + u_h^2));
//
// ok is false where the pin board's thickness was not stated. Source: joint/model.md,
// section 17.
func (j *Joint) LapChance(least length.Length) (p float64, ok bool) {
	lap, ok := j.Lap()
	if !ok {
		return 0, false
	}
	return chanceBelow((least - lap).MM(), j.lapUncertainty()), true
}

func (j *Joint) lapUncertainty() float64 {
	return math.Hypot(
		j.setup.PinBoard.Thickness.StandardUncertainty(ToleranceThickness),
		j.setup.Depth.PinBoard.StandardUncertainty(ToleranceDepthSet),
	)
}

// DeepestForLap returns the depth of cut that keeps the chance of a lap less
// than least to p, 0 < p < 1: t_p - least - z_p sqrt(u_t^2 + u_h^2). ok is false
// where the pin board's thickness was not stated, or p is out of range. Source:
// joint/model.md, section 17.
func (j *Joint) DeepestForLap(least length.Length, p float64) (h length.Length, ok bool) {
	t := j.setup.PinBoard.Thickness
	if !t.Given || !(p > 0 && p < 1) {
		return 0, false
	}
	return t.Length - least - length.Length(normalQuantile(1-p)*j.lapUncertainty()), true
}

// normalQuantile is the inverse of NormalCDF.
func normalQuantile(p float64) float64 { return math.Sqrt2 * math.Erfinv(2*p-1) }

// Lot says how boards err together.
type Lot uint8

// Lots of boards.
const (
	Apart      Lot = iota // bought or planed at different times: each errs by itself
	OnePlaning            // from one planing: all err alike
)

// ChanceOfAny returns the chance that at least one of n boards is bad when each
// is with probability p: 1 - (1 - p)^n for boards that err apart, p for boards
// from one planing. n p of them are expected either way. Source: joint/model.md,
// section 17.
func (l Lot) ChanceOfAny(p float64, n int) float64 {
	if n <= 0 {
		return 0
	}
	if l == OnePlaning {
		return p
	}
	return -math.Expm1(float64(n) * math.Log1p(-p))
}

// SeatChance is how likely a tail board ends where it should not.
type SeatChance struct {
	Inside float64 // more than GoodInside inside
	Proud  float64 // more than GoodProud proud
}

// SeatChances returns how likely the seat is out, with the tail board's
// thickness normal and everything else linear:
//
//	P = integral phi(t) Phi((bound - q(t)) / u_q) dt
//
// It integrates over the thickness since q(t) has a kink where the nose is just
// whole: there the seat errs to one side only. ok is false where Seat is
// unknown. Source: joint/model.md, section 17.
func (j *Joint) SeatChances() (c SeatChance, ok bool) {
	if !j.Seat().Known {
		return SeatChance{}, false
	}
	play := j.Play().MM()
	seat := func(k *Joint) float64 {
		q, _ := k.seatAt(math.Max(0, k.Play().MM()))
		return q
	}
	u := j.uncertaintyOf(seat, allButTailThickness)
	at, chance := math.NaN(), SeatChance{}
	out := func(k *Joint) SeatChance {
		if q, _ := k.seatAt(play); q != at { // boards thick enough for the whole nose end alike
			at = q
			chance.Inside = chanceBelow(q-GoodInside, u)
			chance.Proud = chanceBelow(-GoodProud-q, u)
		}
		return chance
	}
	t := j.setup.TailBoard.Thickness
	ut := t.StandardUncertainty(ToleranceThickness)
	if !t.Given || ut <= 0 {
		return out(j), true
	}
	k := *j
	return overNormal(t.MM(), ut, func(thickness float64) SeatChance {
		k.setup.TailBoard.Thickness.Length = length.Length(thickness)
		return out(&k)
	}), true
}

// node is where a rule of integration looks, in standard deviations from the mean,
// and what that counts for.
type node struct{ z, weight float64 }

// simpson is Simpson's rule within 6 standard deviations, times the density of a
// normal distribution up to a factor.
var simpson = func() (nodes [81]node) {
	const panels, reach = len(nodes) - 1, 6.0
	for i := range nodes {
		z := reach * (2*float64(i)/float64(panels) - 1)
		nodes[i] = node{z, math.Exp(-z*z/2) * float64(2+2*(i%2))}
	}
	return nodes
}()

// overNormal is the mean of f over a normal distribution.
func overNormal(mean, sd float64, f func(x float64) SeatChance) SeatChance {
	var sum SeatChance
	total := 0.0
	for _, n := range simpson {
		at := f(mean + n.z*sd)
		sum.Inside += n.weight * at.Inside
		sum.Proud += n.weight * at.Proud
		total += n.weight
	}
	return SeatChance{sum.Inside / total, sum.Proud / total}
}

// uncertaintyOf is the standard uncertainty of a length that follows from the
// set-up, each size moved by its own standard uncertainty both ways.
func (j *Joint) uncertaintyOf(quantity func(*Joint) float64, sizes func(*Setup) []variation) float64 {
	variance := 0.0
	var moved Joint // on the edge of the possible it still has lengths
	at := func(v *variation, by float64) float64 {
		moved.setup = j.setup
		v.move(&moved.setup, length.Length(by))
		moved.measure()
		return quantity(&moved)
	}
	for _, v := range sizes(&j.setup) {
		if v.u != 0 {
			variance += square((at(&v, v.u) - at(&v, -v.u)) / 2)
		}
	}
	return math.Sqrt(variance)
}

// variation is one size that is unsure: by how much, and how to move it.
type variation struct {
	u    float64
	move func(s *Setup, by length.Length)
}

func everySize(s *Setup) []variation {
	return append(allButTailThickness(s), variation{
		s.TailBoard.Thickness.StandardUncertainty(ToleranceThickness),
		func(s *Setup, by length.Length) { s.TailBoard.Thickness.Length += by },
	})
}

func allButTailThickness(s *Setup) []variation {
	const most = 16
	all := append(make([]variation, 0, most), []variation{
		{math.Sqrt(s.Cutter.DiameterVariance()), func(s *Setup, by length.Length) { s.Cutter.Diameter.Length += by }},
		{s.Cutter.AngleUncertainty(), func(s *Setup, by length.Length) { s.Cutter.Angle += Angle(by) }},
		{s.Cutter.CuttingLength.StandardUncertainty(0), func(s *Setup, by length.Length) { s.Cutter.CuttingLength.Length += by }},
		{s.Bushing.Diameter.StandardUncertainty(ToleranceBushing), func(s *Setup, by length.Length) { s.Bushing.Diameter.Length += by }},
		{s.Bushing.OffsetY.StandardUncertainty(0), func(s *Setup, by length.Length) { s.Bushing.OffsetY.Length += by }},
		{s.SideStopError.StandardUncertainty(0), func(s *Setup, by length.Length) { s.SideStopError.Length += by }},
		{s.PinBoard.Thickness.StandardUncertainty(ToleranceThickness), func(s *Setup, by length.Length) { s.PinBoard.Thickness.Length += by }},
	}...)
	all = append(all, depthVariations(s)...)
	return append(all, templateVariations(s)...)
}

// depthVariations: one setting for both boards errs once, two err apart.
func depthVariations(s *Setup) []variation {
	pin, tail := s.Depth.PinBoard, s.Depth.TailBoard
	if pin == tail {
		return []variation{{pin.StandardUncertainty(ToleranceDepthSet), func(s *Setup, by length.Length) {
			s.Depth.PinBoard.Length += by
			s.Depth.TailBoard.Length += by
		}}}
	}
	return []variation{
		{pin.StandardUncertainty(ToleranceDepthSet), func(s *Setup, by length.Length) { s.Depth.PinBoard.Length += by }},
		{tail.StandardUncertainty(ToleranceDepthSet), func(s *Setup, by length.Length) { s.Depth.TailBoard.Length += by }},
	}
}

func templateVariations(s *Setup) []variation {
	switch s.Template.Kind {
	case OnePiece:
		return onePieceVariations(&s.Template)
	case TwoPosition:
		return append(
			passVariations(&s.Template.Tail, s.Template.Tail.Opening, func(t *Template) *Pass { return &t.Tail }),
			passVariations(&s.Template.Pin, s.Template.Pin.Finger, func(t *Template) *Pass { return &t.Pin })...,
		)
	default:
		return nil
	}
}

// onePieceVariations: opening and reaches serve both passes, and a longer pitch
// leaves wider fingers.
func onePieceVariations(t *Template) []variation {
	both := func(move func(p *Pass, by length.Length)) func(s *Setup, by length.Length) {
		return func(s *Setup, by length.Length) {
			move(&s.Template.Tail, by)
			move(&s.Template.Pin, by)
		}
	}
	return []variation{
		{t.Tail.Opening.StandardUncertainty(ToleranceTemplate), both((*Pass).widen)},
		{t.Tail.OpeningReach.StandardUncertainty(ToleranceReach), both(func(p *Pass, by length.Length) { p.OpeningReach.Length += by })},
		{t.Tail.FingerReach.StandardUncertainty(ToleranceReach), both(func(p *Pass, by length.Length) { p.FingerReach.Length += by })},
		{t.Pitch.StandardUncertainty(ToleranceTemplate), func(s *Setup, by length.Length) {
			s.Template.Pitch.Length += by
			s.Template.Tail.Finger.Length += by
			s.Template.Pin.Finger.Length += by
		}},
	}
}

// passVariations of one pass of two; width is what of it was measured.
func passVariations(p *Pass, width length.Size, of func(t *Template) *Pass) []variation {
	return []variation{
		{width.StandardUncertainty(ToleranceTemplate), func(s *Setup, by length.Length) { of(&s.Template).widen(by) }},
		{p.OpeningReach.StandardUncertainty(ToleranceReach), func(s *Setup, by length.Length) { of(&s.Template).OpeningReach.Length += by }},
		{p.FingerReach.StandardUncertainty(ToleranceReach), func(s *Setup, by length.Length) { of(&s.Template).FingerReach.Length += by }},
	}
}

// widen makes the opening wider and, at one pitch, the finger narrower.
func (p *Pass) widen(by length.Length) {
	p.Opening.Length += by
	p.Finger.Length -= by
}
