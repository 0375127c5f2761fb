package say

import (
	"math"
	"sync"

	"snugtail/joint"
	"snugtail/joint/layout"
	"snugtail/joint/length"
	"snugtail/joint/stock"
	"snugtail/joint/wood"
	"snugtail/service/message"
	"snugtail/service/spelling"
)

// What is told of requests that get no answer: each is what is wrong with a field,
// "field.CODE.STATE" by the code that the answer gives to it.

// mm is a length that the domain gives as a number.
func mm(name string, x float64) message.Param { return message.Length(name, length.Length(x)) }

// Impossible is the reason, in terms of wood and tool.
func Impossible(e *joint.Impossible) message.Message {
	m := message.New("field.impossible").As(string(e.Reason))
	switch e.Reason {
	case joint.ReasonThroughPinBoard:
		return m.With(mm("depth", e.Value), mm("thickness", e.Limit))
	case joint.ReasonCutterRunsOut:
		return m.With(mm("depth", e.Value), mm("end", e.Limit))
	case joint.ReasonBushingTooWide:
		return m.With(mm("bushing", e.Limit), mm("opening", e.Value))
	case joint.ReasonPitchTooWide:
		return m.With(mm("pitch", e.Value), message.Count("openings", joint.MostOpenings))
	case joint.ReasonPitchesDiffer:
		return m.With(mm("pin_pitch", e.Value), mm("tail_pitch", e.Limit))
	}
	return m.With(mm("left", e.Value)) // no pin or no tail is left
}

// lengthExamples are lengths as they may be written.
var lengthExamples = message.Names("examples", "7/16 in", "0.4375 in", "11.1 mm")

// NotLength says why a text is no length.
func NotLength(e *length.ParseError) message.Message {
	m := message.New("field.not_a_length", message.Name("text", spelling.Escaped(e.Text)))
	switch e.Code {
	case length.CodeComma, length.CodeZeroDenominator:
		return m.As(e.Code)
	case length.CodeUnitUnknown:
		return message.New("field.unit_unknown", m.Params[0], message.Name("unit", spelling.Escaped(e.Unknown)))
	case length.CodeFractionNeedsInch:
		return m.With(message.Name("example", "7/16 in")).As(e.Code)
	case length.CodeTolerance:
		return m.With(message.Name("example", "0.500 +/- 0.002 in")).As(e.Code)
	case length.CodeRange:
		return m.With(message.Name("instead", e.Instead)).As(e.Code)
	case length.CodeTooLong:
		return message.New("field.too_long", message.Count("most", length.MaxTextLength)).As("length")
	}
	return m.With(lengthExamples).As("text")
}

// OutOfRange says within what a length must be.
func OutOfRange(l, least, most length.Length) message.Message {
	return message.New("field.out_of_range", message.Length("value", l), message.Length("least", least), message.Length("most", most)).As("length")
}

// TargetOutside is for a target beyond its own range.
func TargetOutside(t joint.Target) message.Message {
	return message.New("field.conflict", message.Length("play", t.Play), message.Length("from", t.From), message.Length("to", t.To)).As("target_outside")
}

// NamedTwice is for a list of the operator's.
func NamedTwice(name string) message.Message {
	return message.New("field.conflict", message.Name("name", spelling.Escaped(name))).As("named_twice")
}

// SpeciesUnknown says which wood may be meant.
func SpeciesUnknown(id string) message.Message {
	m := message.New("field.unknown_id", message.Name("id", spelling.Escaped(spelling.Brief(id)))).As("species")
	alike := wood.Alike(id)
	if len(alike) == 1 {
		return m.With(message.Name("near", alike[0]))
	}
	return m.With(message.Given(message.Names("alike", alike...))...)
}

// StockUnknown says which stock of a request may be meant.
func StockUnknown(id string, known []string) message.Message {
	return unknownID("stock", spelling.Brief(id), spelling.Escaped(spelling.Nearest(id, known)))
}

// CutterIDUnknown and BushingIDUnknown say which built-in id may be meant.
func CutterIDUnknown(id string) message.Message {
	return unknownID("cutter", id, spelling.Nearest(id, cutterIDs())).With(message.Name("list", ListCutters))
}

func BushingIDUnknown(id string) message.Message {
	return unknownID("bushing", id, spelling.Nearest(id, bushingIDs())).With(message.Name("list", ListBushings))
}

func unknownID(state, id, near string) message.Message {
	return message.New("field.unknown_id", message.Name("id", spelling.Escaped(id))).With(message.Given(message.Name("near", near))...).As(state)
}

// Where the built-in things are listed.
const (
	ListCutters  = "GET /v1/cutters"
	ListBushings = "GET /v1/bushings"
	ListSpecies  = "GET /v1/species"
)

// cutterIDs and bushingIDs are the ids of the built-in ones, for "did you mean".
var (
	cutterIDs = sync.OnceValue(func() []string {
		all := stock.Cutters()
		ids := make([]string, len(all))
		for i := range all {
			ids[i] = all[i].ID
		}
		return ids
	})
	bushingIDs = sync.OnceValue(func() []string {
		all := stock.Bushings()
		ids := make([]string, len(all))
		for i := range all {
			ids[i] = all[i].ID
		}
		return ids
	})
)

// Refused says why a plan can't be laid out.
func Refused(e *layout.Refused) message.Message {
	m := message.New("field.conflict").As(string(e.Reason))
	switch e.Reason {
	case layout.ReasonOpeningsUnknown, layout.ReasonOnePass:
		return m
	case layout.ReasonSpacingReversed:
		return m.With(mm("from", e.Value), mm("to", e.Limit))
	case layout.ReasonTooManyPitches:
		return message.New("field.out_of_range", message.Number("pitches", math.Round(e.Value)), message.Count("most", layout.MostPitches)).As("pitches")
	case layout.ReasonOffBoard:
		return m.With(mm("end", e.Value), mm("width", e.Limit))
	}
	return message.New("field.out_of_range", message.Number("least", 0)).As("above") // the contract refuses it first
}

// TooClose is for pitches of which the least leaves no joint.
func TooClose(e *layout.TooClose) message.Message {
	return message.New("field.impossible", mm("pitch", e.Pitch), message.Said("reason", Impossible(e.Impossible))).As("too_close")
}

// OpeningTooLow is for an opening that no drawer with half pins goes into.
func OpeningTooLow(p *layout.Plan) message.Message {
	least := p.Spacing.Least
	if !p.Spacing.Free() {
		least = p.Setup.Template.Pitch.Length
	}
	return message.New("field.out_of_range", message.Length("pitch", least)).As("opening_too_low")
}

// TooManyPieces is told where a sheet would list each piece of a job too large.
func TooManyPieces(n, most int) message.Message {
	return message.New("field.out_of_range", message.Count("pieces", n), message.Count("most", most)).As("pieces")
}

// Outside says what range a quantity is outside of.
func Outside(e *wood.RangeError) message.Message {
	switch {
	case e.Unit != "mm": // the contract has the same ranges, and refuses first
		return outsideNumber(e)
	case boardWidths[e.Quantity] && e.Value < e.Low:
		return message.New("field.out_of_range", mm("width", e.Value), mm("pitch", e.Low)).As("no_whole_tail")
	case e.Quantity == wood.QuantityTailWidth && e.Value > e.High:
		return message.New("field.out_of_range", mm("tails", e.Value), mm("pitch", e.High)).As("no_pins")
	}
	return OutOfRange(length.Length(e.Value), length.Length(e.Low), length.Length(e.High))
}

var boardWidths = map[wood.Quantity]bool{wood.QuantityPinBoardWidth: true, wood.QuantityTailBoardWidth: true}

// outsideNumber is for what is no length, written to a tenth.
func outsideNumber(e *wood.RangeError) message.Message {
	rounded := func(name string, x float64) message.Param { return message.Number(name, math.Round(x*10)/10+0) }
	if e.Value > e.High {
		return message.New("field.out_of_range", rounded("most", e.High)).As("most")
	}
	return message.New("field.out_of_range", rounded("least", e.Low)).As("least")
}
