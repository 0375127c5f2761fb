package diagnose

import (
	"math"

	"snugtail/joint"
)

// The integral over tolerances and size. All unknowns are taken in units of
// their standard deviation, so a priori they are independent and standard
// normal; y is what was read less what the branch's mean size predicts, J its
// derivative by the unknowns, N the variances of reading. Then
//
//	P = I + J' N^-1 J,   b = J' N^-1 y
//	log evidence = -1/2 (y' N^-1 y - b' P^-1 b + log det P + log det 2 pi N)
//
// and given the readings the unknowns have mean P^-1 b and covariance P^-1.
// Each test joint's own unknowns are eliminated as soon as it is taken in.

type (
	vector [unknowns]float64
	matrix [unknowns]vector
)

func (a *vector) dot(b *vector) float64 {
	sum := 0.0
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

func (m *matrix) times(v *vector) (out vector) {
	for i := range m {
		out[i] = m[i].dot(v)
	}
	return out
}

// information gathers P, b and the rest of the evidence.
type information struct {
	p   matrix
	b   vector
	log float64
}

func newInformation() information {
	var in information
	for i := range unknowns {
		in.p[i][i] = 1
	}
	return in
}

// own is one test joint's part: its own unknowns, and what they share with
// those that last.
type own struct {
	p      [ownUnknowns][ownUnknowns]float64
	shared [ownUnknowns]vector
	b      [ownUnknowns]float64
	// after elimination: the inverse of p, and of the unknowns the mean at b
	// and the slope by those that last.
	cov   [ownUnknowns][ownUnknowns]float64
	mean  [ownUnknowns]float64
	slope [ownUnknowns]vector
}

func newOwn() own {
	var o own
	for i := range ownUnknowns {
		o.p[i][i] = 1
	}
	return o
}

// read takes in one reading: off its prediction by y, with rows by the
// unknowns and standard uncertainty u.
func (in *information) read(o *own, lasting *vector, self *[ownUnknowns]float64, y, u float64) {
	w := 1 / (u * u)
	in.log -= 0.5 * (w*y*y + math.Log(2*math.Pi*u*u))
	for i, a := range lasting {
		if a == 0 {
			continue
		}
		in.b[i] += w * a * y
		for k, b := range lasting {
			in.p[i][k] += w * a * b
		}
	}
	for i, a := range self {
		if a == 0 {
			continue
		}
		o.b[i] += w * a * y
		for k, b := range self {
			o.p[i][k] += w * a * b
		}
		for k, b := range lasting {
			o.shared[i][k] += w * a * b
		}
	}
}

// eliminate takes a test joint's own unknowns out.
func (in *information) eliminate(o *own) {
	det := o.p[0][0]*o.p[1][1] - o.p[0][1]*o.p[1][0]
	o.cov = [2][2]float64{{o.p[1][1] / det, -o.p[0][1] / det}, {-o.p[1][0] / det, o.p[0][0] / det}}
	for i := range ownUnknowns {
		for k := range ownUnknowns {
			o.mean[i] += o.cov[i][k] * o.b[k]
			for n := range unknowns {
				o.slope[i][n] -= o.cov[i][k] * o.shared[k][n]
			}
		}
	}
	for i := range ownUnknowns {
		in.log += 0.5 * o.b[i] * o.mean[i]
		for n, s := range o.shared[i] {
			if s == 0 {
				continue
			}
			in.b[n] -= s * o.mean[i]
			for k := range unknowns {
				in.p[n][k] += s * o.slope[i][k]
			}
		}
	}
	in.log -= 0.5 * math.Log(det)
}

// posterior is what is known of the lasting unknowns, each in units of its
// prior standard deviation.
type posterior struct {
	mean vector
	cov  matrix
	last own // of the last test joint
}

// solve finishes the integral.
func (in *information) solve() (mean vector, cov matrix, log float64) {
	root := in.p
	logDet := root.cholesky()
	for c := range unknowns {
		column := root.inverseColumn(c)
		for i := range unknowns {
			cov[i][c] = column[i]
		}
	}
	mean = cov.times(&in.b)
	return mean, cov, in.log + 0.5*mean.dot(&in.b) - 0.5*logDet
}

// cholesky puts the factor of a positive definite matrix into its lower
// triangle and returns the logarithm of its determinant.
func (m *matrix) cholesky() (logDet float64) {
	for i := range unknowns {
		for k := 0; k <= i; k++ {
			sum := m[i][k]
			for n := range k {
				sum -= m[i][n] * m[k][n]
			}
			if i == k {
				m[i][i] = math.Sqrt(sum)
				logDet += 2 * math.Log(m[i][i])
			} else {
				m[i][k] = sum / m[k][k]
			}
		}
	}
	return logDet
}

// inverseColumn returns a column of the inverse of the matrix whose factor m
// holds: forwards, then backwards.
func (m *matrix) inverseColumn(c int) (x vector) {
	x[c] = 1 / m[c][c]
	for i := c + 1; i < unknowns; i++ {
		sum := 0.0
		for n := c; n < i; n++ {
			sum -= m[i][n] * x[n]
		}
		x[i] = sum / m[i][i]
	}
	for i := unknowns - 1; i >= 0; i-- {
		sum := x[i]
		for n := i + 1; n < unknowns; n++ {
			sum -= m[n][i] * x[n]
		}
		x[i] = sum / m[i][i]
	}
	return x
}

// tangent is where a branch's effect is taken as linear in the size: about a
// size, by what it is a step below and above it. First that is the mean size
// and half its standard deviation; then, for branches that count, the size
// that explains best and how surely.
type tangent struct{ about, step float64 }

const firstStep, leastStep = 0.5, 0.1 // of the size's standard deviation

func (b *branch) firstTangent() tangent { return tangent{b.mean, firstStep * b.sd} }

// settledTangent is that of a branch of which it is known which size explains
// best.
func (p *part) settledTangent() tangent {
	size, sd := p.sizeOf()
	return tangent{size, math.Max(sd, leastStep*p.sd)}
}

// look is one branch being held against what was seen.
type look struct {
	m      *model
	branch *branch
	cut    *cut
	at     point // about the tangent's size
	lo, hi point // a step below and above it
	sloped bool
	// steps from lo to hi, and from the mean size to the tangent's, in standard
	// deviations of the size.
	between, moved float64
}

// towards predicts a test joint under a branch; ok is false where the cause
// cannot have been that large.
func (m *model) towards(b *branch, c *cut) (l look, ok bool) {
	l = look{m: m, branch: b, cut: c, sloped: b.sd > 0 && b.effect != nil}
	if l.at, ok = m.at(b.at(m, b.tangent.about), c); !ok || !l.sloped {
		return l, ok
	}
	step := b.tangent.step / b.sd
	l.moved, l.between = (b.tangent.about-b.mean)/b.sd, 2*step
	if l.lo, ok = m.at(b.at(m, b.tangent.about-b.tangent.step), c); !ok {
		l.lo, l.between = l.at, step
	}
	if l.hi, ok = m.at(b.at(m, b.tangent.about+b.tangent.step), c); !ok {
		l.hi, l.between = l.at, step
	}
	return l, true
}

// slope of an observable by the size, for one standard deviation of it.
func (l *look) slope(o observable, w where, felt bool) float64 {
	if !l.sloped {
		return 0
	}
	return (l.hi.seen(o, w, felt) - l.lo.seen(o, w, felt)) / l.between
}

// expected is the observable at the branch's mean size, by the tangent.
func (l *look) expected(o observable, w where, felt bool) float64 {
	return l.at.seen(o, w, felt) - l.slope(o, w, felt)*l.moved
}

// seen is what is read or, if it is felt, what the hand takes it for.
func (p *point) seen(o observable, w where, felt bool) float64 {
	if felt {
		return p.value(o, w) + p.feel
	}
	return p.value(o, w)
}

// line returns a figure of the effect at the branch's mean size and its slope
// for one standard deviation of the size, by the tangent.
func (b *branch) line(m *model, of func(effect) float64) (at, slope float64) {
	at = of(b.at(m, b.tangent.about))
	if b.sd == 0 || b.effect == nil {
		return at, 0
	}
	t := b.tangent
	slope = (of(b.at(m, t.about+t.step)) - of(b.at(m, t.about-t.step))) / (2 * t.step) * b.sd
	return at - slope*(t.about-b.mean)/b.sd, slope
}

// rows returns the derivatives in units of the unknowns' standard deviations.
func (l *look) rows(o observable, w where, felt bool) (lasting vector, self [ownUnknowns]float64) {
	raw, rawSelf := l.m.row(o, &l.at)
	if !l.cut.noDepth {
		raw[ofDepth] = 0
	}
	for i := range raw {
		lasting[i] = raw[i] * l.sd(i)
	}
	lasting[ofSize] = l.slope(o, w, felt)
	self[cutDeeper] = rawSelf[cutDeeper] * l.cut.settingSD
	self[cutUneven] = rawSelf[cutUneven] * unevenSD
	return lasting, self
}

func (l *look) sd(i int) float64 {
	switch i {
	case ofSeat:
		return math.Hypot(l.m.sd[i], l.branch.seatSD)
	case ofStop:
		return math.Hypot(l.m.sd[i], l.branch.stopSD)
	}
	return l.m.sd[i]
}

// takeIn holds a branch against all that was seen; ok is false where the cause
// cannot be.
func (m *model) takeIn(b branch) (p part, ok bool) {
	in := newInformation()
	p = part{branch: b}
	var rs []soft
	for i := range m.cuts {
		l, possible := m.towards(&b, &m.cuts[i])
		if !possible {
			return p, false
		}
		o := newOwn()
		for k := range m.cuts[i].readings {
			r := &m.cuts[i].readings[k]
			lasting, self := l.rows(r.observable, r.where, false)
			in.read(&o, &lasting, &self, r.value-l.expected(r.observable, r.where, false), r.u)
		}
		if i == 0 {
			m.readIntention(&in, &o, &b)
		}
		in.eliminate(&o)
		for k := range m.cuts[i].ranges {
			rs = append(rs, l.softRange(&m.cuts[i].ranges[k], &o, i))
		}
		if i == len(m.cuts)-1 {
			p.fit.last = o
			if b.right {
				rs = append(rs, l.softRange(m.rightRange(), &o, i))
			}
		}
	}
	mean, cov, log := in.solve()
	p.fit.mean, p.fit.cov = mean, cov
	oneWay := p.sd > 0 && len(rs) <= 1 // exact with one range more
	if oneWay && p.maybeOtherWay() {
		rs = append(rs, p.sameWay())
	}
	p.logWeight = log + logOf(rs, &mean, &cov) - p.logRange(m)
	p.fit.feel(rs)
	if p.sd > 0 && !oneWay {
		one := p.sameWay()
		p.logWeight += logOf([]soft{one}, &p.fit.mean, &p.fit.cov)
	}
	return p, true
}

// logRange is how likely it is, before anything was seen, that a set-up is
// right or that a size goes one way.
func (p *part) logRange(m *model) float64 {
	switch {
	case p.right:
		return m.logRight()
	case p.sd > 0:
		return math.Log(joint.NormalCDF(math.Abs(p.mean) / p.sd))
	}
	return 0
}

// surelyOneWay is how many standard uncertainties from 0 a size is when it
// surely goes the way that its branch says.
const surelyOneWay = 4

func (p *part) maybeOtherWay() bool {
	if p.sd == 0 {
		return false
	}
	size, sd := p.sizeOf()
	return math.Copysign(1, p.mean)*size < surelyOneWay*sd
}

// sameWay: sizes go one way; the other way is another branch's, or none's.
func (p *part) sameWay() soft {
	s := soft{within: within{low: 0, high: math.Inf(1), soft: leastReading}, at: p.mean, cut: Whole}
	if p.mean < 0 {
		s.low, s.high = math.Inf(-1), 0
	}
	s.slope[ofSize] = p.sd
	return s
}

// intention takes in that sizes are chosen to fit: the play that the sizes as
// meant give is about the target's. It returns the derivatives of that play,
// and how far the target is off it. Sizes that were not stated are as they
// were meant.
func (m *model) intention(b *branch) (lasting vector, off float64) {
	var raw vector
	tanA, h := m.setup.Cutter.Angle.Tan(), m.cuts[0].depth.Deeper().MM()
	m.playRow(&raw, 2*h*(1+tanA*tanA)*math.Pi/180)
	raw[ofDepth] = -2 * tanA
	for _, gap := range m.gaps() {
		if gap.missing {
			lasting[gap.unknown] = raw[gap.unknown] * m.sd[gap.unknown]
		}
	}
	at, slope := b.line(m, func(e effect) float64 { return e.intended })
	lasting[ofSize] = slope
	return lasting, m.target.Play.MM() - m.statedPlay - at
}

func (m *model) readIntention(in *information, o *own, b *branch) {
	lasting, off := m.intention(b)
	in.read(o, &lasting, &[ownUnknowns]float64{}, off, chartSD)
}

// rightRange is that the set-up is right: the play of the joint cut last is
// within the target.
func (m *model) rightRange() *within {
	const sharp = 0.01
	return &within{observable: seePlay, low: m.target.From.MM(), high: m.target.To.MM(), soft: sharp}
}

// logRight is how likely that is before anything was seen.
func (m *model) logRight() float64 {
	in := newInformation()
	var b branch
	last := len(m.cuts) - 1
	l, possible := m.towards(&b, &m.cuts[last])
	if !possible {
		return 0
	}
	o := newOwn()
	m.readIntention(&in, &o, &b)
	in.eliminate(&o)
	// The chart's own evidence counts for all causes alike, so only the range.
	mean, cov, _ := in.solve()
	return logOf([]soft{l.softRange(m.rightRange(), &o, last)}, &mean, &cov)
}

// playOf returns mean and variance of the last joint's play under a branch.
func (m *model) playOf(p *part) (mean, variance float64) {
	last := &m.cuts[len(m.cuts)-1]
	l, possible := m.towards(&p.branch, last)
	if !possible {
		return 0, 0
	}
	r := l.softRange(&within{observable: seePlay}, &p.fit.last, 0)
	mean, variance = r.given(&p.fit.mean, &p.fit.cov)
	return mean, variance + r.rest
}
