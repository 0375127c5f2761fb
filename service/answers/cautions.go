package answers

import (
	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/correct"
	"snugtail/service/say"
)

// Cautions are warnings by their codes.
func Cautions(codes ...string) []api.Caution {
	all := make([]api.Caution, len(codes))
	for i, code := range codes {
		all[i] = api.Caution{Code: code, Text: say.Caution(code)}
	}
	return all
}

// BeforeFirstCut: before anything is cut, what counts is the first test.
func BeforeFirstCut(p *joint.Prediction) []api.Caution {
	codes := make([]string, 0, 10)
	codes = append(codes, "power_off", "test_in_scrap", "same_face_to_stop", "score_and_back_up", "blow_out_chips")
	return Cautions(ForCutting(codes, &p.Joint, &p.Limits)...)
}

// ForCutting adds the cautions that every cut needs, and those that this set-up does.
func ForCutting(codes []string, j *joint.Joint, limits *joint.Limits) []string {
	setup := j.Setup()
	if setup.Cutter.TipDiameter() > setup.Bushing.Diameter.Length {
		codes = append(codes, "never_lift_running_router")
	}
	if lap := limits[joint.LimitLap]; lap.Known && lap.Margin < joint.ComfortableLap-joint.LeastLap {
		codes = append(codes, "thin_lap")
	}
	return append(codes, "eyes_ears_dust", "own_instructions_first")
}

// AfterTestCuts fit the steps told.
func AfterTestCuts(c *correct.Correction) []api.Caution {
	codes := make([]string, 0, 12)
	if c.Verdict == correct.Fits {
		return Cautions(ForCutting(append(codes, "same_face_to_stop", "blow_out_chips"), &c.Next, &c.Limits)...)
	}
	codes = append(codes, "power_off", "test_in_scrap")
	for i := range c.Steps {
		if c.Steps[i].Action == correct.LowerCutter {
			codes = append(codes, "fresh_boards")
			break
		}
	}
	if c.Learned.OnlyFelt {
		codes = append(codes, "estimate_only")
	}
	codes = append(codes, "same_face_to_stop", "score_and_back_up", "blow_out_chips")
	return Cautions(ForCutting(codes, &c.Next, &c.Limits)...)
}
