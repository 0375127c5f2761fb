package say

import (
	"fmt"

	"snugtail/joint"
	"snugtail/joint/layout"
	"snugtail/joint/length"
	"snugtail/joint/run"
	"snugtail/service/codes"
	"snugtail/service/message"
)

// What stands on the page for the bench.

// Sheet is a text of the page that names nothing, such as a heading.
func Sheet(code string) message.Message { return message.New("sheet." + code) }

// SheetTitle is what the page is called.
func SheetTitle(job string) message.Message { return Sheet("title").With(message.Name("job", job)) }

// SheetChartHow says how the chart of a run is filled in.
func SheetChartHow() message.Message {
	return Sheet("chart_how").With(message.Count("least", run.LeastReadings), message.Number("steps", run.Individuals),
		message.Count("firm", run.FirmReadings), message.Number("shut", 0))
}

// Lengths of the ruler on the page, and the scale of the joint beside it.
const (
	RulerMM     = 100
	RulerInches = 4
	fullPercent = 100
	fullSize    = "1:1"
)

// SheetRuler says what the ruler is for.
func SheetRuler() message.Message {
	return Sheet("ruler").With(message.Number("percent", fullPercent), message.Number("mm", RulerMM), message.Number("inches", RulerInches),
		message.Name("scale", fullSize))
}

// SheetColumns head the lines to write on, SheetChartRows what is written below the
// chart.
var (
	SheetColumns   = []string{"joint", "depth", "pin_board", "tail_board", "feel", "gap", "seat"}
	SheetChartRows = []string{"joint", "gap"}
)

// CornerBoards are the boards that lie flat at a corner.
var CornerBoards = map[layout.Depthwise]string{layout.Front: "front", layout.Back: "back"}

// LettersLacking says which letters a page cannot print; the first few by their
// numbers, since it cannot.
func LettersLacking(letters []rune) message.Message {
	const most = 8
	numbers := make([]string, 0, most)
	for _, r := range letters[:min(most, len(letters))] {
		numbers = append(numbers, fmt.Sprintf("U+%04X", r))
	}
	m := Sheet("lacking").With(message.Names("letters", numbers...))
	if n := len(letters) - most; n > 0 {
		return m.With(message.Count("more", n))
	}
	return m
}

// SheetStop is the stop that a corner is cut at.
func SheetStop(c layout.Corner) message.Message { return Sheet("stop").As(codes.Sides[c.Stop]) }

// Row is a line of the settings.
type Row struct{ Name, Value message.Message }

func row(name string, value message.Message) Row { return Row{Sheet("row").As(name), value} }

func value(code string, params ...message.Param) message.Message {
	return message.New("sheet.value."+code, params...)
}

// SettingsRows are the tools, the template and the boards.
func SettingsRows(s *joint.Setup) []Row {
	rows := []Row{
		row("cutter", value("cutter", message.Length("diameter", s.Cutter.Diameter.Length), message.Angle("angle", float64(s.Cutter.Angle)), message.Name("id", s.Cutter.ID))),
		row("guide", value("guide", message.Length("diameter", s.Bushing.Diameter.Length), message.Name("id", s.Bushing.ID))),
		row("template", templateValue(&s.Template)),
	}
	if boards := boardsOf(s); len(boards) > 0 {
		rows = append(rows, row("boards", value("boards", message.List("boards", boards...))))
	}
	return rows
}

func templateValue(t *joint.Template) message.Message {
	switch t.Kind {
	case joint.OnePiece:
		return value("one_piece", message.Length("pitch", t.Pitch.Length), message.Length("tail_opening", t.Tail.Opening.Length))
	case joint.TwoPosition:
		return value("two_position", message.Length("pitch", t.Pitch.Length), message.Length("tail_opening", t.Tail.Opening.Length),
			message.Length("pin_opening", t.Pin.Opening.Length))
	case joint.Proven:
		return value("proven", message.Length("allowance", t.TotalAllowance()))
	}
	return value("allowance", message.Length("allowance", t.TotalAllowance()))
}

func boardsOf(s *joint.Setup) (all []message.Message) {
	for _, board := range []struct {
		code string
		size length.Size
	}{
		{"front", s.PinBoard.Thickness},
		{"side", s.TailBoard.Thickness},
		{"width", s.PinBoard.Width.Or(s.TailBoard.Width.Length)},
	} {
		if board.size.Given && board.size.Length > 0 {
			all = append(all, value(board.code, message.Length("size", board.size.Length)))
		}
	}
	return all
}

// DepthRows are the depth to cut and what is set at the router for it; asked is the
// depth that was asked about, where another one is advised.
func DepthRows(j *joint.Joint, asked *length.Length) []Row {
	s := j.Setup()
	rows := depthToCut(s.Depth, asked)
	if lap, known := j.Lap(); known {
		rows = append(rows, row("lap", value("lap", message.Length("size", lap))))
	}
	p := j.Projection()
	if p.BelowBaseKnown {
		rows = append(rows, row("below_base", value("not_the_depth", message.Length("size", p.BelowBase))))
	}
	if p.BelowBushingKnown {
		rows = append(rows, row("below_bushing", value("not_the_depth", message.Length("size", p.BelowBushing))))
	}
	if lead := s.Router.AdjusterLead; lead.Given {
		rows = append(rows, row("adjuster", value("adjuster", message.Length("size", lead.Length))))
	}
	return rows
}

func depthToCut(d joint.Depth, asked *length.Length) []Row {
	as := func(name, code string, depth length.Length) Row {
		return row(name, value(code, message.Length("depth", depth)))
	}
	switch {
	case asked != nil:
		return []Row{as("depth", "advised", d.PinBoard.Length), as("depth_as_set", "depth", *asked)}
	case d.PinBoard.Length != d.TailBoard.Length:
		return []Row{as("depth_pin_board", "depth", d.PinBoard.Length), as("depth_tail_board", "depth", d.TailBoard.Length)}
	}
	return []Row{as("depth", "depth", d.PinBoard.Length)}
}

// SetByRow says how the depth is set.
func SetByRow(s Set) Row { return row("set_by", Setting(s)) }

// TemplatePlace says where the template lies on the boards.
func TemplatePlace(j *joint.Joint) message.Message {
	s := j.Setup()
	moves := message.New("sheet.lies.moves", message.Length("by", tenth), message.Length("seat", 2*tenth))
	return message.Sentences(liesOver(&s.Template), seated("home", j.Seat()), moves)
}

func liesOver(t *joint.Template) message.Message {
	known := func(p *joint.Pass) bool { return t.KnownByOpenings() && p.OpeningReach.Given && p.FingerReach.Given }
	if !known(&t.Pin) {
		return message.New("sheet.lies").As("unknown")
	}
	m := message.New("sheet.lies", message.Length("opening_reach", t.Pin.OpeningReach.Length), message.Length("finger_reach", t.Pin.FingerReach.Length))
	if t.Kind == joint.OnePiece || !known(&t.Tail) {
		return m.As("pin_board")
	}
	return m.With(message.Length("tail_opening_reach", t.Tail.OpeningReach.Length), message.Length("tail_finger_reach", t.Tail.FingerReach.Length)).As("both_boards")
}

// FirstSteps lead to the first test joint.
func FirstSteps(p *joint.Prediction) []message.Message {
	j := &p.Joint
	s := j.Setup()
	if l, broken := p.Limits.Broken(); broken {
		return []message.Message{notHere("yet", l, true), firstStep("change_first")}
	}
	return []message.Message{
		firstStep("fit_tools").With(message.Length("bushing", s.Bushing.Diameter.Length), message.Length("cutter", s.Cutter.Diameter.Length),
			message.Angle("angle", float64(s.Cutter.Angle))),
		setDepthStep(j),
		firstStep("measure").With(message.Length("depth", s.Depth.PinBoard.Length)),
		firstStep("mark"),
		firstStep("clamp").As(clamped(s.Template.Kind)),
		firstStep("rout"), firstStep("try"), firstStep("ask"),
	}
}

func firstStep(code string) message.Message { return message.New("sheet.step." + code) }

func setDepthStep(j *joint.Joint) message.Message {
	if p := j.Projection(); p.BelowBaseKnown {
		return firstStep("set_depth").With(message.Length("depth", p.BelowBase)).As("below_base")
	}
	return firstStep("set_depth").With(message.Length("depth", j.Setup().Depth.PinBoard.Length)).As("template")
}

// clamped is how boards are clamped: both at once, or one after the other.
func clamped(kind joint.TemplateKind) string {
	if kind == joint.TwoPosition {
		return "each"
	}
	return "both"
}

// Expected says what the joint will be like, and what the chance rests on.
func Expected(f *joint.Fit, target joint.Target, rests string) []Row {
	rows := []Row{
		row("play", value("play", message.Length("play", f.Play), message.Said("likely", Likely(f)))),
		row("target", value("target", message.Length("play", target.Play), message.Length("from", target.From), message.Length("to", target.To))),
		row("chance", value("chance", message.Chance("chance", f.InTarget)).As(rests)),
	}
	if f.PulledGapKnown {
		rows = append(rows, row("gap", value("gap", message.Length("gap", f.PulledGap))))
	}
	return rows
}

// GaugeLine is what is kept of a test joint.
func GaugeLine(gauge message.Message) message.Message {
	return Sheet("gauge").With(message.Said("gauge", gauge))
}
