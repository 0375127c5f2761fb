package belief

import (
	"cmp"
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
	branch     *branch
	second     *branch // another fault at the same time, or nil
	under      effect  // what it does
	log        float64 // prior, and what was found
	off        []float64
	slope      []float64   // of the readings by the size, for one standard deviation of it
	others     [][]float64 // of the readings by where on the joint they were made, and by what else may differ
	b, bSize   float64     // mean of b, and its slope by the size
	felt       float64     // what the hand adds to play
	feltSize   float64
	tilt       float64 // change of b for each mm of depth: another angle
	at, lo, hi point   // at the mean size, and half a standard deviation below and above
	between    float64 // lo and hi, in standard deviations; 0 where the size has none
}

// part is a forecast with a guess which readings are misread, all that was
// read taken in.
type part struct {
	*forecast
	bound   float64 // of what it can weigh on a point of the grid, a logarithm
	flaws   [2]int  // what was misread: indices of the model's flaws, -1 for none
	log     float64
	scatter int
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
		cov[i*n+i] += u * u
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
	return m.row(r.observable)
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
				a[i*n+i] = math.Sqrt(math.Max(sum, 1e-12))
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
		f := forecast{branch: b, log: math.Log(b.weight) + m.logFound(b.cause) + m.logSilent(b)}
		f.off, f.slope, cells = cells[:n:n], cells[n:2*n:2*n], cells[2*n:]
		if m.predict(&f) {
			all = append(all, f)
		}
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
func (m *model) logSilent(b *branch) float64 {
	if !m.latest.seen || m.latest.feel == FeelNone || m.latest.feel.Jammed() {
		return 0
	}
	c := &m.cuts[m.latest.index]
	e := b.at(m, b.mean)
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
	f.at, f.lo, f.hi = at, at, at
	m.placeOf(f)
	m.otherOf(f)
	f.b = at.values[seePlay] + at.whole - m.nominal
	f.felt = at.feel
	f.tilt = -2 * (at.tanA - m.geometry.tanA)
	for i := range m.readings {
		f.off[i] = m.readings[i].value - m.predicted(&m.readings[i], &f.at)
	}
	if b.sd == 0 || b.effect == nil {
		return true
	}
	const step = 0.5
	below, above := m.effectOf(f, b.mean-step*b.sd), m.effectOf(f, b.mean+step*b.sd)
	lo, okLo := m.geometry.at(&below)
	hi, okHi := m.geometry.at(&above)
	between := 2 * step
	if !okLo {
		lo, between = f.at, step
	}
	if !okHi {
		hi, between = f.at, between-step
	}
	if between <= 0 {
		return true
	}
	f.lo, f.hi, f.between = lo, hi, between
	for i := range m.readings {
		r := &m.readings[i]
		f.slope[i] = (m.predicted(r, &hi) - m.predicted(r, &lo)) / between
	}
	f.bSize = (hi.values[seePlay] + hi.whole - lo.values[seePlay] - lo.whole) / between
	f.feltSize = (hi.feel - lo.feel) / between
	return true
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
	f.others = append(f.others, place)
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
	f.others = append(f.others, other)
}

// effectOf returns the effect of a forecast's fault of a given size, on top of
// what labels say against what was measured.
func (m *model) effectOf(f *forecast, size float64) effect {
	e := f.branch.at(m, size)
	if f.second != nil {
		return f.under.plus(&e)
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

// negligible is how much less likely than the likeliest part, in logarithms, a
// part may be before it is left out.
const negligible = 16

// flaw is one way in which readings are wrong: one of them misread, or all that
// were read in one go by the same amount, such as with a caliper that is off.
type flaw struct {
	which []int   // readings
	by    float64 // how much more they are then off, a standard deviation
	log   float64 // log odds of it
}

// listFlaws lists what may be misread.
func (m *model) listFlaws() {
	m.flaws = m.flaws[:0]
	for i := range m.readings {
		e := m.readings[i].misread
		m.flaws = append(m.flaws, flaw{[]int{i}, e.By, math.Log(e.Chance / (1 - e.Chance))})
	}
	for _, go1 := range [...][]Seen{
		{SeenDepthPinBoard, SeenDepthTailBoard}, {SeenPinWidest, SeenTailWidest, SeenPinSocketWidest, SeenTailSocketWidest},
	} {
		var which []int
		for i := range m.readings {
			if r := &m.readings[i]; r.Cut == m.latest.index && r.Place == Whole && slices.Contains(go1, r.Seen) {
				which = append(which, i)
			}
		}
		if len(which) > 1 {
			e := m.readings[which[0]].misread
			m.flaws = append(m.flaws, flaw{which, e.By, math.Log(e.Chance / (1 - e.Chance))})
		}
	}
	m.logRight = 0
	for i := range m.readings {
		m.logRight += math.Log(1 - m.readings[i].misread.Chance)
	}
}

// linear takes the readings in: every forecast with none, one or two flaws.
func (m *model) linear(fs []forecast, s *system, scatter int, log float64) []part {
	parts := make([]part, 0, len(fs)*2)
	x := newSolution(m, s)
	best := math.Inf(-1)
	for i := range fs {
		if !m.goOn() {
			return nil
		}
		x.f = &fs[i]
		x.solve()
		right := x.part(-1, -1)
		right.scatter, right.log = scatter, right.log+log
		best = math.Max(best, right.log)
		if right.log < best-negligible-x.mostGain() {
			continue
		}
		first := len(parts)
		parts = append(parts, right)
		for a := range m.flaws {
			one := x.part(a, -1)
			one.scatter, one.log = scatter, one.log+log
			best = math.Max(best, one.log)
			parts = append(parts, one)
		}
		parts = x.pairs(parts, first, best, scatter, log)
	}
	return slices.DeleteFunc(parts, func(p part) bool { return p.log < best-negligible })
}

// solution is one forecast held against the readings.
type solution struct {
	m      *model
	s      *system
	f      *forecast
	w      []float64 // S^-1 v, v the slopes
	qr     []float64 // Q r, Q the inverse with the size's share
	qa, qc []float64 // Q a, of b and of play
	// the same summed over each flaw's readings, and S^-1 between flaws
	fr, fa, fc, ft     []float64
	between, between0  []float64
	base               []float64 // S^-1, where was read on the joint taken in
	logDet0            float64
	denominator        float64
	quad, logDet       float64
	bMean, bVar, cMean float64
	cVar, bcCov        float64
	tMean, tVar, tbCov float64 // of the size, in standard deviations
}

func (x *solution) solve() {
	s, f, n := x.s, x.f, x.s.n
	x.takePlace()
	vw, rw, aw, cw := 0.0, 0.0, 0.0, 0.0
	quad := 0.0
	for i := range n {
		row := x.base[i*n : i*n+n]
		sw, sr, sa, sc := 0.0, 0.0, 0.0, 0.0
		for k, q := range row {
			sw += q * f.slope[k]
			sr += q * f.off[k]
			sa += q * (s.bRead[k] + f.bSize*f.slope[k])
			sc += q * (s.cRead[k] + f.bSize*f.slope[k])
		}
		x.w[i], x.qr[i], x.qa[i], x.qc[i] = sw, sr, sa, sc
		vw += f.slope[i] * sw
		rw += f.off[i] * sw
		quad += f.off[i] * sr
	}
	x.denominator = 1 + vw
	for i := range n {
		aw += (s.bRead[i] + f.bSize*f.slope[i]) * x.w[i]
		cw += (s.cRead[i] + f.bSize*f.slope[i]) * x.w[i]
	}
	for i := range n {
		x.qr[i] -= x.w[i] * rw / x.denominator
		x.qa[i] -= x.w[i] * aw / x.denominator
		x.qc[i] -= x.w[i] * cw / x.denominator
	}
	x.quad = quad - rw*rw/x.denominator
	x.logDet = x.logDet0 + math.Log(x.denominator)
	x.moments()
	x.project()
}

// takePlace: where a joint varies along its length nobody knows where on it
// something was read, and some faults differ in more than their size; what that
// scatters, readings share.
func (x *solution) takePlace() {
	n := x.s.n
	x.base, x.logDet0, x.between = x.s.inverse, x.s.logDet, x.between0
	if len(x.f.others) == 0 {
		return
	}
	x.base = slices.Clone(x.s.inverse)
	w := make([]float64, n)
	for _, v := range x.f.others {
		total := 1.0
		for i := range n {
			w[i] = 0
			for k, vk := range v {
				w[i] += x.base[i*n+k] * vk
			}
			total += w[i] * v[i]
		}
		for i := range n {
			for k := range n {
				x.base[i*n+k] -= w[i] * w[k] / total
			}
		}
		x.logDet0 += math.Log(total)
	}
	x.between = x.m.betweenFlaws(x.base, n)
}

// betweenFlaws sums an inverse over the readings of each two flaws.
func (m *model) betweenFlaws(inverse []float64, n int) []float64 {
	k := len(m.flaws)
	all := make([]float64, k*k)
	for i := range m.flaws {
		for j := range m.flaws {
			for _, a := range m.flaws[i].which {
				for _, b := range m.flaws[j].which {
					all[i*k+j] += inverse[a*n+b]
				}
			}
		}
	}
	return all
}

// moments: b and the latest joint's play, given the readings.
func (x *solution) moments() {
	s, f := x.s, x.f
	size := f.bSize * f.bSize
	x.bMean, x.bVar = f.b, s.bVar+size
	x.cMean, x.cVar, x.bcCov = f.b, s.cVar+size, s.bVar+size
	for i := range s.n {
		a, c := s.bRead[i]+f.bSize*f.slope[i], s.cRead[i]+f.bSize*f.slope[i]
		x.bMean += a * x.qr[i]
		x.cMean += c * x.qr[i]
		x.bVar -= a * x.qa[i]
		x.cVar -= c * x.qc[i]
		x.bcCov -= a * x.qc[i]
	}
	x.tMean, x.tVar, x.tbCov = 0, 1/x.denominator, f.bSize
	for i := range s.n {
		x.tMean += x.w[i] * f.off[i] / x.denominator
		x.tbCov -= f.slope[i] * x.qa[i]
	}
}

func newSolution(m *model, s *system) *solution {
	n, k := s.n, len(m.flaws)
	cells := make([]float64, 4*n+4*k)
	x := &solution{m: m, s: s}
	take := func(n int) (v []float64) { v, cells = cells[:n:n], cells[n:]; return v }
	x.w, x.qr, x.qa, x.qc = take(n), take(n), take(n), take(n)
	x.fr, x.fa, x.fc, x.ft = take(k), take(k), take(k), take(k)
	x.between0 = m.betweenFlaws(s.inverse, n)
	return x
}

// project sums what each flaw's readings have of every figure.
func (x *solution) project() {
	for i := range x.m.flaws {
		fr, fa, fc, ft := 0.0, 0.0, 0.0, 0.0
		for _, k := range x.m.flaws[i].which {
			fr, fa, fc, ft = fr+x.qr[k], fa+x.qa[k], fc+x.qc[k], ft+x.w[k]
		}
		x.fr[i], x.fa[i], x.fc[i], x.ft[i] = fr, fa, fc, ft
	}
}

// q returns u' Q v for the readings of two flaws.
func (x *solution) q(i, k int) float64 {
	return x.between[i*len(x.m.flaws)+k] - x.ft[i]*x.ft[k]/x.denominator
}

// mostGain is by how much the best flaw can raise the likelihood.
func (x *solution) mostGain() float64 { return x.quad / 2 }

// part returns the forecast with flaws i and k, -1 for none.
func (x *solution) part(i, k int) part {
	p := part{forecast: x.f, flaws: [2]int{i, k}}
	quad, logDet := x.quad, x.logDet
	bMean, bVar, cMean, cVar, bc := x.bMean, x.bVar, x.cMean, x.cVar, x.bcCov
	tMean, tVar, tb := x.tMean, x.tVar, x.tbCov
	log := x.f.log + x.m.logRight
	drop := func(gr, ga, gc, gt, total float64) { // an update of rank one
		quad -= gr * gr / total
		tMean -= gt * gr / total
		tVar += gt * gt / total
		tb += gt * ga / total
		bMean -= ga * gr / total
		cMean -= gc * gr / total
		bVar += ga * ga / total
		cVar += gc * gc / total
		bc += ga * gc / total
	}
	if i >= 0 {
		t := 1 / square(x.m.flaws[i].by)
		total := t + x.q(i, i)
		drop(x.fr[i], x.fa[i], x.fc[i], x.ft[i]/x.denominator, total)
		logDet += math.Log(total / t)
		log += x.m.flaws[i].log
		if k >= 0 {
			share := x.q(i, k) / total
			t = 1 / square(x.m.flaws[k].by)
			rest := t + x.q(k, k) - share*x.q(i, k)
			drop(x.fr[k]-share*x.fr[i], x.fa[k]-share*x.fa[i], x.fc[k]-share*x.fc[i], (x.ft[k]-share*x.ft[i])/x.denominator, rest)
			logDet += math.Log(rest / t)
			log += x.m.flaws[k].log
		}
	}
	p.log = log - 0.5*(quad+logDet)
	p.mean, p.sd = bMean, math.Sqrt(math.Max(bVar, 1e-10))
	p.size, p.sizeSD, p.sizeB = tMean, math.Sqrt(math.Max(0, tVar)), tb
	slope := 0.0
	if bVar > 1e-10 {
		slope = bc / bVar
	}
	p.play = conditional{cMean, slope, math.Sqrt(math.Max(0, cVar-slope*bc))}
	return p
}

// mostPairs is for how many of the readings that were most likely misread
// pairs are looked at, and worthPairs how likely they must be.
const mostPairs, worthPairs = 6, 9

// pairs adds the parts with two readings misread, of those that seem most
// likely to be.
func (x *solution) pairs(parts []part, first int, best float64, scatter int, log float64) []part {
	singles := parts[first+1:]
	if len(singles) < 2 {
		return parts
	}
	var order [mostReadings]int
	likely := order[:0]
	for i := range singles {
		if singles[i].log > best-worthPairs {
			likely = append(likely, i)
		}
	}
	slices.SortFunc(likely, func(a, b int) int { return cmp.Compare(singles[b].log, singles[a].log) })
	likely = likely[:min(len(likely), mostPairs)]
	for n, i := range likely {
		for _, k := range likely[:n] {
			p := x.part(i, k)
			p.scatter, p.log = scatter, p.log+log
			parts = append(parts, p)
		}
	}
	return parts
}
