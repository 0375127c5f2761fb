package advise

import (
	"snugtail/joint/belief"
)

// Doubt is a reading that is probably misread: it is read again before
// anything hangs on it.
type Doubt struct {
	belief.Evidence
	Chance  float64      // that it is misread
	Check   belief.Check // that reads it again
	Decides bool         // the next depth hangs on it
}

// probably is the chance of a misreading from which it is asked for again.
const probably = 0.5

var readBy = map[belief.Seen]belief.Check{
	belief.SeenPulledGap: belief.CheckPullJoint, belief.SeenShoulderGap: belief.CheckPullJoint,
	belief.SeenSeat: belief.CheckSeeSeat, belief.SeenEdgeStep: belief.CheckSeeEdges,
	belief.SeenPinWidest: belief.CheckMeasureWidths, belief.SeenTailWidest: belief.CheckMeasureWidths,
	belief.SeenPinSocketWidest: belief.CheckMeasureWidths, belief.SeenTailSocketWidest: belief.CheckMeasureWidths,
	belief.SeenDepthPinBoard: belief.CheckMeasureDepth, belief.SeenDepthTailBoard: belief.CheckMeasureDepth,
	belief.SeenBushing: belief.CheckMeasureBushing, belief.SeenCutter: belief.CheckMeasureCutter,
}

// doubts lists what is probably misread, the worst first.
func (w *work) doubts() {
	for _, m := range w.Posterior.Misread() {
		if m.Chance <= probably {
			continue
		}
		d := Doubt{Evidence: m.Evidence, Chance: m.Chance}
		switch check, ok := readBy[m.Seen]; {
		case m.Seen == belief.SeenFeel:
			d.Check, d.Decides = belief.CheckPullJoint, true
			if w.last.Feel.Jammed() {
				d.Check = belief.CheckMeasureWidths
			}
		case ok:
			d.Check, d.Decides = check, m.Seen != belief.SeenSeat && m.Seen != belief.SeenEdgeStep
		default:
			continue
		}
		w.Doubts = append(w.Doubts, d)
	}
}

// doubtful: a reading that is probably misread and that the depth hangs on is
// read again; what contradicts the hand is looked into before wood is cut.
func (w *work) doubtful() bool {
	for _, doubt := range w.Doubts {
		if v, ok := w.resolves(&doubt); ok && doubt.Decides && !w.readTwiceInVain(v) {
			w.Decision = Decision{Do: DoCheck, Check: v.check, Why: WhyDoubted, Doubt: doubt, Chance: v.chance, Minutes: v.after}
			return true
		}
	}
	if !w.NextKnown || !w.against(w.limited.free) || w.limited.freeChance < w.ChanceNext+againWorth {
		return false
	}
	v, ok := w.resolving()
	if !ok {
		return false
	}
	felt := Doubt{Evidence: belief.Evidence{Cut: len(w.cuts) - 1, Place: belief.Whole, Seen: belief.SeenFeel}, Chance: w.Posterior.FeltWrong(), Check: v.check, Decides: true}
	w.Decision = Decision{Do: DoCheck, Check: v.check, Why: WhyAgainstFeel, Doubt: felt, Chance: v.chance, Minutes: v.after}
	return true
}

// resolves returns the check that looks into a doubt: that which reads the same
// again or, where a jam is doubted, of those that tell play the one after which a
// joint fits soonest.
func (w *work) resolves(d *Doubt) (valued, bool) {
	best, found := w.check(d.Check)
	if d.Seen != belief.SeenFeel || !w.jammed() {
		return best, found
	}
	for _, c := range tellPlay {
		if v, ok := w.check(c); ok && (!found || v.after < best.after) {
			best, found = v, true
		}
	}
	if found {
		d.Check = best.check
	}
	return best, found
}

// tellPlay are the checks that tell the play of a joint.
var tellPlay = [...]belief.Check{belief.CheckMeasureWidths, belief.CheckPullJoint, belief.CheckMeasureDepth}

// readTwiceInVain: what was asked for and answered of a joint is asked for again
// only where that is quicker than the next joint. Who reads the same again has
// nothing else to answer.
func (w *work) readTwiceInVain(v valued) bool {
	return w.given.Answered[v.check] && !w.ofEarlier(v.check) && v.after > w.options.now.minutes-worthChecking
}
