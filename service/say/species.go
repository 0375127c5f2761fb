package say

import (
	"snugtail/joint/wood"
	"snugtail/service/message"
)

// SpeciesNote says how far the table of woods is to be trusted.
func SpeciesNote() message.Message { return message.New("species_note") }

// WoodRow is the table and the row in it where that goes by a name of its own.
func WoodRow(table, row string) message.Message {
	return message.New("wood_row", message.Name("table", table), message.Name("row", row))
}

// WoodNotes are all that is noted of a figure, as one message; it says nothing
// where nothing is noted.
func WoodNotes(notes []wood.Note) message.Message {
	switch len(notes) {
	case 0:
		return message.Message{}
	case 1:
		return woodNote(&notes[0])
	}
	said := make([]message.Message, len(notes))
	for i := range notes {
		said[i] = woodNote(&notes[i])
	}
	return message.New("wood_notes", message.List("notes", said...))
}

// BotanicalNote is what is noted of a botanical name.
func BotanicalNote(code wood.NoteCode) message.Message {
	if code == "" {
		return message.Message{}
	}
	return woodNote(&wood.Note{Code: code})
}

func woodNote(n *wood.Note) message.Message {
	m := message.New("wood_note." + string(n.Code))
	table, other := message.Name("table", n.Table), message.Name("other_table", n.OtherTable)
	switch n.Code {
	case wood.NoteConverted:
		c := &n.Conversion
		return m.With(message.Number("one", 1), message.Name("unit", c.Unit), message.Number("factor", c.Factor), message.Name("metric", c.Metric))
	case wood.NoteSecondHand, wood.NoteHickoriesAlike:
		return m.With(table)
	case wood.NoteCommercialRow:
		return m.With(message.Name("row", n.Row))
	case wood.NoteSaturationsDiffer:
		return m.With(table, other)
	case wood.NoteMeasuredApart:
		return m.With(unusual(n)...).With(table, other)
	case wood.NoteSaturationLow:
		return m.With(unusual(n)...).With(message.Number("saturation", n.Saturation), message.Number("usual", wood.FiberSaturation))
	case wood.NoteValuesDiffer:
		return m.With(message.Number("value", n.Value), message.Number("other", n.OtherValue))
	case wood.NoteTablesDiffer:
		return m.With(message.Number("value", n.Value), table, message.Number("other", n.OtherValue), other)
	}
	return m
}

// unusual are a ratio of shrinkage to coefficient, and what it is for most woods.
func unusual(n *wood.Note) []message.Param {
	return []message.Param{
		message.Number("scale", wood.RatioScale), message.Number("ratio", n.Ratio),
		message.Number("low", wood.UsualRatioLow), message.Number("high", wood.UsualRatioHigh),
	}
}
