package belief

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/joint"
	"snugtail/joint/length"
)

var tan14 = math.Tan(14 * math.Pi / 180)

// Before anything is cut, and with nothing that may be wrong, the distribution is
// that of the stated sizes (law of propagation, JCGM 100:2008, equation 10).
func TestPriorIsTheBudget(t *testing.T) {
	two := harbour(10.8)
	var err error
	two.Template, err = joint.NewTwoPosition(two.Template.Tail, two.Template.Pin)
	require.NoError(t, err)
	allowance := harbour(10.8)
	allowance.Template = joint.NewAllowance(mm(2.2))
	for name, s := range map[string]joint.Setup{"one piece": harbour(10.8), "two positions": two, "allowance": allowance} {
		t.Run(name, func(t *testing.T) {
			j, err := joint.New(s)
			require.NoError(t, err)
			p := believed(t, plain(nil), caseOf(s))
			mean, sd := p.Estimate()
			assert.InDelta(t, 0, mean.MM(), 1e-4)
			assert.InDelta(t, math.Sqrt(j.Budget().Lasting()), sd.MM(), 2e-3)
			at := p.At(s.Depth.PinBoard.Length)
			for _, x := range []float64{-0.2, -0.05, 0.1, 0.2, 0.5} {
				assert.InDelta(t, j.Spread().CDF(x), at.CDF(x), 1e-3)
			}
		})
	}
}

// One gap is one normal reading of b: the textbook's normal-normal update,
// worked by hand.
func TestOneGap(t *testing.T) {
	s := harbour(10)
	j, err := joint.New(s)
	require.NoError(t, err)
	cut := cutAt(10, Sight{PulledGap: giveOrTake(2.0, 0.2)})
	prior := j.Budget().Lasting()
	reading := math.Pow(2*tan14*0.1, 2) + math.Pow(2*tan14*0.075, 2) // the gap's, and the setting's
	seen := 2*2.0*tan14 - j.Play().MM()
	mean, sd := believed(t, plain(nil), caseOf(s, cut)).Estimate()
	assert.InDelta(t, seen*prior/(prior+reading), mean.MM(), 1e-4)
	assert.InDelta(t, math.Sqrt(prior*reading/(prior+reading)), sd.MM(), 2e-3)
}

// Sockets do not depend on depth: their width tells cutter minus bushing plus
// half of what the template adds, by hand for exactly known angle and pitch.
func TestSocketAlone(t *testing.T) {
	s := harbour(10)
	s.Template.Pitch = giveOrTake(22.225, 0)
	cut := cutAt(10, Sight{})
	cut.Measured.PinSocketWidest = giveOrTake(12.3-11.1125+12.7+0.08, 0.04)
	mean, _ := believed(t, plain(nil), caseOf(s, cut)).Estimate()
	prior, reading := 3*0.025*0.025, 0.02*0.02+partSD*partSD // of d, g and S together
	assert.InDelta(t, 2*0.08*prior/(prior+reading), mean.MM(), 1e-3)
}

// With another cutter only what template and bushing share of b carries over: the
// textbook's regression, by hand.
func TestEarlierSessionWithAnotherCutter(t *testing.T) {
	s := harbour(10.2)
	s.Cutter.ID, s.Bushing.ID = "old", "b"
	cut := gapCut(10.2, playAt(t, s, 10.2)+0.2)
	other := s
	other.Cutter.ID = "new"
	taught, err := plain(nil).Taught(other, []Session{{Setup: s, Cuts: []Cut{cut}}}, target, bands)
	require.NoError(t, err)
	j, err := joint.New(s)
	require.NoError(t, err)
	budget := j.Budget()
	shared := budget[joint.SourceTemplate] + budget[joint.SourceBushing]
	reading := math.Pow(2*tan14*0.075, 2) * 2 // the gap's and the setting's
	seen := 0.2 / (1 + reading/(widely*widely))
	assert.InDelta(t, seen*shared/(budget.Lasting()+reading), taught.Offset.Mean.MM(), 2e-3)
}

// A session posted back with the same pieces of steel is worth what its cuts are
// worth in one session (joint/model.md, One belief).
func TestEarlierSessionOfTheSamePieces(t *testing.T) {
	s := harbour(10.2)
	s.Cutter.ID, s.Bushing.ID = "c", "b"
	first, second := gapCut(9.8, playAt(t, s, 9.8)+0.15), gapCut(10.2, playAt(t, s, 10.2)+0.11)
	whole := believed(t, Default(), caseOf(s, first, second))
	c := caseOf(s, second)
	c.Earlier = []Session{{Setup: s, Cuts: []Cut{first}}}
	apart := believed(t, Default(), c)
	for _, x := range []float64{-0.1, 0, 0.1, 0.2} {
		assert.InDelta(t, whole.At(10.8).CDF(x), apart.At(10.8).CDF(x), 1e-9)
	}
	assert.Equal(t, whole.Causes(), apart.Causes())
}

// In which order joints were cut does not matter, but for which is the last
// (joint/model.md, One belief).
func TestOrderDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := harbour(10.6)
		cuts := make([]Cut, rapid.IntRange(3, 5).Draw(t, "cuts"))
		for i := range cuts {
			h := rapid.Float64Range(9.5, 11.8).Draw(t, "depth")
			cuts[i] = cutAt(h, Sight{Feel: Feel(rapid.IntRange(0, 8).Draw(t, "feel"))})
			if play := playAt(t, s, h); play > 0.1 && rapid.Bool().Draw(t, "pulled") {
				cuts[i].PulledGap = mm(play/(2*tan14) + rapid.Float64Range(-0.1, 0.1).Draw(t, "off"))
			}
		}
		a := believed(t, Default(), caseOf(s, cuts...))
		cuts[0], cuts[1] = cuts[1], cuts[0]
		b := believed(t, Default(), caseOf(s, cuts...))
		assert.InDelta(t, a.Chance(10.6), b.Chance(10.6), 1e-9)
		for c := range CauseCount {
			assert.InDelta(t, a.causes[c], b.causes[c], 1e-9)
		}
	})
}

// More test cuts that agree never leave less known. (Formerly of a standard
// deviation that readings alone decide; now most of it is the doubt whether they
// are misread, and that goes too.)
func TestReadingsNarrow(t *testing.T) {
	s := harbour(9)
	cut := gapCut(9, playAt(t, s, 9))
	last := math.Inf(1)
	for n := range 4 {
		cuts := make([]Cut, n+1)
		for i := range cuts {
			cuts[i] = cut
		}
		low, high := believed(t, Default(), caseOf(s, cuts...)).At(10.8).Range95()
		assert.Less(t, (high - low).MM(), last+1e-6)
		last = (high - low).MM()
	}
}

// No reading is dropped: one that contradicts three others is named as probably
// misread, and moves the rest but little. (Formerly such a reading was left out.)
func TestMisreadIsNamed(t *testing.T) {
	s := harbour(10.4)
	var cuts []Cut
	for _, h := range []float64{9.8, 10.1, 10.3} {
		cuts = append(cuts, gapCut(h, playAt(t, s, h)))
	}
	clean := believed(t, Default(), caseOf(s, append(cuts, gapCut(10.4, playAt(t, s, 10.4)))...))
	wrong := cutAt(10.4, Sight{PulledGap: mm(4)})
	p := believed(t, Default(), caseOf(s, append(cuts, wrong)...))
	assert.Equal(t, SeenPulledGap, p.Misread()[0].Seen)
	assert.Greater(t, p.Misread()[0].Chance, 0.5)
	assert.InDelta(t, clean.At(10.8).Median().MM(), p.At(10.8).Median().MM(), 0.1)
}

// Tolerances that readings contradict are believed less: with true sizes, settings
// and readings that scatter twice as much as is stated, the 95 % range after
// three cuts still covers at least 0.85.
func TestTolerancesThatReadingsContradict(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 1))
	const callers, by = 300, 2
	covered := 0
	s := harbour(10.4)
	j, err := joint.New(s)
	require.NoError(t, err)
	lasting := math.Sqrt(j.Budget().Lasting())
	for range callers {
		b := by * lasting * rng.NormFloat64()
		setting := func() float64 { return by * 2 * tan14 * joint.ToleranceDepthSet / 2 * rng.NormFloat64() }
		var cuts []Cut
		for range 3 {
			h := 9.6 + 0.7*rng.Float64()
			play := playAt(t, s, h) + b + setting()
			gap := play/(2*tan14) + by*joint.ToleranceGap/2*rng.NormFloat64()
			cuts = append(cuts, cutAt(h, Sight{PulledGap: mm(math.Max(0, gap))}))
		}
		low, high := believed(t, Default(), caseOf(s, cuts...)).At(10.8).Range95()
		if truth := playAt(t, s, 10.8) + b + setting(); truth >= low.MM() && truth <= high.MM() {
			covered++
		}
	}
	assert.GreaterOrEqual(t, float64(covered)/callers, 0.85)
}

func TestImpossibleTestCutIsNamed(t *testing.T) {
	_, err := Default().Of(caseOf(harbour(10), cutAt(8, Sight{}), cutAt(40, Sight{})))
	var cut *CutError
	require.ErrorAs(t, err, &cut)
	assert.Equal(t, 1, cut.Cut)
	var impossible *joint.Impossible
	require.ErrorAs(t, err, &impossible)
}

// A record teaches any number of set-ups what each would be taught by itself.
func TestRecordTeachesAlike(t *testing.T) {
	s := harbour(10.6)
	earlier := []Session{{Setup: s, Cuts: []Cut{gapCut(10.2, 0.5), gapCut(10.4, 0.4)}}}
	r := Default().Record(earlier, target, bands)
	for _, d := range []float64{12, 12.7, 14} {
		s.Cutter.Diameter = mm(d)
		once, err := Default().Taught(s, earlier, target, bands)
		require.NoError(t, err)
		again, err := r.Taught(s)
		require.NoError(t, err)
		assert.Equal(t, once.Offset, again.Offset)
	}
}

// What is believed without some joints is what would be believed had they not
// been told of.
func TestWithout(t *testing.T) {
	s := harbour(10.6)
	cuts := []Cut{gapCut(10.2, 0.5), cutAt(10.6, Sight{Feel: FeelRattles}), gapCut(10.4, 0.4), cutAt(10.6, Sight{Feel: FeelRattles})}
	whole := believed(t, Default(), caseOf(s, cuts...))
	p, err := Default().Without(whole, caseOf(s, cuts...), []int{1})
	require.NoError(t, err)
	shorter := believed(t, Default(), caseOf(s, cuts[0], cuts[2], cuts[3]))
	assert.InDelta(t, shorter.Chance(10.9), p.Chance(10.9), 1e-9)
	for c := range CauseCount {
		assert.InDelta(t, shorter.causes[c], p.causes[c], 1e-9)
	}
}

func ExampleObserver_Of() {
	c := &Case{
		Setup: joint.Setup{
			Template: joint.NewOnePiece(length.Exactly(22.225), length.Exactly(12.3), length.Size{}, length.Size{}),
			Bushing:  joint.Bushing{Diameter: length.Exactly(11.1125)},
			Cutter:   joint.Cutter{Diameter: length.Exactly(12.7), Angle: 14},
			Depth:    joint.EqualDepth(length.Exactly(10)),
		},
		Target: joint.DefaultTarget(0),
		Bands:  joint.Bands{Crush: joint.DefaultCrush},
	}
	c.Cuts = []Cut{{Depth: c.Setup.Depth, Sight: Sight{Feel: FeelRattles, PulledGap: length.Exactly(1.2)}}}
	p, err := Default().Of(c)
	if err != nil {
		fmt.Println(err)
		return
	}
	depth, chance, _ := p.Best(func(length.Length) bool { return true })
	fmt.Printf("cut %.1f mm deep: fits with %.0f %%\n", depth.MM(), 100*chance)
	// Output:
	// cut 11.0 mm deep: fits with 96 %
}
