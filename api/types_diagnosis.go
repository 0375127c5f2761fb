package api

// SeenAt is what was seen at one place along a test joint.
type SeenAt struct {
	Position    *LengthIn `json:"position"`
	Feel        string    `json:"feel,omitempty"`
	PulledGap   *LengthIn `json:"pulled_gap,omitempty"`
	ShoulderGap *LengthIn `json:"shoulder_gap,omitempty"`
	WentIn      *LengthIn `json:"went_in,omitempty"`
	Seat        *LengthIn `json:"seat,omitempty"`
	EdgeStep    *LengthIn `json:"edge_step,omitempty"`
	Measured    *Measured `json:"measured,omitempty"`
}

// SeenCut is one test joint and what was seen of it, as a whole and along it.
type SeenCut struct {
	Depth       *Depth    `json:"depth,omitempty"`
	Feel        string    `json:"feel,omitempty"`
	PulledGap   *LengthIn `json:"pulled_gap,omitempty"`
	ShoulderGap *LengthIn `json:"shoulder_gap,omitempty"`
	WentIn      *LengthIn `json:"went_in,omitempty"`
	Seat        *LengthIn `json:"seat,omitempty"`
	EdgeStep    *LengthIn `json:"edge_step,omitempty"`
	Measured    *Measured `json:"measured,omitempty"`
	Along       []SeenAt  `json:"along,omitempty"`
	TemplateAt  *LengthIn `json:"template_at,omitempty"`
	SideStopAt  *LengthIn `json:"side_stop_at,omitempty"`
	Corner      string    `json:"corner,omitempty"`
}

// Findings are questions of yes or no; one that is left out was not looked at.
type Findings struct {
	CutterChanged     *bool `json:"cutter_changed,omitempty"`
	BushingWobbles    *bool `json:"bushing_wobbles,omitempty"`
	OneSetting        *bool `json:"one_setting,omitempty"`
	TemplateRocks     *bool `json:"template_rocks,omitempty"`
	BoardsCupped      *bool `json:"boards_cupped,omitempty"`
	CutWeeksAgo       *bool `json:"cut_weeks_ago,omitempty"`
	RouterTurned      *bool `json:"router_turned,omitempty"`
	SecondPass        *bool `json:"second_pass,omitempty"`
	TearOut           *bool `json:"tear_out,omitempty"`
	ChippedPin        *bool `json:"chipped_pin,omitempty"`
	OnePinOff         *bool `json:"one_pin_off,omitempty"`
	CornerNotSquare   *bool `json:"corner_not_square,omitempty"`
	TightAtOneEnd     *bool `json:"tight_at_one_end,omitempty"`
	EdgesHalfPitchOff *bool `json:"edges_half_pitch_off,omitempty"`
	EdgesMirrored     *bool `json:"edges_mirrored,omitempty"`
	MoistureDiffers   *bool `json:"moisture_differs,omitempty"`
	CutterDull        *bool `json:"cutter_dull,omitempty"`
	DepthMoved        *bool `json:"depth_moved,omitempty"`
	ChipsFound        *bool `json:"chips_found,omitempty"`
	FitsDryOnly       *bool `json:"fits_dry_only,omitempty"`
}

// DiagnosisRequest asks what is wrong.
type DiagnosisRequest struct {
	Units    Units     `json:"units,omitempty"`
	Explain  bool      `json:"explain,omitempty"`
	Target   *Target   `json:"target,omitempty"`
	Setup    *Setup    `json:"setup,omitempty"`
	TestCuts []SeenCut `json:"test_cuts,omitempty"`
	Findings *Findings `json:"findings,omitempty"`
	Answered []string  `json:"answered,omitempty"`
	// Unavailable checks can't be made where the caller is.
	Unavailable []string `json:"unavailable,omitempty"`
	Minutes     *Minutes `json:"minutes,omitempty"`
}

// CauseSize is the size of a cause that explains best.
type CauseSize struct {
	Of             string   `json:"of"`
	Length         *Length  `json:"length"`
	Angle          *float64 `json:"angle"`
	InsteadOf      *Length  `json:"instead_of"`
	InsteadOfAngle *float64 `json:"instead_of_angle"`
}

// Evidence is something that was told, and where.
type Evidence struct {
	Pointer string `json:"pointer"`
	Text    string `json:"text"`
	Code    string `json:"code"`
	Params  Params `json:"params,omitempty"`
}

// CauseCheck is how to see whether a cause is so.
type CauseCheck struct {
	Code        string   `json:"code"`
	Tool        string   `json:"tool"`
	ToolMessage *Message `json:"tool_message,omitempty"`
	Minutes     float64  `json:"minutes"`
	Text        string   `json:"text"`
	Params      Params   `json:"params,omitempty"`
}

// DiagnosisCause is one cause and what follows from it.
type DiagnosisCause struct {
	Code           string     `json:"code"`
	Probability    float64    `json:"probability"`
	Prior          float64    `json:"prior"`
	Size           *CauseSize `json:"size"`
	Name           string     `json:"name"`
	NameMessage    *Message   `json:"name_message,omitempty"`
	Text           string     `json:"text"`
	Params         Params     `json:"params,omitempty"`
	Explains       []Evidence `json:"explains"`
	DoesNotExplain []Evidence `json:"does_not_explain"`
	Check          CauseCheck `json:"check"`
	Cure           []Step     `json:"cure"`
}

// DiagnosisGroup is causes told as one.
type DiagnosisGroup struct {
	Codes       []string `json:"codes"`
	Probability float64  `json:"probability"`
	Text        string   `json:"text"`
	Code        string   `json:"code"`
	Params      Params   `json:"params,omitempty"`
	Cure        []Step   `json:"cure"`
}

// CheckOutcome is what a check may show, and what that means.
type CheckOutcome struct {
	If           string   `json:"if"`
	IfMessage    *Message `json:"if_message,omitempty"`
	Means        string   `json:"means"`
	MeansMessage *Message `json:"means_message,omitempty"`
	Cause        string   `json:"cause"`
	Probability  float64  `json:"probability"`
}

// NextCheck is the check that tells most for its minutes.
type NextCheck struct {
	Code          string         `json:"code"`
	Tool          string         `json:"tool"`
	ToolMessage   *Message       `json:"tool_message,omitempty"`
	Minutes       float64        `json:"minutes"`
	ExpectedGain  float64        `json:"expected_gain"`
	Text          string         `json:"text"`
	Params        Params         `json:"params,omitempty"`
	Report        string         `json:"report"`
	ReportMessage *Message       `json:"report_message,omitempty"`
	Outcomes      []CheckOutcome `json:"outcomes"`
}

// DiagnosisAnswer answers DiagnosisRequest.
type DiagnosisAnswer struct {
	Model                  string             `json:"model"`
	Summary                string             `json:"summary"`
	SummaryMessage         *Message           `json:"summary_message,omitempty"`
	Heard                  string             `json:"heard"`
	HeardMessage           *Message           `json:"heard_message,omitempty"`
	Decision               Decision           `json:"decision"`
	Steps                  []Step             `json:"steps"`
	Causes                 []DiagnosisCause   `json:"causes"`
	Answers                []DiagnosisGroup   `json:"answers"`
	NextCheck              *NextCheck         `json:"next_check"`
	NextDepth              *Length            `json:"next_depth"`
	Setting                *Setting           `json:"setting"`
	ChanceNextFits         *float64           `json:"chance_next_fits"`
	Disagreements          []Disagreement     `json:"disagreements"`
	Corners                []CornerDifference `json:"corners"`
	Unexplained            bool               `json:"unexplained"`
	UnexplainedText        *string            `json:"unexplained_text"`
	UnexplainedTextMessage *Message           `json:"unexplained_text_message,omitempty"`
	Misfits                []Evidence         `json:"misfits"`
	Cautions               []Caution          `json:"cautions"`
	Working                []WorkingLine      `json:"working,omitempty"`
}
