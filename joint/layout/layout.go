// Package layout lays pins and tails out across the width of a board: where
// each of them falls on both boards, how the board ends at its edges, which
// widths end in half pins, which stop each corner of a drawer is cut at, and
// whether the groove for the bottom stays hidden.
//
// Positions are measured across the board from its reference edge, the edge
// that is held against the stop; for a drawer that is the bottom edge. Every
// layout is symmetrical about the middle of the board, so the boards that are
// cut at the left and at the right stop are mirror images and share one layout.
//
// Start with New. Heights is the reverse: which widths up to an opening end in
// half pins.
package layout

import (
	"math"

	"snugtail/joint"
	"snugtail/joint/length"
)

const (
	// HalfPinTolerance is how far a width may be off whole pitches and still
	// count as ending in half pins: each of the two differs by half of it.
	// Judgement: boards are not sawn closer.
	HalfPinTolerance = 0.1
	// MostPitches bounds the work: no board of a drawer has more. Judgement.
	MostPitches = 500
)

// Spacing is the range of pitches at which openings can be spaced freely. The
// zero Spacing is a template of one pitch.
type Spacing struct{ Least, Most length.Length }

// Free reports whether the openings can be spaced at all.
func (s Spacing) Free() bool { return s != Spacing{} }

// Plan is what is to be laid out.
type Plan struct {
	Setup   joint.Setup
	Width   length.Length // of both boards, across the joint
	Spacing Spacing
	Groove  Groove
}

// Centre is what stands in the middle of the board.
type Centre uint8

// The two ways to centre a layout.
const (
	OnPin Centre = iota
	OnTail
)

// Layout is where pins and tails fall.
type Layout struct {
	Joint     joint.Joint // as cut at Pitch
	Widths    joint.Widths
	Width     length.Length
	Pitch     length.Length
	Pitches   int           // whole pitches between the outermost pins' centres
	FirstPin  length.Length // centre of the pin at the reference edge; negative outside the board
	Centre    Centre
	HalfPins  bool // the width is whole pitches, within HalfPinTolerance
	Edge      EdgePin
	Otherwise Alternative
	PinBoard  PinBoard
	TailBoard TailBoard
	Nearest   Nearest
	Spacer    Spacer
	Groove    Finding
	Limits    joint.Limits
}

// Alternative is the other way to centre the layout, which was not chosen.
type Alternative struct {
	Known  bool // false where half pins left nothing to choose, or no tail would be left
	Centre Centre
	Edge   EdgePin
}

// Spacer is a strip between stop and boards that shifts them from where they
// end in half pins to this layout. Common practice, no source.
type Spacer struct {
	Known     bool // false: none is needed, or the openings are spaced to suit
	Thickness length.Length
}

// New lays pins and tails out. A width of whole pitches ends in half pins;
// any other is centred on a pin or on a tail, whichever leaves the stronger pin
// at the edges. Openings that can be spaced freely take the pitch nearest to
// the template's own that ends in half pins. Errors are *joint.Impossible for a
// joint that can't be cut, *TooClose for pitches at which it can't, *Refused for
// what can't be laid out. A layout
// that breaks a limit is no error.
func New(p Plan) (Layout, error) {
	if err := first(p.Refusals()); err != nil {
		return Layout{}, err
	}
	if p.Groove.Given {
		p.Setup.PinBoard.GrooveDepth = length.Exactly(p.Groove.Depth)
	}
	own, err := possible(p.Setup, p.Spacing)
	if err != nil {
		return Layout{}, err
	}
	best, other := choose(p.Width.MM(), p.pitches(), edgeOf(&own))
	p.Setup.Template = spaced(p.Setup.Template, length.Length(best.pitch))
	j, err := joint.New(p.Setup)
	if err != nil {
		return Layout{}, err
	}
	return p.layout(j, best, other), nil
}

func (p *Plan) layout(j joint.Joint, best choice, other Alternative) Layout {
	widths, _ := j.Widths() // known: Refusals has seen to it
	l := Layout{
		Joint: j, Widths: widths, Width: p.Width,
		Pitch: length.Length(best.pitch), Pitches: best.n, FirstPin: length.Length(best.first),
		Centre: best.centre(), HalfPins: best.halfPins(), Edge: best.edge,
		Otherwise: other,
		Nearest:   p.nearest(best),
	}
	l.lay()
	if !p.Spacing.Free() {
		l.Spacer = best.spacer()
	}
	l.Groove = p.Groove.in(&l)
	l.Limits = j.Limits()
	l.Limits[joint.LimitEdgePin].Margin = l.SmallestEdgePin() - joint.LeastRoot
	if deep := &l.Limits[joint.LimitGrooveDepth]; !l.Groove.UnderTail {
		deep.Margin = max(deep.Margin, 0) // what can't be seen breaks nothing
	}
	return l
}

// SmallestEdgePin returns the wood at the root of the pin at the weaker edge:
// the layout's, less the error of the side stops; 0 where none is left.
func (l *Layout) SmallestEdgePin() length.Length {
	off := math.Abs(l.Joint.EdgeStep().MM())
	return length.Length(math.Max(0, l.Edge.Root.MM()-off))
}

// pitches is a range of pitches, mm; stated is the template's own.
type pitches struct{ least, most, stated float64 }

func (p *Plan) pitches() pitches {
	own := p.Setup.Template.Pitch.MM()
	if !p.Spacing.Free() {
		return pitches{own, own, own}
	}
	return pitches{p.Spacing.Least.MM(), p.Spacing.Most.MM(), own}
}

// spaced returns the template with its openings spaced anew. What cuts the pin
// sockets and what leaves the pins keep their widths, and so does K; the tails
// take up the difference. One pitch stays as it was stated.
func spaced(t joint.Template, pitch length.Length) joint.Template {
	if pitch == t.Pitch.Length {
		return t
	}
	t.Tail.Finger = length.Exactly(pitch - t.Tail.Opening.Length)
	t.Pin.Opening = length.Exactly(pitch - t.Pin.Finger.Length)
	t.Pitch = length.Exactly(pitch)
	return t
}

// choice is a number of pitches, laid out from the middle of the board.
type choice struct {
	n     int
	pitch float64
	first float64 // (W - n P) / 2
	edge  EdgePin
}

func (c choice) centre() Centre {
	if c.n%2 == 0 {
		return OnPin
	}
	return OnTail
}

func (c choice) halfPins() bool { return 2*math.Abs(c.first) <= HalfPinTolerance }

// spacer: the stops hold the board's edge on a finger's centre. A strip brings
// the edge in from there, so the finger's centre lies outside by its thickness,
// and the next one a pitch less that inside.
func (c choice) spacer() Spacer {
	switch {
	case c.halfPins():
		return Spacer{}
	case c.first < 0:
		return Spacer{true, length.Length(-c.first)}
	}
	return Spacer{true, length.Length(c.pitch - c.first)}
}

// choose returns the best number of pitches and, for a width that does not end
// in half pins, the other way to centre it.
func choose(w float64, p pitches, edge func(float64) EdgePin) (choice, Alternative) {
	if c, ok := wholePitches(w, p); ok {
		c.edge = edge(c.first)
		return c, Alternative{}
	}
	n := int(w / p.most)
	wider, narrower := centred(w, n, p.most, edge), centred(w, n+1, p.least, edge)
	switch {
	case narrower.halfPins() || n == 0: // a single pin holds no tail
		return narrower, Alternative{}
	case wider.halfPins():
		return wider, Alternative{}
	case narrower.edge.Root > wider.edge.Root:
		return narrower, Alternative{true, wider.centre(), wider.edge}
	}
	// Where neither leaves a pin at the edges, fewer pitches leave whole pins
	// outermost, and every whole tail is held on both its flanks.
	return wider, Alternative{true, narrower.centre(), narrower.edge}
}

func centred(w float64, n int, pitch float64, edge func(float64) EdgePin) choice {
	first := (w - float64(n)*pitch) / 2
	return choice{n: n, pitch: pitch, first: first, edge: edge(first)}
}

// wholePitches finds the pitch nearest to the template's own that divides the
// width, among those to choose from.
func wholePitches(w float64, p pitches) (best choice, ok bool) {
	away := math.Inf(1)
	for n := max(1, int(math.Ceil(w/p.most))); n <= int(w/p.least); n++ {
		pitch := math.Min(math.Max(w/float64(n), p.least), p.most) // within it but for the last bit
		if d := math.Abs(pitch - p.stated); d < away {
			best, away, ok = choice{n: n, pitch: pitch}, d, true
		}
	}
	return best, ok
}
