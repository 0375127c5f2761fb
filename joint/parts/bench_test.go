package parts_test

import (
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/joint/parts"
)

// oakHundred is a job of 100 drawers, no two of one size, of solid oak in openings,
// most of them warned of something, with twelve cutters at hand.
func oakHundred() parts.Job {
	var drawers []parts.Drawer
	for i := range 100 {
		d, _ := solid(parts.Room{Known: true, Height: 1, Width: 2})
		d.Outside = parts.Size{Width: length.Length(300 + 5*i), Height: length.Length(60 + 1.37*float64(i)), Depth: length.Length(450 + 2*i)}
		d.Groove.Clearance = 0.5
		if i%5 == 0 {
			d.Lip = parts.Lip{Given: true, Width: 9, Thickness: 3}
		}
		if i%3 == 0 {
			d.Back.Joint = parts.ButtedBack
		}
		drawers = append(drawers, d)
	}
	j := job(drawers...)
	_, j.Stock = solid(parts.Room{})
	j.Cutters = nil
	for i := range 12 {
		j.Cutters = append(j.Cutters, cutter("c"+strconv.Itoa(i), 12.3+0.05*float64(i), joint.Angle(10+i/2)))
	}
	return j
}

// A job of 100 drawers with all that is told of them: under 30 ms is wanted, by the
// domain and the service together (BenchmarkHundredOakDrawers there).
func BenchmarkHundredOakDrawers(b *testing.B) {
	j := oakHundred()
	p, err := parts.New(j)
	require.NoError(b, err)
	warned := 0
	for i := range p.Drawers {
		require.Nil(b, p.Drawers[i].Refusal)
		warned += len(warningsOf(&p.Drawers[i]))
	}
	for b.Loop() {
		if _, err := parts.New(j); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(warned), "warnings")
}

// The set-ups of a plan are as many as its search says, and one cutter more at
// hand never makes them more.
func TestAFurtherCutterCostsNoSetup(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var drawers []parts.Drawer
		for range rapid.IntRange(1, 8).Draw(t, "rows") {
			d := drawDrawer(t)
			d.Front = rapid.SampledFrom([]int{front18, back15, tinyBack}).Draw(t, "front")
			drawers = append(drawers, d)
		}
		j := job(drawers...)
		j.Cutters = nil
		before, served := 0, -1
		for range rapid.IntRange(1, 6).Draw(t, "cutters") {
			j.Cutters = append(j.Cutters, cutter("x", rapid.Float64Range(12, 13.2).Draw(t, "cutter"), joint.Angle(rapid.Float64Range(8, 18).Draw(t, "angle"))))
			p := plan(t, j)
			require.True(t, p.Cover.Exact)
			require.Len(t, p.Setups, p.Cover.AtLeast)
			if p.Labour.Drawers == served { // as many as before, and so the same ones
				assert.LessOrEqual(t, len(p.Setups), before)
			}
			before, served = len(p.Setups), p.Labour.Drawers
		}
	})
}
