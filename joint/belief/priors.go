package belief

// What is believed before anything is seen: how often a set-up that is told of
// is not as told, in which way and by how much, how often what is told is
// misread, and what shows in what. All of it is judgement, no source, but where
// common practice is named; an operator who knows better replaces it.

// Lump is one part of a distribution of sizes: a normal one, mm or degrees.
type Lump struct{ Weight, Mean, SD float64 }

// SizeList names a distribution of sizes.
type SizeList uint8

// The distributions of sizes. Each is that of a fault that somebody would call
// for; what is smaller is tolerance.
const (
	SizesUneven  SizeList = iota // one board cut deeper than the other
	SizesSlip                    // the depth moved
	SizesDepth                   // the depth scale is off what is cut
	SizesGround                  // what a cutter lost by grinding
	SizesAngle                   // an angle off the one marked
	SizesAxes                    // bushing's axis off the cutter's
	SizesTurned                  // play gained or lost by turning the router
	SizesMissed                  // openings cut narrower
	SizesTilt                    // one end of the template higher
	SizesPlace                   // seat off, twice the template's place
	SizesStop                    // edges off
	SizesHollow                  // hollow or crown of a board
	SizesThick                   // tail board thicker
	SizesSquare                  // shoulder held open at one end
	SizesChip                    // chips' thickness
	SizesFuzz                    // play that fuzz takes from the hand
	SizesMoved                   // boards out of step over their width
	SizesMixed                   // two set-ups' difference
	SizesTip                     // the cutter's stand-out from the bushing: T - L, unknown
	SizesBase                    // the template's thickness T, unknown
	SizesTool                    // a tool off by any amount
	SizesOpening                 // opening or finger not as stated
	SizesSkew                    // seat off at one end against the middle
	SizesSwelled                 // play that swelling takes
	SizeLists
)

// Misread is how often a reading of a kind is wrong altogether, and by how
// much more it is then off, mm or degrees (a standard deviation).
type Misread struct{ Chance, By float64 }

// ReadingKind is a kind of reading, for how often it is misread.
type ReadingKind uint8

// Kinds of reading.
const (
	ReadGap     ReadingKind = iota // gaps pulled or standing open
	ReadCaliper                    // widths and tools by caliper
	ReadDepth                      // depth in the wood
	ReadEye                        // seat and edges, by rule or finger
	ReadAngle                      // angle of a cutter, degrees
	ReadWentIn                     // how far it went in
	ReadMeant                      // the play of the sizes as stated: they were chosen to fit
	ReadRecord                     // what an earlier session with other tools taught
	ReadingKinds
)

// Priors is all that is believed before anything is seen.
type Priors struct {
	// Share is how often each cause is behind what is told, together less than 1;
	// the rest is that all is as stated within its tolerance.
	Share [CauseCount]float64
	Sizes [SizeLists][]Lump
	// Reground is how often a cutter of unknown history was reground.
	Reground float64
	Misread  [ReadingKinds]Misread
	// Careful is the share of misreadings that a reading keeps which was asked
	// for, or was stated with its tolerance.
	Careful float64
	// Misfelt is how often a feel is told wrongly altogether.
	Misfelt float64
	// Odd is how often one test joint was cut otherwise than the rest.
	Odd float64
	// MisnotedFinding is how often a yes or no is told wrongly.
	MisnotedFinding float64
	// Usually is how often a finding is a yes when the cause has nothing to do
	// with it, Shows how often under the causes that do show in it.
	Usually [FindingCount]float64
	Shows   [FindingCount]map[Code]float64
	// AskedIfRight is how often somebody asks about a joint with which nothing is
	// wrong, against one of any other; SilentIfWrong how often somebody who tells
	// of a joint says nothing of what is wrong with it, against one where it is
	// right.
	AskedIfRight, SilentIfWrong float64
	// Minutes of each check, getting at the thing and putting it back included,
	// and of a test joint.
	Minutes [CheckCount]float64
	Joint   float64
	// Scatter is how often readings and settings scatter ScatterBy times as much
	// as their tolerances say.
	Scatter, ScatterBy float64
}

// either mirrors lumps: the size may as well be the other way.
func either(lumps ...Lump) []Lump {
	all := make([]Lump, 0, 2*len(lumps))
	for _, l := range lumps {
		all = append(all, Lump{l.Weight / 2, l.Mean, l.SD}, Lump{l.Weight / 2, -l.Mean, l.SD})
	}
	return all
}

// DefaultPriors returns the tables of judgement. Common practice, no source,
// is what leads them: bushing, cutter and angle are the first things to check,
// a right set-up may still need a small change of depth, and a depth read as
// projection is a classic mistake.
func DefaultPriors() *Priors {
	return &Priors{
		Share:           defaultShares(),
		Sizes:           defaultSizes(),
		Reground:        0.25, // of cutters of which nothing is said
		Misread:         defaultMisreadings(),
		Usually:         usually(),
		Shows:           tellTales(),
		Minutes:         defaultMinutes(),
		Careful:         0.8,
		Misfelt:         0.08,
		Odd:             0.03,
		MisnotedFinding: 0.10,
		Joint:           15,
		AskedIfRight:    0.06,
		SilentIfWrong:   0.6,
		Scatter:         0.2,
		ScatterBy:       2,
	}
}

// defaultShares are how often each cause is the one that is wrong.
func defaultShares() [CauseCount]float64 {
	return [CauseCount]float64{
		CauseBushingDiameter:     0.042,
		CauseCutterDiameter:      0.035,
		CauseCutterAngle:         0.032,
		CauseCutterResharpened:   0.035,
		CauseDepthFromBushingTip: 0.021,
		CauseDepthFromRouterBase: 0.014,
		CauseDepthOff:            0.051,
		CauseCutterCrept:         0.016,
		CauseBushingOffCentre:    0.016,
		CauseRouterTurned:        0.016,
		CauseOpeningsNotFollowed: 0.023,
		CauseTemplateTilted:      0.023,
		CauseTemplatePosition:    0.028,
		CauseSideStop:            0.026,
		CauseWrongFaceOrStop:     0.018,
		CauseBoardCupped:         0.016,
		CauseBoardThickness:      0.010,
		CauseBoardsNotLevel:      0.019,
		CauseStockNotSquare:      0.016,
		CauseChipsUnder:          0.019,
		CauseDepthLockSlipped:    0.016,
		CauseDullCutter:          0.016,
		CauseWoodMoved:           0.016,
		CauseMixedBoards:         0.012,
		CauseTemplateSkewed:      0.011,
		CauseGlueSwelled:         0.009,
		CauseLapBroken:           0.001,
		CauseTemplateSize:        0.006,
	}
}

// defaultSizes are by how much it is then wrong.
func defaultSizes() [SizeLists][]Lump {
	return [SizeLists][]Lump{
		SizesUneven:  {{0.5, 0.3, 0.12}, {0.5, 0.8, 0.3}},
		SizesSlip:    {{0.5, 0.4, 0.2}, {0.5, 1.2, 0.5}},
		SizesDepth:   either(Lump{0.45, 0.5, 0.2}, Lump{0.40, 1.2, 0.45}, Lump{0.15, 2.5, 1.2}), // up to 1/16 in and more
		SizesGround:  {{0.5, 0.16, 0.07}, {0.4, 0.3, 0.09}, {0.1, 0.5, 0.12}},
		SizesAngle:   either(Lump{0.8, 0.8, 0.35}, Lump{0.2, 2, 1}),
		SizesAxes:    either(Lump{0.6, 0.2, 0.08}, Lump{0.4, 0.4, 0.15}),
		SizesTurned:  {{0.4, 0.3, 0.15}, {0.3, 0.7, 0.3}, {0.3, -0.3, 0.15}},
		SizesMissed:  {{0.5, 0.25, 0.12}, {0.5, 0.7, 0.3}},
		SizesTilt:    either(Lump{0.6, 0.45, 0.15}, Lump{0.4, 1.0, 0.35}),
		SizesPlace:   either(Lump{0.5, 0.5, 0.2}, Lump{0.5, 1.2, 0.45}),
		SizesStop:    either(Lump{0.5, 0.5, 0.2}, Lump{0.5, 1.2, 0.45}),
		SizesHollow:  {{0.6, 0.45, 0.18}, {0.4, 0.9, 0.3}},
		SizesThick:   {{0.5, 3.5, 0.6}, {0.35, 6.35, 0.6}, {0.15, -3, 1}},
		SizesSquare:  either(Lump{0.6, 0.4, 0.18}, Lump{0.4, 1.0, 0.4}),
		SizesChip:    {{0.6, 0.35, 0.12}, {0.4, 0.7, 0.2}},
		SizesFuzz:    {{0.6, 0.12, 0.05}, {0.4, 0.25, 0.08}},
		SizesMoved:   {{0.6, 0.25, 0.1}, {0.4, 0.55, 0.2}},
		SizesMixed:   either(Lump{0.5, 0.4, 0.2}, Lump{0.5, 1.0, 0.4}),
		SizesTip:     {{0.2, 1.8, 0.6}, {0.4, 3.2, 0.9}, {0.4, 5.5, 1.6}},
		SizesBase:    {{0.34, 6.5, 1}, {0.33, 9.5, 1.5}, {0.33, 13.5, 1.8}}, // 5 to 16 mm
		SizesTool:    either(Lump{0.7, 0.35, 0.2}, Lump{0.3, 1.0, 0.6}),
		SizesOpening: either(Lump{0.6, 0.15, 0.08}, Lump{0.4, 0.4, 0.2}),
		SizesSkew:    either(Lump{0.6, 0.35, 0.15}, Lump{0.4, 0.8, 0.3}),
		SizesSwelled: {{0.6, 0.12, 0.05}, {0.4, 0.25, 0.08}},
	}
}

// defaultMisreadings are how often each kind of reading is wrong, and by how much.
func defaultMisreadings() [ReadingKinds]Misread {
	return [ReadingKinds]Misread{
		ReadGap:     {0.10, 0.9},
		ReadCaliper: {0.10, 0.8},
		ReadDepth:   {0.10, 1.0},
		ReadEye:     {0.10, 0.9},
		ReadAngle:   {0.10, 3},
		ReadWentIn:  {0.10, 1},
		ReadMeant:   {0.02, 0.8},
		ReadRecord:  {0.20, 0.6},
	}
}

// usually is how often a finding shows where its causes are not there.
func usually() [FindingCount]float64 {
	return [FindingCount]float64{
		FoundCutterChanged:     0.15,
		FoundBushingWobbles:    0.04,
		FoundOneSetting:        0.85,
		FoundTemplateRocks:     0.04,
		FoundBoardsCupped:      0.06,
		FoundCutWeeksAgo:       0.10,
		FoundRouterTurned:      0.15,
		FoundSecondPass:        0.30,
		FoundTearOut:           0.12,
		FoundChippedPin:        0.05,
		FoundOnePinOff:         0.04,
		FoundCornerNotSquare:   0.05,
		FoundTightAtOneEnd:     0.06,
		FoundEdgesHalfPitchOff: 0.01,
		FoundEdgesMirrored:     0.01,
		FoundMoistureDiffers:   0.10,
		FoundCutterDull:        0.08,
		FoundDepthMoved:        0.04,
		FoundChips:             0.08,
		FoundFitsDryOnly:       0.03,
	}
}

// tellTales are what shows in what.
func tellTales() [FindingCount]map[Code]float64 {
	return [FindingCount]map[Code]float64{
		FoundCutterChanged: {
			CauseCutterDiameter: 0.70, CauseCutterAngle: 0.70, CauseCutterResharpened: 0.60, CauseDullCutter: 0.04,
		},
		FoundBushingWobbles: {CauseBushingOffCentre: 0.65, CauseRouterTurned: 0.50},
		FoundOneSetting: {
			CauseCutterCrept: 0.75, CauseDepthLockSlipped: 0.75, CauseMixedBoards: 0.15,
		},
		FoundTemplateRocks: {
			CauseTemplateTilted: 0.75, CauseChipsUnder: 0.40, CauseBoardCupped: 0.30,
		},
		FoundBoardsCupped: {CauseBoardCupped: 0.88, CauseWoodMoved: 0.30},
		FoundCutWeeksAgo:  {CauseWoodMoved: 0.75, CauseMixedBoards: 0.35, CauseBoardCupped: 0.25},
		FoundRouterTurned: {CauseRouterTurned: 0.90, CauseBushingOffCentre: 0.04},
		FoundSecondPass:   {CauseOpeningsNotFollowed: 0.08, CauseRouterTurned: 0.40},
		FoundTearOut:      {CauseDullCutter: 0.65},
		FoundChippedPin:   {CauseDullCutter: 0.20},
		FoundOnePinOff:    {CauseOpeningsNotFollowed: 0.50, CauseChipsUnder: 0.15},
		FoundCornerNotSquare: {
			CauseStockNotSquare: 0.85, CauseBoardCupped: 0.15, CauseTemplateTilted: 0.15,
		},
		FoundTightAtOneEnd: {
			CauseTemplateTilted: 0.65, CauseWoodMoved: 0.35, CauseBoardCupped: 0.25, CauseStockNotSquare: 0.30,
			CauseChipsUnder: 0.30, CauseOpeningsNotFollowed: 0.15, CauseTemplateSkewed: 0.20,
		},
		FoundEdgesHalfPitchOff: {CauseWrongFaceOrStop: 0.65},
		FoundEdgesMirrored:     {CauseWrongFaceOrStop: 0.45, CauseWoodMoved: 0.20},
		FoundMoistureDiffers:   {CauseWoodMoved: 0.85, CauseBoardCupped: 0.30, CauseMixedBoards: 0.20, CauseGlueSwelled: 0.20},
		FoundCutterDull:        {CauseDullCutter: 0.88, CauseCutterResharpened: 0.05},
		FoundDepthMoved:        {CauseDepthLockSlipped: 0.75, CauseCutterCrept: 0.55},
		FoundChips:             {CauseChipsUnder: 0.75},
		FoundFitsDryOnly:       {CauseGlueSwelled: 0.90},
	}
}

// defaultMinutes are what each check costs.
func defaultMinutes() [CheckCount]float64 {
	return [CheckCount]float64{
		CheckMeasureBushing:     4,
		CheckMeasureCutter:      4,
		CheckMeasureCutterAngle: 6,
		CheckMeasureDepth:       3,
		CheckMeasureWidths:      5,
		CheckPullJoint:          3,
		CheckSeeSeat:            3,
		CheckSeeEdges:           3,
		CheckStraightedge:       3,
		CheckRockTemplate:       3,
		CheckScrapSlot:          8,
		CheckMoistureMeter:      4,
		CheckLookBothEnds:       4,
		CheckMeasureBoards:      3,
		CheckMeasureTemplate:    5,
		CheckAskCutterChanged:   0.5,
		CheckAskOneSetting:      0.5,
		CheckAskCutWeeksAgo:     0.5,
		CheckAskRouterTurned:    0.5,
		CheckAskSecondPass:      0.5,
		CheckAskTearOut:         0.5,
	}
}

// shows returns P(yes | cause), as told.
func (p *Priors) shows(c Code, f Finding) float64 {
	yes := p.Usually[f]
	if related, ok := p.Shows[f][c]; ok {
		yes = related
	}
	return p.MisnotedFinding + (1-2*p.MisnotedFinding)*yes
}

// chance returns how likely an answer is under a cause; 1 where none was given.
func (p *Priors) chance(c Code, f Finding, a Answer) float64 {
	switch a {
	case Yes:
		return p.shows(c, f)
	case No:
		return 1 - p.shows(c, f)
	}
	return 1
}

// seenWith is what a person sees beside the readings while making a check.
var seenWith = [CheckCount][]Finding{
	CheckMeasureBushing:   {FoundBushingWobbles},
	CheckMeasureCutter:    {FoundCutterDull},
	CheckMeasureDepth:     {FoundDepthMoved},
	CheckMeasureWidths:    {FoundOnePinOff},
	CheckSeeEdges:         {FoundEdgesHalfPitchOff, FoundEdgesMirrored, FoundCornerNotSquare},
	CheckStraightedge:     {FoundBoardsCupped},
	CheckRockTemplate:     {FoundTemplateRocks, FoundChips},
	CheckMoistureMeter:    {FoundMoistureDiffers},
	CheckLookBothEnds:     {FoundTightAtOneEnd},
	CheckAskCutterChanged: {FoundCutterChanged},
	CheckAskOneSetting:    {FoundOneSetting},
	CheckAskCutWeeksAgo:   {FoundCutWeeksAgo},
	CheckAskRouterTurned:  {FoundRouterTurned},
	CheckAskSecondPass:    {FoundSecondPass},
	CheckAskTearOut:       {FoundTearOut},
}

// SeenWith returns the findings that a check settles, in a list of its own.
func (c Check) SeenWith() []Finding { return append([]Finding(nil), seenWith[c]...) }

// Asked reports whether a check is a question that the phone answers.
func (c Check) Asked() bool { return c >= CheckAskCutterChanged }
