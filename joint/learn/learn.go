// Package learn is chapter 9: what test cuts teach about a set-up.
//
// What a set-up has wrong (template, bushing, cutter as they really are)
// stays the same from one test joint to the next: b, added to play. What
// varies is the depth as set each time. Readings that are linear in the
// unknowns (gaps, widths, depths in the wood) are taken in exactly, as a
// normal distribution; feels, which only say in which range play lies, on a
// grid of b. The order of test cuts does not matter.
package learn

import (
	"math"
	"slices"

	"snugtail/joint"
	"snugtail/joint/length"
)

// Posterior is what is known of b after all test cuts.
type Posterior struct {
	points []point // its distribution: normal parts, or with feels a grid
	Mean   length.Length
	SD     length.Length // standard uncertainty of b
	// Surprise is how many standard uncertainties of the stated sizes the
	// mean lies from what they predict; past 3 the set-up is not as stated.
	Surprise float64
	// SettingSD is the standard uncertainty of setting the next depth, mm of depth.
	SettingSD float64
	Setup     joint.Setup
	Outliers  []Outlier
	// Plays is what each test cut's own play is taken to have been.
	Plays []CutPlay
	// Seat is what the seat readings taught.
	Seat SeatOffset
	// OnlyFelt: test cuts were felt, and nothing of them was measured.
	OnlyFelt bool
}

// point is a part of the distribution of b: weight sums to 1 over all, sd is 0
// for the points of a grid.
type point struct{ weight, b, sd float64 }

// Outlier is an observation that is off by more than the rest allow, and so
// was not taken in.
type Outlier struct {
	Cut         int
	Observation Observation
	// Seen is the play that it stands for (an interval's nearer end), Rest
	// what all else lets expect.
	Seen, Rest length.Length
}

// CutPlay is the play of one test cut; Known is false where nothing of it was
// seen.
type CutPlay struct {
	Mean  length.Length
	Known bool
}

// component is one normal part of the distribution with all linear readings
// taken in.
type component struct {
	weight float64
	state  state
}

// Session is a set-up and the test cuts made with it.
type Session struct {
	Setup joint.Setup
	Cuts  []TestCut
}

// FromTestCuts returns what the cuts teach about the set-up s. Without cuts it
// is what the stated sizes and their tolerances say. Earlier sessions with the
// same template, oldest first, count for what they share with s: the template,
// and every cutter or bushing of the same id. Errors are those of joint.New for any
// of the depths, as *CutError, or as *SessionError for earlier sessions.
func FromTestCuts(s joint.Setup, cuts []TestCut, bands joint.Bands, earlier ...Session) (Posterior, error) {
	before, err := beliefsAfter(earlier, s, bands)
	if err != nil {
		return Posterior{}, err
	}
	l, err := newLearner(Session{s, cuts}, bands, before)
	if err != nil {
		return Posterior{}, err
	}
	components := l.components()
	p := l.distribution(components)
	p.Outliers = l.outliers
	p.Plays = l.plays(components)
	p.Seat = l.seat(p.Mean)
	p.OnlyFelt = l.onlyFelt()
	return p, nil
}

// newLearner reads a session's observations and leaves out those that the
// rest contradicts.
func newLearner(session Session, bands joint.Bands, before []belief) (*learner, error) {
	joints, err := cutJoints(session.Setup, session.Cuts)
	if err != nil {
		return nil, err
	}
	l := &learner{setup: session.Setup, cuts: session.Cuts, joints: joints, bands: bands, before: before}
	l.observables = observables{
		setup: session.Setup, size: lastingUnknowns + len(session.Cuts), tanA: session.Setup.Cutter.Angle.Tan(),
	}
	l.sites = l.readSites()
	l.priorMean, l.priorSD = l.priorOfB()
	l.outliers = l.dropOutliers()
	return l, nil
}

func cutJoints(s joint.Setup, cuts []TestCut) ([]joint.Joint, error) {
	joints := make([]joint.Joint, len(cuts))
	for i, cut := range cuts {
		s.Depth = cut.Depth
		j, err := joint.New(s)
		if err != nil {
			return nil, &CutError{Cut: i, Err: err}
		}
		joints[i] = j
	}
	return joints, nil
}

// CutError says which test cut cannot have been cut.
type CutError struct {
	Cut int
	Err error
}

func (e *CutError) Error() string { return "taking in a test cut: " + e.Err.Error() }

func (e *CutError) Unwrap() error { return e.Err }

// learner holds what the steps of learning share.
type learner struct {
	setup       joint.Setup
	cuts        []TestCut
	joints      []joint.Joint
	bands       joint.Bands
	observables observables
	sites       []site
	before      []belief // what earlier sessions left, restated for this set-up
	outliers    []Outlier
	priorMean   float64 // of b before these cuts, mm
	priorSD     float64
}

// components returns the normal parts of the distribution, all linear
// readings taken in, weighed by how well each foresaw them.
func (l *learner) components() []component {
	parts := l.start()
	best := math.Inf(-1)
	for i := range parts {
		l.takeIn(&parts[i].state)
		best = math.Max(best, parts[i].state.logEvidence)
	}
	for i := range parts {
		parts[i].weight *= math.Exp(parts[i].state.logEvidence - best)
	}
	return parts
}

// start returns the parts before any of these cuts.
func (l *learner) start() []component {
	if len(l.before) == 0 {
		return l.fresh()
	}
	parts := make([]component, len(l.before))
	for i, b := range l.before {
		st := prior(l.setup, l.cuts, false)
		st.carry(b)
		parts[i] = component{b.weight, st}
	}
	return parts
}

// fresh: one part, or two for a cutter that may have been reground.
func (l *learner) fresh() []component {
	whole := []component{{1, prior(l.setup, l.cuts, false)}}
	if !l.setup.Cutter.HistoryUnknown() || l.observables.lastingPlay()[unknownCutter] == 0 {
		return whole
	}
	whole[0].weight = 1 - joint.RegroundShare
	return append(whole, component{joint.RegroundShare, prior(l.setup, l.cuts, true)})
}

// takeIn takes in every linear reading.
func (l *learner) takeIn(st *state) {
	for i := range l.cuts {
		l.observeDepth(st, i)
		l.observeWidths(st, i)
	}
	for _, s := range l.sites {
		if s.interval || s.dropped || s.viaWidths {
			continue
		}
		st.observe(l.observables.play(s.cut), s.low-l.joints[s.cut].Play().MM(), s.u)
	}
}

// depth is the deeper depth of cut i as set, mm.
func (l *learner) depth(i int) float64 { return l.cuts[i].Depth.Deeper().MM() }

// observeDepth takes in the depth read in the wood, of the deeper board.
func (l *learner) observeDepth(st *state, i int) {
	m := l.cuts[i].Measured
	read, set := m.DepthPinBoard, l.cuts[i].Depth.PinBoard
	if m.DepthTailBoard.Given && (!read.Given || m.DepthTailBoard.Length > read.Length) {
		read, set = m.DepthTailBoard, l.cuts[i].Depth.TailBoard
	}
	if read.Given {
		off := read.MM() - math.Max(set.MM(), l.depth(i))
		st.observe(l.observables.depth(i), off, read.StandardUncertainty(joint.ToleranceDepthMeasured))
	}
}

// observeWidths takes in every width by itself: sockets tell of cutter,
// bushing and template, pins and tails of the depth too.
func (l *learner) observeWidths(st *state, i int) {
	w, ok := l.joints[i].Widths()
	if !ok || l.widthsDropped(i) {
		return
	}
	m, o := l.cuts[i].Measured, l.observables
	cut := l.cuts[i].Depth
	for _, reading := range [...]struct {
		read length.Size
		want length.Length
		row  row
	}{
		{m.PinSocketWidest, w.PinSocketWidest, o.pinSocket()},
		{m.TailSocketWidest, w.TailSocketWidest, o.tailSocket()},
		{m.TailWidest, w.TailWidest, o.tail(i, cut.TailBoard.MM())},
		{m.PinWidest, w.PinWidest, o.pin(i, cut.PinBoard.MM())},
	} {
		if reading.read.Given {
			u := reading.read.StandardUncertainty(joint.ToleranceCaliper)
			st.observe(reading.row, reading.read.MM()-reading.want.MM(), u)
		}
	}
}

func (l *learner) widthsDropped(i int) bool {
	for _, s := range l.sites {
		if s.cut == i && s.observation == ObservedWidths && s.dropped {
			return true
		}
	}
	return false
}

// conditional is a test cut's play given b: mean = at + slope b, and variance.
type conditional struct {
	at, slope, sd float64
	site          site
}

// distribution returns the distribution of b: the normal parts themselves, or
// a grid over them where feels were taken in too.
func (l *learner) distribution(parts []component) Posterior {
	p := Posterior{Setup: l.setup, SettingSD: l.setup.Depth.Deeper().StandardUncertainty(joint.ToleranceDepthSet)}
	if l.anyFeel() {
		p.points = l.onGrid(parts)
	} else {
		p.points = l.asNormal(parts)
	}
	p.normalise()
	p.points = slices.DeleteFunc(p.points, func(at point) bool { return at.weight < negligible })
	if l.priorSD > 0 {
		p.Surprise = math.Abs(p.Mean.MM()-l.priorMean) / l.priorSD
	}
	return p
}

// negligible is the weight below which a point changes no answer's digits.
const negligible = 1e-10

func (l *learner) anyFeel() bool {
	return slices.ContainsFunc(l.sites, func(s site) bool { return s.interval && !s.dropped })
}

func (l *learner) asNormal(parts []component) []point {
	points := make([]point, len(parts))
	lasting := l.observables.lastingPlay()
	for i := range parts {
		mean, variance := parts[i].state.of(lasting)
		points[i] = point{parts[i].weight, mean, math.Sqrt(variance)}
	}
	return points
}

// onGrid returns the distribution of b with the feels taken in.
func (l *learner) onGrid(parts []component) []point {
	lasting := l.observables.lastingPlay()
	points := gridOver(parts, lasting)
	for i := range parts {
		part := &parts[i]
		mean, variance := part.state.of(lasting)
		sd := math.Max(math.Sqrt(variance), leastSD)
		given := l.feelsGiven(&part.state, lasting, mean, sd)
		for k := range points {
			z := (points[k].b - mean) / sd
			density := part.weight / sd * math.Exp(-z*z/2)
			for _, c := range given {
				density *= c.likelihood(points[k].b)
			}
			points[k].weight += density
		}
	}
	return points
}

// priorOfB returns mean and standard deviation of b before these cuts.
func (l *learner) priorOfB() (mean, sd float64) {
	lasting, weights, squares := l.observables.lastingPlay(), 0.0, 0.0
	for _, part := range l.start() {
		m, v := part.state.of(lasting)
		weights += part.weight
		mean += part.weight * m
		squares += part.weight * (v + m*m)
	}
	mean /= weights
	return mean, math.Sqrt(math.Max(0, squares/weights-mean*mean))
}

// leastSD keeps a set-up stated without any doubt from dividing by zero, mm.
const leastSD = 1e-4

// gridOver covers every component, 7 standard deviations to either side. The
// step is half the narrowest width of what is summed over it; sums of smooth
// bells over an even grid are then as good as exact.
func gridOver(parts []component, lasting row) []point {
	low, high, narrowest := math.Inf(1), math.Inf(-1), SoftEdge
	for i := range parts {
		mean, variance := parts[i].state.of(lasting)
		sd := math.Max(math.Sqrt(variance), leastSD)
		low, high = math.Min(low, mean-7*sd), math.Max(high, mean+7*sd)
		narrowest = math.Min(narrowest, sd)
	}
	n := min(int((high-low)/(narrowest/2))+1, mostSteps)
	grid := make([]point, n+1)
	for k := range grid {
		grid[k].b = low + (high-low)*float64(k)/float64(n)
	}
	return grid
}

// mostSteps bounds the grid where parts lie far apart and one is very narrow.
const mostSteps = 2000

func (l *learner) feelsGiven(st *state, lasting row, mean, sd float64) []conditional {
	var given []conditional
	for _, s := range l.sites {
		if !s.interval || s.dropped {
			continue
		}
		play := l.observables.play(s.cut)
		at, variance := st.of(play)
		shared := st.covariance(play, lasting)
		slope := shared / (sd * sd)
		rest := math.Max(0, variance-shared*slope)
		at += l.joints[s.cut].Play().MM() - slope*mean
		given = append(given, conditional{at, slope, math.Sqrt(rest + SoftEdge*SoftEdge), s})
	}
	return given
}

// likelihood of a feel given b: its interval with soft edges, averaged over
// what the cut's play may be for that b. Both are normal, so it is exact.
func (c conditional) likelihood(b float64) float64 {
	m := c.at + c.slope*b
	above, below := (m-c.site.low)/c.sd, (m-c.site.high)/c.sd
	if above+below > 0 { // mirrored: far up both are 1 but for their rounding, far down they keep their digits
		above, below = -below, -above
	}
	return joint.NormalCDF(above) - joint.NormalCDF(below)
}

func (p *Posterior) normalise() {
	sum := 0.0
	for _, at := range p.points {
		sum += at.weight
	}
	mean, squares := 0.0, 0.0
	for k := range p.points {
		at := &p.points[k]
		if sum > 0 {
			at.weight /= sum
		} else { // feels that rule out everything: nothing was learned but the range
			at.weight = 1 / float64(len(p.points))
		}
		mean += at.weight * at.b
	}
	for _, at := range p.points {
		squares += at.weight * (square(at.b-mean) + square(at.sd))
	}
	p.Mean, p.SD = length.Length(mean), length.Length(math.Sqrt(squares))
}

// Offset returns what was learned, for predictions of the same set-up.
func (p *Posterior) Offset() joint.Offset {
	return joint.Offset{Mean: p.Mean, SD: p.SD, Known: true}
}

// At returns the distribution of play of a next joint cut h deep.
func (p *Posterior) At(h length.Length) Play {
	s := p.Setup.AtDepth(h)
	j, _ := joint.New(s) // geometry answers even where limits are broken
	d := Play{p: p, nominal: j.Play().MM(), sd: 2 * s.Cutter.Angle.Tan() * p.SettingSD, join: leastSD}
	if len(p.points) > 2 {
		d.join = (p.points[1].b - p.points[0].b) / 2
	}
	return d
}

// Play is the distribution of play of a next joint.
type Play struct {
	p                 *Posterior
	nominal, sd, join float64
}

// CDF returns the probability that play is at most x mm.
func (d Play) CDF(x float64) float64 {
	sum, off := 0.0, x-d.nominal
	for _, at := range d.p.points {
		switch z := (off - at.b) / d.width(at); {
		case z > 8:
			sum += at.weight
		case z > -8:
			sum += at.weight * joint.NormalCDF(z)
		}
	}
	return sum
}

// density of play at x, per mm.
func (d Play) density(x float64) float64 {
	sum := 0.0
	for _, at := range d.p.points {
		sd := d.width(at)
		z := (x - d.nominal - at.b) / sd
		sum += at.weight * math.Exp(-z*z/2) / sd
	}
	return sum / math.Sqrt(2*math.Pi)
}

// width is the standard deviation of the play that a point stands for: its own
// and what the depth scatters, and no less than joins a grid's points.
func (d Play) width(at point) float64 {
	if at.sd > 0 {
		return math.Sqrt(at.sd*at.sd + d.sd*d.sd)
	}
	return math.Max(d.sd, d.join)
}

// Mean returns the expected play.
func (d Play) Mean() length.Length { return length.Length(d.nominal) + d.p.Mean }

// SD returns the standard uncertainty of play.
func (d Play) SD() length.Length {
	return length.Length(math.Hypot(d.p.SD.MM(), d.sd))
}

// Range95 returns the range that holds play with a probability of 95 %.
func (d Play) Range95() (low, high length.Length) {
	return d.quantile(0.025), d.quantile(0.975)
}

// quantile by Newton's method, kept inside a shrinking bracket.
func (d Play) quantile(p float64) length.Length {
	mean, reach := d.Mean().MM(), 10*d.SD().MM()+0.01
	low, high := mean-reach, mean+reach
	x := mean + 2*(2*p-1)*d.SD().MM() // near it for p = 0.025 and 0.975
	for range 40 {
		off := d.CDF(x) - p
		if off < 0 {
			low = x
		} else {
			high = x
		}
		next := x - off/d.density(x)
		if !(next > low && next < high) {
			next = (low + high) / 2
		}
		if math.Abs(next-x) < length.Resolution/10 {
			return length.Length(next)
		}
		x = next
	}
	return length.Length(x)
}
