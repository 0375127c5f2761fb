package parts

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"snugtail/joint"
	"snugtail/joint/belief"
	"snugtail/joint/layout"
	"snugtail/joint/length"
	"snugtail/joint/seasons"
	"snugtail/joint/wood"
)

// Job is drawers to be made with one template and bushing.
type Job struct {
	// Setup is what the joints are cut with; its boards don't count.
	Setup joint.Setup
	// Cutters at hand. Without any it is the set-up's own, at its own depth
	// where that is stated.
	Cutters []joint.Cutter
	Target  joint.Target
	// Climates of the house that the drawers live in; none stand for a heated
	// home's year, in which only wood of a known species is judged.
	Climates []wood.Climate
	Bands    joint.Bands
	Earlier  []belief.Session // with the same template, oldest first
	// Observer learns from them; nil is the default one.
	Observer *belief.Observer
	Stock    []Stock
	Drawers  []Drawer
	Rates    Rates
	Rough    RoughAllowance
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
	Cover     Cover
}

// Made is a row of drawers as it is made, or why it can't be.
type Made struct {
	Refusal *Refusal // nil where it can be made
	Outside Size     // by its rule of height
	Parts   []Part
	Front   Corner
	Back    Corner // only with a half-blind back
	Sawn    Sawn
	Seasons Seasons
	// Warnings are those of the whole drawer; its parts and corners have their own.
	Warnings []Warning
}

// Corner is the half-blind joint at one end of a drawer.
type Corner struct {
	Known  bool
	Setup  int // index of Plan.Setups
	Depth  joint.Depth
	Height length.Length // of the lower of its boards
	Layout Layout
	// Joint is the one that is cut there.
	Joint    *joint.Prediction
	Warnings []Warning
}

// Layout is what is seen of a joint's layout; known for templates that are
// known by their openings, and heights that can be laid out.
type Layout struct {
	Known    bool
	Pitches  int
	HalfPins bool
	Edge     length.Length // the smallest edge pin's root
	Nearest  layout.Nearest
	// StrongBelow and StrongAbove are the nearest heights below and above at which the edge
	// pins are strong; unknown where they are.
	StrongBelow, StrongAbove layout.Place
	Groove                   layout.Finding
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
	p := &planner{job: &job, chooser: c, drawers: slices.Clone(job.Drawers)}
	p.house()
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
	drawers []Drawer // the job's, by their rules of height
	plan    Plan
	moves   []moves // for each of Job.Stock

	climates []wood.Climate // the job's, or a heated home's
	extremes seasons.House
	trials   map[Instead]trial          // of the drawer that is looked at
	apartBy  map[apartKey]length.Length // play left in the worst season
	makers   []*maker
	needs    []*need // nil where a drawer is refused for its own sizes
	layouts  map[layoutKey]Layout
}

// choose refuses what can't be made and gives every other joint its cutter.
func (p *planner) choose() error {
	n := len(p.drawers)
	p.makers, p.needs = make([]*maker, n), make([]*need, n)
	open := make([]*need, 0, n)
	for i := range p.drawers {
		made := &p.plan.Drawers[i]
		made.Refusal = p.ruleHeight(&p.drawers[i])
		made.Outside = p.drawers[i].Outside
		p.makers[i] = newMaker(&p.drawers[i], p.job.Stock)
		if made.Refusal = cmp.Or(made.Refusal, p.makers[i].refusal()); made.Refusal != nil {
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
	p.plan.Cover = p.chooser.cover(open)
	return nil
}

func (p *planner) need(m *maker) (*need, error) {
	n := &need{count: m.d.Count, stops: m.d.Lip.stops(), pairs: []pair{{pin: m.d.Front, tail: m.d.Sides}, {pin: m.d.BackFrom, tail: m.d.Sides}}}
	for _, of := range m.classes() {
		v, err := p.chooser.verdict(of)
		if err != nil {
			return nil, err
		}
		n.ends = append(n.ends, v)
	}
	n.pairs = n.pairs[:len(n.ends)]
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
		if err := p.fill(made, m, n); err != nil {
			return fmt.Errorf("drawer %d: %w", i, err)
		}
		p.enter(m, n, &made.Front, AtFront)
		if made.Back.Known {
			p.enter(m, n, &made.Back, AtBack)
		}
		if err := p.warn(i); err != nil {
			return fmt.Errorf("drawer %d: %w", i, err)
		}
	}
	p.orderSetups()
	return nil
}

// fill makes a drawer's parts and joints.
func (p *planner) fill(made *Made, m *maker, n *need) (err error) {
	front, back := n.depths()
	made.Parts = m.parts(front, back)
	if rough := &p.job.Rough; rough.Given {
		for i := range made.Parts {
			made.Parts[i].Rough = rough.of(&made.Parts[i], m.stock[made.Parts[i].Stock].Material)
		}
	}
	if made.Front, err = p.corner(m, n, AtFront); err != nil {
		return err
	}
	if len(n.ends) > 1 {
		if made.Back, err = p.corner(m, n, AtBack); err != nil {
			return err
		}
	}
	made.Seasons = p.seasons(m)
	return nil
}

// ruleHeight sets a drawer's height by its rule.
func (p *planner) ruleHeight(d *Drawer) *Refusal {
	if d.HeightRule == ExactHeight {
		return nil
	}
	pitch, h := p.job.Setup.Template.Pitch.Length, d.Outside.Height
	ruled := layout.HalfPinsUp(h, pitch)
	if d.HeightRule == HalfPinsDown {
		ruled = layout.HalfPinsDown(h, pitch)
	}
	if h.Rounded() <= 0 {
		return nil // no room is refused for that
	}
	if ruled <= 0 {
		return &Refusal{Reason: ReasonNoHalfPins, Value: h, Limit: pitch}
	}
	d.Outside.Height = ruled
	d.Room.Height += h - ruled
	return nil
}

// layoutKey is all that a joint's layout hangs on.
type layoutKey struct {
	joint  *joint.Prediction
	height length.Length
	groove Groove
}

// layout lays a joint out, every kind of joint once.
func (p *planner) layout(m *maker, of *joint.Prediction, end End) (Layout, error) {
	key := layoutKey{of, m.height(end), m.d.Groove}
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
	plan := layout.Plan{
		Setup: s, Width: key.height,
		Groove: layout.Groove{Given: g.Given, FromBottom: g.FromBottom, Width: g.Width, Depth: g.Depth},
	}
	l, err := layout.New(plan)
	var refused *layout.Refused
	if errors.As(err, &refused) && refused.Quantity == layout.QuantityGroove {
		plan.Groove = layout.Groove{} // pins and tails are laid out all the same
		l, err = layout.New(plan)
	}
	if errors.As(err, &refused) { // more pitches than a board of a drawer has
		return Layout{}, nil
	}
	if err != nil {
		return Layout{}, fmt.Errorf("laying out a joint %g mm high: %w", key.height.MM(), err)
	}
	below, above := layout.StrongHeights(&l.Joint, key.height)
	sockets, pinSockets := len(l.PinBoard.TailSockets), len(l.TailBoard.PinSockets)
	openings := sockets + pinSockets
	if s.Template.Kind == joint.OnePiece { // one opening guides to a socket on either board
		openings = max(sockets, pinSockets)
	}
	return Layout{
		Known: true, Pitches: l.Pitches, HalfPins: l.HalfPins, Edge: l.SmallestEdgePin(), Groove: l.Groove,
		Nearest: l.Nearest, StrongBelow: below, StrongAbove: above,
		Runs: sockets + pinSockets, Openings: openings,
	}, nil
}
