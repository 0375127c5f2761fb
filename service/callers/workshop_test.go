package callers_test

import (
	"math"
	"runtime"
	"sync"
)

// outcome is how it went with one caller.
type outcome struct {
	kind    string // what was stated wrongly, "right" for nothing
	joints  int
	minutes float64
	checks  int
	failed  bool
	first   claim
	later   []claim
	against []string // advices that go against what the hand plainly felt
}

// claim is what was said of the chance of a joint, NaN for nothing, and what came of it.
type claim struct {
	chance float64
	fits   bool
}

// purposes of random streams.
const (
	forWorld = iota
	forLook
	forScatter
	forCheck
	forAdviser
	forFinding
	forCure
)

// visit follows one caller of the workshop, until a joint fits.
func visit(a adviser, seed, id uint64) outcome {
	r := stream(seed, id, forWorld)
	s := drawStated(r)
	out := outcome{kind: drawWrong(r)}
	v := &visiting{adviser: a, seed: seed, id: id, call: newCall(s), bench: benchOf(r, &s, out.kind), outcome: &out}
	v.run()
	return out
}

// visiting is a caller and his bench while he is helped.
type visiting struct {
	adviser  adviser
	seed, id uint64
	call     *call
	bench    bench
	joint    joint
	*outcome
	asked      uint64 // questions put to the adviser
	looks      uint64
	inARow     int // checks since the last joint
	complaints int // since the last joint
	exchanged  int // tools
}

func (v *visiting) run() {
	for v.joints < capJoints && !v.failed {
		v.asked++
		a := v.adviser.advise(v.call, stream(v.seed, v.id, forAdviser, v.asked))
		switch {
		case a.do == doCheck && v.inARow < capChecksInARow:
			v.check(a)
		case a.do == doStop && len(v.call.cuts) > 0:
			v.complain()
		case a.do == doChange && v.exchange(a.remedy):
		default:
			if v.cut(a) {
				return
			}
		}
	}
	v.failed, v.joints, v.minutes = true, capJoints, math.Max(v.minutes, capJoints*jointMinutes)
}

// cut cuts a joint as advised, and says whether it fits.
func (v *visiting) cut(a advice) bool {
	if v.call.against(a.depth) {
		v.against = append(v.against, v.call.last().feel)
	}
	setting := math.Max(1, math.Min(v.call.stated.front-0.5, a.depth))
	v.joints++
	v.minutes += jointMinutes
	v.inARow, v.complaints = 0, 0
	n := uint64(v.joints)
	v.joint = v.bench.cut(setting, scatterSD*stream(v.seed, v.id, forScatter, n).NormFloat64())
	fits := v.joint.fits()
	if said := (claim{a.chance, fits}); v.joints == 1 {
		v.first = said
	} else {
		v.later = append(v.later, said)
	}
	if !fits {
		v.call.cuts = append(v.call.cuts, v.look(setting))
	}
	return fits
}

func (v *visiting) look(setting float64) seen {
	v.looks++
	return lookAt(stream(v.seed, v.id, forLook, v.looks), &v.call.stated, setting, &v.joint)
}

// complain: told to stop, with a joint that does not fit, he looks again and
// tells what he then finds of the same joint.
func (v *visiting) complain() {
	v.complaints++
	v.minutes += complainMinutes
	if v.complaints >= capComplaints {
		v.failed = true
		return
	}
	l := v.call.last()
	again := v.look(l.setting)
	l.feel, l.gap = again.feel, again.gap
}

func (v *visiting) check(a advice) {
	v.inARow++
	v.checks++
	r := stream(v.seed, v.id, forCheck, uint64(v.checks))
	done := v.call.perform(r, a.check, checking{&v.bench, &v.joint, func(name string) bool {
		return stream(v.seed, v.id, forFinding, uint64(len(name)), uint64(name[0])).Float64() < findingBase[name]
	}})
	switch {
	case !done:
		v.minutes += cannotMinutes
	case a.minute > 0:
		v.minutes += a.minute
	default:
		v.minutes += checkMinutes[a.check]
	}
}

// exchange fits another tool, if that is what the remedy is: then it starts anew.
func (v *visiting) exchange(m remedy) bool {
	if m.bushing == 0 && m.cutter == 0 || v.exchanged >= capToolsExchange {
		return false
	}
	v.exchanged++
	v.minutes += changeMinutes
	s := v.call.stated
	m.apply(stream(v.seed, v.id, forCure, uint64(v.exchanged)), &v.bench, &s, 0)
	if m.bushing > 0 {
		s.bushing = m.bushing
	}
	if m.cutter > 0 {
		s.cutter, s.angle, s.condition = m.cutter, m.angle, "new"
	}
	v.call = newCall(s)
	v.call.stated.depth = chartDepth(s.depthFor(targetPlay))
	return true
}

// visits follows n callers, on as many cores as there are.
func visits(a adviser, seed uint64, n int) []outcome {
	out := make([]outcome, n)
	inParallel(n, func(i int) { out[i] = visit(a, seed, uint64(i)) })
	return out
}

func inParallel(n int, do func(i int)) {
	var wait sync.WaitGroup
	next := make(chan int)
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for i := range next {
				do(i)
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	wait.Wait()
}
