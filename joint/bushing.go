package joint

import (
	"math"

	"snugtail/joint/length"
)

// BushingKind is what guides the cutter along the template.
type BushingKind uint8

// Kinds of guides.
const (
	// KindBushing: a barrel round the cutter, fixed to the router's base.
	KindBushing BushingKind = iota
	// KindBearing: a ball bearing on the cutter's shank, above the flare. It
	// turns round the cutter's own axis, has no barrel, and runs on the template
	// only while its height lies within the template's thickness.
	KindBearing
)

// Bushing is what runs in the template's openings: the barrel of a guide bushing,
// or a bearing on the cutter's shank. Bore and Barrel are a guide bushing's; a
// bearing has none, and its axis is the cutter's: leave the offset out.
type Bushing struct {
	Kind     BushingKind
	ID       string // the same id is the same piece of steel
	Diameter length.Size
	// Labelled is what its label says, where Diameter was measured.
	Labelled length.Size
	Bore     length.Size
	Barrel   length.Size // length of the barrel below the router's base
	OffsetX  length.Size // cutter's axis seen from the bushing's, along the joint
	OffsetY  length.Size // the same, towards the pin board
}

// HasBarrel reports whether there is a barrel whose length is known.
func (b *Bushing) HasBarrel() bool { return b.Kind == KindBushing && b.Barrel.Given }

// Eccentricity returns |e|, the distance between the axes of cutter and bushing.
func (b *Bushing) Eccentricity() length.Length {
	return length.Length(math.Hypot(b.OffsetX.MM(), b.OffsetY.MM()))
}
