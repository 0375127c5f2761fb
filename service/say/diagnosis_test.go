package say

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"snugtail/joint/belief"
	"snugtail/service/codes"
)

// Every code of a diagnosis has its words.
func TestDiagnosisHasItsWords(t *testing.T) {
	for f := range findingTexts {
		assert.NotEmpty(t, findingTexts[f])
	}
	for code := range belief.CauseCount {
		for _, text := range []string{causeTexts[code].name, causeTexts[code].text, causeTexts[code].ifSo} {
			assert.NotEmpty(t, text, codes.Causes[code])
		}
	}
	for check := range belief.CheckCount {
		for _, text := range []string{checkTexts[check].short, checkTexts[check].tool, checkTexts[check].text, checkTexts[check].post} {
			assert.NotEmpty(t, text, codes.Checks[check])
		}
	}
}
