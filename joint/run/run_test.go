package run_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"

	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/joint/run"
)

// readings of joints 1, 2, 3, ..., as from widths, so that any number counts.
func readings(gaps ...float64) []run.Reading {
	all := make([]run.Reading, len(gaps))
	for i, w := range gaps {
		all[i] = run.Reading{Joint: i + 1, Gap: length.Length(w), FromWidths: true}
	}
	return all
}

// The charts' constants from what they stand for: of two normal readings the
// range has mean d2 = 2/sqrt(pi) and variance 2 - 4/pi, so D4 = 1 + 3 d3/d2.
func TestConstants(t *testing.T) {
	d2 := 2 / math.Sqrt(math.Pi)
	d3 := math.Sqrt(2 - 4/math.Pi)
	assert.InDelta(t, d2, run.RangePerSD, 5e-4)
	assert.InDelta(t, 3/d2, run.Individuals, 2e-3)
	assert.InDelta(t, 1+3*d3/d2, run.RangeLimit, 5e-4)
	assert.InDelta(t, distuv.UnitNormal.Quantile(0.95), run.OneSided, 5e-4)
	assert.InDelta(t, 1, 3*math.Sqrt(run.Weight/(2-run.Weight)), 1e-12, "limits of the weighted mean are one s")
}

// The worked example of the NIST/SEMATECH e-Handbook, 6.3.2.2 (individuals),
// from memory: mean 50.81, mean moving range 1.8778, limits 45.8159 and 55.8041.
func TestIndividualsOfTheHandbook(t *testing.T) {
	c := run.ChartOf(readings(49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1))
	require.True(t, c.Limited)
	assert.False(t, c.Firm)
	assert.InDelta(t, 50.81, c.Mean.MM(), 1e-9)
	assert.InDelta(t, 1.8778, c.Range.MM(), 5e-5)
	// It takes 3/1.128 = 2.6596 where the chart's constant is 2.66.
	assert.InDelta(t, 45.8159, c.Lower.MM(), 1e-3)
	assert.InDelta(t, 55.8041, c.Upper.MM(), 1e-3)
	assert.Empty(t, c.Signals)
}

// The worked example of the same, 6.3.2.4 (EWMA), from memory: weight 0.3, start
// 50.
func TestWeightedMeanOfTheHandbook(t *testing.T) {
	data := readings(
		52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5,
		49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1,
	)
	want := []float64{
		50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33,
		50.11, 49.36, 49.52, 50.05, 49.38, 49.92, 50.73, 51.23, 51.94, 51.99,
	}
	for i, z := range run.Weighted(data, 50, 0.3) {
		assert.InDelta(t, want[i], z.MM(), 0.0051, "reading %d", i+1)
	}
}

// The chart of a run by hand: eight gaps, their mean 0.2, moving ranges 0.02,
// 0.04, 0.02, 0.02, 0.04, 0.02, 0.05; then one far out.
func TestChart(t *testing.T) {
	c := run.ChartOf(readings(0.20, 0.22, 0.18, 0.20, 0.22, 0.18, 0.20, 0.25))
	require.True(t, c.Limited)
	mean, moving := 1.65/8, 0.21/7
	assert.InDelta(t, mean, c.Mean.MM(), 1e-9)
	assert.InDelta(t, moving, c.Range.MM(), 1e-9)
	assert.InDelta(t, mean-2.66*moving, c.Lower.MM(), 1e-9)
	assert.InDelta(t, mean+2.66*moving, c.Upper.MM(), 1e-9)
	assert.InDelta(t, 3.267*moving, c.RangeUpper.MM(), 1e-9)
	assert.InDelta(t, mean+moving/1.128, c.MeanUpper.MM(), 1e-9)
	assert.InDelta(t, 0.8*mean+0.2*0.20, c.Weighted[0].MM(), 1e-9)
	assert.Empty(t, c.Signals)

	c = run.ChartOf(readings(0.20, 0.22, 0.18, 0.20, 0.22, 0.18, 0.20, 0.22, 0.19, 0.60))
	codes := map[run.SignalCode]int{}
	for _, s := range c.Signals {
		assert.Equal(t, 10, s.Joint)
		codes[s.Code]++
	}
	// The weighted mean, 0.29, has not yet left 0.24 +- 0.061, the scatter with it.
	assert.Equal(t, map[run.SignalCode]int{run.SignalGap: 1, run.SignalRange: 1}, codes)

	// A step of 0.04 half-way, in readings 0.01 off their level either way: no
	// reading is beyond 0.2 +- 2.66 * 0.021, the weighted mean is.
	var stepped []float64
	for i := range 20 {
		stepped = append(stepped, 0.18+0.04*float64(i/10)+0.01*float64(2*(i%2)-1))
	}
	c = run.ChartOf(readings(stepped...))
	require.NotEmpty(t, c.Signals)
	for _, s := range c.Signals {
		assert.Equal(t, run.SignalMean, s.Code)
	}
}

// A pulled gap of 0 is a signal and not a number; from widths it is a number.
func TestClosedJoints(t *testing.T) {
	all := readings(0.20, 0.22, 0.18, 0.20, 0.22, 0.18, 0.20, 0.22)
	for i := range all {
		all[i].FromWidths = false
	}
	before := run.ChartOf(all)
	closed := append(slices.Clone(all), run.Reading{Joint: 9})
	after := run.ChartOf(closed)
	assert.Equal(t, before.Mean, after.Mean)
	assert.Equal(t, 8, after.Readings)
	assert.Equal(t, []run.Signal{{Code: run.SignalClosed, Joint: 9}}, after.Signals)

	few := run.ChartOf(closed[5:])
	assert.False(t, few.Limited)
	assert.Equal(t, []run.Signal{{Code: run.SignalClosed, Joint: 9}}, few.Signals, "no limits, but a joint without play")
	assert.Nil(t, few.Weighted)

	closed[8].FromWidths = true
	assert.Equal(t, 9, run.ChartOf(closed).Readings)
}

// Limits from 8 readings on, firm from 20, whatever order they come in.
func TestEnoughReadings(t *testing.T) {
	for _, row := range []struct {
		n             int
		limited, firm bool
	}{{0, false, false}, {7, false, false}, {8, true, false}, {19, true, false}, {20, true, true}} {
		all := readings(make([]float64, row.n)...)
		for i := range all {
			all[i].Gap = length.Length(0.2 + 0.01*float64(i%3))
		}
		c := run.ChartOf(all)
		assert.Equal(t, row.limited, c.Limited, "%d", row.n)
		assert.Equal(t, row.firm, c.Firm, "%d", row.n)
		slices.Reverse(all)
		assert.Equal(t, c, run.ChartOf(all))
	}
}

// signalAfter is how many readings of a process one s off the chart's mean it
// takes until a chart that knows mean and s signals.
func signalAfter(r *rand.Rand, shift float64, weight float64) (count int) {
	z := 0.0
	limit := 3 * math.Sqrt(weight/(2-weight))
	for {
		count++
		z = weight*(r.NormFloat64()+shift) + (1-weight)*z
		if math.Abs(z) > limit {
			return count
		}
	}
}

// What the model, section 16, says the charts find: a step of one s
// in about 10 readings by the weighted mean, in about 44 by individuals.
func TestReadingsUntilAStepIsFound(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 14))
	const runs = 20_000
	var individual, mean float64
	for range runs {
		individual += float64(signalAfter(r, 1, 1))
		mean += float64(signalAfter(r, 1, run.Weight))
	}
	assert.InDelta(t, 1/(distuv.UnitNormal.CDF(-2)+distuv.UnitNormal.CDF(-4)), individual/runs, 1.5)
	assert.InDelta(t, 44, individual/runs, 1.5)
	assert.InDelta(t, 10.5, mean/runs, 0.5)
}

// Slope and error against an independent implementation of least squares.
func TestTrendAgainstGonum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(8, 40).Draw(t, "readings")
		x, y := make([]float64, n), make([]float64, n)
		all := make([]run.Reading, n)
		for i := range n {
			x[i], y[i] = float64(1+3*i), rapid.Float64Range(0.01, 1).Draw(t, "gap")
			all[i] = run.Reading{Joint: 1 + 3*i, Gap: length.Length(y[i])}
		}
		got, ok := run.TrendOf(all, 0.075)
		require.True(t, ok)
		intercept, slope := stat.LinearRegression(x, y, nil, false)
		squares := 0.0
		for i := range n {
			squares += math.Pow(y[i]-intercept-slope*x[i], 2)
		}
		scatter := math.Sqrt(squares / float64(n-2))
		assert.InDelta(t, slope, got.Slope.MM(), 1e-9)
		assert.InDelta(t, scatter, got.Scatter.MM(), 1e-9)
		assert.InDelta(t, scatter/math.Sqrt(stat.Variance(x, nil)*float64(n-1)), got.StandardError.MM(), 1e-9)
		assert.Equal(t, slope < 0 && -slope >= 2*got.StandardError.MM(), got.Seen)
	})
}

// A line by hand: gaps 0.40, 0.30, 0.20 at joints 1, 11, 21 fall by 0.01 a
// joint without scatter; three readings count as no surer than one reading is.
func TestTrend(t *testing.T) {
	all := []run.Reading{{Joint: 11, Gap: 0.30}, {Joint: 1, Gap: 0.40}, {Joint: 21, Gap: 0.20}}
	got, ok := run.TrendOf(all, 0.075)
	require.True(t, ok)
	assert.InDelta(t, -0.01, got.Slope.MM(), 1e-12)
	assert.InDelta(t, 0.075/math.Sqrt(200), got.StandardError.MM(), 1e-12)
	assert.False(t, got.Seen, "0.01 is 1.9 standard errors")
	// w = w0 - (k l / tan a) n.
	assert.InDelta(t, 0.01*math.Tan(14*math.Pi/180), got.Wear(14).MM(), 1e-12)
	sure, _ := run.TrendOf(all, 0.05)
	assert.True(t, sure.Seen)

	loosening := []run.Reading{{Joint: 1, Gap: 0.2}, {Joint: 11, Gap: 0.3}, {Joint: 21, Gap: 0.4}}
	got, _ = run.TrendOf(loosening, 0)
	assert.False(t, got.Seen, "wear tightens")
	assert.Negative(t, got.Wear(14).MM())

	for _, few := range [][]run.Reading{
		nil, all[:2],
		{{Joint: 3, Gap: 0.2}, {Joint: 3, Gap: 0.3}, {Joint: 3, Gap: 0.25}},
		{{Joint: 1, Gap: 0.2}, {Joint: 2, Gap: 0.1}, {Joint: 3, Gap: 0}}, // the third is no number
	} {
		_, ok := run.TrendOf(few, 0.075)
		assert.False(t, ok)
	}
}

// Without wear there is none to be seen but by chance, as often as two standard
// errors one way are: 20,000 runs of 20 readings.
func TestNoWearNoTrend(t *testing.T) {
	r := rand.New(rand.NewPCG(20, 5))
	const runs = 20_000
	seen := 0
	for range runs {
		all := make([]run.Reading, 20)
		for i := range all {
			all[i] = run.Reading{Joint: 1 + i, Gap: length.Length(0.5 + 0.075*r.NormFloat64())}
		}
		if trend, ok := run.TrendOf(all, 0.075); ok && trend.Seen {
			seen++
		}
	}
	want := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: 18}.Survival(2)
	assert.InDelta(t, want, float64(seen)/runs, 0.005)
}

// n = (c - c_lo - 1.645 u_c) / (2 k l): model, section 16, by hand.
func TestLookAgainAfter(t *testing.T) {
	for _, row := range []struct {
		c, lo, u, wear length.Length
		joints         int
		ok             bool
	}{
		{0.10, -0.05, 0.03, 0.0005, 100, true}, // (0.15 - 0.04935) / 0.001 = 100.65
		{0.10, -0.05, 0.10, 0.0005, 0, true},   // at once
		{0.10, -0.05, 0.03, 0, 0, false},
		{0.10, -0.05, 0.03, -0.001, 0, false},
	} {
		joints, ok := run.LookAgainAfter(row.c, row.lo, row.u, row.wear)
		assert.Equal(t, row.ok, ok)
		assert.Equal(t, row.joints, joints, "%+v", row)
	}
	joints, ok := run.LookAgainAfter(2000, 0, 0, 1e-6)
	assert.True(t, ok)
	assert.Equal(t, 1_000_000_000, joints)
}

// When it is time to look again one joint in twenty is below the target: drawn.
func TestOneInTwentyIsTight(t *testing.T) {
	const c, lo, u, wear = 0.10, -0.05, 0.03, 0.0005
	joints, _ := run.LookAgainAfter(c, lo, u, wear)
	then := distuv.Normal{Mu: c - 2*wear*float64(joints), Sigma: u}
	assert.InDelta(t, 0.05, then.CDF(lo), 0.005)
}

// At 14 deg the band is a pulled gap of 0 to 0.40 mm, the target 0.20 (model,
// section 16).
func TestGapsOfTheBand(t *testing.T) {
	from, to := run.Gaps(joint.DefaultTarget(0), 14)
	assert.Zero(t, from)
	assert.InDelta(t, 0.40, to.MM(), 0.005)
	from, _ = run.Gaps(joint.Target{From: 0.1, To: 0.2}, 14)
	assert.InDelta(t, 0.20, from.MM(), 0.005)
}
