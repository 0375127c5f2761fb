package callers_test

import (
	"math"
	"math/rand/v2"
)

// What a fault does to a bench, from the joint's geometry: which sizes it
// changes, where it holds the joint open. What follows for play, widths, seat
// and edges is bench.cut's.

// plant makes a bench that would cut a joint with nothing to complain of, but
// for one thing, which spoils it. The joint is the one that was cut with it. Not
// ok is a set-up in which there can't be that fault: one whose template is
// thicker than the cut is deep cuts nothing with the depth taken from the base.
func plant(r *rand.Rand, s *stated, fault string) (b bench, j joint, ok bool) {
	for range 200 {
		b = ordinary(r, s)
		if j = b.cut(s.depth, 0); !j.right() {
			continue
		}
		b.fault(r, s, fault)
		j = b.cut(s.depth, scatterSD*r.NormFloat64())
		if !j.right() && b.tailOpening > b.g && b.pinOpening > b.g && j.depthPin > leastCut {
			return b, j, true
		}
	}
	return b, j, false
}

func (b *bench) fault(r *rand.Rand, s *stated, fault string) {
	switch fault {
	case "bushing_diameter":
		b.g += another(r, shopBushings, s.bushing, 0.25, wrongBushingMost)
	case "cutter_diameter":
		b.d += another(r, shopCutters, s.cutter, wrongCutterLeast, wrongCutterMost)
	case "cutter_angle":
		b.angle += another(r, shopAngles, s.angle, wrongAngleLeast, wrongAngleMost)
	case "cutter_resharpened":
		b.d -= within(r, plantReground)
	case "depth_from_bushing_tip":
		b.zero -= s.templateThickness - s.barrel
	case "depth_from_router_base":
		b.zero -= s.templateThickness
	case "depth_off":
		b.zero += either(r, plantDepthOff)
	case "cutter_crept":
		b.creep(r)
	case "depth_lock_slipped":
		b.slip(r)
	case "bushing_off_centre":
		b.axisY += either(r, plantOffCentre)
	case "router_turned":
		b.swept += within(r, plantTurned) * within(r, span{turnedShare, 1})
	case "openings_not_followed":
		b.notFollowed(r)
	case "template_tilted":
		b.tilt += either(r, plantTilt)
	case "template_position":
		b.shift += either(r, plantPosition)
	case "template_skewed":
		b.skew = either(r, plantSkew)
	case "side_stop":
		b.stop += either(r, plantStop)
	case "wrong_face_or_stop":
		b.wrongStop(r)
	case "chips_under":
		b.chipsUnder(r)
	case "template_size":
		by := either(r, plantOpening)
		b.tailOpening, b.pinOpening = b.tailOpening+by, b.pinOpening+by
	default:
		b.faultOfBoards(r, s, fault)
	}
}

func (b *bench) faultOfBoards(r *rand.Rand, s *stated, fault string) {
	switch fault {
	case "board_cupped":
		b.shoulder += within(r, plantCup)
		b.moved += cupPlaySD * r.NormFloat64()
	case "board_thickness": // most templates are set fore and aft by the side's thickness
		thicker := either(r, plantThickness)
		b.side += thicker
		b.thickSeat -= thicker * within(r, plantThickSeat)
	case "boards_not_level":
		b.tailHigher += within(r, plantLevel)
	case "stock_not_square":
		b.shoulder += within(r, plantSquare)
	case "dull_cutter":
		b.squeeze += within(r, plantDull)
	case "wood_moved":
		b.moved += within(r, plantMoved)
	case "mixed_boards":
		b.mixed += either(r, plantMixed)
	case "glue_swelled":
		b.squeeze, b.dry = within(r, plantGlue), true
	case "lap_broken":
		b.front = s.depth - within(r, plantLap)
	default:
		panic("no fault " + fault)
	}
}

// creep: the cutter moves in the collet, outwards as a rule, and often while
// it cuts: then one end is cut deeper than the other.
func (b *bench) creep(r *rand.Rand) {
	by := within(r, plantCrept)
	if r.Float64() >= creptOut {
		by = -by
	}
	b.creeps = by
	b.zero += by
	if r.Float64() < creptWhileCutting {
		b.crept = by
		b.zero -= by / 2
	}
}

func (b *bench) slip(r *rand.Rand) {
	by := within(r, plantSlipped)
	if r.Float64() < slippedShallower {
		by = -by
	}
	b.creeps = by
	b.zero += by
}

// notFollowed: the sockets are narrower by up to the room that the bushing has.
func (b *bench) notFollowed(r *rand.Rand) {
	lost := within(r, plantNotFollowed)
	inTail := r.Float64()
	b.narrowTail = math.Min(lost*inTail, math.Max(0, b.tailOpening-b.g))
	b.narrowPin = math.Min(lost*(1-inTail), math.Max(0, b.pinOpening-b.g))
}

func (b *bench) wrongStop(r *rand.Rand) {
	if r.Float64() < halfPitchOff {
		b.stop += sign(r) * b.pitch / 2
		return
	}
	b.stop += either(r, plantWrongStop)
}

func (b *bench) chipsUnder(r *rand.Rand) {
	switch where := r.Float64(); {
	case where < chipsUnderTemplate:
		b.chips.tilt = either(r, plantChipsTilt)
	case where < chipsUnderTemplate+chipsUnderBase:
		b.chips.zero = -within(r, plantChipsDepth)
	default:
		b.chips.stop = either(r, plantChipsStop)
	}
}

// findingChance is how often a finding is so with a fault.
func findingChance(fault, name string) float64 {
	if p, ok := findingOf[fault][name]; ok {
		return p
	}
	return findingBase[name]
}

// findingSo is whether it is so for one caller.
func findingSo(seed, id uint64, fault, name string) bool {
	h := uint64(0)
	for _, c := range []byte(name) {
		h = mix(h ^ uint64(c))
	}
	return stream(seed, id, forFinding, h).Float64() < findingChance(fault, name)
}

// faultsOf is the planted faults that can be named at all.
func faultsOf(k *contractNames) []share {
	var out []share
	for _, f := range faultShares {
		if k.causes[f.code] {
			out = append(out, f)
		}
	}
	return out
}

// drawCall draws who has the fault, and what he says of his set-up: often not all.
func drawCall(r *rand.Rand) stated {
	s := drawStated(r)
	if s.kind != "two_position" { // widths and seat are to be looked at
		s.kind = "two_position"
		if s.templateIsOnePiece {
			s.kind = "one_piece"
		}
		s.allowance = s.tailOpening + s.pinOpening - s.pitch
		s.depth = chartDepth(s.depthFor(targetPlay))
	}
	for p := range parts {
		s.says[p] = r.Float64() < saidShares[p]
	}
	return s
}

// report is what is told of a spoilt joint before anything is asked for.
func report(r *rand.Rand, s *stated, j *joint, so func(string) bool, names map[string]bool) *call {
	c := newCall(*s)
	l := seen{setting: s.depth}
	ptr := func(x float64) *float64 { return &x }
	if r.Float64() >= dontKnowShare {
		l.feel = feels[feel(r, j.felt())]
		if j.twoEnds() && r.Float64() < closesOneEnd {
			l.feel = "closes_one_end"
		}
	}
	if j.closes() {
		if volunteered(r, j.looseWrong()) {
			l.gap = ptr(s.readGap(r, j.gap))
		}
		if volunteered(r, j.shoulderWrong()) {
			l.shoulder = ptr(math.Max(0, round(read(r, j.shoulder, shoulderSD), 0.05)))
		}
		if volunteered(r, j.seatWrong()) {
			l.seat = ptr(round(read(r, j.seatSeen(), seatSD), 0.05))
		}
		if volunteered(r, j.edgeWrong()) {
			l.edge = ptr(round(read(r, j.edge, edgeSD), 0.05))
		}
	}
	c.cuts = []seen{l}
	for _, name := range keysOf(names) {
		if _, known := findingBase[name]; known {
			volunteerFinding(r, c, name, so(name))
		}
	}
	return c
}

func (j *joint) looseWrong() bool { return j.felt() > targetTo }

// twoEnds is whether the ends differ so much that one says so.
func (j *joint) twoEnds() bool { return math.Abs(j.slope) > closesOneEndFrom }

// volunteered is whether somebody tells of a thing unasked, and knows it.
func volunteered(r *rand.Rand, wrong bool) bool {
	return r.Float64() < volunteerChance(wrong)
}

func volunteerChance(wrong bool) float64 {
	if wrong {
		return tellsWhatIsWrong * (1 - dontKnowShare)
	}
	return tellsWhatIsRight * (1 - dontKnowShare)
}

func volunteerFinding(r *rand.Rand, c *call, name string, so bool) {
	if r.Float64() >= volunteerFindingChance(so) {
		return
	}
	if r.Float64() < misreadShare {
		so = !so
	}
	c.findings[name], c.spoken[name] = so, true
}

func volunteerFindingChance(so bool) float64 {
	if so {
		return tellsYes
	}
	return tellsNo
}
