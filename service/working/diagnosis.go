package working

import (
	"snugtail/api"
	"snugtail/joint/advise"
	"snugtail/joint/belief"
	"snugtail/service/codes"
)

// Diagnosis shows how the probabilities of the causes that are told came about.
func Diagnosis(a *advise.Advice, c *belief.Case, told int) []api.WorkingLine {
	var lines []api.WorkingLine
	if a.StatedKnown {
		s := &c.Setup
		lines = append(lines, allowanceLine(s, s.Template.TotalAllowance().MM()),
			line("stated_play", "c = K + 2 (d - g) - 2 h tan a, of the sizes as stated at the depth set", model+"4", values{
				"K": s.Template.TotalAllowance().MM(), "d": s.Cutter.TipDiameter().MM(), "g": s.Bushing.Diameter.MM(),
				"a": float64(s.Cutter.Angle), "h": s.Depth.Deeper().MM(),
			}, a.Stated.MM()))
	}
	for i := range a.Causes[:told] {
		cause := &a.Causes[i]
		if cause.Prior == 0 {
			continue
		}
		lines = append(lines, line("probability_"+codes.Causes[cause.Code],
			"P(cause | seen) = P(cause) * R, R how much likelier what was told is under the cause than on average over all causes", model+"10",
			values{"P(cause)": cause.Prior, "R": cause.Probability / cause.Prior}, cause.Probability))
	}
	if n := a.NextCheck; n != nil {
		lines = append(lines, line("expected_gain", "expected drop of the entropy of the causes' probabilities, bits", model+"10",
			values{"minutes": n.Minutes}, n.Gain))
	}
	return lines
}
