package advise

import (
	"math"
	"slices"

	"snugtail/joint"
	"snugtail/joint/belief"
	"snugtail/joint/length"
)

// Do is what to do next.
type Do uint8

// What to do.
const (
	DoCut    Do = iota // cut a test joint at Decision.Depth
	DoCheck            // make Decision.Check
	DoStop             // it fits: stop adjusting
	DoChange           // change or move something else than the depth
)

// Why says what decided.
type Why uint8

// Reasons of decisions.
const (
	WhyFirst       Why = iota // no test joint yet: the depth for the sizes as stated
	WhyBestChance             // the depth with the best chance
	WhyCheckPays              // the check saves more minutes than it takes
	WhyDoubted                // a reading is probably misread: read it again
	WhyAgainstFeel            // what was read contradicts what the hand felt
	WhyNotOfDepth             // a joint that closes at one end is no matter of depth
	WhyUnknown                // too little of the set-up is known to name a depth
	WhyFits                   // it fits, and would fit again
	WhySeat                   // play right, seat not
	WhyEdges                  // play right, edges not
	WhyUneven                 // play right, boards cut to different depths
	WhyLimit                  // the depth that would fit breaks a limit
	WhyCause                  // a cause that something else than depth puts right
	WhyNoJoint                // by its reaches the template leaves no joint at any depth
)

// Decision is what to do next.
type Decision struct {
	Do    Do
	Check belief.Check  // DoCheck
	Depth length.Length // DoCut and DoStop
	// Chance that the next joint fits if this is done.
	Chance  float64
	Minutes float64 // expected, until a joint fits
	Why     Why
	Cause   belief.Code // WhyCause
	Doubt   Doubt       // WhyDoubted, WhyAgainstFeel
	Limit   joint.Limit // WhyLimit; DoStop: the one that Depth breaks, if it breaks any
}

// options are the actions at hand and what each is worth.
type options struct {
	checks     []valued // open checks
	cut, fixed plan     // without and with a fix
	other      plan     // with another bushing, where no depth will do without
	now        worth    // the better of the two
	base       worth    // the same as looking ahead from a check sees it
}

// valued is an open check with what it is worth.
type valued struct {
	check   belief.Check
	minutes float64 // it takes
	after   float64 // expected minutes until a joint fits, the check's included
	chance  float64 // that the joint after it fits
	known   bool    // these two are: not for a check that can't pay
	atBest  float64 // what after can't be less than
	bits    float64 // it is expected to tell of the causes
	then    sight
	figures []belief.Figure
	finds   []belief.Finding
}

// Judgement: what stopping is worth, and what a failed joint costs beside the
// next one.
const (
	// againWorth is how much better a further joint's chance must be for it to be
	// worth cutting when the last one fitted: then a drawer's four joints gain
	// more than it takes.
	againWorth = 0.15
	// surelyFitted is the chance of the last joint's play being within the target
	// from which stopping is allowed.
	surelyFitted = 0.5
	// afterFailure is how many test joints' minutes a failed one costs on average
	// beside its own, and afterJam the minutes it then takes to measure widths.
	afterFailure, afterJam = 1.25, 5.0
	// worthChecking is by how many minutes a check must do better than cutting.
	worthChecking = 0.5
)

// judge finds the verdict on the joint cut at the depth set now.
func (w *work) judge() {
	w.Current = w.Stated + w.offset()
	play, _, known := w.Posterior.Play()
	if w.last != nil && w.current && known {
		w.Current = play
	}
	switch {
	case w.last == nil || !w.current && sameDepth(w.NextDepth, w.depthNow):
		w.Verdict = NotYetCut
	case w.current && w.target.Holds(w.Current) && known:
		w.Verdict = w.verdictOnTheRest()
	case w.Current > w.target.Play:
		w.Verdict = TooLoose
	default:
		w.Verdict = TooTight
	}
	if w.last != nil { // what the hand felt beyond doubt is never contradicted
		switch {
		case w.last.Feel.Tight():
			w.Verdict, w.ByHand = TooTight, w.Current > w.target.Play
		case w.last.Feel.LooseBeyondDoubt():
			w.Verdict, w.ByHand = TooLoose, w.Current < w.target.Play
		}
	}
	if w.limited.noneWithin {
		w.Verdict = CannotReach
	}
}

func (w *work) offset() length.Length {
	mean, _ := w.Posterior.Estimate()
	return mean
}

func (w *work) verdictOnTheRest() Verdict {
	switch {
	case w.uneven():
		return DepthsUnequal
	case w.seatOff():
		return SeatOff
	case w.edgesOff():
		return EdgesOff
	}
	return Fits
}

func (w *work) uneven() bool { return math.Abs(w.last.ShoulderOpen().MM()) > DepthsAlike }

func (w *work) seatOff() bool {
	s := w.last.Seat
	return s.Given && (s.MM() < -SeatProud || s.MM() > SeatInside)
}

func (w *work) edgesOff() bool {
	e := w.last.EdgeStep
	return e.Given && math.Abs(e.MM()) > EdgeTolerated
}

// decide takes the action with the least expected minutes until a joint fits.
func (w *work) decide() {
	o := &w.options
	o.cut, o.fixed = w.bestPlans()
	o.now = worth{o.fixed.chance, o.fixed.minutes(w)}
	if w.NextKnown {
		cut := &o.cut
		if w.limited.noneWithin { // only with another tool
			o.other = w.otherBushing()
			cut = &o.other
		}
		o.now = o.now.quicker(worth{cut.chance, cut.minutes(w)})
	}
	o.checks = w.valueChecks()
	d, stop := &w.Decision, w.mayStop()
	switch {
	case stop && len(w.Doubts) == 0:
		w.stopOrMove()
	case w.doubtful():
	case stop: // what is doubted was read again in vain
		w.stopOrMove()
	case w.throughBoard():
		w.Decision = Decision{Do: DoChange, Why: WhyCause, Cause: belief.CauseLapBroken, Chance: o.now.chance, Minutes: o.now.minutes}
	case w.limited.noneWithin && w.NextKnown:
		w.leaveLimit()
	case w.last != nil && w.last.Feel == belief.FeelClosesOneEnd:
		w.checkOrFix(WhyNotOfDepth)
	case !w.NextKnown:
		w.checkOrFix(WhyUnknown)
	default:
		w.leastMinutes()
	}
	if d.Minutes == 0 {
		d.Minutes = w.minutesOf(d.Chance)
	}
}

// throughBoard: the depth is not less than the pin board is thick, and no other
// is known that would do.
func (w *work) throughBoard() bool {
	first := w.Posterior.Causes()[0]
	return first.Code == belief.CauseLapBroken && first.Probability > 0.5 && (!w.NextKnown || w.limited.noneWithin)
}

// mayStop reports whether the joint last cut, at the depth set now, fitted by
// its own feel or reading, and a further one would not bring enough.
func (w *work) mayStop() bool {
	if w.last == nil || !w.current || !w.NextKnown || !w.fittedByItself() {
		return false
	}
	return w.Posterior.PlayInTarget() >= surelyFitted && w.Posterior.Chance(w.depthNow)+againWorth >= w.ChanceNext
}

// fittedByItself: the feel says so, or without one a reading of play does.
func (w *work) fittedByItself() bool {
	switch f := w.last.Feel; f {
	case belief.FeelHandPressure:
		return true
	case belief.FeelNone, belief.FeelLightTaps, belief.FeelTight, belief.FeelLoose:
		play, read := w.readPlay()
		return read && w.target.Holds(play)
	}
	return false
}

// readPlay returns the play that the latest joint's gap or widths read.
func (w *work) readPlay() (play length.Length, read bool) {
	c, m := w.last, &w.last.Measured
	switch {
	case m.TailSocketWidest.Given && m.TailWidest.Given:
		return m.TailSocketWidest.Length - m.TailWidest.Length, true
	case m.PinSocketWidest.Given && m.PinWidest.Given:
		return m.PinSocketWidest.Length - m.PinWidest.Length, true
	case c.PulledGap.Given:
		open := math.Max(0, c.ShoulderOpen().MM())
		return length.Length(w.perDepth * (c.PulledGap.MM() - open)), true
	}
	return 0, false
}

// stopOrMove: the depth stays; what else is off is put right.
func (w *work) stopOrMove() {
	d := &w.Decision
	d.Chance = w.Posterior.Chance(w.depthNow)
	switch w.verdictOnTheRest() {
	case DepthsUnequal:
		d.Do, d.Why = DoChange, WhyUneven
	case SeatOff:
		d.Do, d.Why = DoChange, WhySeat
	case EdgesOff:
		d.Do, d.Why = DoChange, WhyEdges
	default:
		d.Do, d.Why, d.Depth = DoStop, WhyFits, w.depthNow
		w.Verdict, w.ByHand = Fits, false // whatever a depth for a better chance would break
		d.Limit, _ = w.blockingLimit(w.depthNow)
		d.Minutes = math.Max(0.5, w.costJoint()*(1-d.Chance))
	}
	w.NextDepth, w.ChanceNext = w.depthNow, d.Chance
	w.planned = w.planFor(belief.CauseSetUpRight)
}

func (w *work) check(c belief.Check) (valued, bool) {
	for i := range w.options.checks {
		if v := &w.options.checks[i]; v.check == c {
			w.know(v)
			return *v, true
		}
	}
	return valued{}, false
}

// resolving returns the check that tells play where feel and reading disagree.
func (w *work) resolving() (valued, bool) {
	for _, c := range tellPlay {
		if v, ok := w.check(c); ok {
			return v, true
		}
	}
	return valued{}, false
}

// quickest returns the open check after which a joint fits soonest; of those
// as good the one that tells most. It is not found where none pays.
func (w *work) quickest() (best valued, found bool) {
	soonest := math.Inf(1)
	for i := range w.options.checks {
		if v := &w.options.checks[i]; v.known {
			soonest = math.Min(soonest, v.after)
		}
	}
	if soonest >= w.options.now.minutes-worthChecking {
		return valued{}, false
	}
	for i := range w.options.checks {
		v := &w.options.checks[i]
		if v.atBest < math.Max(soonest, best.after)+asQuick {
			w.know(v)
		}
		switch {
		case !v.known:
		case !found || v.after < best.after-asQuick:
			best, found = *v, true
		case v.after < best.after+asQuick && v.bits > best.bits:
			best = *v
		}
	}
	return best, found
}

// asQuick is a difference of expected minutes that what is told decides.
const asQuick = 1.0

// telling returns the open check that tells most of the causes; minutes count
// little.
func (w *work) telling() (best valued, found bool) {
	worth := func(v *valued) float64 { return v.bits - bitsPerMinute*v.minutes }
	var most *valued
	for i := range w.options.checks {
		if v := &w.options.checks[i]; most == nil || worth(v) > worth(most) {
			most = v
		}
	}
	if most == nil {
		return valued{}, false
	}
	return *most, true
}

// bitsPerMinute is what a minute of a check costs, in bits. Judgement.
const bitsPerMinute = 0.004

func (w *work) checkOrFix(why Why) {
	v, ok := w.telling()
	if ok {
		w.know(&v)
	}
	fixed := &w.options.fixed
	fixes := fixed.fix != belief.CauseSetUpRight
	switch {
	case fixes && (!ok || fixed.minutes(w) < v.after):
		w.fixFirst()
		return
	case !ok: // by how much is known, if not from where
		w.planned = w.options.cut
		w.Decision = Decision{Do: DoChange, Why: why, Chance: w.planned.fits, Minutes: w.planned.minutes(w)}
		return
	}
	w.Decision = Decision{Do: DoCheck, Check: v.check, Why: why, Chance: v.chance, Minutes: v.after}
}

// leaveLimit: no depth that keeps all limits will do. The tool that was meant
// is fitted, or another one that allows the depth.
func (w *work) leaveLimit() {
	fixed := &w.options.fixed
	v, ok := w.quickest()
	switch {
	case ok && v.after < w.options.now.minutes-worthChecking:
		w.Decision = Decision{Do: DoCheck, Check: v.check, Why: WhyLimit, Limit: w.limited.limit, Chance: v.chance, Minutes: v.after}
	case fixed.fix != belief.CauseSetUpRight && fixed.minutes(w) <= w.options.now.minutes:
		w.fixFirst()
		w.Decision.Limit = w.limited.limit
	default:
		w.planned = w.options.other
		w.Decision = Decision{Do: DoChange, Why: WhyLimit, Limit: w.limited.limit, Chance: w.planned.fits, Minutes: w.options.now.minutes}
	}
}

// toolMinutes to fit another tool. Judgement.
const toolMinutes = 5.0

func (w *work) fixFirst() {
	p := &w.options.fixed
	w.Decision = Decision{Do: DoChange, Why: WhyCause, Cause: p.fix, Chance: p.fits, Minutes: p.minutes(w)}
	w.planned = *p
}

// leastMinutes compares cutting, fixing and checking.
func (w *work) leastMinutes() {
	cut, fixed := &w.options.cut, &w.options.fixed
	v, ok := w.quickest()
	w.planned = *cut
	switch {
	case w.last == nil && w.nothingElse():
		w.Decision = Decision{Do: DoCut, Depth: w.NextDepth, Chance: w.ChanceNext, Minutes: cut.minutes(w), Why: WhyFirst}
	case ok && v.after < w.options.now.minutes-worthChecking:
		w.Decision = Decision{Do: DoCheck, Check: v.check, Chance: v.chance, Minutes: v.after, Why: WhyCheckPays}
	case fixed.fix != belief.CauseSetUpRight && fixed.minutes(w) < cut.minutes(w):
		w.fixFirst()
	default:
		w.Decision = Decision{Do: DoCut, Depth: w.NextDepth, Chance: w.ChanceNext, Minutes: cut.minutes(w), Why: WhyBestChance}
	}
}

// nothingElse reports whether nothing was told beside the set-up.
func (w *work) nothingElse() bool {
	return w.given.Findings == belief.Findings{} && w.given.Answered == belief.Checks{} && len(w.given.Earlier) == 0
}

func (w *work) costJoint() float64 {
	if m := w.given.Costs.Joint; m > 0 {
		return m
	}
	return w.observer.Priors().Joint
}

func (w *work) costCheck(c belief.Check) float64 {
	if m := w.given.Costs.Checks[c]; m > 0 {
		return m
	}
	return w.observer.Priors().Minutes[c]
}

// minutesOf returns the expected minutes until a joint fits, if the next one
// does with this chance.
func (w *work) minutesOf(chance float64) float64 {
	return w.costJoint()*(1+(1-chance)*afterFailure) + (1-chance)*afterJam/2
}

// chanceFor returns the chance that the next joint needs for a joint to be
// expected to fit after so many minutes.
func (w *work) chanceFor(minutes float64) float64 {
	cost := w.costJoint()
	return 1 - (minutes-cost)/(cost*afterFailure+afterJam/2)
}

// settleChance: the same failure reported again says that something goes on
// that is not understood; the chance falls each time.
func (w *work) settleChance() {
	again := w.repeated()
	if len(again) == 0 {
		return
	}
	least := w.ChanceNext
	for k := range again {
		if k == 0 || len(again)-k-1 < fewestRepeated {
			least = math.Min(least, w.chanceWithout(again[:k+1]))
		}
	}
	by := math.Pow(lessEachTime, float64(len(again)))
	if w.ChanceNext > 0 {
		ratio := least * by / w.ChanceNext
		w.Decision.Chance *= ratio
	}
	w.ChanceNext = least * by
	w.Decision.Minutes += (1 - by) * w.costJoint()
}

// lessEachTime is what a claim loses each time that a failure is repeated;
// fewestRepeated bounds the work. Judgement.
const lessEachTime, fewestRepeated = 0.97, 3

// chanceWithout is the chance that would be claimed had some joints not been cut.
func (w *work) chanceWithout(cuts []int) float64 {
	p, err := w.observer.Without(w.Posterior, &w.given.Case, cuts)
	if err != nil {
		return 1
	}
	fewer := *w.given
	fewer.Cuts = nil
	for i := range w.given.Cuts {
		if !slices.Contains(cuts, i) {
			fewer.Cuts = append(fewer.Cuts, w.given.Cuts[i])
		}
	}
	before := newWork(w.observer, &fewer, p)
	before.findDepth()
	return before.ChanceNext
}

// repeated returns which joints before the latest failed just as it did, the
// last of them first.
func (w *work) repeated() (again []int) {
	if w.last == nil || w.Decision.Do == DoStop || w.fittedByItself() || w.last.Feel == belief.FeelNone && !w.last.PulledGap.Given {
		return nil
	}
	for i := len(w.cuts) - 2; i >= 0; i-- {
		c := &w.cuts[i]
		if c.Feel == w.last.Feel && sameDepth(c.Depth.Deeper().Length, w.last.Depth.Deeper().Length) && c.PulledGap == w.last.PulledGap {
			again = append(again, i)
		}
	}
	return again
}
