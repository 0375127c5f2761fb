package message

import (
	"fmt"
	"slices"
	"strings"

	"golang.org/x/text/feature/plural"
)

// A pattern is a sentence with places for values:
//
//	{play}                              the value, as its kind is written
//	{depth setting}                     in one of the styles of printer.go
//	{part @dative}                      a word in a form of its own: part.CODE@dative
//	{part code}                         its code, as the contract has it
//	{part capital}                      with a capital
//	{part sentence}                     with a full stop at its end
//	{n plural one{# step} other{# steps}}   by the language's plural rules; # is n
//	{way select closer{a} other{b}}     by a word, a name, or a message's state
//	{seat ?{ It ends {seat}.}{ Flush.}}   where it is given, and (may be left out) where not
//
// A brace of the text itself is written \{ and \}.
type pattern []node

type node struct {
	text  string // of a node without a place
	place string
	style style
	form  string // of a word
	as    choosing
	cases []branch
}

type choosing uint8

const (
	byNothing choosing = iota
	byPlural
	byWord
	byPresence
	theCount // "#" within a plural
)

type branch struct {
	key string
	pattern
}

// other is the branch for what has none.
const other = "other"

type parser struct {
	rest    string
	plurals []string // places that "#" may stand for
}

func parsePattern(text string) (pattern, error) {
	p := parser{rest: text}
	all, err := p.sequence()
	if err == nil && p.rest != "" {
		err = fmt.Errorf("a } without its {")
	}
	if err != nil {
		return nil, fmt.Errorf("reading %q: %w", text, err)
	}
	return all, nil
}

// sequence reads text and places up to a closing brace or the end.
func (p *parser) sequence() (pattern, error) {
	var all pattern
	var text strings.Builder
	flush := func() {
		if text.Len() > 0 {
			all = append(all, node{text: text.String()})
			text.Reset()
		}
	}
	for p.rest != "" && p.rest[0] != '}' {
		switch c := p.rest[0]; {
		case c == '\\' && len(p.rest) > 1:
			text.WriteByte(p.rest[1])
			p.rest = p.rest[2:]
		case c == '#' && len(p.plurals) > 0:
			flush()
			all = append(all, node{place: p.plurals[len(p.plurals)-1], as: theCount})
			p.rest = p.rest[1:]
		case c == '{':
			flush()
			n, err := p.placed()
			if err != nil {
				return nil, err
			}
			all = append(all, n)
		default:
			text.WriteByte(c)
			p.rest = p.rest[1:]
		}
	}
	flush()
	return all, nil
}

// placed reads a place, from its opening brace to its closing one.
func (p *parser) placed() (node, error) {
	p.rest = p.rest[1:]
	n := node{place: p.word()}
	if n.place == "" {
		return n, fmt.Errorf("a place without a name")
	}
	for {
		p.rest = strings.TrimLeft(p.rest, " ")
		switch {
		case strings.HasPrefix(p.rest, "}"):
			p.rest = p.rest[1:]
			return n, nil
		case strings.HasPrefix(p.rest, "?"):
			p.rest = p.rest[1:]
			n.as = byPresence
			return n, p.branches(&n, false)
		case p.rest == "":
			return n, fmt.Errorf("the place %q has no end", n.place)
		}
		if err := p.manner(&n); err != nil || n.as != byNothing {
			return n, err
		}
	}
}

// manner reads one word of how a value is written.
func (p *parser) manner(n *node) error {
	switch word := p.word(); {
	case word == "plural":
		n.as = byPlural
		p.plurals = append(p.plurals, n.place)
		defer func() { p.plurals = p.plurals[:len(p.plurals)-1] }()
		return p.branches(n, true)
	case word == "select":
		n.as = byWord
		return p.branches(n, true)
	case strings.HasPrefix(word, "@"):
		n.form = word
	default:
		s, known := styles[word]
		if !known {
			return fmt.Errorf("the place %q has an unknown style %q", n.place, word)
		}
		n.style |= s
	}
	return nil
}

// branches reads the cases of a place and its closing brace; named ones have a
// word in front, and one of them is for everything else.
func (p *parser) branches(n *node, named bool) error {
	for {
		p.rest = strings.TrimLeft(p.rest, " ")
		if strings.HasPrefix(p.rest, "}") {
			p.rest = p.rest[1:]
			break
		}
		var b branch
		if named {
			b.key = p.word()
		}
		p.rest = strings.TrimLeft(p.rest, " ")
		if !strings.HasPrefix(p.rest, "{") {
			return fmt.Errorf("the place %q has a case %q without {text}", n.place, b.key)
		}
		p.rest = p.rest[1:]
		var err error
		if b.pattern, err = p.sequence(); err != nil {
			return err
		}
		if p.rest == "" {
			return fmt.Errorf("the place %q has no end", n.place)
		}
		p.rest = p.rest[1:]
		n.cases = append(n.cases, b)
	}
	if named && !slices.ContainsFunc(n.cases, func(b branch) bool { return b.key == other }) {
		return fmt.Errorf("the place %q has no case %q", n.place, other)
	}
	if !named && (len(n.cases) == 0 || len(n.cases) > 2) {
		return fmt.Errorf("the place %q asks for one text or two", n.place)
	}
	return nil
}

func (p *parser) word() string {
	i := strings.IndexAny(p.rest, " {}?")
	if i < 0 {
		i = len(p.rest)
	}
	word := p.rest[:i]
	p.rest = p.rest[i:]
	return word
}

// chosen is the case of this name, or the one for all others.
func (n *node) chosen(key string) pattern {
	var rest pattern
	for i := range n.cases {
		switch n.cases[i].key {
		case key:
			return n.cases[i].pattern
		case other:
			rest = n.cases[i].pattern
		}
	}
	return rest
}

// pluralNames are those of CLDR.
var pluralNames = map[plural.Form]string{
	plural.Zero: "zero", plural.One: "one", plural.Two: "two", plural.Few: "few", plural.Many: "many", plural.Other: other,
}

// places adds the names of all values that a sentence needs.
func (p pattern) places(to map[string]bool) {
	for i := range p {
		if p[i].place != "" {
			to[p[i].place] = true
		}
		for _, b := range p[i].cases {
			b.places(to)
		}
	}
}

// literals adds all that a sentence says of itself.
func (p pattern) literals(to *strings.Builder) {
	for i := range p {
		to.WriteString(p[i].text)
		for _, b := range p[i].cases {
			b.literals(to)
		}
	}
}
