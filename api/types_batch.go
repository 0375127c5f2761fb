package api

import "encoding/json"

// BatchRequest asks many questions at once.
type BatchRequest struct {
	Items []BatchItem `json:"items"`
}

// BatchItem is one question, its body still as it was written.
type BatchItem struct {
	ID        string          `json:"id"`
	Operation string          `json:"operation"`
	Body      json.RawMessage `json:"body"`
	Fields    []string        `json:"fields,omitempty"`
}

// BatchResult is the answer to one item.
type BatchResult struct {
	ID     string          `json:"id"`
	Status int             `json:"status"`
	Body   json.RawMessage `json:"body"`
}

// BatchAnswer answers BatchRequest.
type BatchAnswer struct {
	Items []BatchResult `json:"items"`
}
