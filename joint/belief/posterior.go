package belief

import (
	"cmp"
	"math"
	"slices"

	"snugtail/joint"
)

// Posterior is what is believed of a case.
type Posterior struct {
	m        *model
	scatters []scatter
	systems  []*system
	all      []part  // but for those that can't count
	parts    []*part // that count
	listed   int     // forecasts that there are
	// of each cause the likeliest part with it alone, and with another
	single, double [CauseCount]*part
	grid           *grid
	fields         []*field
	tables         []table
	causes         [CauseCount]float64
	misread        []float64 // chance of each reading of the latest joint
	right          float64   // chance that the latest joint is as wanted
}

// Limits of what nobody would call for, mm. Judgement.
const (
	tolerableSeatIn, tolerableSeatProud = 0.25, 0.40
	tolerableEdge, tolerableShoulder    = 0.25, 0.25
)

// settle adds up what the parts say of the causes. Where the latest joint is as
// wanted nothing is wrong, whatever is not as stated; but somebody asks. Where
// nothing is wrong with the sizes and play is not as wanted, the depth is off.
func (p *Posterior) settle(parts []part) {
	p.misread = make([]float64, len(p.m.readings))
	p.parts = make([]*part, 0, len(parts))
	sum := 0.0
	for i := range parts {
		q := &parts[i]
		if q.weight < leastPart {
			continue
		}
		p.parts = append(p.parts, q)
		q.right = p.rightOf(q)
		q.weight -= (1 - p.m.priors.AskedIfRight) * q.right
		q.right *= p.m.priors.AskedIfRight
		sum += q.weight
	}
	for _, q := range p.parts {
		q.weight, q.right = q.weight/sum, q.right/sum
		for _, k := range q.flaws {
			if k >= 0 {
				for _, i := range p.m.flaws[k].which {
					p.misread[i] += q.weight
				}
			}
		}
		p.share(q)
		if c := q.branch.cause; q.second == nil {
			p.single[c] = likelier(p.single[c], q)
		} else {
			p.double[c] = likelier(p.double[c], q)
		}
	}
	prior := p.m.priorOfCauses()
	for c := range p.causes {
		p.causes[c] = (1-misled)*p.causes[c] + misled*prior[c]
	}
	p.right = p.causes[CauseSetUpRight]
}

// rightOf returns how much of a part's weight has the latest joint as wanted.
func (p *Posterior) rightOf(q *part) float64 {
	switch {
	case !p.m.latest.seen && q.branch.none && q.second == nil:
		return q.weight
	case !p.m.latest.seen || q.inTarget < untold*q.weight || q.spoils(p.m):
		return 0
	}
	return min(q.inTarget, q.weight)
}

// leastPart is the share below which a part is left out.
const leastPart = 1e-7

// misled is how often what was told misleads altogether; then all is as likely
// as before. Judgement.
const misled = 0.015

func (m *model) priorOfCauses() (prior [CauseCount]float64) {
	for i := range m.branches {
		prior[m.branches[i].cause] += m.branches[i].weight
	}
	return prior
}

// share gives a part's weight to its causes.
func (p *Posterior) share(q *part) {
	p.causes[CauseSetUpRight] += q.right
	rest := q.weight - q.right
	switch {
	case q.branch.none && q.second == nil:
		p.causes[CauseDepthOff] += rest
	case q.second == nil:
		p.causes[q.branch.cause] += rest
	default:
		p.causes[q.branch.cause] += rest / 2
		p.causes[q.second.cause] += rest / 2
	}
}

// spoils reports whether a part's fault, of the size that explains best, spoils
// a joint by something else than its play.
func (q *part) spoils(m *model) bool {
	e := m.effectOf(q.forecast, q.branch.mean+q.size*q.branch.sd)
	at, ok := m.geometry.at(&e)
	if !ok {
		return true
	}
	null := &m.asTold
	seat := m.seatOf(&at) - m.seatAsTold + math.Abs(at.slopeSeat)
	edge := math.Abs(at.value(seeEdge, where{})-null.value(seeEdge, where{})) + math.Abs(at.slopeEdg)
	shoulder := at.value(seeShoulder, where{}) - null.value(seeShoulder, where{})
	return seat > tolerableSeatIn || seat < -tolerableSeatProud || edge > tolerableEdge ||
		math.Abs(shoulder) > tolerableShoulder || q.branch.cause == CauseLapBroken
}

// Share is one cause and its probability.
type Share struct {
	Code               Code
	Prior, Probability float64
}

// Causes returns all causes, the likeliest first; equals in the order of the
// contract. Their probabilities sum to 1.
func (p *Posterior) Causes() []Share {
	prior := p.m.priorOfCauses()
	all := make([]Share, CauseCount)
	for c := range all {
		all[c] = Share{Code(c), prior[c], p.causes[c]}
	}
	slices.SortStableFunc(all, func(a, b Share) int { return cmp.Compare(b.Probability, a.Probability) })
	return all
}

// Setup returns the set-up with its gaps filled, at the depth set now, and what
// was missing of it.
func (p *Posterior) Setup() (joint.Setup, Missing) { return p.m.filled.setup, p.m.filled.missing }

// SettingPlay returns the standard uncertainty of play, mm, that setting the
// next depth leaves, and that of the change of play with each mm of depth from
// the latest joint's on.
func (p *Posterior) SettingPlay() (setting, perDepth float64) {
	return p.m.perDepth * p.m.settingSD, p.m.tiltSD
}

// Told returns the finding's answer, as told or as a feel implies it.
func (p *Posterior) Told(f Finding) Answer { return p.m.findings[f] }

// PlayInTarget returns the chance that the latest joint's play is within the
// target.
func (p *Posterior) PlayInTarget() float64 {
	sum := 0.0
	for i := range p.parts {
		sum += min(p.parts[i].inTarget, 1)
	}
	return min(1, sum)
}

// FeltWrong returns the chance that the latest joint's feel was told wrongly.
func (p *Posterior) FeltWrong() float64 {
	sum := 0.0
	for i := range p.parts {
		sum += p.parts[i].feltWrong
	}
	return min(1, sum)
}

// MisreadShare is the chance that something that was told is misread.
type MisreadShare struct {
	Evidence
	Chance float64
}

// Misread returns what was read or felt of the latest joint and of tools, the
// most doubtful first.
func (p *Posterior) Misread() []MisreadShare {
	var all []MisreadShare
	if p.m.latest.index >= p.m.own && p.m.latest.feel != FeelNone { // of this session, not a record's
		e := Evidence{Cut: p.m.latest.index - p.m.own, Place: Whole, Seen: SeenFeel}
		all = append(all, MisreadShare{e, p.FeltWrong()})
	}
	for i := range p.m.readings {
		e := p.m.readings[i].Evidence
		if e.Cut >= 0 {
			if e.Cut -= p.m.own; e.Cut < 0 { // a record's
				continue
			}
		}
		all = append(all, MisreadShare{e, min(1, p.misread[i])})
	}
	slices.SortStableFunc(all, func(a, b MisreadShare) int { return cmp.Compare(b.Chance, a.Chance) })
	return all
}

// WidthsKnown reports whether widths, and not only play, follow from the
// template.
func (p *Posterior) WidthsKnown() bool { return p.m.filled.widths }
