package message

import (
	"embed"
	"fmt"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strings"
	"sync"

	"go.yaml.in/yaml/v4"
	"golang.org/x/text/feature/plural"
	"golang.org/x/text/language"
)

//go:embed texts/*.yaml
var files embed.FS

// Default is the language that is spoken to whoever asks for none that there is.
const Default = "en"

// Catalogue holds all sentences of one language. It is safe for concurrent use.
type Catalogue struct {
	Language string // as BCP 47 names it
	tag      language.Tag
	patterns map[string]pattern
	raw      map[string]string
	figures  figures
	observe  func(key string) // of every sentence that is said; nil for nobody
}

// Catalogues are those of all languages.
type Catalogues struct {
	all     []*Catalogue // the default first
	matcher language.Matcher
}

// Load reads the catalogues that the program carries. They are read once.
var Load = sync.OnceValues(func() (*Catalogues, error) { return read(files) })

func read(from fs.FS) (*Catalogues, error) {
	names, err := fs.Glob(from, "texts/*.yaml")
	if err != nil {
		return nil, fmt.Errorf("listing the catalogues: %w", err)
	}
	c := new(Catalogues)
	for _, name := range names {
		one, err := readOne(from, name)
		if err != nil {
			return nil, fmt.Errorf("reading the catalogue %s: %w", name, err)
		}
		c.all = append(c.all, one)
	}
	slices.SortStableFunc(c.all, func(a, b *Catalogue) int {
		if a.Language == Default {
			return -1
		}
		if b.Language == Default {
			return 1
		}
		return strings.Compare(a.Language, b.Language)
	})
	tags := make([]language.Tag, len(c.all))
	for i, one := range c.all {
		tags[i] = one.tag
	}
	c.matcher = language.NewMatcher(tags)
	return c, nil
}

func readOne(from fs.FS, name string) (*Catalogue, error) {
	content, err := fs.ReadFile(from, name)
	if err != nil {
		return nil, err
	}
	c := &Catalogue{Language: strings.TrimSuffix(path.Base(name), ".yaml")}
	if c.tag, err = language.Parse(c.Language); err != nil {
		return nil, err
	}
	if err := yaml.Unmarshal(content, &c.raw); err != nil {
		return nil, err
	}
	c.patterns = make(map[string]pattern, len(c.raw))
	for key, text := range c.raw {
		if c.patterns[key], err = parsePattern(text); err != nil {
			return nil, fmt.Errorf("the sentence %s: %w", key, err)
		}
	}
	return c, c.readFigures()
}

// For is the catalogue of the language that a client likes best, of those there
// are; accept is its header Accept-Language.
func (c *Catalogues) For(accept string) *Catalogue {
	if accept == "" {
		return c.all[0]
	}
	liked, _, err := language.ParseAcceptLanguage(accept)
	if err != nil || len(liked) == 0 {
		return c.all[0]
	}
	_, i, _ := c.matcher.Match(liked...)
	return c.all[i]
}

// All are the catalogues, that of the default language first.
func (c *Catalogues) All() []*Catalogue { return c.all }

// Default is the catalogue of the default language.
func (c *Catalogues) Default() *Catalogue { return c.all[0] }

// Observed is the same catalogue; observe is told the key of every sentence that
// is said.
func (c *Catalogue) Observed(observe func(key string)) *Catalogue {
	out := *c
	out.observe = observe
	return &out
}

// Keys are those of all sentences, sorted.
func (c *Catalogue) Keys() []string { return slices.Sorted(maps.Keys(c.raw)) }

// Has says whether there is a sentence.
func (c *Catalogue) Has(key string) bool { return c.patterns[key] != nil }

// Under are the sentences whose keys begin so, as they are written, by the rest
// of their keys.
func (c *Catalogue) Under(prefix string) map[string]string {
	out := map[string]string{}
	for key, text := range c.raw {
		if rest, found := strings.CutPrefix(key, prefix); found {
			out[rest] = text
		}
	}
	return out
}

// Places are the names of the values that a sentence needs, sorted.
func (c *Catalogue) Places(key string) []string {
	needed := map[string]bool{}
	c.patterns[key].places(needed)
	return slices.Sorted(maps.Keys(needed))
}

// Literals is what a sentence says without its values.
func (c *Catalogue) Literals(key string) string {
	var text strings.Builder
	c.patterns[key].literals(&text)
	return text.String()
}

// plural is the form of grammar that a number of things asks for.
func (c *Catalogue) plural(n int) string {
	return pluralNames[plural.Cardinal.MatchPlural(c.tag, abs(n), 0, 0, 0, 0)]
}

func abs(n int) int {
	if n < 0 {
		return -n
	}
	return n
}
