package joint

import "fmt"

// Quantity names the stated quantity that an error is about.
type Quantity string

// Quantities that can make a joint impossible.
const (
	QuantityDepthPinBoard  Quantity = "depth_pin_board"
	QuantityDepthTailBoard Quantity = "depth_tail_board"
	QuantityProvenDepth    Quantity = "proven_depth"
	QuantityTailOpening    Quantity = "tail_opening"
	QuantityPinOpening     Quantity = "pin_opening"
	QuantityPitch          Quantity = "pitch"
	QuantityPinPassPitch   Quantity = "pin_pass_pitch"
	QuantityPinRoot        Quantity = "pin_root"
	QuantityTailRoot       Quantity = "tail_root"
)

// Reason says why, in terms of the wood and the tool, no such joint can be cut.
type Reason string

// Reasons for which no joint can be cut.
const (
	// ReasonThroughPinBoard: the depth is not less than the pin board's
	// thickness, so the socket comes out at the drawer's face.
	ReasonThroughPinBoard Reason = "through_pin_board"
	// ReasonCutterRunsOut: the cutter's radius at that depth is not above 0.
	ReasonCutterRunsOut Reason = "cutter_runs_out"
	// ReasonBushingTooWide: the opening is not wider than the bushing.
	ReasonBushingTooWide Reason = "bushing_too_wide"
	// ReasonPitchesDiffer: tails and sockets march out of step.
	ReasonPitchesDiffer Reason = "pitches_differ"
	// ReasonPitchTooWide: a one-piece template whose fingers are more than three
	// openings wide cuts no joint: what one board loses the other can't fill.
	ReasonPitchTooWide Reason = "pitch_too_wide"
	// ReasonNoPinLeft and ReasonNoTailLeft: nothing is left at the root.
	ReasonNoPinLeft  Reason = "no_pin_left"
	ReasonNoTailLeft Reason = "no_tail_left"
)

// Impossible is the error for a joint that cannot be cut. Value and Limit are
// in millimetres.
type Impossible struct {
	Quantity Quantity
	Value    float64
	Limit    float64
	Reason   Reason
}

func (e *Impossible) Error() string {
	return fmt.Sprintf("%s: %s is %g mm, limit %g mm", e.Reason, e.Quantity, e.Value, e.Limit)
}
