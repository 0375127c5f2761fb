package belief

import (
	"snugtail/joint"
	"snugtail/joint/length"
)

// Feel is how a joint went together.
type Feel uint8

// Feels, from loose to tight; then one of something that varies along the
// joint, and the vague words for either side.
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
	FeelTight
	FeelLoose
	feelCount
)

// Tight reports whether a joint felt too tight beyond doubt: nobody takes that
// for a loose one.
func (f Feel) Tight() bool {
	return f == FeelHardBlows || f == FeelSticksPartWay || f == FeelWillNotStart
}

// LooseBeyondDoubt reports whether it felt too loose beyond doubt.
func (f Feel) LooseBeyondDoubt() bool { return f == FeelRattles || f == FeelSlidesFree }

// Jammed reports whether the joint did not go home: it then has no gap to pull
// open, no seat and no shoulder to look at.
func (f Feel) Jammed() bool { return f == FeelSticksPartWay || f == FeelWillNotStart }

// SoftEdge is the standard width of the edges of a feel's range, mm, and
// VagueEdge that of a vague word's. Judgement.
const (
	SoftEdge  = 0.05
	VagueEdge = 0.10
)

// far stands for the open end of a range of play, mm.
const far = 40

// Interval returns the range of play, mm, that a feel stands for (model,
// section 9, judgement); ok is false for feels that do not tell.
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
	case FeelTight:
		return -far, 0, true
	case FeelLoose:
		return 0.15, far, true
	}
	return 0, 0, false
}

// edge returns the standard width of the range's edges.
func (f Feel) edge() float64 {
	if f == FeelTight || f == FeelLoose {
		return VagueEdge
	}
	return SoftEdge
}

// Play returns the middle of a feel's range as a size with its half-width; ok
// is false for feels that are open to one side or do not tell.
func (f Feel) Play(bands joint.Bands) (play length.Size, ok bool) {
	low, high, ok := f.Interval(bands)
	if !ok || high-low >= far/2 {
		return length.Size{}, false
	}
	return length.Within(length.Length((low+high)/2), length.Length((high-low)/2)), true
}

// Corner of a drawer: front or back, left or right.
type Corner uint8

// Corners.
const (
	NoCorner Corner = iota
	FrontLeft
	FrontRight
	BackLeft
	BackRight
)

// Sight is what was seen of a test joint, as a whole or at one place.
type Sight struct {
	Feel        Feel
	PulledGap   length.Size
	ShoulderGap length.Size
	WentIn      length.Size // how far it slid in before it stuck
	Seat        length.Size // inside +, proud -
	EdgeStep    length.Size
	Measured    Measured
}

// Cut is one test joint and what was seen of it. Its depth is as set, and may
// be missing: then it is the set-up's.
type Cut struct {
	Depth joint.Depth
	Sight
	Along []Place
	// TemplateAt and SideStopAt are where template and side stop stood, from any
	// zero that the caller keeps; + is onto the pin board, and along +x.
	TemplateAt, SideStopAt length.Size
	Corner                 Corner
}

// depthKnown is the depth as set or, where that was not told, as it was read in
// the wood: in the pin board, for what the tail board has more or less is how it
// stood.
func (c *Cut) depthKnown() joint.Depth {
	read := c.Measured.DepthPinBoard
	if !read.Given {
		read = c.Measured.DepthTailBoard
	}
	if c.Depth.PinBoard.Given || !read.Given {
		return c.Depth
	}
	if !read.HasTolerance {
		read = length.Within(read.Length, joint.ToleranceDepthMeasured)
	}
	return joint.EqualDepth(read)
}

// Place is what was seen at one place along the joint.
type Place struct {
	Position length.Length // along +x from the joint's left-hand edge
	Sight
}

// Measured holds readings of a test joint in the wood.
type Measured struct {
	PinWidest, TailWidest             length.Size
	PinSocketWidest, TailSocketWidest length.Size
	DepthPinBoard, DepthTailBoard     length.Size
}

// ShoulderOpen returns h_t - h_p as the test joint shows it: measured depths
// first, then the shoulder that stayed open, then the depths as set.
func (c *Cut) ShoulderOpen() length.Length {
	m := &c.Measured
	switch {
	case m.DepthPinBoard.Given && m.DepthTailBoard.Given:
		return m.DepthTailBoard.Length - m.DepthPinBoard.Length
	case c.ShoulderGap.Given && c.ShoulderGap.Length > 0:
		return c.ShoulderGap.Length
	}
	return c.Depth.TailBoard.Length - c.Depth.PinBoard.Length
}

// Seen names what was seen of a test joint, or read of a tool.
type Seen uint8

// What can be seen.
const (
	SeenFeel Seen = iota
	SeenPulledGap
	SeenShoulderGap
	SeenWentIn
	SeenSeat
	SeenEdgeStep
	SeenPinWidest
	SeenTailWidest
	SeenPinSocketWidest
	SeenTailSocketWidest
	SeenDepthPinBoard
	SeenDepthTailBoard
	SeenFinding
	SeenBushing   // the bushing's measured diameter
	SeenCutter    // the cutter's
	SeenRecord    // what an earlier session taught
	SeenIntention // that sizes were chosen to fit
)

// Whole stands for Evidence.Place where something was seen of the whole joint,
// and for Evidence.Cut where it is no joint's.
const Whole = -1

// Evidence is one thing that was seen: of a test cut, as a whole or at a
// place, or a finding and the answer given.
type Evidence struct {
	Cut, Place int
	Seen       Seen
	Finding    Finding
	Answer     Answer
}
