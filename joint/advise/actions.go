package advise

import (
	"math"
	"slices"

	"snugtail/joint"
	"snugtail/joint/belief"
	"snugtail/joint/length"
)

// What an action is worth: the chance, over all outlooks, that the joint cut
// after it is right. Its play must be within the target; and what else spoils
// it must have been put right: by the action, or by moves that what was read
// asks for.

// fixes of causes that are cured by doing something right that was not.
var fixable = [belief.CauseCount]bool{
	belief.CauseRouterTurned: true, belief.CauseOpeningsNotFollowed: true, belief.CauseTemplateTilted: true,
	belief.CauseWrongFaceOrStop: true, belief.CauseBoardCupped: true, belief.CauseStockNotSquare: true,
	belief.CauseChipsUnder: true, belief.CauseDullCutter: true, belief.CauseWoodMoved: true, belief.CauseMixedBoards: true,
	belief.CauseTemplateSkewed: true, belief.CauseGlueSwelled: true, belief.CauseBoardsNotLevel: true,
	belief.CauseBoardThickness: true, belief.CauseSideStop: true, belief.CauseTemplatePosition: true,
	belief.CauseBushingOffCentre: true, belief.CauseDepthOff: true, belief.CauseCutterCrept: true, belief.CauseDepthLockSlipped: true,
	belief.CauseDepthFromBushingTip: true, belief.CauseDepthFromRouterBase: true,
}

// fixMinutes is how long putting a cause right takes. Judgement.
var fixMinutes = [belief.CauseCount]float64{
	belief.CauseDepthOff: 1.5, belief.CauseCutterCrept: 1.5, belief.CauseDepthLockSlipped: 1.5,
	belief.CauseDepthFromBushingTip: 1.5, belief.CauseDepthFromRouterBase: 1.5,
	belief.CauseTemplatePosition: 1, belief.CauseBushingOffCentre: 1, belief.CauseBoardThickness: 1,
	belief.CauseSideStop: 2, belief.CauseWrongFaceOrStop: 2, belief.CauseChipsUnder: 2, belief.CauseTemplateTilted: 2,
	belief.CauseTemplateSkewed: 2, belief.CauseBoardsNotLevel: 1, belief.CauseDullCutter: 4,
	belief.CauseBushingDiameter: 4, belief.CauseCutterDiameter: 4, belief.CauseCutterAngle: 4, belief.CauseCutterResharpened: 4,
	belief.CauseBoardCupped: 2, belief.CauseStockNotSquare: 2, belief.CauseWoodMoved: 2, belief.CauseMixedBoards: 1,
}

// ofDepth are the causes that go with what holds the depth tightened and the
// depth taken from the wood.
var ofDepth = []belief.Code{
	belief.CauseDepthOff, belief.CauseCutterCrept, belief.CauseDepthLockSlipped,
	belief.CauseDepthFromBushingTip, belief.CauseDepthFromRouterBase,
}

// putRight are the causes that the cure of one puts right.
func putRight(c belief.Code) []belief.Code {
	if slices.Contains(ofDepth, c) {
		return ofDepth
	}
	return fixedWith(c)
}

// fixedWith are the causes that are told as one with this one, with one cure.
func fixedWith(c belief.Code) []belief.Code {
	for _, g := range groups {
		if slices.Contains(g, c) {
			return g
		}
	}
	return []belief.Code{c}
}

// groups are causes that neither check nor cure tells apart.
var groups = [][]belief.Code{
	{belief.CauseDepthOff, belief.CauseCutterCrept, belief.CauseDepthLockSlipped},
	{belief.CauseTemplatePosition, belief.CauseBushingOffCentre, belief.CauseBoardThickness},
	{belief.CauseChipsUnder, belief.CauseSideStop, belief.CauseTemplateTilted},
}

// What a joint keeps its seat, its edges and its shoulder within to be right,
// mm, and how exactly these come out as asked for. Judgement.
const (
	seatLow, seatHigh = -0.20, 0.10
	seatMiddle        = (seatLow + seatHigh) / 2
	edgeWithin        = 0.25
	shoulderWithin    = 0.20
	unevenWithin      = 0.25
	seatScatter       = 0.08
	edgeScatter       = 0.08
)

// plan is a joint to be cut: at a depth, after a fix, with template and stop
// moved.
type plan struct {
	fix     belief.Code   // CauseSetUpRight: none
	bushing length.Length // another one, 0 for none
	depth   length.Length
	moveIn  float64 // template onto the pin board, mm
	inLine  float64 // side stop along -x, mm
	chance  float64 // that the joint is right
	fits    float64 // that its play is
}

func (p *plan) minutes(w *work) float64 {
	switch {
	case p.bushing > 0:
		return toolMinutes + w.minutesOf(p.chance)
	case p.fix == belief.CauseSetUpRight:
		return w.minutesOf(p.chance)
	}
	return fixMinutes[p.fix] + w.minutesOf(p.chance)
}

// state is what an outlook's joint is like after a plan's fix.
type state struct {
	play, sd, seat, seatSD, edge, spoilt float64
	lasts                                float64 // chance that it is so; else play is without
	without                              float64
}

// after returns an outlook's joint after the causes of a fix were put right:
// what it adds to play, its seat and its edges as the latest joint had them.
func (w *work) after(i int, fixed []belief.Code) state {
	o := &w.outlooks[i]
	s := state{o.Mean, o.SD, o.Seat, math.Hypot(o.SeatSD, seatScatter), o.Edge, w.spoiltBy[i], o.Lasts, o.Without}
	if len(fixed) > 0 && (slices.Contains(fixed, o.Cause) || o.Second != belief.CauseSetUpRight && slices.Contains(fixed, o.Second)) {
		return state{o.Without, o.SD, o.Seat - o.SeatEffect + (o.Without-o.Mean)/2, s.seatSD, o.Edge - o.EdgeEffect, 0, 1, 0}
	}
	return s
}

// spoilt returns the chance that an outlook's joint is spoilt by something that
// no depth and no move puts right.
func (w *work) spoilt(o *belief.Outlook) float64 {
	if o.Cause == belief.CauseLapBroken {
		return 1
	}
	sum := 0.0
	for k, share := range [...]float64{4, 1, 1} {
		sum += share * math.Max(past(o.Spoils[k].Uneven, unevenWithin), past(o.Spoils[k].Shoulder, shoulderWithin))
	}
	return sum / 6
}

// planFor makes the plan after a fix that has the best chance: the depth for
// play, the template's move for the seat, the stop's for the edges.
func (w *work) planFor(fix belief.Code) plan {
	p := plan{fix: fix, depth: w.NextDepth}
	var fixed []belief.Code
	if fix != belief.CauseSetUpRight {
		fixed = putRight(fix)
	}
	states := w.statesAfter(fixed)
	if fix != belief.CauseSetUpRight || !w.NextKnown {
		setup, deeper := w.setup, w.deeper
		switch {
		case slices.Contains(ofTool, fix):
			setup = w.withTool(fix)
		case slices.Contains(ofDepth, fix):
			deeper = 0
		}
		ok := func(h length.Length) bool {
			_, broken := blocking(setup.AtDepth(h + deeper))
			return !w.against(h) && !broken
		}
		p.depth = w.nearest(w.depthAfter(states, ok), ok)
	}
	w.place(&p, states)
	return p
}

func (w *work) statesAfter(fixed []belief.Code) []state {
	states := make([]state, len(w.outlooks))
	for i := range states {
		states[i] = w.after(i, fixed)
	}
	return states
}

// place finds the moves of template and stop that a plan needs, and what chance
// it then has.
func (w *work) place(p *plan, states []state) {
	p.moveIn = w.bestMove(states, func(s *state) float64 { return (seatMiddle - w.seatNext(s, p.depth)) / 2 }, func(s *state, d float64) float64 {
		return w.flush(s, p.depth, d)
	})
	p.inLine = w.bestMove(states, func(s *state) float64 { return s.edge }, func(s *state, d float64) float64 {
		return 1 - past(s.edge-d, edgeWithin)
	})
	if p.inLine == 0 && w.last != nil && w.edgesOff() && !w.doubtedReading(belief.SeenEdgeStep) {
		p.inLine = w.last.EdgeStep.MM() // what was read, and is not doubted, is put right
	}
	for i := range states {
		s, o := &states[i], &w.outlooks[i]
		fit := w.fitOf(s, p.depth, o.Tilt)
		p.fits += o.Weight * fit
		seat := w.placed[i]
		if w.seatRead() {
			seat = w.flush(s, p.depth, p.moveIn)
		}
		edges := w.aligned[i]
		if w.edgesRead() {
			edges = 1 - past(s.edge-p.inLine, edgeWithin)
		}
		p.chance += o.Weight * fit * seat * edges * (1 - s.spoilt)
	}
}

// seatNext is the seat of the next joint at a depth, template not moved: half
// of any change of play shows in it.
func (w *work) seatNext(s *state, h length.Length) float64 {
	return s.seat - (w.perDepth*(h-w.depthOfLast).MM())/2
}

// doubtedReading reports whether a reading of the latest joint is more likely
// misread than not.
func (w *work) doubtedReading(seen belief.Seen) bool {
	for _, d := range w.Doubts {
		if d.Seen == seen && d.Cut == len(w.cuts)-1 {
			return true
		}
	}
	return false
}

// flush is the chance that the next joint's seat is within its limits, template
// moved.
func (w *work) flush(s *state, h length.Length, moveIn float64) float64 {
	q := w.seatNext(s, h) + 2*moveIn
	return quickCDF((seatHigh-q)/s.seatSD) - quickCDF((seatLow-q)/s.seatSD)
}

// depthAfter returns the depth with the best chance of a fit after a fix, of
// those that ok allows; what jammed for another reason may be cut again at its
// depth, where no depth is named.
func (w *work) depthAfter(states []state, ok func(length.Length) bool) length.Length {
	best, most := w.depthNow, -1.0
	try := func(h length.Length) {
		if h != w.depthNow && !ok(h) {
			return
		}
		sum := 0.0
		for i := range states {
			sum += w.outlooks[i].Weight * w.fitOf(&states[i], h, w.outlooks[i].Tilt)
		}
		if sum > most+worthMoving {
			best, most = h, sum
		}
	}
	try(w.depthNow)
	for i := range states[:min(len(states), mostDepths)] {
		try(w.centre(states[i].play, w.outlooks[i].Tilt))
	}
	return best
}

// worthMoving is the rise of the chance from which depth, template or stop are
// moved. Judgement.
const worthMoving = 0.02

// bestMove returns the move with the best chance, of those that one of the
// likelier outlooks asks for.
func (w *work) bestMove(states []state, wanted func(*state) float64, right func(*state, float64) float64) float64 {
	of := func(d float64) (sum float64) {
		for i := range states {
			sum += w.outlooks[i].Weight * right(&states[i], d)
		}
		return sum
	}
	best, most := 0.0, of(0)
	for i := range states[:min(len(states), mostMoves)] {
		if d := wanted(&states[i]); math.Abs(d) > leastMove {
			if chance := of(d); chance > most+worthMoving {
				best, most = d, chance
			}
		}
	}
	return best
}

// mostMoves is how many outlooks are asked for a move; leastMove the least that
// anybody can set, mm. Judgement.
const mostMoves, leastMove = 6, 0.05

func (w *work) fitOf(s *state, h length.Length, tilt float64) float64 {
	fit := w.fit(h, s.play, s.sd, tilt)
	if s.lasts < 1 {
		fit = s.lasts*fit + (1-s.lasts)*w.fit(h, s.without, s.sd, tilt)
	}
	return fit
}

// bestPlans makes the plan without a fix and the best one with a fix.
func (w *work) bestPlans() (cut, fixed plan) {
	cut = w.planFor(belief.CauseSetUpRight)
	fixed.fix = belief.CauseSetUpRight
	tried := make([]belief.Code, 0, 4)
	for i := range w.outlooks {
		o := &w.outlooks[i]
		for _, c := range [...]belief.Code{o.Cause, o.Second} {
			if o.Weight < worthFixing || !w.mayFix(c) || slices.ContainsFunc(tried, func(t belief.Code) bool { return slices.Contains(putRight(t), c) }) {
				continue
			}
			tried = append(tried, c)
			if p := w.planFor(c); p.chance > fixed.chance {
				fixed = p
			}
		}
	}
	return cut, fixed
}

// mayFix: a tool is changed for the one that was stated where a depth for the
// one in use is not to be had, or hardly.
func (w *work) mayFix(c belief.Code) bool {
	return fixable[c] || slices.Contains(ofTool, c) && (w.limited.noneWithin || w.limited.tight || w.ChanceNext < hardly)
}

// hardly is a chance below which another tool may be the better way. Judgement.
const hardly = 0.5

// ofTool are the causes that go with the tool that was stated.
var ofTool = []belief.Code{
	belief.CauseBushingDiameter, belief.CauseCutterDiameter, belief.CauseCutterAngle, belief.CauseCutterResharpened,
}

// otherBushing is the plan with another bushing, of a common size, where no
// depth will do with the one that was stated: a mm of bushing is two of play.
// What is wrong with the bushing in use is then gone.
func (w *work) otherBushing() plan {
	best := plan{fix: belief.CauseSetUpRight}
	states := w.statesAfter(ofTool[:1])
	shifted := make([]state, len(states))
	for _, size := range commonBushings {
		setup := w.setup
		setup.Bushing.Diameter.Length = size
		for i := range states {
			o := &w.outlooks[i]
			shifted[i] = states[i]
			if o.Cause == belief.CauseBushingDiameter {
				shifted[i].play -= 2 * (size - w.statedBushing()).MM()
			} else {
				shifted[i].play -= 2 * (size - w.setup.Bushing.Diameter.Length).MM()
			}
		}
		p := plan{fix: belief.CauseSetUpRight, bushing: size}
		ok := func(h length.Length) bool {
			_, broken := blocking(setup.AtDepth(h + w.deeper))
			return !broken
		}
		p.depth = w.nearest(w.depthAfter(shifted, ok), ok)
		if _, broken := blocking(setup.AtDepth(p.depth + w.deeper)); broken {
			continue
		}
		if w.place(&p, shifted); p.chance > best.chance+worthMoving {
			best = p
		}
	}
	return best
}

func (w *work) statedBushing() length.Length {
	if b := &w.setup.Bushing; b.Labelled.Given {
		return b.Labelled.Length
	}
	return w.setup.Bushing.Diameter.Length
}

// commonBushings are sizes that are sold everywhere, mm: common practice, no
// source.
var commonBushings = [...]length.Length{
	7.9375, 8, 9.525, 10, 11.1125, 12, 12.7, 14, 15.875, 16, 17, 18, 19.05, 20, 24, 25.4, 27, 30,
}

// withTool is the set-up with the tool that was stated where another one is in
// use.
func (w *work) withTool(c belief.Code) joint.Setup {
	s, size := w.setup, w.Posterior.SizeOf(c)
	switch {
	case c == belief.CauseBushingDiameter && size.Against > 0:
		s.Bushing.Diameter.Length = size.Against
	case c == belief.CauseCutterAngle && size.AgainstAngle > 0:
		s.Cutter.Angle = size.AgainstAngle
	case size.Against > 0:
		s.Cutter.Diameter.Length = size.Against
	}
	return s
}

// worthFixing is the share from which a cause may be fixed first. Judgement.
const worthFixing = 0.03
