package plain

import (
	"fmt"
	"strings"

	"snugtail/api"
	"snugtail/service/say"
)

// For a phone: the likely causes, the check, what its outcomes mean.
const (
	phoneLines  = 15
	phoneCauses = 3
	phoneChance = 0.05 // of a cause that is still told after the first two
)

// Diagnosis is at most phoneLines long. A cause that is as good as sure is
// told with its cure instead of a check.
func Diagnosis(a *api.DiagnosisAnswer) string {
	var lines []string
	if a.Unexplained {
		lines = append(lines, "Nothing single explains all that was seen.")
	}
	lines = append(lines, "LIKELY")
	for i := range a.Causes {
		c := &a.Causes[i]
		if i < phoneCauses && (i == 0 || c.Probability >= phoneChance) {
			lines = append(lines, wrapped(11, fmt.Sprintf("%10s %s", say.Percent(c.Probability), c.Name))...)
		}
	}
	n := a.NextCheck
	if n == nil || a.Causes[0].Probability >= say.SureEnough {
		return phone(withCure(lines, a.Causes[0].Cure))
	}
	lines = append(lines, wrapped(2, "CHECK NEXT, "+say.MinutesText(n.Minutes)+": "+n.Text)...)
	return phone(withOutcomes(lines, n.Outcomes))
}

func phone(lines []string) string {
	return strings.Join(lines[:min(len(lines), phoneLines)], "\n") + "\n"
}

// withCure adds the steps of a cure, as many as have room whole.
func withCure(lines []string, cure []api.Step) []string {
	return withRoomFor(append(lines, "DO"), len(cure), func(i int) []string {
		return wrapped(5, fmt.Sprintf("  %d. %s", cure[i].Order, cure[i].Text))
	})
}

// withOutcomes adds what outcomes mean, as many as have room whole.
func withOutcomes(lines []string, outcomes []api.CheckOutcome) []string {
	return withRoomFor(lines, len(outcomes), func(i int) []string {
		return wrapped(4, fmt.Sprintf("  - if %s: %s", outcomes[i].If, outcomes[i].Means))
	})
}

// withRoomFor adds one after another of n items until one has no room whole.
func withRoomFor(lines []string, n int, item func(i int) []string) []string {
	for i := range n {
		more := item(i)
		if len(lines)+len(more) > phoneLines {
			break
		}
		lines = append(lines, more...)
	}
	return lines
}

// wrapped breaks a text into lines, but never a number from its % sign.
func wrapped(hang int, text string) []string {
	const glue = "\x00"
	s := new(Lines)
	s.Para(hang, strings.ReplaceAll(text, " %", glue+"%"))
	return strings.Split(strings.ReplaceAll(strings.TrimSuffix(s.String(), "\n"), glue, " "), "\n")
}
