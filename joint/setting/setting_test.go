package setting_test

import (
	"math"
	"math/bits"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"

	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/joint/setting"
)

func mm(x float64) length.Size { return length.Exactly(length.Length(x)) }

func ladder(r joint.Router) setting.Ladder {
	return setting.New(r, joint.Template{Thickness: mm(8)}, joint.Bushing{})
}

// bellAt is the chance of a fit around a depth: 14 deg, u_c = 0.1122 mm, target
// -0.05 to 0.20 mm, as in the table of the model, section 15.
func bellAt(middle float64) func(length.Length) float64 {
	perDepth := 2 * math.Tan(14*math.Pi/180)
	n := distuv.Normal{Sigma: 0.1122}
	return func(h length.Length) float64 {
		c := perDepth * (middle - h.MM())
		return n.CDF(0.125-c) - n.CDF(-0.125-c)
	}
}

// The table of the model, section 15: the chance at worst, half a
// step off, of 0.735 at best.
func TestChanceHalfAStepOff(t *testing.T) {
	for _, row := range []struct{ step, chance float64 }{
		{0.1, 0.723}, {0.2, 0.689}, {0.4, 0.567}, {25.4 / 32, 0.256},
	} {
		l := ladder(joint.Router{AdjusterStep: mm(row.step)})
		l = l.At(10)
		middle := 10 + 2.5*row.step
		best, ok := l.Best(bellAt(middle), 3, 20, length.Length(middle))
		require.True(t, ok)
		assert.InDelta(t, row.chance, best.Chance, 6e-4, "step %g", row.step)
		assert.InDelta(t, 0.735, best.Chance+best.Loss, 6e-4)
		assert.Equal(t, 2, best.Setting.Steps, "of two as good the shallower")
		assert.Equal(t, setting.Steps, best.Setting.Way)
		assert.InDelta(t, 10+2*row.step, best.Setting.Depth.MM(), 1e-9)
	}
	l := ladder(joint.Router{})
	best, ok := l.Best(bellAt(10.95), 3, 20, 10.95)
	require.True(t, ok)
	assert.InDelta(t, 0.735, best.Chance, 6e-4)
	assert.Zero(t, best.Loss)
	assert.Equal(t, setting.Free, best.Setting.Way)
}

// The set-up of the issue: steps of 0.25 mm, 1.5 mm a turn; 0.603 mm deeper is
// what was advised. Two steps are a third of a turn.
func TestStepsOfAQuarter(t *testing.T) {
	l := ladder(joint.Router{AdjusterStep: mm(0.25), AdjusterLead: mm(1.5), Backlash: mm(0.3)})
	assert.True(t, l.Any())
	l = l.At(10.3)
	best, ok := l.Best(bellAt(10.903), 3, 20, 10.903)
	require.True(t, ok)
	assert.Equal(t, 2, best.Setting.Steps)
	assert.InDelta(t, 10.8, best.Setting.Depth.MM(), 1e-9)
	assert.True(t, best.Setting.TurnsKnown)
	assert.InDelta(t, 1.0/3, best.Setting.Turns, 1e-9)
	assert.Equal(t, length.Length(0.3), best.Setting.BackOff)
	assert.Positive(t, best.Loss)
	mean, u := l.Backlash()
	assert.InDelta(t, 0.15, mean.MM(), 1e-12)
	assert.InDelta(t, 0.3/math.Sqrt(12), u.MM(), 1e-12)

	up := l.Around(3, 20, 9.9)
	require.NotEmpty(t, up)
	assert.Equal(t, -2, up[0].Steps)
	assert.InDelta(t, -1.0/3, up[0].Turns, 1e-9)
}

// Blocks are measured from the base, T + h, and with a barrel also from its tip,
// T + h - L (model, section 7).
func TestStacks(t *testing.T) {
	router := joint.Router{GaugeBlocks: []length.Size{mm(16), mm(2), mm(1), mm(0.5), length.Within(10, 0.02)}}
	l := ladder(router) // T = 8
	require.True(t, l.Any())
	all := l.Around(5, 12, 10.95)
	require.NotEmpty(t, all)
	assert.InDelta(t, 11, all[0].Depth.MM(), 1e-9) // 16 + 2 + 1 = 8 + 11
	assert.Equal(t, []length.Length{16, 2, 1}, all[0].Stack)
	assert.Equal(t, setting.Base, all[0].Surface)
	assert.InDelta(t, math.Sqrt(3)*0.025+2*0.01, all[0].Uncertainty.MM(), 1e-12)

	l = setting.New(router, joint.Template{Thickness: mm(8)}, joint.Bushing{Barrel: mm(5.05)})
	all = l.Around(5, 12, 10.05)
	assert.InDelta(t, 10.05, all[0].Depth.MM(), 1e-9)
	assert.Equal(t, setting.BushingTip, all[0].Surface) // 8 + 10.05 - 5.05 = 13 = 10 + 2 + 1
	assert.Equal(t, []length.Length{10, 2, 1}, all[0].Stack)
	assert.InDelta(t, math.Hypot(0.01, math.Sqrt(2)*0.025)+2*0.01, all[0].Uncertainty.MM(), 1e-12)

	bearing := setting.New(router, joint.Template{Thickness: mm(8)}, joint.Bushing{Kind: joint.KindBearing, Barrel: mm(5.05)})
	for _, s := range bearing.Around(5, 12, 10.05) {
		assert.Equal(t, setting.Base, s.Surface, "a bearing has no tip")
	}
	unknown := setting.New(router, joint.Template{}, joint.Bushing{Barrel: mm(5)})
	assert.False(t, unknown.Any(), "a stack tells no depth without the template's thickness")
}

// Of stacks nearly as good the one of fewer pieces, and not if it costs more.
func TestFewestPieces(t *testing.T) {
	near := joint.Router{GaugeBlocks: []length.Size{mm(19), mm(16), mm(2), mm(0.98)}}
	l := ladder(near)
	best, ok := l.Best(bellAt(10.98), 3, 20, 10.98)
	require.True(t, ok)
	assert.Equal(t, []length.Length{19}, best.Setting.Stack, "0.02 mm off, one piece")
	assert.True(t, best.Loss > 0 && best.Loss < setting.AlmostBest)

	far := joint.Router{GaugeBlocks: []length.Size{mm(19.2), mm(16), mm(2), mm(0.98)}}
	l = ladder(far)
	best, _ = l.Best(bellAt(10.98), 3, 20, 10.98)
	assert.Equal(t, []length.Length{16, 2, 0.98}, best.Setting.Stack)

	both := joint.Router{AdjusterStep: mm(0.5), GaugeBlocks: far.GaugeBlocks}
	l = ladder(both).At(10)
	best, _ = l.Best(bellAt(10.98), 3, 20, 10.98)
	assert.Equal(t, setting.Steps, best.Setting.Way, "two steps are as good as a stack")
}

func ladderOf(t *rapid.T) (setting.Ladder, []length.Size, float64) {
	n := rapid.IntRange(0, 9).Draw(t, "blocks")
	r := joint.Router{}
	for range n {
		r.GaugeBlocks = append(r.GaugeBlocks, mm(math.Round(1000*rapid.Float64Range(0.1, 15).Draw(t, "block"))/1000))
	}
	step := 0.0
	if rapid.Bool().Draw(t, "steps") {
		step = rapid.Float64Range(0.02, 1).Draw(t, "step")
		r.AdjusterStep = mm(step)
	}
	return setting.New(r, joint.Template{Thickness: mm(8)}, joint.Bushing{Barrel: mm(5)}), r.GaugeBlocks, step
}

// Around finds what trying every step and every set of blocks finds: the depth
// that is nearest to the wanted one, all within the range, each made as it says.
func TestNearestOfAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, blocks, step := ladderOf(t)
		from := rapid.Float64Range(1, 20).Draw(t, "from")
		to := from + rapid.Float64Range(0, 15).Draw(t, "range")
		wanted := rapid.Float64Range(from-2, to+2).Draw(t, "wanted")
		now := rapid.Float64Range(0, 25).Draw(t, "now")
		l = l.At(length.Length(now))

		nearest := math.Inf(1)
		try := func(h float64) {
			if slack := 1e-9; h >= from-slack && h <= to+slack { // as a range is held
				nearest = math.Min(nearest, math.Abs(h-wanted))
			}
		}
		if step > 0 {
			for n := -2000; n <= 2000; n++ {
				try(now + float64(n)*step)
			}
		}
		for set := 1; set < 1<<len(blocks); set++ {
			sum := 0.0
			for rest := set; rest != 0; rest &= rest - 1 {
				sum += blocks[bits.TrailingZeros(uint(rest))].MM()
			}
			try(sum - 8)
			try(sum - 3)
		}
		if !l.Any() {
			nearest = math.Max(0, math.Max(from-wanted, wanted-to))
		}

		all := l.Around(length.Length(from), length.Length(to), length.Length(wanted))
		if len(all) == 0 {
			assert.True(t, math.IsInf(nearest, 1), "%g", nearest)
			return
		}
		assert.InDelta(t, nearest, math.Abs(all[0].Depth.MM()-wanted), 2e-6)
		last := 0.0
		for _, s := range all {
			assert.True(t, s.Depth.MM() >= from-1e-8 && s.Depth.MM() <= to+1e-8)
			off := math.Abs(s.Depth.MM() - wanted)
			assert.GreaterOrEqual(t, off, last-1e-6)
			last = off
			switch s.Way {
			case setting.Steps:
				assert.InDelta(t, now+float64(s.Steps)*step, s.Depth.MM(), 1e-9)
			case setting.Blocks:
				offset := map[setting.Surface]float64{setting.Base: 8, setting.BushingTip: 3}[s.Surface]
				for _, block := range s.Stack {
					offset -= block.MM()
				}
				assert.InDelta(t, -offset, s.Depth.MM(), 1e-9)
			}
		}
	})
}

// Best is not worse than the nearest but for what fewer pieces may cost; no
// loss is negative.
func TestBestAgainstNearest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, _, _ := ladderOf(t)
		wanted := rapid.Float64Range(4, 18).Draw(t, "wanted")
		chance := bellAt(wanted)
		all := l.Around(3, 20, length.Length(wanted))
		best, ok := l.Best(chance, 3, 20, length.Length(wanted))
		assert.Equal(t, len(all) > 0, ok)
		if !ok {
			return
		}
		assert.GreaterOrEqual(t, best.Chance, chance(all[0].Depth)-setting.AlmostBest-1e-9)
		assert.GreaterOrEqual(t, best.Loss, 0.0)
		assert.InDelta(t, chance(best.Setting.Depth), best.Chance, 1e-12)
	})
}

// Without At the router stands at the first end of the range, which may be the
// deeper one.
func TestStandsAtFrom(t *testing.T) {
	l := ladder(joint.Router{AdjusterStep: mm(0.3)})
	for _, s := range l.Around(10, 4, 9.5) {
		assert.Contains(t, []int{-1, -2}, s.Steps)
		assert.InDelta(t, 10+0.3*float64(s.Steps), s.Depth.MM(), 1e-9)
	}
	free := ladder(joint.Router{AdjusterLead: mm(2)})
	all := free.Around(10, 4, 9)
	require.Len(t, all, 1)
	assert.InDelta(t, -0.5, all[0].Turns, 1e-12)
	assert.Equal(t, length.Length(4), free.Around(10, 4, 3)[0].Depth, "the end of the range")
}

func TestSpacing(t *testing.T) {
	for _, row := range []struct {
		router joint.Router
		wanted length.Length
		want   float64
	}{
		{joint.Router{}, 9, 0},
		{joint.Router{AdjusterStep: mm(0.3)}, 9.1, 0.3},
		{joint.Router{GaugeBlocks: []length.Size{mm(16), mm(2)}}, 9.1, 2}, // 8 and 10 deep
		{joint.Router{GaugeBlocks: []length.Size{mm(16), mm(2)}}, 11, 2},  // 10 alone
	} {
		got, ok := ladder(row.router).At(9).Spacing(3, 20, row.wanted)
		assert.True(t, ok)
		assert.InDelta(t, row.want, got.MM(), 1e-9, "%+v", row)
	}
	_, ok := ladder(joint.Router{GaugeBlocks: []length.Size{mm(40)}}).Spacing(3, 20, 9)
	assert.False(t, ok)
}

func TestNothingCanBeSet(t *testing.T) {
	l := ladder(joint.Router{GaugeBlocks: []length.Size{mm(40)}})
	_, ok := l.Best(bellAt(9), 3, 20, 9)
	assert.False(t, ok)
	l = ladder(joint.Router{GaugeBlocks: []length.Size{{}, mm(0), mm(-3)}, AdjusterStep: mm(0)})
	assert.False(t, l.Any())
	assert.Len(t, l.Around(3, 20, 9), 1)
	assert.False(t, setting.Ladder{}.Any())
}

// More than 16 blocks, or many alike, are no harder.
func TestManyBlocks(t *testing.T) {
	r := joint.Router{}
	for range 40 {
		r.GaugeBlocks = append(r.GaugeBlocks, mm(1))
	}
	l := ladder(r)
	all := l.Around(3, 20, 7)
	require.NotEmpty(t, all)
	assert.InDelta(t, 7, all[0].Depth.MM(), 1e-9)
	assert.Len(t, all[0].Stack, 15)
	assert.Empty(t, l.Around(9, 20, 10), "16 of them make 16")
}

func sixteen() joint.Router {
	r := joint.Router{}
	for i := range 16 {
		r.GaugeBlocks = append(r.GaugeBlocks, mm(0.5+1.013*float64(i*i)/16))
	}
	return r
}

func BenchmarkNewSixteenBlocks(b *testing.B) {
	r := sixteen()
	b.ReportAllocs()
	for b.Loop() {
		l := ladder(r)
		if !l.Any() {
			b.Fatal("no stacks")
		}
	}
}

func BenchmarkBestOfSixteenBlocks(b *testing.B) {
	l, chance := ladder(sixteen()), bellAt(10.95)
	b.ReportAllocs()
	for b.Loop() {
		if _, ok := l.Best(chance, 3, 16, 10.95); !ok {
			b.Fatal("nothing")
		}
	}
}

// A height that two stacks make is made by the one of fewer pieces: 12 mm by one
// block, not by 5 and 7.
func TestOneBlockInsteadOfTwo(t *testing.T) {
	l := ladder(joint.Router{GaugeBlocks: []length.Size{mm(5), mm(7), mm(12)}})
	all := l.Around(3, 5, 4) // 8 mm of template below it
	require.Len(t, all, 1)
	assert.Equal(t, []length.Length{12}, all[0].Stack)
	assert.InDelta(t, 4, all[0].Depth.MM(), 1e-9)
}
