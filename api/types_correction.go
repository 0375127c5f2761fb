package api

// Step is one thing to do, in order.
type Step struct {
	Order      int      `json:"order"`
	Action     string   `json:"action"`
	Amount     *Length  `json:"amount"`
	Turns      *float64 `json:"turns"`
	Text       string   `json:"text"`
	Params     Params   `json:"params,omitempty"`
	Why        string   `json:"why"`
	WhyMessage *Message `json:"why_message,omitempty"`
}

// Decision is what to do next.
type Decision struct {
	Do              string   `json:"do"`
	Text            string   `json:"text"`
	Params          Params   `json:"params,omitempty"`
	Check           *string  `json:"check"`
	Depth           *Length  `json:"depth"`
	Setting         *Setting `json:"setting"`
	Chance          float64  `json:"chance"`
	ExpectedMinutes float64  `json:"expected_minutes"`
	Why             Why      `json:"why"`
}

// Why says what decided.
type Why struct {
	Code   string `json:"code"`
	Text   string `json:"text"`
	Params Params `json:"params,omitempty"`
}

// CornerDifference is what differs between two pairs of corners.
type CornerDifference struct {
	Of            string `json:"of"`
	Between       string `json:"between"`
	Difference    Length `json:"difference"`
	StandardError Length `json:"standard_error"`
	Text          string `json:"text"`
	Code          string `json:"code"`
	Params        Params `json:"params,omitempty"`
}

// Estimate is what the test cuts taught.
type Estimate struct {
	Allowance           Length  `json:"allowance"`
	PlayOffset          Length  `json:"play_offset"`
	StandardUncertainty Length  `json:"standard_uncertainty"`
	SeatOffset          *Length `json:"seat_offset"`
}

// Disagreement names a reading that is further off than the rest allow.
type Disagreement struct {
	TestCut     int     `json:"test_cut"`
	Observation string  `json:"observation"`
	Pointer     string  `json:"pointer"`
	Chance      float64 `json:"chance"`
	Text        string  `json:"text"`
	Code        string  `json:"code"`
	Params      Params  `json:"params,omitempty"`
}

// PartOff says which part of a test joint is off, from its measured widths.
type PartOff struct {
	TestCut  int    `json:"test_cut"`
	Part     string `json:"part"`
	Expected Length `json:"expected"`
	Measured Length `json:"measured"`
	Off      Length `json:"off"`
	Text     string `json:"text"`
	Code     string `json:"code"`
	Params   Params `json:"params,omitempty"`
}

// Salvage says what can be done with boards already cut.
type Salvage struct {
	Code     string  `json:"code"`
	Possible bool    `json:"possible"`
	Amount   *Length `json:"amount"`
	Text     string  `json:"text"`
	Params   Params  `json:"params,omitempty"`
}

// CheckAgain says how far depth may drift, and when to look again.
type CheckAgain struct {
	Shallower   *Length `json:"shallower"`
	Deeper      *Length `json:"deeper"`
	AfterJoints *int    `json:"after_joints"`
	Text        string  `json:"text"`
	Code        string  `json:"code"`
	Params      Params  `json:"params,omitempty"`
}

// CorrectionAnswer answers CorrectionRequest.
type CorrectionAnswer struct {
	Model          string             `json:"model"`
	Summary        string             `json:"summary"`
	SummaryMessage *Message           `json:"summary_message,omitempty"`
	Decision       Decision           `json:"decision"`
	Verdict        string             `json:"verdict"`
	Steps          []Step             `json:"steps"`
	NextCheck      *NextCheck         `json:"next_check"`
	NextDepth      *Length            `json:"next_depth"`
	Setting        *Setting           `json:"setting"`
	Predicted      Fit                `json:"predicted"`
	ChanceNextFits float64            `json:"chance_next_fits"`
	Estimate       Estimate           `json:"estimate"`
	Disagreements  []Disagreement     `json:"disagreements"`
	Corners        []CornerDifference `json:"corners"`
	PartsOff       []PartOff          `json:"parts_off"`
	Limits         []Limit            `json:"limits"`
	Boards         Boards             `json:"boards"`
	RouterSettings RouterSettings     `json:"router_settings"`
	Salvage        []Salvage          `json:"salvage"`
	CheckAgain     CheckAgain         `json:"check_again"`
	Record         Record             `json:"record"`
	Run            *Run               `json:"run,omitempty"`
	Regrind        *Regrind           `json:"regrind,omitempty"`
	Cautions       []Caution          `json:"cautions"`
	Working        []WorkingLine      `json:"working,omitempty"`
}
