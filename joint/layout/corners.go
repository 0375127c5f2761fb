package layout

// Side is a side as the operator sees it: of the jig, or of a drawer seen from
// its front.
type Side uint8

// Sides.
const (
	Left Side = iota
	Right
)

// Depthwise is which of a drawer's two pin boards a corner belongs to.
type Depthwise uint8

// Front and back of a drawer.
const (
	Front Depthwise = iota
	Back
)

// Corner is one corner of a drawer: its pin board is the front or back, its
// tail board the side on that hand. Faces and edge are the same at every
// corner: the pin board lies with its inside face up, the tail board stands
// with its inside face towards the operator, and both have their bottom edge at
// the stop.
type Corner struct {
	Depthwise Depthwise
	Side      Side // of the drawer, seen from its front
	Stop      Side // at which both its boards are cut
}

// Corners returns the four corners and the stop each is cut at. The stop
// follows from faces and edge by turning the boards: with the drawer's axes X
// to the right, Y to the back, Z up, the front left pin board has its inside
// (+Y) up and its end (-X) towards the operator, so its top (+Z = X x Y) points
// away from the left stop and its bottom edge lies there. Opposite corners share
// a stop.
func Corners() [4]Corner {
	return [4]Corner{
		{Front, Left, Left},
		{Front, Right, Right},
		{Back, Left, Right},
		{Back, Right, Left},
	}
}
