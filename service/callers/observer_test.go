package callers_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"sync"
)

// observer knows every distribution of the callers' workshop, and nothing else
// than what was told: it weighs as many benches as could stand there by how
// likely they make all of that.
type observer struct {
	workshopBenches int // that are weighed for a caller of the workshop
	faultBenches    int // and for each planted fault
	faults          []share
	checks          []string // that may be asked for where something is wrong
}

func (observer) name() string { return "knows all" }

const (
	observerWrong   = 0.7 // of its benches, so that rare ones are there; weighed down again
	lookAheadDraws  = 12
	lookAheadMost   = 400  // benches
	chooseMost      = 1500 // benches
	afterMissing    = 24.0 // minutes that a joint that does not fit costs from then on: one and some more
	doubtForChecks  = 0.75 // chance of the next joint above which no check can pay
	scatterStep     = 0.8
	scatterNodeEnds = 3
)

// scatterNodes are where the scatter of one setting is weighed.
var scatterNodes = sync.OnceValue(func() (nodes []struct{ z, weight float64 }) {
	sum := 0.0
	for i := -scatterNodeEnds; i <= scatterNodeEnds; i++ {
		z := float64(i) * scatterStep
		nodes = append(nodes, struct{ z, weight float64 }{z, math.Exp(-z * z / 2)})
		sum += nodes[len(nodes)-1].weight
	}
	for i := range nodes {
		nodes[i].weight /= sum
	}
	return nodes
})

// believed is a bench that could be the true one.
type believed struct {
	bench   bench
	setting float64 // at which the joint of a planted fault was cut
	fault   int     // index of the planted fault; -1 in the workshop
	joint   joint
	weight  float64
}

// advise takes the depth with the best chance of a fit, or has the joint
// looked at more closely where that pays.
func (o observer) advise(c *call, r *rand.Rand) advice {
	benches := o.believe(c, r)
	few := resample(r, benches, chooseMost)
	out := advice{do: doCut}
	out.depth, out.chance = bestDepth(few, c)
	if l := c.last(); l != nil && out.chance < doubtForChecks {
		o.lookAhead(c, few, r, &out)
	}
	if out.do == doCut && c.against(out.depth) {
		o.doubtFeel(c, few, &out)
	}
	return out
}

// doubtFeel: what the hand plainly felt is not gone against unlooked; where
// all has been looked at, the joint is cut where it was.
func (o observer) doubtFeel(c *call, few []believed, out *advice) {
	for _, check := range looks {
		if c.canLook(check) {
			out.do, out.check = doCheck, check
			return
		}
	}
	out.depth = c.last().setting
	out.chance = chanceAt(few, out.depth)
}

// looks are the checks that are worth while where only the depth is asked for.
var looks = []string{"measure_widths", "pull_joint"}

// canLook is whether a look at the last joint is still open.
func (c *call) canLook(check string) bool {
	done := c.last().pulled
	if check == "measure_widths" {
		done = c.last().measured != nil
	}
	return !done && !slices.Contains(c.unavailable, check)
}

// chanceAt is the chance of a fit at a setting.
func chanceAt(benches []believed, setting float64) float64 {
	p, sum := 0.0, 0.0
	for i := range benches {
		j := benches[i].bench.cut(setting, 0)
		sd := scatterSD * j.perDepth
		p += benches[i].weight * (normalCDF((targetTo-j.felt())/sd) - normalCDF((targetFrom-j.felt())/sd))
		sum += benches[i].weight
	}
	return p / sum
}

// believe draws benches for what is stated and weighs them by what was told.
func (o observer) believe(c *call, r *rand.Rand) []believed {
	out := make([]believed, o.workshopBenches)
	for i := range out {
		wrong, weight := "right", (1-shareWrong)/(1-observerWrong)
		if r.Float64() < observerWrong {
			wrong, weight = drawShare(r, wrongShares), shareWrong/observerWrong
		}
		out[i] = believed{bench: benchOf(r, &c.stated, wrong), fault: -1, weight: weight}
	}
	weigh(out, c)
	return out
}

func weigh(benches []believed, c *call) {
	for i := range benches {
		for k := range c.cuts {
			if benches[i].weight == 0 {
				break
			}
			benches[i].weight *= toldOf(&benches[i].bench, &c.stated, &c.cuts[k])
		}
	}
}

// toldOf is how likely a bench makes what was told of one joint, which was no fit.
func toldOf(b *bench, s *stated, told *seen) float64 {
	j := b.cut(told.setting, 0)
	sum := 0.0
	for _, n := range scatterNodes() {
		at := j
		at.deepen(n.z * scatterSD)
		if at.fits() {
			continue
		}
		sum += n.weight * at.told(s, told)
	}
	return sum
}

// deepen is the joint cut that much deeper.
func (j *joint) deepen(by float64) {
	change := by * j.perDepth
	j.play -= change
	j.pin += change
	j.tail += change
	j.depthPin += by
	j.depthTail += by
	j.gap -= by
}

// told is how likely it is that this is what a caller of the workshop tells of the joint.
func (j *joint) told(s *stated, told *seen) float64 {
	p := 1.0
	loose := j.felt() > feelEdges[handPressure]
	if !told.pulled {
		if (told.gap != nil || !s.tellsFeel && told.feel != "") && loose != (told.gap != nil) {
			return 0
		}
		if told.gap == nil && s.tellsGap && loose {
			p *= dontKnowShare
		}
		if told.feel == "" && !s.tellsFeel && !loose {
			p *= dontKnowShare
		}
	}
	if told.feel != "" {
		p *= feelToldOf(feelIndex(told.feel), j.felt())
	}
	if told.gap != nil {
		p *= s.gapReadAs(*told.gap, j.gap)
	}
	return p * j.read(told)
}

// read is how likely the readings of a joint's wood are.
func (j *joint) read(told *seen) float64 {
	p := 1.0
	if len(told.measured) == 0 {
		return p
	}
	for _, name := range measuredNames {
		if mm, ok := told.measured[name]; ok {
			is, sd, several := j.named(name)
			p *= readToldAmong(several, mm-is, sd)
		}
	}
	return p
}

var measuredNames = [...]string{
	"pin_widest", "tail_widest", "pin_socket_widest", "tail_socket_widest", "depth_pin_board", "depth_tail_board",
}

// named is a size of the joint's wood, how well it is read and with how many others.
func (j *joint) named(name string) (is, sd float64, several int) {
	switch name {
	case "pin_widest":
		return j.pin, caliperWoodSD, 4
	case "tail_widest":
		return j.tail, caliperWoodSD, 4
	case "pin_socket_widest":
		return j.pinSocket, caliperWoodSD, 4
	case "tail_socket_widest":
		return j.tailSocket, caliperWoodSD, 4
	case "depth_pin_board":
		return j.depthPin, depthGaugeSD, 2
	case "depth_tail_board":
		return j.depthTail, depthGaugeSD, 2
	}
	panic("no reading " + name)
}

// feelToldOf is feelTold from a table: it is asked for millions of times.
func feelToldOf(word int, play float64) float64 {
	const least, most, per = -6.0, 10.0, 200
	table := feelTable(least, most, per)
	at := (math.Max(least, math.Min(most-1e-6, play)) - least) * per
	i := int(at)
	return table[i][word] + (at-float64(i))*(table[i+1][word]-table[i][word])
}

var (
	feelTableOnce sync.Once
	feelTableKept [][len(feels)]float64
)

func feelTable(least, most, per float64) [][len(feels)]float64 {
	feelTableOnce.Do(func() {
		n := int((most-least)*per) + 2
		feelTableKept = make([][len(feels)]float64, n)
		for i := range feelTableKept {
			bands := feelBands(least + float64(i)/per)
			for word := range feels {
				feelTableKept[i][word] = feelTold(word, &bands)
			}
		}
	})
	return feelTableKept
}

// resample draws at most n benches by their weights, evenly spread, each with
// the same weight.
func resample(r *rand.Rand, benches []believed, n int) []believed {
	sum := 0.0
	for i := range benches {
		sum += benches[i].weight
	}
	if sum == 0 {
		return benches[:min(n, len(benches))]
	}
	out := make([]believed, 0, n)
	at, next := 0.0, r.Float64()
	for i := range benches {
		at += benches[i].weight / sum * float64(n)
		copies := 0.0
		for next < at {
			copies++
			next++
		}
		if copies > 0 {
			b := benches[i]
			b.weight = copies / float64(n)
			out = append(out, b)
		}
	}
	return out
}

// bestDepth is the setting with the best chance of a fit, and that chance.
func bestDepth(benches []believed, c *call) (setting, chance float64) {
	type need struct{ middle, half, weight float64 }
	needs := make([]need, 0, len(benches))
	for i := range benches {
		j := benches[i].bench.cut(0, 0)
		needs = append(needs, need{
			middle: (j.felt() - (targetFrom+targetTo)/2) / j.perDepth,
			half:   (targetTo - targetFrom) / 2 / j.perDepth, weight: benches[i].weight,
		})
	}
	slices.SortFunc(needs, func(a, b need) int { return cmp(a.middle, b.middle) })
	sum := 0.0
	for _, n := range needs {
		sum += n.weight
	}
	at := func(h float64) float64 {
		p := 0.0
		first, _ := slices.BinarySearchFunc(needs, h-1.5, func(n need, t float64) int { return cmp(n.middle, t) })
		for _, n := range needs[first:] {
			if n.middle > h+1.5 {
				break
			}
			off := h - n.middle
			p += n.weight * (normalCDF((off+n.half)/scatterSD) - normalCDF((off-n.half)/scatterSD))
		}
		return p / sum
	}
	best := func(from, to, by float64) {
		for h := from; h <= to; h += by {
			if p := at(h); p > chance {
				setting, chance = h, p
			}
		}
	}
	from, to := math.Max(2, needs[0].middle), math.Min(c.stated.front-1, needs[len(needs)-1].middle)
	setting = from
	best(from, to, 0.15)
	best(setting-0.15, setting+0.15, 0.03)
	return setting, chance
}

func cmp(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// lookAhead turns the advice into a check where what the check is likely to
// show saves more minutes than it takes.
func (o observer) lookAhead(c *call, few []believed, r *rand.Rand, out *advice) {
	benches := resample(r, few, lookAheadMost)
	best := 0.0
	for _, check := range looks {
		if !c.canLook(check) {
			continue
		}
		gained := o.expectedChance(c, benches, check, r) - out.chance
		if saved := gained*afterMissing - checkMinutes[check]; saved > best {
			best, out.do, out.check = saved, doCheck, check
		}
	}
}

// expectedChance is the chance of the joint after a check, on the average of
// what it may show.
func (o observer) expectedChance(c *call, benches []believed, check string, r *rand.Rand) float64 {
	sum := 0.0
	for range lookAheadDraws {
		truth := benches[pick(r, len(benches), func(i int) float64 { return benches[i].weight })]
		j := o.likelyJoint(&truth.bench, c, r)
		next := c.clone()
		next.perform(r, check, checking{bench: &truth.bench, joint: &j, findings: func(string) bool { return false }})
		again := slices.Clone(benches)
		l := next.last()
		for i := range again {
			b := &again[i].bench
			again[i].weight *= toldOf(b, &c.stated, l) / math.Max(1e-300, toldOf(b, &c.stated, c.last()))
		}
		_, chance := bestDepth(again, c)
		sum += chance
	}
	return sum / lookAheadDraws
}

// likelyJoint is the last joint as a bench may have cut it, by what was told of it.
func (o observer) likelyJoint(b *bench, c *call, r *rand.Rand) joint {
	j := b.cut(c.last().setting, 0)
	nodes := scatterNodes()
	k := pick(r, len(nodes), func(i int) float64 {
		at := j
		at.deepen(nodes[i].z * scatterSD)
		if at.fits() {
			return 1e-12
		}
		return nodes[i].weight * (1e-12 + at.told(&c.stated, c.last()))
	})
	j.deepen(nodes[k].z * scatterSD)
	return j
}
