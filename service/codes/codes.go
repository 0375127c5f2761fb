// Package codes names what the domain numbers as the contract does, both ways.
// A test holds the names against the contract's enums.
package codes

import (
	"slices"

	"snugtail/joint"
	"snugtail/joint/advise"
	"snugtail/joint/belief"
	"snugtail/joint/length"
	"snugtail/joint/recommend"
	"snugtail/joint/run"
)

// Bands are the bands of play.
var Bands = [...]string{
	joint.WillNotClose: "will_not_close", joint.Tight: "tight", joint.HandFit: "hand_fit",
	joint.Loose: "loose", joint.TooLoose: "too_loose",
	joint.NoJoint: "no_joint",
}

// Limits are the limits of a set-up.
var Limits = [...]string{
	joint.LimitLap: "lap", joint.LimitFlareInTemplate: "flare_in_template", joint.LimitCutterInBushing: "cutter_in_bushing",
	joint.LimitCuttingLength: "cutting_length", joint.LimitBarrelAboveWood: "barrel_above_wood", joint.LimitColletGrip: "collet_grip",
	joint.LimitGrooveDepth: "groove_depth", joint.LimitPinRoot: "pin_root", joint.LimitTailRoot: "tail_root",
	joint.LimitEdgePin: "edge_pin", joint.LimitTailBoardCleared: "tail_board_cleared", joint.LimitStraightFinger: "straight_finger",
	joint.LimitTailLeft: "tail_left", joint.LimitTailEnters: "tail_enters", joint.LimitStraightFlank: "straight_flank",
	joint.LimitSeats: "seats", joint.LimitPinsReachEnd: "pins_reach_end", joint.LimitSocketsBreakThrough: "sockets_break_through",
	joint.LimitBearingOnTemplate: "bearing_on_template",
}

// Signals are what in a run is out of the ordinary.
var Signals = [...]string{run.SignalClosed: "closed", run.SignalGap: "gap", run.SignalRange: "range", run.SignalMean: "weighted_mean"}

// Guides are what runs along the template; left out, a bushing.
var Guides = map[string]joint.BushingKind{"": joint.KindBushing, "bushing": joint.KindBushing, "bearing": joint.KindBearing}

// GuideNames are they by their names.
var GuideNames = inverted(Guides)

// Severities are what it means that a limit is broken.
var Severities = [...]string{joint.SeverityForbids: "forbids", joint.SeverityNotFlush: "not_flush", joint.SeverityNote: "note"}

// Sources are the sources of uncertainty.
var Sources = [...]string{
	joint.SourceBushing: "bushing_diameter", joint.SourceCutter: "cutter_diameter", joint.SourceAngle: "cutter_angle",
	joint.SourceTemplate: "template", joint.SourceDepth: "depth_setting",
	joint.SourceLearned: "learned",
}

// Quantities are what is to be measured first.
var Quantities = [...]string{
	joint.SourceBushing: "bushing_diameter", joint.SourceCutter: "cutter_diameter", joint.SourceAngle: "cutter_angle",
	joint.SourceTemplate: "template", joint.SourceDepth: "depth",
}

// Seat is where the side ends: proud, flush or inside, by what planes off and what does not.
func Seat(s joint.Seat) string {
	switch q := s.Offset.Rounded().MM(); {
	case !s.Known:
		return "unknown"
	case q > advise.SeatInside:
		return "inside"
	case q < -advise.SeatInside:
		return "proud"
	}
	return "flush"
}

// Glue says what becomes of the glue. Judgement: no published best thickness
// in mm was found.
func Glue(c length.Length) string {
	switch c = c.Rounded(); {
	case c < 0:
		return "squeezed_dry"
	case c <= joint.LooseAbove:
		return "bridges"
	case c <= joint.TooLooseAbove:
		return "thick"
	}
	return "not_bridged"
}

// GlueOf says what becomes of a joint's glue.
func GlueOf(f *joint.Fit) string {
	if f.Shortfall.NoJoint {
		return "not_bridged"
	}
	return Glue(f.Play)
}

// Obstacles say why a cutter does not serve; of a broken limit its own name does.
var Obstacles = [...]string{
	recommend.ObstacleNoDepth: "impossible_joint", recommend.ObstacleTooShallow: "too_shallow", recommend.ObstacleImpossible: "impossible_joint",
	recommend.ObstacleNoSetting: "no_setting",
}

// Preferences are what counts most; left out, the whole sum.
var Preferences = map[string]recommend.Preference{
	"": recommend.Balance, "balance": recommend.Balance, "least_trial": recommend.LeastTrial, "hold": recommend.MostHold,
}

// PreferenceNames are the preferences by their names.
var PreferenceNames = inverted(Preferences)

// Changes are what to change where no cutter serves.
var Changes = [...]string{
	recommend.SteeperAngle: "steeper_angle", recommend.ShallowerAngle: "shallower_angle",
	recommend.LargerBushing: "another_bushing", recommend.SmallerBushing: "another_bushing",
	recommend.ThickerBoard: "thicker_board", recommend.AnotherTemplate: "another_template",
}

// Dos are what to do next, Whys what decided it.
var Dos = [...]string{advise.DoCut: "cut", advise.DoCheck: "check", advise.DoStop: "stop", advise.DoChange: "change"}

// Whys are what decided.
var Whys = [...]string{
	advise.WhyFirst: "first_joint", advise.WhyBestChance: "best_chance", advise.WhyCheckPays: "check_pays", advise.WhyDoubted: "reading_doubted",
	advise.WhyAgainstFeel: "against_feel", advise.WhyNotOfDepth: "not_of_depth", advise.WhyUnknown: "too_little_known", advise.WhyFits: "fits",
	advise.WhySeat: "seat_off", advise.WhyEdges: "edges_off", advise.WhyUneven: "depths_unequal", advise.WhyLimit: "limit_broken",
	advise.WhyCause: "cause_to_fix", advise.WhyNoJoint: "no_joint",
}

// Verdicts are what test cuts show.
var Verdicts = [...]string{
	advise.NotYetCut: "not_yet_cut", advise.Fits: "fits", advise.TooLoose: "too_loose", advise.TooTight: "too_tight",
	advise.SeatOff: "seat_off", advise.EdgesOff: "edges_off", advise.DepthsUnequal: "depths_unequal",
	advise.CannotReach: "cannot_reach",
}

// Actions are steps to take.
var Actions = [...]string{
	advise.LowerCutter: "lower_cutter", advise.RaiseCutter: "raise_cutter",
	advise.MoveTemplateIn: "move_template_in", advise.MoveTemplateOut: "move_template_out",
	advise.ChangeCutter: "change_cutter", advise.ChangeBushing: "change_bushing", advise.SetSideStop: "set_side_stop",
	advise.LevelBoards: "level_boards", advise.Measure: "measure", advise.RecutTest: "recut_test",
	advise.KeepGauge: "keep_gauge", advise.StopAndFix: "stop_and_fix", advise.StopAdjusting: "stop_adjusting",
}

// Salvages are what becomes of boards that are cut.
var Salvages = [...]string{
	advise.NoneNeeded: "none_needed", advise.PlaneProud: "plane_proud", advise.RunAgainShallower: "run_again_shallower",
	advise.NewBoards: "new_boards", advise.UseAsGauge: "use_as_gauge",
}

// Measured are what is measured of a test joint.
var Measured = [...]string{
	advise.PartPin: "pin", advise.PartTail: "tail", advise.PartPinSocket: "pin_socket", advise.PartTailSocket: "tail_socket",
	advise.PartDepthPinBoard: "depth_pin_board", advise.PartDepthTailBoard: "depth_tail_board",
}

// Feels are how a joint went together.
var Feels = map[string]belief.Feel{
	"rattles": belief.FeelRattles, "slides_free": belief.FeelSlidesFree, "hand_pressure": belief.FeelHandPressure,
	"light_taps": belief.FeelLightTaps, "hard_blows": belief.FeelHardBlows, "sticks_part_way": belief.FeelSticksPartWay,
	"will_not_start": belief.FeelWillNotStart, "closes_one_end": belief.FeelClosesOneEnd,
	"tight": belief.FeelTight, "loose": belief.FeelLoose,
}

// FeelNames are the feels by their names.
var FeelNames = inverted(Feels)

// Conditions are what is known of a cutter's edges; left out, nothing is.
var Conditions = map[string]joint.Condition{
	"": joint.ConditionUnknown, "new": joint.ConditionNew, "used": joint.ConditionUsed,
	"resharpened": joint.ConditionResharpened, "unknown": joint.ConditionUnknown,
}

// ConditionNames are the conditions by their names.
var ConditionNames = inverted(Conditions)

// inverted turns a table of names round; of two names for one code the longer
// stays, so that the empty name for what is left out does not.
func inverted[K comparable](names map[string]K) map[K]string {
	keys := make([]string, 0, len(names))
	for name := range names {
		keys = append(keys, name)
	}
	slices.Sort(keys)
	out := make(map[K]string, len(names))
	for _, name := range keys {
		if code := names[name]; len(name) >= len(out[code]) {
			out[code] = name
		}
	}
	return out
}
