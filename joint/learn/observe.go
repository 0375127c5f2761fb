package learn

import (
	"snugtail/joint"
	"snugtail/joint/length"
)

// Feel is how a joint went together.
type Feel uint8

// Feels, from loose to tight. ClosesOneEnd tells of something that varies
// along the joint, not of its tightness.
const (
	FeelNone Feel = iota
	FeelRattles
	FeelSlidesFree
	FeelHandPressure
	FeelLightTaps
	FeelHardBlows
	FeelSticksPartWay
	FeelWillNotStart
	FeelClosesOneEnd
)

// SoftEdge is the standard width of the edges of a feel's interval, mm.
// Judgement.
const SoftEdge = 0.05

// far stands for the open end of an interval of play, mm.
const far = 10

// Interval returns the range of play, mm, that a feel stands for (model,
// section 9); ok is false for feels that do not tell.
func (f Feel) Interval(bands joint.Bands) (low, high float64, ok bool) {
	crush := bands.Crush.MM()
	switch f {
	case FeelRattles:
		return joint.TooLooseAbove, far, true
	case FeelSlidesFree:
		return joint.LooseAbove, joint.TooLooseAbove, true
	case FeelHandPressure:
		return joint.TightBelow, joint.LooseAbove, true
	case FeelLightTaps:
		return -0.12, -0.03, true
	case FeelHardBlows:
		return -crush, -0.10, true
	case FeelSticksPartWay, FeelWillNotStart:
		return -far, -crush, true
	}
	return 0, 0, false
}

// Play returns the middle of a feel's interval as a size with its half-width;
// ok is false for feels that are open to one side or do not tell.
func (f Feel) Play(bands joint.Bands) (play length.Size, ok bool) {
	low, high, ok := f.Interval(bands)
	if !ok || high-low >= far/2 {
		return length.Size{}, false
	}
	return length.Within(length.Length((low+high)/2), length.Length((high-low)/2)), true
}

// TestCut is one test joint and what was seen of it.
type TestCut struct {
	Depth       joint.Depth // as set
	Feel        Feel
	PulledGap   length.Size
	ShoulderGap length.Size
	WentIn      length.Size // how far it slid in before it stuck
	Seat        length.Size // inside +, proud -
	EdgeStep    length.Size
	Measured    Measured
}

// Measured holds readings of a test joint in the wood.
type Measured struct {
	PinWidest, TailWidest             length.Size
	PinSocketWidest, TailSocketWidest length.Size
	DepthPinBoard, DepthTailBoard     length.Size
}

// Observation names what a test cut was seen to do.
type Observation uint8

// Observations that tell about play.
const (
	ObservedFeel Observation = iota
	ObservedGap
	ObservedWentIn
	ObservedWidths
)

// ShoulderOpen returns h_t - h_p as the test cut shows it: measured depths
// first, then the shoulder that stayed open, then the depths as set.
func (c TestCut) ShoulderOpen() length.Length {
	m := c.Measured
	switch {
	case m.DepthPinBoard.Given && m.DepthTailBoard.Given:
		return m.DepthTailBoard.Length - m.DepthPinBoard.Length
	case c.ShoulderGap.Given && c.ShoulderGap.Length > 0:
		return c.ShoulderGap.Length
	}
	return c.Depth.TailBoard.Length - c.Depth.PinBoard.Length
}
