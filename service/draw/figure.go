package draw

import (
	"math"
	"slices"
	"strconv"

	"snugtail/joint/shape"
)

// Side is where a dimension's text stands: in rows above and below the figure,
// or in columns beside it.
type Side uint8

// Sides.
const (
	Above Side = iota
	Below
	LeftOf
	RightOf
)

// Dim is a dimension to draw. Beside the figure, one between points that stand
// one above the other gets a line of its own there; any other is pointed at.
type Dim struct {
	Name     string // what it measures, for programs; none for a mere label
	From, To shape.Point
	Side     Side
	Lines    []string // its text; above and below the figure only one
}

func (d *Dim) upright() bool { return d.From.X == d.To.X && d.From.Y != d.To.Y }

// Look is how a part is drawn.
type Look struct {
	Name  string
	Fill  Ink
	Pen   float64
	Dash  []float64
	Hatch Hatching // none if its Gap is 0
}

// Figure is a view to be drawn to a scale, with its dimensions.
type Figure struct {
	Name     string // for programs
	Caption  string
	View     *shape.View
	Looks    map[shape.Part]Look
	Dims     []Dim
	Notes    []string // below the figure
	TextSize float64
}

// scales are those to choose from, the largest first: so many mm on paper for
// one of the joint.
var scales = [...]float64{
	50, 40, 30, 25, 20, 15, 12, 10, 8, 6, 5, 4, 3, 2.5, 2, 1.5, 1,
	1 / 1.5, 1 / 2.0, 1 / 2.5, 1 / 3.0, 1 / 4.0, 1 / 5.0, 1 / 10.0, 1 / 20.0, 1 / 50.0, 1 / 100.0, 1 / 200.0, 1 / 500.0,
}

// ScaleText writes a scale as drawings state it.
func ScaleText(scale float64) string {
	if scale >= 1 {
		return strconv.FormatFloat(scale, 'f', -1, 64) + ":1"
	}
	return "1:" + strconv.FormatFloat(math.Round(10/scale)/10, 'f', -1, 64)
}

// Distances on paper, mm.
const (
	rowGap    = 2.2 // between the figure and the first row of dimensions
	columnGap = 3.0 // beside it
	lineStep  = 3.6 // between the lines of dimensions beside the figure
	tick      = 0.9 // half a tick at the end of a dimension's line
	overshoot = 1.0
	textGap   = 1.4
)

// placed is a figure with everything in its place.
type placed struct {
	*Figure
	scale       float64
	rows        [2][]row // above and below
	columns     [2]column
	left, right float64 // of figure and columns together
	origin      Point   // where the view's 0, 0 is on the page
	top, bottom float64 // of the view, its columns' labels included
	capHeight   float64
}

// Natural sizes, as shares of the size of the text.
const (
	leading = 1.3
	rowText = 1.25
	// labelGap keeps labels beside a figure apart.
	labelGap = 0.3
)

// Fit places the figure in a box of the page at the largest scale at which all
// of it fits, and draws it there, its upper edge at the box's, in the middle.
// Where the texts leave no room for the figure they are written smaller. It
// returns the scale and what it took of the box.
func (f *Figure) Fit(p *Page, in Box) (scale float64, taken Box) {
	at := f.fitting(in)
	return at.scale, at.drawIn(p, in)
}

// seen is how large a figure is at least, mm, and smallestText how small its
// texts get for that, as a share of their size.
const (
	seen         = 12.0
	smallestText = 0.6
)

func (f *Figure) fitting(in Box) *placed {
	var at *placed
	for share := 1.0; share > smallestText; share -= 0.1 {
		small := *f
		small.TextSize = f.TextSize * share
		for _, scale := range scales {
			if at = small.at(scale); at.fits(in) {
				break
			}
		}
		b := f.View.Bounds
		if at.fits(in) && math.Max(b.Width(), b.Height())*at.scale >= seen {
			break
		}
	}
	return at
}

func (a *placed) fits(in Box) bool { return a.width() <= in.Width() && a.height() <= in.Height() }

// FitAt is Fit with the scale given.
func (f *Figure) FitAt(p *Page, in Box, scale float64) (taken Box) { return f.at(scale).drawIn(p, in) }

// WidthAt returns how wide the figure is at a scale, with all its texts.
func (f *Figure) WidthAt(scale float64) float64 { return f.at(scale).width() }

func (a *placed) width() float64  { return a.right - a.left }
func (a *placed) height() float64 { return a.foot() - a.head() }

// at places the figure at a scale, the view's upper left corner at 0, 0.
func (f *Figure) at(scale float64) *placed {
	a := &placed{Figure: f, scale: scale}
	b := f.View.Bounds
	a.origin = Point{-float64(b.Left * scale), float64(b.Top * scale)}
	width, height := float64(b.Width()*scale), float64(b.Height()*scale)
	a.bottom, a.right = height, width
	if f.Caption != "" {
		a.capHeight = leading * f.TextSize * captionSize
	}
	for _, side := range [...]Side{LeftOf, RightOf} {
		c := a.column(side)
		a.columns[side-LeftOf] = c
		a.top, a.bottom = math.Min(a.top, c.top()), math.Max(a.bottom, c.bottom())
		if side == LeftOf {
			a.left = -c.width
		} else {
			a.right = width + c.width
		}
	}
	a.atLeast(a.longestText())
	for _, side := range [...]Side{Above, Below} {
		a.rows[side] = a.packed(side)
	}
	return a
}

// captionSize is the size of a caption, as a share of that of the text.
const captionSize = 1.15

// longestText is how wide caption, notes and rows need the figure at least.
func (f *Figure) longestText() float64 {
	longest := TextWidth(f.caption(1/2.5), captionSize*f.TextSize, Bold)
	for _, note := range f.Notes {
		longest = math.Max(longest, TextWidth(note, f.TextSize, Regular))
	}
	for i := range f.Dims {
		if d := &f.Dims[i]; d.Side <= Below {
			longest = math.Max(longest, TextWidth(d.Lines[0], f.TextSize, Regular))
		}
	}
	return longest
}

func (f *Figure) caption(scale float64) string {
	if f.Caption == "" {
		return ""
	}
	return f.Caption + ", " + ScaleText(scale)
}

// atLeast widens the figure to both sides.
func (a *placed) atLeast(width float64) {
	if missing := width - a.width(); missing > 0 {
		a.left, a.right = a.left-missing/2, a.right+missing/2
	}
}

func (a *placed) rowHeight() float64 { return rowText*a.TextSize + 0.8 }

// head and foot are the figure's upper and lower edge.
func (a *placed) head() float64 {
	return a.top - a.rowsHeight(Above) - a.capHeight
}

func (a *placed) foot() float64 {
	return a.bottom + a.rowsHeight(Below) + float64(len(a.Notes))*leading*a.TextSize
}

func (a *placed) rowsHeight(side Side) float64 {
	if len(a.rows[side]) == 0 {
		return textGap
	}
	return rowGap + float64(len(a.rows[side]))*a.rowHeight() + overshoot
}

// on is where a point of the view is on paper. The conversions keep processors
// from joining product and sum.
func (a *placed) on(q shape.Point) Point {
	return Point{a.origin.X + float64(q.X*a.scale), a.origin.Y - float64(q.Y*a.scale)}
}

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

// column is what stands beside the figure: lines of upright dimensions, and
// the labels of all.
type column struct {
	labels []label
	lines  int // lines side by side
	width  float64
}

// label is the text of a dimension beside the figure.
type label struct {
	*Dim
	line    int     // which line the dimension has, if it is upright
	wanted  float64 // where its middle would best be, on paper
	at      float64 // where it is
	height  float64
	pointed Point // what it belongs to
}

func (c *column) top() float64 {
	if len(c.labels) == 0 {
		return 0
	}
	return c.labels[0].at - c.labels[0].height/2
}

func (c *column) bottom() float64 {
	if len(c.labels) == 0 {
		return 0
	}
	last := c.labels[len(c.labels)-1]
	return last.at + last.height/2
}

func (a *placed) column(side Side) column {
	var c column
	widest := 0.0
	for i := range a.Dims {
		d := &a.Dims[i]
		if d.Side != side {
			continue
		}
		from, to := a.on(d.From), a.on(d.To)
		l := label{Dim: d, height: (leading*float64(len(d.Lines)) + labelGap) * a.TextSize}
		l.pointed = Point{(from.X + to.X) / 2, (from.Y + to.Y) / 2}
		if d.upright() {
			l.line = c.freeLine(a, d)
			c.lines = max(c.lines, l.line+1)
		}
		l.wanted = l.pointed.Y
		c.labels = append(c.labels, l)
		for _, line := range d.Lines {
			widest = math.Max(widest, TextWidth(line, a.TextSize, Regular))
		}
	}
	if len(c.labels) == 0 {
		return c
	}
	c.spread()
	c.width = columnGap + float64(c.lines)*lineStep + textGap + widest
	return c
}

// freeLine is the line nearest to the figure on which the dimension covers no
// other.
func (c *column) freeLine(a *placed, d *Dim) int {
	for n := 0; ; n++ {
		taken := slices.ContainsFunc(c.labels, func(o label) bool {
			return o.upright() && o.line == n && a.overlap(d, o.Dim)
		})
		if !taken {
			return n
		}
	}
}

func (a *placed) overlap(d, o *Dim) bool {
	const apart = 0.01 // neighbours share an end
	low := func(d *Dim) float64 { return math.Min(d.From.Y, d.To.Y) * a.scale }
	high := func(d *Dim) float64 { return math.Max(d.From.Y, d.To.Y) * a.scale }
	return low(d) < high(o)-apart && low(o) < high(d)-apart
}

// spread moves labels apart until none covers another: from the top down, each
// group of labels in touch is centred on where its labels would best be.
func (c *column) spread() {
	slices.SortStableFunc(c.labels, func(a, b label) int {
		switch {
		case a.wanted < b.wanted:
			return -1
		case a.wanted > b.wanted:
			return 1
		}
		return 0
	})
	for i := range c.labels {
		c.labels[i].at = c.labels[i].wanted
	}
	for first := len(c.labels) - 1; first >= 0; first-- {
		c.settle(first)
	}
}

// settle moves the label and those below it that it pushes.
func (c *column) settle(first int) {
	for last := first + 1; last < len(c.labels); last++ {
		if c.labels[last-1].at+c.labels[last-1].height/2 <= c.labels[last].at-c.labels[last].height/2 {
			return
		}
		c.centre(first, last)
	}
}

// centre stacks the labels, their middle where the mean of their wishes is.
func (c *column) centre(first, last int) {
	sum, height := 0.0, 0.0
	for _, l := range c.labels[first : last+1] {
		sum += l.wanted
		height += l.height
	}
	at := sum/float64(last-first+1) - height/2
	for i := first; i <= last; i++ {
		c.labels[i].at = at + c.labels[i].height/2
		at += c.labels[i].height
	}
}

// drawIn moves the placed figure to the upper middle of a box and draws it.
func (a *placed) drawIn(p *Page, in Box) Box {
	shift := Point{(in.Left+in.Right)/2 - (a.left+a.right)/2, in.Top - a.head()}
	a.shift(shift)
	p.Group("id", p.Name+"-"+a.Name, "data-scale", strconv.FormatFloat(a.scale, 'f', -1, 64))
	a.drawCaption(p)
	a.drawPieces(p)
	for side := range a.rows {
		a.drawRows(p, Side(side))
	}
	for side := range a.columns {
		a.drawColumn(p, Side(side)+LeftOf)
	}
	a.drawNotes(p)
	p.EndGroup()
	return Box{a.left, a.head(), a.right, a.foot()}
}

func (a *placed) shift(by Point) {
	a.origin = Point{a.origin.X + by.X, a.origin.Y + by.Y}
	a.left, a.right, a.top, a.bottom = a.left+by.X, a.right+by.X, a.top+by.Y, a.bottom+by.Y
	for _, rows := range a.rows {
		for _, r := range rows {
			for i := range r.dims {
				d := &r.dims[i]
				d.from, d.to, d.textFrom, d.textTo = d.from+by.X, d.to+by.X, d.textFrom+by.X, d.textTo+by.X
			}
		}
	}
	for _, c := range a.columns {
		for i := range c.labels {
			l := &c.labels[i]
			l.at += by.Y
			l.pointed = Point{l.pointed.X + by.X, l.pointed.Y + by.Y}
		}
	}
}

func (a *placed) drawCaption(p *Page) {
	size := captionSize * a.TextSize
	p.Write(Text{At: Point{a.left, a.head() + Ascent*size}, Size: size, Font: Bold, Text: a.caption(a.scale)})
}

func (a *placed) drawNotes(p *Page) {
	y := a.bottom + a.rowsHeight(Below) + Ascent*a.TextSize
	for _, note := range a.Notes {
		p.Write(Text{At: Point{a.left, y}, Size: a.TextSize, Text: note})
		y += leading * a.TextSize
	}
}

// drawPieces fills all areas before it draws any line, so that nothing covers
// a line.
func (a *placed) drawPieces(p *Page) {
	paths := make([]Path, len(a.View.Pieces))
	for i, piece := range a.View.Pieces {
		paths[i] = a.path(piece.Outline)
		look := a.Looks[piece.Part]
		p.Draw(paths[i], Style{Fill: look.Fill}, "data-part", look.Name)
	}
	for i, piece := range a.View.Pieces {
		if look := a.Looks[piece.Part]; look.Hatch.Gap > 0 {
			p.Hatch(look.Hatch, paths[i])
		}
	}
	for i, piece := range a.View.Pieces {
		a.drawEdges(p, piece, paths[i])
	}
}

func (a *placed) path(o shape.Outline) Path {
	path := Path{Start: a.on(o.Start), Closed: !o.Open}
	for _, e := range o.Edges {
		// Left, with y up, is counterclockwise on the page as well.
		path.Segs = append(path.Segs, Seg{To: a.on(e.To), Radius: float64(e.Radius * a.scale), Clockwise: !e.Left})
	}
	if path.Closed { // the last edge leads back to the start
		if last := len(path.Segs) - 1; path.Segs[last].Radius == 0 {
			path.Segs = path.Segs[:last]
		}
	}
	return path
}

// drawEdges draws what the part ends with, and breaks off what goes on.
func (a *placed) drawEdges(p *Page, piece shape.Piece, whole Path) {
	look := a.Looks[piece.Part]
	if look.Pen == 0 {
		return
	}
	style := Style{Pen: look.Pen, Dash: look.Dash}
	if !slices.ContainsFunc(piece.Outline.Edges, func(e shape.Edge) bool { return e.Ending != shape.Solid }) {
		p.Draw(whole, style)
		return
	}
	at, run := piece.Outline.Start, Path{Start: a.on(piece.Outline.Start)}
	flush := func(next shape.Point) {
		if len(run.Segs) > 0 {
			p.Draw(run, style)
		}
		run = Path{Start: a.on(next)}
	}
	for _, e := range piece.Outline.Edges {
		if e.Ending == shape.Solid {
			run.Segs = append(run.Segs, Seg{To: a.on(e.To), Radius: float64(e.Radius * a.scale), Clockwise: !e.Left})
		} else {
			flush(e.To)
		}
		if e.Ending == shape.Broken {
			drawBreak(p, a.on(at), a.on(e.To))
		}
		at = e.To
	}
	flush(at)
}

// drawBreak draws a line with a jag, as one on which a part is broken off.
func drawBreak(p *Page, from, to Point) {
	const jag = 1.3
	length := math.Hypot(to.X-from.X, to.Y-from.Y)
	if length < 3*jag {
		p.Draw(Line(from, to), Style{Pen: Hair})
		return
	}
	x, y := (to.X-from.X)/length, (to.Y-from.Y)/length
	along := func(t, side float64) Point {
		return Point{from.X + float64(x*t) - float64(y*side), from.Y + float64(y*t) + float64(x*side)}
	}
	m := length / 2
	p.Draw(Line(from, along(m-jag, 0), along(m-jag/3, jag), along(m+jag/3, -jag), along(m+jag, 0), to), Style{Pen: Hair})
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

// drawColumn draws the dimensions beside the figure.
func (a *placed) drawColumn(p *Page, side Side) {
	c := &a.columns[side-LeftOf]
	out, edge, anchor := 1.0, a.on(shape.Point{X: a.View.Bounds.Right}).X, Start
	if side == LeftOf {
		out, edge, anchor = -1, a.on(shape.Point{X: a.View.Bounds.Left}).X, End
	}
	text := edge + out*(columnGap+float64(c.lines)*lineStep+textGap)
	for i := range c.labels {
		l := &c.labels[i]
		l.group(p)
		if l.upright() {
			x := edge + out*(columnGap+float64(l.line)*lineStep)
			for _, end := range [...]Point{a.on(l.From), a.on(l.To)} {
				p.Draw(Line(end, Point{x + out*overshoot, end.Y}), Style{Pen: Hair})
				drawTick(p, Point{x, end.Y})
			}
			p.Draw(Line(Point{x, a.on(l.From).Y}, Point{x, a.on(l.To).Y}), Style{Pen: Hair})
			l.pointed.X = x
		} else {
			drawDot(p, l.pointed)
		}
		p.Draw(Line(l.pointed, Point{text - out*textGap/2, l.at}), Style{Pen: Hair})
		baseline := l.at - l.height/2 + ((leading-1+labelGap)/2+0.8)*a.TextSize
		for _, line := range l.Lines {
			p.Write(Text{At: Point{text, baseline}, Size: a.TextSize, Anchor: anchor, Text: line})
			baseline += leading * a.TextSize
		}
		p.EndGroup()
	}
}

// group begins the label's group.
func (l *label) group(p *Page) {
	if l.Name == "" {
		p.Group()
		return
	}
	p.Group("data-measure", l.Name)
}

// drawDot marks what a label points at.
func drawDot(p *Page, at Point) {
	const r = 0.45
	p.Draw(Path{Start: Point{at.X - r, at.Y}, Closed: true, Segs: []Seg{
		{To: Point{at.X, at.Y - r}, Radius: r, Clockwise: true},
		{To: Point{at.X + r, at.Y}, Radius: r, Clockwise: true},
		{To: Point{at.X, at.Y + r}, Radius: r, Clockwise: true},
		{To: Point{at.X - r, at.Y}, Radius: r, Clockwise: true},
	}}, Style{Fill: Black})
}
