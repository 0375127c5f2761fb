package callers_test

// Every share, size and chance of the simulated workshops. They were written
// before and apart from the service's priors, from the trade and the joint's
// geometry alone, and must stay so: a service that is judged by its own tables
// always does well. All are judgement, no source, where nothing else is said.
// Millimetres, degrees, minutes.

// What is wanted, which is the contract's default.
const (
	targetFrom, targetPlay, targetTo = -0.05, 0.10, 0.20
)

// What time it takes.
const (
	jointMinutes     = 15 // one test joint
	changeMinutes    = 15 // another tool fitted
	complainMinutes  = 5  // the same joint looked at and told again
	cannotMinutes    = 1  // a check that turns out not to be possible
	capJoints        = 12
	capComplaints    = 3 // then the caller gives up
	capChecksInARow  = 5 // then the caller cuts at whatever depth is offered
	capToolsExchange = 2
)

// checkMinutes where the answer does not say it.
var checkMinutes = map[string]float64{
	"measure_bushing": 6, "measure_cutter": 6, "measure_cutter_angle": 8, "measure_depth": 5,
	"measure_widths": 7, "pull_joint": 4, "see_seat": 4, "see_edges": 4, "straightedge": 4,
	"rock_template": 4, "scrap_slot": 10, "moisture_meter": 5, "look_both_ends": 4,
	"measure_boards": 4, "measure_template": 8,
	"ask_cutter_changed": 0.5, "ask_one_setting": 0.5, "ask_cut_weeks_ago": 0.5,
	"ask_router_turned": 0.5, "ask_second_pass": 0.5, "ask_tear_out": 0.5,
}

// What people tell. One reading in ten is misread (of several that are made in
// one go, such as four widths, one go in ten holds one) and one question in ten
// gets "don't know".
const (
	misreadShare  = 0.10
	dontKnowShare = 0.10
	// A misread length is off by one stroke of the rule too many or more: 0.3 to
	// 1.5 mm either way.
	misreadLeast, misreadMost = 0.3, 1.5
	// A misread feel is as often the next word as any other.
	misreadToNeighbour = 0.5

	tellsBoth, tellsFeelOnly = 0.6, 0.2 // the rest tells a gap where there is one
	readsInches              = 0.5      // to the nearest 1/64 in; the others to 0.1 mm
)

// How well a hand and an eye tell.
const (
	feelBlur         = 0.03 // of play, and
	feelBlurShare    = 0.08 // of that much of the play beside it: far off is vague
	gapSD            = 0.08 // the eye; reading to a stroke comes on top
	shoulderSD       = 0.07
	seatSD           = 0.10
	edgeSD           = 0.10
	caliperWoodSD    = 0.03
	depthGaugeSD     = 0.05
	caliperBushingSD = 0.02
	caliperCutterSD  = 0.04 // two edges that never stand opposite each other
	slotSD           = 0.05
	bevelSD          = 0.5
	slotAngleSD      = 0.4
	caliperBoardSD   = 0.05
	openingSD        = 0.04
)

// Play, mm, at which one word for a feel gives way to the next, from
// will_not_start up: common words, the figures judgement.
var feelEdges = [...]float64{-0.45, -0.20, -0.11, -0.04, 0.20, 0.50}

// Ordinary tolerances of somebody who states all sizes rightly: standard deviations.
const (
	bushingSD   = 0.025
	openingMade = 0.035 // and read, with the caliper of a shop
	allowanceSD = 0.07  // of an allowance worked out in the shop
	angleSD     = 0.25  // a marked angle is good to half a degree
	zeroSD      = 0.10  // of the depth gauge against the wood
	scatterSD   = 0.08  // of each setting of the depth, and from joint to joint
	followMean  = 0.02  // openings are not followed quite to the steel: tighter
	followSD    = 0.03
	placeSD     = 0.03 // of template and side stop, when set with care
	levelSD     = 0.03

	newSD                     = 0.02
	usedMean, usedSD          = -0.05, 0.04
	resharpMean, resharpSD    = -0.10, 0.06 // and said to be resharpened
	conditionUnsaid           = 0.60
	conditionNew              = 0.15 // said to be
	conditionUsed             = 0.20
	unsaidIsNew               = 0.42 // of those who say nothing and know their cutter
	provenPlay, provenPlaySD  = 0.075, 0.06
	provenDepthSD             = 0.08
	provenDiameterSD          = 0.04
	allowanceKind, provenKind = 0.10, 0.08 // shares of templates known in these ways
)

// The wrong sizes of the third that states one, with their shares.
const shareWrong = 1.0 / 3

var wrongShares = []share{
	{"bushing", 0.30},
	{"cutter", 0.15},
	{"angle", 0.12},
	{"reground", 0.15},
	{"template", 0.12},
	{"depth_scale", 0.16},
}

const (
	wrongBushingMost                = 1.75 // further off nobody mistakes it
	wrongCutterLeast                = 0.25
	wrongCutterMost                 = 1.75
	wrongAngleLeast, wrongAngleMost = 1.0, 4.0
	regroundLeast, regroundMost     = 0.10, 0.45
	allowanceOffLeast               = 0.40
	allowanceOffMost                = 1.20
	provenOffLeast, provenOffMost   = 0.50, 1.50
	scaleFromTip, scaleFromBase     = 0.50, 0.15 // the rest simply off
	scaleOffLeast, scaleOffMost     = 0.50, 2.00
)

// Openings are misread by a stroke or two of the rule.
var openingMisreads = []float64{25.4 / 64, 25.4 / 32, 0.5, 1.0}

// Sizes that lie about in shops.
var (
	shopBushings = []float64{6, 7, 7.94, 8, 9.53, 10, 11, 11.11, 12, 12.7, 14, 14.29, 15.88, 16, 17}
	shopCutters  = []float64{6.35, 7.94, 8, 9.53, 10, 11.11, 12, 12.7, 14, 14.29, 15.88, 16, 18}
	shopAngles   = []float64{7, 7.5, 8, 9, 9.5, 10, 12, 14, 15, 18}
)

// The planted faults, by the contract's codes, with how often they come.
var faultShares = []share{
	{"bushing_diameter", 0.09},
	{"cutter_diameter", 0.06},
	{"cutter_angle", 0.05},
	{"cutter_resharpened", 0.08},
	{"depth_from_bushing_tip", 0.04},
	{"depth_from_router_base", 0.03},
	{"depth_off", 0.11},
	{"cutter_crept", 0.05},
	{"bushing_off_centre", 0.04},
	{"router_turned", 0.03},
	{"openings_not_followed", 0.05},
	{"template_tilted", 0.05},
	{"template_position", 0.06},
	{"side_stop", 0.05},
	{"wrong_face_or_stop", 0.03},
	{"board_cupped", 0.03},
	{"board_thickness", 0.02},
	{"boards_not_level", 0.04},
	{"stock_not_square", 0.02},
	{"chips_under", 0.04},
	{"depth_lock_slipped", 0.04},
	{"dull_cutter", 0.03},
	{"wood_moved", 0.03},
	{"mixed_boards", 0.02},
	{"template_skewed", 0.02},
	{"glue_swelled", 0.015},
	{"lap_broken", 0.01},
	{"template_size", 0.015},
}

// Beyond these a joint is spoilt.
const (
	seatInsideMost = 0.12
	seatProudMost  = 0.25 // planes off
	edgeMost       = 0.25
	shoulderMost   = 0.15
	leastCut       = 0.5 // less is no cut
)

// How large a planted fault is.
var (
	plantReground    = span{0.12, 0.45}
	plantDepthOff    = span{0.4, 1.8}
	plantCrept       = span{0.4, 1.5}
	plantOffCentre   = span{0.15, 0.8}
	plantTurned      = span{0.10, 0.45}
	plantNotFollowed = span{0.2, 1.0}
	plantTilt        = span{0.25, 1.2} // height over the boards' width
	plantPosition    = span{0.2, 1.2}
	plantStop        = span{0.3, 1.5}
	plantWrongStop   = span{1.0, 4.0}
	plantCup         = span{0.2, 0.6}
	plantThickness   = span{0.5, 1.5}
	plantThickSeat   = span{0.3, 0.8} // of that shows in the seat: templates are set by the side's thickness
	plantLevel       = span{0.2, 1.2}
	plantSquare      = span{0.2, 0.8}
	plantChipsTilt   = span{0.2, 0.5}
	plantChipsDepth  = span{0.2, 0.6}
	plantChipsStop   = span{0.3, 0.8}
	plantSlipped     = span{0.4, 1.6}
	plantDull        = span{0.15, 0.4}
	plantMoved       = span{0.2, 0.8}
	plantMixed       = span{0.3, 1.0}
	plantSkew        = span{0.3, 1.0}
	plantGlue        = span{0.15, 0.35}
	plantLap         = span{0, 2}
	plantOpening     = span{0.15, 0.6}
)

const (
	creptWhileCutting  = 0.5 // it shows along the joint
	creptOut           = 0.85
	slippedShallower   = 0.6
	halfPitchOff       = 0.6
	turnedShare        = 0.5 // of the widest sweep, to all of it
	chipsUnderTemplate = 0.4
	chipsUnderBase     = 0.3
	cupPlaySD          = 0.10
	slipsAgain         = 0.6 // where nobody tightened it
)

// What is said of a set-up at all. What nobody asked for is often left out.
var saidShares = map[part]float64{
	partTemplate: 0.92, partBushing: 0.92, partCutter: 0.95, partAngle: 0.88, partDepth: 0.93,
	partReach: 0.45, partTemplateThickness: 0.6, partBarrel: 0.35, partFront: 0.7, partSide: 0.6, partWidth: 0.6,
}

// What is told of the joint unasked.
const (
	tellsWhatIsWrong = 0.8  // of what is plainly wrong
	tellsWhatIsRight = 0.25 // and of what is not
	tellsYes         = 0.40 // a finding: who called noticed it
	tellsNo          = 0.08 // that something is not so
	closesOneEndFrom = 0.3  // difference of play between the ends from which
	closesOneEnd     = 0.6  // one says so instead of how tight it is
)

// How often a finding is so where nothing makes it so.
var findingBase = map[string]float64{
	"cutter_changed": 0.2, "bushing_wobbles": 0.03, "one_setting": 0.93, "template_rocks": 0.05,
	"boards_cupped": 0.06, "cut_weeks_ago": 0.12, "router_turned": 0.12, "second_pass": 0.35, "tear_out": 0.12,
	"chipped_pin": 0.06, "one_pin_off": 0.04, "corner_not_square": 0.06, "tight_at_one_end": 0.08,
	"edges_half_pitch_off": 0.01, "edges_mirrored": 0.03, "moisture_differs": 0.10, "cutter_dull": 0.12,
	"depth_moved": 0.06, "chips_found": 0.10, "fits_dry_only": 0.02,
}

// And how often a fault makes it so.
var findingOf = map[string]map[string]float64{
	"cutter_diameter":       {"cutter_changed": 0.75},
	"cutter_angle":          {"cutter_changed": 0.7},
	"cutter_resharpened":    {"cutter_changed": 0.5},
	"cutter_crept":          {"depth_moved": 0.6, "tight_at_one_end": 0.4},
	"bushing_off_centre":    {"bushing_wobbles": 0.35},
	"router_turned":         {"router_turned": 0.95, "bushing_wobbles": 0.3},
	"openings_not_followed": {"second_pass": 0.05, "one_pin_off": 0.25},
	"template_tilted":       {"template_rocks": 0.75, "tight_at_one_end": 0.8},
	"wrong_face_or_stop":    {"edges_half_pitch_off": 0.6, "edges_mirrored": 0.3},
	"board_cupped":          {"boards_cupped": 0.9},
	"stock_not_square":      {"corner_not_square": 0.85},
	"chips_under":           {"chips_found": 0.7, "template_rocks": 0.4},
	"depth_lock_slipped":    {"depth_moved": 0.8},
	"dull_cutter":           {"cutter_dull": 0.85, "tear_out": 0.8},
	"wood_moved":            {"cut_weeks_ago": 0.85, "moisture_differs": 0.75, "edges_mirrored": 0.35},
	"mixed_boards":          {"one_setting": 0.12},
	"template_skewed":       {"corner_not_square": 0.2},
	"glue_swelled":          {"fits_dry_only": 0.95},
}

// share is a code and how often it comes; span a range, evenly filled.
type (
	share struct {
		code   string
		weight float64
	}
	span struct{ least, most float64 }
)

// shops that callers have: one_piece templates, and two_position ones where
// the pin pass has an opening of its own. The depth follows.
var shops = []shop{
	{weight: 3, pitch: 22.225, tailOpening: 12.2936, bushing: 11.1125, cutter: 12.7, angle: 14, front: 19},
	{weight: 2, pitch: 22.225, tailOpening: 12.35, bushing: 11.1125, cutter: 12.7, angle: 14, front: 18.6},
	{weight: 1, pitch: 22.225, tailOpening: 11.7, bushing: 11.1125, cutter: 12.7, angle: 12, front: 19},
	{weight: 1, pitch: 25.4, tailOpening: 14.2, bushing: 12.7, cutter: 14.2875, angle: 14, front: 20},
	{weight: 1, pitch: 24, tailOpening: 13.2, bushing: 11, cutter: 12, angle: 10, front: 20},
	{weight: 1, pitch: 26, tailOpening: 14.1, bushing: 12, cutter: 14, angle: 15, front: 20},
	{weight: 1, pitch: 16, tailOpening: 9.2, bushing: 8, cutter: 7.9375, angle: 9.5, front: 12.7},
	{weight: 1, pitch: 25.4, tailOpening: 13.8, pinOpening: 14.6, bushing: 12, cutter: 12.7, angle: 12, front: 19},
	{weight: 1, pitch: 25.4, tailOpening: 14.1, pinOpening: 13.8, bushing: 12, cutter: 13, angle: 12, front: 19},
	{weight: 0.5, pitch: 22.225, tailOpening: 12.7, bushing: 11.1125, cutter: 11.1125, angle: 12, front: 16},
}

var (
	templateThicknesses = []float64{6.35, 8, 9.5}
	barrelsShort        = []float64{1, 1.6, 2.1, 2.4} // of the template's thickness
	sideThicknesses     = []float64{10, 12, 12.7}
	boardWidths         = []float64{90, 120, 150, 178}
)
