package advise

import (
	"math"

	"snugtail/joint/belief"
)

// valueChecks returns every open check with what it is worth.
func (w *work) valueChecks() []valued {
	all := make([]valued, 0, belief.CheckCount)
	now := sight{w.NextKnown, w.seatRead(), w.edgesRead()}
	w.options.base = w.bestNow(now)
	for c := range belief.CheckCount {
		if !w.open(c) {
			continue
		}
		v := valued{check: c, minutes: w.costCheck(c), figures: w.figures(c)}
		for _, f := range c.SeenWith() {
			if w.Posterior.Told(f) == belief.NotSaid {
				v.finds = append(v.finds, f)
			}
		}
		if len(v.figures)+len(v.finds) == 0 {
			continue
		}
		then := now
		then.depth = then.depth || c == belief.CheckMeasureDepth
		then.seat = then.seat || c == belief.CheckSeeSeat
		then.edges = then.edges || c == belief.CheckSeeEdges
		v.then = then
		w.value(&v)
		all = append(all, v)
	}
	return all
}

// misreadCheck is how often a check is misread, and then tells nothing.
const misreadCheck = 0.06

// value finds what a check is expected to tell and, unless it can't pay, how soon
// a joint fits after it: for every outlook, as if it were so, what the check
// would read, and what would be done about that.
func (w *work) value(v *valued) {
	ps := w.prospects(v)
	v.atBest = w.atBest(v, ps)
	v.settle(w, w.expected(ps, v.then, v.atBest < w.options.now.minutes-worthChecking))
}

// know finds how soon a joint fits after a check, where that was not worth
// finding.
func (w *work) know(v *valued) {
	if !v.known {
		v.settle(w, w.expected(w.prospects(v), v.then, true))
	}
}

// atBest returns how soon a joint would fit if after the check nothing but what
// is left of each outlook's own spread were in doubt.
func (w *work) atBest(v *valued, ps *prospects) float64 {
	chance, half := 0.0, (w.target.To-w.target.From).MM()/2
	for i := range w.outlooks {
		sd := w.outlooks[i].SD
		if ps.n > 0 {
			sd = ps.all[i].sd
		}
		right := 1.0
		if !v.then.seat {
			right = w.placed[i]
		}
		if !v.then.edges {
			right *= w.aligned[i]
		}
		chance += w.outlooks[i].Weight * right * (2*quickCDF(half/math.Hypot(sd, w.setting)) - 1)
	}
	chance = min(1, chance)
	ideal := *v
	ideal.settle(w, told{worth: worth{chance, w.minutesOf(chance)}, known: true})
	return ideal.after
}

// settle takes in what a check is worth. What it gains is reckoned from what is
// done without it, looked at in the same way.
func (v *valued) settle(w *work, after told) {
	v.bits = max(0, after.bits) * (1 - misreadCheck)
	if v.known = after.known; !v.known {
		return
	}
	now, base := w.options.now, w.options.base
	v.chance = min(1, max(0, now.chance+(1-misreadCheck)*(after.chance-base.chance)))
	v.after = v.minutes + now.minutes - (1-misreadCheck)*max(0, base.minutes-after.minutes)
}

// told is what a check is worth, and what it tells of the causes, bits.
type told struct {
	worth
	bits  float64
	known bool // the worth is
}

// nodes are the readings that stand for a distribution, in standard deviations
// with alternating signs: one on either side.
var nodes = [...]float64{0.8, -0.8}

// unlikely is the share of an outcome from which it is looked at: after rarer
// ones nothing else is done than before.
const unlikely = 1e-4

// expected is what a check is worth over all its outcomes; its worth only if
// that is asked for.
func (w *work) expected(ps *prospects, then sight, worth bool) (sum told) {
	sum.known = worth
	if ps.n == 0 { // the outcomes are the answers, alike under all outlooks
		for c := range ps.combined {
			for i := range w.outlooks {
				w.shares.share[i] = w.outlooks[i].Weight * ps.answers[i][c]
				w.shares.mean[i], w.shares.sd[i] = w.outlooks[i].Mean, w.outlooks[i].SD
			}
			total := w.shares.normalize(len(w.outlooks))
			for i := range w.outlooks {
				sum.bits += w.outlooks[i].Weight * ps.answers[i][c] * w.toldOf(i)
			}
			if worth {
				sum.add(total, w.shares.best(w, then))
			}
		}
		return sum
	}
	rest := 1.0
	for i := range w.outlooks {
		if w.outlooks[i].Weight/float64(len(nodes)) < unlikely {
			continue
		}
		for _, node := range nodes {
			ps.read(w.outlooks, ps.all[i].at(node))
			for c := range ps.combined {
				share := w.outlooks[i].Weight * ps.answers[i][c] / float64(len(nodes))
				if share < unlikely {
					continue
				}
				rest -= share
				ps.posterior(w.outlooks, c, &w.shares)
				sum.bits += share * w.toldOf(i)
				if worth {
					sum.add(share, w.shares.best(w, then))
				}
			}
		}
	}
	sum.add(rest, w.options.base)
	return sum
}

func (t *told) add(share float64, of worth) {
	t.chance += share * of.chance
	t.minutes += share * of.minutes
}

// bestNow is what the best action is worth without a check.
func (w *work) bestNow(s sight) worth {
	for i := range w.outlooks {
		o := &w.outlooks[i]
		w.shares.share[i], w.shares.mean[i], w.shares.sd[i] = o.Weight, o.Mean, o.SD
	}
	return w.shares.best(w, s)
}

// toldOf returns what an outcome tells of the cause of outlook i, in bits.
func (w *work) toldOf(i int) float64 {
	after, before := 0.0, 0.0
	for k := range w.outlooks {
		if w.outlooks[k].Cause == w.outlooks[i].Cause {
			after += w.shares.share[k]
			before += w.outlooks[k].Weight
		}
	}
	if after <= 0 {
		return 0
	}
	return math.Log2(after / before)
}

// normalize makes the shares sum to 1, and returns what they summed to.
func (b *shares) normalize(n int) (sum float64) {
	for _, s := range b.share[:n] {
		sum += s
	}
	if sum > 0 {
		for i := range n {
			b.share[i] /= sum
		}
	}
	return sum
}
