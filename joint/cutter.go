package joint

import (
	"math"

	"snugtail/joint/length"
)

// Angle is an angle in degrees. A cutter's angle is that between its flank
// and its axis, one side.
type Angle float64

// Radians returns the angle in radians.
func (a Angle) Radians() float64 { return float64(a) * math.Pi / 180 }

// Tan returns the tangent of the angle.
func (a Angle) Tan() float64 { return math.Tan(a.Radians()) }

// Condition is what is known of a cutter's life. It decides the tolerance of
// a diameter stated without one.
type Condition uint8

// Conditions of a cutter. A cutter of which nothing is said counts as new.
const (
	ConditionNew Condition = iota
	ConditionUsed
	ConditionResharpened
	ConditionUnknown
)

// Cutter is a dovetail cutter: a truncated cone, widest at its tip.
type Cutter struct {
	ID       string // the same id is the same piece of steel
	Diameter length.Size
	// Labelled is what its label says, where Diameter was measured.
	Labelled          length.Size
	Angle             Angle
	AngleTolerance    Angle
	HasAngleTolerance bool
	Condition         Condition
	CuttingLength     length.Size // height of the flank above the tip
	Neck              length.Size // diameter above the cutting length
	Shank             length.Size // diameter held by the collet
	OverallLength     length.Size
	Runout            length.Size // total indicated runout
}

// TipDiameter returns d: the diameter that the tip sweeps, runout included
// (joint/model.md, section 6).
func (c *Cutter) TipDiameter() length.Length {
	return c.Diameter.Length + c.Runout.Length
}

// RadiusAt returns r(u) = d/2 - u tan a, the swept radius at height u above
// the tip. It is negative above the cone's apex.
func (c *Cutter) RadiusAt(u length.Length) length.Length {
	return c.TipDiameter()/2 - u*length.Length(c.Angle.Tan())
}
