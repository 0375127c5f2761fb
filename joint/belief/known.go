package belief

import (
	"math"
	"slices"

	"snugtail/joint/length"
)

// Quantity is something that a check reads, or that a joint has.
type Quantity uint8

// Quantities.
const (
	QuantityBushing Quantity = iota
	QuantityCutter
	QuantityAngle
	QuantityPinDepth
	QuantityTailDepth
	QuantityPin
	QuantityTail
	QuantityPinSocket
	QuantityTailSocket
	QuantityPulledGap
	QuantityShoulderGap
	QuantitySeat
	QuantityEdgeStep
	QuantityPinPlay   // pin socket less pin
	QuantityTailPlay  // tail socket less tail
	QuantityThickness // of the tail board
	QuantityOpening   // of the template
	QuantityPlay
	quantities
)

var observableOf = [quantities]observable{
	QuantityBushing: seeBushing, QuantityCutter: seeCutter, QuantityAngle: seeAngle, QuantityPinDepth: seePinDepth,
	QuantityTailDepth: seeTailDepth, QuantityPin: seePin, QuantityTail: seeTail, QuantityPinSocket: seePinSocket,
	QuantityTailSocket: seeTailSocket, QuantityPulledGap: seeGap, QuantityShoulderGap: seeShoulder, QuantitySeat: seeSeat,
	QuantityEdgeStep: seeEdge, QuantityPinPlay: seePins, QuantityTailPlay: seeTails, QuantityThickness: seeThickness,
	QuantityOpening: seeOpening, QuantityPlay: seePlay,
}

// Side is where on the joint a quantity is read: of the whole of it, or at an end.
type Side int8

// Sides.
const (
	Middle   Side = 0 // the joint as a whole
	LeftEnd  Side = -1
	RightEnd Side = 1
)

// Figure is a quantity of the latest joint, or of a tool, at a place, with the
// standard uncertainty with which it would be read.
type Figure struct {
	Quantity
	Side
	U float64
}

// Outlook is one way in which things may be: a fault, or two, or none, with
// what is then known of play.
type Outlook struct {
	Weight float64
	Cause  Code
	Second Code // CauseSetUpRight where there is no second one
	// None: nothing wrong but tolerances.
	None bool
	// Mean and SD of what the set-up adds to the play of its stated sizes, and
	// Tilt, its change with each mm of depth from Deeper on.
	Mean, SD, Tilt float64
	// Without is the mean of it were the fault gone; Lasts the chance that it is
	// there at the next joint too if nothing is done about it.
	Without, Lasts float64
	// Deeper is by how much more than set the latest joint was cut, mm, for good.
	Deeper float64
	// Seat, Edge and Shoulder of the latest joint, as expected, mm.
	Seat, Edge, Shoulder float64
	SeatSD, EdgeSD       float64
	// SeatEffect and EdgeEffect are what the fault has in them.
	SeatEffect, EdgeEffect float64
	// Spoils are what the fault does beside play, at its expected size and 1.73
	// standard deviations below and above: weights 4, 1 and 1 of 6.
	Spoils [3]Spoil
	part   *part
	known  *known
}

// Spoil is by how much a fault makes a joint vary along its length and holds its
// shoulder open, mm.
type Spoil struct{ Uneven, Shoulder float64 }

// Outlooks returns the likeliest ways in which things may be, at most n, their
// weights summing to 1. Which readings are misread is summed over where it is
// unlikely.
func (p *Posterior) Outlooks(n int) []Outlook {
	ways := likeliest(p.ways(), n)
	sum := 0.0
	for _, w := range ways {
		sum += w.weight
	}
	all := make([]Outlook, len(ways))
	for i, w := range ways {
		all[i] = Outlook{Weight: w.weight / sum, part: w.part}
		p.describe(&all[i])
	}
	return all
}

// likely is a part that stands for others that differ only in what is misread, with
// the weight of all.
type likely struct {
	weight float64
	part   *part
}

// ways puts parts together: the likeliest stands for all, but for other likely
// ones.
func (p *Posterior) ways() []likely {
	all := make([]likely, p.listed, p.listed+8) // by forecast
	for _, q := range p.parts {
		w := &all[q.forecast.listed]
		switch {
		case w.part == nil:
			w.part = q
		case q.weight > w.part.weight:
			w.part, q = q, w.part
			w.weight += w.part.weight - q.weight
		}
		if w.part != q && q.weight >= apart {
			all = append(all, likely{q.weight, q})
		} else {
			w.weight += q.weight
		}
	}
	return slices.DeleteFunc(all, func(w likely) bool { return w.part == nil })
}

// likeliest returns the likeliest n, of those as likely the first.
func likeliest(all []likely, n int) []likely {
	top := make([]likely, 0, n+1)
	for _, w := range all {
		k := len(top)
		for k > 0 && top[k-1].weight < w.weight {
			k--
		}
		if k < n {
			top = slices.Insert(top, k, w)[:min(n, len(top)+1)]
		}
	}
	return top
}

// apart is the share from which a way of misreading is looked at by itself.
const apart = 0.03

func (p *Posterior) describe(o *Outlook) {
	q := o.part
	o.Cause, o.Second, o.None = q.branch.cause, CauseSetUpRight, q.branch.none && q.second == nil
	if q.second != nil {
		o.Second = q.second.cause
		if q.branch.none {
			o.Cause, o.Second = o.Second, CauseSetUpRight
		}
	}
	o.Mean, o.SD, o.Tilt = q.bMean, q.bSD, q.tilt
	o.Lasts = q.lasts()
	o.known = p.knownOf(q)
	e := p.m.effectOf(q.forecast, q.branch.mean+q.sizeNow()*q.branch.sd)
	if at, ok := p.m.geometry.at(&e); ok {
		o.Deeper = max(at.pinDepth, at.tailDepth)
		if at.pinDepth < 0 || at.tailDepth < 0 {
			o.Deeper = min(at.pinDepth, at.tailDepth)
		}
		null := &p.m.asTold
		o.SeatEffect = p.m.seatOf(&at) - p.m.seatAsTold - (at.values[seePlay]-null.values[seePlay])/2
		o.EdgeEffect = at.values[seeEdge] - null.values[seeEdge]
		o.Without = q.bMean - (at.values[seePlay] + at.whole - null.values[seePlay] - null.whole)
	}
	for k, z := range [...]float64{0, -math.Sqrt(3), math.Sqrt(3)} {
		o.Spoils[k] = p.spoil(q, z)
	}
	o.Seat, o.SeatSD = o.known.figure(Figure{Quantity: QuantitySeat})
	o.Edge, o.EdgeSD = o.known.figure(Figure{Quantity: QuantityEdgeStep})
	o.Shoulder, _ = o.known.figure(Figure{Quantity: QuantityShoulderGap})
}

func (p *Posterior) spoil(q *part, z float64) Spoil {
	e := p.m.effectOf(q.forecast, q.branch.mean+(q.sizeNow()+z*q.sizeSD)*q.branch.sd)
	at, ok := p.m.geometry.at(&e)
	if !ok {
		return Spoil{}
	}
	null := &p.m.asTold
	return Spoil{
		Uneven:   max(math.Abs(at.slopePlay)+math.Abs(at.bowPlay), max(math.Abs(at.slopeShoulder)+math.Abs(at.bowShoulder), math.Abs(at.slopeSeat))),
		Shoulder: at.value(seeShoulder, where{}) - null.value(seeShoulder, where{}),
	}
}

// sizeNow is the size off its mean that explains best, in standard deviations,
// with all taken in.
func (q *part) sizeNow() float64 {
	if q.sd <= 0 {
		return q.size
	}
	return q.size + q.sizeB/(q.sd*q.sd)*(q.bMean-q.mean)
}

// known is a part with its readings taken in, ready to tell any figure.
type known struct {
	p    *Posterior
	q    *part
	s    *system
	inv  []float64 // inverse of the readings' covariance, size and misreadings included
	work []float64 // inv times what was read less what was expected
	b    taken
	ends ends
}

func (p *Posterior) knownOf(q *part) *known {
	s := p.systems[q.scatter]
	k := &known{p: p, q: q, s: s, inv: slices.Clone(s.inverse), work: make([]float64, s.n)}
	p.m.findEnds(q.forecast, &k.ends)
	k.update(q.slope)
	for _, v := range q.others {
		k.update(v)
	}
	unit := make([]float64, s.n)
	for _, f := range q.flaws {
		if f < 0 {
			continue
		}
		for _, i := range p.m.flaws[f].which {
			unit[i] = p.m.flaws[f].by
		}
		k.update(unit)
		clear(unit)
	}
	for i := range s.n {
		for n, off := range q.off {
			k.work[i] += k.inv[i*s.n+n] * off
		}
	}
	k.b = k.take(expectation{q.b, p.m.playRow, q.bSize}, make([]float64, 2*s.n))
	return k
}

// update adds v v' to the covariance whose inverse is held.
func (k *known) update(v []float64) {
	n := k.s.n
	w := make([]float64, n)
	total := 1.0
	for i := range n {
		for j := range n {
			w[i] += k.inv[i*n+j] * v[j]
		}
	}
	for i := range n {
		total += v[i] * w[i]
	}
	for i := range n {
		for j := range n {
			k.inv[i*n+j] -= w[i] * w[j] / total
		}
	}
}

// expectation is a figure before readings: its mean, its row by the unknowns
// and its slope by the size.
type expectation struct {
	mean  float64
	row   vector
	slope float64
}

func (k *known) expect(f Figure) expectation {
	m, o := k.p.m, observableOf[f.Quantity]
	w := where{place: f.Side != Middle, xi: float64(f.Side)}
	of := func(q *point) float64 {
		if o == seeSeat {
			return m.seatOf(q) + q.value(seeSeat, w)
		}
		return q.value(o, w)
	}
	x := expectation{mean: of(&k.q.at), row: m.rows[o], slope: k.ends.slopeOf(of)}
	x.row[ofSetting] *= k.s.scatter
	return x
}

// figure returns mean and standard deviation of one figure.
func (k *known) figure(f Figure) (mean, sd float64) {
	var p Prospect
	k.figures([]Figure{f}, &p)
	return p.Mean[0], math.Sqrt(max(0, p.Cov[0]))
}

// taken is a figure with the readings taken in: its covariances with them, and
// their inverse times those.
type taken struct {
	expectation
	read, solved []float64
}

// take makes a figure ready; what it has with the readings goes to room.
func (k *known) take(x expectation, room []float64) taken {
	n := k.s.n
	t := taken{x, room[:n], room[n : 2*n]}
	for j := range n {
		t.read[j] = x.row.dot(&k.s.rows[j]) + x.slope*k.q.slope[j]
	}
	for a := range n {
		sum := 0.0
		for b, r := range t.read {
			sum += k.inv[a*n+b] * r
		}
		t.solved[a] = sum
	}
	return t
}

// cov is the covariance of two figures given the readings.
func (t *taken) cov(o *taken) float64 {
	v := t.row.dot(&o.row) + t.slope*o.slope
	for a, r := range t.read {
		v -= r * o.solved[a]
	}
	return v
}

// figures tells what figures are like given all that was seen: their means,
// their covariances without reading errors, and their covariances with b.
func (k *known) figures(fs []Figure, p *Prospect) {
	n := len(fs)
	p.of(n)
	var few [usualFigures]taken
	figs, room := few[:0], make([]float64, 2*k.s.n*n)
	for i := range fs {
		figs = append(figs, k.take(k.expect(fs[i]), room[2*k.s.n*i:]))
	}
	shift, shrink := k.fromB()
	for i := range figs {
		f := &figs[i]
		withB := f.cov(&k.b)
		p.Mean[i] = f.mean + withB*shift
		for j, r := range f.read {
			p.Mean[i] += r * k.work[j]
		}
		p.WithB[i] = withB
		for j := range i + 1 {
			v := f.cov(&figs[j]) - withB*p.WithB[j]*shrink
			p.Cov[i*n+j], p.Cov[j*n+i] = v, v
		}
	}
	// What is left of b's own spread after older joints and feels.
	for i := range p.WithB {
		p.WithB[i] *= k.left()
	}
}

// fromB is what older joints and feels did to b: a figure that has covariance k
// with it moves by k shift, its variance falls by k^2 shrink.
func (k *known) fromB() (shift, shrink float64) {
	v := k.q.sd * k.q.sd
	if v < 1e-9 {
		return 0, 0
	}
	return (k.q.bMean - k.q.mean) / v, (1 - min(1, square(k.q.bSD)/v)) / v
}

func (k *known) left() float64 {
	v := k.q.sd * k.q.sd
	if v < 1e-9 {
		return 1
	}
	return min(1, square(k.q.bSD)/v)
}

// Prospect is what figures are likely to read under one outlook: normal, with
// means, covariances (reading errors included; row by row) and covariances with
// play.
type Prospect struct {
	Mean  []float64
	Cov   []float64
	WithB []float64
}

// of makes room for n figures.
func (p *Prospect) of(n int) {
	if cap(p.Cov) < n*n || cap(p.Mean) < n {
		n := max(n, usualFigures)
		p.Mean, p.Cov, p.WithB = make([]float64, n), make([]float64, n*n), make([]float64, n)
	}
	p.Mean, p.Cov, p.WithB = p.Mean[:n], p.Cov[:n*n], p.WithB[:n]
}

// usualFigures are as many as a check reads at most.
const usualFigures = 6

// Expect fills in what figures are likely to read under an outlook.
func (o *Outlook) Expect(fs []Figure, p *Prospect) {
	o.known.figures(fs, p)
	for i := range fs {
		p.Cov[i*len(fs)+i] += square(fs[i].U)
	}
}

// Shows returns how likely an answer to a finding is under an outlook.
func (p *Posterior) Shows(o *Outlook, f Finding, a Answer) float64 {
	chance := func(c Code) float64 { return p.m.tables.yes[c][f] }
	yes := chance(o.Cause)
	if o.Second != CauseSetUpRight {
		yes = max(yes, chance(o.Second))
	}
	if a == Yes {
		return yes
	}
	return 1 - yes
}

// Play returns the latest joint's own play, as expected, and its standard
// deviation; known is false where nothing of it was seen.
func (p *Posterior) Play() (mean, sd length.Length, known bool) {
	sum, squares := 0.0, 0.0
	for _, q := range p.parts {
		c := p.m.nominal + q.play.at + q.play.slope*(q.bMean-q.mean)
		v := square(q.play.sd) + square(q.play.slope*q.bSD)
		sum += q.weight * c
		squares += q.weight * (c*c + v)
	}
	return length.Length(sum), length.Length(math.Sqrt(max(0, squares-sum*sum))), p.m.seesPlay()
}

func (m *model) seesPlay() bool {
	if len(m.ranges) > 0 {
		return true
	}
	for i := range m.readings {
		switch m.readings[i].observable {
		case seePlay, seeGap, seePins, seeTails, seePin, seeTail:
			return m.latest.seen
		}
	}
	return false
}
