package belief

// Code names a cause: which stated fact is not so, or what was done wrong.
type Code uint8

// The causes, in the order of the contract.
const (
	CauseBushingDiameter     Code = iota // bushing of another standard size
	CauseCutterDiameter                  // cutter of another standard diameter
	CauseCutterAngle                     // cutter of another angle, or not of the angle marked
	CauseCutterResharpened               // worn or resharpened: narrower than marked
	CauseDepthFromBushingTip             // depth set as projection below the bushing's tip
	CauseDepthFromRouterBase             // depth set as projection below the router's base
	CauseDepthOff                        // all else right, depth not
	CauseCutterCrept                     // cutter crept or slipped in the collet while cutting
	CauseBushingOffCentre                // bushing's axis beside the cutter's
	CauseRouterTurned                    // the same, and the router turned in use
	CauseOpeningsNotFollowed             // router not pressed to both sides of the openings
	CauseTemplateTilted                  // template not seated or not level
	CauseTemplatePosition                // template in the wrong place fore and aft
	CauseSideStop                        // side stop off
	CauseWrongFaceOrStop                 // wrong face out, or the wrong stop
	CauseBoardCupped                     // boards not flat
	CauseBoardThickness                  // tail board of another thickness than stated
	CauseBoardsNotLevel                  // clamped boards not level with each other
	CauseStockNotSquare                  // ends not square
	CauseChipsUnder                      // chips under template, base or stop
	CauseDepthLockSlipped                // depth lock slipped
	CauseDullCutter                      // dull cutter: fuzz feels tight, measures right
	CauseWoodMoved                       // wood moved since cutting
	CauseMixedBoards                     // boards cut with different set-ups
	CauseSetUpRight                      // nothing wrong, within target
	CauseTemplateSkewed                  // template turned in plan: its place differs from end to end
	CauseGlueSwelled                     // goes together dry, swells when glued
	CauseLapBroken                       // cut through the pin board
	CauseTemplateSize                    // template's openings or fingers not as stated
	CauseCount
)

// Check names something that a person at a bench, or on the phone, can do to
// learn more.
type Check uint8

// The checks, in the order of the contract.
const (
	CheckMeasureBushing Check = iota
	CheckMeasureCutter
	CheckMeasureCutterAngle
	CheckMeasureDepth
	CheckMeasureWidths
	CheckPullJoint
	CheckSeeSeat
	CheckSeeEdges
	CheckStraightedge
	CheckRockTemplate
	CheckScrapSlot
	CheckMoistureMeter
	CheckLookBothEnds
	CheckMeasureBoards
	CheckMeasureTemplate
	CheckAskCutterChanged
	CheckAskOneSetting
	CheckAskCutWeeksAgo
	CheckAskRouterTurned
	CheckAskSecondPass
	CheckAskTearOut
	CheckCount
)

// Finding is something that was noticed, or not: a question of yes or no.
type Finding uint8

// The findings.
const (
	FoundCutterChanged     Finding = iota // cutter changed since it last fitted
	FoundBushingWobbles                   // bushing loose, or seen beside the cutter's axis
	FoundOneSetting                       // both boards cut at one setting
	FoundTemplateRocks                    // template rocks on the boards
	FoundBoardsCupped                     // light under a straight-edge
	FoundCutWeeksAgo                      // cut weeks before it was put together
	FoundRouterTurned                     // router turned while cutting
	FoundSecondPass                       // a second pass made round the openings
	FoundTearOut                          // fuzz or tear-out
	FoundChippedPin                       // a pin chipped
	FoundOnePinOff                        // one pin alone is off
	FoundCornerNotSquare                  // the corner is out of square
	FoundTightAtOneEnd                    // tight at one end of the joint
	FoundEdgesHalfPitchOff                // edges off by about half a pitch
	FoundEdgesMirrored                    // edges off to opposite sides at the two edges
	FoundMoistureDiffers                  // moisture not as when cut, or not alike in both boards
	FoundCutterDull                       // edges dull, nicked or burnt
	FoundDepthMoved                       // the depth setting is no longer where it was set
	FoundChips                            // chips or dust found under template, base or stop
	FoundFitsDryOnly                      // goes together dry, not with glue
	FindingCount
)

// Answer to a finding.
type Answer uint8

// Answers.
const (
	NotSaid Answer = iota
	No
	Yes
)

// Findings holds an answer to each finding.
type Findings [FindingCount]Answer

// Checks is a set of checks.
type Checks [CheckCount]bool
