package parts

import (
	"cmp"
	"math"
	"slices"
)

// cost is what equally few set-ups are compared by.
type cost struct {
	tests   float64 // to expect, to a hundredth
	cutters int
	rank    int
}

func (a cost) less(b cost) bool {
	return cmp.Or(cmp.Compare(a.tests, b.tests), cmp.Compare(a.cutters, b.cutters), cmp.Compare(a.rank, b.rank)) < 0
}

// assign gives every row its cutter, by the cheapest of the lists of set-ups that
// were found.
func (c *cover) assign() {
	best, least := c.found[0], cost{tests: math.Inf(1)}
	for _, s := range c.found {
		if of := c.give(s); of.less(least) {
			best, least = s, of
		}
	}
	c.give(best)
}

// load is what a set-up is used for.
type load struct{ pairs []pair }

func (l *load) has(p pair) bool {
	return slices.ContainsFunc(l.pairs, func(q pair) bool { return q.pin == p.pin && q.tail == p.tail })
}

// give gives each row the way, within the set-ups, that adds the fewest pairs of
// boards to be tried, rows with the fewest ways first, and returns what that costs.
func (c *cover) give(s set) cost {
	loads := make([]load, len(c.keys))
	var total cost
	kinds := slices.Clone(c.kinds)
	slices.SortStableFunc(kinds, func(a, b *kind) int { return cmp.Compare(a.within(s), b.within(s)) })
	for _, k := range kinds {
		for _, n := range k.needs {
			w := k.cheapest(s, n, loads)
			n.chosen = w.cutter
			total.rank += n.count * w.rank
			for end, p := range n.pairs {
				if l := &loads[w.setupOf(end)]; !l.has(p) {
					l.pairs = append(l.pairs, p)
				}
			}
		}
	}
	c.sum(loads, &total)
	return total
}

// within counts a kind's ways within the set-ups.
func (k *kind) within(s set) (n int) {
	for i := range k.ways {
		if s.lacks(k.ways[i].all) == 0 {
			n++
		}
	}
	return n
}

// setupOf is the set-up of an end: one set-up may serve both.
func (w *way) setupOf(end int) int { return w.setups[min(end, len(w.setups)-1)] }

func (k *kind) cheapest(s set, n *need, loads []load) (best *way) {
	least := math.MaxInt
	for i := range k.ways {
		w := &k.ways[i]
		if s.lacks(w.all) > 0 {
			continue
		}
		more := 0
		for end, p := range n.pairs {
			if !loads[w.setupOf(end)].has(p) {
				more++
			}
		}
		if more < least || more == least && w.rank < best.rank {
			best, least = w, more
		}
	}
	return best
}

// sum counts the test joints of set-ups in use and their cutters: the first pair of
// boards of a cut as often as its chance asks for, any other once.
func (c *cover) sum(loads []load, total *cost) {
	var cutters []int
	cuts := map[cut]bool{}
	for i := range loads {
		if len(loads[i].pairs) == 0 {
			continue
		}
		first := 1.0
		if !cuts[c.keys[i].cut] {
			first = firstJoints(c.chance[i])
		}
		cuts[c.keys[i].cut] = true
		total.tests += first + float64(len(loads[i].pairs)-1)
		if cutter := c.keys[i].cutter; !slices.Contains(cutters, cutter) {
			cutters = append(cutters, cutter)
		}
	}
	total.tests = math.Round(100*total.tests) / 100
	total.cutters = len(cutters)
}
