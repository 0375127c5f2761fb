package plain

import (
	"fmt"
	"strings"

	"snugtail/api"
	"snugtail/joint/length"
	"snugtail/service/message"
	"snugtail/service/say"
)

func SpeciesList(in *message.Printer, a *api.SpeciesListAnswer) string {
	s := NewLines(in)
	s.Para(0, a.Note)
	s.Title(s.Of("plain.species.head", message.Chance("one", onePercent)))
	s.WriteString(s.Of("plain.species.columns") + "\n")
	for i := range a.Species {
		w := &a.Species[i]
		fmt.Fprintf(s, "%-22s%-8s%-11s%-7s%-8s%-9s%s\n", w.ID, s.cell(w.RadialCoefficient), s.cell(w.TangentialCoefficient),
			s.cell(w.RadialShrinkage), s.cell(w.TangentialShrinkage), s.cell(w.SpecificGravity), s.cell(w.CompressionPerpendicular))
	}
	s.WriteByte('\n')
	s.Para(0, s.Of("plain.species.legend"))
	return trimmedLines(s.String())
}

// onePercent is the change of moisture that coefficients are of.
const onePercent = 0.01

// cell is a figure in a column, marked where it is from memory.
func (s *Lines) cell(f *api.WoodFigure) string {
	if f == nil {
		return "-"
	}
	text := s.figure(f.Value)
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

// figure writes a figure of the table with all its digits.
func (s *Lines) figure(value float64) string { return s.Number(value, -1) }

// propertyRows are the properties as a receipt lists them.
var propertyRows = []struct {
	name string // of the key of its label
	of   func(*api.Wood) *api.WoodFigure
}{
	{"radial_coefficient", func(w *api.Wood) *api.WoodFigure { return w.RadialCoefficient }},
	{"tangential_coefficient", func(w *api.Wood) *api.WoodFigure { return w.TangentialCoefficient }},
	{"radial_shrinkage", func(w *api.Wood) *api.WoodFigure { return w.RadialShrinkage }},
	{"tangential_shrinkage", func(w *api.Wood) *api.WoodFigure { return w.TangentialShrinkage }},
	{"volumetric_shrinkage", func(w *api.Wood) *api.WoodFigure { return w.VolumetricShrinkage }},
	{"specific_gravity", func(w *api.Wood) *api.WoodFigure { return w.SpecificGravity }},
	{"basic_specific_gravity", func(w *api.Wood) *api.WoodFigure { return w.BasicSpecificGravity }},
	{"modulus_of_elasticity", func(w *api.Wood) *api.WoodFigure { return w.ModulusOfElasticity }},
	{"compression_perpendicular", func(w *api.Wood) *api.WoodFigure { return w.CompressionPerpendicular }},
	{"side_hardness", func(w *api.Wood) *api.WoodFigure { return w.SideHardness }},
	{"radial_ratio", func(w *api.Wood) *api.WoodFigure { return w.RadialRatio }},
	{"tangential_ratio", func(w *api.Wood) *api.WoodFigure { return w.TangentialRatio }},
}

func Species(in *message.Printer, a *api.SpeciesAnswer) string {
	w, s := &a.Species, NewLines(in)
	s.Para(0, fmt.Sprintf("%s: %s, %s", w.ID, w.Name, s.Of("plain.group."+w.Group)))
	botanical := w.BotanicalName.Name + ", " + s.standsIn(w.BotanicalName.Source, w.BotanicalName.Table, w.BotanicalName.Found)
	s.Para(2, s.Of("plain.species.botanical", message.Name("name", botanical)))
	s.WriteByte('\n')
	var missing []string
	for _, row := range propertyRows {
		label := s.Of("plain.species.row." + row.name)
		f := row.of(w)
		if f == nil {
			missing = append(missing, label)
			continue
		}
		s.Row(label, s.figureText(f))
	}
	if len(missing) > 0 {
		s.Row(s.Of("plain.species.missing"), strings.Join(missing, "; "))
	}
	s.WriteByte('\n')
	s.Para(0, a.Note)
	return s.String()
}

func (s *Lines) figureText(f *api.WoodFigure) string {
	text := s.withUnit(f.Value, f.Unit)
	if ip := f.InchPound; ip != nil {
		text += " (" + s.withUnit(ip.Value, ip.Unit) + ", " + s.Of("plain.species.table", message.Name("table", ip.Table)) + ")"
	}
	text += "; " + s.standsIn(f.Source, f.Table, f.Found)
	if f.Note != "" {
		text += "; " + f.Note
	}
	return text
}

func (s *Lines) withUnit(value float64, unit string) string {
	text := s.figure(value)
	switch unit {
	case "1":
		return text
	case "1/%":
		return s.Of("plain.species.per_percent", message.Name("value", text), message.Chance("one", onePercent))
	}
	return text + " " + unit
}

func (s *Lines) standsIn(source, table, found string) string {
	var said []string
	if source != "" {
		said = append(said, source)
	}
	if table != "" {
		said = append(said, s.Of("plain.species.table", message.Name("table", table)))
	}
	if found == "memory" {
		said = append(said, s.Of("plain.species.memory"))
	}
	return strings.Join(said, ", ")
}

func Movement(in *message.Printer, a *api.WoodMovementAnswer) string {
	s := NewLines(in)
	s.Para(0, a.Summary)
	s.Title(s.moved("as_cut"))
	s.playNow("play", &a.Joint.Play)
	s.Row(s.moved("pin_board"), s.cutBoardText(&a.Joint.PinBoard))
	s.Row(s.moved("tail_board"), s.cutBoardText(&a.Joint.TailBoard))
	for i := range a.Climates {
		s.jointMoved(&a.Climates[i])
	}
	if c := a.ClimatesSource; c != nil {
		s.WriteByte('\n')
		s.Para(0, s.moved("climates", message.Name("source", s.standsIn(c.Source, c.Table, c.Found))))
	}
	s.Title(s.moved("to_do"))
	for _, advice := range a.Advice {
		s.Para(2, "- "+advice.Text)
	}
	s.Cautions(a.Cautions)
	return s.String()
}

// moved is a text of this form.
func (s *Lines) moved(key string, params ...message.Param) string {
	return s.Of("plain.movement."+key, params...)
}

func (s *Lines) playNow(name string, p *api.PlayNow) {
	s.Row(s.moved(name), s.moved("play_is", message.Name("play", s.fine(p.Play)), message.Name("band", s.Of("plot_band."+p.Band)), message.Chance("within", 0.95),
		message.Name("low", s.about(p.Uncertainty.Low)), message.Name("high", s.about(p.Uncertainty.High))))
}

func (s *Lines) cutBoardText(b *api.CutBoard) string {
	id := ""
	if b.Species != nil {
		id = *b.Species
	}
	w := s.wordsOf(b.Width)
	return w.Text(say.CutBoard(id, b.Grain, length.Length(b.Width.MM), b.Moisture, b.MoistureFrom))
}

func (s *Lines) jointMoved(c *api.JointMoved) {
	s.Title(strings.ToUpper(s.Text(say.ClimateTitle(c.Name, c.Season, c.Moisture))))
	s.Para(0, c.Text)
	if c.Missing != nil {
		return
	}
	s.Row(s.moved("pin_board"), s.moved("wide", message.Name("width", s.fine(c.PinBoard.Width))))
	s.Row(s.moved("tail_board"), s.moved("wide", message.Name("width", s.fine(c.TailBoard.Width))))
	s.playNow("middle", c.Middle)
	s.playNow("outermost", c.Outermost)
	s.Row(s.moved("flanks"), s.moved("flanks_are", message.Name("closing", s.about(*c.Closing)), message.Name("opening", s.about(*c.Opening))))
	if c.EdgeStep.MM != 0 {
		s.Row(s.moved("edges"), s.edgesText(c.EdgeStep))
	}
	if c.SeatChange != nil {
		s.Row(s.moved("seat"), s.seatChangeText(c.SeatChange))
	}
	if c.ShoulderGap.MM != 0 {
		s.Row(s.moved("shoulder"), s.fine(*c.ShoulderGap))
	}
	if c.FloorGap.MM != 0 {
		s.Row(s.moved("floor"), s.fine(*c.FloorGap))
	}
}

func (s *Lines) edgesText(step *api.Length) string {
	side := "pin_board"
	if step.MM < 0 {
		side = "tail_board"
	}
	return s.moved("edges_are."+side, message.Name("step", s.fine(*step)))
}

func (s *Lines) seatChangeText(change *api.Length) string {
	way := "in"
	if change.MM < 0 {
		way = "out"
	}
	return s.moved("seat_is."+way, message.Name("change", s.fine(*change)))
}
