package wood_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"snugtail/joint/wood"
)

// A name that many woods bear is answered with all of them; the wants are the
// table's own ids and botanical names.
func TestAlike(t *testing.T) {
	for name, want := range map[string][]string{
		"oak":                  {"red_oak", "white_oak"},
		"Oak":                  {"red_oak", "white_oak"},
		"european oak":         {"red_oak", "white_oak"},
		"maple":                {"bigleaf_maple", "red_maple", "silver_maple", "sugar_maple"},
		"birch":                {"paper_birch", "yellow_birch"},
		"pine":                 {"eastern_white_pine", "loblolly_pine", "lodgepole_pine", "longleaf_pine", "ponderosa_pine", "red_pine", "sugar_pine", "western_white_pine"},
		"spruce":               {"engelmann_spruce", "sitka_spruce"},
		"cedar":                {"incense_cedar", "spanish_cedar", "western_redcedar"},
		"hickory":              {"mockernut_hickory", "pecan", "shagbark_hickory"},
		"Quercus alba":         {"white_oak"},
		"quercus_alba":         {"white_oak"},
		"Quercus robur":        {"red_oak", "white_oak"},
		"Quercus":              {"red_oak", "white_oak"},
		"Acer saccharum":       {"sugar_maple"},
		"Tectona grandis":      {"teak"},
		"Sequoia sempervirens": {"redwood_old_growth", "redwood_young_growth"},
		"white ok":             {"white_oak"},
		"walnut":               {"black_walnut"},
		"plywood":              nil,
		"":                     nil,
		"___":                  nil,
	} {
		assert.Equal(t, want, wood.Alike(name), name)
	}
	for _, w := range wood.Species() {
		assert.Contains(t, wood.Alike(w.Botanical.Name), w.ID, w.Botanical.Name)
	}
}
