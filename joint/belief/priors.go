package belief

import "snugtail/joint/belief/sizes"

// What is believed before anything is seen: how often a set-up that is told of
// is not as told, in which way and by how much, how often what is told is
// misread, and what shows in what. All of it is judgement, no source, but where
// common practice is named; an operator who knows better replaces it.

// Lump is one part of a distribution of sizes: a normal one, mm or degrees.
type Lump = sizes.Lump

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
	Sizes [sizes.Lists][]Lump
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

// DefaultPriors returns the tables of judgement. Common practice, no source,
// is what leads them: bushing, cutter and angle are the first things to check,
// a right set-up may still need a small change of depth, and a depth read as
// projection is a classic mistake.
func DefaultPriors() *Priors {
	return &Priors{
		Share:           defaultShares(),
		Sizes:           sizes.Defaults(),
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
