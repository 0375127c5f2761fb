package layout

import (
	"errors"
	"fmt"

	"snugtail/joint"
)

// Quantity names what an error is about.
type Quantity string

// Quantities that can keep a joint from being laid out.
const (
	QuantityTemplate      Quantity = "template"
	QuantitySpacing       Quantity = "spacing"
	QuantityPitchFrom     Quantity = "pitch_from"
	QuantityBoardWidth    Quantity = "board_width"
	QuantityOpeningHeight Quantity = "opening_height"
	QuantityGroove        Quantity = "groove"
)

// Reason says why a joint can't be laid out.
type Reason string

// Reasons for which a joint can't be laid out.
const (
	// ReasonOpeningsUnknown: only the tightness of the template is known.
	ReasonOpeningsUnknown Reason = "openings_unknown"
	// ReasonOnePass: one opening cuts both boards, so its spacing is part of
	// the fit: K = 2 S - P.
	ReasonOnePass Reason = "one_pass"
	// ReasonSpacingReversed: the least pitch is above the most.
	ReasonSpacingReversed Reason = "spacing_reversed"
	// ReasonTooManyPitches: more than MostPitches on the board.
	ReasonTooManyPitches Reason = "too_many_pitches"
	// ReasonNotPositive: a size that must be above 0.
	ReasonNotPositive Reason = "not_positive"
	// ReasonOffBoard: the groove does not lie on the board.
	ReasonOffBoard Reason = "off_board"
)

// Refused is the error for what can't be laid out. Value and Limit are in
// millimetres, or numbers of pitches for ReasonTooManyPitches.
type Refused struct {
	Quantity Quantity
	Value    float64
	Limit    float64
	Reason   Reason
}

func (e *Refused) Error() string {
	return fmt.Sprintf("%s: %s is %g, limit %g", e.Reason, e.Quantity, e.Value, e.Limit)
}

// TooClose is the error for a range of pitches whose least leaves no joint
// that can be cut. Every wider pitch leaves more of tail and opening, so what
// can be cut at the least pitch can be cut at all.
type TooClose struct {
	Pitch      float64 // mm
	Impossible *joint.Impossible
}

func (e *TooClose) Error() string {
	return fmt.Sprintf("at a pitch of %g mm: %s", e.Pitch, e.Impossible)
}

func (e *TooClose) Unwrap() error { return e.Impossible }

// possible returns the joint at the template's own pitch, if it can be cut
// there and at every pitch of the spacing.
func possible(s joint.Setup, spacing Spacing) (joint.Joint, error) {
	own, err := joint.New(s)
	if err != nil || !spacing.Free() {
		return own, err
	}
	s.Template = spaced(s.Template, spacing.Least)
	_, err = joint.New(s)
	var impossible *joint.Impossible
	if errors.As(err, &impossible) {
		return own, &TooClose{spacing.Least.MM(), impossible}
	}
	return own, err
}

// Refusals returns everything for which New refuses the plan before it looks at
// the joint, in the order of the plan; nil where there is nothing.
func (p *Plan) Refusals() []*Refused {
	all := refusals(p.Setup.Template, p.Spacing)
	if refused := p.refusedWidth(); refused != nil {
		all = append(all, refused)
	}
	if refused := p.Groove.refused(p.Width.MM()); refused != nil {
		all = append(all, refused)
	}
	return all
}

// first returns the first of several refusals as an error.
func first(all []*Refused) error {
	if len(all) == 0 {
		return nil
	}
	return all[0]
}

// refusals: positions follow from a template that is known by its openings,
// and a spacing suits one that cuts the boards one after the other.
func refusals(t joint.Template, s Spacing) (all []*Refused) {
	if !t.KnownByOpenings() {
		all = append(all, &Refused{QuantityTemplate, 0, 0, ReasonOpeningsUnknown})
	}
	if !s.Free() {
		return all
	}
	if t.Kind == joint.OnePiece {
		all = append(all, &Refused{QuantitySpacing, s.Least.MM(), t.Pitch.MM(), ReasonOnePass})
	}
	switch {
	case !(s.Least > 0):
		all = append(all, &Refused{QuantityPitchFrom, s.Least.MM(), 0, ReasonNotPositive})
	case !(s.Least <= s.Most):
		all = append(all, &Refused{QuantityPitchFrom, s.Least.MM(), s.Most.MM(), ReasonSpacingReversed})
	}
	return all
}

func (p *Plan) refusedWidth() *Refused {
	w := p.Width.MM()
	if !(w > 0) {
		return &Refused{QuantityBoardWidth, w, 0, ReasonNotPositive}
	}
	if most := w / p.pitches().least; p.Setup.Template.KnownByOpenings() && !(most <= MostPitches) {
		return &Refused{QuantityBoardWidth, most, MostPitches, ReasonTooManyPitches}
	}
	return nil
}

// refused: the groove's walls lie on the board, one beyond the other.
func (g Groove) refused(board float64) *Refused {
	if !g.Given {
		return nil
	}
	if least := min(g.Width, g.Depth).MM(); !(least > 0) {
		return &Refused{QuantityGroove, least, 0, ReasonNotPositive}
	}
	if from := g.FromBottom.MM(); !(from >= 0) {
		return &Refused{QuantityGroove, from, 0, ReasonNotPositive}
	}
	if end := g.end().MM(); !(end <= board) {
		return &Refused{QuantityGroove, end, board, ReasonOffBoard}
	}
	return nil
}
