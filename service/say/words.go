// Package say picks what is told to people about joints, wood and drawers: the
// domain answers with codes and numbers, this makes messages of them, and the
// catalogues of package message hold their sentences.
//
//	words.go      limits and cautions
//	fits.go       how a joint fits, and what would fit better
//	refusals.go   requests that get no answer
//	advice.go     what to do next, and doubts
//	heard.go      what was told
//	steps.go      what is done, and what for
//	causes.go     what may be wrong, and what was seen
//	checks.go     how to look, and what that may show
//	pairs.go      which cutter with which bushing
//	boards.go     boards whose thickness varies
//	run.go        a run of joints
//	setting.go    how a depth is set
//	figures.go    lengths that people reckon in
//	guide.go      a bearing instead of a bushing
//	effort.go     how hard a joint is to close
//	species.go    what is noted of the figures of the wood table
//	layout.go, drawers.go, warnings.go, movement.go
//	drawing.go, sheet.go    what stands on paper
//
// It knows the domain and the names of its codes, and neither requests nor answers.
package say

import (
	"snugtail/joint"
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
}

// Wants is whether a member of the answer, of this name at any depth, is wanted.
func (w Words) Wants(member string) bool { return w.Wanted == nil || w.Wanted[member] }

// Limit says that a limit is kept, or broken, or not known.
func (w Words) Limit(l *joint.Limit) message.Message {
	code := codes.Limits[l.Code]
	switch {
	case !l.Known:
		return message.New("limit", message.Word("limit", "limit_needs", code).Beside()).As("unknown")
	case l.OK():
		params := make([]message.Param, 0, 3)
		params = appendLeast(params, l.Code)
		params = append(params, message.Word("limit", "limit_keeps", code).Beside(), message.Length("margin", l.Margin).Beside())
		return message.New("limit", params...).As("kept")
	}
	return message.New("limit", message.Word("limit", "limit_broken", code).Beside(), message.Length("by", -l.Margin)).As("broken")
}

// appendLeast adds what a limit asks for at least, where its sentence names that.
func appendLeast(to []message.Param, code joint.LimitCode) []message.Param {
	switch code {
	case joint.LimitLap:
		return append(to, message.Length("least", joint.LeastLap))
	case joint.LimitColletGrip:
		return append(to, message.Length("least", joint.LeastColletGrip))
	case joint.LimitPinRoot, joint.LimitTailRoot, joint.LimitEdgePin:
		return append(to, message.Length("least", joint.LeastRoot))
	case joint.LimitSeats:
		return append(to, message.Length("most", joint.MostProud))
	}
	return to
}

// BrokenLimit is half a sentence on a limit in the way.
func BrokenLimit(l joint.Limit) message.Message {
	return message.New("limit_past", message.Word("limit", "limit_broken", codes.Limits[l.Code]), message.Length("by", -l.Margin))
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

// Operation is the question that an operation of the contract answers, by its id.
func Operation(id string) message.Message { return message.New("operation").As(id) }
