package advise

import (
	"math"

	"snugtail/joint"
	"snugtail/joint/belief"
	"snugtail/joint/length"
)

// limited is what bounds the next depth.
type limited struct {
	// deeperThan and shallowerThan are the bracket that feels beyond doubt leave,
	// mm: what rattled is too shallow, what jammed too deep.
	deeperThan, shallowerThan float64
	// free is the best depth whatever the bracket, its chance and whether one was
	// found; broken says that it breaks a limit.
	free       length.Length
	freeChance float64
	broken     bool
	limit      joint.Limit
	// anyLimit: no depth within the limits is to be had, so the best breaks one.
	noneWithin bool
	// tight: the best depth within the limits is much worse than the best of all.
	tight bool
}

// depthLimits are the limits that a depth can break.
var depthLimits = [...]joint.LimitCode{
	joint.LimitLap, joint.LimitFlareInTemplate, joint.LimitCutterInBushing,
	joint.LimitCuttingLength, joint.LimitColletGrip, joint.LimitTailBoardCleared, joint.LimitBearingOnTemplate,
}

// findDepth finds the depth with the best chance among those that keep every
// limit that a depth can break, within the bracket of feels beyond doubt. None
// does: the best all the same, its limit told with it.
func (w *work) findDepth() {
	w.bracket()
	if w.Missing.Depth || w.Missing.Any() && !w.playSeen() {
		return
	}
	l := &w.limited
	free, freeChance := w.bestOfAll()
	l.free, l.freeChance = free, freeChance
	h, chance, found := free, freeChance, true
	if !w.inBracket(h) || w.breaks(h) {
		h, chance, found = w.Posterior.Best(func(h length.Length) bool { return w.inBracket(h) && !w.breaks(h) })
	}
	l.tight = found && chance < enough*freeChance
	if !found || chance < fewest*freeChance {
		inside, insideChance, any := w.Posterior.Best(w.inBracket)
		if any {
			h, chance = inside, insideChance
		} else {
			h, chance = free, freeChance
		}
		l.limit, l.broken = w.blockingLimit(h)
		l.noneWithin = l.broken
	}
	w.NextDepth, w.ChanceNext, w.NextKnown = h, chance, true
	w.canBeSet()
}

// asGood is the chance that is given up for the depth that every other answer
// names. Judgement.
const asGood = 0.01

// bestOfAll returns the depth with the best chance, whatever it breaks. Where no
// joint was cut the one that the sizes as stated give, which recommendations and
// predictions name, does as well.
func (w *work) bestOfAll() (length.Length, float64) {
	free, chance, _ := w.Posterior.Best(func(length.Length) bool { return true })
	if len(w.cuts) > 0 || w.Missing.Any() {
		return free, chance
	}
	stated := w.now.BestDepth(w.target)
	if c := w.Posterior.Chance(stated); stated > 0 && c >= chance-asGood {
		return stated, c
	}
	return free, chance
}

// playSeen reports whether any test joint told of its play.
func (w *work) playSeen() bool {
	for i := range w.cuts {
		c, m := &w.cuts[i], &w.cuts[i].Measured
		if c.Feel != belief.FeelNone || c.PulledGap.Given || c.WentIn.Given || len(c.Along) > 0 ||
			m.PinWidest.Given && m.PinSocketWidest.Given || m.TailWidest.Given && m.TailSocketWidest.Given {
			return true
		}
	}
	return false
}

// enough is the share of the best chance below which the tool that was meant may
// be the better way. Judgement.
const enough = 0.8

// fewest is the share of the best chance below which a depth that keeps all
// limits is no use: then what breaks the limit is to be changed. Judgement.
const fewest = 0.25

// bracket: what jammed or took hard blows was too deep, what rattled or slid
// free too shallow. Where they cross, the latest alone counts.
func (w *work) bracket() {
	l := &w.limited
	l.deeperThan, l.shallowerThan = 0, math.Inf(1)
	for i := range w.cuts {
		l.narrow(&w.cuts[i], w.depthNow)
	}
	if l.deeperThan >= l.shallowerThan && w.last != nil {
		l.deeperThan, l.shallowerThan = 0, math.Inf(1)
		l.narrow(w.last, w.depthNow)
	}
}

func (l *limited) narrow(c *belief.Cut, now length.Length) {
	depth := c.Depth.Deeper().Length
	if !c.Depth.PinBoard.Given {
		depth = now
	}
	switch {
	case c.Feel.Tight():
		l.shallowerThan = math.Min(l.shallowerThan, depth.MM())
	case c.Feel.LooseBeyondDoubt():
		l.deeperThan = math.Max(l.deeperThan, depth.MM())
	}
}

// inBracket reports whether a depth says what no feel contradicts.
func (w *work) inBracket(h length.Length) bool {
	return h.MM() <= w.limited.shallowerThan-SameSetting/2 && h.MM() >= w.limited.deeperThan+SameSetting/2
}

// against reports whether a depth contradicts what the hand felt of the latest
// joint beyond doubt.
func (w *work) against(h length.Length) bool {
	if w.last == nil {
		return false
	}
	var l limited
	l.shallowerThan = math.Inf(1)
	l.narrow(w.last, w.depthNow)
	return h.MM() > l.shallowerThan || h.MM() < l.deeperThan
}

func (w *work) breaks(h length.Length) bool {
	_, broken := w.blockingLimit(h)
	return broken
}

// cutDeeper returns by how much deeper than set joints are believed to be cut:
// limits are those of the wood. What is not believed for more likely than not
// does not count.
func (w *work) cutDeeper() length.Length {
	sum, share := 0.0, 0.0
	for i := range w.outlooks {
		if o := &w.outlooks[i]; math.Abs(o.Deeper) > scaleOff {
			sum += o.Weight * o.Deeper
			share += o.Weight
		}
	}
	if share < 0.5 {
		return 0
	}
	return length.Length(sum / share)
}

// scaleOff is a difference of depths, mm, that is no matter of setting.
const scaleOff = 0.3

// blockingLimit returns the limit, of those that a depth can break, that this
// depth breaks furthest; of a joint that cannot be cut that of the lap.
func (w *work) blockingLimit(h length.Length) (worst joint.Limit, broken bool) {
	return blocking(w.setup.AtDepth(h + w.deeper))
}

func blocking(s joint.Setup) (worst joint.Limit, broken bool) {
	j, _ := joint.New(s) // geometry answers even where limits are broken
	for _, code := range depthLimits {
		if l := j.LimitOf(code); l.Broken() && (!broken || l.Margin < worst.Margin) {
			worst, broken = l, true
		}
	}
	return worst, broken
}
