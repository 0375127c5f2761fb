package answers

import (
	"snugtail/api"
	"snugtail/joint"
	"snugtail/service/say"
)

// KeptTo is the chance that a depth is named for, and from which varying boards
// are worth a caution. Judgement.
const KeptTo = 0.01

// Boards writes what boards whose thickness varies make of a joint.
func (w Writer) Boards(v *say.Varying) api.Boards {
	return api.Boards{
		LapThin: chanceOf(v.Lap, v.LapKnown), DepthForLap: w.Known(v.Deepest, v.LapKnown),
		SeatInside: chanceOf(v.Seat.Inside, v.SeatKnown), SeatProud: chanceOf(v.Seat.Proud, v.SeatKnown),
		Ridge: chanceOf(v.Ridge, v.RidgeKnown), Text: w.BoardsText(v),
	}
}

// Vary works out what boards whose thickness varies make of a joint.
func Vary(j *joint.Joint) *say.Varying {
	v := &say.Varying{Setup: j.Setup()}
	if j.Shortfall().NoJoint {
		return v // nothing to go by
	}
	v.Lap, v.LapKnown = j.LapChance(joint.LeastLap)
	v.Deepest, _ = j.DeepestForLap(joint.LeastLap, KeptTo)
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
	if v.LapKnown && v.Lap > KeptTo || v.RidgeKnown && v.Ridge > KeptTo {
		return []api.Caution{{Code: "boards_vary", Text: w.BoardsWarning(v, KeptTo)}}
	}
	return nil
}
