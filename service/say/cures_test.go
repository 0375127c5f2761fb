package say

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"snugtail/joint/correct"
	"snugtail/joint/diagnose"
)

// A step that stops at a limit says what is past it; one that mends says what
// it takes away.
func TestCureWhy(t *testing.T) {
	chips := &diagnose.Cause{Code: diagnose.CauseChipsUnder}
	for want, step := range map[string]diagnose.Step{
		"Past this limit tools or wood are damaged.":                    {Action: correct.StopAndFix, Fix: diagnose.FixLimit},
		"It takes the cause away: " + causeTexts[chips.Code].name + ".": {Action: correct.StopAndFix, Fix: diagnose.FixChips},
		"To see whether it was that, before drawer parts are cut.":      {Action: correct.RecutTest},
		"Deeper is tighter: brings play to the target.":                 {Action: correct.LowerCutter},
		"Shallower is looser: brings play to the target.":               {Action: correct.RaiseCutter},
		"A joint that fits is a setting worth keeping.":                 {Action: correct.KeepGauge},
	} {
		assert.Equal(t, want, CureWhy(&step, chips))
	}
}
