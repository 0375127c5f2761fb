package diagnose

// How often each cause is behind a joint that does not fit, before anything is
// known of the case; only the ratios count. Judgement. Common practice, no
// source, for what leads: bushing, cutter and angle are the first things to
// check, a right set-up may still need a small change of depth, and a depth
// read as projection is a classic mistake.
var howOften = [CauseCount]float64{
	CauseBushingDiameter:     9,
	CauseCutterDiameter:      7,
	CauseCutterAngle:         6,
	CauseCutterResharpened:   7,
	CauseDepthFromBushingTip: 5,
	CauseDepthFromRouterBase: 3,
	CauseDepthOff:            14,
	CauseCutterCrept:         3,
	CauseBushingOffCentre:    3,
	CauseRouterTurned:        3,
	CauseOpeningsNotFollowed: 5,
	CauseTemplateTilted:      5,
	CauseTemplatePosition:    7,
	CauseSideStop:            6,
	CauseWrongFaceOrStop:     4,
	CauseBoardCupped:         3,
	CauseBoardThickness:      1,
	CauseBoardsNotLevel:      4,
	CauseStockNotSquare:      3,
	CauseChipsUnder:          4,
	CauseDepthLockSlipped:    3,
	CauseDullCutter:          3,
	CauseWoodMoved:           3,
	CauseMixedBoards:         2,
	CauseSetUpRight:          5,
}

// Minutes that each check takes at the bench, getting at the thing and
// putting it back included. Judgement.
var minutes = [CheckCount]float64{
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
}

// Minutes returns how long a check takes.
func (c Check) Minutes() float64 { return minutes[c] }

// How often a finding is a yes when the cause has nothing to do with it.
// Judgement.
var usually = [FindingCount]float64{
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
}

// How often it is a yes under the causes that do show in it. Judgement.
var shows = [FindingCount]map[Code]float64{
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
		CauseChipsUnder: 0.30, CauseOpeningsNotFollowed: 0.15,
	},
	FoundEdgesHalfPitchOff: {CauseWrongFaceOrStop: 0.65},
	FoundEdgesMirrored:     {CauseWrongFaceOrStop: 0.45, CauseWoodMoved: 0.20},
	FoundMoistureDiffers:   {CauseWoodMoved: 0.85, CauseBoardCupped: 0.30, CauseMixedBoards: 0.20},
	FoundCutterDull:        {CauseDullCutter: 0.88, CauseCutterResharpened: 0.05},
	FoundDepthMoved:        {CauseDepthLockSlipped: 0.75, CauseCutterCrept: 0.55},
	FoundChips:             {CauseChipsUnder: 0.75},
}

// chances is P(yes | cause), made of the two tables above.
var chances = func() (all [CauseCount][FindingCount]float64) {
	for cause := range all {
		all[cause] = usually
		for f := range shows {
			if p, related := shows[f][Code(cause)]; related {
				all[cause][f] = p
			}
		}
	}
	return all
}()

// chance returns how likely an answer is under a cause; 1 where none was given.
func (c Code) chance(f Finding, a Answer) float64 {
	switch a {
	case Yes:
		return chances[c][f]
	case No:
		return 1 - chances[c][f]
	}
	return 1
}

// seenWith is what a person sees beside the readings while making a check.
var seenWith = [CheckCount][]Finding{
	CheckMeasureBushing: {FoundBushingWobbles},
	CheckMeasureCutter:  {FoundCutterDull},
	CheckMeasureDepth:   {FoundDepthMoved},
	CheckMeasureWidths:  {FoundOnePinOff},
	CheckSeeEdges:       {FoundEdgesHalfPitchOff, FoundEdgesMirrored, FoundCornerNotSquare},
	CheckStraightedge:   {FoundBoardsCupped},
	CheckRockTemplate:   {FoundTemplateRocks, FoundChips},
	CheckMoistureMeter:  {FoundMoistureDiffers},
}

// SeenWith returns the findings that a check settles, in a list of its own.
func (c Check) SeenWith() []Finding { return append([]Finding(nil), seenWith[c]...) }
