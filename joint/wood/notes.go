package wood

// NoteCode says what a note is about.
type NoteCode string

// Notes on how a figure was found. The zero code notes nothing.
const (
	// NoteReadInCopy: read in a published copy of the table.
	NoteReadInCopy NoteCode = "read_in_copy"
	// NoteConverted: read there in inch-pound units; see Conversion.
	NoteConverted NoteCode = "converted"
	// NoteSecondHand: read in a second-hand list that names no table; Table is
	// recalled.
	NoteSecondHand NoteCode = "second_hand"
	// NoteCommonNames: the tables print no botanical names.
	NoteCommonNames NoteCode = "common_names"
)

// Notes on a figure of one species.
const (
	// NoteSaturationsDiffer: Table and OtherTable do not agree on one fiber
	// saturation point.
	NoteSaturationsDiffer NoteCode = "saturations_differ"
	// NoteMeasuredApart: Ratio is far from usual; Table and OtherTable rest on
	// different measurements.
	NoteMeasuredApart NoteCode = "measured_apart"
	// NoteSaturationLow: Ratio is far from usual; it fits Saturation instead of
	// FiberSaturation.
	NoteSaturationLow NoteCode = "saturation_low"
	// NoteValuesDiffer: sources give Value and OtherValue, in percent.
	NoteValuesDiffer NoteCode = "values_differ"
	// NoteTablesDiffer: Table gives Value, OtherTable OtherValue.
	NoteTablesDiffer NoteCode = "tables_differ"
	// NoteHickoriesAlike: Table has one pair of coefficients for all true hickories.
	NoteHickoriesAlike NoteCode = "hickories_alike"
	// NoteCommercialRow: Row is a group of species sold as one; the other figures
	// are those of the species itself.
	NoteCommercialRow NoteCode = "commercial_row"
	// NoteInchPoundNotRead: the inch-pound value was not read.
	NoteInchPoundNotRead NoteCode = "inch_pound_not_read"
)

// noteCodes are all of them.
var noteCodes = [...]NoteCode{
	NoteReadInCopy, NoteConverted, NoteSecondHand, NoteCommonNames,
	NoteSaturationsDiffer, NoteMeasuredApart, NoteSaturationLow, NoteValuesDiffer, NoteTablesDiffer,
	NoteHickoriesAlike, NoteCommercialRow, NoteInchPoundNotRead,
}

// A dimensional change coefficient C and a shrinkage S agree on fiber saturation
// at about S / (RatioScale C) percent. For most species of the table that lies from
// UsualRatioLow to UsualRatioHigh.
const (
	RatioScale     = 100
	UsualRatioLow  = 28
	UsualRatioHigh = 30
)

// Note is what is to be said of a figure. What its code does not speak of is zero.
type Note struct {
	Code NoteCode
	// Table and Row are the figure's own where no others are meant.
	Table, OtherTable, Row string
	Value, OtherValue      float64 // in the property's unit
	// Ratio is S / (RatioScale C), about; Saturation the fiber saturation that
	// coefficient and shrinkage agree with, percent of moisture content.
	Ratio, Saturation float64
	Conversion        Conversion
}

// Conversion is how a figure was converted: one Unit is Factor Metric.
type Conversion struct {
	Factor       float64
	Unit, Metric string
}

// Disagree says whether the note is that sources do not agree.
func (n Note) Disagree() bool {
	switch n.Code {
	case NoteSaturationsDiffer, NoteMeasuredApart, NoteSaturationLow, NoteValuesDiffer, NoteTablesDiffer:
		return true
	}
	return false
}
