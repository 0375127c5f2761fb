package parts

import (
	"snugtail/joint/length"
	"snugtail/joint/wood"
)

// Size is a size across, up, and front to back.
type Size struct{ Width, Height, Depth length.Length }

// Less returns the size with an allowance taken off.
func (s Size) Less(allowance Size) Size {
	return Size{s.Width - allowance.Width, s.Height - allowance.Height, s.Depth - allowance.Depth}
}

// Material is what a stock is made of.
type Material = wood.Material

// Materials.
const (
	Solid   = wood.Solid
	Plywood = wood.Plywood
	MDF     = wood.MDF
)

// Stock is boards of one wood and thickness.
type Stock struct {
	Thickness length.Length // as measured
	// Tolerance is how far the thickness is as good as sure to vary, either way;
	// not stated where nothing was said of it.
	Tolerance     length.Size
	Material      Material
	Species       string // id in joint/wood, "" if not known
	Grain         wood.Grain
	Moisture      wood.Moisture // when it is made into drawers
	MoistureKnown bool
}

// alike reports whether two stocks are of one wood and thickness.
func (s *Stock) alike(other *Stock) bool {
	return s.Thickness == other.Thickness && s.Material == other.Material && s.Species == other.Species
}

// BackJoint is how the back meets the sides.
type BackJoint uint8

// Joints at the back.
const (
	HalfBlindBack BackJoint = iota // as at the front
	HousedBack                     // between the sides, let into them
	ButtedBack                     // between the sides
)

// BackPanel is the drawer's back. Housing counts only for HousedBack, Setback not
// for HalfBlindBack.
type BackPanel struct {
	Joint   BackJoint
	Housing length.Length // depth of the housings
	Setback length.Length // from the sides' ends to the back's outside face
}

// setback is 0 where the back is a pin board.
func (b BackPanel) setback() length.Length {
	if b.Joint == HalfBlindBack {
		return 0
	}
	return b.Setback
}

// Groove takes the drawer's bottom. The zero Groove is none.
type Groove struct {
	Given      bool
	FromBottom length.Length // from the sides' bottom edge to the nearer wall
	Width      length.Length
	Depth      length.Length
	Clearance  length.Length // left free behind the bottom's edge, in each groove
	// UnderBack: the back ends above the groove, and the bottom is slid in
	// under it. Only for a back between the sides.
	UnderBack bool
}

// top is the groove's upper wall.
func (g Groove) top() length.Length { return g.FromBottom + g.Width }

// hold is how far the bottom reaches into one groove.
func (g Groove) hold() length.Length { return g.Depth - g.Clearance }

// LipEdges says at which edges a front is lipped.
type LipEdges uint8

// Edges with a lip.
const (
	LipAllRound LipEdges = iota
	LipEndsAndTop
	LipEnds
)

// Lip is what a rabbeted front stands out beyond the drawer behind it. The
// zero Lip is none.
type Lip struct {
	Given     bool
	Width     length.Length // beyond the drawer, at each lipped edge
	Thickness length.Length // wood left at the front's face
	Edges     LipEdges
}

// at is where the rabbet runs.
func (l Lip) at() Place {
	return [...]Place{LipAllRound: AllEdges, LipEndsAndTop: EndsAndTop, LipEnds: BothEnds}[l.Edges]
}

// ends, top and bottom are how far the front stands out there.
func (l Lip) ends() length.Length { return l.Width }

func (l Lip) top() length.Length {
	if l.Edges == LipEnds {
		return 0
	}
	return l.Width
}

func (l Lip) bottom() length.Length {
	if l.Edges != LipAllRound {
		return 0
	}
	return l.Width
}

// HeightRule says how a drawer's height is chosen.
type HeightRule uint8

// Rules of height. Half pins at both edges look alike and are strong.
const (
	ExactHeight  HeightRule = iota
	HalfPinsDown            // the next height down that ends in half pins
	HalfPinsUp              // the next one up
)

// Room is what an opening leaves free around a drawer, both sides together.
type Room struct {
	Known         bool
	Width, Height length.Length
}

// NoBottom is a drawer's Bottom where no stock is named for one.
const NoBottom = -1

// Drawer is a row of drawers of one kind. Front, Sides, BackFrom and Bottom are
// indexes of Job.Stock.
type Drawer struct {
	Count int
	// HeightRule says which height is taken instead of Outside's.
	HeightRule HeightRule
	// SidesHeight and BackHeight are those of sides and back above the sides' bottom
	// edge, where they are lower than the front; not stated, they are as high.
	SidesHeight, BackHeight length.Size
	// Room is what the opening leaves free in width and height; of a drawer that
	// was stated by its outside size it is not known.
	Room Room
	// Outside is the size over front, sides and back. A lip counts to its
	// depth, and neither to its width nor to its height.
	Outside                Size
	Front, Sides, BackFrom int
	Bottom                 int
	Back                   BackPanel
	Groove                 Groove
	Lip                    Lip
	// Sawn is the length of sides that are already sawn, if they are.
	Sawn length.Size
}

// FromOpening returns the outside size of a drawer that goes into an opening
// with an allowance, of all sides together. A lip closes on the opening's face
// and so adds to the depth.
func FromOpening(opening, allowance Size, lip Lip) Size {
	s := opening.Less(allowance)
	s.Depth += lip.Thickness
	return s
}
