package formula

import "fmt"

// Procedure is what is computed without a closed form: a search, an integral, a
// distribution that is weighed. It is told in words.
type Procedure struct {
	Name    string
	Section int
	Text    string
	Source  string
	Code    string
}

// Cited returns what an answer names as the source, as Record.Cited does.
func (p *Procedure) Cited() string { return cited(p.Source, p.Section) }

func cited(source string, section int) string {
	switch source {
	case Derived, Follows, CommonPractice, Memory, Judgement:
		return InSection(section)
	}
	return source
}

// InSection cites a section of the model's page.
func InSection(section int) string { return fmt.Sprintf("%s, section %d", Page, section) }
