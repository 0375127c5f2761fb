package api

// CutterRecommendationRequest asks which cutter, at which depth.
type CutterRecommendationRequest struct {
	Units       Units     `json:"units,omitempty"`
	Explain     bool      `json:"explain,omitempty"`
	Target      *Target   `json:"target,omitempty"`
	Setup       *Setup    `json:"setup"`
	Cutters     []Cutter  `json:"cutters,omitempty"`
	Bushings    []Bushing `json:"bushings,omitempty"`
	AllBushings bool      `json:"all_bushings,omitempty"`
	Prefer      string    `json:"prefer,omitempty"`
}

// Recommendation is one cutter that serves.
type Recommendation struct {
	Rank       int            `json:"rank"`
	Cutter     CutterChoice   `json:"cutter"`
	Bushing    PairedBushing  `json:"bushing"`
	Depth      Length         `json:"depth"`
	Setting    *Setting       `json:"setting"`
	Lap        *Length        `json:"lap"`
	LapThin    *float64       `json:"lap_thin"`
	Cost       PairCost       `json:"cost"`
	Hold       Hold           `json:"hold"`
	Fit        Fit            `json:"fit"`
	Limits     []Limit        `json:"limits"`
	Touchiness Length         `json:"play_per_tenth"`
	Router     RouterSettings `json:"router"`
	Why        string         `json:"why"`
	WhyMessage *Message       `json:"why_message,omitempty"`
}

// PairedBushing is the bushing of a pair.
type PairedBushing struct {
	ID       string `json:"id,omitempty"`
	Kind     string `json:"kind"`
	Diameter Length `json:"diameter"`
}

// PairCost is what a pair costs, in test joints.
type PairCost struct {
	Total   float64 `json:"total"`
	Trials  float64 `json:"trials"`
	First   float64 `json:"first"`
	Second  float64 `json:"second"`
	Hold    float64 `json:"hold"`
	Share   float64 `json:"share"`
	Lap     float64 `json:"lap"`
	EdgePin float64 `json:"edge_pin"`
}

// Hold is what a joint is estimated to hold, one tail by itself.
type Hold struct {
	Flare    Length   `json:"flare"`
	Engaged  *Length  `json:"engaged"`
	GlueMM2  *float64 `json:"glue_mm2"`
	SlopeN   *float64 `json:"slope_n"`
	RubbedN  *float64 `json:"rubbed_n"`
	ShearN   *float64 `json:"shear_n"`
	EdgePinN *float64 `json:"edge_pin_n"`
}

// Window is which differences of diameters serve.
type Window struct {
	Difference Length  `json:"difference"`
	Least      Length  `json:"least"`
	Most       *Length `json:"most"`
}

// BreakEven is what the first pair's lead hangs on.
type BreakEven struct {
	Worth      *float64 `json:"worth"`
	LeadsWhile string   `json:"leads_while"`
	Text       string   `json:"text"`
	Code       string   `json:"code"`
	Params     Params   `json:"params,omitempty"`
}

// Refusal is one cutter that does not serve.
type Refusal struct {
	Cutter        CutterChoice  `json:"cutter"`
	Bushing       PairedBushing `json:"bushing"`
	Depth         *Length       `json:"depth"`
	Code          string        `json:"code"`
	Window        *Window       `json:"window"`
	WhyNot        string        `json:"why_not"`
	WhyNotMessage *Message      `json:"why_not_message,omitempty"`
}

// Change is something to change when no cutter serves.
type Change struct {
	Code   string `json:"code"`
	Text   string `json:"text"`
	Params Params `json:"params,omitempty"`
}

// CutterRecommendationAnswer answers CutterRecommendationRequest.
type CutterRecommendationAnswer struct {
	Model           string           `json:"model"`
	Summary         string           `json:"summary"`
	SummaryMessage  *Message         `json:"summary_message,omitempty"`
	Prefer          string           `json:"prefer"`
	Recommendations []Recommendation `json:"recommendations"`
	Refused         []Refusal        `json:"refused"`
	NotListed       int              `json:"not_listed"`
	BreakEven       *BreakEven       `json:"break_even"`
	Rates           string           `json:"rates"`
	RatesMessage    *Message         `json:"rates_message,omitempty"`
	Changes         []Change         `json:"changes"`
	Cautions        []Caution        `json:"cautions"`
	Working         []WorkingLine    `json:"working,omitempty"`
}
