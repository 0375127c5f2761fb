package read

import (
	"fmt"
	"math"
	"slices"

	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/advise"
	"snugtail/joint/belief"
	"snugtail/joint/run"
	"snugtail/service/codes"
)

// What a request tells of the work at the bench. /v1/corrections,
// /v1/setup-sheets and /v1/diagnoses tell it in the same words; only the last
// takes a set-up of which parts are missing.

// Bench is a case, and the sessions of a record that it stands on.
type Bench struct {
	advise.Case
	// Run are the readings of a run of joints; they are among the test cuts, too.
	Run []run.Reading
}

// Sessions are the earlier ones and this one.
func (b *Bench) Sessions() []belief.Session {
	return append(slices.Clone(b.Earlier), belief.Session{Setup: b.Setup, Cuts: b.Cuts})
}

// told is what the requests have in common beside the set-up.
type told struct {
	cuts                  []api.TestCut
	findings              *api.Findings
	answered, unavailable []string
	target                *api.Target
	minutes               *api.Minutes
}

// Correction reads what a correction is asked for.
func (r *Reader) Correction(in *api.CorrectionRequest) Bench {
	setup, earlier := r.Setup(in.Setup)
	b := r.bench(setup, earlier, told{in.TestCuts, in.Findings, in.Answered, in.Unavailable, in.Target, in.Minutes})
	var cuts []belief.Cut
	b.Run, cuts = r.run(in.Run, &setup)
	b.Cuts = append(b.Cuts, cuts...)
	return b
}

// Sheet reads what a page for the bench is asked for.
func (r *Reader) Sheet(in *api.SetupSheetRequest) Bench {
	setup, earlier := r.Setup(in.Setup)
	return r.bench(setup, earlier, told{in.TestCuts, in.Findings, in.Answered, in.Unavailable, in.Target, in.Minutes})
}

// Diagnosis reads what is known and seen.
func (r *Reader) Diagnosis(in *api.DiagnosisRequest) Bench {
	setup, earlier := r.setupUnsure(in.Setup)
	cuts := make([]api.TestCut, len(in.TestCuts))
	for i := range in.TestCuts {
		cuts[i] = api.TestCut(in.TestCuts[i])
	}
	return r.bench(setup, earlier, told{cuts, in.Findings, in.Answered, in.Unavailable, in.Target, in.Minutes})
}

// ReadCorrection, ReadSheet and ReadDiagnosis only find what cannot be read.
func ReadCorrection(r *Reader, in *api.CorrectionRequest) { r.Correction(in) }

func ReadSheet(r *Reader, in *api.SetupSheetRequest) { r.Sheet(in) }

func ReadDiagnosis(r *Reader, in *api.DiagnosisRequest) { r.Diagnosis(in) }

func (r *Reader) bench(setup joint.Setup, earlier []belief.Session, t told) Bench {
	b := Bench{Case: advise.Case{Case: belief.Case{
		Setup: setup, Earlier: earlier, Cuts: r.testCuts(t.cuts, ""), Findings: findings(t.findings),
		Answered: checks(t.answered), Unavailable: checks(t.unavailable), Target: r.Target(t.target, setup.Tails()),
	}, Costs: costs(t.minutes)}}
	moistureAsFinding(&b.Case.Case)
	return b
}

// Advised returns the advice on a case, by the bands of the set-up's wood,
// unless something could not be read.
func (r *Reader) Advised(b *Bench) (*advise.Advice, error) {
	if err := r.Fault(); err != nil {
		return nil, err
	}
	if err := r.Guided(&b.Setup); err != nil {
		return nil, err
	}
	if statedInFull(&b.Setup) {
		if err := r.BandsOf(b.Setup); err != nil {
			return nil, err
		}
	}
	b.Bands = r.Bands
	a, err := r.Adviser.On(r.Observer, &b.Case)
	if err != nil {
		return nil, r.Refusal(err)
	}
	return a, nil
}

// Possible refuses a set-up, or a test cut, that cannot have been cut: a
// diagnosis tells what such a one points to, whatever else asks is told at once.
func (r *Reader) Possible(b *Bench) error {
	if err := r.Fault(); err != nil {
		return err
	}
	if _, err := joint.New(b.Setup); err != nil {
		return r.Refusal(fmt.Errorf("reading the set-up: %w", err))
	}
	for i := range b.Cuts {
		s := b.Setup
		if d := b.Cuts[i].Depth; d.PinBoard.Given {
			s.Depth = d
		}
		if _, err := joint.New(s); err != nil {
			return r.Refusal(&belief.CutError{Cut: i, Err: err})
		}
	}
	return nil
}

// Guided refuses a set-up whose bushing does not run in its template, where both
// are stated, whatever else is asked of it.
func (r *Reader) Guided(s *joint.Setup) error {
	if err := joint.Guided(s); err != nil {
		return r.Refusal(fmt.Errorf("reading the set-up: %w", err))
	}
	return nil
}

// statedInFull reports whether a joint follows from a set-up.
func statedInFull(s *joint.Setup) bool {
	t := &s.Template
	template := t.Allowance.Given || t.KnownByOpenings() && t.Tail.Opening.Given && t.Pitch.Given
	return template && s.Bushing.Diameter.Given && s.Cutter.Diameter.Given && s.Cutter.Angle > 0 && s.Depth.PinBoard.Given
}

func costs(in *api.Minutes) (c advise.Costs) {
	if in == nil {
		return c
	}
	if in.TestJoint != nil {
		c.Joint = *in.TestJoint
	}
	for _, check := range in.Checks {
		if i := slices.Index(codes.Checks[:], check.Check); i >= 0 {
			c.Checks[i] = check.Minutes
		}
	}
	return c
}

func checks(named []string) (all belief.Checks) {
	for _, code := range named {
		if i := slices.Index(codes.Checks[:], code); i >= 0 {
			all[i] = true
		}
	}
	return all
}

// toldOf is where in a request the answer to each finding stands.
var toldOf = [belief.FindingCount]func(*api.Findings) *bool{
	belief.FoundCutterChanged:     func(f *api.Findings) *bool { return f.CutterChanged },
	belief.FoundBushingWobbles:    func(f *api.Findings) *bool { return f.BushingWobbles },
	belief.FoundOneSetting:        func(f *api.Findings) *bool { return f.OneSetting },
	belief.FoundTemplateRocks:     func(f *api.Findings) *bool { return f.TemplateRocks },
	belief.FoundBoardsCupped:      func(f *api.Findings) *bool { return f.BoardsCupped },
	belief.FoundCutWeeksAgo:       func(f *api.Findings) *bool { return f.CutWeeksAgo },
	belief.FoundRouterTurned:      func(f *api.Findings) *bool { return f.RouterTurned },
	belief.FoundSecondPass:        func(f *api.Findings) *bool { return f.SecondPass },
	belief.FoundTearOut:           func(f *api.Findings) *bool { return f.TearOut },
	belief.FoundChippedPin:        func(f *api.Findings) *bool { return f.ChippedPin },
	belief.FoundOnePinOff:         func(f *api.Findings) *bool { return f.OnePinOff },
	belief.FoundCornerNotSquare:   func(f *api.Findings) *bool { return f.CornerNotSquare },
	belief.FoundTightAtOneEnd:     func(f *api.Findings) *bool { return f.TightAtOneEnd },
	belief.FoundEdgesHalfPitchOff: func(f *api.Findings) *bool { return f.EdgesHalfPitchOff },
	belief.FoundEdgesMirrored:     func(f *api.Findings) *bool { return f.EdgesMirrored },
	belief.FoundMoistureDiffers:   func(f *api.Findings) *bool { return f.MoistureDiffers },
	belief.FoundCutterDull:        func(f *api.Findings) *bool { return f.CutterDull },
	belief.FoundDepthMoved:        func(f *api.Findings) *bool { return f.DepthMoved },
	belief.FoundChips:             func(f *api.Findings) *bool { return f.ChipsFound },
	belief.FoundFitsDryOnly:       func(f *api.Findings) *bool { return f.FitsDryOnly },
}

func findings(in *api.Findings) (all belief.Findings) {
	if in == nil {
		return all
	}
	for f, of := range toldOf {
		if told := of(in); told != nil {
			all[f] = belief.No
			if *told {
				all[f] = belief.Yes
			}
		}
	}
	return all
}

// moistureApart is the difference of two boards' moisture content from which
// they count as not alike, %. Judgement.
const moistureApart = 2

// moistureAsFinding: the meter's readings stand with the boards.
func moistureAsFinding(c *belief.Case) {
	pin, tail := &c.Setup.PinBoard.Stock, &c.Setup.TailBoard.Stock
	if c.Findings[belief.FoundMoistureDiffers] != belief.NotSaid || !pin.MoistureKnown || !tail.MoistureKnown {
		return
	}
	c.Findings[belief.FoundMoistureDiffers] = belief.No
	if math.Abs(pin.Moisture.Percent-tail.Moisture.Percent) >= moistureApart {
		c.Findings[belief.FoundMoistureDiffers] = belief.Yes
	}
}

// setupUnsure reads a set-up of which any part may be missing.
func (r *Reader) setupUnsure(in *api.Setup) (joint.Setup, []belief.Session) {
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
