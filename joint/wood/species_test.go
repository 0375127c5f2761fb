package wood_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/joint/wood"
)

func byID(t require.TestingT, id string) wood.Wood {
	w, ok := wood.ByID(id)
	require.True(t, ok, id)
	return w
}

// The counts are those of the reference data that the table was made from: 49
// species, 480 figures, of which 104 are from memory.
func TestTableIsWhole(t *testing.T) {
	all := wood.Species()
	assert.Len(t, all, 49)
	assert.True(t, slices.IsSortedFunc(all, func(a, b wood.Wood) int { return strings.Compare(a.ID, b.ID) }))
	groups := map[wood.Group]int{}
	figures, memory := 0, 0
	for i := range all {
		groups[all[i].Group]++
		assert.Regexp(t, `^[a-z]+(_[a-z]+)*$`, all[i].ID)
		if i > 0 {
			assert.NotEqual(t, all[i-1].ID, all[i].ID)
		}
		for _, p := range all[i].Properties() {
			figures++
			if p.Memory {
				memory++
			}
		}
	}
	assert.Equal(t, map[wood.Group]int{wood.Hardwood: 24, wood.Softwood: 18, wood.Imported: 7}, groups)
	assert.Equal(t, 480, figures)
	assert.Equal(t, 16*2+20+2*2+3+24*2, memory)
}

// Every figure says where it stands, every botanical name too or that it is
// from memory, and every figure is in the range that wood is in (judgement).
func TestEveryFigureHasItsSource(t *testing.T) {
	ranges := map[wood.PropertyName][2]float64{
		wood.RadialCoefficient:        {0.0005, 0.003},
		wood.TangentialCoefficient:    {0.0015, 0.005},
		wood.RadialShrinkage:          {1.5, 8},
		wood.TangentialShrinkage:      {3.5, 12.5},
		wood.VolumetricShrinkage:      {6, 20},
		wood.SpecificGravity:          {0.3, 0.8},
		wood.BasicSpecificGravity:     {0.28, 0.6},
		wood.ModulusOfElasticity:      {5500, 16000},
		wood.CompressionPerpendicular: {2, 13},
		wood.SideHardness:             {1500, 9000},
		wood.RadialRatio:              {0.05, 0.2},
		wood.TangentialRatio:          {0.025, 0.1},
	}
	for _, w := range wood.Species() {
		assert.NotEmpty(t, w.Name)
		assert.NotEmpty(t, w.Botanical.Name)
		assert.Equal(t, w.Botanical.Memory, w.Botanical.Source == "", w.ID)
		for name, p := range w.Properties() {
			sourced(t, w.ID, p.Figure)
			if p.InchPound.Known {
				sourced(t, w.ID, p.InchPound)
			}
			r, ok := ranges[name]
			require.True(t, ok, name)
			assert.True(t, p.Value >= r[0] && p.Value <= r[1], "%s of %s is %g", name, w.ID, p.Value)
		}
		assert.GreaterOrEqual(t, w.TangentialCoefficient.Value, w.RadialCoefficient.Value, w.ID)
	}
}

// Shear along the grain and tension across it, as Table 5-3a prints them: 42 and
// 35 species, none of the imported ones; tension across the grain is the weakest
// that wood has.
func TestStrengths(t *testing.T) {
	shear, tension := 0, 0
	for _, w := range wood.Species() {
		for name, p := range w.Strengths() {
			sourced(t, w.ID, p.Figure)
			assert.Equal(t, "MPa", p.Unit)
			assert.Equal(t, "5-3a", p.Table)
			assert.False(t, p.Memory)
			assert.NotEqual(t, wood.Imported, w.Group, w.ID)
			switch name {
			case wood.ShearParallel:
				shear++
				assert.True(t, p.Value > 5 && p.Value < 18, "%s: %g", w.ID, p.Value)
			case wood.TensionPerpendicular:
				tension++
				assert.True(t, p.Value > 1 && p.Value < 8 && p.Value < w.ShearParallel.Value, "%s: %g", w.ID, p.Value)
			default:
				t.Errorf("%s is no strength", name)
			}
		}
	}
	assert.Equal(t, 42, shear)
	assert.Equal(t, 35, tension)
	oak := byID(t, "red_oak")
	assert.Equal(t, 12.3, oak.ShearParallel.Value)
	assert.Equal(t, 5.5, oak.TensionPerpendicular.Value)
	maple := byID(t, "sugar_maple")
	assert.Equal(t, 16.1, maple.ShearParallel.Value)
	assert.Equal(t, wood.Property{}, maple.TensionPerpendicular, "the table prints none")
}

func sourced(t *testing.T, id string, f wood.Figure) {
	t.Helper()
	assert.True(t, f.Known)
	assert.Positive(t, f.Value)
	assert.NotEmpty(t, f.Unit)
	assert.Contains(t, f.Source, "Wood Handbook, FPL-GTR-", id)
	assert.Regexp(t, `^\d+-\d+[ab]?$`, f.Table, id)
}

// What drawers and furniture are made of: common practice, no source.
func TestFurnitureWoods(t *testing.T) {
	woods := []string{
		"red_alder", "white_ash", "quaking_aspen", "basswood", "american_beech", "paper_birch", "yellow_birch",
		"butternut", "black_cherry", "pecan", "red_maple", "sugar_maple", "red_oak", "white_oak", "black_walnut",
		"yellow_poplar", "american_sycamore", "western_redcedar", "douglas_fir_coast", "eastern_white_pine",
		"ponderosa_pine", "sugar_pine", "sitka_spruce", "mahogany_true", "khaya", "teak", "spanish_cedar",
	}
	assert.GreaterOrEqual(t, len(woods), 20)
	for _, id := range woods {
		w, ok := wood.ByID(id)
		assert.True(t, ok, id)
		assert.True(t, w.RadialCoefficient.Known && w.TangentialCoefficient.Known, id)
	}
}

// A spot check of whole rows against the reference data.
func TestRowsAsPublished(t *testing.T) {
	const g190, g282 = "Wood Handbook, FPL-GTR-190 (2010)", "Wood Handbook, FPL-GTR-282 (2021)"
	maple := byID(t, "sugar_maple")
	assert.Equal(t, "Maple, sugar (hard maple)", maple.Name)
	assert.Equal(t, wood.Botanical{Name: "Acer saccharum", Memory: true, Note: wood.NoteCommonNames}, maple.Botanical)
	assert.Equal(t, wood.Figure{0.00353, "1/%", g190, "13-5", false, true}, maple.TangentialCoefficient.Figure)
	assert.Equal(t, "Maple, sugar", maple.TangentialCoefficient.Row)
	assert.Equal(t, "Maple, sugar", maple.TangentialRatio.Row)
	assert.Equal(t, wood.Figure{14.7, "%", g190, "4-3", true, true}, maple.VolumetricShrinkage.Figure)
	assert.Equal(t, wood.Figure{10.1, "MPa", g190, "5-3a", false, true}, maple.CompressionPerpendicular.Figure)
	assert.Equal(t, wood.Figure{1470, "lbf/in2", g282, "5-3b", false, true}, maple.CompressionPerpendicular.InchPound)
	assert.Equal(t, wood.Figure{0.065, "1", g282, "5-1", false, true}, maple.TangentialRatio.Figure)

	okoume := byID(t, "okoume")
	assert.Equal(t, g282, okoume.Botanical.Source)
	assert.False(t, okoume.SpecificGravity.Known, "only the basic one was found")
	assert.Equal(t, 0.33, okoume.BasicSpecificGravity.Value)
	assert.Equal(t, wood.Property{}, okoume.CompressionPerpendicular)
	assert.Equal(t, wood.Property{}, okoume.TangentialRatio)
	assert.Equal(t, wood.Property{}, okoume.RadialShrinkage)
	assert.Equal(t, wood.NoteConverted, okoume.ModulusOfElasticity.Notes()[0].Code)
}

func TestDisagreementsAreNoted(t *testing.T) {
	for _, p := range []wood.Property{
		byID(t, "western_white_pine").SpecificGravity,
		byID(t, "teak").TangentialShrinkage,
		byID(t, "khaya").RadialShrinkage,
		byID(t, "mahogany_true").TangentialShrinkage,
		byID(t, "western_redcedar").TangentialShrinkage,
		byID(t, "redwood_old_growth").RadialShrinkage,
		byID(t, "redwood_young_growth").RadialShrinkage,
	} {
		assert.True(t, slices.ContainsFunc(p.Notes(), wood.Note.Disagree))
	}
}

// Table 5-3a (SI) against 5-3b (inch-pound), and 5-5b against what was made of
// it: the same within half of the last printed step of both.
func TestInchPound(t *testing.T) {
	compared := 0
	for _, w := range wood.Species() {
		for _, row := range []struct {
			p                             wood.Property
			perUnit, step, stepInchPounds float64
		}{
			{w.ModulusOfElasticity, 1e6 * wood.MegapascalsPerPoundForceInch, 100, 0.01},
			{w.CompressionPerpendicular, wood.MegapascalsPerPoundForceInch, 0.1, 10},
			{w.SideHardness, wood.NewtonsPerPoundForce, 100, 10},
		} {
			if !row.p.InchPound.Known {
				continue
			}
			compared++
			tolerance := row.step/2 + row.stepInchPounds/2*row.perUnit
			assert.InDelta(t, row.p.Value, row.p.InchPound.Value*row.perUnit, tolerance*1.0001, w.ID)
			assert.InEpsilon(t, row.p.Value, row.p.Value/row.perUnit*row.perUnit, 1e-15, "round trip")
		}
	}
	assert.Equal(t, 44+38+45, compared)
}

// 1 lbf/in2 = 6.894757 kPa, 1 lbf = 4.448222 N: as the reference data used them.
func TestInchPoundFactors(t *testing.T) {
	assert.InDelta(t, 0.006894757, wood.MegapascalsPerPoundForceInch, 0.5e-9)
	assert.InDelta(t, 4.448222, wood.NewtonsPerPoundForce, 0.5e-6)
}

func TestUnknownSpecies(t *testing.T) {
	for _, id := range []string{"", "maple", "Red_Oak", "zebra"} {
		w, ok := wood.ByID(id)
		assert.False(t, ok, id)
		assert.False(t, w.Known())
	}
	wood.Species()[0].ID = "changed"
	assert.Equal(t, "american_beech", wood.Species()[0].ID, "callers get a copy")
}

func TestNearest(t *testing.T) {
	for _, row := range []struct{ id, want string }{
		{"red_oak", "red_oak"},
		{"Red Oak", "red_oak"},
		{"red-oak", "red_oak"},
		{"teek", "teak"},
		{"sugar_mapel", "sugar_maple"},
		{"walnut", "black_walnut"},
		{"wallnut", "black_walnut"},
		{"poplar", "yellow_poplar"},
		{"hard maple", "sugar_maple"},
		{"mahogany", "mahogany_true"},
		{"african mahogany", "khaya"},
		{"maple", ""}, // four of them
		{"oak", ""},
		{"", ""},
		{"___", ""},
		{"xyzzy", ""},
		{strings.Repeat("oak", 1000), ""},
	} {
		assert.Equal(t, row.want, wood.Nearest(row.id), row.id)
	}
}

func TestNearestOfAnything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		id := rapid.OneOf(rapid.String(), rapid.StringMatching(`[a-z_]{0,45}`)).Draw(t, "id")
		if near := wood.Nearest(id); near != "" {
			byID(t, near)
		}
	})
}

// The median of each column of the reference data, and of E = 1.1 MOE times the
// ratio, each computed from it by another program.
func TestMiddle(t *testing.T) {
	m := wood.Middle()
	for _, row := range []struct {
		name   string
		got    wood.Spread
		median float64
		count  int
	}{
		{"C_R", m.RadialCoefficient, 0.00144, 49},
		{"C_T", m.TangentialCoefficient, 0.00256, 49},
		{"S_R", m.RadialShrinkage, 4.1, 45},
		{"S_T", m.TangentialShrinkage, 7.4, 45},
		{"strength", m.CompressionPerpendicular, 4.55, 42},
		{"E_R", m.RadialModulus, 1184.37, 29},
		{"E_T", m.TangentialModulus, 725.12, 29},
	} {
		assert.InEpsilon(t, row.median, row.got.Median, 1e-9, row.name)
		assert.Equal(t, row.count, row.got.Count, row.name)
		assert.True(t, row.got.Variation() > 0.2 && row.got.Variation() < 0.6, row.name)
	}
}
