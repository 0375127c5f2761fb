package api

// JointDrawingRequest asks for drawings of a joint.
type JointDrawingRequest struct {
	ID           string    `json:"id,omitempty"`
	Units        Units     `json:"units,omitempty"`
	Setup        *Setup    `json:"setup"`
	BoardWidth   *LengthIn `json:"board_width,omitempty"`
	Views        []string  `json:"views,omitempty"`
	Exaggeration *float64  `json:"exaggeration,omitempty"`
	Paper        string    `json:"paper,omitempty"`
	Job          string    `json:"job,omitempty"`
}

// SetupSheetRequest asks for a page for the bench.
type SetupSheetRequest struct {
	ID          string    `json:"id,omitempty"`
	Units       Units     `json:"units,omitempty"`
	Target      *Target   `json:"target,omitempty"`
	Setup       *Setup    `json:"setup"`
	Chart       *bool     `json:"chart,omitempty"`
	TestCuts    []TestCut `json:"test_cuts,omitempty"`
	Findings    *Findings `json:"findings,omitempty"`
	Answered    []string  `json:"answered,omitempty"`
	Unavailable []string  `json:"unavailable,omitempty"`
	Minutes     *Minutes  `json:"minutes,omitempty"`
	Paper       string    `json:"paper,omitempty"`
	Job         string    `json:"job,omitempty"`
	Link        string    `json:"link,omitempty"`
}

// QRCodeRequest asks for a QR code.
type QRCodeRequest struct {
	Link string `json:"link"`
}
