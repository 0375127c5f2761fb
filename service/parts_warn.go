package service

import (
	"strconv"

	"snugtail/api"
	"snugtail/joint/length"
	"snugtail/joint/parts"
	"snugtail/joint/seasons"
	"snugtail/service/answers"
	"snugtail/service/codes"
	"snugtail/service/say"
)

// warnings of a drawer, a part or a joint of row i.
func (p *planned) warnings(i int, all []parts.Warning) []api.PartsWarning {
	out := make([]api.PartsWarning, len(all))
	for k := range all {
		w := &all[k]
		out[k] = api.PartsWarning{
			Code: codes.PartsWarnings[w.Code], Pointer: p.lookAt(i, w),
			Params:  api.PartsWarningParams{Value: p.Length(w.Value), Limit: p.Length(w.Limit)},
			Instead: p.instead(i, w.Instead),
		}
		if p.Wants("text") {
			out[k].Text = p.Text(say.WarningText(w, &p.plan.Drawers[i]))
		}
	}
	return out
}

// lookAt is the field that a warning is about: one that is there, or an object
// that it is missing from.
func (p *planned) lookAt(i int, w *parts.Warning) string {
	in := &p.in.Drawers[i]
	if in.Opening != nil && in.Allowance == nil {
		switch w.Field {
		case parts.FieldHeight:
			return drawerPointer(i, "/opening/height")
		case parts.FieldWidth:
			return drawerPointer(i, "/opening/width")
		}
	}
	return p.pointer(i, w.Field, w.Part)
}

// drawerFields are where the fields of a drawer stand that is stated by its outside.
var drawerFields = [...]string{
	parts.FieldHeight: "/outside/height", parts.FieldWidth: "/outside/width",
	parts.FieldSidesHeight: "/sides_height", parts.FieldBackHeight: "/back_height",
	parts.FieldGrooveFrom: "/groove/from_bottom", parts.FieldGrooveDepth: "/groove/depth", parts.FieldClearance: "/groove/clearance",
	parts.FieldUnderBack: "/groove/under_back", parts.FieldHousing: "/housing_depth", parts.FieldSides: "/sides",
}

// pointer is where a field stands in the request.
func (p *planned) pointer(i int, field parts.Field, part parts.Name) string {
	switch {
	case field == parts.FieldThickness:
		row := &p.job.Drawers[i]
		stock := [...]int{parts.Front: row.Front, parts.Side: row.Sides, parts.Back: row.BackFrom, parts.Bottom: row.Bottom}[part]
		return "#/stock/" + strconv.Itoa(stock) + "/thickness"
	case field == parts.FieldHeight && p.in.Drawers[i].Opening != nil:
		return drawerPointer(i, "/allowance/height")
	case field == parts.FieldWidth && p.in.Drawers[i].Opening != nil:
		return drawerPointer(i, "/allowance/width")
	}
	return drawerPointer(i, drawerFields[field])
}

func drawerPointer(i int, field string) string { return "#/drawers/" + strconv.Itoa(i) + field }

// instead are the values that cure a warning: of an opening the allowance that
// leaves such a size.
func (p *planned) instead(i int, all []parts.Instead) []api.PartsInstead {
	row, out := &p.job.Drawers[i], make([]api.PartsInstead, len(all))
	for k := range all {
		c := &all[k]
		out[k].Pointer = p.pointer(i, c.Field, c.Part)
		size := c.Length
		switch {
		case c.Field == parts.FieldUnderBack:
			set := true
			out[k].Set = &set
			continue
		case c.Field == parts.FieldHeight && row.Room.Known:
			size = row.Outside.Height + row.Room.Height - size
		case c.Field == parts.FieldWidth && row.Room.Known:
			size = row.Outside.Width + row.Room.Width - size
		}
		out[k].Length = p.Known(size, true)
	}
	return out
}

// seasons are those of a drawer; nil where they are not known.
func (p *planned) seasons(s *parts.Seasons) *api.DrawerSeasons {
	if !s.Known {
		return nil
	}
	said := say.SeasonsText(s)
	text, params := p.Say(said)
	return &api.DrawerSeasons{
		Driest: answers.Rounded(s.House.Dry), Dampest: answers.Rounded(s.House.Damp),
		Moisture: answers.Rounded(s.From), MoistureFrom: codes.SeasonFrom(s.Assumed),
		Height: seasonGap(p.Writer, s.Height), Width: seasonGap(p.Writer, s.Width),
		Code: said.Code, Params: params, Text: text,
	}
}

func seasonGap(w answers.Writer, g seasons.Gap) api.SeasonGap {
	out := api.SeasonGap{
		Swells: w.Length(g.Swells), Free: w.Known(g.Room.Length, g.Room.Given), Fits: w.Known(g.Fits, g.Room.Given),
	}
	if g.Room.Given {
		enough := g.Enough()
		out.Enough = &enough
	}
	return out
}

// nearestHeights are heights to choose from; nil without a layout.
func (p *planned) nearestHeights(l *parts.Layout) *api.NearestHeights {
	if !l.Known {
		return nil
	}
	return &api.NearestHeights{
		HalfPinsBelow: p.Known(l.Nearest.Smaller, l.Nearest.SmallerKnown), HalfPinsAbove: p.Length(l.Nearest.Larger),
		StrongBelow: p.Known(seasons.Down(l.StrongBelow.From), l.StrongBelow.Known),
		StrongAbove: p.Known(seasons.Up(l.StrongAbove.From), l.StrongAbove.Known),
	}
}

// rough is a part as it is sawn out.
func (p *planned) rough(r parts.RoughSize) *api.RoughSize {
	if !p.job.Rough.Given {
		return nil
	}
	return &api.RoughSize{Length: p.Length(r.Length), Width: p.Length(r.Width), Thickness: p.Length(r.Thickness)}
}

// stockRough is what the parts take of a stock as they are sawn out.
func (p *planned) stockRough(a *parts.Amount) *api.StockRough {
	if !p.job.Rough.Given {
		return nil
	}
	return &api.StockRough{Length: p.Length(a.Length), Area: area(a.Area), Volume: volume(a.Volume)}
}

const mmPerFoot = 12 * length.MillimetresPerInch

func area(mm2 float64) api.Area {
	const mm2PerM2 = 1e6
	return api.Area{M2: answers.Rounded(mm2 / mm2PerM2), FT2: answers.Rounded(mm2 / (mmPerFoot * mmPerFoot))}
}

func volume(mm3 float64) api.Volume {
	const mm3PerM3 = 1e9
	return api.Volume{M3: answers.Rounded(mm3 / mm3PerM3), FT3: answers.Rounded(mm3 / (mmPerFoot * mmPerFoot * mmPerFoot))}
}
