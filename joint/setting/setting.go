// Package setting says which depths of cut a router can be set to, how each is
// made, and which of them is best: an adjuster goes in steps from the depth it
// stands at, gauge blocks make the depths that their stacks do.
//
//	New, Ladder.At       what is known of router, template and bushing
//	Ladder.Around        the depths that can be set nearest to one that is wanted
//	Ladder.Best          the one with the best chance, and what is lost by it
//
// The chance of a fit depends on the depth through the play alone, so the best
// depth is that of the middle of the target's range, and the best that can be
// set the nearest to it. Half a step off costs tan a times the step in play.
//
// Source: joint/model.md, section 15.
package setting

import (
	"cmp"
	"math"
	"slices"

	"snugtail/joint"
	"snugtail/joint/length"
)

// Way is how a depth is set.
type Way uint8

// Ways of setting a depth.
const (
	Free   Way = iota // nothing is known that restricts it
	Steps             // so many steps of the adjuster
	Blocks            // a stack of gauge blocks
)

// Surface is what a stack stands between the cutter's tip and.
type Surface uint8

// Surfaces that a projection is measured from.
const (
	Base       Surface = iota // the router's base: a stack of T + h
	BushingTip                // the bushing's tip: T + h - L
)

// Setting is one depth of cut that can be set, and how.
type Setting struct {
	Depth length.Length
	Way   Way

	// Steps of the adjuster from the depth set now, > 0 deeper, with Way Steps.
	Steps int
	// Turns of the adjuster from the depth set now, > 0 deeper, with Way Steps or
	// Free where the adjuster's lead is known.
	Turns      float64
	TurnsKnown bool
	// BackOff is the adjuster's lost motion, where it was stated: back off by more
	// than that and come up to the mark always the same way; then it is a constant
	// that test cuts take in.
	BackOff length.Length

	// Stack are the blocks, the largest first, and Surface what they are measured
	// from, with Way Blocks.
	Stack   []length.Length
	Surface Surface
	// Uncertainty is what a stack adds, a standard uncertainty: the root of the
	// sum of its pieces' squares, and Dust for each joint between two of them.
	Uncertainty length.Length
}

// Pieces returns how many things have to be put in place: blocks, or 1.
func (s *Setting) Pieces() int { return max(1, len(s.Stack)) }

const (
	// MostBlocks are looked at.
	MostBlocks = 16
	// ToleranceBlock is a block's default tolerance, a half-width in mm, as of a
	// size by caliper. Judgement.
	ToleranceBlock = joint.ToleranceCaliper
	// Dust in each joint of a stack, mm. Judgement.
	Dust = 0.01
	// AlmostBest is the chance that may be lost for a stack of fewer pieces.
	AlmostBest = 0.005
)

// Ladder is what depths can be set. The zero Ladder is that of a router of which
// nothing is known.
type Ladder struct {
	lead, step, backlash float64 // mm, 0 where not known
	now                  float64 // the depth set now
	nowKnown             bool
	blocks               []length.Size
	stacks               []stack // by height, the empty one left out
	surfaces             []surface
}

// surface is one that stacks are measured from: depth = stack - offset.
type surface struct {
	of     Surface
	offset float64 // mm: T, or T - L
}

// New returns the depths that can be set with a router, on a template, round a
// bushing. Blocks need the template's thickness: a stack stands under the base
// and is T + h high, or with a barrel's length also under its tip, T + h - L.
// Blocks without a length count for nothing, nor do those past MostBlocks.
func New(router joint.Router, t joint.Template, b joint.Bushing) Ladder {
	l := Ladder{lead: positive(router.AdjusterLead), step: positive(router.AdjusterStep), backlash: positive(router.Backlash)}
	if !t.Thickness.Given {
		return l
	}
	for _, block := range router.GaugeBlocks {
		if positive(block) > 0 && len(l.blocks) < MostBlocks {
			l.blocks = append(l.blocks, block)
		}
	}
	l.stacks = stacksOf(l.blocks)
	l.surfaces = []surface{{Base, t.Thickness.MM()}}
	if b.HasBarrel() {
		l.surfaces = append(l.surfaces, surface{BushingTip, t.Thickness.MM() - b.Barrel.MM()})
	}
	return l
}

func positive(s length.Size) float64 {
	if !s.Given {
		return 0
	}
	return math.Max(0, s.MM())
}

// At returns the ladder of a router that stands at a depth now: steps of the
// adjuster are counted from there. An adjuster whose zero was set on the wood
// stands at 0.
func (l Ladder) At(now length.Length) Ladder {
	l.now, l.nowKnown = now.MM(), true
	return l
}

// Any reports whether anything is known that restricts the depths.
func (l Ladder) Any() bool { return l.step > 0 || len(l.stacks) > 0 }

// Backlash returns what lost motion does to a depth that is come up to from
// either side: it is off by a mean of beta/2 with a standard uncertainty of
// beta/sqrt(12), a uniform distribution. From one side always, it is a constant
// and adds none.
func (l Ladder) Backlash() (mean, uncertainty length.Length) {
	return length.Length(l.backlash / 2), length.Length(l.backlash / math.Sqrt(12))
}

// Around returns the depths that can be set next to one that is wanted, within
// from and to, the nearest first and of two as near the shallower: the next one
// on either side for each way, and stacks of fewer pieces not much further off.
// Without At the router stands at from. Where nothing restricts the depth it is
// the wanted one, or the end of the range that is nearest to it. It is empty
// where no depth within the range can be set.
func (l Ladder) Around(from, to, wanted length.Length) []Setting {
	r := reach{low: min(from, to).MM(), high: max(from, to).MM(), wanted: wanted.MM(), now: from.MM()}
	if l.nowKnown {
		r.now = l.now
	}
	if !l.Any() {
		return []Setting{l.free(&r)}
	}
	all := l.steps(&r)
	for _, s := range l.surfaces {
		all = append(all, l.stacked(&r, s)...)
	}
	slices.SortStableFunc(all, func(a, b Setting) int {
		return cmp.Or(
			cmp.Compare(r.off(a.Depth.MM()), r.off(b.Depth.MM())),
			cmp.Compare(a.Depth.Rounded(), b.Depth.Rounded()),
			cmp.Compare(a.Pieces(), b.Pieces()),
		)
	})
	return all
}

// Spacing returns how far apart the two depths are that can be set next to a
// wanted one, below and above it within from and to: where there is but one,
// twice how far it is off, and 0 where nothing restricts the depth. ok is false
// where there is none.
func (l Ladder) Spacing(from, to, wanted length.Length) (apart length.Length, ok bool) {
	if !l.Any() {
		return 0, true
	}
	all := l.Around(from, to, wanted)
	if len(all) == 0 {
		return 0, false
	}
	below, above := length.Length(math.Inf(-1)), length.Length(math.Inf(1))
	for i := range all {
		if h := all[i].Depth; h <= wanted {
			below = max(below, h)
		} else {
			above = min(above, h)
		}
	}
	if apart := above - below; !math.IsInf(apart.MM(), 0) {
		return apart, true
	}
	return 2 * length.Length(math.Abs((all[0].Depth - wanted).MM())), true
}

// reach is where depths are looked for, in mm.
type reach struct{ low, high, wanted, now float64 }

// slack lets a depth that is on the end of a range but for the processor's
// rounding be within it.
const slack = 1e-9

func (r *reach) holds(h float64) bool { return h >= r.low-slack && h <= r.high+slack }

// off is how far a depth is off the wanted one, to the resolution of answers.
func (r *reach) off(h float64) length.Length { return length.Length(math.Abs(h - r.wanted)).Rounded() }

func (l Ladder) free(r *reach) Setting {
	h := math.Min(math.Max(r.wanted, r.low), r.high)
	return l.adjusted(Setting{Depth: length.Length(h), Way: Free}, h-r.now)
}

// adjusted adds what is known of the adjuster for a change of depth.
func (l Ladder) adjusted(s Setting, change float64) Setting {
	if l.lead > 0 {
		s.Turns, s.TurnsKnown = change/l.lead, true
	}
	s.BackOff = length.Length(l.backlash)
	return s
}

// steps returns the steps next to the wanted depth.
func (l Ladder) steps(r *reach) []Setting {
	if l.step <= 0 {
		return nil
	}
	below := math.Floor((math.Min(math.Max(r.wanted, r.low), r.high) - r.now) / l.step)
	var all []Setting
	for _, n := range [...]float64{below, below + 1} {
		if h := r.now + n*l.step; r.holds(h) {
			all = append(all, l.adjusted(Setting{Depth: length.Length(h), Way: Steps, Steps: int(n)}, n*l.step))
		}
	}
	return all
}

// Best is the depth to set.
type Best struct {
	Setting Setting
	Chance  float64
	Ideal   length.Length // the wanted depth, or the end of the range nearest to it
	// Loss is the chance that is lost against the ideal depth.
	Loss float64
}

// Best returns the depth within from and to that can be set with the best chance
// of a fit; wanted is the depth at which it would be best. Of stacks within
// AlmostBest of the best that with the fewest pieces is taken, and of two depths
// with one chance the shallower. Steps are counted as in Around. ok is false
// where no depth within the range can be set.
func (l Ladder) Best(chance func(length.Length) float64, from, to, wanted length.Length) (best Best, ok bool) {
	all := l.Around(from, to, wanted)
	if len(all) == 0 {
		return Best{}, false
	}
	chances, most := make([]float64, len(all)), math.Inf(-1)
	for i := range all {
		chances[i] = chance(all[i].Depth)
		most = math.Max(most, chances[i])
	}
	at := -1
	for i := range all {
		if chances[i] >= most-AlmostBest && (at < 0 || better(&all[i], chances[i], &all[at], chances[at])) {
			at = i
		}
	}
	ideal := min(max(wanted, min(from, to)), max(from, to))
	return Best{
		Setting: all[at], Chance: chances[at], Ideal: ideal,
		Loss: math.Max(0, chance(ideal)-chances[at]),
	}, true
}

// better: fewer pieces, then the better chance, then the shallower depth.
func better(a *Setting, chanceA float64, b *Setting, chanceB float64) bool {
	const same = 1e-9 // chances told apart
	if a.Pieces() != b.Pieces() {
		return a.Pieces() < b.Pieces()
	}
	if math.Abs(chanceA-chanceB) > same {
		return chanceA > chanceB
	}
	return a.Depth < b.Depth
}
