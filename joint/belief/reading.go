package belief

import (
	"math"

	"snugtail/joint"
	"snugtail/joint/length"
)

// reading is a figure that was read, mm or degrees.
type reading struct {
	Evidence
	observable
	where
	value, u float64
	misread  Misread
	shared   *shared // what another session taught; nil for all else
}

// within is something that was seen to lie in a range, mm, with soft edges: a
// feel, or a gap of none.
type within struct {
	Evidence
	observable
	where
	low, high float64
	soft      float64 // standard width of the edges
	mistaken  float64 // chance that it was told wrongly, and then anything is
	felt      bool    // by hand, and so with what the hand takes it for
}

const (
	// feels is among how many a feel that is told wrongly is one. Judgement.
	feels = 8
	// noGap is the most that is still told as no gap, mm. Judgement.
	noGap = 0.03
	// edgeReading and seatReading: standard uncertainty of an edge step and a
	// seat as read with a rule or a finger, mm. Judgement.
	edgeReading, seatReading = 0.075, 0.06
	leastReading             = 0.005 // of a reading stated without any doubt
	// UncertaintyWentIn is the standard uncertainty of the overlap, mm, that
	// follows from how far a joint went in before it stuck: weak evidence.
	// Judgement.
	UncertaintyWentIn = 0.25
)

// readLatest makes readings and ranges of what was seen of the latest joint.
func (m *model) readLatest() {
	if !m.latest.seen {
		return
	}
	c := &m.cuts[m.latest.index]
	v := viewer{m: m, cut: m.latest.index, place: Whole}
	v.take(&c.Sight)
	for k := range c.Along {
		v.place = k
		v.where = where{place: true, xi: m.xi(c.Along, k)}
		v.take(&c.Along[k].Sight)
	}
}

// xi returns where a place is, -1 to 1; without the boards' width the places
// themselves are taken to span it.
func (m *model) xi(places []Place, k int) float64 {
	s := &m.filled.setup
	low, width := 0.0, s.PinBoard.Width.Or(s.TailBoard.Width.Length).MM()
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

// viewer takes in what was seen of the latest joint at one place, or as a whole.
type viewer struct {
	m          *model
	cut, place int
	where
}

func (v *viewer) evidence(seen Seen) Evidence {
	return Evidence{Cut: v.cut, Place: v.place, Seen: seen}
}

func (v *viewer) read(seen Seen, o observable, size length.Size, tolerance length.Length, kind ReadingKind, scatter ...float64) {
	v.m.addReading(v.evidence(seen), o, v.where, size, tolerance, kind, scatter...)
}

func (v *viewer) take(s *Sight) {
	v.feel(s)
	v.gaps(s)
	jammed := s.Feel.Jammed() || s.WentIn.Given
	if !jammed { // a board that is not home has no seat
		v.read(SeenSeat, seeSeat, s.Seat, 2*seatReading, ReadEye)
	}
	v.read(SeenEdgeStep, seeEdge, s.EdgeStep, 2*edgeReading, ReadEye)
	v.measured(&s.Measured)
}

func (v *viewer) feel(s *Sight) {
	feel := s.Feel
	if s.WentIn.Given && feel == FeelNone {
		feel = FeelSticksPartWay
	}
	if low, high, ok := feel.Interval(v.m.bands); ok {
		v.feelOf(feel, low, high)
	}
	if !s.WentIn.Given {
		return
	}
	if overlap, ok := v.m.overlap(s.WentIn.Length, v.m.latest.depth); ok { // from the push it took, weak evidence
		misread := v.m.priors.Misread[ReadWentIn]
		v.m.readings = append(v.m.readings, reading{v.evidence(SeenWentIn), seePlay, v.where, -overlap, UncertaintyWentIn, misread, nil})
	}
}

// feelOf: a feel is a range; one between two others, at a place among others, is
// as good as a reading of its middle.
func (v *viewer) feelOf(feel Feel, low, high float64) {
	m := v.m
	if open := high-low > far/2; open || !v.where.place {
		soft := feel.edge()
		if v.where.place {
			soft = math.Hypot(soft, placeSD)
		}
		m.ranges = append(m.ranges, within{
			v.evidence(SeenFeel), seePlay, v.where, low, high, soft, m.priors.Misfelt, true,
		})
		return
	}
	u := math.Hypot((high-low)/math.Sqrt(12), math.Hypot(feel.edge(), placeSD))
	m.readings = append(m.readings, reading{
		v.evidence(SeenFeel), seeFelt, v.where, (low + high) / 2, u, Misread{m.priors.Misfelt, 1}, nil,
	})
}

func (m *model) overlap(wentIn length.Length, depth joint.Depth) (mm float64, ok bool) {
	s := m.filled.setup
	s.Depth = depth
	j, _ := joint.New(s) // geometry answers even where limits are broken
	overlap, ok := j.OverlapFromWentIn(wentIn)
	return overlap.MM(), ok
}

// gaps: a gap is a reading; that there is none only says that there is no more
// play, or no more unevenness, than can't be seen.
func (v *viewer) gaps(s *Sight) {
	if s.PulledGap.MM() > noGap {
		v.read(SeenPulledGap, seeGap, s.PulledGap, joint.ToleranceGap, ReadGap)
	} else if s.PulledGap.Given {
		v.none(SeenPulledGap, seeGap, s.PulledGap)
	}
	if s.Feel.Jammed() || s.WentIn.Given {
		return
	}
	if s.ShoulderGap.MM() > noGap {
		v.read(SeenShoulderGap, seeShoulder, s.ShoulderGap, joint.ToleranceGap, ReadGap)
	} else if s.ShoulderGap.Given {
		v.none(SeenShoulderGap, seeShoulder, s.ShoulderGap)
	}
}

func (v *viewer) none(seen Seen, o observable, size length.Size) {
	u := math.Max(leastReading, size.StandardUncertainty(joint.ToleranceGap))
	v.m.ranges = append(v.m.ranges, within{
		v.evidence(seen), o, v.where, -far, noGap, u, v.m.priors.Misread[ReadGap].Chance, false,
	})
}

// measured takes in widths one by one or, where the template's widths are not
// known, a socket less its tail or pin.
func (v *viewer) measured(r *Measured) {
	v.read(SeenDepthPinBoard, seePinDepth, r.DepthPinBoard, joint.ToleranceDepthMeasured, ReadDepth)
	v.read(SeenDepthTailBoard, seeTailDepth, r.DepthTailBoard, joint.ToleranceDepthMeasured, ReadDepth)
	if v.m.filled.widths {
		v.read(SeenPinWidest, seePin, r.PinWidest, joint.ToleranceCaliper, ReadCaliper, partSD)
		v.read(SeenTailWidest, seeTail, r.TailWidest, joint.ToleranceCaliper, ReadCaliper, partSD)
		v.read(SeenPinSocketWidest, seePinSocket, r.PinSocketWidest, joint.ToleranceCaliper, ReadCaliper, partSD)
		v.read(SeenTailSocketWidest, seeTailSocket, r.TailSocketWidest, joint.ToleranceCaliper, ReadCaliper, partSD)
		return
	}
	v.difference(SeenPinSocketWidest, seePins, r.PinSocketWidest, r.PinWidest)
	v.difference(SeenTailSocketWidest, seeTails, r.TailSocketWidest, r.TailWidest)
}

func (v *viewer) difference(seen Seen, o observable, socket, part length.Size) {
	if play, ok := differenceOf(socket, part); ok {
		v.read(seen, o, play, 0, ReadCaliper, partSD, partSD)
	}
}

// differenceOf returns a socket less what goes into it.
func differenceOf(socket, part length.Size) (play length.Size, ok bool) {
	if !socket.Given || !part.Given {
		return length.Size{}, false
	}
	u := math.Hypot(socket.StandardUncertainty(joint.ToleranceCaliper), part.StandardUncertainty(joint.ToleranceCaliper))
	return length.Within(socket.Length-part.Length, length.Length(2*u)), true
}
