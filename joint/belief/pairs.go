package belief

import (
	"cmp"
	"math"
	"slices"
)

// mostSingles is how many of the likeliest single faults are paired with each
// other. Judgement.
const mostSingles = 8

// twoFaults adds the parts with two faults at once, of the likeliest single
// ones by themselves or for a part of what was read. A pair's effects add up,
// the size of the first is the one that explains best by itself.
func (m *model) twoFaults(parts []part, p *Posterior) []part {
	if len(m.readings)+len(m.ranges)+len(m.earlier) < 2 {
		return parts
	}
	chosen := likeliestFaults(parts)
	nothing := math.Log(m.branches[0].weight)
	pairs := make([]forecast, 0, len(chosen)*len(chosen)/2)
	for i, a := range chosen {
		for _, b := range chosen[:i] {
			if a.branch.cause == b.branch.cause {
				continue
			}
			if f, ok := m.pair(a, b, nothing); ok {
				f.listed = p.listed
				p.listed++
				pairs = append(pairs, f)
			}
		}
	}
	for i, sc := range p.scatters {
		parts = m.linear(parts, pairs, p.systems[i], i, math.Log(sc.chance))
	}
	return parts
}

// likeliestFaults returns the likeliest part of each of the likeliest causes.
func likeliestFaults(parts []part) []*part {
	var of [CauseCount]*part
	for i := range parts {
		if p := &parts[i]; !p.branch.none && p.scatter == 0 {
			if c := p.branch.cause; of[c] == nil || p.log > of[c].log {
				of[c] = p
			}
		}
	}
	best := slices.DeleteFunc(of[:], func(p *part) bool { return p == nil })
	slices.SortStableFunc(best, func(a, b *part) int { return cmp.Compare(b.log, a.log) })
	return best[:min(len(best), mostSingles)]
}

// pair returns the forecast of two faults: a of the size that explains best,
// b of any.
func (m *model) pair(a, b *part, nothing float64) (forecast, bool) {
	fixed := m.effectOf(a.forecast, a.branch.mean+a.size*a.branch.sd)
	n := len(m.readings)
	f := forecast{
		branch: b.branch, second: a.branch, under: &fixed,
		log: math.Log(a.branch.weight) + math.Log(b.branch.weight) - nothing + m.logFoundOfTwo(a.branch.cause, b.branch.cause),
		off: make([]float64, n), slope: make([]float64, n),
	}
	return f, m.predict(&f)
}

// logFoundOfTwo: a finding shows under two faults as under the one that it
// shows in more.
func (m *model) logFoundOfTwo(a, b Code) float64 {
	sum := 0.0
	for f, answer := range m.findings {
		if answer == NotSaid {
			continue
		}
		with, other := m.tables.logChance[a][f], m.tables.logChance[b][f]
		if other[Yes] > with[Yes] {
			with = other
		}
		sum += with[answer]
	}
	return sum
}
