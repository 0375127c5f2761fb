package advise

import (
	"math"

	"snugtail/joint/belief"
	"snugtail/joint/length"
)

// Looking ahead: what the best action is worth once a check has moved the
// outlooks' shares. That is asked for every check, every outlook and every
// outcome, and so it is done on figures prepared once.

// sight is what a look ahead may reckon with: a depth that can be named, the
// seat, the edges.
type sight struct{ depth, seat, edges bool }

// action is a joint cut at a depth after a fix; used to look ahead, where moves
// follow what is then read. Fixed are the causes put right, nil for none.
type action struct {
	depth length.Length
	fixed *[belief.CauseCount]bool
}

// fixedBy are the causes that the cure of each puts right.
var fixedBy = func() (all [belief.CauseCount][belief.CauseCount]bool) {
	for c := range belief.CauseCount {
		for _, with := range putRight(c) {
			all[c][with] = true
		}
	}
	return all
}()

// fixing puts a cause right, and what is put right with it. The depth stays as
// it is set: one thing at a time.
func (w *work) fixing(c belief.Code) action { return action{w.depthNow, &fixedBy[c]} }

// puts reports whether an action puts an outlook's fault right.
func (a *action) puts(o *belief.Outlook) bool {
	return a.fixed != nil && (a.fixed[o.Cause] || o.Second != belief.CauseSetUpRight && a.fixed[o.Second])
}

// shares are the outlooks after a check: the share of each, what it adds to play
// and how surely.
type shares struct {
	share, mean, sd [mostOutlooks]float64
	likely          []int // those that count, the likeliest first
	order           [mostOutlooks]int
	right           [mostOutlooks]float64 // chance that all but play is right, nothing fixed
	rightFixed      [mostOutlooks]float64 // the same with the fault fixed
}

// counts is the share from which an outlook counts in looking ahead.
const counts = 0.02

// sort lists the likely ones, and finds what the chance of each can be at most.
func (b *shares) sort(w *work, s sight) {
	b.likely = b.order[:0]
	for i := range w.outlooks {
		if b.share[i] <= counts {
			continue
		}
		n := len(b.likely)
		b.likely = b.order[:n+1]
		for ; n > 0 && b.share[b.order[n-1]] < b.share[i]; n-- {
			b.order[n] = b.order[n-1]
		}
		b.order[n] = i
		placed := 1.0
		if !s.seat {
			placed = w.placed[i]
		}
		if !s.edges {
			placed *= w.aligned[i]
		}
		b.right[i], b.rightFixed[i] = placed*(1-w.spoiltBy[i]), placed
	}
}

// chance is that of a joint that is right after an action, over the likely
// outlooks; 0 if it is not more than enough.
func (b *shares) chance(w *work, a action, enough float64) float64 {
	sum, rest := 0.0, 0.0
	for _, i := range b.likely {
		rest += b.share[i] * b.rightFixed[i]
	}
	for _, i := range b.likely {
		rest -= b.share[i] * b.rightFixed[i]
		sum += b.share[i] * b.success(w, i, a)
		if sum+rest <= enough {
			return 0
		}
	}
	return sum
}

// success is the chance that an outlook's joint is right after an action.
func (b *shares) success(w *work, i int, a action) float64 {
	o, mean := &w.outlooks[i], b.mean[i]
	without := mean - o.Mean + o.Without
	if a.puts(o) {
		return b.rightFixed[i] * w.fit(a.depth, without, b.sd[i], o.Tilt)
	}
	fit := w.fit(a.depth, mean, b.sd[i], o.Tilt)
	if o.Lasts < 1 {
		fit = o.Lasts*fit + (1-o.Lasts)*w.fit(a.depth, without, b.sd[i], o.Tilt)
	}
	return b.right[i] * fit
}

// fit is the chance of play within the target at a depth.
func (w *work) fit(h length.Length, mean, sd, tilt float64) float64 {
	c := w.playNow - w.perDepth*(h-w.depthNow).MM() + mean + tilt*(h-w.depthNow).MM()
	away := w.tilting * (h - w.depthOfLast).MM()
	s := math.Sqrt(sd*sd + w.setting*w.setting + away*away)
	return quickCDF((w.target.To.MM()-c)/s) - quickCDF((w.target.From.MM()-c)/s)
}

// centre is the depth that puts an outlook's play in the middle of the target.
func (w *work) centre(mean, tilt float64) length.Length {
	middle := (w.target.To.MM() + w.target.From.MM()) / 2
	per := w.perDepth - tilt
	if per < w.perDepth/4 {
		per = w.perDepth
	}
	return w.depthNow + length.Length((w.playNow+mean-middle)/per)
}

// mostDepths is how many depths are compared, each the best of one outlook, and
// mostFixes how many fixes, of the likeliest outlooks.
const mostDepths, mostFixes = 4, 2

// worth is what an action is worth.
type worth struct{ chance, minutes float64 }

// quicker returns the one after which a joint fits sooner.
func (a worth) quicker(b worth) worth {
	if b.minutes < a.minutes {
		return b
	}
	return a
}

// best returns what the best action is worth.
func (b *shares) best(w *work, s sight) worth {
	b.sort(w, s)
	best := worth{0, w.minutesOf(0)}
	for n, i := range b.likely {
		o := &w.outlooks[i]
		if n < mostDepths && s.depth {
			chance := b.chance(w, action{depth: w.centre(b.mean[i], o.Tilt)}, w.chanceFor(best.minutes))
			best = best.quicker(worth{chance, w.minutesOf(chance)})
		}
		if n < mostFixes && fixable[o.Cause] {
			minutes := fixMinutes[o.Cause]
			chance := b.chance(w, w.fixing(o.Cause), w.chanceFor(best.minutes-minutes))
			best = best.quicker(worth{chance, minutes + w.minutesOf(chance)})
		}
	}
	return best
}
