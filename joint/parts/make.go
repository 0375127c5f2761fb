package parts

import (
	"math"

	"snugtail/joint"
	"snugtail/joint/length"
)

// Name is what a part is in the drawer.
type Name uint8

// Parts of a drawer.
const (
	Front Name = iota
	Side
	Back
	Bottom
	NameCount
)

// WorkCode is what is worked on a part.
type WorkCode uint8

// Kinds of work. What From, Width and Depth of a Work are stands beside each.
const (
	Pins        WorkCode = iota // where they start from the part's bottom edge and how far up they run, both 0 for all of it; depth of cut
	Tails                       // likewise
	GrooveWork                  // its lower wall from the part's bottom edge, width, depth
	HousingWork                 // its nearer wall from the side's back end, width, depth
	RabbetWork                  // the lip's width, depth of the rabbet from the inside face
)

// Place is where on a part something is worked.
type Place uint8

// Places. An inside face is the one that looks into the drawer.
const (
	BothEnds Place = iota
	FrontEnd
	BackEnd
	InsideFace
	AllEdges
	EndsAndTop
)

// Work is one thing worked on a part.
type Work struct {
	Code  WorkCode
	At    Place
	From  length.Length
	Width length.Length
	Depth length.Length
}

// Part is one kind of part of a row of drawers, finished size. Its grain runs
// along its length: a front's, back's and bottom's across the drawer, a side's
// front to back.
type Part struct {
	Name                     Name
	Length, Width, Thickness length.Length
	Count                    int // of all drawers of the row
	Stock                    int // index of Job.Stock
	Work                     []Work
	Rough                    RoughSize // as sawn out; zero where no allowance was given
	Warnings                 []Warning
}

// maker makes the parts of one row of drawers; lengths by the symbols of the
// package's doc.
type maker struct {
	d          *Drawer
	stock      []Stock
	tf, ts, tb length.Length
	hs, hb     length.Length // heights of sides and back, from the sides' bottom edge
}

func newMaker(d *Drawer, stock []Stock) *maker {
	m := &maker{d: d, stock: stock, tf: stock[d.Front].Thickness, ts: stock[d.Sides].Thickness, tb: stock[d.BackFrom].Thickness}
	m.hs = d.SidesHeight.Or(d.Outside.Height).Length
	m.hb = d.BackHeight.Or(m.hs).Length
	return m
}

// height of the joint at an end: that of the lower of its boards.
func (m *maker) height(end End) length.Length {
	if end == AtBack {
		return m.hb
	}
	return m.hs
}

func (m *maker) thickness(part Name) length.Length {
	return m.stock[m.from(part)].Thickness
}

// from returns the stock that a part is made of.
func (m *maker) from(part Name) int {
	return [NameCount]int{Front: m.d.Front, Side: m.d.Sides, Back: m.d.BackFrom, Bottom: m.d.Bottom}[part]
}

// insideWidth is W - 2 ts.
func (m *maker) insideWidth() length.Length { return m.d.Outside.Width - 2*m.ts }

// insideDepth is D - tf - tb - z.
func (m *maker) insideDepth() length.Length {
	return m.d.Outside.Depth - m.tf - m.tb - m.d.Back.setback()
}

// engaged is h = min(hp, ht): how far the side goes into the pin board.
func engaged(d joint.Depth) length.Length {
	return length.Length(math.Min(d.PinBoard.MM(), d.TailBoard.MM()))
}

// parts returns the parts as cut with the depths at front and back, of which
// the latter counts only for a half-blind back.
func (m *maker) parts(front, back joint.Depth) []Part {
	all := make([]Part, 0, NameCount)
	all = append(all, m.front(front), m.side(front, back), m.back(back))
	if m.d.Bottom != NoBottom {
		all = append(all, m.bottom())
	}
	return all
}

func (m *maker) part(name Name, each int, long, wide length.Length, work ...Work) Part {
	return Part{
		Name: name, Length: long, Width: wide, Thickness: m.thickness(name),
		Count: each * m.d.Count, Stock: m.from(name), Work: work,
	}
}

// front is W by H, and so much more where it is lipped.
func (m *maker) front(cut joint.Depth) Part {
	lip, out := m.d.Lip, m.d.Outside
	work := make([]Work, 0, 3)
	work = append(work, m.pins(cut))
	if !lip.Given {
		return m.part(Front, 1, out.Width, out.Height, m.groove(work, 0)...)
	}
	work = append(work, Work{Code: RabbetWork, At: lip.at(), Width: lip.Width, Depth: m.tf - lip.Thickness})
	return m.part(Front, 1, out.Width+2*lip.ends(), out.Height+lip.top()+lip.bottom(), m.groove(work, lip.bottom())...)
}

// pins are cut as far up as the sides reach.
func (m *maker) pins(cut joint.Depth) Work {
	w := Work{Code: Pins, At: BothEnds, Depth: cut.PinBoard.Length}
	if m.hs < m.d.Outside.Height {
		w.From, w.Width = m.d.Lip.bottom(), m.hs
	}
	return w
}

// groove adds the bottom's groove, on a part that starts so far below the
// sides' bottom edge.
func (m *maker) groove(work []Work, below length.Length) []Work {
	g := m.d.Groove
	if !g.Given {
		return work
	}
	return append(work, Work{Code: GrooveWork, At: InsideFace, From: g.FromBottom + below, Width: g.Width, Depth: g.Depth})
}

// sideLength is D - (tf - hf) - (tb - hb), or D - (tf - hf) where the back
// stands between the sides.
func (m *maker) sideLength(front, back joint.Depth) length.Length {
	l := m.d.Outside.Depth - (m.tf - engaged(front))
	if m.d.Back.Joint == HalfBlindBack {
		l -= m.tb - engaged(back)
	}
	return l
}

func (m *maker) side(front, back joint.Depth) Part {
	work := make([]Work, 0, 3)
	work = append(work, Work{Code: Tails, At: FrontEnd, Depth: front.TailBoard.Length})
	switch b := m.d.Back; b.Joint {
	case HalfBlindBack:
		tails := Work{Code: Tails, At: BackEnd, Depth: back.TailBoard.Length}
		if m.hb < m.hs {
			tails.Width = m.hb
		}
		work = append(work, tails)
	case HousedBack:
		work = append(work, Work{Code: HousingWork, At: BackEnd, From: b.Setback, Width: m.tb, Depth: b.Housing})
	}
	return m.part(Side, 2, m.sideLength(front, back), m.hs, m.groove(work, 0)...)
}

// back is W long as a pin board, W - 2 ts between the sides and 2 n more where
// it is let into them; it ends above the groove where the bottom goes under it.
func (m *maker) back(cut joint.Depth) Part {
	b, g, height := m.d.Back, m.d.Groove, m.hb
	var work []Work
	if b.Joint == HalfBlindBack {
		work = append(make([]Work, 0, 2), Work{Code: Pins, At: BothEnds, Depth: cut.PinBoard.Length})
	}
	if g.UnderBack {
		height -= g.top()
	} else {
		work = m.groove(work, 0)
	}
	return m.part(Back, 1, m.backLength(), height, work...)
}

func (m *maker) backLength() length.Length {
	switch m.d.Back.Joint {
	case HousedBack:
		return m.insideWidth() + 2*m.d.Back.Housing
	case ButtedBack:
		return m.insideWidth()
	}
	return m.d.Outside.Width
}

// bottom fills the grooves but for the clearance in each.
func (m *maker) bottom() Part {
	g := m.d.Groove
	deep := m.insideDepth() + 2*g.hold()
	if g.UnderBack {
		deep = m.insideDepth() + m.tb + g.hold()
	}
	return m.part(Bottom, 1, m.insideWidth()+2*g.hold(), deep)
}
