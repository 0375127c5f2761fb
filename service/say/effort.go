package say

import (
	"fmt"
	"math"

	"snugtail/joint/effort"
	"snugtail/joint/wood"
)

var effortTexts = [...]string{
	wood.ByHand: "closes by hand", wood.Mallet: "closes with a mallet", wood.Clamp: "needs a clamp",
	wood.Crushes: "the wood gives way before it closes",
}

// Effort says how hard a tight joint is to close, and how sure that is.
func (w Words) Effort(e *wood.Effort) string {
	if !w.Wants("text") {
		return ""
	}
	if !e.Estimated {
		return "The push is not estimated: the table has no elastic ratio for a species of this joint."
	}
	text := fmt.Sprintf("An estimate: %s, with a push of about %s (%s to %s); the pin's root stiffens it further",
		effortTexts[e.Words], newtons(e.Push.Value), newtons(e.Push.Low), newtons(e.Push.High))
	if e.SpeciesUnknown {
		text += ", and a middle wood stands in for what is not stated"
	}
	return text + "."
}

// newtons writes a push to two digits.
func newtons(f float64) string {
	if f <= 0 {
		return "0 N"
	}
	step := math.Pow(10, math.Floor(math.Log10(f))-1)
	return fmt.Sprintf("%.0f N", math.Round(f/step)*step)
}

var seasonTexts = map[wood.Season]string{
	wood.SeasonNow: "once settled in a heated home", wood.SeasonDry: "in a heated home's driest month",
	wood.SeasonDamp: "in a heated home's dampest month",
}

func (w Words) Moving(m effort.Moving) string {
	if !w.Wants("text") {
		return ""
	}
	return fmt.Sprintf("The boards will move against each other: %s the outermost tails are left with %s of play. Use the same wood at the same moisture, or cut looser.",
		seasonTexts[m.Season], w.about(m.Outermost))
}
