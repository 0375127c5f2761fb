package belief

import (
	"math"
	"slices"

	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/joint/stock"
)

// wrongTool returns the branches of the four causes that say that a tool is
// not of the size stated: in part that the one in use is another, in part,
// where the size stated was measured and no label is known, that another was
// wanted.
func (m *model) wrongTool(c Code) []branch {
	kind, inUse := toolKind[c], m.inUse(c)
	var all []branch
	if inUse > 0 {
		for _, l := range m.otherSizes(c) {
			all = append(all, branch{cause: c, weight: inUse * l.Weight, mean: l.Mean, sd: l.SD, kind: kind, effect: toolEffect[c]})
		}
	}
	if inUse < 1 {
		for _, l := range m.wantedSizes(c) {
			all = append(all, branch{
				cause: c, weight: (1 - inUse) * l.Weight, mean: l.Mean, sd: l.SD, kind: kind, effect: wantedEffect[c], measured: true,
			})
		}
	}
	return all
}

var toolKind = [CauseCount]SizeKind{
	CauseBushingDiameter: SizeBushing, CauseCutterDiameter: SizeCutter, CauseCutterAngle: SizeAngle, CauseCutterResharpened: SizeCutter,
}

// What the tool in use has, added to what its label says; less for a ground cutter.
var toolEffect = [CauseCount]func(*model, float64) effect{
	CauseBushingDiameter:   func(_ *model, s float64) effect { return effect{bushing: s} },
	CauseCutterDiameter:    func(_ *model, s float64) effect { return effect{cutter: s} },
	CauseCutterAngle:       func(_ *model, s float64) effect { return effect{angle: s} },
	CauseCutterResharpened: func(_ *model, s float64) effect { return effect{cutter: -s} },
}

// What the tool wanted has, added to what is stated: it gives another play at
// the depth as stated.
var wantedEffect = [CauseCount]func(*model, float64) effect{
	CauseBushingDiameter:   func(_ *model, s float64) effect { return effect{intended: -2 * s} },
	CauseCutterDiameter:    func(_ *model, s float64) effect { return effect{intended: 2 * s} },
	CauseCutterAngle:       angleWanted,
	CauseCutterResharpened: func(_ *model, s float64) effect { return effect{intended: 2 * s} },
}

func angleWanted(m *model, s float64) effect {
	a, h := m.filled.setup.Cutter.Angle, m.meant.Deeper().MM()
	return effect{intended: -2 * h * ((a + joint.Angle(s)).Tan() - a.Tan())}
}

func (m *model) inUse(c Code) float64 {
	s := &m.filled.setup
	switch c {
	case CauseBushingDiameter:
		return actual(s.Bushing.Diameter, m.bushingMeasured(), s.Bushing.Labelled.Given || m.filled.missing.Bushing)
	case CauseCutterAngle:
		tolerance := s.Cutter.AngleTolerance
		return actual(length.Size{
			Given: true, HasTolerance: s.Cutter.HasAngleTolerance, Tolerance: length.Length(tolerance) / 5,
		}, m.angleMeasured(), m.filled.missing.Angle)
	}
	return actual(s.Cutter.Diameter, m.cutterMeasured(), s.Cutter.Labelled.Given || m.filled.missing.Cutter)
}

// How far a size that was stated may still not be the size in use: a caliper
// is misread now and then, and a size stated with a narrow tolerance was
// probably measured. Judgement.
const (
	misreadTool  = 0.06
	surelyStated = 0.35
	narrow       = 0.06 // tolerance, mm
)

// actual returns which share of a cause's weight is for a size in use that is
// not the one stated; the rest is for a size stated that is not the one wanted.
func actual(size length.Size, measured, labelKnown bool) float64 {
	switch {
	case labelKnown:
		return 1
	case measured:
		return misreadTool
	case size.HasTolerance && size.Tolerance <= narrow:
		return surelyStated
	}
	return 1
}

func (m *model) bushingMeasured() bool { return m.answered[CheckMeasureBushing] }

func (m *model) cutterMeasured() bool {
	return m.answered[CheckMeasureCutter] || m.answered[CheckScrapSlot]
}

func (m *model) angleMeasured() bool {
	return m.answered[CheckMeasureCutterAngle] || m.answered[CheckScrapSlot]
}

// How near another size must lie to be taken by mistake: its chance falls by e
// for each, mm and degrees. Judgement.
const (
	mistakenBushing, farthestBushing = 2.5, 6.5
	mistakenCutter, farthestCutter   = 2.0, 5.0
	mistakenAngle, farthestAngle     = 3.0, 8.0
	leastDiameter, leastAngle        = 0.05, 0.6
	asMarkedNot                      = 0.35 // share of an angle that is not quite the one marked
	offByAny                         = 0.10 // share of a diameter that is none of the standard ones
)

// otherSizes returns by how much the size in use may be another than the label
// says.
func (m *model) otherSizes(c Code) []Lump {
	s := &m.filled.setup
	switch c {
	case CauseBushingDiameter:
		opening := s.Template.Tail.Opening
		sizes := near(bushingSizes, m.label(s.Bushing.Diameter, s.Bushing.Labelled), leastDiameter, mistakenBushing, farthestBushing, func(g float64) bool {
			return !opening.Given || g < opening.MM()
		})
		return mixed(sizes, m.priors.Sizes[SizesTool], offByAny)
	case CauseCutterDiameter:
		need := 2 * m.latest.depth.Deeper().MM() * s.Cutter.Angle.Tan()
		sizes := near(cutterSizes, m.label(s.Cutter.Diameter, s.Cutter.Labelled), leastDiameter, mistakenCutter, farthestCutter, func(d float64) bool { return d > need })
		return mixed(sizes, m.priors.Sizes[SizesTool], offByAny)
	case CauseCutterAngle:
		sizes := near(cutterAngles, float64(s.Cutter.Angle), leastAngle, mistakenAngle, farthestAngle, func(float64) bool { return true })
		return mixed(sizes, m.priors.Sizes[SizesAngle], asMarkedNot)
	}
	return m.priors.Sizes[SizesGround]
}

func (m *model) label(stated, labelled length.Size) float64 {
	if labelled.Given {
		return labelled.MM()
	}
	return stated.MM()
}

func mixed(spikes, broad []Lump, share float64) []Lump {
	all := make([]Lump, 0, len(spikes)+len(broad))
	for _, l := range spikes {
		all = append(all, Lump{(1 - share) * l.Weight, l.Mean, l.SD})
	}
	for _, l := range broad {
		all = append(all, Lump{share * l.Weight, l.Mean, l.SD})
	}
	return all
}

// asSold is the standard uncertainty with which a measured size must be a
// standard one to count as that of another tool, mm. Judgement.
const asSold = 0.06

// How much likelier than other causes' a measured diameter is a ground
// cutter's if it is no standard size, if it is one, and if there is none above
// it that it may have been ground from. Judgement.
const (
	groundIfNot    = 2.5
	groundIfSold   = 0.2
	groundFromNone = 0.2
)

// wantedSizes returns by how much the size wanted may be another than the one
// measured. Another tool was taken only if the measured size is a standard
// one; a ground cutter was once one of the standard sizes above it.
func (m *model) wantedSizes(c Code) []Lump {
	sizes := m.otherSizes(c)
	s := &m.filled.setup
	switch c {
	case CauseBushingDiameter:
		return wantedInstead(sizes, bushingSizes, s.Bushing.Diameter.MM(), typicalBushing)
	case CauseCutterDiameter:
		return wantedInstead(sizes, cutterSizes, s.Cutter.Diameter.MM(), typicalCutter)
	case CauseCutterResharpened:
		standard := sold(cutterSizes, s.Cutter.Diameter.MM())
		return scaled(m.groundFrom(sizes), groundIfNot*(1-standard)+groundIfSold*standard)
	}
	return sizes
}

// commoner is how many times as common the commonest size is as any other.
// Judgement.
const commoner = 3

// wantedInstead weighs sizes wanted instead of the one in use: the commonest
// is wanted more often, and seldom is it the one taken by mistake.
func wantedInstead(sizes []Lump, standard []float64, inUse, commonest float64) []Lump {
	common := func(size float64) float64 {
		if math.Abs(size-commonest) < asSold {
			return commoner
		}
		return 1
	}
	sizes = slices.Clone(sizes)
	for i := range sizes {
		sizes[i].Weight *= common(inUse+sizes[i].Mean) / common(inUse)
	}
	return scaled(sizes, sold(standard, inUse))
}

// sold returns how well a size agrees with the nearest standard one, 0 to 1.
func sold(all []float64, size float64) float64 {
	best := 0.0
	for _, s := range all {
		z := (s - size) / asSold
		best = math.Max(best, math.Exp(-z*z/2))
	}
	return math.Max(best, 1e-3)
}

func scaled(sizes []Lump, by float64) []Lump {
	all := slices.Clone(sizes)
	for i := range all {
		all[i].Weight *= by
	}
	return all
}

// usualDensity of losses is that of a common one; a cutter that would have lost
// more or less than cutters do is the less likely a ground one.
const usualDensity = 3

// groundFrom returns by how much the measured cutter is below the standard
// sizes that it may have had; if there is none, as much as cutters lose.
func (m *model) groundFrom(losses []Lump) []Lump {
	const least, most = 0.06, 0.9
	d := m.filled.setup.Cutter.Diameter.MM()
	var all []Lump
	sum := 0.0
	for _, size := range cutterSizes {
		lost := size - d
		if lost < least || lost > most {
			continue
		}
		density := 0.0
		for _, l := range losses {
			z := (lost - l.Mean) / l.SD
			density += l.Weight / l.SD * math.Exp(-z*z/2)
		}
		all = append(all, Lump{density, lost, 0})
		sum += density
	}
	if sum == 0 {
		return scaled(losses, groundFromNone)
	}
	return scaled(all, 1/math.Max(sum, usualDensity))
}

// near returns the standard sizes near the one stated, as differences from it,
// likelier the nearer.
func near(all []float64, stated, least, by, farthest float64, fits func(float64) bool) []Lump {
	var sizes []Lump
	sum := 0.0
	for _, size := range all {
		off := size - stated
		if math.Abs(off) < least || math.Abs(off) > farthest || !fits(size) {
			continue
		}
		w := math.Exp(-math.Abs(off) / by)
		sizes = append(sizes, Lump{w, off, 0})
		sum += w
	}
	for i := range sizes {
		sizes[i].Weight /= sum
	}
	return sizes
}

// The standard sizes, from the built-in sets.
var (
	bushingSizes = func() []float64 {
		var all []float64
		for _, b := range stock.Bushings() {
			all = append(all, b.Diameter.MM())
		}
		return distinct(all)
	}()
	cutterSizes = func() []float64 {
		var all []float64
		for _, c := range stock.Cutters() {
			all = append(all, c.Diameter.MM())
		}
		return distinct(all)
	}()
	cutterAngles = func() []float64 {
		var all []float64
		for _, c := range stock.Cutters() {
			all = append(all, float64(c.Angle))
		}
		return distinct(all)
	}()
)

func distinct(all []float64) []float64 {
	slices.Sort(all)
	return slices.Compact(all)
}
