package working

import (
	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/advise"
	"snugtail/joint/belief"
	"snugtail/service/codes"
)

// Diagnosis shows how the probabilities of the causes that are told came about.
func Diagnosis(a *advise.Advice, c *belief.Case, told int) []api.WorkingLine {
	var lines []api.WorkingLine
	if a.StatedKnown {
		s, play := &c.Setup, &joint.PlayFormula
		lines = append(lines, allowanceLine(s, s.Template.TotalAllowance().MM()),
			shown("stated_play", play.Text+", of the sizes as stated at the depth set", play.Cited(), values{
				"K": s.Template.TotalAllowance().MM(), "d": s.Cutter.TipDiameter().MM(), "g": s.Bushing.Diameter.MM(),
				"a": float64(s.Cutter.Angle), "h": s.Depth.Deeper().MM(),
			}, a.Stated.MM()))
	}
	for i := range a.Causes[:told] {
		cause := &a.Causes[i]
		if cause.Prior == 0 {
			continue
		}
		lines = append(lines, procedure("probability_"+codes.Causes[cause.Code], &belief.CauseProcedure,
			values{"P(cause)": cause.Prior, "R": cause.Probability / cause.Prior}, cause.Probability))
	}
	if n := a.NextCheck; n != nil {
		lines = append(lines, procedure("expected_gain", &belief.GainProcedure, values{"minutes": n.Minutes}, n.Gain))
	}
	return lines
}
