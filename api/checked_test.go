package api_test

import (
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/api/apitest"
)

// The published contract and the form by which the service checks take the
// same lengths.
func TestBothFormsTakeTheSameLengths(t *testing.T) {
	published, checked := document(t).Components.Schemas, apitest.Document(t).Components.Schemas
	for _, name := range []string{"LengthIn", "LengthInFromZero", "LengthInSigned", "LengthInReach"} {
		for _, row := range lengths {
			assert.Equal(t, visit(checked[name].Value, row.text) == nil, visit(published[name].Value, row.text) == nil, "%s %s", name, row.text)
		}
	}
	for _, row := range append(lengths, depths...) {
		byPublished, byChecked := visit(published["Depth"].Value, row.text), visit(checked["Depth"].Value, row.text)
		if byPublished == nil && byChecked != nil {
			assert.Equal(t, []string{"/ not"}, faults(byChecked), row.text)
			continue
		}
		assert.Equal(t, byChecked == nil, byPublished == nil, row.text)
	}
}

// What the checked form takes the published one takes too; what only the checked
// one refuses is a depth without `mm` and both boards.
func TestBothFormsTakeTheSameRequests(t *testing.T) {
	published, checked := document(t), apitest.Document(t)
	r, taken, refused := rand.New(rand.NewPCG(17, 1)), 0, 0
	for path, bodies := range apitest.Bodies(t, checked) {
		for _, body := range bodies {
			pool := apitest.Gather(body, apitest.Edges())
			for range apitest.Rounds(300, 200*time.Millisecond) {
				mutant := apitest.MutantOf(r, body, pool)
				text := toJSON(t, mutant)
				byPublished, byChecked := visit(apitest.SchemaOf(published, path), text), visit(apitest.SchemaOf(checked, path), text)
				if byChecked == nil {
					taken++
					require.NoError(t, byPublished, "%s %s", path, text)
					continue
				}
				refused++
				if byPublished == nil {
					assertOnlyDepths(t, faults(byChecked), text)
				}
			}
		}
	}
	assert.Greater(t, taken, 500)
	assert.Greater(t, refused, 500)
}

func assertOnlyDepths(t *testing.T, faults []string, text string) {
	for _, fault := range faults {
		where, keyword, _ := strings.Cut(fault, " ")
		assert.Equal(t, "not", keyword, "%s: %s", fault, text)
		assert.True(t, strings.HasSuffix(where, "/depth"), "%s: %s", fault, text)
	}
}

// The checked form has no union left but those that a member tells apart, and
// is else the published contract.
func TestCheckedDocumentIsThePublishedOne(t *testing.T) {
	published, checked := document(t), apitest.Document(t)
	merged := 0
	for name, ref := range published.Components.Schemas {
		s := checked.Components.Schemas[name].Value
		if len(ref.Value.OneOf) > 0 && ref.Value.Discriminator == nil {
			merged++
			assert.Empty(t, s.OneOf, name)
			assert.Nil(t, s.Type, name)
			assert.Equal(t, ref.Value.Description, s.Description)
			continue
		}
		assert.Equal(t, len(ref.Value.OneOf), len(s.OneOf), name)
	}
	assert.Equal(t, 5, merged)
	assert.Equal(t, len(published.Components.Schemas), len(checked.Components.Schemas))
}
