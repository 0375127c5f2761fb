package say

import (
	"fmt"
	"strings"

	"snugtail/joint"
	"snugtail/joint/length"
)

// Boards whose thickness varies.

// Varying is what boards whose thickness varies make of a joint.
type Varying struct {
	Setup                           joint.Setup
	Lap, Ridge                      float64
	Deepest                         length.Length // that keeps a thin lap to 1 %
	Seat                            joint.SeatChance
	LapKnown, RidgeKnown, SeatKnown bool
}

// BoardsText says how many of such boards go wrong.
func (w Words) BoardsText(v *Varying) string {
	var said []string
	if v.LapKnown {
		said = append(said, fmt.Sprintf("Fronts of %s are left with less than %s of lap in %s of cases; %s or less keeps that to 1 %%.",
			w.varies(v.Setup.PinBoard.Thickness), w.Size(joint.LeastLap), Percent(v.Lap), w.fineDepth(v.Deepest)))
	}
	if v.SeatKnown {
		said = append(said, fmt.Sprintf("Sides end more than %s inside in %s of cases, and stand more than %s proud in %s.",
			w.about(joint.GoodInside), Percent(v.Seat.Inside), w.about(joint.GoodProud), Percent(v.Seat.Proud)))
	}
	if v.RidgeKnown {
		said = append(said, fmt.Sprintf("One pass leaves a ridge on sides of %s in %s of cases.", w.varies(v.Setup.TailBoard.Thickness), Percent(v.Ridge)))
	}
	if len(said) == 0 {
		return "Not known: needs a joint, the boards' thickness, with a tolerance where it varies, and for the sides the template's reaches."
	}
	return strings.Join(said, " ") + " Boards planed together are off alike; boards bought at different times differ one by one."
}

// varies writes a thickness with how much it varies.
func (w Words) varies(s length.Size) string {
	within := length.Length(joint.ToleranceThickness)
	if s.HasTolerance {
		within = s.Tolerance
	}
	return fmt.Sprintf("%s +/- %s", w.Size(s.Length), w.about(within))
}

// fineDepth writes a depth that is not to be passed: never rounded up.
func (w Words) fineDepth(x length.Length) string {
	const hundredth = 0.01
	if w.Unit == length.UnitInch {
		return w.Precise(nearest(x-thou/2, thou))
	}
	return w.Precise(nearest(x-hundredth/2, hundredth))
}

// BoardsWarning says what to do about boards that vary too much.
func (w Words) BoardsWarning(v *Varying, kept float64) string {
	var said []string
	if v.LapKnown && v.Lap > kept {
		said = append(said, fmt.Sprintf("Fronts of %s leave less than %s of lap in %s of cases: measure each front, sort out the thin ones, or cut %s deep or less with a cutter that fits there.",
			w.varies(v.Setup.PinBoard.Thickness), w.Size(joint.LeastLap), Percent(v.Lap), w.fineDepth(v.Deepest)))
	}
	if v.RidgeKnown && v.Ridge > kept {
		said = append(said, fmt.Sprintf("One pass leaves a ridge on sides of %s in %s of cases, which holds the joint open: cut it away in front.", w.varies(v.Setup.TailBoard.Thickness), Percent(v.Ridge)))
	}
	return strings.Join(said, " ")
}
