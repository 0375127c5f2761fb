package joint_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"

	"snugtail/joint"
	"snugtail/joint/length"
)

// The published additive examples of JCGM 101:2008, clause 9.2 (results from
// memory, recomputed): four inputs, law of propagation and 95 % interval of
// the GUM framework.
func TestPublishedAdditiveExamples(t *testing.T) {
	for _, row := range []struct {
		clause    string
		variances [4]float64
		u, uTol   float64
		half, tol float64
	}{
		{"9.2.2, four normal inputs", [4]float64{1, 1, 1, 1}, 2.0, 1e-12, 3.92, 0.005},
		{"9.2.3, four rectangular inputs", [4]float64{1, 1, 1, 1}, 2.0, 1e-12, 3.92, 0.005},
		{"9.2.4, one rectangular input dominates", [4]float64{1, 1, 1, 100}, 10.1, 0.05, 19.9, 0.05},
	} {
		var b joint.Budget
		copy(b[:], row.variances[:])
		spread := joint.NormalSpread(0, math.Sqrt(b.Total()))
		low, high := spread.Range95()
		assert.InDelta(t, row.u, spread.SD(), row.uTol, row.clause)
		assert.InDelta(t, -row.half, low, row.tol, row.clause)
		assert.InDelta(t, row.half, high, row.tol, row.clause)
	}
}

// draw returns the set-up as it may really be: every size moved by its own
// uncertainty, from gonum's distributions.
func draw(s joint.Setup, rng *rand.Rand) joint.Setup {
	normal := func(u float64) float64 { return distuv.Normal{Mu: 0, Sigma: u, Src: rng}.Rand() }
	moved := func(x length.Size, byDefault length.Length) length.Size {
		return length.Exactly(x.Length + length.Length(normal(x.StandardUncertainty(byDefault))))
	}
	pitch := moved(s.Template.Pitch, joint.ToleranceTemplate)
	opening := moved(s.Template.Tail.Opening, joint.ToleranceTemplate)
	out := s
	out.Template = joint.NewOnePiece(pitch, opening, s.Template.Tail.OpeningReach, s.Template.Tail.FingerReach)
	out.Bushing.Diameter = moved(s.Bushing.Diameter, joint.ToleranceBushing)
	out.Cutter.Angle += joint.Angle(normal(s.Cutter.AngleUncertainty()))
	out.Depth = joint.EqualDepth(moved(s.Depth.PinBoard, joint.ToleranceDepthSet))
	if s.Cutter.HistoryUnknown() {
		ground := distuv.Bernoulli{P: joint.RegroundShare, Src: rng}.Rand()
		u := joint.ToleranceNewCutter/2 + ground*(joint.ToleranceReground-joint.ToleranceNewCutter)/2
		out.Cutter.Diameter = length.Exactly(s.Cutter.Diameter.Length + length.Length(ground*joint.RegroundShift+normal(u)))
	} else {
		out.Cutter.Diameter = moved(s.Cutter.Diameter, joint.ToleranceNewCutter)
	}
	return out
}

// randomSetup is a set-up near the target, with tolerances of its own.
func randomSetup(rng *rand.Rand) joint.Setup {
	uniform := func(low, high float64) float64 { return low + (high-low)*rng.Float64() }
	s := onePiece()
	s.PinBoard = joint.PinBoard{}
	s.Cutter.Angle = joint.Angle(uniform(7, 18))
	if rng.IntN(3) == 0 {
		s.Cutter.Condition = joint.ConditionUnknown
	} else {
		s.Cutter.Diameter = length.Within(s.Cutter.Diameter.Length, length.Length(uniform(0.01, 0.12)))
	}
	j, err := joint.New(s.AtDepth(0))
	if err != nil {
		panic(err)
	}
	return s.AtDepth(j.DepthFor(length.Length(uniform(-0.3, 0.5))))
}

// Closed form against Monte Carlo (JCGM 101:2008): play and the probability
// of every band over random set-ups, within what 40,000 draws can tell.
func TestAgainstMonteCarlo(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 1))
	const draws = 40000
	for range 8 {
		s := randomSetup(rng)
		p := predict(t, s)
		plays := make([]float64, draws)
		var inBand joint.BandProbability
		for i := range plays {
			j, err := joint.New(draw(s, rng))
			require.NoError(t, err)
			plays[i] = j.Play().MM()
			inBand[bands.Of(j.Play())] += 1.0 / draws
		}
		mean, sd := stat.MeanStdDev(plays, nil)
		spread := p.Joint.Spread()
		assert.InDelta(t, spread.Mean(), mean, 5*sd/math.Sqrt(draws)+1e-3, "mean; 1e-3 for what is not linear")
		assert.InDelta(t, 1, sd/p.Fit.Standard.MM(), 0.02)
		for band := range inBand {
			// Five standard errors of a share of 40,000, and 2e-3 for what is not linear.
			assert.InDelta(t, inBand[band], p.Fit.Probability[band], 5*0.5/math.Sqrt(draws)+2e-3, "band %d", band)
		}
	}
}

// Of the set-ups where the service says 80 %, 80 % fit: bins of ten points
// over 20,000 simulated shops, each within 3 points of what was said on average.
func TestCalibration(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 2))
	var said, fitted, count [10]float64
	for range 20000 {
		s := randomSetup(rng)
		p := predict(t, s)
		j, err := joint.New(draw(s, rng))
		require.NoError(t, err)
		bin := min(int(10*p.Fit.InTarget), 9)
		count[bin]++
		said[bin] += p.Fit.InTarget
		if target.Holds(j.Play()) {
			fitted[bin]++
		}
	}
	for bin := range count {
		if count[bin] < 400 { // chance alone moves a smaller bin by more than the bound
			continue
		}
		assert.InDelta(t, said[bin]/count[bin], fitted[bin]/count[bin], 0.03, "bin %d of %g shops", bin, count[bin])
	}
}

// The ends of the 95 % range leave 2.5 % each, for the two normals of a cutter
// of unknown history, however wide they are.
func TestRange95LeavesTheTails(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := onePiece()
		s.Cutter.Condition = joint.ConditionUnknown
		s.Bushing.Diameter = within(11.1125, rapid.Float64Range(0, 0.5).Draw(t, "bushing"))
		s.Cutter.AngleTolerance, s.Cutter.HasAngleTolerance = joint.Angle(rapid.Float64Range(0, 1).Draw(t, "angle")), true
		j, err := joint.New(s)
		require.NoError(t, err)
		spread := j.Spread()
		low, high := spread.Range95()
		assert.InDelta(t, 0.025, spread.CDF(low), 1e-9)
		assert.InDelta(t, 0.975, spread.CDF(high), 1e-9)
	})
}
