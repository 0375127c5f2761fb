package joint

import (
	"math"

	"snugtail/joint/length"
)

// Bushing is a guide bushing: its barrel runs in the template's openings.
type Bushing struct {
	ID       string // the same id is the same piece of steel
	Diameter length.Size
	Bore     length.Size
	Barrel   length.Size // length of the barrel below the router's base
	OffsetX  length.Size // cutter's axis seen from the bushing's, along the joint
	OffsetY  length.Size // the same, towards the pin board
}

// Eccentricity returns |e|, the distance between the axes of cutter and bushing.
func (b *Bushing) Eccentricity() length.Length {
	return length.Length(math.Hypot(b.OffsetX.MM(), b.OffsetY.MM()))
}
