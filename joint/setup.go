package joint

import (
	"errors"
	"math"

	"snugtail/joint/length"
	"snugtail/joint/wood"
)

// PinBoard is the drawer front: it lies flat while it is cut.
type PinBoard struct {
	Thickness   length.Size
	Width       length.Size
	GrooveDepth length.Size
	Stock       Stock
}

// TailBoard is the drawer side: it stands upright while it is cut.
type TailBoard struct {
	Thickness length.Size
	Width     length.Size
	Stock     Stock
}

// Stock is what is known of a board's wood. The zero Stock is not known.
type Stock struct {
	Species  string // id in joint/wood, "" if not known
	Grain    wood.Grain
	Moisture wood.Moisture // at cutting; counts only with MoistureKnown
	// MoistureKnown says that it was measured.
	MoistureKnown bool
}

// Depth is the depth of cut, measured in the wood.
type Depth struct {
	PinBoard  length.Size
	TailBoard length.Size
}

// EqualDepth is one setting of the router for both boards.
func EqualDepth(h length.Size) Depth { return Depth{PinBoard: h, TailBoard: h} }

// Deeper returns h, the depth that decides the play.
func (d Depth) Deeper() length.Size {
	if d.TailBoard.Length > d.PinBoard.Length {
		return d.TailBoard
	}
	return d.PinBoard
}

// Router is what is known of the router.
type Router struct {
	AdjusterLead length.Size // change of depth per turn
	AdjusterStep length.Size // finest change that can be set
	Backlash     length.Size // lost motion of the adjuster when its sense is reversed
	// GaugeBlocks are the blocks or bars that a depth can be set by, alone or
	// stacked; joint/setting looks at the first 16.
	GaugeBlocks  []length.Size
	TurnedInUse  bool
	ColletHeight length.Size // collet's nose above the router's base, cutter set
}

// Setup is all that a joint is cut with.
type Setup struct {
	Template      Template
	Bushing       Bushing
	Cutter        Cutter
	Depth         Depth
	Router        Router
	PinBoard      PinBoard
	TailBoard     TailBoard
	SideStopError length.Size // the tail board stood half a pitch plus this along +x
	Offset        Offset
}

// Offset is what test cuts taught of a set-up: b, added to the play that its
// stated sizes give, and how unsure it still is. It stands instead of the
// tolerances of those sizes.
type Offset struct {
	Mean, SD length.Length
	Known    bool
}

// AtDepth returns the set-up with both boards cut h deep. What is known of
// the depth's tolerance stays.
func (s Setup) AtDepth(h length.Length) Setup {
	s.Depth.PinBoard.Length, s.Depth.TailBoard.Length = h, h
	s.Depth.PinBoard.Given, s.Depth.TailBoard.Given = true, true
	return s
}

// sweptDiameter returns the diameter that the cutter sweeps at its tip: with
// runout, and if the router is turned in use also with the offset of the axes
// on both sides (joint/model.md, section 6).
func (c *Cutter) sweptDiameter(b *Bushing, turned bool) float64 {
	d := c.TipDiameter().MM()
	if turned {
		d += 2 * b.Eccentricity().MM()
	}
	return d
}

// Joint is the joint that a set-up cuts: the set-up's sizes as plain
// millimetres, under the model's symbols.
type Joint struct {
	setup          Setup
	d, tip, g      float64 // swept diameter, the same without turning, bushing
	tanA           float64
	k              float64 // K
	b              float64 // what test cuts add to play
	pitch          float64
	st, fp, sp, ft float64
	hp, ht, h      float64
}

// New returns the joint that s cuts, or an *Impossible error when no such
// joint can be cut; several of them joined where several things stand in the
// way. A set-up that only breaks a limit or interferes is no error; see
// Joint.Limits and Joint.Play.
func New(s Setup) (Joint, error) {
	j := Joint{setup: s}
	j.measure()
	return j, j.possible()
}

// measure takes the joint's sizes from its set-up.
func (j *Joint) measure() {
	s := &j.setup
	j.d = s.Cutter.sweptDiameter(&s.Bushing, s.Router.TurnedInUse)
	j.tip = s.Cutter.TipDiameter().MM()
	j.g = s.Bushing.Diameter.MM()
	j.tanA = s.Cutter.Angle.Tan()
	j.k = s.Template.TotalAllowance().MM()
	j.b = s.Offset.Mean.MM()
	j.pitch = s.Template.Pitch.MM()
	j.st, j.ft = s.Template.Tail.Opening.MM(), s.Template.Tail.Finger.MM()
	j.sp, j.fp = s.Template.Pin.Opening.MM(), s.Template.Pin.Finger.MM()
	j.hp, j.ht = s.Depth.PinBoard.MM(), s.Depth.TailBoard.MM()
	j.h = math.Max(j.hp, j.ht)
}

// Guided returns the reasons for which the bushing of s can't run in its
// template, whatever the cutter and its depth; nil where there is none, and where
// the sizes are not stated.
func Guided(s *Setup) error {
	if !s.Bushing.Diameter.Given || !s.Template.Tail.Opening.Given || !s.Template.Pin.Opening.Given {
		return nil
	}
	j := Joint{setup: *s, g: s.Bushing.Diameter.MM(), st: s.Template.Tail.Opening.MM(), sp: s.Template.Pin.Opening.MM()}
	return j.possiblePasses()
}

// Setup returns the set-up that cuts the joint.
func (j *Joint) Setup() Setup { return j.setup }

// possible returns the reasons for which the joint cannot be cut, joined; nil
// where there is none. Roots are looked at only where the rest is possible:
// what sizes that don't go together leave at the root tells nothing.
func (j *Joint) possible() error {
	if err := errors.Join(j.possibleDepth(), j.possiblePasses()); err != nil {
		return err
	}
	if !j.setup.Template.KnownByOpenings() {
		return nil
	}
	return j.possibleRoots()
}

func (j *Joint) possibleDepth() error {
	if t := j.setup.PinBoard.Thickness; t.Given && j.hp >= t.MM() {
		return &Impossible{QuantityDepthPinBoard, j.hp, t.MM(), ReasonThroughPinBoard}
	}
	if j.radius(j.h) <= 0 {
		return &Impossible{j.deeperQuantity(), j.h, j.d / 2 / j.tanA, ReasonCutterRunsOut}
	}
	return nil
}

func (j *Joint) deeperQuantity() Quantity {
	if j.ht > j.hp {
		return QuantityDepthTailBoard
	}
	return QuantityDepthPinBoard
}

func (j *Joint) possiblePasses() error {
	if !j.setup.Template.KnownByOpenings() {
		return nil
	}
	tail := j.takesBushing(QuantityTailOpening, j.st)
	if tail != nil && j.sp == j.st { // one opening, in a one-piece template
		return tail
	}
	return errors.Join(tail, j.takesBushing(QuantityPinOpening, j.sp))
}

func (j *Joint) takesBushing(of Quantity, opening float64) error {
	if opening > j.g {
		return nil
	}
	return &Impossible{of, opening, j.g, ReasonBushingTooWide}
}

func (j *Joint) possibleRoots() error {
	switch {
	case j.pinRoot() <= 0:
		return &Impossible{QuantityPinRoot, j.pinRoot(), 0, ReasonNoPinLeft}
	case j.tailRoot() <= 0:
		return &Impossible{QuantityTailRoot, j.tailRoot(), 0, ReasonNoTailLeft}
	}
	return nil
}

// radius returns r(u) of the swept cutter at height u above its tip.
func (j *Joint) radius(u float64) float64 { return j.d/2 - u*j.tanA }
