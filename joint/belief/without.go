package belief

import (
	"slices"
)

// Without returns what would be believed had some of the test joints before the
// latest not been told of: indices of the case's cuts. What these said of play
// is left out of the sums on the grid; a joint that told of more than its play
// is weighed anew.
func (o *Observer) Without(p *Posterior, c *Case, cuts []int) (*Posterior, error) {
	if len(cuts) < len(p.m.earlier) && !slices.ContainsFunc(cuts, func(i int) bool { return c.Cuts[i].tellsMoreThanPlay() }) {
		return p.without(cuts), nil
	}
	shorter := *c
	shorter.Cuts = make([]Cut, 0, len(c.Cuts))
	for i := range c.Cuts {
		if !slices.Contains(cuts, i) {
			shorter.Cuts = append(shorter.Cuts, c.Cuts[i])
		}
	}
	return o.Of(&shorter)
}

// tellsMoreThanPlay reports whether a joint before the latest is taken for a
// reading of the latest too.
func (c *Cut) tellsMoreThanPlay() bool {
	m := &c.Measured
	return m.PinSocketWidest.Given || m.TailSocketWidest.Given ||
		c.Seat.Given && c.TemplateAt.Given || c.EdgeStep.Given && c.SideStopAt.Given
}

func (p *Posterior) without(cuts []int) *Posterior {
	m, g := *p.m, *p.grid
	m.earlier, g.joints, g.sums = nil, make([][][]float64, len(p.grid.joints)), make([][]float64, len(p.grid.sums))
	for i := range p.m.earlier {
		if slices.Contains(cuts, i-p.m.own) {
			continue
		}
		m.earlier = append(m.earlier, p.m.earlier[i])
		for k, joints := range p.grid.joints {
			g.joints[k] = append(g.joints[k], joints[i])
		}
	}
	for k := range g.sums {
		g.sums[k] = m.olderRow(&g, 0, k)
	}
	q := &Posterior{m: &m, scatters: p.scatters, systems: p.systems, listed: p.listed, all: slices.Clone(p.all)}
	q.weigh(&g)
	return q
}

// weigh takes in what the grid holds, and adds up.
func (p *Posterior) weigh(g *grid) {
	p.grid = g
	p.fields = p.m.gather(p.all, g)
	p.tables = p.newTables()
	p.settle(p.all)
}
