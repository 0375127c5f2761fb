// Package correct answers: what do I change, and by how much? It solves depth
// and template position together, refuses a step past a limit, and says what
// can still be done with boards already cut.
package correct

import (
	"errors"
	"fmt"
	"math"

	"snugtail/joint"
	"snugtail/joint/learn"
	"snugtail/joint/length"
)

// Verdict on the set-up as it stands.
type Verdict uint8

// Verdicts.
const (
	NotYetCut     Verdict = iota // no test joint at this setting
	Fits                         // stop adjusting
	TooLoose                     // play above the target's range
	TooTight                     // play below it
	SeatOff                      // play right, seat not
	EdgesOff                     // play right, edges out of line
	DepthsUnequal                // play right, boards cut to different depths
	CannotReach                  // the step that is asked for breaks a limit
)

// Action is what a step does.
type Action uint8

// Actions.
const (
	LowerCutter Action = iota // deeper, tighter
	RaiseCutter               // shallower, looser
	MoveTemplateIn
	MoveTemplateOut
	ChangeCutter
	ChangeBushing
	SetSideStop
	LevelBoards
	Measure
	RecutTest
	KeepGauge
	StopAndFix
	StopAdjusting
)

// Cause says why a step is told, where its action alone does not.
type Cause uint8

// Causes.
const (
	CausePlay          Cause = iota // to bring play to the target
	CauseSeat                       // to bring the seat to flush
	CauseEdges                      // to bring the edges into line
	CauseUnequalDepths              // shoulder or floor stands open
	CauseLimit                      // the depth asked for breaks Step.Limit
	CauseImpossible                 // no joint of that depth can be cut
	CauseTry                        // to try the change in scrap
	CauseFits                       // it fits: nothing to change
	CauseUnsure                     // measuring tells more than another test joint
	CauseSetting                    // depth scatters more than the target allows
	CauseHalfPitch                  // edges off by about half a pitch
)

// Step is one thing to do. Amount is a positive length whose meaning goes
// with the action; Depth is the depth after it.
type Step struct {
	Action      Action
	Cause       Cause
	Amount      length.Length
	AmountKnown bool
	Depth       length.Length
	Turns       float64
	TurnsKnown  bool
	Limit       joint.Limit // CauseLimit
	Size        length.Length
	SizeKnown   bool         // the bushing or cutter diameter that would serve
	Angle       joint.Angle  // or the cutter angle, 0 if none
	Source      joint.Source // Measure: what
	Fresh       bool         // needs fresh test boards: wood is not put back
}

// Correction is the answer.
type Correction struct {
	Verdict   Verdict
	Steps     []Step
	NextDepth length.Length
	Next      joint.Joint // at NextDepth, template moved
	Predicted joint.Fit   // after the steps
	Chance    float64     // that the next test joint fits
	Limits    joint.Limits
	Learned   learn.Posterior
	PartsOff  []PartOff
	Salvage   []Salvage
	Drift     Drift
	Current   length.Length // play of the joint as last cut, or as predicted
	Settled   bool          // it is tight enough and loose enough: the depth stays
}

// Tolerated errors, mm. Judgement.
const (
	SameSetting   = 0.02 // depths that count as one setting
	SeatProud     = 0.15 // planes off
	SeatInside    = 0.05
	EdgeTolerated = 0.15
	DepthsAlike   = 0.15 // difference of depths that is not worth a step
	// LittleChance of a fit asks for a measurement before more wood is cut.
	LittleChance = 0.5
)

// After returns what to change in the set-up s, whose depth is the one set
// now, after the test cuts. Errors are *joint.Impossible or *learn.CutError.
// Earlier sessions with the same template, oldest first, count as evidence
// about it.
func After(s joint.Setup, cuts []learn.TestCut, target joint.Target, bands joint.Bands, earlier ...learn.Session) (Correction, error) {
	now, err := joint.New(s)
	if err != nil {
		return Correction{}, fmt.Errorf("reading the set-up: %w", err)
	}
	learned, err := learn.FromTestCuts(s, cuts, bands, earlier...)
	if err != nil {
		return Correction{}, fmt.Errorf("learning from test cuts: %w", err)
	}
	w := work{setup: s, cuts: cuts, target: target, bands: bands, now: now}
	w.Learned = learned
	w.NextDepth = w.nextDepth()
	w.judge()
	w.predict()
	w.steps()
	w.PartsOff = partsOff(s, cuts)
	w.salvage()
	w.Drift = w.drift()
	return w.Correction, nil
}

// work is a correction in the making.
type work struct {
	Correction
	setup   joint.Setup
	cuts    []learn.TestCut
	target  joint.Target
	bands   joint.Bands
	now     joint.Joint
	current int // index of the test cut made at the depth set now, or -1
	moveIn  length.Length
}

// nextDepth is the depth at which the play to expect is the one aimed at. It
// may break a limit.
func (w *work) nextDepth() length.Length {
	return w.now.DepthFor(w.aim() - w.Learned.Mean)
}

// What a next joint is worth, and when it is worth looking for a better depth
// than the target's. Judgement.
const (
	// looseWorth is by how much a miss on the loose side is better than one on
	// the tight side, as a share of a fit: a loose joint can be measured, a
	// jammed one cannot.
	looseWorth = 0.4
	// unsureFrom is the standard uncertainty of play, as a share of the
	// target's range, from which the better depth is looked for.
	unsureFrom = 0.4
	// worthIt is the gain below which the target itself is aimed at.
	worthIt = 0.01
)

// aim is the play to aim at, as the mean to expect: the target's or, while
// unsure, the one for which P(fits) + looseWorth P(loose) is greatest.
func (w *work) aim() length.Length {
	play := w.Learned.At(w.setup.Depth.Deeper().Length)
	room := w.target.To - w.target.From
	if room <= 0 || play.SD() < length.Length(unsureFrom)*room {
		return w.target.Play
	}
	worth := func(aim length.Length) float64 {
		shift := (play.Mean() - aim).MM() // a change of depth only shifts the distribution
		tight, fits := play.CDF(w.target.From.MM()+shift), play.CDF(w.target.To.MM()+shift)
		return fits - tight + looseWorth*(1-fits)
	}
	best := greatest(worth, w.target.From, w.target.To+2*room)
	if worth(best)-worth(w.target.Play) < worthIt {
		return w.target.Play
	}
	return best
}

// greatest returns where f is greatest between low and high, to a thirtieth of
// that range: a coarse look, since f may have two humps, then a narrowing one.
func greatest(f func(length.Length) float64, low, high length.Length) length.Length {
	const looks, rounds = 8, 2
	best := low
	for range rounds {
		step := (high - low) / looks
		most := math.Inf(-1)
		for k := range looks + 1 {
			at := low + length.Length(k)*step
			if worth := f(at); worth > most {
				best, most = at, worth
			}
		}
		low, high = best-step, best+step
	}
	return best
}

// judge finds the verdict on the joint cut at the depth set now.
func (w *work) judge() {
	w.current = w.cutAtCurrentDepth()
	w.Current = w.now.Play() + w.Learned.Mean
	if w.current >= 0 && w.Learned.Plays[w.current].Known {
		w.Current = w.Learned.Plays[w.current].Mean
	}
	switch {
	case len(w.cuts) == 0:
		w.Verdict = NotYetCut
	case w.current >= 0 && w.target.Holds(w.Current) && w.Learned.Plays[w.current].Known:
		w.Settled = true
		w.Verdict = w.verdictOnTheRest()
	case w.current < 0 && math.Abs((w.NextDepth-w.setup.Depth.Deeper().Length).MM()) <= SameSetting:
		w.Verdict = NotYetCut
	case w.Current > w.target.Play:
		w.Verdict = TooLoose
	default:
		w.Verdict = TooTight
	}
	if w.Settled {
		w.NextDepth = w.setup.Depth.Deeper().Length
	}
}

func (w *work) verdictOnTheRest() Verdict {
	cut := w.cuts[w.current]
	switch {
	case math.Abs(cut.ShoulderOpen().MM()) > DepthsAlike:
		return DepthsUnequal
	case cut.Seat.Given && (cut.Seat.MM() < -SeatProud || cut.Seat.MM() > SeatInside):
		return SeatOff
	case cut.EdgeStep.Given && math.Abs(cut.EdgeStep.MM()) > EdgeTolerated:
		return EdgesOff
	}
	return Fits
}

// cutAtCurrentDepth returns the last test cut made at the depth set now.
func (w *work) cutAtCurrentDepth() int {
	for i := len(w.cuts) - 1; i >= 0; i-- {
		off := w.cuts[i].Depth.Deeper().Length - w.setup.Depth.Deeper().Length
		if math.Abs(off.MM()) <= SameSetting {
			return i
		}
	}
	return -1
}

// predict fills in the fit after the steps: template moved, depth set.
func (w *work) predict() {
	w.moveIn = w.templateMove()
	s := w.setup.AtDepth(w.NextDepth)
	s.Template = s.Template.Moved(w.moveIn)
	if w.hasStep(EdgesOff) {
		s.SideStopError = length.Size{}
	}
	s.Offset = w.Learned.Offset()
	next, err := joint.New(s)
	w.Next = next
	w.Limits = next.Limits()
	w.Predicted = next.FitWith(w.Learned.At(w.NextDepth), w.target, w.bands)
	if q, ok := w.seatAfter(); ok && w.Predicted.Play > 0 {
		w.Predicted.Seat = joint.Seat{Offset: q, Known: true}
	}
	w.Chance = w.Predicted.InTarget
	var impossible *joint.Impossible
	if errors.As(err, &impossible) || w.blocked() {
		w.Verdict = CannotReach
	}
}

func (w *work) hasStep(v Verdict) bool {
	if v == EdgesOff {
		edge, ok := meanEdge(w.cuts)
		return ok && math.Abs(edge.MM()) > EdgeTolerated
	}
	return false
}

// blocked reports whether the depth asked for breaks a limit that depth decides.
func (w *work) blocked() bool {
	if w.Settled {
		return false
	}
	_, broken := w.blockingLimit()
	return broken
}

// blockingLimit returns the limit, of those that a depth can break, that the
// depth asked for breaks furthest.
func (w *work) blockingLimit() (worst joint.Limit, broken bool) {
	for _, code := range [...]joint.LimitCode{
		joint.LimitLap, joint.LimitFlareInTemplate, joint.LimitCutterInBushing,
		joint.LimitCuttingLength, joint.LimitColletGrip, joint.LimitTailBoardCleared,
	} {
		if l := w.Limits[code]; l.Broken() && (!broken || l.Margin < worst.Margin) {
			worst, broken = l, true
		}
	}
	return worst, broken
}
