package recommend_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/joint/recommend"
	"snugtail/joint/stock"
)

var (
	bands  = joint.Bands{Crush: joint.DefaultCrush}
	target = joint.DefaultTarget(0)
)

func mm(x float64) length.Size { return length.Exactly(length.Length(x)) }

func setup(front float64) joint.Setup {
	return joint.Setup{
		Template: joint.NewOnePiece(mm(22.225), mm(12.3), mm(14.2), mm(10.86)),
		Bushing:  joint.Bushing{Diameter: mm(11.1125)},
		PinBoard: joint.PinBoard{Thickness: mm(front)},
	}
}

func ranked(t require.TestingT, s joint.Setup, cutters []joint.Cutter) recommend.Result {
	r, err := recommend.Cutters(s, cutters, target, bands)
	require.NoError(t, err)
	return r
}

func cutter(d float64, angle joint.Angle) joint.Cutter {
	return joint.Cutter{Diameter: mm(d), Angle: angle}
}

// Every choice gives the target play within every limit; every refusal has an
// obstacle; nothing is lost.
func TestBuiltInCutters(t *testing.T) {
	all := stock.Cutters()
	for _, front := range []float64{12, 16, 19, 22} {
		s := setup(front)
		r := ranked(t, s, all)
		assert.Len(t, all, len(r.Choices)+len(r.Refused), "%g mm", front)
		require.NotEmpty(t, r.Choices, "%g mm", front)
		assert.Empty(t, r.Changes)
		for _, c := range r.Choices {
			if c.Moved == nil {
				assert.InDelta(t, target.Play.MM(), c.Prediction.Fit.Play.MM(), 1e-9)
			} else {
				assert.True(t, target.Holds(c.Prediction.Fit.Play))
			}
			_, broken := c.Prediction.Limits.Broken()
			assert.False(t, broken)
			// Common practice, no source: the depth is at least 1/8 in less than the measured board.
			assert.LessOrEqual(t, c.Prediction.DepthForTarget.MM(), front-25.4/8+1e-9)
		}
	}
}

// The order of better: comforts, then the chance, here with all else equal.
func TestRanking(t *testing.T) {
	s := setup(19)
	sure, unsure := cutter(12.7, 14), cutter(12.7, 14)
	unsure.Condition, unsure.ID = joint.ConditionUnknown, "old"
	r := ranked(t, s, []joint.Cutter{unsure, sure})
	require.Len(t, r.Choices, 2)
	assert.Equal(t, "old", r.Choices[1].Cutter.ID)
	assert.Greater(t, r.Choices[0].Prediction.Fit.InTarget, r.Choices[1].Prediction.Fit.InTarget)
}

// What is told to change, changed exactly as told, serves, which it did not before.
func TestChangesServe(t *testing.T) {
	for name, row := range map[string]struct {
		setup  joint.Setup
		cutter joint.Cutter
	}{
		"front too thin":            {setup(13), cutter(12.7, 14)},
		"through the front":         {setup(10), cutter(12.7, 14)},
		"cutting edges too short":   {setup(19), joint.Cutter{Diameter: mm(12.7), Angle: 14, CuttingLength: mm(9)}},
		"flare meets the template":  {setup(19), cutter(8.5, 14)},
		"flare meets it, fixed gap": {setup(19), cutter(9.2, 18)},
	} {
		t.Run(name, func(t *testing.T) {
			r := ranked(t, row.setup, []joint.Cutter{row.cutter})
			require.Empty(t, r.Choices)
			require.NotEmpty(t, r.Changes)
			for _, c := range r.Changes {
				if c.Code == recommend.AnotherTemplate {
					continue
				}
				s, k := changed(row.setup, row.cutter, c)
				assert.Len(t, ranked(t, s, []joint.Cutter{k}).Choices, 1, "change %d", c.Code)
			}
		})
	}
}

// changed makes the change as it is told.
func changed(s joint.Setup, k joint.Cutter, c recommend.Change) (joint.Setup, joint.Cutter) {
	switch c.Code {
	case recommend.SteeperAngle, recommend.ShallowerAngle:
		k.Angle = c.Angle
	case recommend.LargerBushing, recommend.SmallerBushing:
		s.Bushing.Diameter = length.Exactly(c.Size)
	case recommend.ThickerBoard:
		s.PinBoard.Thickness = length.Exactly(c.Size)
	}
	if c.CuttingLength > 0 {
		k.CuttingLength = length.Exactly(c.CuttingLength)
	}
	return s, k
}

func TestStock(t *testing.T) {
	ids, angles := map[string]bool{}, map[joint.Angle]bool{}
	for _, c := range stock.Cutters() {
		assert.False(t, ids[c.ID], c.ID)
		ids[c.ID], angles[c.Angle] = true, true
		assert.True(t, c.Angle >= 7 && c.Angle <= 18, c.ID)
		assert.Positive(t, c.RadiusAt(c.CuttingLength.Length).MM(), c.ID)
		again, ok := stock.CutterByID(c.ID)
		assert.True(t, ok)
		assert.Equal(t, c, again)
	}
	for _, wanted := range []joint.Angle{7, 7.5, 9.5, 14, 15, 18} {
		assert.True(t, angles[wanted], "%g deg", float64(wanted))
	}
	for _, b := range stock.Bushings() {
		assert.Less(t, b.Bore.MM(), b.Diameter.MM(), b.ID)
	}
	_, ok := stock.CutterByID("nothing")
	assert.False(t, ok)
}

// built is 100 cutters and 20 bushings: the built-in ones and others as worn.
func built() ([]joint.Cutter, []joint.Bushing) {
	var cutters []joint.Cutter
	for worn := 0.0; len(cutters) < 100; worn += 0.05 {
		for _, c := range stock.Cutters() {
			c.Diameter.Length -= length.Length(worn)
			c.Condition = joint.ConditionUnknown
			cutters = append(cutters, c)
		}
	}
	var bushings []joint.Bushing
	for other := 0.0; len(bushings) < 20; other += 0.1 {
		for _, b := range stock.Bushings() {
			b.Diameter.Length -= length.Length(other)
			bushings = append(bushings, b)
		}
	}
	return cutters[:100], bushings[:20]
}

func benchmarkPairs(b *testing.B, router joint.Router) {
	cutters, bushings := built()
	q := query(19.05, cutters, bushings...)
	q.Setup.Router = router
	q.Setup.Template.Thickness = mm(8)
	b.ReportAllocs()
	for b.Loop() {
		if r, err := recommend.Pairs(q); err != nil || len(r.Choices) == 0 {
			b.Fatal("no choice")
		}
	}
}

func BenchmarkHundredByTwenty(b *testing.B) { benchmarkPairs(b, joint.Router{}) }

func BenchmarkHundredByTwentySteps(b *testing.B) {
	benchmarkPairs(b, joint.Router{AdjusterStep: mm(0.1)})
}

func BenchmarkHundredByTwentyBlocks(b *testing.B) {
	router := joint.Router{}
	for i := range 16 {
		router.GaugeBlocks = append(router.GaugeBlocks, mm(0.5+1.013*float64(i*i)/16))
	}
	benchmarkPairs(b, router)
}

// BenchmarkAllServe is the most work there is: every pair serves, and every
// cutter may have been reground.
func BenchmarkAllServe(b *testing.B) {
	var cutters []joint.Cutter
	var bushings []joint.Bushing
	for i := range 100 {
		c := cutter(12.5+0.004*float64(i), 14)
		c.Condition = joint.ConditionUnknown
		cutters = append(cutters, c)
	}
	for i := range 20 {
		bushings = append(bushings, joint.Bushing{Diameter: mm(11 + 0.01*float64(i))})
	}
	q := query(19.05, cutters, bushings...)
	b.ReportAllocs()
	for b.Loop() {
		if r, err := recommend.Pairs(q); err != nil || len(r.Choices) != 2000 {
			b.Fatal("a pair does not serve")
		}
	}
}

func BenchmarkCutters(b *testing.B) {
	s, all := setup(19), stock.Cutters()
	b.ReportAllocs()
	for b.Loop() {
		if r := ranked(b, s, all); len(r.Choices) == 0 {
			b.Fatal("no choice")
		}
	}
}
