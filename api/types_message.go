package api

import "encoding/json"

// Params are what a sentence names, by name, as a JSON object; nil where it names
// nothing.
type Params = json.RawMessage

// Message is what is said: its code, what it names, and the sentence itself.
type Message struct {
	Code   string `json:"code"`
	Params Params `json:"params,omitempty"`
	Text   string `json:"text"`
}
