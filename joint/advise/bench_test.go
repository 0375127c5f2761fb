package advise

import (
	"testing"

	"snugtail/joint"
	"snugtail/joint/belief"
)

func benchmarkCase(n int) *Case {
	c := &Case{Case: belief.Case{Setup: harbour(10.9), Target: joint.DefaultTarget(0), Bands: joint.Bands{Crush: joint.DefaultCrush}}}
	for i := range n {
		c.Cuts = append(c.Cuts, cut1(10.5+0.05*float64(i%10), belief.Sight{Feel: belief.FeelRattles, PulledGap: mm(1.2 - 0.05*float64(i%10))}))
	}
	return c
}

func BenchmarkTenCuts(b *testing.B)   { benchmarkOn(b, benchmarkCase(10)) }
func BenchmarkFiftyCuts(b *testing.B) { benchmarkOn(b, benchmarkCase(50)) }
func BenchmarkJam(b *testing.B) {
	c := benchmarkCase(0)
	c.Cuts = []belief.Cut{cut1(10.9, belief.Sight{Feel: belief.FeelWillNotStart})}
	benchmarkOn(b, c)
}

func benchmarkOn(b *testing.B, c *Case) {
	b.ReportAllocs()
	o := belief.Default()
	for b.Loop() {
		if _, err := On(o, c); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkFiftyDistinctCuts has no joint twice.
func BenchmarkFiftyDistinctCuts(b *testing.B) {
	c := benchmarkCase(0)
	for i := range 50 {
		c.Cuts = append(c.Cuts, cut1(10.5+0.01*float64(i), belief.Sight{Feel: belief.FeelRattles, PulledGap: mm(1.2 - 0.01*float64(i))}))
	}
	benchmarkOn(b, c)
}

// BenchmarkDiagnosis is of joints with something wrong, as they are told of: what
// was felt, and what was read of widths, seat, edges and depths.
func BenchmarkDiagnosis(b *testing.B) {
	for name, sight := range map[string]belief.Sight{
		"feel":  {Feel: belief.FeelWillNotStart},
		"gap":   {Feel: belief.FeelRattles, PulledGap: mm(1.2)},
		"seat":  {Feel: belief.FeelHandPressure, Seat: mm(0.9), EdgeStep: mm(0.1)},
		"edges": {Feel: belief.FeelHandPressure, EdgeStep: mm(0.8)},
		"widths": {Feel: belief.FeelWillNotStart, Measured: belief.Measured{
			PinWidest: mm(14.06), TailWidest: mm(14.04), PinSocketWidest: mm(13.6), TailSocketWidest: mm(13.62),
		}},
		"depths": {Feel: belief.FeelHardBlows, ShoulderGap: mm(0.5), Measured: belief.Measured{DepthPinBoard: mm(10.9), DepthTailBoard: mm(11.4)}},
	} {
		b.Run(name, func(b *testing.B) { benchmarkOn(b, seen(fitting(b), sight)) })
	}
}
