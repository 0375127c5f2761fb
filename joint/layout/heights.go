package layout

import (
	"math"

	"snugtail/joint"
	"snugtail/joint/length"
)

// HalfPinsDown returns the height that ends in half pins and is the next one down
// from h, or h where it ends so already, within HalfPinTolerance; 0 where h is
// less than one pitch.
func HalfPinsDown(h, pitch length.Length) length.Length {
	return halfPins(h, pitch, math.Floor, length.Resolution)
}

// HalfPinsUp returns the next one up, likewise.
func HalfPinsUp(h, pitch length.Length) length.Length {
	return halfPins(h, pitch, math.Ceil, -length.Resolution)
}

func halfPins(h, pitch length.Length, next func(float64) float64, slack float64) length.Length {
	n := math.RoundToEven(h.MM() / pitch.MM())
	if n >= 1 && math.Abs(h.MM()-n*pitch.MM()) <= HalfPinTolerance {
		return h
	}
	return length.Length(math.Max(0, next((h.MM()+slack)/pitch.MM())) * pitch.MM())
}

// StrongHeights returns the nearest heights below and above h at whose edges a
// layout leaves at least joint.LeastRoot of a pin; none below where there is none
// above 0. With n pitches between the outermost pins' centres, pin root p0 and
// face p1, and o by which the side stops are off, such heights are
//
//	n P + 2 (LeastRoot + o) - p0  to  n P + p1
//
// since the pin's centre may lie outside the board until too little is left of it,
// and inside of it until its face no longer reaches the edge.
func StrongHeights(j *joint.Joint, h length.Length) (below, above Place) {
	w, known := j.Widths()
	pitch := j.Setup().Template.Pitch.MM()
	if !known {
		return Place{}, Place{}
	}
	from := 2*(joint.LeastRoot+math.Abs(j.EdgeStep().MM())) - w.PinRoot.MM()
	to := w.PinWidest.MM()
	if from > to { // not even a whole pin is strong
		return Place{}, Place{}
	}
	for n := math.Max(0, math.Floor((h.MM()-to)/pitch)); ; n++ {
		first, last := n*pitch+from, n*pitch+to
		if n == 0 { // a single pin holds no tail
			continue
		}
		switch {
		case first > h.MM():
			return below, Place{true, length.Length(first)}
		case last <= h.MM():
			below = Place{true, length.Length(last)}
		default: // h is strong itself
			return Place{}, Place{}
		}
	}
}
