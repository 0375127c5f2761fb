package wood

import (
	"errors"
	"math"

	"snugtail/joint/length"
)

// Judgement, mm.
const (
	// DefaultLeastPlay is the play below which a joint no longer assembles by
	// hand: that below which a fit is tight.
	DefaultLeastPlay = -0.05
	// OpensAbove is the clearance at one flank, or at the shoulder, above which
	// a joint is seen to open: the play above which a fit is loose.
	OpensAbove = 0.20
)

// Board is one board of a joint that is cut.
type Board struct {
	Wood     Wood // the zero Wood: species not known
	Material Material
	Grain    Grain
	Width    length.Length
	Moisture Moisture // when it was cut
}

// Joint is a joint as cut, and the climates to judge it in.
type Joint struct {
	PinBoard, TailBoard Board
	// SameStock says that both boards were sawn from the same stock, so that
	// they share how far they are from their species' average and, stated
	// alike, how far their moisture is off. It counts for boards of one species.
	SameStock bool

	Play          length.Length // c, as cut
	LeastPlay     length.Length // that still assembles; see DefaultLeastPlay
	Pitch         length.Length // P
	TailWidth     length.Length // w, at the tail's widest
	DepthPinBoard length.Length // h_p, as cut
	// DepthTailBoard is h_t, as cut; not stated, it is taken as h_p.
	DepthTailBoard length.Size
	// NoseReach is y_n + R_n, how far the tail's nose reaches along y; not
	// stated, the seat's change is not told.
	NoseReach length.Size

	Climates []Climate
}

// Moved is what the climates do to a joint.
type Moved struct {
	Outcomes []Outcome // one per climate, in the joint's order
	Advice   Advice
}

// Flank is the side of an outermost tail that faces the boards' edge, or the
// middle.
type Flank uint8

// Flanks. FlankNone: neither closes.
const (
	FlankNone  Flank = iota
	FlankOuter       // towards the boards' edge: the tails swelled more
	FlankInner       // towards the middle: the sockets swelled more
)

// String returns the flank's code.
func (f Flank) String() string { return code(f, "none", "outer", "inner") }

// State is what has become of a joint.
type State uint8

// States. StateUnknown: a species lacks what the climate needs.
const (
	StateUnknown State = iota
	Assembles          // still
	Tight              // play at the outermost tails below the least play
	Opens              // a flank or the shoulder opens by more than OpensAbove
)

// String returns the state's code.
func (s State) String() string { return code(s, "unknown", "assembles", "tight", "opens") }

// BoardMoved is what a climate does to a board.
type BoardMoved struct {
	Moisture float64  // %
	Width    Swelling // strain along x
	// Change is how much wider the board is, Uncertainty its standard
	// uncertainty: scatter, grain and the moisture at cutting and now.
	Change, Uncertainty length.Length
	Thickness           Swelling // strain along z (pin board) or y (tail board)
}

// Outcome is what one climate does to a joint. The boards are taken to have
// the climate's moisture all through, and to lie centred on each other.
type Outcome struct {
	Climate             Climate
	Missing             *MissingError // then nothing below is told
	PinBoard, TailBoard BoardMoved

	// PlayMiddle is the play of a tail in the middle, PlayOutermost the play
	// that the outermost tails leave the whole joint: below 0 they jam.
	// Uncertainty is the standard uncertainty of PlayOutermost that comes from
	// the wood, UncertaintyMiddle that of PlayMiddle: that of the play as cut
	// is not in them.
	PlayMiddle, PlayOutermost, Uncertainty, UncertaintyMiddle length.Length
	// Closes is the flank of the outermost tails that closes, ClosingFlank
	// the clearance there and OpeningFlank that on the other side.
	Closes                     Flank
	ClosingFlank, OpeningFlank length.Length
	// EdgeStep is how far the pin board's edge stands out past the tail
	// board's, at both edges alike; < 0: the tail board's does.
	EdgeStep length.Length

	SeatChange  length.Length // inside (+) or proud (-)
	SeatKnown   bool
	ShoulderGap length.Length // open to see, the tails on the sockets' floor
	FloorGap    length.Length // hidden under the tails' ends
	State       State
}

// Movement returns what moisture does to a joint. With e_p and e_t the boards'
// strains along x since cutting (see [Strain]), W the narrower board's width and
// w a tail's:
//
//	play in the middle    c + w (e_p - e_t)
//	at the outermost      c - |e_p - e_t| W',  W' = W - P + w where the tails
//	                      swelled more, W - P - w where the sockets did
//	edge step             (e_p - e_t) W/2
//	seat                  dq = -e_t' (y_n + R_n)
//	shoulder gap          h_t - h_p (1 + e_p'), floor gap the same below 0
//
// the primed strains those of the thickness. Only differences matter along x:
// boards of one wood and grain, cut at one moisture, keep their play. Terms of
// second order are left out (1 % of the play and less).
//
// Standard uncertainty of the outermost play, by the law of propagation: the
// scatter of both boards (their difference, if of the same stock), the spread
// of mixed or unknown grain, each board's moisture at cutting, and the
// climate's moisture, which both boards share. To first order: boards that are
// expected to keep in step can only fall out of it, so there the play can be
// less than told, not more.
//
// Errors, of type *RangeError: moisture 0 to 30 %, lengths 0.1 to 2000 mm, play
// as far either way, boards no narrower than the pitch, tails no wider. A
// species that lacks what a climate needs is told in that Outcome.
// Source: joint/model.md, section 11.
func Movement(j *Joint) (Moved, error) {
	if err := j.check(); err != nil {
		return Moved{}, err
	}
	p := pairOf(j)
	moved := Moved{Outcomes: make([]Outcome, len(j.Climates))}
	for i := range j.Climates {
		p.judge(j.Climates[i], &moved.Outcomes[i])
	}
	moved.Advice = j.advise(moved.Outcomes)
	return moved, nil
}

// pair is a joint in plain millimetres, with how its boards move.
type pair struct {
	joint               *Joint
	pin, tail           moving
	sameStock           bool
	c, least, pitch, wt float64
	width               float64 // W
	hp, ht              float64
}

// moving is a board, and how it moves along its width and thickness.
type moving struct {
	width            float64
	cut              Moisture
	along, thickness curve
}

func movingOf(b *Board) moving {
	return moving{
		width: b.Width.MM(), cut: b.Moisture,
		along:     b.curve(Width),
		thickness: b.curve(Thickness),
	}
}

func pairOf(j *Joint) pair {
	return pair{
		joint: j,
		pin:   movingOf(&j.PinBoard), tail: movingOf(&j.TailBoard),
		sameStock: j.SameStock && j.PinBoard.alike(&j.TailBoard),
		c:         j.Play.MM(), least: j.LeastPlay.MM(), pitch: j.Pitch.MM(), wt: j.TailWidth.MM(),
		width: min(j.PinBoard.Width.MM(), j.TailBoard.Width.MM()),
		hp:    j.DepthPinBoard.MM(), ht: j.DepthTailBoard.Or(j.DepthPinBoard).MM(),
	}
}

// judge fills the outcome of one climate.
func (p *pair) judge(climate Climate, o *Outcome) {
	o.Climate = climate
	if o.Missing = p.missing(climate.Moisture.Percent); o.Missing != nil {
		return
	}
	o.PinBoard = p.pin.moved(climate.Moisture)
	o.TailBoard = p.tail.moved(climate.Moisture)
	mismatch := o.PinBoard.Width.Strain - o.TailBoard.Width.Strain
	p.play(mismatch, o)
	u := p.mismatchUncertainty(o)
	o.Uncertainty = length.Length(math.Abs(p.reach(mismatch)) * u)
	o.UncertaintyMiddle = length.Length(p.wt * u)
	o.EdgeStep = length.Length(mismatch * p.width / 2)
	p.seatAndShoulder(o)
	o.State = p.state(o)
}

// missing returns what a climate needs of a species that lacks it, or nil.
func (p *pair) missing(now float64) *MissingError {
	for _, m := range [...]*moving{&p.pin, &p.tail} {
		for _, c := range [...]*curve{&m.along, &m.thickness} {
			if missing := c.missing(m.cut.Percent, now); missing != nil {
				return missing
			}
		}
	}
	return nil
}

// moved returns what a moisture content does to the board.
func (m *moving) moved(now Moisture) BoardMoved {
	s := m.along.swelling(m.cut.Percent, now.Percent)
	cut := m.along.rate(m.cut.Percent) * m.cut.StandardUncertainty
	then := m.along.rate(now.Percent) * now.StandardUncertainty
	u := math.Hypot(s.Uncertainty(), math.Hypot(cut, then))
	return BoardMoved{
		Moisture: now.Percent, Width: s,
		Change: length.Length(s.Strain * m.width), Uncertainty: length.Length(u * m.width),
		Thickness: m.thickness.swelling(m.cut.Percent, now.Percent),
	}
}

// reach is W', the distance over which a mismatch e_p - e_t adds up.
func (p *pair) reach(mismatch float64) float64 {
	if mismatch > 0 {
		return p.width - p.pitch - p.wt
	}
	return p.width - p.pitch + p.wt
}

// play sets the play and the clearances at the outermost tails' flanks.
func (p *pair) play(mismatch float64, o *Outcome) {
	closing := math.Abs(mismatch) * p.reach(mismatch)
	opening := math.Abs(mismatch) * p.reach(-mismatch)
	o.PlayMiddle = length.Length(p.c + p.wt*mismatch)
	o.PlayOutermost = length.Length(p.c - closing)
	o.ClosingFlank = length.Length((p.c - closing) / 2)
	o.OpeningFlank = length.Length((p.c + opening) / 2)
	switch {
	case closing <= 0:
		o.Closes = FlankNone
	case mismatch < 0:
		o.Closes = FlankOuter
	default:
		o.Closes = FlankInner
	}
}

// mismatchUncertainty returns the standard uncertainty of e_p - e_t.
func (p *pair) mismatchUncertainty(o *Outcome) float64 {
	pin, tail := o.PinBoard.Width, o.TailBoard.Width
	scatter := math.Hypot(pin.Uncertainty(), tail.Uncertainty())
	if p.sameStock {
		scatter = math.Hypot(pin.Scatter-tail.Scatter, pin.GrainSpread-tail.GrainSpread)
	}
	pinCut := p.pin.along.rate(p.pin.cut.Percent) * p.pin.cut.StandardUncertainty
	tailCut := p.tail.along.rate(p.tail.cut.Percent) * p.tail.cut.StandardUncertainty
	cut := math.Hypot(pinCut, tailCut)
	if p.sameStock && p.pin.cut == p.tail.cut { // one plank: an error in its moisture is one for both boards
		cut = pinCut - tailCut
	}
	now := o.Climate.Moisture
	shared := (p.pin.along.rate(now.Percent) - p.tail.along.rate(now.Percent)) * now.StandardUncertainty
	return math.Hypot(scatter, math.Hypot(cut, shared))
}

// seatAndShoulder sets what the strains of the boards' thickness do: the tail
// board's along y, the pin board's along z.
func (p *pair) seatAndShoulder(o *Outcome) {
	if reach := p.joint.NoseReach; reach.Given {
		o.SeatChange, o.SeatKnown = length.Length(-o.TailBoard.Thickness.Strain*reach.MM()), true
	}
	gap := p.ht - p.hp*(1+o.PinBoard.Thickness.Strain)
	o.ShoulderGap, o.FloorGap = length.Length(math.Max(0, gap)), length.Length(math.Max(0, -gap))
}

func (p *pair) state(o *Outcome) State {
	switch {
	case o.PlayOutermost.Rounded().MM() < p.least:
		return Tight
	case max(o.OpeningFlank, o.ShoulderGap).Rounded().MM() > OpensAbove:
		return Opens
	default:
		return Assembles
	}
}

func (j *Joint) check() error {
	pitch := size(QuantityPitch, j.Pitch.MM())
	narrowest, widest := leastLength, longestLength
	if pitch == nil {
		narrowest, widest = j.Pitch.MM(), j.Pitch.MM()
	}
	err := errors.Join(
		pitch,
		within(QuantityPinBoardWidth, j.PinBoard.Width.MM(), narrowest, longestLength, unitMillimetre),
		within(QuantityTailBoardWidth, j.TailBoard.Width.MM(), narrowest, longestLength, unitMillimetre),
		within(QuantityTailWidth, j.TailWidth.MM(), leastLength, widest, unitMillimetre),
		size(QuantityDepthPinBoard, j.DepthPinBoard.MM()),
		size(QuantityDepthTailBoard, j.DepthTailBoard.Or(j.DepthPinBoard).MM()),
		within(QuantityNoseReach, j.NoseReach.MM(), 0, longestLength, unitMillimetre),
		signed(QuantityPlay, j.Play.MM()),
		signed(QuantityLeastPlay, j.LeastPlay.MM()),
		moist(QuantityPinBoardMoisture, j.PinBoard.Moisture),
		moist(QuantityTailBoardMoisture, j.TailBoard.Moisture),
	)
	for i := range j.Climates {
		err = errors.Join(err, moist(QuantityClimateMoisture, j.Climates[i].Moisture))
	}
	return err
}
