// Package read turns what a request says into the domain's quantities, and
// tells of every field that stands for none. The contract has checked the shape;
// texts, ranges and what contradicts itself are checked here.
//
//	read.go       lengths, set-ups, cutters
//	cuts.go       test cuts, and what was seen of them
//	joint.go      the joint of a set-up, by what earlier sessions taught
//	bench.go      what a request tells of the work at the bench
//	run.go        a run of joints
//	record.go     the record that a client keeps, read and written
//	layout.go, movement.go, drawers.go
//	refuse.go     the domain's errors, as fields of the request
package read

import (
	"errors"
	"math"
	"strconv"

	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/advise"
	"snugtail/joint/belief"
	"snugtail/joint/length"
	"snugtail/joint/stock"
	"snugtail/joint/wood"
	"snugtail/service/codes"
	"snugtail/service/message"
	"snugtail/service/problem"
	"snugtail/service/say"
)

// Reader turns what a request says into the domain's quantities and keeps a
// list of every field that does not stand for one. The contract has checked
// the shape; texts and ranges are checked here.
type Reader struct {
	Unit  length.Unit
	Bands joint.Bands
	Bad   []problem.Field
	// Observer judges what is told of test joints, now and in records.
	Observer *belief.Observer
	// Adviser advises on them; nil: by the observer alone.
	Adviser *advise.Adviser
	// Wanted are the members of the answer that are wanted; nil wants all.
	Wanted map[string]bool
	// onePiece: both passes are one opening, and stand at one place of the request.
	onePiece bool
}

// New returns a reader for a request in these units.
func New(units api.Units, o *belief.Observer) *Reader {
	r := &Reader{Bands: joint.Bands{Crush: joint.DefaultCrush}, Observer: o}
	if units == "in" {
		r.Unit = length.UnitInch
	}
	return r
}

// Fault returns the bad fields as one error, or nil.
func (r *Reader) Fault() error {
	if len(r.Bad) == 0 {
		return nil
	}
	for _, field := range r.Bad {
		if field.Code != problem.CodeImpossible {
			return problem.BadFields(r.Bad...).InUnit(r.Unit)
		}
	}
	return problem.Impossible(r.Bad...).InUnit(r.Unit)
}

// fail keeps a bad field, with the sentence of its code and a state of it.
func (r *Reader) fail(base, name, code, state string, params ...message.Param) {
	r.Bad = append(r.Bad, problem.At("#"+base+"/"+name, code, state, params...))
}

// refuse keeps a bad field of which something is said.
func (r *Reader) refuse(base, name, code string, detail message.Message) {
	r.Bad = append(r.Bad, problem.Field{Pointer: "#" + base + "/" + name, Code: code, Detail: detail})
}

// span is the range of lengths that a field takes, mm.
type span struct{ least, most float64 }

var (
	positive = span{0.1, 2000}
	fromZero = span{0, 2000}
	signed   = span{-2000, 2000}
	reach    = span{-20, 2000} // below 0: the template stands back from the board's end
)

// size reads a length; a missing one is not stated.
func (r *Reader) size(in *api.LengthIn, s span, base, name string) length.Size {
	if in == nil {
		return length.Size{}
	}
	size, ok := r.stated(in, base, name)
	if !ok {
		return length.Size{}
	}
	if mm := size.MM(); mm < s.least || mm > s.most {
		r.refuse(base, name, problem.CodeOutOfRange, say.OutOfRange(size.Length, length.Length(s.least), length.Length(s.most)))
		return length.Size{}
	}
	return size
}

// stated reads a length to 1e-9 mm: then 26 mm is as long as the same written in
// inches, and what the last bit of 25.4 decides is nothing.
func (r *Reader) stated(in *api.LengthIn, base, name string) (length.Size, bool) {
	size, ok := r.asWritten(in, base, name)
	const perStep = 1e9
	size.Length = length.Length(math.Round(size.MM()*perStep) / perStep)
	return size, ok
}

func (r *Reader) asWritten(in *api.LengthIn, base, name string) (length.Size, bool) {
	switch in.Form {
	case api.LengthObject:
		return length.Exactly(length.Length(in.Number)), true
	case api.LengthNumber:
		if r.Unit == length.UnitInch {
			return length.Exactly(length.Length(in.Number) * length.Inch), true
		}
		return length.Exactly(length.Length(in.Number)), true
	}
	size, err := length.Parse(in.Text, r.Unit)
	if err != nil {
		var parse *length.ParseError
		if errors.As(err, &parse) { // Parse fails with no other
			r.refuse(base, name, parseCode(parse), say.NotLength(parse))
		}
		return length.Size{}, false
	}
	return size, true
}

// parseCode is the code for a text that is no length.
func parseCode(e *length.ParseError) string {
	switch e.Code {
	case length.CodeUnitUnknown:
		return problem.CodeUnitUnknown
	case length.CodeTooLong:
		return problem.CodeTooLong
	}
	return problem.CodeNotALength
}

func (r *Reader) Target(in *api.Target, tails int) joint.Target {
	t := joint.DefaultTarget(tails)
	if in == nil {
		return t
	}
	before := len(r.Bad)
	const base = "/target"
	t.Play = r.size(in.Play, signed, base, "play").Or(t.Play).Length
	t.From = r.size(in.From, signed, base, "from").Or(t.From).Length
	t.To = r.size(in.To, signed, base, "to").Or(t.To).Length
	if len(r.Bad) == before && (t.From > t.Play || t.Play > t.To) {
		r.refuse("", "target", problem.CodeConflict, say.TargetOutside(t))
	}
	return t
}

// Setup reads a set-up and the sessions of its record, oldest first. A record
// stands for the template of its last session.
func (r *Reader) Setup(in *api.Setup) (joint.Setup, []belief.Session) {
	const base = "/setup"
	if in == nil { // only in a request that is refused for it
		return joint.Setup{}, nil
	}
	if in.Record == nil {
		if in.Template == nil {
			r.fail(base, "template", problem.CodeMissing, "template")
		}
		return r.plainSetup(in, base), nil
	}
	if in.Template != nil {
		r.fail(base, "template", problem.CodeConflict, "template_twice")
	}
	s := r.plainSetup(in, base)
	sessions := r.record(in.Record, base+"/record")
	if len(sessions) > 0 {
		thickness := s.Template.Thickness
		s.Template = sessions[len(sessions)-1].Setup.Template
		if thickness.Given {
			s.Template.Thickness = thickness
		}
	}
	return s, sessions
}

func (r *Reader) plainSetup(in *api.Setup, base string) joint.Setup {
	s := joint.Setup{
		Bushing:       r.bushing(in.Bushing, base+"/bushing"),
		Cutter:        r.cutter(in.Cutter, base+"/cutter"),
		Depth:         r.depth(in.Depth, base),
		SideStopError: r.size(in.SideStopError, signed, base, "side_stop_error"),
	}
	s.Template = r.template(in.Template, base+"/template")
	r.router(in.Router, &s.Router, base+"/router")
	r.boards(in, &s, base)
	return s
}

func (r *Reader) bushing(in *api.Bushing, base string) joint.Bushing {
	if in == nil {
		return joint.Bushing{}
	}
	b := joint.Bushing{
		ID:       in.ID,
		Kind:     codes.Guides[in.Kind],
		Diameter: r.size(in.Diameter, positive, base, "diameter"),
		Labelled: r.size(in.Labelled, positive, base, "labelled"),
		Bore:     r.size(in.Bore, positive, base, "bore"),
		Barrel:   r.size(in.Barrel, positive, base, "barrel"),
	}
	if in.Offset != nil {
		b.OffsetX = r.size(in.Offset.X, signed, base+"/offset", "x")
		b.OffsetY = r.size(in.Offset.Y, signed, base+"/offset", "y")
	}
	if b.Kind == joint.KindBearing {
		r.onlyBushings(in, base)
	}
	return b
}

// onlyBushings refuses what a bearing does not have.
func (r *Reader) onlyBushings(in *api.Bushing, base string) {
	for _, of := range [...]struct {
		name  string
		given bool
	}{{"bore", in.Bore != nil}, {"barrel", in.Barrel != nil}, {"offset", in.Offset != nil}} {
		if of.given {
			r.fail(base, of.name, problem.CodeConflict, "bearing_has_none")
		}
	}
}

func (r *Reader) cutter(in *api.Cutter, base string) joint.Cutter {
	if in == nil {
		return joint.Cutter{}
	}
	c := joint.Cutter{
		ID:            in.ID,
		Diameter:      r.size(in.Diameter, positive, base, "diameter"),
		Labelled:      r.size(in.Labelled, positive, base, "labelled"),
		Condition:     codes.Conditions[in.Condition],
		CuttingLength: r.size(in.CuttingLength, positive, base, "cutting_length"),
		Neck:          r.size(in.Neck, positive, base, "neck"),
		Shank:         r.size(in.Shank, positive, base, "shank"),
		OverallLength: r.size(in.OverallLength, positive, base, "overall_length"),
		Runout:        r.size(in.Runout, fromZero, base, "runout"),
	}
	if in.Angle != nil {
		c.Angle = joint.Angle(*in.Angle)
	}
	// The default, stated, is the default: some clients fill in what the contract gives.
	if in.AngleTolerance != nil && *in.AngleTolerance != joint.ToleranceAngle {
		c.AngleTolerance, c.HasAngleTolerance = joint.Angle(*in.AngleTolerance), true
	}
	return c
}

func (r *Reader) depth(in *api.Depth, base string) joint.Depth {
	switch {
	case in == nil:
		return joint.Depth{}
	case in.Both != nil:
		return joint.EqualDepth(r.size(in.Both, positive, base, "depth"))
	}
	return joint.Depth{
		PinBoard:  r.size(in.PinBoard, positive, base+"/depth", "pin_board"),
		TailBoard: r.size(in.TailBoard, positive, base+"/depth", "tail_board"),
	}
}

func (r *Reader) router(in *api.Router, to *joint.Router, base string) {
	if in == nil {
		return
	}
	*to = joint.Router{
		AdjusterLead: r.size(in.AdjusterLead, positive, base, "adjuster_lead"),
		AdjusterStep: r.size(in.AdjusterStep, fromZero, base, "adjuster_step"),
		Backlash:     r.size(in.Backlash, fromZero, base, "backlash"),
		ColletHeight: r.size(in.ColletHeight, positive, base, "collet_height"),
		TurnedInUse:  in.TurnedInUse,
	}
	for i, block := range in.GaugeBlocks {
		to.GaugeBlocks = append(to.GaugeBlocks, r.size(block, positive, base+"/gauge_blocks", strconv.Itoa(i)))
	}
}

func (r *Reader) boards(in *api.Setup, s *joint.Setup, base string) {
	if p := in.PinBoard; p != nil {
		base := base + "/pin_board"
		s.PinBoard = joint.PinBoard{
			Thickness:   r.size(p.Thickness, positive, base, "thickness"),
			Width:       r.size(p.Width, positive, base, "width"),
			GrooveDepth: r.size(p.GrooveDepth, positive, base, "groove_depth"),
			Stock:       r.stock(p.Species, p.Grain, p.Moisture, p.MoistureTolerance, base),
		}
	}
	if t := in.TailBoard; t != nil {
		base := base + "/tail_board"
		s.TailBoard = joint.TailBoard{
			Thickness: r.size(t.Thickness, positive, base, "thickness"),
			Width:     r.size(t.Width, positive, base, "width"),
			Stock:     r.stock(t.Species, t.Grain, t.Moisture, t.MoistureTolerance, base),
		}
	}
}

// stock reads what is known of a board's wood.
func (r *Reader) stock(species, grain string, moisture, tolerance *float64, base string) joint.Stock {
	stock := joint.Stock{Species: species}
	stock.Grain, _ = wood.ParseGrain(grain)
	if species != "" {
		if _, ok := wood.ByID(species); !ok {
			r.refuse(base, "species", problem.CodeUnknownID, say.SpeciesUnknown(species))
			stock.Species = ""
		}
	}
	if moisture != nil {
		stock.Moisture, stock.MoistureKnown = wood.Reading(*moisture), true
		if tolerance != nil {
			stock.Moisture.StandardUncertainty = *tolerance / 2
		}
	}
	return stock
}

func (r *Reader) template(in *api.Template, base string) joint.Template {
	if in == nil {
		return joint.Template{}
	}
	var t joint.Template
	switch in.Kind {
	case "one_piece":
		r.onePiece = true
		t = joint.NewOnePiece(
			r.size(in.Pitch, positive, base, "pitch"), r.size(in.Opening, positive, base, "opening"),
			r.size(in.OpeningReach, reach, base, "opening_reach"), r.size(in.FingerReach, reach, base, "finger_reach"))
		r.impossible(t.Possible(), base+"/pitch")
	case "two_position":
		t = r.twoPosition(in, base)
	case "allowance":
		t = joint.NewAllowance(r.size(in.Allowance, signed, base, "allowance"))
	case "proven":
		t = r.proven(in, base)
	}
	t.Thickness = r.size(in.Thickness, positive, base, "thickness")
	return t
}

func (r *Reader) pass(in *api.Pass, base string) joint.Pass {
	if in == nil {
		return joint.Pass{}
	}
	return joint.Pass{
		Opening:      r.size(in.Opening, positive, base, "opening"),
		Finger:       r.size(in.Finger, positive, base, "finger"),
		OpeningReach: r.size(in.OpeningReach, reach, base, "opening_reach"),
		FingerReach:  r.size(in.FingerReach, reach, base, "finger_reach"),
	}
}

func (r *Reader) twoPosition(in *api.Template, base string) joint.Template {
	before := len(r.Bad)
	tail, pin := r.pass(in.TailPass, base+"/tail_pass"), r.pass(in.PinPass, base+"/pin_pass")
	if len(r.Bad) > before || !whole(in) {
		return joint.Template{}
	}
	t, err := joint.NewTwoPosition(tail, pin)
	r.impossible(err, base+"/pin_pass")
	return t
}

func (r *Reader) proven(in *api.Template, base string) joint.Template {
	before := len(r.Bad)
	feel := belief.FeelHandPressure
	if in.Feel != "" {
		feel = codes.Feels[in.Feel]
	}
	play, _ := feel.Play(r.Bands) // the contract takes only feels that tell how tight a joint is
	proven := joint.ProvenJoint{
		Cutter:  r.cutter(in.Cutter, base+"/cutter"),
		Bushing: r.bushing(in.Bushing, base+"/bushing"),
		Depth:   r.size(in.Depth, positive, base, "depth"),
		Play:    play,
	}
	if len(r.Bad) > before || !fullyStated(&proven) {
		return joint.Template{}
	}
	t, err := joint.NewProven(proven)
	r.impossible(err, base+"/depth")
	return t
}

// fullyStated reports whether all is there that a proven joint is worked out from;
// what is not, the contract tells.
func fullyStated(p *joint.ProvenJoint) bool {
	return p.Cutter.Diameter.Given && p.Cutter.Angle > 0 && p.Bushing.Diameter.Given && p.Depth.Given
}

// CuttersAtHand reads the cutters to choose from: the request's, where a
// built-in id alone will do, or all built-in ones; and the set-up's own cutter
// with them.
func (r *Reader) CuttersAtHand(in *api.CutterRecommendationRequest, own joint.Cutter) []joint.Cutter {
	var all []joint.Cutter
	if own.Diameter.Given && own.Angle > 0 {
		all = append(all, own)
	}
	if len(in.Cutters) == 0 {
		return append(all, stock.Cutters()...)
	}
	for i := range in.Cutters {
		if cutter, ok := r.cutterAtHand(&in.Cutters[i], "/cutters/"+strconv.Itoa(i)); ok {
			all = append(all, cutter)
		}
	}
	return all
}

func (r *Reader) cutterAtHand(in *api.Cutter, base string) (joint.Cutter, bool) {
	if in.Diameter != nil && in.Angle != nil {
		return r.cutter(in, base), true
	}
	if in.Diameter == nil && in.Angle == nil && in.ID != "" {
		cutter, ok := stock.CutterByID(in.ID)
		if !ok {
			r.refuse(base, "id", problem.CodeUnknownID, say.CutterIDUnknown(in.ID))
		}
		return cutter, ok
	}
	missing := "angle"
	if in.Diameter == nil {
		missing = "diameter"
	}
	r.fail(base, missing, problem.CodeMissing, "cutter_size", message.Name("list", say.ListCutters))
	return joint.Cutter{}, false
}

// BushingsAtHand reads the bushings to choose from, where a built-in id alone will
// do; none stands for the set-up's own.
func (r *Reader) BushingsAtHand(in *api.CutterRecommendationRequest) []joint.Bushing {
	if in.AllBushings && len(in.Bushings) > 0 {
		r.fail("", "all_bushings", problem.CodeConflict, "bushings_twice")
	}
	if in.AllBushings {
		return stock.Bushings()
	}
	if len(in.Bushings) == 0 && in.Setup != nil && in.Setup.Bushing == nil {
		r.fail("/setup", "bushing", problem.CodeMissing, "bushing")
	}
	all := make([]joint.Bushing, 0, len(in.Bushings))
	for i := range in.Bushings {
		if bushing, ok := r.bushingAtHand(&in.Bushings[i], "/bushings/"+strconv.Itoa(i)); ok {
			all = append(all, bushing)
		}
	}
	return all
}

func (r *Reader) bushingAtHand(in *api.Bushing, base string) (joint.Bushing, bool) {
	if in.Diameter != nil {
		return r.bushing(in, base), true
	}
	if *in != (api.Bushing{ID: in.ID}) || in.ID == "" {
		r.fail(base, "diameter", problem.CodeMissing, "bushing_size", message.Name("list", say.ListBushings))
		return joint.Bushing{}, false
	}
	bushing, ok := stock.BushingByID(in.ID)
	if !ok {
		r.refuse(base, "id", problem.CodeUnknownID, say.BushingIDUnknown(in.ID))
	}
	return bushing, ok
}

// impossible keeps an error of the domain as a 422 at a pointer of its own.
func (r *Reader) impossible(err error, at string) {
	var impossible *joint.Impossible
	if errors.As(err, &impossible) {
		r.Bad = append(r.Bad, impossibleField(impossible, at))
	}
}
