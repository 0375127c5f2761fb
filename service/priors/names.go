package priors

import (
	"snugtail/joint/belief"
	"snugtail/joint/belief/sizes"
)

// sizeNames are the distributions of sizes.
var sizeNames = [sizes.Lists]string{
	sizes.Uneven: "boards_uneven", sizes.Slip: "depth_slipped", sizes.Depth: "depth_off",
	sizes.Ground: "cutter_ground", sizes.Angle: "angle_off", sizes.Axes: "axes_apart",
	sizes.Turned: "router_turned", sizes.Missed: "openings_missed", sizes.Tilt: "template_tilted",
	sizes.Place: "template_place", sizes.Stop: "side_stop", sizes.Hollow: "board_hollow",
	sizes.Thick: "board_thickness", sizes.Square: "stock_not_square", sizes.Chip: "chips",
	sizes.Fuzz: "fuzz", sizes.Moved: "wood_moved", sizes.Mixed: "boards_mixed",
	sizes.Tip: "tip_to_cutter", sizes.Base: "template_thickness", sizes.Tool: "tool_size",
	sizes.Opening: "template_size", sizes.Skew: "template_skewed", sizes.Swelled: "glue_swelled",
}

// readingNames are the kinds of reading.
var readingNames = [belief.ReadingKinds]string{
	belief.ReadGap: "gap", belief.ReadCaliper: "caliper", belief.ReadDepth: "depth", belief.ReadEye: "seat_and_edges",
	belief.ReadAngle: "angle", belief.ReadWentIn: "went_in", belief.ReadMeant: "sizes_chosen_to_fit", belief.ReadRecord: "earlier_session",
}
