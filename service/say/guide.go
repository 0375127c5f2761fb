package say

import (
	"strings"
	"sync"

	"snugtail/joint"
	"snugtail/joint/belief"
)

// Texts on causes, checks and steps speak of a guide bushing. Where a bearing on
// the cutter's shank runs along the template they speak of that.

// bearingSpeech puts the bearing where texts have the bushing. A bearing sits on
// the shank, so what is looked for is whether it is loose or runs out of true.
var bearingSpeech = sync.OnceValue(func() *strings.Replacer {
	return strings.NewReplacer(
		checkTexts[belief.CheckMeasureBushing].text,
		"Router unplugged: measure the bearing's outside with a caliper. Then try by hand whether it is loose on the shank, and whether it runs true.",
		"centre the bushing on the cutter's axis, with a centring cone", "see that the bearing sits tight on the shank and runs true; fit a new one if it doesn't",
		"centre the bushing on the cutter's axis", "see that the bearing sits tight on the shank",
		"the cutter is not in the middle of the bushing's bore, or the bushing is loose", "the bearing is loose on the shank, or does not run true",
		"the cutter is not in the middle of the bushing's bore", "the bearing does not run true",
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
