package diagnose

import (
	"math"

	"snugtail/joint"
	"snugtail/joint/learn"
	"snugtail/joint/length"
)

// Seen names what was seen of a test joint.
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
)

// Whole stands for Evidence.Place where something was seen of the whole joint.
const Whole = -1

// Evidence is one thing that was seen: of a test cut, as a whole or at a
// place, or a finding and the answer given.
type Evidence struct {
	Cut, Place int
	Seen       Seen
	Finding    Finding
	Answer     Answer
}

// reading is a figure that was read, mm.
type reading struct {
	Evidence
	observable
	where
	value, u float64
}

// within is something that was seen to lie in a range, mm, with soft edges:
// a feel, or a gap of none.
type within struct {
	Evidence
	observable
	where
	low, high float64
	soft      float64 // standard width of the edges
	mistaken  float64 // chance that it was told wrongly
	felt      bool    // by hand, and so with what the hand takes it for
}

const (
	far = 25 // stands for the open end of a range, mm
	// toldWrongly is how often a feel is told wrongly altogether, and then each
	// of the other seven alike. Judgement.
	toldWrongly = 0.02
	feels       = 8
	// noGap is the most that is still told as no gap, mm. Judgement.
	noGap = 0.03
	// edgeReading and seatReading: standard uncertainty of an edge step and a
	// seat as read with a rule or a finger, mm. Judgement.
	edgeReading, seatReading = 0.075, 0.06
	leastReading             = 0.005 // of a reading stated without any doubt
)

// takeCuts makes readings and ranges of what was seen. Without a test cut
// there is the one to come, of which nothing was seen yet.
func (m *model) takeCuts(cuts []Cut) {
	m.seen = len(cuts) > 0
	if !m.seen {
		m.cuts = []cut{m.newCut(joint.Depth{})}
		m.setIntention()
		return
	}
	m.cuts = make([]cut, len(cuts))
	for i := range cuts {
		m.cuts[i] = m.newCut(cuts[i].Depth)
		s := sight{m: m, cut: &m.cuts[i], index: i, place: Whole}
		s.take(&cuts[i].TestCut)
		for k := range cuts[i].Along {
			s.place = k
			s.where = where{place: true, xi: m.xi(cuts[i].Along, k)}
			s.take(&cuts[i].Along[k].TestCut)
		}
	}
	last := cuts[len(cuts)-1].Feel
	m.goesByHand = last == learn.FeelHandPressure
	m.jammed = last == learn.FeelSticksPartWay || last == learn.FeelWillNotStart
	m.setIntention()
}

func (m *model) newCut(stated joint.Depth) cut {
	c := cut{depth: stated}
	if !stated.PinBoard.Given {
		c.depth, c.noDepth = m.setup.Depth, m.missing.Depth
	}
	if !c.noDepth {
		c.settingSD = c.depth.Deeper().StandardUncertainty(joint.ToleranceDepthSet)
		return c
	}
	c.settingSD = joint.ToleranceDepthSet / 2.0
	return c
}

// setIntention notes the play that the sizes as stated give at the depth first
// cut: sizes are chosen to fit.
func (m *model) setIntention() {
	s := m.setup
	s.Depth = m.cuts[0].depth
	j, _ := joint.New(s) // geometry answers even where limits are broken
	m.statedPlay = j.Play().MM()
}

// xi returns where a place is, -1 to 1; without the boards' width the places
// themselves are taken to span it.
func (m *model) xi(places []Place, k int) float64 {
	low, width := 0.0, m.setup.PinBoard.Width.Or(m.setup.TailBoard.Width.Length).MM()
	if width == 0 {
		high := math.Inf(-1)
		low = math.Inf(1)
		for i := range places {
			x := places[i].Position.MM()
			low, high = math.Min(low, x), math.Max(high, x)
		}
		width = high - low
	}
	if width <= 0 {
		return 0
	}
	return math.Min(1, math.Max(-1, 2*(places[k].Position.MM()-low)/width-1))
}

// sight takes in what was seen of one test cut at one place, or as a whole.
type sight struct {
	m     *model
	cut   *cut
	index int
	place int
	where
}

func (s *sight) take(t *learn.TestCut) {
	s.feel(t)
	s.gaps(t)
	// A board that is not home has no seat, and no shoulder to look at.
	if t.Feel != learn.FeelSticksPartWay && t.Feel != learn.FeelWillNotStart && !t.WentIn.Given {
		s.read(SeenSeat, seeSeat, t.Seat, 2*seatReading)
	}
	s.read(SeenEdgeStep, seeEdge, t.EdgeStep, 2*edgeReading)
	s.measured(&t.Measured)
}

func (s *sight) evidence(seen Seen) Evidence {
	return Evidence{Cut: s.index, Place: s.place, Seen: seen}
}

// read takes in a reading, with the joint package's tolerance where none is
// stated and what parts and places differ by.
func (s *sight) read(seen Seen, o observable, size length.Size, tolerance length.Length, scatter ...float64) {
	if !size.Given {
		return
	}
	u := math.Max(leastReading, size.StandardUncertainty(tolerance))
	for _, sd := range scatter {
		u = math.Hypot(u, sd)
	}
	if s.where.place {
		u = math.Hypot(u, placeSD)
	}
	s.cut.readings = append(s.cut.readings, reading{s.evidence(seen), o, s.where, size.MM(), u})
}

func (s *sight) feel(t *learn.TestCut) {
	feel := t.Feel
	if t.WentIn.Given && feel == learn.FeelNone {
		feel = learn.FeelSticksPartWay
	}
	if low, high, ok := feel.Interval(s.m.bands); ok {
		if low < -1 {
			low = -far
		}
		if high > 1 {
			high = far
		}
		soft := learn.SoftEdge
		if s.where.place {
			soft = math.Hypot(soft, placeSD)
		}
		s.cut.ranges = append(s.cut.ranges, within{
			s.evidence(SeenFeel), seePlay, s.where, low, high, soft, toldWrongly, true,
		})
	}
	s.wentIn(t)
}

// wentIn: overlap from the push it took, weak evidence.
func (s *sight) wentIn(t *learn.TestCut) {
	if !t.WentIn.Given {
		return
	}
	setup := s.m.setup
	setup.Depth = s.cut.depth
	j, _ := joint.New(setup) // geometry answers even where limits are broken
	if overlap, ok := j.OverlapFromWentIn(t.WentIn.Length); ok {
		s.cut.readings = append(s.cut.readings, reading{
			s.evidence(SeenWentIn), seePlay, s.where, -overlap.MM(), learn.UncertaintyWentIn,
		})
	}
}

// gaps: a gap is a reading; that there is none only says that there is no more
// play, or no more unevenness, than can't be seen.
func (s *sight) gaps(t *learn.TestCut) {
	if t.PulledGap.MM() > noGap {
		s.read(SeenPulledGap, seeGap, t.PulledGap, joint.ToleranceGap)
	} else if t.PulledGap.Given {
		s.none(SeenPulledGap, seeGap, t.PulledGap)
	}
	if t.Feel == learn.FeelSticksPartWay || t.Feel == learn.FeelWillNotStart || t.WentIn.Given {
		return
	}
	if t.ShoulderGap.MM() > noGap {
		s.read(SeenShoulderGap, seeShoulder, t.ShoulderGap, joint.ToleranceGap)
	} else if t.ShoulderGap.Given {
		s.none(SeenShoulderGap, seeShoulder, t.ShoulderGap)
	}
}

func (s *sight) none(seen Seen, o observable, size length.Size) {
	u := math.Max(leastReading, size.StandardUncertainty(joint.ToleranceGap))
	s.cut.ranges = append(s.cut.ranges, within{s.evidence(seen), o, s.where, -far, noGap, u, 0, false})
}

// measured takes in widths one by one or, where the template's widths are not
// known, a socket less its tail or pin.
func (s *sight) measured(r *learn.Measured) {
	s.read(SeenDepthPinBoard, seePinDepth, r.DepthPinBoard, joint.ToleranceDepthMeasured)
	s.read(SeenDepthTailBoard, seeTailDepth, r.DepthTailBoard, joint.ToleranceDepthMeasured)
	if s.m.widths {
		s.read(SeenPinWidest, seePin, r.PinWidest, joint.ToleranceCaliper, partSD)
		s.read(SeenTailWidest, seeTail, r.TailWidest, joint.ToleranceCaliper, partSD)
		s.read(SeenPinSocketWidest, seePinSocket, r.PinSocketWidest, joint.ToleranceCaliper, partSD)
		s.read(SeenTailSocketWidest, seeTailSocket, r.TailSocketWidest, joint.ToleranceCaliper, partSD)
		return
	}
	s.difference(SeenPinSocketWidest, seePins, r.PinSocketWidest, r.PinWidest)
	s.difference(SeenTailSocketWidest, seeTails, r.TailSocketWidest, r.TailWidest)
}

func (s *sight) difference(seen Seen, o observable, socket, part length.Size) {
	if socket.Given && part.Given {
		play := length.Exactly(socket.Length - part.Length)
		u := math.Hypot(socket.StandardUncertainty(joint.ToleranceCaliper), part.StandardUncertainty(joint.ToleranceCaliper))
		s.read(seen, o, length.Within(play.Length, length.Length(2*u)), 0, partSD, partSD)
	}
}
