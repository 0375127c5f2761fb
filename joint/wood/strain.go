package wood

import "math"

// Grain is how a board was sawn from the log.
type Grain uint8

// Grains. GrainUnknown is taken as GrainMixed.
const (
	GrainUnknown Grain = iota
	FlatSawn           // growth rings along the width
	QuarterSawn        // growth rings through the thickness
	GrainMixed         // anything between, or both in one board
)

// String returns the grain's code, "unknown" for GrainUnknown.
func (g Grain) String() string { return code(g, "unknown", "flat_sawn", "quarter_sawn", "mixed") }

// ParseGrain returns the grain of a code. "unknown" is none: it is left out.
func ParseGrain(code string) (Grain, bool) {
	for g := FlatSawn; g <= GrainMixed; g++ {
		if g.String() == code {
			return g, true
		}
	}
	return GrainUnknown, false
}

// Direction is a direction across the grain of a board.
type Direction uint8

// Directions: along the width, and through the thickness.
const (
	Width Direction = iota
	Thickness
)

// Range, %, of the dimensional change coefficient. Wood Handbook, FPL-GTR-190,
// ch. 13, equation (13-2).
const (
	CoefficientFrom = 6
	CoefficientTo   = 14
)

// ShrinkageScatter is the coefficient of variation of shrinkage between pieces
// of clear wood of one species. Wood Handbook, FPL-GTR-190, ch. 4, from memory.
const ShrinkageScatter = 0.15

// Basis says what a strain rests on.
type Basis uint8

// Bases of a strain.
const (
	BasisNone        Basis = iota // nothing changed
	BasisCoefficient              // C dM, equation (13-2)
	BasisShrinkage                // equation (13-3)
	BasisBoth                     // part of the change by each
)

// String returns the basis's code.
func (b Basis) String() string { return code(b, "none", "coefficient", "shrinkage", "both") }

// Swelling is a board's strain across the grain and how sure it is.
type Swelling struct {
	Strain float64 // > 0: swells
	// Scatter is the standard uncertainty from the scatter between pieces,
	// of a species that is not known also from that between species. It has
	// the strain's sign: boards of one stock share it.
	Scatter float64
	// GrainSpread is half of how far the tangential strain is from the
	// radial one where the grain is mixed or not known, else 0.
	GrainSpread float64
	Basis       Basis
}

// Uncertainty returns the strain's standard uncertainty.
func (s Swelling) Uncertainty() float64 { return math.Hypot(s.Scatter, s.GrainSpread) }

// Strain returns how a board of w swells in a direction across the grain when
// its moisture content goes from one percentage to another, relative to its
// size at the first. Each percent counts at the rate that holds there: from 6
// to 14 % the dimensional change coefficient,
//
//	e = C (to - from)                                          (13-2)
//
// and outside, down to 0 and up to 30 %, shrinkage S in percent,
//
//	e = (to - from) / (30*100/S - 30 + from)                   (13-3)
//
// tangential for the width of a flat-sawn and the thickness of a quarter-sawn
// board, radial for the others, the mean of both where the grain is mixed or
// not known. A species that is not known has the middle value of the table
// (see [Middle]).
//
// Errors: *RangeError for a moisture content outside 0 to 30 %, *MissingError
// where the change leaves 6 to 14 % and no shrinkage was found.
//
// Source: Wood Handbook, FPL-GTR-190, ch. 13. Equation (13-3) is from memory;
// at 10 % it gives the coefficients of Table 13-5 to their last digit for most
// species, which confirms it. The handbook itself takes (13-3) for the whole
// change as soon as one end is outside; where Tables 4-3 and 13-5 agree that
// is the same within 2 %, and where they don't (redwood, for one) it would
// jump at 14 %. It says that the result probably overestimates width and
// underestimates thickness, boards being seldom perfectly flat- or
// quarter-sawn, and that (13-3) underestimates the change by about 5 % of it.
func Strain(w *Wood, grain Grain, direction Direction, fromPercent, toPercent float64) (Swelling, error) {
	for _, m := range [...]float64{fromPercent, toPercent} {
		if err := within(QuantityMoisture, m, LeastMoisture, FiberSaturation, unitPercent); err != nil {
			return Swelling{}, err
		}
	}
	c := curveOf(w, grain, direction)
	if missing := c.missing(fromPercent, toPercent); missing != nil {
		return Swelling{}, missing
	}
	return c.swelling(fromPercent, toPercent), nil
}

// rate is how fast wood moves in one direction of the log: coefficient C, 1/%,
// and shrinkage S, %, which is 0 where it was not found.
type rate struct {
	c, s      float64
	shrinkage PropertyName // what S is
	sheet     bool         // of a sheet material: c holds from oven-dry to saturation
}

// at returns the strain per percent of moisture content at m. Where shrinkage
// was not found it is C: it serves the uncertainty of a change that is none.
func (r rate) at(m float64) float64 {
	if r.sheet || r.s == 0 || m >= CoefficientFrom && m <= CoefficientTo {
		return r.c
	}
	return 1 / r.dry(m)
}

// dry is the denominator of equation (13-3).
func (r rate) dry(m float64) float64 { return FiberSaturation*100/r.s - FiberSaturation + m }

// strain returns the strain from one moisture content to another, part by part.
func (r rate) strain(from, to float64) float64 {
	if r.sheet {
		return r.c * (to - from)
	}
	below := r.shrunk(from, to, LeastMoisture, CoefficientFrom)
	middle := r.c * (clip(to, CoefficientFrom, CoefficientTo) - clip(from, CoefficientFrom, CoefficientTo))
	above := r.shrunk(from, to, CoefficientTo, FiberSaturation)
	return grown(grown(below, middle), above)
}

// shrunk is equation (13-3) for the part of a change that is within low to high.
func (r rate) shrunk(from, to, low, high float64) float64 {
	from, to = clip(from, low, high), clip(to, low, high)
	if from == to {
		return 0
	}
	return (to - from) / r.dry(from)
}

// grown returns the strain of two strains, one after the other.
func grown(a, b float64) float64 { return a + b + a*b }

func clip(m, low, high float64) float64 { return min(max(m, low), high) }

// curve is how one direction of one board moves: the mean of two rates, which
// are the same where the grain is known.
type curve struct {
	one, other rate
	scatter    float64 // coefficient of variation
	species    string
}

// curveOf returns the curve of a board of w. The tangential rate comes first.
func curveOf(w *Wood, grain Grain, direction Direction) curve {
	radial, tangential, spread := w.rates()
	c := curve{one: tangential, other: radial, scatter: math.Hypot(ShrinkageScatter, spread), species: w.ID}
	switch {
	case grain == FlatSawn && direction == Width, grain == QuarterSawn && direction == Thickness:
		c.other = tangential
	case grain == FlatSawn, grain == QuarterSawn:
		c.one = radial
	}
	return c
}

// rates returns the rates of a species and the coefficient of variation
// between species, which is 0 for one that is known.
func (w *Wood) rates() (radial, tangential rate, spread float64) {
	if !w.Known() {
		m := middle()
		spread = max(m.RadialCoefficient.Variation(), m.TangentialCoefficient.Variation())
		return rate{c: m.RadialCoefficient.Median, s: m.RadialShrinkage.Median, shrinkage: RadialShrinkage},
			rate{c: m.TangentialCoefficient.Median, s: m.TangentialShrinkage.Median, shrinkage: TangentialShrinkage}, spread
	}
	return rate{c: w.RadialCoefficient.Value, s: w.RadialShrinkage.Value, shrinkage: RadialShrinkage},
		rate{c: w.TangentialCoefficient.Value, s: w.TangentialShrinkage.Value, shrinkage: TangentialShrinkage}, 0
}

// missing returns what a change needs and the species lacks, or nil.
func (c *curve) missing(from, to float64) *MissingError {
	if basis := basisOf(from, to); basis == BasisNone || basis == BasisCoefficient {
		return nil
	}
	for _, r := range [...]rate{c.one, c.other} {
		if r.s == 0 && !r.sheet {
			return &MissingError{Species: c.species, Property: r.shrinkage}
		}
	}
	return nil
}

// swelling returns the strain of a change that lacks nothing.
func (c *curve) swelling(from, to float64) Swelling {
	one, other := c.one.strain(from, to), c.other.strain(from, to)
	mean := (one + other) / 2
	return Swelling{
		Strain: mean, Scatter: c.scatter * mean, GrainSpread: (one - other) / 2,
		Basis: basisOf(from, to),
	}
}

// rate returns the strain per percent of moisture content at m.
func (c *curve) rate(m float64) float64 { return (c.one.at(m) + c.other.at(m)) / 2 }

func basisOf(from, to float64) Basis {
	low, high := min(from, to), max(from, to)
	switch {
	case low == high:
		return BasisNone
	case low >= CoefficientFrom && high <= CoefficientTo:
		return BasisCoefficient
	case high <= CoefficientFrom || low >= CoefficientTo:
		return BasisShrinkage
	default:
		return BasisBoth
	}
}
