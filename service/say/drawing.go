package say

import (
	"math"

	"snugtail/joint"
	"snugtail/joint/length"
	shapes "snugtail/joint/shape"
	"snugtail/service/codes"
	"snugtail/service/message"
)

// What stands in drawings.

// Drawing is a text of a drawing that names nothing: of a view, of the title block,
// a note below a figure.
func Drawing(what, code string) message.Message { return message.New("drawing." + what).As(code) }

// QRTitle is what a QR code by itself is called.
func QRTitle() message.Message { return message.New("drawing.qr") }

// DrawingTitle is what a drawing is called.
func DrawingTitle(job string) message.Message {
	return message.New("drawing.title", message.Name("job", job))
}

// DrawnPart names a part that a figure points at.
func DrawnPart(part shapes.Part) message.Message { return Drawing("part", codes.DrawnParts[part]) }

// DrawnSize is what a dimension says. It has several lines where it stands beside a
// figure; one above or below it has one.
func DrawnSize(d *shapes.Dimension) message.Message {
	m := message.New("drawing.size."+codes.Measures[d.Measure], message.Length("size", d.Value))
	size := message.Length("size", max(d.Value, -d.Value))
	switch d.Measure {
	case shapes.Play:
		return drawnPlay(m.Code, d.Value)
	case shapes.SeatOffset:
		state := codes.Seat(joint.Seat{Offset: d.Value, Known: true})
		if state == "flush" {
			return m.As(state)
		}
		return message.New(m.Code, size).As(state)
	case shapes.FlareClearance:
		if d.Value < 0 {
			return message.New(m.Code, size).As("cuts")
		}
		return m.As("off")
	case shapes.CutterAngle:
		return message.New(m.Code, drawnAngle(d.Degrees))
	}
	return m
}

// drawnAngle is an angle as drawings state it, to a tenth of a degree.
func drawnAngle(degrees float64) message.Param {
	return message.Number("angle", math.Round(degrees*10)/10)
}

func drawnPlay(code string, play length.Length) message.Message {
	if play.Rounded() < 0 {
		return message.New(code, message.Length("size", -play)).As("interference")
	}
	return message.New(code, message.Length("size", play)).As("open")
}

// PlayLarger is what the figure says that shows play larger.
func PlayLarger(play length.Length, factor float64) message.Message {
	return drawnPlay("drawing.larger", play).With(times("times", factor))
}

func times(name string, factor float64) message.Param {
	return message.Number(name, math.Round(factor*100)/100)
}

// FactorDrawn says that play is not drawn as large as it was asked for.
func FactorDrawn(asked, drawn float64) message.Message {
	return message.New("drawing.note.factor", times("drawn", drawn), times("asked", asked))
}

// bare is a precise length without its unit, which the page states once.
func (w Words) bare(l length.Length) string { return w.Printer.Bare(l) }

// DrawnTools names cutter, bushing and depth of cut.
func DrawnTools(s *joint.Setup) message.Message {
	return message.New("drawing.tools", append(toolsOf(s), drawnAngle(float64(s.Cutter.Angle)))...)
}

func toolsOf(s *joint.Setup) []message.Param {
	return []message.Param{
		message.Length("cutter", s.Cutter.Diameter.Length), message.Word("guide", "guide", guideOf(s.Bushing.Kind)),
		message.Length("bushing", s.Bushing.Diameter.Length), message.Said("depth", drawnDepth(s.Depth)),
	}
}

func guideOf(k joint.BushingKind) string {
	if k == joint.KindBearing {
		return "bearing"
	}
	return "bushing"
}

// drawnDepth is one depth of cut, or both.
func drawnDepth(d joint.Depth) message.Message {
	if d.PinBoard.Length == d.TailBoard.Length {
		return message.New("drawing.depth", message.Length("depth", d.PinBoard.Length)).As("one")
	}
	return message.New("drawing.depth", message.Length("pin_board", d.PinBoard.Length), message.Length("tail_board", d.TailBoard.Length)).As("two")
}

// DrawnUnit is the unit that a drawing's sizes are in, and SizesIn a sentence on it.
func (w Words) DrawnUnit() message.Message { return Drawing("unit", w.unitCode()) }
func (w Words) SizesIn() message.Message   { return Drawing("sizes", w.unitCode()) }

func (w Words) unitCode() string {
	if w.Unit == length.UnitInch {
		return "in"
	}
	return "mm"
}

// DrawingDesc says in words what the drawing shows, for those who don't see it.
func DrawingDesc(p *joint.Prediction) message.Message {
	s := p.Joint.Setup()
	m := message.New("drawing.desc", append(toolsOf(&s), message.Angle("angle", float64(s.Cutter.Angle)))...)
	if lap, known := p.Joint.Lap(); known {
		m = m.With(message.Length("lap", lap))
	}
	if w := &p.Widths; p.WidthsKnown {
		m = m.With(message.Length("pin_widest", w.PinWidest), message.Length("pin_root", w.PinRoot),
			message.Length("tail_widest", w.TailWidest), message.Length("tail_root", w.TailRoot))
	}
	return message.Sentences(m, FitDrawn(p))
}
