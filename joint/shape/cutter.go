package shape

import (
	"math"

	"snugtail/joint"
	"snugtail/joint/length"
)

// Tool is the cutter in bushing and template at its depth in the pin board,
// cut open along the router's axis: x across it, 0 at the bushing's axis, the
// template's finger on the left, to which the bushing is pressed; z up, 0 at
// the wood's face, called y in points. Where the cutter's axis is off the
// bushing's it is drawn off to the left, where the flare comes nearest.
type Tool struct {
	View
	TemplateKnown bool // its thickness; otherwise it is broken off at the top
	BarrelKnown   bool // length and thickness of the barrel's wall
	FlankKnown    bool // the cutting length
}

// tool is a Tool in the making; lengths in mm.
type tool struct {
	Tool
	j          *joint.Joint
	s          joint.Setup
	d, e, tanA float64
	g, hp      float64
	template   float64 // its thickness, or what is shown of it
	flank      float64 // height of the flank above the tip, or what is shown of it
	cut        bool    // not all of the flank is shown
	half       float64 // of the view's width
}

// thinnest is the least of a cutter of unknown length that is drawn, as a share
// of its diameter. Judgement.
const thinnest = 0.25

// ToolOf returns the cutter's view of the joint's set-up.
func ToolOf(j *joint.Joint) Tool {
	t := tool{j: j, s: j.Setup()}
	t.d, t.tanA = t.s.Cutter.TipDiameter().MM(), t.s.Cutter.Angle.Tan()
	t.e, t.g, t.hp = t.s.Bushing.Eccentricity().MM(), t.s.Bushing.Diameter.MM(), t.s.Depth.PinBoard.MM()
	t.template, t.TemplateKnown = t.s.Template.Thickness.MM(), t.s.Template.Thickness.Given
	if !t.TemplateKnown {
		t.template = 0.8 * t.hp
	}
	t.BarrelKnown = t.TemplateKnown && t.s.Bushing.HasBarrel() && t.s.Bushing.Bore.Given
	t.setFlank()
	t.bounds()
	t.wood()
	t.templates()
	t.bushing()
	t.cutter()
	t.axes()
	t.dimensions()
	return t.Tool
}

// setFlank: where the cutting length is not known, or more than the cone has,
// the flank is shown as far as the template's top, or until it is thin.
func (t *tool) setFlank() {
	most := t.d * (1 - thinnest) / 2 / t.tanA
	length := t.s.Cutter.CuttingLength
	t.FlankKnown, t.flank = length.Given, length.MM()
	if !length.Given || t.flank > most {
		t.flank, t.cut = math.Max(t.hp, math.Min(most, t.hp+t.template)), true
	}
	if top := t.hp + t.top(); t.flank >= top {
		t.flank, t.cut = top, true
	}
}

// top is where the view ends above the template.
func (t *tool) top() float64 { return t.template + 0.35*t.hp }

func (t *tool) bounds() {
	t.half = math.Max(t.g, t.d+2*t.e)/2 + 0.75*t.g
	bottom := -2.2 * t.hp
	if lap, known := t.j.Lap(); known {
		bottom = math.Max(bottom, -t.hp-lap.MM())
	}
	t.Bounds = Box{-t.half, bottom, t.half, t.top()}
}

// radius of the cutter at height z above the wood's face, 0 above its apex.
func (t *tool) radius(z float64) float64 { return math.Max(0, t.d/2-(z+t.hp)*t.tanA) }

// wood is the pin board with its slot.
func (t *tool) wood() {
	bottom := t.Bounds.Bottom
	lap, known := t.j.Lap()
	ends := known && -t.hp-lap.MM() == bottom
	o := Outline{Start: Point{-t.half, bottom}}
	o.ending(Point{t.half, bottom}, broken(!ends, Solid))
	o.ending(Point{t.half, 0}, Broken)
	face := t.radius(0)
	o.line(Point{-t.e + face, 0})
	o.line(Point{-t.e + t.d/2, -t.hp})
	o.line(Point{-t.e - t.d/2, -t.hp})
	o.line(Point{-t.e - face, 0})
	o.line(Point{-t.half, 0})
	t.piece(Wood, o.closed(Broken))
}

// templates: the finger on the left, and the next one where its opening is
// known and ends within the view.
func (t *tool) templates() {
	side := func(from, to float64, endsLeft bool) {
		o := Outline{Start: Point{from, 0}}
		o.line(Point{to, 0})
		o.ending(Point{to, t.template}, broken(endsLeft, Solid))
		o.ending(Point{from, t.template}, broken(!t.TemplateKnown, Solid))
		t.piece(Template, o.closed(broken(!endsLeft, Solid)))
	}
	side(-t.half, -t.g/2, false)
	if s := &t.s.Template; s.KnownByOpenings() {
		if next := -t.g/2 + s.Pin.Opening.MM(); next < t.half {
			side(next, t.half, true)
		}
	}
	if t.TemplateKnown {
		t.piece(RouterBase, open(Point{-t.half, t.template}, Point{t.half, t.template}))
	}
}

// bushing is its barrel's two walls, or its outside where they are not known.
func (t *tool) bushing() {
	tip, outside, bore := 0.0, t.g/2, t.s.Bushing.Bore.MM()/2
	if t.TemplateKnown && t.s.Bushing.HasBarrel() {
		tip = t.template - t.s.Bushing.Barrel.MM()
	}
	for _, side := range [...]float64{-1, 1} {
		if t.BarrelKnown {
			inner, outer := side*bore, side*outside
			t.piece(Bushing, box(math.Min(inner, outer), tip, math.Max(inner, outer), t.template).within(t.Bounds))
			continue
		}
		t.piece(BushingSide, open(Point{side * outside, math.Max(tip, t.Bounds.Bottom)}, Point{side * outside, t.template}))
	}
}

func (t *tool) cutter() {
	tip, end := -t.hp, t.flank-t.hp
	wide, slim := t.d/2, t.radius(end)
	o := Outline{Start: Point{-t.e - wide, tip}}
	o.line(Point{-t.e + wide, tip})
	o.line(Point{-t.e + slim, end})
	o.ending(Point{-t.e - slim, end}, broken(t.cut, Solid))
	t.piece(Cutter, o.closed(Solid))
	if stem := t.stem(); !t.cut && stem > 0 {
		o := Outline{Start: Point{-t.e - stem, end}}
		o.line(Point{-t.e + stem, end})
		o.line(Point{-t.e + stem, t.top()})
		o.ending(Point{-t.e - stem, t.top()}, Broken)
		t.piece(Shank, o.closed(Solid))
	}
}

// stem is the radius above the flank: of the neck, or of the shank of a cutter
// without one; 0 where neither was stated.
func (t *tool) stem() float64 {
	if c := &t.s.Cutter; c.Neck.Given {
		return c.Neck.MM() / 2
	}
	return t.s.Cutter.Shank.MM() / 2
}

func (t *tool) axes() {
	low, high := t.Bounds.Bottom, t.Bounds.Top
	if t.e == 0 {
		t.piece(CutterAxis, open(Point{0, low}, Point{0, high}))
		return
	}
	t.piece(CutterAxis, open(Point{-t.e, low}, Point{-t.e, high}))
	t.piece(BushingAxis, open(Point{0, low}, Point{0, high}))
}

func (t *tool) dimensions() {
	hp, right, left := length.Length(t.hp), t.half, -t.half
	t.dimension(CutterDiameter, Point{-t.e - t.d/2, -t.hp}, Point{-t.e + t.d/2, -t.hp}, length.Length(t.d))
	t.dimension(BushingDiameter, Point{-t.g / 2, t.template}, Point{t.g / 2, t.template}, length.Length(t.g))
	if b := t.s.Bushing.Bore; t.BarrelKnown {
		t.dimension(BushingBore, Point{-b.MM() / 2, t.template}, Point{b.MM() / 2, t.template}, b.Length)
	}
	t.dimension(Depth, Point{right, -t.hp}, Point{right, 0}, hp)
	if lap, known := t.j.Lap(); known {
		from := t.Bounds.Bottom
		t.dimension(Lap, Point{right, from}, Point{right, -t.hp}, lap)
	}
	projection := t.j.Projection()
	if tip := t.template - t.s.Bushing.Barrel.MM(); projection.BelowBushingKnown && tip > t.Bounds.Bottom {
		t.dimension(BelowBushing, Point{right, -t.hp}, Point{right, tip}, projection.BelowBushing)
	}
	if projection.BelowBaseKnown {
		t.dimension(BelowBase, Point{right, -t.hp}, Point{right, t.template}, projection.BelowBase)
	}
	t.dimension(FlareClearance, Point{-t.g / 2, 0}, Point{-t.e - t.radius(0), 0}, t.j.FlareClearance(hp))
	t.angle(Point{-t.e - t.radius(-t.hp/2), -t.hp / 2}, t.s.Cutter.Angle)
	t.spots(left)
}

// spots are on the view's left side, where every part is.
func (t *tool) spots(left float64) {
	t.spot(Template, left, t.template/2)
	t.spot(Wood, left, t.Bounds.Bottom*0.8)
	if t.TemplateKnown {
		t.spot(RouterBase, left, t.template)
	}
}
