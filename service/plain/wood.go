package plain

import (
	"fmt"
	"strconv"
	"strings"

	"snugtail/api"
	"snugtail/service/message"
	"snugtail/service/say"
)

func SpeciesList(in *message.Printer, a *api.SpeciesListAnswer) string {
	s := NewLines(in)
	s.Para(0, a.Note)
	s.Title("                      CHANGE PER 1 %     SHRINKAGE, %   SPECIFIC CRUSH")
	s.WriteString("ID                    radial  tangent.   rad.   tang.   gravity  MPa\n")
	for i := range a.Species {
		w := &a.Species[i]
		fmt.Fprintf(s, "%-22s%-8s%-11s%-7s%-8s%-9s%s\n", w.ID, cell(w.RadialCoefficient), cell(w.TangentialCoefficient),
			cell(w.RadialShrinkage), cell(w.TangentialShrinkage), cell(w.SpecificGravity), cell(w.CompressionPerpendicular))
	}
	s.WriteByte('\n')
	s.Para(0, "* from memory, not read in the source. A dash: not found. GET /v1/species/{id} has every figure with its source and table.")
	return trimmedLines(s.String())
}

// cell is a figure in a column, marked where it is from memory.
func cell(f *api.WoodFigure) string {
	if f == nil {
		return "-"
	}
	text := strconv.FormatFloat(f.Value, 'f', -1, 64)
	if f.Found == "memory" {
		text += "*"
	}
	return text
}

// trimmedLines takes the spaces off the ends of lines.
func trimmedLines(text string) string {
	lines := strings.Split(text, "\n")
	for i := range lines {
		lines[i] = strings.TrimRight(lines[i], " ")
	}
	return strings.Join(lines, "\n")
}

// propertyRows are the properties as a receipt lists them.
var propertyRows = []struct {
	name string
	of   func(*api.Wood) *api.WoodFigure
}{
	{"change, radial", func(w *api.Wood) *api.WoodFigure { return w.RadialCoefficient }},
	{"change, tangential", func(w *api.Wood) *api.WoodFigure { return w.TangentialCoefficient }},
	{"shrinkage, radial", func(w *api.Wood) *api.WoodFigure { return w.RadialShrinkage }},
	{"shrinkage, tang.", func(w *api.Wood) *api.WoodFigure { return w.TangentialShrinkage }},
	{"shrinkage, volume", func(w *api.Wood) *api.WoodFigure { return w.VolumetricShrinkage }},
	{"specific gravity", func(w *api.Wood) *api.WoodFigure { return w.SpecificGravity }},
	{"basic spec. gravity", func(w *api.Wood) *api.WoodFigure { return w.BasicSpecificGravity }},
	{"modulus of elast.", func(w *api.Wood) *api.WoodFigure { return w.ModulusOfElasticity }},
	{"crush across grain", func(w *api.Wood) *api.WoodFigure { return w.CompressionPerpendicular }},
	{"side hardness", func(w *api.Wood) *api.WoodFigure { return w.SideHardness }},
	{"ratio E_R/E_L", func(w *api.Wood) *api.WoodFigure { return w.RadialRatio }},
	{"ratio E_T/E_L", func(w *api.Wood) *api.WoodFigure { return w.TangentialRatio }},
}

func Species(in *message.Printer, a *api.SpeciesAnswer) string {
	w, s := &a.Species, NewLines(in)
	s.Para(0, fmt.Sprintf("%s: %s, %s", w.ID, w.Name, w.Group))
	botanical := w.BotanicalName.Name + ", " + standsIn(w.BotanicalName.Source, w.BotanicalName.Table, w.BotanicalName.Found)
	s.Para(2, "botanical name: "+botanical)
	s.WriteByte('\n')
	var missing []string
	for _, row := range propertyRows {
		f := row.of(w)
		if f == nil {
			missing = append(missing, row.name)
			continue
		}
		s.Row(row.name, figureText(f))
	}
	if len(missing) > 0 {
		s.Row("not in the table", strings.Join(missing, "; "))
	}
	s.WriteByte('\n')
	s.Para(0, a.Note)
	return s.String()
}

func figureText(f *api.WoodFigure) string {
	text := withUnit(f.Value, f.Unit)
	if ip := f.InchPound; ip != nil {
		text += " (" + withUnit(ip.Value, ip.Unit) + ", table " + ip.Table + ")"
	}
	text += "; " + standsIn(f.Source, f.Table, f.Found)
	if f.Note != "" {
		text += "; " + f.Note
	}
	return text
}

func withUnit(value float64, unit string) string {
	text := strconv.FormatFloat(value, 'f', -1, 64)
	switch unit {
	case "1":
		return text
	case "1/%":
		return text + " per 1 %"
	}
	return text + " " + unit
}

func standsIn(source, table, found string) string {
	text := source
	if table != "" {
		text += ", table " + table
	}
	if found != "memory" {
		return text
	}
	return strings.TrimPrefix(text+", from memory", ", ")
}

func Movement(in *message.Printer, a *api.WoodMovementAnswer) string {
	s := NewLines(in)
	s.Para(0, a.Summary)
	s.Title("AS CUT")
	s.playNow("play", &a.Joint.Play)
	s.Row("pin board", s.cutBoardText(&a.Joint.PinBoard))
	s.Row("tail board", s.cutBoardText(&a.Joint.TailBoard))
	for i := range a.Climates {
		s.jointMoved(&a.Climates[i])
	}
	if c := a.ClimatesSource; c != nil {
		s.WriteByte('\n')
		s.Para(0, "The climates are a heated home's year: "+standsIn(c.Source, c.Table, c.Found)+".")
	}
	s.Title("WHAT TO DO")
	for _, advice := range a.Advice {
		s.Para(2, "- "+advice.Text)
	}
	s.Cautions(a.Cautions)
	return s.String()
}

func (s *Lines) playNow(name string, p *api.PlayNow) {
	s.Row(name, fmt.Sprintf("%s, %s (95 %% range %s to %s)", s.fine(p.Play), strings.ReplaceAll(p.Band, "_", " "),
		s.about(p.Uncertainty.Low), s.about(p.Uncertainty.High)))
}

func (s *Lines) cutBoardText(b *api.CutBoard) string {
	id := ""
	if b.Species != nil {
		id = *b.Species
	}
	return say.CutBoard(id, b.Grain, s.board(b.Width), b.Moisture, b.MoistureFrom)
}

func (s *Lines) jointMoved(c *api.JointMoved) {
	s.Title(strings.ToUpper(say.ClimateTitle(c.Name, c.Season, c.Moisture)))
	s.Para(0, c.Text)
	if c.Missing != nil {
		return
	}
	s.Row("pin board", s.fine(c.PinBoard.Width)+" wide")
	s.Row("tail board", s.fine(c.TailBoard.Width)+" wide")
	s.playNow("play, middle", c.Middle)
	s.playNow("play, outermost", c.Outermost)
	s.Row("flanks there", fmt.Sprintf("%s on the side that closes, %s on the other", s.about(*c.Closing), s.about(*c.Opening)))
	if c.EdgeStep.MM != 0 {
		s.Row("edges", s.edgesText(c.EdgeStep))
	}
	if c.SeatChange != nil {
		s.Row("seat", s.seatChangeText(c.SeatChange))
	}
	if c.ShoulderGap.MM != 0 {
		s.Row("shoulder open", s.fine(*c.ShoulderGap))
	}
	if c.FloorGap.MM != 0 {
		s.Row("hidden floor gap", s.fine(*c.FloorGap))
	}
}

func (s *Lines) edgesText(step *api.Length) string {
	if step.MM < 0 {
		return s.fine(*step) + ": the tail board stands out at both"
	}
	return s.fine(*step) + ": the pin board stands out at both"
}

func (s *Lines) seatChangeText(change *api.Length) string {
	if change.MM < 0 {
		return s.fine(*change) + ", further out than when it was cut"
	}
	return s.fine(*change) + ", further inside than when it was cut"
}
