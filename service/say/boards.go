package say

import (
	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/service/message"
)

// Boards whose thickness varies.

// KeptTo is the chance that a depth is named for, and from which varying boards
// are worth a caution. Judgement.
const KeptTo = 0.01

// Varying is what boards whose thickness varies make of a joint.
type Varying struct {
	Setup                           joint.Setup
	Lap, Ridge                      float64
	Deepest                         length.Length // that keeps a thin lap to KeptTo
	Seat                            joint.SeatChance
	LapKnown, RidgeKnown, SeatKnown bool
}

// Boards says how many of such boards go wrong.
func Boards(v *Varying) message.Message {
	if !v.LapKnown && !v.SeatKnown && !v.RidgeKnown {
		return message.New("boards_unknown")
	}
	return message.Sentences(v.laps(), v.seats(), v.ridges(), message.New("boards_alike"))
}

func (v *Varying) laps() message.Message {
	if !v.LapKnown {
		return message.Message{}
	}
	return message.New("boards_lap", append(v.fronts(), message.Chance("kept", KeptTo))...)
}

func (v *Varying) seats() message.Message {
	if !v.SeatKnown {
		return message.Message{}
	}
	return message.New("boards_seat",
		message.Length("inside", joint.GoodInside), message.Chance("seat_inside", v.Seat.Inside),
		message.Length("proud", joint.GoodProud), message.Chance("seat_proud", v.Seat.Proud))
}

func (v *Varying) ridges() message.Message {
	if !v.RidgeKnown {
		return message.Message{}
	}
	return message.New("boards_ridge", v.sides()...)
}

// fronts are what is told of pin boards, sides of tail boards.
func (v *Varying) fronts() []message.Param {
	board := v.Setup.PinBoard.Thickness
	return []message.Param{
		message.Length("front", board.Length), message.Length("front_within", variesWithin(board)),
		message.Length("least", joint.LeastLap), message.Chance("lap_thin", v.Lap), message.Length("deepest", v.Deepest),
	}
}

func (v *Varying) sides() []message.Param {
	board := v.Setup.TailBoard.Thickness
	return []message.Param{
		message.Length("side", board.Length), message.Length("side_within", variesWithin(board)), message.Chance("ridge", v.Ridge),
	}
}

// variesWithin is how much a thickness varies.
func variesWithin(s length.Size) length.Length {
	if s.HasTolerance {
		return s.Tolerance
	}
	return joint.ToleranceThickness
}

// BoardsVary says what to do about boards that vary too much; it says nothing of
// others.
func BoardsVary(v *Varying) message.Message {
	m := message.New("caution.boards_vary")
	thin, ridged := v.LapKnown && v.Lap > KeptTo, v.RidgeKnown && v.Ridge > KeptTo
	switch {
	case thin && ridged:
		return m.With(append(v.fronts(), v.sides()...)...).As("lap_and_ridge")
	case thin:
		return m.With(v.fronts()...).As("lap")
	case ridged:
		return m.With(v.sides()...).As("ridge")
	}
	return message.Message{}
}
