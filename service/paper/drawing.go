// Package paper lays out what is drawn or printed: the joint to scale, the page
// for the bench, the plot of play over the year. Where words stand it takes them
// from package say; package draw writes the pages.
package paper

import (
	"cmp"
	"slices"
	"strings"

	"snugtail/joint"
	"snugtail/joint/layout"
	shapes "snugtail/joint/shape"
	"snugtail/service/codes"
	"snugtail/service/draw"
	"snugtail/service/message"
	"snugtail/service/say"
)

// paperSizes are the papers, upright, mm: ISO 216 and ANSI.
var paperSizes = map[string][2]float64{"": {210, 297}, "a4": {210, 297}, "letter": {215.9, 279.4}}

// Distances on paper, mm.
const (
	paperMargin = 9.0
	figureGap   = 4.0
	smallPrint  = 2.8
	largePrint  = 4.2
)

// drawnJoint is a joint with what its drawings need.
type drawnJoint struct {
	say.Words
	p      *joint.Prediction
	factor float64 // how many times as large as it is play is drawn where that is to be seen
	size   float64 // of the texts
	// thirdAngle puts the plan above the end view, as where paper is measured in
	// inches; first angle puts it below.
	thirdAngle bool
}

// views are the views by their names, in the order in which they are drawn.
var views = []string{cornerView, "end_view", "plan", "cutter"}

// cornerView is the corner of a drawer, drawn only of boards of a known width.
const cornerView = "corner"

// Drawing is what is to be drawn of a joint.
type Drawing struct {
	ID           string // ids within it begin with it; "" adds nothing
	Job          string
	Paper        string   // a4 or letter; "" takes a4
	Views        []string // none takes all
	Exaggeration *float64 // of the play; nil takes what shows it
	// Layout of the drawer's boards; nil where their width is not asked about.
	Layout *layout.Layout
	// Bare leaves the title block out, of what is no sheet of paper.
	Bare bool
}

// asked are the views that are asked for; left out, the corner of boards whose width
// is known, or else all others.
func (of *Drawing) asked() []string {
	switch {
	case len(of.Views) > 0:
		return of.Views
	case of.Layout != nil:
		return []string{cornerView}
	}
	return views[1:]
}

// Page draws the views that are asked for on one page that lies on its side.
func (of *Drawing) Page(w say.Words, predicted *joint.Prediction) *draw.Page {
	d := drawnJoint{Words: w, p: predicted, factor: shapes.FactorToSee(&predicted.Joint), thirdAngle: of.Paper == "letter"}
	if of.Exaggeration != nil {
		d.factor = *of.Exaggeration
	}
	paper := paperSizes[of.Paper]
	p := &draw.Page{
		Name: named(of.ID, "joint"), Width: paper[1], Height: paper[0], Lang: d.Language,
		Title: d.Text(say.DrawingTitle(of.Job)), Desc: d.Text(say.DrawingDesc(d.p)),
	}
	asked := of.asked()
	wanted := slices.DeleteFunc(slices.Clone(views), func(v string) bool { return !slices.Contains(asked, v) })
	d.size = smallPrint
	if len(wanted) == 1 {
		d.size = largePrint
	}
	area := draw.Box{Left: paperMargin, Top: paperMargin, Right: p.Width - paperMargin, Bottom: p.Height - paperMargin}
	area.Top = d.heading(p, area, of.Bare)
	whole := area
	if !of.Bare {
		area.Bottom -= blockHeight + figureGap/2
	}
	scale := d.drawViews(p, wanted, of.Layout, area)
	if !of.Bare {
		d.titleBlock(p, whole, scale)
	}
	return p
}

// drawViews draws the views and returns the scale of the first.
func (d *drawnJoint) drawViews(p *draw.Page, wanted []string, l *layout.Layout, area draw.Box) (scale string) {
	if wanted[0] == cornerView {
		upper := area
		if wanted = wanted[1:]; len(wanted) > 0 {
			upper.Bottom = area.Top + cornerShare*area.Height()
			area.Top = upper.Bottom + figureGap
		}
		scale = d.corner(p, l, upper)
	}
	if len(wanted) == 0 {
		return scale
	}
	if len(wanted) == 1 && wanted[0] != "end_view" || scale != "" {
		for i, box := range cells(wanted, area) {
			scale = cmp.Or(scale, d.view(p, wanted[i], box))
		}
		return scale
	}
	return cmp.Or(scale, d.projected(p, wanted, area))
}

// cornerShare is the share of the page that the corner takes above other views,
// projectedShare what the views in projection take beside the others, aloneShare
// the end view beside its play drawn larger.
const (
	cornerShare    = 0.5
	projectedShare = 0.6
	aloneShare     = 0.66
)

// heading writes what the joint is, and above it the title where no title block
// has it.
func (d *drawnJoint) heading(p *draw.Page, area draw.Box, title bool) (below float64) {
	flow := draw.Flow{Page: p, X: area.Left, Y: area.Top, Width: area.Width(), Size: 4.6}
	if title {
		flow.Part(draw.Title, p.Title, draw.Bold)
	}
	flow.Size = 3
	flow.Text(p.Desc+" "+d.Text(d.SizesIn()), draw.Regular)
	return flow.Y + figureGap/2
}

// cells divide the page below a corner, or for one view: side by side.
func cells(wanted []string, area draw.Box) []draw.Box {
	wide := (area.Width() + figureGap) / float64(len(wanted))
	boxes := make([]draw.Box, len(wanted))
	for i := range boxes {
		boxes[i] = area
		boxes[i].Left = area.Left + float64(i)*wide
		boxes[i].Right = boxes[i].Left + wide - figureGap
	}
	return boxes
}

// view draws one view by itself, and returns its scale.
func (d *drawnJoint) view(p *draw.Page, name string, box draw.Box) (scale string) {
	switch name {
	case "end_view":
		return d.alone(p, d.end(), box)
	case "plan":
		if plan := d.plan(); plan != nil {
			return d.alone(p, plan, box)
		}
		d.nothing(p, box, "plan", d.drawn("view", "plan"), d.drawn("note", "plan_unknown"))
		return ""
	}
	return d.alone(p, d.tool(), box)
}

func (d *drawnJoint) alone(p *draw.Page, f *draw.Figure, box draw.Box) (scale string) {
	drawn, _ := f.Fit(p, box)
	return d.scaleText(drawn)
}

// projected draws end view and plan in projection, at one scale: the plan below
// the end view in first angle, above it in third; beside them one tail with its
// play drawn larger, where that shows more, and the cutter.
func (d *drawnJoint) projected(p *draw.Page, wanted []string, area draw.Box) (scale string) {
	left, beside := d.projectedFigures(p, wanted, &area), d.besides(wanted)
	main := area
	if len(beside) > 0 {
		share := projectedShare
		if len(wanted) == 1 {
			share = aloneShare
		}
		main.Right = area.Left + share*area.Width()
	}
	if len(left) > 0 {
		drawn, _ := draw.Aligned(p, main, left...)
		scale = d.scaleText(drawn)
	}
	high := (area.Height() + figureGap) / float64(max(1, len(beside)))
	for i, f := range beside {
		box := area
		box.Left = main.Right + figureGap
		box.Top = area.Top + float64(i)*high
		box.Bottom = box.Top + high - figureGap
		drawn := d.alone(p, f, box)
		scale = cmp.Or(scale, drawn)
	}
	return scale
}

// projectedFigures are end view and plan, as far as they are wanted and known; of
// a plan that is not, the foot of the page says so.
func (d *drawnJoint) projectedFigures(p *draw.Page, wanted []string, area *draw.Box) []*draw.Figure {
	var all []*draw.Figure
	if slices.Contains(wanted, "end_view") {
		all = append(all, d.end())
	}
	if !slices.Contains(wanted, "plan") {
		return all
	}
	plan := d.plan()
	if plan == nil {
		const room = 12.0
		area.Bottom -= room
		d.nothing(p, draw.Box{Left: area.Left, Top: area.Bottom, Right: area.Right, Bottom: area.Bottom + room}, "plan", d.drawn("view", "plan"), d.drawn("note", "plan_unknown"))
		return all
	}
	if all = append(all, plan); d.thirdAngle {
		slices.Reverse(all)
	}
	return all
}

// besides are the figures that stand beside those in projection.
func (d *drawnJoint) besides(wanted []string) []*draw.Figure {
	var all []*draw.Figure
	if slices.Contains(wanted, "end_view") {
		if larger := d.larger(); larger != nil {
			all = append(all, larger)
		}
	}
	if slices.Contains(wanted, "cutter") {
		all = append(all, d.tool())
	}
	return all
}

func (d *drawnJoint) figure(name, caption string, view *shapes.View) *draw.Figure {
	return &draw.Figure{Name: name, Caption: caption, View: view, Looks: looks, TextSize: d.size, ScaleText: d.scaleText}
}

// scaleText writes a scale in the language of the page.
func (d *drawnJoint) scaleText(scale float64) string {
	return strings.ReplaceAll(draw.ScaleText(scale), ".", d.Of("figure.comma"))
}

// drawn is a text of the drawing that names nothing.
func (d *drawnJoint) drawn(what, code string) string { return d.Text(say.Drawing(what, code)) }

// lines are those of what a dimension says.
func (d *drawnJoint) lines(m message.Message) []string { return strings.Split(d.Text(m), "\n") }

// oneLine joins them above and below a figure.
func oneLine(lines []string) string { return strings.Join(lines, " ") }

// end is the end view, two pitches of it.
func (d *drawnJoint) end() *draw.Figure {
	e := shapes.EndOf(&d.p.Joint, shapes.Pitches(&d.p.Joint, 2))
	f := d.figure("end-view", d.drawn("view", "end_view"), &e.View)
	for i := range e.Dimensions {
		d.add(f, &e.Dimensions[i], endSides)
	}
	for i := range f.Dims { // there is more room to the sides than in height
		f.Dims[i].Lines = []string{oneLine(f.Dims[i].Lines)}
	}
	d.names(f, draw.LeftOf)
	if e.Schematic {
		f.Notes = append(f.Notes, d.drawn("note", "widths_unknown"))
	}
	if d.p.Fit.Play < 0 {
		f.Notes = append(f.Notes, d.drawn("note", "overlap"))
	}
	if e.Factor != 1 {
		f.Notes = append(f.Notes, d.Text(say.FactorDrawn(1, e.Factor)))
	}
	return f
}

// larger is one tail with its play drawn larger; nil where that is as it is.
func (d *drawnJoint) larger() *draw.Figure {
	frame := shapes.OneTail(&d.p.Joint)
	frame.Factor = d.factor
	e := shapes.EndOf(&d.p.Joint, frame)
	if d.factor == 1 || d.p.Fit.Play.Rounded() == 0 {
		return nil
	}
	f := d.figure("play-larger", d.drawn("view", "play_larger"), &e.View)
	for i := range e.Dimensions {
		if m := &e.Dimensions[i]; m.Measure == shapes.Play {
			f.Dims = append(f.Dims, draw.Dim{
				Name: codes.Measures[m.Measure], From: m.From, To: m.To, Side: draw.LeftOf, Lines: d.lines(say.PlayLarger(m.Value, e.Factor)),
			})
		}
	}
	if d.p.Fit.Play > 0 {
		f.Notes = append(f.Notes, d.drawn("note", "play_halved"))
	}
	if e.Factor != d.factor {
		f.Notes = append(f.Notes, d.Text(say.FactorDrawn(d.factor, e.Factor)))
	}
	return f
}

// plan is nil where nothing is known of widths.
func (d *drawnJoint) plan() *draw.Figure {
	v := shapes.PlanOf(&d.p.Joint)
	if !v.Known {
		return nil
	}
	f := d.figure("plan", d.drawn("view", "plan"), &v.View)
	for i := range v.Dimensions {
		d.add(f, &v.Dimensions[i], planSides)
	}
	d.names(f, draw.RightOf)
	switch _, reaches := d.p.Joint.RoundEnds(); {
	case !v.Round && reaches:
		f.Notes = append(f.Notes, d.drawn("note", "ends_oddly"))
	case !v.Round:
		f.Notes = append(f.Notes, d.drawn("note", "ends_unknown"))
	case v.Rest == shapes.FirstTouched:
		f.Notes = append(f.Notes, d.drawn("note", "jammed"))
	case v.Rest == shapes.Pressed:
		f.Notes = append(f.Notes, d.drawn("note", "pressed"))
	}
	return f
}

func (d *drawnJoint) tool() *draw.Figure {
	v := shapes.ToolOf(&d.p.Joint)
	f := d.figure("cutter", d.drawn("view", "cutter"), &v.View)
	for i := range v.Dimensions {
		d.add(f, &v.Dimensions[i], toolSides)
	}
	d.names(f, draw.LeftOf)
	s := d.p.Joint.Setup()
	for _, note := range []struct {
		code string
		is   bool
	}{
		{"template_unknown", !v.TemplateKnown},
		{"not_the_depth", v.TemplateKnown},
		{"barrel_unknown", !v.BarrelKnown && s.Bushing.Kind == joint.KindBushing},
		{"bearing", s.Bushing.Kind == joint.KindBearing},
		{"flank_unknown", !v.FlankKnown},
		{"axes_apart", s.Bushing.Eccentricity() > 0},
	} {
		if note.is {
			f.Notes = append(f.Notes, d.drawn("note", note.code))
		}
	}
	return f
}

// nothing says in the place of a figure why there is none.
func (d *drawnJoint) nothing(p *draw.Page, box draw.Box, name, caption, why string) {
	p.Group("id", p.Name+"-"+name)
	flow := draw.Flow{Page: p, X: box.Left, Y: box.Top, Width: box.Width(), Size: 1.15 * d.size}
	flow.Part(draw.Heading, caption, draw.Bold)
	flow.Size = d.size
	flow.Text(why, draw.Regular)
	p.EndGroup()
}

// Where dimensions stand; those of a figure that are not listed are left out.
var (
	endSides = map[shapes.Measure]draw.Side{
		shapes.PinSocketWidest: draw.Above, shapes.TailRoot: draw.Above, shapes.PinWidest: draw.Above, shapes.Pitch: draw.Above,
		shapes.PinRoot: draw.Below, shapes.TailSocketWidest: draw.Below, shapes.TailWidest: draw.Below,
		shapes.Depth: draw.RightOf, shapes.DepthPinBoard: draw.RightOf, shapes.Lap: draw.RightOf,
		shapes.DepthTailBoard: draw.LeftOf, shapes.ShoulderGap: draw.LeftOf, shapes.FloorGap: draw.LeftOf,
		shapes.Play: draw.LeftOf, shapes.CutterAngle: draw.LeftOf,
	}
	planSides = map[shapes.Measure]draw.Side{
		shapes.TailThickness: draw.LeftOf, shapes.SeatOffset: draw.LeftOf, shapes.FirstTouch: draw.LeftOf,
		shapes.Play: draw.RightOf, shapes.NoseRadius: draw.RightOf, shapes.SocketRadius: draw.RightOf, shapes.PinEndRadius: draw.RightOf,
	}
	toolSides = map[shapes.Measure]draw.Side{
		shapes.BushingDiameter: draw.Above, shapes.BushingBore: draw.Above, shapes.CutterDiameter: draw.Below,
		shapes.Depth: draw.RightOf, shapes.Lap: draw.RightOf, shapes.BelowBase: draw.RightOf, shapes.BelowBushing: draw.RightOf,
		shapes.CutterAngle: draw.LeftOf, shapes.FlareClearance: draw.LeftOf,
	}
)

// names points at the parts and says what they are.
func (d *drawnJoint) names(f *draw.Figure, side draw.Side) {
	for _, spot := range f.View.Spots {
		f.Dims = append(f.Dims, draw.Dim{From: spot.At, To: spot.At, Side: side, Lines: d.lines(say.DrawnPart(spot.Part))})
	}
}

func (d *drawnJoint) add(f *draw.Figure, m *shapes.Dimension, sides map[shapes.Measure]draw.Side) {
	side, shown := sides[m.Measure]
	if !shown {
		return
	}
	lines := d.lines(say.DrawnSize(m))
	if side == draw.Above || side == draw.Below {
		lines = []string{oneLine(lines)}
	}
	from := m.From
	switch m.Measure {
	case shapes.NoseRadius, shapes.SocketRadius, shapes.PinEndRadius: // points at the arc
		from = m.To
	}
	f.Dims = append(f.Dims, draw.Dim{Name: codes.Measures[m.Measure], From: from, To: m.To, Side: side, Lines: lines})
}

// overlapPen marks an overlap that is thinner than a line.
const overlapPen = 0.5

// looks tell the parts apart in black and white: the pin board's wood hatched
// to the right, the tail board's to the left, metal closer, walls and
// interference black.
var looks = map[shapes.Part]draw.Look{
	shapes.PinBoard:    woodLook(shapes.PinBoard, 45, 1.6),
	shapes.TailBoard:   woodLook(shapes.TailBoard, 135, 2.4),
	shapes.Wood:        woodLook(shapes.Wood, 45, 1.6),
	shapes.Overlap:     {Name: codes.DrawnParts[shapes.Overlap], Fill: draw.Black, Pen: overlapPen},
	shapes.Template:    {Name: codes.DrawnParts[shapes.Template], Pen: draw.Thin, Hatch: draw.Hatching{Degrees: 30, Gap: 0.8, Pen: draw.Hair}},
	shapes.Bushing:     {Name: codes.DrawnParts[shapes.Bushing], Fill: draw.Black, Pen: draw.Hair},
	shapes.BushingSide: {Name: codes.DrawnParts[shapes.BushingSide], Pen: draw.Thick, Dash: []float64{2, 1}},
	shapes.RouterBase:  {Name: codes.DrawnParts[shapes.RouterBase], Pen: draw.Thick},
	shapes.Cutter:      {Name: codes.DrawnParts[shapes.Cutter], Pen: draw.Thick},
	shapes.Shank:       {Name: codes.DrawnParts[shapes.Shank], Pen: draw.Thick},
	shapes.CutterAxis:  {Name: codes.DrawnParts[shapes.CutterAxis], Pen: draw.Hair, Dash: []float64{4, 1, 0.6, 1}},
	shapes.BushingAxis: {Name: codes.DrawnParts[shapes.BushingAxis], Pen: draw.Hair, Dash: []float64{1.2, 1}},
}

func woodLook(part shapes.Part, degrees, gap float64) draw.Look {
	return draw.Look{Name: codes.DrawnParts[part], Pen: draw.Thick, Hatch: draw.Hatching{Degrees: degrees, Gap: gap, Pen: draw.Hair}}
}

// named begins the ids of a page with a request's own.
func named(id, page string) string {
	if id == "" {
		return page
	}
	return id + "-" + page
}
