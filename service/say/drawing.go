package say

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"snugtail/joint"
	"snugtail/joint/length"
	shapes "snugtail/joint/shape"
	"snugtail/service/codes"
)

// What stands in drawings.

func DrawingTitle(job string) string {
	if job == "" {
		return "The joint to scale"
	}
	return job + ": the joint to scale"
}

// SpotText names a part that a figure points at, in lines.
func SpotText(part shapes.Part) []string { return spotTexts[part] }

var spotTexts = map[shapes.Part][]string{
	shapes.PinBoard: {"pin board", "(front)"}, shapes.TailBoard: {"tail board", "(side)"}, shapes.Wood: {"pin board"},
	shapes.Template: {"template"}, shapes.RouterBase: {"router base"},
}

var measureTextsDrawn = [shapes.MeasureCount]string{
	shapes.PinWidest: "pin, face", shapes.PinRoot: "pin, root", shapes.TailWidest: "tail, end", shapes.TailRoot: "tail, root",
	shapes.PinSocketWidest: "pin socket", shapes.TailSocketWidest: "tail socket", shapes.Pitch: "pitch",
	shapes.Depth: "depth of cut", shapes.DepthPinBoard: "depth, pin board", shapes.DepthTailBoard: "depth, tail board", shapes.Lap: "lap",
	shapes.ShoulderGap: "shoulder open", shapes.FloorGap: "hidden gap", shapes.NoseRadius: "nose", shapes.SocketRadius: "socket end",
	shapes.PinEndRadius: "pin end", shapes.TailThickness: "tail board", shapes.CutterDiameter: "cutter",
	shapes.BushingDiameter: "bushing", shapes.BushingBore: "bore", shapes.BelowBase: "below the base", shapes.BelowBushing: "below the bushing",
	shapes.CutterAngle: "flank",
}

// MeasureLines is what a dimension says, in lines; one above or below a figure
// has one line.
func (w Words) MeasureLines(d *shapes.Dimension) []string {
	value := w.bare(d.Value)
	switch d.Measure {
	case shapes.Play:
		return w.playLines(d.Value)
	case shapes.SeatOffset:
		return []string{"seat", w.seatDrawn(d.Value)}
	case shapes.FirstTouch:
		return []string{"first touch", w.bare(d.Value) + " proud"}
	case shapes.FlareClearance:
		if d.Value < 0 {
			return []string{"flare cuts", "the template", "by " + w.bare(-d.Value)}
		}
		return []string{"flare off the", "template", value}
	case shapes.CutterAngle:
		return []string{measureTextsDrawn[d.Measure], degrees(d.Degrees)}
	case shapes.NoseRadius, shapes.SocketRadius, shapes.PinEndRadius:
		value = "R" + value
	case shapes.CutterDiameter, shapes.BushingDiameter, shapes.BushingBore:
		value = "\u00d8" + value
	}
	return []string{measureTextsDrawn[d.Measure], value}
}

// degrees writes an angle as drawings do.
func degrees(angle float64) string {
	return strconv.FormatFloat(math.Round(angle*10)/10, 'f', -1, 64) + "\u00b0"
}

func (w Words) playLines(c length.Length) []string {
	if c.Rounded() < 0 {
		return []string{"interference", w.bare(-c)}
	}
	return []string{"play", w.bare(c)}
}

// bare is a precise length without its unit, which the page states once.
func (w Words) bare(l length.Length) string {
	number, _, _ := strings.Cut(w.Precise(l), " ")
	return number
}

// What the title block of a drawing names.
const (
	BlockTitle      = "Title"
	BlockTools      = "Cutter, bushing, depth of cut"
	BlockScale      = "Scale"
	BlockSizes      = "Sizes in"
	BlockProjection = "Projection"
	BlockDate       = "Date"
	BlockWho        = "Drawn for"
)

// ToolsText names cutter, bushing and depth of cut.
func (w Words) ToolsText(s *joint.Setup) string {
	return fmt.Sprintf("%s %s, %s %s, %s", w.Size(s.Cutter.Diameter.Length), degrees(float64(s.Cutter.Angle)), guide(s.Bushing.Kind),
		w.Size(s.Bushing.Diameter.Length), w.depths(s.Depth))
}

// UnitName is the unit that a drawing's sizes are in.
func (w Words) UnitName() string {
	if w.Unit == length.UnitInch {
		return "in"
	}
	return "mm"
}

func (w Words) SizesIn() string {
	if w.Unit == length.UnitInch {
		return "Sizes in the drawing are in inches."
	}
	return "Sizes in the drawing are in mm."
}

// PlayLarger is what the figure says that shows play larger.
func (w Words) PlayLarger(c length.Length, factor float64) []string {
	return append(w.playLines(c), "drawn "+timesText(factor))
}

func timesText(factor float64) string {
	return strconv.FormatFloat(math.Round(factor*100)/100, 'f', -1, 64) + " times"
}

func (w Words) seatDrawn(q length.Length) string {
	s := joint.Seat{Offset: q, Known: true}
	switch codes.Seat(s) {
	case "inside":
		return w.bare(q) + " inside"
	case "proud":
		return w.bare(-q) + " proud"
	}
	return "flush, " + w.bare(q)
}

// OneLine joins the lines of a dimension above or below a figure.
func OneLine(lines []string) string {
	text := lines[0]
	for _, line := range lines[1:] {
		text += " " + line
	}
	return text
}

const (
	EndCaption    = "End view, assembled"
	LargerCaption = "Play drawn larger"
	PlanCaption   = "Plan at the pin board's face"
	ToolCaption   = "Cutter at its depth"

	WidthsUnknown   = "Widths are not known of this template; angle, depth and play are true."
	PlanUnknown     = "Not known of this template: it needs its openings and fingers."
	EndsUnknown     = "Round ends and seat are not known: they need the template's reaches."
	EndsOddly       = "Round ends are not drawn: at these reaches the flanks have no straight side."
	RestUnknown     = "Drawn flush: without play nothing says where it comes to rest."
	JammedDrawn     = "Drawn where the boards first touch on sliding in."
	PressedDrawn    = "Drawn pressed home, as a hand fit goes: black is the overlap that gives way."
	PlayHalved      = "Half of the play is at either flank."
	BlackOverlap    = "Black: wood that pins and tails both claim."
	TemplateUnknown = "Template and base: thickness not known, so no projection."
	BearingDrawn    = "What is drawn as the bushing is the bearing on the shank: of it only the diameter is known."
	BarrelUnknown   = "Of the bushing only the outside is known."
	FlankUnknown    = "The cutter above is not known: it needs its cutting length."
	AxesApart       = "The cutter's axis is off the bushing's; drawn where the flare comes nearest."
	NotTheDepth     = "What stands out below base or bushing is not the depth of cut."
)

func FactorDrawn(asked, drawn float64) string {
	return fmt.Sprintf("Drawn %s as large, not %s: more would leave nothing of the wood.", timesText(drawn), timesText(asked))
}

// DrawingDesc says in words what the drawing shows, for those who don't see it.
func (w Words) DrawingDesc(p *joint.Prediction) string {
	s := p.Joint.Setup()
	text := fmt.Sprintf("Cutter %s, %s; %s %s; depth of cut %s", w.Size(s.Cutter.Diameter.Length), angleText(s.Cutter.Angle), guide(s.Bushing.Kind),
		w.Size(s.Bushing.Diameter.Length), w.depths(s.Depth))
	if lap, known := p.Joint.Lap(); known {
		text += "; lap " + w.about(lap)
	}
	if p.WidthsKnown {
		text += fmt.Sprintf("; pins %s at the face and %s at the root, tails %s at the end and %s at the root",
			w.about(p.Widths.PinWidest), w.about(p.Widths.PinRoot), w.about(p.Widths.TailWidest), w.about(p.Widths.TailRoot))
	}
	return text + ". " + w.Text(FitDrawn(p))
}

// depths writes one depth of cut, or both.
func (w Words) depths(d joint.Depth) string {
	if d.PinBoard.Length == d.TailBoard.Length {
		return w.Setting(d.PinBoard.Length)
	}
	return fmt.Sprintf("%s in the pin board, %s in the tail board", w.Setting(d.PinBoard.Length), w.Setting(d.TailBoard.Length))
}
