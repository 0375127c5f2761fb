package parts

import (
	"errors"
	"fmt"
	"slices"

	"snugtail/joint"
	"snugtail/joint/belief"
	"snugtail/joint/layout"
	"snugtail/joint/length"
)

// Job is drawers to be made with one template and bushing.
type Job struct {
	// Setup is what the joints are cut with; its boards don't count.
	Setup joint.Setup
	// Cutters at hand. Without any it is the set-up's own, at its own depth
	// where that is stated.
	Cutters []joint.Cutter
	Target  joint.Target
	Bands   joint.Bands
	Earlier []belief.Session // with the same template, oldest first
	// Observer learns from them; nil is the default one.
	Observer *belief.Observer
	Stock    []Stock
	Drawers  []Drawer
	Rates    Rates
}

// ErrNoCutter is the error for a job without a cutter.
var ErrNoCutter = errors.New("parts: neither cutters at hand nor one in the set-up")

// AtHand returns the cutters to choose from, each once. Results name a cutter
// by its place in it.
func (j *Job) AtHand() []joint.Cutter {
	if len(j.Cutters) == 0 && j.Setup.Cutter.Diameter.Given {
		return []joint.Cutter{j.Setup.Cutter}
	}
	all := make([]joint.Cutter, 0, len(j.Cutters))
	for _, c := range j.Cutters {
		if !slices.Contains(all, c) {
			all = append(all, c)
		}
	}
	return all
}

// depthStated reports whether the depth is that of the set-up.
func (j *Job) depthStated() bool { return len(j.Cutters) == 0 && j.Setup.Depth.PinBoard.Given }

// Plan is the answer.
type Plan struct {
	Cutters   []joint.Cutter // as Job.AtHand returns them
	Drawers   []Made         // in the job's order
	Setups    []Setup        // in the order of work
	TestStock []TestStock
	Totals    []Total // for each of Job.Stock
	Labour    Labour
}

// Made is a row of drawers as it is made, or why it can't be.
type Made struct {
	Refusal *Refusal // nil where it can be made
	Parts   []Part
	Front   Corner
	Back    Corner // only with a half-blind back
	Sawn    Sawn
}

// Corner is the half-blind joint at one end of a drawer.
type Corner struct {
	Known  bool
	Setup  int // index of Plan.Setups
	Depth  joint.Depth
	Layout Layout
}

// Layout is what is seen of a joint's layout; known for templates that are
// known by their openings, and heights that can be laid out.
type Layout struct {
	Known    bool
	Pitches  int
	HalfPins bool
	Edge     length.Length // the smallest edge pin's root
	Groove   layout.Finding
	// Runs are the sockets routed, counted on both boards, and Openings the
	// openings of the template that guide the cutter to them.
	Runs, Openings int
}

// New plans the parts of a job. A drawer that can't be made is refused by
// itself. Errors are ErrNoCutter, and those of recommend.Cutters where earlier
// sessions don't stand for joints.
func New(job Job) (Plan, error) {
	c := newChooser(&job)
	if len(c.cutters) == 0 {
		return Plan{}, ErrNoCutter
	}
	p := &planner{job: &job, chooser: c}
	p.plan.Cutters, p.plan.Drawers = c.cutters, make([]Made, len(job.Drawers))
	if err := p.choose(); err != nil {
		return Plan{}, err
	}
	if err := p.make(); err != nil {
		return Plan{}, err
	}
	p.total()
	return p.plan, nil
}

// planner holds a plan while it is made.
type planner struct {
	job     *Job
	chooser *chooser
	plan    Plan
	makers  []*maker
	needs   []*need // nil where a drawer is refused for its own sizes
	layouts map[layoutKey]Layout
}

// choose refuses what can't be made and gives every other joint its cutter.
func (p *planner) choose() error {
	n := len(p.job.Drawers)
	p.makers, p.needs = make([]*maker, n), make([]*need, n)
	open := make([]*need, 0, n)
	for i := range p.job.Drawers {
		p.makers[i] = newMaker(&p.job.Drawers[i], p.job.Stock)
		if p.plan.Drawers[i].Refusal = p.makers[i].refusal(); p.plan.Drawers[i].Refusal != nil {
			continue
		}
		var err error
		if p.needs[i], err = p.need(p.makers[i]); err != nil {
			return fmt.Errorf("drawer %d: %w", i, err)
		}
		if p.plan.Drawers[i].Refusal = p.chooser.refusal(p.needs[i]); p.plan.Drawers[i].Refusal == nil {
			open = append(open, p.needs[i])
		}
	}
	p.chooser.choose(open)
	return nil
}

func (p *planner) need(m *maker) (*need, error) {
	n := &need{count: m.d.Count}
	for _, of := range m.classes() {
		v, err := p.chooser.verdict(of)
		if err != nil {
			return nil, err
		}
		n.ends = append(n.ends, v)
	}
	return n, nil
}

// make gives every drawer its parts, its set-ups and the news of sawn sides.
func (p *planner) make() error {
	p.layouts = map[layoutKey]Layout{}
	for i, m := range p.makers {
		made, n := &p.plan.Drawers[i], p.needs[i]
		var err error
		if m.d.Sawn.Given && n != nil {
			if made.Sawn, err = p.chooser.sawn(m, n, made.Refusal != nil); err != nil {
				return fmt.Errorf("drawer %d: %w", i, err)
			}
		}
		if made.Refusal != nil {
			continue
		}
		front, back := n.depths()
		made.Parts = m.parts(front, back)
		if made.Front, err = p.corner(m, n, AtFront); err != nil {
			return fmt.Errorf("drawer %d: %w", i, err)
		}
		if len(n.ends) > 1 {
			if made.Back, err = p.corner(m, n, AtBack); err != nil {
				return fmt.Errorf("drawer %d: %w", i, err)
			}
		}
	}
	p.orderSetups()
	return nil
}

// layoutKey is all that a joint's layout hangs on.
type layoutKey struct {
	joint  *joint.Prediction
	height length.Length
	groove Groove
}

// layout lays a joint out, every kind of joint once.
func (p *planner) layout(m *maker, of *joint.Prediction) (Layout, error) {
	key := layoutKey{of, m.d.Outside.Height, m.d.Groove}
	if known, ok := p.layouts[key]; ok {
		return known, nil
	}
	l, err := lay(key)
	if err != nil {
		return Layout{}, err
	}
	p.layouts[key] = l
	return l, nil
}

func lay(key layoutKey) (Layout, error) {
	s := key.joint.Joint.Setup()
	if !s.Template.KnownByOpenings() {
		return Layout{}, nil
	}
	g := key.groove
	l, err := layout.New(layout.Plan{
		Setup: s, Width: key.height,
		Groove: layout.Groove{Given: g.Given, FromBottom: g.FromBottom, Width: g.Width, Depth: g.Depth},
	})
	var refused *layout.Refused
	if errors.As(err, &refused) { // more pitches than a board of a drawer has
		return Layout{}, nil
	}
	if err != nil {
		return Layout{}, fmt.Errorf("laying out a joint %g mm high: %w", key.height.MM(), err)
	}
	sockets, pinSockets := len(l.PinBoard.TailSockets), len(l.TailBoard.PinSockets)
	openings := sockets + pinSockets
	if s.Template.Kind == joint.OnePiece { // one opening guides to a socket on either board
		openings = max(sockets, pinSockets)
	}
	return Layout{
		Known: true, Pitches: l.Pitches, HalfPins: l.HalfPins, Edge: l.SmallestEdgePin(), Groove: l.Groove,
		Runs: sockets + pinSockets, Openings: openings,
	}, nil
}
