package parts

import (
	"snugtail/joint/length"
	"snugtail/joint/seasons"
	"snugtail/joint/wood"
)

// Seasons is what a house's year does to a drawer. It is known where the
// movement of all its boards is: their species, their moisture or the house's
// climates were stated, and the table has what they need.
type Seasons struct {
	Known bool
	House seasons.House
	// Height: front, sides and back swell across their width. Width: the front
	// lengthens along its grain, and the sides' outside faces move out by what
	// both sides thicken.
	Height, Width seasons.Gap
	// From is the moisture of the part that swells most when it was made; Assumed
	// says that none was stated.
	From    float64
	Assumed bool
}

// moves are those of a stock's boards.
type moves struct {
	known bool
	seasons.Moves
	board wood.Board // its moisture is the one counted from
}

// house finds out how the boards of each stock move.
func (p *planner) house() {
	p.climates = p.job.Climates
	if len(p.climates) == 0 {
		home := wood.HeatedHome()
		p.climates = home[:]
	}
	p.extremes = seasons.HouseOf(p.climates)
	p.moves = make([]moves, len(p.job.Stock))
	for i := range p.job.Stock {
		p.moves[i] = p.movesOf(&p.job.Stock[i])
	}
}

func (p *planner) movesOf(s *Stock) moves {
	if s.Species == "" && !s.MoistureKnown && len(p.job.Climates) == 0 && s.Material == Solid {
		return moves{}
	}
	species, _ := wood.ByID(s.Species)
	board := wood.Board{Wood: species, Material: s.Material, Grain: s.Grain, Moisture: s.Moisture}
	m, err := p.extremes.MovesIn(&board, s.MoistureKnown)
	if err != nil { // the table lacks what this year needs
		return moves{}
	}
	if board.Grain == wood.GrainUnknown {
		board.Grain = wood.FlatSawn
	}
	board.Moisture.Percent = m.From
	return moves{known: true, Moves: m, board: board}
}

// seasons are told where front, sides and back can be, and one of them is solid.
func (p *planner) seasons(m *maker) Seasons {
	parts := [...]struct {
		stock  int
		height length.Length
	}{{m.d.Front, m.d.Outside.Height}, {m.d.Sides, m.hs}, {m.d.BackFrom, m.hb}}
	s := Seasons{House: p.extremes}
	most := -1.0
	solid := false
	for _, part := range parts {
		moves := &p.moves[part.stock]
		if !moves.known {
			return Seasons{}
		}
		solid = solid || p.job.Stock[part.stock].Material == Solid
		if by := part.height.MM() * moves.Swells; by > most {
			most, s.From, s.Assumed = by, moves.From, moves.Assumed
			s.Height.Swells = length.Length(by)
		}
	}
	if !solid {
		return Seasons{}
	}
	strain := most / m.d.Outside.Height.MM()
	room := m.d.Room
	s.Height = seasons.GapOf(m.d.Outside.Height, strain, 0, length.Size{Length: room.Height, Given: room.Known})
	front, side := &p.moves[m.d.Front], &p.moves[m.d.Sides]
	thicker := 2 * m.ts * length.Length(side.Thickens)
	s.Width = seasons.GapOf(m.d.Outside.Width, front.Lengthens, thicker, length.Size{Length: room.Width, Given: room.Known})
	s.Known = true
	return s
}
