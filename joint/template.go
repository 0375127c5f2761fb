package joint

import (
	"math"

	"snugtail/joint/length"
)

// TemplateKind is the way in which a template is known.
type TemplateKind uint8

// The four ways of knowing a template.
const (
	OnePiece      TemplateKind = iota // both boards in one pass
	TwoPosition                       // one board after the other
	AllowanceOnly                     // only K is known
	Proven                            // K follows from a joint that fitted
)

// PitchTolerance is how far the pitches of two passes may differ before tails
// and sockets march out of step, mm (joint/model.md, section 7).
const PitchTolerance = 0.01

// MostOpenings is how many openings wide the pitch of a one-piece template is at
// most: tail and socket are both cut through the opening, so a pitch of about two
// of them closes. Judgement; beyond it a figure was misread or mistyped.
const MostOpenings = 4

// Pass is the template as one board meets it. Opening ends and finger tips are
// half round.
type Pass struct {
	Opening      length.Size
	Finger       length.Size
	OpeningReach length.Size // y of the deepest point of the opening, s0
	FingerReach  length.Size // how far the finger's tip stands out before y = 0, f0
}

func (p Pass) pitch() float64 { return p.Opening.MM() + p.Finger.MM() }

// moved returns the pass with the template moved d further onto the pin board.
func (p Pass) moved(d length.Length) Pass {
	p.OpeningReach.Length += d
	p.FingerReach.Length -= d
	return p
}

// Template guides the bushing. Build one with NewOnePiece, NewTwoPosition,
// NewAllowance or NewProven.
type Template struct {
	Kind      TemplateKind
	Tail, Pin Pass         // empty when only the allowance is known
	Pitch     length.Size  // one-piece: as stated
	Allowance length.Size  // K as stated, or as it follows from Joint
	Joint     *ProvenJoint // Kind Proven, else nil
	Thickness length.Size
}

// ProvenJoint is a combination known to have closed, and how it felt.
type ProvenJoint struct {
	Cutter  Cutter
	Bushing Bushing
	Depth   length.Size
	Play    length.Size // play that the feel stands for, with its half-width
}

// NewOnePiece returns a template that cuts both boards in one pass:
// S_t = S, F_p = F = P - S, K = 2S - P.
func NewOnePiece(pitch, opening, openingReach, fingerReach length.Size) Template {
	pass := Pass{
		Opening:      opening,
		Finger:       length.Exactly(pitch.Length - opening.Length),
		OpeningReach: openingReach,
		FingerReach:  fingerReach,
	}
	return Template{Kind: OnePiece, Tail: pass, Pin: pass, Pitch: pitch}
}

// Possible returns an *Impossible for a one-piece template whose pitch is wider
// than MostOpenings of its openings; nil for any other, and where either is not
// stated.
func (t *Template) Possible() error {
	if t.Kind != OnePiece || !t.Pitch.Given || !t.Pin.Opening.Given {
		return nil
	}
	if most := MostOpenings * t.Pin.Opening.MM(); t.Pitch.MM() > most {
		return &Impossible{QuantityPitch, t.Pitch.MM(), most, ReasonPitchTooWide}
	}
	return nil
}

// NewTwoPosition returns a template that cuts the boards one after the other.
// Both passes must have one pitch, within PitchTolerance.
func NewTwoPosition(tail, pin Pass) (Template, error) {
	if diff := tail.pitch() - pin.pitch(); math.Abs(diff) > PitchTolerance+1e-9 {
		return Template{}, &Impossible{
			Quantity: QuantityPinPassPitch, Value: pin.pitch(), Limit: tail.pitch(),
			Reason: ReasonPitchesDiffer,
		}
	}
	pitch := length.Exactly(length.Length(tail.pitch()))
	return Template{Kind: TwoPosition, Tail: tail, Pin: pin, Pitch: pitch}, nil
}

// NewAllowance returns a template of which only the allowance K is known.
func NewAllowance(k length.Size) Template {
	return Template{Kind: AllowanceOnly, Allowance: k}
}

// NewProven returns a template known by a joint that closed. K follows from
// the play of that joint: K = c - 2(d - g) + 2 h tan a.
func NewProven(proven ProvenJoint) (Template, error) {
	d, g := proven.Cutter.sweptDiameter(&proven.Bushing, false), proven.Bushing.Diameter.MM()
	h, tanA := proven.Depth.MM(), proven.Cutter.Angle.Tan()
	if r := d/2 - h*tanA; r <= 0 {
		return Template{}, &Impossible{
			Quantity: QuantityProvenDepth, Value: h, Limit: d / 2 / tanA,
			Reason: ReasonCutterRunsOut,
		}
	}
	k := proven.Play.MM() - 2*(d-g) + 2*h*tanA
	return Template{
		Kind: Proven, Joint: &proven, Allowance: length.Exactly(length.Length(k)),
	}, nil
}

// KnownByOpenings reports whether widths, and not only tightness, follow from
// the template.
func (t *Template) KnownByOpenings() bool {
	return t.Kind == OnePiece || t.Kind == TwoPosition
}

// TotalAllowance returns K = S_t - F_p, all that a template contributes to
// tightness.
func (t *Template) TotalAllowance() length.Length {
	if !t.KnownByOpenings() {
		return t.Allowance.Length
	}
	return t.Tail.Opening.Length - t.Pin.Finger.Length
}

// Moved returns the template moved d further onto the pin board, in both
// passes. Tightness stays; the seat changes by 2d.
func (t Template) Moved(d length.Length) Template {
	t.Tail, t.Pin = t.Tail.moved(d), t.Pin.moved(d)
	return t
}
