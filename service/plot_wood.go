package service

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"

	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/joint/seasons"
	"snugtail/joint/wood"
)

// The plot of play over a year's humidity, made to be read on a kiosk's screen
// and printed in black and white.

// sweep is the year: from a heated room in frost to a damp summer.
var sweep = seasons.Sweep{TemperatureC: 21, From: 20, To: 85, Steps: 130}

// The drawing, in its own units: 1080 square.
const (
	plotSize                  = 1080
	plotLeft, plotRight       = 110.0, 872.0
	plotBottom                = 840.0
	moistureAxis              = 905.0
	labelRow, labelRows       = 26.0, 6
	smallText, text, headline = 18.0, 20.0, 32.0
	bandText                  = 17.0
)

// Judgement, mm: how far the plot follows the curves from the play as cut, how
// far it follows their ranges beyond the bands, and what it shows at least.
const (
	plotFollows       = 1.5
	plotFollowsRange  = 0.6
	plotBeyondTheBand = 0.12
)

// plotMovement draws what moveWood answers, over the year's humidity.
func plotMovement(_ context.Context, in *api.WoodMovementRequest) ([]byte, error) {
	m, err := solveMovement(in)
	if err != nil {
		return nil, err
	}
	year, err := m.question.Through(m.climates)
	if err != nil {
		return nil, fmt.Errorf("taking the joint through its climates: %w", err)
	}
	points, err := m.question.OverHumidity(sweep)
	if err != nil {
		return nil, fmt.Errorf("taking the joint through the year: %w", err)
	}
	p := &plot{movement: m, points: points, year: &year}
	p.setMarks()
	p.setScale()
	p.draw()
	return p.Bytes(), nil
}

// plot is the drawing and its scale: play from low to high, mm.
type plot struct {
	drawing
	*movement
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
	return plotLeft + float64((plotRight-plotLeft)*(humidity-sweep.From)/(sweep.To-sweep.From))
}

func (p *plot) y(play length.Length) float64 {
	share := (play.Rounded().MM() - p.low) / (p.high - p.low)
	return plotBottom - float64((plotBottom-p.top)*share)
}

func (p *plot) draw() {
	size := strconv.Itoa(plotSize)
	p.open("svg", "xmlns", "http://www.w3.org/2000/svg", "viewBox", "0 0 "+size+" "+size, "role", "img", "aria-labelledby", "title desc",
		"font-family", "DejaVu Sans, Verdana, Arial, sans-serif", "font-size", px(text), "fill", "#000")
	p.text("title", plotTitle, "id", "title")
	p.text("desc", p.movementSummary(p.year), "id", "desc")
	p.definitions()
	p.tag("rect", "width", size, "height", size, "fill", "#fff")
	p.text("text", plotTitle, "x", "40", "y", "52", "font-size", px(headline), "font-weight", "bold")
	p.text("text", p.plotBoard("pin board", &p.question.PinBoard), "x", "40", "y", "84")
	p.text("text", p.plotBoard("tail board", &p.question.TailBoard), "x", "40", "y", "111")
	p.bands()
	p.playAxis()
	p.humidityAxis()
	p.moistureAxis()
	p.curves()
	for i := range p.marks {
		p.mark(&p.marks[i])
	}
	p.legend()
	p.end("svg")
}

// definitions are the hatchings, which print in black and white, and the edge
// of the plot.
func (p *plot) definitions() {
	p.open("defs")
	for _, hatch := range []struct{ id, turn, width string }{{"outermost", "45", "1.4"}, {"middle", "-45", "0.9"}} {
		p.open("pattern", "id", hatch.id, "width", "9", "height", "9", "patternUnits", "userSpaceOnUse", "patternTransform", "rotate("+hatch.turn+")")
		p.tag("line", "x1", "0", "y1", "0", "x2", "0", "y2", "9", "stroke", "#000", "stroke-width", hatch.width)
		p.end("pattern")
	}
	p.open("clipPath", "id", "plot")
	p.rect(plotLeft, p.top, plotRight-plotLeft, plotBottom-p.top)
	p.end("clipPath")
	p.end("defs")
}

func (p *plot) rect(x, y, width, height float64, more ...string) {
	p.tag("rect", append([]string{"x", px(x), "y", px(y), "width", px(width), "height", px(height)}, more...)...)
}

func (p *plot) line(x1, y1, x2, y2 float64, more ...string) {
	if !slices.Contains(more, "stroke") {
		more = append(more, "stroke", "#000")
	}
	p.tag("line", append([]string{"x1", px(x1), "y1", px(y1), "x2", px(x2), "y2", px(y2)}, more...)...)
}

// shades are the darker, the less a joint is wanted there.
var shades = [...]string{
	joint.WillNotClose: "#c4c4c4", joint.Tight: "#e2e2e2", joint.HandFit: "#ffffff", joint.Loose: "#e2e2e2", joint.TooLoose: "#c4c4c4",
}

// bandLabel is a band's name and range, and where they stand.
type bandLabel struct {
	band       joint.Band
	from, to   length.Length
	at, middle float64 // of the label, and of what is seen of the band
}

const bandLabelHeight = 46.0

// bands shades the bands and names them beside the plot.
func (p *plot) bands() {
	limits := p.bandLimits()
	var labels []bandLabel
	for band, shade := range shades {
		from, to := limits[band], limits[band+1]
		top, bottom := p.y(length.Length(math.Min(to.MM(), p.high))), p.y(length.Length(math.Max(from.MM(), p.low)))
		if bottom-top <= 0 {
			continue
		}
		p.rect(plotLeft, top, plotRight-plotLeft, bottom-top, "fill", shade)
		if band > 0 {
			p.line(plotLeft, bottom, plotRight+8, bottom, "stroke", "#555", "stroke-width", "1", "stroke-dasharray", "3 4")
		}
		middle := (top + bottom) / 2
		labels = append(labels, bandLabel{joint.Band(band), from, to, middle, middle})
	}
	spread(labels, p.top)
	for _, l := range labels {
		p.line(plotRight+2, l.middle, plotRight+14, l.at, "stroke", "#555", "stroke-width", "1")
		x := px(plotRight + 20)
		p.text("text", bandLabels[l.band], "x", x, "y", px(l.at-3), "font-size", px(smallText), "font-weight", bandWeight(l.band))
		p.text("text", p.bandRange(l.from, l.to), "x", x, "y", px(l.at+bandText), "font-size", px(bandText))
	}
}

func bandWeight(b joint.Band) string {
	if b == joint.HandFit {
		return "bold"
	}
	return "normal"
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
func spread(labels []bandLabel, top float64) {
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

func (p *plot) playAxis() {
	unit := length.Millimetre
	if p.unit == length.UnitInch {
		unit = length.Inch
	}
	low, high := p.low/unit.MM(), p.high/unit.MM()
	step, decimals := tickStep(high - low)
	for n := math.Ceil(low / step); n*step <= high; n++ {
		y := p.y(length.Length(n*step) * unit)
		p.line(plotLeft-8, y, plotLeft, y, "stroke-width", "2")
		p.text("text", strconv.FormatFloat(n*step+0, 'f', decimals, 64), "x", px(plotLeft-12), "y", px(y+6), "font-size", px(smallText), "text-anchor", "end")
	}
	zero := p.y(0)
	p.line(plotLeft, zero, plotRight, zero, "stroke-width", "1.5")
	p.rect(plotLeft, p.top, plotRight-plotLeft, plotBottom-p.top, "fill", "none", "stroke", "#000", "stroke-width", "2")
	middle := (p.top + plotBottom) / 2
	p.text("text", p.plotPlay(), "x", "30", "y", px(middle), "text-anchor", "middle", "transform", "rotate(-90 30 "+px(middle)+")")
}

// tickStep is the least of 1, 2 or 5 times a power of ten that makes at most a
// dozen steps, and the decimals that it needs.
func tickStep(span float64) (step float64, decimals int) {
	const most = 12
	power := int(math.Floor(math.Log10(span / most)))
	for _, times := range []float64{1, 2, 5, 10} {
		step = times * math.Pow(10, float64(power))
		if times == 10 {
			power++
		}
		if span/step <= most {
			break
		}
	}
	return step, max(0, -power)
}

func (p *plot) humidityAxis() {
	for h := sweep.From; h <= sweep.To; h += 10 {
		x := p.x(h)
		p.line(x, plotBottom, x, plotBottom+8, "stroke-width", "2")
		p.text("text", strconv.FormatFloat(h, 'f', 0, 64), "x", px(x), "y", px(plotBottom+27), "font-size", px(smallText), "text-anchor", "middle")
	}
	p.text("text", plotHumidity, "x", px((plotLeft+plotRight)/2), "y", px(plotBottom+52), "text-anchor", "middle")
}

// moistureAxis says which moisture the wood takes on, below the humidity.
func (p *plot) moistureAxis() {
	p.line(plotLeft, moistureAxis, plotRight, moistureAxis, "stroke-width", "2")
	for moisture := 2.0; moisture <= wood.FiberSaturation; moisture += 2 {
		x, seen := p.moistureAt(moisture)
		if !seen {
			continue
		}
		p.line(x, moistureAxis, x, moistureAxis+8, "stroke-width", "2")
		p.text("text", strconv.FormatFloat(moisture, 'f', 0, 64), "x", px(x), "y", px(moistureAxis+26), "font-size", px(smallText), "text-anchor", "middle")
	}
	p.text("text", plotMoisture, "x", px((plotLeft+plotRight)/2), "y", px(moistureAxis+51), "text-anchor", "middle")
}

// moistureAt is where a moisture content stands; seen is false beside the plot.
func (p *plot) moistureAt(percent float64) (x float64, seen bool) {
	humidity, ok := seasons.HumidityOf(percent, sweep.TemperatureC)
	if !ok || humidity < sweep.From || humidity > sweep.To {
		return 0, false
	}
	return p.x(humidity), true
}

// curves draws both plays, stretch by stretch where the table has what they
// need, each with its range.
func (p *plot) curves() {
	p.open("g", "clip-path", "url(#plot)", "stroke-linejoin", "round")
	for _, stretch := range stretches(p.points) {
		p.band(stretch, "middle", middlePlay)
		p.band(stretch, "outermost", outermostPlay)
		p.curve(stretch, outermostLine, outermostPlay)
		p.curve(stretch, middleEdge, middlePlay)
		p.curve(stretch, middleLine, middlePlay)
	}
	p.end("g")
}

func middlePlay(o *seasons.Point) *seasons.Play    { return &o.Middle }
func outermostPlay(o *seasons.Point) *seasons.Play { return &o.Outermost }

var (
	outermostLine = attrs{"stroke", "#000", "stroke-width", "5"}
	middleLine    = attrs{"stroke", "#0b3d91", "stroke-width", "4", "stroke-dasharray", "14 7"}
	// middleEdge keeps the two curves apart where one lies on the other.
	middleEdge = attrs{"stroke", "#fff", "stroke-width", "7", "stroke-dasharray", "14 7"}
)

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

func (p *plot) curve(points []seasons.Point, line attrs, of func(*seasons.Point) *seasons.Play) {
	var path []byte
	for i := range points {
		path = p.appendPoint(path, points[i].Humidity, of(&points[i]).Play)
	}
	p.tag("polyline", append(attrs{"points", string(path), "fill", "none"}, line...)...)
}

// band draws the 95 % range round a curve.
func (p *plot) band(points []seasons.Point, hatch string, of func(*seasons.Point) *seasons.Play) {
	var path []byte
	for i := range points {
		path = p.appendPoint(path, points[i].Humidity, of(&points[i]).High)
	}
	for i := len(points) - 1; i >= 0; i-- {
		path = p.appendPoint(path, points[i].Humidity, of(&points[i]).Low)
	}
	p.tag("polygon", "points", string(path), "fill", "url(#"+hatch+")", "fill-opacity", "0.45", "stroke", "#000", "stroke-width", "1", "stroke-opacity", "0.6")
}

// appendPoint keeps what is far out of the plot within a finite drawing.
func (p *plot) appendPoint(path []byte, humidity float64, play length.Length) []byte {
	if len(path) > 0 {
		path = append(path, ' ')
	}
	y := math.Max(-plotSize, math.Min(2*plotSize, p.y(play)))
	return append(append(append(path, px(p.x(humidity))...), ','), px(y)...)
}

// mark is a line at a moisture, named above the plot.
type mark struct {
	x    float64
	text string
	cut  bool
	row  int
}

// setMarks names the moistures at cutting and the climates, in rows above the
// plot, which begins below them.
func (p *plot) setMarks() {
	const below, gap = 118.0, 18.0 // below the heading
	p.marks = p.allMarks()
	slices.SortStableFunc(p.marks, func(a, b mark) int { return cmp.Compare(b.x, a.x) })
	rows := 0
	for i := range p.marks {
		placeMark(p.marks[:i], &p.marks[i])
		if p.marks[i].text != "" {
			rows = max(rows, p.marks[i].row+1)
		}
	}
	p.top = below + gap + float64(rows)*labelRow
}

func (p *plot) allMarks() []mark {
	var all []mark
	add := func(percent float64, text string, cut bool) {
		if x, seen := p.moistureAt(percent); seen {
			all = append(all, mark{x: x, text: text, cut: cut})
		}
	}
	pin, tail := p.question.PinBoard.Moisture.Percent, p.question.TailBoard.Moisture.Percent
	if rounded(pin) == rounded(tail) {
		add(pin, plotCut("boards", pin), true)
	} else {
		add(pin, plotCut("pin board", pin), true)
		add(tail, plotCut("tail board", tail), true)
	}
	for i := range p.year.Outcomes {
		o := &p.year.Outcomes[i]
		add(o.Climate.Moisture.Percent, p.climate(i, o), false)
	}
	return all
}

// placeMark finds the lowest row in which the text, right of its line, covers
// no line or text of those that stand right of it and were placed before; its
// own line then meets only those left of it, which go higher. Where there is
// no room the line goes unnamed.
func placeMark(right []mark, m *mark) {
	m.text = shortened(m.text, smallText, plotSize-10-(m.x+6))
	end := m.x + 6 + textWidth(m.text, smallText)
	for _, other := range right {
		if other.text != "" && other.x < end {
			m.row = max(m.row, other.row+1)
		}
	}
	if m.row >= labelRows {
		m.text = ""
	}
	if m.text == "" {
		m.row = 0
	}
}

func (p *plot) mark(m *mark) {
	dash, top := "2 5", p.top
	if m.cut {
		dash = "12 4 2 4"
	}
	if m.text != "" {
		baseline := p.top - 14 - float64(m.row)*labelRow
		top = baseline - 15
		p.text("text", m.text, "x", px(m.x+6), "y", px(baseline), "font-size", px(smallText))
	}
	p.line(m.x, top, m.x, plotBottom, "stroke-width", "2", "stroke-dasharray", dash)
}

// legend says what the lines are, and what the plot does not show.
func (p *plot) legend() {
	const first, second, third, apart = 988.0, 1014.0, 1042.0, 25.0
	for _, row := range []struct {
		y     float64
		line  attrs
		hatch string
		name  string
	}{{first, outermostLine, "outermost", plotOutermost}, {second, middleLine, "middle", plotMiddle}} {
		p.line(plotLeft, row.y-7, plotLeft+70, row.y-7, row.line...)
		p.text("text", row.name, "x", px(plotLeft+82), "y", px(row.y), "font-size", px(smallText))
		p.rect(plotLeft+300, row.y-19, 70, 22, "fill", "url(#"+row.hatch+")", "fill-opacity", "0.45", "stroke", "#000", "stroke-width", "1", "stroke-opacity", "0.6")
		p.text("text", plotRange, "x", px(plotLeft+382), "y", px(row.y), "font-size", px(smallText))
	}
	for i, note := range p.notes() {
		p.text("text", note, "x", px(plotLeft), "y", px(third+float64(i)*apart), "font-size", px(smallText))
	}
}

// notes say what is not to be seen: the two weightiest, for which there is room.
func (p *plot) notes() []string {
	var all []string
	for i := range p.points {
		if lacks := p.points[i].Missing; lacks != nil {
			all = append(all, plotMissing(lacks))
			break
		}
	}
	all = append(all, plotBeyond(p.leaves(outermostPlay), p.leaves(middlePlay))...)
	unnamed := 0
	for i := range p.marks {
		if p.marks[i].text == "" {
			unnamed++
		}
	}
	if unnamed > 0 {
		all = append(all, plotUnnamed(unnamed))
	}
	return all[:min(len(all), 2)]
}

// leaves reports whether a curve runs on beyond the plot.
func (p *plot) leaves(of func(*seasons.Point) *seasons.Play) bool {
	return slices.ContainsFunc(p.points, func(o seasons.Point) bool {
		play := of(&o).Play.MM()
		return o.Missing == nil && (play < p.low || play > p.high)
	})
}
