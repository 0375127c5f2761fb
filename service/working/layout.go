package working

import (
	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/layout"
)

// Layout shows how the positions came about.
func Layout(l *layout.Layout, heights []layout.Height) []api.WorkingLine {
	s := l.Joint.Setup()
	d, g := s.Cutter.TipDiameter().MM(), s.Bushing.Diameter.MM()
	if s.Router.TurnedInUse {
		d += 2 * s.Bushing.Eccentricity().MM()
	}
	width, pitch, n := l.Width.MM(), l.Pitch.MM(), float64(l.Pitches)
	root, face := l.Widths.PinRoot.MM(), l.Widths.PinWidest.MM()
	lines := []api.WorkingLine{
		line("pitches", "W / P; whole, or the number nearest to it that leaves the stronger edge pin", model+"12", values{"W": width, "P": pitch}, n),
		line("first_pin", "(W - n P) / 2, its centre from the edge; every next one P on, tails P / 2 between", model+"12",
			values{"W": width, "n": n, "P": pitch}, l.FirstPin.MM()),
		line("edge_pin", "p_0 / 2 + x - |m|, of 0 to p_0 - |m|; none where x is beyond p_1 / 2", model+"7",
			values{"p_0": root, "p_1": face, "x": l.FirstPin.MM(), "m": l.Joint.EdgeStep().MM()}, l.SmallestEdgePin().MM()),
		line("pin_root", "F_p + g - d", model+"3", values{"F_p": s.Template.Pin.Finger.MM(), "g": g, "d": d}, root),
		line("tail_root", "P - S_t + g - d", model+"3",
			values{"P": pitch, "S_t": s.Template.Tail.Opening.MM(), "g": g, "d": d}, l.Widths.TailRoot.MM()),
	}
	p := joint.Prediction{Widths: l.Widths, WidthsKnown: true}
	lines = append(lines, widthLines(&p, &s, d, g)...)
	if l.Groove.Known {
		groove, tail := l.Groove.Asked, l.TailBoard.Tails[l.Groove.Tail].Narrowest
		lines = append(lines, line("groove_margin", "the smaller of y - t_1 and t_2 - (y + w), the tail's root from t_1 to t_2", model+"12",
			values{"y": groove.FromBottom.MM(), "w": groove.Width.MM(), "t_1": tail.From.MM(), "t_2": tail.To.MM()}, l.Groove.Margin.MM()))
	}
	if len(heights) > 0 {
		h := heights[0]
		lines = append(lines, line("height", "n P, as much of the opening as it fills", model+"12",
			values{"n": float64(h.Tails), "P": h.Height.MM() / float64(h.Tails)}, h.Height.MM()))
	}
	return lines
}
