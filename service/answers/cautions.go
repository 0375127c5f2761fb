package answers

import (
	"snugtail/api"
	"snugtail/joint"
	"snugtail/service/message"
	"snugtail/service/say"
)

// Cautions are warnings by their codes.
func (w Writer) Cautions(codes ...string) []api.Caution {
	all := make([]api.Caution, len(codes))
	for i, code := range codes {
		all[i].Code = code
		all[i].Text, all[i].Params = w.Say(say.Caution(code))
	}
	return all
}

// caution is one warning of a code whose sentence depends on the case.
func (w Writer) caution(code string, m message.Message) []api.Caution {
	out := api.Caution{Code: code}
	out.Text, out.Params = w.Say(m)
	return []api.Caution{out}
}

// BeforeFirstCut: before anything is cut, what counts is the first test.
func (w Writer) BeforeFirstCut(p *joint.Prediction) []api.Caution {
	codes := make([]string, 0, 10)
	codes = append(codes, "power_off", "test_in_scrap", "same_face_to_stop", "score_and_back_up", "blow_out_chips")
	return w.Cautions(ForCutting(codes, &p.Joint, &p.Limits)...)
}

// wideCutter is the diameter, mm, from which a caution on speed is told. Judgement.
const wideCutter = 19

// ForCutting adds the cautions that every cut needs, and those that this set-up does.
func ForCutting(codes []string, j *joint.Joint, limits *joint.Limits) []string {
	setup := j.Setup()
	if setup.Cutter.TipDiameter() > setup.Bushing.Diameter.Length {
		codes = append(codes, "never_lift_running_router")
	}
	if setup.Cutter.TipDiameter() >= wideCutter {
		codes = append(codes, "speed_for_width")
	}
	if lap := limits[joint.LimitLap]; lap.Known && lap.Margin < joint.ComfortableLap-joint.LeastLap {
		codes = append(codes, "thin_lap")
	}
	if s := j.Shortfall(); !s.Checked {
		codes = append(codes, "joint_not_checked")
	}
	return append(codes, "eyes_ears_dust", "own_instructions_first")
}
