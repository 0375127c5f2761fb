package setting

import (
	"cmp"
	"math"
	"math/bits"
	"slices"

	"snugtail/joint/length"
)

// stack is a set of blocks, one bit each, and its height in whole micrometres.
type stack struct {
	height int
	set    uint16
}

func (s stack) pieces() int { return bits.OnesCount16(s.set) }

// stacksOf returns every height that blocks can be stacked to, in order, each
// once, with the fewest pieces that make it: at most 2^n, n blocks.
func stacksOf(blocks []length.Size) []stack {
	if len(blocks) == 0 {
		return nil
	}
	all := []stack{{}}
	for i, block := range blocks {
		all = withBlock(all, int(math.Round(1000*block.MM())), 1<<i)
	}
	return all[1:]
}

// withBlock merges the stacks without a block and with it, both in order.
func withBlock(without []stack, height int, bit uint16) []stack {
	merged := make([]stack, 0, 2*len(without))
	for i, j := 0, 0; j < len(without); {
		next := stack{without[j].height + height, without[j].set | bit}
		if i < len(without) && without[i].height <= next.height {
			next = without[i]
			i++
		} else {
			j++
		}
		if n := len(merged); n == 0 || merged[n-1].height != next.height {
			merged = append(merged, next)
		} else if next.pieces() < merged[n-1].pieces() {
			merged[n-1] = next
		}
	}
	return merged
}

// neighbourhood, mm, is how much further off a stack of fewer pieces may be: a
// chance that may be lost for it (AlmostBest) is lost by less. Judgement.
const neighbourhood = 0.25

// stacked returns the stacks next to the wanted depth on either side, measured
// from a surface, and those of fewer pieces in the neighbourhood.
func (l Ladder) stacked(r *reach, from surface) []Setting {
	height := func(h float64) float64 { return 1000 * (h + from.offset) }
	wanted := math.Min(math.Max(r.wanted, r.low), r.high)
	at, _ := slices.BinarySearchFunc(l.stacks, height(wanted), func(s stack, h float64) int {
		if float64(s.height) < h {
			return -1
		}
		return 1
	})
	found := l.outward(r, from, at, 1)
	return append(found, l.outward(r, from, at-1, -1)...)
}

// outward looks from stack i on, up or down, and takes the first, and then each
// that has fewer pieces than all before it.
func (l Ladder) outward(r *reach, from surface, i, step int) []Setting {
	var found []Setting
	fewest, nearest := MostBlocks+1, 0.0
	for ; i >= 0 && i < len(l.stacks) && fewest > 1; i += step {
		h := float64(l.stacks[i].height)/1000 - from.offset
		if off := math.Abs(h - r.wanted); len(found) > 0 && off > nearest+neighbourhood || outside(r, h, step) {
			break
		} else if len(found) == 0 {
			nearest = off
		}
		if l.stacks[i].pieces() >= fewest {
			continue
		}
		if s := l.setting(l.stacks[i], from); r.holds(s.Depth.MM()) {
			found, fewest = append(found, s), l.stacks[i].pieces()
		}
	}
	return found
}

// outside reports whether a depth, and all further that way, is out of range.
func outside(r *reach, h float64, step int) bool {
	const rounded = 0.01 // what whole micrometres may be off, of 16 blocks
	if step > 0 {
		return h > r.high+rounded
	}
	return h < r.low-rounded
}

// setting is a stack measured from a surface, with the blocks' own lengths.
func (l Ladder) setting(of stack, from surface) Setting {
	s := Setting{Way: Blocks, Surface: from.of, Stack: make([]length.Length, 0, of.pieces())}
	sum, squares := 0.0, 0.0
	for i := range l.blocks {
		if of.set&(1<<i) == 0 {
			continue
		}
		s.Stack = append(s.Stack, l.blocks[i].Length)
		sum += l.blocks[i].MM()
		u := l.blocks[i].StandardUncertainty(ToleranceBlock)
		squares += u * u
	}
	slices.SortFunc(s.Stack, func(a, b length.Length) int { return cmp.Compare(b, a) })
	s.Depth = length.Length(sum - from.offset)
	s.Uncertainty = length.Length(math.Sqrt(squares) + Dust*float64(of.pieces()-1))
	return s
}
