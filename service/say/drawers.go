package say

import (
	"math"

	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/joint/parts"
	"snugtail/joint/recommend"
	"snugtail/service/codes"
	"snugtail/service/message"
)

// What is told of drawers and their parts.

// Job tells of a job of drawers and how it is planned.
type Job struct {
	Words
	Job  *parts.Job
	Plan *parts.Plan
}

// Work says in words what is worked, and where.
func Work(of *parts.Work) message.Message {
	said := message.New("work."+codes.Works[of.Code], message.Length("depth", of.Depth).Beside())
	switch of.Code {
	case parts.Pins:
		return said.With(upTo(of)...)
	case parts.Tails:
		return said.With(upTo(of)...).As(codes.Places[of.At])
	case parts.RabbetWork:
		return said.With(message.Length("width", of.Width).Beside()).As(codes.Places[of.At])
	}
	return said.With(message.Length("from", of.From).Beside(), message.Length("width", of.Width).Beside())
}

// upTo says where pins or tails end below the board's upper edge.
func upTo(of *parts.Work) []message.Param {
	if of.Width == 0 || of.Code == parts.Tails && of.At != parts.BackEnd {
		return nil
	}
	return []message.Param{message.Length("up_to", of.From+of.Width)}
}

func cutterOf(c *joint.Cutter) message.Message {
	said := message.New("drawer_cutter", message.Length("diameter", c.Diameter.Length), message.Angle("angle", float64(c.Angle)))
	if c.ID != "" {
		return said.With(message.Name("id", c.ID))
	}
	return said
}

func depthOf(d joint.Depth) message.Message {
	if d.PinBoard.Length == d.TailBoard.Length {
		return message.New("drawer_depth", message.Length("depth", d.PinBoard.Length)).As("same")
	}
	return message.New("drawer_depth", message.Length("fronts", d.PinBoard.Length), message.Length("sides", d.TailBoard.Length)).As("two")
}

// SetupText says what is cut with a set-up, and how surely it fits: by the sizes
// as stated, or by what test joints taught.
func (p *Job) SetupText(i int) message.Message {
	s := &p.Plan.Setups[i]
	said := message.New("drawer_setup", message.Said("cutter", cutterOf(&p.Plan.Cutters[s.Cutter])), message.Said("depth", depthOf(s.Depth)),
		message.Count("joints", s.Joints).Beside(), message.Chance("in_target", s.Prediction.Fit.InTarget).Beside(), message.Said("tests", testJoints(s.TestJoints)))
	if s.Stops.Lip > 0 {
		said = said.With(message.Said("stops", stopsText(s.Stops)))
	}
	if s.Moved != nil {
		said = said.With(message.Said("moved", p.Moved(s.Moved, s.Depth.PinBoard.Length, s.Prediction.Fit.Play)))
	}
	if setup := s.Prediction.Joint.Setup(); setup.Offset.Known {
		return said.As("learned")
	}
	return said.As("as_stated")
}

// stopsText says which stops are moved for lipped fronts, which way and by how
// much.
func stopsText(s parts.Stops) message.Message {
	said := message.New("drawer_stops", message.Length("lip", s.Lip))
	if s.Side > 0 {
		return said.With(message.Length("side", s.Side)).As("all")
	}
	return said.As("front")
}

// testJoints says how many test joints to expect, in whole ones.
func testJoints(n float64) message.Message {
	const nearlyWhole = 0.1
	whole := math.Round(n)
	if math.Abs(n-whole) > nearlyWhole {
		return message.New("drawer_tests", message.Count("low", int(n)), message.Count("high", int(math.Ceil(n)))).As("between")
	}
	return message.New("drawer_tests", message.Count("tests", int(whole))).As("about")
}

// Summary says what is made, with how many set-ups, and what to look at first.
func (p *Job) Summary() message.Message {
	l := &p.Plan.Labour
	refused := 0
	for i := range p.Plan.Drawers {
		if p.Plan.Drawers[i].Refusal != nil {
			refused += p.Job.Drawers[i].Count
		}
	}
	if l.Drawers == 0 {
		return message.New("drawers_made", message.Count("drawers", refused)).As("none")
	}
	said := []message.Message{p.cutWith(), message.New("drawers_tests", message.Said("tests", testJoints(l.TestJoints)))}
	if refused > 0 {
		said = append(said, message.New("drawers_refused", message.Count("drawers", refused)))
	}
	if n := p.warned(); n > 0 {
		said = append(said, message.New("drawers_warned", message.Count("things", n)))
	}
	return message.Sentences(said...)
}

// cutWith says how many drawers are made, and with which set-ups.
func (p *Job) cutWith() message.Message {
	l := &p.Plan.Labour
	said := message.New("drawers_made", message.Count("drawers", l.Drawers), message.Count("parts", l.Parts))
	if l.Setups == 1 {
		s := &p.Plan.Setups[0]
		return said.With(message.Said("cutter", cutterOf(&p.Plan.Cutters[s.Cutter])), message.Said("depth", depthOf(s.Depth))).As("one_setup")
	}
	return said.With(message.Count("setups", l.Setups), message.Count("changes", l.CutterChanges)).As("setups")
}

// warned counts the warnings of all rows.
func (p *Job) warned() (n int) {
	for i := range p.Plan.Drawers {
		made := &p.Plan.Drawers[i]
		n += len(made.Warnings) + len(made.Front.Warnings) + len(made.Back.Warnings)
		for k := range made.Parts {
			n += len(made.Parts[k].Warnings)
		}
	}
	return n
}

// refusedSizes name what Value and Limit of each reason are.
var refusedSizes = [...][2]string{
	parts.ReasonNoRoom: {"left"}, parts.ReasonTooNarrow: {"left"}, parts.ReasonTooShort: {"left"},
	parts.ReasonLipTooThick: {"lip", "front"}, parts.ReasonGrooveOffBoard: {"reach", "end"},
	parts.ReasonGrooveThrough: {"depth", "thickness"}, parts.ReasonBottomLoose: {"clearance", "depth"},
	parts.ReasonBottomTooThick: {"thickness", "width"}, parts.ReasonHousingThrough: {"depth", "thickness"},
	parts.ReasonNoHalfPins: {"height", "pitch"}, parts.ReasonSidesTooHigh: {"height", "most"},
	parts.ReasonIntoLip: {"depth", "behind"}, parts.ReasonFiberboard: {},
}

// RefusalText says why drawers can't be made.
func (p *Job) RefusalText(made *parts.Made) message.Message {
	r := made.Refusal
	if made.Sawn.Given {
		return p.SawnText(&made.Sawn, r)
	}
	if r.Reason == parts.ReasonNoCutter {
		return p.noCutter(r)
	}
	said := message.New("drawer_refused." + codes.Refusals[r.Reason])
	for i, name := range refusedSizes[r.Reason] {
		if name != "" {
			said = said.With(message.Length(name, [...]length.Length{r.Value, r.Limit}[i]))
		}
	}
	switch r.Reason {
	case parts.ReasonGrooveThrough, parts.ReasonFiberboard:
		return said.With(part(r.Part))
	case parts.ReasonSidesTooHigh:
		return said.As(codes.DrawerParts[r.Part])
	case parts.ReasonIntoLip:
		return said.With(message.Said("cutter", cutterOf(&r.Cutter.Cutter)))
	}
	return said
}

func part(name parts.Name) message.Param {
	return message.Word("part", "drawer_part", codes.DrawerParts[name])
}

func atEnd(end parts.End) message.Param {
	return message.Word("end", "drawer_end", codes.Ends[end])
}

// noCutter tells of the cutter that misses by least.
func (p *Job) noCutter(r *parts.Refusal) message.Message {
	said := message.New("drawer_refused.no_cutter", atEnd(r.End))
	if p.Job.Cutters == nil && p.Job.Setup.Depth.PinBoard.Given {
		return said.With(message.Said("why", p.atDepth(&r.Cutter))).As("setup")
	}
	if len(p.Plan.Cutters) > 1 {
		said = said.With(message.Said("nearest", cutterOf(&r.Cutter.Cutter)))
	}
	return said.With(message.Said("why", p.WhyNot(&r.Cutter))).As("cutters")
}

// atDepth says what stands in the way of a depth that was asked for.
func (w Words) atDepth(r *recommend.Refusal) message.Message {
	said := message.New("drawer_at_depth", message.Length("depth", r.Depth))
	switch {
	case r.Obstacle == recommend.ObstacleTooShallow:
		return said.With(message.Length("least", recommend.LeastDepth)).As("too_shallow")
	case r.Obstacle == recommend.ObstacleImpossible:
		return Impossible(r.Impossible)
	case r.Limit.Code == joint.LimitLap:
		return said.With(message.Length("lap", r.Limit.Margin+joint.LeastLap), message.Length("least", joint.LeastLap)).As("lap")
	}
	return said.With(message.Said("broken", BrokenLimit(r.Limit))).As("limit")
}

// SawnText tells what becomes of sides that are already sawn.
func (p *Job) SawnText(s *parts.Sawn, refusal *parts.Refusal) message.Message {
	said := message.New("sides_sawn", message.Length("length", s.Length), message.Length("depth", s.Depth))
	if !s.Fits && s.ComesOutKnown {
		said = said.With(message.Length("comes_out", s.ComesOut))
	}
	switch {
	case s.Fits:
		return said.With(message.Length("play", s.Prediction.Fit.Play), message.Word("band", "band", codes.Bands[s.Prediction.Fit.Band])).As("fits")
	case s.Depth.Rounded() <= 0:
		return said.As("too_short")
	case refusal.Reason == parts.ReasonSawnPlay:
		return said.With(message.Length("play", refusal.Value), message.Length("limit", refusal.Limit)).As("play")
	case refusal.Reason == parts.ReasonIntoLip:
		return said.With(message.Length("behind", refusal.Limit)).As("into_lip")
	}
	return said.With(atEnd(refusal.End), message.Said("why", p.atDepth(&refusal.Cutter))).As("not_at")
}
