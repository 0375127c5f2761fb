package advise

import (
	"math"

	"snugtail/joint/belief"
	"snugtail/joint/length"
)

// CornerDifference is a quantity that differs between two groups of a drawer's
// corners by more than two standard errors, and what that points to.
type CornerDifference struct {
	Seen   belief.Seen // SeenSeat, SeenEdgeStep or SeenPulledGap
	Sides  CornerSides
	Amount length.Length // of the first group less the second
	Error  length.Length // standard error of it
}

// CornerSides are two groups of corners.
type CornerSides uint8

// Groups of corners. Left front and right back corners go to the left stop,
// the others to the right one.
const (
	FrontAgainstBack CornerSides = iota // fronts against backs: another board, another set-up
	LeftAgainstRight                    // left against right sides: another board
	StopAgainstStop                     // one stop against the other: a stop, or the template's end
)

var cornerSide = [...]struct{ first, second [2]belief.Corner }{
	FrontAgainstBack: {[2]belief.Corner{belief.FrontLeft, belief.FrontRight}, [2]belief.Corner{belief.BackLeft, belief.BackRight}},
	LeftAgainstRight: {[2]belief.Corner{belief.FrontLeft, belief.BackLeft}, [2]belief.Corner{belief.FrontRight, belief.BackRight}},
	StopAgainstStop:  {[2]belief.Corner{belief.FrontLeft, belief.BackRight}, [2]belief.Corner{belief.FrontRight, belief.BackLeft}},
}

// beyond is by how many standard errors groups differ before it is named.
const beyond = 2

// cornerDifferences compares what was read at the corners.
func cornerDifferences(cuts []belief.Cut) []CornerDifference {
	var all []CornerDifference
	for _, of := range [...]struct {
		seen belief.Seen
		u    float64
		get  func(*belief.Cut) length.Size
	}{
		{belief.SeenSeat, 2 * seatReading, func(c *belief.Cut) length.Size { return c.Seat }},
		{belief.SeenEdgeStep, 2 * edgeReading, func(c *belief.Cut) length.Size { return c.EdgeStep }},
		{belief.SeenPulledGap, 2 * gapReading, func(c *belief.Cut) length.Size { return c.PulledGap }},
	} {
		best, found := CornerDifference{}, false
		for sides, pair := range cornerSide {
			a, ea, oka := meanOf(cuts, pair.first, of.get, of.u)
			b, eb, okb := meanOf(cuts, pair.second, of.get, of.u)
			if !oka || !okb {
				continue
			}
			d := CornerDifference{of.seen, CornerSides(sides), length.Length(a - b), length.Length(math.Hypot(ea, eb))}
			if z := math.Abs(a-b) / d.Error.MM(); z > beyond && (!found || z > math.Abs((best.Amount/best.Error).MM())) {
				best, found = d, true
			}
		}
		if found {
			all = append(all, best)
		}
	}
	return all
}

// meanOf returns the mean reading of two corners and its standard error. Both
// corners must have been read where more than one pair is compared.
func meanOf(cuts []belief.Cut, corners [2]belief.Corner, get func(*belief.Cut) length.Size, tolerance float64) (mean, err float64, ok bool) {
	sum, n, variance := 0.0, 0.0, 0.0
	for i := range cuts {
		c := &cuts[i]
		if size := get(c); size.Given && (c.Corner == corners[0] || c.Corner == corners[1]) {
			sum, n = sum+size.MM(), n+1
			variance += square(size.StandardUncertainty(length.Length(tolerance)))
		}
	}
	if n == 0 {
		return 0, 0, false
	}
	return sum / n, math.Sqrt(variance) / n, true
}

func square(x float64) float64 { return x * x }
