package api

// LayoutSpacing is the range of pitches of openings that can be spaced freely.
type LayoutSpacing struct {
	PitchFrom *LengthIn `json:"pitch_from,omitempty"`
	PitchTo   *LengthIn `json:"pitch_to,omitempty"`
}

// LayoutGroove is the groove for a drawer's bottom.
type LayoutGroove struct {
	FromBottom *LengthIn `json:"from_bottom,omitempty"`
	Width      *LengthIn `json:"width,omitempty"`
	Depth      *LengthIn `json:"depth,omitempty"`
}

// LayoutRequest asks where pins and tails fall.
type LayoutRequest struct {
	Units         Units          `json:"units,omitempty"`
	Explain       bool           `json:"explain,omitempty"`
	Setup         *Setup         `json:"setup"`
	BoardWidth    *LengthIn      `json:"board_width,omitempty"`
	Spacing       *LayoutSpacing `json:"spacing,omitempty"`
	Groove        *LayoutGroove  `json:"groove,omitempty"`
	OpeningHeight *LengthIn      `json:"opening_height,omitempty"`
	Climates      []WoodClimate  `json:"climates,omitempty"`
}

// LayoutPart is a pin, a tail, or the socket of one.
type LayoutPart struct {
	Number     int    `json:"number"`
	Share      string `json:"share"`
	Centre     Length `json:"centre"`
	From       Length `json:"from"`
	To         Length `json:"to"`
	Widest     Length `json:"widest"`
	NarrowFrom Length `json:"narrow_from"`
	NarrowTo   Length `json:"narrow_to"`
	Narrowest  Length `json:"narrowest"`
}

// LayoutPinBoard is what is cut into the pin board.
type LayoutPinBoard struct {
	Pins        []LayoutPart `json:"pins"`
	TailSockets []LayoutPart `json:"tail_sockets"`
}

// LayoutTailBoard is what is cut into the tail board.
type LayoutTailBoard struct {
	Tails      []LayoutPart `json:"tails"`
	PinSockets []LayoutPart `json:"pin_sockets"`
}

// Layout is where pins and tails fall.
type Layout struct {
	BoardWidth Length          `json:"board_width"`
	Pitch      Length          `json:"pitch"`
	Pitches    int             `json:"pitches"`
	CentredOn  string          `json:"centred_on"`
	FirstPin   Length          `json:"first_pin"`
	Spacer     *Length         `json:"spacer"`
	PinBoard   LayoutPinBoard  `json:"pin_board"`
	TailBoard  LayoutTailBoard `json:"tail_board"`
}

// EdgePins is what both edges of the boards end in.
type EdgePins struct {
	Ending       string  `json:"ending"`
	Smallest     Length  `json:"smallest"`
	Widest       Length  `json:"widest"`
	StrongEnough bool    `json:"strong_enough"`
	Otherwise    *Length `json:"otherwise"`
}

// NearestWidths end in half pins.
type NearestWidths struct {
	Smaller *Length `json:"smaller"`
	Larger  Length  `json:"larger"`
}

// LayoutCorner says how the boards of one corner of a drawer go into the jig.
type LayoutCorner struct {
	Label        string `json:"label"`
	Corner       string `json:"corner"`
	Stop         string `json:"stop"`
	EdgeAtStop   string `json:"edge_at_stop"`
	PinBoard     string `json:"pin_board"`
	PinBoardUp   string `json:"pin_board_up"`
	TailBoard    string `json:"tail_board"`
	TailBoardOut string `json:"tail_board_out"`
	PositionsRun string `json:"positions_run"`
	Text         string `json:"text"`
	Code         string `json:"code"`
	Params       Params `json:"params,omitempty"`
}

// GrooveSeen is a stretch of the groove that shows.
type GrooveSeen struct {
	Where string `json:"where"`
	From  Length `json:"from"`
	To    Length `json:"to"`
}

// LayoutGrooveFinding is what becomes of the groove.
type LayoutGrooveFinding struct {
	Hidden      bool         `json:"hidden"`
	Tail        *int         `json:"tail"`
	Margin      Length       `json:"margin"`
	Shows       []GrooveSeen `json:"shows"`
	HidesLower  *Length      `json:"hides_lower"`
	MoveDown    *Length      `json:"move_down"`
	HidesHigher *Length      `json:"hides_higher"`
	MoveUp      *Length      `json:"move_up"`
	Text        string       `json:"text"`
	Code        string       `json:"code"`
	Params      Params       `json:"params,omitempty"`
}

// LayoutHeight is a height of drawer that ends in half pins.
type LayoutHeight struct {
	Tails       int    `json:"tails"`
	Height      Length `json:"height"`
	LeastHeight Length `json:"least_height"`
	LeftOver    Length `json:"left_over"`
}

// LayoutAnswer answers LayoutRequest.
type LayoutAnswer struct {
	Model          string               `json:"model"`
	Summary        string               `json:"summary"`
	SummaryMessage *Message             `json:"summary_message,omitempty"`
	Layout         Layout               `json:"layout"`
	HalfPins       bool                 `json:"half_pins_at_both_edges"`
	EdgePins       EdgePins             `json:"edge_pins"`
	Nearest        NearestWidths        `json:"nearest_widths"`
	Corners        []LayoutCorner       `json:"corners"`
	Groove         *LayoutGrooveFinding `json:"groove"`
	Heights        []LayoutHeight       `json:"heights"`
	Seasons        *HeightSeasons       `json:"seasons"`
	Limits         []Limit              `json:"limits"`
	Cautions       []Caution            `json:"cautions"`
	Working        []WorkingLine        `json:"working,omitempty"`
}
