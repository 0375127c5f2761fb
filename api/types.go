package api

// The types below are the contract's schemas as Go sees them. A test holds
// them against openapi.yaml, property by property, so the two cannot drift.
// Request types are pointers where a member may be left out.

// Units is the unit of lengths that carry none, and of the texts answered.
type Units string

// Target is the play that is wanted, and the range that is still good.
type Target struct {
	Play *LengthIn `json:"play,omitempty"`
	From *LengthIn `json:"from,omitempty"`
	To   *LengthIn `json:"to,omitempty"`
}

// Pass is one pass of a two-position template.
type Pass struct {
	Opening      *LengthIn `json:"opening,omitempty"`
	Finger       *LengthIn `json:"finger,omitempty"`
	OpeningReach *LengthIn `json:"opening_reach,omitempty"`
	FingerReach  *LengthIn `json:"finger_reach,omitempty"`
}

// Template holds the members of every kind; Kind says which of them count.
type Template struct {
	Kind         string    `json:"kind"`
	Pitch        *LengthIn `json:"pitch,omitempty"`
	Opening      *LengthIn `json:"opening,omitempty"`
	OpeningReach *LengthIn `json:"opening_reach,omitempty"`
	FingerReach  *LengthIn `json:"finger_reach,omitempty"`
	TailPass     *Pass     `json:"tail_pass,omitempty"`
	PinPass      *Pass     `json:"pin_pass,omitempty"`
	Allowance    *LengthIn `json:"allowance,omitempty"`
	Cutter       *Cutter   `json:"cutter,omitempty"`
	Bushing      *Bushing  `json:"bushing,omitempty"`
	Depth        *LengthIn `json:"depth,omitempty"`
	Feel         string    `json:"feel,omitempty"`
	Thickness    *LengthIn `json:"thickness,omitempty"`
}

// Offset is where the cutter's axis lies, seen from the bushing's.
type Offset struct {
	X *LengthIn `json:"x,omitempty"`
	Y *LengthIn `json:"y,omitempty"`
}

// Bushing is a guide bushing.
type Bushing struct {
	ID       string    `json:"id,omitempty"`
	Kind     string    `json:"kind,omitempty"`
	Diameter *LengthIn `json:"diameter,omitempty"`
	Labelled *LengthIn `json:"labelled,omitempty"`
	Bore     *LengthIn `json:"bore,omitempty"`
	Barrel   *LengthIn `json:"barrel,omitempty"`
	Offset   *Offset   `json:"offset,omitempty"`
}

// Cutter is a dovetail cutter. In `cutters` a built-in id alone is enough.
type Cutter struct {
	ID             string    `json:"id,omitempty"`
	Diameter       *LengthIn `json:"diameter,omitempty"`
	Labelled       *LengthIn `json:"labelled,omitempty"`
	Angle          *float64  `json:"angle,omitempty"`
	AngleTolerance *float64  `json:"angle_tolerance,omitempty"`
	Condition      string    `json:"condition,omitempty"`
	CuttingLength  *LengthIn `json:"cutting_length,omitempty"`
	Neck           *LengthIn `json:"neck,omitempty"`
	Shank          *LengthIn `json:"shank,omitempty"`
	OverallLength  *LengthIn `json:"overall_length,omitempty"`
	Runout         *LengthIn `json:"runout,omitempty"`
}

// Router is what is known of the router.
type Router struct {
	AdjusterLead *LengthIn   `json:"adjuster_lead,omitempty"`
	AdjusterStep *LengthIn   `json:"adjuster_step,omitempty"`
	GaugeBlocks  []*LengthIn `json:"gauge_blocks,omitempty"`
	Backlash     *LengthIn   `json:"backlash,omitempty"`
	TurnedInUse  bool        `json:"turned_in_use,omitempty"`
	ColletHeight *LengthIn   `json:"collet_height,omitempty"`
}

// PinBoard is the drawer front, TailBoard the drawer side.
type PinBoard struct {
	Thickness   *LengthIn `json:"thickness,omitempty"`
	Width       *LengthIn `json:"width,omitempty"`
	GrooveDepth *LengthIn `json:"groove_depth,omitempty"`

	Species           string   `json:"species,omitempty"`
	Moisture          *float64 `json:"moisture,omitempty"`
	MoistureTolerance *float64 `json:"moisture_tolerance,omitempty"`
	Grain             string   `json:"grain,omitempty"`
}

// TailBoard is the drawer side.
type TailBoard struct {
	Thickness *LengthIn `json:"thickness,omitempty"`
	Width     *LengthIn `json:"width,omitempty"`

	Species           string   `json:"species,omitempty"`
	Moisture          *float64 `json:"moisture,omitempty"`
	MoistureTolerance *float64 `json:"moisture_tolerance,omitempty"`
	Grain             string   `json:"grain,omitempty"`
}

// Depth is one length for both boards, or one for each.
type Depth struct {
	Both      *LengthIn
	PinBoard  *LengthIn
	TailBoard *LengthIn
}

// Setup is what the joint is cut with: a template, or the record of an
// earlier session with it.
type Setup struct {
	Record        *Record    `json:"record,omitempty"`
	Template      *Template  `json:"template,omitempty"`
	Bushing       *Bushing   `json:"bushing,omitempty"`
	Cutter        *Cutter    `json:"cutter,omitempty"`
	Depth         *Depth     `json:"depth,omitempty"`
	Router        *Router    `json:"router,omitempty"`
	PinBoard      *PinBoard  `json:"pin_board,omitempty"`
	TailBoard     *TailBoard `json:"tail_board,omitempty"`
	SideStopError *LengthIn  `json:"side_stop_error,omitempty"`
}

// Measured holds caliper readings of a test joint.
type Measured struct {
	PinWidest        *LengthIn `json:"pin_widest,omitempty"`
	TailWidest       *LengthIn `json:"tail_widest,omitempty"`
	PinSocketWidest  *LengthIn `json:"pin_socket_widest,omitempty"`
	TailSocketWidest *LengthIn `json:"tail_socket_widest,omitempty"`
	DepthPinBoard    *LengthIn `json:"depth_pin_board,omitempty"`
	DepthTailBoard   *LengthIn `json:"depth_tail_board,omitempty"`
}

// TestCut is one test joint and what was seen of it. Depth is as set.
type TestCut struct {
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

// FitPredictionRequest asks whether a set-up will fit.
type FitPredictionRequest struct {
	Units   Units   `json:"units,omitempty"`
	Explain bool    `json:"explain,omitempty"`
	Target  *Target `json:"target,omitempty"`
	Setup   *Setup  `json:"setup"`
}

// CorrectionRequest asks what to change after test cuts.
type CorrectionRequest struct {
	Units       Units        `json:"units,omitempty"`
	Explain     bool         `json:"explain,omitempty"`
	Target      *Target      `json:"target,omitempty"`
	Setup       *Setup       `json:"setup"`
	TestCuts    []TestCut    `json:"test_cuts,omitempty"`
	Run         []RunReading `json:"run,omitempty"`
	Findings    *Findings    `json:"findings,omitempty"`
	Answered    []string     `json:"answered,omitempty"`
	Unavailable []string     `json:"unavailable,omitempty"`
	Minutes     *Minutes     `json:"minutes,omitempty"`
}

// Minutes is what things take where the caller is.
type Minutes struct {
	TestJoint *float64       `json:"test_joint,omitempty"`
	Checks    []CheckMinutes `json:"checks,omitempty"`
}

// CheckMinutes is how long a check takes there.
type CheckMinutes struct {
	Check   string  `json:"check"`
	Minutes float64 `json:"minutes"`
}

// Length is a length in an answer.
type Length struct {
	MM   float64 `json:"mm"`
	In   float64 `json:"in"`
	Text string  `json:"text"`
}

// Caution is a warning that fits the step it stands with.
type Caution struct {
	Code   string `json:"code"`
	Text   string `json:"text"`
	Params Params `json:"params,omitempty"`
}

// WorkingLine is one figure of an answer, ready to check by hand.
type WorkingLine struct {
	Name        string             `json:"name"`
	NameMessage *Message           `json:"name_message,omitempty"`
	Formula     string             `json:"formula"`
	Values      map[string]float64 `json:"values"`
	Result      float64            `json:"result"`
	Source      string             `json:"source"`
}

// Limit is one limit of a set-up. OK and Margin are null where it needs what was not given.
type Limit struct {
	Code     string  `json:"code"`
	OK       *bool   `json:"ok"`
	Margin   *Length `json:"margin"`
	Severity string  `json:"severity"`
	Text     string  `json:"text"`
	Params   Params  `json:"params,omitempty"`
}

// Widths are those of section 3; null for templates that are not known by their openings.
type Widths struct {
	PinWidest        Length `json:"pin_widest"`
	PinRoot          Length `json:"pin_root"`
	TailWidest       Length `json:"tail_widest"`
	TailRoot         Length `json:"tail_root"`
	PinSocketWidest  Length `json:"pin_socket_widest"`
	TailSocketWidest Length `json:"tail_socket_widest"`
}

// Seat is how far the tail board's outside face ends inside (+) or proud of (-) the pin board's end.
type Seat struct {
	Offset *Length `json:"offset"`
	State  string  `json:"state"`
}

// Uncertainty of play: standard, and the 95 % range.
type Uncertainty struct {
	Standard Length `json:"standard"`
	Low      Length `json:"low"`
	High     Length `json:"high"`
}

// Probability of each band of play.
type Probability struct {
	TooLoose     float64 `json:"too_loose"`
	Loose        float64 `json:"loose"`
	HandFit      float64 `json:"hand_fit"`
	Tight        float64 `json:"tight"`
	WillNotClose float64 `json:"will_not_close"`
	NoJoint      float64 `json:"no_joint"`
}

// Contribution is the share of one source in the variance of play.
type Contribution struct {
	Source string  `json:"source"`
	Share  float64 `json:"share"`
}

// Fit is what a set-up is expected to give.
type Fit struct {
	Play          Length         `json:"play"`
	Band          string         `json:"band"`
	Likeliest     []string       `json:"likeliest"`
	Shortfall     *Shortfall     `json:"shortfall"`
	Uncertainty   Uncertainty    `json:"uncertainty"`
	Probability   Probability    `json:"probability"`
	InTarget      float64        `json:"in_target"`
	PulledGap     *Length        `json:"pulled_gap"`
	Seat          Seat           `json:"seat"`
	EdgeStep      Length         `json:"edge_step"`
	ShoulderGap   Length         `json:"shoulder_gap"`
	FloorGap      Length         `json:"floor_gap"`
	FirstTouch    *Length        `json:"first_touch_proud"`
	Contributions []Contribution `json:"contributions"`
	Assembly      *Assembly      `json:"assembly"`
	Glue          string         `json:"glue"`
}

// Assembly is what it takes to close a tight joint, an estimate.
type Assembly struct {
	PressureMPa *Estimated `json:"pressure_mpa"`
	ForceN      *Estimated `json:"force_n"`
	Words       string     `json:"words"`
	Crushes     *bool      `json:"crushes"`
	CrushLimit  *Length    `json:"crush_limit"`
	Text        string     `json:"text"`
	Code        string     `json:"code"`
	Params      Params     `json:"params,omitempty"`
}

// Estimated is a figure with the range that holds it with about 95 %.
type Estimated struct {
	Value float64 `json:"value"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
}

// RouterSettings are the projections that give a depth of cut.
type RouterSettings struct {
	BelowBase    *Length `json:"below_base"`
	BelowBushing *Length `json:"below_bushing"`
}

// MeasureFirst says what a caliper reading of one input would be worth.
type MeasureFirst struct {
	Quantity string  `json:"quantity"`
	Gain     float64 `json:"gain"`
	Text     string  `json:"text"`
	Code     string  `json:"code"`
	Params   Params  `json:"params,omitempty"`
}

// Regrind says what grinding costs a cutter: its depth, and when it is finished.
type Regrind struct {
	DepthPerTenth Length  `json:"depth_per_tenth"`
	FinishedBelow Length  `json:"finished_below"`
	LastDepth     *Length `json:"last_depth"`
	Finished      bool    `json:"finished"`
	Text          string  `json:"text"`
	Code          string  `json:"code"`
	Params        Params  `json:"params,omitempty"`
}

// FitPredictionAnswer answers FitPredictionRequest.
type FitPredictionAnswer struct {
	Model          string         `json:"model"`
	Summary        string         `json:"summary"`
	SummaryMessage *Message       `json:"summary_message,omitempty"`
	Fit            Fit            `json:"fit"`
	Widths         *Widths        `json:"widths"`
	Limits         []Limit        `json:"limits"`
	DepthForTarget *Length        `json:"depth_for_target"`
	LimitsAtTarget []Limit        `json:"limits_at_target"`
	BestDepth      *BestDepth     `json:"best_depth"`
	Boards         Boards         `json:"boards"`
	Touchiness     Length         `json:"play_per_tenth"`
	RouterSettings RouterSettings `json:"router_settings"`
	MeasureFirst   []MeasureFirst `json:"measure_first"`
	Regrind        *Regrind       `json:"regrind,omitempty"`
	Cautions       []Caution      `json:"cautions"`
	Working        []WorkingLine  `json:"working,omitempty"`
}

// CutterChoice is a cutter as recommended, refused or built in.
type CutterChoice struct {
	ID            string  `json:"id,omitempty"`
	Diameter      Length  `json:"diameter"`
	Angle         float64 `json:"angle"`
	CuttingLength *Length `json:"cutting_length,omitempty"`
	Shank         *Length `json:"shank,omitempty"`
}

// CuttersAnswer lists the built-in cutters.
type CuttersAnswer struct {
	Model       string         `json:"model"`
	Note        string         `json:"note"`
	NoteMessage *Message       `json:"note_message,omitempty"`
	Cutters     []CutterChoice `json:"cutters"`
}

// BushingChoice is a built-in bushing.
type BushingChoice struct {
	ID       string `json:"id"`
	Diameter Length `json:"diameter"`
	Bore     Length `json:"bore"`
}

// BushingsAnswer lists the built-in bushings.
type BushingsAnswer struct {
	Model       string          `json:"model"`
	Note        string          `json:"note"`
	NoteMessage *Message        `json:"note_message,omitempty"`
	Bushings    []BushingChoice `json:"bushings"`
}

// FieldError is one bad field of a request.
type FieldError struct {
	Pointer string `json:"pointer"`
	Code    string `json:"code"`
	Detail  string `json:"detail"`
	Params  Params `json:"params,omitempty"`
}

// Problem is an error answer, RFC 9457.
type Problem struct {
	Type          string       `json:"type"`
	Title         string       `json:"title"`
	TitleMessage  *Message     `json:"title_message,omitempty"`
	Status        int          `json:"status"`
	Detail        string       `json:"detail"`
	DetailMessage *Message     `json:"detail_message,omitempty"`
	RequestID     string       `json:"request_id"`
	Errors        []FieldError `json:"errors,omitempty"`
}
