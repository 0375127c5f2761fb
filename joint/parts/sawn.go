package parts

import (
	"math"

	"snugtail/joint"
	"snugtail/joint/length"
)

// Sawn is what becomes of sides that are already sawn. The zero Sawn is of
// sides that are not.
type Sawn struct {
	Given  bool
	Length length.Length
	// Depth is the depth of cut at which the drawer comes out at its size; 0 or
	// below where the sides are too short for any.
	Depth length.Length
	Fits  bool
	// Cutter is the one that is taken, or else the one whose play at that depth
	// comes nearest to the play wanted, and Prediction its joint at the front;
	// -1 and nil where none can cut it.
	Cutter     int
	Prediction *joint.Prediction
	// ComesOut is the outside depth of the drawer when the sides are cut at the
	// depth that fits instead; known where some cutter serves there.
	ComesOut      length.Length
	ComesOutKnown bool
}

// sawnDepth is (L - D + tf + tb)/2 with half-blind joints at both ends and
// L - D + tf with one at the front alone.
func (m *maker) sawnDepth() length.Length {
	h := m.d.Sawn.Length - m.d.Outside.Depth + m.tf
	if m.d.Back.Joint == HalfBlindBack {
		return (h + m.tb) / 2
	}
	return h
}

// sawn tells of sides that are already sawn, once the drawer's cutters are
// chosen or refused.
func (c *chooser) sawn(m *maker, n *need, refused bool) (Sawn, error) {
	s := Sawn{Given: true, Length: m.d.Sawn.Length, Depth: m.sawnDepth(), Fits: !refused, Cutter: n.chosen}
	if refused {
		s.Cutter = c.nearestPlay(n.ends)
	}
	if s.Cutter >= 0 {
		s.Prediction = n.ends[AtFront].options[s.Cutter].prediction
	}
	var err error
	s.ComesOut, s.ComesOutKnown, err = c.comesOut(m)
	return s, err
}

// nearestPlay returns the cutter whose play comes nearest to the target's, -1
// where none can cut at that depth.
func (c *chooser) nearestPlay(ends []*verdict) int {
	best, least := -1, math.Inf(1)
	for i := range c.cutters {
		off := 0.0
		for _, v := range ends {
			off = math.Max(off, v.options[i].off(c.job.Target.Play))
		}
		if off < least {
			best, least = i, off
		}
	}
	return best
}

// off is how far the play is from the one wanted; +Inf where it is not known.
func (o *option) off(play length.Length) float64 {
	if o.prediction == nil {
		return math.Inf(1)
	}
	return math.Abs((o.prediction.Fit.Play - play).MM())
}

// comesOut finds the size that the drawer comes out at when its joints are cut
// as if the sides were still to be sawn: D + L - the sides' length then.
func (c *chooser) comesOut(m *maker) (depth length.Length, known bool, err error) {
	alone := need{count: 1} // whose boards don't count
	for _, of := range m.classes() {
		of.sawn, of.at = false, 0
		v, err := c.verdict(of)
		if err != nil {
			return 0, false, err
		}
		alone.ends = append(alone.ends, v)
	}
	if c.refusal(&alone) != nil {
		return 0, false, nil
	}
	c.cover([]*need{&alone})
	front, back := alone.depths()
	return m.d.Outside.Depth + m.d.Sawn.Length - m.sideLength(front, back), true, nil
}
