package api

// InchPound is a property as printed in inch-pound units.
type InchPound struct {
	Value  float64 `json:"value"`
	Unit   string  `json:"unit"`
	Source string  `json:"source"`
	Table  string  `json:"table"`
	Found  string  `json:"found"`
}

// WoodFigure is a published number of a wood, and where it stands.
type WoodFigure struct {
	Value        float64    `json:"value"`
	Unit         string     `json:"unit"`
	Source       string     `json:"source"`
	Table        string     `json:"table"`
	TableMessage *Message   `json:"table_message,omitempty"`
	Found        string     `json:"found"`
	Note         string     `json:"note,omitempty"`
	NoteMessage  *Message   `json:"note_message,omitempty"`
	InchPound    *InchPound `json:"inch_pound,omitempty"`
}

// BotanicalName is a wood's botanical name, and where it stands.
type BotanicalName struct {
	Name        string   `json:"name"`
	Source      string   `json:"source,omitempty"`
	Table       string   `json:"table,omitempty"`
	Found       string   `json:"found"`
	Note        string   `json:"note,omitempty"`
	NoteMessage *Message `json:"note_message,omitempty"`
}

// Wood is a row of the wood table. A property that was not found is absent.
type Wood struct {
	ID            string        `json:"id"`
	Name          string        `json:"name"`
	Group         string        `json:"group"`
	BotanicalName BotanicalName `json:"botanical_name"`

	RadialCoefficient        *WoodFigure `json:"radial_coefficient,omitempty"`
	TangentialCoefficient    *WoodFigure `json:"tangential_coefficient,omitempty"`
	RadialShrinkage          *WoodFigure `json:"radial_shrinkage,omitempty"`
	TangentialShrinkage      *WoodFigure `json:"tangential_shrinkage,omitempty"`
	VolumetricShrinkage      *WoodFigure `json:"volumetric_shrinkage,omitempty"`
	SpecificGravity          *WoodFigure `json:"specific_gravity,omitempty"`
	BasicSpecificGravity     *WoodFigure `json:"basic_specific_gravity,omitempty"`
	ModulusOfElasticity      *WoodFigure `json:"modulus_of_elasticity,omitempty"`
	CompressionPerpendicular *WoodFigure `json:"compression_perpendicular,omitempty"`
	SideHardness             *WoodFigure `json:"side_hardness,omitempty"`
	RadialRatio              *WoodFigure `json:"radial_ratio,omitempty"`
	TangentialRatio          *WoodFigure `json:"tangential_ratio,omitempty"`
}

// SpeciesListAnswer lists the wood table.
type SpeciesListAnswer struct {
	Model       string   `json:"model"`
	Note        string   `json:"note"`
	NoteMessage *Message `json:"note_message,omitempty"`
	Species     []Wood   `json:"species"`
}

// SpeciesAnswer is one row of the wood table.
type SpeciesAnswer struct {
	Model       string   `json:"model"`
	Note        string   `json:"note"`
	NoteMessage *Message `json:"note_message,omitempty"`
	Species     Wood     `json:"species"`
}

// Air is the air that a board stood in.
type Air struct {
	Temperature *float64 `json:"temperature,omitempty"`
	Humidity    *float64 `json:"humidity,omitempty"`
}

// WoodBoard is one board of a joint that moves.
type WoodBoard struct {
	Thickness         *LengthIn `json:"thickness,omitempty"`
	Width             *LengthIn `json:"width,omitempty"`
	Material          string    `json:"material,omitempty"`
	Species           string    `json:"species,omitempty"`
	Grain             string    `json:"grain,omitempty"`
	Moisture          *float64  `json:"moisture,omitempty"`
	MoistureTolerance *float64  `json:"moisture_tolerance,omitempty"`
	Climate           *Air      `json:"climate,omitempty"`
}

// WoodClimate is a climate to judge the joint in.
type WoodClimate struct {
	Name              string   `json:"name,omitempty"`
	Season            string   `json:"season,omitempty"`
	Moisture          *float64 `json:"moisture,omitempty"`
	MoistureTolerance *float64 `json:"moisture_tolerance,omitempty"`
	Temperature       *float64 `json:"temperature,omitempty"`
	Humidity          *float64 `json:"humidity,omitempty"`
}

// JointAsCut is what is known of the joint itself.
type JointAsCut struct {
	Play       *LengthIn `json:"play,omitempty"`
	Pitch      *LengthIn `json:"pitch,omitempty"`
	TailWidest *LengthIn `json:"tail_widest,omitempty"`
	Depth      *Depth    `json:"depth,omitempty"`
	NoseReach  *LengthIn `json:"nose_reach,omitempty"`
}

// WoodMovementRequest asks what the seasons do to a joint.
type WoodMovementRequest struct {
	ID        string        `json:"id,omitempty"`
	Units     Units         `json:"units,omitempty"`
	Explain   bool          `json:"explain,omitempty"`
	Target    *Target       `json:"target,omitempty"`
	Setup     *Setup        `json:"setup,omitempty"`
	Joint     *JointAsCut   `json:"joint,omitempty"`
	PinBoard  *WoodBoard    `json:"pin_board,omitempty"`
	TailBoard *WoodBoard    `json:"tail_board,omitempty"`
	SameStock bool          `json:"same_stock,omitempty"`
	Climates  []WoodClimate `json:"climates,omitempty"`
}

// PlayNow is a play, how sure it is, and its band.
type PlayNow struct {
	Play        Length      `json:"play"`
	Uncertainty Uncertainty `json:"uncertainty"`
	Band        string      `json:"band"`
}

// CutBoard is a board when it was cut.
type CutBoard struct {
	Material            string  `json:"material"`
	Species             *string `json:"species"`
	Grain               string  `json:"grain"`
	Width               Length  `json:"width"`
	Moisture            float64 `json:"moisture"`
	MoistureUncertainty float64 `json:"moisture_uncertainty"`
	MoistureFrom        string  `json:"moisture_from"`
}

// CutJoint is the joint as it was cut.
type CutJoint struct {
	Play           PlayNow  `json:"play"`
	Pitch          Length   `json:"pitch"`
	TailWidest     Length   `json:"tail_widest"`
	DepthPinBoard  Length   `json:"depth_pin_board"`
	DepthTailBoard Length   `json:"depth_tail_board"`
	NoseReach      *Length  `json:"nose_reach"`
	LeastPlay      Length   `json:"least_play"`
	PinBoard       CutBoard `json:"pin_board"`
	TailBoard      CutBoard `json:"tail_board"`
}

// BoardMoved is what a climate does to a board.
type BoardMoved struct {
	Width           Length  `json:"width"`
	Change          Length  `json:"change"`
	Uncertainty     Length  `json:"uncertainty"`
	Thickness       *Length `json:"thickness"`
	ThicknessChange *Length `json:"thickness_change"`
	Basis           string  `json:"basis"`
}

// MissingProperty is what the table lacks for an answer.
type MissingProperty struct {
	Species  string `json:"species"`
	Property string `json:"property"`
}

// JointMoved is what a climate does to a joint. All but the climate and what is
// missing is null where something is missing.
type JointMoved struct {
	Name        string           `json:"name,omitempty"`
	Season      string           `json:"season"`
	Moisture    float64          `json:"moisture"`
	State       string           `json:"state"`
	Text        string           `json:"text"`
	Code        string           `json:"code"`
	Params      Params           `json:"params,omitempty"`
	Missing     *MissingProperty `json:"missing"`
	PinBoard    *BoardMoved      `json:"pin_board"`
	TailBoard   *BoardMoved      `json:"tail_board"`
	Middle      *PlayNow         `json:"middle"`
	Outermost   *PlayNow         `json:"outermost"`
	Closes      string           `json:"closes"`
	Closing     *Length          `json:"closing_flank"`
	Opening     *Length          `json:"opening_flank"`
	EdgeStep    *Length          `json:"edge_step"`
	SeatChange  *Length          `json:"seat_change"`
	ShoulderGap *Length          `json:"shoulder_gap"`
	FloorGap    *Length          `json:"floor_gap"`
}

// WoodAdvice is something to do before the next joint is cut.
type WoodAdvice struct {
	Code     string   `json:"code"`
	Amount   *Length  `json:"amount"`
	Depth    *Length  `json:"depth"`
	Moisture *float64 `json:"moisture"`
	Text     string   `json:"text"`
	Params   Params   `json:"params,omitempty"`
}

// Citation is where figures that the service chose stand.
type Citation struct {
	Source string `json:"source"`
	Table  string `json:"table"`
	Found  string `json:"found"`
}

// WoodMovementAnswer answers WoodMovementRequest.
type WoodMovementAnswer struct {
	Model          string        `json:"model"`
	Summary        string        `json:"summary"`
	SummaryMessage *Message      `json:"summary_message,omitempty"`
	Joint          CutJoint      `json:"joint"`
	Climates       []JointMoved  `json:"climates"`
	ClimatesSource *Citation     `json:"climates_source"`
	Advice         []WoodAdvice  `json:"advice"`
	Cautions       []Caution     `json:"cautions"`
	Working        []WorkingLine `json:"working,omitempty"`
}
