package draw

import "math"

// Crop narrows the page to what is drawn on it, with a margin around, mm, and
// lets it be shown as large as there is room. It counts for SVG: paper stays as
// large as it is.
func (p *Page) Crop(margin float64) {
	box := Box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for i := range p.items {
		it := &p.items[i]
		switch it.kind {
		case itemText:
			box.hold(it.text.Box(), 0)
		case itemPath:
			box.holdAll(it.path.points(), it.style.Pen/2)
		case itemHatch:
			for k := range it.lines {
				box.holdAll(it.lines[k].points(), it.style.Pen/2)
			}
		}
	}
	if box.Left > box.Right { // an empty page
		return
	}
	p.Fluid = true
	p.cropped = &Box{
		math.Max(0, box.Left-margin), math.Max(0, box.Top-margin),
		math.Min(p.Width, box.Right+margin), math.Min(p.Height, box.Bottom+margin),
	}
}

func (b *Box) holdAll(points []Point, pen float64) {
	for _, at := range points {
		b.hold(Box{at.X, at.Y, at.X, at.Y}, pen)
	}
}

func (b *Box) hold(other Box, pen float64) {
	b.Left, b.Top = math.Min(b.Left, other.Left-pen), math.Min(b.Top, other.Top-pen)
	b.Right, b.Bottom = math.Max(b.Right, other.Right+pen), math.Max(b.Bottom, other.Bottom+pen)
}

// window is what of the page SVG shows.
func (p *Page) window() Box {
	if p.cropped != nil {
		return *p.cropped
	}
	return Box{Right: p.Width, Bottom: p.Height}
}
