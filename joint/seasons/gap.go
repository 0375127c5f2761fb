package seasons

import (
	"fmt"
	"math"

	"snugtail/joint/length"
	"snugtail/joint/wood"
)

// House is the driest and the dampest that wood gets where a drawer lives, % of
// oven-dry mass.
type House struct{ Dry, Damp float64 }

// HouseOf returns the extremes of some climates, at least one.
func HouseOf(climates []wood.Climate) House {
	h := House{math.Inf(1), math.Inf(-1)}
	for _, c := range climates {
		h.Dry, h.Damp = min(h.Dry, c.Moisture.Percent), max(h.Damp, c.Moisture.Percent)
	}
	return h
}

// Moves is how far a board goes between a house's extremes, as strains, each 0 or
// more.
type Moves struct {
	// From is the moisture when it was made, %. Assumed: none was stated, and the
	// board may have been at its driest or at its dampest, so that it still swells,
	// or shrinks, by the whole year's movement.
	From    float64
	Assumed bool

	Swells, Shrinks float64 // across its width
	Thickens        float64
	Lengthens       float64 // along its grain
}

// MovesIn returns how far a board goes, from its moisture where that is known. The
// grain not being stated, it is taken as flat-sawn, which moves most (judgement).
// Errors are those of wood.Board.Strain.
func (h House) MovesIn(b *wood.Board, known bool) (Moves, error) {
	flat := *b
	if flat.Grain == wood.GrainUnknown {
		flat.Grain = wood.FlatSawn
	}
	m := Moves{From: h.Dry, Assumed: !known}
	shrinksFrom := h.Damp
	if known {
		m.From, shrinksFrom = b.Moisture.Percent, b.Moisture.Percent
	}
	swells, err := flat.Strain(wood.Width, m.From, h.Damp)
	if err != nil {
		return Moves{}, fmt.Errorf("swelling: %w", err)
	}
	shrinks, err := flat.Strain(wood.Width, shrinksFrom, h.Dry)
	if err != nil {
		return Moves{}, fmt.Errorf("shrinking: %w", err)
	}
	thickens, err := flat.Strain(wood.Thickness, m.From, h.Damp)
	if err != nil {
		return Moves{}, fmt.Errorf("thickening: %w", err)
	}
	m.Swells, m.Shrinks = math.Max(0, swells.Strain), math.Max(0, -shrinks.Strain)
	m.Thickens = math.Max(0, thickens.Strain)
	m.Lengthens = math.Max(0, wood.LongitudinalMovement*(h.Damp-m.From))
	return m, nil
}

// Gap is what a size needs to swell, and what is free for it.
type Gap struct {
	Size, Swells length.Length
	Room         length.Size   // free now; not stated where no opening is known
	Fits         length.Length // the greatest size that goes into the opening when it is swollen; with Room
}

// StepDown is how finely a size that fits is told, mm: rounded down to what can
// be sawn. Judgement.
const StepDown = 0.1

// GapOf returns the gap of a size that swells by a strain, and by more whatever
// its size: with the opening o = size + room, what fits is (o - more)/(1 + strain).
func GapOf(size length.Length, strain float64, more length.Length, room length.Size) Gap {
	g := Gap{Size: size, Swells: size*length.Length(strain) + more, Room: room}
	if room.Given {
		g.Fits = Down((size + room.Length - more) / length.Length(1+strain))
	}
	return g
}

// Enough reports whether the room is known and takes the swelling.
func (g Gap) Enough() bool { return g.Room.Given && (g.Room.Length-g.Swells).Rounded() >= 0 }

// Down returns a size rounded down to StepDown, Up one rounded up to it.
func Down(l length.Length) length.Length {
	return length.Length(math.Floor(l.Rounded().MM()/StepDown+1e-7) * StepDown).Rounded()
}

// Up is Down the other way.
func Up(l length.Length) length.Length {
	return length.Length(math.Ceil(l.Rounded().MM()/StepDown-1e-7) * StepDown).Rounded()
}

// HeightYear is how the height of boards that are joined swells in its opening.
type HeightYear struct {
	House   House
	From    float64 // moisture of the board that swells most when it was made, %
	Assumed bool    // none was stated
	Gap     Gap
}

// Piece is a board with what is known of its moisture.
type Piece struct {
	Board         wood.Board
	MoistureKnown bool
}

// HeightOver returns how boards of one height swell, the one that swells most
// deciding. Errors are those of wood.Board.Strain.
func (h House) HeightOver(height length.Length, room length.Size, pieces ...Piece) (HeightYear, error) {
	y := HeightYear{House: h}
	most := -1.0
	for i := range pieces {
		m, err := h.MovesIn(&pieces[i].Board, pieces[i].MoistureKnown)
		if err != nil {
			return HeightYear{}, err
		}
		if m.Swells > most {
			most, y.From, y.Assumed = m.Swells, m.From, m.Assumed
		}
	}
	y.Gap = GapOf(height, math.Max(0, most), 0, room)
	return y, nil
}
