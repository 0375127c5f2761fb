package advise

import (
	"math"

	"snugtail/joint/length"
	"snugtail/joint/setting"
)

// Depths that the router can be set to: what is advised is one of them.

// ladder is what depths can be set, steps counted from the depth set now.
func (w *work) ladder() setting.Ladder {
	return setting.New(w.setup.Router, w.setup.Template, w.setup.Bushing).At(w.depthNow)
}

// shallowestSet is the least depth that is looked at, mm.
const shallowestSet = 0.1

// setRange is where depths are looked for.
func (w *work) setRange() (from, to length.Length) {
	return shallowestSet, max(shallowestSet, w.setup.Cutter.TipDiameter()/2/length.Length(w.setup.Cutter.Angle.Tan()))
}

// neighbours is how many depths that can be set are compared on either side of
// the best one: two outlooks may each have a depth of their own.
const neighbours = 3

// canBeSet takes, instead of the best depth of all, the best of those that can be
// set: within bracket and limits if there is one, else within the bracket, else
// whatever can be set.
func (w *work) canBeSet() {
	ladder, ideal, chance := w.ladder(), w.NextDepth, w.ChanceNext
	if !ladder.Any() {
		w.Set = w.setAt(ladder, ideal, chance)
		return
	}
	for _, allowed := range [...]func(length.Length) bool{
		func(h length.Length) bool { return w.inBracket(h) && !w.breaks(h) },
		w.inBracket,
		func(length.Length) bool { return true },
	} {
		best, ok := w.bestNear(ladder, ideal, allowed)
		if !ok {
			continue
		}
		best.Ideal, best.Loss = ideal, math.Max(0, chance-best.Chance)
		w.Set, w.NextDepth, w.ChanceNext = best, best.Setting.Depth, best.Chance
		if l := &w.limited; !l.broken {
			l.limit, l.broken = w.blockingLimit(w.NextDepth)
			l.noneWithin = l.broken
		}
		return
	}
}

// bestNear is the best of the allowed depths that can be set about one that is
// wanted.
func (w *work) bestNear(ladder setting.Ladder, wanted length.Length, allowed func(length.Length) bool) (best setting.Best, found bool) {
	from, to := w.setRange()
	apart, _ := ladder.Spacing(from, to, wanted)
	chance := func(h length.Length) float64 {
		if !allowed(h) {
			return -1
		}
		return w.Posterior.Chance(h)
	}
	for _, k := range nearestFirst(neighbours) {
		about := wanted + length.Length(k)*apart
		if about < from || about > to {
			continue
		}
		const better = 1e-9
		if b, ok := ladder.Best(chance, from, to, about); ok && b.Chance >= 0 && (!found || b.Chance > best.Chance+better) {
			best, found = b, true
		}
	}
	return best, found
}

// nearestFirst is 0, -1, 1, -2, 2 and so on.
func nearestFirst(most int) []int {
	all := []int{0}
	for k := 1; k <= most; k++ {
		all = append(all, -k, k)
	}
	return all
}

// setAt says how a depth is set that any router can be, or that is set already.
func (w *work) setAt(ladder setting.Ladder, h length.Length, chance float64) setting.Best {
	best := setting.Best{Chance: chance, Ideal: h, Setting: setting.Setting{Depth: h}}
	if !ladder.Any() {
		best.Setting = ladder.Around(h, h, h)[0]
	}
	return best
}

// settle says how the depth that is advised in the end is set: where that is to
// stay as it is, with what that loses.
func (w *work) settle() {
	if w.NextDepth == w.Set.Setting.Depth {
		return
	}
	ideal, chance := w.Set.Ideal, w.Set.Chance+w.Set.Loss
	w.Set = w.setAt(w.ladder(), w.NextDepth, w.ChanceNext)
	w.Set.Ideal, w.Set.Loss = ideal, math.Max(0, chance-w.ChanceNext)
	if _, known := w.setup.Router.Turns(0); known {
		w.Set.Setting.TurnsKnown = true
	}
}

// nearest is the depth that can be set next to one that is planned, ok if there
// is such a one. The depth set now needs no setting.
func (w *work) nearest(h length.Length, ok func(length.Length) bool) length.Length {
	if h == w.depthNow {
		return h
	}
	from, to := w.setRange()
	all := w.ladder().Around(from, to, h)
	for i := range all {
		if ok(all[i].Depth) {
			return all[i].Depth
		}
	}
	if len(all) > 0 {
		return all[0].Depth
	}
	return h
}
