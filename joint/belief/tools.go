package belief

import (
	"snugtail/joint"
	"snugtail/joint/belief/sizes"
	"snugtail/joint/length"
)

// wrongTool returns the branches of the four causes that say that a tool is
// not of the size stated: in part that the one in use is another, in part,
// where the size stated was measured and no label is known, that another was
// wanted.
func (m *model) wrongTool(c Code) []branch {
	kind, inUse := toolKind[c], m.inUse(c)
	var all []branch
	if inUse > 0 {
		wrong := m.miswritten(c)
		for _, l := range m.otherSizes(c) {
			all = append(all, branch{cause: c, weight: inUse * (1 - wrong) * l.Weight, mean: l.Mean, sd: l.SD, kind: kind, effect: toolEffect[c]})
		}
		if wrong > 0 {
			for _, l := range m.miswrittenSizes(c) {
				all = append(all, branch{cause: c, weight: inUse * wrong * l.Weight, mean: l.Mean, sd: l.SD, kind: kind, effect: toolMiswritten(c), other: meantRoughly})
			}
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

// toolMiswritten is of a size that was written down wrongly: the tool in use has
// another, and is the one that was wanted.
func toolMiswritten(c Code) func(*model, float64) effect {
	return func(m *model, s float64) effect {
		e, wanted := toolEffect[c](m, s), wantedEffect[c](m, s)
		return e.plus(&wanted)
	}
}

// miswrittenSizes is by how much the size may be another than the one written
// down: a diameter by any amount, an angle is one of those that cutters have.
func (m *model) miswrittenSizes(c Code) []Lump {
	if c == CauseCutterAngle {
		return m.otherSizes(c)
	}
	return []Lump{anyAmount}
}

// anyAmount and anyDepth are by how much a size and a depth are off that were
// read from the wrong line, or typed wrongly, mm. Judgement.
var anyAmount, anyDepth = Lump{Weight: 1, SD: 2}, Lump{Weight: 1, SD: 3}

// miswritten returns which share of a cause's weight is for a size that was
// written down wrongly; where a size was measured after it was asked for, for
// that one misread. Judgement.
func (m *model) miswritten(c Code) float64 {
	const tool, template = 0.03, 0.2
	s, missing := &m.filled.setup, &m.filled.missing
	switch {
	case c == CauseBushingDiameter && !missing.Bushing && !s.Bushing.Labelled.Given,
		c == CauseCutterDiameter && !missing.Cutter && !s.Cutter.Labelled.Given,
		c == CauseCutterAngle && !missing.Angle:
		return tool
	case c == CauseTemplateSize && m.answered[CheckMeasureTemplate]:
		return template * misreadTool
	case c == CauseTemplateSize:
		return template
	}
	return 0
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

// otherSizes returns by how much the size in use may be another than the label
// says.
func (m *model) otherSizes(c Code) []Lump {
	s := &m.filled.setup
	switch c {
	case CauseBushingDiameter:
		opening := s.Template.Tail.Opening
		return sizes.OtherBushings(m.label(s.Bushing.Diameter, s.Bushing.Labelled), m.priors.Sizes[sizes.Tool], func(g float64) bool {
			return !opening.Given || g < opening.MM()
		})
	case CauseCutterDiameter:
		need := 2 * m.latest.depth.Deeper().MM() * s.Cutter.Angle.Tan()
		return sizes.OtherCutters(m.label(s.Cutter.Diameter, s.Cutter.Labelled), m.priors.Sizes[sizes.Tool], func(d float64) bool { return d > need })
	case CauseCutterAngle:
		return sizes.OtherAngles(float64(s.Cutter.Angle), m.priors.Sizes[sizes.Angle])
	}
	return m.priors.Sizes[sizes.Ground]
}

func (m *model) label(stated, labelled length.Size) float64 {
	if labelled.Given {
		return labelled.MM()
	}
	return stated.MM()
}

// wantedSizes returns by how much the size wanted may be another than the one
// measured. Another tool was taken only if the measured size is a standard
// one; a ground cutter was once one of the standard sizes above it.
func (m *model) wantedSizes(c Code) []Lump {
	others := m.otherSizes(c)
	s := &m.filled.setup
	switch c {
	case CauseBushingDiameter:
		return sizes.WantedBushings(others, s.Bushing.Diameter.MM(), typicalBushing)
	case CauseCutterDiameter:
		return sizes.WantedCutters(others, s.Cutter.Diameter.MM(), typicalCutter)
	case CauseCutterResharpened:
		return sizes.GroundFrom(others, s.Cutter.Diameter.MM())
	}
	return others
}
