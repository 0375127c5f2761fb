package say

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"snugtail/joint/advise"
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
	for fix := advise.FixLimit; fix <= advise.FixThinner; fix++ {
		if fix != advise.FixLimit { // its text holds the limit
			assert.NotEmpty(t, fixTexts[fix], "fix %d", fix)
		}
	}
}
