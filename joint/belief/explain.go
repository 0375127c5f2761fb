package belief

import (
	"math"

	"snugtail/joint"
	"snugtail/joint/length"
)

// Size of a cause: Length or, for SizeAngle, Angle; Against is the size that
// was stated or, where that one was measured, wanted. Seat is what it adds to
// the seat.
type Size struct {
	Kind         SizeKind
	Length       length.Length
	Angle        joint.Angle
	Against      length.Length
	AgainstAngle joint.Angle
	Spread       float64 // standard uncertainty of the size, mm or degrees
	// Measured is true where what is stated was measured: then the size in use
	// is the one stated, and another was wanted.
	Measured bool
	Seat     length.Length
}

// bestOf returns the likeliest part in which a cause is at work, nil if there
// is none.
func (p *Posterior) bestOf(c Code) *part {
	if c == CauseDepthOff {
		if q := p.partOf(c); q != nil {
			return q
		}
		c = CauseSetUpRight // tolerances alone
	}
	return p.partOf(c)
}

func (p *Posterior) partOf(c Code) *part {
	if q := p.single[c]; q != nil {
		return q
	}
	return p.double[c]
}

func likelier(a, b *part) *part {
	if a == nil || b.weight > a.weight {
		return b
	}
	return a
}

// SizeOf returns the size of a cause that explains best.
func (p *Posterior) SizeOf(c Code) Size {
	q := p.bestOf(c)
	if q == nil || q.branch.none {
		return Size{}
	}
	m, b := p.m, q.branch
	s := b.mean + q.sizeNow()*b.sd
	size := Size{Kind: b.kind, Length: length.Length(s), Spread: q.sizeSD * b.sd, Measured: b.measured}
	e := b.at(m, s)
	if at, ok := m.geometry.at(&e); ok {
		null, _ := m.geometry.at(&effect{})
		size.Seat = length.Length(m.seatOf(&at) - m.seatOf(&null))
	}
	setup := &m.filled.setup
	switch b.kind {
	case SizeDepth, SizeTail: // as added to the depth, or to the tail board's alone
		size.Length = length.Length(e.tailDepth)
		if b.kind == SizeTail {
			size.Length -= length.Length(e.pinDepth)
		}
		if e.intended != 0 {
			size.Length = length.Length(s)
		}
	case SizeBushing:
		if m.filled.missing.Bushing {
			return Size{}
		}
		against(&size, labelOf(setup.Bushing.Diameter, setup.Bushing.Labelled), s, b.measured)
	case SizeCutter:
		if m.filled.missing.Cutter {
			return Size{}
		}
		if b.cause == CauseCutterResharpened && !b.measured {
			s = -s
		}
		against(&size, labelOf(setup.Cutter.Diameter, setup.Cutter.Labelled), s, b.measured)
	case SizeAngle:
		if m.filled.missing.Angle {
			return Size{}
		}
		size.Length = 0
		size.Angle, size.AgainstAngle = setup.Cutter.Angle+joint.Angle(s), setup.Cutter.Angle
		if b.measured {
			size.Angle, size.AgainstAngle = size.AgainstAngle, size.Angle
		}
	}
	if !size.made() {
		return Size{}
	}
	return size
}

// made says whether a tool may be of this size, which far readings may point beyond.
func (s *Size) made() bool {
	const widest = 45 // degrees, as for any cutter stated
	switch s.Kind {
	case SizeBushing, SizeCutter:
		return min(s.Length, s.Against) > 0
	case SizeAngle:
		return min(s.Angle, s.AgainstAngle) > 0 && max(s.Angle, s.AgainstAngle) <= widest
	}
	return true
}

func labelOf(stated, labelled length.Size) length.Length {
	if labelled.Given {
		return labelled.Length
	}
	return stated.Length
}

// against: the size in use is off by s from the one stated or, where that was
// measured, the one wanted is.
func against(size *Size, stated length.Length, s float64, measured bool) {
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

// Explains returns what a cause explains that nothing wrong would not, and what
// it does not explain.
func (p *Posterior) Explains(c Code) (explains, fails []Evidence) {
	q := p.bestOf(c)
	if q == nil {
		return nil, nil
	}
	p.eachSeen(q, func(e Evidence, without, with float64) {
		switch {
		case with >= unexplained:
			fails = append(fails, e)
		case without >= surprising && with < explainedBy:
			explains = append(explains, e)
		}
	})
	for f, a := range p.m.findings {
		if a == NotSaid {
			continue
		}
		e := Evidence{Cut: Whole, Place: Whole, Seen: SeenFinding, Finding: Finding(f), Answer: a}
		with, without := p.m.priors.chance(c, Finding(f), a), p.m.priors.chance(CauseSetUpRight, Finding(f), a)
		switch {
		case with <= 0.18 && with <= without:
			fails = append(fails, e)
		case with >= 2.2*without:
			explains = append(explains, e)
		}
	}
	return explains, fails
}

// eachSeen tells by how many standard uncertainties each thing seen is off
// what is to be expected without any fault, and with this one as large as it
// explains best.
func (p *Posterior) eachSeen(q *part, tell func(e Evidence, without, with float64)) {
	m := p.m
	null, _ := m.geometry.at(&m.told)
	e := m.effectOf(q.forecast, q.branch.mean+q.sizeNow()*q.branch.sd)
	fault, ok := m.geometry.at(&e)
	if !ok {
		return
	}
	s := p.systems[0]
	for i := range m.readings {
		r := &m.readings[i]
		if r.Cut < m.own {
			continue
		}
		sd := math.Sqrt(r.u*r.u + s.rows[i].dot(&s.rows[i]))
		ev := r.Evidence
		ev.Cut -= m.own
		tell(ev, math.Abs(r.value-m.predicted(r, &null))/sd, math.Abs(r.value-m.predicted(r, &fault))/sd)
	}
	for i := range m.ranges {
		r := &m.ranges[i]
		ev := r.Evidence
		ev.Cut -= m.own
		tell(ev, m.outside(r, &null), m.outside(r, &fault))
	}
}

// outside returns by how many standard uncertainties the expected value is
// outside of a range.
func (m *model) outside(r *within, p *point) float64 {
	row := &m.rows[r.observable]
	v := p.value(r.observable, r.where)
	if r.felt {
		v += p.feel
	}
	return math.Max(0, math.Max(r.low-v, v-r.high)) / math.Sqrt(r.soft*r.soft+row.dot(row))
}

// notByChance is how rarely chance alone makes the readings of a true cause
// fit as badly as that; then nothing single explains them. Judgement.
const notByChance = 0.002

// Unexplained reports whether the likeliest cause, of whatever size, still does
// not agree with what was seen, and with what it does not.
func (p *Posterior) Unexplained(c Code) (unexplained bool, with []Evidence) {
	q := p.bestOf(c)
	if q == nil {
		return false, nil
	}
	worst, squares, n := 0.0, 0.0, 0
	p.eachSeen(q, func(e Evidence, _, off float64) {
		worst = math.Max(worst, off)
		squares += off * off
		n++
		if off >= surprising+0.5 {
			with = append(with, e)
		}
	})
	if chiSquareBeyond(squares, n) > notByChance && worst < 4 {
		return false, nil
	}
	return true, with
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
