// Package diagnose is chapter 10: what is wrong.
//
// A cause is a hypothesis about which stated fact is not so. Each has a prior
// and a distribution of sizes, and predicts all that can be seen of a joint
// through the joint model:
//
//	P(cause | seen) ~ P(cause) * integral P(seen | cause, size) P(size | cause) dsize
//
// Effects are near-linear in the size and in the tolerances that are always
// behind it, so the integral over both is that of a normal distribution. Feels
// say in which range play lies; their integrals are those of a normal
// distribution between soft edges. Discrete sizes (another standard bushing,
// another standard cutter) are summed over.
//
//	codes.go      causes, checks and findings
//	tables.go     how often, how many minutes, what shows in what: judgement
//	model.go      a case with its gaps filled, and its tolerances
//	causes.go     what each cause does, and how large it may be
//	predict.go    what would be seen under a cause of a given size
//	observe.go    what was seen, as readings and ranges
//	normal.go     the integral over tolerances and size
//	ranges.go     the integral of feels
//	next.go       which check tells most for its minutes
//	explain.go    what a cause explains and what it does not
//	cure.go       what to do about it
package diagnose

import (
	"cmp"
	"math"
	"slices"

	"snugtail/joint"
	"snugtail/joint/learn"
	"snugtail/joint/length"
)

// Case is a call for help. Any part of the set-up may be missing: a size that
// is not Given, an Angle of 0, a template with neither openings nor allowance.
type Case struct {
	Setup    joint.Setup
	Cuts     []Cut
	Findings Findings
	Answered Checks // made already, and not asked for again
	// Unavailable checks can't be made here, for want of a tool or of time;
	// they are not asked for, and nothing follows from that.
	Unavailable Checks
	Target      joint.Target
	Bands       joint.Bands
}

// Cut is one test joint. Its depth may be missing: then it is the set-up's.
type Cut struct {
	learn.TestCut
	Along []Place
}

// Place is what was seen at one place along the joint. Its own depth does not
// count.
type Place struct {
	Position length.Length // along +x from the joint's left-hand edge
	learn.TestCut
}

// Diagnosis is the answer.
type Diagnosis struct {
	// Causes, the likeliest first; their probabilities sum to 1.
	Causes []Cause
	// Next is the check that tells most for its minutes; none where all that
	// are open have been made.
	Next    Advice
	HasNext bool
	// Unexplained: not even the likeliest cause, of whatever size, agrees with
	// what was seen. Misfits says with what.
	Unexplained bool
	Misfits     []Evidence
	// Stated is the play that the sizes as stated give, where they all are.
	Stated      length.Length
	StatedKnown bool
	Missing     Missing
}

// Cause is one cause and what follows from it.
type Cause struct {
	Code        Code
	Prior       float64 // before anything was seen
	Probability float64
	// Size that explains best: see Kind.
	Size Size
	// Measured is true where what is stated was measured: then the size in use
	// is the one stated, and another was wanted.
	Measured    bool
	Explains    []Evidence
	NotExplains []Evidence
	Check       Check // the check that shows this cause best
	Steps       []Step
}

// SizeKind says what a cause's size is a size of.
type SizeKind uint8

// Kinds of size.
const (
	SizeNone     SizeKind = iota
	SizeBushing           // diameter of the bushing
	SizeCutter            // diameter of the cutter
	SizeAngle             // angle of the cutter
	SizeDepth             // added to the depth of cut
	SizeTail              // depth of the tail board less that of the pin board
	SizeOffset            // of the axes
	SizePlay              // added to play
	SizeSeat              // added to the seat
	SizeEdge              // added to the edge step
	SizeTilt              // how much higher the template stood at one end
	SizeHollow            // hollow or crown of a board
	SizeThick             // added to the tail board's thickness
	SizeShoulder          // how far the shoulder is held open at one end
)

// Size of a cause: Length or, for SizeAngle, Angle; Against is the size that
// was stated or, where that one was measured, wanted.
type Size struct {
	Kind         SizeKind
	Length       length.Length
	Angle        joint.Angle
	Against      length.Length
	AgainstAngle joint.Angle
	Spread       float64 // standard uncertainty of the size, mm or degrees
}

// Of returns what is wrong. Errors are *joint.Impossible for a set-up that is
// stated in full and cannot be cut, as *learn.CutError for a test cut's depth.
func Of(c Case) (Diagnosis, error) {
	m, err := newModel(c)
	if err != nil {
		return Diagnosis{}, err
	}
	parts := m.weigh()
	d := Diagnosis{Missing: m.missing}
	d.Causes = m.ranked(parts)
	d.Stated, d.StatedKnown = length.Length(m.statedPlay), !m.missing.any()
	d.Next, d.HasNext = m.next(parts)
	d.Unexplained, d.Misfits = m.misfit(parts, d.Causes[0].Code)
	return d, nil
}

// part is one branch with all that was seen taken in.
type part struct {
	branch
	logWeight float64 // log P(branch) P(seen | branch)
	weight    float64 // its share; all parts sum to 1
	fit       posterior
}

// weigh returns every branch of every cause with its share.
func (m *model) weigh() []part {
	parts := make([]part, 0, len(m.branches))
	for i := range m.branches {
		b := &m.branches[i]
		if b.weight == 0 {
			continue
		}
		if p, ok := m.takeIn(*b); ok {
			p.logWeight += math.Log(b.weight) + m.logFindings(b.cause)
			parts = append(parts, p)
		}
	}
	share(parts)
	m.settle(parts)
	return parts
}

// worthSettling is the share from which a branch is taken in a second time,
// linear now about the size that explains best.
const worthSettling = 1e-3

func (m *model) settle(parts []part) {
	for i := range parts {
		if p := &parts[i]; p.sd > 0 && p.weight >= worthSettling {
			m.settleOne(p)
		}
	}
	share(parts)
}

// settledWithin is how far the size that explains best may move once more, in
// standard deviations of the branch's; further, and the effect is no line there.
const settledWithin = 0.5

func (m *model) settleOne(p *part) {
	b := p.branch
	b.tangent = p.settledTangent()
	if b.tangent.about*b.mean <= 0 { // the other way: another branch's size
		return
	}
	settled, ok := m.takeIn(b)
	if !ok {
		return
	}
	if size, _ := settled.sizeOf(); math.Abs(size-b.tangent.about) > settledWithin*b.sd {
		return
	}
	settled.logWeight += math.Log(b.weight) + m.logFindings(b.cause)
	*p = settled
}

func share(parts []part) {
	best := math.Inf(-1)
	for i := range parts {
		best = math.Max(best, parts[i].logWeight)
	}
	sum := 0.0
	for i := range parts {
		parts[i].weight = math.Exp(parts[i].logWeight - best)
		sum += parts[i].weight
	}
	for i := range parts {
		parts[i].weight /= sum
	}
}

func (m *model) logFindings(code Code) float64 {
	sum := 0.0
	for f, a := range m.findings {
		sum += math.Log(code.chance(Finding(f), a))
	}
	return sum
}

// misled is how often what was told misleads altogether, a size misread or a
// word misunderstood; then all is as likely as before. Judgement.
const misled = 0.015

// ranked returns all causes, the likeliest first; equals in the order of the
// contract.
func (m *model) ranked(parts []part) []Cause {
	causes := make([]Cause, CauseCount)
	for code := range causes {
		causes[code] = Cause{Code: Code(code), Prior: m.prior[code], Probability: misled * m.prior[code]}
	}
	for i := range parts {
		causes[parts[i].cause].Probability += (1 - misled) * parts[i].weight
	}
	for code := range causes {
		if best := bestOf(parts, Code(code)); best != nil {
			m.describe(&causes[code], best)
		}
	}
	slices.SortStableFunc(causes, func(a, b Cause) int { return cmp.Compare(b.Probability, a.Probability) })
	return causes
}

// bestOf returns the part of a cause that explains best.
func bestOf(parts []part, code Code) *part {
	var best *part
	for i := range parts {
		if p := &parts[i]; p.cause == code && (best == nil || p.weight > best.weight) {
			best = p
		}
	}
	return best
}

func (m *model) describe(c *Cause, best *part) {
	c.Size = m.size(best)
	c.Measured = best.measured
	c.Check = usualCheck[c.Code]
	c.Explains, c.NotExplains = m.evidence(best)
	c.Steps = m.cure(best, c.Size)
}
