package belief

import (
	"math"
	"slices"
)

// grid is a range of b, with the likelihood of older joints on it.
type grid struct {
	low, step float64
	n         int
	joints    [][][]float64 // logarithms, by scatter and joint; nil without older joints
	sums      [][]float64   // of all joints
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
		low, high = min(low, parts[i].mean-reach*parts[i].sd), max(high, parts[i].mean+reach*parts[i].sd)
	}
	g := &grid{step: max(finest, (high-low)/mostSteps)}
	g.low = low - g.step
	g.n = int((high-low)/g.step) + 4
	if len(m.earlier) == 0 {
		return g
	}
	g.joints, g.sums = make([][][]float64, len(scatters)), make([][]float64, len(scatters))
	for k, sc := range scatters {
		g.joints[k] = make([][]float64, len(m.earlier))
		for i := range m.earlier {
			g.joints[k][i] = m.logsOf(&m.earlier[i], g, sc.by)
		}
		g.sums[k] = m.olderRow(g, 0, k)
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
	if !o.tells() {
		return logs
	}
	low := o.nominal + g.low
	o.curve(o.settingSD, by).on(logs, low, g.step)
	odd := make([]float64, g.n/oddEvery+2)
	o.curve(math.Hypot(o.settingSD, oddSD), 1).on(odd, low, oddEvery*g.step)
	for i, usual := range logs {
		k, share := i/oddEvery, float64(i%oddEvery)/oddEvery
		p := (1-m.priors.Odd)*usual + m.priors.Odd*(odd[k]+share*(odd[k+1]-odd[k]))
		logs[i] = math.Log(max(p, 1e-300))
	}
	return logs
}

// olderRow returns the logarithm of all older joints' likelihood on the grid, for
// parts whose angle is another: their play changes otherwise with depth, by
// tilt for each mm from the latest joint's on, and so each joint's row is
// shifted.
func (m *model) olderRow(g *grid, tilt float64, scatter int) []float64 {
	row := make([]float64, g.n)
	here := m.latest.depth.Deeper().MM()
	for k, logs := range g.joints[scatter] {
		shift := tilt * (m.earlier[k].depth - here) / g.step
		whole := math.Floor(shift)
		by, share := int(whole), shift-whole
		first, end := max(0, -by), min(g.n, g.n-1-by) // where both points that it lies between are on the grid
		for i := range row[:min(first, g.n)] {
			row[i] += logs[0]
		}
		for i := first; i < end; i++ {
			row[i] += logs[i+by] + share*(logs[i+by+1]-logs[i+by])
		}
		for i := max(0, end); i < g.n; i++ {
			row[i] += logs[g.n-1]
		}
	}
	return row
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
	below   []float64 // sum of the weights below each point, and of all
	// sums of the weights, and of b and its square so weighed
	total, sum, squares float64
	// what older joints say of b with this angle: its logarithm, and it over its
	// largest; nil without older joints
	logs, older []float64
	most        float64 // that largest, a logarithm
}

func (m *model) newField(g *grid, tilt float64, scatter int) *field {
	cells := make([]float64, 2*g.n)
	f := &field{tilt: tilt, scatter: scatter, weights: cells[:g.n], trusted: cells[g.n:], first: g.n, last: -1}
	if g.joints == nil {
		return f
	}
	logs := g.sums[scatter]
	if tilt != 0 {
		logs = m.olderRow(g, tilt, scatter)
	}
	f.most = slices.Max(logs)
	f.logs, f.older = logs, make([]float64, g.n)
	for i, l := range logs {
		f.older[i] = math.Exp(l - f.most)
	}
	return f
}

// gather takes in older joints and the latest one's feel, part by part on the
// grid, and returns the distribution of b.
func (m *model) gather(parts []part, g *grid) []*field {
	fields, best := m.bounds(parts, g)
	felt := newFeeler(m, g)
	bell := make([]float64, g.n)
	total := 0.0
	for i := range parts {
		p := &parts[i]
		if p.weight = 0; p.bound < best-negligible {
			continue
		}
		m.gatherPart(p, g, felt, best, bell)
		total += p.weight
	}
	for i := range parts {
		parts[i].weight /= total
		parts[i].inTarget /= total
		parts[i].feltWrong /= total
	}
	for _, f := range fields {
		f.settle(g, total)
	}
	return fields
}

// settle divides by the weight of all, and adds up.
func (f *field) settle(g *grid, total float64) {
	f.below = make([]float64, g.n+1)
	for k := f.first; k <= f.last; k++ {
		f.weights[k] /= total
		f.trusted[k] /= total
		w, b := f.weights[k], g.at(k)
		f.below[k+1] = f.below[k] + w
		f.sum += w * b
		f.squares += w * b * b
	}
	if f.first <= f.last {
		f.total = f.below[f.last+1]
	}
}

// fieldOf finds a part's field, or adds it.
func (m *model) fieldOf(fields []*field, p *part, g *grid) []*field {
	k := slices.IndexFunc(fields, func(f *field) bool { return f.tilt == p.tilt && f.scatter == int(p.scatter) })
	if k < 0 {
		k = len(fields)
		fields = append(fields, m.newField(g, p.tilt, int(p.scatter)))
	}
	p.field = fields[k]
	return fields
}

// bounds notes, in logarithms, what each part can weigh at most on a point of
// the grid, and returns the largest. Parts that are negligible even where every
// older joint makes theirs likeliest are not looked at, and have no field.
func (m *model) bounds(parts []part, g *grid) (fields []*field, best float64) {
	loosest, least, best := g.loosest(), math.Inf(-1), math.Inf(-1)
	for i := range parts {
		p := &parts[i]
		p.peak = p.log - math.Log(p.width(g)/g.step)
		if p.tilt == 0 {
			least = max(least, p.peak+g.sumAt(p))
		}
	}
	for i := range parts {
		p := &parts[i]
		if p.bound = math.Inf(-1); p.peak+loosest[p.scatter] < least-negligible {
			continue
		}
		fields = m.fieldOf(fields, p, g)
		p.bound = p.peak + g.mostOf(p)
		best = max(best, p.bound)
	}
	return fields, best
}

// sumAt is what older joints say of a part's mean.
func (g *grid) sumAt(p *part) float64 {
	if g.sums == nil {
		return 0
	}
	return g.sums[p.scatter][g.index(p.mean)]
}

// loosest is what older joints say of b, by scatter, were every one of them where
// it makes b likeliest.
func (g *grid) loosest() []float64 {
	all := make([]float64, max(1, len(g.joints)))
	for k, joints := range g.joints {
		for _, logs := range joints {
			all[k] += slices.Max(logs)
		}
	}
	return all
}

// mostOf returns the largest of what older joints say of b times a part's normal
// density over its own largest: a logarithm.
func (g *grid) mostOf(p *part) float64 {
	if p.field.logs == nil {
		return 0
	}
	lo, hi := g.window(p)
	off, precision := g.at(lo)-p.mean, 0.5/square(p.width(g))
	most := math.Inf(-1)
	for _, l := range p.field.logs[lo : hi+1] {
		most = max(most, l-off*off*precision)
		off += g.step
	}
	return most
}

func (p *part) width(g *grid) float64 { return max(p.sd, 0.6*g.step) }

func (g *grid) window(p *part) (lo, hi int) {
	w := reach * p.width(g)
	lo = max(0, int((p.mean-w-g.low)/g.step))
	hi = min(g.n-1, int((p.mean+w-g.low)/g.step)+1)
	return lo, hi
}

// gatherPart takes one part in: its normal distribution of b, times what older
// joints say of b, times what was felt of the latest.
func (m *model) gatherPart(p *part, g *grid, felt *feeler, best float64, bell []float64) {
	f := p.field
	lo, hi := g.window(p)
	weights := bell[lo : hi+1]
	p.bellOn(g, best, weights, lo)
	if f.older != nil {
		weights, lo = trimmed(weights, lo, math.Exp(p.bound-best))
	}
	felt.take(p, weights, lo)
	sum, first, squares := 0.0, 0.0, 0.0
	for i, v := range weights {
		b := g.at(lo + i)
		sum, first, squares = sum+v, first+v*b, squares+v*b*b
	}
	p.weight = sum
	if sum > 0 {
		p.bMean = first / sum
		p.bSD = math.Sqrt(max(squares/sum-p.bMean*p.bMean, 1e-8))
	}
	m.spread(p, g, weights, lo)
}

// trimmed leaves weights out at both ends that are none next to the largest; two
// by two from the lower end, so that the same points are tallied.
func trimmed(weights []float64, lo int, most float64) ([]float64, int) {
	const none = 1e-10
	least := none * most
	for len(weights) > 2 && weights[0] < least {
		weights, lo = weights[2:], lo+2
	}
	for len(weights) > 1 && weights[len(weights)-1] < least {
		weights = weights[:len(weights)-1]
	}
	return weights, lo
}

// farOff is from how much likelier, a logarithm, older joints make other points of
// the grid than a part's own its numbers would end: then each is reckoned by
// itself.
const farOff = 500

// bellOn fills in a part's weights on the points of the grid from lo on, over
// that of the best part: the normal density by recurrence, each value the one
// before times a factor that itself changes by a constant factor, times what
// older joints say.
func (p *part) bellOn(g *grid, best float64, weights []float64, lo int) {
	f, width := p.field, p.width(g)
	off, step := (g.at(lo)-p.mean)/width, g.step/width
	scale := p.peak - best + f.most
	if scale > farOff {
		for i := range weights {
			z := off + float64(i)*step
			weights[i] = math.Exp(p.peak - best - z*z/2 + f.logs[lo+i])
		}
		return
	}
	w, factor, change := math.Exp(scale-off*off/2), math.Exp(-off*step-step*step/2), math.Exp(-step*step)
	for i := range weights {
		weights[i] = w
		w *= factor
		factor *= change
	}
	if f.older == nil {
		return
	}
	for i, l := range f.older[lo : lo+len(weights)] {
		weights[i] *= l
	}
}

// spread adds a part to its field. What slipped once and may not slip again is
// as it was told, with the chance that it does not.
func (m *model) spread(p *part, g *grid, weights []float64, lo int) {
	f, lasts := p.field, p.lasts()
	rows := [2][]float64{f.weights, f.trusted}
	if !m.trusts(p) {
		rows[1] = nil
	}
	for _, row := range rows {
		if row == nil {
			continue
		}
		row = row[lo : lo+len(weights)]
		for i, v := range weights {
			row[i] += v * lasts
		}
	}
	f.first, f.last = min(f.first, lo), max(f.last, lo+len(weights)-1)
	if lasts == 1 {
		return
	}
	told := m.asTold.values[seePlay] + m.asTold.whole - m.nominal
	for i, v := range weights {
		b := g.at(lo + i)
		k := g.index(b - p.faultAt(b) + told)
		for _, row := range rows {
			if row != nil {
				row[k] += v * (1 - lasts)
			}
		}
		f.first, f.last = min(f.first, k), max(f.last, k)
	}
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
