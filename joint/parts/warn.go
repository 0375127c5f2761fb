package parts

import (
	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/joint/seasons"
)

// WarningCode names what would spoil a drawer that can be made.
type WarningCode uint8

// Warnings. What Value and Limit of a Warning are stands beside each.
const (
	EdgePinWeak      WarningCode = iota // the weaker edge pin's root; the least that is strong
	GrooveShows                         // how far it reaches out of its tail; 0
	LapThin                             // the lap; the least that is comfortable
	ThicknessVaries                     // the thickness's tolerance; by how much the lap is above the least
	WoodsMoveApart                      // the play left to the outermost tails in the worst season; the least that is wanted
	GrooveDeep                          // the groove's depth; half of the thickness of Part
	GrooveLow                           // wood under the groove; the least
	HousingDeep                         // the housing's depth; half of the side's thickness
	BottomHeldLittle                    // how far it still reaches into the groove; the least
	BottomMoves                         // by how much it swells; what is free for it
	DrawerSwells                        // by how much; what is free for it. Field says height or width
	warningCount
)

// Least sizes of a drawer, mm.
const (
	// LeastHold is how far a bottom reaches into its groove at the least: less
	// lets it drop out of one that was cut a little shallow. Judgement.
	LeastHold = 2
	// LeastUnderGroove is the wood below the groove, which carries the bottom.
	// Judgement: as much as a pin at an edge.
	LeastUnderGroove = joint.LeastRoot
	// MostOfBoard is how much of a board's thickness a groove or a housing takes at
	// the most. Common practice is a third to a half, no source.
	MostOfBoard = 0.5
)

// Scope says what a warning is about.
type Scope uint8

// Scopes.
const (
	OfDrawer Scope = iota
	OfPart
	OfJoint
)

// Scope returns what warnings of a code are about.
func (c WarningCode) Scope() Scope {
	switch {
	case c <= WoodsMoveApart:
		return OfJoint
	case c <= BottomMoves:
		return OfPart
	}
	return OfDrawer
}

// Field is a field of the request that is to be looked at or changed.
type Field uint8

// Fields of a drawer, and Thickness of a stock.
const (
	FieldHeight Field = iota // of the outside; the allowance where there is an opening
	FieldWidth
	FieldSidesHeight
	FieldBackHeight
	FieldGrooveFrom
	FieldGrooveDepth
	FieldClearance
	FieldUnderBack
	FieldHousing
	FieldSides     // the stock of the sides
	FieldThickness // of the stock of Part
)

// Warning is what would spoil a drawer, or one of its parts or joints. Where it
// ends and good work begins is judgement; the limits say so.
type Warning struct {
	Code         WarningCode
	Field        Field
	Part         Name // that it is about, or whose stock FieldThickness is of
	End          End  // of a joint
	Value, Limit length.Length
	// Needed is the clearance in each groove that a bottom's movement needs.
	Needed length.Length
	// UnderBack: a back between the sides, over the bottom, would cure it. For a
	// half-blind back it is no change of one field, so it stands here.
	UnderBack bool
	Instead   []Instead // what cures it, each tried, best first
}

// Instead is a value that cures a warning: Length, or true for FieldUnderBack.
type Instead struct {
	Field  Field
	Part   Name
	Length length.Length
}

// warnings of one row of drawers.
type warnings struct {
	*planner
	m    *maker
	made *Made
	all  []Warning
}

// warn finds what would spoil a drawer, and what cures it.
func (p *planner) warn(i int) error {
	made := &p.plan.Drawers[i]
	all := p.warningsOf(p.makers[i], made)
	clear(p.trials)
	for k := range all {
		var err error
		if all[k].Instead, err = p.cures(i, all, &all[k]); err != nil {
			return err
		}
		if all[k].Code == BottomMoves {
			if all[k].UnderBack, err = p.underBackServes(i); err != nil {
				return err
			}
		}
		p.place(made, &all[k])
	}
	return nil
}

// place hands a warning to what it is about.
func (p *planner) place(made *Made, w *Warning) {
	switch {
	case w.Code.Scope() == OfDrawer:
		made.Warnings = append(made.Warnings, *w)
	case w.Code.Scope() == OfPart:
		made.Parts[w.Part].Warnings = append(made.Parts[w.Part].Warnings, *w)
	case w.End == AtFront:
		made.Front.Warnings = append(made.Front.Warnings, *w)
	default:
		made.Back.Warnings = append(made.Back.Warnings, *w)
	}
}

// warningsOf lists what would spoil a drawer, without what cures it.
func (p *planner) warningsOf(m *maker, made *Made) []Warning {
	w := &warnings{planner: p, m: m, made: made}
	w.ofJoint(&made.Front, AtFront)
	if made.Back.Known {
		w.ofJoint(&made.Back, AtBack)
	}
	w.ofGroove()
	w.ofBottom()
	w.ofSeasons()
	return w.all
}

func (w *warnings) add(warning Warning) { w.all = append(w.all, warning) }

// ofJoint looks at the joint at one end.
func (w *warnings) ofJoint(c *Corner, end End) {
	pin := Front
	if end == AtBack {
		pin = Back
	}
	of := func(code WarningCode, field Field, value, limit length.Length) {
		w.add(Warning{Code: code, Field: field, Part: pin, End: end, Value: value, Limit: limit})
	}
	if l := &c.Layout; l.Known && (l.Edge-joint.LeastRoot).Rounded() < 0 {
		of(EdgePinWeak, w.heightField(end), l.Edge, joint.LeastRoot)
	}
	if f := &c.Layout.Groove; c.Layout.Known && f.Known && !f.Hidden {
		of(GrooveShows, FieldGrooveFrom, max(0, -f.Margin), 0)
	}
	lap := lap(c.Joint)
	if (lap - joint.ComfortableLap).Rounded() < 0 {
		of(LapThin, FieldThickness, lap, joint.ComfortableLap)
	}
	if t := w.m.stock[w.m.from(pin)].Tolerance; t.Given && (lap-t.Length-joint.LeastLap).Rounded() < 0 {
		of(ThicknessVaries, FieldThickness, t.Length, lap-joint.LeastLap)
	}
	if left, apart := w.apart(c, pin); apart {
		of(WoodsMoveApart, FieldSides, left, w.job.Target.From)
	}
}

// heightField is where the height of the joint at an end is stated.
func (w *warnings) heightField(end End) Field {
	switch {
	case end == AtBack && w.m.hb < w.m.hs:
		return FieldBackHeight
	case w.m.hs < w.m.d.Outside.Height:
		return FieldSidesHeight
	}
	return FieldHeight
}

// ofGroove looks at the groove in each part, and at the housings.
func (w *warnings) ofGroove() {
	d := w.m.d
	if d.Groove.Given {
		for _, part := range w.m.grooved() {
			if most := MostOfBoard * w.m.thickness(part); (d.Groove.Depth - most).Rounded() > 0 {
				w.add(Warning{Code: GrooveDeep, Field: FieldGrooveDepth, Part: part, Value: d.Groove.Depth, Limit: most})
			}
		}
		if (d.Groove.FromBottom - LeastUnderGroove).Rounded() < 0 {
			w.add(Warning{Code: GrooveLow, Field: FieldGrooveFrom, Part: Side, Value: d.Groove.FromBottom, Limit: LeastUnderGroove})
		}
	}
	if most := MostOfBoard * w.m.ts; d.Back.Joint == HousedBack && (d.Back.Housing-most).Rounded() > 0 {
		w.add(Warning{Code: HousingDeep, Field: FieldHousing, Part: Side, Value: d.Back.Housing, Limit: most})
	}
}

// ofBottom looks at how the bottom is held. A bottom that is slid in under the
// back is fixed at the front, and moves out under the back.
func (w *warnings) ofBottom() {
	d := w.m.d
	if d.Bottom == NoBottom {
		return
	}
	swells, shrinks := w.bottomMoves()
	if hold := d.Groove.hold() - shrinks/2; (hold - LeastHold).Rounded() < 0 {
		w.add(Warning{Code: BottomHeldLittle, Field: FieldGrooveDepth, Part: Bottom, Value: hold, Limit: LeastHold, Needed: shrinks / 2})
	}
	if free := 2 * d.Groove.Clearance; (swells - free).Rounded() > 0 {
		w.add(Warning{
			Code: BottomMoves, Field: FieldClearance, Part: Bottom, Value: swells, Limit: free,
			Needed: seasons.Up(swells / 2),
		})
	}
}

// bottomMoves is how far a bottom held in grooves on both sides swells and
// shrinks between them. Where nobody stated its moisture it does not do both in
// full, so that only the swelling counts; plywood's movement is lost in the play
// that any bottom has (judgement).
func (w *warnings) bottomMoves() (swells, shrinks length.Length) {
	moves, bottom := &w.moves[w.m.d.Bottom], &w.made.Parts[Bottom]
	if !moves.known || w.m.stock[w.m.d.Bottom].Material == Plywood {
		return 0, 0
	}
	deep := bottom.Width
	if w.m.d.Groove.UnderBack {
		deep = 0
	}
	if w.m.stock[w.m.d.Bottom].Material == MDF { // moves along its length as well
		deep = max(deep, bottom.Length)
	}
	swells = deep * length.Length(moves.Swells)
	if !moves.Assumed {
		shrinks = deep * length.Length(moves.Shrinks)
	}
	return swells, shrinks
}

// ofSeasons looks at whether the drawer still goes into its opening.
func (w *warnings) ofSeasons() {
	s := &w.made.Seasons
	if !s.Known {
		return
	}
	if g := s.Height; g.Room.Given && !g.Enough() {
		w.add(Warning{Code: DrawerSwells, Field: FieldHeight, Part: Front, Value: g.Swells, Limit: g.Room.Length})
	}
	if g := s.Width; g.Room.Given && !g.Enough() {
		w.add(Warning{Code: DrawerSwells, Field: FieldWidth, Part: Front, Value: g.Swells, Limit: g.Room.Length})
	}
}
