package diagnose

import (
	"math"

	"snugtail/joint"
	"snugtail/joint/length"
)

// usualCheck is the check in which a cause shows best.
var usualCheck = [CauseCount]Check{
	CauseBushingDiameter:     CheckMeasureBushing,
	CauseCutterDiameter:      CheckMeasureCutter,
	CauseCutterAngle:         CheckMeasureCutterAngle,
	CauseCutterResharpened:   CheckMeasureCutter,
	CauseDepthFromBushingTip: CheckMeasureDepth,
	CauseDepthFromRouterBase: CheckMeasureDepth,
	CauseDepthOff:            CheckMeasureDepth,
	CauseCutterCrept:         CheckMeasureDepth,
	CauseBushingOffCentre:    CheckMeasureBushing,
	CauseRouterTurned:        CheckMeasureBushing,
	CauseOpeningsNotFollowed: CheckMeasureWidths,
	CauseTemplateTilted:      CheckRockTemplate,
	CauseTemplatePosition:    CheckSeeSeat,
	CauseSideStop:            CheckSeeEdges,
	CauseWrongFaceOrStop:     CheckSeeEdges,
	CauseBoardCupped:         CheckStraightedge,
	CauseBoardThickness:      CheckSeeSeat,
	CauseBoardsNotLevel:      CheckMeasureDepth,
	CauseStockNotSquare:      CheckSeeEdges,
	CauseChipsUnder:          CheckRockTemplate,
	CauseDepthLockSlipped:    CheckMeasureDepth,
	CauseDullCutter:          CheckMeasureCutter,
	CauseWoodMoved:           CheckMoistureMeter,
	CauseMixedBoards:         CheckMeasureWidths,
	CauseSetUpRight:          CheckPullJoint,
}

// sizeOf returns the size of a branch that explains best, and its standard
// uncertainty.
func (p *part) sizeOf() (size, sd float64) {
	v := math.Max(0, p.fit.cov[ofSize][ofSize])
	return p.mean + p.sd*p.fit.mean[ofSize], p.sd * math.Sqrt(v)
}

func (m *model) size(p *part) Size {
	s, sd := p.sizeOf()
	size := Size{Kind: p.kind, Length: length.Length(s), Spread: sd}
	setup := &m.setup
	switch p.kind {
	case SizeDepth, SizeTail: // as added to the depth, or to the tail board's alone
		e := p.at(m, s)
		size.Length = length.Length(e.tailDepth)
		if p.kind == SizeTail {
			size.Length -= length.Length(e.pinDepth)
		}
		if e.intended != 0 {
			size.Length = length.Length(s)
		}
	case SizeBushing:
		if m.missing.Bushing {
			return Size{}
		}
		m.against(&size, setup.Bushing.Diameter.Length, s, p.measured)
	case SizeCutter:
		if m.missing.Cutter {
			return Size{}
		}
		if p.cause == CauseCutterResharpened && !p.measured {
			s = -s
		}
		m.against(&size, setup.Cutter.Diameter.Length, s, p.measured)
	case SizeAngle:
		if m.missing.Angle {
			return Size{}
		}
		size.Length = 0
		size.Angle, size.AgainstAngle = setup.Cutter.Angle+joint.Angle(s), setup.Cutter.Angle
		if p.measured {
			size.Angle, size.AgainstAngle = size.AgainstAngle, size.Angle
		}
	}
	return size
}

// against: the size in use is off by s from the one stated or, where that was
// measured, the one wanted is.
func (m *model) against(size *Size, stated length.Length, s float64, measured bool) {
	size.Length, size.Against = stated+length.Length(s), stated
	if measured {
		size.Length, size.Against = size.Against, size.Length
	}
}

// From how many standard uncertainties on something is off what was to be
// expected. Judgement.
const (
	surprising  = 2.0
	explainedBy = 1.8
	unexplained = 2.5
)

// evidence returns what a cause explains that nothing wrong would not, and
// what it does not explain.
func (m *model) evidence(p *part) (explains, fails []Evidence) {
	m.eachSeen(p, func(e Evidence, without, with float64) {
		switch {
		case with >= unexplained:
			fails = append(fails, e)
		case without >= surprising && with < explainedBy:
			explains = append(explains, e)
		}
	})
	for f, a := range m.findings {
		finding := Finding(f)
		e := Evidence{Cut: Whole, Place: Whole, Seen: SeenFinding, Finding: finding, Answer: a}
		with, without := p.cause.chance(finding, a), usualChance(finding, a)
		switch {
		case a == NotSaid:
		case with <= 0.16 && with <= without:
			fails = append(fails, e)
		case with >= 2.5*without:
			explains = append(explains, e)
		}
	}
	return explains, fails
}

func usualChance(f Finding, a Answer) float64 {
	if a == No {
		return 1 - usually[f]
	}
	return usually[f]
}

// eachSeen tells by how many standard uncertainties each thing seen is off
// what is to be expected without any cause, and with this one as large as it
// explains best.
func (m *model) eachSeen(p *part, tell func(e Evidence, without, with float64)) {
	size, _ := p.sizeOf()
	nothing, fault := branch{cause: CauseSetUpRight}, p.branch
	fault.mean, fault.sd = size, 0
	fault.tangent = fault.firstTangent()
	for i := range m.cuts {
		c := &m.cuts[i]
		l0, ok0 := m.towards(&nothing, c)
		l1, ok1 := m.towards(&fault, c)
		if !ok0 || !ok1 {
			continue
		}
		for k := range c.readings {
			r := &c.readings[k]
			tell(r.Evidence, l0.off(r), l1.off(r))
		}
		for k := range c.ranges {
			r := &c.ranges[k]
			tell(r.Evidence, l0.outside(r), l1.outside(r))
		}
	}
}

// off returns by how many standard uncertainties a reading is off.
func (l *look) off(r *reading) float64 {
	lasting, self := l.rows(r.observable, r.where, false)
	sd := math.Sqrt(r.u*r.u + lasting.dot(&lasting) + self[0]*self[0] + self[1]*self[1])
	return math.Abs(r.value-l.expected(r.observable, r.where, false)) / sd
}

// outside returns by how many the expected value is outside of a range.
func (l *look) outside(r *within) float64 {
	lasting, self := l.rows(r.observable, r.where, r.felt)
	sd := math.Sqrt(r.soft*r.soft + lasting.dot(&lasting) + self[0]*self[0] + self[1]*self[1])
	v := l.expected(r.observable, r.where, r.felt)
	return math.Max(0, math.Max(r.low-v, v-r.high)) / sd
}

// notByChance is how rarely chance alone makes the readings of a true cause
// fit as badly as that; then nothing single explains them. Judgement.
const notByChance = 0.002

// misfit reports whether the likeliest cause, of whatever size, still does not
// agree with what was seen, and with what it does not.
func (m *model) misfit(parts []part, code Code) (unexplained bool, with []Evidence) {
	best := bestOf(parts, code)
	b := best.branch
	if b.sd > 0 {
		b.sd *= 5 // any size will do
	}
	squares, n := m.squares(&b)
	worst := 0.0
	m.eachSeen(best, func(e Evidence, _, off float64) {
		worst = math.Max(worst, off)
		if off >= surprising+0.5 {
			with = append(with, e)
		}
	})
	if chiSquareBeyond(squares, n) > notByChance && worst < 4 {
		return false, nil
	}
	return true, with
}

// squares returns y' (N + J J')^-1 y of all readings, and how many there are.
func (m *model) squares(b *branch) (sum float64, n int) {
	in := newInformation()
	for i := range m.cuts {
		l, ok := m.towards(b, &m.cuts[i])
		if !ok {
			return 0, 0
		}
		o := newOwn()
		for k := range m.cuts[i].readings {
			r := &m.cuts[i].readings[k]
			lasting, self := l.rows(r.observable, r.where, false)
			y := r.value - l.expected(r.observable, r.where, false)
			in.read(&o, &lasting, &self, y, r.u)
			sum += y * y / (r.u * r.u)
			n++
		}
		in.eliminate(&o)
		for i := range ownUnknowns {
			sum -= o.b[i] * o.mean[i]
		}
	}
	mean, _, _ := in.solve()
	return math.Max(0, sum-mean.dot(&in.b)), n
}

// chiSquareBeyond returns the chance of a sum of n squares beyond x, by the
// cube-root approximation (Wilson and Hilferty 1931, from memory).
func chiSquareBeyond(x float64, n int) float64 {
	if n == 0 {
		return 1
	}
	k := 2 / (9 * float64(n))
	return 1 - joint.NormalCDF((math.Cbrt(x/float64(n))-(1-k))/math.Sqrt(k))
}
