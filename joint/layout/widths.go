package layout

import (
	"cmp"
	"math"
	"slices"

	"snugtail/joint"
	"snugtail/joint/length"
)

// Nearest holds the widths next to the board's own that end in half pins: at
// the layout's pitch, or for openings spaced freely at whatever pitch they take.
type Nearest struct {
	Smaller, Larger length.Length
	SmallerKnown    bool // false: the board is too narrow for one pitch less
}

// nearest: n P for a template of one pitch. Where openings are spaced freely
// and no pitch divides the width, it lies between the widest that takes n
// pitches and the narrowest that takes one more.
func (p *Plan) nearest(c choice) Nearest {
	fewer, more := c.n-1, c.n+1
	least, most := c.pitch, c.pitch
	if !c.halfPins() {
		in := p.pitches()
		fewer = int(p.Width.MM() / in.most)
		more, least, most = fewer+1, in.least, in.most
	}
	return Nearest{
		Smaller:      length.Length(float64(fewer) * most),
		SmallerKnown: fewer > 0,
		Larger:       length.Length(float64(more) * least),
	}
}

// Height is a height of drawer that ends in half pins.
type Height struct {
	Tails  int
	Height length.Length // the greatest that takes so many tails
	Least  length.Length // the same, or less where openings are spaced freely
	Left   length.Length // of the opening, above Height
}

// Heights returns the heights up to an opening that end in half pins, those
// first that leave least of it, none where it takes no pitch: n P, or for openings spaced freely every height
// from n times the least pitch to n times the most. Errors are those of
// New.
func Heights(s joint.Setup, spacing Spacing, opening length.Length) ([]Height, error) {
	if err := first(refusals(s.Template, spacing)); err != nil {
		return nil, err
	}
	if _, err := possible(s, spacing); err != nil {
		return nil, err
	}
	p := (&Plan{Setup: s, Spacing: spacing}).pitches()
	n, err := pitchesIn(opening.MM(), p.least)
	if err != nil {
		return nil, err
	}
	all := make([]Height, n)
	for i := range all {
		all[i] = heightOf(i+1, p, opening.MM())
	}
	slices.SortStableFunc(all, func(a, b Height) int {
		return cmp.Or(cmp.Compare(a.Left.Rounded(), b.Left.Rounded()), cmp.Compare(p.away(a), p.away(b)))
	})
	return all, nil
}

// pitchesIn counts whole pitches, a millionth of a millimetre short included.
func pitchesIn(opening, least float64) (int, error) {
	n := (opening + length.Resolution) / least
	if !(n <= MostPitches) {
		return 0, &Refused{QuantityOpeningHeight, n, MostPitches, ReasonTooManyPitches}
	}
	return max(0, int(n)), nil
}

func heightOf(n int, p pitches, opening float64) Height {
	height := math.Min(float64(n)*p.most, opening)
	if p.least == p.most { // as many pitches as were found to fit
		height = float64(n) * p.most
	}
	return Height{
		Tails: n, Height: length.Length(height),
		Least: length.Length(float64(n) * p.least),
		Left:  length.Length(math.Max(0, opening-height)),
	}
}

// away returns how far a height's pitch is from the template's own.
func (p pitches) away(h Height) float64 {
	return math.Abs(h.Height.MM()/float64(h.Tails) - p.stated)
}
