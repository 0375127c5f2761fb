package paper

import (
	"fmt"
	"math"
	"strconv"

	"snugtail/joint/length"
	shapes "snugtail/joint/shape"
	"snugtail/service/draw"
	"snugtail/service/say"
)

// The page for the bench as a drawing: words in two columns, the joint at 1:1
// with a ruler and the corners, and lines to write on as far as there is room.

// Sizes of the page's texts, mm: the largest at which everything fits is
// taken. At the smallest all that a request can say fits; a test holds it to that.
const (
	sheetLargest, sheetSmallest = 3.2, 1.7
	sheetStep                   = 0.1
	columnsApart                = 6.0
	// Lines to write on.
	leastLines, mostLines = 3, 8
	lineHeight            = 7.0
	// The window in which the joint is drawn at 1:1.
	windowWidth, windowHeight = 112.0, 34.0
	mostPitches               = 5
)

func (b *Sheet) Page(paper string) *draw.Page {
	size := paperSizes[paper]
	for text := sheetLargest; ; text -= sheetStep {
		p := &draw.Page{Name: named(b.ID, "sheet"), Width: size[0], Height: size[1], Lang: b.Language, Title: b.title, Desc: b.summary}
		l := sheetLayout{Sheet: b, p: p, size: text, left: paperMargin, right: size[0] - paperMargin}
		room := size[1] - paperMargin - l.write()
		if b.chart != nil && (room >= leastChart || text < sheetSmallest) {
			l.chartToFill(min(room, mostChart))
			return p
		}
		if b.chart == nil && (room >= leastLines*lineHeight || text < sheetSmallest) {
			l.lines(min(mostLines, int(room/lineHeight)))
			return p
		}
	}
}

// sheetLayout is the page in the making.
type sheetLayout struct {
	*Sheet
	p           *draw.Page
	size        float64
	left, right float64
	y           float64
}

// write writes everything but the lines to write on, and returns where it ends.
func (l *sheetLayout) write() float64 {
	l.y = paperMargin
	l.head()
	l.columns(0.5, l.settingsColumn, l.stepsColumn)
	l.y += l.size
	l.drawings()
	l.y += l.size
	l.columns(0.6, l.cautionsColumn, l.keepColumn)
	l.y += 0.5 * l.size
	if l.Sheet.chart != nil {
		return l.chartHead()
	}
	return l.writtenHead()
}

func (l *sheetLayout) flow(left, right float64) *draw.Flow {
	return &draw.Flow{Page: l.p, X: left, Y: l.y, Width: right - left, Size: l.size}
}

func (l *sheetLayout) head() {
	f := l.flow(l.left, l.right)
	f.Size = 1.6 * l.size
	f.Part(draw.Title, l.Sheet.title, draw.Bold)
	f.Size = l.size
	f.Text(l.summary, draw.Regular)
	if lacking := l.lacking(); len(lacking) > 0 {
		f.Text(l.Words.Text(say.LettersLacking(lacking)), draw.Regular)
	}
	for _, c := range l.before() {
		f.Skip(0.3)
		f.Size = 1.1 * l.size
		f.Text(c.Text, draw.Bold)
		f.Size = l.size
	}
	l.y = f.Y + 0.6*l.size
	l.rule(l.y)
	l.y += 0.6 * l.size
}

func (l *sheetLayout) rule(y float64) {
	l.p.Draw(draw.Line(draw.Point{X: l.left, Y: y}, draw.Point{X: l.right, Y: y}), draw.Style{Pen: draw.Thin})
}

// columns writes two columns side by side, the left one with its share of the width.
func (l *sheetLayout) columns(share float64, left, right func(*draw.Flow)) {
	middle := l.left + share*(l.right-l.left)
	a, b := l.flow(l.left, middle-columnsApart/2), l.flow(middle+columnsApart/2, l.right)
	left(a)
	right(b)
	l.y = math.Max(a.Y, b.Y)
}

func heading(f *draw.Flow, text string) {
	f.Size *= 1.1
	f.Part(draw.Heading, text, draw.Bold)
	f.Size /= 1.1
}

func (l *sheetLayout) settingsColumn(f *draw.Flow) {
	const names = 11.5 // in sizes of the text
	heading(f, l.said("settings"))
	f.Together(draw.Table, func() {
		for _, row := range l.settings {
			f.Row(row.name, row.value, names*l.size, draw.Regular)
		}
		f.Skip(0.2)
		for i, row := range l.Sheet.depth {
			if i == 0 { // the depth itself
				f.Size = 1.2 * l.size
			}
			f.Row(row.name, row.value, names*l.size, draw.Bold)
			f.Size = l.size
		}
		f.Skip(0.2)
		for _, row := range l.Sheet.expected {
			f.Row(row.name, row.value, names*l.size, draw.Regular)
		}
	})
	f.Skip(0.6)
	heading(f, l.said("depth"))
	f.Text(l.said("depth_how"), draw.Regular)
}

func (l *sheetLayout) stepsColumn(f *draw.Flow) {
	heading(f, l.said("steps"))
	f.Together(draw.List, func() {
		for i, step := range l.steps {
			f.Hang(1.1*l.size, fmt.Sprintf("%d. %s", i+1, step), draw.Regular)
			f.Skip(0.15)
		}
	})
	f.Skip(0.5)
	heading(f, l.said("template"))
	f.Text(l.template, draw.Regular)
}

func (l *sheetLayout) cautionsColumn(f *draw.Flow) {
	heading(f, l.said("cautions"))
	f.Together(draw.List, func() {
		for _, c := range l.others() {
			f.Hang(0.65*l.size, "- "+c.Text, draw.Regular)
		}
	})
}

func (l *sheetLayout) keepColumn(f *draw.Flow) {
	if len(l.keep)+len(l.link) > 0 {
		heading(f, l.said("keep"))
	}
	if len(l.keep) > 0 {
		f.Together(draw.List, func() {
			for _, line := range l.keep {
				f.Hang(0.65*l.size, "- "+line, draw.Regular)
			}
		})
	}
	l.scanned(f)
}

// scanned draws the link as a QR code, what it is beside it.
func (l *sheetLayout) scanned(f *draw.Flow) {
	const side = 30.0
	if l.link == "" {
		return
	}
	l.p.Group("id", l.p.Name+"-qr")
	err := drawQR(l.p, l.link, draw.Box{Left: f.X, Top: f.Y, Right: f.X + side, Bottom: f.Y + side})
	l.p.EndGroup()
	text := l.said("scan")
	if err != nil { // a link as long as the contract takes always fits
		text = l.link
	}
	beside := &draw.Flow{Page: l.p, X: f.X + side + 1, Y: f.Y + 4, Width: f.Width - side - 1, Size: l.size}
	beside.Text(text, draw.Regular)
	f.Y = math.Max(f.Y+side, beside.Y)
}

// drawings draws the joint at 1:1 and its ruler on the left, the corners on
// the right.
func (l *sheetLayout) drawings() {
	const corners = 62.0
	box := draw.Box{Left: l.left, Top: l.y, Right: l.right - corners - columnsApart}
	figure := l.figure(windowWidth)
	if excess := figure.WidthAt(1) - box.Width(); excess > 0 {
		figure = l.figure(windowWidth - excess)
	}
	taken := figure.FitAt(l.p, box, 1)
	bottom := l.ruler(taken.Bottom + 1)
	l.y = math.Max(bottom, l.drawCorners(l.right-corners, l.y, corners))
}

// figure is as much of the joint as a window of that width shows at 1:1.
func (l *sheetLayout) figure(width float64) *draw.Figure {
	setup := l.joint.Setup()
	pitches := setup.Tails()
	if pitches == 0 || pitches > mostPitches {
		pitches = mostPitches
	}
	e := shapes.EndOf(&l.joint, shapes.Window(&l.joint, pitches, width, windowHeight))
	d := drawnJoint{Words: l.Words, size: 0.9 * l.size}
	caption := "joint"
	if l.notYet() {
		caption = "joint_not_yet"
	}
	f := d.figure("end-view", l.said(caption), &e.View)
	for i := range e.Dimensions {
		if !l.notYet() { // a depth that stands there would be set
			d.add(f, &e.Dimensions[i], sheetSides)
		}
	}
	if e.Schematic {
		f.Notes = append(f.Notes, d.drawn("note", "widths_unknown"))
	}
	return f
}

// sheetSides: only what is checked with a rule laid on the page.
var sheetSides = map[shapes.Measure]draw.Side{
	shapes.Depth: draw.RightOf, shapes.DepthPinBoard: draw.RightOf, shapes.Lap: draw.RightOf, shapes.DepthTailBoard: draw.LeftOf,
}

// Of the ruler: how far its longest marks reach, and its figures' size as a share
// of the text's.
const (
	rulerTall    = 3.0
	rulerFigures = 0.8
)

// ruler draws a rule that shows whether the print is to scale: inches above its
// line, millimetres below.
func (l *sheetLayout) ruler(y float64) (bottom float64) {
	f := l.flow(l.left, l.left+windowWidth+4)
	f.Y = y
	said := l.Words.Text(say.SheetRuler())
	f.Text(said, draw.Regular)
	figures := rulerFigures * l.size
	base := f.Y + draw.Ascent*figures + 0.4 + rulerTall
	l.p.Begin(draw.Picture, said)
	l.scale("in", base, -1, length.Inch/16, 16*say.RulerInches, []int{16, 8, 4, 2, 1})
	l.scale("mm", base, 1, length.Millimetre, say.RulerMM, []int{10, 5, 1})
	l.p.End()
	return base + rulerTall + 0.4 + (draw.Ascent+draw.Descent)*figures
}

// scale draws a length with its divisions, longer ones for the coarser, which have
// figures: below its line where way is 1, above where it is -1.
func (l *sheetLayout) scale(name string, y, way float64, step length.Length, count int, marks []int) {
	x, figures := l.left, rulerFigures*l.size
	l.p.Group("id", l.p.Name+"-ruler-"+name, "data-ruler", (length.Length(count) * step).Text(rulerUnits[name].unit))
	l.p.Draw(draw.Line(draw.Point{X: x, Y: y}, draw.Point{X: x + float64(count)*step.MM(), Y: y}), draw.Style{Pen: draw.Thin})
	under := y - rulerTall - 0.4
	if way > 0 {
		under = y + rulerTall + 0.4 + draw.Ascent*figures
	}
	for i := range count + 1 {
		tall := way * rulerTall
		for _, every := range marks {
			if i%every == 0 {
				break
			}
			tall *= 0.75
		}
		at := x + float64(float64(i)*step.MM())
		l.p.Draw(draw.Line(draw.Point{X: at, Y: y}, draw.Point{X: at, Y: y + tall}), draw.Style{Pen: draw.Hair})
		if i%marks[0] == 0 {
			l.figureAt(i/marks[0]*rulerUnits[name].figures, at, under, figures)
		}
	}
	l.p.EndGroup()
	l.p.Write(draw.Text{At: draw.Point{X: x + float64(count)*step.MM() + 3, Y: under}, Size: figures, Text: l.Words.Text(say.Drawing("unit", name))})
}

// rulerUnits are the units of the ruler's sides, and how many lie between two figures.
var rulerUnits = map[string]struct {
	unit    length.Unit
	figures int
}{"in": {length.UnitInch, 1}, "mm": {length.UnitMillimetre, 10}}

// figureAt writes a figure of the ruler; the first one begins at its mark.
func (l *sheetLayout) figureAt(n int, x, y, size float64) {
	t := draw.Text{At: draw.Point{X: x, Y: y}, Size: size, Anchor: draw.Middle, Text: strconv.Itoa(n)}
	if n == 0 {
		t.Anchor = draw.Start
	}
	l.p.Write(t)
}

// writtenHead writes the head of the lines to write on.
func (l *sheetLayout) writtenHead() float64 {
	f := l.flow(l.left, l.right)
	heading(f, l.said("notes"))
	y := f.Y - 0.4*l.size
	l.toFill(l.said("date"), l.left+0.45*(l.right-l.left), l.left+0.7*(l.right-l.left), y)
	l.toFill(l.said("who"), l.left+0.72*(l.right-l.left), l.right, y)
	f.Skip(0.2)
	cell := (l.right - l.left) / float64(len(say.SheetColumns))
	l.rule(f.Y)
	for i, name := range say.SheetColumns {
		l.p.Write(draw.Text{At: draw.Point{X: l.left + float64(i)*cell + 1, Y: f.Y + l.size}, Size: 0.8 * l.size, Text: l.said("column." + name)})
	}
	l.y = f.Y + 1.3*l.size
	l.rule(l.y)
	return l.y
}

// toFill writes what is to be filled in, and draws a line for it.
func (l *sheetLayout) toFill(name string, from, to, y float64) {
	l.p.Begin(draw.Paragraph, "")
	l.p.Write(draw.Text{At: draw.Point{X: from, Y: y}, Size: l.size, Text: name})
	l.p.End()
	from += draw.TextWidth(name+" ", l.size, draw.Regular)
	l.p.Draw(draw.Line(draw.Point{X: from, Y: y + 0.3}, draw.Point{X: to, Y: y + 0.3}), draw.Style{Pen: draw.Hair})
}

// lines are what is written on.
func (l *sheetLayout) lines(n int) {
	cell := (l.right - l.left) / float64(len(say.SheetColumns))
	bottom := l.y + float64(n)*lineHeight
	for i := 1; i <= n; i++ {
		l.rule(l.y + float64(i)*lineHeight)
	}
	for i := range len(say.SheetColumns) + 1 {
		x := l.left + float64(i)*cell
		l.p.Draw(draw.Line(draw.Point{X: x, Y: l.y - 1.3*l.size}, draw.Point{X: x, Y: bottom}), draw.Style{Pen: draw.Hair})
	}
}
