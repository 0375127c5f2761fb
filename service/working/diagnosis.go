package working

import (
	"snugtail/api"
	"snugtail/joint/diagnose"
	"snugtail/service/codes"
)

// Diagnosis shows how the probabilities of the causes that are told came about.
func Diagnosis(d *diagnose.Diagnosis, c *diagnose.Case, told int) []api.WorkingLine {
	var lines []api.WorkingLine
	if d.StatedKnown {
		s := &c.Setup
		lines = append(lines, allowanceLine(s, s.Template.TotalAllowance().MM()),
			line("stated_play", "c = K + 2 (d - g) - 2 h tan a, of the sizes as stated at the depth first cut", model+"4", values{
				"K": s.Template.TotalAllowance().MM(), "d": s.Cutter.TipDiameter().MM(), "g": s.Bushing.Diameter.MM(),
				"a": float64(s.Cutter.Angle), "h": firstDepth(c),
			}, d.Stated.MM()))
	}
	for i := range d.Causes[:told] {
		cause := &d.Causes[i]
		if cause.Prior == 0 {
			continue
		}
		lines = append(lines, line("probability_"+codes.Causes[cause.Code],
			"P(cause | seen) = P(cause) * R, R how much likelier what was told is under the cause than on average over all causes", model+"10",
			values{"P(cause)": cause.Prior, "R": cause.Probability / cause.Prior}, cause.Probability))
	}
	if d.HasNext {
		lines = append(lines, line("expected_gain", "expected drop of the entropy of the causes' probabilities, bits; the check asked for has the most for each minute", model+"10",
			values{"minutes": d.Next.Minutes, "bits_per_minute": d.Next.Gain / d.Next.Minutes}, d.Next.Gain))
	}
	return lines
}

func firstDepth(c *diagnose.Case) float64 {
	if len(c.Cuts) > 0 && c.Cuts[0].Depth.PinBoard.Given {
		return c.Cuts[0].Depth.Deeper().MM()
	}
	return c.Setup.Depth.Deeper().MM()
}
