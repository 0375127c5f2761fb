package answers

import (
	"snugtail/api"
	"snugtail/joint"
	"snugtail/service/say"
)

// Boards writes what boards whose thickness varies make of a joint.
func (w Writer) Boards(v *say.Varying) api.Boards {
	m := say.Boards(v)
	out := api.Boards{
		LapThin: chanceOf(v.Lap, v.LapKnown), DepthForLap: w.Known(v.Deepest, v.LapKnown),
		SeatInside: chanceOf(v.Seat.Inside, v.SeatKnown), SeatProud: chanceOf(v.Seat.Proud, v.SeatKnown),
		Ridge: chanceOf(v.Ridge, v.RidgeKnown), Code: m.Code,
	}
	out.Text, out.Params = w.Say(m)
	return out
}

// Vary works out what boards whose thickness varies make of a joint.
func Vary(j *joint.Joint) *say.Varying {
	v := &say.Varying{Setup: j.Setup()}
	if j.Shortfall().NoJoint {
		return v // nothing to go by
	}
	v.Lap, v.LapKnown = j.LapChance(joint.LeastLap)
	v.Deepest, _ = j.DeepestForLap(joint.LeastLap, say.KeptTo)
	v.Seat, v.SeatKnown = j.SeatChances()
	v.Ridge, v.RidgeKnown = j.ChanceBroken(joint.LimitTailBoardCleared)
	return v
}

func chanceOf(p float64, known bool) *float64 {
	if !known {
		return nil
	}
	p = Rounded(p)
	return &p
}

// LapThin is the chance that too little lap is left, nil where it is not known.
func LapThin(j *joint.Joint) *float64 { return chanceOf(j.LapChance(joint.LeastLap)) }

// BoardCautions warns of boards whose thickness varies too much for the depth.
func (w Writer) BoardCautions(v *say.Varying) []api.Caution {
	m := say.BoardsVary(v)
	if !m.Says() {
		return nil
	}
	return w.caution("boards_vary", m)
}
