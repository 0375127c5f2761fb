package belief

import (
	"math"

	"snugtail/joint"
)

// feeler holds a part against what was felt of the latest joint, and that it
// has no gap: ranges of its play, given b.
type feeler struct {
	m         *model
	ranges    []within // of play, mm
	shoulders []within // that the shoulder is closed
	p         *part
	variance  float64
	always    float64 // chance of what does not depend on b
	mean      float64
	inTarget  float64
	wrong     float64
	g         *grid
	feel      int // index of the feel of the whole joint, -1 for none
	// Most parts have play given b alike: what was felt then depends on b alone,
	// and is looked up. usual says that the part at hand is of that kind.
	atPlaces         bool
	usual            bool
	variance0        float64
	chances, within0 []float64 // by point of the grid; -1 not looked at yet
}

func newFeeler(m *model, g *grid) *feeler {
	f := &feeler{m: m, g: g, feel: -1, variance0: -1}
	for _, w := range m.ranges {
		switch w.observable {
		case seeGap:
			w.low, w.high, w.soft = w.low*m.perDepth, w.high*m.perDepth, w.soft*m.perDepth
			f.ranges = append(f.ranges, w)
		case seeShoulder:
			f.shoulders = append(f.shoulders, w)
		default:
			f.ranges = append(f.ranges, w)
			f.atPlaces = f.atPlaces || w.where.place
			if w.felt && !w.where.place {
				f.feel = len(f.ranges) - 1
			}
		}
	}
	return f
}

func (f *feeler) begin(p *part) {
	f.p, f.inTarget, f.wrong, f.always = p, 0, 0, 1
	f.variance = square(p.play.sd)
	for i := range f.shoulders {
		at := p.at.value(seeShoulder, f.shoulders[i].where)
		slope := p.slopeOf(func(q *point) float64 { return q.value(seeShoulder, f.shoulders[i].where) })
		f.always *= f.shoulders[i].chance(at, square(slope)+square(unevenSD))
	}
	const same = 1e-9
	f.usual = len(f.shoulders) == 0 && p.felt == 0 && p.feltSize == 0 && (!f.atPlaces || p.evenAlong()) &&
		math.Abs(p.play.slope-1) < same && math.Abs(p.play.at-p.mean) < same
	switch {
	case !f.usual || math.Abs(f.variance-f.variance0) < same:
	case f.variance0 < 0:
		f.variance0 = f.variance
		cells := make([]float64, 2*f.g.n)
		for i := range cells {
			cells[i] = -1
		}
		f.chances, f.within0 = cells[:f.g.n], cells[f.g.n:]
	default:
		f.usual = false
	}
}

// slopeOf returns by how much a figure changes with one standard deviation of
// the size.
func (f *forecast) slopeOf(of func(*point) float64) float64 {
	if f.between == 0 {
		return 0
	}
	return (of(&f.hi) - of(&f.lo)) / f.between
}

// meanOf returns the mean of the latest joint's play given b.
func (f *feeler) meanOf(b float64) float64 {
	return f.m.nominal + f.p.play.at + f.p.play.slope*(b-f.p.mean)
}

func (f *feeler) felt(w *within, mean float64) (at, variance float64) {
	at, variance = mean, f.variance
	if w.felt {
		at += f.p.felt
		variance += square(f.p.feltSize)
	}
	if w.where.place {
		at += f.p.at.local(w.where) - f.p.at.whole
		slope := f.p.slopeOf(func(q *point) float64 { return q.local(w.where) - q.whole })
		variance += square(slope * f.p.sizeSD)
	}
	return at, variance
}

// evenAlong reports whether a part's play is the same all along the joint.
func (f *forecast) evenAlong() bool {
	e := &f.at.effect
	return e.slopePlay == 0 && e.bowPlay == 0 && e.whole == 0
}

// chance of all that was felt, at a point of the grid.
func (f *feeler) chance(k int) float64 {
	if len(f.ranges) == 0 {
		return f.always
	}
	if f.usual && f.chances[k] >= 0 {
		return f.chances[k]
	}
	f.mean = f.meanOf(f.g.at(k))
	p := f.always
	for i := range f.ranges {
		at, variance := f.felt(&f.ranges[i], f.mean)
		p *= f.ranges[i].chance(at, variance)
	}
	if f.usual {
		f.chances[k] = p
	}
	return p
}

// tallyEvery is at how many of the grid's points it is looked at whether the
// latest joint is within the target.
const tallyEvery = 2

// hermite are the five points of Gauss and Hermite for a standard normal.
var hermite = [...]struct{ z, weight float64 }{
	{-2.856970013872806, 0.011257411327721}, {-1.355626179974266, 0.222075922005613}, {0, 0.533333333333333},
	{1.355626179974266, 0.222075922005613}, {2.856970013872806, 0.011257411327721},
}

// tally adds up, of a weight at a point of the grid, what has the latest joint
// within the target and what has its feel told wrongly.
func (f *feeler) tally(k int, weight float64, i int) {
	if weight < 1e-7 || !f.m.latest.seen || i%tallyEvery != 0 {
		return
	}
	f.mean = f.meanOf(f.g.at(k))
	if f.feel >= 0 {
		w := &f.ranges[f.feel]
		at, variance := f.felt(w, f.mean)
		f.wrong += tallyEvery * weight * w.mistaken / feels / w.chance(at, variance)
	}
	f.inTarget += tallyEvery * weight * f.withinAt(k)
}

func (f *feeler) withinAt(k int) float64 {
	if !f.usual {
		return f.within(f.feel)
	}
	if f.within0[k] < 0 {
		f.within0[k] = f.within(f.feel)
	}
	return f.within0[k]
}

// within returns the chance that play, as felt, is within the target, given b
// and feel.
func (f *feeler) within(feel int) float64 {
	to, from := f.m.target.To.MM(), f.m.target.From.MM()
	if feel < 0 {
		mean := f.mean + f.p.felt
		return joint.NormalCDF((to-mean)/f.sharp()) - joint.NormalCDF((from-mean)/f.sharp())
	}
	w := f.ranges[feel]
	sum, all := 0.0, 0.0
	sd := math.Sqrt(f.variance)
	for _, h := range hermite {
		c := f.mean + f.p.felt + h.z*sd
		p := h.weight * w.chance(c, square(f.p.feltSize))
		all += p
		if c >= from && c <= to {
			sum += p
		}
	}
	return sum / all
}

func (f *feeler) sharp() float64 { return math.Max(math.Sqrt(f.variance), 1e-4) }
