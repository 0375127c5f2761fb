package advise

import (
	"cmp"
	"math"
	"slices"

	"snugtail/joint/belief"
)

// Cause is one cause and what follows from it.
type Cause struct {
	belief.Share
	// Size that explains best: see belief.Size.
	Size        belief.Size
	Explains    []belief.Evidence
	NotExplains []belief.Evidence
	Check       belief.Check // the check that shows this cause best
	Steps       []Step
}

// Answer is what is told as one: causes that neither check nor cure tells
// apart, or a single one, with the cure that serves them all.
type Answer struct {
	Codes       []belief.Code // the likeliest first
	Probability float64
	Steps       []Step
}

// usualCheck is the check in which a cause shows best.
var usualCheck = [belief.CauseCount]belief.Check{
	belief.CauseBushingDiameter:     belief.CheckMeasureBushing,
	belief.CauseCutterDiameter:      belief.CheckMeasureCutter,
	belief.CauseCutterAngle:         belief.CheckMeasureCutterAngle,
	belief.CauseCutterResharpened:   belief.CheckMeasureCutter,
	belief.CauseDepthFromBushingTip: belief.CheckMeasureDepth,
	belief.CauseDepthFromRouterBase: belief.CheckMeasureDepth,
	belief.CauseDepthOff:            belief.CheckMeasureDepth,
	belief.CauseCutterCrept:         belief.CheckMeasureDepth,
	belief.CauseBushingOffCentre:    belief.CheckMeasureBushing,
	belief.CauseRouterTurned:        belief.CheckAskRouterTurned,
	belief.CauseOpeningsNotFollowed: belief.CheckMeasureWidths,
	belief.CauseTemplateTilted:      belief.CheckLookBothEnds,
	belief.CauseTemplatePosition:    belief.CheckSeeSeat,
	belief.CauseSideStop:            belief.CheckSeeEdges,
	belief.CauseWrongFaceOrStop:     belief.CheckSeeEdges,
	belief.CauseBoardCupped:         belief.CheckStraightedge,
	belief.CauseBoardThickness:      belief.CheckMeasureBoards,
	belief.CauseBoardsNotLevel:      belief.CheckMeasureDepth,
	belief.CauseStockNotSquare:      belief.CheckSeeEdges,
	belief.CauseChipsUnder:          belief.CheckRockTemplate,
	belief.CauseDepthLockSlipped:    belief.CheckMeasureDepth,
	belief.CauseDullCutter:          belief.CheckMeasureCutter,
	belief.CauseWoodMoved:           belief.CheckMoistureMeter,
	belief.CauseMixedBoards:         belief.CheckMeasureWidths,
	belief.CauseSetUpRight:          belief.CheckPullJoint,
	belief.CauseTemplateSkewed:      belief.CheckLookBothEnds,
	belief.CauseGlueSwelled:         belief.CheckPullJoint,
	belief.CauseLapBroken:           belief.CheckMeasureDepth,
	belief.CauseTemplateSize:        belief.CheckMeasureTemplate,
}

// causes describes every cause, what it explains, and what would put it right.
func (w *work) causes() {
	shares := w.Posterior.Causes()
	w.Causes = make([]Cause, len(shares))
	for i, s := range shares {
		c := &w.Causes[i]
		c.Share, c.Check = s, usualCheck[s.Code]
		if i < describedCauses || s.Probability >= describedFrom {
			c.Size = w.Posterior.SizeOf(s.Code)
			c.Explains, c.NotExplains = w.Posterior.Explains(s.Code)
			c.Steps = w.cure(s.Code, c.Size)
		}
	}
	w.Unexplained, w.Misfits = w.Posterior.Unexplained(shares[0].Code)
	w.answers()
	w.nextCheck()
}

// Causes that are described: the likely ones, at least a few. Judgement.
const (
	describedCauses = 3
	describedFrom   = 0.01
)

// answers joins causes of one cure. The cure of the first is what the decision
// says to do, where that is a matter of doing.
func (w *work) answers() {
	for i := range w.Causes {
		c := &w.Causes[i]
		k := slices.IndexFunc(w.Answers, func(a Answer) bool {
			return slices.Contains(fixedWith(a.Codes[0]), c.Code) && len(fixedWith(a.Codes[0])) > 1
		})
		if k < 0 {
			w.Answers = append(w.Answers, Answer{Codes: []belief.Code{c.Code}, Probability: c.Probability, Steps: c.Steps})
			continue
		}
		w.Answers[k].Codes = append(w.Answers[k].Codes, c.Code)
		w.Answers[k].Probability += c.Probability
	}
	slices.SortStableFunc(w.Answers, func(a, b Answer) int { return cmp.Compare(b.Probability, a.Probability) })
	for i := range w.Answers {
		a := &w.Answers[i]
		if len(a.Codes) > 1 {
			a.Steps = w.groupCure(a.Codes[0])
		}
	}
	if d := w.Decision.Do; d == DoCut || d == DoChange || d == DoStop {
		w.Answers[0].Steps = w.Steps
	}
}

// fixes of causes that are cured by doing something right that was not.
var fixes = [belief.CauseCount]Fix{
	belief.CauseRouterTurned:        FixFacing,
	belief.CauseOpeningsNotFollowed: FixBothSides,
	belief.CauseTemplateTilted:      FixReseat,
	belief.CauseWrongFaceOrStop:     FixFace,
	belief.CauseBoardCupped:         FixFlatBoards,
	belief.CauseBoardThickness:      FixThickness,
	belief.CauseStockNotSquare:      FixSquareEnds,
	belief.CauseChipsUnder:          FixReseat,
	belief.CauseSideStop:            FixReseat,
	belief.CauseDullCutter:          FixDullCutter,
	belief.CauseWoodMoved:           FixMoisture,
	belief.CauseMixedBoards:         FixPair,
	belief.CauseTemplateSkewed:      FixSquareTemplate,
	belief.CauseGlueSwelled:         FixGlue,
	belief.CauseLapBroken:           FixThinner,
	belief.CauseDepthLockSlipped:    FixTighten,
	belief.CauseCutterCrept:         FixTighten,
	belief.CauseBushingOffCentre:    FixCentre,
}

// fixSteps put a cause right that is no matter of depth.
func (w *work) fixSteps(c belief.Code) []Step {
	switch c {
	case belief.CauseLapBroken:
		return []Step{{Action: StopAndFix, Fix: FixThinner, Reason: ReasonCause, Cause: c, Fresh: true}}
	case belief.CauseBushingDiameter, belief.CauseCutterDiameter, belief.CauseCutterAngle, belief.CauseCutterResharpened:
		return []Step{toolStep(c, w.Posterior.SizeOf(c))}
	case belief.CauseDepthFromBushingTip, belief.CauseDepthFromRouterBase:
		return []Step{{Action: StopAndFix, Fix: FixDepthInWood, Reason: ReasonCause, Cause: c, Fresh: true}}
	case belief.CauseDepthOff, belief.CauseCutterCrept, belief.CauseDepthLockSlipped:
		return []Step{
			{Action: StopAndFix, Fix: FixTighten, Reason: ReasonCause, Cause: c, Fresh: true},
			{Action: StopAndFix, Fix: FixDepthInWood, Reason: ReasonCause, Cause: c, Fresh: true},
		}
	case belief.CauseTemplatePosition, belief.CauseBushingOffCentre, belief.CauseBoardThickness:
		if w.MoveIn != 0 {
			return nil // the move that the seat asks for
		}
		return w.seatCure(c)
	case belief.CauseSideStop:
		if w.last != nil && w.edgesOff() {
			return nil // the stop is set by what was read
		}
	case belief.CauseBoardsNotLevel:
		if w.last != nil && w.uneven() {
			return nil
		}
		return []Step{{Action: LevelBoards, Reason: ReasonCause, Cause: c, Fresh: true}}
	}
	return []Step{{Action: StopAndFix, Fix: fixes[c], Reason: ReasonCause, Cause: c, Fresh: true}}
}

// seatCure moves the template back to where it belongs: the seat's error is
// twice the template's.
func (w *work) seatCure(c belief.Code) []Step {
	size := w.Posterior.SizeOf(c)
	seat := size.Seat
	if math.Abs(seat.MM()) < SeatInside {
		return []Step{{Action: StopAndFix, Fix: fixes[c], Reason: ReasonCause, Cause: c, Fresh: true}}
	}
	move := Step{Action: MoveTemplateOut, Reason: ReasonCause, Cause: c, Amount: abs(seat / 2), AmountKnown: true, Fresh: true}
	if seat < 0 {
		move.Action = MoveTemplateIn
	}
	return []Step{move}
}

// cure returns the steps that put a cause right. Where the decision names no
// depth, neither does a cure.
func (w *work) cure(c belief.Code, size belief.Size) []Step {
	switch c {
	case belief.CauseSetUpRight:
		if w.Decision.Do == DoStop {
			return []Step{{Action: StopAdjusting, Reason: ReasonFits}, {Action: KeepGauge, Reason: ReasonFits, Depth: w.NextDepth, DepthKnown: true}}
		}
		return []Step{{Action: StopAdjusting, Reason: ReasonFits}}
	case belief.CauseBushingDiameter, belief.CauseCutterDiameter, belief.CauseCutterAngle, belief.CauseCutterResharpened, belief.CauseTemplateSize:
		return w.toolCure(c, size)
	case belief.CauseDepthFromBushingTip, belief.CauseDepthFromRouterBase, belief.CauseDepthOff, belief.CauseCutterCrept, belief.CauseDepthLockSlipped:
		return w.depthCure(fixOfDepth(c))
	}
	if w.Decision.Do == DoChange && w.Decision.Cause == c {
		return w.Steps
	}
	return append(w.fixSteps(c), Step{Action: RecutTest, Reason: ReasonTry, Fresh: true})
}

func fixOfDepth(c belief.Code) Fix {
	if f := fixes[c]; f != FixNone {
		return f
	}
	return FixDepthInWood
}

// toolCure: the depth for the tools in use, as long as no limit stands in the
// way; then the tool that was meant.
func (w *work) toolCure(c belief.Code, size belief.Size) []Step {
	if !w.limited.noneWithin {
		return w.depthCure(FixNone)
	}
	return []Step{toolStep(c, size), {Action: RecutTest, Reason: ReasonTry, Fresh: true}}
}

// toolStep fits the tool that was stated.
func toolStep(c belief.Code, size belief.Size) Step {
	change := Step{Action: ChangeCutter, Reason: ReasonCause, Cause: c, Size: size.Against, SizeKnown: size.Against > 0, Angle: size.AgainstAngle, Fresh: true}
	if c == belief.CauseBushingDiameter {
		change.Action = ChangeBushing
	}
	return change
}

// depthCure puts right what put the depth wrong, and then the depth, by as much
// as play asks for over all causes.
func (w *work) depthCure(first Fix) []Step {
	var steps []Step
	if first != FixNone {
		steps = append(steps, Step{Action: StopAndFix, Fix: first, Reason: ReasonCause, Cause: belief.CauseDepthOff})
	}
	named := w.Decision.Do == DoCut || w.Decision.Do == DoStop
	recut := Step{Action: RecutTest, Reason: ReasonTry, Fresh: true}
	if named {
		recut.Depth, recut.DepthKnown = w.NextDepth, true
	}
	change := w.NextDepth - w.depthNow
	switch {
	case !w.NextKnown || sameDepth(w.NextDepth, w.depthNow):
		return append(steps, recut)
	case w.limited.noneWithin:
		return append(steps, Step{Action: StopAndFix, Fix: FixLimit, Reason: ReasonLimit, Limit: w.limited.limit})
	case w.Decision.Do == DoCheck:
		return append(steps, Step{Action: Measure, Reason: ReasonUnsure, Check: w.Decision.Check}, recut)
	}
	return append(steps, w.depthStep(change, w.NextDepth, named), recut)
}

// groupCure is the one cure of causes that neither check nor cure tells apart.
func (w *work) groupCure(c belief.Code) []Step {
	switch fixedWith(c)[0] {
	case belief.CauseDepthOff:
		return w.depthCure(FixTighten)
	case belief.CauseTemplatePosition:
		steps := w.seatCure(c)
		if w.MoveIn != 0 {
			move := Step{Action: MoveTemplateIn, Reason: ReasonSeat, Fresh: true, Amount: abs(w.MoveIn), AmountKnown: true}
			if w.MoveIn < 0 {
				move.Action = MoveTemplateOut
			}
			steps = []Step{move}
		}
		return append(steps, Step{Action: RecutTest, Reason: ReasonTry, Fresh: true})
	}
	steps := []Step{{Action: StopAndFix, Fix: FixReseat, Reason: ReasonCause, Cause: c, Fresh: true}}
	if w.last != nil && w.edgesOff() && !w.halfPitchOff() {
		edge := w.last.EdgeStep.Length
		steps = append(steps, Step{Action: SetSideStop, Reason: ReasonEdges, Fresh: true, Amount: abs(edge), AmountKnown: true, Size: edge})
	}
	return append(steps, Step{Action: RecutTest, Reason: ReasonTry, Fresh: true})
}
