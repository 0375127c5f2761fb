package priors

import (
	"encoding/json"
	"flag"
	"maps"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/joint"
	"snugtail/joint/advise"
	"snugtail/joint/belief"
	"snugtail/joint/belief/sizes"
	"snugtail/joint/length"
	"snugtail/service/codes"
)

var update = flag.Bool("update", false, "write the default priors into deploy")

const defaults = "../../deploy/priors.json"

// The file that operators start from says what is believed without it.
func TestDefaultFile(t *testing.T) {
	written, err := Write(belief.DefaultPriors())
	require.NoError(t, err)
	if *update {
		require.NoError(t, os.WriteFile(defaults, written, 0o600))
	}
	text, err := os.ReadFile(defaults)
	require.NoError(t, err)
	assert.Equal(t, string(written), string(text), "go test ./service/priors -update writes it")
	p, err := Read(text)
	require.NoError(t, err)
	assert.Equal(t, belief.DefaultPriors(), p.Observer.Priors())
	assert.NotContains(t, string(text), `""`, "everything has a name")
}

func TestReplacesWhatIsNamed(t *testing.T) {
	p, err := Read([]byte(`{"share": {"bushing_diameter": 0.2}, "sizes": {"chips": [{"weight": 1, "mean": 0.5, "sd": 0.2}]},
		"misread": {"gap": {"chance": 0.05, "by": 2}}, "minutes": {"test_joint": 25}, "shows": {"chips_found": {"chips_under": 0.6}}, "misfelt": 0.02}`))
	require.NoError(t, err)
	want := belief.DefaultPriors()
	want.Share[belief.CauseBushingDiameter] = 0.2
	want.Sizes[sizes.Chip] = []belief.Lump{{Weight: 1, Mean: 0.5, SD: 0.2}}
	want.Misread[belief.ReadGap] = belief.Misread{Chance: 0.05, By: 2}
	want.Joint = 25
	want.Shows[belief.FoundChips] = map[belief.Code]float64{belief.CauseChipsUnder: 0.6}
	want.Misfelt = 0.02
	assert.Equal(t, want, p.Observer.Priors())
	assert.Regexp(t, `^\+priors\.[0-9a-f]{8}$`, p.Suffix())
	assert.Empty(t, (*Priors)(nil).Suffix())
}

// Every mistake is told at once, with its place.
func TestRefusesNonsense(t *testing.T) {
	for text, want := range map[string]string{
		``:                                 "no JSON",
		`[]`:                               "reading the priors",
		`{"share": {"bushing": 0.1}}`:      `share: nothing is called "bushing"; known are `,
		`{"shares": {}}`:                   `unknown field "shares"`,
		`{"misfelt": 0.02, "misfelt": 0}`:  "misfelt",
		`{"share": {"side_stop": -0.1}}`:   "share/side_stop: -0.1 is not within 0 and 0.9",
		`{"share": {"side_stop": 0.9}}`:    "at most 0.95 leaves room",
		`{"share": {"set_up_right": 0.5}}`: "gets what the others leave",
		`{"sizes": {"chips": []}}`:         "sizes/chips: has 0 parts",
		`{"sizes": {"chips": [{"weight": 0.5, "mean": 0.5, "sd": 0.2}]}}`: "the weights sum to 0.5, not 1",
		`{"sizes": {"chips": [{"weight": 1, "mean": 0.5, "sd": 0}]}}`:     "sizes/chips/sd: 0 is not within",
		`{"misread": {"gap": {"chance": 0.7, "by": 1}}}`:                  "misread/gap/chance",
		`{"misread": {"nose": {"chance": 0.1, "by": 1}}}`:                 `nothing is called "nose"`,
		`{"shows": {"chips_found": {"luck": 0.3}}}`:                       "shows/chips_found",
		`{"usually": {"": 0.3}}`:                                          "usually",
		`{"minutes": {"test_joint": 0}}`:                                  "minutes/test_joint",
		`{"misfelt": 1e400}`:                                              "",
	} {
		_, err := Read([]byte(text))
		require.Error(t, err, text)
		assert.Contains(t, err.Error(), want, text)
	}
	_, err := Read([]byte(`{"misfelt": 2, "odd_cut": -1, "share": {"x": 0.1}}`))
	require.Error(t, err)
	assert.Len(t, strings.Split(err.Error(), "\n"), 3)
}

// Whatever a file may say gives advice whose figures are as they must be.
func TestAnyFileServes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text, err := json.Marshal(drawnFile(t))
		require.NoError(t, err)
		p, err := Read(text)
		require.NoError(t, err, string(text))
		a, err := advise.On(p.Observer, jammed())
		require.NoError(t, err)
		sum := 0.0
		for _, answer := range a.Answers {
			assert.True(t, answer.Probability >= 0 && answer.Probability <= 1+1e-9, answer.Probability)
			sum += answer.Probability
		}
		assert.InDelta(t, 1, sum, 1e-6)
		assert.True(t, a.Decision.Chance >= 0 && a.Decision.Chance <= 1, a.Decision.Chance)
		assert.True(t, a.Decision.Minutes > 0 && !math.IsInf(a.Decision.Minutes, 0), a.Decision.Minutes)
	})
}

// jammed is a joint that sticks and one that rattled, a gap read of it.
func jammed() *advise.Case {
	size := func(x float64) length.Size { return length.Exactly(length.Length(x)) }
	return &advise.Case{Case: belief.Case{
		Setup: joint.Setup{
			Template: joint.NewOnePiece(size(22.225), size(12.29), length.Size{}, length.Size{}),
			Bushing:  joint.Bushing{Diameter: size(11.1125)},
			Cutter:   joint.Cutter{Diameter: size(12.7), Angle: 14, Condition: joint.ConditionUnknown},
			Depth:    joint.EqualDepth(size(10.6)),
		},
		Cuts: []belief.Cut{
			{Depth: joint.EqualDepth(size(9.5)), Sight: belief.Sight{Feel: belief.FeelRattles}},
			{Depth: joint.EqualDepth(size(10.6)), Sight: belief.Sight{Feel: belief.FeelSticksPartWay}},
		},
		Target: joint.DefaultTarget(0), Bands: joint.Bands{Crush: joint.DefaultCrush},
	}}
}

// drawnFile is any file within its bounds, their ends included.
func drawnFile(t *rapid.T) *file {
	between := func(least, most float64) float64 {
		return rapid.OneOf(rapid.Just(least), rapid.Just(most), rapid.Float64Range(least, most)).Draw(t, "value")
	}
	f := fileOf(belief.DefaultPriors())
	for _, name := range slices.Sorted(maps.Keys(f.Share)) {
		f.Share[name] = between(0, 0.95/float64(len(f.Share))-1e-9)
	}
	for _, name := range slices.Sorted(maps.Keys(f.Sizes)) {
		f.Sizes[name] = []lump{{0.25, between(-30, 30), between(0.01, 30)}, {0.75, between(-1, 1), between(0.01, 1)}}
	}
	for _, name := range readingNames {
		f.Misread[name] = misread{between(0.001, 0.5), between(0.01, 30)}
	}
	for _, name := range codes.Findings {
		f.Usually[name] = between(0, 1)
		f.Shows[name] = map[string]float64{rapid.SampledFrom(codes.Causes[:]).Draw(t, "cause"): between(0, 1)}
	}
	for _, name := range slices.Sorted(maps.Keys(f.Minutes)) {
		f.Minutes[name] = between(0.1, 240)
	}
	for _, n := range []*float64{f.Misfelt, f.OddCut} {
		*n = between(0.001, 0.5)
	}
	*f.MisnotedFinding, *f.Careful, *f.Reground = between(0.001, 0.49), between(0.01, 1), between(0, 0.9)
	*f.Scatter = scatter{between(0, 0.9), between(1, 10)}
	return f
}
