package joint

import "snugtail/joint/length"

// Target is the play that is wanted and the range that is still good.
type Target struct {
	Play, From, To length.Length
}

// Default targets, mm. Judgement: room for glue, thin enough to be bridged
// by it; more tails add up their errors and want a little more.
const (
	DefaultPlay  = 0.10
	ManyTailPlay = 0.15
	ManyTails    = 8 // more than this many tails want ManyTailPlay
)

// DefaultTarget returns the target that holds when none is stated.
func DefaultTarget(tails int) Target {
	t := Target{Play: DefaultPlay, From: TightBelow, To: LooseAbove}
	if tails > ManyTails {
		t.Play = ManyTailPlay
	}
	return t
}

// Holds reports whether play c is within the target's range.
func (t Target) Holds(c length.Length) bool {
	c = c.Rounded()
	return c >= t.From && c <= t.To
}

// Tails returns how many whole pitches the boards are wide, 0 where width or
// pitch was not stated.
func (s Setup) Tails() int {
	width := s.PinBoard.Width.Or(s.TailBoard.Width.Length)
	if s.Template.Pitch.Length <= 0 {
		return 0
	}
	const slack = 1e-9 // a width of exactly n pitches is n tails
	return int(width.MM()/s.Template.Pitch.MM() + slack)
}
