package wood

import (
	"errors"
	"math"

	"snugtail/joint/length"
)

// LongitudinalFactor makes the modulus of elasticity along the grain, E_L, of
// the bending modulus in the table. Wood Handbook, FPL-GTR-282, Table 5-1,
// footnote.
const LongitudinalFactor = 1.1

// Coefficients of variation between pieces of clear wood of one species. Wood
// Handbook, FPL-GTR-190, Table 5-6, from memory. None was found for the elastic
// ratios, so theirs is left out.
const (
	ModulusScatter     = 0.22
	CompressionScatter = 0.28
)

// Pushes, N, up to which a joint closes by hand, and with a mallet. Judgement,
// no source: an arm's steady push, and what blows reach before they bruise.
const (
	HandPush   = 200
	MalletPush = 2000
)

// Friction is the coefficient of friction between pin and tail and the range
// it is as good as sure to be in.
type Friction struct{ Value, Low, High float64 }

// DefaultFriction returns that of smooth dry wood: the middle of 0.3 to 0.5.
// Wood Handbook, FPL-GTR-282, ch. 4, against hard smooth surfaces; moist wood
// rubs harder.
func DefaultFriction() Friction { return Friction{Value: 0.4, Low: 0.3, High: 0.5} }

// Part is a pin or a tail as it is squeezed: its board's wood and grain, and
// its mean width, half-way between root and widest.
type Part struct {
	Wood      Wood // the zero Wood: species not known
	Grain     Grain
	MeanWidth length.Length
}

// Squeeze is a joint with interference.
type Squeeze struct {
	// Interference is i = -c. At 0 or below nothing is squeezed.
	Interference length.Length
	Pin, Tail    Part
	Depth        length.Length // h, the deeper of both boards'
	AngleDegrees float64       // a, between the cutter's flank and axis
	Engaged      length.Length // along y, the joint slid home
	Tails        int
	Friction     Friction // the zero Friction: DefaultFriction
}

// Interval is a value and the range that holds it with about 95 %.
type Interval struct{ Value, Low, High float64 }

// Missing says which properties a board's species lacks.
type Missing struct{ ElasticRatio, Compression bool }

// Words says in words how a joint is closed.
type Words uint8

// Words, from easy to hopeless. WordsUnknown: the push is not estimated.
const (
	WordsUnknown Words = iota
	ByHand
	Mallet
	Clamp
	Crushes // past the crush limit, whatever the push
)

// String returns the code of the words.
func (w Words) String() string { return code(w, "unknown", "by_hand", "mallet", "clamp", "crushes") }

// Effort is what it takes to close a joint: always an estimate.
type Effort struct {
	// Estimated says that pressure and push are: the elastic ratios of both
	// woods are known or both middle values.
	Estimated bool
	Pressure  Interval // MPa, across the grain
	Push      Interval // N, along y, all tails together, the joint nearly home
	Words     Words
	// CrushKnown says that the crush limit is: it needs the strength of both
	// woods too. Crush is the interference that bruises the weaker one.
	CrushKnown                 bool
	Crush, CrushLow, CrushHigh length.Length

	PinMissing, TailMissing Missing
	SpeciesUnknown          bool // a middle value stands in for one board or both
}

// Closing returns what it takes to close s. Pins and tails are squeezed across
// the grain, in series along x:
//
//	p = i / (w_t/E_t + w_p/E_p)        MPa
//	F = 2 n mu p h/cos(a) l            N, l the engaged length
//
// with E = 1.1 MOE times the elastic ratio, tangential for flat-sawn, radial
// for quarter-sawn boards, the mean where the grain is mixed or not known, and
// the crush limit the i at which p reaches the lower of the two proportional
// limits in compression across the grain.
//
// It is an estimate: the pin is held at its root, which stiffens it, the wood
// is taken as elastic, as at 12 % moisture content, and as an average of its
// species. The intervals hold that scatter, 95 %, and the whole range of the
// friction on top; a species that is not known has the middle value of the
// table and its spread. What a species lacks is in PinMissing and TailMissing,
// and what needs it is left out.
//
// Errors, of type *RangeError: widths, depth and engaged length 0.1 to 2000 mm,
// interference as far either way, angle 0 to 45 deg, tails 1 to 1000, friction
// 0 to 2 with Low <= Value <= High.
func Closing(s *Squeeze) (Effort, error) {
	if err := s.check(); err != nil {
		return Effort{}, err
	}
	pin, tail := s.Pin.stiffness(), s.Tail.stiffness()
	effort := Effort{
		PinMissing: pin.missing, TailMissing: tail.missing,
		SpeciesUnknown: !s.Pin.Wood.Known() || !s.Tail.Wood.Known(),
		Estimated:      !pin.missing.ElasticRatio && !tail.missing.ElasticRatio,
	}
	if !effort.Estimated {
		return effort, nil
	}
	k := seriesOf(pin, tail)
	effort.pushed(s, k)
	effort.crushed(k, pin, tail)
	effort.Words = effort.words(s.Interference)
	return effort, nil
}

// pushed sets pressure and push.
func (e *Effort) pushed(s *Squeeze, k compliance) {
	i := math.Max(0, s.Interference.MM())
	e.Pressure = spreadOut(i/k.value, k.variation)
	mu := s.Friction.orDefault()
	area := s.Depth.MM() / math.Cos(s.AngleDegrees*math.Pi/180) * s.Engaged.MM()
	flanks := 2 * float64(s.Tails) * area
	e.Push = Interval{
		flanks * mu.Value * e.Pressure.Value,
		flanks * mu.Low * e.Pressure.Low,
		flanks * mu.High * e.Pressure.High,
	}
}

// crushed sets the crush limit where both strengths are known.
func (e *Effort) crushed(k compliance, pin, tail stiffness) {
	if pin.missing.Compression || tail.missing.Compression {
		return
	}
	weaker := pin
	if tail.strength < pin.strength {
		weaker = tail
	}
	limit := spreadOut(weaker.strength*k.value, math.Hypot(k.variation, weaker.strengthVariation))
	e.CrushKnown = true
	e.Crush, e.CrushLow, e.CrushHigh = length.Length(limit.Value), length.Length(limit.Low), length.Length(limit.High)
}

func (e *Effort) words(interference length.Length) Words {
	switch {
	case e.CrushKnown && interference.Rounded() > e.Crush.Rounded():
		return Crushes
	case e.Push.Value <= HandPush:
		return ByHand
	case e.Push.Value <= MalletPush:
		return Mallet
	default:
		return Clamp
	}
}

// spreadOut returns the 95 % interval of a value with a coefficient of
// variation, taken as log-normal: it never reaches 0.
func spreadOut(value, variation float64) Interval {
	factor := math.Exp(2 * variation)
	return Interval{value, value / factor, value * factor}
}

func (f Friction) orDefault() Friction {
	if f == (Friction{}) {
		return DefaultFriction()
	}
	return f
}

// stiffness is a part as a spring, and what it bears.
type stiffness struct {
	width, modulus, modulusVariation float64 // mm, MPa
	strength, strengthVariation      float64 // MPa
	missing                          Missing
}

func (p *Part) stiffness() stiffness {
	s := stiffness{width: p.MeanWidth.MM()}
	radial, tangential, spread, known := p.Wood.moduli()
	s.missing.ElasticRatio = !known
	s.modulus, s.modulusVariation = across(p.Grain, radial, tangential)
	s.modulusVariation = math.Hypot(s.modulusVariation, math.Hypot(ModulusScatter, spread))
	if !p.Wood.Known() {
		m := middle().CompressionPerpendicular
		s.strength, s.strengthVariation = m.Median, math.Hypot(CompressionScatter, m.Variation())
		return s
	}
	s.strength, s.strengthVariation = p.Wood.CompressionPerpendicular.Value, CompressionScatter
	s.missing.Compression = !p.Wood.CompressionPerpendicular.Known
	return s
}

// moduli returns E_R and E_T and the coefficient of variation between species,
// which is 0 for one that is known.
func (w *Wood) moduli() (radial, tangential, spread float64, known bool) {
	if !w.Known() {
		m := middle()
		spread = max(m.RadialModulus.Variation(), m.TangentialModulus.Variation())
		return m.RadialModulus.Median, m.TangentialModulus.Median, spread, true
	}
	radial, hasRadial := w.modulusAcross(w.RadialRatio)
	tangential, hasTangential := w.modulusAcross(w.TangentialRatio)
	return radial, tangential, 0, hasRadial && hasTangential
}

// modulusAcross returns E = 1.1 MOE times an elastic ratio, MPa.
func (w *Wood) modulusAcross(ratio Property) (modulus float64, known bool) {
	return LongitudinalFactor * w.ModulusOfElasticity.Value * ratio.Value, w.ModulusOfElasticity.Known && ratio.Known
}

// across returns the modulus along a board's width, and the coefficient of
// variation from a grain that is mixed or not known.
func across(grain Grain, radial, tangential float64) (modulus, variation float64) {
	switch grain {
	case FlatSawn:
		return tangential, 0
	case QuarterSawn:
		return radial, 0
	default:
		return (radial + tangential) / 2, math.Abs(radial-tangential) / (radial + tangential)
	}
}

// compliance is w_t/E_t + w_p/E_p, mm/MPa.
type compliance struct{ value, variation float64 }

// seriesOf returns the compliance of two springs in series. Each one's
// variation counts by its share.
func seriesOf(pin, tail stiffness) compliance {
	p, t := pin.width/pin.modulus, tail.width/tail.modulus
	k := p + t
	return compliance{k, math.Hypot(p*pin.modulusVariation, t*tail.modulusVariation) / k}
}

const (
	steepestAngle    = 45   // deg, as for every angle of the service
	mostTails        = 1000 // a joint of the longest boards on the shortest pitch that is cut
	greatestFriction = 2
)

func (s *Squeeze) check() error {
	mu := s.Friction.orDefault()
	return errors.Join(
		signed(QuantityInterference, s.Interference.MM()),
		size(QuantityPinWidth, s.Pin.MeanWidth.MM()),
		size(QuantityTailWidth, s.Tail.MeanWidth.MM()),
		size(QuantityDepth, s.Depth.MM()),
		size(QuantityEngagedLength, s.Engaged.MM()),
		within(QuantityAngle, s.AngleDegrees, 0, steepestAngle, unitDegree),
		within(QuantityTails, float64(s.Tails), 1, mostTails, unitOne),
		within(QuantityFriction, mu.Value, 0, greatestFriction, unitOne),
		within(QuantityFrictionLow, mu.Low, 0, mu.Value, unitOne),
		within(QuantityFrictionHigh, mu.High, mu.Value, greatestFriction, unitOne),
	)
}
