package advise

import (
	"snugtail/joint"
	"snugtail/joint/belief"
	"snugtail/joint/length"
)

// Whether there is a joint at all follows from the template's reaches as stated
// (joint.Shortfall), not from test joints. What a test joint showed counts for
// more: tails that went in between pins are tails.

// engaged takes the reaches that leave no joint for misread where one was seen:
// then neither seat nor engagement is told from them.
func (w *work) engaged() {
	if s := w.now.Shortfall(); !s.NoJoint || !wentTogether(w.cuts) {
		return
	}
	t := &w.setup.Template
	for _, p := range [...]*joint.Pass{&t.Tail, &t.Pin} {
		p.OpeningReach, p.FingerReach = length.Size{}, length.Size{}
	}
	w.now, _ = joint.New(w.setup)
	w.ReachesDoubted = true
}

// wentTogether reports whether a joint was seen whose flanks met.
func wentTogether(cuts []belief.Cut) bool {
	for i := range cuts {
		switch cuts[i].Feel {
		case belief.FeelRattles, belief.FeelSlidesFree, belief.FeelHandPressure, belief.FeelLightTaps, belief.FeelLoose:
			return true
		}
		if cuts[i].PulledGap.Given && cuts[i].PulledGap.Length > 0 {
			return true
		}
	}
	return false
}

// withoutJoint: no depth is worth a try, and the template is what is to be
// changed. A set-up of which parts are missing tells no such thing.
func (w *work) withoutJoint() {
	s := w.now.Shortfall()
	if !s.NoJoint || w.Missing.Any() {
		return
	}
	w.Decision = Decision{Do: DoChange, Why: WhyNoJoint, Minutes: w.minutesOf(0)}
	w.Verdict, w.NextKnown, w.ChanceNext, w.MoveIn = CannotReach, false, 0, 0
	w.Next, w.Limits = w.now, w.now.Limits()
	w.Predicted = w.now.FitWith(w.Posterior.At(w.depthNow), w.target, w.bands)
	w.Shortfall = s
}
