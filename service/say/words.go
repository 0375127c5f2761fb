// Package say holds every sentence that people read about joints, wood and
// drawers: the domain answers with codes and numbers, and knows no sentence.
//
//	words.go      lengths, chances, fits, limits, cautions
//	refusals.go   requests that get no answer
//	advice.go     what to do next, doubts, what was heard
//	steps.go      what is done, and what for
//	causes.go     what may be wrong, and what was seen
//	checks.go     how to look, and what that may show
//	pairs.go      which cutter with which bushing
//	boards.go     boards whose thickness varies
//	run.go        a run of joints
//	setting.go    how a depth is set
//	figures.go    lengths as people set and read them
//	guide.go      a bearing instead of a bushing
//	effort.go     how hard a joint is to close
//	layout.go, drawers.go, wood.go
//	drawing.go, sheet.go    what stands on paper
//
// It knows the domain and the names of its codes, and neither requests nor answers.
package say

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"snugtail/joint"
	"snugtail/joint/advise"
	"snugtail/joint/length"
	"snugtail/joint/setting"
	"snugtail/joint/wood"
	"snugtail/service/codes"
	"snugtail/service/message"
)

// Words says what is to be said in the language and the unit of a request.
type Words struct {
	message.Printer
	// Wanted are the members of the answer that are wanted; nil wants all. What is
	// not wanted is not put into words.
	Wanted map[string]bool
	// Guide is what runs along the template.
	Guide joint.BushingKind
}

// Wants is whether a member of the answer, of this name at any depth, is wanted.
func (w Words) Wants(member string) bool { return w.Wanted == nil || w.Wanted[member] }

func angleText(a joint.Angle) string {
	return strconv.FormatFloat(math.Round(float64(a)*10)/10, 'f', -1, 64) + " deg"
}

// Percent writes a probability, never promising certainty.
func Percent(p float64) string {
	switch {
	case p < 0.01:
		return "under 1 %"
	case p > 0.99:
		return "over 99 %"
	}
	return strconv.Itoa(int(math.Round(100*p))) + " %"
}

// bandNames name bands within a sentence.
var bandNames = [...]string{
	joint.WillNotClose: "not closing at all", joint.Tight: "tight", joint.HandFit: "a hand fit",
	joint.Loose: "loose", joint.TooLoose: "too loose", joint.NoJoint: "no joint",
}

// bandTexts name the likeliest band, and say how it closes.
var bandTexts = [...]struct{ name, how string }{
	joint.WillNotClose: {"it will not close", ""},
	joint.Tight:        {"tight", ", needing blows or a clamp"},
	joint.HandFit:      {"a hand fit", ", closing by hand or with light taps"},
	joint.Loose:        {"loose", ""},
	joint.TooLoose:     {"too loose", ""},
	joint.NoJoint:      {"no joint, whatever its play", ""},
}

// Limit says that a limit is kept, or broken, or not known.
func (w Words) Limit(l *joint.Limit) message.Message {
	code := codes.Limits[l.Code]
	switch {
	case !l.Known:
		return message.New("limit", message.Word("limit", "limit_needs", code).Beside()).In("unknown")
	case l.OK():
		return message.New("limit", append(leastOf(l.Code), message.Word("limit", "limit_keeps", code).Beside(), message.Length("margin", l.Margin).Beside())...).In("kept")
	}
	return message.New("limit", message.Word("limit", "limit_broken", code).Beside(), message.Length("by", -l.Margin)).In("broken")
}

// leastOf is what a limit asks for at least, where its sentence names that.
func leastOf(code joint.LimitCode) []message.Param {
	switch code {
	case joint.LimitLap:
		return []message.Param{message.Length("least", joint.LeastLap)}
	case joint.LimitColletGrip:
		return []message.Param{message.Length("least", joint.LeastColletGrip)}
	case joint.LimitPinRoot, joint.LimitTailRoot, joint.LimitEdgePin:
		return []message.Param{message.Length("least", joint.LeastRoot)}
	case joint.LimitSeats:
		return []message.Param{message.Length("most", joint.MostProud)}
	}
	return nil
}

// BrokenLimit is half a sentence on a limit in the way.
func BrokenLimit(l joint.Limit) message.Message {
	return message.New("limit_past", message.Word("limit", "limit_broken", codes.Limits[l.Code]), message.Length("by", -l.Margin))
}

// brokenLimit is the same, put into words.
func (w Words) brokenLimit(l joint.Limit) string { return w.Text(BrokenLimit(l)) }

var measureTexts = [...]string{
	joint.SourceBushing:  "the guide bushing's (guide bush's) outside diameter with a caliper",
	joint.SourceCutter:   "the cutter's (bit's) diameter at its tip, the widest place, with a caliper",
	joint.SourceAngle:    "the cutter's angle: cut one slot in scrap and measure it at floor and face",
	joint.SourceTemplate: "the template's openings and fingers with a caliper",
	joint.SourceDepth:    "the depth in the wood of a scrap cut, not at the router",
}

func (w Words) MeasureText(g joint.Gain) string {
	if !w.Wants("text") {
		return ""
	}
	return "Measure " + w.guided(measureTexts[g.Source]) + ": the chance of a first-time fit rises by about " +
		strconv.Itoa(int(math.Round(100*g.Rise))) + " points."
}

func (w Words) seat(s joint.Seat) string {
	switch codes.Seat(s) {
	case "inside":
		return "the side ends " + w.about(s.Offset) + " inside (recessed)"
	case "proud":
		return "the side stands " + w.about(-s.Offset) + " proud"
	case "flush":
		return "the side ends flush"
	}
	return ""
}

// shortTexts say why there is no joint, and which length is short.
var shortTexts = map[joint.LimitCode][2]string{
	joint.LimitTailLeft:      {"the tails are cut away", "what is left of a tail at its root"},
	joint.LimitTailEnters:    {"the tails stand on the pin board's end and do not go in", "how deep they go in"},
	joint.LimitStraightFlank: {"only rounded ends would touch, no straight flank lies beside another", "the straight flank"},
}

// NoJoint says why there is no joint at all, by how much, and what would help.
func (w Words) NoJoint(s *joint.Shortfall) string {
	text := shortTexts[s.Limit]
	said := fmt.Sprintf("No joint at any depth: %s (%s is short by %s).", text[0], text[1], w.about(s.By))
	var lacking []string
	for _, r := range []struct {
		name  string
		short length.Length
	}{{"fingers", s.FingerReach}, {"openings", s.OpeningReach}} {
		if r.short.Rounded() > 0 {
			lacking = append(lacking, fmt.Sprintf("the %s have to reach %s further", r.name, w.about(r.short)))
		}
	}
	if len(lacking) == 0 {
		return said + " The template's fingers have to reach further for this cutter and bushing. Measure the reaches; as stated, you need another template."
	}
	return said + " On the template " + strings.Join(lacking, ", and ") + ", and more for a joint that holds: measure the reaches; if they are as stated, move the template or use another."
}

// noJointSummary is said instead of band, chance and depth.
func (w Words) noJointSummary(f *joint.Fit) string {
	text := w.NoJoint(&f.Shortfall)
	if seat := w.seat(f.Seat); seat != "" {
		text += " Pushed together, " + seat + "."
	}
	return text + " Play, and a depth for it, mean nothing here: do not cut."
}

// Likely says which band is the likeliest, or between which it is a toss-up.
func (w Words) Likely(f *joint.Fit) string {
	bands := f.Likeliest()
	if len(bands) == 1 {
		return fmt.Sprintf("most likely %s (%s)%s", bandTexts[bands[0]].name, Percent(f.Probability[bands[0]]), bandTexts[bands[0]].how)
	}
	named := make([]string, len(bands))
	for i, b := range bands {
		named[i] = fmt.Sprintf("%s (%s)", bandNames[b], Percent(f.Probability[b]))
	}
	last := len(named) - 1
	return "a toss-up between " + strings.Join(named[:last], ", ") + " and " + named[last]
}

// FitSummary says how it fits; best is the depth to set instead, nil where none is
// advised.
func (w Words) FitSummary(p *joint.Prediction, best *setting.Best) string {
	if !w.Wants("summary") {
		return ""
	}
	f := &p.Fit
	if f.Shortfall.NoJoint {
		return w.noJointSummary(f)
	}
	text := capital(w.Likely(f)) + ": play " + w.about(f.Play) +
		" (95 % between " + w.about(f.Low) + " and " + w.about(f.High) + "). " +
		"Chance that the first joint fits: " + Percent(f.InTarget) + AsStated(&p.Joint) + "."
	if seat := w.seat(f.Seat); seat != "" {
		text += " Slid home, " + seat + "."
	}
	l, broken := p.Limits.Broken()
	elsewhere := best != nil && Better(p, best)
	if broken && elsewhere {
		text += " Do not cut at the depth as set: " + w.brokenLimit(l) + "."
	}
	text += w.betterDepth(p, best)
	if gap := f.ShoulderGap; gap > 0 {
		text += " The tails are cut deeper than their sockets: the shoulder stays " + w.about(gap) + " open."
	}
	if gap := f.FloorGap; gap > 0 {
		text += " The sockets are cut deeper than the tails: " + w.about(gap) + " stays hidden at the floor."
	}
	if codes.Glue(f.Play) == "not_bridged" {
		text += " Glue will not bridge that."
	}
	if broken && !elsewhere {
		text += " Do not cut yet: " + w.brokenLimit(l) + "."
	}
	return text
}

// AsStated goes with a chance that rests on the sizes as stated: a correction of
// the same set-up doubts its labels, and says less.
func AsStated(j *joint.Joint) string {
	if setup := j.Setup(); setup.Offset.Known {
		return "" // learned of test joints
	}
	return ", if every size is as stated"
}

// worthTelling is the rise of the chance from which another depth is named.
// Judgement.
const worthTelling = 0.01

// betterDepth names the depth to set, where it is another than the one asked
// about.
func (w Words) betterDepth(p *joint.Prediction, best *setting.Best) string {
	now := p.Joint.Setup().Depth.Deeper().Length
	if best == nil {
		if change := p.DepthForTarget - now; math.Abs(change.MM()) > advise.SameSetting {
			return " The depth for the target is " + w.Setting(p.DepthForTarget) + ", " + w.Turn(max(change, -change)) + " " + deeperOrShallower(change) + w.andBroken(p) + "."
		}
		return ""
	}
	if !Better(p, best) {
		return ""
	}
	depth := best.Setting.Depth
	change := depth - now
	return fmt.Sprintf(" The best depth to set is %s, %s %s: there the first joint fits with a chance of %s.",
		w.Setting(depth), w.Turn(max(change, -change)), deeperOrShallower(change), Percent(best.Chance))
}

// Better is whether another depth than the one asked about is worth setting.
func Better(p *joint.Prediction, best *setting.Best) bool {
	change := best.Setting.Depth - p.Joint.Setup().Depth.Deeper().Length
	_, broken := p.Limits.Broken()
	return math.Abs(change.MM()) > advise.SameSetting && (broken || best.Chance >= p.Fit.InTarget+worthTelling)
}

// andBroken says which limit the depth for the target would break, "" for none.
func (w Words) andBroken(p *joint.Prediction) string {
	at := p.AtTarget()
	limits := at.Limits()
	if l, broken := limits.Furthest(); broken {
		return ", but there " + w.brokenLimit(l)
	}
	return ""
}

func deeperOrShallower(change length.Length) string {
	if change < 0 {
		return "shallower"
	}
	return "deeper"
}

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

func (w Words) Regrind(g advise.Regrind) string {
	if !w.Wants("text") {
		return ""
	}
	if g.Finished {
		return "This cutter is finished: below " + w.about(g.FinishedBelow) + " its flare meets the template at the depth that fits."
	}
	return "Every " + w.about(tenth) + " of diameter lost to grinding asks for " + w.about(g.DepthPerTenth) + " less depth. Below " +
		w.about(g.FinishedBelow) + " the cutter is finished: its flare meets the template at the depth that fits."
}

// Caution is a warning by its code.
func Caution(code string) message.Message {
	m := message.New("caution." + code)
	switch code {
	case "score_and_back_up":
		return m.With(message.Length("bite", climbingBite))
	case "wood_averages":
		return m.With(message.Chance("scatter", wood.ShrinkageScatter))
	}
	return m
}

// climbingBite is how deep one climbing pass may cut, mm. Judgement.
const climbingBite = 1
