package say

import (
	"fmt"
	"slices"
	"strings"

	"snugtail/joint/length"
	"snugtail/joint/parts"
	"snugtail/joint/seasons"
	"snugtail/service/codes"
)

// What is told of drawers that can be made, but would break, show or stick.

// WarningText tells what would spoil a drawer, and what cures it.
func (p *Job) WarningText(w *parts.Warning, made *parts.Made) string {
	text := p.warningOf(w, made)
	if cures := p.cureTexts(w); len(cures) > 0 {
		text += " Instead: " + strings.Join(cures, ", or ") + "."
	}
	return text
}

func (p *Job) warningOf(w *parts.Warning, made *parts.Made) string {
	value, limit := p.Hundredth(w.Value), p.Size(w.Limit)
	end := codes.Ends[w.End]
	switch w.Code {
	case parts.EdgePinWeak:
		return fmt.Sprintf("At the %s %s of height leave %s of wood at the root of the pin at the edge: under %s it breaks out.", end, p.Board(corner(made, w.End).Height), value, limit)
	case parts.GrooveShows:
		return fmt.Sprintf("At the ends of the %s the groove shows: it reaches %s out beside the tail that covers most of it.", end, value)
	case parts.LapThin:
		return fmt.Sprintf("At the %s a lap of %s is left in front of the tails: under %s there is little wood between the cutter and the face.", end, value, limit)
	case parts.ThicknessVaries:
		return fmt.Sprintf("The %s is %s thick within %s, and its lap is only %s more than the least of 1/8 in: on a thin board the cutter comes too near to the face.",
			codes.DrawerParts[w.Part], p.Board(p.thicknessOf(w, made)), value, p.about(w.Limit))
	case parts.WoodsMoveApart:
		return fmt.Sprintf("The %s and the sides swell differently: in the worst season play at the outermost tails may drop to %s, under %s, which strains the joint. Boards of one wood, sawn alike, move together.",
			codes.DrawerParts[w.Part], value, p.about(w.Limit))
	}
	return p.partWarning(w, made)
}

func (p *Job) partWarning(w *parts.Warning, made *parts.Made) string {
	value, limit := p.Size(w.Value), p.Size(w.Limit)
	part := codes.DrawerParts[w.Part]
	switch w.Code {
	case parts.GrooveDeep:
		return fmt.Sprintf("A groove %s deep takes more than half of the %s, which is %s thick.", value, part, p.Board(made.Parts[w.Part].Thickness))
	case parts.HousingDeep:
		return fmt.Sprintf("A housing %s deep takes more than half of the side, which is %s thick.", value, p.Board(made.Parts[parts.Side].Thickness))
	case parts.GrooveLow:
		return fmt.Sprintf("Only %s of wood is left below the groove to carry the bottom: leave at least %s.", value, limit)
	case parts.BottomHeldLittle:
		return fmt.Sprintf("The bottom reaches only %s into its grooves: give it at least %s.", p.about(w.Value), limit)
	case parts.BottomMoves:
		text := fmt.Sprintf("The bottom may swell by %s, and its grooves leave %s free, both together: it pushes the drawer apart.", p.Hundredth(w.Value), limit)
		if !offersClearance(w) {
			text += fmt.Sprintf(" In grooves that are deep enough %s of clearance in each would let it move.", p.Size(w.Needed))
		}
		if w.UnderBack {
			text += " Or take a back_joint of butted or housed with under_back, so that it moves out under the back."
		}
		return text
	}
	what := "high"
	if w.Field == parts.FieldWidth {
		what = "wide"
	}
	return fmt.Sprintf("The drawer may swell by %s, and the opening leaves %s: as %s as planned it sticks in the damp season.", p.Hundredth(w.Value), limit, what)
}

func offersClearance(w *parts.Warning) bool {
	return slices.ContainsFunc(w.Instead, func(c parts.Instead) bool { return c.Field == parts.FieldClearance })
}

func corner(made *parts.Made, end parts.End) *parts.Corner {
	if end == parts.AtBack {
		return &made.Back
	}
	return &made.Front
}

func (p *Job) thicknessOf(w *parts.Warning, made *parts.Made) length.Length {
	return made.Parts[w.Part].Thickness
}

// cureTexts are what a warning offers.
func (p *Job) cureTexts(w *parts.Warning) []string {
	all := make([]string, len(w.Instead))
	for i := range w.Instead {
		all[i] = p.cureText(&w.Instead[i])
	}
	return all
}

func (p *Job) cureText(c *parts.Instead) string {
	size := p.Board(c.Length)
	switch c.Field {
	case parts.FieldGrooveFrom, parts.FieldGrooveDepth, parts.FieldClearance, parts.FieldHousing:
		size = p.Size(c.Length)
	}
	switch c.Field {
	case parts.FieldHeight:
		return size + " high"
	case parts.FieldWidth:
		return size + " wide"
	case parts.FieldSidesHeight:
		return "sides " + size + " high"
	case parts.FieldBackHeight:
		return "a back up to " + size
	case parts.FieldGrooveFrom:
		return "the groove " + size + " from the bottom edge"
	case parts.FieldGrooveDepth:
		return "the groove " + size + " deep"
	case parts.FieldClearance:
		return size + " of clearance"
	case parts.FieldUnderBack:
		return "the bottom slid in under the back"
	case parts.FieldHousing:
		return "the housing " + size + " deep"
	}
	return fmt.Sprintf("a %s %s thick", codes.DrawerParts[c.Part], size)
}

// SeasonsText tells how a drawer moves through the year.
func (w Words) SeasonsText(s *parts.Seasons) string {
	text := w.HeightText(s.Height, s.House, s.From, s.Assumed)
	if g := s.Width; g.Room.Given && !g.Enough() {
		text += fmt.Sprintf(" Its width swells by %s, and %s are free.", w.Hundredth(g.Swells), w.Size(g.Room.Length))
	}
	return text
}

// HeightText tells how a height moves through the year.
func (w Words) HeightText(g seasons.Gap, house seasons.House, from float64, assumed bool) string {
	made := fmt.Sprintf("Made at %.3g %%", from)
	if assumed {
		made = fmt.Sprintf("If the wood was at its driest, %.3g %%, when it was made", from)
	}
	text := fmt.Sprintf("%s, %s of height swell by %s on average when the house is at its dampest, %.3g %%.", made, w.Board(g.Size), w.Hundredth(g.Swells), house.Damp)
	switch {
	case !g.Room.Given:
		return text
	case g.Enough():
		return text + fmt.Sprintf(" %s are free: enough.", w.Size(g.Room.Length))
	}
	return text + fmt.Sprintf(" %s are free, which is not enough: %s of height go in.", w.Size(g.Room.Length), w.Board(g.Fits))
}
