package parts

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"snugtail/joint"
	"snugtail/joint/belief"
	"snugtail/joint/length"
	"snugtail/joint/recommend"
)

// class is everything about a joint that decides which cutters serve it:
// joints of one class share their verdict.
type class struct {
	pin, tail length.Length
	groove    length.Length // 0 without
	behindLip length.Length // wood of a front behind its lip; 0 without a lip
	sawn      bool          // the depth is not the one that fits but
	at        length.Length // the one that sawn sides need
}

// option is one cutter for a class of joints.
type option struct {
	serves     bool
	rank       int                // among those that serve, 0 is best
	prediction *joint.Prediction  // nil where it was refused without one
	moved      *recommend.Refusal // where a limit moved the depth; see recommend.Choice
	refusal    Refusal            // where it does not serve
}

// verdict holds an option for every cutter at hand.
type verdict struct {
	options []option
	changes []recommend.Change
}

// chooser judges cutters, each class of joints once.
type chooser struct {
	job      *Job
	cutters  []joint.Cutter
	index    map[joint.Cutter]int
	verdicts map[class]*verdict
}

func newChooser(job *Job) *chooser {
	c := &chooser{job: job, cutters: job.AtHand(), verdicts: map[class]*verdict{}}
	c.index = make(map[joint.Cutter]int, len(c.cutters))
	for i, cutter := range c.cutters {
		c.index[cutter] = i
	}
	return c
}

// classes are those of a drawer's joints: at the front, and at a half-blind
// back.
func (m *maker) classes() []class {
	front := class{pin: m.tf, tail: m.ts}
	if m.d.Groove.Given {
		front.groove = m.d.Groove.Depth
	}
	if m.d.Sawn.Given {
		front.sawn, front.at = true, m.sawnDepth()
	}
	back := front
	if m.d.Lip.Given {
		front.behindLip = m.tf - m.d.Lip.Thickness
	}
	if m.d.Back.Joint != HalfBlindBack {
		return []class{front}
	}
	back.pin = m.tb
	return []class{front, back}
}

func (c *chooser) verdict(of class) (*verdict, error) {
	if v, ok := c.verdicts[of]; ok {
		return v, nil
	}
	v, err := c.judge(of)
	if err != nil {
		return nil, err
	}
	c.verdicts[of] = v
	return v, nil
}

// setup is the job's with the boards of a class.
func (c *chooser) setup(of class) joint.Setup {
	s := c.job.Setup
	s.PinBoard.Thickness, s.TailBoard.Thickness = length.Exactly(of.pin), length.Exactly(of.tail)
	s.PinBoard.Width, s.TailBoard.Width = length.Size{}, length.Size{}
	s.PinBoard.GrooveDepth = length.Size{}
	if of.groove > 0 {
		s.PinBoard.GrooveDepth = length.Exactly(of.groove)
	}
	return s
}

func (c *chooser) judge(of class) (*verdict, error) {
	if of.sawn || c.job.depthStated() {
		return c.judgeAtDepth(of)
	}
	result, err := recommend.CuttersBy(c.job.Observer, c.setup(of), c.cutters, c.job.Target, c.job.Bands, c.job.Earlier...)
	if err != nil {
		return nil, fmt.Errorf("choosing a cutter: %w", err)
	}
	v := &verdict{options: make([]option, len(c.cutters)), changes: result.Changes}
	for rank := range result.Choices {
		choice := &result.Choices[rank]
		o := of.option(&choice.Prediction, rank)
		o.moved = choice.Moved
		v.options[c.index[choice.Cutter]] = o
	}
	for _, r := range result.Refused {
		v.options[c.index[r.Cutter]] = option{refusal: Refusal{Reason: ReasonNoCutter, Cutter: r}}
	}
	return v, nil
}

// option serves unless it cuts into the lip: the cutter comes in over the lip
// and must not be deeper than the wood behind it.
func (of class) option(p *joint.Prediction, rank int) option {
	o := option{serves: true, rank: rank, prediction: p}
	s := p.Joint.Setup()
	if h := s.Depth.PinBoard.Length; of.behindLip > 0 && (h-of.behindLip).Rounded() > 0 {
		o.serves = false
		o.refusal = Refusal{Reason: ReasonIntoLip, Part: Front, Value: h, Limit: of.behindLip, Cutter: recommend.Refusal{Cutter: s.Cutter, Depth: h}}
	}
	return o
}

// judgeAtDepth judges every cutter at the depth that sawn sides need, or else
// at the set-up's own.
func (c *chooser) judgeAtDepth(of class) (*verdict, error) {
	v := &verdict{options: make([]option, len(c.cutters))}
	for i, cutter := range c.cutters {
		if c.job.Observer != nil && c.job.Observer.Stopped() {
			return nil, belief.ErrStopped
		}
		s := c.setup(of)
		s.Cutter = cutter
		if of.sawn {
			s = s.AtDepth(of.at)
		}
		var err error
		if v.options[i], err = c.atDepth(of, s); err != nil {
			return nil, err
		}
	}
	v.rankByChance()
	return v, nil
}

func (c *chooser) atDepth(of class, s joint.Setup) (option, error) {
	depth := s.Depth.PinBoard.Length
	refused := func(r recommend.Refusal) option {
		r.Cutter, r.Depth = s.Cutter, depth
		return option{refusal: Refusal{Reason: ReasonNoCutter, Cutter: r}}
	}
	if least := engaged(s.Depth); least.Rounded() < recommend.LeastDepth {
		return refused(recommend.Refusal{Obstacle: recommend.ObstacleTooShallow}), nil
	}
	_, err := joint.New(s)
	var impossible *joint.Impossible
	if errors.As(err, &impossible) {
		return refused(recommend.Refusal{Obstacle: recommend.ObstacleImpossible, Impossible: impossible}), nil
	}
	p, err := c.predict(s)
	if err != nil {
		return option{}, fmt.Errorf("at a depth of %g mm: %w", depth.MM(), err)
	}
	if limit, broken := p.Limits.Furthest(); broken {
		o := refused(recommend.Refusal{Obstacle: recommend.ObstacleLimit, Limit: limit})
		o.prediction = &p
		return o, nil
	}
	if of.sawn && !c.job.Target.Holds(p.Fit.Play) {
		o := refused(recommend.Refusal{})
		o.refusal.Reason, o.refusal.Value, o.refusal.Limit = ReasonSawnPlay, p.Fit.Play, c.job.missed(p.Fit.Play)
		o.prediction = &p
		return o, nil
	}
	return of.option(&p, 0), nil
}

// predict takes in what earlier sessions taught, of a joint that can be cut.
func (c *chooser) predict(s joint.Setup) (joint.Prediction, error) {
	if len(c.job.Earlier) > 0 {
		o := c.job.Observer
		if o == nil {
			o = belief.Default()
		}
		taught, err := o.Taught(s, c.job.Earlier, c.job.Target, c.job.Bands)
		if err != nil {
			return joint.Prediction{}, fmt.Errorf("learning from earlier sessions: %w", err)
		}
		s.Offset = taught.Offset
	}
	p, err := joint.Predict(s, c.job.Target, c.job.Bands)
	if err != nil {
		return joint.Prediction{}, fmt.Errorf("predicting: %w", err)
	}
	return p, nil
}

// missed is the end of the target that a play lies beyond.
func (j *Job) missed(play length.Length) length.Length {
	if play < j.Target.From {
		return j.Target.From
	}
	return j.Target.To
}

// rankByChance ranks those that serve by the chance of a fit, to a hundredth.
func (v *verdict) rankByChance() {
	order := make([]int, 0, len(v.options))
	for i := range v.options {
		if v.options[i].serves {
			order = append(order, i)
		}
	}
	chance := func(i int) float64 { return math.Round(100 * v.options[i].prediction.Fit.InTarget) }
	slices.SortStableFunc(order, func(a, b int) int { return -cmp.Compare(chance(a), chance(b)) })
	for rank, i := range order {
		v.options[i].rank = rank
	}
}

// refuses reports whether any cutter does not serve.
func (v *verdict) refuses() bool {
	return slices.ContainsFunc(v.options, func(o option) bool { return !o.serves })
}

// serves reports whether any cutter does.
func (v *verdict) serves() bool {
	return slices.ContainsFunc(v.options, func(o option) bool { return o.serves })
}

// nearest returns the refusal of the cutter that misses by least.
func (v *verdict) nearest() Refusal {
	var best *Refusal
	for i := range v.options {
		if o := &v.options[i]; !o.serves && (best == nil || o.refusal.miss() < best.miss()) {
			best = &o.refusal
		}
	}
	r := *best
	r.Changes = v.changes
	return r
}

// miss is by how much a cutter misses, in mm; +Inf where that can't be told.
func (r *Refusal) miss() float64 {
	switch {
	case r.Reason == ReasonIntoLip:
		return (r.Value - r.Limit).MM()
	case r.Reason == ReasonSawnPlay:
		return math.Abs((r.Value - r.Limit).MM())
	case r.Cutter.Obstacle == recommend.ObstacleLimit:
		return -r.Cutter.Limit.Margin.MM()
	case r.Cutter.Obstacle == recommend.ObstacleImpossible:
		return r.Cutter.Impossible.Value - r.Cutter.Impossible.Limit + joint.LeastLap
	}
	return math.Inf(1)
}

// need is the joints of one row of drawers, at the front and at a half-blind
// back, and the cutter chosen for them.
type need struct {
	ends   []*verdict
	chosen int
	count  int
	stops  Stops  // for the front
	pairs  []pair // the boards of each end
}

// prediction is the joint chosen for an end.
func (n *need) prediction(end End) *joint.Prediction {
	return n.ends[end].options[n.chosen].prediction
}

// depths are those at front and back; the latter is that of the front where
// there is no half-blind joint.
func (n *need) depths() (front, back joint.Depth) {
	f, b := n.prediction(AtFront).Joint.Setup(), n.prediction(End(len(n.ends)-1)).Joint.Setup()
	return f.Depth, b.Depth
}

func (n *need) servedBy(cutter int) bool {
	for _, v := range n.ends {
		if !v.options[cutter].serves {
			return false
		}
	}
	return true
}

func (n *need) rank(cutter int) (sum int) {
	for _, v := range n.ends {
		sum += v.options[cutter].rank
	}
	return sum
}

// refusal is that of the first end which no cutter serves; nil where one serves
// every end. All that tells the ends of a drawer apart is how deep a cutter may go,
// in the lap and behind a lip; so what serves the end with less wood mostly serves
// the other too.
func (c *chooser) refusal(n *need) *Refusal {
	for cutter := range c.cutters {
		if n.servedBy(cutter) {
			return nil
		}
	}
	end := slices.IndexFunc(n.ends, func(v *verdict) bool { return !v.serves() })
	if end < 0 { // each end by other cutters
		end = slices.IndexFunc(n.ends, func(v *verdict) bool { return v.refuses() })
	}
	r := n.ends[end].nearest()
	r.End = End(end)
	return &r
}
