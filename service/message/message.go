// Package message is what is said to people, before it is put into a language: a
// code, which names its sentence in every catalogue, and the values that the
// sentence names.
//
//	message.go    messages and their values
//	pattern.go    sentences with places for values, compiled
//	catalogue.go  the sentences of one language, and which language is spoken
//	printer.go    messages as texts of one language, and their values as JSON
//	figures.go    lengths as people set and read them
//	texts/        the catalogues: one file for each language, for translators
//
// Nothing composes prose in Go: a sentence that depends on the case has a state,
// and one for each state stands in the catalogues.
package message

import (
	"slices"

	"snugtail/joint/length"
)

// Message is what is said. The zero Message says nothing.
type Message struct {
	// Code and State name the sentence: its key in the catalogues is "code.state",
	// or the code alone where State is empty.
	Code, State string
	Params      []Param
}

// Param is a value that a sentence names.
type Param struct {
	Name  string
	value value
	// beside: the object that carries the message has the value as a member of its
	// own, so that it is not told twice.
	beside bool
}

// Beside is a value that stands beside the message, as a member of the same object.
func (p Param) Beside() Param {
	p.beside = true
	return p
}

type kind uint8

const (
	aLength kind = iota
	aChance
	aCount
	aNumber
	anAngle
	aName
	aWord
	aMessage
	aList
)

// value of a parameter. A word keeps its set in text and its code in word.
type value struct {
	kind       kind
	number     float64
	text, word string
	said       []Message
}

// New is a message with its values.
func New(code string, params ...Param) Message { return Message{Code: code, Params: params} }

// As is the message in one of its states.
func (m Message) As(state string) Message {
	m.State = state
	return m
}

// With is the message with further values.
func (m Message) With(params ...Param) Message {
	m.Params = append(m.Params[:len(m.Params):len(m.Params)], params...)
	return m
}

// Given are those of a sentence's optional values of which something is said.
func Given(params ...Param) []Param {
	return slices.DeleteFunc(params, func(p Param) bool { return !p.value.given() })
}

// Says is whether anything is said.
func (m Message) Says() bool { return m.Code != "" }

func (m *Message) find(name string) *value {
	for i := range m.Params {
		if m.Params[i].Name == name {
			return &m.Params[i].value
		}
	}
	return nil
}

// Length is a length; how it is written, the place in the sentence says.
func Length(name string, l length.Length) Param {
	return Param{Name: name, value: value{kind: aLength, number: l.MM()}}
}

// Chance is a probability, 0 to 1; sentences have it in per cent.
func Chance(name string, p float64) Param {
	return Param{Name: name, value: value{kind: aChance, number: p}}
}

// Count is a number of things, which grammar may ask for.
func Count(name string, n int) Param {
	return Param{Name: name, value: value{kind: aCount, number: float64(n)}}
}

// Number is any other number.
func Number(name string, x float64) Param {
	return Param{Name: name, value: value{kind: aNumber, number: x}}
}

// Angle is an angle in degrees.
func Angle(name string, degrees float64) Param {
	return Param{Name: name, value: value{kind: anAngle, number: degrees}}
}

// Name is a text of the caller's or of the contract's, which no language changes.
func Name(name, text string) Param { return Param{Name: name, value: value{kind: aName, text: text}} }

// Word is one of a set of the contract's codes. Its key in the catalogues is
// "set.code"; answers have the code.
func Word(name, set, code string) Param {
	return Param{Name: name, value: value{kind: aWord, text: set, word: code}}
}

// Said is a message within another.
func Said(name string, m Message) Param {
	if !m.Says() {
		return Param{Name: name, value: value{kind: aMessage}}
	}
	return Param{Name: name, value: value{kind: aMessage, said: []Message{m}}}
}

// List is any number of messages; the place in the sentence says how they are
// joined.
func List(name string, all ...Message) Param {
	return Param{Name: name, value: value{kind: aList, said: all}}
}

// Names is a list of texts that no language changes.
func Names(name string, texts ...string) Param {
	all := make([]Message, len(texts))
	for i, text := range texts {
		all[i] = Verbatim(text)
	}
	return List(name, all...)
}

const (
	sentencesCode = "sentences"
	verbatimCode  = "verbatim"
)

// Sentences is one message of several, one after another. Those that say nothing
// are left out.
func Sentences(parts ...Message) Message {
	said := make([]Message, 0, len(parts))
	for _, part := range parts {
		if part.Says() {
			said = append(said, part)
		}
	}
	switch len(said) {
	case 0:
		return Message{}
	case 1:
		return said[0]
	}
	return New(sentencesCode, List(sentencesCode, said...))
}

// First is the first of several sentences; a single one is the first of itself.
func (m Message) First() Message {
	if m.Code != sentencesCode {
		return m
	}
	return m.Params[0].value.said[0].First()
}

// Verbatim is a text that no language changes, such as a name of the caller's.
func Verbatim(text string) Message { return New(verbatimCode, Name("text", text)) }
