package belief

import (
	"math"

	"snugtail/joint"
	"snugtail/joint/length"
)

// The unknowns behind every fault: how far cutter, bushing, template and angle
// are off what their labels say within their tolerances, how far the
// template's place and the side stop are off theirs, and the depth where none
// was stated. The last two are the latest test joint's own: how much deeper it
// was cut than set, and how much deeper the tail board than the pin board.
const (
	ofCutter = iota
	ofBushing
	ofTemplateA
	ofTemplateB
	ofAngle
	ofSeat
	ofStop
	ofDepth
	ofSetting
	ofUneven
	unknowns
)

type vector [unknowns]float64

func (a *vector) dot(b *vector) float64 {
	sum := 0.0
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

// Standard uncertainties of the background that the joint package has no
// default for, mm. Judgement, no source.
const (
	seatSD        = 0.12 // where the template is meant to be
	seatUnknownSD = 0.25 // the same where its reaches are not known
	stopSD        = 0.08 // side stop
	unevenSD      = 0.04 // boards clamped level
	placeSD       = 0.03 // from place to place along the joint
	partSD        = 0.02 // from one pin or tail to the next
	meantSD       = 0.12 // play of the sizes as stated off the target: sizes are chosen to fit
	leastSD       = 0.01 // of a setting stated without any doubt
	mostSD        = 5.0  // of one of which nothing is known
)

// model is a case made ready: gaps filled, readings taken in, faults listed.
type model struct {
	priors      *Priors
	tables      *tables
	filled      filled
	bands       joint.Bands
	target      joint.Target
	findings    Findings
	answered    Checks
	unavailable Checks
	meant       joint.Depth // for which sizes were chosen
	cuts        []Cut
	latest      latest
	seater      seater
	geometry    geometry // at the latest joint's depth
	told        effect   // of tools that were measured: what their labels say, added to it
	asTold      point    // the latest joint with that and nothing else wrong
	seatAsTold  float64
	sd          vector
	branches    []branch
	readings    []reading
	ranges      []within
	earlier     []olderCut
	fromWood    bool    // the latest joint's depth was not told, but read in the wood
	nominal     float64 // play of the latest joint as stated
	perDepth    float64 // 2 tan a
	settingSD   float64 // of the latest joint's depth, mm
	// tiltSD is the standard uncertainty of the change of b with each mm of depth
	// that lies between two joints: the angle's. Before any joint b holds it.
	tiltSD   float64
	own      int                 // index of the first test joint of this session
	playRow  vector              // derivative of play by what lasts
	rows     [observables]vector // of all that can be read: see row
	flaws    []flaw              // what may be misread
	logRight float64             // log of the chance that nothing is
}

// latest is the test joint that was cut last or, where none was, the one to come.
type latest struct {
	depth   joint.Depth
	noDepth bool // neither its own nor the set-up's was stated
	seen    bool
	feel    Feel
	index   int
}

func newModel(given *Case, t *tables) (*model, error) {
	one, others := given.inOneGo()
	c := &one
	m := &model{
		priors: t.priors, tables: t, bands: c.Bands, target: c.Target, cuts: c.Cuts,
		findings: c.Findings, answered: c.Answered, unavailable: c.Unavailable, own: len(c.Cuts) - len(given.Cuts),
	}
	s, depthSet := c.Setup, c.Setup.Depth.PinBoard.Given
	if n := len(c.Cuts); n > 0 && !depthSet {
		s.Depth = c.Cuts[n-1].depthKnown()
		m.fromWood = s.Depth.PinBoard.Given && !c.Cuts[n-1].Depth.PinBoard.Given
	}
	m.filled = fill(s, c.Target)
	if err := m.filled.possible(c.Cuts, depthSet || m.filled.missing.Depth); err != nil {
		return nil, err
	}
	m.setLatest()
	m.believeLabels()
	m.findMeant()
	m.setTolerances()
	m.readTools()
	m.asTold, _ = m.geometry.at(&m.told)
	m.seatAsTold = m.seatOf(&m.asTold)
	m.readLatest()
	m.readEarlier()
	m.feelsAsFindings()
	if err := m.readSessions(c, others); err != nil {
		return nil, err
	}
	m.listBranches()
	return m, nil
}

func (m *model) setLatest() {
	s := m.filled.setup
	m.latest = latest{depth: s.Depth, noDepth: m.filled.missing.Depth, index: len(m.cuts) - 1}
	if n := len(m.cuts); n > 0 {
		m.latest.seen, m.latest.feel = true, m.cuts[n-1].Feel
		if m.latest.feel == FeelNone && m.cuts[n-1].WentIn.Given {
			m.latest.feel = FeelSticksPartWay
		}
		if d := m.cuts[n-1].depthKnown(); d.PinBoard.Given {
			m.latest.depth, m.latest.noDepth = d, false
		}
	}
	s.Depth = m.latest.depth
	here, _ := joint.New(s) // geometry answers even where limits are broken
	m.seater = seater{s, m.filled.reaches, here.Play()}
	m.geometry = geometryOf(&s, m.filled.widths)
	m.perDepth = 2 * m.geometry.tanA
	null, _ := m.geometry.at(&effect{})
	m.nominal = null.values[seePlay]
	m.settingSD = settingSD(m.latest.depth)
}

// settingSD is the standard uncertainty of a depth as set, mm.
func settingSD(d joint.Depth) float64 {
	return max(leastSD, min(mostSD, d.Deeper().StandardUncertainty(joint.ToleranceDepthSet)))
}

func (m *model) setTolerances() {
	s := &m.filled.setup
	m.sd[ofCutter] = s.Cutter.Diameter.StandardUncertainty(joint.ToleranceNewCutter)
	if s.Cutter.Labelled.Given { // the reading's tolerance is the reading's
		m.sd[ofCutter] = s.Cutter.Labelled.StandardUncertainty(joint.ToleranceNewCutter)
	} else if !s.Cutter.HistoryUnknown() && !m.cutterMeasured() { // that it may be reground is a cause of its own
		m.sd[ofCutter] = math.Sqrt(s.Cutter.DiameterVariance())
	}
	m.sd[ofBushing] = s.Bushing.Diameter.StandardUncertainty(joint.ToleranceBushing)
	if s.Bushing.Labelled.Given {
		m.sd[ofBushing] = s.Bushing.Labelled.StandardUncertainty(joint.ToleranceBushing)
	}
	m.sd[ofTemplateA], m.sd[ofTemplateB] = s.Template.Uncertainties(&s.Cutter, &s.Bushing)
	m.sd[ofAngle] = s.Cutter.AngleUncertainty()
	m.sd[ofSeat], m.sd[ofStop] = seatSD, stopSD
	if !m.filled.reaches {
		m.sd[ofSeat] = seatUnknownSD
	}
	m.sd[ofSetting], m.sd[ofUneven] = m.settingSD, unevenSD
	for _, g := range m.gaps() {
		if g.missing {
			m.sd[g.unknown] = g.spread
		}
	}
	m.rowOfPlay(&m.playRow, m.latest.depth.Deeper().MM()*m.flank())
	if m.latest.noDepth {
		m.playRow[ofDepth] = -m.perDepth
	}
	m.scale(&m.playRow)
	if m.latest.seen {
		m.tiltSD = m.sd[ofAngle] * m.flank()
	}
	for o := range observables {
		m.rows[o] = m.row(o)
	}
}

// away is the standard uncertainty of play at a depth, of the setting and of
// how far it is off the latest joint's.
func (m *model) away(deeper float64) float64 {
	return math.Hypot(m.perDepth*m.settingSD, m.tiltSD*deeper)
}

func (m *model) scale(r *vector) {
	for i := range r {
		r[i] *= m.sd[i]
	}
}

// gap is a part of the set-up that may be missing.
type gap struct {
	missing bool
	unknown int
	spread  float64
}

func (m *model) gaps() [5]gap {
	miss := m.filled.missing
	return [...]gap{
		{miss.Template, ofTemplateA, templateSpread},
		{miss.Bushing, ofBushing, bushingSpread},
		{miss.Cutter, ofCutter, cutterSpread},
		{miss.Angle, ofAngle, angleSpread},
		{miss.Depth, ofDepth, depthSpread},
	}
}

// perDegree turns a derivative by radians into one by degrees.
const perDegree = math.Pi / 180

// flank is the derivative of a width by the angle, for each mm of depth and degree.
func (m *model) flank() float64 { return 2 * (1 + m.geometry.tanA*m.geometry.tanA) * perDegree }

// row returns the derivative of an observable by the unknowns, each in units
// of its standard deviation.
func (m *model) row(o observable) (l vector) {
	g := &m.geometry
	h, tanA, flank := math.Max(g.hp, g.ht), g.tanA, m.flank()
	switch o {
	case seePlay, seeFelt, seePins, seeTails:
		m.rowOfPlay(&l, h*flank)
		l[ofSetting] = -2 * tanA
	case seeGap:
		m.rowOfPlay(&l, (m.nominal+2*h*tanA)*flank/(2*tanA))
		for i := range l {
			l[i] /= 2 * tanA
		}
		l[ofSetting] = -1
	case seeSeat:
		m.rowOfPlay(&l, h*flank)
		for i := range l {
			l[i] /= 2
		}
		l[ofSeat], l[ofSetting] = 1, -tanA
	case seeShoulder:
		l[ofUneven] = 1
	case seeEdge:
		l[ofStop] = 1
	case seePinDepth, seeTailDepth:
		l[ofSetting] = 1
	case seeBushing:
		l[ofBushing] = 1
	case seeCutter:
		l[ofCutter] = 1
	case seeAngle:
		l[ofAngle] = 1
	case seeOpening:
		l[ofTemplateA] = 1
	case seeMeant:
		l = m.rowOfMeant()
	default:
		m.rowOfWidth(o, &l, flank)
	}
	if o == seeTailDepth {
		l[ofUneven] = 1
	}
	if l[ofSetting] != 0 && m.latest.noDepth { // a depth that was not stated is the same for all
		l[ofDepth] = l[ofSetting]
	}
	if o != seeMeant {
		m.scale(&l)
	}
	return l
}

// rowOfWidth is row of the widths: sockets depend on neither depth nor angle.
func (m *model) rowOfWidth(o observable, l *vector, flank float64) {
	g := &m.geometry
	switch o {
	case seePinSocket:
		l[ofCutter], l[ofBushing], l[ofTemplateA] = 1, -1, 1
	case seeTailSocket:
		l[ofCutter], l[ofBushing] = 1, -1
		m.rowOfTemplate(l, 1, 0, -1)
	case seePin:
		l[ofCutter], l[ofBushing], l[ofAngle] = -1, 1, g.hp*flank
		m.rowOfTemplate(l, -1, 1, 1)
		l[ofSetting] = 2 * g.tanA
	case seeTail:
		l[ofCutter], l[ofBushing], l[ofAngle], l[ofTemplateA] = -1, 1, g.ht*flank, -1
		if g.onePiece {
			l[ofTemplateB] = 1
		}
		l[ofSetting], l[ofUneven] = 2*g.tanA, 2*g.tanA
	}
}

// rowOfTemplate: a one-piece template has an opening and a pitch, a
// two-position one the tail pass's opening and the pin pass's finger.
func (m *model) rowOfTemplate(l *vector, opening, pitch, finger float64) {
	if m.geometry.onePiece {
		l[ofTemplateA], l[ofTemplateB] = opening, pitch
		return
	}
	l[ofTemplateB] = finger
}

func (m *model) rowOfPlay(l *vector, perAngle float64) {
	l[ofCutter], l[ofBushing], l[ofAngle] = 2, -2, -perAngle
	s := &m.filled.setup
	t := &s.Template
	switch t.Kind {
	case joint.OnePiece:
		l[ofTemplateA], l[ofTemplateB] = 2, -1
	case joint.TwoPosition:
		l[ofTemplateA], l[ofTemplateB] = 1, -1
	default:
		l[ofTemplateA] = 1
	}
	if t.Kind != joint.Proven { // what the set-up shares with the joint that fitted cancels
		return
	}
	if joint.SamePiece(t.Joint.Bushing.ID, s.Bushing.ID) {
		l[ofBushing] = 0
	}
	if joint.SamePiece(t.Joint.Cutter.ID, s.Cutter.ID) {
		l[ofCutter] = 0
		l[ofAngle] += t.Joint.Depth.MM() * m.flank()
	}
}

// rowOfMeant: sizes are chosen to fit, so the play that the sizes as meant give
// at the depth meant is about the target's. Sizes that were not stated are
// as they were meant.
func (m *model) rowOfMeant() (l vector) {
	var raw vector
	m.rowOfPlay(&raw, m.meant.Deeper().MM()*m.flank())
	raw[ofDepth] = -m.perDepth
	for _, gap := range m.gaps() {
		if gap.missing {
			l[gap.unknown] = raw[gap.unknown] * m.sd[gap.unknown]
		}
	}
	return l
}

// feelsAsFindings: a joint that closes at one end is tight at the other.
func (m *model) feelsAsFindings() {
	for i := range m.cuts {
		if m.cuts[i].Feel == FeelClosesOneEnd && m.findings[FoundTightAtOneEnd] == NotSaid {
			m.findings[FoundTightAtOneEnd] = Yes
		}
	}
}

// believeLabels forgets labels that no joint could have been cut with: who wrote
// one down has misread it by far.
func (m *model) believeLabels() {
	s := &m.filled.setup
	var told effect
	if l := s.Bushing.Labelled; l.Given {
		told.bushing = (l.Length - s.Bushing.Diameter.Length).MM()
	}
	if l := s.Cutter.Labelled; l.Given {
		told.cutter = (l.Length - s.Cutter.Diameter.Length).MM()
	}
	if _, ok := m.geometry.at(&told); !ok {
		s.Bushing.Labelled, s.Cutter.Labelled = length.Size{}, length.Size{}
	}
}

// findMeant: sizes were chosen for the depth, of those that were cut, at which
// as stated they come nearest to the target. In which order these were cut says
// nothing more.
func (m *model) findMeant() {
	s := m.filled.setup
	s.Bushing.Diameter = s.Bushing.Labelled.Or(s.Bushing.Diameter.Length)
	s.Cutter.Diameter = s.Cutter.Labelled.Or(s.Cutter.Diameter.Length)
	m.meant = s.Depth
	least := math.Inf(1)
	for i := range m.cuts {
		d := m.cuts[i].depthKnown()
		if !d.PinBoard.Given {
			continue
		}
		s.Depth = d
		j, _ := joint.New(s) // geometry answers even where limits are broken
		if off := math.Abs((j.Play() - m.target.Play).MM()); off < least {
			m.meant, least = d, off
		}
	}
}

// readTools takes in what a caliper said of tools whose labels are known, and
// that sizes were chosen to fit.
func (m *model) readTools() {
	s := &m.filled.setup
	none := Evidence{Cut: Whole, Place: Whole}
	if l := s.Bushing.Labelled; l.Given {
		m.told.bushing = (l.Length - s.Bushing.Diameter.Length).MM()
		none.Seen = SeenBushing
		m.addReading(none, seeBushing, where{}, s.Bushing.Diameter, joint.ToleranceCaliper, ReadCaliper)
	}
	if l := s.Cutter.Labelled; l.Given {
		m.told.cutter = (l.Length - s.Cutter.Diameter.Length).MM()
		none.Seen = SeenCutter
		m.addReading(none, seeCutter, where{}, s.Cutter.Diameter, joint.ToleranceCaliper, ReadCaliper)
	}
	set := s
	stated := *set
	stated.Depth = m.meant
	g := geometryOf(&stated, false)
	p, _ := g.at(&m.told)
	none.Seen = SeenIntention
	off := m.target.Play.MM() - p.values[seePlay]
	m.readings = append(m.readings, reading{Evidence: none, observable: seeMeant, value: off, u: meantSD, misread: m.priors.Misread[ReadMeant]})
}

// checkOf is the check that reads what was seen; the first one stands for none.
var checkOf = [...]Check{
	SeenPulledGap: CheckPullJoint, SeenShoulderGap: CheckPullJoint, SeenSeat: CheckSeeSeat, SeenEdgeStep: CheckSeeEdges,
	SeenPinWidest: CheckMeasureWidths, SeenTailWidest: CheckMeasureWidths, SeenPinSocketWidest: CheckMeasureWidths,
	SeenTailSocketWidest: CheckMeasureWidths, SeenDepthPinBoard: CheckMeasureDepth, SeenDepthTailBoard: CheckMeasureDepth,
	SeenIntention: 0,
}

// addReading takes in a reading. One that was stated with its tolerance, or for
// which a check was made, was made with care.
func (m *model) addReading(e Evidence, o observable, w where, size length.Size, tolerance length.Length, kind ReadingKind, scatter ...float64) {
	if !size.Given {
		return
	}
	u := math.Max(leastReading, size.StandardUncertainty(tolerance))
	for _, sd := range scatter {
		u = math.Hypot(u, sd)
	}
	if w.place {
		u = math.Hypot(u, placeSD)
	}
	misread := m.priors.Misread[kind]
	if size.HasTolerance || m.answered[checkOf[e.Seen]] && checkOf[e.Seen] != 0 {
		misread.Chance *= m.priors.Careful
	}
	m.readings = append(m.readings, reading{e, o, w, size.MM(), u, misread, nil})
}
