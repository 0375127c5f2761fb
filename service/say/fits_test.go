package say

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/joint/recommend"
	"snugtail/joint/setting"
	"snugtail/service/message"
)

// spoken writes in millimetres, in one of the languages.
func spoken(t *testing.T, language string) message.Printer {
	t.Helper()
	all, err := message.Load()
	require.NoError(t, err)
	return message.Printer{Catalogue: all.For(language)}
}

func TestOtherPairsAreCounted(t *testing.T) {
	en, de := spoken(t, "en"), spoken(t, "de")
	for _, row := range []struct {
		work, fail      int
		english, german string
	}{
		{0, 0, "", ""},
		{1, 0, "The only other pair works too.", "Das einzige andere Paar geht auch."},
		{0, 1, "The only other pair doesn't work.", "Das einzige andere Paar geht nicht."},
		{2, 0, "Both other pairs work too.", "Die beiden anderen Paare gehen auch."},
		{0, 2, "Neither of the other two pairs works.", "Von den beiden anderen Paaren geht keines."},
		{1, 1, "One of the other 2 pairs works too.", "Von den 2 anderen Paaren geht eines auch."},
		{3, 0, "All 3 other pairs work too.", "Alle 3 anderen Paare gehen auch."},
		{0, 3, "None of the other 3 pairs works.", "Von den 3 anderen Paaren geht keines."},
		{2, 7, "Of the other 9 pairs 2 work too.", "Von den 9 anderen Paaren gehen 2 auch."},
	} {
		assert.Equal(t, row.english, en.Text(others(row.work, row.fail)))
		assert.Equal(t, row.german, de.Text(others(row.work, row.fail)))
	}
}

// What is lacking of a template's reaches is named, and nothing else.
func TestNoJointNamesWhatIsShort(t *testing.T) {
	en, de := spoken(t, "en"), spoken(t, "de")
	for state, short := range map[string]joint.Shortfall{
		"both":     {FingerReach: 1.25, OpeningReach: 2.5},
		"fingers":  {FingerReach: 1.25},
		"openings": {OpeningReach: 2.5},
		"template": {},
	} {
		short.NoJoint, short.Limit, short.By = true, joint.LimitTailEnters, 0.75
		m := NoJoint(&short)
		assert.Equal(t, state, m.State)
		for _, said := range []string{en.Text(m), de.Text(m)} {
			assert.NotContains(t, said, "[")
		}
		assert.Contains(t, en.Text(m), "is short by 0.75 mm")
		assert.Contains(t, de.Text(m), "fehlen 0,75 mm")
		assert.Equal(t, short.FingerReach > 0, strings.Contains(en.Text(m), "the fingers have to reach 1.25 mm further"))
		assert.Equal(t, short.OpeningReach > 0, strings.Contains(en.Text(m), "the openings have to reach 2.5 mm further"))
	}
}

// Every way to set a depth has a sentence in every language.
func TestEveryWayToSetADepthIsSaid(t *testing.T) {
	router := &joint.Router{AdjusterStep: length.Size{Given: true, Length: 0.25}}
	const anyDepth = "Any depth is taken as one you can set: adjuster_step and gauge_blocks of the router are not stated."
	for _, c := range []struct {
		want string
		set  setting.Setting
	}{
		{"8 steps of 0.25 mm deeper from the depth set now (0.50 turns).", setting.Setting{Way: setting.Steps, Steps: 8, Turns: 0.5, TurnsKnown: true}},
		{"1 step of 0.25 mm shallower from the depth set now.", setting.Setting{Way: setting.Steps, Steps: -1}},
		{"As it is set now.", setting.Setting{Way: setting.Steps}},
		{"0.40 turns of the adjuster shallower from the depth set now.", setting.Setting{Turns: -0.4, TurnsKnown: true}},
		{"No turn of the adjuster from the depth set now.", setting.Setting{TurnsKnown: true}},
		{"Router unplugged: stand the router's base on 10 mm + 2 mm, 12 mm in all, on a flat board, and bring the cutter down to that board.", setting.Setting{Way: setting.Blocks, Stack: []length.Length{10, 2}}},
		{"Router unplugged: stand the bushing's tip on 10 mm on a flat board, and bring the cutter down to that board.", setting.Setting{Way: setting.Blocks, Stack: []length.Length{10}, Surface: setting.BushingTip}},
		{anyDepth, setting.Setting{}},
		{anyDepth + " Back off by more than the 0.3 mm of lost motion, come up to the mark always the same way, lock, and measure again.", setting.Setting{BackOff: 0.3}},
	} {
		m := Setting(Set{Best: &setting.Best{Setting: c.set}, Router: router, Template: &joint.Template{}, Counted: true})
		assert.Equal(t, c.want, spoken(t, "en").Text(m))
		assert.NotContains(t, spoken(t, "de").Text(m), "[")
	}
}

// A pair that is moved off the target's own play says both: where it is set, and
// what is wrong there.
func TestWhatKeepsAPairIsSaid(t *testing.T) {
	w := Words{Printer: spoken(t, "en")}
	r := &recommend.Refusal{
		Obstacle: recommend.ObstacleTooShallow, Depth: 2, Outside: true,
		Window: recommend.Window{Difference: 1, Least: 1.5, Most: 2, MostKnown: true},
	}
	assert.Equal(t, "It fits at 2 mm: a joint less than 3 mm deep doesn't hold. Cutter less bushing is 1 mm; with this template, front and angle it has to be at least 1.5 mm, and at most 2 mm.", w.Text(w.WhyNot(r)))
	r.Bushing.Kind, r.Outside = joint.KindBearing, false
	r.Obstacle, r.PlayAtNone = recommend.ObstacleNoDepth, -0.2
	assert.Equal(t, "It fits at no depth: even at zero depth play is only -0.2 mm. This cutter is too narrow for the bearing and template.", w.Text(w.WhyNot(r)))
	r.Obstacle = recommend.ObstacleNoSetting
	assert.Equal(t, "Set it at 3 mm, where play is 0.1 mm and every limit is kept; at the target's own play it would not work. It fits at 2 mm, but no depth within the limits can be set with this router.", w.Text(w.Moved(r, 3, 0.1)))
}
