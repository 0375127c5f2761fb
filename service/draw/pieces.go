package draw

import (
	"math"
	"slices"

	"snugtail/joint/shape"
)

// drawPieces fills all areas before it draws any line, so that nothing covers
// a line.
func (a *placed) drawPieces(p *Page) {
	paths := make([]Path, len(a.View.Pieces))
	for i, piece := range a.View.Pieces {
		paths[i] = a.path(piece.Outline)
		look := a.Looks[piece.Part]
		p.Draw(paths[i], Style{Fill: look.Fill}, "data-part", look.Name)
	}
	for i, piece := range a.View.Pieces {
		if look := a.Looks[piece.Part]; look.Hatch.Gap > 0 {
			p.Hatch(look.Hatch, paths[i])
		}
	}
	for i, piece := range a.View.Pieces {
		a.drawEdges(p, piece, paths[i])
	}
}

func (a *placed) path(o shape.Outline) Path {
	path := Path{Start: a.on(o.Start), Closed: !o.Open}
	for _, e := range o.Edges {
		// Left, with y up, is counterclockwise on the page as well.
		path.Segs = append(path.Segs, Seg{To: a.on(e.To), Radius: float64(e.Radius * a.scale), Clockwise: !e.Left})
	}
	if path.Closed { // the last edge leads back to the start
		if last := len(path.Segs) - 1; path.Segs[last].Radius == 0 {
			path.Segs = path.Segs[:last]
		}
	}
	return path
}

// drawEdges draws what the part ends with, and breaks off what goes on.
func (a *placed) drawEdges(p *Page, piece shape.Piece, whole Path) {
	look := a.Looks[piece.Part]
	if look.Pen == 0 {
		return
	}
	style := Style{Pen: look.Pen, Dash: look.Dash}
	if !slices.ContainsFunc(piece.Outline.Edges, func(e shape.Edge) bool { return e.Ending != shape.Solid }) {
		p.Draw(whole, style)
		return
	}
	at, run := piece.Outline.Start, Path{Start: a.on(piece.Outline.Start)}
	flush := func(next shape.Point) {
		if len(run.Segs) > 0 {
			p.Draw(run, style)
		}
		run = Path{Start: a.on(next)}
	}
	for _, e := range piece.Outline.Edges {
		if e.Ending == shape.Solid {
			run.Segs = append(run.Segs, Seg{To: a.on(e.To), Radius: float64(e.Radius * a.scale), Clockwise: !e.Left})
		} else {
			flush(e.To)
		}
		if e.Ending == shape.Broken {
			drawBreak(p, a.on(at), a.on(e.To))
		}
		at = e.To
	}
	flush(at)
}

// drawBreak draws a line with a jag, as one on which a part is broken off.
func drawBreak(p *Page, from, to Point) {
	const jag = 1.3
	length := math.Hypot(to.X-from.X, to.Y-from.Y)
	if length < 3*jag {
		p.Draw(Line(from, to), Style{Pen: Hair})
		return
	}
	x, y := (to.X-from.X)/length, (to.Y-from.Y)/length
	along := func(t, side float64) Point {
		return Point{from.X + float64(x*t) - float64(y*side), from.Y + float64(y*t) + float64(x*side)}
	}
	m := length / 2
	p.Draw(Line(from, along(m-jag, 0), along(m-jag/3, jag), along(m+jag/3, -jag), along(m+jag, 0), to), Style{Pen: Hair})
}
