package codes

import (
	"maps"
	"slices"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/stretchr/testify/assert"

	"snugtail/api/apitest"
)

// enums gathers all enums of texts within a schema.
func enums(s *openapi3.SchemaRef, seen map[*openapi3.Schema]bool, into [][]string) [][]string {
	if s == nil || s.Value == nil || seen[s.Value] {
		return into
	}
	seen[s.Value] = true
	var names []string
	for _, each := range s.Value.Enum {
		if name, ok := each.(string); ok {
			names = append(names, name)
		}
	}
	if len(names) > 0 {
		into = append(into, names)
	}
	for _, member := range s.Value.Properties {
		into = enums(member, seen, into)
	}
	for _, branch := range slices.Concat(s.Value.OneOf, s.Value.AllOf, s.Value.AnyOf) {
		into = enums(branch, seen, into)
	}
	return enums(s.Value.Items, seen, into)
}

// Every name of a table stands in one enum of the contract, and those that
// are told of a diagnosis are all that it has.
func TestNamesAreTheContracts(t *testing.T) {
	schemas := apitest.Document(t).Components.Schemas
	var all [][]string
	for _, s := range schemas {
		all = enums(s, map[*openapi3.Schema]bool{}, all)
	}
	within := func(names []string) bool {
		return slices.ContainsFunc(all, func(enum []string) bool {
			return !slices.ContainsFunc(names, func(name string) bool { return name != "" && !slices.Contains(enum, name) })
		})
	}
	for table, names := range map[string][]string{
		"bands": Bands[:], "limits": Limits[:], "severities": Severities[:], "signals": Signals[:], "guides": slices.Collect(maps.Keys(Guides)), "preferences": slices.Collect(maps.Keys(Preferences)), "sources": Sources[:], "quantities": Quantities[:], "obstacles": Obstacles[:],
		"changes": Changes[:], "observations": Observations[:], "verdicts": Verdicts[:], "actions": Actions[:], "salvage": Salvages[:],
		"parts": Measured[:], "feels": slices.Collect(maps.Keys(Feels)), "conditions": slices.Collect(maps.Keys(Conditions)),
		"causes": Causes[:], "checks": Checks[:], "sizes": slices.Collect(maps.Values(CauseSizes)),
		"drawer parts": DrawerParts[:], "materials": slices.Collect(maps.Keys(Materials)), "names of materials": MaterialNames[:],
		"backs": slices.Collect(maps.Keys(BackJoints)), "lips": slices.Collect(maps.Keys(LipEdges)), "works": Works[:], "places": Places[:],
		"ends": Ends[:], "refusals": Refusals[:], "centres": Centres[:], "endings": Endings[:], "shares": Shares[:],
		"sides": Sides[:], "depthwise": Depthwise[:], "runs": Runs[:], "seasons": slices.Collect(maps.Keys(Seasons)),
	} {
		assert.True(t, within(names), "%s: no enum of the contract holds all of %q", table, names)
	}
	assert.False(t, within([]string{"hand_fit", "no such name"}))
	for schema, names := range map[string][]string{"CauseCode": Causes[:], "CheckCode": Checks[:]} {
		var enum []string
		for _, code := range schemas[schema].Value.Enum {
			enum = append(enum, code.(string))
		}
		assert.Equal(t, enum, names)
	}
	assert.ElementsMatch(t, slices.Collect(maps.Keys(schemas["Findings"].Value.Properties)), Findings[:])
}
