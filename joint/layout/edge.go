package layout

import (
	"math"

	"snugtail/joint"
	"snugtail/joint/length"
)

// Ending is what a board shows at its edges.
type Ending uint8

// Endings of a layout; both edges end alike.
const (
	// EndsInHalfPin: the edge runs through the middle of a pin.
	EndsInHalfPin Ending = iota
	// EndsInPartPin: the edge runs through a pin, elsewhere.
	EndsInPartPin
	// EndsInWholePin: the pin is whole at its root, and its wider face still
	// reaches the edge; an open notch is left beside it at the floor.
	EndsInWholePin
	// EndsInTail: the edge runs through a tail; no pin closes it.
	EndsInTail
)

// EdgePin is the pin at the edges of the pin board. On the tail board the
// same edges show a socket of like kind.
type EdgePin struct {
	Ending Ending
	Root   length.Length // its wood at the socket floor, 0 where it ends in a tail
	Widest length.Length // its wood at the pin board's face
}

// edgeOf returns what the edges of a board show when the outermost pin's
// centre lies first inside of them, negative: outside. With the pin's root p0
// and its face p1: p0/2 + first at the root, p1/2 + first at the face, each
// from nothing to the whole pin.
func edgeOf(j *joint.Joint) func(first float64) EdgePin {
	w, _ := j.Widths()
	root, face := w.PinRoot.MM(), w.PinWidest.MM()
	return func(first float64) EdgePin {
		if first > face/2 { // whole, with a strip of tail in front of it
			return EdgePin{Ending: EndsInTail}
		}
		return EdgePin{
			Ending: ending(first, root),
			Root:   within(root/2+first, root),
			Widest: within(face/2+first, face),
		}
	}
}

func ending(first, root float64) Ending {
	switch {
	case 2*math.Abs(first) <= HalfPinTolerance:
		return EndsInHalfPin
	case first > root/2:
		return EndsInWholePin
	case first > -root/2:
		return EndsInPartPin
	}
	return EndsInTail
}

// within returns how much of a part of width whole lies on the board, when x
// of it would if it had no other end.
func within(x, whole float64) length.Length {
	return length.Length(math.Min(math.Max(x, 0), whole))
}
