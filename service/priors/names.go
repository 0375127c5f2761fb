package priors

import "snugtail/joint/belief"

// sizeNames are the distributions of sizes.
var sizeNames = [belief.SizeLists]string{
	belief.SizesUneven: "boards_uneven", belief.SizesSlip: "depth_slipped", belief.SizesDepth: "depth_off",
	belief.SizesGround: "cutter_ground", belief.SizesAngle: "angle_off", belief.SizesAxes: "axes_apart",
	belief.SizesTurned: "router_turned", belief.SizesMissed: "openings_missed", belief.SizesTilt: "template_tilted",
	belief.SizesPlace: "template_place", belief.SizesStop: "side_stop", belief.SizesHollow: "board_hollow",
	belief.SizesThick: "board_thickness", belief.SizesSquare: "stock_not_square", belief.SizesChip: "chips",
	belief.SizesFuzz: "fuzz", belief.SizesMoved: "wood_moved", belief.SizesMixed: "boards_mixed",
	belief.SizesTip: "tip_to_cutter", belief.SizesBase: "template_thickness", belief.SizesTool: "tool_size",
	belief.SizesOpening: "template_size", belief.SizesSkew: "template_skewed", belief.SizesSwelled: "glue_swelled",
}

// readingNames are the kinds of reading.
var readingNames = [belief.ReadingKinds]string{
	belief.ReadGap: "gap", belief.ReadCaliper: "caliper", belief.ReadDepth: "depth", belief.ReadEye: "seat_and_edges",
	belief.ReadAngle: "angle", belief.ReadWentIn: "went_in", belief.ReadMeant: "sizes_chosen_to_fit", belief.ReadRecord: "earlier_session",
}
