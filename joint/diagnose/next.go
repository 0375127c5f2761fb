package diagnose

import (
	"cmp"
	"math"
	"slices"

	"snugtail/joint"
	"snugtail/joint/length"
)

// Advice is the check to make next.
type Advice struct {
	Check   Check
	Minutes float64
	// Gain is by how many bits the check is expected to shrink the entropy of
	// the causes' probabilities.
	Gain     float64
	Outcomes []Outcome
}

// Outcome is what the check may show, and the cause that it would point to.
type Outcome struct {
	Figures     []Figure
	Seen        []Evidence // findings, each with its answer
	Cause       Code
	Probability float64 // of that cause, if it is so
	Chance      float64 // that what is shown points to that cause
	likeliest   float64 // chance of the figures told
}

// Figure is one reading of an outcome.
type Figure struct {
	Quantity Quantity
	Length   length.Length
	Angle    joint.Angle // QuantityAngle
}

// Quantity is what a check reads.
type Quantity uint8

// Quantities that checks read.
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
	QuantityPinPlay  // pin socket less pin
	QuantityTailPlay // tail socket less tail
)

// Standard uncertainties of readings that the joint package has no default
// for. Judgement.
const (
	angleReading     = 0.3 // degrees, with a bevel gauge
	slotAngleReading = 0.35
	slotReading      = 0.035 // mm
)

// gauge is one reading of a check.
type gauge struct {
	Quantity
	of observable // of the test joint; for tools, observables
	u  float64
}

const tool = observables // stands for a reading of a tool, not of the joint

// gauges returns what a check reads in the case at hand.
func (m *model) gauges(c Check) []gauge {
	const caliper, depth, gap = joint.ToleranceCaliper / 2.0, joint.ToleranceDepthMeasured / 2.0, joint.ToleranceGap / 2.0
	width := math.Hypot(caliper, partSD)
	switch c {
	case CheckMeasureBushing:
		return []gauge{{QuantityBushing, tool, caliper}}
	case CheckMeasureCutter:
		return []gauge{{QuantityCutter, tool, caliper}}
	case CheckMeasureCutterAngle:
		return []gauge{{QuantityAngle, tool, angleReading}}
	case CheckScrapSlot:
		return []gauge{{QuantityCutter, tool, slotReading}, {QuantityAngle, tool, slotAngleReading}}
	case CheckMeasureDepth:
		return []gauge{{QuantityPinDepth, seePinDepth, depth}, {QuantityTailDepth, seeTailDepth, depth}}
	case CheckMeasureWidths:
		if m.widths {
			return []gauge{{QuantityPin, seePin, width}, {QuantityTail, seeTail, width}, {QuantityPinSocket, seePinSocket, width}, {QuantityTailSocket, seeTailSocket, width}}
		}
		return []gauge{{QuantityPinPlay, seePins, math.Sqrt2 * width}, {QuantityTailPlay, seeTails, math.Sqrt2 * width}}
	case CheckPullJoint:
		return []gauge{{QuantityPulledGap, seeGap, gap}, {QuantityShoulderGap, seeShoulder, gap}}
	case CheckSeeSeat:
		return []gauge{{QuantitySeat, seeSeat, seatReading}}
	case CheckSeeEdges:
		return []gauge{{QuantityEdgeStep, seeEdge, edgeReading}}
	}
	return nil
}

// open reports whether a check can be made and has not been.
func (m *model) open(c Check) bool {
	if m.answered[c] || m.unavailable[c] {
		return false
	}
	last := &m.cuts[len(m.cuts)-1]
	switch c {
	case CheckPullJoint, CheckSeeSeat: // a jammed joint has neither gap nor seat
		return !m.jammed && !last.has(c)
	case CheckMeasureCutter, CheckMeasureCutterAngle:
		return !m.answered[CheckScrapSlot]
	case CheckScrapSlot:
		return !m.answered[CheckMeasureCutter] || !m.answered[CheckMeasureCutterAngle]
	case CheckMeasureDepth, CheckMeasureWidths, CheckSeeEdges:
		return !last.has(c)
	case CheckStraightedge, CheckRockTemplate, CheckMoistureMeter:
		return m.findings[seenWith[c][0]] == NotSaid
	}
	return true
}

// has reports whether the test joint has all readings of a check already.
func (c *cut) has(check Check) bool {
	want := map[Check][]Seen{
		CheckPullJoint:     {SeenPulledGap},
		CheckSeeSeat:       {SeenSeat},
		CheckMeasureDepth:  {SeenDepthPinBoard, SeenDepthTailBoard},
		CheckMeasureWidths: {SeenPinSocketWidest, SeenTailSocketWidest},
		CheckSeeEdges:      {SeenEdgeStep},
	}[check]
	for _, seen := range want {
		read := slices.ContainsFunc(c.readings, func(r reading) bool { return r.Seen == seen })
		none := slices.ContainsFunc(c.ranges, func(r within) bool { return r.Seen == seen })
		if !read && !none {
			return false
		}
	}
	return true
}

// mostGauges is the largest number of readings of one check.
const mostGauges = 4

// forecast is the distribution of a check's readings under one branch: normal,
// with Cholesky's factor of the covariance.
type forecast struct {
	cause  Code
	weight float64
	mean   [mostGauges]float64
	lower  [mostGauges][mostGauges]float64
	log    float64 // of the density's constant
	// gapFirst: the first reading is a gap, and none where play is none.
	gapFirst bool
}

// leastShare of a branch that counts for what to check next.
const leastShare = 0.004

// next returns the check with the largest gain for its minutes.
func (m *model) next(parts []part) (best Advice, found bool) {
	kept := make([]part, 0, len(parts))
	for i := range parts {
		if parts[i].weight >= leastShare {
			kept = append(kept, parts[i])
		}
	}
	for c := range CheckCount {
		if !m.open(c) {
			continue
		}
		gain := gainOf(m.forecasts(kept, c), seenBy(m, c), len(m.gauges(c)))
		if rate := gain / c.Minutes(); !found || rate > best.Gain/best.Minutes {
			best, found = Advice{Check: c, Minutes: c.Minutes(), Gain: gain}, true
		}
	}
	if found {
		best.Outcomes = m.outcomes(kept, best.Check)
	}
	return best, found
}

// seenBy returns the findings that a check would settle.
func seenBy(m *model, c Check) []Finding {
	var open []Finding
	for _, f := range seenWith[c] {
		if m.findings[f] == NotSaid {
			open = append(open, f)
		}
	}
	return open
}

// forecasts predicts a check's readings under every branch.
func (m *model) forecasts(parts []part, c Check) []forecast {
	gauges := m.gauges(c)
	last := &m.cuts[len(m.cuts)-1]
	all := make([]forecast, 0, len(parts))
	for i := range parts {
		p := &parts[i]
		l, ok := m.towards(&p.branch, last)
		if !ok {
			continue
		}
		f := forecast{cause: p.cause, weight: p.weight, gapFirst: c == CheckPullJoint}
		var rows [mostGauges]vector
		var selves [mostGauges][ownUnknowns]float64
		for k, g := range gauges {
			f.mean[k], rows[k], selves[k] = l.gauge(g, p)
		}
		var cov [mostGauges][mostGauges]float64
		for k, g := range gauges {
			spread := p.fit.cov.times(&rows[k])
			for n := range gauges {
				cov[k][n] = spread.dot(&rows[n])
				for a := range ownUnknowns {
					for b := range ownUnknowns {
						cov[k][n] += selves[k][a] * p.fit.last.cov[a][b] * selves[n][b]
					}
				}
			}
			cov[k][k] += g.u * g.u
		}
		f.factor(&cov, len(gauges))
		all = append(all, f)
	}
	return all
}

// gauge predicts one reading: its mean, its row by the lasting unknowns and by
// those of the last test joint.
func (l *look) gauge(g gauge, p *part) (mean float64, row vector, self [ownUnknowns]float64) {
	if g.of == tool {
		mean, row = l.toolGauge(g.Quantity, p)
		return mean + row.dot(&p.fit.mean), row, self
	}
	w := where{}
	row, self = l.rows(g.of, w, false)
	mean = l.expected(g.of, w, false)
	for i, a := range self {
		mean += a * p.fit.last.mean[i]
		for n := range row {
			row[n] += a * p.fit.last.slope[i][n]
		}
	}
	return mean + row.dot(&p.fit.mean), row, self
}

func (l *look) toolGauge(q Quantity, p *part) (mean float64, row vector) {
	s := &l.m.setup
	switch q {
	case QuantityBushing:
		at, slope := p.line(l.m, func(e effect) float64 { return e.bushing })
		row[ofBushing], row[ofSize] = l.m.sd[ofBushing], slope
		return s.Bushing.Diameter.MM() + at, row
	case QuantityAngle:
		at, slope := p.line(l.m, func(e effect) float64 { return e.angle })
		row[ofAngle], row[ofSize] = l.m.sd[ofAngle], slope
		return float64(s.Cutter.Angle) + at, row
	}
	row[ofCutter] = l.m.sd[ofCutter]
	if p.cause == CauseRouterTurned { // sweeps wider than it is
		return s.Cutter.Diameter.MM(), row
	}
	at, slope := p.line(l.m, func(e effect) float64 { return e.cutter })
	row[ofSize] = slope
	return s.Cutter.Diameter.MM() + at, row
}

func (f *forecast) factor(cov *[mostGauges][mostGauges]float64, n int) {
	f.log = 0
	for i := range n {
		for k := 0; k <= i; k++ {
			sum := cov[i][k]
			for j := range k {
				sum -= f.lower[i][j] * f.lower[k][j]
			}
			if i == k {
				f.lower[i][i] = math.Sqrt(math.Max(sum, 1e-12))
				f.log -= math.Log(f.lower[i][i])
			} else {
				f.lower[i][k] = sum / f.lower[k][k]
			}
		}
	}
}

// nowhere is the sum of squares from which a density is taken for none.
const nowhere = 60

// density of readings, but for a constant that all forecasts of a check share.
// A gap that there is not says only that there is none.
func (f *forecast) density(y *[mostGauges]float64, n int) float64 {
	if f.gapFirst && y[0] <= noGap {
		return joint.NormalCDF((noGap - f.mean[0]) / f.lower[0][0])
	}
	var z [mostGauges]float64
	squares := 0.0
	for i := range n {
		sum := y[i] - f.mean[i]
		for k := range i {
			sum -= f.lower[i][k] * z[k]
		}
		z[i] = sum / f.lower[i][i]
		if squares += z[i] * z[i]; squares > nowhere {
			return 0
		}
	}
	return math.Exp(f.log - squares/2)
}

// at returns readings that lie z standard deviations off.
func (f *forecast) at(z *[mostGauges]float64, n int) (y [mostGauges]float64) {
	for i := range n {
		y[i] = f.mean[i]
		for k := 0; k <= i; k++ {
			y[i] += f.lower[i][k] * z[k]
		}
	}
	return y
}

// node is one of the readings that stand for a normal distribution.
type node struct {
	weight float64
	z      [mostGauges]float64
}

// makeNodes returns readings that stand for a normal distribution: none is one
// node, for one there are the five of Gauss and Hermite, for more those one
// standard deviation off in every reading, either way.
func makeNodes(n int) []node {
	switch n {
	case 0:
		return []node{{weight: 1}}
	case 1:
		const near, far = 1.355626179974266, 2.856970013872806
		return []node{
			{weight: 0.533333333333333},
			{0.222075922005613, [mostGauges]float64{near}},
			{0.222075922005613, [mostGauges]float64{-near}},
			{0.011257411327721, [mostGauges]float64{far}},
			{0.011257411327721, [mostGauges]float64{-far}},
		}
	}
	all := make([]node, 1<<n)
	for signs := range all {
		all[signs].weight = 1 / float64(len(all))
		for i := range n {
			all[signs].z[i] = 1 - 2*float64(signs>>i&1)
		}
	}
	return all
}

// nodes by the number of readings.
var nodes = func() (all [mostGauges + 1][]node) {
	for n := range all {
		all[n] = makeNodes(n)
	}
	return all
}()

// gainOf returns the mutual information, in bits, of the causes and what a
// check shows: n readings and some findings.
func gainOf(forecasts []forecast, findings []Finding, n int) float64 {
	var prior [CauseCount]float64
	total := 0.0
	for i := range forecasts {
		prior[forecasts[i].cause] += forecasts[i].weight
		total += forecasts[i].weight
	}
	if total == 0 {
		return 0
	}
	answers := answersUnder(findings)
	gain := 0.0
	for i := range forecasts {
		f := &forecasts[i]
		for _, node := range nodes[n] {
			y := f.at(&node.z, n)
			seen := likelihoods(forecasts, &y, n)
			for c := range answers {
				gain += f.weight / total * node.weight * told(&seen, &prior, f.cause, &answers[c], total)
			}
		}
	}
	return math.Max(0, gain)
}

// answersUnder returns, for each combination of answers, its chance under
// every cause.
func answersUnder(findings []Finding) [][CauseCount]float64 {
	all := make([][CauseCount]float64, 1<<len(findings))
	for combination := range all {
		for code := range CauseCount {
			all[combination][code] = combined(code, findings, combination)
		}
	}
	return all
}

// likelihoods returns P(cause) P(readings | cause).
func likelihoods(forecasts []forecast, y *[mostGauges]float64, n int) (all [CauseCount]float64) {
	for i := range forecasts {
		all[forecasts[i].cause] += forecasts[i].weight * forecasts[i].density(y, n)
	}
	return all
}

// told returns P(answers | cause) times what readings and these answers tell
// of the cause, in bits.
func told(seen, prior *[CauseCount]float64, cause Code, answers *[CauseCount]float64, total float64) float64 {
	sum := 0.0
	for code, q := range seen {
		sum += q * answers[code]
	}
	own := seen[cause] * answers[cause]
	if own <= 0 || sum <= 0 {
		return 0
	}
	return answers[cause] * math.Log2(own/sum/(prior[cause]/total))
}

// combined is the chance of answers, one bit of combination for each finding.
func combined(c Code, findings []Finding, combination int) float64 {
	p := 1.0
	for i, f := range findings {
		p *= c.chance(f, answerOf(combination, i))
	}
	return p
}

func answerOf(combination, i int) Answer {
	if combination>>i&1 == 1 {
		return Yes
	}
	return No
}

// Outcomes that are told: the few likeliest.
const (
	mostOutcomes = 4
	tellFrom     = 0.02 // chance of a cause whose outcome is told
)

// outcomes returns what the check would typically show under the likely
// causes, and which cause that would point to: one outcome for each.
func (m *model) outcomes(parts []part, c Check) []Outcome {
	forecasts := m.forecasts(parts, c)
	findings, gauges := seenBy(m, c), m.gauges(c)
	var now [CauseCount]float64
	for i := range forecasts {
		now[forecasts[i].cause] += forecasts[i].weight
	}
	var all []Outcome
	for i := range forecasts {
		f := &forecasts[i]
		if now[f.cause] < tellFrom {
			continue
		}
		for _, combination := range typical(f.cause, findings) {
			o := m.outcome(forecasts, &now, f, gauges, findings, combination)
			o.Chance = f.weight * combined(f.cause, findings, combination)
			all = onePerCause(all, o)
		}
	}
	slices.SortStableFunc(all, func(a, b Outcome) int { return cmp.Compare(b.Chance, a.Chance) })
	return all[:min(len(all), mostOutcomes)]
}

// onePerCause keeps the likeliest outcome that points to a cause, with the
// chance of all.
func onePerCause(all []Outcome, o Outcome) []Outcome {
	for i := range all {
		if all[i].Cause != o.Cause {
			continue
		}
		likeliest, chance := all[i].likeliest, all[i].Chance+o.Chance
		if o.Chance > likeliest {
			likeliest, all[i] = o.Chance, o
		}
		all[i].likeliest, all[i].Chance = likeliest, chance
		return all
	}
	o.likeliest = o.Chance
	return append(all, o)
}

// typical returns the answers to expect under a cause: no to all, and yes to
// the finding that it shows in.
func typical(c Code, findings []Finding) []int {
	all := []int{0}
	for i, f := range findings {
		if c.chance(f, Yes) >= 0.4 {
			all = append(all, 1<<i)
		}
	}
	return all
}

// outcome is what a check shows if it reads what it would typically read under
// one branch. It points to the cause whose probability rises most.
func (m *model) outcome(forecasts []forecast, now *[CauseCount]float64, f *forecast, gauges []gauge, findings []Finding, combination int) Outcome {
	seen := likelihoods(forecasts, &f.mean, len(gauges))
	sum := 0.0
	for code := range seen {
		seen[code] *= combined(Code(code), findings, combination)
		sum += seen[code]
	}
	o := Outcome{Cause: f.cause}
	if sum > 0 {
		most := math.Inf(-1)
		for code, q := range seen {
			if rise := q/sum - now[code]; rise > most {
				most, o.Cause, o.Probability = rise, Code(code), q/sum
			}
		}
	}
	for k, g := range gauges {
		figure := Figure{Quantity: g.Quantity, Length: length.Length(f.mean[k])}
		if g.Quantity == QuantityAngle {
			figure.Angle, figure.Length = joint.Angle(f.mean[k]), 0
		}
		o.Figures = append(o.Figures, figure)
	}
	for i, finding := range findings {
		o.Seen = append(o.Seen, Evidence{Cut: Whole, Place: Whole, Seen: SeenFinding, Finding: finding, Answer: answerOf(combination, i)})
	}
	return o
}
