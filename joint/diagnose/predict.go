package diagnose

import (
	"math"

	"snugtail/joint"
	"snugtail/joint/length"
)

// effect is what a cause of a given size does, added to what the set-up has:
// mm, angle in degrees.
type effect struct {
	cutter, bushing, angle  float64
	pinDepth, tailDepth     float64
	offsetY, moved          float64 // axes towards the pin board; template onto it
	thicker                 float64 // tail board
	play                    float64 // beside what the above do to it
	whole                   float64 // play of the whole joint, as felt and pulled, not of one tail
	feel                    float64 // play as the hand feels it only
	seat, edge, shoulder    float64
	pin, tail               float64 // widths
	pinSocket, tailSocket   float64
	slopePlay, bowPlay      float64 // from the middle to the right-hand end; to either end
	slopeShoulder, slopeEdg float64
	bowShoulder             float64
	// intended is added to the play of the sizes as stated, where they are not
	// the ones that were meant.
	intended float64
}

// observable is something that can be read of a test joint.
type observable uint8

const (
	seePlay observable = iota
	seeGap
	seeShoulder
	seeSeat
	seeEdge
	seePin
	seeTail
	seePinSocket
	seeTailSocket
	seePinDepth
	seeTailDepth
	seePins  // pin socket less pin
	seeTails // tail socket less tail
	observables
)

// point is what a test joint is like under a cause of a given size.
type point struct {
	effect
	values      [observables]float64
	hp, ht, h   float64
	tanA, secSq float64
	playAtNoCut float64 // play at no depth: K + 2 (d - g)
}

// least is the play from which on a joint slides home and has a seat, mm.
const least = 0.05

// leastDepth of a cut that anybody would take for a joint, mm.
const leastDepth = 0.5

// at predicts a test joint; ok is false where the cause cannot have been that
// large: the cutter would not have reached the wood, or its cone have run out.
func (m *model) at(e effect, c *cut) (p point, ok bool) {
	s := m.setup
	s.Depth = c.depth
	s.Cutter.Diameter.Length += length.Length(e.cutter)
	s.Cutter.Angle += joint.Angle(e.angle)
	s.Bushing.Diameter.Length += length.Length(e.bushing)
	s.Bushing.OffsetY.Length += length.Length(e.offsetY)
	s.Depth.PinBoard.Length += length.Length(e.pinDepth)
	s.Depth.TailBoard.Length += length.Length(e.tailDepth)
	s.TailBoard.Thickness.Length += length.Length(e.thicker)
	s.Template = s.Template.Moved(length.Length(e.moved))
	s.Offset.Mean += length.Length(e.play)
	p = point{effect: e, hp: s.Depth.PinBoard.MM(), ht: s.Depth.TailBoard.MM(), tanA: s.Cutter.Angle.Tan()}
	p.h, p.secSq = math.Max(p.hp, p.ht), 1+p.tanA*p.tanA
	shallow := math.Min(p.hp, p.ht) < leastDepth && (e.pinDepth != 0 || e.tailDepth != 0)
	if shallow || p.tanA <= 0 || s.Cutter.RadiusAt(length.Length(p.h)) <= 0 {
		return p, false
	}
	j, _ := joint.New(s) // geometry answers even where limits are broken
	play := j.Play().MM()
	p.playAtNoCut = play + 2*p.h*p.tanA
	v := &p.values
	v[seePlay], v[seeGap] = play, j.DepthFor(0).MM()-p.hp
	v[seeShoulder] = p.ht - p.hp + e.shoulder
	v[seeSeat] = m.seat(&j, s, play) + e.seat - m.ridge(&j, e)
	v[seeEdge] = j.EdgeStep().MM() + e.edge
	v[seePinDepth], v[seeTailDepth] = p.hp, p.ht
	v[seePins] = play + 2*p.tanA*(p.h-p.hp)
	v[seeTails] = play + 2*p.tanA*(p.h-p.ht)
	if w, known := j.Widths(); known {
		v[seePin], v[seeTail] = w.PinWidest.MM()+e.pin, w.TailWidest.MM()+e.tail
		v[seePinSocket], v[seeTailSocket] = w.PinSocketWidest.MM()+e.pinSocket, w.TailSocketWidest.MM()+e.tailSocket
	}
	return p, true
}

// seat returns q of the joint model or, without the template's reaches, that
// of a template where it is meant to be: q = c/2 + 2 ey + 2 D. With
// interference the board, forced home, sits by q0 + c/2.
func (m *model) seat(j *joint.Joint, s joint.Setup, play float64) float64 {
	if !m.reaches {
		return play/2 + 2*s.Bushing.OffsetY.MM() + 2*m.movedBy(s)
	}
	if play >= least {
		return j.Seat().Offset.MM()
	}
	s.Offset.Mean += length.Length(least - play)
	open, _ := joint.New(s)
	return open.Seat().Offset.MM() + (play-least)/2
}

// movedBy is how far a template without known reaches was moved.
func (m *model) movedBy(s joint.Setup) float64 {
	return s.Template.Pin.OpeningReach.MM() - m.setup.Template.Pin.OpeningReach.MM()
}

// clearedBeyond is how much thicker than stated a tail board may be before one
// pass leaves a ridge on it, where that can't be computed, mm: with fingers
// half as long as the pitch one pass clears some 20 mm. Judgement.
const clearedBeyond = 5

// ridge returns by how much the ridge that is left on a tail board too thick
// for one pass holds the joint open.
func (m *model) ridge(j *joint.Joint, e effect) float64 {
	if e.thicker <= 0 {
		return 0
	}
	if l := j.Limits()[joint.LimitTailBoardCleared]; l.Known && m.setup.TailBoard.Thickness.Given {
		return math.Max(0, -l.Margin.MM())
	}
	return math.Max(0, e.thicker-clearedBeyond)
}

// where on the joint something was seen: as a whole, or at xi, -1 for the
// left-hand end to 1 for the right-hand one.
type where struct {
	place bool
	xi    float64
}

// value returns what would be read.
func (p *point) value(o observable, w where) float64 {
	v := p.values[o]
	switch {
	case o == seeShoulder && w.place:
		v += p.slopeShoulder*w.xi + p.bowShoulder*w.xi*w.xi
	case o == seeShoulder: // the widest is what is told
		v += math.Abs(p.slopeShoulder) + math.Max(0, p.bowShoulder)
	case o == seeEdge && w.place:
		v += p.slopeEdg * w.xi
	case o == seePlay || o == seeGap:
		v += p.local(w) / p.per(o)
	}
	return v
}

// local is what play has besides that of any one tail.
func (p *point) local(w where) float64 {
	if !w.place {
		return p.whole
	}
	return p.slopePlay*w.xi + p.bowPlay*w.xi*w.xi
}

// per is the play that one unit of the observable stands for.
func (p *point) per(o observable) float64 {
	if o == seeGap {
		return 2 * p.tanA
	}
	return 1
}

// perDegree turns a derivative by radians into one by degrees.
const perDegree = math.Pi / 180

// row returns the derivative of an observable by the unknowns, and by those
// of its own test joint.
func (m *model) row(o observable, p *point) (lasting vector, own [ownUnknowns]float64) {
	l, flank := &lasting, 2*p.secSq*perDegree // of a width, for each mm of depth and degree
	switch o {
	case seePlay, seePins, seeTails:
		m.playRow(l, p.h*flank)
		own[cutDeeper] = -2 * p.tanA
	case seeGap:
		m.playRow(l, p.playAtNoCut*p.secSq/p.tanA*perDegree)
		l.divide(2 * p.tanA)
		own[cutDeeper] = -1
	case seeSeat:
		m.playRow(l, p.h*flank)
		l.divide(2)
		l[ofSeat], own[cutDeeper] = 1, -p.tanA
	case seeShoulder:
		own[cutUneven] = 1
	case seeEdge:
		l[ofStop] = 1
	case seePinDepth, seeTailDepth:
		own[cutDeeper] = 1
	default:
		own = m.widthRow(o, p, l, flank)
	}
	if o == seeTailDepth {
		own[cutUneven] = 1
	}
	if own[cutDeeper] != 0 { // a depth that was not stated is the same for all
		l[ofDepth] = own[cutDeeper]
	}
	return lasting, own
}

func (a *vector) divide(by float64) {
	for i := range a {
		a[i] /= by
	}
}

// widthRow is row of the widths: sockets depend on neither depth nor angle.
func (m *model) widthRow(o observable, p *point, l *vector, flank float64) (own [ownUnknowns]float64) {
	switch o {
	case seePinSocket:
		l[ofCutter], l[ofBushing], l[ofTemplateA] = 1, -1, 1
	case seeTailSocket:
		l[ofCutter], l[ofBushing] = 1, -1
		m.templateRow(l, 1, 0, -1)
	case seePin:
		l[ofCutter], l[ofBushing], l[ofAngle] = -1, 1, p.hp*flank
		m.templateRow(l, -1, 1, 1)
		own[cutDeeper] = 2 * p.tanA
	case seeTail:
		l[ofCutter], l[ofBushing], l[ofAngle], l[ofTemplateA] = -1, 1, p.ht*flank, -1
		if m.setup.Template.Kind == joint.OnePiece {
			l[ofTemplateB] = 1
		}
		own[cutDeeper], own[cutUneven] = 2*p.tanA, 2*p.tanA
	}
	return own
}

// templateRow: a one-piece template has an opening and a pitch, a two-position
// one the tail pass's opening and the pin pass's finger.
func (m *model) templateRow(l *vector, opening, pitch, finger float64) {
	if m.setup.Template.Kind == joint.OnePiece {
		l[ofTemplateA], l[ofTemplateB] = opening, pitch
		return
	}
	l[ofTemplateB] = finger
}

func (m *model) playRow(l *vector, perAngle float64) {
	l[ofCutter], l[ofBushing], l[ofAngle] = 2, -2, -perAngle
	t := &m.setup.Template
	switch t.Kind {
	case joint.OnePiece:
		l[ofTemplateA], l[ofTemplateB] = 2, -1
	case joint.TwoPosition:
		l[ofTemplateA], l[ofTemplateB] = 1, -1
	default:
		l[ofTemplateA] = 1
	}
	if t.Kind != joint.Proven { // what the set-up shares with the joint that fitted cancels
		return
	}
	if joint.SamePiece(t.Joint.Bushing.ID, m.setup.Bushing.ID) {
		l[ofBushing] = 0
	}
	if joint.SamePiece(t.Joint.Cutter.ID, m.setup.Cutter.ID) {
		l[ofCutter] = 0
		l[ofAngle] += m.setup.Cutter.PlayPerAngle(t.Joint.Depth.MM())
	}
}

func (m *model) pitch() float64 {
	if p := m.setup.Template.Pitch.MM(); p > 0 {
		return p
	}
	return typicalPitch
}
