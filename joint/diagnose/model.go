package diagnose

import (
	"errors"
	"fmt"
	"math"

	"snugtail/joint"
	"snugtail/joint/learn"
	"snugtail/joint/length"
)

// The unknowns that all test joints have in common: how far cutter, bushing,
// template and angle are off what was stated, how far the template's place and
// the side stop are, and the depth where none was stated. Last the size of the
// cause, as its deviation from the branch's mean. For every test joint there
// are two more: how much deeper it was cut than set, and how much deeper the
// tail board than the pin board.
const (
	ofCutter = iota
	ofBushing
	ofTemplateA
	ofTemplateB
	ofAngle
	ofSeat
	ofStop
	ofDepth
	ofSize
	unknowns
)

const (
	cutDeeper = iota
	cutUneven
	ownUnknowns
)

// Standard uncertainties of the background that the joint package has no
// default for, mm. Judgement, no source.
const (
	seatSD        = 0.12 // where the template is meant to be
	seatUnknownSD = 0.25 // the same where its reaches are not known
	stopSD        = 0.08 // side stop
	unevenSD      = 0.04 // boards clamped level
	placeSD       = 0.03 // from place to place along the joint
	partSD        = 0.02 // from one pin or tail to the next
	chartSD       = 0.12 // play of the sizes as stated off the target: sizes are chosen to fit
)

// What is taken for a size that was not stated, mm and degrees: the commonest
// ones, with room for any other. Judgement.
const (
	typicalBushing, bushingSpread = 11.1125, 2.0
	typicalCutter, cutterSpread   = 12.7, 1.6
	typicalAngle, angleSpread     = 14.0, 3.0
	typicalDepth, depthSpread     = 9.5, 2.0
	templateSpread                = 2.5
	typicalPitch                  = 22.225
)

// Missing says which parts of the set-up were not stated.
type Missing struct{ Template, Bushing, Cutter, Angle, Depth bool }

func (m Missing) any() bool { return m.Template || m.Bushing || m.Cutter || m.Angle || m.Depth }

// model is a case with its gaps filled.
type model struct {
	setup       joint.Setup
	target      joint.Target
	bands       joint.Bands
	findings    Findings
	answered    Checks
	unavailable Checks
	missing     Missing
	prior       [CauseCount]float64 // sums to 1
	branches    []branch            // of all causes, their weights as well
	sd          [unknowns]float64   // prior standard deviations; of the size by branch
	cuts        []cut               // at least one: without test cuts, the one to come
	seen        bool                // whether there was a test cut
	widths      bool                // known
	reaches     bool                // known
	statedPlay  float64
	jammed      bool // the last joint did not go together
	goesByHand  bool // it goes together by hand
}

// cut is one test joint, ready to be predicted.
type cut struct {
	depth     joint.Depth
	noDepth   bool    // neither its own nor the set-up's was stated
	settingSD float64 // of the depth as set
	readings  []reading
	ranges    []within
}

func newModel(c Case) (*model, error) {
	m := &model{
		setup: c.Setup, target: c.Target, bands: c.Bands,
		findings: c.Findings, answered: c.Answered, unavailable: c.Unavailable,
	}
	depthSet := m.setup.Depth.PinBoard.Given
	if n := len(c.Cuts); n > 0 && !depthSet {
		m.setup.Depth = c.Cuts[n-1].Depth
	}
	m.fill()
	if err := m.possible(c.Cuts, depthSet || m.missing.Depth); err != nil {
		return nil, err
	}
	m.setTolerances()
	m.takeCuts(c.Cuts)
	m.feelsAsFindings(c.Cuts)
	m.setPriors()
	return m, nil
}

// fill puts the commonest sizes where none was stated, and then makes one of
// them such that the play is the target's, as it is meant to be.
func (m *model) fill() {
	s := &m.setup
	openings := s.Template.KnownByOpenings() && s.Template.Tail.Opening.Given && s.Template.Pin.Finger.Given && s.Template.Pitch.Given
	m.missing = Missing{
		Template: !openings && !s.Template.Allowance.Given,
		Bushing:  !s.Bushing.Diameter.Given, Cutter: !s.Cutter.Diameter.Given,
		Angle: s.Cutter.Angle == 0, Depth: !s.Depth.PinBoard.Given,
	}
	if m.missing.Template {
		s.Template = joint.Template{Kind: joint.AllowanceOnly, Pitch: s.Template.Pitch, Thickness: s.Template.Thickness}
	}
	if m.missing.Bushing {
		s.Bushing.Diameter = length.Exactly(typicalBushing)
		if room := s.Template.Tail.Opening.Length - 1; openings && room < typicalBushing {
			s.Bushing.Diameter.Length = room
		}
	}
	if m.missing.Angle {
		s.Cutter.Angle = typicalAngle
	}
	if m.missing.Depth {
		s.Depth = joint.EqualDepth(length.Exactly(typicalDepth))
	}
	m.fillCutter()
	m.aim()
	m.widths, m.reaches = openings, openings && s.Template.Pin.OpeningReach.Given && s.Template.Tail.FingerReach.Given
}

// coneUsed is the most of a cutter's cone, and lapUsed of a pin board, that a
// depth taken for one that was not stated uses. Judgement.
const coneUsed, lapUsed = 0.7, 0.6

// fillCutter puts a cutter that reaches as deep as the joint is or, where the
// cutter was stated, an angle and a depth that it reaches.
func (m *model) fillCutter() {
	s := &m.setup
	h := s.Depth.Deeper().MM()
	if m.missing.Cutter {
		s.Cutter.Diameter = length.Exactly(length.Length(math.Max(typicalCutter, 2*h*s.Cutter.Angle.Tan()/coneUsed)))
	}
	cone := coneUsed * s.Cutter.Diameter.MM() / 2
	if m.missing.Depth {
		h = math.Min(h, cone/s.Cutter.Angle.Tan())
		if t := s.PinBoard.Thickness; t.Given {
			h = math.Min(h, lapUsed*t.MM())
		}
		s.Depth = joint.EqualDepth(length.Exactly(length.Length(h)))
	}
	if m.missing.Angle {
		s.Cutter.Angle = joint.Angle(math.Min(typicalAngle, math.Atan(cone/h)*180/math.Pi))
	}
}

// aim changes one of the sizes that were not stated so that the play is the
// target's, unless that size would be none that is to be had.
func (m *model) aim() {
	s := &m.setup
	j, _ := joint.New(*s) // geometry answers even where limits are broken
	off := (j.Play() - m.target.Play).MM()
	tanA, h := s.Cutter.Angle.Tan(), s.Depth.Deeper().MM()
	switch {
	case m.missing.Template:
		s.Template.Allowance = length.Exactly(length.Length(s.Template.Allowance.MM() - off))
	case m.missing.Depth:
		if h += off / (2 * tanA); h > 3 && h < 25 && m.reached(h, s.Cutter.Angle) {
			s.Depth = joint.EqualDepth(length.Exactly(length.Length(h)))
		}
	case m.missing.Cutter:
		if d := s.Cutter.Diameter.MM() - off/2; d/2-h*tanA > 0 && d < 40 {
			s.Cutter.Diameter.Length = length.Length(d)
		}
	case m.missing.Bushing:
		g, opening := s.Bushing.Diameter.MM()+off/2, s.Template.Tail.Opening
		if g > 5 && (!opening.Given || g < opening.MM()) {
			s.Bushing.Diameter.Length = length.Length(g)
		}
	case m.missing.Angle:
		if a := math.Atan(tanA+off/(2*h)) * 180 / math.Pi; a > 5 && a < 25 && m.reached(h, joint.Angle(a)) {
			s.Cutter.Angle = joint.Angle(a)
		}
	}
}

// reached reports whether a depth stays within cutter and pin board.
func (m *model) reached(h float64, a joint.Angle) bool {
	t := m.setup.PinBoard.Thickness
	return h*a.Tan() < m.setup.Cutter.Diameter.MM()/2 && (!t.Given || h < t.MM())
}

// possible returns the error of a joint that cannot be cut, where all that
// makes it impossible was stated. A set-up's depth that is a test cut's is that
// cut's matter.
func (m *model) possible(cuts []Cut, ownDepth bool) error {
	if err := m.impossible(m.setup); ownDepth && err != nil {
		return fmt.Errorf("reading the set-up: %w", err)
	}
	for i := range cuts {
		s := m.setup
		if cuts[i].Depth.PinBoard.Given {
			s.Depth = cuts[i].Depth
		}
		if err := m.impossible(s); err != nil {
			return &learn.CutError{Cut: i, Err: err}
		}
	}
	return nil
}

func (m *model) impossible(s joint.Setup) error {
	_, err := joint.New(s)
	var why *joint.Impossible
	if !errors.As(err, &why) || m.stated(why.Reason) {
		return err
	}
	if s.Cutter.RadiusAt(s.Depth.Deeper().Length) <= 0 { // not even a cutter not stated reaches as deep
		return &joint.Impossible{
			Quantity: joint.QuantityDepthPinBoard, Value: s.Depth.Deeper().MM(),
			Limit: s.Cutter.TipDiameter().MM() / 2 / s.Cutter.Angle.Tan(), Reason: joint.ReasonCutterRunsOut,
		}
	}
	return nil
}

// stated reports whether all that a reason rests on was stated: what was not
// may be what makes the joint possible.
func (m *model) stated(r joint.Reason) bool {
	miss := m.missing
	switch r {
	case joint.ReasonThroughPinBoard:
		return !miss.Depth
	case joint.ReasonBushingTooWide:
		return !miss.Template && !miss.Bushing
	case joint.ReasonNoPinLeft, joint.ReasonNoTailLeft:
		return !miss.Template && !miss.Bushing && !miss.Cutter
	}
	return true
}

func (m *model) setTolerances() {
	s := &m.setup
	m.sd[ofCutter] = s.Cutter.Diameter.StandardUncertainty(joint.ToleranceNewCutter)
	if !s.Cutter.HistoryUnknown() && !m.cutterMeasured() { // that it may be reground is a cause of its own
		m.sd[ofCutter] = math.Sqrt(s.Cutter.DiameterVariance())
	}
	m.sd[ofBushing] = s.Bushing.Diameter.StandardUncertainty(joint.ToleranceBushing)
	m.sd[ofTemplateA], m.sd[ofTemplateB] = s.Template.Uncertainties(&s.Cutter, &s.Bushing)
	m.sd[ofAngle] = s.Cutter.AngleUncertainty()
	m.sd[ofSeat], m.sd[ofStop] = seatSD, stopSD
	if !m.reaches {
		m.sd[ofSeat] = seatUnknownSD
	}
	for _, g := range m.gaps() {
		if g.missing {
			m.sd[g.unknown] = g.spread
		}
	}
}

// gap is a part of the set-up that may be missing.
type gap struct {
	missing bool
	unknown int
	spread  float64
}

func (m *model) gaps() [5]gap {
	return [...]gap{
		{m.missing.Template, ofTemplateA, templateSpread},
		{m.missing.Bushing, ofBushing, bushingSpread},
		{m.missing.Cutter, ofCutter, cutterSpread},
		{m.missing.Angle, ofAngle, angleSpread},
		{m.missing.Depth, ofDepth, depthSpread},
	}
}

// How far a size that was stated may still not be the size in use: a caliper
// is misread now and then, and a size stated with a narrow tolerance was
// probably measured. Judgement.
const (
	misread      = 0.04
	surelyStated = 0.35
	narrow       = 0.06 // tolerance, mm
)

func (m *model) bushingMeasured() bool { return m.answered[CheckMeasureBushing] }

func (m *model) cutterMeasured() bool {
	return m.answered[CheckMeasureCutter] || m.answered[CheckScrapSlot]
}

func (m *model) angleMeasured() bool {
	return m.answered[CheckMeasureCutterAngle] || m.answered[CheckScrapSlot]
}

// actual returns which share of a cause's weight is for a size in use that is
// not the one stated; the rest is for a size stated that is not the one wanted.
func actual(size length.Size, measured bool) float64 {
	switch {
	case !size.Given:
		return 1
	case measured:
		return misread
	case size.HasTolerance && size.Tolerance <= narrow:
		return surelyStated
	}
	return 1
}

// rightByHand is how many times as often nothing is wrong with a joint that
// goes together by hand. Judgement.
const rightByHand = 3

func (m *model) setPriors() {
	often := howOften
	c := &m.setup.Cutter
	switch c.Condition {
	case joint.ConditionResharpened:
		often[CauseCutterResharpened] *= 2
	case joint.ConditionUnknown:
		often[CauseCutterResharpened] *= 1.5
	}
	if m.goesByHand {
		often[CauseSetUpRight] *= rightByHand
	}
	if t := &m.setup.Template; t.Kind == joint.Proven { // the very piece that worked
		if joint.SamePiece(t.Joint.Bushing.ID, m.setup.Bushing.ID) {
			often[CauseBushingDiameter] = 0
		}
		if joint.SamePiece(t.Joint.Cutter.ID, c.ID) {
			often[CauseCutterDiameter], often[CauseCutterAngle] = 0, 0
		}
	}
	m.weighBranches(&often)
}

// weighBranches lists the branches of all causes. A cause too small to spoil
// the joint is not asked about, so its weight falls with what it does.
func (m *model) weighBranches(often *[CauseCount]float64) {
	right, _ := m.at(effect{}, &m.cuts[len(m.cuts)-1])
	m.branches = make([]branch, 0, 160) // about as many as there are
	sum := 0.0
	for code := range CauseCount {
		for _, b := range code.branches(m) {
			b.weight *= often[code] * m.spoils(&b, &right)
			b.tangent = b.firstTangent()
			m.prior[code] += b.weight
			sum += b.weight
			m.branches = append(m.branches, b)
		}
	}
	for code := range m.prior {
		m.prior[code] /= sum
	}
	for i := range m.branches {
		m.branches[i].weight /= sum
	}
}

// Changes of play and of anything else seen from which a joint is spoilt, mm.
// Judgement.
const (
	spoiltPlay  = 0.15
	spoiltElse  = 0.20
	leastSpoilt = 0.03
)

// spoils returns the chance that a cause of the branch's mean size spoils the
// joint.
func (m *model) spoils(b *branch, right *point) float64 {
	if b.cause == CauseSetUpRight {
		return 1
	}
	p, ok := m.at(b.at(m, b.mean), &m.cuts[len(m.cuts)-1])
	if !ok {
		return 0
	}
	whole := where{}
	chance := leastSpoilt
	for _, o := range [...]observable{seeShoulder, seeSeat, seeEdge} {
		chance = math.Max(chance, beyond(p.value(o, whole)-right.value(o, whole), spoiltElse))
	}
	play := p.value(seePlay, whole) + p.feel - right.value(seePlay, whole)
	return math.Max(chance, math.Max(beyond(play, spoiltPlay), beyond(p.intended, spoiltPlay)))
}

// beyond is how surely a change is past a limit that nobody knows to better
// than a half of it.
func beyond(change, limit float64) float64 {
	return joint.NormalCDF((math.Abs(change) - limit) / (limit / 2))
}

// feelsAsFindings: a joint that closes at one end is tight at the other.
func (m *model) feelsAsFindings(cuts []Cut) {
	for i := range cuts {
		if cuts[i].Feel == learn.FeelClosesOneEnd && m.findings[FoundTightAtOneEnd] == NotSaid {
			m.findings[FoundTightAtOneEnd] = Yes
		}
	}
}
