package parts

import (
	"cmp"
	"math"
	"slices"

	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/joint/recommend"
)

// MostTestJoints bounds the test joints that one set-up is expected to take.
// 1/chance counts as if nothing was learned from a joint that does not fit;
// but each tells the next depth, and in a simulated workshop (service/callers) 91
// of 100 set-ups fit with the second joint. Judgement.
const MostTestJoints = 3

// TestPieceLength is what a test piece needs to be clamped and held, mm.
// Judgement.
const TestPieceLength = 200

// Setup is one setting of router, stops and cutter, and what is cut with it.
type Setup struct {
	Cutter int // index of Plan.Cutters
	Depth  joint.Depth
	Stops
	// Prediction is of the joint with the thinnest pin board.
	Prediction *joint.Prediction
	// Moved is why its depth is not the one that gives the target's play; nil where
	// nothing moved it.
	Moved   *recommend.Refusal
	Drawers []int // indexes of Job.Drawers
	Joints  int
	// TestJoints are to be expected: 1/chance of a first-time fit, at most
	// MostTestJoints, for the first pair of boards and one for every further;
	// one for the first too where cutter and depth stay as they were.
	TestJoints float64
	first      float64 // of the first pair
	pairs      []pair
}

// Stops are how far the jig's stops are moved for fronts that are lipped, which
// are cut by themselves; zero for all others. The lip lies below the template,
// and the ends that the cutter meets, those of the rabbet, have to stand where
// other fronts end: so each front comes further forward, towards the operator,
// by its lip. Its bottom edge meets a side stop: where the lip runs along it, the
// stop moves outwards by the lip, so that pins are measured from the drawer's own
// bottom edge; where it does not, it stays.
type Stops struct {
	Lip  length.Length // that the front stands further forward
	Side length.Length // that both side stops move outwards
}

// stops for a lipped front.
func (l Lip) stops() Stops {
	if !l.Given {
		return Stops{}
	}
	return Stops{Lip: l.ends(), Side: l.bottom()}
}

// pair is the boards of a test joint: stock of pin board and of tail board.
type pair struct {
	pin, tail int
	height    length.Length // of the highest drawer
}

// corner is the joint at one end of a drawer.
func (p *planner) corner(m *maker, n *need, end End) (Corner, error) {
	of := n.prediction(end)
	s := of.Joint.Setup()
	c := Corner{Known: true, Depth: s.Depth, Height: m.height(end), Joint: of}
	var err error
	c.Layout, err = p.layout(m, of, end)
	return c, err
}

// enter enters a corner into its set-up.
func (p *planner) enter(m *maker, n *need, c *Corner, end End) {
	stops, pin := Stops{}, m.d.BackFrom
	if end == AtFront {
		stops, pin = m.d.Lip.stops(), m.d.Front
	}
	c.Setup = p.setup(n.chosen, c.Depth, stops)
	s := &p.plan.Setups[c.Setup]
	s.add(m, c, pin)
	s.Moved = cmp.Or(s.Moved, n.ends[end].options[n.chosen].moved)
}

func lap(of *joint.Prediction) length.Length {
	l, _ := of.Joint.Lap() // known: every board has a thickness
	return l
}

// setup finds a set-up, or begins it.
func (p *planner) setup(cutter int, depth joint.Depth, stops Stops) int {
	wanted := Setup{Cutter: cutter, Depth: depth, Stops: stops}
	i := slices.IndexFunc(p.plan.Setups, func(s Setup) bool { return s.Stops == stops && sameCut(&s, &wanted) })
	if i >= 0 {
		return i
	}
	p.plan.Setups = append(p.plan.Setups, wanted)
	return len(p.plan.Setups) - 1
}

func same(a, b length.Length) bool { return math.Abs((a - b).MM()) < length.Resolution }

// add enters two corners, left and right, of a row of drawers.
func (s *Setup) add(m *maker, c *Corner, pin int) {
	if s.Prediction == nil || lap(c.Joint) < lap(s.Prediction) {
		s.Prediction = c.Joint
	}
	s.Joints += 2 * m.d.Count
	i := slices.IndexFunc(s.pairs, func(p pair) bool { return p.pin == pin && p.tail == m.d.Sides })
	if i < 0 {
		s.pairs = append(s.pairs, pair{pin: pin, tail: m.d.Sides})
		i = len(s.pairs) - 1
	}
	s.pairs[i].height = max(s.pairs[i].height, c.Height)
}

// orderSetups puts set-ups into the order of work: the cutter with the most
// joints first, so that each is fitted once, then the shallower depth, then
// fronts without a lip.
func (p *planner) orderSetups() {
	joints := make([]int, len(p.plan.Cutters))
	for i := range p.plan.Setups {
		joints[p.plan.Setups[i].Cutter] += p.plan.Setups[i].Joints
	}
	order := make([]int, len(p.plan.Setups))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		x, y := &p.plan.Setups[a], &p.plan.Setups[b]
		return cmp.Or(
			-cmp.Compare(joints[x.Cutter], joints[y.Cutter]), cmp.Compare(x.Cutter, y.Cutter),
			cmp.Compare(x.Depth.PinBoard.Rounded(), y.Depth.PinBoard.Rounded()),
			cmp.Compare(x.Depth.TailBoard.Rounded(), y.Depth.TailBoard.Rounded()),
			cmp.Compare(x.Lip, y.Lip), cmp.Compare(x.Side, y.Side))
	})
	p.renumber(order)
}

func (p *planner) renumber(order []int) {
	setups, place := make([]Setup, len(order)), make([]int, len(order))
	for to, from := range order {
		setups[to], place[from] = p.plan.Setups[from], to
		setups[to].expect(p.job.Stock, to > 0 && sameCut(&setups[to], &setups[to-1]))
	}
	p.plan.Setups = setups
	for i := range p.plan.Drawers {
		made := &p.plan.Drawers[i]
		for _, corner := range []*Corner{&made.Front, &made.Back} {
			if !corner.Known {
				continue
			}
			corner.Setup = place[corner.Setup]
			s := &setups[corner.Setup]
			if n := len(s.Drawers); n == 0 || s.Drawers[n-1] != i {
				s.Drawers = append(s.Drawers, i)
			}
		}
	}
}

// sameCut reports whether only the stops differ.
func sameCut(a, b *Setup) bool {
	return a.Cutter == b.Cutter && same(a.Depth.PinBoard.Length, b.Depth.PinBoard.Length) && same(a.Depth.TailBoard.Length, b.Depth.TailBoard.Length)
}

// expect counts the test joints to expect.
func (s *Setup) expect(stock []Stock, sameCut bool) {
	s.pairs = distinct(s.pairs, stock)
	s.first = 1
	if !sameCut {
		s.first = firstJoints(s.Prediction.Fit.InTarget)
	}
	s.TestJoints = s.first + float64(len(s.pairs)-1)
}

// firstJoints is 1/chance, from 1 to MostTestJoints.
func firstJoints(chance float64) float64 {
	if chance*MostTestJoints <= 1 {
		return MostTestJoints
	}
	return 1 / chance
}

// distinct merges pairs of stock that is alike.
func distinct(pairs []pair, stock []Stock) []pair {
	var all []pair
	for _, p := range pairs {
		i := slices.IndexFunc(all, func(q pair) bool {
			return stock[q.pin].alike(&stock[p.pin]) && stock[q.tail].alike(&stock[p.tail])
		})
		if i < 0 {
			all = append(all, p)
			continue
		}
		all[i].height = max(all[i].height, p.height)
	}
	return all
}

// Changes counts changes from one set-up to the next, and those of them that
// change the cutter.
func (p *Plan) Changes() (setups, cutters int) {
	for i := 1; i < len(p.Setups); i++ {
		setups++
		if p.Setups[i].Cutter != p.Setups[i-1].Cutter {
			cutters++
		}
	}
	return setups, cutters
}

// TestStock is what to set aside of one wood and thickness for test joints.
type TestStock struct {
	Stock     Stock
	From      []int // indexes of Job.Stock that are alike
	Pins      int   // pieces to be cut as pin boards
	Tails     int   // pieces to be cut as tail boards
	Length    length.Length
	Width     length.Length // of the widest piece
	LengthAll length.Length
}

// testStock sets aside the pieces of every set-up's test joints, whole pieces.
func (p *planner) testStock() {
	for i := range p.plan.Setups {
		s := &p.plan.Setups[i]
		for k, pair := range s.pairs {
			pieces := 1
			if k == 0 {
				const slack = 1e-9 // a whole number of joints is no more than that
				pieces = int(math.Ceil(s.first - slack))
			}
			pins, tails := p.testStockOf(pair.pin, pair.height), p.testStockOf(pair.tail, pair.height)
			p.plan.TestStock[pins].Pins += pieces
			p.plan.TestStock[tails].Tails += pieces
		}
	}
	for i := range p.plan.TestStock {
		t := &p.plan.TestStock[i]
		t.LengthAll = length.Length(t.Pins+t.Tails) * t.Length
	}
}

func (p *planner) testStockOf(stock int, height length.Length) int {
	i := slices.IndexFunc(p.plan.TestStock, func(t TestStock) bool { return t.Stock.alike(&p.job.Stock[stock]) })
	if i < 0 {
		t := TestStock{Stock: p.job.Stock[stock], Length: TestPieceLength}
		for k, other := range p.job.Stock {
			if other.alike(&t.Stock) {
				t.From = append(t.From, k)
			}
		}
		p.plan.TestStock = append(p.plan.TestStock, t)
		i = len(p.plan.TestStock) - 1
	}
	p.plan.TestStock[i].Width = max(p.plan.TestStock[i].Width, height)
	return i
}
