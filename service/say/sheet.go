package say

import (
	"fmt"
	"strings"

	"snugtail/joint"
	"snugtail/joint/layout"
	"snugtail/joint/length"
	"snugtail/service/codes"
)

// What stands on the page for the bench.

func SheetTitle(job string) string {
	if job == "" {
		return "Set-up sheet"
	}
	return "Set-up sheet: " + job
}

const (
	SheetSettings = "Settings"
	SheetSteps    = "Steps"
	SheetDepth    = "Depth of cut is measured in the wood"
	SheetTemplate = "Where the template lies"
	SheetCorners  = "Which face, which edge, which stop"
	SheetCautions = "Caution"
	SheetKeep     = "Keep"
	SheetScan     = "Scan this with a phone: it opens the page with this set-up filled in."
	QRTitle       = "QR code"
	SheetNotes    = "Write down"
	SheetDrawing  = "The joint"
	SheetNotYet   = "The joint as it is set, not to be cut yet"
	SheetChart    = "Chart of the run"

	SheetChartHow = "Every few joints, always after as many and with the depth left alone, pull one and read its gap: write the joint's " +
		"number and its gap below, and mark the gap in its column. From 8 readings on draw their mean and, 2.66 times the mean step from one to " +
		"the next above and below it, two limits; they are firm from 20 on. A gap of 0 or a mark beyond the limits: stop, measure depth and " +
		"widths. Within them leave the depth alone."

	SheetDepthHow = "Cut one slot in scrap as thick as the front. Router off and unplugged: blow the slot out and measure from the face " +
		"to the floor, in the middle of the slot, with a caliper's depth rod or a small square. Do the same on the tail board's " +
		"end after the test joint. Never go by the router's scale, or by what the cutter stands out."
	SheetRuler    = "Print at 100 %, not fitted to the page. Where this ruler does not measure 100 mm and 4 in, the joint is not at 1:1."
	SheetRulerMM  = "100 mm"
	SheetRulerIn  = "4 in"
	SheetDate     = "Date"
	SheetWho      = "Who"
	notTheDepthOf = ", not the depth of cut"
)

// SheetChartRows are what is written below the chart.
var SheetChartRows = []string{"joint", "gap"}

// SheetColumns head the lines to write on.
var SheetColumns = []string{"Test joint", "Depth as set", "in pin board", "in tail board", "How it went together", "Gap when pulled", "Seat"}

// CornersRule is what holds at every corner of a drawer.
const CornersRule = "Front and back lie flat, inside up. Sides stand, inside towards you. The bottom edge of both goes to the stop."

// CornersLegend says what is what in the figures of the corners.
const CornersLegend = "Drawn as they lie before you, the grey template between them; heavy: bottom edge, black: stop."

// What stands on the boards of a corner.
const (
	CornerSideBoard   = "side"
	CornerFaceUp      = "inside up"
	CornerFaceTowards = "inside towards you"
)

// CornerBoards are the boards that lie flat.
var CornerBoards = map[layout.Depthwise]string{layout.Front: "front", layout.Back: "back"}

// LettersLacking says which letters a page cannot print; the first few by their
// numbers, since it cannot.
func LettersLacking(letters []rune) string {
	const most = 8
	numbers := make([]string, 0, most)
	for _, r := range letters[:min(most, len(letters))] {
		numbers = append(numbers, fmt.Sprintf("U+%04X", r))
	}
	more := ""
	if n := len(letters) - most; n > 0 {
		more = fmt.Sprintf(" and %d more", n)
	}
	return "In the PDF □ stands for letters that its font lacks: " + strings.Join(numbers, ", ") + more + "."
}

func StopText(c layout.Corner) string { return codes.Sides[c.Stop] + " stop" }

// Row is a line of the settings.
type Row struct{ Name, Value string }

func (w Words) SettingsRows(s *joint.Setup) []Row {
	rows := []Row{
		{"cutter/bit", w.named(s.Cutter.ID, w.BothSizes(s.Cutter.Diameter.Length)+", "+angleText(s.Cutter.Angle))},
		{guideRow(s.Bushing.Kind), w.named(s.Bushing.ID, w.BothSizes(s.Bushing.Diameter.Length))},
		{"template", w.templateText(&s.Template)},
	}
	if boards := w.boardsText(s); boards != "" {
		rows = append(rows, Row{"boards", boards})
	}
	return rows
}

// guideRow and guide name what runs along the template.
func guideRow(k joint.BushingKind) string {
	if k == joint.KindBearing {
		return "bearing"
	}
	return "bushing/guide bush"
}

func guide(k joint.BushingKind) string {
	if k == joint.KindBearing {
		return "bearing"
	}
	return "bushing"
}

func (w Words) named(id, text string) string {
	if id == "" {
		return text
	}
	return text + ", " + id
}

func (w Words) templateText(t *joint.Template) string {
	switch t.Kind {
	case joint.OnePiece:
		return fmt.Sprintf("one piece, pitch %s, openings %s", w.Size(t.Pitch.Length), w.Size(t.Tail.Opening.Length))
	case joint.TwoPosition:
		return fmt.Sprintf("two positions, pitch %s; tails: openings %s; pins: openings %s",
			w.Size(t.Pitch.Length), w.Size(t.Tail.Opening.Length), w.Size(t.Pin.Opening.Length))
	case joint.Proven:
		return fmt.Sprintf("known by a joint that fitted, allowance %s", w.about(t.TotalAllowance()))
	}
	return fmt.Sprintf("known by its allowance, %s", w.about(t.TotalAllowance()))
}

func (w Words) boardsText(s *joint.Setup) string {
	var all []string
	for _, board := range []struct {
		name string
		size length.Size
	}{
		{"front %s thick", s.PinBoard.Thickness},
		{"side %s thick", s.TailBoard.Thickness},
		{"%s wide", s.PinBoard.Width.Or(s.TailBoard.Width.Length)},
	} {
		if board.size.Given && board.size.Length > 0 {
			all = append(all, fmt.Sprintf(board.name, w.Board(board.size.Length)))
		}
	}
	return strings.Join(all, ", ")
}

// DepthToCut names the depth on the page.
const DepthToCut = "DEPTH OF CUT"

// AsAdvised and DepthAsSet tell the depth to set from the one asked about.
const (
	AsAdvised  = ", advised"
	DepthAsSet = "depth as set"
)

// DepthRows are the depth, by its name, and what is set at the router for it.
func (w Words) DepthRows(name string, j *joint.Joint) []Row {
	s := j.Setup()
	rows := []Row{{name, w.BothSettings(s.Depth.PinBoard.Length)}}
	if s.Depth.PinBoard.Length != s.Depth.TailBoard.Length {
		rows = []Row{{"DEPTH, pin board", w.BothSettings(s.Depth.PinBoard.Length)}, {"DEPTH, tail board", w.BothSettings(s.Depth.TailBoard.Length)}}
	}
	if lap, known := j.Lap(); known {
		rows = append(rows, Row{"lap left in front", w.BothAbout(lap)})
	}
	p := j.Projection()
	if p.BelowBaseKnown {
		rows = append(rows, Row{"cutter below base", w.BothSettings(p.BelowBase) + notTheDepthOf})
	}
	if p.BelowBushingKnown {
		rows = append(rows, Row{"below bushing's tip", w.BothSettings(p.BelowBushing) + notTheDepthOf})
	}
	if lead := s.Router.AdjusterLead; lead.Given {
		rows = append(rows, Row{"turn of adjuster", w.BothSizes(lead.Length)})
	}
	return rows
}

// TemplatePlace says where the template lies on the boards.
func (w Words) TemplatePlace(j *joint.Joint) string {
	s := j.Setup()
	text := "Where it lies is not known here: set it by the seat of the test joint. "
	place := func(p *joint.Pass, board string) string {
		return fmt.Sprintf("over %s the openings reach %s in from its end, the fingers stand out %s in front", board, w.BothSizes(p.OpeningReach.Length), w.BothSizes(p.FingerReach.Length))
	}
	t := &s.Template
	known := func(p *joint.Pass) bool { return t.KnownByOpenings() && p.OpeningReach.Given && p.FingerReach.Given }
	switch {
	case t.Kind == joint.OnePiece && known(&t.Pin):
		text = capital(place(&t.Pin, "the pin board")) + ". "
	case known(&t.Pin) && known(&t.Tail):
		text = capital(place(&t.Pin, "the pin board")) + "; " + place(&t.Tail, "the tail board") + ". "
	case known(&t.Pin):
		text = capital(place(&t.Pin, "the pin board")) + ". "
	}
	if seat := w.seat(j.Seat()); seat != "" {
		text += "Slid home, " + seat + ". "
	}
	return text + fmt.Sprintf("Each %s further onto the pin board brings the side %s further in; tightness stays.", w.about(tenth), w.about(2*tenth))
}

// FirstSteps lead to the first test joint.
func (w Words) FirstSteps(p *joint.Prediction) []string {
	j := &p.Joint
	s := j.Setup()
	if l, broken := p.Limits.Broken(); broken {
		return []string{fmt.Sprintf("Do not cut yet: %s.", w.brokenLimit(l)), "Change what is in the way, and ask again before anything is cut."}
	}
	return []string{
		w.fitTools(&s),
		w.setDepthStep(j),
		fmt.Sprintf("Cut one slot in scrap and measure it in the wood. Change the depth until it is %s.", w.Setting(s.Depth.PinBoard.Length)),
		"Mark face and bottom edge of two test boards of the same wood and thickness as the drawer's.",
		clampStep(s.Template.Kind),
		fmt.Sprintf("Score the tail board's front with a light climbing pass, then rout from left to right into every opening until the %s has touched both its sides. Go round once more.", guide(s.Bushing.Kind)),
		"Slide the joint home and let go. Pull the tail board along its own length: write down the gap that opens, and how it went together.",
		"Ask for the next step with what you wrote down, before any drawer part is cut.",
	}
}

func (w Words) fitTools(s *joint.Setup) string {
	size, cutter := w.Size(s.Bushing.Diameter.Length), w.Size(s.Cutter.Diameter.Length)+" cutter, "+angleText(s.Cutter.Angle)
	if s.Bushing.Kind == joint.KindBearing {
		return fmt.Sprintf("Router off and unplugged: fit the %s, its %s bearing on the shank, held by its collar. See that the bearing turns freely and runs on the template, clear of the wood.", cutter, size)
	}
	return fmt.Sprintf("Router off and unplugged: fit the %s bushing, then the %s. See that the cutter runs in the bushing's middle.", size, cutter)
}

func (w Words) setDepthStep(j *joint.Joint) string {
	s := j.Setup()
	if p := j.Projection(); p.BelowBaseKnown {
		return fmt.Sprintf("Let the cutter stand out %s below the base for a start: template and depth of cut together.", w.Setting(p.BelowBase))
	}
	return fmt.Sprintf("Let the cutter stand out by the template's thickness and %s for a start.", w.Setting(s.Depth.PinBoard.Length))
}

func clampStep(kind joint.TemplateKind) string {
	if kind == joint.TwoPosition {
		return "Clamp one board after the other: pin board flat, inside up; tail board upright, inside towards you, its end level with the template's seat."
	}
	return "Clamp both boards: pin board flat, inside up; tail board upright in front of it, inside towards you, ends level, half a pitch to the side."
}

// Expected says what the joint will be like; condition goes with the chance.
func (w Words) Expected(f *joint.Fit, target joint.Target, condition string) []Row {
	rows := []Row{
		{"play to expect", fmt.Sprintf("%s; %s", w.about(f.Play), w.Likely(f))},
		{"play wanted", fmt.Sprintf("%s; from %s to %s is good", w.about(target.Play), w.about(target.From), w.about(target.To))},
		{"chance that it fits", Percent(f.InTarget) + condition},
	}
	if f.PulledGapKnown {
		rows = append(rows, Row{"gap when pulled", w.about(f.PulledGap)})
	}
	return rows
}

func GaugeLine(gauge string) string { return "On the test tail board, kept as depth gauge: " + gauge }
