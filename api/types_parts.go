package api

// DrawerSetup is a Setup without boards: those come from each drawer's stock.
type DrawerSetup struct {
	Record        *Record   `json:"record,omitempty"`
	Template      *Template `json:"template,omitempty"`
	Bushing       *Bushing  `json:"bushing,omitempty"`
	Cutter        *Cutter   `json:"cutter,omitempty"`
	Depth         *Depth    `json:"depth,omitempty"`
	Router        *Router   `json:"router,omitempty"`
	SideStopError *LengthIn `json:"side_stop_error,omitempty"`
}

// DrawerStock is boards of one wood and thickness.
type DrawerStock struct {
	ID        string    `json:"id,omitempty"`
	Thickness *LengthIn `json:"thickness,omitempty"`
	Material  string    `json:"material,omitempty"`
	Species   string    `json:"species,omitempty"`
	Grain     string    `json:"grain,omitempty"`
	Moisture  *float64  `json:"moisture,omitempty"`
	Climate   *Air      `json:"climate,omitempty"`
}

// DrawerSize is a size across, up, and front to back.
type DrawerSize struct {
	Width  *LengthIn `json:"width,omitempty"`
	Height *LengthIn `json:"height,omitempty"`
	Depth  *LengthIn `json:"depth,omitempty"`
}

// DrawerAllowance is what is left free in an opening.
type DrawerAllowance struct {
	Width  *LengthIn `json:"width,omitempty"`
	Height *LengthIn `json:"height,omitempty"`
	Depth  *LengthIn `json:"depth,omitempty"`
}

// DrawerGroove takes the bottom.
type DrawerGroove struct {
	FromBottom *LengthIn `json:"from_bottom,omitempty"`
	Width      *LengthIn `json:"width,omitempty"`
	Depth      *LengthIn `json:"depth,omitempty"`
	Clearance  *LengthIn `json:"clearance,omitempty"`
	UnderBack  bool      `json:"under_back,omitempty"`
}

// DrawerLip is that of a rabbeted front.
type DrawerLip struct {
	Width     *LengthIn `json:"width,omitempty"`
	Thickness *LengthIn `json:"thickness,omitempty"`
	Edges     string    `json:"edges,omitempty"`
}

// Drawer is a row of drawers of one kind.
type Drawer struct {
	ID           string           `json:"id,omitempty"`
	Count        int              `json:"count,omitempty"`
	Outside      *DrawerSize      `json:"outside,omitempty"`
	Opening      *DrawerSize      `json:"opening,omitempty"`
	Allowance    *DrawerAllowance `json:"allowance,omitempty"`
	HeightRule   string           `json:"height_rule,omitempty"`
	SidesHeight  *LengthIn        `json:"sides_height,omitempty"`
	BackHeight   *LengthIn        `json:"back_height,omitempty"`
	Front        string           `json:"front,omitempty"`
	Sides        string           `json:"sides,omitempty"`
	Back         string           `json:"back,omitempty"`
	Bottom       string           `json:"bottom,omitempty"`
	BackJoint    string           `json:"back_joint,omitempty"`
	HousingDepth *LengthIn        `json:"housing_depth,omitempty"`
	Setback      *LengthIn        `json:"setback,omitempty"`
	Groove       *DrawerGroove    `json:"groove,omitempty"`
	Lip          *DrawerLip       `json:"lip,omitempty"`
	SidesSawn    *LengthIn        `json:"sides_sawn,omitempty"`
}

// LabourRates are the caller's own minutes for each of what is counted.
type LabourRates struct {
	Setup     *float64 `json:"setup,omitempty"`
	TestJoint *float64 `json:"test_joint,omitempty"`
	Joint     *float64 `json:"joint,omitempty"`
	Opening   *float64 `json:"opening,omitempty"`
	Metre     *float64 `json:"metre,omitempty"`
	Part      *float64 `json:"part,omitempty"`
}

// DrawerPartsRequest asks which parts make these drawers.
type DrawerPartsRequest struct {
	Units          Units           `json:"units,omitempty"`
	Explain        bool            `json:"explain,omitempty"`
	Target         *Target         `json:"target,omitempty"`
	Setup          *DrawerSetup    `json:"setup"`
	Cutters        []Cutter        `json:"cutters,omitempty"`
	Stock          []DrawerStock   `json:"stock"`
	Drawers        []Drawer        `json:"drawers"`
	Climates       []WoodClimate   `json:"climates,omitempty"`
	RoughAllowance *RoughAllowance `json:"rough_allowance,omitempty"`
	Rates          *LabourRates    `json:"rates,omitempty"`
}

// RoughAllowance is what is added to each finished size to saw a part out.
type RoughAllowance struct {
	Length    *LengthIn `json:"length,omitempty"`
	Width     *LengthIn `json:"width,omitempty"`
	Thickness *LengthIn `json:"thickness,omitempty"`
}

// PartsSize is a drawer's outside size.
type PartsSize struct {
	Width  Length `json:"width"`
	Height Length `json:"height"`
	Depth  Length `json:"depth"`
}

// PartWork is one thing worked on a part. What does not belong to its code is null.
type PartWork struct {
	Code   string  `json:"code"`
	At     string  `json:"at"`
	From   *Length `json:"from"`
	Width  *Length `json:"width"`
	Depth  Length  `json:"depth"`
	Text   string  `json:"text"`
	Params Params  `json:"params,omitempty"`
}

// DrawerPart is one kind of part of a row of drawers, finished size.
type DrawerPart struct {
	ID        string         `json:"id"`
	Part      string         `json:"part"`
	Count     int            `json:"count"`
	Length    Length         `json:"length"`
	Width     Length         `json:"width"`
	Thickness Length         `json:"thickness"`
	Stock     string         `json:"stock"`
	Material  string         `json:"material"`
	Species   string         `json:"species,omitempty"`
	Grain     string         `json:"grain_along"`
	Work      []PartWork     `json:"work"`
	Rough     *RoughSize     `json:"rough,omitempty"`
	Warnings  []PartsWarning `json:"warnings"`
}

// DrawerRefusal is why a row of drawers can't be made.
type DrawerRefusal struct {
	Code    string   `json:"code"`
	Pointer string   `json:"pointer"`
	Text    string   `json:"text"`
	Params  Params   `json:"params,omitempty"`
	Changes []Change `json:"changes"`
}

// DrawerJoint is the half-blind joint at one end of a row of drawers.
type DrawerJoint struct {
	End            string          `json:"end"`
	Setup          int             `json:"setup"`
	Lap            Length          `json:"lap"`
	Pitches        *int            `json:"pitches"`
	HalfPins       *bool           `json:"half_pins"`
	EdgePin        *Length         `json:"edge_pin"`
	GrooveHidden   *bool           `json:"groove_hidden"`
	NearestHeights *NearestHeights `json:"nearest_heights"`
	Warnings       []PartsWarning  `json:"warnings"`
	ReadySetup     Setup           `json:"ready_setup"`
}

// SidesSawn is what becomes of sides that are already sawn.
type SidesSawn struct {
	Length   Length        `json:"length"`
	Depth    Length        `json:"depth"`
	Fits     bool          `json:"fits"`
	Cutter   *CutterChoice `json:"cutter,omitempty"`
	Play     *Length       `json:"play"`
	Band     string        `json:"band,omitempty"`
	Limits   []Limit       `json:"limits"`
	ComesOut *Length       `json:"comes_out"`
	Text     string        `json:"text"`
	Code     string        `json:"code"`
	Params   Params        `json:"params,omitempty"`
}

// DrawerMade is a row of drawers with its parts, or why it can't be made.
type DrawerMade struct {
	ID       string         `json:"id"`
	Count    int            `json:"count"`
	Outside  PartsSize      `json:"outside"`
	Made     bool           `json:"made"`
	Refused  *DrawerRefusal `json:"refused,omitempty"`
	Parts    []DrawerPart   `json:"parts"`
	Joints   []DrawerJoint  `json:"joints"`
	Sawn     *SidesSawn     `json:"sides_sawn,omitempty"`
	Seasons  *DrawerSeasons `json:"seasons"`
	Warnings []PartsWarning `json:"warnings"`
}

// PartsSetup is one setting of router, stops and cutter.
type PartsSetup struct {
	Order          int            `json:"order"`
	Cutter         CutterChoice   `json:"cutter"`
	DepthPinBoard  Length         `json:"depth_pin_board"`
	DepthTailBoard Length         `json:"depth_tail_board"`
	Lip            *Length        `json:"lip"`
	SideStops      *Length        `json:"side_stops"`
	Play           Length         `json:"play"`
	Band           string         `json:"band"`
	InTarget       float64        `json:"in_target"`
	Lap            Length         `json:"lap"`
	Limits         []Limit        `json:"limits"`
	RouterSettings RouterSettings `json:"router_settings"`
	Drawers        []string       `json:"drawers"`
	Joints         int            `json:"joints"`
	TestJoints     float64        `json:"test_joints"`
	Text           string         `json:"text"`
	Code           string         `json:"code"`
	Params         Params         `json:"params,omitempty"`
	ReadySetup     Setup          `json:"ready_setup"`
}

// TestStock is what to set aside of one wood and thickness for test joints.
type TestStock struct {
	Stock       []string `json:"stock"`
	Material    string   `json:"material"`
	Species     string   `json:"species,omitempty"`
	Thickness   Length   `json:"thickness"`
	PinBoards   int      `json:"pin_boards"`
	TailBoards  int      `json:"tail_boards"`
	Length      Length   `json:"length"`
	Width       Length   `json:"width"`
	TotalLength Length   `json:"total_length"`
}

// Area is an area in an answer.
type Area struct {
	M2  float64 `json:"m2"`
	FT2 float64 `json:"ft2"`
}

// Volume is a volume in an answer.
type Volume struct {
	M3  float64 `json:"m3"`
	FT3 float64 `json:"ft3"`
}

// StockRough is what the parts take of one stock as they are sawn out.
type StockRough struct {
	Length Length `json:"length"`
	Area   Area   `json:"area"`
	Volume Volume `json:"volume"`
}

// StockTotal is what the parts take of one stock.
type StockTotal struct {
	ID        string      `json:"id"`
	Material  string      `json:"material"`
	Species   string      `json:"species,omitempty"`
	Thickness Length      `json:"thickness"`
	Pieces    int         `json:"pieces"`
	Length    Length      `json:"length"`
	Area      Area        `json:"area"`
	Volume    Volume      `json:"volume"`
	Rough     *StockRough `json:"rough,omitempty"`
}

// Labour is what is to be done, for an estimator.
type Labour struct {
	Drawers         int      `json:"drawers"`
	Parts           int      `json:"parts"`
	Joints          int      `json:"joints"`
	Setups          int      `json:"setups"`
	FewestSetups    bool     `json:"fewest_setups"`
	SetupsAtLeast   int      `json:"setups_at_least"`
	ChangesOfSetup  int      `json:"changes_of_setup"`
	ChangesOfCutter int      `json:"changes_of_cutter"`
	TestJoints      float64  `json:"test_joints"`
	Openings        *int     `json:"openings"`
	MetresOfCut     *float64 `json:"metres_of_cut"`
	FeetOfCut       *float64 `json:"feet_of_cut"`
	Hours           *float64 `json:"hours"`
}

// DrawerPartsAnswer answers DrawerPartsRequest.
type DrawerPartsAnswer struct {
	Model          string        `json:"model"`
	Summary        string        `json:"summary"`
	SummaryMessage *Message      `json:"summary_message,omitempty"`
	Setups         []PartsSetup  `json:"setups"`
	Drawers        []DrawerMade  `json:"drawers"`
	TestStock      []TestStock   `json:"test_stock"`
	Stock          []StockTotal  `json:"stock"`
	Labour         Labour        `json:"labour"`
	Cautions       []Caution     `json:"cautions"`
	Working        []WorkingLine `json:"working,omitempty"`
}
