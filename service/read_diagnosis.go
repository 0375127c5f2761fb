package service

import (
	"math"
	"slices"
	"strconv"

	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/diagnose"
	"snugtail/joint/learn"
)

var causeCodes = [diagnose.CauseCount]string{
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

var checkCodes = [diagnose.CheckCount]string{
	diagnose.CheckMeasureBushing: "measure_bushing", diagnose.CheckMeasureCutter: "measure_cutter",
	diagnose.CheckMeasureCutterAngle: "measure_cutter_angle", diagnose.CheckMeasureDepth: "measure_depth",
	diagnose.CheckMeasureWidths: "measure_widths", diagnose.CheckPullJoint: "pull_joint", diagnose.CheckSeeSeat: "see_seat",
	diagnose.CheckSeeEdges: "see_edges", diagnose.CheckStraightedge: "straightedge", diagnose.CheckRockTemplate: "rock_template",
	diagnose.CheckScrapSlot: "scrap_slot", diagnose.CheckMoistureMeter: "moisture_meter",
}

// question is one finding: its name in a request, and where the answer stands.
type question struct {
	name string
	told func(*api.Findings) *bool
}

var questions = [diagnose.FindingCount]question{
	diagnose.FoundCutterChanged:     {"cutter_changed", func(f *api.Findings) *bool { return f.CutterChanged }},
	diagnose.FoundBushingWobbles:    {"bushing_wobbles", func(f *api.Findings) *bool { return f.BushingWobbles }},
	diagnose.FoundOneSetting:        {"one_setting", func(f *api.Findings) *bool { return f.OneSetting }},
	diagnose.FoundTemplateRocks:     {"template_rocks", func(f *api.Findings) *bool { return f.TemplateRocks }},
	diagnose.FoundBoardsCupped:      {"boards_cupped", func(f *api.Findings) *bool { return f.BoardsCupped }},
	diagnose.FoundCutWeeksAgo:       {"cut_weeks_ago", func(f *api.Findings) *bool { return f.CutWeeksAgo }},
	diagnose.FoundRouterTurned:      {"router_turned", func(f *api.Findings) *bool { return f.RouterTurned }},
	diagnose.FoundSecondPass:        {"second_pass", func(f *api.Findings) *bool { return f.SecondPass }},
	diagnose.FoundTearOut:           {"tear_out", func(f *api.Findings) *bool { return f.TearOut }},
	diagnose.FoundChippedPin:        {"chipped_pin", func(f *api.Findings) *bool { return f.ChippedPin }},
	diagnose.FoundOnePinOff:         {"one_pin_off", func(f *api.Findings) *bool { return f.OnePinOff }},
	diagnose.FoundCornerNotSquare:   {"corner_not_square", func(f *api.Findings) *bool { return f.CornerNotSquare }},
	diagnose.FoundTightAtOneEnd:     {"tight_at_one_end", func(f *api.Findings) *bool { return f.TightAtOneEnd }},
	diagnose.FoundEdgesHalfPitchOff: {"edges_half_pitch_off", func(f *api.Findings) *bool { return f.EdgesHalfPitchOff }},
	diagnose.FoundEdgesMirrored:     {"edges_mirrored", func(f *api.Findings) *bool { return f.EdgesMirrored }},
	diagnose.FoundMoistureDiffers:   {"moisture_differs", func(f *api.Findings) *bool { return f.MoistureDiffers }},
	diagnose.FoundCutterDull:        {"cutter_dull", func(f *api.Findings) *bool { return f.CutterDull }},
	diagnose.FoundDepthMoved:        {"depth_moved", func(f *api.Findings) *bool { return f.DepthMoved }},
	diagnose.FoundChips:             {"chips_found", func(f *api.Findings) *bool { return f.ChipsFound }},
}

func checks(codes []string) (all diagnose.Checks) {
	for _, code := range codes {
		if i := slices.Index(checkCodes[:], code); i >= 0 {
			all[i] = true
		}
	}
	return all
}

// callForHelp reads what is known and seen, and the sessions of a record.
func (r *reader) callForHelp(in *api.DiagnosisRequest) (diagnose.Case, []learn.Session) {
	setup, sessions := r.setupUnsure(in.Setup)
	c := diagnose.Case{Setup: setup, Findings: findings(in.Findings), Target: r.target(in.Target, setup.Tails())}
	for i := range in.TestCuts {
		c.Cuts = append(c.Cuts, r.seenCut(&in.TestCuts[i], "/test_cuts/"+strconv.Itoa(i)))
	}
	c.Answered, c.Unavailable = checks(in.Answered), checks(in.Unavailable)
	moistureAsFinding(&c)
	return c, sessions
}

func findings(in *api.Findings) (all diagnose.Findings) {
	if in == nil {
		return all
	}
	for f, q := range questions {
		if told := q.told(in); told != nil {
			all[f] = diagnose.No
			if *told {
				all[f] = diagnose.Yes
			}
		}
	}
	return all
}

// moistureApart is the difference of two boards' moisture content from which
// they count as not alike, %. Judgement.
const moistureApart = 2

// moistureAsFinding: the meter's readings stand with the boards.
func moistureAsFinding(c *diagnose.Case) {
	pin, tail := &c.Setup.PinBoard.Stock, &c.Setup.TailBoard.Stock
	if c.Findings[diagnose.FoundMoistureDiffers] != diagnose.NotSaid || !pin.MoistureKnown || !tail.MoistureKnown {
		return
	}
	c.Findings[diagnose.FoundMoistureDiffers] = diagnose.No
	if math.Abs(pin.Moisture.Percent-tail.Moisture.Percent) >= moistureApart {
		c.Findings[diagnose.FoundMoistureDiffers] = diagnose.Yes
	}
}

// setupUnsure reads a set-up of which any part may be missing.
func (r *reader) setupUnsure(in *api.Setup) (joint.Setup, []learn.Session) {
	if in == nil {
		return joint.Setup{}, nil
	}
	if in.Record != nil {
		return r.setup(in)
	}
	part := *in
	if t := in.Template; t != nil && t.Kind == "two_position" && !whole(t) {
		r.pass(t.TailPass, "/setup/template/tail_pass")
		r.pass(t.PinPass, "/setup/template/pin_pass")
		part.Template = &api.Template{Thickness: t.Thickness}
	}
	return r.plainSetup(&part, "/setup"), nil
}

// whole reports whether a two-position template has all of its widths.
func whole(t *api.Template) bool {
	known := func(p *api.Pass) bool { return p != nil && p.Opening != nil && p.Finger != nil }
	return known(t.TailPass) && known(t.PinPass)
}

func (r *reader) seenCut(in *api.SeenCut, base string) diagnose.Cut {
	cut := diagnose.Cut{TestCut: r.testCut(&api.TestCut{
		Depth: in.Depth, Feel: in.Feel, PulledGap: in.PulledGap, ShoulderGap: in.ShoulderGap,
		WentIn: in.WentIn, Seat: in.Seat, EdgeStep: in.EdgeStep, Measured: in.Measured,
	}, base)}
	for i := range in.Along {
		cut.Along = append(cut.Along, r.seenAt(&in.Along[i], base+"/along/"+strconv.Itoa(i)))
	}
	return cut
}

func (r *reader) seenAt(in *api.SeenAt, base string) diagnose.Place {
	return diagnose.Place{
		Position: r.size(in.Position, fromZero, base, "position").Length,
		TestCut: r.testCut(&api.TestCut{
			Feel: in.Feel, PulledGap: in.PulledGap, ShoulderGap: in.ShoulderGap,
			WentIn: in.WentIn, Seat: in.Seat, EdgeStep: in.EdgeStep, Measured: in.Measured,
		}, base),
	}
}

// taught puts what a record's sessions taught of the template into the set-up.
func taught(c *diagnose.Case, sessions []learn.Session) error {
	if len(sessions) == 0 || !c.Setup.Depth.PinBoard.Given || !c.Setup.Bushing.Diameter.Given ||
		!c.Setup.Cutter.Diameter.Given || c.Setup.Cutter.Angle == 0 {
		return nil // what is missing can't be told from what was taught
	}
	p, err := learn.FromTestCuts(c.Setup, nil, c.Bands, sessions...)
	if err != nil {
		return err
	}
	c.Setup.Offset = joint.Offset{Mean: p.Mean}
	return nil
}
