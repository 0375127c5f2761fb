package advise

import (
	"encoding/binary"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/joint"
	"snugtail/joint/belief"
	"snugtail/joint/length"
)

// The properties that hold for every input (joint/model.md, One belief).

var jams = []belief.Feel{belief.FeelHardBlows, belief.FeelSticksPartWay, belief.FeelWillNotStart}

var loose = []belief.Feel{belief.FeelRattles, belief.FeelSlidesFree}

// After a joint that jammed or took hard blows no advice says deeper, after one
// that rattled or slid free none says shallower; unless it says what to check.
func TestNeverAgainstAStrongFeel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := harbour(rapid.Float64Range(8.5, 12).Draw(t, "depth"))
		tight := rapid.Bool().Draw(t, "tight")
		feels := loose
		if tight {
			feels = jams
		}
		sight := belief.Sight{Feel: rapid.SampledFrom(feels).Draw(t, "feel")}
		if rapid.Bool().Draw(t, "pulled") {
			sight.PulledGap = mm(rapid.Float64Range(0, 4).Draw(t, "gap"))
		}
		a := on(t, seen(s, sight))
		if a.Decision.Do == DoCheck {
			return
		}
		for _, step := range slices.Concat(stepsOf(a)...) {
			if tight {
				assert.NotEqual(t, LowerCutter, step.Action)
			} else {
				assert.NotEqual(t, RaiseCutter, step.Action)
			}
		}
	})
}

// The chance that is claimed falls when the same failure is reported again at the
// same depth.
func TestChanceFallsWithEachFailure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := harbour(rapid.Float64Range(9, 12).Draw(t, "depth"))
		cut := belief.Cut{Depth: s.Depth, Sight: belief.Sight{Feel: rapid.SampledFrom(slices.Concat(jams, loose)).Draw(t, "feel")}}
		last := 1.0
		for n := range 4 {
			a := on(t, caseOf(s, slices.Repeat([]belief.Cut{cut}, n+1)...))
			assert.Less(t, a.ChanceNext, last)
			last = a.ChanceNext
		}
	})
}

// A larger pulled gap at the same depth never asks for less depth, with or
// without a feel that agrees.
func TestALargerGapNeverAsksForLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := harbour(rapid.Float64Range(9, 11).Draw(t, "depth"))
		feel := rapid.SampledFrom([]belief.Feel{belief.FeelNone, belief.FeelRattles}).Draw(t, "feel")
		small := rapid.Float64Range(0.8, 4).Draw(t, "gap")
		large := small + rapid.Float64Range(0.05, 2).Draw(t, "more")
		depth := func(gap float64) float64 {
			return on(t, seen(s, belief.Sight{Feel: feel, PulledGap: mm(gap)})).NextDepth.MM()
		}
		const flat = 0.05 // the step that depths are told in; about the top the chance is flat
		assert.GreaterOrEqual(t, depth(large), depth(small)-flat)
	})
}

// A caller who makes no error but one of play, constant and at most 3 mm, and who
// reads the gap of a loose joint, gets a fit by the second joint.
func TestALooseJointReadFitsNext(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := harbour(rapid.Float64Range(9.5, 10.5).Draw(t, "depth"))
		off := rapid.Float64Range(0, 2.5).Draw(t, "off")
		play := func(h length.Length) float64 {
			j, _ := joint.New(s.AtDepth(h))
			return j.Play().MM() + off
		}
		was := play(s.Depth.PinBoard.Length)
		if was < joint.TooLooseAbove+0.05 {
			return
		}
		gap := was / (2 * math.Tan(14*math.Pi/180))
		a := on(t, seen(s, belief.Sight{Feel: belief.FeelRattles, PulledGap: mm(gap)}))
		require.True(t, a.NextKnown)
		if a.Decision.Do != DoCut { // a limit, or a doubt of the reading: then no joint is cut
			return
		}
		assert.True(t, target.Holds(length.Length(play(a.NextDepth))), "%g mm of play", play(a.NextDepth))
	})
}

// Somebody whose joint goes home by hand, and who writes one size down wrongly by
// far, is not told that the hand errs, nor to cut otherwise. What is said of the
// play of a joint agrees with a strong feel.
func TestASizeMiswritten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		off := rapid.Float64Range(0.6, 4).Draw(t, "off")
		if rapid.Bool().Draw(t, "less") {
			off = -off
		}
		s := harbour(10.9)
		switch rapid.SampledFrom([]string{"depth", "bushing", "cutter", "angle", "opening"}).Draw(t, "size") {
		case "depth":
			s = harbour(10.9 + 1.5*off) // play changes by half as much
		case "bushing":
			s.Bushing.Diameter.Length += length.Length(off)
		case "cutter":
			s.Cutter.Diameter.Length += length.Length(off)
		case "angle":
			s.Cutter.Angle += joint.Angle(1.5 * off)
		case "opening":
			opening := s.Template.Tail.Opening
			opening.Length += length.Length(off)
			s.Template = joint.NewOnePiece(s.Template.Pitch, opening, length.Size{}, length.Size{})
		}
		feel := rapid.SampledFrom([]belief.Feel{belief.FeelHandPressure, belief.FeelHardBlows, belief.FeelWillNotStart, belief.FeelRattles}).Draw(t, "feel")
		a, err := On(belief.Default(), seen(s, belief.Sight{Feel: feel}))
		if err != nil {
			return // no such joint
		}
		play := a.Posterior.At(s.Depth.PinBoard.Length).Median().MM()
		switch {
		case feel == belief.FeelHandPressure:
			assert.Contains(t, []Do{DoStop, DoCheck}, a.Decision.Do)
			assert.Empty(t, a.Doubts)
			assert.InDelta(t, 0.1, play, 0.2)
		case slices.Contains(jams, feel):
			assert.Less(t, play, 0.05)
		default:
			assert.Greater(t, play, 0.1)
		}
	})
}

// A depth is named by cutting and stopping alone.
func TestOnlyCutAndStopNameADepth(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 1))
	for range 150 {
		a, err := On(belief.Default(), randomCase(r))
		if err != nil {
			continue
		}
		named := a.Decision.Do == DoCut || a.Decision.Do == DoStop
		assert.Equal(t, named, a.Decision.Depth > 0)
		if !named {
			for _, s := range a.Steps {
				assert.False(t, s.DepthKnown)
			}
		}
	}
}

// randomCase is any case, sensible or not.
func randomCase(r *rand.Rand) *Case {
	any := func(low, high float64) length.Size {
		switch x := length.Length(low + (high-low)*r.Float64()); r.IntN(4) {
		case 0, 1:
			return length.Size{}
		case 2:
			return length.Within(x, length.Length(2*r.Float64()))
		default:
			return length.Exactly(x)
		}
	}
	look := func() belief.Sight {
		return belief.Sight{
			Feel:      belief.Feel(r.IntN(int(belief.FeelLoose) + 1)),
			PulledGap: any(0, 20), ShoulderGap: any(0, 20), WentIn: any(0, 20), Seat: any(-20, 20), EdgeStep: any(-20, 20),
			Measured: belief.Measured{
				PinWidest: any(1, 30), TailWidest: any(1, 30), PinSocketWidest: any(1, 30), TailSocketWidest: any(1, 30),
				DepthPinBoard: any(0.1, 30), DepthTailBoard: any(0.1, 30),
			},
		}
	}
	s := harbour(6 + 8*r.Float64())
	switch r.IntN(3) {
	case 0:
		s.Template = joint.NewOnePiece(mm(10+30*r.Float64()), mm(5+20*r.Float64()), any(1, 30), any(1, 30))
		s.Bushing.Diameter, s.Cutter.Diameter = any(5, 30), any(5, 30)
		s.Cutter.Angle = joint.Angle(25 * r.Float64())
		s.Depth = joint.EqualDepth(any(1, 30))
	case 1:
		s.PinBoard.Thickness, s.TailBoard.Thickness, s.PinBoard.Width = any(5, 40), any(5, 40), any(20, 400)
		s.Bushing.Labelled, s.Cutter.Labelled = any(8, 20), any(8, 20)
	}
	c := caseOf(s)
	for range r.IntN(5) {
		cut := belief.Cut{Depth: joint.EqualDepth(any(5, 14)), Sight: look(), TemplateAt: any(-3, 3), SideStopAt: any(-3, 3)}
		for range r.IntN(3) {
			cut.Along = append(cut.Along, belief.Place{Position: length.Length(300 * r.Float64()), Sight: look()})
		}
		c.Cuts = append(c.Cuts, cut)
	}
	if r.IntN(3) == 0 {
		c.Earlier = []belief.Session{{Setup: harbour(10), Cuts: []belief.Cut{cut1(10, look())}}}
	}
	for f := range c.Findings {
		c.Findings[f] = belief.Answer(r.IntN(3))
	}
	for k := range c.Answered {
		c.Answered[k], c.Unavailable[k] = r.IntN(4) == 0, r.IntN(6) == 0
	}
	return c
}

// A flank that hardly slopes: what a gap says then hangs on the rest by a factor of
// thousands, which is not to spoil the sums.
func TestHardlyAnyAngle(t *testing.T) {
	for seed := range uint64(700) {
		r := rand.New(rand.NewPCG(seed, 9))
		c := randomCase(r)
		c.Setup.Cutter.Angle = joint.Angle(1e-4 * math.Exp(4*r.Float64()))
		checkFinite(t, c)
	}
}

// FuzzSessions: whatever is told, nothing panics, probabilities are a
// distribution and figures are finite.
func FuzzSessions(f *testing.F) {
	for seed := range uint64(60) {
		f.Add(binary.LittleEndian.AppendUint64(nil, seed))
	}
	// Older joints that agree with no angle but another than the one that the latest
	// joint's readings leave.
	f.Add([]byte("X\x99\x00\x8f\x98\x94\x7f\xff\xff\t\xbb\x8e\xe3\r\xffi\U000c0c60\xa0\xa0"))
	// Older joints that contradict each other, so that one point of the grid is likelier
	// than the next by hundreds of powers of e.
	f.Add([]byte("\xb2}\x85\x85\x96\xe8\x03NNNNNNN\xf9\xf9\x80\x96\xff\xf5\x19\xf9\xf9\x10\xf9\xb9\x96\xe8\x03NNN\xff\xff\xf5\x10\x00bbbb\xf9\xf9\x0f\x11\xf9b\xf99\xff\xf5\x19\xf9\xf9\x00\x00\x05b\x11"))
	f.Add([]byte("\x03\x7f\xf6\xf6\xf6\x03\xe8\xcf"))
	f.Add([]byte("\x7f\x00Z|\x1e"))                                         // a cutter of next to no angle, which reaches as deep as one likes
	f.Add([]byte("\xff\x00\x85\x83\x85\x85\x85\x85\v\xef\xa7\x00\x00\x99")) // the same, with gaps that were read
	f.Fuzz(func(t *testing.T, data []byte) {
		seed := uint64(0)
		for i, b := range data {
			seed ^= uint64(b) << (i % 8 * 8)
		}
		checkFinite(t, randomCase(rand.New(rand.NewPCG(seed, 1))))
	})
}

func checkFinite(t *testing.T, c *Case) {
	a, err := On(belief.Default(), c)
	if err != nil {
		var why *joint.Impossible
		require.ErrorAs(t, err, &why)
		return
	}
	sum := 0.0
	for _, cause := range a.Causes {
		chanceOf(t, cause.Probability)
		sum += cause.Probability
		finite(t, cause.Size.Length.MM(), cause.Size.Against.MM(), float64(cause.Size.Angle), cause.Size.Spread)
		for _, s := range cause.Steps {
			finite(t, s.Amount.MM(), s.Depth.MM(), s.Size.MM(), s.Turns)
		}
	}
	require.InDelta(t, 1, sum, 1e-9)
	chanceOf(t, a.Decision.Chance)
	chanceOf(t, a.ChanceNext)
	finite(t, a.Decision.Minutes, a.NextDepth.MM(), a.MoveIn.MM())
	d := a.Posterior.At(10)
	low, high := d.Range95()
	finite(t, d.Mean().MM(), d.SD().MM(), low.MM(), high.MM())
	last := 0.0
	for x := -5.0; x < 5; x += 0.5 {
		p := d.CDF(x)
		chanceOf(t, p)
		require.GreaterOrEqual(t, p, last-1e-9)
		last = p
	}
	if a.NextCheck != nil {
		finite(t, a.NextCheck.Gain)
		for _, o := range a.NextCheck.Outcomes {
			chanceOf(t, o.Probability)
		}
	}
}

func chanceOf(t *testing.T, p float64) {
	t.Helper()
	require.True(t, p >= 0 && p <= 1+1e-9, "%g", p)
}

func finite(t *testing.T, all ...float64) {
	t.Helper()
	for _, x := range all {
		require.False(t, math.IsNaN(x) || math.IsInf(x, 0), "%v", all)
	}
}
