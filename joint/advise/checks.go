package advise

import (
	"math"

	"snugtail/joint"
	"snugtail/joint/belief"
	"snugtail/joint/length"
)

// Standard uncertainties of readings that the joint package has no default
// for. Judgement.
const (
	angleReading     = 0.3 // degrees, with a bevel gauge
	slotAngleReading = 0.35
	slotReading      = 0.035 // mm
	edgeReading      = 0.075
	seatReading      = 0.06
	thicknessReading = 0.1
	partSD           = 0.02 // from one pin or tail to the next
	caliper          = joint.ToleranceCaliper / 2.0
	depthReading     = joint.ToleranceDepthMeasured / 2.0
	gapReading       = joint.ToleranceGap / 2.0
)

// figures returns what a check reads in the case at hand.
func (w *work) figures(c belief.Check) []belief.Figure {
	width := math.Hypot(caliper, partSD)
	switch c {
	case belief.CheckMeasureBushing:
		return []belief.Figure{{Quantity: belief.QuantityBushing, U: caliper}}
	case belief.CheckMeasureCutter:
		return []belief.Figure{{Quantity: belief.QuantityCutter, U: caliper}}
	case belief.CheckMeasureCutterAngle:
		return []belief.Figure{{Quantity: belief.QuantityAngle, U: angleReading}}
	case belief.CheckScrapSlot:
		return []belief.Figure{{Quantity: belief.QuantityCutter, U: slotReading}, {Quantity: belief.QuantityAngle, U: slotAngleReading}}
	case belief.CheckMeasureDepth:
		return []belief.Figure{{Quantity: belief.QuantityPinDepth, U: depthReading}, {Quantity: belief.QuantityTailDepth, U: depthReading}}
	case belief.CheckMeasureWidths:
		if w.Posterior.WidthsKnown() {
			return []belief.Figure{
				{Quantity: belief.QuantityPin, U: width}, {Quantity: belief.QuantityTail, U: width},
				{Quantity: belief.QuantityPinSocket, U: width}, {Quantity: belief.QuantityTailSocket, U: width},
			}
		}
		return []belief.Figure{{Quantity: belief.QuantityPinPlay, U: math.Sqrt2 * width}, {Quantity: belief.QuantityTailPlay, U: math.Sqrt2 * width}}
	case belief.CheckPullJoint:
		return []belief.Figure{{Quantity: belief.QuantityPulledGap, U: gapReading}, {Quantity: belief.QuantityShoulderGap, U: gapReading}}
	case belief.CheckSeeSeat:
		return []belief.Figure{{Quantity: belief.QuantitySeat, U: seatReading}}
	case belief.CheckSeeEdges:
		return []belief.Figure{{Quantity: belief.QuantityEdgeStep, U: edgeReading}}
	case belief.CheckLookBothEnds:
		return w.bothEnds()
	case belief.CheckMeasureBoards:
		return []belief.Figure{{Quantity: belief.QuantityThickness, U: thicknessReading}}
	case belief.CheckMeasureTemplate:
		return []belief.Figure{{Quantity: belief.QuantityOpening, U: caliper}}
	}
	return nil
}

// feltAtEnd is the standard uncertainty of play, mm, that the feel of one end
// leaves. Judgement.
const feltAtEnd = 0.15

// bothEnds: how each end goes together, how deep it is cut and, of a joint that
// went home, how far its shoulder stands open there.
func (w *work) bothEnds() []belief.Figure {
	all := make([]belief.Figure, 0, 6)
	for _, side := range [...]belief.Side{belief.LeftEnd, belief.RightEnd} {
		all = append(all,
			belief.Figure{Quantity: belief.QuantityPlay, Side: side, U: feltAtEnd},
			belief.Figure{Quantity: belief.QuantityPinDepth, Side: side, U: depthReading})
		if !w.jammed() {
			all = append(all, belief.Figure{Quantity: belief.QuantityShoulderGap, Side: side, U: gapReading})
		}
	}
	return all
}

func (w *work) jammed() bool {
	return w.last != nil && (w.last.Feel.Jammed() || w.last.WentIn.Given)
}

// open reports whether a check can be made and has not been, or is to be made
// again because its reading is doubted.
func (w *work) open(c belief.Check) bool {
	if w.given.Unavailable[c] || w.last == nil && ofJoint[c] {
		return false
	}
	if w.doubted(c) {
		return true
	}
	if w.given.Answered[c] {
		return false
	}
	switch c {
	case belief.CheckPullJoint, belief.CheckSeeSeat: // a jammed joint has neither gap nor seat
		return !w.jammed() && !w.has(c)
	case belief.CheckMeasureCutter, belief.CheckMeasureCutterAngle:
		return !w.given.Answered[belief.CheckScrapSlot]
	case belief.CheckScrapSlot:
		return !w.given.Answered[belief.CheckMeasureCutter] || !w.given.Answered[belief.CheckMeasureCutterAngle]
	case belief.CheckMeasureDepth, belief.CheckMeasureWidths, belief.CheckSeeEdges:
		return !w.has(c)
	case belief.CheckLookBothEnds:
		return len(w.last.Along) < 2
	case belief.CheckMeasureBoards:
		return w.last != nil && !w.setup.TailBoard.Thickness.HasTolerance
	case belief.CheckMeasureTemplate:
		return w.Posterior.WidthsKnown() && !w.setup.Template.Tail.Opening.HasTolerance
	case belief.CheckStraightedge, belief.CheckRockTemplate, belief.CheckMoistureMeter:
		return w.Posterior.Told(c.SeenWith()[0]) == belief.NotSaid
	}
	if c.Asked() {
		return w.Posterior.Told(c.SeenWith()[0]) == belief.NotSaid
	}
	return true
}

// ofJoint are the checks of a joint that was cut.
var ofJoint = [belief.CheckCount]bool{
	belief.CheckMeasureDepth: true, belief.CheckMeasureWidths: true, belief.CheckPullJoint: true, belief.CheckSeeSeat: true,
	belief.CheckSeeEdges: true, belief.CheckLookBothEnds: true,
}

func (w *work) doubted(c belief.Check) bool {
	for _, d := range w.Doubts {
		if d.Check == c && d.Seen != belief.SeenFeel {
			return true
		}
	}
	return false
}

// has reports whether the latest joint has all readings of a check already; a
// gap read roughly may be read again more finely.
func (w *work) has(c belief.Check) bool {
	s := &w.last.Sight
	switch c {
	case belief.CheckPullJoint:
		return s.PulledGap.Given && !rough(s.PulledGap, joint.ToleranceGap)
	case belief.CheckSeeSeat:
		return s.Seat.Given && !rough(s.Seat, 2*seatReading)
	case belief.CheckMeasureDepth:
		return s.Measured.DepthPinBoard.Given && s.Measured.DepthTailBoard.Given
	case belief.CheckMeasureWidths:
		return s.Measured.PinSocketWidest.Given && s.Measured.TailSocketWidest.Given && s.Measured.PinWidest.Given && s.Measured.TailWidest.Given ||
			!w.Posterior.WidthsKnown() && (s.Measured.PinSocketWidest.Given && s.Measured.PinWidest.Given || s.Measured.TailSocketWidest.Given && s.Measured.TailWidest.Given)
	case belief.CheckSeeEdges:
		return s.EdgeStep.Given && !rough(s.EdgeStep, 2*edgeReading)
	}
	return false
}

// prospects are what a check is likely to read under every outlook.
type prospects struct {
	n        int
	all      []prospect
	answers  [][]float64 // chance of each combination of answers, by outlook
	combined int
}

// prospect is what one outlook lets expect, its covariance factored.
type prospect struct {
	mean, withB []float64
	lower       [][]float64 // Cholesky
	solved      []float64   // lower^-1 withB
	log         float64
	sd          float64 // of play once read
	gapFirst    bool
}

// valueChecks returns every open check with what it is worth.
func (w *work) valueChecks() []valued {
	var all []valued
	now := sight{w.NextKnown, w.seatRead(), w.edgesRead()}
	base := w.bestNow(now)
	for c := range belief.CheckCount {
		if !w.open(c) {
			continue
		}
		v := valued{check: c, minutes: w.costCheck(c), figures: w.figures(c)}
		for _, f := range c.SeenWith() {
			if w.Posterior.Told(f) == belief.NotSaid {
				v.finds = append(v.finds, f)
			}
		}
		if len(v.figures)+len(v.finds) == 0 {
			continue
		}
		then := now
		then.depth = then.depth || c == belief.CheckMeasureDepth
		then.seat = then.seat || c == belief.CheckSeeSeat
		then.edges = then.edges || c == belief.CheckSeeEdges
		w.value(&v, base, then)
		all = append(all, v)
	}
	return all
}

// misreadCheck is how often a check is misread, and then tells nothing.
const misreadCheck = 0.06

// value finds what a check is expected to tell, and how soon a joint fits
// after it: for every outlook, as if it were so, what the check would read, and
// what would be done about that.
// What it gains is reckoned from what is done without it, looked at in the same
// way.
func (w *work) value(v *valued, base worth, then sight) {
	ps := w.prospects(v)
	var after worth
	bits := 0.0
	for i := range w.outlooks {
		for _, node := range nodes[min(ps.n, 1)] {
			y := ps.all[i].at(node)
			seen := ps.likelihoods(w.outlooks, y)
			for c := range ps.combined {
				share := w.outlooks[i].Weight * ps.answers[i][c] / float64(len(nodes[min(ps.n, 1)]))
				if share < 1e-5 {
					continue
				}
				post := ps.posterior(w.outlooks, seen, c)
				bits += share * w.toldOf(post, i)
				best := w.bestAfter(ps, post, y, then)
				after.chance += share * best.chance
				after.minutes += share * best.minutes
			}
		}
	}
	now := w.options.now
	v.bits = math.Max(0, bits) * (1 - misreadCheck)
	v.chance = math.Min(1, math.Max(0, now.chance+(1-misreadCheck)*(after.chance-base.chance)))
	v.after = v.minutes + now.minutes - (1-misreadCheck)*math.Max(0, base.minutes-after.minutes)
}

// bestNow is what the best action is worth without a check.
func (w *work) bestNow(s sight) worth {
	n := len(w.outlooks)
	post, means, sds := make([]float64, n), make([]float64, n), make([]float64, n)
	for i := range w.outlooks {
		o := &w.outlooks[i]
		post[i], means[i], sds[i] = o.Weight, o.Mean, o.SD
	}
	return w.bestAction(post, means, sds, s)
}

// nodes are the readings that stand for a distribution, in standard deviations
// with alternating signs: without figures one, else one on either side.
var nodes = [2][]float64{{0}, {0.8, -0.8}}

func (w *work) prospects(v *valued) *prospects {
	ps := &prospects{n: len(v.figures), all: make([]prospect, len(w.outlooks)), answers: make([][]float64, len(w.outlooks)), combined: 1 << len(v.finds)}
	for i := range w.outlooks {
		o := &w.outlooks[i]
		if ps.n > 0 {
			e := o.Expect(v.figures)
			ps.all[i] = newProspect(&e, o.SD)
			ps.all[i].gapFirst = v.check == belief.CheckPullJoint
		} else {
			ps.all[i].sd = o.SD
		}
		ps.answers[i] = make([]float64, ps.combined)
		for c := range ps.combined {
			p := 1.0
			for k, f := range v.finds {
				a := belief.No
				if c>>k&1 == 1 {
					a = belief.Yes
				}
				p *= w.Posterior.Shows(o, f, a)
			}
			ps.answers[i][c] = p
		}
	}
	return ps
}

func newProspect(e *belief.Prospect, sd float64) prospect {
	n := len(e.Mean)
	p := prospect{mean: e.Mean, withB: e.WithB, lower: e.Cov, solved: make([]float64, n)}
	for i := range n {
		for k := 0; k <= i; k++ {
			sum := p.lower[i][k]
			for j := range k {
				sum -= p.lower[i][j] * p.lower[k][j]
			}
			if i == k {
				p.lower[i][i] = math.Sqrt(math.Max(sum, 1e-12))
				p.log -= math.Log(p.lower[i][i])
			} else {
				p.lower[i][k] = sum / p.lower[k][k]
			}
		}
	}
	squares := 0.0
	for i := range n {
		sum := p.withB[i]
		for j := range i {
			sum -= p.lower[i][j] * p.solved[j]
		}
		p.solved[i] = sum / p.lower[i][i]
		squares += p.solved[i] * p.solved[i]
	}
	p.sd = math.Sqrt(math.Max(1e-8, sd*sd-squares))
	return p
}

// at returns readings that lie z standard deviations off, every other one the
// other way.
func (p *prospect) at(z float64) []float64 {
	y := make([]float64, len(p.mean))
	for i := range y {
		y[i] = p.mean[i]
		for k := 0; k <= i; k++ {
			y[i] += p.lower[i][k] * z * float64(1-2*(k&1))
		}
	}
	return y
}

const (
	// nowhere is the sum of squares from which a density is taken for none.
	nowhere = 60
	// noGap is the most that is still told as no gap, mm. Judgement.
	noGap = 0.03
)

// density of readings, but for a constant that all prospects of a check share,
// and by how much they move play. A gap that there is not says only that there
// is none.
func (p *prospect) density(y []float64) (density, move float64) {
	if p.gapFirst && y[0] <= noGap {
		return joint.NormalCDF((noGap - p.mean[0]) / p.lower[0][0]), 0
	}
	squares := 0.0
	var z [8]float64
	for i := range y {
		sum := y[i] - p.mean[i]
		for k := range i {
			sum -= p.lower[i][k] * z[k]
		}
		z[i] = sum / p.lower[i][i]
		move += z[i] * p.solved[i]
		if squares += z[i] * z[i]; squares > nowhere {
			return 0, move
		}
	}
	return math.Exp(p.log - squares/2), move
}

// likelihoods returns how well each outlook foresaw readings.
func (ps *prospects) likelihoods(os []belief.Outlook, y []float64) []float64 {
	seen := make([]float64, len(os))
	for i := range os {
		seen[i] = 1
		if ps.n > 0 {
			seen[i], _ = ps.all[i].density(y)
		}
	}
	return seen
}

// posterior returns the outlooks' shares after readings and answers.
func (ps *prospects) posterior(os []belief.Outlook, seen []float64, c int) []float64 {
	post := make([]float64, len(os))
	sum := 0.0
	for i := range os {
		post[i] = os[i].Weight * seen[i] * ps.answers[i][c]
		sum += post[i]
	}
	if sum <= 0 {
		return post
	}
	for i := range post {
		post[i] /= sum
	}
	return post
}

// toldOf returns what an outcome tells of the cause of outlook i, in bits.
func (w *work) toldOf(post []float64, i int) float64 {
	after, before := 0.0, 0.0
	for k := range w.outlooks {
		if w.outlooks[k].Cause == w.outlooks[i].Cause {
			after += post[k]
			before += w.outlooks[k].Weight
		}
	}
	if after <= 0 {
		return 0
	}
	return math.Log2(after / before)
}

// bestAfter returns what the best action is worth once a check read y.
func (w *work) bestAfter(ps *prospects, post, y []float64, then sight) worth {
	means, sds := make([]float64, len(post)), make([]float64, len(post))
	for i := range post {
		means[i], sds[i] = w.outlooks[i].Mean, w.outlooks[i].SD
		if ps.n > 0 {
			if _, move := ps.all[i].density(y); !(ps.all[i].gapFirst && y[0] <= noGap) {
				means[i] += move
				sds[i] = ps.all[i].sd
			}
		}
	}
	return w.bestAction(post, means, sds, then)
}

// rough reports whether a size was read with more than twice the usual
// tolerance.
func rough(s length.Size, usual float64) bool { return s.HasTolerance && s.Tolerance.MM() > 2*usual }
