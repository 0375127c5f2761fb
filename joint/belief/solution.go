package belief

import (
	"math"
	"slices"
)

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

// linear takes the readings in: every forecast with none, one or two flaws. The
// parts are added to those at hand.
func (m *model) linear(parts []part, fs []forecast, s *system, scatter int, log float64) []part {
	first := len(parts)
	x := newSolution(m, s)
	x.scatter, x.prior, x.best = scatter, log+m.logRight, math.Inf(-1)
	for i := range fs {
		x.f = &fs[i]
		x.solve()
		if right := x.logOf(-1, -1); right < x.best-negligible-x.mostGain() {
			continue
		}
		parts = x.add(parts, -1, -1)
		for a := range m.flaws {
			parts = x.add(parts, a, -1)
		}
		parts = x.pairs(parts)
	}
	kept := slices.DeleteFunc(parts[first:], func(p part) bool { return p.log < x.best-negligible })
	return parts[:first+len(kept)]
}

// add adds the part with flaws i and k, unless it is negligible.
func (x *solution) add(parts []part, i, k int) []part {
	log := x.logOf(i, k)
	if k < 0 {
		x.best = max(x.best, log)
	}
	if i >= 0 && k < 0 {
		x.logs[i] = log
	}
	if log < x.best-negligible {
		return parts
	}
	parts = append(parts, part{forecast: x.f, flaws: [2]int16{int16(i), int16(k)}, scatter: int8(x.scatter), log: log})
	x.fill(&parts[len(parts)-1], i, k)
	return parts
}

// solution is one forecast held against the readings.
type solution struct {
	m       *model
	s       *system
	f       *forecast
	scatter int
	prior   float64   // of the scatter, and of readings that are right: a logarithm
	best    float64   // part so far of those with one flaw at most, a logarithm
	logs    []float64 // of the parts with one flaw
	w       []float64 // S^-1 v, v the slopes
	qr      []float64 // Q r, Q the inverse with the size's share
	qa, qc  []float64 // Q a, of b and of play
	// the same summed over each flaw's readings, and S^-1 between flaws
	fr, fa, fc, ft    []float64
	between, between0 []float64
	base              []float64 // S^-1, where was read on the joint taken in
	logDet0           float64
	denominator       float64
	quad, logDet      float64
	gaussian
}

// gaussian are means, variances and covariances of b, of the latest joint's
// play, and of the size in standard deviations.
type gaussian struct {
	bMean, bVar, cMean float64
	cVar, bcCov        float64
	tMean, tVar, tbCov float64
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
	cells := make([]float64, 4*n+5*k)
	x := &solution{m: m, s: s}
	take := func(n int) (v []float64) { v, cells = cells[:n:n], cells[n:]; return v }
	x.w, x.qr, x.qa, x.qc = take(n), take(n), take(n), take(n)
	x.fr, x.fa, x.fc, x.ft, x.logs = take(k), take(k), take(k), take(k), take(k)
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

// logOf returns the logarithm of the weight of the forecast with flaws i and k,
// -1 for none.
func (x *solution) logOf(i, k int) float64 {
	log, quad, det := x.f.log+x.prior, x.quad, 1.0
	if i >= 0 {
		t := 1 / square(x.m.flaws[i].by)
		total := t + x.q(i, i)
		quad -= square(x.fr[i]) / total
		det *= total / t
		log += x.m.flaws[i].log
		if k >= 0 {
			share := x.q(i, k) / total
			t = 1 / square(x.m.flaws[k].by)
			rest := t + x.q(k, k) - share*x.q(i, k)
			quad -= square(x.fr[k]-share*x.fr[i]) / rest
			det *= rest / t
			log += x.m.flaws[k].log
		}
		det = math.Log(det)
	} else {
		det = 0
	}
	return log - 0.5*(quad+x.logDet+det)
}

// fill fills in what a part with flaws i and k, -1 for none, says of play and
// size: each flaw is an update of rank one.
func (x *solution) fill(p *part, i, k int) {
	is := x.gaussian
	if i >= 0 {
		total := 1/square(x.m.flaws[i].by) + x.q(i, i)
		is.drop(x.fr[i], x.fa[i], x.fc[i], x.ft[i]/x.denominator, total)
		if k >= 0 {
			share := x.q(i, k) / total
			rest := 1/square(x.m.flaws[k].by) + x.q(k, k) - share*x.q(i, k)
			is.drop(x.fr[k]-share*x.fr[i], x.fa[k]-share*x.fa[i], x.fc[k]-share*x.fc[i], (x.ft[k]-share*x.ft[i])/x.denominator, rest)
		}
	}
	p.mean, p.sd = is.bMean, math.Sqrt(max(is.bVar, 1e-10))
	p.size, p.sizeSD, p.sizeB = is.tMean, math.Sqrt(max(0, is.tVar)), is.tbCov
	slope := 0.0
	if is.bVar > 1e-10 {
		slope = is.bcCov / is.bVar
	}
	p.play = conditional{is.cMean, slope, math.Sqrt(max(0, is.cVar-slope*is.bcCov))}
}

// drop takes a misread reading out: what its readings have of every figure.
func (g *gaussian) drop(gr, ga, gc, gt, total float64) {
	g.tMean -= gt * gr / total
	g.tVar += gt * gt / total
	g.tbCov += gt * ga / total
	g.bMean -= ga * gr / total
	g.cMean -= gc * gr / total
	g.bVar += ga * ga / total
	g.cVar += gc * gc / total
	g.bcCov += ga * gc / total
}

// mostPairs is for how many of the readings that were most likely misread
// pairs are looked at, and worthPairs how likely they must be.
const mostPairs, worthPairs = 6, 9

// pairs adds the parts with two readings misread, of those that seem most
// likely to be.
func (x *solution) pairs(parts []part) []part {
	if len(x.logs) < 2 {
		return parts
	}
	var order [mostPairs]int
	likely := order[:0]
	for i, log := range x.logs {
		if log <= x.best-worthPairs {
			continue
		}
		n := len(likely)
		if n < mostPairs {
			likely = order[:n+1]
		} else if n--; x.logs[order[n]] >= log {
			continue
		}
		for ; n > 0 && x.logs[order[n-1]] < log; n-- {
			order[n] = order[n-1]
		}
		order[n] = i
	}
	for n, i := range likely {
		for _, k := range likely[:n] {
			parts = x.add(parts, i, k)
		}
	}
	return parts
}
