package belief

import (
	"math"

	"snugtail/joint/normal"
)

// feeler holds a part against what was felt of the latest joint, and that it
// has no gap: ranges of its play, given b.
type feeler struct {
	m         *model
	g         *grid
	ranges    []within // of play, mm
	shoulders []within // that the shoulder is closed
	feel      int      // index of the feel of the whole joint, -1 for none
	atPlaces  bool     // something was felt at a place on the joint
	p         *part
	variance  float64 // of the part's play given b
	sd        float64
	edges     []edges // of the ranges, as functions of b
	soft      edges   // of the feel of the whole joint, as a function of play
	tables    []feltTable
}

// feltTable is what was felt as a function of b. Most parts have play given b
// alike, with one of few variances: then it is looked up.
type feltTable struct {
	variance         float64
	chance, inTarget []float64 // by point of the grid, below 0 where not looked at yet
}

// mostTables bounds the room for tables.
const mostTables = 12

func newFeeler(m *model, g *grid) *feeler {
	f := &feeler{m: m, g: g, feel: -1}
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

// take multiplies a part's weights, from the grid's point lo on, by the chance
// of what was felt, and notes what share of them has the latest joint within
// the target, and its feel told wrongly.
func (f *feeler) take(p *part, weights []float64, lo int) {
	f.p, f.variance = p, square(p.play.sd)
	p.inTarget, p.feltWrong = 0, 0
	if len(f.ranges) == 0 && len(f.shoulders) == 0 && !f.m.latest.seen {
		return
	}
	f.ready()
	always := f.shoulder()
	t := f.tableFor(p)
	for i := range weights {
		chance := f.chance(t, lo+i)
		weights[i] *= always * chance
		if v := weights[i]; v > untold && i%tallyEvery == 0 && f.m.latest.seen {
			p.inTarget += tallyEvery * v * f.inTarget(t, lo+i)
			p.feltWrong += tallyEvery * v * f.wrong(t, lo+i)
		}
	}
}

// ready prepares what was felt for the part at hand: as a function of b.
func (f *feeler) ready() {
	p := f.p
	f.edges = f.edges[:0]
	slope, at := p.play.slope, f.m.nominal+p.play.at-p.play.slope*p.mean
	for i := range f.ranges {
		w := &f.ranges[i]
		at, variance := at, f.variance
		if w.felt {
			at += p.felt
			variance += square(p.feltSize)
		}
		if w.where.place {
			at += p.at.local(w.where) - p.at.whole
			local := f.endsOf(p).slopeOf(func(q *point) float64 { return q.local(w.where) - q.whole })
			variance += square(local * p.sizeSD)
		}
		f.edges = append(f.edges, w.edges(slope, at, variance))
	}
	f.sd = math.Sqrt(f.variance)
	if f.feel >= 0 {
		f.soft = f.ranges[f.feel].edges(1, 0, 0)
	}
}

// endsOf finds the ends of a part's forecast, and keeps them.
func (f *feeler) endsOf(p *part) *ends {
	if p.ends == nil {
		p.ends = new(ends)
		f.m.findEnds(p.forecast, p.ends)
	}
	return p.ends
}

// untold is the weight, next to that of the best part, below which it does not
// matter what the joint was like.
const untold = 1e-7

// shoulder is the chance that the shoulder is closed where it was seen to be.
func (f *feeler) shoulder() float64 {
	always := 1.0
	for i := range f.shoulders {
		at := f.p.at.value(seeShoulder, f.shoulders[i].where)
		slope := f.endsOf(f.p).slopeOf(func(q *point) float64 { return q.value(seeShoulder, f.shoulders[i].where) })
		always *= f.shoulders[i].chance(at, square(slope)+square(unevenSD))
	}
	return always
}

// tableFor returns the table of a part whose play is b, but for a scatter; nil
// for other parts.
func (f *feeler) tableFor(p *part) *feltTable {
	const same = 1e-9
	if p.felt != 0 || p.feltSize != 0 || f.atPlaces && !p.evenAlong() ||
		math.Abs(p.play.slope-1) > same || math.Abs(p.play.at-p.mean) > same {
		return nil
	}
	for i := range f.tables {
		if t := &f.tables[i]; math.Abs(t.variance-f.variance) < same {
			return t
		}
	}
	if len(f.tables) == mostTables {
		return nil
	}
	cells := make([]float64, 2*f.g.n)
	for i := range cells {
		cells[i] = -1
	}
	f.tables = append(f.tables, feltTable{f.variance, cells[:f.g.n], cells[f.g.n:]})
	return &f.tables[len(f.tables)-1]
}

// chance of all that was felt, at a point of the grid.
func (f *feeler) chance(t *feltTable, k int) float64 {
	if t != nil && t.chance[k] >= 0 {
		return t.chance[k]
	}
	b, p := f.g.at(k), 1.0
	for i := range f.edges {
		p *= f.edges[i].chance(b)
	}
	if t != nil {
		t.chance[k] = p
	}
	return p
}

// wrong is the share of it with the feel told wrongly.
func (f *feeler) wrong(t *feltTable, k int) float64 {
	if f.feel < 0 {
		return 0
	}
	e := &f.edges[f.feel]
	if len(f.edges) == 1 {
		return e.wrong / f.chance(t, k)
	}
	return e.wrong / e.chance(f.g.at(k))
}

// inTarget is the share of it with play, as felt, within the target.
func (f *feeler) inTarget(t *feltTable, k int) float64 {
	if t == nil {
		return f.within(f.meanOf(f.g.at(k)))
	}
	if t.inTarget[k] < 0 {
		t.inTarget[k] = f.within(f.meanOf(f.g.at(k)))
	}
	return t.inTarget[k]
}

// meanOf returns the mean of the latest joint's play given b.
func (f *feeler) meanOf(b float64) float64 {
	return f.m.nominal + f.p.play.at + f.p.play.slope*(b-f.p.mean)
}

// evenAlong reports whether a part's play is the same all along the joint.
func (f *forecast) evenAlong() bool {
	e := &f.at.effect
	return e.slopePlay == 0 && e.bowPlay == 0 && e.whole == 0
}

// farthest is how far off the farthest of them is.
const farthest = 2.8569701

// tallyEvery is at how many of the grid's points it is looked at whether the
// latest joint is within the target.
const tallyEvery = 2

// hermite are the five points of Gauss and Hermite for a standard normal.
var hermite = [...]struct{ z, weight float64 }{
	{-2.856970013872806, 0.011257411327721},
	{-1.355626179974266, 0.222075922005613},
	{0, 0.533333333333333},
	{1.355626179974266, 0.222075922005613},
	{2.856970013872806, 0.011257411327721},
}

// within returns the chance that play, as felt, is within the target, given its
// mean and the feel.
func (f *feeler) within(mean float64) float64 {
	to, from := f.m.target.To.MM(), f.m.target.From.MM()
	mean, sd := mean+f.p.felt, f.sd
	if f.p.feltSize != 0 {
		sd = math.Hypot(sd, f.p.feltSize)
	}
	if f.feel < 0 {
		sharp := max(sd, 1e-4)
		return normal.CDF((to-mean)/sharp) - normal.CDF((from-mean)/sharp)
	}
	if mean+farthest*sd < from || mean-farthest*sd > to {
		return 0
	}
	if f.p.feltSize != 0 {
		return f.finely(mean, sd)
	}
	sum, all := 0.0, 0.0
	for _, h := range hermite {
		c := mean + h.z*sd
		p := h.weight * f.soft.chance(c)
		all += p
		if c >= from && c <= to {
			sum += p
		}
	}
	return sum / all
}

// finely is within where what the hand feels is broad: five points are then too
// far apart for the target's edges.
func (f *feeler) finely(mean, sd float64) float64 {
	const steps, reach = 40, 4.0
	to, from := f.m.target.To.MM(), f.m.target.From.MM()
	sum, all := 0.0, 0.0
	for k := range steps {
		z := reach * (2*(float64(k)+0.5)/steps - 1)
		c := mean + z*sd
		p := math.Exp(-z*z/2) * f.soft.chance(c)
		all += p
		if c >= from && c <= to {
			sum += p
		}
	}
	return sum / all
}
