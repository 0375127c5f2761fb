package callers_test

import (
	"math"
	"math/rand/v2"
	"slices"
)

const (
	asksBenches   = 800 // that a next check is chosen over
	asksDraws     = 10
	curesBenches  = 400
	suspectedFrom = 0.004
	suspectedMore = 8    // times as many of what is
	curesFrom     = 0.02 // causes with less than this are not cured for
	placeFrom     = 0.10 // seats and edges off by less are left
	stopFrom      = 0.20
	depthStep     = 0.05
	depthSteps    = 140 // either way
)

// diagnose weighs benches with every fault planted in them.
func (o observer) diagnose(c *call, r *rand.Rand) diagnosis {
	benches := o.suspect(c, r)
	out := diagnosis{causes: o.causes(benches)}
	out.groups = grouped(out.causes)
	few := resample(r, benches, asksBenches)
	out.check = o.nextCheck(c, few, r)
	out.advice = o.cure(c, resample(r, benches, curesBenches), resample(r, benches, curesBenches), out.causes, r)
	return out
}

// suspect weighs set-ups with each fault by what was told. At first a few of
// each, then many of those that could be: what counts is how many of them agree.
func (o observer) suspect(c *call, r *rand.Rand) []believed {
	if c.benches == nil {
		set := matching(&c.stated)
		for f := range o.faults {
			c.benches = append(c.benches, o.imagine(c, set, f, o.faultBenches, r)...)
		}
		for f, share := range o.shares(o.weighed(c)) {
			if share < suspectedFrom {
				continue
			}
			c.benches = slices.DeleteFunc(c.benches, func(b believed) bool { return b.fault == f })
			c.benches = append(c.benches, o.imagine(c, set, f, o.faultBenches*suspectedMore, r)...)
		}
	}
	return o.weighed(c)
}

// imagine draws n set-ups with a fault that agree with what is stated. What is
// not said is drawn as well.
func (o observer) imagine(c *call, set []shop, fault, n int, r *rand.Rand) []believed {
	out := make([]believed, n)
	for i := range out {
		s := c.stated
		s.fill(r, set)
		if b, j, ok := plant(r, &s, o.faults[fault].code); ok {
			out[i] = believed{b, s.depth, fault, j, o.faults[fault].weight / float64(n)}
		}
	}
	return out
}

// weighed is those of a call's benches that agree at all, by what was told.
func (o observer) weighed(c *call) []believed {
	out := make([]believed, 0, len(c.benches))
	findings := o.findingsTold(c)
	for i := range c.benches {
		b := c.benches[i]
		if b.weight *= findings[b.fault] * b.bench.told(&b.joint, c); b.weight > 0 {
			out = append(out, b)
		}
	}
	return out
}

// matching is the shops that agree with what is said.
func matching(s *stated) []shop {
	var out []shop
	same := func(a, b float64) bool { return math.Abs(a-b) < 1e-6 }
	for _, sh := range shops {
		of := sh.stated()
		if s.says[partTemplate] && !(same(of.pitch, s.pitch) && same(of.tailOpening, s.tailOpening) && same(of.pinOpening, s.pinOpening)) ||
			s.says[partBushing] && !same(of.bushing, s.bushing) || s.says[partCutter] && !same(of.cutter, s.cutter) ||
			s.says[partAngle] && !same(of.angle, s.angle) ||
			s.says[partDepth] && !same(chartDepth(of.depthFor(targetPlay)), s.depth) {
			continue
		}
		out = append(out, sh)
	}
	return out
}

// fill draws what is not said. The depth of a set-up is the shop's own, said or not.
func (s *stated) fill(r *rand.Rand, from []shop) {
	of := from[pick(r, len(from), func(i int) float64 { return from[i].weight })].stated()
	s.pitch, s.tailOpening, s.pinOpening = of.pitch, of.tailOpening, of.pinOpening
	s.allowance, s.templateIsOnePiece, s.kind = of.allowance, of.templateIsOnePiece, of.kind
	s.bushing, s.cutter, s.angle = of.bushing, of.cutter, of.angle
	s.depth = chartDepth(s.depthFor(targetPlay))
	if !s.says[partFront] {
		s.front = of.front
	}
	s.fillGuide(r)
	if !s.says[partSide] {
		s.side = any1(r, sideThicknesses)
	}
	if !s.says[partWidth] {
		s.width = any1(r, boardWidths)
	}
	s.placeTemplate()
}

// fillGuide draws template and barrel where they are not said, so that they
// agree with what is.
func (s *stated) fillGuide(r *rand.Rand) {
	for {
		thickness := any1(r, templateThicknesses)
		barrel := thickness - any1(r, barrelsShort)
		if s.says[partTemplateThickness] && math.Abs(thickness-s.templateThickness) > 1e-6 ||
			s.says[partBarrel] && math.Abs(barrel-s.barrel) > 1e-6 {
			continue
		}
		s.templateThickness, s.barrel = thickness, barrel
		return
	}
}

// told is how likely a bench makes all that was told but the findings, which
// the fault alone decides.
func (b *bench) told(j *joint, c *call) float64 {
	if j.broken != c.lapSaid() {
		return 0
	}
	return j.toldSpoilt(&c.stated, c.last()) * b.sizesRead(c)
}

// lapSaid is whether what is said already is a cut that comes out at the front.
func (c *call) lapSaid() bool { return c.stated.says[partFront] && c.stated.depth >= c.stated.front }

// findingsTold is how likely each fault makes all that was told and not told of findings.
func (o observer) findingsTold(c *call) []float64 {
	out := make([]float64, len(o.faults))
	names := keysOf(findingBase) // in order: the same sum on every run
	for f, fault := range o.faults {
		out[f] = 1
		for _, name := range names {
			out[f] *= findingTold(c, fault.code, name)
		}
	}
	return out
}

// toldSpoilt is how likely a spoilt joint makes what was told of it.
func (j *joint) toldSpoilt(s *stated, told *seen) float64 {
	p := j.feelSpoilt(told)
	closes := j.closes()
	unasked := func(is *float64, wrong bool, density float64) {
		switch chance := volunteerChance(wrong); {
		case is != nil && !closes:
			p = 0
		case is != nil:
			p *= chance * density
		case closes:
			p *= 1 - chance
		}
	}
	asked := func(is *float64, density float64) {
		if is != nil {
			p *= density
		}
		if closes != (is != nil) {
			p = 0
		}
	}
	for _, of := range []struct {
		is       *float64
		wrong    bool
		asked    bool
		truth    float64
		sd       float64
		ofPulled bool
	}{
		{told.gap, j.looseWrong(), told.pulled, j.gap, s.gapReadSD(), true},
		{told.shoulder, j.shoulderWrong(), told.pulled, j.shoulder, math.Hypot(shoulderSD, 0.02), false},
		{told.seat, j.seatWrong(), told.seatSeen, j.seatSeen(), math.Hypot(seatSD, 0.02), false},
		{told.edge, j.edgeWrong(), told.edgesIn, j.edge, math.Hypot(edgeSD, 0.02), false},
	} {
		density := 1.0
		if of.is != nil {
			truth := of.truth
			if of.ofPulled {
				truth = math.Max(0, truth)
			}
			density = readTold(*of.is-truth, of.sd)
		}
		if of.asked {
			asked(of.is, density)
		} else {
			unasked(of.is, of.wrong, density)
		}
	}
	return p * j.read(told) * j.endsTold(told)
}

func (j *joint) feelSpoilt(told *seen) float64 {
	oneEnd := 0.0
	if j.twoEnds() && !told.pulled {
		oneEnd = closesOneEnd
	}
	switch told.feel {
	case "":
		return 1
	case "closes_one_end":
		return oneEnd
	}
	return (1 - oneEnd) * feelToldOf(feelIndex(told.feel), j.felt())
}

func (j *joint) endsTold(told *seen) float64 {
	p := 1.0
	for i, e := range told.ends {
		p *= feelToldOf(feelIndex(e.feel), j.play-j.squeeze+(float64(i)-0.5)*j.slope)
	}
	return p
}

var sizeCheckCodes = keysOf(sizeChecks)

// sizesRead is how likely a bench makes the sizes that were read.
func (b *bench) sizesRead(c *call) float64 {
	p := 1.0
	if len(c.measured) == 0 {
		return p
	}
	for _, check := range sizeCheckCodes {
		for _, size := range sizeChecks[check] {
			if mm, ok := c.measured[size.name]; ok {
				p *= readToldAmong(len(sizeChecks[check]), mm-b.size(size.name), size.sd)
			}
		}
	}
	return p
}

// findingTold is how likely a fault makes what was told, or not told, of one finding.
func findingTold(c *call, fault, name string) float64 {
	told, is := c.findings[name]
	p := 0.0
	for _, so := range []bool{true, false} {
		chance := findingChance(fault, name)
		if !so {
			chance = 1 - chance
		}
		rightly := 1 - misreadShare
		if told != so {
			rightly = misreadShare
		}
		if c.spoken[name] {
			chance *= volunteerFindingChance(so)
		} else {
			chance *= 1 - volunteerFindingChance(so)
		}
		if is {
			chance *= rightly
		}
		p += chance
	}
	return p
}

// causes is the faults' probabilities, the likelier first.
func (o observer) causes(benches []believed) []cause {
	p := o.shares(benches)
	out := make([]cause, 0, len(p))
	for f, x := range p {
		out = append(out, cause{o.faults[f].code, []string{o.faults[f].code}, x})
	}
	sortCauses(out)
	return out
}

func (o observer) shares(benches []believed) []float64 {
	p := make([]float64, len(o.faults))
	sum := 0.0
	for i := range benches {
		p[benches[i].fault] += benches[i].weight
		sum += benches[i].weight
	}
	for f := range p {
		p[f] /= math.Max(1e-300, sum)
	}
	return p
}

// nextCheck is the one after which the likeliest cause is expected to be the
// most probable.
func (o observer) nextCheck(c *call, benches []believed, r *rand.Rand) string {
	if len(benches) == 0 { // nothing it can imagine agrees with what was told
		return ""
	}
	best, most := "", 0.0
	for _, check := range o.checks {
		if slices.Contains(c.answered, check) || slices.Contains(c.unavailable, check) {
			continue
		}
		if gain := o.expectedTop(c, benches, check, r); gain > most {
			best, most = check, gain
		}
	}
	return best
}

func (o observer) expectedTop(c *call, benches []believed, check string, r *rand.Rand) float64 {
	before := o.toldOfAll(benches, c)
	sum := 0.0
	for range asksDraws {
		truth := &benches[pick(r, len(benches), func(i int) float64 { return benches[i].weight })]
		next := c.clone()
		fault := o.faults[truth.fault].code
		if !next.perform(r, check, checking{&truth.bench, &truth.joint, func(name string) bool {
			return r.Float64() < findingChance(fault, name)
		}}) {
			next = c
		}
		again := slices.Clone(benches)
		for i, told := range o.toldOfAll(benches, next) {
			again[i].weight *= told / before[i]
		}
		sum += slices.Max(o.shares(again))
	}
	return sum / asksDraws
}

// toldOfAll is how likely each bench with its fault makes all that was told.
func (o observer) toldOfAll(benches []believed, c *call) []float64 {
	findings := o.findingsTold(c)
	out := make([]float64, len(benches))
	for i := range benches {
		b := &benches[i]
		out[i] = findings[b.fault] * b.bench.told(&b.joint, c)
	}
	return out
}

// cure tries every repair that the causes name on every bench, sets depth,
// template and stop as is best for all of them, and takes what most often makes
// the next joint right; how often that is others say than those it was fitted to.
func (o observer) cure(c *call, benches, others []believed, causes []cause, r *rand.Rand) advice {
	best := advice{do: doChange, chance: -1}
	tried := map[string]bool{}
	for _, cs := range causes {
		kind := repairKind[cs.code]
		if cs.probability < curesFrom || tried[kind] {
			continue
		}
		tried[kind] = true
		if m, chance := o.bestRemedy(c, benches, others, kind, r); chance > best.chance {
			best.remedy, best.chance = m, chance
		}
	}
	if m, chance := o.bestRemedy(c, benches, others, "", r); chance > best.chance {
		best.remedy, best.chance = m, chance
	}
	return best
}

func (o observer) bestRemedy(c *call, benches, others []believed, kind string, r *rand.Rand) (remedy, float64) {
	m := remedy{}
	if kind != "" {
		m.repairs = []string{kind}
	}
	joints := make([]joint, len(benches))
	weights := make([]float64, len(benches))
	after := func() {
		for i := range benches {
			joints[i], weights[i] = o.after(&benches[i], &m, c, r), benches[i].weight
		}
	}
	after()
	if seat := middle(joints, weights, func(j *joint) float64 { return j.seat - (j.play-targetPlay)/2 + 0.05 }); math.Abs(seat) > placeFrom {
		m.onto = -seat / 2
	}
	if edge := middle(joints, weights, func(j *joint) float64 { return math.Abs(j.edge) }); edge > stopFrom {
		m.inLine = edge
	}
	after()
	deeper := deepenBest(joints, weights, func(by float64) bool {
		return m.onlyDepth() && c.against(c.stated.depth+by)
	})
	if m.deeper = deeper; kind == "depth" {
		m.inWood = c.stated.depth + deeper
	}
	right, sum := 0.0, 0.0
	for i := range others {
		sum += others[i].weight
		if j := o.after(&others[i], &m, c, r); j.right() {
			right += others[i].weight
		}
	}
	return m, right / sum
}

// after is the joint that a bench cuts after a remedy.
func (o observer) after(of *believed, m *remedy, c *call, r *rand.Rand) joint {
	b := of.bench
	setting := m.apply(r, &b, &c.stated, of.setting)
	return b.cut(setting, scatterSD*r.NormFloat64())
}

// middle is the weighted median.
func middle(joints []joint, weights []float64, of func(*joint) float64) float64 {
	type at struct{ x, w float64 }
	all := make([]at, len(joints))
	sum := 0.0
	for i := range joints {
		all[i] = at{of(&joints[i]), weights[i]}
		sum += weights[i]
	}
	slices.SortFunc(all, func(a, b at) int { return cmp(a.x, b.x) })
	part := 0.0
	for _, a := range all {
		if part += a.w; part >= sum/2 {
			return a.x
		}
	}
	return 0
}

func deepenBest(joints []joint, weights []float64, barred func(by float64) bool) (deeper float64) {
	most := 0.0
	for i := -depthSteps; i <= depthSteps; i++ {
		by := float64(i) * depthStep
		if barred(by) {
			continue
		}
		p := 0.0
		for i := range joints {
			j := joints[i]
			j.deepen(by)
			j.seat -= by * j.perDepth / 2
			if j.right() {
				p += weights[i]
			}
		}
		if p > most {
			deeper, most = by, p
		}
	}
	return deeper
}
