package working

import (
	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/advise"
	"snugtail/joint/belief"
	"snugtail/service/answers"
	"snugtail/service/codes"
	"snugtail/service/message"
)

// Diagnosis shows how the probabilities of the causes that are told came about.
func Diagnosis(w answers.Writer, a *advise.Advice, c *belief.Case, told int) []api.WorkingLine {
	var lines []figure
	if a.StatedKnown {
		s, play := &c.Setup, &joint.PlayFormula
		lines = append(lines, allowanceLine(s, s.Template.TotalAllowance().MM()),
			shown(message.New("working.stated_play"), play.Text+", of the sizes as stated at the depth set", play.Cited(), values{
				"K": s.Template.TotalAllowance().MM(), "d": s.Cutter.TipDiameter().MM(), "g": s.Bushing.Diameter.MM(),
				"a": float64(s.Cutter.Angle), "h": s.Depth.Deeper().MM(),
			}, a.Stated.MM()))
	}
	for i := range a.Causes[:told] {
		cause := &a.Causes[i]
		if cause.Prior == 0 {
			continue
		}
		lines = append(lines, procedure(message.New("working.probability", message.Word("cause", "cause_name", codes.Causes[cause.Code])), &belief.CauseProcedure,
			values{"P(cause)": cause.Prior, "R": cause.Probability / cause.Prior}, cause.Probability))
	}
	if n := a.NextCheck; n != nil {
		lines = append(lines, procedure(message.New("working.expected_gain"), &belief.GainProcedure, values{"minutes": n.Minutes}, n.Gain))
	}
	return written(w, lines)
}
