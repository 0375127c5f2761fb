package say

import (
	"slices"

	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/joint/parts"
	"snugtail/joint/seasons"
	"snugtail/service/codes"
	"snugtail/service/message"
)

// What is told of drawers that can be made, but would break, show or stick.

// warningSizes name what Value and Limit of each warning are.
var warningSizes = [...][2]string{
	parts.EdgePinWeak: {"root", "least"}, parts.GrooveShows: {"out"}, parts.LapThin: {"lap", "least"},
	parts.ThicknessVaries: {"tolerance", "more"}, parts.WoodsMoveApart: {"play", "least"},
	parts.GrooveDeep: {"depth"}, parts.GrooveLow: {"left", "least"}, parts.HousingDeep: {"depth"},
	parts.BottomHeldLittle: {"hold", "least"}, parts.BottomMoves: {"swells", "free"}, parts.DrawerSwells: {"swells", "free"},
}

// WarningText tells what would spoil a drawer, and what cures it.
func WarningText(w *parts.Warning, made *parts.Made) message.Message {
	said := message.New("drawer_warning." + codes.PartsWarnings[w.Code])
	for i, name := range warningSizes[w.Code] {
		if name != "" {
			said = said.With(message.Length(name, [...]length.Length{w.Value, w.Limit}[i]))
		}
	}
	switch w.Code {
	case parts.EdgePinWeak:
		said = said.With(atEnd(w.End), message.Length("height", corner(made, w.End).Height))
	case parts.GrooveShows, parts.LapThin:
		said = said.With(atEnd(w.End))
	case parts.ThicknessVaries:
		said = said.With(part(w.Part), message.Length("thickness", made.Parts[w.Part].Thickness), message.Length("least", joint.LeastLap))
	case parts.WoodsMoveApart:
		said = said.With(part(w.Part))
	case parts.GrooveDeep, parts.HousingDeep:
		said = said.With(part(w.Part), message.Length("thickness", made.Parts[w.Part].Thickness))
	case parts.BottomMoves:
		said = message.Sentences(said, letMove(w), underBack(w))
	case parts.DrawerSwells:
		said = said.As(cureCodes[w.Field])
	}
	return message.Sentences(said, cures(w))
}

// letMove says which clearance would let a bottom move, where no cure offers it.
func letMove(w *parts.Warning) message.Message {
	if slices.ContainsFunc(w.Instead, func(c parts.Instead) bool { return c.Field == parts.FieldClearance }) {
		return message.Message{}
	}
	return message.New("drawer_bottom_needs", message.Length("needed", w.Needed))
}

func underBack(w *parts.Warning) message.Message {
	if !w.UnderBack {
		return message.Message{}
	}
	return message.New("drawer_bottom_under_back")
}

func corner(made *parts.Made, end parts.End) *parts.Corner {
	if end == parts.AtBack {
		return &made.Back
	}
	return &made.Front
}

// cureCodes name the sentences of what may be changed.
var cureCodes = [...]string{
	parts.FieldHeight: "height", parts.FieldWidth: "width", parts.FieldSidesHeight: "sides_height", parts.FieldBackHeight: "back_height",
	parts.FieldGrooveFrom: "groove_from", parts.FieldGrooveDepth: "groove_depth", parts.FieldClearance: "clearance",
	parts.FieldUnderBack: "under_back", parts.FieldHousing: "housing", parts.FieldSides: "sides", parts.FieldThickness: "thickness",
}

// cures say what a warning offers instead.
func cures(w *parts.Warning) message.Message {
	if len(w.Instead) == 0 {
		return message.Message{}
	}
	all := make([]message.Message, len(w.Instead))
	for i := range w.Instead {
		c := &w.Instead[i]
		all[i] = message.New("drawer_cure." + cureCodes[c.Field])
		if c.Field != parts.FieldUnderBack {
			all[i] = all[i].With(message.Length("size", c.Length))
		}
		if c.Field == parts.FieldThickness {
			all[i] = all[i].With(part(c.Part))
		}
	}
	return message.New("drawer_instead", message.List("cures", all...))
}

// SeasonsText tells how a drawer moves through the year.
func SeasonsText(s *parts.Seasons) message.Message {
	said := HeightText(s.Height, s.House, s.From, s.Assumed)
	if g := s.Width; g.Room.Given && !g.Enough() {
		return message.Sentences(said, message.New("seasons_width", message.Length("swells", g.Swells), message.Length("free", g.Room.Length)))
	}
	return said
}

// HeightText tells how a height moves through the year.
func HeightText(g seasons.Gap, house seasons.House, from float64, assumed bool) message.Message {
	said := message.New("seasons_height", message.Said("moisture", Moisture(from)).Beside(), message.Said("dampest", Moisture(house.Damp)).Beside(),
		message.Length("height", g.Size), message.Length("swells", g.Swells))
	if g.Room.Given {
		said = said.With(message.Length("free", g.Room.Length))
	}
	if g.Room.Given && !g.Enough() {
		said = said.With(message.Length("fits", g.Fits))
	}
	return said.As(codes.SeasonFrom(assumed))
}
