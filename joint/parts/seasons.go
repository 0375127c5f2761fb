package parts

import (
	"snugtail/joint"
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
	material Material
}

// house finds out how the boards of each stock move.
func (p *planner) house() {
	p.climates = p.job.Climates
	if len(p.climates) == 0 {
		home := wood.HeatedHome()
		p.climates = home[:]
	}
	p.extremes = seasons.HouseOf(p.climates)
	p.moves, p.apartBy = make([]moves, len(p.job.Stock)), map[apartKey]length.Length{}
	p.trials = map[Instead]trial{}
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
	return moves{known: true, Moves: m, material: s.Material}
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

// apart returns the play that the outermost tails have left in the worst season,
// where that is less than is wanted.
func (w *warnings) apart(c *Corner, pin Name) (left length.Length, apart bool) {
	key := apartKey{c.Joint, w.m.from(pin), w.m.d.Sides, c.Height}
	front, side := &w.moves[key.pin], &w.moves[key.tail]
	if !front.known || !side.known || !c.Joint.WidthsKnown || c.Height < c.Joint.Joint.Setup().Template.Pitch.Length {
		return 0, false
	}
	if front.Moves == side.Moves && front.material == side.material { // in step all year
		return 0, false
	}
	left, ok := w.apartBy[key]
	if !ok {
		left = w.playLeft(&key)
		w.apartBy[key] = left
	}
	return left, (left - w.job.Target.From).Rounded() < 0
}

// apartKey is all that the play of a joint through the year hangs on.
type apartKey struct {
	joint     *joint.Prediction
	pin, tail int // of Job.Stock
	height    length.Length
}

// playLeft is the least play of the outermost tails; the play as cut where sizes are
// beyond those that wood.Movement tells of.
func (p *planner) playLeft(key *apartKey) length.Length {
	of, s := key.joint, key.joint.Joint.Setup()
	q := wood.Joint{
		PinBoard: p.board(key.pin, key.height), TailBoard: p.board(key.tail, key.height),
		Play: of.Fit.Play, LeastPlay: p.job.Target.From,
		Pitch: s.Template.Pitch.Length, TailWidth: of.Widths.TailWidest,
		DepthPinBoard: s.Depth.PinBoard.Length, DepthTailBoard: s.Depth.TailBoard, Climates: p.climates,
	}
	left := of.Fit.Play
	moved, err := wood.Movement(&q)
	if err != nil {
		return left
	}
	for i := range moved.Outcomes {
		left = min(left, moved.Outcomes[i].PlayOutermost)
	}
	return left
}

// board of a stock as it was made: flat-sawn where nothing is said, and as dry as
// it is counted from.
func (p *planner) board(stock int, width length.Length) wood.Board {
	s := &p.job.Stock[stock]
	species, _ := wood.ByID(s.Species)
	b := wood.Board{Wood: species, Material: s.Material, Grain: s.Grain, Width: width, Moisture: s.Moisture}
	if b.Grain == wood.GrainUnknown {
		b.Grain = wood.FlatSawn
	}
	b.Moisture.Percent = p.moves[stock].From
	return b
}
