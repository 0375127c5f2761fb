package codes

import (
	"snugtail/joint/advise"
	"snugtail/joint/belief"
)

// Causes are what may be wrong.
var Causes = [belief.CauseCount]string{
	belief.CauseBushingDiameter: "bushing_diameter", belief.CauseCutterDiameter: "cutter_diameter",
	belief.CauseCutterAngle: "cutter_angle", belief.CauseCutterResharpened: "cutter_resharpened",
	belief.CauseDepthFromBushingTip: "depth_from_bushing_tip", belief.CauseDepthFromRouterBase: "depth_from_router_base",
	belief.CauseDepthOff: "depth_off", belief.CauseCutterCrept: "cutter_crept",
	belief.CauseBushingOffCentre: "bushing_off_centre", belief.CauseRouterTurned: "router_turned",
	belief.CauseOpeningsNotFollowed: "openings_not_followed", belief.CauseTemplateTilted: "template_tilted",
	belief.CauseTemplatePosition: "template_position", belief.CauseSideStop: "side_stop",
	belief.CauseWrongFaceOrStop: "wrong_face_or_stop", belief.CauseBoardCupped: "board_cupped",
	belief.CauseBoardThickness: "board_thickness", belief.CauseBoardsNotLevel: "boards_not_level",
	belief.CauseStockNotSquare: "stock_not_square", belief.CauseChipsUnder: "chips_under",
	belief.CauseDepthLockSlipped: "depth_lock_slipped", belief.CauseDullCutter: "dull_cutter",
	belief.CauseWoodMoved: "wood_moved", belief.CauseMixedBoards: "mixed_boards", belief.CauseSetUpRight: "set_up_right",
	belief.CauseTemplateSkewed: "template_skewed", belief.CauseGlueSwelled: "glue_swelled", belief.CauseLapBroken: "lap_broken",
	belief.CauseTemplateSize: "template_size",
}

// Checks are what to check.
var Checks = [belief.CheckCount]string{
	belief.CheckMeasureBushing: "measure_bushing", belief.CheckMeasureCutter: "measure_cutter",
	belief.CheckMeasureCutterAngle: "measure_cutter_angle", belief.CheckMeasureDepth: "measure_depth",
	belief.CheckMeasureWidths: "measure_widths", belief.CheckPullJoint: "pull_joint", belief.CheckSeeSeat: "see_seat",
	belief.CheckSeeEdges: "see_edges", belief.CheckStraightedge: "straightedge", belief.CheckRockTemplate: "rock_template",
	belief.CheckScrapSlot: "scrap_slot", belief.CheckMoistureMeter: "moisture_meter", belief.CheckLookBothEnds: "look_both_ends",
	belief.CheckMeasureBoards: "measure_boards", belief.CheckMeasureTemplate: "measure_template",
	belief.CheckAskCutterChanged: "ask_cutter_changed", belief.CheckAskOneSetting: "ask_one_setting",
	belief.CheckAskCutWeeksAgo: "ask_cut_weeks_ago", belief.CheckAskRouterTurned: "ask_router_turned",
	belief.CheckAskSecondPass: "ask_second_pass", belief.CheckAskTearOut: "ask_tear_out",
}

// CauseSizes are what a cause's size is of.
var CauseSizes = map[belief.SizeKind]string{
	belief.SizeBushing: "bushing_diameter", belief.SizeCutter: "cutter_diameter", belief.SizeAngle: "cutter_angle",
	belief.SizeDepth: "depth_change", belief.SizeTail: "tail_board_deeper", belief.SizeOffset: "axes_offset",
	belief.SizePlay: "play", belief.SizeSeat: "seat", belief.SizeEdge: "edge_step", belief.SizeTilt: "tilt",
	belief.SizeHollow: "out_of_flat", belief.SizeThick: "thickness", belief.SizeShoulder: "shoulder_gap",
	belief.SizeOpening: "opening",
}

// Seen are where in a test cut something was seen.
var Seen = [...]string{
	belief.SeenFeel: "feel", belief.SeenPulledGap: "pulled_gap", belief.SeenShoulderGap: "shoulder_gap",
	belief.SeenWentIn: "went_in", belief.SeenSeat: "seat", belief.SeenEdgeStep: "edge_step",
	belief.SeenPinWidest: "measured/pin_widest", belief.SeenTailWidest: "measured/tail_widest",
	belief.SeenPinSocketWidest: "measured/pin_socket_widest", belief.SeenTailSocketWidest: "measured/tail_socket_widest",
	belief.SeenDepthPinBoard: "measured/depth_pin_board", belief.SeenDepthTailBoard: "measured/depth_tail_board",
}

// Observations are what was seen, as disagreements name it.
var Observations = [...]string{
	belief.SeenFeel: "feel", belief.SeenPulledGap: "pulled_gap", belief.SeenShoulderGap: "shoulder_gap",
	belief.SeenWentIn: "went_in", belief.SeenSeat: "seat", belief.SeenEdgeStep: "edge_step",
	belief.SeenPinWidest: "measured", belief.SeenTailWidest: "measured",
	belief.SeenPinSocketWidest: "measured", belief.SeenTailSocketWidest: "measured",
	belief.SeenDepthPinBoard: "measured", belief.SeenDepthTailBoard: "measured",
	belief.SeenBushing: "bushing", belief.SeenCutter: "cutter",
}

// Between are two groups of a drawer's corners.
var Between = [...]string{
	advise.FrontAgainstBack: "fronts_and_backs", advise.LeftAgainstRight: "left_and_right", advise.StopAgainstStop: "stops",
}

// Corners are the corners of a drawer.
var Corners = map[string]belief.Corner{
	"": belief.NoCorner, "FL": belief.FrontLeft, "FR": belief.FrontRight, "BL": belief.BackLeft, "BR": belief.BackRight,
}

// CornerNames are the corners by their names.
var CornerNames = inverted(Corners)

// Findings are the findings.
var Findings = [belief.FindingCount]string{
	belief.FoundCutterChanged:     "cutter_changed",
	belief.FoundBushingWobbles:    "bushing_wobbles",
	belief.FoundOneSetting:        "one_setting",
	belief.FoundTemplateRocks:     "template_rocks",
	belief.FoundBoardsCupped:      "boards_cupped",
	belief.FoundCutWeeksAgo:       "cut_weeks_ago",
	belief.FoundRouterTurned:      "router_turned",
	belief.FoundSecondPass:        "second_pass",
	belief.FoundTearOut:           "tear_out",
	belief.FoundChippedPin:        "chipped_pin",
	belief.FoundOnePinOff:         "one_pin_off",
	belief.FoundCornerNotSquare:   "corner_not_square",
	belief.FoundTightAtOneEnd:     "tight_at_one_end",
	belief.FoundEdgesHalfPitchOff: "edges_half_pitch_off",
	belief.FoundEdgesMirrored:     "edges_mirrored",
	belief.FoundMoistureDiffers:   "moisture_differs",
	belief.FoundCutterDull:        "cutter_dull",
	belief.FoundDepthMoved:        "depth_moved",
	belief.FoundChips:             "chips_found",
	belief.FoundFitsDryOnly:       "fits_dry_only",
}
