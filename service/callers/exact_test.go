package callers_test

import (
	"fmt"
	"math"
)

// An exact caller has one constant error of play, within 3 mm either way, sets
// every depth exactly, misreads nothing and does as told. Such a one must get a
// fit, soon: whatever is believed of a set-up, no first belief may hold out
// against what joint after joint shows.

// telling is what an exact caller tells.
type telling string

const (
	tellsGaps  telling = "gap"  // starts loose, and reads the gap
	tellsFeels telling = "feel" // starts with a jam, and tells but the feel
)

const (
	exactErrorMost = 3.0
	gapJoints      = 2 // within so many
	feelJoints     = 4 // or as many minutes, checks and all
	exactLap       = 30.0
)

// exactFigures is how an adviser did by exact callers.
type exactFigures struct {
	n, failed int
	joints    float64
	some      []string // of those it failed
}

// exactCallers follows n exact callers whose first joint starts them as they
// tell: loose, or jammed. Those whose joint fits at once say nothing of it and
// do not count, nor do errors that no depth can make good.
func exactCallers(a adviser, seed uint64, n int, tells telling) exactFigures {
	var f exactFigures
	for id := uint64(0); f.n < n && id < uint64(20*n); id++ {
		v := newExact(a, seed, id, tells)
		if v == nil {
			continue
		}
		started, ok := v.run()
		if !started {
			continue
		}
		f.n++
		f.joints += float64(v.joints)
		if ok {
			continue
		}
		f.failed++
		if len(f.some) < 5 {
			f.some = append(f.some, v.String())
		}
	}
	f.joints /= math.Max(1, float64(f.n))
	return f
}

// exactCaller is one of them.
type exactCaller struct {
	adviser  adviser
	seed, id uint64
	tells    telling
	where    string
	error    float64
	bench    bench
	call     *call
	joint    joint
	joints   int
	checks   int
	asked    uint64

	checkMinutes float64
	path         string
}

// newExact draws one, nil where the error cannot be made good by a depth.
func newExact(a adviser, seed, id uint64, tells telling) *exactCaller {
	r := stream(seed, id, forWorld)
	s := shops[pick(r, len(shops), func(i int) float64 { return shops[i].weight })].stated()
	s.front = exactLap
	s.placeTemplate()
	s.depth = round(s.depthFor(targetPlay), 0.01)
	for _, p := range []part{partTemplate, partBushing, partCutter, partAngle, partDepth} {
		s.says[p] = true
	}
	s.condition, s.tellsFeel, s.tellsGap = "new", true, tells == tellsGaps
	v := &exactCaller{adviser: a, seed: seed, id: id, tells: tells, error: within(r, span{-exactErrorMost, exactErrorMost})}
	v.bench = bench{
		pitch: s.pitch, tailOpening: s.tailOpening, pinOpening: s.pinOpening, g: s.bushing, d: s.cutter, angle: s.angle,
		reach: s.reach, finger: s.finger, front: s.front, side: 12, width: 150,
	}
	v.where = any1(r, []string{"bushing", "cutter", "template", "depth_scale"})
	v.bench.err(v.where, v.error, s.templateIsOnePiece)
	v.call = newCall(s)
	setting := v.bench.settingFor(targetPlay)
	asStated := bench{tailOpening: s.tailOpening, pinOpening: s.pinOpening, g: s.bushing, d: s.cutter, angle: s.angle, front: s.front}
	if !v.bench.cutting(setting+v.bench.zero) || !asStated.cutting(setting) {
		return nil
	}
	return v
}

// err puts a constant error of play into one size.
func (b *bench) err(where string, play float64, onePiece bool) {
	switch where {
	case "bushing":
		b.g -= play / 2
	case "cutter":
		b.d += play / 2
	case "template":
		if onePiece {
			b.tailOpening += play / 2
			b.pinOpening += play / 2
			return
		}
		b.tailOpening += play
	case "depth_scale":
		b.zero -= play / (2 * tan(b.angle))
	}
}

// run says whether the first joint was of the kind that counts, and whether a
// joint fitted soon enough.
func (v *exactCaller) run() (started, ok bool) {
	for v.joints < feelJoints && v.checks <= capChecksInARow {
		v.asked++
		a := v.adviser.advise(v.call, stream(v.seed, v.id, forAdviser, v.asked))
		v.path += fmt.Sprintf(" %s", a.do)
		if a.do == doCheck {
			v.checks++
			v.checkMinutes += checkMinutes[a.check]
			v.path += " " + a.check
			v.call.perform(nil, a.check, checking{&v.bench, &v.joint, func(name string) bool { return name == "one_setting" }})
			continue
		}
		if a.do == doStop && len(v.call.cuts) > 0 { // which cannot be right: it does not fit
			return true, false
		}
		fits := v.cut(a)
		if v.joints == 1 && (fits || !v.counts()) {
			return false, false
		}
		if fits {
			return true, v.soon()
		}
	}
	return len(v.call.cuts) > 0, false
}

func (v *exactCaller) cut(a advice) bool {
	if a.do == doChange && (a.remedy.bushing > 0 || a.remedy.cutter > 0) { // then that size is right
		if a.remedy.bushing > 0 {
			v.bench.g = a.remedy.bushing
		}
		if a.remedy.cutter > 0 {
			v.bench.d, v.bench.angle = a.remedy.cutter, a.remedy.angle
		}
	}
	v.joints++
	v.joint = v.bench.cut(a.depth, 0)
	v.path += fmt.Sprintf(" %.3f: play %.2f;", a.depth, v.joint.play)
	told := seen{setting: a.depth, feel: feels[exactFeel(v.joint.felt())]}
	if gap := v.joint.gap; v.tells == tellsGaps && v.joint.felt() > targetTo {
		told.gap = &gap
	}
	v.call.cuts = append(v.call.cuts, told)
	return v.joint.fits()
}

// counts is whether the first joint is one that the promise is for.
func (v *exactCaller) counts() bool {
	if v.tells == tellsGaps {
		return v.joint.felt() > targetTo
	}
	return v.joint.felt() < targetFrom
}

func (v *exactCaller) soon() bool {
	switch {
	case v.tells == tellsGaps:
		return v.joints <= gapJoints
	}
	return float64(v.joints*jointMinutes)+v.checkMinutes <= feelJoints*jointMinutes
}

func (v *exactCaller) String() string {
	return fmt.Sprintf("#%d pitch %g, cutter %g at %g deg: %s off by %.2f mm of play:%s",
		v.id, v.call.stated.pitch, v.call.stated.cutter, v.call.stated.angle, v.where, v.error, v.path)
}
