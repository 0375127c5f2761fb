package paper

import (
	"math"
	"slices"

	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/joint/seasons"
	"snugtail/service/codes"
	"snugtail/service/draw"
	"snugtail/service/say"
)

// The plot of play over a year's humidity, made to be read on a kiosk's screen
// and printed in black and white.

// Sweep is the year: from a heated room in frost to a damp summer.
var Sweep = seasons.Sweep{TemperatureC: 21, From: 20, To: 85, Steps: 130}

// The drawing, mm; it is shown as large as there is room.
const (
	plotSize                  = 216.0
	plotMargin                = 8.0
	plotLeft, plotRight       = 22.0, 174.4
	plotBottom                = 168.0
	moistureAxis              = 181.0
	labelRow, labelRows       = 5.2, 6
	smallText, text, headline = 3.6, 4.0, 6.4
	bandText                  = 3.4
	tickLength                = 1.6
	axisPen, framePen         = 0.4, 0.4
)

// Judgement, mm: how far the plot follows the curves from the play as cut, how
// far it follows their ranges beyond the bands, and what it shows at least.
const (
	plotFollows       = 1.5
	plotFollowsRange  = 0.6
	plotBeyondTheBand = 0.12
)

// MovementPlot draws what a year does to a joint, over its humidity.
func MovementPlot(id string, said say.Movement, points []seasons.Point, year *seasons.Year) *draw.Page {
	p := &plot{id: id, said: said, question: said.Question, points: points, year: year}
	p.setMarks()
	p.setScale()
	return p.drawn()
}

// plot is the drawing and its scale: play from low to high, mm.
type plot struct {
	id        string
	said      say.Movement
	question  *seasons.Question
	page      *draw.Page
	points    []seasons.Point
	year      *seasons.Year
	marks     []mark
	top       float64 // of the plot itself
	low, high float64
}

// setScale takes in the bands, the curves, and of their ranges enough to see.
func (p *plot) setScale() {
	cut, limits := p.question.Cut.Play.Play.MM(), p.bandLimits()
	tightest, loosest := limits[1].MM(), limits[len(limits)-2].MM()
	p.low, p.high = tightest-plotBeyondTheBand, loosest+plotBeyondTheBand
	for i := range p.points {
		if o := &p.points[i]; o.Missing == nil {
			least, most := min(o.Middle.Play, o.Outermost.Play).MM(), max(o.Middle.Play, o.Outermost.Play).MM()
			lowest, highest := min(o.Middle.Low, o.Outermost.Low).MM(), max(o.Middle.High, o.Outermost.High).MM()
			p.low = min(p.low, max(least, cut-plotFollows), max(lowest, tightest-plotFollowsRange))
			p.high = max(p.high, min(most, cut+plotFollows), min(highest, loosest+plotFollowsRange))
		}
	}
	margin := (p.high - p.low) / 30
	p.low, p.high = p.low-margin, p.high+margin
}

// x and y place a humidity and a play. The conversions keep processors from
// joining a product and a sum, so that all draw the same.
func (p *plot) x(humidity float64) float64 {
	return plotLeft + float64((plotRight-plotLeft)*(humidity-Sweep.From)/(Sweep.To-Sweep.From))
}

func (p *plot) y(play length.Length) float64 {
	share := (play.Rounded().MM() - p.low) / (p.high - p.low)
	return plotBottom - float64((plotBottom-p.top)*share)
}

// drawn is the page with all of the plot on it.
func (p *plot) drawn() *draw.Page {
	p.page = &draw.Page{Name: named(p.id, "plot"), Width: plotSize, Height: plotSize, Fluid: true, Lang: p.said.Language, Title: p.said.Text(say.Plot("title")), Desc: p.said.Text(p.said.Summary(p.year))}
	p.page.Write(draw.Text{At: draw.Point{X: plotMargin, Y: 10.4}, Size: headline, Font: draw.Bold, Text: p.page.Title})
	p.write(plotMargin, 16.8, text, p.said.Text(say.PlotBoard("pin_board", &p.question.PinBoard)))
	p.write(plotMargin, 22.2, text, p.said.Text(say.PlotBoard("tail_board", &p.question.TailBoard)))
	p.bands()
	p.curves()
	p.playAxis()
	p.humidityAxis()
	p.moistureAxis()
	for i := range p.marks {
		p.mark(&p.marks[i])
	}
	p.legend()
	return p.page
}

func (p *plot) write(x, y, size float64, line string) {
	p.page.Write(draw.Text{At: draw.Point{X: x, Y: y}, Size: size, Text: line})
}

func (p *plot) centred(x, y, size float64, line string) {
	p.page.Write(draw.Text{At: draw.Point{X: x, Y: y}, Size: size, Anchor: draw.Middle, Text: line})
}

func (p *plot) line(x1, y1, x2, y2 float64, style draw.Style) {
	p.page.Draw(draw.Line(draw.Point{X: x1, Y: y1}, draw.Point{X: x2, Y: y2}), style)
}

// shades are the darker, the less a joint is wanted there.
var shades = [...]draw.Ink{
	joint.WillNotClose: draw.Grey, joint.Tight: draw.Pale, joint.HandFit: draw.White, joint.Loose: draw.Pale, joint.TooLoose: draw.Grey,
}

// labelOfBand is a band's name and range, and where they stand.
type labelOfBand struct {
	band       joint.Band
	from, to   length.Length
	at, middle float64 // of the label, and of what is seen of the band
}

const bandLabelHeight = 9.2

// bands shades the bands and names them beside the plot.
func (p *plot) bands() {
	thin := draw.Style{Pen: 0.2, Ink: draw.Dark}
	labels := p.shadeBands(draw.Style{Pen: 0.2, Ink: draw.Dark, Dash: []float64{0.6, 0.8}})
	spread(labels, p.top)
	for _, l := range labels {
		p.line(plotRight+0.4, l.middle, plotRight+2.8, l.at, thin)
		name := draw.Text{At: draw.Point{X: plotRight + 4, Y: l.at - 0.6}, Size: smallText, Text: p.said.Text(say.BandLabel(l.band))}
		if l.band == joint.HandFit {
			name.Font = draw.Bold
		}
		p.page.Write(name)
		p.write(plotRight+4, l.at+bandText, bandText, p.said.Text(p.said.BandRange(l.from, l.to)))
	}
}

// shadeBands shades what is seen of each band, from the tightest on, and
// returns the labels that they are to have.
func (p *plot) shadeBands(edge draw.Style) (labels []labelOfBand) {
	limits := p.bandLimits()
	for band, shade := range shades {
		from, to := limits[band], limits[band+1]
		top, bottom := p.y(length.Length(math.Min(to.MM(), p.high))), p.y(length.Length(math.Max(from.MM(), p.low)))
		if bottom-top <= 0 {
			continue
		}
		p.page.Draw(draw.Rect(plotLeft, top, plotRight-plotLeft, bottom-top), draw.Style{Fill: shade}, "data-band", codes.Bands[band])
		if band > 0 {
			p.line(plotLeft, bottom, plotRight+tickLength, bottom, edge)
		}
		middle := (top + bottom) / 2
		labels = append(labels, labelOfBand{joint.Band(band), from, to, middle, middle})
	}
	return labels
}

// bandLimits are where the bands begin and end, from the tightest on.
func (p *plot) bandLimits() [6]length.Length {
	limits := [6]length.Length{0: length.Length(math.Inf(-1)), 5: length.Length(math.Inf(1))}
	for i, edge := range p.question.Bands.Edges() {
		limits[i+1] = length.Length(edge)
	}
	return limits
}

// spread moves labels, of which the first is the lowest, apart until none
// covers another, and keeps them beside the plot.
func spread(labels []labelOfBand, top float64) {
	floor := plotBottom - bandLabelHeight/2
	for i := range labels {
		labels[i].at = math.Min(labels[i].at, floor)
		floor = labels[i].at - bandLabelHeight
	}
	ceiling := top + bandLabelHeight/2
	for i := len(labels) - 1; i >= 0; i-- {
		labels[i].at = math.Max(labels[i].at, ceiling)
		ceiling = labels[i].at + bandLabelHeight
	}
}

// plottedPlay is one of the two plays over the year: the line that it has, how
// its range is hatched, and what it is called.
type plottedPlay struct {
	code  string // for programs, and of its name
	of    func(*seasons.Point) *seasons.Play
	line  draw.Style
	hatch draw.Hatching
}

var (
	outermostPlay = plottedPlay{
		"outermost",
		func(o *seasons.Point) *seasons.Play { return &o.Outermost },
		draw.Style{Pen: 1},
		draw.Hatching{Degrees: 135, Gap: 1.8, Pen: 0.2, Ink: draw.Dark},
	}
	middlePlay = plottedPlay{
		"middle",
		func(o *seasons.Point) *seasons.Play { return &o.Middle },
		draw.Style{Pen: 0.8, Ink: draw.Blue, Dash: []float64{2.8, 1.4}},
		draw.Hatching{Degrees: 45, Gap: 1.8, Pen: 0.12, Ink: draw.Dark},
	}
	// middleEdge keeps the two curves apart where one lies on the other.
	middleEdge = draw.Style{Pen: 1.4, Ink: draw.White, Dash: middlePlay.line.Dash}
	rangeEdge  = draw.Style{Pen: 0.15, Ink: draw.Dark}
)

// curves draws both plays, stretch by stretch where the table has what they
// need, each with its range.
func (p *plot) curves() {
	for _, stretch := range stretches(p.points) {
		p.band(stretch, &middlePlay)
		p.band(stretch, &outermostPlay)
		p.curve(stretch, &outermostPlay, outermostPlay.line)
		p.curve(stretch, &middlePlay, middleEdge)
		p.curve(stretch, &middlePlay, middlePlay.line)
	}
}

// stretches are the points between those of which something is missing.
func stretches(points []seasons.Point) [][]seasons.Point {
	var all [][]seasons.Point
	start := 0
	for i := 0; i <= len(points); i++ {
		if i < len(points) && points[i].Missing == nil {
			continue
		}
		if i-start > 1 {
			all = append(all, points[start:i])
		}
		start = i + 1
	}
	return all
}

// curve draws what is to be seen of a play.
func (p *plot) curve(points []seasons.Point, of *plottedPlay, style draw.Style) {
	line := p.over(points, func(o *seasons.Point) length.Length { return of.of(o).Play })
	for _, part := range p.seen(line) {
		p.page.Draw(draw.Line(part...), style, "data-play", of.code)
	}
}

// band draws the 95 % range round a curve: hatched, and edged as far as that
// is to be seen.
func (p *plot) band(points []seasons.Point, of *plottedPlay) {
	high := p.over(points, func(o *seasons.Point) length.Length { return of.of(o).High })
	low := p.over(points, func(o *seasons.Point) length.Length { return of.of(o).Low })
	top, bottom := p.clamped(high), p.clamped(low)
	first, last := []draw.Point{top[0], bottom[0]}, []draw.Point{top[len(top)-1], bottom[len(bottom)-1]}
	slices.Reverse(bottom)
	area := draw.Line(append(top, bottom...)...)
	area.Closed = true
	p.page.Hatch(of.hatch, area)
	for _, end := range [][]draw.Point{high, low, first, last} {
		for _, part := range p.seen(end) {
			p.page.Draw(draw.Line(part...), rangeEdge, "data-range", of.code)
		}
	}
}

// over is a line over the year, with a point more wherever it crosses the
// plot's edge.
func (p *plot) over(points []seasons.Point, of func(*seasons.Point) length.Length) []draw.Point {
	var line []draw.Point
	for i := range points {
		next := draw.Point{X: p.x(points[i].Humidity), Y: p.y(of(&points[i]))}
		if i > 0 {
			line = p.appendCrossings(line, line[len(line)-1], next)
		}
		line = append(line, next)
	}
	return line
}

func (p *plot) appendCrossings(line []draw.Point, a, b draw.Point) []draw.Point {
	edges := [2]float64{p.top, plotBottom}
	if a.Y > b.Y {
		slices.Reverse(edges[:])
	}
	for _, edge := range edges {
		if (a.Y < edge) != (b.Y < edge) && a.Y != edge && b.Y != edge {
			share := (edge - a.Y) / (b.Y - a.Y)
			line = append(line, draw.Point{X: a.X + float64(share*(b.X-a.X)), Y: edge})
		}
	}
	return line
}

func (p *plot) within(at draw.Point) bool { return at.Y >= p.top && at.Y <= plotBottom }

// seen are the parts of a line that lie within the plot.
func (p *plot) seen(line []draw.Point) [][]draw.Point {
	var all [][]draw.Point
	start := 0
	for i := 0; i <= len(line); i++ {
		if i < len(line) && p.within(line[i]) {
			continue
		}
		if i-start > 1 {
			all = append(all, line[start:i])
		}
		start = i + 1
	}
	return all
}

// clamped is a line with what lies outside of the plot moved to its edge.
func (p *plot) clamped(line []draw.Point) []draw.Point {
	moved := slices.Clone(line)
	for i := range moved {
		moved[i].Y = math.Max(p.top, math.Min(plotBottom, moved[i].Y))
	}
	return moved
}
