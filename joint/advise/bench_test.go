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
