package belief

import (
	"snugtail/joint"
)

// listBranches lists all that may be wrong, with its prior probability.
func (m *model) listBranches() {
	share, nothing := m.shares()
	m.branches = make([]branch, 0, 192) // about as many as there are
	m.branches = append(m.branches, branch{cause: CauseSetUpRight, weight: nothing, none: true})
	if m.maybeReground() {
		m.branches[0].weight *= 1 - m.priors.Reground
		m.branches = append(m.branches, branch{
			cause: CauseCutterResharpened, weight: nothing * m.priors.Reground, kind: SizeCutter, effect: toolEffect[CauseCutterResharpened],
			mean: -joint.RegroundShift, sd: joint.ToleranceReground / 2.0,
		})
	}
	for code := range CauseCount {
		if code == CauseSetUpRight || share[code] == 0 {
			continue
		}
		for _, b := range m.branchesOf(code) {
			if b.weight *= share[code]; b.weight > 0 {
				m.branches = append(m.branches, b)
			}
		}
	}
	sum := 0.0
	for i := range m.branches {
		sum += m.branches[i].weight
	}
	for i := range m.branches {
		m.branches[i].weight /= sum
	}
}

// maybeReground: of a cutter of which nothing is said, and which was not
// measured, some are reground.
func (m *model) maybeReground() bool {
	c := &m.filled.setup.Cutter
	return c.HistoryUnknown() && !m.cutterMeasured() && !m.filled.missing.Cutter && !c.Labelled.Given && m.playRow[ofCutter] != 0
}

// throughLap is the share of a joint that is cut through its pin board, or so
// nearly that a hair is left, mm. Judgement.
const throughLap, hair = 200, 0.3

// shares returns the causes' prior shares in the case at hand and that of
// nothing wrong.
func (m *model) shares() (share [CauseCount]float64, nothing float64) {
	share = m.priors.Share
	nothing = 1.0
	for _, s := range share {
		nothing -= s
	}
	s := &m.filled.setup
	if s.Cutter.Condition == joint.ConditionResharpened {
		share[CauseCutterResharpened] *= 2
	}
	if t := &s.Template; t.Kind == joint.Proven { // the very piece that worked
		if joint.SamePiece(t.Joint.Bushing.ID, s.Bushing.ID) {
			share[CauseBushingDiameter] = 0
		}
		if joint.SamePiece(t.Joint.Cutter.ID, s.Cutter.ID) {
			share[CauseCutterDiameter], share[CauseCutterAngle], share[CauseCutterResharpened] = 0, 0, 0
		}
	}
	if m.filled.missing.Template {
		share[CauseTemplateSize] = 0
	}
	if t := s.PinBoard.Thickness; t.Given && !m.latest.noDepth {
		if m.latest.depth.PinBoard.MM() > t.MM()-hair {
			share[CauseLapBroken] = throughLap
		} else {
			share[CauseLapBroken] = 0
		}
	}
	return share, nothing
}
