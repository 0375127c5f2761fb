package parts

import (
	"cmp"
	"fmt"
	"math"
	"math/bits"
	"slices"
	"strings"
)

// Bounds of the exact search for the fewest set-ups; beyond them the cutter that
// serves most rows is taken again and again.
const (
	ExactCutters = 12
	ExactRows    = 200
	// mostSteps bounds the work of jobs within them that are made to be hard: some
	// milliseconds. Judgement.
	mostSteps = 20_000
)

// Cover is how a job's rows were given their cutters: in the fewest set-ups there
// can be, or else in no fewer than AtLeast.
type Cover struct {
	Exact   bool
	AtLeast int
}

// cut is a cutter at a depth, and setupKey a set-up of it, as far as they tell
// set-ups apart.
type cut struct {
	cutter    int
	pin, tail int64 // depths, steps of length.Resolution
}

type setupKey struct {
	cut
	stops Stops
}

// way is one cutter for a row: the set-ups that it takes, by their place in
// cover.keys.
type way struct {
	cutter int
	setups []int // at front and back; one where both are the same
	all    set
	rank   int
}

// kind is rows that the same cutters serve in the same set-ups.
type kind struct {
	needs []*need
	count int // drawers
	ways  []way
}

// cover finds the fewest set-ups for rows, each served by some cutter.
type cover struct {
	keys   []setupKey
	chance []float64 // of a fit at first, by key
	places map[setupKey]int
	kinds  []*kind
	hard   []*kind // without those that are served wherever another is

	steps int
	fewer int   // set-ups of the best so far
	found []set // all that take as few, up to mostFound
	exact bool
}

// set is set-ups, one bit for each place in cover.keys.
type set [mostKeys / 64]uint64

// mostKeys bounds the set-ups that rows which share cuts may choose from: those of
// ExactCutters for fronts without a lip and with twenty different ones.
const mostKeys = 256

func setOf(all []int) (s set) {
	for _, i := range all {
		s[i/64] |= 1 << (i % 64)
	}
	return s
}

func (s set) with(t set) set {
	for i := range s {
		s[i] |= t[i]
	}
	return s
}

// lacks counts what t has and s has not.
func (s set) lacks(t set) (n int) {
	for i := range s {
		n += bits.OnesCount64(t[i] &^ s[i])
	}
	return n
}

// meets reports whether both have something that from has not.
func (s set) meets(t, from set) bool {
	for i := range s {
		if s[i]&t[i]&^from[i] != 0 {
			return true
		}
	}
	return false
}

func (s set) count() int { return set{}.lacks(s) }

// mostFound is how many equally short lists of set-ups are compared by time.
const mostFound = 200

// cover gives every row, each served by some cutter, its own: in the fewest
// set-ups, and of equal ones with the fewest test joints to expect, the fewest
// cutters, and those that are recommended most.
func (c *chooser) cover(open []*need) Cover {
	total := Cover{Exact: true}
	within := len(c.cutters) <= ExactCutters && len(open) <= ExactRows
	for _, part := range c.apart(open) {
		of := part.solve(within)
		total.Exact = total.Exact && of.Exact
		total.AtLeast += of.AtLeast
	}
	return total
}

// solve gives the rows of a part their cutters.
func (c *cover) solve(within bool) Cover {
	if len(c.keys) > mostKeys {
		c.inTurn()
		return Cover{AtLeast: c.apartAtLeast()}
	}
	c.settle()
	greedy, least := c.greedy(), c.atLeast(set{})
	c.fewer, c.found = greedy.count(), []set{greedy}
	if c.exact = c.fewer == least; within {
		c.search()
	}
	c.assign()
	if c.exact {
		return Cover{Exact: true, AtLeast: c.fewer}
	}
	return Cover{AtLeast: least}
}

// inTurn takes, where there are more set-ups to choose from than can be compared,
// again and again the cutter that serves the most drawers that have none yet, and
// of equal ones the one that is recommended more.
func (c *cover) inTurn() {
	open := slices.Clone(c.kinds)
	for len(open) > 0 {
		counts, ranks := map[int]int{}, map[int]int{}
		best := -1
		for _, k := range open {
			for i := range k.ways {
				counts[k.ways[i].cutter] += k.count
				ranks[k.ways[i].cutter] += k.count * k.ways[i].rank
			}
		}
		for cutter, count := range counts {
			order := cmp.Or(-cmp.Compare(count, counts[best]), cmp.Compare(ranks[cutter], ranks[best]), cmp.Compare(cutter, best))
			if best < 0 || order < 0 {
				best = cutter
			}
		}
		open = slices.DeleteFunc(open, func(k *kind) bool {
			if !slices.ContainsFunc(k.ways, func(w way) bool { return w.cutter == best }) {
				return false
			}
			for _, n := range k.needs {
				n.chosen = best
			}
			return true
		})
	}
}

// apartAtLeast is atLeast where there are too many set-ups for a set.
func (c *cover) apartAtLeast() (n int) {
	used := map[int]bool{}
	for _, k := range c.kinds {
		least, free := math.MaxInt, true
		for i := range k.ways {
			least = min(least, len(k.ways[i].setups))
			free = free && !slices.ContainsFunc(k.ways[i].setups, func(s int) bool { return used[s] })
		}
		if !free {
			continue
		}
		n += least
		for i := range k.ways {
			for _, s := range k.ways[i].setups {
				used[s] = true
			}
		}
	}
	return n
}

// ways lists the cutters that serve a row, each with its set-ups.
func (c *chooser) ways(n *need, place func(setupKey, float64) int) []way {
	var all []way
	for cutter := range c.cutters {
		if !n.servedBy(cutter) {
			continue
		}
		w := way{cutter: cutter, rank: n.rank(cutter)}
		for end, v := range n.ends {
			p := v.options[cutter].prediction
			d := p.Joint.Setup().Depth
			key := setupKey{cut: cut{cutter, steps(d.PinBoard.MM()), steps(d.TailBoard.MM())}}
			if end == int(AtFront) {
				key.stops = n.stops
			}
			if i := place(key, p.Fit.InTarget); !slices.Contains(w.setups, i) {
				w.setups = append(w.setups, i)
			}
		}
		all = append(all, w)
	}
	return all
}

func steps(mm float64) int64 { return int64(math.Round(mm * 1e6)) }

// apart parts the rows into those that share no cut, which are covered by
// themselves.
func (c *chooser) apart(open []*need) []*cover {
	whole := &cover{places: map[setupKey]int{}}
	byName := map[string]*kind{}
	for _, n := range open {
		ways := c.ways(n, whole.place)
		name := nameOf(ways)
		k, ok := byName[name]
		if !ok {
			k = &kind{ways: ways}
			byName[name] = k
			whole.kinds = append(whole.kinds, k)
		}
		k.needs = append(k.needs, n)
		k.count += n.count
	}
	return whole.parts()
}

// place finds a set-up, or enters it.
func (c *cover) place(key setupKey, chance float64) int {
	i, ok := c.places[key]
	if !ok {
		i = len(c.keys)
		c.places[key] = i
		c.keys, c.chance = append(c.keys, key), append(c.chance, chance)
	}
	return i
}

func nameOf(ways []way) string {
	var b strings.Builder
	for i := range ways {
		fmt.Fprint(&b, ways[i].cutter, ways[i].setups, ways[i].rank, ";")
	}
	return b.String()
}

// parts joins kinds that share a cut of any cutter, each part with its own keys.
func (c *cover) parts() []*cover {
	group := make([]int, len(c.kinds))
	for i := range group {
		group[i] = i
	}
	first := map[cut]int{}
	for i, k := range c.kinds {
		for _, w := range k.ways {
			for _, s := range w.setups {
				other, ok := first[c.keys[s].cut]
				if !ok {
					first[c.keys[s].cut] = i
					continue
				}
				join(group, group[other], group[i])
			}
		}
	}
	byGroup := map[int]*cover{}
	var all []*cover
	for i, k := range c.kinds {
		part, ok := byGroup[group[i]]
		if !ok {
			part = &cover{places: map[setupKey]int{}}
			byGroup[group[i]] = part
			all = append(all, part)
		}
		part.kinds = append(part.kinds, k)
		for w := range k.ways {
			for n, old := range k.ways[w].setups {
				k.ways[w].setups[n] = part.place(c.keys[old], c.chance[old])
			}
		}
	}
	return all
}

func join(group []int, a, b int) {
	for i := range group {
		if group[i] == b {
			group[i] = a
		}
	}
}

// settle makes the sets of ways, and passes over, in the search, each kind that is
// served wherever another is.
func (c *cover) settle() {
	for _, k := range c.kinds {
		for i := range k.ways {
			k.ways[i].all = setOf(k.ways[i].setups)
		}
	}
	for i, k := range c.kinds {
		if !slices.ContainsFunc(c.kinds, func(o *kind) bool { return o != k && o.implies(k) && (!k.implies(o) || slices.Index(c.kinds, o) < i) }) {
			c.hard = append(c.hard, k)
		}
	}
}

// implies reports whether whatever serves k serves the other.
func (k *kind) implies(other *kind) bool {
	for i := range k.ways {
		if !other.served(k.ways[i].all) {
			return false
		}
	}
	return true
}

// search looks for the fewest set-ups, kind by kind: that with the fewest ways left
// is served in each of its ways. What takes more than the best so far, by what the
// rest takes at least, is left out.
func (c *cover) search() {
	c.exact = true
	seen := map[set]bool{}
	var try func(s set, count int)
	try = func(s set, count int) {
		if c.steps++; c.steps > mostSteps {
			c.exact = false
			return
		}
		least := count + c.atLeast(s)
		if seen[s] || least > c.fewer || least == c.fewer && len(c.found) >= mostFound {
			return
		}
		seen[s] = true
		k := c.next(s)
		if k == nil {
			c.enter(s, count)
			return
		}
		for _, w := range k.inOrder(s) {
			try(s.with(w.all), count+s.lacks(w.all))
		}
	}
	try(set{}, 0)
}

func (c *cover) enter(s set, count int) {
	if count < c.fewer {
		c.fewer, c.found = count, nil
	}
	if len(c.found) < mostFound && !slices.Contains(c.found, s) {
		c.found = append(c.found, s)
	}
}

// next is the kind not yet served that has the fewest ways; nil where all are.
func (c *cover) next(s set) (best *kind) {
	for _, k := range c.hard {
		if (best == nil || len(k.ways) < len(best.ways)) && !k.served(s) {
			best = k
		}
	}
	return best
}

func (k *kind) served(s set) bool {
	for i := range k.ways {
		if s.lacks(k.ways[i].all) == 0 {
			return true
		}
	}
	return false
}

// inOrder are the ways, those first that take the fewest further set-ups.
func (k *kind) inOrder(s set) []way {
	all := slices.Clone(k.ways)
	slices.SortStableFunc(all, func(a, b way) int {
		return cmp.Or(cmp.Compare(s.lacks(a.all), s.lacks(b.all)), cmp.Compare(a.rank, b.rank))
	})
	return all
}

// atLeast bounds how many further set-ups the rest takes: kinds that share none of
// those they lack each take their own.
func (c *cover) atLeast(s set) (n int) {
	var used set
	for _, k := range c.hard {
		least, free, all := math.MaxInt, true, set{}
		for i := range k.ways {
			w := &k.ways[i]
			least = min(least, s.lacks(w.all))
			free = free && !used.meets(w.all, s)
			all = all.with(w.all)
		}
		if free && least > 0 {
			n += least
			used = used.with(all)
		}
	}
	return n
}

// greedy takes, again and again, the way that serves the most drawers that have
// none yet, and of equal ones the one that is recommended more.
func (c *cover) greedy() set {
	var s set
	for c.next(s) != nil {
		var best set
		most, rank := -1, 0
		for _, k := range c.kinds {
			if k.served(s) {
				continue
			}
			for i := range k.ways {
				t := s.with(k.ways[i].all)
				count, sum := c.serves(s, t)
				if count > most || count == most && sum < rank {
					best, most, rank = t, count, sum
				}
			}
		}
		s = best
	}
	return s
}

// serves counts the drawers that t serves and s does not, and sums the ranks of
// the best ways to.
func (c *cover) serves(s, t set) (count, rank int) {
	for _, k := range c.kinds {
		if k.served(s) || !k.served(t) {
			continue
		}
		best := math.MaxInt
		for i := range k.ways {
			if t.lacks(k.ways[i].all) == 0 {
				best = min(best, k.ways[i].rank)
			}
		}
		count += k.count
		rank += k.count * best
	}
	return count, rank
}
