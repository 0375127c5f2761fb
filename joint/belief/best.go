package belief

import (
	"cmp"
	"math"
	"slices"

	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/joint/normal"
)

// Which depth is best. The chance of a fit at depth h is a difference of two
// values of one distribution function, that of b and the setting's error,
// moved by the play that the sizes as stated give at h. It is tabled once.

// table is the distribution function of b and the setting's error of one field.
type table struct {
	tilt float64
	cdf  []float64 // one value a step, from low on
	low  float64
	// first is the point of the grid, which may lie before it, that low is
	first int
}

// newTables returns the tables of all fields, those with one angle in one. A
// gap that was pulled counts as read right.
func (p *Posterior) newTables() []table {
	all := make([]table, 0, len(p.fields))
	for _, f := range p.fields {
		if f.first > f.last {
			continue
		}
		t := p.newTable(f)
		k := slices.IndexFunc(all, func(t table) bool { return t.tilt == f.tilt })
		if k < 0 {
			all = append(all, t)
		} else {
			all[k] = all[k].plus(&t, p.grid.step)
		}
	}
	return all
}

func (p *Posterior) newTable(f *field) table {
	step := p.grid.step
	sd := math.Max(p.m.perDepth*p.m.settingSD*p.scatters[f.scatter].by, step/2)
	span := int(math.Ceil(5 * sd / step))
	kernel := make([]float64, 2*span+1)
	for k := range kernel {
		kernel[k] = normal.CDF(float64(k-span) * step / sd)
	}
	n := f.last - f.first + 1
	t := table{tilt: f.tilt, first: f.first - span, cdf: make([]float64, n+2*span)}
	t.low = p.grid.at(t.first)
	for i, w := range f.trusted[f.first : f.last+1] {
		if w == 0 {
			continue
		}
		for k, q := range kernel {
			t.cdf[i+k] += w * q
		}
	}
	// Weights further below than the kernel reaches count in full.
	sum := 0.0
	for i := range t.cdf {
		if k := i - 2*span - 1; k >= 0 && k < n {
			sum += f.trusted[f.first+k]
		}
		t.cdf[i] += sum
	}
	return t
}

// plus adds two tables.
func (t *table) plus(o *table, step float64) table {
	first, end := min(t.first, o.first), max(t.first+len(t.cdf), o.first+len(o.cdf))
	both := table{tilt: t.tilt, first: first, low: t.low + float64(first-t.first)*step, cdf: make([]float64, end-first)}
	for _, one := range [...]*table{t, o} {
		k := one.first - first
		for i := range both.cdf[k:] {
			both.cdf[k+i] += one.cdf[min(i, len(one.cdf)-1)]
		}
	}
	return both
}

// at returns the distribution function at x, by cubic interpolation.
func (t *table) at(x, step float64) float64 {
	n := len(t.cdf)
	at := (x - t.low) / step
	i := int(math.Floor(at))
	switch {
	case i < 0:
		return 0
	case i >= n-1:
		return t.cdf[n-1]
	}
	share := at - float64(i)
	y0, y1, y2, y3 := t.cdf[max(i-1, 0)], t.cdf[i], t.cdf[i+1], t.cdf[min(i+2, n-1)]
	return y1 + 0.5*share*(y2-y0+share*(2*y0-5*y1+4*y2-y3+share*(3*(y1-y2)+y3-y0)))
}

// chooser finds the best depth.
type chooser struct {
	p      *Posterior
	tables []table
	here   float64 // depth of the latest joint
	mean   float64 // of b
	target joint.Target
}

func (c *chooser) chance(h float64) float64 {
	base := c.p.m.nominal - c.p.m.perDepth*(h-c.here)
	away := c.p.m.tiltSD * math.Abs(h-c.here)
	if away < c.p.grid.step/4 {
		return c.within(base, h)
	}
	away *= math.Sqrt(3) // Gauss-Hermite quadrature, three nodes
	return (c.within(base-away, h) + 4*c.within(base, h) + c.within(base+away, h)) / 6
}

// within is the chance of play within the target, base being that of the sizes
// as stated.
func (c *chooser) within(base, h float64) float64 {
	sum := 0.0
	for i := range c.tables {
		t := &c.tables[i]
		at := base + t.tilt*(h-c.here)
		sum += t.at(c.target.To.MM()-at, c.p.grid.step) - t.at(c.target.From.MM()-at, c.p.grid.step)
	}
	return math.Max(0, sum) // a cubic may err below none
}

const (
	// coarse is the step, mm, at which depths are looked at before the best is
	// refined.
	coarse = 0.05
	// shallowest depth that is looked at, mm, and how much of the cone is left.
	shallowest, coneLeft = 1.0, 0.3
	// longestCone bounds the depths that are looked at, mm, where a cutter of next to no
	// angle would have none: three times what any dovetail cutter reaches. Judgement.
	longestCone = 150.0
	// asGood are chances that the target's play decides between.
	asGood = 1e-6
)

// Best returns the depth, of those that ok allows, at which a next joint is
// likeliest to have its play within the target, and that chance; of depths as
// good the one whose play is nearer to the target's. A gap that was pulled
// counts as read right, however doubtful: so a larger one never asks for less
// depth. found is false where ok allows none.
func (p *Posterior) Best(ok func(length.Length) bool) (h length.Length, chance float64, found bool) {
	mean, _ := p.Estimate()
	c := chooser{p: p, tables: p.tables, here: math.Max(p.m.geometry.hp, p.m.geometry.ht), mean: mean.MM(), target: p.m.target}
	best, most := 0.0, -1.0
	for _, s := range c.stretches() {
		if 2*s.chance+hardly < most {
			break // nothing as good lies in what is left
		}
		for k := range long {
			at := s.from + float64(k)*coarse
			if at > c.deepest() {
				break
			}
			worth := c.chance(at)
			if worth > most+asGood || worth > most-asGood && c.nearer(at, best) {
				if ok(length.Length(at)) {
					best, most = at, worth
				}
			}
		}
	}
	if most < 0 {
		return 0, 0, false
	}
	h = length.Length(c.refine(best, ok))
	return h, p.Chance(h), true
}

// stretch is a stretch of depths, with the better chance of its ends.
type stretch struct{ from, chance float64 }

// A stretch is so many coarse steps long: less than the target's range takes up
// of depth, so no depth in it is twice as good as the better of its ends, or
// better than that by what is hardly a chance.
const long, hardly = 4, 1e-3

// deepest is the depth that leaves enough of the cone.
func (c *chooser) deepest() float64 {
	return math.Max(shallowest, math.Min(longestCone, (c.p.m.geometry.d/2-coneLeft)/c.p.m.geometry.tanA))
}

// stretches returns the stretches of all depths that are looked at, the best
// first.
func (c *chooser) stretches() []stretch {
	high := c.deepest()
	all := make([]stretch, 0, int((high-shallowest)/(long*coarse))+1)
	before := c.chance(shallowest)
	for from := shallowest; from <= high; from += long * coarse {
		after := c.chance(from + long*coarse)
		all = append(all, stretch{from, math.Max(before, after)})
		before = after
	}
	slices.SortStableFunc(all, func(a, b stretch) int { return cmp.Compare(b.chance, a.chance) })
	return all
}

// nearer reports whether depth a gives a play nearer to the target's than b.
func (c *chooser) nearer(a, b float64) bool {
	off := func(h float64) float64 {
		return math.Abs(c.p.m.nominal - c.p.m.perDepth*(h-c.here) + c.mean - c.target.Play.MM())
	}
	return off(a) < off(b)
}

// refine looks for the best depth about a coarse one by golden section: the
// chance has one hump there.
func (c *chooser) refine(at float64, ok func(length.Length) bool) float64 {
	const ratio = 0.6180339887498949
	worth := func(h float64) float64 {
		if !ok(length.Length(h)) {
			return -1
		}
		return c.chance(h)
	}
	low, high := at-coarse, at+coarse
	a, b := high-ratio*(high-low), low+ratio*(high-low)
	fa, fb := worth(a), worth(b)
	for range 16 {
		if fa >= fb {
			high, b, fb = b, a, fa
			a = high - ratio*(high-low)
			fa = worth(a)
		} else {
			low, a, fa = a, b, fb
			b = low + ratio*(high-low)
			fb = worth(b)
		}
	}
	if mid := (low + high) / 2; worth(mid) >= worth(at) {
		return mid
	}
	return at
}
