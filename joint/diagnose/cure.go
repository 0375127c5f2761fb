package diagnose

import (
	"math"

	"snugtail/joint"
	"snugtail/joint/correct"
	"snugtail/joint/length"
)

// Fix says what is to be put right where a step's action is correct.StopAndFix.
type Fix uint8

// Fixes.
const (
	FixNone         Fix = iota
	FixLimit            // the depth asked for breaks Step.Limit
	FixCollet           // clean and tighten the collet
	FixCentre           // centre the bushing on the cutter's axis
	FixFacing           // keep the router facing one way
	FixBothSides        // follow both sides of every opening
	FixSeatTemplate     // bring the template down on the boards, level
	FixFace             // the right face and edge to the right stop
	FixFlatBoards       // boards flat before they are cut
	FixThickness        // boards of the thickness that the template clears
	FixSquareEnds       // ends square before they are cut
	FixChips            // chips out
	FixDepthLock        // lock the depth so that it stays
	FixDullCutter       // a sharp cutter
	FixMoisture         // boards kept together, cut and put together at once
	FixPair             // both boards with one set-up
	FixDepthInWood      // measure the depth in the wood
)

// Step is one thing to do. Amount is a positive length whose meaning goes with
// the action, Depth the depth after it, Size or Angle of the tool that serves.
type Step struct {
	Action      correct.Action
	Fix         Fix
	Amount      length.Length
	AmountKnown bool
	Turns       float64
	TurnsKnown  bool
	Depth       length.Length
	DepthKnown  bool
	// Or is the depth at which the tool in use would serve as it is, where no
	// limit stands in the way.
	Or      length.Length
	OrKnown bool
	Size    length.Length
	Angle   joint.Angle
	Limit   joint.Limit // FixLimit
	Fresh   bool        // needs fresh test boards
}

// smallAngle is how far a cutter's angle may be off what is marked for a
// change of depth to be the cure, degrees. Judgement.
const smallAngle = 2

// cure returns the steps that put a cause right, for the size that explains
// best.
func (m *model) cure(p *part, size Size) []Step {
	switch p.cause {
	case CauseSetUpRight:
		return []Step{{Action: correct.StopAdjusting}, {Action: correct.KeepGauge}}
	case CauseBushingDiameter:
		return m.changeTool(Step{Action: correct.ChangeBushing, Size: size.Against}, p)
	case CauseCutterDiameter:
		return m.changeTool(Step{Action: correct.ChangeCutter, Size: size.Against}, p)
	case CauseCutterAngle:
		if math.Abs(float64(size.Angle-size.AgainstAngle)) < smallAngle {
			return m.setDepth(p, FixNone)
		}
		return m.changeTool(Step{Action: correct.ChangeCutter, Angle: size.AgainstAngle}, p)
	case CauseCutterResharpened:
		return m.setDepth(p, FixNone)
	case CauseDepthFromBushingTip, CauseDepthFromRouterBase, CauseDepthOff:
		return m.setDepth(p, FixDepthInWood)
	case CauseDepthLockSlipped:
		return m.setDepth(p, FixDepthLock)
	case CauseCutterCrept:
		return m.setDepth(p, FixCollet)
	case CauseTemplatePosition, CauseBushingOffCentre:
		return m.setSeat(p)
	case CauseSideStop:
		return m.recut(Step{Action: correct.SetSideStop, Amount: abs(size.Length), AmountKnown: true, Fresh: true})
	case CauseBoardsNotLevel:
		return m.recut(Step{Action: correct.LevelBoards, Amount: abs(size.Length), AmountKnown: true, Fresh: true})
	}
	return m.recut(Step{Action: correct.StopAndFix, Fix: fixes[p.cause], Fresh: true})
}

// fixes of causes that are cured by doing something right that was not.
var fixes = map[Code]Fix{
	CauseRouterTurned:        FixFacing,
	CauseOpeningsNotFollowed: FixBothSides,
	CauseTemplateTilted:      FixSeatTemplate,
	CauseWrongFaceOrStop:     FixFace,
	CauseBoardCupped:         FixFlatBoards,
	CauseBoardThickness:      FixThickness,
	CauseStockNotSquare:      FixSquareEnds,
	CauseChipsUnder:          FixChips,
	CauseDullCutter:          FixDullCutter,
	CauseWoodMoved:           FixMoisture,
	CauseMixedBoards:         FixPair,
}

func abs(l length.Length) length.Length { return length.Length(math.Abs(l.MM())) }

// recut ends steps with the next test joint, at the depth set now.
func (m *model) recut(steps ...Step) []Step {
	depth := m.setup.Depth.Deeper()
	return append(steps, Step{
		Action: correct.RecutTest, Depth: depth.Length, DepthKnown: !m.missing.Depth, Fresh: true,
	})
}

// changeTool fits the tool that was meant, or else sets the depth for the one
// in use.
func (m *model) changeTool(change Step, p *part) []Step {
	if d := m.depthFor(p); d.possible && d.known && !d.broken {
		change.Or, change.OrKnown = d.next, true
	}
	return m.recut(change)
}

// depthChange is the change of depth that brings the play under a cause to the
// target.
type depthChange struct {
	possible bool
	known    bool          // the depth in the wood, and so the next one
	by       length.Length // + deeper
	next     length.Length
	limit    joint.Limit
	broken   bool
}

func (m *model) depthFor(p *part) depthChange {
	size, _ := p.sizeOf()
	last := &m.cuts[len(m.cuts)-1]
	now, ok := m.at(p.at(m, size), last)
	if !ok {
		return depthChange{}
	}
	play, _ := m.playOf(p)
	by := (play - m.target.Play.MM()) / (2 * now.tanA)
	d := depthChange{possible: true, known: !last.noDepth, by: length.Length(by), next: length.Length(now.h + by)}
	if d.known {
		d.limit, d.broken = m.limitAt(p.at(m, size), d.next)
	}
	return d
}

// limitAt returns the limit that a depth breaks furthest with the tools as a
// cause has them; of a joint that cannot be cut that of the lap.
func (m *model) limitAt(e effect, depth length.Length) (worst joint.Limit, broken bool) {
	s := m.setup.AtDepth(depth)
	s.Cutter.Diameter.Length += length.Length(e.cutter)
	s.Cutter.Angle += joint.Angle(e.angle)
	s.Bushing.Diameter.Length += length.Length(e.bushing)
	j, _ := joint.New(s) // geometry answers even where limits are broken
	limits := j.Limits()
	for _, code := range [...]joint.LimitCode{
		joint.LimitLap, joint.LimitFlareInTemplate, joint.LimitCutterInBushing,
		joint.LimitCuttingLength, joint.LimitColletGrip, joint.LimitTailBoardCleared,
	} {
		if l := limits[code]; l.Broken() && (!broken || l.Margin < worst.Margin) {
			worst, broken = l, true
		}
	}
	return worst, broken
}

// setDepth puts right what put the depth wrong, and then the depth.
func (m *model) setDepth(p *part, first Fix) []Step {
	var steps []Step
	if first != FixNone {
		steps = append(steps, Step{Action: correct.StopAndFix, Fix: first})
	}
	d := m.depthFor(p)
	switch {
	case !d.possible || math.Abs(d.by.MM()) <= correct.SameSetting:
		return m.recut(steps...)
	case d.broken:
		return append(steps, Step{Action: correct.StopAndFix, Fix: FixLimit, Limit: d.limit, Depth: d.next, DepthKnown: true})
	}
	change := Step{
		Action: correct.LowerCutter, Amount: abs(d.by), AmountKnown: true, Depth: d.next, DepthKnown: d.known, Fresh: true,
	}
	if d.by < 0 {
		change.Action = correct.RaiseCutter
	}
	change.Turns, change.TurnsKnown = m.setup.Router.Turns(change.Amount)
	return append(steps, change, Step{Action: correct.RecutTest, Depth: d.next, DepthKnown: d.known, Fresh: true})
}

// setSeat moves the template, or the bushing, back to where it belongs: the
// seat's error is twice the template's and twice the axes' offset.
func (m *model) setSeat(p *part) []Step {
	size, _ := p.sizeOf()
	if p.cause == CauseBushingOffCentre {
		return m.recut(Step{
			Action: correct.StopAndFix, Fix: FixCentre, Amount: length.Length(math.Abs(size)), AmountKnown: true, Fresh: true,
		})
	}
	move := Step{Action: correct.MoveTemplateOut, Amount: length.Length(math.Abs(size) / 2), AmountKnown: true, Fresh: true}
	if size < 0 {
		move.Action = correct.MoveTemplateIn
	}
	return m.recut(move)
}
