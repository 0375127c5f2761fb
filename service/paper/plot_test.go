package paper

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/service/draw"
)

// A line is drawn as far as it lies within the plot, and a range fills what of
// it does.
func TestPlotCutsLines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := &plot{top: 30}
		line := []draw.Point{{X: 22, Y: rapid.Float64Range(-500, 500).Draw(t, "y")}}
		for i := range rapid.IntRange(1, 20).Draw(t, "points") {
			next := draw.Point{X: 22 + float64(i+1), Y: rapid.Float64Range(-500, 500).Draw(t, "y")}
			line = append(p.appendCrossings(line, line[len(line)-1], next), next)
		}
		length := 0.0
		for _, part := range p.seen(line) {
			for i := range part {
				require.True(t, part[i].Y >= 30 && part[i].Y <= plotBottom)
				if i > 0 {
					length += part[i].X - part[i-1].X
				}
			}
		}
		steps, within := 20_000, 0
		for n := range steps { // the share of the line that lies within
			x := 22 + (line[len(line)-1].X-22)*(float64(n)+0.5)/float64(steps)
			i := slices.IndexFunc(line, func(at draw.Point) bool { return at.X >= x })
			if y := line[i-1].Y + (line[i].Y-line[i-1].Y)*(x-line[i-1].X)/(line[i].X-line[i-1].X); y >= 30 && y <= plotBottom {
				within++
			}
		}
		require.InDelta(t, length, float64(within)/float64(steps)*(line[len(line)-1].X-22), 0.01)
		for _, at := range p.clamped(line) {
			require.True(t, at.Y >= 30 && at.Y <= plotBottom)
		}
	})
}

// Labels that are spread cover nothing and stay beside the plot, in their order.
func TestSpread(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		top := rapid.Float64Range(26, 60).Draw(t, "top")
		labels := make([]labelOfBand, rapid.IntRange(1, 5).Draw(t, "labels"))
		at := plotBottom
		for i := range labels {
			at = rapid.Float64Range(top, at).Draw(t, "at")
			labels[i].at = at
		}
		spread(labels, top)
		for i := range labels {
			assert.GreaterOrEqual(t, labels[i].at, top+bandLabelHeight/2-1e-9)
			assert.LessOrEqual(t, labels[i].at, plotBottom-bandLabelHeight/2+1e-9)
			if i > 0 {
				assert.GreaterOrEqual(t, labels[i-1].at-labels[i].at, bandLabelHeight-1e-9)
			}
		}
	})
}

// Marks' texts cover no other text and no other mark's line.
func TestMarks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := new(plot)
		x := plotRight
		for range rapid.IntRange(1, 26).Draw(t, "marks") {
			x = rapid.Float64Range(plotLeft, x).Draw(t, "x")
			m := mark{x: x, text: strings.Repeat("n", rapid.IntRange(1, 50).Draw(t, "letters"))}
			placeMark(p.marks, &m)
			p.marks = append(p.marks, m)
		}
		for i, a := range p.marks {
			if a.text == "" {
				continue
			}
			require.Less(t, a.row, labelRows)
			end := a.x + beforeName + draw.TextWidth(a.text, smallText, draw.Regular)
			assert.LessOrEqual(t, end, float64(plotSize))
			for k, b := range p.marks {
				if k != i && b.text != "" && b.x >= a.x && b.x < end && k < i {
					assert.Greater(t, a.row, b.row, "%+v is covered by %+v", a, b)
				}
			}
		}
	})
}

func TestTickStep(t *testing.T) {
	for _, row := range []struct {
		span     float64
		step     float64
		decimals int
	}{{1.2, 0.1, 1}, {1.3, 0.2, 1}, {0.05, 0.005, 3}, {12, 1, 0}, {13, 2, 0}, {120, 10, 0}, {0.7, 0.1, 1}, {6.1, 1, 0}, {2000, 200, 0}} {
		step, decimals := tickStep(row.span)
		assert.InDelta(t, row.step, step, 1e-9, "%g", row.span)
		assert.Equal(t, row.decimals, decimals, "%g", row.span)
	}
	rapid.Check(t, func(t *rapid.T) {
		span := math.Pow(10, rapid.Float64Range(-3, 5).Draw(t, "power"))
		step, decimals := tickStep(span)
		assert.LessOrEqual(t, span/step, 12.0+1e-9)
		assert.Greater(t, span/step, 4.0)
		shown, err := strconv.ParseFloat(strconv.FormatFloat(step, 'f', decimals, 64), 64)
		require.NoError(t, err)
		assert.InEpsilon(t, step, shown, 1e-9, "the decimals show it whole")
	})
}

func TestShortened(t *testing.T) {
	assert.Equal(t, "chart room", shortened("chart room", 4, 19.2))
	assert.Equal(t, "chart...", shortened("chart room", 4, 13))
	assert.Equal(t, "", shortened("chart room", 4, 9))
}
