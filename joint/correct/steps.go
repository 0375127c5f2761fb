package correct

import (
	"math"

	"snugtail/joint"
	"snugtail/joint/learn"
	"snugtail/joint/length"
)

func (w *work) add(s Step) { w.Steps = append(w.Steps, s) }

// steps writes down what to do, in the order in which it is done: first what
// would spoil any test joint, then tightness, then the seat, then the stop.
func (w *work) steps() {
	if w.halfPitchOff() {
		w.add(Step{Action: StopAndFix, Cause: CauseHalfPitch})
	}
	w.levelBoards()
	if w.Verdict == CannotReach {
		w.insteadOfDepth()
		return
	}
	w.measureFirst()
	changed := w.setDepth()
	changed = w.moveTemplate() || changed
	changed = w.setSideStop() || changed
	switch {
	case w.Verdict == Fits:
		w.add(Step{Action: StopAdjusting, Cause: CauseFits})
		w.add(Step{Action: KeepGauge, Cause: CauseFits, Depth: w.NextDepth})
	case changed || w.Verdict == NotYetCut || w.Verdict == DepthsUnequal:
		w.add(Step{Action: RecutTest, Cause: CauseTry, Depth: w.NextDepth, Fresh: true})
	}
}

// levelBoards: the tail board stood higher than the pin board, or lower.
func (w *work) levelBoards() {
	if len(w.cuts) == 0 {
		return
	}
	last := w.cuts[len(w.cuts)-1]
	if w.current >= 0 {
		last = w.cuts[w.current]
	}
	if open := last.ShoulderOpen(); math.Abs(open.MM()) > DepthsAlike {
		w.add(Step{
			Action: LevelBoards, Cause: CauseUnequalDepths, Fresh: true,
			Amount: length.Length(math.Abs(open.MM())), AmountKnown: true, Size: open,
		})
	}
}

// setDepth turns the cutter from the depth set now to the next one.
func (w *work) setDepth() bool {
	change := w.NextDepth - w.setup.Depth.Deeper().Length
	if w.Settled || math.Abs(change.MM()) <= SameSetting/2 {
		return false
	}
	step := Step{
		Action: LowerCutter, Cause: CausePlay, Depth: w.NextDepth, Fresh: true,
		Amount: length.Length(math.Abs(change.MM())), AmountKnown: true,
	}
	if change < 0 {
		step.Action = RaiseCutter
	}
	step.Turns, step.TurnsKnown = w.setup.Router.Turns(step.Amount)
	w.add(step)
	if w.settingTooCoarse() {
		w.add(Step{Action: Measure, Cause: CauseSetting, Source: joint.SourceDepth})
	}
	return true
}

// settingTooCoarse reports whether what the depth scatters as set, or the
// adjuster's finest step, is more than the target's range allows: more
// turning will not help then.
func (w *work) settingTooCoarse() bool {
	perDepth := w.now.PlayPerDepth()
	room := (w.target.To - w.target.From).MM()
	scatter := 4 * perDepth * w.Learned.SettingSD // 95 % of the settings
	step := perDepth * w.setup.Router.AdjusterStep.MM()
	return scatter > room || step > room
}

// measureFirst asks for a caliper where the next joint is more likely to fail
// than to fit, or where the joints do not agree with the sizes stated.
func (w *work) measureFirst() {
	if w.Settled || (w.Chance >= LittleChance && w.Learned.Surprise < 3) {
		return
	}
	best, found := joint.Gain{}, false
	for _, gain := range w.now.MeasureFirst(w.target) {
		if gain.Rise > best.Rise && gain.Source != joint.SourceDepth {
			best, found = gain, true
		}
	}
	if found || w.Learned.Surprise >= 3 {
		w.add(Step{Action: Measure, Cause: CauseUnsure, Source: best.Source})
	}
}

// templateMove returns how far to move the template onto the pin board so that
// the seat after the change of depth is flush: a one-piece template moved by D
// changes it by 2 D. No move while the seat stays good, or was not seen.
func (w *work) templateMove() length.Length {
	q, ok := w.Learned.SeatAt(w.NextDepth)
	if !ok || !w.Learned.Seat.Known || (q.MM() >= -SeatProud && q.MM() <= SeatInside) {
		return 0
	}
	return -q / 2
}

func (w *work) seatAfter() (q length.Length, ok bool) {
	q, ok = w.Learned.SeatAt(w.NextDepth)
	return q + 2*w.moveIn, ok
}

func (w *work) moveTemplate() bool {
	if w.moveIn == 0 {
		return false
	}
	step := Step{
		Action: MoveTemplateIn, Cause: CauseSeat, Fresh: true,
		Amount: length.Length(math.Abs(w.moveIn.MM())), AmountKnown: true,
	}
	if w.moveIn < 0 {
		step.Action = MoveTemplateOut
	}
	w.add(step)
	return true
}

// meanEdge returns the mean edge step seen.
func meanEdge(cuts []learn.TestCut) (edge length.Length, ok bool) {
	sum, n := 0.0, 0.0
	for _, cut := range cuts {
		if cut.EdgeStep.Given {
			sum, n = sum+cut.EdgeStep.MM(), n+1
		}
	}
	if n == 0 {
		return 0, false
	}
	return length.Length(sum / n), true
}

// halfPitchOff: edges out of line by about half a pitch are no matter of the
// stop's setting but of the wrong stop, or of a board turned round.
func (w *work) halfPitchOff() bool {
	edge, ok := meanEdge(w.cuts)
	half := w.setup.Template.Pitch.MM() / 2
	return ok && half > 0 && math.Abs(edge.MM()) > 0.7*half
}

func (w *work) setSideStop() bool {
	edge, ok := meanEdge(w.cuts)
	if !ok || math.Abs(edge.MM()) <= EdgeTolerated || w.halfPitchOff() {
		return false
	}
	w.add(Step{
		Action: SetSideStop, Cause: CauseEdges, Fresh: true,
		Amount: length.Length(math.Abs(edge.MM())), AmountKnown: true, Size: edge,
	})
	return true
}

// insteadOfDepth says what else gives the target play when the depth for it
// breaks a limit. Play = K + 2(d - g) - 2 h tan a: a mm of bushing or cutter
// is two of play.
func (w *work) insteadOfDepth() {
	limit, broken := w.blockingLimit()
	stop := Step{Action: StopAndFix, Cause: CauseImpossible, Depth: w.NextDepth}
	if broken {
		stop.Cause, stop.Limit = CauseLimit, limit
	}
	w.add(stop)
	h := w.NextDepth.MM()
	tanA := w.setup.Cutter.Angle.Tan()
	most, tooDeep := w.deepest(limit, broken)
	if !tooDeep { // the flare meets template or bushing: less bushing, or more cutter
		missing := -2 * limit.Margin
		w.add(Step{Action: ChangeBushing, Cause: stop.Cause, Limit: limit, Size: w.setup.Bushing.Diameter.Length - missing, SizeKnown: true})
		w.add(Step{Action: ChangeCutter, Cause: stop.Cause, Limit: limit, Size: w.setup.Cutter.Diameter.Length + missing, SizeKnown: true})
		return
	}
	larger := (h - most) * tanA
	w.add(Step{Action: ChangeBushing, Cause: stop.Cause, Limit: limit, Size: w.setup.Bushing.Diameter.Length + length.Length(larger), SizeKnown: true})
	change := Step{Action: ChangeCutter, Cause: stop.Cause, Limit: limit}
	if most > 0 {
		change.Angle = joint.Angle(math.Atan(h*tanA/most) * 180 / math.Pi)
	}
	w.add(change)
}

// deepest returns the deepest depth that the broken limit allows; tooDeep is
// false where the limit is one of depths too shallow.
func (w *work) deepest(limit joint.Limit, broken bool) (most float64, tooDeep bool) {
	if !broken {
		return w.setup.PinBoard.Thickness.MM() - joint.LeastLap, true
	}
	switch limit.Code {
	case joint.LimitFlareInTemplate, joint.LimitCutterInBushing:
		return 0, false
	}
	return (w.NextDepth + limit.Margin).MM(), true
}

// PartOff is a part of a test joint that is off what the set-up predicts.
type PartOff struct {
	Cut                int
	Part               Part
	Expected, Measured length.Length
}

// Part of a joint.
type Part uint8

// Parts that can be measured.
const (
	PartPin Part = iota
	PartTail
	PartPinSocket
	PartTailSocket
	PartDepthPinBoard
	PartDepthTailBoard
)

// PartTolerated is how far a part may be off before it is named, mm: a caliper
// reading and the stated sizes' own tolerances. Judgement.
const PartTolerated = 0.10

// partsOff compares measured widths and depths with what the set-up predicts
// at the depth as set. Sockets off: cutter or bushing; pins and tails alone
// off: depth.
func partsOff(s joint.Setup, cuts []learn.TestCut) []PartOff {
	var all []PartOff
	for i, cut := range cuts {
		s.Depth = cut.Depth
		j, err := joint.New(s)
		if err != nil {
			continue // refused before
		}
		w, known := j.Widths()
		m := cut.Measured
		for _, p := range [...]struct {
			part  Part
			read  length.Size
			want  length.Length
			known bool
		}{
			{PartPin, m.PinWidest, w.PinWidest, known},
			{PartTail, m.TailWidest, w.TailWidest, known},
			{PartPinSocket, m.PinSocketWidest, w.PinSocketWidest, known},
			{PartTailSocket, m.TailSocketWidest, w.TailSocketWidest, known},
			{PartDepthPinBoard, m.DepthPinBoard, cut.Depth.PinBoard.Length, true},
			{PartDepthTailBoard, m.DepthTailBoard, cut.Depth.TailBoard.Length, true},
		} {
			if p.known && p.read.Given && math.Abs((p.read.Length-p.want).MM()) > PartTolerated {
				all = append(all, PartOff{i, p.part, p.want, p.read.Length})
			}
		}
	}
	return all
}
