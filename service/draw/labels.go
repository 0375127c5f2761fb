package draw

import (
	"math"
	"slices"

	"snugtail/joint/shape"
)

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
	p.Draw(Circle(at, r), Style{Fill: Black})
}
