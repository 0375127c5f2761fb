package message

import (
	"regexp"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func catalogues(t *testing.T) *Catalogues {
	t.Helper()
	all, err := Load()
	require.NoError(t, err)
	return all
}

// Every language says the same, of the same values. Forms that grammar asks for
// ("@dative") are each language's own matter; variants ("@bearing") are not.
func TestLanguagesSayTheSame(t *testing.T) {
	all := catalogues(t)
	first := all.Default()
	for _, c := range all.All()[1:] {
		for _, key := range c.Keys() {
			if base, form, isForm := strings.Cut(key, "@"); isForm && form != "bearing" {
				assert.True(t, c.Has(base), "%s: %s is a form of nothing", c.Language, key)
				continue
			}
			assert.True(t, first.Has(key), "%s is said in %s alone", key, c.Language)
			assert.Equal(t, first.Places(key), c.Places(key), "%s: %s names other values", c.Language, key)
		}
		for _, key := range first.Keys() {
			if _, form, isForm := strings.Cut(key, "@"); isForm && form != "bearing" {
				continue
			}
			assert.True(t, c.Has(key), "%s is not said in %s", key, c.Language)
		}
	}
}

// paths are names of the contract's, whatever is in them.
var paths = regexp.MustCompile(`/v1\b(/[a-z-]+)*`)

// A number comes with the values, so that programs have it and languages write
// it their way.
func TestNoFigureStandsInASentence(t *testing.T) {
	for _, c := range catalogues(t).All() {
		for _, key := range c.Keys() {
			said := paths.ReplaceAllString(c.Literals(key), "")
			assert.False(t, strings.ContainsFunc(said, unicode.IsDigit), "%s: %s: %s", c.Language, key, said)
		}
	}
}

func TestWhatIsSpoken(t *testing.T) {
	all := catalogues(t)
	for accept, want := range map[string]string{
		"": "en", "de": "de", "de-CH, fr;q=0.9": "de", "fr": "en", "en-GB": "en", "fr, de;q=0.5": "de", "de;q=0, en": "en", "*": "en", ";;;": "en", "DE-at;q=0.7,en;q=0.3": "de",
	} {
		assert.Equal(t, want, all.For(accept).Language, accept)
	}
}
