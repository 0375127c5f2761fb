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
	patterns map[name]*sentence
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

func readOne(from fs.FS, file string) (*Catalogue, error) {
	content, err := fs.ReadFile(from, file)
	if err != nil {
		return nil, err
	}
	c := &Catalogue{Language: strings.TrimSuffix(path.Base(file), ".yaml")}
	if c.tag, err = language.Parse(c.Language); err != nil {
		return nil, err
	}
	if err := yaml.Unmarshal(content, &c.raw); err != nil {
		return nil, err
	}
	c.patterns = make(map[name]*sentence, 3*len(c.raw))
	for key, text := range c.raw {
		of, err := parsePattern(text)
		if err != nil {
			return nil, fmt.Errorf("the sentence %s: %w", key, err)
		}
		c.name(&sentence{key, of})
	}
	return c, c.readFigures()
}

// name is what a sentence is asked for by: a code and a state, or a set of words
// and one of them.
type name struct{ code, state string }

// sentence is one of a catalogue, with its key.
type sentence struct {
	key string
	pattern
}

// name makes a sentence known by every pair of names that its key may be made of,
// so that nobody has to put a key together to look one up.
func (c *Catalogue) name(of *sentence) {
	c.patterns[name{of.key, ""}] = of
	for i, letter := range of.key {
		if letter == '.' {
			c.patterns[name{of.key[:i], of.key[i+1:]}] = of
		}
	}
}

// find is the sentence of a key; nil where there is none.
func (c *Catalogue) find(key string) *sentence { return c.patterns[name{key, ""}] }

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

// Observe has every sentence that is said from now on told by its key, to find
// those that nothing says. It is for tests, before anything is said.
func (c *Catalogues) Observe(told func(key string)) {
	for _, one := range c.all {
		one.observe = told
	}
}

// Keys are those of all sentences, sorted.
func (c *Catalogue) Keys() []string { return slices.Sorted(maps.Keys(c.raw)) }

// Has says whether there is a sentence.
func (c *Catalogue) Has(key string) bool { return c.find(key) != nil }

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
	if of := c.find(key); of != nil {
		of.places(needed)
	}
	return slices.Sorted(maps.Keys(needed))
}

// Literals is what a sentence says without its values.
func (c *Catalogue) Literals(key string) string {
	var text strings.Builder
	if of := c.find(key); of != nil {
		of.literals(&text)
	}
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
