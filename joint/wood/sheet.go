package wood

// Material is what a board is made of.
type Material uint8

// Materials of boards.
const (
	Solid   Material = iota
	Plywood          // veneers laid crosswise
	MDF              // medium density fiberboard
)

// PlywoodMovement is plywood's strain in its plane per percent of moisture
// content, along and across its face grain alike: 0.2 % from oven-dry to fiber
// saturation, the figure of the plywood industry's design specifications, from
// memory. Solid wood moves some thirty times as much across its grain.
const PlywoodMovement = 0.002 / FiberSaturation

// MDFMovement is fiberboard's strain in its plane per percent of the moisture
// content that wood takes on: at most 0.33 % between air of 50 and of 80 %
// (ANSI A208.2, linear expansion, from memory), where wood at 20 degC goes from
// 9.2 to 16 %. That fiberboard is held to wood's moisture is judgement.
const MDFMovement = 0.0033 / (16 - 9.2)

// LongitudinalMovement is solid wood's strain along its grain per percent of
// moisture content: 0.1 to 0.2 % from green to oven-dry for most species, of
// which the more is taken. Wood Handbook, FPL-GTR-190, ch. 4, from memory.
const LongitudinalMovement = 0.002 / FiberSaturation

// curve is how the board moves in a direction across its grain. Sheet materials
// move in their plane by their own figure, and through their thickness as solid
// wood does that is neither flat- nor quarter-sawn (judgement).
func (b *Board) curve(direction Direction) curve {
	switch {
	case b.Material == Solid:
		return curveOf(&b.Wood, b.Grain, direction)
	case direction == Thickness:
		return curveOf(&b.Wood, GrainMixed, Thickness)
	}
	r := rate{c: PlywoodMovement, sheet: true}
	if b.Material == MDF {
		r.c = MDFMovement
	}
	return curve{one: r, other: r, scatter: sheetScatter}
}

// sheetScatter is the coefficient of variation of a sheet material's movement.
// Judgement: the figures are upper ends and industry averages.
const sheetScatter = 0.5

// Strain returns how the board swells in a direction when its moisture content
// goes from one percentage to another, as the function Strain does for solid
// wood, with its errors.
func (b *Board) Strain(direction Direction, fromPercent, toPercent float64) (Swelling, error) {
	for _, m := range [...]float64{fromPercent, toPercent} {
		if err := within(QuantityMoisture, m, LeastMoisture, FiberSaturation, unitPercent); err != nil {
			return Swelling{}, err
		}
	}
	c := b.curve(direction)
	if missing := c.missing(fromPercent, toPercent); missing != nil {
		return Swelling{}, missing
	}
	return c.swelling(fromPercent, toPercent), nil
}

// alike reports whether boards are of one species and material.
func (b *Board) alike(other *Board) bool {
	return b.Wood.ID == other.Wood.ID && b.Material == other.Material
}
