// Package say holds every sentence that people read about joints, wood and
// drawers: the domain answers with codes and numbers, and knows no sentence.
//
//	words.go      limits, cautions, refusals
//	fits.go       how a joint fits, and what would fit better
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
	"snugtail/joint/length"
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

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

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
