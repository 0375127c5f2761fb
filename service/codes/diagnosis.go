package codes

import "snugtail/joint/diagnose"

// Causes are what may be wrong.
var Causes = [diagnose.CauseCount]string{
	diagnose.CauseBushingDiameter: "bushing_diameter", diagnose.CauseCutterDiameter: "cutter_diameter",
	diagnose.CauseCutterAngle: "cutter_angle", diagnose.CauseCutterResharpened: "cutter_resharpened",
	diagnose.CauseDepthFromBushingTip: "depth_from_bushing_tip", diagnose.CauseDepthFromRouterBase: "depth_from_router_base",
	diagnose.CauseDepthOff: "depth_off", diagnose.CauseCutterCrept: "cutter_crept",
	diagnose.CauseBushingOffCentre: "bushing_off_centre", diagnose.CauseRouterTurned: "router_turned",
	diagnose.CauseOpeningsNotFollowed: "openings_not_followed", diagnose.CauseTemplateTilted: "template_tilted",
	diagnose.CauseTemplatePosition: "template_position", diagnose.CauseSideStop: "side_stop",
	diagnose.CauseWrongFaceOrStop: "wrong_face_or_stop", diagnose.CauseBoardCupped: "board_cupped",
	diagnose.CauseBoardThickness: "board_thickness", diagnose.CauseBoardsNotLevel: "boards_not_level",
	diagnose.CauseStockNotSquare: "stock_not_square", diagnose.CauseChipsUnder: "chips_under",
	diagnose.CauseDepthLockSlipped: "depth_lock_slipped", diagnose.CauseDullCutter: "dull_cutter",
	diagnose.CauseWoodMoved: "wood_moved", diagnose.CauseMixedBoards: "mixed_boards", diagnose.CauseSetUpRight: "set_up_right",
}

// Checks are what to check.
var Checks = [diagnose.CheckCount]string{
	diagnose.CheckMeasureBushing: "measure_bushing", diagnose.CheckMeasureCutter: "measure_cutter",
	diagnose.CheckMeasureCutterAngle: "measure_cutter_angle", diagnose.CheckMeasureDepth: "measure_depth",
	diagnose.CheckMeasureWidths: "measure_widths", diagnose.CheckPullJoint: "pull_joint", diagnose.CheckSeeSeat: "see_seat",
	diagnose.CheckSeeEdges: "see_edges", diagnose.CheckStraightedge: "straightedge", diagnose.CheckRockTemplate: "rock_template",
	diagnose.CheckScrapSlot: "scrap_slot", diagnose.CheckMoistureMeter: "moisture_meter",
}

// CauseSizes are what a cause's size is of.
var CauseSizes = map[diagnose.SizeKind]string{
	diagnose.SizeBushing: "bushing_diameter", diagnose.SizeCutter: "cutter_diameter", diagnose.SizeAngle: "cutter_angle",
	diagnose.SizeDepth: "depth_change", diagnose.SizeTail: "tail_board_deeper", diagnose.SizeOffset: "axes_offset",
	diagnose.SizePlay: "play", diagnose.SizeSeat: "seat", diagnose.SizeEdge: "edge_step", diagnose.SizeTilt: "tilt",
	diagnose.SizeHollow: "out_of_flat", diagnose.SizeThick: "thickness", diagnose.SizeShoulder: "shoulder_gap",
}

// Seen are where in a test cut something was seen.
var Seen = [...]string{
	diagnose.SeenFeel: "feel", diagnose.SeenPulledGap: "pulled_gap", diagnose.SeenShoulderGap: "shoulder_gap",
	diagnose.SeenWentIn: "went_in", diagnose.SeenSeat: "seat", diagnose.SeenEdgeStep: "edge_step",
	diagnose.SeenPinWidest: "measured/pin_widest", diagnose.SeenTailWidest: "measured/tail_widest",
	diagnose.SeenPinSocketWidest: "measured/pin_socket_widest", diagnose.SeenTailSocketWidest: "measured/tail_socket_widest",
	diagnose.SeenDepthPinBoard: "measured/depth_pin_board", diagnose.SeenDepthTailBoard: "measured/depth_tail_board",
}

// Findings are the findings.
var Findings = [diagnose.FindingCount]string{
	diagnose.FoundCutterChanged:     "cutter_changed",
	diagnose.FoundBushingWobbles:    "bushing_wobbles",
	diagnose.FoundOneSetting:        "one_setting",
	diagnose.FoundTemplateRocks:     "template_rocks",
	diagnose.FoundBoardsCupped:      "boards_cupped",
	diagnose.FoundCutWeeksAgo:       "cut_weeks_ago",
	diagnose.FoundRouterTurned:      "router_turned",
	diagnose.FoundSecondPass:        "second_pass",
	diagnose.FoundTearOut:           "tear_out",
	diagnose.FoundChippedPin:        "chipped_pin",
	diagnose.FoundOnePinOff:         "one_pin_off",
	diagnose.FoundCornerNotSquare:   "corner_not_square",
	diagnose.FoundTightAtOneEnd:     "tight_at_one_end",
	diagnose.FoundEdgesHalfPitchOff: "edges_half_pitch_off",
	diagnose.FoundEdgesMirrored:     "edges_mirrored",
	diagnose.FoundMoistureDiffers:   "moisture_differs",
	diagnose.FoundCutterDull:        "cutter_dull",
	diagnose.FoundDepthMoved:        "depth_moved",
	diagnose.FoundChips:             "chips_found",
}
