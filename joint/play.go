package joint

import (
	"math"

	"snugtail/joint/length"
)

// Band is a range of play with a name.
type Band uint8

// Bands of play, from tight to loose, and none.
const (
	WillNotClose Band = iota
	Tight
	HandFit
	Loose
	TooLoose
	// NoJoint is no band of play: there is no joint, whatever its play
	// (Joint.Engagement).
	NoJoint
	bandCount
)

// playBands are the bands of play, which NoJoint is not.
const playBands = NoJoint

// Limits of the bands, mm. Judgement, no source, except that a depth 1/16 in
// off on a 14 deg cutter, c = -+0.79 mm, is common practice for "will not go
// together" and "very loose".
const (
	TightBelow    = -0.05
	LooseAbove    = 0.20
	TooLooseAbove = 0.50
	// DefaultCrush is the interference that wood gives way to when nothing is
	// known of it: below -DefaultCrush a joint will not close.
	DefaultCrush = 0.20
)

// Bands is where one band ends and the next begins.
type Bands struct {
	// Crush is the interference, a positive length, past which the joint
	// will not close. It comes from the wood, and CrushSD is how unsure it is.
	Crush, CrushSD length.Length
}

// Edges returns the play, mm, at which each band but the last ends.
func (b Bands) Edges() [playBands - 1]float64 {
	return [...]float64{math.Min(-b.Crush.MM(), TightBelow), TightBelow, LooseAbove, TooLooseAbove}
}

// Of returns the band that play c falls in; a limit belongs to the tighter side.
func (b Bands) Of(c length.Length) Band {
	for i, edge := range b.Edges() {
		if c.Rounded().MM() <= edge {
			return Band(i)
		}
	}
	return TooLoose
}

// Play returns c = K + 2(d - g) - 2 h tan a, the sideways clearance of a tail
// in its socket, both flanks together, and what test cuts taught to add to it.
// Negative is interference.
func (j *Joint) Play() length.Length {
	return length.Length(j.playAt(j.h))
}

func (j *Joint) playAt(h float64) float64 { return j.k + 2*(j.d-j.g) - 2*h*j.tanA + j.b }

// DepthFor returns h* = (K + 2(d - g) - c*) / (2 tan a), the depth that gives
// play c. It may break a limit, and be 0 or below: then no depth gives it.
func (j *Joint) DepthFor(c length.Length) length.Length {
	return length.Length((j.playAt(0) - c.MM()) / (2 * j.tanA))
}

// PlayPerDepth returns by how much play falls for each unit of depth, 2 tan a.
func (j *Joint) PlayPerDepth() float64 { return 2 * j.tanA }

// PulledGap returns w = h* - h_p with c* = 0: how far the shoulder opens when
// the tail board is pulled along its length, free to back off, until the flanks
// touch. ok is false when there is no play to take up.
func (j *Joint) PulledGap() (w length.Length, ok bool) {
	if j.Play() <= 0 {
		return 0, false
	}
	return j.DepthFor(0) - length.Length(j.hp), true
}

// ShoulderGap returns how far the shoulder stays open because the tails
// reached the socket floor first: h_t - h_p, or 0.
func (j *Joint) ShoulderGap() length.Length { return length.Length(math.Max(0, j.ht-j.hp)) }

// FloorGap returns the hidden gap under the tail's end: h_p - h_t, or 0.
func (j *Joint) FloorGap() length.Length { return length.Length(math.Max(0, j.hp-j.ht)) }

// EdgeStep returns how far the tail board's edge is shifted along x when pins
// and tails are in step: the error of the side stop.
func (j *Joint) EdgeStep() length.Length { return j.setup.SideStopError.Length }
