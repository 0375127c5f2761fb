package answers

import (
	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/advise"
	"snugtail/joint/setting"
	"snugtail/service/say"
)

// Setting writes how a depth is set with a router; counted says that its steps
// are counted from a depth that it stands at, not from the wood's face.
func (w Writer) Setting(best *setting.Best, s *joint.Setup, counted bool) *api.Setting {
	set := &best.Setting
	m := say.Setting(say.Set{Best: best, Router: &s.Router, Template: &s.Template, Counted: counted})
	out := &api.Setting{
		From: from(set, counted), Stack: make([]api.Length, len(set.Stack)), Loss: Rounded(best.Loss),
		Ideal: w.Length(best.Ideal), BackOff: w.Known(set.BackOff, set.BackOff > 0),
		Code: m.Code,
	}
	out.Text, out.Params = w.Say(m)
	if set.TurnsKnown {
		turns := Rounded(set.Turns)
		out.Turns = &turns
	}
	if set.Way == setting.Steps {
		out.Steps = &set.Steps
	}
	for i, block := range set.Stack {
		out.Stack[i] = w.Length(block)
	}
	return out
}

func from(s *setting.Setting, counted bool) string {
	switch {
	case s.Way == setting.Blocks && s.Surface == setting.BushingTip:
		return "bushing_tip"
	case s.Way == setting.Blocks:
		return "base"
	case counted:
		return "depth_now"
	}
	return "wood"
}

// BestDepth writes the depth to set, nil where there is none.
func (w Writer) BestDepth(best *setting.Best, ok bool, s *joint.Setup) *api.BestDepth {
	if !ok {
		return nil
	}
	return &api.BestDepth{Depth: w.Length(best.Setting.Depth), Chance: Rounded(best.Chance), Setting: w.Setting(best, s, true)}
}

// NextSetting writes how the next depth is set, nil where none is advised.
func (w Writer) NextSetting(a *advise.Advice) *api.Setting {
	if !a.NextKnown {
		return nil
	}
	setup := a.Next.Setup()
	return w.Setting(&a.Set, &setup, !a.Missing.Depth)
}
