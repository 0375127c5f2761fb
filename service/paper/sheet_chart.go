package paper

import (
	"snugtail/joint/length"
	"snugtail/service/draw"
	"snugtail/service/say"
)

// The chart of a run, to fill in by hand: a gap for each joint that is read.

const (
	// Heights that the chart takes with its two rows to write in, mm.
	leastChart, mostChart = 44.0, 140.0
	chartColumns          = 20
	chartNames            = 20.0 // width of what stands to its left
	chartRow              = 6.0
)

func (l *sheetLayout) chartHead() float64 {
	f := l.flow(l.left, l.right)
	heading(f, l.said("chart"))
	f.Text(l.Words.Text(say.SheetChartHow())+" "+l.Words.Text(say.ChartRange(l.Sheet.chart)), draw.Regular)
	f.Skip(0.4)
	l.y = f.Y
	return l.y
}

// chartToFill draws the grid: a column for each reading, a line for each step of
// the gap; heavy ones where the joint fits no longer, a dashed one in the middle.
func (l *sheetLayout) chartToFill(height float64) {
	c := l.Sheet.chart
	left, top := l.left+chartNames, l.y+1
	bottom := l.y + height - 2*chartRow
	at := func(gap length.Length) float64 { return bottom - (bottom-top)*gap.MM()/c.Top.MM() }
	l.p.Group("id", l.p.Name+"-chart", "data-top", c.Top.Text(l.Words.Unit))
	for gap := length.Length(0); gap <= c.Top+c.Step/2; gap += c.Step {
		l.across(left, at(gap), draw.Style{Pen: draw.Hair})
		l.nameAt(at(gap)+0.3*l.size, l.Precise(gap.Rounded()))
	}
	l.across(left, at(c.To), draw.Style{Pen: draw.Thick})
	l.across(left, at(c.From), draw.Style{Pen: draw.Thick})
	l.across(left, at(c.Aim), draw.Style{Pen: draw.Thin, Dash: []float64{2, 1}})
	for i, name := range say.SheetChartRows {
		y := bottom + float64(i+1)*chartRow
		l.across(l.left, y, draw.Style{Pen: draw.Thin})
		l.nameAt(y-0.3*chartRow, l.said("chart_row."+name))
	}
	cell := (l.right - left) / chartColumns
	for i := range chartColumns + 1 {
		x := left + float64(i)*cell
		l.p.Draw(draw.Line(draw.Point{X: x, Y: top}, draw.Point{X: x, Y: bottom + 2*chartRow}), draw.Style{Pen: draw.Hair})
	}
	l.p.EndGroup()
}

func (l *sheetLayout) across(from, y float64, style draw.Style) {
	l.p.Draw(draw.Line(draw.Point{X: from, Y: y}, draw.Point{X: l.right, Y: y}), style)
}

// nameAt writes what a line or row is, left of it.
func (l *sheetLayout) nameAt(y float64, text string) {
	l.p.Write(draw.Text{At: draw.Point{X: l.left + chartNames - 1, Y: y}, Size: 0.8 * l.size, Anchor: draw.End, Text: text})
}
