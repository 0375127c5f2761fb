package belief

import (
	"math"
	"slices"

	"snugtail/joint"
	"snugtail/joint/length"
)

// Earlier sessions with the same template. One made with the very tools of the
// set-up counts as if its joints had been cut in this session. One made with
// others tells of the template, and of the tools that it shares: all its joints
// together are one reading of what these add to play, which is wrong where one
// of its own tools was not as stated.

// shared is the part of the set-up that another session's reading is about.
type shared struct {
	row             vector // of play by the unknowns shared, in units of their standard deviations
	cutter, bushing bool
	flank           float64 // derivative of play by the angle of a shared cutter
}

// SameTools reports whether two set-ups use the very same cutter and bushing:
// of the same id or, where neither has one, stated alike.
func SameTools(a, b *joint.Setup) bool { return sameCutter(a, b) && sameBushing(a, b) }

func sameCutter(a, b *joint.Setup) bool {
	if a.Cutter.ID != "" || b.Cutter.ID != "" {
		return joint.SamePiece(a.Cutter.ID, b.Cutter.ID)
	}
	return alike(a.Cutter.Diameter, b.Cutter.Diameter) && a.Cutter.Angle == b.Cutter.Angle && a.Cutter.Condition == b.Cutter.Condition
}

func sameBushing(a, b *joint.Setup) bool {
	if a.Bushing.ID != "" || b.Bushing.ID != "" {
		return joint.SamePiece(a.Bushing.ID, b.Bushing.ID)
	}
	return alike(a.Bushing.Diameter, b.Bushing.Diameter)
}

// asMilled is how far two sizes may differ and still be one, mm: what the
// conversion of units leaves.
const asMilled = 1e-4

func alike(a, b length.Size) bool {
	return a.Given == b.Given && math.Abs((a.Length-b.Length).MM()) < asMilled
}

// inOneGo returns the case with the joints of sessions made with its own tools
// put before its own, seats and edges left out, since the template was clamped
// anew; and the sessions that are left.
func (c *Case) inOneGo() (Case, []int) {
	if len(c.Earlier) == 0 {
		return *c, nil
	}
	one := *c
	var own []Cut
	var others []int
	for i := range c.Earlier {
		s := &c.Earlier[i]
		if !SameTools(&s.Setup, &c.Setup) {
			others = append(others, i)
			continue
		}
		for k := range s.Cuts {
			cut := s.Cuts[k]
			if !cut.Depth.PinBoard.Given {
				cut.Depth = s.Setup.Depth
			}
			cut.Seat, cut.EdgeStep, cut.TemplateAt, cut.SideStopAt, cut.Along = length.Size{}, length.Size{}, length.Size{}, length.Size{}, nil
			own = append(own, cut)
		}
	}
	one.Cuts = slices.Concat(own, c.Cuts)
	return one, others
}

// lesson is what the joints of a session say by themselves that its set-up adds
// to play.
type lesson struct {
	mean, sd float64
	told     bool   // anything was
	row      vector // derivative of play by what lasts, of that session
	err      error
}

// lessonOf weighs a session by itself.
func (t *tables) lessonOf(s *Session, target joint.Target, bands joint.Bands) (l lesson) {
	if _, l.err = joint.New(s.Setup); l.err != nil {
		return l
	}
	m, err := newModel(&Case{Setup: s.Setup, Cuts: s.Cuts, Bands: bands, Target: target}, t)
	if err != nil {
		return lesson{err: err}
	}
	l.mean, l.sd, l.told = m.playTaught()
	l.row = m.playRow
	return l
}

// readSessions takes in sessions made with other tools.
func (m *model) readSessions(c *Case, others []int) error {
	for _, i := range others {
		var l lesson
		if c.lessons != nil {
			l = c.lessons[i]
		} else {
			l = m.tables.lessonOf(&c.Earlier[i], m.target, m.bands)
		}
		if l.err != nil {
			return &SessionError{i, l.err}
		}
		if l.told {
			m.readSession(&c.Earlier[i].Setup, &l)
		}
	}
	return nil
}

func (m *model) readSession(is *joint.Setup, l *lesson) {
	r := reading{
		Evidence: Evidence{Cut: Whole, Place: Whole, Seen: SeenRecord}, value: l.mean,
		misread: m.priors.Misread[ReadRecord], shared: &shared{cutter: sameCutter(is, &m.filled.setup), bushing: sameBushing(is, &m.filled.setup)},
	}
	r.shared.row = m.playRow
	variance := l.sd * l.sd
	drop := func(i int) {
		r.shared.row[i] = 0
		variance += square(l.row[i])
	}
	drop(ofDepth)
	if !r.shared.cutter {
		drop(ofCutter)
		drop(ofAngle)
	}
	if !r.shared.bushing {
		drop(ofBushing)
	}
	r.shared.flank = -m.flank() * m.latest.depth.Deeper().MM()
	r.u = math.Sqrt(variance)
	m.readings = append(m.readings, r)
}

// widely is the standard deviation of what a session's joints may teach, mm.
const widely = 1.5

// playTaught returns what the joints of a session say by themselves that its
// set-up adds to play, whatever its sizes.
func (m *model) playTaught() (mean, sd float64, ok bool) {
	const reach, steps = 5.0, 500
	all := m.earlier
	if m.latest.seen {
		all = append(slices.Clip(all), m.older(m.latest.index))
	}
	told := make([]float64, steps+1)
	row := make([]float64, steps+1)
	for i := range all {
		o := &all[i]
		if !o.tells() {
			continue
		}
		ok = true
		clear(row)
		o.curve(o.settingSD, 1).on(row, o.nominal-reach, 2*reach/steps)
		for k, p := range row {
			told[k] += math.Log((1-m.priors.Odd)*p + m.priors.Odd*0.05)
		}
	}
	if !ok {
		return 0, 0, false
	}
	most := slices.Max(told)
	sum, squares, total := 0.0, 0.0, 0.0
	for k := range steps + 1 {
		b := reach * (2*float64(k)/steps - 1)
		w := math.Exp(told[k] - most - b*b/(2*widely*widely))
		sum, squares, total = sum+w*b, squares+w*b*b, total+w
	}
	if total == 0 {
		return 0, 0, false
	}
	mean = sum / total
	return mean, math.Sqrt(math.Max(squares/total-mean*mean, 1e-6)), true
}
