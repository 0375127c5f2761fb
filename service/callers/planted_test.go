package callers_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

const (
	plantedChecks = 3 // made before the cause is to be known
	cureChecks    = 3 // and at most so many more before something is done
	calibrateBins = 8
)

// examined is how it went with one planted fault.
type examined struct {
	fault   string
	ranks   [plantedChecks + 1]int   // of the true cause after each check
	answers [plantedChecks + 1]bool  // the first answer, with what is cured alike taken together, is right
	top     [plantedChecks + 1]claim // the first cause's probability, and whether it is the one
	named   bool                     // causes were named at all
	right   bool                     // the next joint, after what was advised
	claimed float64                  // chance of that; NaN is not said
	checks  int
	against string // the feel that the advice went against
	// and by /v1/corrections alone, where it can be asked
	corrected, correctedRight bool
	correctedAgainst          bool
}

// examine follows one caller with a planted fault.
func examine(a adviser, faults []share, findings map[string]bool, seed, id uint64) examined {
	r := stream(seed, id, forWorld)
	s := drawCall(r)
	out := examined{claimed: math.NaN()}
	var b bench
	var j joint
	for ok := false; !ok; {
		out.fault = drawShare(r, faults)
		b, j, ok = plant(r, &s, out.fault)
	}
	if out.fault == "lap_broken" { // the sizes that are stated say it
		s.front, s.says[partFront], s.says[partDepth] = b.front, true, true
	}
	so := func(name string) bool { return findingSo(seed, id, out.fault, name) }
	c := report(stream(seed, id, forLook), &s, &j, so, findings)
	e := &examining{adviser: a, seed: seed, id: id, call: c, bench: b, at: checking{&b, &j, so}, examined: &out}
	e.run()
	return out
}

type examining struct {
	adviser  adviser
	seed, id uint64
	call     *call
	bench    bench
	at       checking
	*examined
}

func (e *examining) run() {
	d := e.ask()
	for k := range plantedChecks + 1 {
		e.note(k, d)
		if k < plantedChecks && d.check != "" {
			e.check(d.check)
			d = e.ask()
		}
	}
	for range cureChecks {
		if d.advice.do != doCheck {
			break
		}
		e.check(d.advice.check)
		d = e.ask()
	}
	e.right = e.follow(d.advice, &e.against)
	e.claimed = d.advice.chance
	e.byCorrections()
}

func (e *examining) ask() diagnosis {
	return e.adviser.diagnose(e.call, stream(e.seed, e.id, forAdviser, uint64(e.checks)))
}

func (e *examining) note(k int, d diagnosis) {
	e.ranks[k] = d.rank(e.fault)
	if len(d.causes) == 0 {
		return
	}
	e.named = true
	e.top[k] = claim{d.causes[0].probability, d.causes[0].code == e.fault}
	e.answers[k] = slices.Contains(d.groups[0].codes, e.fault) || sameAnswer(d.groups[0].code, e.fault)
}

func (e *examining) check(code string) {
	e.checks++
	e.call.perform(stream(e.seed, e.id, forCheck, uint64(e.checks)), code, e.at)
}

// follow does what is advised, on a copy of the bench, and says whether the
// next joint is right in every way.
func (e *examining) follow(a advice, against *string) bool {
	r := stream(e.seed, e.id, forCure)
	b, m := e.bench, a.remedy
	now := e.call.stated.depth
	switch a.do {
	case doStop:
		return false // the joint is spoilt
	case doCut:
		if m.inWood = 0; e.call.stated.says[partDepth] || m.deeper == 0 { // who never said a depth goes by the step's amount
			m.deeper = a.depth - now
		}
	case doCheck: // still asking: the depth offered is cut
		m = remedy{deeper: a.depth - now}
	}
	if m.onlyDepth() && e.call.against(now+m.deeper) {
		*against = e.call.last().feel
	}
	setting := m.apply(r, &b, &e.call.stated, now)
	j := b.cut(setting, scatterSD*r.NormFloat64())
	if e.fault == "lap_broken" { // the wood is as thin as it is
		j.broken = j.depthPin >= b.front
	}
	return j.right()
}

// byCorrections asks the service, where the call has all that it needs.
func (e *examining) byCorrections() {
	s, is := e.adviser.(*served)
	says := &e.call.stated.says
	if !is || !(says[partTemplate] && says[partBushing] && says[partCutter] && says[partAngle] && says[partDepth]) || e.call.lapSaid() {
		return
	}
	var against string
	e.corrected = true
	e.correctedRight = e.follow(s.advise(e.call, nil), &against)
	e.correctedAgainst = against != ""
}

// examineAll follows n callers.
func examineAll(a adviser, k *contractNames, seed uint64, n int) []examined {
	out := make([]examined, n)
	faults := faultsOf(k)
	inParallel(n, func(i int) { out[i] = examine(a, faults, k.findings, seed, uint64(i)) })
	return out
}

// plantedFigures is how an adviser did by planted faults.
type plantedFigures struct {
	n                       int
	first, answer           [plantedChecks + 1]float64
	amongThree              float64
	cured, corrected        float64
	claimed                 honesty
	against, correctedWrong int
	calibration             [plantedChecks + 1]float64
	pooled                  float64
}

func summarizePlanted(of []examined) plantedFigures {
	f := plantedFigures{n: len(of)}
	n := math.Max(1, float64(len(of)))
	count := func(sum *float64, is bool) {
		if is {
			*sum++
		}
	}
	asked := 0.0
	var pooled []claim
	for _, e := range of {
		for k := range e.ranks {
			count(&f.first[k], e.ranks[k] == 0)
			count(&f.answer[k], e.answers[k])
		}
		if e.named {
			pooled = append(pooled, e.top[:]...)
		}
		count(&f.amongThree, e.ranks[plantedChecks] < 3)
		count(&f.cured, e.right)
		count(&f.corrected, e.correctedRight)
		count(&asked, e.corrected)
		f.claimed.add(claim{e.claimed, e.right})
		if e.against != "" {
			f.against++
		}
		if e.correctedAgainst {
			f.correctedWrong++
		}
	}
	for k := range f.first {
		f.first[k] /= n
		f.answer[k] /= n
		var tops []claim
		for _, e := range of {
			if e.named {
				tops = append(tops, e.top[k])
			}
		}
		f.calibration[k] = worstBin(tops)
	}
	f.amongThree /= n
	f.cured /= n
	f.corrected /= math.Max(1, asked)
	f.pooled = worstBin(pooled)
	return f
}

// worstBin is the greatest difference, over bins of equal count, between what
// was claimed on the average and what came true.
func worstBin(claims []claim) float64 {
	worst := 0.0
	claims = slices.Clone(claims)
	slices.SortStableFunc(claims, func(a, b claim) int { return cmp(a.chance, b.chance) })
	for i := range calibrateBins {
		bin := claims[i*len(claims)/calibrateBins : (i+1)*len(claims)/calibrateBins]
		said, came := 0.0, 0.0
		for _, c := range bin {
			said += c.chance
			if c.fits {
				came++
			}
		}
		if len(bin) > 0 {
			worst = math.Max(worst, math.Abs(said-came)/float64(len(bin)))
		}
	}
	return worst
}

const plantedHead = "adviser           n  first after 0/1/2/3 checks  of 3  as one answer        worst bin after 0, 3; of all  cured  said/true    against feel  corrections: cured, against"

func (f plantedFigures) row(adviser string) string {
	quarters := func(x [plantedChecks + 1]float64) string {
		return fmt.Sprintf("%.2f %.2f %.2f %.2f", x[0], x[1], x[2], x[3])
	}
	return fmt.Sprintf("%-13s %5d  %27s  %.2f  %s  %20s; %.2f  %6.2f  %s  %10d  %.2f %d",
		adviser, f.n, quarters(f.first), f.amongThree, quarters(f.answer),
		fmt.Sprintf("%.2f %.2f", f.calibration[0], f.calibration[plantedChecks]), f.pooled, f.cured, f.claimed, f.against, f.corrected, f.correctedWrong)
}

// byFault is the same for each fault by itself.
func byFault(of []examined) string {
	kinds := map[string][]examined{}
	for _, e := range of {
		kinds[e.fault] = append(kinds[e.fault], e)
	}
	var rows []string
	for _, fault := range keysOf(kinds) {
		f := summarizePlanted(kinds[fault])
		rows = append(rows, fmt.Sprintf("  %-24s %4d  first %.2f %.2f  as one answer %.2f  cured %.2f",
			fault, f.n, f.first[0], f.first[plantedChecks], f.answer[plantedChecks], f.cured))
	}
	return strings.Join(rows, "\n")
}
