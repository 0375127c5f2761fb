package parts

import (
	"snugtail/joint"
	"snugtail/joint/length"
)

// Total is what the parts take of one stock, finished sizes without waste.
// Test pieces come on top.
type Total struct {
	Pieces int
	Amount
	Rough Amount // as sawn out; zero where no allowance was given
}

// Amount is how much of one stock.
type Amount struct {
	Length length.Length
	Area   float64 // mm^2
	Volume float64 // mm^3
}

// RoughAllowance is what is added to each finished size to saw a part out. The
// zero RoughAllowance is none.
type RoughAllowance struct {
	Given                    bool
	Length, Width, Thickness length.Length
}

// of returns the part as it is sawn out. Sheet materials are bought as thick as
// they are.
func (r *RoughAllowance) of(p *Part, m Material) RoughSize {
	thick := p.Thickness
	if m == Solid {
		thick += r.Thickness
	}
	return RoughSize{p.Length + r.Length, p.Width + r.Width, thick}
}

// RoughSize is a part as it is sawn out.
type RoughSize struct{ Length, Width, Thickness length.Length }

// Rates are an estimator's own minutes for each of what Labour counts. The
// zero Rates are none.
type Rates struct {
	Given                                         bool
	Setup, TestJoint, Joint, Opening, Metre, Part float64
}

// Labour is what is to be done, for an estimator.
type Labour struct {
	Drawers, Parts int
	Joints         int // half-blind corners
	Setups         int
	CutterChanges  int
	TestJoints     float64 // expected, of all set-ups
	// Openings are runs of the router into the template, and Cut the way that
	// the cutter travels in the wood: in and out of every socket, over the tail
	// board's thickness, and along the boards once for each pass,
	//
	//	2 ts sockets + passes H
	//
	// an estimate, judgement. Known where every joint could be laid out. Test
	// joints are not in them.
	Openings      int
	Cut           length.Length
	OpeningsKnown bool
	// Hours are known where rates were given, and all that they count.
	Hours      float64
	HoursKnown bool
}

func (p *planner) total() {
	p.plan.Totals = make([]Total, len(p.job.Stock))
	labour := &p.plan.Labour
	labour.OpeningsKnown = true
	for i := range p.plan.Drawers {
		made := &p.plan.Drawers[i]
		if made.Refusal != nil {
			continue
		}
		labour.Drawers += p.job.Drawers[i].Count
		for k := range made.Parts {
			labour.Parts += made.Parts[k].Count
			p.plan.Totals[made.Parts[k].Stock].add(&made.Parts[k])
		}
		for _, corner := range []*Corner{&made.Front, &made.Back} {
			if corner.Known {
				labour.add(corner, p.makers[i], p.passes())
			}
		}
	}
	p.testStock()
	labour.Setups = len(p.plan.Setups)
	_, labour.CutterChanges = p.plan.Changes()
	for i := range p.plan.Setups {
		labour.TestJoints += p.plan.Setups[i].TestJoints
	}
	labour.hours(&p.job.Rates)
}

// passes of the router along the template for one joint.
func (p *planner) passes() float64 {
	if p.job.Setup.Template.Kind == joint.TwoPosition {
		return 2
	}
	return 1
}

func (t *Total) add(p *Part) {
	t.Pieces += p.Count
	t.Amount.add(p.Count, RoughSize{p.Length, p.Width, p.Thickness})
	t.Rough.add(p.Count, p.Rough)
}

func (a *Amount) add(count int, size RoughSize) {
	n := float64(count)
	a.Length += length.Length(n) * size.Length
	area := n * size.Length.MM() * size.Width.MM()
	a.Area += area
	a.Volume += area * size.Thickness.MM()
}

// add counts the two corners, left and right, of a row of drawers.
func (l *Labour) add(c *Corner, m *maker, passes float64) {
	n := 2 * m.d.Count
	l.Joints += n
	if !c.Layout.Known {
		l.OpeningsKnown = false
		return
	}
	l.Openings += n * c.Layout.Openings
	travel := 2*m.ts.MM()*float64(c.Layout.Runs) + passes*c.Height.MM()
	l.Cut += length.Length(float64(n) * travel)
}

// hours is the sum of each count by its rate.
func (l *Labour) hours(r *Rates) {
	if !l.OpeningsKnown {
		l.Openings, l.Cut = 0, 0
		l.HoursKnown = r.Given && r.Opening == 0 && r.Metre == 0
	} else {
		l.HoursKnown = r.Given
	}
	if !l.HoursKnown {
		return
	}
	const mmPerMetre, minutesPerHour = 1000, 60
	l.Hours = (float64(l.Setups)*r.Setup + l.TestJoints*r.TestJoint + float64(l.Joints)*r.Joint +
		float64(l.Openings)*r.Opening + l.Cut.MM()/mmPerMetre*r.Metre + float64(l.Parts)*r.Part) / minutesPerHour
}
