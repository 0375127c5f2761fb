package belief

import "math"

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
	variance  float64
	tables    []feltTable
}

// feltTable is what was felt as a function of b. Most parts have play given b
// alike, with one of few variances: then it is looked up.
type feltTable struct {
	variance float64
	points   []felt // of the grid
}

// felt is what was felt against one play: its chance; of that the share with
// the play within the target; and the share with the feel told wrongly. The
// chance is below 0 where it was not looked at yet.
type felt struct{ chance, inTarget, wrong float64 }

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
	always := f.shoulder()
	t := f.tableFor(p)
	for i := range weights {
		tally := i%tallyEvery == 0
		at := f.at(t, lo+i, tally && f.m.latest.seen)
		v := weights[i] * always * at.chance
		weights[i] = v
		if tally && v > untold {
			p.inTarget += tallyEvery * v * at.inTarget
			p.feltWrong += tallyEvery * v * at.wrong
		}
	}
}

// untold is the weight, next to that of the best part, below which it does not
// matter what the joint was like.
const untold = 1e-7

// shoulder is the chance that the shoulder is closed where it was seen to be.
func (f *feeler) shoulder() float64 {
	always := 1.0
	for i := range f.shoulders {
		at := f.p.at.value(seeShoulder, f.shoulders[i].where)
		slope := f.p.slopeOf(func(q *point) float64 { return q.value(seeShoulder, f.shoulders[i].where) })
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
	t := feltTable{variance: f.variance, points: make([]felt, f.g.n)}
	for i := range t.points {
		t.points[i].chance = -1
	}
	f.tables = append(f.tables, t)
	return &f.tables[len(f.tables)-1]
}

// at returns what was felt against the play that goes with a point of the grid.
func (f *feeler) at(t *feltTable, k int, whole bool) felt {
	if t == nil {
		return f.against(f.meanOf(f.g.at(k)), whole)
	}
	if t.points[k].chance < 0 {
		t.points[k] = f.against(f.meanOf(f.g.at(k)), f.m.latest.seen)
	}
	return t.points[k]
}

func (f *feeler) against(mean float64, whole bool) felt {
	at := felt{chance: 1}
	for i := range f.ranges {
		chance := f.chance(&f.ranges[i], mean)
		at.chance *= chance
		if i == f.feel {
			at.wrong = f.ranges[i].mistaken / feels / chance
		}
	}
	if whole {
		at.inTarget = f.within(mean)
	}
	return at
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

// chance of one thing that was felt, if play has this mean.
func (f *feeler) chance(w *within, mean float64) float64 {
	variance := f.variance
	if w.felt {
		mean += f.p.felt
		variance += square(f.p.feltSize)
	}
	if w.where.place {
		mean += f.p.at.local(w.where) - f.p.at.whole
		slope := f.p.slopeOf(func(q *point) float64 { return q.local(w.where) - q.whole })
		variance += square(slope * f.p.sizeSD)
	}
	return w.chance(mean, variance)
}

// evenAlong reports whether a part's play is the same all along the joint.
func (f *forecast) evenAlong() bool {
	e := &f.at.effect
	return e.slopePlay == 0 && e.bowPlay == 0 && e.whole == 0
}

// tallyEvery is at how many of the grid's points it is looked at whether the
// latest joint is within the target.
const tallyEvery = 2

// hermite are the five points of Gauss and Hermite for a standard normal.
var hermite = [...]struct{ z, weight float64 }{
	{-2.856970013872806, 0.011257411327721}, {-1.355626179974266, 0.222075922005613}, {0, 0.533333333333333},
	{1.355626179974266, 0.222075922005613}, {2.856970013872806, 0.011257411327721},
}

// within returns the chance that play, as felt, is within the target, given its
// mean and the feel.
func (f *feeler) within(mean float64) float64 {
	to, from := f.m.target.To.MM(), f.m.target.From.MM()
	sd := math.Sqrt(f.variance)
	mean += f.p.felt
	if f.feel < 0 {
		sharp := math.Max(sd, 1e-4)
		return cdf((to-mean)/sharp) - cdf((from-mean)/sharp)
	}
	w := &f.ranges[f.feel]
	sum, all := 0.0, 0.0
	for _, h := range hermite {
		c := mean + h.z*sd
		p := h.weight * w.chance(c, square(f.p.feltSize))
		all += p
		if c >= from && c <= to {
			sum += p
		}
	}
	return sum / all
}
