// Package api is the contract: openapi.yaml, written by hand, and the Go types
// that mirror its schemas. Start with openapi.yaml; types.go follows it, and
// length.go reads the two schemas that take more than one JSON type.
package api

import (
	"bytes"
	"context"
	_ "embed"
	"encoding/json"
	"fmt"
	"slices"
	"sync"

	"github.com/getkin/kin-openapi/openapi3"
	"go.yaml.in/yaml/v4"
)

//go:embed openapi.yaml
var contract []byte

// YAML returns the contract as it was written.
func YAML() []byte { return slices.Clone(contract) }

// JSON returns the contract as JSON, its members in the order in which they
// were written, which is the order in which they are best read.
func JSON() ([]byte, error) { return contractJSON() }

var contractJSON = sync.OnceValues(func() ([]byte, error) {
	var document yaml.Node
	if err := yaml.Unmarshal(contract, &document); err != nil {
		return nil, fmt.Errorf("reading the contract: %w", err)
	}
	b := new(bytes.Buffer)
	if err := writeJSON(b, document.Content[0]); err != nil {
		return nil, fmt.Errorf("writing the contract as JSON: %w", err)
	}
	return b.Bytes(), nil
})

// writeJSON writes a YAML node as JSON. The contract has no anchors, and only
// texts for keys.
func writeJSON(b *bytes.Buffer, node *yaml.Node) error {
	switch node.Kind {
	case yaml.MappingNode:
		return writeAll(b, node.Content, '{', '}', ":,")
	case yaml.SequenceNode:
		return writeAll(b, node.Content, '[', ']', ",")
	}
	var value any
	if err := node.Decode(&value); err != nil {
		return fmt.Errorf("line %d: %w", node.Line, err)
	}
	text, err := json.Marshal(value)
	b.Write(text)
	return err
}

// writeAll writes nodes between brackets, separated by each separator in turn.
func writeAll(b *bytes.Buffer, nodes []*yaml.Node, open, shut byte, separators string) error {
	b.WriteByte(open)
	for i, node := range nodes {
		if i > 0 {
			b.WriteByte(separators[(i-1)%len(separators)])
		}
		if err := writeJSON(b, node); err != nil {
			return err
		}
	}
	b.WriteByte(shut)
	return nil
}

// Document loads the contract and validates it, but for its examples, which take
// long and which tests validate. Every call returns a document of its own.
func Document() (*openapi3.T, error) {
	document, err := openapi3.NewLoader().LoadFromData(contract)
	if err != nil {
		return nil, fmt.Errorf("loading the contract: %w", err)
	}
	if err := document.Validate(context.Background(), openapi3.DisableExamplesValidation(), openapi3.EnableSchemaPatternValidation()); err != nil {
		return nil, fmt.Errorf("validating the contract: %w", err)
	}
	return document, nil
}
