package service

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/api"
	"snugtail/joint/length"
	"snugtail/service/transfer"
)

// inchSetup is a set-up cut at a depth, in inches, with nothing known of its router.
func inchSetup(depth string) string {
	return fmt.Sprintf(`{"units":"in","setup":{"template":{"kind":"one_piece","pitch":"7/8 in","opening":"0.484 in","thickness":"5/16 in"},`+
		`"bushing":{"diameter":"7/16 in"},"cutter":{"diameter":"1/2 in","angle":14},"depth":%q,"pin_board":{"thickness":"3/4 in"}}}`, depth)
}

// Headlines say the likeliest, or between which it is a toss-up, wherever the play lies.
func TestHeadlinesFollowTheProbabilities(t *testing.T) {
	c := newCaller(t)
	apart, tossed := 0, 0
	for thousandth := 380; thousandth <= 480; thousandth += 4 {
		a := answerOf[api.FitPredictionAnswer](t, c, "/v1/fit-predictions", inchSetup(fmt.Sprintf("0.%d in", thousandth)))
		p := a.Fit.Probability
		of := map[string]float64{"too_loose": p.TooLoose, "loose": p.Loose, "hand_fit": p.HandFit, "tight": p.Tight, "will_not_close": p.WillNotClose, "no_joint": p.NoJoint}
		first := of[a.Fit.Likeliest[0]]
		for band, chance := range of {
			assert.LessOrEqual(t, chance, first, band)
			if band != a.Fit.Likeliest[0] {
				assert.Equal(t, chance >= first-0.1, slices.Contains(a.Fit.Likeliest, band), band)
			}
		}
		if len(a.Fit.Likeliest) == 1 {
			assert.True(t, strings.HasPrefix(a.Summary, "Most likely "), a.Summary)
		} else {
			assert.True(t, strings.HasPrefix(a.Summary, "A toss-up between "), a.Summary)
			tossed++
		}
		if a.Fit.Band != a.Fit.Likeliest[0] {
			apart++
		}
		assert.Contains(t, a.Summary, "if every size is as stated")
	}
	assert.Positive(t, apart, "the play lies in another band than the likeliest somewhere")
	assert.Positive(t, tossed)
}

// A sheet for a depth that is not the best one prints both, each by its name, and
// leads to the advised one; without test cuts a correction doubts the labels.
func TestSheetPrintsTheAdvisedDepth(t *testing.T) {
	c := newCaller(t)
	body := inchSetup("3/8 in")
	a := answerOf[api.FitPredictionAnswer](t, c, "/v1/fit-predictions", body)
	require.NotNil(t, a.BestDepth)
	advised := englishInches(t).Setting(length.Length(a.BestDepth.Depth.MM))
	require.Contains(t, a.Summary, "The best depth to set is "+advised)
	text := unwrapped(asked(t, c.handler, sheetPath, body, transfer.Text))
	assert.Contains(t, text, "DEPTH OF CUT "+strings.TrimSuffix(advised, ")")+"; ")
	assert.Contains(t, text, ", advised depth as set 3/8 in (")
	assert.Contains(t, text, "Change the depth until it is "+advised)
	assert.NotContains(t, text, "until it is 3/8 in")

	correction := answerOf[api.CorrectionAnswer](t, c, "/v1/corrections", body)
	assert.Less(t, correction.Decision.Chance, a.BestDepth.Chance)
	assert.Contains(t, correction.Summary, "since sizes are not always as stated")
}

// No text for people writes a remainder beside a fraction, which reads as a tolerance.
func TestNoTextHasRemainders(t *testing.T) {
	c := newCaller(t)
	for _, path := range []string{"/v1/fit-predictions", "/v1/corrections", "/v1/setup-sheets", "/v1/diagnoses"} {
		for thousandth := 381; thousandth <= 480; thousandth += 9 {
			text := unwrapped(asked(t, c.handler, path, inchSetup(fmt.Sprintf("0.%d in", thousandth)), transfer.Text))
			assert.NotRegexp(t, `in [+-]0\.0`, text, path)
		}
	}
}
