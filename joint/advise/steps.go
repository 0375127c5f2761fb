package advise

import (
	"errors"
	"math"

	"snugtail/joint"
	"snugtail/joint/belief"
	"snugtail/joint/length"
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
	Measure // make Step.Check
	RecutTest
	KeepGauge
	StopAndFix
	StopAdjusting
)

// Reason says why a step is told, where its action alone does not.
type Reason uint8

// Reasons.
const (
	ReasonPlay          Reason = iota // to bring play to the target
	ReasonSeat                        // to bring the seat to flush
	ReasonEdges                       // to bring the edges into line
	ReasonUnequalDepths               // shoulder or floor stands open
	ReasonLimit                       // the depth asked for breaks Step.Limit
	ReasonTry                         // to try the change in scrap
	ReasonFits                        // it fits: nothing to change
	ReasonUnsure                      // a check tells more than another test joint
	ReasonSetting                     // depth scatters more than the target allows
	ReasonHalfPitch                   // edges off by about half a pitch
	ReasonCause                       // it puts Step.Cause right
	ReasonNoJoint                     // there is no joint at all
)

// Fix says what is to be put right where a step's action is StopAndFix.
type Fix uint8

// Fixes.
const (
	FixNone           Fix = iota
	FixLimit              // the depth asked for breaks Step.Limit
	FixCentre             // centre the bushing on the cutter's axis
	FixFacing             // keep the router facing one way
	FixBothSides          // follow both sides of every opening
	FixFace               // the right face and edge to the right stop
	FixFlatBoards         // boards flat before they are cut
	FixThickness          // boards of the thickness that the template clears
	FixSquareEnds         // ends square before they are cut
	FixDullCutter         // a sharp cutter
	FixMoisture           // boards kept together, cut and put together at once
	FixPair               // both boards with one set-up
	FixDepthInWood        // measure the depth in the wood
	FixReseat             // clean, seat the template again, set the stop
	FixTighten            // tighten collet and depth lock
	FixSquareTemplate     // the same place at both ends
	FixGlue               // less water in the joint, put together at once
	FixThinner            // less depth than the board is thick
	FixReaches            // a template whose reaches leave a joint
)

// Step is one thing to do. Amount is a positive length whose meaning goes with
// the action; Depth is the depth after it.
type Step struct {
	Action      Action
	Reason      Reason
	Fix         Fix
	Cause       belief.Code // ReasonCause
	Check       belief.Check
	Amount      length.Length
	AmountKnown bool
	Depth       length.Length
	DepthKnown  bool
	Turns       float64
	TurnsKnown  bool
	Limit       joint.Limit // ReasonLimit
	Size        length.Length
	SizeKnown   bool        // the bushing or cutter diameter that would serve
	Angle       joint.Angle // or the cutter angle, 0 if none
	Fresh       bool        // needs fresh test boards: wood is not put back
}

func (w *work) add(s Step) { w.Steps = append(w.Steps, s) }

// steps writes down what carries the decision out, in the order in which it is
// done.
func (w *work) steps() {
	switch w.Decision.Do {
	case DoStop:
		w.add(Step{Action: StopAdjusting, Reason: ReasonFits})
		w.add(Step{Action: KeepGauge, Reason: ReasonFits, Depth: w.NextDepth, DepthKnown: true})
	case DoCheck:
		w.add(Step{Action: Measure, Reason: ReasonUnsure, Check: w.Decision.Check})
	case DoCut:
		w.cutSteps()
	case DoChange:
		w.changeSteps()
	}
}

// cutSteps: tightness first, then the seat, then the stop, all before the next
// test joint.
func (w *work) cutSteps() {
	if w.mayHaveSlipped() && !sameDepth(w.NextDepth, w.depthNow) {
		w.add(Step{Action: StopAndFix, Fix: FixTighten, Reason: ReasonCause, Cause: belief.CauseDepthLockSlipped})
	}
	w.setDepth()
	depthFirst := w.hasAction(LowerCutter) || w.hasAction(RaiseCutter)
	w.moves()
	if len(w.Steps) > 0 && !depthFirst { // the depth stays: it is something else that is changed
		w.Decision.Do, w.Decision.Why, w.Decision.Depth = DoChange, w.whyMoved(), 0
		w.add(Step{Action: RecutTest, Reason: ReasonTry, Fresh: true})
		return
	}
	w.add(Step{Action: RecutTest, Reason: ReasonTry, Depth: w.NextDepth, DepthKnown: true, Fresh: true})
}

// mayHaveSlipped: of a depth that is off nobody can tell whether it was set so or
// slipped, so it is tightened before it is set anew.
func (w *work) mayHaveSlipped() bool {
	ofDepth, slipped := 0.0, 0.0
	for _, s := range w.Posterior.Causes() {
		switch s.Code {
		case belief.CauseCutterCrept, belief.CauseDepthLockSlipped:
			slipped += s.Probability
			ofDepth += s.Probability
		case belief.CauseDepthOff:
			ofDepth += s.Probability
		}
	}
	return w.last != nil && ofDepth > 0.5 && slipped > 0.05
}

func (w *work) whyMoved() Why {
	switch w.Steps[0].Action {
	case MoveTemplateIn, MoveTemplateOut:
		return WhySeat
	case LevelBoards:
		return WhyUneven
	}
	return WhyEdges
}

// moves puts right what was seen of level, seat and edges.
func (w *work) moves() {
	if w.halfPitchOff() {
		w.add(Step{Action: StopAndFix, Fix: FixFace, Reason: ReasonHalfPitch})
	}
	w.levelBoards()
	w.moveTemplate()
	w.setSideStop()
}

// changeSteps puts right something else than the depth, which stays as it is.
func (w *work) changeSteps() {
	if w.Decision.Why == WhyNoJoint {
		w.add(Step{Action: StopAndFix, Fix: FixReaches, Reason: ReasonNoJoint})
		return
	}
	if w.Decision.Why == WhyLimit {
		w.otherTool()
		return
	}
	before := len(w.Steps)
	if w.Decision.Why == WhyCause {
		for _, s := range w.fixSteps(w.Decision.Cause) {
			w.add(s)
		}
	}
	w.moves()
	if len(w.Steps) == before {
		w.add(Step{Action: StopAndFix, Fix: FixDepthInWood, Reason: ReasonCause, Cause: w.Decision.Cause})
	}
	if change := w.planned.depth - w.depthNow; w.planned.depth > 0 && !sameDepth(w.planned.depth, w.depthNow) {
		w.add(w.depthStep(change, 0, false)) // by how much, not to what
	}
	w.add(Step{Action: RecutTest, Reason: ReasonTry, Fresh: true})
}

func (w *work) hasAction(a Action) bool {
	for _, s := range w.Steps {
		if s.Action == a {
			return true
		}
	}
	return false
}

// levelBoards: the tail board stood higher than the pin board, or lower.
func (w *work) levelBoards() {
	if w.last == nil {
		return
	}
	if open := w.last.ShoulderOpen(); math.Abs(open.MM()) > DepthsAlike && !w.jammed() {
		w.add(Step{
			Action: LevelBoards, Reason: ReasonUnequalDepths, Fresh: true,
			Amount: abs(open), AmountKnown: true, Size: open,
		})
	}
}

func abs(l length.Length) length.Length { return length.Length(math.Abs(l.MM())) }

// setDepth turns the cutter from the depth set now to the next one.
func (w *work) setDepth() {
	change := w.NextDepth - w.depthNow
	if sameDepth(w.NextDepth, w.depthNow) {
		return
	}
	w.add(w.depthStep(change, w.NextDepth, true))
	if w.settingTooCoarse() {
		w.add(Step{Action: Measure, Reason: ReasonSetting, Check: belief.CheckMeasureDepth})
	}
}

func (w *work) depthStep(change, depth length.Length, known bool) Step {
	step := Step{Action: LowerCutter, Reason: ReasonPlay, Fresh: true, Amount: abs(change), AmountKnown: true}
	if known {
		step.Depth, step.DepthKnown = depth, true
	}
	if change < 0 {
		step.Action = RaiseCutter
	}
	step.Turns, step.TurnsKnown = w.setup.Router.Turns(step.Amount)
	return step
}

// settingTooCoarse reports whether what the depth scatters as set, or the
// adjuster's finest step, is more than the target's range allows: more
// turning will not help then.
func (w *work) settingTooCoarse() bool {
	room := (w.target.To - w.target.From).MM()
	return 4*w.setting > room || w.perDepth*w.setup.Router.AdjusterStep.MM() > room // 95 % of the settings
}

// moveTemplate: a template moved by D changes the seat by 2 D. Only the latest
// joint tells where it stands, and before any joint its reaches do.
func (w *work) moveTemplate() {
	if w.MoveIn == 0 {
		return
	}
	step := Step{Action: MoveTemplateIn, Reason: ReasonSeat, Fresh: true, Amount: abs(w.MoveIn), AmountKnown: true}
	if w.MoveIn < 0 {
		step.Action = MoveTemplateOut
	}
	w.add(step)
}

// seatAfter returns the seat to expect of the next joint, template not moved: as
// seen of the latest joint and half of what play changes; before any joint, and
// with its reaches known, the model's.
func (w *work) seatAfter(h length.Length) (q length.Length, known bool) {
	if w.last != nil {
		if !w.last.Seat.Given || w.jammed() {
			return 0, false
		}
		was := w.depthNow
		if w.last.Depth.PinBoard.Given {
			was = w.last.Depth.Deeper().Length
		}
		return w.last.Seat.Length - length.Length(w.perDepth/2)*(h-was), true
	}
	j, err := joint.New(w.setup.AtDepth(h))
	if err != nil {
		return 0, false
	}
	s := j.Seat()
	return s.Offset, s.Known
}

// halfPitchOff: edges out of line by about half a pitch are no matter of the
// stop's setting but of the wrong stop, or of a board turned round.
func (w *work) halfPitchOff() bool {
	half := w.setup.Template.Pitch.MM() / 2
	return w.last != nil && w.last.EdgeStep.Given && half > 0 && math.Abs(w.last.EdgeStep.MM()) > 0.7*half
}

func (w *work) setSideStop() {
	if w.last == nil || !w.edgesOff() || w.halfPitchOff() {
		return
	}
	edge := length.Length(w.planned.inLine)
	if edge == 0 {
		return
	}
	w.add(Step{Action: SetSideStop, Reason: ReasonEdges, Fresh: true, Amount: abs(edge), AmountKnown: true, Size: edge})
}

// otherTool says what else gives the target play when the depth for it breaks a
// limit: another bushing, or board, cutter or template.
func (w *work) otherTool() {
	w.add(Step{Action: StopAndFix, Fix: FixLimit, Reason: ReasonLimit, Limit: w.limited.limit})
	if p := &w.planned; p.bushing > 0 {
		w.add(Step{Action: ChangeBushing, Reason: ReasonLimit, Limit: w.limited.limit, Size: p.bushing, SizeKnown: true, Fresh: true})
		if !sameDepth(p.depth, w.depthNow) {
			w.add(w.depthStep(p.depth-w.depthNow, 0, false))
		}
	}
	w.add(Step{Action: RecutTest, Reason: ReasonTry, Fresh: true})
}

// predict fills in the fit after the steps: template moved, depth set. Where no
// depth is known it is the joint as it is set.
func (w *work) predict() {
	if w.NextKnown || w.last != nil {
		w.MoveIn = w.templateMove()
	}
	if !w.NextKnown {
		w.Next = w.now
		w.Limits = w.now.Limits()
		return
	}
	s := w.setup.AtDepth(w.NextDepth)
	s.Template = s.Template.Moved(w.MoveIn)
	if w.last != nil && w.edgesOff() {
		s.SideStopError = length.Size{}
	}
	mean, sd := w.Posterior.Estimate()
	s.Offset = joint.Offset{Mean: mean, SD: sd, Known: true}
	next, err := joint.New(s)
	w.Next = next
	w.Limits = next.Limits()
	w.Predicted = next.FitWith(w.Posterior.At(w.NextDepth), w.target, w.bands)
	w.Predicted.InTarget = w.ChanceNext
	if q, ok := w.seatAfter(w.NextDepth); ok && w.last != nil && w.Predicted.Play > 0 {
		w.Predicted.Seat = joint.Seat{Offset: q + 2*w.MoveIn, Known: true}
	}
	var impossible *joint.Impossible
	if errors.As(err, &impossible) && w.Decision.Do == DoCut {
		w.Verdict = CannotReach
	}
}

// templateMove returns how far to move the template onto the pin board: as the
// plan has it or, with what was seen near enough to it, as much as the seat is
// off; before any joint, as its reaches say.
func (w *work) templateMove() length.Length {
	if w.last != nil {
		if !w.last.Seat.Given || w.jammed() {
			return 0
		}
		return length.Length(w.planned.moveIn)
	}
	q, ok := w.seatAfter(w.NextDepth)
	if !ok || q.MM() >= -SeatProud && q.MM() <= SeatInside || q.MM() < -farProud {
		return 0
	}
	return -q / 2
}

// farProud is a seat, mm, that no move of the template is for: something else
// holds the joint open.
const farProud = 6

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
func partsOff(s joint.Setup, cuts []belief.Cut) []PartOff {
	var all []PartOff
	for i := range cuts {
		cut := &cuts[i]
		if cut.Depth.PinBoard.Given {
			s.Depth = cut.Depth
		}
		j, err := joint.New(s)
		if err != nil {
			continue // refused before
		}
		w, known := j.Widths()
		m := &cut.Measured
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
			{PartDepthPinBoard, m.DepthPinBoard, s.Depth.PinBoard.Length, true},
			{PartDepthTailBoard, m.DepthTailBoard, s.Depth.TailBoard.Length, true},
		} {
			if p.known && p.read.Given && math.Abs((p.read.Length-p.want).MM()) > PartTolerated {
				all = append(all, PartOff{i, p.part, p.want, p.read.Length})
			}
		}
	}
	return all
}
