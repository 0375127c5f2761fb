package belief

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/joint"
	"snugtail/joint/belief/sizes"
	"snugtail/joint/length"
)

// TestAgainstBruteForce holds the posterior against plain numerical integration:
// over the size of the fault, over b and over the error of every cut's setting,
// on fine grids, for random sessions. One cause at a time: two at once are
// reckoned with a size fixed, which is no integral.
func TestAgainstBruteForce(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 1)) // fixed, so that a failure comes back
	for _, cause := range []Code{CauseDepthOff, CauseTemplateSize, CauseDullCutter} {
		for n := range 4 {
			t.Run(fmt.Sprintf("cause %d, session %d", cause, n), func(t *testing.T) {
				p := DefaultPriors()
				p.Share = [CauseCount]float64{}
				p.Share[cause] = 0.4
				p.AskedIfRight = 1
				s := harbour(10.2 + 0.8*rng.Float64())
				c := caseOf(s, randomCuts(t, rng, s)...)
				post := believed(t, NewObserver(p), c)
				b := newBrute(t, p, cause, c)
				h := s.Depth.PinBoard.Length + length.Length(0.4*rng.NormFloat64())
				at := post.At(h)
				for _, x := range []float64{-0.4, -0.2, -0.05, 0.05, 0.15, 0.3, 0.6} {
					assert.InDelta(t, b.cdf(t, h.MM(), x), at.CDF(x), 3e-3, "play at most %g mm", x)
				}
				// Depth off takes in what no fault explains too (see Posterior.settle).
				if cause == CauseDepthOff {
					return
				}
				got := map[Code]float64{}
				for _, share := range post.Causes() {
					got[share.Code] = share.Probability
				}
				want := (1-misled)*b.faulty + misled*0.4
				assert.InDelta(t, want, got[cause], 0.01)
			})
		}
	}
}

func randomCuts(t *testing.T, rng *rand.Rand, s joint.Setup) (cuts []Cut) {
	off := 0.3 * rng.NormFloat64()
	for range 1 + rng.IntN(4) {
		h := s.Depth.PinBoard.MM() + 0.4*rng.NormFloat64()
		play := playAt(t, s, h) + off + 0.04*rng.NormFloat64()
		cut := cutAt(h, Sight{})
		switch {
		case play > 0.3:
			cut.Feel = FeelRattles
		case play > 0.15:
			cut.Feel = FeelSlidesFree
		case play > -0.05:
			cut.Feel = FeelHandPressure
		default:
			cut.Feel = FeelHardBlows
		}
		if play > 0.1 && rng.IntN(2) == 0 {
			cut.PulledGap = mm(play / (2 * s.Cutter.Angle.Tan()))
			if rng.IntN(2) == 0 {
				cut.Feel = FeelNone
			}
		}
		cuts = append(cuts, cut)
	}
	return cuts
}

// brute is a session integrated on plain grids.
type brute struct {
	p        *Priors
	s        joint.Setup
	cuts     []Cut
	perDepth float64
	priorSD  float64 // of b, nothing wrong
	meant    float64 // what the sizes as stated miss of the target
	states   []bruteState
	faulty   float64 // chance of the fault
}

// bruteState is one point of the grid: b, how much readings scatter, the weight.
type bruteState struct{ b, by, weight float64 }

// bruteFault is one size of a fault, with its share: what it adds to play, to
// what the hand feels, and to the play of the sizes as meant, and by how much that
// scatters.
type bruteFault struct{ weight, play, feel, intended, roughly float64 }

const (
	bruteSettingSD = joint.ToleranceDepthSet / 2.0
	bruteGapSD     = joint.ToleranceGap / 2.0
)

func newBrute(t *testing.T, p *Priors, cause Code, c *Case) *brute {
	j, err := joint.New(c.Setup)
	require.NoError(t, err)
	b := &brute{p: p, s: c.Setup, cuts: c.Cuts, perDepth: 2 * c.Setup.Cutter.Angle.Tan(), priorSD: math.Sqrt(j.Budget().Lasting())}
	nearest := math.Inf(1) // the depth of those cut, or set, for which sizes were chosen
	for _, cut := range c.Cuts {
		if off := target.Play.MM() - playAt(t, b.s, cut.Depth.PinBoard.MM()); math.Abs(off) < math.Abs(nearest) {
			nearest = off
		}
	}
	b.meant = nearest
	total, faulty := 0.0, 0.0
	for _, scatter := range []scatter{{1 - p.Scatter, 1}, {p.Scatter, p.ScatterBy}} {
		if len(c.Cuts) == 1 {
			scatter.by = 1
		}
		play := b.likelihoods(t, scatter.by)
		for _, f := range append(b.faults(cause), bruteFault{weight: 1 - p.Share[cause]}) {
			w := scatter.chance * f.weight * mixture(p.Misread[ReadMeant], b.meant-f.intended, math.Hypot(meantSD, f.roughly))
			for k := range 161 {
				z := 5 * (float64(k)/80 - 1)
				off := z * b.priorSD
				state := bruteState{off + f.play, scatter.by, w * math.Exp(-z*z/2)}
				state.weight *= play(state.b, f.feel)
				total += state.weight
				if cause != CauseDepthOff && f != (bruteFault{weight: f.weight}) && state.weight > 1e-9 {
					faulty += state.weight * (1 - b.inTarget(t, state, f.feel))
				}
				b.states = append(b.states, state)
			}
		}
	}
	for i := range b.states {
		b.states[i].weight /= total
	}
	b.faulty = faulty / total
	return b
}

// faults lists sizes of a fault, each distribution by points no more than the
// least scatter of what is read of them apart, and 31 at least.
func (b *brute) faults(cause Code) (all []bruteFault) {
	add := func(share float64, sizes []Lump, of func(float64) bruteFault) {
		for _, l := range sizes {
			sum := 0.0
			first := len(all)
			half := max(15, math.Ceil(4*l.SD/0.025))
			for k := range int(2*half) + 1 {
				z := 4 * (float64(k)/half - 1)
				f := of(l.Mean + z*l.SD)
				f.weight = math.Exp(-z * z / 2)
				sum += f.weight
				all = append(all, f)
			}
			for i := first; i < len(all); i++ {
				all[i].weight *= b.p.Share[cause] * share * l.Weight / sum
			}
		}
	}
	switch by := &b.p.Sizes; cause {
	case CauseDepthOff:
		add(0.68, by[sizes.Depth], func(s float64) bruteFault { return bruteFault{play: -b.perDepth * s} })
		add(0.29, by[sizes.Depth], func(s float64) bruteFault { return bruteFault{intended: b.perDepth * s} })
		add(0.03, []Lump{anyDepth}, func(s float64) bruteFault {
			return bruteFault{play: -b.perDepth * s, intended: -b.perDepth * s, roughly: roughly}
		})
	case CauseTemplateSize:
		const miswritten = 0.2
		add(1-miswritten, by[sizes.Opening], func(s float64) bruteFault { return bruteFault{play: 2 * s} })
		add(miswritten, []Lump{anyAmount}, func(s float64) bruteFault { return bruteFault{play: 2 * s, intended: 2 * s, roughly: roughly} })
	case CauseDullCutter:
		add(1, by[sizes.Fuzz], func(s float64) bruteFault { return bruteFault{feel: -s} })
	}
	return all
}

// likelihoods returns the likelihood of all cuts for a b and a feel, from tables
// over play.
func (b *brute) likelihoods(t *testing.T, by float64) func(b, feel float64) float64 {
	last := len(b.cuts) - 1
	rows := make([]func(play, feel float64) float64, len(b.cuts))
	nominal := make([]float64, len(b.cuts))
	for i, cut := range b.cuts {
		nominal[i] = playAt(t, b.s, cut.Depth.PinBoard.MM())
		if i == last {
			rows[i] = func(play, feel float64) float64 {
				return b.likelihood(cut, play, feel, bruteSettingSD*b.perDepth*by, by)
			}
			continue
		}
		setting := bruteSettingSD * b.perDepth
		rows[i] = tabled(func(play float64) float64 { // what the hand feels more than there is, older joints do not tell
			return (1-b.p.Odd)*b.likelihood(cut, play, 0, setting*by, by) +
				b.p.Odd*b.likelihood(cut, play, 0, math.Hypot(setting, oddSD), 1)
		})
	}
	latest := map[float64]func(play, feel float64) float64{} // tabled by feel
	return func(off, feel float64) float64 {
		if latest[feel] == nil {
			latest[feel] = tabled(func(play float64) float64 { return rows[last](play, feel) })
		}
		w := 1.0
		for i := range rows[:last] {
			w *= rows[i](nominal[i]+off, 0)
		}
		return w * latest[feel](nominal[last]+off, 0)
	}
}

// tabled looks a function of play up, between points 0.01 mm apart.
func tabled(f func(float64) float64) func(play, feel float64) float64 {
	known := map[int]float64{}
	at := func(k int) float64 {
		if _, ok := known[k]; !ok {
			known[k] = f(float64(k) * 0.01)
		}
		return known[k]
	}
	return func(play, _ float64) float64 {
		k := int(math.Floor(play / 0.01))
		share := play/0.01 - float64(k)
		return at(k) + share*(at(k+1)-at(k))
	}
}

// likelihood integrates over the error of a cut's setting.
func (b *brute) likelihood(cut Cut, play, feel, settingSD, by float64) float64 {
	const steps = 160
	sum, all := 0.0, 0.0
	for k := range steps + 1 {
		z := 6 * (2*float64(k)/steps - 1)
		w := math.Exp(-z * z / 2)
		all += w
		own := play + z*settingSD
		if cut.PulledGap.Given {
			misread := b.p.Misread[ReadGap]
			misread.By *= b.perDepth
			w *= mixture(misread, b.perDepth*cut.PulledGap.MM()-own, b.perDepth*bruteGapSD*by)
		}
		sum += w * b.felt(cut, own+feel)
	}
	return sum / all
}

func (b *brute) felt(cut Cut, play float64) float64 {
	low, high, ok := cut.Feel.Interval(bands)
	if !ok {
		return 1
	}
	in := joint.NormalCDF((play-low)/SoftEdge) - joint.NormalCDF((play-high)/SoftEdge)
	return (1-b.p.Misfelt)*in + b.p.Misfelt/feels
}

// mixture is the density of a reading that is off, right or misread.
func mixture(m Misread, off, sd float64) float64 {
	density := func(sd float64) float64 { return math.Exp(-off*off/(2*sd*sd)) / sd }
	return (1-m.Chance)*density(sd) + m.Chance*density(math.Hypot(sd, m.By))
}

// inTarget is the chance that the latest joint is in the target, as felt.
func (b *brute) inTarget(t *testing.T, s bruteState, feel float64) float64 {
	last := b.cuts[len(b.cuts)-1]
	setting := bruteSettingSD * b.perDepth * s.by
	nominal := playAt(t, b.s, last.Depth.PinBoard.MM())
	sum, all := 0.0, 0.0
	for k := range 81 {
		z := 5 * (float64(k)/40 - 1)
		own := nominal + s.b + z*setting
		w := math.Exp(-z*z/2) * b.felt(last, own+feel)
		if last.PulledGap.Given {
			misread := b.p.Misread[ReadGap]
			misread.By *= b.perDepth
			w *= mixture(misread, b.perDepth*last.PulledGap.MM()-own, b.perDepth*bruteGapSD*s.by)
		}
		all += w
		if own+feel >= target.From.MM() && own+feel <= target.To.MM() {
			sum += w
		}
	}
	return sum / all
}

// cdf is the chance that the play of a next joint is at most x.
func (b *brute) cdf(t *testing.T, h, x float64) float64 {
	nominal := playAt(t, b.s, h)
	sum := 0.0
	for _, s := range b.states {
		sum += s.weight * joint.NormalCDF((x-nominal-s.b)/(b.perDepth*bruteSettingSD*s.by))
	}
	return sum
}
