package say

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"snugtail/joint/diagnose"
	"snugtail/service/codes"
)

// Every code of a diagnosis has its words.
func TestDiagnosisHasItsWords(t *testing.T) {
	for f := range findingTexts {
		assert.NotEmpty(t, findingTexts[f])
	}
	for code := range diagnose.CauseCount {
		for _, text := range []string{causeTexts[code].name, causeTexts[code].text, causeTexts[code].ifSo} {
			assert.NotEmpty(t, text, codes.Causes[code])
		}
	}
	for check := range diagnose.CheckCount {
		for _, text := range []string{checkTexts[check].short, checkTexts[check].tool, checkTexts[check].text, checkTexts[check].post} {
			assert.NotEmpty(t, text, codes.Checks[check])
		}
	}
	for fix := diagnose.FixCollet; fix <= diagnose.FixDepthInWood; fix++ {
		if fix != diagnose.FixCentre { // its text holds an amount
			assert.NotEmpty(t, fixTexts[fix], "fix %d", fix)
		}
	}
}
