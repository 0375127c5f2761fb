// Package codes names what the domain numbers as the contract does, both ways.
// A test holds the names against the contract's enums.
package codes

import (
	"slices"

	"snugtail/joint"
	"snugtail/joint/correct"
	"snugtail/joint/learn"
	"snugtail/joint/length"
	"snugtail/joint/recommend"
)

// Bands are the bands of play.
var Bands = [...]string{
	joint.WillNotClose: "will_not_close", joint.Tight: "tight", joint.HandFit: "hand_fit",
	joint.Loose: "loose", joint.TooLoose: "too_loose",
}

// Limits are the limits of a set-up.
var Limits = [...]string{
	joint.LimitLap: "lap", joint.LimitFlareInTemplate: "flare_in_template", joint.LimitCutterInBushing: "cutter_in_bushing",
	joint.LimitCuttingLength: "cutting_length", joint.LimitBarrelAboveWood: "barrel_above_wood", joint.LimitColletGrip: "collet_grip",
	joint.LimitGrooveDepth: "groove_depth", joint.LimitPinRoot: "pin_root", joint.LimitTailRoot: "tail_root",
	joint.LimitEdgePin: "edge_pin", joint.LimitTailBoardCleared: "tail_board_cleared", joint.LimitStraightFinger: "straight_finger",
}

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
	case q > correct.SeatInside:
		return "inside"
	case q < -correct.SeatInside:
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

// Obstacles say why a cutter does not serve; of a broken limit its own name does.
var Obstacles = [...]string{
	recommend.ObstacleNoDepth: "impossible_joint", recommend.ObstacleTooShallow: "too_shallow", recommend.ObstacleImpossible: "impossible_joint",
}

// Changes are what to change where no cutter serves.
var Changes = [...]string{
	recommend.SteeperAngle: "steeper_angle", recommend.ShallowerAngle: "shallower_angle",
	recommend.LargerBushing: "another_bushing", recommend.SmallerBushing: "another_bushing",
	recommend.ThickerBoard: "thicker_board", recommend.AnotherTemplate: "another_template",
}

// Observations are what was seen of a test joint, as disagreements name it.
var Observations = [...]string{
	learn.ObservedFeel: "feel", learn.ObservedGap: "pulled_gap", learn.ObservedWentIn: "went_in", learn.ObservedWidths: "measured",
}

// Verdicts are what test cuts show.
var Verdicts = [...]string{
	correct.NotYetCut: "not_yet_cut", correct.Fits: "fits", correct.TooLoose: "too_loose", correct.TooTight: "too_tight",
	correct.SeatOff: "seat_off", correct.EdgesOff: "edges_off", correct.DepthsUnequal: "depths_unequal",
	correct.CannotReach: "cannot_reach",
}

// Actions are steps to take.
var Actions = [...]string{
	correct.LowerCutter: "lower_cutter", correct.RaiseCutter: "raise_cutter",
	correct.MoveTemplateIn: "move_template_in", correct.MoveTemplateOut: "move_template_out",
	correct.ChangeCutter: "change_cutter", correct.ChangeBushing: "change_bushing", correct.SetSideStop: "set_side_stop",
	correct.LevelBoards: "level_boards", correct.Measure: "measure", correct.RecutTest: "recut_test",
	correct.KeepGauge: "keep_gauge", correct.StopAndFix: "stop_and_fix", correct.StopAdjusting: "stop_adjusting",
}

// Salvages are what becomes of boards that are cut.
var Salvages = [...]string{
	correct.NoneNeeded: "none_needed", correct.PlaneProud: "plane_proud", correct.RunAgainShallower: "run_again_shallower",
	correct.NewBoards: "new_boards", correct.UseAsGauge: "use_as_gauge",
}

// Measured are what is measured of a test joint.
var Measured = [...]string{
	correct.PartPin: "pin", correct.PartTail: "tail", correct.PartPinSocket: "pin_socket", correct.PartTailSocket: "tail_socket",
	correct.PartDepthPinBoard: "depth_pin_board", correct.PartDepthTailBoard: "depth_tail_board",
}

// Feels are how a joint went together.
var Feels = map[string]learn.Feel{
	"rattles": learn.FeelRattles, "slides_free": learn.FeelSlidesFree, "hand_pressure": learn.FeelHandPressure,
	"light_taps": learn.FeelLightTaps, "hard_blows": learn.FeelHardBlows, "sticks_part_way": learn.FeelSticksPartWay,
	"will_not_start": learn.FeelWillNotStart, "closes_one_end": learn.FeelClosesOneEnd,
}

// FeelNames are the feels by their names.
var FeelNames = inverted(Feels)

// Conditions are what is known of a cutter's edges; left out, it is new.
var Conditions = map[string]joint.Condition{
	"": joint.ConditionNew, "new": joint.ConditionNew, "used": joint.ConditionUsed,
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
