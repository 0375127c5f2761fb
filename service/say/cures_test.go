package say

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/joint/advise"
	"snugtail/joint/belief"
	"snugtail/joint/length"
	"snugtail/service/message"
)

// A step that stops at a limit says what is past it; one that mends says what
// it takes away.
func TestStepWhy(t *testing.T) {
	all := printers(t)
	for want, step := range map[string]advise.Step{
		"Past this limit tools or wood are damaged.":                      {Action: advise.StopAndFix, Fix: advise.FixLimit, Reason: advise.ReasonLimit},
		"It brings the depth that closes the joint within the limit.":     {Action: advise.ChangeBushing, Reason: advise.ReasonLimit},
		"Tools and wood vary: prove every change with a test joint.":      {Action: advise.RecutTest, Reason: advise.ReasonTry},
		"Deeper is tighter: it brings play to the target.":                {Action: advise.LowerCutter, Reason: advise.ReasonPlay},
		"Shallower is looser: it brings play to the target.":              {Action: advise.RaiseCutter, Reason: advise.ReasonPlay},
		"Play is within the target; any more adjusting can only lose it.": {Action: advise.KeepGauge, Reason: advise.ReasonFits},
	} {
		assert.Equal(t, want, all[0].Text(StepWhy(&step)))
	}
	for reason := range advise.ReasonNoJoint + 1 {
		if reason != advise.ReasonCause {
			assertSaid(t, all, StepWhy(&advise.Step{Reason: reason}))
		}
	}
	chips := StepWhy(&advise.Step{Action: advise.StopAndFix, Reason: advise.ReasonCause, Cause: belief.CauseChipsUnder})
	assert.Equal(t, message.New("step_why.cause", message.Word("cause", "cause_name", "chips_under")), chips)
}

// Settings are told as a hand sets them: 0.05 mm, or 0.001 in with the 64th
// beside it; what can be set in the router's steps, in these.
func TestFiguresForPeople(t *testing.T) {
	const in = length.Inch
	all, err := message.Load()
	require.NoError(t, err)
	of := all.Default()
	mm, inch, clicks := message.Printer{Catalogue: of}, message.Printer{Catalogue: of, Unit: length.UnitInch}, message.Printer{Catalogue: of, AdjusterStep: 0.1}
	for want, got := range map[string]string{
		"10.85 mm":                   mm.Setting(10.8683),
		"0.429 in (just over 27/64)": inch.Setting(0.4286 * in),
		"0.42 in (just under 27/64)": inch.Setting(0.4203 * in),
		"7/16 in":                    inch.Setting(0.43751 * in),
		"27/64 in":                   inch.Setting(27.0 / 64 * in),
		"1.15 mm":                    mm.Turn(1.1377),
		"3/64 in":                    inch.Turn(0.045 * in),
		"0.004 in":                   inch.Turn(0.0042 * in),
		"0.4 mm":                     clicks.Turn(0.386),
		"18.7 mm":                    mm.Board(18.68),
		"47/64 in":                   inch.Board(0.735 * in),
		"0.31 mm":                    mm.About(0.3125),
	} {
		assert.Equal(t, want, got)
	}
}
