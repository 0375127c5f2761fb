package advise

import (
	"math"

	"snugtail/joint"
	"snugtail/joint/belief"
	"snugtail/joint/length"
)

// Standard uncertainties of readings that the joint package has no default
// for. Judgement.
const (
	angleReading     = 0.3 // degrees, with a bevel gauge
	slotAngleReading = 0.35
	slotReading      = 0.035 // mm
	edgeReading      = 0.075
	seatReading      = 0.06
	thicknessReading = 0.1
	partSD           = 0.02 // from one pin or tail to the next
	caliper          = joint.ToleranceCaliper / 2.0
	depthReading     = joint.ToleranceDepthMeasured / 2.0
	gapReading       = joint.ToleranceGap / 2.0
)

// figures returns what a check reads in the case at hand.
func (w *work) figures(c belief.Check) []belief.Figure {
	width := math.Hypot(caliper, partSD)
	switch c {
	case belief.CheckMeasureBushing:
		return []belief.Figure{{Quantity: belief.QuantityBushing, U: caliper}}
	case belief.CheckMeasureCutter:
		return []belief.Figure{{Quantity: belief.QuantityCutter, U: caliper}}
	case belief.CheckMeasureCutterAngle:
		return []belief.Figure{{Quantity: belief.QuantityAngle, U: angleReading}}
	case belief.CheckScrapSlot:
		return []belief.Figure{{Quantity: belief.QuantityCutter, U: slotReading}, {Quantity: belief.QuantityAngle, U: slotAngleReading}}
	case belief.CheckMeasureDepth:
		return []belief.Figure{{Quantity: belief.QuantityPinDepth, U: depthReading}, {Quantity: belief.QuantityTailDepth, U: depthReading}}
	case belief.CheckMeasureWidths:
		if w.Posterior.WidthsKnown() {
			return []belief.Figure{
				{Quantity: belief.QuantityPin, U: width},
				{Quantity: belief.QuantityTail, U: width},
				{Quantity: belief.QuantityPinSocket, U: width},
				{Quantity: belief.QuantityTailSocket, U: width},
			}
		}
		return []belief.Figure{{Quantity: belief.QuantityPinPlay, U: math.Sqrt2 * width}, {Quantity: belief.QuantityTailPlay, U: math.Sqrt2 * width}}
	case belief.CheckPullJoint:
		return []belief.Figure{{Quantity: belief.QuantityPulledGap, U: gapReading}, {Quantity: belief.QuantityShoulderGap, U: gapReading}}
	case belief.CheckSeeSeat:
		return []belief.Figure{{Quantity: belief.QuantitySeat, U: seatReading}}
	case belief.CheckSeeEdges:
		return []belief.Figure{{Quantity: belief.QuantityEdgeStep, U: edgeReading}}
	case belief.CheckLookBothEnds:
		return w.bothEnds()
	case belief.CheckMeasureBoards:
		return []belief.Figure{{Quantity: belief.QuantityThickness, U: thicknessReading}}
	case belief.CheckMeasureTemplate:
		return []belief.Figure{{Quantity: belief.QuantityOpening, U: caliper}}
	}
	return nil
}

// feltAtEnd is the standard uncertainty of play, mm, that the feel of one end
// leaves. Judgement.
const feltAtEnd = 0.15

// bothEnds: how each end goes together, how deep it is cut and, of a joint that
// went home, how far its shoulder stands open there.
func (w *work) bothEnds() []belief.Figure {
	all := make([]belief.Figure, 0, 6)
	for _, side := range [...]belief.Side{belief.LeftEnd, belief.RightEnd} {
		all = append(all,
			belief.Figure{Quantity: belief.QuantityPlay, Side: side, U: feltAtEnd},
			belief.Figure{Quantity: belief.QuantityPinDepth, Side: side, U: depthReading})
		if !w.jammed() {
			all = append(all, belief.Figure{Quantity: belief.QuantityShoulderGap, Side: side, U: gapReading})
		}
	}
	return all
}

func (w *work) jammed() bool {
	return w.last != nil && (w.last.Feel.Jammed() || w.last.WentIn.Given)
}

// open reports whether a check can be made and has not been, or is to be made
// again because its reading is doubted.
func (w *work) open(c belief.Check) bool {
	if w.given.Unavailable[c] || w.last == nil && ofJoint[c] {
		return false
	}
	if w.doubted(c) {
		return true
	}
	if w.given.Answered[c] && !(w.feelDoubted() && w.ofEarlier(c)) {
		return false
	}
	switch c {
	case belief.CheckPullJoint, belief.CheckSeeSeat: // a jammed joint has neither gap nor seat
		return !w.jammed() && !w.has(c)
	case belief.CheckMeasureCutter, belief.CheckMeasureCutterAngle:
		return !w.given.Answered[belief.CheckScrapSlot]
	case belief.CheckScrapSlot:
		return !w.given.Answered[belief.CheckMeasureCutter] || !w.given.Answered[belief.CheckMeasureCutterAngle]
	case belief.CheckMeasureDepth, belief.CheckMeasureWidths, belief.CheckSeeEdges, belief.CheckLookBothEnds:
		return !w.has(c)
	case belief.CheckMeasureBoards:
		return w.last != nil && !w.setup.TailBoard.Thickness.HasTolerance
	case belief.CheckMeasureTemplate:
		return w.Posterior.WidthsKnown() && !w.setup.Template.Tail.Opening.HasTolerance
	case belief.CheckStraightedge, belief.CheckRockTemplate, belief.CheckMoistureMeter:
		return w.Posterior.Told(c.SeenWith()[0]) == belief.NotSaid
	}
	if c.Asked() {
		return w.Posterior.Told(c.SeenWith()[0]) == belief.NotSaid
	}
	return true
}

// feelDoubted reports whether the latest joint's feel is more likely told wrongly
// than not.
func (w *work) feelDoubted() bool {
	for _, d := range w.Doubts {
		if d.Seen == belief.SeenFeel {
			return true
		}
	}
	return false
}

// ofEarlier reports whether what a check reads was read of an earlier joint, and
// not of the latest.
func (w *work) ofEarlier(c belief.Check) bool {
	if !ofJoint[c] || w.has(c) {
		return false
	}
	for i := range w.cuts[:len(w.cuts)-1] {
		if w.hasOf(&w.cuts[i], c) {
			return true
		}
	}
	return false
}

// ofJoint are the checks of a joint that was cut.
var ofJoint = [belief.CheckCount]bool{
	belief.CheckMeasureDepth: true, belief.CheckMeasureWidths: true, belief.CheckPullJoint: true, belief.CheckSeeSeat: true,
	belief.CheckSeeEdges: true, belief.CheckLookBothEnds: true,
}

func (w *work) doubted(c belief.Check) bool {
	for _, d := range w.Doubts {
		if d.Check == c && d.Seen != belief.SeenFeel {
			return true
		}
	}
	return false
}

// has reports whether the latest joint has all readings of a check already; a
// gap read roughly may be read again more finely.
func (w *work) has(c belief.Check) bool { return w.hasOf(w.last, c) }

func (w *work) hasOf(cut *belief.Cut, c belief.Check) bool {
	s := &cut.Sight
	switch c {
	case belief.CheckLookBothEnds:
		return len(cut.Along) >= 2
	case belief.CheckPullJoint:
		return s.PulledGap.Given && !rough(s.PulledGap, joint.ToleranceGap)
	case belief.CheckSeeSeat:
		return s.Seat.Given && !rough(s.Seat, 2*seatReading)
	case belief.CheckMeasureDepth:
		return s.Measured.DepthPinBoard.Given && s.Measured.DepthTailBoard.Given
	case belief.CheckMeasureWidths:
		return s.Measured.PinSocketWidest.Given && s.Measured.TailSocketWidest.Given && s.Measured.PinWidest.Given && s.Measured.TailWidest.Given ||
			!w.Posterior.WidthsKnown() && (s.Measured.PinSocketWidest.Given && s.Measured.PinWidest.Given || s.Measured.TailSocketWidest.Given && s.Measured.TailWidest.Given)
	case belief.CheckSeeEdges:
		return s.EdgeStep.Given && !rough(s.EdgeStep, 2*edgeReading)
	}
	return false
}

// rough reports whether a size was read with more than twice the usual
// tolerance.
func rough(s length.Size, usual float64) bool { return s.HasTolerance && s.Tolerance.MM() > 2*usual }
