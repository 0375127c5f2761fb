package api

// RunReading is what was read of one joint of a run.
type RunReading struct {
	Joint     int       `json:"joint"`
	PulledGap *LengthIn `json:"pulled_gap,omitempty"`
	Measured  *Measured `json:"measured,omitempty"`
}

// Run is what a run of joints shows.
type Run struct {
	Readings      int         `json:"readings"`
	SlopePerJoint *Length     `json:"slope_per_joint"`
	StandardError *Length     `json:"standard_error"`
	Seen          bool        `json:"seen"`
	WearPerJoint  *Length     `json:"wear_per_joint"`
	Limits        *RunLimits  `json:"limits"`
	Firm          bool        `json:"firm"`
	Signals       []RunSignal `json:"signals"`
	LookAgainAt   *int        `json:"look_again_at"`
	Text          string      `json:"text"`
	Code          string      `json:"code"`
	Params        Params      `json:"params,omitempty"`
}

// RunLimits are control limits of the gap.
type RunLimits struct {
	Mean          Length `json:"mean"`
	Lower         Length `json:"lower"`
	Upper         Length `json:"upper"`
	RangeUpper    Length `json:"range_upper"`
	WeightedLower Length `json:"weighted_lower"`
	WeightedUpper Length `json:"weighted_upper"`
}

// RunSignal is where in a run something is out of the ordinary.
type RunSignal struct {
	Code   string `json:"code"`
	Joint  int    `json:"joint"`
	Value  Length `json:"value"`
	Text   string `json:"text"`
	Params Params `json:"params,omitempty"`
}
