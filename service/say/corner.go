package say

import (
	"snugtail/joint/layout"
	"snugtail/joint/length"
)

// What stands in the drawing of a drawer's corner.
const (
	CornerCaption   = "A corner of this drawer, its boards apart; positions from the bottom edge, which lies at the left"
	CornerTailBoard = "tail board (side), inside face towards you: tails at their ends"
	CornerPinBoard  = "pin board (front, back), from its end, inside face up: pins at the face"

	cornerMirrored = "Cut at the left stop it lies so; at the right stop it is the mirror image, with the bottom edge at that stop."
	cornerSkips    = "Where numbers would stand in each other one is left out: /v1/layouts lists them all."
)

// Bare is a precise length without its unit, which the page states once.
func (w Words) Bare(l length.Length) string { return w.bare(l) }

// CornerNotes say what else is to be known of a corner.
func (w Words) CornerNotes(l *layout.Layout, skips bool) []string {
	notes := []string{cornerMirrored}
	if l.Spacer.Known {
		notes = append(notes, "A strip "+w.Size(l.Spacer.Thickness)+" thick between stop and boards puts them there.")
	}
	if skips {
		notes = append(notes, cornerSkips)
	}
	return notes
}
