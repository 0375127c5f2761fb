package say

import (
	"math"

	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/joint/seasons"
	"snugtail/joint/wood"
	"snugtail/service/codes"
	"snugtail/service/message"
)

// What is told of wood and its movement.

// within95 is the share of cases that ranges hold.
const within95 = 0.95

// Moisture is a moisture content as a meter shows it, in per cent.
func Moisture(percent float64) message.Message {
	return message.New("moisture", message.Number("percent", math.Round(percent*10)/10+0))
}

// woodName is the species as people say it.
func woodName(id string) message.Param {
	if id == "" {
		id = "not_stated"
	}
	return message.Word("wood", "wood", id)
}

// boardOf is what a board is of.
func boardOf(b *wood.Board) message.Message {
	switch {
	case b.Material == wood.Solid:
		return message.New("wood_board", woodName(b.Wood.ID)).As("solid")
	case b.Wood.ID == "":
		return message.New("wood_board").As("plywood")
	}
	return message.New("wood_board", woodName(b.Wood.ID)).As("plywood_of")
}

// CutBoard describes a board as it was cut.
func CutBoard(species, grain string, width length.Length, percent float64, from string) message.Message {
	if from == codes.MoistureClimate {
		from = "from_climate"
	}
	return message.New("cut_board", woodName(species), message.Word("grain", "grain", grain), message.Length("width", width), message.Said("moisture", Moisture(percent))).As(from)
}

// Movement tells of one joint in its climates.
type Movement struct {
	Words
	Question *seasons.Question
	Names    []string // the client's own for the climates, by their number
}

// ClimateName is the client's own name for a climate, if there is one.
func (m *Movement) ClimateName(i int) string {
	if i < len(m.Names) {
		return m.Names[i]
	}
	return ""
}

// Climate names a climate: by the client's name or its season, and its moisture.
func (m *Movement) Climate(i int, o *seasons.Outcome) message.Message {
	return ClimateTitle(m.ClimateName(i), o.Climate.Season.String(), o.Climate.Moisture.Percent)
}

// ClimateTitle names a climate by the client's name, or else by its season.
func ClimateTitle(name, season string, percent float64) message.Message {
	moisture := message.Said("moisture", Moisture(percent))
	if name == "" {
		return message.New("climate_title", message.Word("season", "climate", season), moisture).As("season")
	}
	return message.New("climate_title", message.Name("name", name), moisture).As("named")
}

// during says when a climate holds, within a sentence.
func (m *Movement) during(i int, o *seasons.Outcome) message.Message {
	moisture := message.Said("moisture", Moisture(o.Climate.Moisture.Percent))
	if name := m.ClimateName(i); name != "" {
		return message.New("climate_when", message.Name("name", name), moisture).As("named")
	}
	return message.New("climate_when", moisture).As(o.Climate.Season.String())
}

func changed(change length.Length) message.Message {
	switch c := change.Rounded(); {
	case c > 0:
		return message.New("board_changed", message.Length("by", c)).As("wider")
	case c < 0:
		return message.New("board_changed", message.Length("by", -c)).As("narrower")
	}
	return message.New("board_changed").As("same")
}

func then(state wood.State) message.Param { return message.Word("then", "joint_then", state.String()) }

// OutcomeText is one climate in a few sentences.
func (m *Movement) OutcomeText(o *seasons.Outcome) message.Message {
	if lacks := o.Missing; lacks != nil {
		return message.New("moved_unknown", message.Word("property", "wood_property", string(lacks.Property)), woodName(lacks.Species))
	}
	moved := message.New("moved", message.Said("pin_board", changed(o.PinBoard.Change)), message.Said("tail_board", changed(o.TailBoard.Change)),
		message.Word("closes", "closes", o.Closes.String()), then(o.State))
	if gap := o.ShoulderGap.Rounded(); gap > 0 {
		return message.Sentences(moved, message.New("moved_shoulder", message.Length("gap", gap)))
	}
	return moved
}

// Summary says how the joint was cut and what the worst climate does.
func (m *Movement) Summary(year *seasons.Year) message.Message {
	worst, told, assembles := -1, 0, 0
	for i := range year.Outcomes {
		o := &year.Outcomes[i]
		if o.Missing != nil {
			continue
		}
		told++
		if o.State == wood.Assembles {
			assembles++
		}
		if worst < 0 || o.PlayOutermost < year.Outcomes[worst].PlayOutermost {
			worst = i
		}
	}
	said := []message.Message{message.New("movement_cut", message.Length("play", m.Question.Cut.Play.Play))}
	if worst >= 0 {
		said = append(said, m.worst(worst, &year.Outcomes[worst]), howMany(assembles, told))
	}
	if lacking := len(year.Outcomes) - told; lacking > 0 {
		said = append(said, message.New("movement_lacking", message.Count("climates", lacking)))
	}
	return message.Sentences(said...)
}

// worst says what the worst climate leaves of the play.
func (m *Movement) worst(i int, o *seasons.Outcome) message.Message {
	said := message.New("movement_worst", message.Chance("within", within95), message.Length("low", o.Outermost.Low), message.Length("high", o.Outermost.High), then(o.State))
	if o.PlayOutermost.Rounded() >= m.Question.Cut.Play.Play.Rounded() {
		return said.As("no_less")
	}
	return said.With(message.Said("when", m.during(i, o)), message.Length("play", o.PlayOutermost)).As("less")
}

func howMany(assembles, told int) message.Message {
	said := message.New("movement_of", message.Count("climates", told))
	switch {
	case told == 1:
		return message.Message{}
	case assembles == told:
		return said.As("all")
	case assembles == 0:
		return said.As("none")
	}
	return said.With(message.Count("of", assembles)).As("some")
}

// Advice before the next joint is cut, by its code.

// WoodAdvice is advice that names nothing.
func WoodAdvice(code string) message.Message { return message.New("wood_advice." + code) }

// SameWood advises to make both boards of one wood.
func (m *Movement) SameWood() message.Message {
	return WoodAdvice("same_wood").With(message.Said("pin_board", boardOf(&m.Question.PinBoard)), message.Said("tail_board", boardOf(&m.Question.TailBoard)))
}

// SameMoisture advises to let both boards take on one moisture.
func (m *Movement) SameMoisture() message.Message {
	return WoodAdvice("same_moisture").With(message.Said("pin_board", Moisture(m.Question.PinBoard.Moisture.Percent)),
		message.Said("tail_board", Moisture(m.Question.TailBoard.Moisture.Percent)))
}

// Wait advises to let the boards settle at a moisture.
func Wait(percent float64) message.Message {
	return WoodAdvice("wait").With(message.Said("settle", Moisture(percent)))
}

// MeasureMoisture says what is taken where no moisture is stated.
func MeasureMoisture(taken wood.Moisture) message.Message {
	return WoodAdvice("measure_moisture").With(message.Said("taken", Moisture(taken.Percent)), message.Said("within", Moisture(2*taken.StandardUncertainty)))
}

// CutLooser says how much more play the worst climate asks for.
func CutLooser(year *seasons.Year) message.Message {
	a := &year.Advice
	said := WoodAdvice("cut_looser").With(message.Length("more", a.CutLooser))
	if year.LooserDepth.Given {
		said = said.With(message.Length("depth", year.LooserDepth.Length))
	}
	if a.LooserIsLoose {
		return said.With(message.Length("loose", wood.OpensAbove)).As("too_loose")
	}
	return said.As("here")
}

// What stands in the plot.

// Plot is a text of the plot that names nothing.
func Plot(code string) message.Message { return message.New("plot." + code) }

// PlotHumidity names the axis of humidity, at the temperature of the year.
func PlotHumidity(celsius float64) message.Message {
	return Plot("humidity").With(message.Number("temperature", celsius))
}

// PlotRange names the range about a curve.
func PlotRange() message.Message { return Plot("range").With(message.Chance("within", within95)) }

// PlotBoard describes a board in one line.
func PlotBoard(which string, b *wood.Board) message.Message {
	return message.New("plot.board", message.Said("wood", boardOf(b)), message.Word("grain", "grain", b.Grain.String()), message.Length("width", b.Width),
		message.Said("moisture", Moisture(b.Moisture.Percent))).As(which)
}

// PlayAxis names the axis of play.
func (w Words) PlayAxis() message.Message {
	if w.Unit == length.UnitInch {
		return Plot("play").As("in")
	}
	return Plot("play").As("mm")
}

// PlotCut names the line at the moisture that boards were cut at: boards,
// pin_board or tail_board.
func PlotCut(which string, percent float64) message.Message {
	return message.New("plot.cut", message.Said("moisture", Moisture(percent))).As(which)
}

// PlotMissing says why curves stop.
func PlotMissing(e *wood.MissingError) message.Message {
	return Plot("missing").With(message.Word("property", "wood_property", string(e.Property)), woodName(e.Species))
}

// PlotBeyond says which curves run on beyond the plot.
func PlotBeyond(outermost, middle bool) message.Message {
	switch {
	case outermost && middle:
		return Plot("beyond").As("both")
	case outermost:
		return Plot("beyond").As("outermost")
	case middle:
		return Plot("beyond").As("middle")
	}
	return message.Message{}
}

// PlotUnnamed says how many lines found no room for their names.
func PlotUnnamed(n int) message.Message { return Plot("unnamed").With(message.Count("lines", n)) }

// BandLabel names a band in a word or two.
func BandLabel(b joint.Band) message.Message { return message.New("plot_band." + codes.Bands[b]) }

// BandRange writes where a band begins and ends, in the plot's unit; an end
// that is infinite is none.
func (w Words) BandRange(from, to length.Length) message.Message {
	bare := func(name string, l length.Length) message.Param { return message.Number(name, w.inUnit(l)) }
	switch {
	case math.IsInf(from.MM(), -1):
		return Plot("range_below").With(bare("to", to))
	case math.IsInf(to.MM(), 1):
		return Plot("range_above").With(bare("from", from))
	}
	return Plot("range_between").With(bare("from", from), bare("to", to))
}

// inUnit is a length as a number of the request's unit, as precise as a caliper.
func (w Words) inUnit(l length.Length) float64 {
	if w.Unit == length.UnitInch {
		return math.Round(l.Inches()*1e4)/1e4 + 0
	}
	return math.Round(l.MM()*1e3)/1e3 + 0
}
