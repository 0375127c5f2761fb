package paper

import (
	"snugtail/joint/layout"
	"snugtail/service/codes"
	"snugtail/service/draw"
	"snugtail/service/say"
)

// The four corners of a drawer on the page: the boards as they lie at the
// template, seen by who stands before it, with the face that shows, the bottom
// edge and the stop that it goes to.

// Sizes of a corner: on paper, mm, and in sizes of the text.
const (
	cornerRoom   = 4.2 // beside the boards, for the stop
	cornerApart  = 2.0
	cornerGap    = 0.4 // between boards and template
	cornerBar    = 1.2 // the template
	cornerHead   = 1.6
	cornerFlat   = 2.9
	cornerStands = 3.4
	cornerEdge   = 1.0 // the pen of a bottom edge
)

// drawCorners draws them as the drawer is seen from above, its front below.
func (l *sheetLayout) drawCorners(x, y, width float64) (bottom float64) {
	f := &draw.Flow{Page: l.p, X: x, Y: y, Width: width, Size: l.size}
	heading(f, l.said("corners"))
	f.Text(l.said("corners_rule")+" "+l.said("corners_legend"), draw.Regular)
	f.Skip(0.3)
	wide := (width - cornerApart) / 2
	high := (cornerHead+cornerFlat+cornerStands)*l.size + 2*cornerGap + cornerBar + cornerApart
	for _, c := range l.corners {
		at := draw.Point{X: x, Y: f.Y}
		if c.Side == layout.Right {
			at.X += wide + cornerApart
		}
		if c.Depthwise == layout.Front {
			at.Y += high
		}
		l.p.Begin(draw.Picture, codes.CornerLabels[c.Depthwise][c.Side]+", "+l.Words.Text(say.SheetStop(c))+": "+l.said("corners_rule"))
		l.drawCorner(c, at, wide)
		l.p.End()
	}
	return f.Y + 2*high - cornerApart
}

// drawCorner draws one of them, its upper left at a point.
func (l *sheetLayout) drawCorner(c layout.Corner, at draw.Point, wide float64) {
	label := draw.Text{At: draw.Point{X: at.X, Y: at.Y + draw.Ascent*l.size}, Size: l.size, Font: draw.Bold, Text: codes.CornerLabels[c.Depthwise][c.Side]}
	l.p.Group("data-corner", label.Text, "data-stop", codes.Sides[c.Stop])
	l.p.Write(label)
	beside := label
	beside.Font, beside.Text = draw.Regular, l.Words.Text(say.SheetStop(c))
	beside.At.X += draw.TextWidth(label.Text+" ", l.size, draw.Bold)
	l.p.Write(beside)
	flat := draw.Box{Left: at.X + cornerRoom, Top: at.Y + cornerHead*l.size, Right: at.X + wide - cornerRoom}
	flat.Bottom = flat.Top + cornerFlat*l.size
	bar := flat.Bottom + cornerGap
	stands := draw.Box{Left: flat.Left, Top: bar + cornerBar + cornerGap, Right: flat.Right}
	stands.Bottom = stands.Top + cornerStands*l.size
	l.boardAt(c, flat, l.said("board."+say.CornerBoards[c.Depthwise]), l.said("face.up"))
	l.boardAt(c, stands, l.said("board.side"), l.said("face.towards"))
	l.p.Draw(draw.Rect(at.X+1, bar, wide-2, cornerBar), draw.Style{Fill: draw.Grey, Pen: draw.Hair})
	l.p.EndGroup()
}

// boardAt draws a board with its name and the face that shows, its bottom edge
// and the stop.
func (l *sheetLayout) boardAt(c layout.Corner, b draw.Box, name, face string) {
	l.p.Draw(draw.Rect(b.Left, b.Top, b.Width(), b.Height()), draw.Style{Pen: draw.Thin})
	edge, block := b.Left, b.Left-cornerEdge/2-cornerStop
	if c.Stop == layout.Right {
		edge, block = b.Right, b.Right+cornerEdge/2
	}
	l.p.Draw(draw.Line(draw.Point{X: edge, Y: b.Top}, draw.Point{X: edge, Y: b.Bottom}), draw.Style{Pen: cornerEdge, Ink: draw.Blue}, "data-part", "bottom_edge")
	middle := (b.Top + b.Bottom) / 2
	l.p.Draw(draw.Rect(block, middle-cornerStop, cornerStop, 2*cornerStop), draw.Style{Fill: draw.Black}, "data-part", "stop")
	room := b.Width() - cornerEdge - 1
	for i, text := range []string{name, face} {
		size := l.size * min(1, room/draw.TextWidth(text, l.size, draw.Regular))
		l.p.Write(draw.Text{
			At: draw.Point{X: (b.Left + b.Right) / 2, Y: middle + (float64(i)*1.2-0.25)*l.size}, Size: size, Anchor: draw.Middle, Text: text,
		})
	}
}

// cornerStop is how wide a stop is drawn, and half of how high.
const cornerStop = 1.8
