package say

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/joint/parts"
	"snugtail/joint/recommend"
	"snugtail/service/codes"
	"snugtail/service/spelling"
)

// What is told of drawers and their parts.

// Job tells of a job of drawers and how it is planned.
type Job struct {
	Words
	Job  *parts.Job
	Plan *parts.Plan
}

// Work says in words what is worked, and where.
func (w Words) Work(of *parts.Work) string {
	if !w.Wants("text") {
		return ""
	}
	depth := w.Setting(of.Depth)
	switch of.Code {
	case parts.Pins:
		return "pins at both ends, " + depth + " deep" + w.upTo(of)
	case parts.Tails:
		if of.At == parts.BackEnd {
			return "tails at the back end, " + depth + " long" + w.upTo(of)
		}
		return "tails at the front end, " + depth + " long"
	case parts.GrooveWork:
		return fmt.Sprintf("groove inside, %s from the bottom edge, %s wide, %s deep", w.Size(of.From), w.Size(of.Width), depth)
	case parts.HousingWork:
		return fmt.Sprintf("housing inside, %s from the back end, %s wide, %s deep", w.Size(of.From), w.Size(of.Width), depth)
	}
	return fmt.Sprintf("lip of %s %s: a rabbet inside, %s deep", w.Size(of.Width), lipTexts[of.At], depth)
}

// upTo says where pins or tails end below the board's upper edge.
func (w Words) upTo(of *parts.Work) string {
	if of.Width == 0 {
		return ""
	}
	return fmt.Sprintf(", only up to %s from the bottom edge", w.Size(of.From+of.Width))
}

var lipTexts = [...]string{
	parts.AllEdges: "all round", parts.EndsAndTop: "at both ends and the top", parts.BothEnds: "at both ends",
}

func (w Words) cutterText(c *joint.Cutter) string {
	text := fmt.Sprintf("%s cutter, %s", w.Size(c.Diameter.Length), angleText(c.Angle))
	if c.ID != "" {
		text += " (" + c.ID + ")"
	}
	return text
}

func (w Words) depthText(d joint.Depth) string {
	if d.PinBoard.Length == d.TailBoard.Length {
		return w.Setting(d.PinBoard.Length) + " deep"
	}
	return fmt.Sprintf("%s deep in fronts and backs, %s in sides", w.Setting(d.PinBoard.Length), w.Setting(d.TailBoard.Length))
}

func (p *Job) SetupText(i int) string {
	if !p.Wants("text") {
		return ""
	}
	s := &p.Plan.Setups[i]
	b := new(strings.Builder)
	cutter := p.Plan.Cutters[s.Cutter]
	fmt.Fprintf(b, "%s, %s", capital(p.cutterText(&cutter)), p.depthText(s.Depth))
	b.WriteString(p.stopsText(s.Stops))
	fmt.Fprintf(b, ": %s. The first joint fits with a chance of %s%s; expect %s.",
		spelling.Plural(s.Joints, "corner"), Percent(s.Prediction.Fit.InTarget), AsStated(&s.Prediction.Joint), testJoints(s.TestJoints))
	if s.Moved != nil {
		fmt.Fprintf(b, " %s.", capital(p.MovedText(s.Moved, s.Depth.PinBoard.Length, s.Prediction.Fit.Play)))
	}
	return b.String()
}

// stopsText says which stops are moved for lipped fronts, which way and by how
// much.
func (w Words) stopsText(s parts.Stops) string {
	if s.Lip <= 0 {
		return ""
	}
	lip := w.Size(s.Lip)
	text := fmt.Sprintf(", for fronts with a lip: each front %s further forward, towards you, than a front without one, so that the rabbet's shoulder stands where other fronts end", lip)
	if s.Side > 0 {
		return text + fmt.Sprintf("; the left side stop %s to the left and the right one %s to the right, since the lip runs along the bottom edge", w.Size(s.Side), w.Size(s.Side))
	}
	return text + "; the side stops stay where they are, since the bottom edge has no lip"
}

// testJoints writes an expectation to a tenth.
// testJoints writes how many test joints to expect, in whole ones.
func testJoints(n float64) string {
	const nearlyWhole = 0.1
	whole := math.Round(n)
	if math.Abs(n-whole) > nearlyWhole {
		return fmt.Sprintf("about %.0f or %.0f test joints", math.Floor(n), math.Ceil(n))
	}
	return "about " + spelling.Plural(int(whole), "test joint")
}

func (p *Job) Summary() string {
	if !p.Wants("summary") {
		return ""
	}
	l := &p.Plan.Labour
	refused := 0
	for i := range p.Plan.Drawers {
		if p.Plan.Drawers[i].Refusal != nil {
			refused += p.Job.Drawers[i].Count
		}
	}
	switch {
	case l.Drawers == 0 && refused == 1:
		return "This drawer can't be made; see below."
	case l.Drawers == 0:
		return fmt.Sprintf("None of the %s can be made; see below.", spelling.Plural(refused, "drawer"))
	}
	b := new(strings.Builder)
	fmt.Fprintf(b, "%s, %s", capital(spelling.Plural(l.Drawers, "drawer")), spelling.Plural(l.Parts, "part"))
	if l.Setups == 1 {
		s := &p.Plan.Setups[0]
		cutter := p.Plan.Cutters[s.Cutter]
		fmt.Fprintf(b, ", all cut with one set-up: %s, %s.", p.cutterText(&cutter), p.depthText(s.Depth))
	} else {
		fmt.Fprintf(b, ", cut with %s and %s of cutter.", spelling.Plural(l.Setups, "set-up"), spelling.Plural(l.CutterChanges, "change"))
	}
	fmt.Fprintf(b, " Expect %s.", testJoints(l.TestJoints))
	if refused > 0 {
		fmt.Fprintf(b, " %s can't be made; see below.", spelling.Plural(refused, "drawer"))
	}
	if n := p.warned(); n > 0 {
		fmt.Fprintf(b, " %s to put right first: see below.", spelling.Plural(n, "thing"))
	}
	return b.String()
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

func (p *Job) RefusalText(made *parts.Made) string {
	if !p.Wants("text") {
		return ""
	}
	r := made.Refusal
	if made.Sawn.Given {
		return p.SawnText(&made.Sawn, r)
	}
	value, limit := p.Size(r.Value), p.Size(r.Limit)
	switch r.Reason {
	case parts.ReasonNoRoom:
		return fmt.Sprintf("The allowance leaves %s of the opening: no drawer is as small as that.", value)
	case parts.ReasonTooNarrow:
		return fmt.Sprintf("Between the sides %s would be left: the drawer is too narrow for their thickness.", value)
	case parts.ReasonTooShort:
		return fmt.Sprintf("Between front and back %s would be left: the drawer is too short for their thickness.", value)
	case parts.ReasonLipTooThick:
		return fmt.Sprintf("A lip %s thick leaves nothing of a front %s thick behind it.", value, limit)
	case parts.ReasonNoGroove:
		return "A bottom needs the groove that holds it: give groove, or leave bottom out."
	case parts.ReasonGrooveOffBoard:
		return fmt.Sprintf("The groove would reach %s up, and the board ends at %s.", value, limit)
	case parts.ReasonGrooveThrough:
		return fmt.Sprintf("A groove %s deep goes through the %s, which is %s thick.", value, codes.DrawerParts[r.Part], limit)
	case parts.ReasonBottomLoose:
		return fmt.Sprintf("With %s left free in grooves %s deep nothing holds the bottom.", value, limit)
	case parts.ReasonBottomTooThick:
		return fmt.Sprintf("A bottom %s thick does not go into a groove %s wide.", value, limit)
	case parts.ReasonUnderPins:
		return "A half-blind back is as high as its sides: a bottom that is slid in under the back needs a back_joint of housed or butted."
	case parts.ReasonHousingThrough:
		return fmt.Sprintf("A housing %s deep goes through a side %s thick.", value, limit)
	case parts.ReasonNoHalfPins:
		return fmt.Sprintf("%s is less than one pitch of %s: no height below it ends in half pins.", value, limit)
	case parts.ReasonSidesTooHigh:
		if r.Part == parts.Back {
			return fmt.Sprintf("A back %s high does not stand behind sides that end at %s.", value, limit)
		}
		return fmt.Sprintf("Sides %s high do not go behind a front %s high.", value, limit)
	case parts.ReasonFiberboard:
		return fmt.Sprintf("No dovetail holds in fiberboard: it has no grain, and its core crumbles. Take solid wood or plywood for the %s; fiberboard serves as a bottom, or as a back between the sides.", partPlural(r.Part))
	case parts.ReasonIntoLip:
		return fmt.Sprintf("The %s fits at %s, deeper than the %s of wood behind the lip: it would cut into the lip. A thinner lip or a shallower joint makes room.",
			p.cutterText(&r.Cutter.Cutter), value, limit)
	}
	return p.noCutter(r)
}

// partPlural names a part as it is spoken of: sides come in twos.
func partPlural(part parts.Name) string {
	if part == parts.Side {
		return "sides"
	}
	return codes.DrawerParts[part]
}

// noCutter tells of the cutter that misses by least.
func (p *Job) noCutter(r *parts.Refusal) string {
	where := "At the " + codes.Ends[r.End]
	if p.Job.Cutters == nil && p.Job.Setup.Depth.PinBoard.Given {
		return fmt.Sprintf("%s the set-up does not serve: %s", where, p.atDepth(&r.Cutter))
	}
	intro := where + " no cutter at hand serves. "
	if len(p.Plan.Cutters) > 1 {
		intro += "Nearest is the " + p.cutterText(&r.Cutter.Cutter) + ". "
	}
	return intro + p.Text(p.WhyNot(&r.Cutter))
}

// atDepth says what stands in the way of a depth that was asked for.
func (w Words) atDepth(r *recommend.Refusal) string {
	switch r.Obstacle {
	case recommend.ObstacleTooShallow:
		return fmt.Sprintf("%s is too shallow: a joint less than %s deep doesn't hold.", w.Setting(r.Depth), w.Size(recommend.LeastDepth))
	case recommend.ObstacleImpossible:
		return w.Impossible(r.Impossible)
	}
	if r.Limit.Code == joint.LimitLap {
		return fmt.Sprintf("At %s deep %s of lap is left in front of the tails: it takes at least %s.",
			w.Setting(r.Depth), w.about(r.Limit.Margin+joint.LeastLap), w.Size(joint.LeastLap))
	}
	return fmt.Sprintf("at a depth of %s %s.", w.Setting(r.Depth), w.brokenLimit(r.Limit))
}

// SawnText tells what becomes of sides that are already sawn.
func (p *Job) SawnText(s *parts.Sawn, refusal *parts.Refusal) string {
	if !p.Wants("text") {
		return ""
	}
	b := new(strings.Builder)
	fmt.Fprintf(b, "Sides sawn %s long need a depth of cut of %s for the drawer to come out at its size", p.Board(s.Length), p.Setting(s.Depth))
	switch {
	case s.Fits:
		fmt.Fprintf(b, "; that fits: play %s, %s.", p.about(s.Prediction.Fit.Play), p.Of("band."+codes.Bands[s.Prediction.Fit.Band]))
	case s.Depth.Rounded() <= 0:
		b.WriteString("; they are too short for any.")
	case refusal.Reason == parts.ReasonSawnPlay:
		fmt.Fprintf(b, "; that does not fit: play %s, beyond %s.", p.about(refusal.Value), p.about(refusal.Limit))
	case refusal.Reason == parts.ReasonIntoLip:
		fmt.Fprintf(b, "; but only %s of wood are behind the lip.", p.Size(refusal.Limit))
	default:
		fmt.Fprintf(b, ". At the %s: %s", codes.Ends[refusal.End], p.atDepth(&refusal.Cutter))
	}
	if !s.Fits && s.ComesOutKnown {
		fmt.Fprintf(b, " Cut as deep as fits, the drawer comes out %s deep, front to back.", p.Board(s.ComesOut))
	}
	return b.String()
}

// HoursText writes hours to a tenth.
func HoursText(hours float64) string { return strconv.FormatFloat(hours, 'f', 1, 64) + " h" }

// MetresText writes a long length in the request's larger unit.
func (w Words) MetresText(metres, feet float64) string {
	if w.Unit == length.UnitInch {
		return strconv.FormatFloat(feet, 'f', 1, 64) + " ft"
	}
	return strconv.FormatFloat(metres, 'f', 1, 64) + " m"
}
