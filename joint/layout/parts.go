package layout

import (
	"math"

	"snugtail/joint/length"
)

// Span is a stretch across the board, from its reference edge.
type Span struct{ From, To length.Length }

// Width returns the length of the span.
func (s Span) Width() length.Length { return s.To - s.From }

// Share is how much of a part lies on the board.
type Share uint8

// Shares of a part.
const (
	Whole Share = iota
	Half        // half a pin, or half its socket, at an edge
	Partly
)

// Part is a pin, a tail, or the socket of one, as far as it lies on the board.
// Pins and tails are narrowest at their root, sockets at their mouth.
type Part struct {
	Centre    length.Length // of the whole part; may lie outside the board
	Widest    Span
	Narrowest Span // without width where nothing of it is left
	Share     Share
}

// PinBoard holds what is cut into the pin board: pins, widest at its face and
// narrowest at the sockets' floor, and between them the sockets of the tails,
// the other way round.
type PinBoard struct{ Pins, TailSockets []Part }

// TailBoard holds what is cut into the tail board: tails, widest at their end
// and narrowest at the shoulder, and between them the sockets of the pins, the
// other way round.
type TailBoard struct{ Tails, PinSockets []Part }

// lay fills both boards. Pins stand at first + k P, tails half a pitch on, on
// either board, so that they meet when assembled. At every level pins and tail
// sockets, tails and pin sockets fill the width; what a board's one level has
// narrowest, its neighbours have widest:
//
//	pin + tail socket = tail + pin socket = P
func (l *Layout) lay() {
	w, pitch := l.Widths, l.Pitch
	pins := row{l, l.FirstPin, pitch}
	tails := row{l, l.FirstPin + pitch/2, pitch}
	l.PinBoard = PinBoard{
		Pins:        pins.parts(w.PinWidest, w.PinRoot),
		TailSockets: tails.parts(w.TailSocketWidest, pitch-w.PinWidest),
	}
	l.TailBoard = TailBoard{
		Tails:      tails.parts(w.TailWidest, w.TailRoot),
		PinSockets: pins.parts(w.PinSocketWidest, pitch-w.TailWidest),
	}
}

// row is a row of like parts, one every pitch.
type row struct {
	on           *Layout
	first, pitch length.Length
}

// parts returns those of which something lies on the board, in order. One
// pitch is enough beyond either edge: nothing is wider than that.
func (r row) parts(widest, narrowest length.Length) []Part {
	all := make([]Part, 0, r.on.Pitches+2)
	for k := -1; k <= r.on.Pitches+1; k++ {
		centre := r.first + length.Length(k)*r.pitch
		part := Part{Centre: centre, Widest: r.span(centre, widest), Narrowest: r.span(centre, narrowest)}
		if part.Widest.Width() < length.Resolution {
			continue
		}
		part.Share = r.share(centre, part.Widest.Width() < widest-length.Resolution)
		all = append(all, part)
	}
	return all
}

// span cuts off what lies beyond the edges.
func (r row) span(centre, width length.Length) Span {
	return Span{r.onBoard(centre - width/2), r.onBoard(centre + width/2)}
}

func (r row) onBoard(x length.Length) length.Length { return min(max(x, 0), r.on.Width) }

func (r row) share(centre length.Length, cut bool) Share {
	off := math.Min(math.Abs(centre.MM()), math.Abs((centre - r.on.Width).MM()))
	switch {
	case !cut:
		return Whole
	case 2*off <= HalfPinTolerance:
		return Half
	}
	return Partly
}
