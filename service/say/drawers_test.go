package say

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/joint/layout"
	"snugtail/joint/parts"
	"snugtail/service/codes"
	"snugtail/service/message"
)

// Every code of a layout and of drawers has its sentence in every language.
func TestDrawersHaveTheirSentences(t *testing.T) {
	all, err := message.Load()
	require.NoError(t, err)
	var keys []string
	under := func(set string, codes ...string) {
		for _, code := range codes {
			keys = append(keys, set+"."+code)
		}
	}
	under("layout_ends", codes.Endings[:]...)
	under("plain.layout.ending", codes.Endings[:]...)
	under("layout_centre", codes.Centres[:]...)
	under("layout_stop", codes.Sides[:]...)
	for depthwise := range codes.Depthwise {
		for side := range codes.Sides {
			under("layout_corner", codes.Depthwise[depthwise]+"_"+codes.Sides[side])
		}
	}
	under("plain.layout.share", codes.Shares[layout.Half], codes.Shares[layout.Partly])
	under("drawer_part", codes.DrawerParts[:]...)
	under("drawer_end", codes.Ends[:]...)
	under("csv.cut.tails", codes.Ends[:]...)
	for reason, code := range codes.Refusals {
		if reason := parts.Reason(reason); reason != parts.ReasonSawnPlay && reason != parts.ReasonNoCutter && reason != parts.ReasonSidesTooHigh {
			under("drawer_refused", code)
		}
	}
	for code, name := range codes.PartsWarnings {
		if parts.WarningCode(code) != parts.DrawerSwells {
			under("drawer_warning", name)
		}
	}
	under("drawer_warning.drawer_swells", cureCodes[parts.FieldHeight], cureCodes[parts.FieldWidth])
	for field, code := range cureCodes {
		if parts.Field(field) != parts.FieldSides { // which wood to take instead is not told
			under("drawer_cure", code)
		}
	}
	for _, c := range all.All() {
		for _, key := range keys {
			assert.True(t, c.Has(key), "%s: %s", c.Language, key)
		}
	}
}

// Every place of the sentences on refusals and warnings is filled in, in either
// language.
func TestDrawersSentencesAreWhole(t *testing.T) {
	all, err := message.Load()
	require.NoError(t, err)
	made := &parts.Made{Parts: make([]parts.Part, len(codes.DrawerParts))}
	for _, c := range all.All() {
		w := message.Printer{Catalogue: c}
		for code := range codes.PartsWarnings {
			warning := &parts.Warning{Code: parts.WarningCode(code), UnderBack: true, Instead: []parts.Instead{{Field: parts.FieldThickness}, {Field: parts.FieldUnderBack}}}
			assert.NotContains(t, w.Text(WarningText(warning, made)), "[", "%s: %s", c.Language, codes.PartsWarnings[code])
		}
		job := &Job{Words: Words{Printer: w}, Job: new(parts.Job), Plan: new(parts.Plan)}
		for reason := range codes.Refusals {
			refused := &parts.Made{Refusal: &parts.Refusal{Reason: parts.Reason(reason), Part: parts.Side}}
			if parts.Reason(reason) == parts.ReasonSawnPlay {
				refused.Sawn = parts.Sawn{Given: true, Depth: 10}
			}
			assert.NotContains(t, w.Text(job.RefusalText(refused)), "[", "%s: %s", c.Language, codes.Refusals[reason])
		}
	}
}
