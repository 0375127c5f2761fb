package draw

import (
	"math"
	"slices"
)

// row is a row of dimensions above or below the figure.
type row struct {
	dims    []rowDim
	through []float64 // where lines of dimensions further out pass it
}

// rowDim is a dimension in a row: its line from x to x, its text likewise.
type rowDim struct {
	*Dim
	from, to         float64
	textFrom, textTo float64
}

// packed puts each dimension of a side into the row nearest to the figure in
// which its text meets no other, and no line crosses a text.
func (a *placed) packed(side Side) []row {
	var rows []row
	for i := range a.Dims {
		if d := &a.Dims[i]; d.Side == side {
			rows = a.pack(rows, a.rowDim(d))
		}
	}
	return rows
}

func (a *placed) rowDim(d *Dim) rowDim {
	from, to := a.on(d.From).X, a.on(d.To).X
	if from > to {
		from, to = to, from
	}
	width := TextWidth(d.Lines[0], a.TextSize, Regular)
	left := math.Min(math.Max((from+to-width)/2, a.left), a.right-width)
	return rowDim{d, from, to, left, left + width}
}

func (a *placed) pack(rows []row, d rowDim) []row {
	n := 0
	for n < len(rows) && !(rows[n].takes(&d) && clear(rows[:n], &d)) {
		n++
	}
	if n == len(rows) {
		rows = append(rows, row{})
	}
	for k := range rows[:n] {
		rows[k].through = append(rows[k].through, d.from, d.to)
	}
	rows[n].dims = append(rows[n].dims, d)
	return rows
}

// takes: there is room in the row for the dimension.
func (r *row) takes(d *rowDim) bool {
	for i := range r.dims {
		o := &r.dims[i]
		const apart = 0.01 // neighbours share an end
		if d.textFrom < o.textTo+textGap && o.textFrom < d.textTo+textGap || d.from < o.to-apart && o.from < d.to-apart {
			return false
		}
	}
	return !slices.ContainsFunc(r.through, d.crosses)
}

// clear: the dimension's lines cross no text of the rows that they pass.
func clear(rows []row, d *rowDim) bool {
	for _, r := range rows {
		for i := range r.dims {
			if o := &r.dims[i]; o.crosses(d.from) || o.crosses(d.to) {
				return false
			}
		}
	}
	return true
}

func (d *rowDim) crosses(x float64) bool { return x > d.textFrom-textGap/2 && x < d.textTo+textGap/2 }

func (a *placed) rowHeight() float64 { return rowText*a.TextSize + 0.8 }

func (a *placed) rowsHeight(side Side) float64 {
	if len(a.rows[side]) == 0 {
		return textGap
	}
	return rowGap + float64(len(a.rows[side]))*a.rowHeight() + overshoot
}

// drawRows draws the dimensions above or below the figure.
func (a *placed) drawRows(p *Page, side Side) {
	for n, r := range a.rows[side] {
		y, out := a.lineAt(side, n), -1.0
		if side == Below {
			out = 1
		}
		for i := range r.dims {
			d := &r.dims[i]
			p.Group("data-measure", d.Name)
			for _, end := range [...]Point{a.on(d.From), a.on(d.To)} {
				p.Draw(Line(end, Point{end.X, y + out*overshoot}), Style{Pen: Hair})
				drawTick(p, Point{end.X, y})
			}
			p.Draw(Line(Point{d.from, y}, Point{d.to, y}), Style{Pen: Hair})
			p.EndGroup()
		}
	}
	for n, r := range a.rows[side] { // over the lines that could not but cross them
		for i := range r.dims {
			d := &r.dims[i]
			a.label(p, Text{At: Point{d.textFrom, a.baseline(side, n)}, Size: a.TextSize, Text: d.Lines[0]})
		}
	}
}

// lineAt is where the lines of a row of dimensions are: nearer to the figure
// than its text.
func (a *placed) lineAt(side Side, n int) float64 {
	if side == Above {
		return a.top - rowGap - float64(n)*a.rowHeight()
	}
	return a.bottom + rowGap + float64(n)*a.rowHeight()
}

func (a *placed) baseline(side Side, n int) float64 {
	if side == Above {
		return a.lineAt(side, n) - 0.7 - Descent*a.TextSize
	}
	return a.lineAt(side, n) + 0.6 + 0.8*a.TextSize
}

func drawTick(p *Page, at Point) {
	p.Draw(Line(Point{at.X - tick, at.Y + tick}, Point{at.X + tick, at.Y - tick}), Style{Pen: Thin})
}

// label writes a text on a white ground.
func (a *placed) label(p *Page, t Text) {
	b := t.Box()
	p.Draw(Rect(b.Left-0.3, b.Top+0.1*t.Size, b.Width()+0.6, b.Height()-0.1*t.Size), Style{Fill: White})
	p.Write(t)
}
