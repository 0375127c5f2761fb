package draw

import (
	"math"
	"strconv"
	"strings"

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
	// ScaleText writes its scale beside its caption; nil takes ScaleText.
	ScaleText func(scale float64) string
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
	overshoot = 0.6 // of extension lines: short enough to end below a text
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

// Aligned places figures one below the other, the same place of their views above
// each other, at the largest scale at which all fit into the box, and draws them:
// views in projection. It returns the scale and what they took of the box.
func Aligned(p *Page, in Box, figures ...*Figure) (scale float64, taken Box) {
	var all *aligned
	for share := 1.0; share > smallestText; share -= 0.1 {
		for _, scale := range scales {
			if all = align(figures, scale, share); all.fits(in) {
				break
			}
		}
		if all.fits(in) {
			break
		}
	}
	x := (in.Left+in.Right)/2 - (all.left+all.right)/2 // where the views' 0 is
	y := in.Top
	for _, a := range all.figures {
		a.draw(p, Point{x - a.origin.X, y - a.head()})
		y = a.foot() + alignedGap
	}
	return all.figures[0].scale, Box{x + all.left, in.Top, x + all.right, y - alignedGap}
}

// alignedGap is left between figures one below the other, mm.
const alignedGap = 5.0

// aligned are figures placed at one scale: how far they reach to the left and
// right of where their views are 0, and how high they are together.
type aligned struct {
	figures             []*placed
	left, right, height float64
}

func align(figures []*Figure, scale, share float64) *aligned {
	all := &aligned{height: alignedGap * float64(len(figures)-1)}
	for _, f := range figures {
		small := *f
		small.TextSize = f.TextSize * share
		a := small.at(scale)
		all.figures = append(all.figures, a)
		all.left, all.right = math.Min(all.left, a.left-a.origin.X), math.Max(all.right, a.right-a.origin.X)
		all.height += a.height()
	}
	return all
}

func (all *aligned) fits(in Box) bool {
	return all.right-all.left <= in.Width() && all.height <= in.Height()
}

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
	if f.ScaleText != nil {
		return f.Caption + ", " + f.ScaleText(scale)
	}
	return f.Caption + ", " + ScaleText(scale)
}

// atLeast widens the figure to both sides.
func (a *placed) atLeast(width float64) {
	if missing := width - a.width(); missing > 0 {
		a.left, a.right = a.left-missing/2, a.right+missing/2
	}
}

// head and foot are the figure's upper and lower edge.
func (a *placed) head() float64 {
	return a.top - a.rowsHeight(Above) - a.capHeight
}

func (a *placed) foot() float64 {
	return a.bottom + a.rowsHeight(Below) + float64(len(a.Notes))*leading*a.TextSize
}

// on is where a point of the view is on paper. The conversions keep processors
// from joining product and sum.
func (a *placed) on(q shape.Point) Point {
	return Point{a.origin.X + float64(q.X*a.scale), a.origin.Y - float64(q.Y*a.scale)}
}

// drawIn moves the placed figure to the upper middle of a box and draws it.
func (a *placed) drawIn(p *Page, in Box) Box {
	return a.draw(p, Point{(in.Left+in.Right)/2 - (a.left+a.right)/2, in.Top - a.head()})
}

// draw moves the placed figure and draws it.
func (a *placed) draw(p *Page, shift Point) Box {
	a.shift(shift)
	p.Group("id", p.Name+"-"+a.Name, "data-scale", strconv.FormatFloat(a.scale, 'f', -1, 64))
	p.Begin(Picture, a.alt())
	a.drawCaption(p)
	a.drawPieces(p)
	for side := range a.rows {
		a.drawRows(p, Side(side))
	}
	for side := range a.columns {
		a.drawColumn(p, Side(side)+LeftOf)
	}
	a.drawNotes(p)
	p.End()
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

// alt says in words what the figure shows: what it is, and its sizes.
func (a *placed) alt() string {
	said := []string{a.caption(a.scale)}
	for i := range a.Dims {
		if d := &a.Dims[i]; d.Name != "" {
			said = append(said, strings.Join(d.Lines, " "))
		}
	}
	return strings.Join(said, "; ")
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
