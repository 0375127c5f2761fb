package message

import (
	"fmt"
	"math"
	"strconv"
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

// figures is how a language writes numbers. Each has one place, {n}, besides.
type figures struct {
	comma                string // between units and tenths
	mm, inch, degrees    string // what follows a number
	percent, under, over string // a share, and what is next to nothing and to all
	justOver, justUnder  string // beside a 64th of an inch
	and, or              string // between the last two of a list
	plain                bool   // numbers are as programs write them
}

func (c *Catalogue) readFigures() error {
	f := &c.figures
	for key, to := range map[string]*string{
		"figure.comma": &f.comma, "figure.mm": &f.mm, "figure.inch": &f.inch, "figure.degrees": &f.degrees, "figure.percent": &f.percent,
		"figure.under": &f.under, "figure.over": &f.over, "figure.just_over": &f.justOver, "figure.just_under": &f.justUnder,
		"list.and": &f.and, "list.or": &f.or,
	} {
		text, found := c.raw[key]
		if !found {
			return fmt.Errorf("there is no %s", key)
		}
		*to = text
	}
	f.plain = f.comma == "." && f.mm == " mm" && f.inch == " in"
	return nil
}

// number writes a number that programs wrote as this language has it.
func (f *figures) number(text string) string {
	if f.comma == "." {
		return text
	}
	return strings.ReplaceAll(text, ".", f.comma)
}

// measure writes a length that programs wrote, such as "0.429 in" or "27/64 in".
func (f *figures) measure(text string) string {
	if f.plain {
		return text
	}
	if bare, found := strings.CutSuffix(text, " mm"); found {
		return f.number(bare) + f.mm
	}
	bare := strings.Replace(text, " in", f.inch, 1)
	return f.number(bare)
}

func nearest(x, step length.Length) length.Length {
	return length.Length(math.Round(x.MM()/step.MM())) * step
}

// Number writes a number with so many decimals, or with as many as it needs.
func (p Printer) Number(x float64, decimals int) string {
	text := strconv.FormatFloat(x, 'f', decimals, 64)
	if decimals < 0 {
		text = strconv.FormatFloat(x, 'g', 12, 64)
	}
	return p.figures().number(text)
}

// Percent writes a probability, never promising certainty.
func (p Printer) Percent(chance float64) string {
	f := p.figures()
	switch {
	case chance < 0.01:
		return f.under + "1" + f.percent
	case chance > 0.99:
		return f.over + "99" + f.percent
	}
	return strconv.Itoa(int(math.Round(100*chance))) + f.percent
}

// Degrees writes an angle to a tenth of a degree.
func (p Printer) Degrees(a float64) string {
	f := p.figures()
	return f.number(strconv.FormatFloat(math.Round(a*10)/10, 'f', -1, 64)) + f.degrees
}

// Precise writes what is read by a caliper, such as plays, gaps and margins:
// decimals in either unit.
func (p Printer) Precise(x length.Length) string { return p.figures().measure(x.Decimal(p.Unit)) }

// Bare is a precise length without its unit, which a drawing states once.
func (p Printer) Bare(x length.Length) string {
	number, _, _ := strings.Cut(x.Decimal(p.Unit), " ")
	return p.figures().number(number)
}

// marked writes a length in 64ths of an inch.
func (p Printer) marked(x length.Length) string {
	return p.figures().measure(x.Text(length.UnitInch))
}

// About writes an estimate of what is read of a joint, plays, gaps, what is left
// of wood: to 0.01 mm or 0.001 in.
func (p Printer) About(x length.Length) string {
	if p.Unit == length.UnitInch {
		return p.Precise(nearest(x, thou))
	}
	return p.Precise(nearest(x, readable))
}

// step is the least change of depth that can be set: the router's, or 0.05 mm or
// 0.001 in.
func (p Printer) step() length.Length {
	switch {
	case p.AdjusterStep > 0:
		return p.AdjusterStep
	case p.Unit == length.UnitInch:
		return thou
	}
	return settable
}

// Setting writes a depth to set, in inches with the nearest 64th beside it.
func (p Printer) Setting(x length.Length) string {
	f := p.figures()
	switch {
	case p.Unit != length.UnitInch && p.KnownSteps:
		return p.Precise(nearest(x, readable))
	case p.Unit != length.UnitInch:
		return p.Precise(nearest(x, min(p.step(), settable)))
	}
	mark := nearest(x, in64th)
	off := x - mark
	if off > -thou/2 && off < thou/2 {
		return p.marked(mark)
	}
	side := f.justOver
	if off < 0 {
		side = f.justUnder
	}
	fraction := strings.TrimSuffix(mark.Text(length.UnitInch), " in")
	return p.Precise(nearest(x, thou)) + " (" + side + fraction + ")"
}

// Turn writes by how much a setting is changed: in steps that can be set, in
// inches in 64ths unless it is less.
func (p Printer) Turn(x length.Length) string {
	switch {
	case p.KnownSteps: // from one depth that can be set to another
		return p.About(x)
	case p.Unit != length.UnitInch:
		return p.Precise(nearest(x, settable))
	case x >= 3*in64th/4:
		return p.marked(nearest(x, in64th))
	}
	return p.Precise(nearest(x, thou))
}

// Size writes the size of a tool, a template or a groove, as a rule or caliper
// reads it: in inches in 64ths where it is one, else to 0.001 in, or to 0.01 mm.
func (p Printer) Size(x length.Length) string {
	if p.Unit != length.UnitInch {
		return p.Precise(nearest(x, readable))
	}
	if mark := nearest(x, in64th); mark != 0 && x-mark > -thou/2 && x-mark < thou/2 {
		return p.marked(mark)
	}
	return p.Precise(nearest(x, thou))
}

// Board writes the thickness or width of a board: to 0.1 mm or in 64ths.
func (p Printer) Board(x length.Length) string {
	if p.Unit == length.UnitInch {
		return p.marked(nearest(x, in64th))
	}
	return p.Precise(nearest(x, tenth))
}

// Sold writes the size by which a tool is sold: a 64th of an inch or half a
// millimetre where it is one, in whichever unit; else as a caliper reads it.
func (p Printer) Sold(x length.Length) string {
	const same, perInch, perMM = 1e-3, 64, 2
	if off := x.Inches()*perInch - math.Round(x.Inches()*perInch); math.Abs(off)*length.MillimetresPerInch/perInch < same {
		return p.marked(x)
	}
	if off := x.MM()*perMM - math.Round(x.MM()*perMM); math.Abs(off)/perMM < same {
		return p.figures().measure(x.Text(length.UnitMillimetre))
	}
	return p.Size(x)
}

// Floor writes a depth that is not to be passed: never rounded up.
func (p Printer) Floor(x length.Length) string {
	if p.Unit == length.UnitInch {
		return p.Precise(nearest(x-thou/2, thou))
	}
	return p.Precise(nearest(x-readable/2, readable))
}

// Tiny writes what is less than can be read of one joint, such as what wear takes
// with each: to 0.0001 mm or 0.00001 in.
func (p Printer) Tiny(x length.Length) string {
	if p.Unit == length.UnitInch {
		return p.figures().measure(strconv.FormatFloat(x.Inches(), 'f', 5, 64) + " in")
	}
	return p.figures().measure(strconv.FormatFloat(x.MM(), 'f', 4, 64) + " mm")
}

// Both writes a length by one of the ways above, in the request's unit and, in
// brackets, in the other one.
func (p Printer) Both(x length.Length, way func(Printer, length.Length) string) string {
	return besides(way(p, x), way(p.other(), x))
}

// besides puts the other unit in brackets, beside the 64th that may stand there.
func besides(setting, other string) string {
	other = strings.TrimSuffix(strings.Replace(other, " (", ", ", 1), ")")
	if inside, found := strings.CutSuffix(setting, ")"); found {
		return inside + "; " + other + ")"
	}
	return setting + " (" + other + ")"
}

// other writes in the other unit. What can be set there is not known.
func (p Printer) other() Printer {
	out := Printer{Catalogue: p.Catalogue, Unit: length.UnitInch}
	if p.Unit == length.UnitInch {
		out.Unit, out.KnownSteps = length.UnitMillimetre, true
	}
	return out
}

// BothSizes, BothBoards, BothAbout and BothSettings write in both units.
func (p Printer) BothSizes(x length.Length) string    { return p.Both(x, Printer.Size) }
func (p Printer) BothBoards(x length.Length) string   { return p.Both(x, Printer.Board) }
func (p Printer) BothAbout(x length.Length) string    { return p.Both(x, Printer.About) }
func (p Printer) BothSettings(x length.Length) string { return p.Both(x, Printer.Setting) }
