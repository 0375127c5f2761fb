package layout

import (
	"math"

	"snugtail/joint/length"
)

// Groove takes the drawer's bottom: it runs the length of front, sides and
// back, in their inside faces, and out at their ends.
type Groove struct {
	Given      bool
	FromBottom length.Length // from the bottom edge to its nearer wall
	Width      length.Length
	Depth      length.Length
}

func (g Groove) end() length.Length { return g.FromBottom + g.Width }

// SeenFrom is how much of a groove is seen, mm: less is no more than a place
// was rounded by in print, in millimetres or inches. Judgement.
const SeenFrom = 0.02

// Place is where a groove would start, from the bottom edge.
type Place struct {
	Known bool // false: there is none that way
	From  length.Length
}

// Finding is what becomes of a groove. In a side nothing of it is ever seen:
// it ends in a tail, which is covered, or against a pin. In front and back it
// runs out at both ends, where only the tails cover it.
type Finding struct {
	Known  bool // false: there is no groove
	Asked  Groove
	Hidden bool
	// Margin is how far its worse wall stays inside the tail that covers it
	// best, at the root; negative: how far it reaches out beside it; 0 where
	// that is less than SeenFrom.
	Margin length.Length
	Tail   int // which tail that is, an index of Layout.TailBoard.Tails
	// UnderTail: it is deeper than the cut, and shows as a notch under the tail.
	UnderTail bool
	Beside    []Span // what is seen of it beside the tails
	Under     []Span // what is seen of it under them
	// Lower and Higher are the nearest places where tails cover it; unknown
	// where they already do, and where it is wider than a tail's root.
	Lower, Higher Place
}

// in finds what becomes of the groove: hidden inside one tail, between its
// edges at the root, and no deeper than the sockets.
func (g Groove) in(l *Layout) Finding {
	if !g.Given {
		return Finding{}
	}
	f := Finding{Known: true, Asked: g, Margin: length.Length(math.Inf(-1))}
	f.UnderTail = g.Depth-l.Joint.Setup().Depth.PinBoard.Length > SeenFrom
	for i, tail := range l.TailBoard.Tails {
		if inside := g.inside(tail.Narrowest); inside > f.Margin {
			f.Margin, f.Tail = inside, i
		}
	}
	if f.Margin >= -SeenFrom {
		f.Margin = max(f.Margin, 0)
	} else {
		f.Beside = g.beside(l.TailBoard.Tails)
		f.Lower, f.Higher = g.nearest(l.TailBoard.Tails)
	}
	if f.UnderTail {
		f.Under = g.covered(l.TailBoard.Tails)
	}
	f.Hidden = f.Margin >= 0 && !f.UnderTail
	return f
}

// inside returns how far the groove's worse wall stays inside the span.
func (g Groove) inside(s Span) length.Length { return min(g.FromBottom-s.From, s.To-g.end()) }

// nearest returns the nearest places below and above that hide the groove.
func (g Groove) nearest(tails []Part) (lower, higher Place) {
	for _, tail := range tails {
		first, last := tail.Narrowest.From, tail.Narrowest.To-g.Width
		if (last - first).Rounded() < 0 {
			continue
		}
		if last < g.FromBottom {
			lower = Place{true, last}
		}
		if first > g.FromBottom && !higher.Known {
			higher = Place{true, first}
		}
	}
	return lower, higher
}

// covered returns what of the groove lies in tails.
func (g Groove) covered(tails []Part) []Span {
	var all []Span
	for _, tail := range tails {
		s := Span{max(g.FromBottom, tail.Narrowest.From), min(g.end(), tail.Narrowest.To)}
		if s.Width().Rounded() > 0 {
			all = append(all, s)
		}
	}
	return all
}

// beside returns what of the groove lies in no tail.
func (g Groove) beside(tails []Part) []Span {
	var all []Span
	from := g.FromBottom
	for _, tail := range append(g.covered(tails), Span{From: g.end(), To: g.end()}) {
		if s := (Span{from, tail.From}); s.Width().Rounded() > 0 {
			all = append(all, s)
		}
		from = tail.To
	}
	return all
}
