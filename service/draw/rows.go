package draw

import (
	"cmp"
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
	var dims []rowDim
	for i := range a.Dims {
		if d := &a.Dims[i]; d.Side == side {
			dims = append(dims, a.rowDim(d))
		}
	}
	// What is narrower than its text goes further out, where fewer lines pass it.
	slices.SortStableFunc(dims, func(a, b rowDim) int {
		return cmp.Or(cmp.Compare(a.overhang(), b.overhang()), cmp.Compare(math.Round(a.to-a.from), math.Round(b.to-b.from)))
	})
	for _, d := range dims {
		rows = a.pack(rows, d)
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

// overhang is 1 where the text reaches beyond the dimension, else 0.
func (d *rowDim) overhang() int {
	if d.textTo-d.textFrom > d.to-d.from-textGap {
		return 1
	}
	return 0
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
	out := -1.0
	if side == Below {
		out = 1
	}
	extended := a.extensions(side, out)
	for n, r := range a.rows[side] {
		y := a.lineAt(side, n)
		for i := range r.dims {
			d := &r.dims[i]
			p.Group("data-measure", d.Name)
			for _, end := range [...]Point{a.on(d.From), a.on(d.To)} {
				if e, ok := extended[end.X]; ok && e.row == n {
					a.extend(p, side, e)
					delete(extended, end.X)
				}
				drawTick(p, Point{end.X, y})
			}
			p.Draw(Line(Point{d.from, y}, Point{d.to, y}), Style{Pen: Hair})
			p.EndGroup()
			p.Write(Text{At: Point{d.textFrom, a.baseline(side, n)}, Size: a.TextSize, Text: d.Lines[0]})
		}
	}
}

// extension is a line from the figure out to the outermost dimension that ends there.
type extension struct {
	from Point
	to   float64 // y
	row  int
}

// oneLine: nearer than that, mm, extension lines print as one.
const oneLine = 0.9

// extensions are the lines that lead from the figure to dimensions, by where they
// stand: of those that would print as one only the longest.
func (a *placed) extensions(side Side, out float64) map[float64]extension {
	all := map[float64]extension{}
	var kept []extension
	for n := len(a.rows[side]) - 1; n >= 0; n-- {
		for i := range a.rows[side][n].dims {
			d := &a.rows[side][n].dims[i]
			for _, end := range [...]Point{a.on(d.From), a.on(d.To)} {
				near := func(e extension) bool { return math.Abs(e.from.X-end.X) < oneLine }
				if slices.ContainsFunc(kept, near) {
					continue
				}
				e := extension{end, a.lineAt(side, n) + out*overshoot, n}
				kept, all[end.X] = append(kept, e), e
			}
		}
	}
	return all
}

// extend draws an extension line, broken where it passes a text.
func (a *placed) extend(p *Page, side Side, e extension) {
	at := e.from
	for n := range e.row {
		for i := range a.rows[side][n].dims {
			d := &a.rows[side][n].dims[i]
			if !d.crosses(e.from.X) {
				continue
			}
			b := Text{At: Point{d.textFrom, a.baseline(side, n)}, Size: a.TextSize, Text: d.Lines[0]}.Box()
			near, far := b.Bottom, b.Top
			if side == Below {
				near, far = b.Top, b.Bottom
			}
			p.Draw(Line(at, Point{e.from.X, near}), Style{Pen: Hair})
			at.Y = far
		}
	}
	p.Draw(Line(at, Point{e.from.X, e.to}), Style{Pen: Hair})
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
