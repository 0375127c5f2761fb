package say

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/joint/seasons"
	"snugtail/joint/wood"
	"snugtail/service/codes"
	"snugtail/service/spelling"
)

// What is told of wood and its movement.

const (
	SpeciesNote = "Published averages of clear wood, each with where it stands; single boards scatter about them. " +
		"What was not found is left out, never guessed: an answer that needs it says so. They are no design values."
)

// tenths writes a figure to one decimal.
func tenths(x float64) string { return strconv.FormatFloat(math.Round(x*10)/10+0, 'f', -1, 64) }

// moistureText writes a moisture content as a meter shows it.
func moistureText(percent float64) string { return tenths(percent) + " %" }

// woodName is the species as people say it.
func woodName(id string) string {
	if id == "" {
		return "a wood not stated"
	}
	return strings.ReplaceAll(id, "_", " ")
}

// boardName is what a board is of.
func boardName(b *wood.Board) string {
	switch {
	case b.Material == wood.Solid:
		return woodName(b.Wood.ID)
	case b.Wood.ID == "":
		return "plywood"
	}
	return woodName(b.Wood.ID) + " plywood"
}

var grainTexts = map[string]string{
	"flat_sawn": "flat-sawn", "quarter_sawn": "quarter-sawn", "mixed": "of mixed grain", "unknown": "grain not stated",
}

var moistureFromTexts = map[string]string{
	codes.MoistureStated: "", codes.MoistureClimate: " (from the air)", codes.MoistureDefault: " (not stated)",
}

// CutBoard describes a board as it was cut.
func CutBoard(species, grain, width string, moisture float64, from string) string {
	return fmt.Sprintf("%s, %s, %s wide, cut at %s%s", woodName(species), grainTexts[grain], width, moistureText(moisture), moistureFromTexts[from])
}

var climateTexts = map[wood.Season]struct{ name, when string }{
	wood.SeasonNow: {"now", "now"}, wood.SeasonDry: {"driest", "at the driest"}, wood.SeasonDamp: {"dampest", "at the dampest"},
	wood.SeasonOther: {"climate", "in a climate"},
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
func (m *Movement) Climate(i int, o *seasons.Outcome) string {
	return ClimateTitle(m.ClimateName(i), o.Climate.Season.String(), o.Climate.Moisture.Percent)
}

func ClimateTitle(name, season string, percent float64) string {
	if name == "" {
		name = climateTexts[codes.Seasons[season]].name
	}
	return name + ", " + moistureText(percent)
}

// during says when a climate holds, within a sentence.
func (m *Movement) during(i int, o *seasons.Outcome) string {
	when := climateTexts[o.Climate.Season].when
	if name := m.ClimateName(i); name != "" {
		when = "in " + strconv.Quote(name)
	}
	return when + " (" + moistureText(o.Climate.Moisture.Percent) + ")"
}

var stateTexts = map[wood.State]string{
	wood.Assembles: "the joint still goes together by hand",
	wood.Tight:     "the joint no longer goes together by hand",
	wood.Opens:     "the joint goes together, but opens to be seen",
}

var closesTexts = map[wood.Flank]string{
	wood.FlankNone:  "no flank closes",
	wood.FlankOuter: "the outermost tails close on their outer flanks",
	wood.FlankInner: "the outermost tails close on their inner flanks",
}

func (w Words) changed(change length.Length) string {
	switch c := change.Rounded(); {
	case c > 0:
		return w.about(c) + " wider"
	case c < 0:
		return w.about(-c) + " narrower"
	}
	return "as wide as before"
}

// OutcomeText is one climate in a few sentences.
func (m *Movement) OutcomeText(o *seasons.Outcome) string {
	if !m.Wants("text") {
		return ""
	}
	if lacks := o.Missing; lacks != nil {
		return fmt.Sprintf("Not known: the table has no %s of %s.", strings.ReplaceAll(string(lacks.Property), "_", " "), woodName(lacks.Species))
	}
	text := fmt.Sprintf("The pin board is %s, the tail board %s: %s, and %s.",
		m.changed(o.PinBoard.Change), m.changed(o.TailBoard.Change), closesTexts[o.Closes], stateTexts[o.State])
	if gap := o.ShoulderGap.Rounded(); gap > 0 {
		text += fmt.Sprintf(" The shoulder stands open by %s.", m.about(gap))
	}
	return text
}

// Summary says how the joint was cut and what the worst climate does.
func (m *Movement) Summary(year *seasons.Year) string {
	if !m.Wants("summary") {
		return ""
	}
	b := new(strings.Builder)
	fmt.Fprintf(b, "Cut with %s of play.", m.about(m.Question.Cut.Play.Play))
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
	if worst >= 0 {
		o := &year.Outcomes[worst]
		b.WriteString(" " + m.leastLeft(worst, o))
		fmt.Fprintf(b, " (95 %% between %s and %s), and %s.", m.about(o.Outermost.Low), m.about(o.Outermost.High), stateTexts[o.State])
		b.WriteString(m.howMany(assembles, told))
	}
	if lacking := len(year.Outcomes) - told; lacking > 0 {
		fmt.Fprintf(b, " Nothing can be said of %s: the table lacks the figures.", spelling.Plural(lacking, "climate"))
	}
	return b.String()
}

// leastLeft says what the worst climate leaves of the play.
func (m *Movement) leastLeft(i int, o *seasons.Outcome) string {
	if o.PlayOutermost.Rounded() >= m.Question.Cut.Play.Play.Rounded() {
		return "No climate takes any of it from the outermost tails"
	}
	return fmt.Sprintf("The least of it is left %s: %s at the outermost tails", m.during(i, o), m.about(o.PlayOutermost))
}

func (m *Movement) howMany(assembles, told int) string {
	switch {
	case told == 1:
		return ""
	case assembles == told:
		return fmt.Sprintf(" So it does in all %d climates.", told)
	case assembles == 0:
		return fmt.Sprintf(" It does in none of %d climates as it was cut.", told)
	}
	return fmt.Sprintf(" In %d of %d climates it goes together as it was cut.", assembles, told)
}

// Advice before the next joint is cut.
const (
	AdviceSameGrain = "Use boards that are sawn alike: a flat-sawn board's width moves further than a quarter-sawn one's."
	AdviceSameStock = "Saw both boards from the same stock: two boards of one wood keep in step only as far as they are average."
	AdviceAsIs      = "Cut it as it is: these climates leave the joint as good as it was cut."
)

func (m *Movement) SameWood() string {
	return fmt.Sprintf("Make both boards of one wood, and saw them alike: %s and %s do not swell by the same amount, and the wider the boards the more that counts.",
		boardName(&m.Question.PinBoard), boardName(&m.Question.TailBoard))
}

func (m *Movement) SameMoisture() string {
	return fmt.Sprintf("Let both boards take on one moisture before they are cut: the pin board had %s, the tail board %s.",
		moistureText(m.Question.PinBoard.Moisture.Percent), moistureText(m.Question.TailBoard.Moisture.Percent))
}

func WaitText(percent float64) string {
	return fmt.Sprintf("Wait before you cut: let the boards settle at about %s, the middle of the climates that they will live in.", moistureText(percent))
}

// MeasureMoisture says what is taken where no moisture is stated.
func MeasureMoisture(taken wood.Moisture) string {
	return fmt.Sprintf("Measure the boards' moisture with a meter, or state the air that they stood in: where none is stated, %s within %s either way is taken.",
		moistureText(taken.Percent), moistureText(2*taken.StandardUncertainty))
}

func (w Words) CutLooser(year *seasons.Year) string {
	a := &year.Advice
	text := fmt.Sprintf("Cut it with %s more play", w.about(a.CutLooser))
	if year.LooserDepth.Given {
		text += fmt.Sprintf(", which is at a depth of %s (shallower)", w.Setting(year.LooserDepth.Length))
	}
	text += ": then the outermost tails still close by hand in the worst climate."
	if a.LooserIsLoose {
		text += fmt.Sprintf(" But in the best climate it is loose then, above %s: other wood is the cure.", w.about(wood.OpensAbove))
	}
	return text
}

// What stands in the plot.

const (
	PlotTitle     = "Play over the year's humidity"
	PlotHumidity  = "relative humidity of the air at 21 deg C, %"
	PlotMoisture  = "moisture that the wood takes on in it, %"
	PlotOutermost = "outermost tails"
	PlotMiddle    = "tails in the middle"
	PlotRange     = "their 95 % range"
)

// BoardText describes a board in one line.
func (m *Movement) BoardText(what string, b *wood.Board) string {
	return fmt.Sprintf("%s: %s, %s, %s wide, cut at %s", what, boardName(b), grainTexts[b.Grain.String()],
		m.Board(b.Width), moistureText(b.Moisture.Percent))
}

func (m *Movement) PlayAxis() string { return "play, " + m.unitName() }

func (w Words) unitName() string {
	if w.Unit == length.UnitInch {
		return "in"
	}
	return "mm"
}

// PlotCut names the lines at the moistures that the boards were cut at.
func PlotCut(what string, percent float64) string { return what + " cut, " + moistureText(percent) }

func PlotMissing(e *wood.MissingError) string {
	return fmt.Sprintf("Where the curves stop, the table has no %s of %s.", strings.ReplaceAll(string(e.Property), "_", " "), woodName(e.Species))
}

// PlotBeyond says which curves run on beyond the plot.
func PlotBeyond(outermost, middle bool) []string {
	switch {
	case outermost && middle:
		return []string{"Both curves run on beyond the plot."}
	case outermost:
		return []string{"The curve of the " + PlotOutermost + " runs on beyond the plot."}
	case middle:
		return []string{"The curve of the " + PlotMiddle + " runs on beyond the plot."}
	}
	return nil
}

func PlotUnnamed(n int) string { return "No room for the name of " + spelling.Plural(n, "line") + "." }

// BandLabel names a band in a word or two.
func BandLabel(b joint.Band) string { return bandLabels[b] }

var bandLabels = [...]string{
	joint.WillNotClose: "will not close", joint.Tight: "tight", joint.HandFit: "hand fit",
	joint.Loose: "loose", joint.TooLoose: "too loose",
}

// BandRange writes where a band begins and ends, in the plot's unit; an end
// that is infinite is none.
func (w Words) BandRange(from, to length.Length) string {
	bare := func(l length.Length) string { return strings.TrimSuffix(w.Precise(l), " "+w.unitName()) }
	switch {
	case math.IsInf(from.MM(), -1):
		return "below " + bare(to)
	case math.IsInf(to.MM(), 1):
		return "above " + bare(from)
	}
	return bare(from) + " to " + bare(to)
}
