package codes

import "snugtail/joint/parts"

// DrawerParts are the parts of a drawer.
var DrawerParts = [...]string{parts.Front: "front", parts.Side: "side", parts.Back: "back", parts.Bottom: "bottom"}

// Materials are what stock is of; left out, solid wood.
var Materials = map[string]parts.Material{"": parts.Solid, "solid": parts.Solid, "plywood": parts.Plywood, "mdf": parts.MDF}

// MaterialNames are the materials by their names.
var MaterialNames = [...]string{parts.Solid: "solid", parts.Plywood: "plywood", parts.MDF: "mdf"}

// BackJoints are how a back is joined; left out, half-blind.
var BackJoints = map[string]parts.BackJoint{"": parts.HalfBlindBack, "half_blind": parts.HalfBlindBack, "housed": parts.HousedBack, "butted": parts.ButtedBack}

// LipEdges are where a front has a lip; left out, all round.
var LipEdges = map[string]parts.LipEdges{"": parts.LipAllRound, "all_round": parts.LipAllRound, "ends_and_top": parts.LipEndsAndTop, "ends": parts.LipEnds}

// HeightRules are how a drawer's height is chosen; left out, as stated.
var HeightRules = map[string]parts.HeightRule{"": parts.ExactHeight, "exact": parts.ExactHeight, "half_pins_down": parts.HalfPinsDown, "half_pins_up": parts.HalfPinsUp}

// PartsWarnings are what would spoil a drawer.
var PartsWarnings = [...]string{
	parts.EdgePinWeak: "edge_pin_weak", parts.GrooveShows: "groove_shows", parts.LapThin: "lap_thin",
	parts.ThicknessVaries: "thickness_varies", parts.WoodsMoveApart: "woods_move_apart",
	parts.GrooveDeep: "groove_deep", parts.GrooveLow: "groove_low", parts.HousingDeep: "housing_deep",
	parts.BottomHeldLittle: "bottom_held_little", parts.BottomMoves: "bottom_moves", parts.DrawerSwells: "drawer_swells",
}

// SeasonFrom says where the moisture that swelling is counted from comes from.
func SeasonFrom(assumed bool) string {
	if assumed {
		return "driest"
	}
	return "stated"
}

// Works are what is worked into a part.
var Works = [...]string{parts.Pins: "pins", parts.Tails: "tails", parts.GrooveWork: "groove", parts.HousingWork: "housing", parts.RabbetWork: "lip"}

// Places are where on a part.
var Places = [...]string{parts.BothEnds: "both_ends", parts.FrontEnd: "front_end", parts.BackEnd: "back_end", parts.InsideFace: "inside_face", parts.AllEdges: "all_edges", parts.EndsAndTop: "ends_and_top"}

// Ends are the ends of a drawer.
var Ends = [...]string{parts.AtFront: "front", parts.AtBack: "back"}

// Refusals are why a drawer can't be made.
var Refusals = [...]string{
	parts.ReasonNoRoom: "no_room", parts.ReasonTooNarrow: "too_narrow", parts.ReasonTooShort: "too_short",
	parts.ReasonLipTooThick: "lip_too_thick", parts.ReasonNoGroove: "no_groove", parts.ReasonGrooveOffBoard: "groove_off_board",
	parts.ReasonGrooveThrough: "groove_through", parts.ReasonBottomLoose: "bottom_loose", parts.ReasonBottomTooThick: "bottom_too_thick",
	parts.ReasonUnderPins: "under_pins", parts.ReasonHousingThrough: "housing_through", parts.ReasonNoCutter: "no_cutter",
	parts.ReasonIntoLip: "into_lip", parts.ReasonSawnPlay: "sides_sawn",
	parts.ReasonNoHalfPins: "no_half_pins", parts.ReasonSidesTooHigh: "too_high", parts.ReasonFiberboard: "fiberboard",
}
