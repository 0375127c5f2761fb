package diagnose

import (
	"math"

	"snugtail/joint"
)

// soft is a range with soft edges that an observable was seen to lie in, given
// all readings: the observable is at + slope . unknowns, with a variance of
// rest that comes from its own test joint.
type soft struct {
	within
	at    float64
	slope vector
	rest  float64
	cut   int
	self  [ownUnknowns]float64
	cov   [ownUnknowns][ownUnknowns]float64
}

func (l *look) softRange(r *within, o *own, cut int) soft {
	lasting, self := l.rows(r.observable, r.where, r.felt)
	s := soft{within: *r, at: l.expected(r.observable, r.where, r.felt), slope: lasting, cut: cut, self: self, cov: o.cov}
	for i, a := range self {
		s.at += a * o.mean[i]
		for n := range s.slope {
			s.slope[n] += a * o.slope[i][n]
		}
		for k, b := range self {
			s.rest += a * o.cov[i][k] * b
		}
	}
	return s
}

// given returns mean and variance of the observable but for rest.
func (s *soft) given(mean *vector, cov *matrix) (at, variance float64) {
	spread := cov.times(&s.slope)
	return s.at + s.slope.dot(mean), math.Max(0, spread.dot(&s.slope))
}

// chance is that of the range for an observable with this mean and standard
// deviation, its soft edges not yet counted.
func (s *soft) chance(mean, sd float64) float64 {
	sd = math.Hypot(sd, s.soft)
	p := joint.NormalCDF((s.high-mean)/sd) - joint.NormalCDF((s.low-mean)/sd)
	return math.Max(tiny, (1-s.mistaken)*p+s.mistaken/feels)
}

// tiny keeps the logarithm of a probability finite.
const tiny = 1e-300

// mostFactored is the number of ranges up to which their integral is taken by
// one common factor; more are taken one after the other.
const mostFactored = 6

// logOf returns the logarithm of the probability that all observables are
// within their ranges.
func logOf(rs []soft, mean *vector, cov *matrix) float64 {
	switch {
	case len(rs) == 0:
		return 0
	case len(rs) == 1:
		at, variance := rs[0].given(mean, cov)
		return math.Log(rs[0].chance(at, math.Sqrt(variance+rs[0].rest)))
	case len(rs) <= mostFactored:
		return logFactored(rs, mean, cov)
	}
	p := posterior{mean: *mean, cov: *cov}
	return p.feel(rs)
}

// logFactored takes the observables as each a share of one common factor and a
// part of its own. Test joints of one set-up have nearly that form; two always
// have it.
func logFactored(rs []soft, mean *vector, cov *matrix) float64 {
	n := len(rs)
	var at, own, load [mostFactored]float64
	var v [mostFactored][mostFactored]float64
	for i := range rs {
		at[i], _ = rs[i].given(mean, cov)
		spread := cov.times(&rs[i].slope)
		for k := range rs {
			v[i][k] = spread.dot(&rs[k].slope) + rs[i].shared(&rs[k])
		}
	}
	factor(&v, &load, n)
	sharpest := math.Inf(1)
	for i := range n {
		own[i] = math.Sqrt(math.Max(0, v[i][i]-load[i]*load[i]))
		if load[i] != 0 {
			sharpest = math.Min(sharpest, math.Hypot(own[i], rs[i].soft)/math.Abs(load[i]))
		}
	}
	return math.Log(math.Max(tiny, overFactor(sharpest, func(t float64) float64 {
		product := 1.0
		for i := range n {
			product *= rs[i].chance(at[i]+load[i]*t, own[i])
		}
		return product
	})))
}

// shared is the covariance that two observables of one test joint have from
// its own unknowns.
func (s *soft) shared(other *soft) float64 {
	if s.cut != other.cut {
		return 0
	}
	sum := 0.0
	for i, a := range s.self {
		for k, b := range other.self {
			sum += a * s.cov[i][k] * b
		}
	}
	return sum
}

// overFactor integrates f over the standard normal distribution by the
// trapezoidal rule, whose step for edges as sharp as given leaves an error of
// about exp(-2 pi^2 / 1.2^2).
func overFactor(sharpest float64, f func(float64) float64) float64 {
	const reach, least, most = 6.0, 24, 300
	n := least
	if want := 2 * reach / (1.2 * sharpest); want > least {
		n = int(math.Min(want, most))
	}
	step, sum := 2*reach/float64(n), 0.0
	for k := range n + 1 {
		t := -reach + float64(k)*step
		sum += math.Exp(-t*t/2) * f(t)
	}
	return sum * step / math.Sqrt(2*math.Pi)
}

// factor finds the loads of one factor that give the covariances v best
// (principal axis factoring); for two observables exactly.
func factor(v *[mostFactored][mostFactored]float64, load *[mostFactored]float64, n int) {
	var sd, common [mostFactored]float64
	for i := range n {
		sd[i] = math.Sqrt(math.Max(v[i][i], 1e-12))
	}
	r := func(i, k int) float64 { return v[i][k] / (sd[i] * sd[k]) }
	if n == 2 {
		rho := math.Min(1, math.Max(-1, r(0, 1)))
		load[0], load[1] = sd[0]*math.Sqrt(math.Abs(rho)), math.Copysign(sd[1]*math.Sqrt(math.Abs(rho)), rho)
		return
	}
	for i := range n {
		for k := range n {
			if k != i {
				common[i] = math.Max(common[i], math.Min(1, math.Abs(r(i, k))))
			}
		}
		load[i] = 1
	}
	for range 30 {
		root := axis(load, n, func(i, k int) float64 {
			if i == k {
				return common[i]
			}
			return r(i, k)
		})
		for i := range n {
			load[i] *= math.Sqrt(root)
			load[i] = math.Max(-1, math.Min(1, load[i]))
			common[i] = load[i] * load[i]
		}
	}
	for i := range n {
		load[i] *= sd[i]
	}
}

// axis turns x into the leading eigenvector, of length 1, and returns its
// eigenvalue or 0.
func axis(x *[mostFactored]float64, n int, r func(i, k int) float64) (root float64) {
	for range 4 {
		var y [mostFactored]float64
		norm := 0.0
		for i := range n {
			for k := range n {
				y[i] += r(i, k) * x[k]
			}
			norm += y[i] * y[i]
		}
		if norm == 0 {
			return 0
		}
		length := 0.0
		for i := range n {
			length += x[i] * x[i]
		}
		norm, length = math.Sqrt(norm), math.Sqrt(length)
		root = norm / math.Max(length, tiny)
		for i := range n {
			x[i] = y[i] / norm
		}
	}
	return root
}

// feel takes ranges in one after the other, each as the normal distribution of
// the same mean and variance, and returns the logarithm of how likely they
// were.
func (p *posterior) feel(rs []soft) (log float64) {
	for i := range rs {
		s := &rs[i]
		mean, variance := s.given(&p.mean, &p.cov)
		total := variance + s.rest
		z, shift, shrink := s.moments(mean, math.Sqrt(total))
		log += math.Log(math.Max(z, tiny))
		spread := p.cov.times(&s.slope)
		for n := range p.mean {
			p.mean[n] += spread[n] * shift
			for k := range p.mean {
				p.cov[n][k] -= spread[n] * spread[k] * shrink
			}
		}
	}
	return log
}

// moments returns the chance of the range, and what seeing it does to an
// unknown that has covariance k with the observable: its mean rises by
// k shift, its variance falls by k^2 shrink. That a range may be told wrongly
// never makes the variance rise.
func (s *soft) moments(mean, sd float64) (z, shift, shrink float64) {
	sd = math.Hypot(sd, s.soft)
	z = s.chance(mean, math.Sqrt(math.Max(0, sd*sd-s.soft*s.soft)))
	density := func(x float64) float64 { return math.Exp(-x*x/2) / math.Sqrt(2*math.Pi) }
	low, high := (s.low-mean)/sd, (s.high-mean)/sd
	first := (1 - s.mistaken) * (density(low) - density(high)) / (sd * z)
	second := (1 - s.mistaken) * (edge(low)*density(low) - edge(high)*density(high)) / (sd * sd * z)
	if z <= hopeless {
		return z, 0, 0
	}
	return z, first, math.Min(1/(sd*sd), math.Max(0, first*first-second))
}

// hopeless is the chance of a range below which its density is too small to
// tell anything but that it is not so.
const hopeless = 1e-200

// edge keeps an open end, where the density is 0, from making 0 times infinity.
func edge(x float64) float64 { return math.Max(-far, math.Min(far, x)) }
