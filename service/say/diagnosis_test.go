package say

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/joint/advise"
	"snugtail/joint/belief"
	"snugtail/joint/length"
	"snugtail/service/codes"
	"snugtail/service/message"
)

// english are words in English, in millimetres.
func english(t *testing.T) Words {
	t.Helper()
	all, err := message.Load()
	require.NoError(t, err)
	return Words{Printer: message.Printer{Catalogue: all.Default()}}
}

// Every code of a diagnosis has its words.
func TestDiagnosisHasItsWords(t *testing.T) {
	w := english(t)
	has := func(key string) { assert.True(t, w.Has(key), key) }
	for _, code := range codes.Findings {
		has("finding." + code)
	}
	for _, code := range codes.Causes {
		has("cause_name." + code)
		has("cause_text." + code)
		has("cause_seen." + code)
	}
	for _, code := range codes.Checks {
		has("check_short." + code)
		has("check_tool." + code)
		has("check_text." + code)
		has("check_post." + code)
	}
}

// A size is told with the cause where it says more than the cause alone.
func TestCauseSizes(t *testing.T) {
	w := english(t)
	for kind := range codes.CauseSizes {
		for _, by := range []length.Length{-0.3, 0.3} {
			said := w.Text(CauseSentence(&advise.Cause{Share: belief.Share{Code: belief.CauseDepthOff}, Size: belief.Size{Kind: kind, Length: by, Against: 12, Angle: 14, AgainstAngle: 9}}))
			assert.NotContains(t, said, "[")
			assert.Greater(t, len(said), len(w.Of("cause_text.depth_off")))
			assert.NotContains(t, said, "-0.3 mm too")
		}
	}
	for want, c := range map[string]advise.Cause{
		"a guide bushing of 7/16 in instead of 12 mm": {Share: belief.Share{Code: belief.CauseBushingDiameter}, Size: belief.Size{Kind: belief.SizeBushing, Length: 7.0 / 16 * length.Inch, Against: 12}},
		"a guide bushing of another size":             {Share: belief.Share{Code: belief.CauseBushingDiameter}, Size: belief.Size{Kind: belief.SizeBushing, Length: 11}},
		"a cutter of 12 mm instead of 1/2 in":         {Share: belief.Share{Code: belief.CauseCutterDiameter}, Size: belief.Size{Kind: belief.SizeCutter, Length: 12, Against: 12.7}},
		"a cutter of 14 deg instead of 9.5 deg":       {Share: belief.Share{Code: belief.CauseCutterAngle}, Size: belief.Size{Kind: belief.SizeAngle, Angle: 14, AgainstAngle: 9.5}},
		"a cutter worn or resharpened":                {Share: belief.Share{Code: belief.CauseCutterResharpened}, Size: belief.Size{Kind: belief.SizeCutter, Length: 12.5, Against: 12.7}},
	} {
		assert.Equal(t, want, w.Text(Cause(&c)))
	}
}

// What a check may show is told in the words of its readings.
func TestOutcomes(t *testing.T) {
	w := english(t)
	told := func(q belief.Quantity, s belief.Side, x length.Length) advise.Told {
		return advise.Told{Figure: belief.Figure{Quantity: q, Side: s}, Length: x}
	}
	wobbles := belief.Evidence{Seen: belief.SeenFinding, Finding: belief.FoundBushingWobbles, Answer: belief.Yes}
	for want, o := range map[string]advise.Outcome{
		"nothing is to be seen":                                 {},
		"the bushing measures about 12 mm, the bushing wobbles": {Figures: []advise.Told{told(belief.QuantityBushing, 0, 12)}, Seen: []belief.Evidence{wobbles}},
		"at the left end it is tight, the shoulder is closed; at the right end it fits, the shoulder stands open about 0.3 mm": {Figures: []advise.Told{
			told(belief.QuantityPlay, belief.LeftEnd, -0.5), told(belief.QuantityShoulderGap, belief.LeftEnd, 0),
			told(belief.QuantityPlay, belief.RightEnd, 0.05), told(belief.QuantityShoulderGap, belief.RightEnd, 0.3),
		}},
		"both boards are cut about 10.9 mm deep":                           {Figures: []advise.Told{told(belief.QuantityPinDepth, 0, 10.9), told(belief.QuantityTailDepth, 0, 10.92)}},
		"the pin board is cut about 10.9 mm, the tail board about 11.2 mm": {Figures: []advise.Told{told(belief.QuantityPinDepth, 0, 10.9), told(belief.QuantityTailDepth, 0, 11.2)}},
		"sockets are narrower than pins and tails by about 0.2 mm":         {Figures: []advise.Told{told(belief.QuantityPinPlay, 0, -0.2), told(belief.QuantityTailPlay, 0, -0.22)}},
		"a pin socket is narrower than a pin by about 0.2 mm, a tail socket is wider than a tail by about 0.1 mm": {Figures: []advise.Told{
			told(belief.QuantityPinPlay, 0, -0.2), told(belief.QuantityTailPlay, 0, 0.1),
		}},
		"the side stands about 0.2 mm proud":             {Figures: []advise.Told{told(belief.QuantitySeat, 0, -0.2)}},
		"the side is about flush, the edges are in line": {Figures: []advise.Told{told(belief.QuantitySeat, 0, 0.01), told(belief.QuantityEdgeStep, 0, 0.01)}},
		"there is no gap, the shoulder is closed":        {Figures: []advise.Told{told(belief.QuantityPulledGap, 0, 0), told(belief.QuantityShoulderGap, 0, 0.02)}},
		"the angle is about 14 deg":                      {Figures: []advise.Told{{Figure: belief.Figure{Quantity: belief.QuantityAngle}, Angle: 14}}},
	} {
		assert.Equal(t, want, w.Text(OutcomeIf(&o)))
	}
	for q := range belief.Quantity(len(readingCodes)) {
		f := told(q, belief.RightEnd, 0.2)
		assert.NotContains(t, w.Text(reading(&f)), "[")
	}
}

// Evidence names the joint and the place as people count them.
func TestEvidence(t *testing.T) {
	w := english(t)
	for want, e := range map[string]belief.Evidence{
		"how test joint 1 went together":                   {Cut: 0, Place: belief.Whole, Seen: belief.SeenFeel},
		"the pins of test joint 2 at place 3":              {Cut: 1, Place: 2, Seen: belief.SeenPinWidest},
		"the bushing's diameter":                           {Cut: belief.Whole, Place: belief.Whole, Seen: belief.SeenBushing},
		"that the template rocks":                          {Seen: belief.SeenFinding, Finding: belief.FoundTemplateRocks, Answer: belief.Yes},
		`the "no" to: both boards were cut at one setting`: {Seen: belief.SeenFinding, Finding: belief.FoundOneSetting, Answer: belief.No},
	} {
		assert.Equal(t, want, w.Text(Evidence(e)))
	}
	for seen := range codes.Seen {
		e := belief.Evidence{Seen: belief.Seen(seen), Place: belief.Whole}
		assert.NotContains(t, w.Text(Evidence(e)), "[")
	}
	w.Variant = Bearing
	assert.Equal(t, "the bearing's diameter", w.Text(Evidence(belief.Evidence{Seen: belief.SeenBushing})))
}
