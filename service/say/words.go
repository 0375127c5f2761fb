// Package say holds every sentence that people read about joints, wood and
// drawers: the domain answers with codes and numbers, and knows no sentence.
//
//	words.go      lengths, chances, fits, limits, cautions, refusals
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
	"snugtail/service/codes"
)

// Words writes sentences with lengths in the request's unit.
type Words struct {
	Unit length.Unit
	// AdjusterStep is the least change of depth that the router can set, 0 where
	// that is not known.
	AdjusterStep length.Length
	// Wanted are the members of the answer that are wanted; nil wants all. What is
	// not wanted is not put into words.
	Wanted map[string]bool
	// KnownSteps: the depths that can be set are known, so what is told to set is
	// one of them, and written as it is.
	KnownSteps bool
	// Guide is what runs along the template.
	Guide joint.BushingKind
}

// Wants is whether a member of the answer, of this name at any depth, is wanted.
func (w Words) Wants(member string) bool { return w.Wanted == nil || w.Wanted[member] }

// Text is the text of a length in JSON, which can be posted back as it is.
func (w Words) Text(x length.Length) string { return x.Text(w.Unit) }

// Precise prints what is read by a caliper, such as plays, gaps and margins:
// decimals in either unit.
func (w Words) Precise(x length.Length) string { return x.Decimal(w.Unit) }

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

// limitTexts say what a limit keeps, what breaks it, and what it needs to be known.
var limitTexts = [...]struct{ subject, broken, needs string }{
	joint.LimitLap:              {"wood left in front of the socket (lap), at least 1/8 in", "the front is left too thin", "the pin board's thickness"},
	joint.LimitFlareInTemplate:  {"the cutter's flare clear of the template above the wood", "the flare would cut into the template", ""},
	joint.LimitCutterInBushing:  {"cutter and neck clear of the bushing's bore", "the cutter would touch the bushing", "bore and barrel of the bushing, thickness of the template, cutting length and neck or shank of the cutter"},
	joint.LimitCuttingLength:    {"depth within the cutting length", "the cutting edges are too short", "the cutter's cutting length"},
	joint.LimitBarrelAboveWood:  {"the bushing's barrel ends above the wood", "the barrel would rub on the wood", "the bushing's barrel and the template's thickness"},
	joint.LimitColletGrip:       {"at least 20 mm of shank in the collet", "too little shank is held", "overall length of the cutter, collet height of the router and thickness of the template"},
	joint.LimitGrooveDepth:      {"the groove no deeper than the cut", "the groove shows as a notch under the tail", "the groove's depth"},
	joint.LimitPinRoot:          {"at least 3 mm of wood at the pin's root", "the pins are too weak at their root", "the template's openings"},
	joint.LimitTailRoot:         {"at least 3 mm of wood at the tail's root", "the tails are too weak at their root", "the template's openings"},
	joint.LimitEdgePin:          {"at least 3 mm in the pin at the edge", "the pin at the edge is too weak", "the template's openings"},
	joint.LimitTailBoardCleared: {"one pass clears the whole tail board", "a ridge stays on the tail board's outside and holds the joint open; cut it away in front", "the tail board's thickness and the template's finger reach"},
	joint.LimitStraightFinger:   {"fingers with a straight side", "the template's fingers have no straight side left", "opening reach and finger reach of the template"},

	joint.LimitTailLeft:            {"enough of a tail left at its root", "too little of the tails is left at their root", "the template's finger reach"},
	joint.LimitTailEnters:          {"the tails in between the pins", "the tails don't go in far enough between the pins", "opening reach and finger reach of the template"},
	joint.LimitStraightFlank:       {"straight flank beside straight flank", "too little straight flank lies beside straight flank", "opening reach and finger reach of the template"},
	joint.LimitSeats:               {"the tail board not proud by more than 1 mm", "the tail board stands proud by more than can be planed away", "opening reach and finger reach of the template"},
	joint.LimitPinsReachEnd:        {"pins that reach the pin board's end", "the pins stop short of the pin board's end", "the template's finger reach"},
	joint.LimitSocketsBreakThrough: {"pin sockets open in the tail board's outside face", "the pin sockets don't open in the tail board's outside face: a bridge stays there, and what closes is another joint than the usual half-blind one", "the template's opening reach"},
	joint.LimitBearingOnTemplate:   {"a bearing that runs on the template, clear of the wood", "the bearing would leave the template or meet the wood", "the cutter's cutting length and the template's thickness"},
}

func (w Words) Limit(l *joint.Limit) string {
	if !w.Wants("text") {
		return ""
	}
	text := limitTexts[l.Code]
	switch {
	case !l.Known:
		return "Not known: needs " + text.needs + "."
	case l.OK():
		return "Kept, " + w.about(l.Margin) + " to spare: " + text.subject + "."
	}
	return "Broken by " + w.about(-l.Margin) + ": " + text.broken + "."
}

// brokenLimit is the half sentence on a limit in the way.
func (w Words) brokenLimit(l joint.Limit) string {
	return fmt.Sprintf("%s (%s past the limit)", limitTexts[l.Code].broken, w.about(-l.Margin))
}

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
	return w.fitText(p, best, w.betterDepth(p, best))
}

// FitDrawn is FitSummary of the joint as it is drawn: it names no other depth.
func (w Words) FitDrawn(p *joint.Prediction) string { return w.fitText(p, nil, "") }

// fitText says how the joint fits; depth is what it says of another one.
func (w Words) fitText(p *joint.Prediction, best *setting.Best, depth string) string {
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
	text += depth
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

// Impossible is the reason, in terms of wood and tool.
func (w Words) Impossible(e *joint.Impossible) string {
	value, limit := w.Size(length.Length(e.Value)), w.Size(length.Length(e.Limit))
	switch e.Reason {
	case joint.ReasonThroughPinBoard:
		return fmt.Sprintf("%s deep in a pin board %s thick: the sockets would come out at the drawer's face. Cut shallower or use a thicker board.", value, limit)
	case joint.ReasonCutterRunsOut:
		return fmt.Sprintf("%s deep: at %s the cutter's cone has run out to nothing. Check its diameter, its angle (one side, from the axis) and the depth.", value, limit)
	case joint.ReasonBushingTooWide:
		return fmt.Sprintf("A bushing of %[2]s doesn't go into an opening of %[1]s.", value, limit)
	case joint.ReasonPitchTooWide:
		return fmt.Sprintf("A pitch of %s is more than %d openings: one pass then cuts pins and sockets that never meet. Measure from one side of a finger to the same side of the next, and the opening between two.", value, joint.MostOpenings)
	case joint.ReasonPitchesDiffer:
		return fmt.Sprintf("Opening and finger of the pin pass make a pitch of %s, those of the tail pass %s: tails and sockets would not line up.", w.about(length.Length(e.Value)), w.about(length.Length(e.Limit)))
	case joint.ReasonNoPinLeft:
		return fmt.Sprintf("The cutter leaves no pin: %s at its root. A narrower cutter or a wider bushing leaves more.", value)
	case joint.ReasonNoTailLeft:
		return fmt.Sprintf("The cutter leaves no tail: %s at its root. A narrower cutter or a wider bushing leaves more.", value)
	}
	return "No such joint can be cut."
}

const (
	NotALength        = "Write a length with its unit, such as 7/16 in, 0.4375 in or 11.1 mm."
	TemplateMissing   = "Say what guides the bushing: a template of kind one_piece, two_position, allowance or proven."
	TemplateTwice     = "Give the template or the record of an earlier session with it, not both."
	RecordDamaged     = "The record is damaged: its checksum does not match. Post it back exactly as it was answered."
	RecordVersion     = "Records of this version are not read here; this service writes version 1."
	FeelOpen          = "A joint that felt like this does not tell how tight it was. Use slides_free, hand_pressure, light_taps or hard_blows."
	CutterIncomplete  = "A cutter needs its diameter and its angle, or else only the id of a built-in one (GET /v1/cutters)."
	BushingIncomplete = "A bushing needs its diameter, or else only the id of a built-in one (GET /v1/bushings)."
	BearingHasNone    = "A bearing on the cutter's shank has neither bore nor barrel, and its axis is the cutter's: leave this out, or say kind bushing."
	BushingMissing    = "Say which bushing is in the router, or which to choose from: bushings or all_bushings."
	BushingsTwice     = "Give bushings or all_bushings, not both."
)

// NamedTwice is for a list of the operator's.
func NamedTwice(name string) string {
	return "Another one before it is called " + strconv.Quote(name) + " too."
}

// NotLength says why a text is no length.
func NotLength(e *length.ParseError) string {
	switch e.Code {
	case length.CodeEmpty:
		return "Nothing is written. " + NotALength
	case length.CodeComma:
		return fmt.Sprintf("%q: write decimals with a point.", e.Text)
	case length.CodeUnitUnknown:
		return fmt.Sprintf("%q: the unit %q is not known; use mm, cm, in or thou.", e.Text, e.Unknown)
	case length.CodeFractionNeedsInch:
		return fmt.Sprintf("%q: fractions are of inches; write the unit, such as 7/16 in.", e.Text)
	case length.CodeZeroDenominator:
		return fmt.Sprintf("%q: nothing can be divided by 0.", e.Text)
	case length.CodeTolerance:
		return fmt.Sprintf("%q: after +/- write a tolerance of 0 or more, such as 0.500 +/- 0.002 in.", e.Text)
	case length.CodeRange:
		return fmt.Sprintf("%q is a range. Write its middle and half of its width as a tolerance: %s.", e.Text, e.Instead)
	case length.CodeTooLong:
		return "A length is at most 64 characters long."
	}
	return fmt.Sprintf("%q is not a length. %s", e.Text, NotALength)
}

func (w Words) OutOfRange(l, least, most length.Length) string {
	return fmt.Sprintf("%s is out of range: it must be %s to %s.", w.Precise(l), w.Precise(least), w.Precise(most))
}

func (w Words) TargetOutside(t joint.Target) string {
	return fmt.Sprintf("The play wanted, %s, must lie between from, %s, and to, %s.", w.Precise(t.Play), w.Precise(t.From), w.Precise(t.To))
}

// Cautions.

// Caution is a warning by its code.
func Caution(code string) string { return cautionTexts[code] }

var cautionTexts = map[string]string{
	"power_off":                 "Switch the router off and unplug it before you touch, change or measure cutter or bushing.",
	"never_lift_running_router": "Never lift the router out of the template while the cutter turns: a cutter wider than its bushing cuts template and bushing. Let the cutter stop, then draw the router straight out.",
	"score_and_back_up":         "Score the tail board's front first with a climbing pass, right to left, no deeper than 1 mm a bite, both hands on the router: it pulls itself along there. Then cut from left to right, boards clamped, and back up the side where the cutter comes out.",
	"speed_for_width":           "Run a wide cutter slower: never faster than the cutter and the tool are marked for.",
	"blow_out_chips":            "Blow the chips out from under template, stops and router base before every cut.",
	"same_face_to_stop":         "Mark the boards: the same face and the same edge go to the stop every time.",
	"test_in_scrap":             "Try every change in scrap of the same wood and thickness before you cut drawer parts.",
	"eyes_ears_dust":            "Wear eye and ear protection and extract the dust.",
	"own_instructions_first":    "The instructions of router, cutter and template, local rules and qualified supervision come before anything said here.",
	"fresh_boards":              "Wood can't be put back: take fresh test boards for a deeper cut.",
	"thin_lap":                  "The lap is thin: clamp well, cut in light passes and look for the socket showing through.",
	"sides_last":                "Saw the sides to length only when the test joint fits: every 0.1 mm that its depth has changed is 0.1 mm of side at each half-blind end.",
	"plywood_splinters":         "Plywood splinters where the cutter comes out, and its voids show in the tails: a sharp cutter, a scoring pass and a backing board.",
	"joint_not_checked":         "It was not checked whether the boards hold together at all: six limits, from tail_left to sockets_break_through, need the template's openings with opening_reach and finger_reach. Measure them.",
	"reaches_doubted":           "With its reaches as stated the template would leave no joint, yet you cut one: the reaches were ignored. Measure them again.",
	"estimate_only":             "Figures from feel alone are estimates: measure a gap or a width where you can.",
	"wood_averages":             "The figures are averages of clear, straight wood: single boards scatter by some 15 % of their movement, and a cupped or wild-grained board by more.",
}
