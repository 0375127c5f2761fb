package api

// Setting is how a depth is set.
type Setting struct {
	From    string   `json:"from"`
	Turns   *float64 `json:"turns"`
	Steps   *int     `json:"steps"`
	Stack   []Length `json:"stack"`
	Loss    float64  `json:"loss"`
	Ideal   Length   `json:"ideal"`
	BackOff *Length  `json:"back_off"`
	Text    string   `json:"text"`
	Code    string   `json:"code"`
	Params  Params   `json:"params,omitempty"`
}

// BestDepth is the depth to set.
type BestDepth struct {
	Depth   Length   `json:"depth"`
	Chance  float64  `json:"chance"`
	Setting *Setting `json:"setting"`
}

// Boards is what boards whose thickness varies make of a joint.
type Boards struct {
	LapThin     *float64 `json:"lap_thin"`
	DepthForLap *Length  `json:"depth_for_lap"`
	SeatInside  *float64 `json:"seat_inside"`
	SeatProud   *float64 `json:"seat_proud"`
	Ridge       *float64 `json:"ridge"`
	Text        string   `json:"text"`
	Code        string   `json:"code"`
	Params      Params   `json:"params,omitempty"`
}

// Shortfall is why there is no joint at all.
type Shortfall struct {
	Limit          string `json:"limit"`
	By             Length `json:"by"`
	FingerReachBy  Length `json:"finger_reach_by"`
	OpeningReachBy Length `json:"opening_reach_by"`
	Text           string `json:"text"`
	Code           string `json:"code"`
	Params         Params `json:"params,omitempty"`
}
