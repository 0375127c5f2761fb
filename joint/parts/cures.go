package parts

import (
	"fmt"
	"slices"

	"snugtail/joint"
	"snugtail/joint/layout"
	"snugtail/joint/length"
	"snugtail/joint/seasons"
)

// hair keeps a size that is rounded to what can be sawn off the very end of what
// serves.
const hair = 1e-5

// cures returns the values that cure a warning: each drawer is made once more
// with the value in place, and must then be without the warning and without any
// that it had not before.
func (p *planner) cures(i int, all []Warning, w *Warning) ([]Instead, error) {
	var cures []Instead
	for _, try := range p.candidates(i, w) {
		serves, err := p.serves(i, all, w, try)
		if err != nil {
			return nil, err
		}
		if serves && !slices.ContainsFunc(cures, try.near) {
			cures = append(cures, try)
		}
	}
	return cures, nil
}

// near reports whether another value is the same but for how finely it is told.
func (c Instead) near(other Instead) bool {
	away := max(c.Length, other.Length) - min(c.Length, other.Length)
	return c.Field == other.Field && c.Part == other.Part && away < seasons.StepDown
}

// candidates are values that may cure a warning, best first.
func (p *planner) candidates(i int, w *Warning) []Instead {
	made, m := &p.plan.Drawers[i], p.makers[i]
	c := &made.Front
	if w.Code.Scope() == OfJoint && w.End == AtBack {
		c = &made.Back
	}
	at := func(field Field, sizes ...length.Length) (all []Instead) {
		for _, size := range sizes {
			all = append(all, Instead{Field: field, Part: w.Part, Length: size.Rounded()})
		}
		return all
	}
	switch w.Code {
	case EdgePinWeak:
		return at(w.Field, heights(c)...)
	case GrooveShows:
		return at(FieldGrooveFrom, places(&c.Layout.Groove)...)
	case GrooveLow:
		return at(FieldGrooveFrom, append([]length.Length{LeastUnderGroove}, places(&c.Layout.Groove)...)...)
	case LapThin:
		return at(FieldThickness, seasons.Up(c.Depth.PinBoard.Length+joint.ComfortableLap))
	case ThicknessVaries:
		return at(FieldThickness, seasons.Up(c.Depth.PinBoard.Length+joint.LeastLap+w.Value))
	case GrooveDeep:
		return at(FieldGrooveDepth, seasons.Down(MostOfBoard*m.thinnest()))
	case HousingDeep:
		return at(FieldHousing, seasons.Down(w.Limit))
	case BottomHeldLittle:
		g := m.d.Groove
		held := append(at(FieldClearance, seasons.Down(g.Depth-LeastHold-w.Needed)), at(FieldGrooveDepth, seasons.Up(g.Clearance+LeastHold+w.Needed))...)
		return append(held, at(FieldUnderBack, 0)...)
	case BottomMoves:
		return append(at(FieldClearance, w.Needed), at(FieldUnderBack, 0)...)
	case DrawerSwells:
		return at(w.Field, sizesFor(made, w.Field)...)
	}
	return nil
}

// heights are those near a corner's at which edge pins are strong, and that end
// in half pins, the nearest first of each.
func heights(c *Corner) []length.Length {
	l := &c.Layout
	strong, half := []length.Length{}, []length.Length{l.Nearest.Larger}
	if l.StrongBelow.Known {
		strong = append(strong, seasons.Down(l.StrongBelow.From-hair))
	}
	if l.StrongAbove.Known {
		strong = append(strong, seasons.Up(l.StrongAbove.From+hair))
	}
	if l.Nearest.SmallerKnown {
		half = append(half, l.Nearest.Smaller)
	}
	away := func(a, b length.Length) int {
		return int((max(a, c.Height) - min(a, c.Height) - (max(b, c.Height) - min(b, c.Height))).Rounded() * 1e6)
	}
	slices.SortStableFunc(strong, away)
	slices.SortStableFunc(half, away)
	return append(strong, half...)
}

// places are those at which a tail hides the groove, the nearer one first.
func places(f *layout.Finding) (all []length.Length) {
	from := f.Asked.FromBottom
	if f.Lower.Known {
		all = append(all, seasons.Down(f.Lower.From), f.Lower.From)
	}
	if f.Higher.Known {
		all = append(all, seasons.Up(f.Higher.From), f.Higher.From)
	}
	if f.Lower.Known && f.Higher.Known && f.Higher.From-from < from-f.Lower.From {
		all = append(all[2:], all[:2]...)
	}
	return all
}

// sizesFor are sizes that go into the opening when they are swollen: the greatest,
// and of heights those below it that are strong or end in half pins.
func sizesFor(made *Made, field Field) []length.Length {
	if field == FieldWidth {
		return []length.Length{made.Seasons.Width.Fits}
	}
	fits := made.Seasons.Height.Fits
	all := []length.Length{fits}
	l := &made.Front.Layout
	if !l.Known {
		return all
	}
	j := &made.Front.Joint.Joint
	if below, _ := layout.StrongHeights(j, fits); below.Known {
		all = append(all, seasons.Down(below.From-hair))
	}
	if half := layout.HalfPinsDown(fits, j.Setup().Template.Pitch.Length); half > 0 && half <= fits {
		all = append(all, half)
	}
	return all
}

// thinnest of the parts with a groove.
func (m *maker) thinnest() length.Length {
	least := m.tf
	for _, part := range m.grooved() {
		least = min(least, m.thickness(part))
	}
	return least
}

// serves makes the drawer once more with a value in place.
func (p *planner) serves(i int, before []Warning, w *Warning, try Instead) (bool, error) {
	d, stock := p.drawers[i], p.job.Stock
	switch try.Field {
	case FieldHeight:
		d.Room.Height += d.Outside.Height - try.Length
		d.Outside.Height = try.Length
		if p.ruleHeight(&d) != nil {
			return false, nil
		}
	case FieldWidth:
		d.Room.Width += d.Outside.Width - try.Length
		d.Outside.Width = try.Length
	case FieldSidesHeight:
		d.SidesHeight = length.Exactly(try.Length)
	case FieldBackHeight:
		d.BackHeight = length.Exactly(try.Length)
	case FieldGrooveFrom:
		d.Groove.FromBottom = try.Length
	case FieldGrooveDepth:
		d.Groove.Depth = try.Length
	case FieldClearance:
		d.Groove.Clearance = try.Length
	case FieldUnderBack:
		d.Groove.UnderBack = true
	case FieldHousing:
		d.Back.Housing = try.Length
	case FieldThickness:
		stock = slices.Clone(stock)
		stock[p.makers[i].from(try.Part)].Thickness = try.Length
	}
	if try.Length < 0 || d.Room.Known && (min(d.Room.Height, d.Room.Width).Rounded() < 0) {
		return false, nil
	}
	if try.Field != FieldThickness { // of no part
		try.Part = 0
	}
	t, ok := p.trials[try]
	if !ok {
		var err error
		if t.all, t.made, err = p.again(&d, stock, p.needs[i].chosen); err != nil {
			return false, err
		}
		p.trials[try] = t
	}
	return t.made && cured(before, t.all, w), nil
}

// trial is what became of a drawer with a value in place.
type trial struct {
	all  []Warning
	made bool
}

// cured: the warning is gone, and none has come that was not there.
func cured(before, after []Warning, w *Warning) bool {
	same := func(a *Warning) func(Warning) bool {
		return func(b Warning) bool { return a.Code == b.Code && a.Part == b.Part && a.End == b.End }
	}
	if slices.ContainsFunc(after, same(w)) {
		return false
	}
	return !slices.ContainsFunc(after, func(a Warning) bool { return !slices.ContainsFunc(before, same(&a)) })
}

// again makes a drawer by itself, with the cutter chosen if that serves, and
// returns its warnings; made is false where it can't be.
func (p *planner) again(d *Drawer, stock []Stock, cutter int) (all []Warning, made bool, err error) {
	m := newMaker(d, stock)
	if m.refusal() != nil {
		return nil, false, nil
	}
	n, err := p.need(m)
	if err != nil {
		return nil, false, fmt.Errorf("making a drawer once more: %w", err)
	}
	if p.chooser.refusal(n) != nil {
		return nil, false, nil
	}
	if n.chosen = cutter; !n.servedBy(cutter) {
		p.chooser.cover([]*need{n})
	}
	once := Made{Outside: d.Outside}
	if err := p.fill(&once, m, n); err != nil {
		return nil, false, err
	}
	return p.warningsOf(m, &once), true, nil
}

// underBackServes tries a back between the sides, over the bottom, for a drawer
// with a half-blind one.
func (p *planner) underBackServes(i int) (bool, error) {
	d := p.drawers[i]
	if d.Back.Joint != HalfBlindBack || d.Sawn.Given {
		return false, nil
	}
	d.Back, d.Groove.UnderBack = BackPanel{Joint: ButtedBack}, true
	all, made, err := p.again(&d, p.job.Stock, p.needs[i].chosen)
	return made && !slices.ContainsFunc(all, func(o Warning) bool { return o.Code == BottomMoves }), err
}
