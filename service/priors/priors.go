// Package priors reads what an operator believes of set-ups before anything is
// seen of them, where that replaces the tables of judgement.
//
//	priors.go  the file, and what it makes
//	file.go    its parts, read over the default ones and held against their ranges
//	names.go   how sizes and readings are named in it
package priors

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"

	"snugtail/joint/belief"
	"snugtail/service/check"
	"snugtail/service/problem"
	"snugtail/service/strict"
)

// Priors are an operator's.
type Priors struct {
	Observer *belief.Observer
	Checksum string // of the file that they stand in
}

// BelievedBy returns the observer with these priors; nil ones are the default.
func (p *Priors) BelievedBy() *belief.Observer {
	if p == nil {
		return belief.Default()
	}
	return p.Observer
}

// Suffix is what the version of the model ends in: nothing for the default priors.
func (p *Priors) Suffix() string {
	if p == nil {
		return ""
	}
	return "+priors." + p.Checksum
}

// mostValues is how many values a file may hold; the default tables hold some 400.
const mostValues = 10_000

// Read reads a file of priors: a JSON object whose parts replace those of
// belief.DefaultPriors, each by itself. deploy/priors.json holds all of them, as
// they are by default. An error says everything that is wrong with the file.
func Read(text []byte) (*Priors, error) {
	if err := checkJSON(string(text)); err != nil {
		return nil, err
	}
	decoder := json.NewDecoder(bytes.NewReader(text))
	decoder.DisallowUnknownFields()
	var f file
	if err := decoder.Decode(&f); err != nil {
		return nil, fmt.Errorf("reading the priors: %w", err)
	}
	p := belief.DefaultPriors()
	if err := f.applyTo(p); err != nil {
		return nil, fmt.Errorf("reading the priors: %w", err)
	}
	sum := sha256.Sum256(text)
	return &Priors{Observer: belief.NewObserver(p), Checksum: hex.EncodeToString(sum[:4])}, nil
}

func checkJSON(text string) error {
	_, flaws, err := strict.Parse(text, mostValues, strict.Skim{})
	if err != nil {
		return fmt.Errorf("the priors are no JSON: %s", check.NotJSON(text, err).ForOperators()[0].Detail)
	}
	var wrong []error
	for _, field := range problem.BadFields(check.Flaws(flaws)...).ForOperators() {
		wrong = append(wrong, fmt.Errorf("%s: %s", field.Pointer, field.Detail))
	}
	return errors.Join(wrong...)
}

// Write writes priors as a file that Read reads.
func Write(p *belief.Priors) ([]byte, error) {
	text, err := json.MarshalIndent(fileOf(p), "", "  ")
	if err != nil {
		return nil, fmt.Errorf("writing priors: %w", err)
	}
	return append(text, '\n'), nil
}
