package say

import (
	"fmt"
	"math"
	"strings"

	"snugtail/joint/length"
)

// Figures as people at a bench set, read and call them out: one unit, and no
// digit more than can be set or seen. What answers give as numbers stays exact.

const (
	thou   = length.Length(length.MillimetresPerInch / 1000)
	in64th = length.Length(length.MillimetresPerInch / 64)
	// settable is how finely a depth is set where the router's steps are not known,
	// readable how finely a gap or play is read; boards are measured to a tenth.
	settable, readable, tenth = length.Length(0.05), length.Length(0.01), length.Length(0.1)
)

func nearest(x, step length.Length) length.Length {
	return length.Length(math.Round(x.MM()/step.MM())) * step
}

// about writes an estimate of what is read: to 0.01 mm or 0.001 in.
func (w Words) about(x length.Length) string {
	if w.Unit == length.UnitInch {
		return w.Precise(nearest(x, thou))
	}
	return w.Precise(nearest(x, readable))
}

// step is the least change of depth that can be set: the router's, or 0.05 mm or
// 0.001 in.
func (w Words) step() length.Length {
	switch {
	case w.AdjusterStep > 0:
		return w.AdjusterStep
	case w.Unit == length.UnitInch:
		return thou
	}
	return settable
}

// Setting writes a depth to set, in inches with the nearest 64th beside it.
func (w Words) Setting(x length.Length) string {
	switch {
	case w.Unit != length.UnitInch && w.KnownSteps:
		return nearest(x, readable).Decimal(length.UnitMillimetre)
	case w.Unit != length.UnitInch:
		return nearest(x, min(w.step(), settable)).Decimal(length.UnitMillimetre)
	}
	mark := nearest(x, in64th)
	off := x - mark
	if off > -thou/2 && off < thou/2 {
		return mark.Text(length.UnitInch)
	}
	side := "just over"
	if off < 0 {
		side = "just under"
	}
	fraction := strings.TrimSuffix(mark.Text(length.UnitInch), " in")
	return fmt.Sprintf("%s (%s %s)", nearest(x, thou).Decimal(length.UnitInch), side, fraction)
}

// Turn writes by how much a setting is changed: in steps that can be set, in
// inches in 64ths unless it is less.
func (w Words) Turn(x length.Length) string {
	switch {
	case w.KnownSteps: // from one depth that can be set to another
		return w.about(x)
	case w.Unit != length.UnitInch:
		return nearest(x, settable).Decimal(length.UnitMillimetre)
	case x >= 3*in64th/4:
		return nearest(x, in64th).Text(length.UnitInch)
	}
	return nearest(x, thou).Decimal(length.UnitInch)
}

// Size writes the size of a tool, a template or a groove, as a rule or caliper
// reads it: in inches in 64ths where it is one, else to 0.001 in, or to 0.01 mm.
func (w Words) Size(x length.Length) string {
	if w.Unit != length.UnitInch {
		return nearest(x, readable).Decimal(length.UnitMillimetre)
	}
	if mark := nearest(x, in64th); mark != 0 && x-mark > -thou/2 && x-mark < thou/2 {
		return mark.Text(length.UnitInch)
	}
	return nearest(x, thou).Decimal(length.UnitInch)
}

// About writes what is read of a joint: plays, gaps, what is left of wood.
func (w Words) About(x length.Length) string { return w.about(x) }

// Board writes the thickness or width of a board: to 0.1 mm or in 64ths.
func (w Words) Board(x length.Length) string {
	if w.Unit == length.UnitInch {
		return nearest(x, in64th).Text(length.UnitInch)
	}
	return nearest(x, tenth).Decimal(length.UnitMillimetre)
}
