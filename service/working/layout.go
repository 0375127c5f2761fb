package working

import (
	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/layout"
	"snugtail/service/answers"
	"snugtail/service/message"
)

// Layout shows how the positions came about.
func Layout(w answers.Writer, l *layout.Layout, heights []layout.Height) []api.WorkingLine {
	s := l.Joint.Setup()
	d, g := s.Cutter.TipDiameter().MM(), s.Bushing.Diameter.MM()
	if s.Router.TurnedInUse {
		d += 2 * s.Bushing.Eccentricity().MM()
	}
	width, pitch, n := l.Width.MM(), l.Pitch.MM(), float64(l.Pitches)
	root, face := l.Widths.PinRoot.MM(), l.Widths.PinWidest.MM()
	lines := []figure{
		line(message.New("working.pitches"), &layout.PitchesFormula, values{"W": width, "P": pitch}, n),
		line(message.New("working.first_pin"), &layout.FirstPinFormula,
			values{"W": width, "n": n, "P": pitch}, l.FirstPin.MM()),
		line(message.New("working.edge_pin"), &layout.EdgePinFormula,
			values{"p_0": root, "p_1": face, "x": l.FirstPin.MM(), "m": l.Joint.EdgeStep().MM()}, l.SmallestEdgePin().MM()),
		line(message.New("working.pin_root"), &joint.PinRootFormula, values{"F_p": s.Template.Pin.Finger.MM(), "g": g, "d": d}, root),
		line(message.New("working.tail_root"), &joint.TailRootFormula,
			values{"P": pitch, "S_t": s.Template.Tail.Opening.MM(), "g": g, "d": d}, l.Widths.TailRoot.MM()),
	}
	p := joint.Prediction{Widths: l.Widths, WidthsKnown: true}
	lines = append(lines, widthLines(&p, &s, d, g)...)
	if l.Groove.Known {
		groove, tail := l.Groove.Asked, l.TailBoard.Tails[l.Groove.Tail].Narrowest
		lines = append(lines, line(message.New("working.groove_margin"), &layout.GrooveFormula,
			values{"y": groove.FromBottom.MM(), "w": groove.Width.MM(), "t_1": tail.From.MM(), "t_2": tail.To.MM()}, l.Groove.Margin.MM()))
	}
	if len(heights) > 0 {
		h := heights[0]
		lines = append(lines, line(message.New("working.height"), &layout.HeightFormula,
			values{"n": float64(h.Tails), "P": h.Height.MM() / float64(h.Tails)}, h.Height.MM()))
	}
	return written(w, lines)
}
