package belief

import (
	"math"
	"slices"

	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/joint/normal"
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
		settingSD: m.perDepth * settingSD(depth),
	}
	away := m.tiltSD * (o.depth - m.latest.depth.Deeper().MM())
	o.settingSD = math.Hypot(o.settingSD, away)
	if read := c.Measured.DepthPinBoard; read.Given && math.Abs((read.Length-depth.PinBoard.Length).MM()) < scaleOff {
		o.nominal -= m.perDepth * (read.Length - depth.PinBoard.Length).MM()
		o.settingSD = math.Hypot(m.perDepth*max(leastReading, read.StandardUncertainty(joint.ToleranceDepthMeasured)), away)
	}
	o.readGap(m, c)
	o.readWidths(m, &c.Measured)
	o.readFeel(m, c, i, depth)
	return o
}

// tells reports whether anything was seen of the joint's play.
func (o *olderCut) tells() bool { return len(o.values)+len(o.ranges) > 0 }

// readGap: c = 2 (w - max(0, h_t - h_p)) tan a.
func (o *olderCut) readGap(m *model, c *Cut) {
	if !c.PulledGap.Given {
		return
	}
	u := m.perDepth * max(leastReading, c.PulledGap.StandardUncertainty(joint.ToleranceGap))
	if c.PulledGap.MM() <= noGap {
		o.ranges = append(o.ranges, within{low: -far, high: m.perDepth * noGap, soft: u, mistaken: m.priors.Misread[ReadGap].Chance})
		return
	}
	open := max(0, c.ShoulderOpen().MM())
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

// curve is the likelihood of all that was seen of a joint, as a function of the
// play c that the set-up gives it: readings right or misread, feels within their
// ranges or told wrongly, averaged over how exactly the depth was set.
type curve []bell

// bell is the curve for one guess which readings are misread: a normal one, for
// the product of normal ones is one, times the chances of what was felt.
type bell struct {
	log, precision, centre float64 // exp(log - precision/2 (c - centre)^2)
	felt                   []edges
}

// edges are a range as it looks once the readings are taken in: the joint's own
// play is then slope c + at, normal, and the range's edges are as much softer.
type edges struct {
	slope, at    float64 // in units of the edges' width
	low, high    float64
	right, wrong float64
}

// curve returns it, with the standard uncertainties of setting and readings
// multiplied by scatter.
func (o *olderCut) curve(settingSD, scatter float64) curve {
	all := make(curve, 0, 1<<len(o.values))
	for guess := range 1 << len(o.values) {
		all = append(all, o.bell(guess, settingSD, scatter))
	}
	return all
}

// bell takes reading after reading in: each moves the joint's own play towards
// itself by the gain, and leaves the less of its variance.
func (o *olderCut) bell(guess int, settingSD, scatter float64) bell {
	slope, at, variance := 1.0, 0.0, square(settingSD*scatter)
	log, quadratic, linear, constant := 0.0, 0.0, 0.0, 0.0
	for k := range o.values {
		r := &o.values[k]
		u2 := square(r.u * scatter)
		chance := 1 - r.misread.Chance
		if guess>>k&1 == 1 {
			chance = r.misread.Chance
			u2 += square(r.misread.By)
		}
		total := variance + u2
		log += math.Log(chance) - math.Log(2*math.Pi*total)/2
		quadratic += slope * slope / total
		linear += slope * (r.value - at) / total
		constant += square(r.value-at) / total
		gain := variance / total
		slope, at, variance = slope*(1-gain), at+gain*(r.value-at), variance*(1-gain)
	}
	b := bell{log: log, precision: quadratic, felt: make([]edges, len(o.ranges))}
	if quadratic > 0 {
		b.centre = linear / quadratic
		b.log -= (constant - linear*b.centre) / 2
	}
	for i := range o.ranges {
		b.felt[i] = o.ranges[i].edges(slope, at, variance)
	}
	return b
}

// on adds the likelihood at every point of a row, from low on, step apart.
func (v curve) on(row []float64, low, step float64) {
	for i := range v {
		v[i].on(row, low, step)
	}
}

// on goes from the point nearest to the bell's centre to either side until
// nothing is left: each value of a normal density is the one before times a
// factor that itself changes by a constant factor.
func (b *bell) on(row []float64, low, step float64) {
	middle := max(0, min(len(row)-1, int(math.Round((b.centre-low)/step))))
	change := math.Exp(-b.precision * step * step)
	for _, by := range [...]int{1, -1} {
		k := middle
		if by < 0 {
			k--
		}
		off, step := low+float64(k)*step-b.centre, float64(by)*step
		p := math.Exp(b.log - b.precision*off*off/2)
		factor := math.Exp(-b.precision * (off*step + step*step/2))
		for ; k >= 0 && k < len(row) && p > nothing; k += by {
			c, with := low+float64(k)*math.Abs(step), p
			for i := range b.felt {
				with *= b.felt[i].chance(c)
			}
			row[k] += with
			p *= factor
			factor *= change
		}
	}
}

// nothing is a density that is taken for none.
const nothing = 1e-44

func (w *within) edges(slope, at, variance float64) edges {
	sd := math.Sqrt(variance + w.soft*w.soft)
	return edges{slope / sd, at / sd, w.low / sd, w.high / sd, 1 - w.mistaken, w.mistaken / feels}
}

// chance of what was felt, if the set-up gives the play c.
func (e *edges) chance(c float64) float64 {
	mean := e.slope*c + e.at
	return e.right*between(mean-e.low, mean-e.high) + e.wrong
}

// chance is that of the range for play with this mean and variance.
func (w *within) chance(mean, variance float64) float64 {
	return (1-w.mistaken)*w.inside(mean, variance) + w.mistaken/feels
}

// inside is that it lies in the range, its edges softened.
func (w *within) inside(mean, variance float64) float64 {
	sd := math.Sqrt(variance + w.soft*w.soft)
	return between((mean-w.low)/sd, (mean-w.high)/sd)
}

// between is the chance of a normal variate that is above standard deviations
// above the low end of a range, and below of them above its high end.
func between(above, below float64) float64 {
	switch {
	case below < -7: // the far end is open
		return normal.CDF(above)
	case above > 7:
		return normal.CDF(-below)
	case above+below > 0: // mirrored: far up both are 1 but for their rounding, far down they keep their digits
		above, below = -below, -above
	}
	return normal.CDF(above) - normal.CDF(below)
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
