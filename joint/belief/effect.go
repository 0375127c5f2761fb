package belief

import (
	"math"

	"snugtail/joint"
	"snugtail/joint/length"
)

// effect is what a fault of a given size does, added to what the set-up has:
// mm, angle in degrees.
type effect struct {
	cutter, bushing, angle  float64
	opening                 float64 // template's openings wider, both passes; of a known allowance, half of it
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
	slopeSeat               float64
	bowShoulder             float64
	// intended is added to the play of the sizes as stated, where they are not
	// the ones that were meant.
	intended float64
}

// plus adds two effects: two faults at once.
func (e effect) plus(o *effect) effect {
	e.cutter, e.bushing, e.angle = e.cutter+o.cutter, e.bushing+o.bushing, e.angle+o.angle
	e.opening += o.opening
	e.pinDepth, e.tailDepth = e.pinDepth+o.pinDepth, e.tailDepth+o.tailDepth
	e.offsetY, e.moved, e.thicker = e.offsetY+o.offsetY, e.moved+o.moved, e.thicker+o.thicker
	e.play, e.whole, e.feel = e.play+o.play, e.whole+o.whole, e.feel+o.feel
	e.seat, e.edge, e.shoulder = e.seat+o.seat, e.edge+o.edge, e.shoulder+o.shoulder
	e.pin, e.tail = e.pin+o.pin, e.tail+o.tail
	e.pinSocket, e.tailSocket = e.pinSocket+o.pinSocket, e.tailSocket+o.tailSocket
	e.slopePlay, e.bowPlay = e.slopePlay+o.slopePlay, e.bowPlay+o.bowPlay
	e.slopeShoulder, e.slopeEdg = e.slopeShoulder+o.slopeShoulder, e.slopeEdg+o.slopeEdg
	e.slopeSeat, e.bowShoulder = e.slopeSeat+o.slopeSeat, e.bowShoulder+o.bowShoulder
	e.intended += o.intended
	return e
}

// observable is something that can be read of a test joint, or of a tool.
type observable uint8

const (
	seePlay observable = iota
	seeFelt            // play as the hand feels it
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
	seeBushing
	seeCutter
	seeAngle
	seeThickness // of the tail board
	seeOpening   // of the template
	seeMeant     // play that the sizes as stated give, less what was meant
	observables
)

// where on the joint something was seen: as a whole, or at xi, -1 for the
// left-hand end to 1 for the right-hand one.
type where struct {
	place bool
	xi    float64
}

// geometry is the set-up's sizes at one depth as plain millimetres.
type geometry struct {
	d, tip, g, a, tanA    float64 // a in degrees
	st, ft, sp, fp, pitch float64
	k, b                  float64 // allowance; what is added to play
	hp, ht                float64
	edge, thick           float64
	widths                bool
	onePiece              bool
}

func geometryOf(s *joint.Setup, widths bool) geometry {
	d := s.Cutter.TipDiameter().MM()
	if s.Router.TurnedInUse {
		d += 2 * s.Bushing.Eccentricity().MM()
	}
	t := &s.Template
	return geometry{
		d: d, tip: s.Cutter.Diameter.MM(), g: s.Bushing.Diameter.MM(), a: float64(s.Cutter.Angle), tanA: s.Cutter.Angle.Tan(),
		st: t.Tail.Opening.MM(), ft: t.Tail.Finger.MM(), sp: t.Pin.Opening.MM(), fp: t.Pin.Finger.MM(), pitch: t.Pitch.MM(),
		k: t.TotalAllowance().MM(), b: s.Offset.Mean.MM(),
		hp: s.Depth.PinBoard.MM(), ht: s.Depth.TailBoard.MM(),
		edge: s.SideStopError.MM(), thick: s.TailBoard.Thickness.MM(), widths: widths,
		onePiece: t.Kind == joint.OnePiece,
	}
}

// leastDepth of a cut that anybody would take for a joint, mm.
const leastDepth = 0.5

// point is what a test joint is like under a fault of a given size.
type point struct {
	effect
	values    [observables]float64
	hp, ht, h float64
	tanA      float64
}

// at predicts a test joint (model, sections 3 to 5); ok is false where the
// fault cannot have been that large: the cutter would not have reached the
// wood, or its cone have run out.
func (g *geometry) at(e *effect) (p point, ok bool) {
	p = point{effect: *e, hp: g.hp + e.pinDepth, ht: g.ht + e.tailDepth, tanA: g.tanA}
	p.h = max(p.hp, p.ht)
	if e.angle != 0 {
		p.tanA = math.Tan((g.a + e.angle) * math.Pi / 180)
	}
	d, bushing := g.d+e.cutter, g.g+e.bushing
	shallow := min(p.hp, p.ht) < leastDepth && (e.pinDepth != 0 || e.tailDepth != 0)
	if shallow || p.tanA <= 0 || d/2-p.h*p.tanA <= 0 {
		return p, false
	}
	play := g.k + 2*e.opening + 2*(d-bushing) - 2*p.h*p.tanA + g.b + e.play
	v := &p.values
	v[seePlay], v[seeGap] = play, play/(2*p.tanA)+p.h-p.hp
	v[seeShoulder] = p.ht - p.hp + e.shoulder
	v[seeEdge] = g.edge + e.edge
	v[seePinDepth], v[seeTailDepth] = p.hp, p.ht
	v[seePins] = play + 2*p.tanA*(p.h-p.hp)
	v[seeTails] = play + 2*p.tanA*(p.h-p.ht)
	v[seeBushing], v[seeCutter], v[seeAngle] = bushing, g.tip+e.cutter, g.a+e.angle
	v[seeThickness], v[seeOpening] = g.thick+e.thicker, g.st+e.opening
	v[seeMeant] = e.intended
	if g.widths {
		g.widthsAt(&p, d, bushing)
	}
	return p, true
}

// widthsAt fills in the widths (model, section 3). An opening wider by s leaves
// a finger narrower by s.
func (g *geometry) widthsAt(p *point, d, bushing float64) {
	e, v := &p.effect, &p.values
	st, fp := g.st+e.opening, g.fp-e.opening
	v[seePin] = fp + bushing - d + 2*p.hp*p.tanA + e.pin
	v[seeTail] = g.pitch - st + bushing - d + 2*p.ht*p.tanA + e.tail
	v[seePinSocket] = st - bushing + d + e.pinSocket
	v[seeTailSocket] = g.pitch - fp - bushing + d + e.tailSocket
}

// value returns what would be read.
func (p *point) value(o observable, w where) float64 {
	v := p.values[o]
	switch {
	case o == seeShoulder && w.place:
		v += p.slopeShoulder*w.xi + p.bowShoulder*w.xi*w.xi
	case o == seeShoulder: // the widest is what is told
		v += math.Abs(p.slopeShoulder) + max(0, p.bowShoulder)
	case o == seeEdge && w.place:
		v += p.slopeEdg * w.xi
	case o == seeSeat && w.place:
		v += p.slopeSeat * w.xi
	case (o == seePinDepth || o == seeTailDepth) && w.place: // deeper where it is tighter
		v -= (p.slopePlay*w.xi + p.bowPlay*w.xi*w.xi) / (4 * p.tanA)
	case o == seePlay:
		v += p.local(w)
	case o == seeFelt:
		v = p.values[seePlay] + p.local(w) + p.feel
	case o == seeGap:
		v += p.local(w) / (2 * p.tanA)
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

// seater finds where the tail board comes to rest.
type seater struct {
	setup   joint.Setup // at the depth at hand
	reaches bool
	play    length.Length // of that
}

// least is the play from which on a joint slides home and has a seat, mm.
const least = 0.05

// clearedBeyond is how much thicker than stated a tail board may be before one
// pass leaves a ridge on it, where that can't be computed, mm: with fingers
// half as long as the pitch one pass clears some 20 mm. Judgement.
const clearedBeyond = 5

// of returns q of the joint model under an effect that gives this play or,
// without the template's reaches, that of a template where it is meant to be:
// q = c/2 + 2 ey + 2 D. With interference the board, forced home, sits by
// q0 + c/2. A ridge left on a tail board too thick for one pass holds it open.
func (st *seater) of(e *effect, play float64) float64 {
	if !st.reaches {
		off := play/2 + 2*(st.setup.Bushing.OffsetY.MM()+e.offsetY) + 2*e.moved + e.seat
		return off - max(0, e.thicker-clearedBeyond)
	}
	s := st.setup
	s.Bushing.OffsetY.Length += length.Length(e.offsetY)
	s.TailBoard.Thickness.Length += length.Length(e.thicker)
	s.Template = s.Template.Moved(length.Length(e.moved))
	s.Offset.Mean += length.Length(max(play, least)) - st.play // none of these changes play
	open, _ := joint.New(s)                                    // geometry answers even where limits are broken
	q := open.Seat().Offset.MM() + min(0, play-least)/2 + e.seat
	if e.thicker > 0 {
		if l := open.Limits()[joint.LimitTailBoardCleared]; l.Known {
			return q + min(0, l.Margin.MM())
		}
		return q - max(0, e.thicker-clearedBeyond)
	}
	return q
}
