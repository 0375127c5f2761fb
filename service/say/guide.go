package say

import (
	"strconv"
	"strings"
	"sync"

	"snugtail/joint"
	"snugtail/joint/advise"
	"snugtail/joint/belief"
	"snugtail/service/codes"
)

// Texts on steps speak of a guide bushing. Where a bearing on the cutter's shank
// runs along the template they speak of that.

// bearingSpeech puts the bearing where texts have the bushing. A bearing sits on
// the shank, so what is looked for is whether it is loose or runs out of true.
var bearingSpeech = sync.OnceValue(func() *strings.Replacer {
	return strings.NewReplacer(
		"centre the bushing on the cutter's axis, with a centring cone", "see that the bearing sits tight on the shank and runs true; fit a new one if it doesn't",
		"centre the bushing on the cutter's axis", "see that the bearing sits tight on the shank",
		"a guide bushing (guide bush)", "a bearing", "guide bushing's (guide bush's)", "bearing's",
		"guide bushing (guide bush)", "bearing", "guide bushing", "bearing", "Bushing", "Bearing", "bushing", "bearing",
	)
})

// Bearing is the variant of sentences where a bearing runs along the template.
const Bearing = "bearing"

// guided is a text on what runs along the template.
func (w Words) guided(text string) string {
	if w.Guide != joint.KindBearing {
		return text
	}
	return bearingSpeech().Replace(text)
}

// What follows puts causes and checks into words for texts that are no messages.

func (w Words) Cause(c *advise.Cause) string { return w.Text(Cause(c)) }

func (w Words) CauseName(code belief.Code) string { return w.Text(CauseName(code)) }

func (w Words) EvidenceText(e belief.Evidence) string { return w.Text(Evidence(e)) }

func (w Words) checkShort(c belief.Check) string { return w.Of("check_short." + codes.Checks[c]) }

func MinutesText(m float64) string { return strconv.FormatFloat(m, 'f', -1, 64) + " minutes" }
