package api

// Record is what a client keeps of a session and posts back.
type Record struct {
	Version  int             `json:"version"`
	Sessions []RecordSession `json:"sessions"`
	Learned  RecordLearned   `json:"learned"`
	Gauge    string          `json:"gauge"`
	Checksum string          `json:"checksum"`
}

// RecordSession is one set-up and its test cuts, oldest session first.
type RecordSession struct {
	Setup    RecordSetup `json:"setup"`
	TestCuts []TestCut   `json:"test_cuts"`
}

// RecordSetup is a Setup without a record of its own.
type RecordSetup struct {
	Template      *Template  `json:"template"`
	Bushing       *Bushing   `json:"bushing"`
	Cutter        *Cutter    `json:"cutter"`
	Depth         *Depth     `json:"depth"`
	Router        *Router    `json:"router,omitempty"`
	PinBoard      *PinBoard  `json:"pin_board,omitempty"`
	TailBoard     *TailBoard `json:"tail_board,omitempty"`
	SideStopError *LengthIn  `json:"side_stop_error,omitempty"`
}

// RecordLearned is what the sessions taught of the last set-up.
type RecordLearned struct {
	PlayOffset          LengthIn `json:"play_offset"`
	StandardUncertainty LengthIn `json:"standard_uncertainty"`
}
