package say

import (
	"fmt"
	"math"
	"strings"

	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/joint/setting"
)

// How a depth is set: steps of an adjuster, or a stack of gauge blocks.

// Set is a depth, and what it is set with.
type Set struct {
	*setting.Best
	Router   *joint.Router
	Template *joint.Template
	Counted  bool // from the depth set now, not from the wood's face
}

// SetBy names on the page how the depth is set.
const SetBy = "set by"

// SetText is how a depth is set, and what it costs that it is not the ideal one.
func (w Words) SetText(s Set) string {
	var said []string
	switch s.Setting.Way {
	case setting.Blocks:
		said = append(said, w.stacked(&s.Setting))
	case setting.Steps:
		said = append(said, w.stepped(s))
	default:
		if s.Setting.TurnsKnown {
			said = append(said, capital(turns(s.Setting.Turns))+" "+countedFrom(s.Counted)+".")
		} else if len(s.Router.GaugeBlocks) == 0 {
			said = append(said, "Any depth is taken as one you can set: adjuster_step and gauge_blocks of the router are not stated.")
		}
	}
	if points := int(math.Round(100 * s.Loss)); points > 0 {
		said = append(said, fmt.Sprintf("At %s, which can't be set here, the chance would be %d points higher.", w.about(s.Ideal), points))
	}
	if s.Setting.BackOff > 0 && s.Setting.Way != setting.Blocks {
		said = append(said, fmt.Sprintf("Back off by more than the %s of lost motion, come up to the mark always the same way, lock, and measure again.", w.about(s.Setting.BackOff)))
	}
	if len(s.Router.GaugeBlocks) > 0 && !s.Template.Thickness.Given {
		said = append(said, "The gauge blocks were left out: a stack gives a depth only with the template's thickness.")
	}
	return strings.Join(said, " ")
}

func countedFrom(now bool) string {
	if now {
		return "from the depth set now"
	}
	return "from where the cutter's tip touches the wood's face"
}

func turns(n float64) string {
	switch {
	case math.Abs(n) < 0.005:
		return "no turn of the adjuster"
	case n < 0:
		return fmt.Sprintf("%.2f turns of the adjuster shallower", -n)
	}
	return fmt.Sprintf("%.2f turns of the adjuster deeper", n)
}

func (w Words) stepped(s Set) string {
	n, way := s.Setting.Steps, "deeper"
	if n < 0 {
		n, way = -n, "shallower"
	}
	if n == 0 {
		return "As it is set now."
	}
	name := "steps"
	if n == 1 {
		name = "step"
	}
	text := fmt.Sprintf("%d %s of %s %s %s", n, name, w.about(s.Router.AdjusterStep.Length), way, countedFrom(s.Counted))
	if s.Setting.TurnsKnown {
		text += fmt.Sprintf(" (%.2f turns)", math.Abs(s.Setting.Turns))
	}
	return text + "."
}

func (w Words) stacked(s *setting.Setting) string {
	blocks := make([]string, len(s.Stack))
	total := length.Length(0)
	for i, block := range s.Stack {
		blocks[i] = w.Size(block)
		total += block
	}
	surface := "the router's base"
	if s.Surface == setting.BushingTip {
		surface = "the bushing's tip"
	}
	sum := ""
	if len(blocks) > 1 {
		sum = ", " + w.Size(total) + " in all,"
	}
	return fmt.Sprintf("Router unplugged: stand %s on %s%s on a flat board, and bring the cutter down to that board.", surface, strings.Join(blocks, " + "), sum)
}
