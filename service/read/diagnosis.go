package read

import (
	"math"
	"slices"
	"strconv"

	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/diagnose"
	"snugtail/joint/learn"
	"snugtail/service/codes"
)

// toldOf is where in a request the answer to each finding stands.
var toldOf = [diagnose.FindingCount]func(*api.Findings) *bool{
	diagnose.FoundCutterChanged:     func(f *api.Findings) *bool { return f.CutterChanged },
	diagnose.FoundBushingWobbles:    func(f *api.Findings) *bool { return f.BushingWobbles },
	diagnose.FoundOneSetting:        func(f *api.Findings) *bool { return f.OneSetting },
	diagnose.FoundTemplateRocks:     func(f *api.Findings) *bool { return f.TemplateRocks },
	diagnose.FoundBoardsCupped:      func(f *api.Findings) *bool { return f.BoardsCupped },
	diagnose.FoundCutWeeksAgo:       func(f *api.Findings) *bool { return f.CutWeeksAgo },
	diagnose.FoundRouterTurned:      func(f *api.Findings) *bool { return f.RouterTurned },
	diagnose.FoundSecondPass:        func(f *api.Findings) *bool { return f.SecondPass },
	diagnose.FoundTearOut:           func(f *api.Findings) *bool { return f.TearOut },
	diagnose.FoundChippedPin:        func(f *api.Findings) *bool { return f.ChippedPin },
	diagnose.FoundOnePinOff:         func(f *api.Findings) *bool { return f.OnePinOff },
	diagnose.FoundCornerNotSquare:   func(f *api.Findings) *bool { return f.CornerNotSquare },
	diagnose.FoundTightAtOneEnd:     func(f *api.Findings) *bool { return f.TightAtOneEnd },
	diagnose.FoundEdgesHalfPitchOff: func(f *api.Findings) *bool { return f.EdgesHalfPitchOff },
	diagnose.FoundEdgesMirrored:     func(f *api.Findings) *bool { return f.EdgesMirrored },
	diagnose.FoundMoistureDiffers:   func(f *api.Findings) *bool { return f.MoistureDiffers },
	diagnose.FoundCutterDull:        func(f *api.Findings) *bool { return f.CutterDull },
	diagnose.FoundDepthMoved:        func(f *api.Findings) *bool { return f.DepthMoved },
	diagnose.FoundChips:             func(f *api.Findings) *bool { return f.ChipsFound },
}

func checks(named []string) (all diagnose.Checks) {
	for _, code := range named {
		if i := slices.Index(codes.Checks[:], code); i >= 0 {
			all[i] = true
		}
	}
	return all
}

// Case reads what is known and seen, and the sessions of a record.
func (r *Reader) Case(in *api.DiagnosisRequest) (diagnose.Case, []learn.Session) {
	setup, sessions := r.setupUnsure(in.Setup)
	c := diagnose.Case{Setup: setup, Findings: findings(in.Findings), Target: r.Target(in.Target, setup.Tails())}
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
	for f, of := range toldOf {
		if told := of(in); told != nil {
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
func (r *Reader) setupUnsure(in *api.Setup) (joint.Setup, []learn.Session) {
	if in == nil {
		return joint.Setup{}, nil
	}
	if in.Record != nil {
		return r.Setup(in)
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

func (r *Reader) seenCut(in *api.SeenCut, base string) diagnose.Cut {
	cut := diagnose.Cut{TestCut: r.testCut(&api.TestCut{
		Depth: in.Depth, Feel: in.Feel, PulledGap: in.PulledGap, ShoulderGap: in.ShoulderGap,
		WentIn: in.WentIn, Seat: in.Seat, EdgeStep: in.EdgeStep, Measured: in.Measured,
	}, base)}
	for i := range in.Along {
		cut.Along = append(cut.Along, r.seenAt(&in.Along[i], base+"/along/"+strconv.Itoa(i)))
	}
	return cut
}

func (r *Reader) seenAt(in *api.SeenAt, base string) diagnose.Place {
	return diagnose.Place{
		Position: r.size(in.Position, fromZero, base, "position").Length,
		TestCut: r.testCut(&api.TestCut{
			Feel: in.Feel, PulledGap: in.PulledGap, ShoulderGap: in.ShoulderGap,
			WentIn: in.WentIn, Seat: in.Seat, EdgeStep: in.EdgeStep, Measured: in.Measured,
		}, base),
	}
}

// Taught puts what a record's sessions taught of the template into the set-up.
func Taught(c *diagnose.Case, sessions []learn.Session) error {
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

func Diagnosis(r *Reader, in *api.DiagnosisRequest) { r.Case(in) }
