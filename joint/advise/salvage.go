package advise

import (
	"snugtail/joint"
	"snugtail/joint/belief"
	"snugtail/joint/length"
)

// SalvageCode names what can be done with boards already cut.
type SalvageCode uint8

// Ways to save boards, or not.
const (
	NoneNeeded        SalvageCode = iota
	PlaneProud                    // a proud tail board planes off
	RunAgainShallower             // too tight: the same boards, clamped in the same place, cutter raised
	NewBoards                     // too loose, too deep, through the lap, far proud: new boards
	UseAsGauge                    // a joint that fits is kept as a depth gauge
)

// Salvage is one thing that can, or cannot, be done.
type Salvage struct {
	Code     SalvageCode
	Possible bool
	Amount   length.Length
	// AmountKnown: with a decision that names no depth no amount is told either.
	AmountKnown bool
	Limit       joint.Limit // what stands in the way, where not possible
}

// salvage says what can be done with the boards cut at the depth set now.
func (w *work) salvage() {
	if w.last == nil || !w.current {
		return
	}
	tooProud := false
	if seat := w.last.Seat; seat.Given && seat.Length < 0 {
		if tooProud = seat.MM() <= -TooProud; !tooProud {
			w.Salvage = append(w.Salvage, Salvage{Code: PlaneProud, Possible: true, Amount: -seat.Length, AmountKnown: true})
		}
	}
	switch {
	case tooProud || w.Current > w.target.To:
		w.Salvage = append(w.Salvage, Salvage{Code: NewBoards})
	case w.Decision.Do == DoStop:
		w.Salvage = append(w.Salvage, Salvage{Code: UseAsGauge, Possible: true})
	case w.Current < w.target.From:
		w.Salvage = append(w.Salvage, w.runAgain())
	case len(w.Salvage) == 0 && w.Verdict == Fits && w.last.Feel != belief.FeelClosesOneEnd:
		w.Salvage = append(w.Salvage, Salvage{Code: NoneNeeded, Possible: true})
	}
}

// runAgain: run again with the cutter raised by dh, boards in the same place,
// the joint gains 2 dh tan a at both ends of the flank and more between
// (model, section 4, recutting): what fresh boards would gain. Clamping again
// errs about as much as is gained, so the test joint first.
func (w *work) runAgain() Salvage {
	raise := w.depthNow - w.NextDepth
	if !w.NextKnown || raise <= 0 {
		return Salvage{Code: NewBoards}
	}
	s := w.setup.AtDepth(w.NextDepth)
	j, _ := joint.New(s)
	known := w.Decision.Do == DoCut
	for _, code := range [...]joint.LimitCode{joint.LimitFlareInTemplate, joint.LimitCutterInBushing} {
		if l := j.LimitOf(code); l.Broken() {
			return Salvage{Code: RunAgainShallower, Amount: raise, AmountKnown: known, Limit: l}
		}
	}
	return Salvage{Code: RunAgainShallower, Possible: true, Amount: raise, AmountKnown: known}
}

// Drift is how far the depth may wander from the next depth before the fit
// leaves its target, and after how many joints to look again.
type Drift struct {
	Shallower, Deeper length.Length
	Known             bool
	Joints            int
}

// DriftPerJoint is how far a depth adjuster may creep with every joint, mm,
// with MostJoints the longest run without a check. Judgement, no source.
const (
	DriftPerJoint = 0.01
	MostJoints    = 25
)

// drift: play leaves the target at From or To; 2 tan a of play go with each mm.
func (w *work) drift() Drift {
	if !w.NextKnown {
		return Drift{}
	}
	perDepth := length.Length(w.perDepth)
	play := w.Predicted.Play
	d := Drift{Shallower: (w.target.To - play) / perDepth, Deeper: (play - w.target.From) / perDepth}
	if d.Shallower <= 0 || d.Deeper <= 0 {
		return Drift{}
	}
	d.Known = true
	room := min(d.Shallower.MM(), d.Deeper.MM())
	d.Joints = min(max(int(room/DriftPerJoint), 1), MostJoints)
	return d
}

// Regrind is what grinding a cutter's diameter costs.
type Regrind struct {
	DepthPerTenth length.Length // shallower by so much for every 0.1 mm lost
	// FinishedBelow is the diameter below which the fitting depth is so
	// shallow that the flare meets the template: d = g + c* - K + 2 (|e| + clearance).
	FinishedBelow length.Length
	LastDepth     length.Length // the fitting depth at that diameter
	Finished      bool
}

// Grinding returns what grinding the cutter of s costs it: dh = dd / tan a.
func Grinding(s joint.Setup, target joint.Target) Regrind {
	tanA := s.Cutter.Angle.Tan()
	k, g := s.Template.TotalAllowance().MM(), s.Bushing.Diameter.MM()
	clearance := s.Bushing.Eccentricity().MM() + joint.FlareClearance
	least := g + target.Play.MM() - k + 2*clearance
	last := (k + 2*(least-g) - target.Play.MM()) / (2 * tanA)
	least -= s.Cutter.Runout.MM()
	return Regrind{
		DepthPerTenth: length.Length(0.1 / tanA),
		FinishedBelow: length.Length(least),
		LastDepth:     length.Length(last),
		Finished:      s.Cutter.Diameter.MM() < least,
	}
}
