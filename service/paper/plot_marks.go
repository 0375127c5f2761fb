package paper

import (
	"cmp"
	"slices"

	"snugtail/joint/seasons"
	"snugtail/service/answers"
	"snugtail/service/draw"
	"snugtail/service/message"
	"snugtail/service/say"
)

// mark is a line at a moisture, named above the plot.
type mark struct {
	x    float64
	text string
	cut  bool
	row  int
}

// beforeName is how far a mark's name stands from its line.
const beforeName = 1.2

// setMarks names the moistures at cutting and the climates, in rows above the
// plot, which begins below them.
func (p *plot) setMarks() {
	const below, gap = 23.6, 3.6 // below the heading
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
	add := func(percent float64, said message.Message, cut bool) {
		if x, seen := p.moistureAt(percent); seen {
			all = append(all, mark{x: x, text: p.said.Text(said), cut: cut})
		}
	}
	pin, tail := p.question.PinBoard.Moisture.Percent, p.question.TailBoard.Moisture.Percent
	if answers.Rounded(pin) == answers.Rounded(tail) {
		add(pin, say.PlotCut("boards", pin), true)
	} else {
		add(pin, say.PlotCut("pin_board", pin), true)
		add(tail, say.PlotCut("tail_board", tail), true)
	}
	for i := range p.year.Outcomes {
		o := &p.year.Outcomes[i]
		add(o.Climate.Moisture.Percent, p.said.Climate(i, o), false)
	}
	return all
}

// placeMark finds the lowest row in which the text, right of its line, covers
// no line or text of those that stand right of it and were placed before; its
// own line then meets only those left of it, which go higher. Where there is
// no room the line goes unnamed.
func placeMark(right []mark, m *mark) {
	m.text = shortened(m.text, smallText, plotSize-2-(m.x+beforeName))
	end := m.x + beforeName + draw.TextWidth(m.text, smallText, draw.Regular)
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

// shortened cuts a text to what fits, "" where not even its beginning does.
func shortened(text string, size, width float64) string {
	if draw.TextWidth(text, size, draw.Regular) <= width {
		return text
	}
	const least = 4 // letters that still mean something
	runes := []rune(text)
	for n := len(runes) - 1; n >= least; n-- {
		if short := string(runes[:n]) + "..."; draw.TextWidth(short, size, draw.Regular) <= width {
			return short
		}
	}
	return ""
}

func (p *plot) mark(m *mark) {
	style, top := draw.Style{Pen: 0.4, Dash: []float64{0.4, 1}}, p.top
	if m.cut {
		style.Dash = []float64{2.4, 0.8, 0.4, 0.8}
	}
	if m.text != "" {
		baseline := p.top - 2.8 - float64(m.row)*labelRow
		top = baseline - 3
		p.write(m.x+beforeName, baseline, smallText, m.text)
	}
	p.line(m.x, top, m.x, plotBottom, style)
}

// legend says what the lines are, and what the plot does not show.
func (p *plot) legend() {
	const first, apart, notes, notesApart = 197.6, 5.2, 208.4, 5.0
	for i, play := range []*plottedPlay{&outermostPlay, &middlePlay} {
		y := first + float64(i)*apart
		p.line(plotLeft, y-1.4, plotLeft+14, y-1.4, play.line)
		p.write(plotLeft+16.4, y, smallText, p.said.Text(say.Plot(play.code)))
		box := draw.Rect(plotLeft+60, y-3.6, 14, 4.2)
		p.page.Hatch(play.hatch, box)
		p.page.Draw(box, rangeEdge)
		p.write(plotLeft+76.4, y, smallText, p.said.Text(say.PlotRange()))
	}
	for i, note := range p.notes() {
		p.write(plotLeft, notes+float64(i)*notesApart, smallText, p.said.Text(note))
	}
}

// notes say what is not to be seen: the two weightiest, for which there is room.
func (p *plot) notes() []message.Message {
	var all []message.Message
	for i := range p.points {
		if lacks := p.points[i].Missing; lacks != nil {
			all = append(all, say.PlotMissing(lacks))
			break
		}
	}
	if beyond := say.PlotBeyond(p.leaves(&outermostPlay), p.leaves(&middlePlay)); beyond.Says() {
		all = append(all, beyond)
	}
	unnamed := 0
	for i := range p.marks {
		if p.marks[i].text == "" {
			unnamed++
		}
	}
	if unnamed > 0 {
		all = append(all, say.PlotUnnamed(unnamed))
	}
	return all[:min(len(all), 2)]
}

// leaves reports whether a curve runs on beyond the plot.
func (p *plot) leaves(of *plottedPlay) bool {
	return slices.ContainsFunc(p.points, func(o seasons.Point) bool {
		play := of.of(&o).Play.MM()
		return o.Missing == nil && (play < p.low || play > p.high)
	})
}
