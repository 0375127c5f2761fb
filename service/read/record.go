package read

import (
	"crypto/sha256"
	"crypto/subtle"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"strconv"

	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/belief"
	"snugtail/joint/length"
	"snugtail/joint/wood"
	"snugtail/service/codes"
	"snugtail/service/message"
	"snugtail/service/problem"
)

// The record of a session, kept by the client and posted back. It holds what
// was stated and seen, in texts with their own units, so that it does not
// depend on the request it is posted in; what it taught is computed anew.

const (
	recordNow = 1 // the version written and read
	// mostSessions is how many sessions a record keeps; older ones are dropped.
	mostSessions = 10
	// mostCuts is how many test joints of a session it keeps, the latest.
	mostCuts = 50
)

// record reads a record's sessions after checking that it is whole.
func (r *Reader) record(in *api.Record, base string) []belief.Session {
	if in.Version != recordNow {
		r.fail(base, "version", problem.CodeNotAllowed, "record_version", message.Count("version", recordNow))
		return nil
	}
	want, err := checksum(in)
	if err != nil || subtle.ConstantTimeCompare([]byte(want), []byte(in.Checksum)) != 1 {
		r.fail(base, "checksum", problem.CodeConflict, "record_damaged")
		return nil
	}
	sessions := make([]belief.Session, len(in.Sessions))
	for i := range in.Sessions {
		at := base + "/sessions/" + strconv.Itoa(i)
		sessions[i].Setup = r.plainSetup(plain(&in.Sessions[i].Setup), at+"/setup")
		sessions[i].Cuts = r.testCuts(in.Sessions[i].TestCuts, at)
	}
	return sessions
}

// plain is the set-up of a session as any other.
func plain(s *api.RecordSetup) *api.Setup {
	return &api.Setup{
		Template: s.Template, Bushing: s.Bushing, Cutter: s.Cutter, Depth: s.Depth, Router: s.Router,
		PinBoard: s.PinBoard, TailBoard: s.TailBoard, SideStopError: s.SideStopError,
	}
}

// checksum is taken over all of the record but itself, as this service writes
// it: white space and the order of members do not count. It finds damage; it
// is no signature.
func checksum(in *api.Record) (string, error) {
	unsigned := *in
	unsigned.Checksum = ""
	raw, err := json.Marshal(unsigned)
	if err != nil {
		return "", fmt.Errorf("writing a record: %w", err)
	}
	sum := sha256.Sum256(raw)
	return hex.EncodeToString(sum[:8]), nil
}

// NewRecord writes sessions, what they taught, and what to write on the gauge.
func NewRecord(learned joint.Offset, sessions []belief.Session, gauge string) api.Record {
	if extra := len(sessions) - mostSessions; extra > 0 {
		sessions = sessions[extra:]
	}
	out := api.Record{
		Version:  recordNow,
		Sessions: make([]api.RecordSession, len(sessions)),
		Learned: api.RecordLearned{
			PlayOffset:          *exact(length.Exactly(learned.Mean.Rounded())),
			StandardUncertainty: *exact(length.Exactly(learned.SD.Rounded())),
		},
		Gauge: gauge,
	}
	for i, session := range sessions {
		out.Sessions[i] = api.RecordSession{Setup: recordSetup(&session.Setup), TestCuts: recordCuts(session.Cuts[max(0, len(session.Cuts)-mostCuts):])}
	}
	// Marshalling texts and finite numbers cannot fail.
	out.Checksum, _ = checksum(&out)
	return out
}

// exact writes a size as a text with unit and tolerance, nil if not stated.
func exact(s length.Size) *api.LengthIn {
	if !s.Given {
		return nil
	}
	text := strconv.FormatFloat(s.MM(), 'f', -1, 64)
	if s.HasTolerance {
		text += " +/- " + strconv.FormatFloat(s.Tolerance.MM(), 'f', -1, 64)
	}
	return &api.LengthIn{Text: text + " mm", Form: api.LengthText}
}

func recordSetup(s *joint.Setup) api.RecordSetup {
	out := api.RecordSetup{
		Template:      recordTemplate(&s.Template),
		Bushing:       recordBushing(&s.Bushing),
		Cutter:        recordCutter(&s.Cutter),
		Depth:         recordDepth(s.Depth),
		SideStopError: exact(s.SideStopError),
	}
	if s.Router.Stated() {
		out.Router = &api.Router{
			AdjusterLead: exact(s.Router.AdjusterLead), AdjusterStep: exact(s.Router.AdjusterStep),
			Backlash: exact(s.Router.Backlash), ColletHeight: exact(s.Router.ColletHeight), TurnedInUse: s.Router.TurnedInUse,
		}
		for _, block := range s.Router.GaugeBlocks {
			out.Router.GaugeBlocks = append(out.Router.GaugeBlocks, exact(block))
		}
	}
	if s.PinBoard != (joint.PinBoard{}) {
		stock := s.PinBoard.Stock
		moisture, tolerance := recordMoisture(stock)
		out.PinBoard = &api.PinBoard{
			Thickness: exact(s.PinBoard.Thickness), Width: exact(s.PinBoard.Width), GrooveDepth: exact(s.PinBoard.GrooveDepth),
			Species: stock.Species, Grain: grainName(stock.Grain), Moisture: moisture, MoistureTolerance: tolerance,
		}
	}
	if s.TailBoard != (joint.TailBoard{}) {
		stock := s.TailBoard.Stock
		moisture, tolerance := recordMoisture(stock)
		out.TailBoard = &api.TailBoard{
			Thickness: exact(s.TailBoard.Thickness), Width: exact(s.TailBoard.Width),
			Species: stock.Species, Grain: grainName(stock.Grain), Moisture: moisture, MoistureTolerance: tolerance,
		}
	}
	return out
}

// grainName is the name that a request gives to a grain, "" for none.
func grainName(g wood.Grain) string {
	if g == wood.GrainUnknown {
		return ""
	}
	return g.String()
}

func recordMoisture(s joint.Stock) (moisture, tolerance *float64) {
	if !s.MoistureKnown {
		return nil, nil
	}
	half := 2 * s.Moisture.StandardUncertainty
	return &s.Moisture.Percent, &half
}

func recordTemplate(t *joint.Template) *api.Template {
	out := &api.Template{Thickness: exact(t.Thickness)}
	switch t.Kind {
	case joint.OnePiece:
		out.Kind, out.Pitch, out.Opening = "one_piece", exact(t.Pitch), exact(t.Tail.Opening)
		out.OpeningReach, out.FingerReach = exact(t.Tail.OpeningReach), exact(t.Tail.FingerReach)
	case joint.TwoPosition:
		out.Kind, out.TailPass, out.PinPass = "two_position", recordPass(&t.Tail), recordPass(&t.Pin)
	case joint.AllowanceOnly:
		out.Kind, out.Allowance = "allowance", exact(t.Allowance)
	case joint.Proven:
		out.Kind, out.Feel, out.Depth = "proven", feelOfPlay(t.Joint.Play), exact(t.Joint.Depth)
		out.Cutter, out.Bushing = recordCutter(&t.Joint.Cutter), recordBushing(&t.Joint.Bushing)
	}
	return out
}

func recordPass(p *joint.Pass) *api.Pass {
	return &api.Pass{
		Opening: exact(p.Opening), Finger: exact(p.Finger),
		OpeningReach: exact(p.OpeningReach), FingerReach: exact(p.FingerReach),
	}
}

// feelOfPlay finds the feel that a proven joint's play stands for.
func feelOfPlay(play length.Size) string {
	for _, feel := range []belief.Feel{belief.FeelSlidesFree, belief.FeelHandPressure, belief.FeelLightTaps, belief.FeelHardBlows} {
		if p, ok := feel.Play(joint.Bands{Crush: joint.DefaultCrush}); ok && p == play {
			return codes.FeelNames[feel]
		}
	}
	return ""
}

func recordBushing(b *joint.Bushing) *api.Bushing {
	out := &api.Bushing{ID: b.ID, Kind: codes.GuideNames[b.Kind], Diameter: exact(b.Diameter), Labelled: exact(b.Labelled), Bore: exact(b.Bore), Barrel: exact(b.Barrel)}
	if b.OffsetX.Given || b.OffsetY.Given {
		out.Offset = &api.Offset{X: exact(b.OffsetX), Y: exact(b.OffsetY)}
	}
	return out
}

func recordCutter(c *joint.Cutter) *api.Cutter {
	angle, tolerance := float64(c.Angle), joint.ToleranceAngle
	if c.HasAngleTolerance {
		tolerance = float64(c.AngleTolerance)
	}
	// What has a default is written too: a client that fills it in must not change the checksum.
	return &api.Cutter{
		ID: c.ID, Diameter: exact(c.Diameter), Labelled: exact(c.Labelled), Angle: &angle, AngleTolerance: &tolerance, Condition: codes.ConditionNames[c.Condition],
		CuttingLength: exact(c.CuttingLength), Neck: exact(c.Neck), Shank: exact(c.Shank),
		OverallLength: exact(c.OverallLength), Runout: exact(c.Runout),
	}
}

func recordDepth(d joint.Depth) *api.Depth {
	if d.PinBoard == d.TailBoard {
		return &api.Depth{Both: exact(d.PinBoard)}
	}
	return &api.Depth{PinBoard: exact(d.PinBoard), TailBoard: exact(d.TailBoard)}
}

func recordCuts(cuts []belief.Cut) []api.TestCut {
	out := make([]api.TestCut, len(cuts))
	for i := range cuts {
		out[i] = recordCut(&cuts[i])
	}
	return out
}

func recordCut(c *belief.Cut) api.TestCut {
	whole := recordSight(&c.Sight)
	out := api.TestCut{
		Depth: recordDepth(c.Depth), Feel: whole.Feel, PulledGap: whole.PulledGap, ShoulderGap: whole.ShoulderGap,
		WentIn: whole.WentIn, Seat: whole.Seat, EdgeStep: whole.EdgeStep, Measured: whole.Measured,
		TemplateAt: exact(c.TemplateAt), SideStopAt: exact(c.SideStopAt), Corner: codes.CornerNames[c.Corner],
	}
	for i := range c.Along {
		at := recordSight(&c.Along[i].Sight)
		at.Position = exact(length.Exactly(c.Along[i].Position))
		out.Along = append(out.Along, at)
	}
	return out
}

func recordSight(s *belief.Sight) api.SeenAt {
	out := api.SeenAt{
		Feel: codes.FeelNames[s.Feel], PulledGap: exact(s.PulledGap), ShoulderGap: exact(s.ShoulderGap),
		WentIn: exact(s.WentIn), Seat: exact(s.Seat), EdgeStep: exact(s.EdgeStep),
	}
	if m := s.Measured; m != (belief.Measured{}) {
		out.Measured = &api.Measured{
			PinWidest: exact(m.PinWidest), TailWidest: exact(m.TailWidest),
			PinSocketWidest: exact(m.PinSocketWidest), TailSocketWidest: exact(m.TailSocketWidest),
			DepthPinBoard: exact(m.DepthPinBoard), DepthTailBoard: exact(m.DepthTailBoard),
		}
	}
	return out
}
