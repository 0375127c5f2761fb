package belief

import (
	"math"
	"slices"
)

// The posterior is a mixture. A part of it is one fault (or two, or none) and
// one guess which readings are misread. Given a part, all that was read is
// linear in the unknowns and normal: with S the covariance of the readings
// before they were made, r what was read less what the part's mean size
// predicts, and a the covariance of some figure f with the readings,
//
//	log P(read) = -1/2 (r' S^-1 r + log det 2 pi S)
//	E(f | read) = E(f) + a' S^-1 r        Var(f | read) = Var(f) - a' S^-1 a
//
// A size with standard deviation s adds v v' to S, v its effect on the
// readings times s; a misread reading adds the square of what it is then off
// by to its own variance. Both are updates of rank one.
//
// Older joints and feels tell of play alone, in ways that are not normal. They
// are taken in on a grid of b: what the set-up adds to the play of its stated
// sizes. Given b, joints are independent of each other.

// mostReadings is how many readings of the latest joint are taken in exactly;
// of more, those that come first. Twelve places along a joint and all of its
// widths are fewer.
const mostReadings = 48

// forecast is what one branch predicts.
type forecast struct {
	listed   int // which one it is
	branch   *branch
	second   *branch // another fault at the same time, or nil
	under    *effect // what it does
	log      float64 // prior, and what was found
	off      []float64
	slope    []float64   // of the readings by the size, for one standard deviation of it
	others   [][]float64 // of the readings by where on the joint they were made, and by what else may differ
	b, bSize float64     // mean of b, and its slope by the size
	felt     float64     // what the hand adds to play
	feltSize float64
	tilt     float64 // change of b for each mm of depth: another angle
	at       point   // at the mean size
	ends     *ends   // about it, where they are needed again
}

// ends are what a fault does half a standard deviation below and above its mean
// size; apart, how far these are from each other in standard deviations, is 0
// where the size has none.
type ends struct {
	lo, hi point
	apart  float64
}

// part is a forecast with a guess which readings are misread, all that was
// read taken in.
type part struct {
	*forecast
	field   *field
	peak    float64  // weight on the point of the grid where readings alone have b: a logarithm
	bound   float64  // of what it can weigh on a point of the grid, a logarithm
	flaws   [2]int16 // what was misread: indices of the model's flaws, -1 for none
	scatter int8
	log     float64
	weight  float64 // share of the posterior
	mean    float64 // of b, readings taken in
	sd      float64
	play    conditional // the latest joint's play, as felt, given b
	// of the size off its mean, in standard deviations, readings taken in; sizeB
	// is its covariance with b
	size, sizeSD, sizeB float64
	// after the grid: b with older joints and feels taken in too
	bMean, bSD float64
	// Of the part's share: how much has the latest joint's play within the
	// target, and its feel told wrongly.
	inTarget, feltWrong float64
	right               float64 // how much has the latest joint as wanted
}

// conditional is a figure given b: mean = at + slope (b - mean of b).
type conditional struct{ at, slope, sd float64 }

// system is the covariance of the readings before they were made, tolerances
// and reading errors, and its inverse.
type system struct {
	n       int
	rows    []vector // of the readings
	inverse []float64
	logDet  float64
	bRead   []float64 // that covariance
	cRead   []float64 // the same of the latest joint's play
	bVar    float64
	cVar    float64
	scatter float64
}

// leastShare is what of a reading's variance cannot be told from how it hangs
// together with the others: a gap's by a flank that hardly slopes is 10^12 times
// what it was read to, and differences between such are lost in a float64.
const leastShare = 1e-10

func newSystem(m *model, scatter float64) *system {
	n := len(m.readings)
	s := &system{n: n, rows: make([]vector, n), bRead: make([]float64, n), cRead: make([]float64, n), scatter: scatter}
	setting := m.playRow
	setting[ofSetting] = -m.perDepth * m.settingSD * scatter
	cov := make([]float64, n*n)
	for i := range m.readings {
		s.rows[i] = m.rowOf(&m.readings[i])
		s.rows[i][ofSetting] *= scatter
	}
	for i := range m.readings {
		for k := range n {
			cov[i*n+k] = s.rows[i].dot(&s.rows[k])
		}
		u := m.readings[i].u
		if m.readings[i].Seen < SeenFinding {
			u *= scatter
		}
		cov[i*n+i] += u*u + leastShare*cov[i*n+i]
		s.bRead[i] = s.rows[i].dot(&m.playRow)
		s.cRead[i] = s.rows[i].dot(&setting)
	}
	s.bVar, s.cVar = m.playRow.dot(&m.playRow), setting.dot(&setting)
	s.inverse, s.logDet = invert(cov, n)
	return s
}

func (m *model) rowOf(r *reading) vector {
	if r.shared != nil {
		return r.shared.row
	}
	return m.rows[r.observable]
}

// invert returns the inverse of a positive definite matrix and the logarithm of
// its determinant (Cholesky).
func invert(a []float64, n int) (inverse []float64, logDet float64) {
	for i := range n {
		for k := 0; k <= i; k++ {
			sum := a[i*n+k]
			for j := range k {
				sum -= a[i*n+j] * a[k*n+j]
			}
			if i == k {
				a[i*n+i] = math.Sqrt(max(sum, 1e-12))
				logDet += 2 * math.Log(a[i*n+i])
			} else {
				a[i*n+k] = sum / a[k*n+k]
			}
		}
	}
	inverse = make([]float64, n*n)
	x := make([]float64, n)
	for c := range n {
		for i := range n {
			x[i] = 0
		}
		x[c] = 1 / a[c*n+c]
		for i := c + 1; i < n; i++ {
			sum := 0.0
			for j := c; j < i; j++ {
				sum -= a[i*n+j] * x[j]
			}
			x[i] = sum / a[i*n+i]
		}
		for i := n - 1; i >= 0; i-- {
			sum := x[i]
			for j := i + 1; j < n; j++ {
				sum -= a[j*n+i] * x[j]
			}
			x[i] = sum / a[i*n+i]
		}
		for i := range n {
			inverse[i*n+c] = x[i]
		}
	}
	return inverse, logDet
}

// forecasts returns what every branch predicts, but for those that cannot be.
func (m *model) forecasts() []forecast {
	n := len(m.readings)
	all := make([]forecast, 0, len(m.branches))
	cells := make([]float64, 2*n*len(m.branches))
	for i := range m.branches {
		b := &m.branches[i]
		all = append(all, forecast{branch: b, listed: len(all)})
		f := &all[len(all)-1]
		f.off, f.slope, cells = cells[:n:n], cells[n:2*n:2*n], cells[2*n:]
		if !m.predict(f) {
			all = all[:len(all)-1]
			continue
		}
		f.log = math.Log(b.weight) + m.logFound(b.cause) + m.logSilent(&f.at.effect)
	}
	return all
}

func (m *model) logFound(c Code) float64 {
	sum := 0.0
	for f, a := range m.findings {
		if a != NotSaid {
			sum += m.tables.logChance[c][f][a]
		}
	}
	return sum
}

// logSilent: who tells of a joint that went home, and of its play, tells of its
// seat, its edges and its shoulder too where these are off, more often than not.
func (m *model) logSilent(e *effect) float64 {
	if !m.latest.seen || m.latest.feel == FeelNone || m.latest.feel.Jammed() {
		return 0
	}
	c := &m.cuts[m.latest.index]
	sum, silent := 0.0, math.Log(m.priors.SilentIfWrong)
	if seat := e.seat + 2*e.moved + 2*e.offsetY; !c.Seat.Given && (seat > tolerableSeatIn || seat < -tolerableSeatProud) {
		sum += silent
	}
	if !c.EdgeStep.Given && math.Abs(e.edge) > tolerableEdge {
		sum += silent
	}
	if open := e.tailDepth - e.pinDepth + e.shoulder + math.Abs(e.slopeShoulder); !c.ShoulderGap.Given && open > tolerableShoulder {
		sum += silent
	}
	return sum
}

// predict fills in what a branch predicts at its mean size, and by how much
// that changes with the size: by what it is half a standard deviation below
// and above.
func (m *model) predict(f *forecast) bool {
	b := f.branch
	e := m.effectOf(f, b.mean)
	at, ok := m.geometry.at(&e)
	if !ok {
		return false
	}
	f.at = at
	m.placeOf(f)
	m.otherOf(f)
	f.b = at.values[seePlay] + at.whole - m.nominal
	f.felt = at.feel
	f.tilt = -2 * (at.tanA - m.geometry.tanA)
	for i := range m.readings {
		f.off[i] = m.readings[i].value - m.predicted(&m.readings[i], &f.at)
	}
	var about ends
	if m.findEnds(f, &about); about.apart == 0 {
		return true
	}
	for i := range m.readings {
		r := &m.readings[i]
		f.slope[i] = (m.predicted(r, &about.hi) - m.predicted(r, &about.lo)) / about.apart
	}
	f.bSize = (about.hi.values[seePlay] + about.hi.whole - about.lo.values[seePlay] - about.lo.whole) / about.apart
	f.feltSize = (about.hi.feel - about.lo.feel) / about.apart
	return true
}

func (m *model) findEnds(f *forecast, to *ends) {
	b := f.branch
	if to.apart = 0; b.sd == 0 || b.effect == nil {
		return
	}
	const step = 0.5
	below, above := m.effectOf(f, b.mean-step*b.sd), m.effectOf(f, b.mean+step*b.sd)
	var okLo, okHi bool
	to.lo, okLo = m.geometry.at(&below)
	to.hi, okHi = m.geometry.at(&above)
	to.apart = 2 * step
	if !okLo {
		to.lo, to.apart = f.at, step
	}
	if !okHi {
		to.hi, to.apart = f.at, to.apart-step
	}
}

// slopeOf returns by how much a figure changes with one standard deviation of
// the size.
func (e *ends) slopeOf(of func(*point) float64) float64 {
	if e.apart == 0 {
		return 0
	}
	return (of(&e.hi) - of(&e.lo)) / e.apart
}

// spreadOfPlaces is the standard deviation of a place on the joint, -1 to 1, of
// which nothing is known.
const spreadOfPlaces = 0.577

// placeOf notes how readings of the joint as a whole change with where on it
// they were made: a joint that is not alike along its length is cut deeper at
// one end, by a quarter of what its play changes there over tan a.
func (m *model) placeOf(f *forecast) {
	e := &f.at.effect
	if e.slopePlay == 0 && e.slopeSeat == 0 && e.slopeEdg == 0 {
		return
	}
	place := make([]float64, len(m.readings))
	for i := range m.readings {
		r := &m.readings[i]
		if r.where.place || r.Cut != m.latest.index {
			continue
		}
		slope := 0.0
		switch r.observable {
		case seePinDepth, seeTailDepth:
			slope = -e.slopePlay / (4 * f.at.tanA)
		case seePin, seeTail:
			slope = -e.slopePlay / 2
		case seePins, seeTails:
			slope = e.slopePlay
		case seeSeat:
			slope = e.slopeSeat
		case seeEdge:
			slope = e.slopeEdg
		}
		place[i] = spreadOfPlaces * slope
	}
	f.addOther(place)
}

// addOther adds what changes readings, unless it changes none.
func (f *forecast) addOther(by []float64) {
	if slices.ContainsFunc(by, func(v float64) bool { return v != 0 }) {
		f.others = append(f.others, by)
	}
}

// otherOf notes how readings change with what else may differ.
func (m *model) otherOf(f *forecast) {
	b := f.branch
	if b.other == nil {
		return
	}
	e := b.other(m, b.mean)
	e = f.at.effect.plus(&e)
	with, ok := m.geometry.at(&e)
	if !ok {
		return
	}
	other := make([]float64, len(m.readings))
	for i := range m.readings {
		r := &m.readings[i]
		other[i] = m.predicted(r, &with) - m.predicted(r, &f.at)
	}
	f.addOther(other)
}

// effectOf returns the effect of a forecast's fault of a given size, on top of
// what labels say against what was measured.
func (m *model) effectOf(f *forecast, size float64) effect {
	e := f.branch.at(m, size)
	switch {
	case f.second != nil:
		return f.under.plus(&e)
	case m.told == effect{}:
		return e
	}
	return m.told.plus(&e)
}

func (m *model) predicted(r *reading, p *point) float64 {
	switch {
	case r.shared != nil:
		v := 2 * p.opening
		if r.shared.bushing {
			v -= 2 * p.bushing
		}
		if r.shared.cutter {
			v += 2*p.cutter + r.shared.flank*p.angle
		}
		return v
	case r.observable == seeSeat:
		return m.seatOf(p) + p.value(seeSeat, r.where)
	}
	return p.value(r.observable, r.where)
}

func (m *model) seatOf(p *point) float64 { return m.seater.of(&p.effect, p.values[seePlay]) }
