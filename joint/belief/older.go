package belief

import (
	"math"
	"slices"

	"snugtail/joint"
	"snugtail/joint/length"
)

// olderCut is a test joint before the latest: what it says of play. What it
// says of other things is taken as readings of the latest joint, where nothing
// that was moved since stands between.
type olderCut struct {
	depth     float64 // deeper depth as set, mm
	nominal   float64 // play as stated
	settingSD float64 // of play
	values    []playReading
	ranges    []within
}

// playReading is a reading of play, mm.
type playReading struct {
	value, u float64
	misread  Misread
	seen     Seen
}

// scaleOff is how far a depth read in the wood may be off the depth as set and
// still count as that cut's own setting error, mm; more, and it is the scale
// that is off, for all cuts alike. Judgement.
const scaleOff = 0.3

// readEarlier takes in the joints before the latest.
func (m *model) readEarlier() {
	if !m.latest.seen {
		return
	}
	m.earlier = make([]olderCut, 0, m.latest.index)
	for i := range m.cuts[:m.latest.index] {
		m.earlier = append(m.earlier, m.older(i))
	}
	m.readSockets()
	m.readPlaces()
}

func (m *model) older(i int) olderCut {
	c := &m.cuts[i]
	depth := c.Depth
	if !depth.PinBoard.Given {
		depth = m.filled.setup.Depth
	}
	s := m.filled.setup
	s.Depth = depth
	j, _ := joint.New(s) // geometry answers even where limits are broken
	o := olderCut{
		depth: depth.Deeper().MM(), nominal: j.Play().MM(),
		settingSD: m.perDepth * math.Max(leastSD, depth.Deeper().StandardUncertainty(joint.ToleranceDepthSet)),
	}
	away := m.tiltSD * (o.depth - m.latest.depth.Deeper().MM())
	o.settingSD = math.Hypot(o.settingSD, away)
	if read := c.Measured.DepthPinBoard; read.Given && math.Abs((read.Length-depth.PinBoard.Length).MM()) < scaleOff {
		o.nominal -= m.perDepth * (read.Length - depth.PinBoard.Length).MM()
		o.settingSD = math.Hypot(m.perDepth*math.Max(leastReading, read.StandardUncertainty(joint.ToleranceDepthMeasured)), away)
	}
	o.readGap(m, c)
	o.readWidths(m, &c.Measured)
	o.readFeel(m, c, i, depth)
	return o
}

// readGap: c = 2 (w - max(0, h_t - h_p)) tan a.
func (o *olderCut) readGap(m *model, c *Cut) {
	if !c.PulledGap.Given {
		return
	}
	u := m.perDepth * math.Max(leastReading, c.PulledGap.StandardUncertainty(joint.ToleranceGap))
	if c.PulledGap.MM() <= noGap {
		o.ranges = append(o.ranges, within{low: -far, high: m.perDepth * noGap, soft: u, mistaken: m.priors.Misread[ReadGap].Chance})
		return
	}
	open := math.Max(0, c.ShoulderOpen().MM())
	misread := m.priors.Misread[ReadGap]
	misread.By *= m.perDepth
	o.values = append(o.values, playReading{m.perDepth * (c.PulledGap.MM() - open), u, misread, SeenPulledGap})
}

func (o *olderCut) readWidths(m *model, r *Measured) {
	for _, pair := range [...]struct {
		seen         Seen
		socket, part length.Size
	}{{SeenPinSocketWidest, r.PinSocketWidest, r.PinWidest}, {SeenTailSocketWidest, r.TailSocketWidest, r.TailWidest}} {
		if play, ok := differenceOf(pair.socket, pair.part); ok {
			u := math.Hypot(play.StandardUncertainty(0), math.Sqrt2*partSD)
			o.values = append(o.values, playReading{play.MM(), u, m.priors.Misread[ReadCaliper], pair.seen})
		}
	}
}

func (o *olderCut) readFeel(m *model, c *Cut, i int, depth joint.Depth) {
	feel := c.Feel
	if c.WentIn.Given && feel == FeelNone {
		feel = FeelSticksPartWay
	}
	if low, high, ok := feel.Interval(m.bands); ok {
		e := Evidence{Cut: i, Place: Whole, Seen: SeenFeel}
		o.ranges = append(o.ranges, within{Evidence: e, low: low, high: high, soft: feel.edge(), mistaken: m.priors.Misfelt})
	}
	if !c.WentIn.Given {
		return
	}
	if overlap, ok := m.overlap(c.WentIn.Length, depth); ok {
		o.values = append(o.values, playReading{-overlap, UncertaintyWentIn, m.priors.Misread[ReadWentIn], SeenWentIn})
	}
}

// likelihood of all that was seen of the joint's play if the set-up gives it
// the play c: readings right or misread, feels within their ranges or told
// wrongly, averaged over how exactly the depth was set. Scatter multiplies the
// standard uncertainties of setting and readings.
func (o *olderCut) likelihood(c, scatter float64) float64 {
	return o.given(0, c, square(o.settingSD*scatter), 1, scatter)
}

// given sums over which of the readings from k on are right: mean and
// variance of play with those before taken in.
func (o *olderCut) given(k int, mean, variance, weight, scatter float64) float64 {
	if k == len(o.values) {
		for i := range o.ranges {
			weight *= o.ranges[i].chance(mean, variance)
		}
		return weight
	}
	r := &o.values[k]
	u2 := square(r.u * scatter)
	sum := 0.0
	for _, as := range [...]struct{ weight, variance float64 }{
		{1 - r.misread.Chance, u2}, {r.misread.Chance, u2 + square(r.misread.By)},
	} {
		total := variance + as.variance
		off := r.value - mean
		if off*off > nowhere*total {
			continue
		}
		density := math.Exp(-off*off/(2*total)) / math.Sqrt(2*math.Pi*total)
		gain := variance / total
		sum += o.given(k+1, mean+gain*off, variance*(1-gain), weight*as.weight*density, scatter)
	}
	return sum
}

// nowhere is the sum of squares from which a density is taken for none.
const nowhere = 200

// chance is that of the range for play with this mean and variance.
func (w *within) chance(mean, variance float64) float64 {
	return (1-w.mistaken)*w.inside(mean, variance) + w.mistaken/feels
}

// inside is that it lies in the range, its edges softened.
func (w *within) inside(mean, variance float64) float64 {
	sd := math.Sqrt(variance + w.soft*w.soft)
	above, below := (mean-w.low)/sd, (mean-w.high)/sd
	switch {
	case below < -7: // the far end is open
		return joint.NormalCDF(above)
	case above > 7:
		return joint.NormalCDF(-below)
	case above+below > 0: // mirrored: far up both are 1 but for their rounding, far down they keep their digits
		above, below = -below, -above
	}
	return joint.NormalCDF(above) - joint.NormalCDF(below)
}

func square(x float64) float64 { return x * x }

// readSockets takes sockets of earlier joints as readings of the latest: they
// depend on neither depth nor setting. What the caliper scatters goes down
// with their number, and the median is safe from one that was misread.
func (m *model) readSockets() {
	if !m.filled.widths {
		return
	}
	var pins, tails []float64
	for i := range m.cuts[:m.latest.index] {
		r := &m.cuts[i].Measured
		if r.PinSocketWidest.Given {
			pins = append(pins, r.PinSocketWidest.MM())
		}
		if r.TailSocketWidest.Given {
			tails = append(tails, r.TailSocketWidest.MM())
		}
	}
	m.readMedian(SeenPinSocketWidest, seePinSocket, pins)
	m.readMedian(SeenTailSocketWidest, seeTailSocket, tails)
}

func (m *model) readMedian(seen Seen, o observable, values []float64) {
	if len(values) == 0 {
		return
	}
	u := math.Hypot(joint.ToleranceCaliper/2, partSD) * math.Sqrt(math.Pi/2/float64(len(values)))
	if len(values) == 1 {
		u = math.Hypot(joint.ToleranceCaliper/2, partSD)
	}
	// It stands for the play of its joint too: half of what it tells was told.
	m.readings = append(m.readings, reading{
		Evidence{m.latest.index - 1, Whole, seen, 0, NotSaid}, o, where{}, median(values), math.Sqrt2 * u, m.priors.Misread[ReadCaliper], nil,
	})
}

// readPlaces takes seats and edges of earlier joints as readings of the latest
// where it is known how far template and stop were moved since: the template
// moved by D changes the seat by 2 D, the stop by D the edge by D.
func (m *model) readPlaces() {
	last := &m.cuts[m.latest.index]
	for i := range m.cuts[:m.latest.index] {
		c := &m.cuts[i]
		e := Evidence{Cut: i, Place: Whole}
		if c.Seat.Given && c.TemplateAt.Given && last.TemplateAt.Given && !c.Feel.Jammed() {
			moved := c.Seat
			moved.Length += 2*(last.TemplateAt.Length-c.TemplateAt.Length) + length.Length((m.nominal-m.earlier[i].nominal)/2)
			e.Seen = SeenSeat
			m.addReading(e, seeSeat, where{}, moved, 2*seatReading, ReadEye, placeSD)
		}
		if c.EdgeStep.Given && c.SideStopAt.Given && last.SideStopAt.Given {
			moved := c.EdgeStep
			moved.Length += last.SideStopAt.Length - c.SideStopAt.Length
			e.Seen = SeenEdgeStep
			m.addReading(e, seeEdge, where{}, moved, 2*edgeReading, ReadEye, placeSD)
		}
	}
}

// median returns the middle of values, of which there is at least one.
func median(values []float64) float64 {
	sorted := slices.Sorted(slices.Values(values))
	n := len(sorted)
	return (sorted[(n-1)/2] + sorted[n/2]) / 2
}
