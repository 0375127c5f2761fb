package say

import (
	"math"

	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/joint/setting"
	"snugtail/service/message"
)

// How a depth is set: steps of an adjuster, or a stack of gauge blocks.

// Set is a depth, and what it is set with.
type Set struct {
	*setting.Best
	Router   *joint.Router
	Template *joint.Template
	Counted  bool // from the depth set now, not from the wood's face
}

// Setting is how a depth is set, and what it costs that it is not the ideal one.
func Setting(s Set) message.Message {
	return message.Sentences(setBy(s), lossOf(s.Best), backOff(&s.Setting), withoutBlocks(s))
}

func setBy(s Set) message.Message {
	switch {
	case s.Setting.Way == setting.Blocks:
		return stacked(&s.Setting)
	case s.Setting.Way == setting.Steps:
		return stepped(s)
	case s.Setting.TurnsKnown:
		return turned(s)
	case len(s.Router.GaugeBlocks) == 0:
		return message.New("setting_any")
	case !s.Template.Thickness.Given:
		return message.Message{} // that the blocks were left out is told
	}
	return message.New("setting_no_stack")
}

// lossOf says what chance is lost against the ideal depth.
func lossOf(best *setting.Best) message.Message {
	points := int(math.Round(100 * best.Loss))
	if points <= 0 {
		return message.Message{}
	}
	return message.New("setting_loss", message.Length("ideal", best.Ideal), message.Count("points", points))
}

func backOff(s *setting.Setting) message.Message {
	if s.BackOff <= 0 || s.Way == setting.Blocks {
		return message.Message{}
	}
	return message.New("setting_back_off", message.Length("back_off", s.BackOff))
}

func withoutBlocks(s Set) message.Message {
	if len(s.Router.GaugeBlocks) == 0 || s.Template.Thickness.Given {
		return message.Message{}
	}
	return message.New("setting_without_blocks")
}

// countedFrom is where turns and steps are counted from.
func countedFrom(now bool) message.Param {
	if now {
		return message.Word("from", "setting_from", "depth_now")
	}
	return message.Word("from", "setting_from", "wood")
}

func turned(s Set) message.Message {
	m := message.New("setting_turns", countedFrom(s.Counted))
	n := s.Setting.Turns
	if math.Abs(n) < 0.005 {
		return m.As("none")
	}
	return m.With(message.Number("turns", math.Abs(n)), Way("way", length.Length(n))).As("some")
}

func stepped(s Set) message.Message {
	n := s.Setting.Steps
	if n == 0 {
		return message.New("setting_steps").As("none")
	}
	m := message.New("setting_steps", message.Count("steps", max(n, -n)), message.Length("step", s.Router.AdjusterStep.Length),
		Way("way", length.Length(n)), countedFrom(s.Counted)).As("some")
	if s.Setting.TurnsKnown {
		return m.With(message.Number("turns", math.Abs(s.Setting.Turns)))
	}
	return m
}

func stacked(s *setting.Setting) message.Message {
	blocks := make([]message.Message, len(s.Stack))
	total := length.Length(0)
	for i, block := range s.Stack {
		blocks[i] = message.New("setting_block", message.Length("size", block))
		total += block
	}
	m := message.New("setting_stack", message.List("stack", blocks...))
	if len(blocks) > 1 {
		m = m.With(message.Length("total", total))
	}
	if s.Surface == setting.BushingTip {
		return m.As("bushing_tip")
	}
	return m.As("base")
}
