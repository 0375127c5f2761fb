package belief

import (
	"math"
	"slices"
)

// grid is a range of b with the likelihood of older joints on it.
type grid struct {
	low, step float64
	n         int
	// logs of each older joint's likelihood, by scatter and joint, and their sums
	logs [][][]float64
	sums [][]float64
	// exponentials of the sums, but for their largest
	linear [][]float64
	most   []float64
}

func (g *grid) at(i int) float64 { return g.low + float64(i)*g.step }

const (
	// finest step of the grid, mm: feels, readings and settings blur play by about as
	// much, and sums of smooth bells over an even grid are then as good as exact.
	finest = 0.04
	// mostSteps bounds the grid where sizes are not known.
	mostSteps = 1200
	// reach is how many standard deviations a part covers on the grid.
	reach = 4.5
)

func (m *model) newGrid(parts []part, scatters []scatter) *grid {
	low, high := math.Inf(1), math.Inf(-1)
	for i := range parts {
		low, high = math.Min(low, parts[i].mean-reach*parts[i].sd), math.Max(high, parts[i].mean+reach*parts[i].sd)
	}
	g := &grid{step: math.Max(finest, (high-low)/mostSteps)}
	g.low = low - g.step
	g.n = int((high-low)/g.step) + 4
	if len(m.earlier) == 0 {
		return g
	}
	g.logs, g.sums = make([][][]float64, len(scatters)), make([][]float64, len(scatters))
	g.linear, g.most = make([][]float64, len(scatters)), make([]float64, len(scatters))
	for k, sc := range scatters {
		g.sums[k] = make([]float64, g.n)
		g.logs[k] = make([][]float64, len(m.earlier))
		for i := range m.earlier {
			if !m.goOn() {
				return g
			}
			g.logs[k][i] = m.logsOf(&m.earlier[i], g, sc.by)
			for n, l := range g.logs[k][i] {
				g.sums[k][n] += l
			}
		}
		g.most[k] = slices.Max(g.sums[k])
		g.linear[k] = make([]float64, g.n)
		for n, l := range g.sums[k] {
			g.linear[k][n] = math.Exp(l - g.most[k])
		}
	}
	return g
}

// oddSD is by how much the play of a joint cut otherwise than the rest differs,
// mm, a standard deviation; oddEvery at how many of the grid's points its
// likelihood, which changes slowly, is looked at. Judgement.
const oddSD, oddEvery = 0.7, 8

// logsOf returns the logarithm of a joint's likelihood on the grid.
func (m *model) logsOf(o *olderCut, g *grid, by float64) []float64 {
	logs := make([]float64, g.n)
	if len(o.values)+len(o.ranges) == 0 {
		return logs
	}
	odd := *o
	odd.settingSD = math.Hypot(o.settingSD, oddSD)
	var before, after float64
	after = odd.likelihood(o.nominal+g.low, 1)
	for i := range logs {
		if i%oddEvery == 0 {
			before, after = after, odd.likelihood(o.nominal+g.at(i+oddEvery), 1)
		}
		share := float64(i%oddEvery) / oddEvery
		p := (1-m.priors.Odd)*o.likelihood(o.nominal+g.at(i), by) + m.priors.Odd*(before+share*(after-before))
		logs[i] = math.Log(math.Max(p, 1e-300))
	}
	return logs
}

// olderAt returns the logarithm of the older joints' likelihood at a point of
// the grid for a part whose angle is another: its play changes otherwise with
// depth.
func (m *model) olderAt(g *grid, p *part, i int) float64 {
	sum := 0.0
	here := m.latest.depth.Deeper().MM()
	for k := range m.earlier {
		at := float64(i) + p.tilt*(m.earlier[k].depth-here)/g.step
		n := int(math.Max(0, math.Min(at, float64(g.n-2))))
		logs := g.logs[p.scatter][k]
		share := math.Max(0, math.Min(1, at-float64(n)))
		sum += logs[n] + share*(logs[n+1]-logs[n])
	}
	return sum
}

// scatter is how much more than stated readings and settings may scatter.
type scatter struct{ chance, by float64 }

func (m *model) scatters() []scatter {
	if len(m.earlier) == 0 || m.priors.Scatter == 0 {
		return []scatter{{1, 1}}
	}
	return []scatter{{1 - m.priors.Scatter, 1}, {m.priors.Scatter, m.priors.ScatterBy}}
}

// field is what play a next joint may have: the distribution of b by the angle
// that goes with it, and by scatter.
type field struct {
	tilt    float64
	scatter int
	weights []float64 // on the grid
	trusted []float64 // the same without parts in which a pulled gap is misread
	first   int       // the range of the grid in which they are not 0
	last    int
}

// gather takes in older joints and the latest one's feel, part by part on the
// grid, and returns the distribution of b.
func (m *model) gather(parts []part, g *grid) []field {
	best := g.bounds(parts)
	felt := newFeeler(m, g)
	var fields []field
	total := 0.0
	for i := range parts {
		p := &parts[i]
		if p.weight = 0; p.bound < best-negligible {
			continue
		}
		if !m.goOn() {
			return fields
		}
		m.gatherPart(p, g, fieldOf(&fields, p, g), felt, best)
		total += p.weight
	}
	for i := range parts {
		parts[i].weight /= total
		parts[i].inTarget /= total
		parts[i].feltWrong /= total
	}
	for i := range fields {
		for k := range fields[i].weights {
			fields[i].weights[k] /= total
			fields[i].trusted[k] /= total
		}
	}
	return fields
}

// boundEvery is at how many of the grid's points parts are looked at to find
// those that count.
const boundEvery = 2

// bounds notes, in logarithms, what each part can weigh at most on a point of
// the grid, and returns the largest.
func (g *grid) bounds(parts []part) float64 {
	best := math.Inf(-1)
	for i := range parts {
		p := &parts[i]
		p.bound = p.log - math.Log(p.width(g)/g.step)
		if g.sums != nil {
			most := math.Inf(-1)
			lo, hi := g.window(p)
			precision, sums := 0.5/square(p.width(g)), g.sums[p.scatter]
			for k := lo; k <= hi; k += boundEvery {
				off := g.at(k) - p.mean
				most = math.Max(most, sums[k]-off*off*precision)
			}
			p.bound += most
		}
		best = math.Max(best, p.bound)
	}
	return best
}

func (p *part) width(g *grid) float64 { return math.Max(p.sd, 0.6*g.step) }

func (g *grid) window(p *part) (lo, hi int) {
	w := reach * p.width(g)
	lo = max(0, int((p.mean-w-g.low)/g.step))
	hi = min(g.n-1, int((p.mean+w-g.low)/g.step)+1)
	return lo, hi
}

func fieldOf(fields *[]field, p *part, g *grid) *field {
	for i := range *fields {
		if f := &(*fields)[i]; f.tilt == p.tilt && f.scatter == p.scatter {
			return f
		}
	}
	cells := make([]float64, 2*g.n)
	*fields = append(*fields, field{tilt: p.tilt, scatter: p.scatter, weights: cells[:g.n], trusted: cells[g.n:], first: g.n})
	return &(*fields)[len(*fields)-1]
}

// gatherPart takes one part in: its normal distribution of b, times what older
// joints say of b, times what was felt of the latest.
func (m *model) gatherPart(p *part, g *grid, f *field, felt *feeler, best float64) {
	lo, hi := g.window(p)
	width := p.width(g)
	// The normal density by recurrence: each value is the one before times a
	// factor that itself changes by a constant factor.
	off := (g.at(lo) - p.mean) / width
	step := g.step / width
	scale := p.log - best - math.Log(width/g.step)
	if g.sums != nil && p.tilt == 0 {
		scale += g.most[p.scatter]
	}
	w, factor, change := math.Exp(scale-off*off/2), math.Exp(-off*step-step*step/2), math.Exp(-step*step)
	felt.begin(p)
	trusted := m.trusts(p)
	lasts := p.lasts()
	told := 0.0
	if lasts < 1 {
		at, _ := m.geometry.at(&m.told)
		told = at.values[seePlay] + at.whole - m.nominal
	}
	sum, first, squares := 0.0, 0.0, 0.0
	for k := lo; k <= hi; k++ {
		v := w
		switch {
		case g.sums == nil:
		case p.tilt == 0:
			v *= g.linear[p.scatter][k]
		default:
			v *= math.Exp(m.olderAt(g, p, k))
		}
		if v > 0 {
			b := g.at(k)
			v *= felt.chance(k)
			f.put(k, v*lasts, trusted)
			if lasts < 1 {
				f.put(g.index(b-p.faultAt(b)+told), v*(1-lasts), trusted)
			}
			sum, first, squares = sum+v, first+v*b, squares+v*b*b
			felt.tally(k, v, k-lo)
		}
		w *= factor
		factor *= change
	}
	f.first, f.last = min(f.first, lo), max(f.last, hi)
	p.weight = sum
	if sum > 0 {
		p.bMean = first / sum
		p.bSD = math.Sqrt(math.Max(squares/sum-p.bMean*p.bMean, 1e-8))
	}
	p.inTarget, p.feltWrong = felt.inTarget, felt.wrong
}

// put adds weight to a point of the grid.
func (f *field) put(k int, v float64, trusted bool) {
	f.weights[k] += v
	if trusted {
		f.trusted[k] += v
	}
	f.first, f.last = min(f.first, k), max(f.last, k)
}

// index returns the point of the grid nearest to b.
func (g *grid) index(b float64) int {
	return max(0, min(g.n-1, int(math.Round((b-g.low)/g.step))))
}

// faultAt returns what of b a part's fault, and what labels say against what was
// measured, are expected to be.
func (p *part) faultAt(b float64) float64 {
	size := p.size + p.sizeB/(p.sd*p.sd)*(b-p.mean)
	return p.b + p.bSize*size
}

// recurs is how often what slipped once slips again if nothing is done about
// it. Judgement.
const recurs = 0.5

// lasts is the chance that a fault is there at the next joint too.
func (p *part) lasts() float64 {
	switch p.branch.cause {
	case CauseCutterCrept, CauseDepthLockSlipped:
		if p.second == nil && p.sd > 0 {
			return recurs
		}
	}
	return 1
}

// trusts reports whether a part takes the latest joint's pulled gap as right.
func (m *model) trusts(p *part) bool {
	for _, i := range p.flaws {
		if i >= 0 && m.tellsGap(&m.flaws[i]) {
			return false
		}
	}
	return true
}

func (m *model) tellsGap(f *flaw) bool {
	for _, i := range f.which {
		if r := &m.readings[i]; r.Seen == SeenPulledGap && r.Place == Whole {
			return true
		}
	}
	return false
}
