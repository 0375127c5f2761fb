package api

// OperationsAnswer lists what the service answers.
type OperationsAnswer struct {
	Model      string            `json:"model"`
	Version    string            `json:"version"`
	Contract   string            `json:"contract"`
	Docs       string            `json:"docs"`
	Operations []OperationListed `json:"operations"`
}

// OperationListed is one operation.
type OperationListed struct {
	Method         string   `json:"method"`
	Path           string   `json:"path"`
	ID             string   `json:"id"`
	Summary        string   `json:"summary"`
	SummaryMessage *Message `json:"summary_message,omitempty"`
	Forms          []string `json:"forms"`
	Schema         *string  `json:"schema"`
}
