package api

// PartsWarningParams are the numbers of a warning.
type PartsWarningParams struct {
	Value Length `json:"value"`
	Limit Length `json:"limit"`
}

// PartsInstead is a value that cures a warning.
type PartsInstead struct {
	Pointer string  `json:"pointer"`
	Length  *Length `json:"length"`
	Set     *bool   `json:"set"`
}

// PartsWarning is what would spoil a drawer that can be made.
type PartsWarning struct {
	Code    string             `json:"code"`
	Pointer string             `json:"pointer"`
	Text    string             `json:"text"`
	Params  PartsWarningParams `json:"params"`
	Instead []PartsInstead     `json:"instead"`
}

// SeasonGap is what a size needs to swell.
type SeasonGap struct {
	Swells Length  `json:"swells"`
	Free   *Length `json:"free"`
	Enough *bool   `json:"enough"`
	Fits   *Length `json:"fits"`
}

// HeightSeasons is how a drawer's height moves through a house's year.
type HeightSeasons struct {
	Driest       float64   `json:"driest"`
	Dampest      float64   `json:"dampest"`
	Moisture     float64   `json:"moisture"`
	MoistureFrom string    `json:"moisture_from"`
	Height       SeasonGap `json:"height"`
	Text         string    `json:"text"`
	Code         string    `json:"code"`
	Params       Params    `json:"params,omitempty"`
}

// DrawerSeasons is how a drawer moves through a house's year.
type DrawerSeasons struct {
	Driest       float64   `json:"driest"`
	Dampest      float64   `json:"dampest"`
	Moisture     float64   `json:"moisture"`
	MoistureFrom string    `json:"moisture_from"`
	Height       SeasonGap `json:"height"`
	Width        SeasonGap `json:"width"`
	Text         string    `json:"text"`
	Code         string    `json:"code"`
	Params       Params    `json:"params,omitempty"`
}

// NearestHeights are heights near a joint's own.
type NearestHeights struct {
	HalfPinsBelow *Length `json:"half_pins_below"`
	HalfPinsAbove Length  `json:"half_pins_above"`
	StrongBelow   *Length `json:"strong_below"`
	StrongAbove   *Length `json:"strong_above"`
}

// RoughSize is a part as it is sawn out.
type RoughSize struct {
	Length    Length `json:"length"`
	Width     Length `json:"width"`
	Thickness Length `json:"thickness"`
}
