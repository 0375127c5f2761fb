package advise

import (
	"math"
	"slices"
)

// inPlace finds the chance that the seat of the next joint, play as wanted, is
// within its limits: the template moved, where the seat was read, as the
// likeliest outlook asks for. It is reckoned next to that of the outlook which
// lets expect it most: that nobody has looked yet spoils no joint.
func (w *work) inPlace() {
	moved := 0.0
	if w.seatRead() {
		moved = seatMiddle - w.seatThen(0)
	}
	for i := range w.outlooks {
		q, sd := w.seatThen(i)+moved, math.Hypot(w.outlooks[i].SeatSD, seatScatter)
		w.placed[i] = quickCDF((seatHigh-q)/sd) - quickCDF((seatLow-q)/sd)
	}
	asGoodAs(w.placed)
	for i := range w.outlooks {
		o := &w.outlooks[i]
		sd := math.Hypot(o.EdgeSD, edgeScatter)
		w.aligned[i] = quickCDF((edgeWithin-o.Edge)/sd) - quickCDF((-edgeWithin-o.Edge)/sd)
	}
	asGoodAs(w.aligned)
}

// asGoodAs makes chances those next to the best.
func asGoodAs(all []float64) {
	most := math.Max(1e-9, slices.Max(all))
	for i := range all {
		all[i] /= most
	}
}

func (w *work) edgesRead() bool { return w.last != nil && w.last.EdgeStep.Given }

func (w *work) seatRead() bool { return w.last != nil && w.last.Seat.Given }

// seatThen is an outlook's seat once its play is as wanted.
func (w *work) seatThen(i int) float64 {
	o := &w.outlooks[i]
	play := w.playNow - w.perDepth*(w.depthOfLast-w.depthNow).MM() + o.Mean
	return o.Seat + (w.target.Play.MM()-play)/2
}
