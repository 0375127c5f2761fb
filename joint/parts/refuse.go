package parts

import (
	"cmp"

	"snugtail/joint/length"
	"snugtail/joint/recommend"
)

// Reason says why a drawer can't be made as it is wanted.
type Reason uint8

// Reasons. What Value and Limit of a Refusal are stands beside each.
const (
	ReasonNoRoom         Reason = iota // the least outside size; 0
	ReasonTooNarrow                    // inside width; 0
	ReasonTooShort                     // inside depth; 0
	ReasonLipTooThick                  // the lip's thickness; the front's
	ReasonNoGroove                     // a bottom, and nothing to hold it
	ReasonGrooveOffBoard               // the groove's upper wall; the sides' height
	ReasonGrooveThrough                // the groove's depth; the thickness of Part
	ReasonBottomLoose                  // clearance in the groove; its depth
	ReasonBottomTooThick               // the bottom's thickness; the groove's width
	ReasonUnderPins                    // a half-blind back is as high as its sides
	ReasonHousingThrough               // the housing's depth; the sides' thickness
	ReasonNoCutter                     // no cutter at hand serves at End; Cutter
	ReasonIntoLip                      // depth of cut; what is behind the lip; Cutter
	ReasonSawnPlay                     // play at the depth that sawn sides need; Target's end
	ReasonNoHalfPins                   // the height; the template's pitch
	ReasonSidesTooHigh                 // the height of Part, sides or back; that of the front or the sides
	ReasonFiberboard                   // Part would be dovetailed
)

// End is an end of the drawer.
type End uint8

// Ends.
const (
	AtFront End = iota
	AtBack
)

// Refusal is why a drawer can't be made.
type Refusal struct {
	Reason       Reason
	Part         Name
	End          End
	Value, Limit length.Length
	// Cutter is the one that misses by least, ReasonNoCutter, and Changes what
	// else would serve; for the two reasons after that only its Cutter and
	// Depth count.
	Cutter  recommend.Refusal
	Changes []recommend.Change
}

// refusal returns the first reason of a drawer's own sizes, before any joint
// is looked at.
func (m *maker) refusal() *Refusal {
	return cmp.Or(m.refusedMaterial(), m.refusedSize(), m.refusedHeights(), m.refusedLip(), m.refusedGroove(), m.refusedBottom(), m.refusedHousing())
}

func (m *maker) refusedSize() *Refusal {
	out := m.d.Outside
	if least := min(out.Width, out.Height, out.Depth); least.Rounded() <= 0 {
		return &Refusal{Reason: ReasonNoRoom, Value: least}
	}
	if in := m.insideWidth(); in.Rounded() <= 0 {
		return &Refusal{Reason: ReasonTooNarrow, Part: Side, Value: in}
	}
	if in := m.insideDepth(); in.Rounded() <= 0 {
		return &Refusal{Reason: ReasonTooShort, Part: Side, Value: in}
	}
	return nil
}

// refusedHeights: no part is higher than the one it is joined to.
func (m *maker) refusedHeights() *Refusal {
	switch {
	case (m.hs - m.d.Outside.Height).Rounded() > 0:
		return &Refusal{Reason: ReasonSidesTooHigh, Part: Side, Value: m.hs, Limit: m.d.Outside.Height}
	case (m.hb - m.hs).Rounded() > 0:
		return &Refusal{Reason: ReasonSidesTooHigh, Part: Back, Value: m.hb, Limit: m.hs}
	}
	return nil
}

// refusedMaterial: fiberboard has no grain to hold a pin or a tail together, and
// crumbles where it is thin; common practice, no source.
func (m *maker) refusedMaterial() *Refusal {
	for _, part := range m.dovetailed() {
		if m.stock[m.from(part)].Material == MDF {
			return &Refusal{Reason: ReasonFiberboard, Part: part}
		}
	}
	return nil
}

// dovetailed are the parts with pins or tails.
func (m *maker) dovetailed() []Name {
	if m.d.Back.Joint == HalfBlindBack {
		return []Name{Front, Side, Back}
	}
	return []Name{Front, Side}
}

func (m *maker) refusedLip() *Refusal {
	if lip := m.d.Lip; lip.Given && lip.Thickness >= m.tf {
		return &Refusal{Reason: ReasonLipTooThick, Part: Front, Value: lip.Thickness, Limit: m.tf}
	}
	return nil
}

// refusedGroove: the groove lies on every part that has it, and not through it.
func (m *maker) refusedGroove() *Refusal {
	g, height := m.d.Groove, m.hb // which is the lowest
	if !g.Given {
		return nil
	}
	if g.UnderBack && m.d.Back.Joint == HalfBlindBack {
		return &Refusal{Reason: ReasonUnderPins, Part: Back}
	}
	if g.top() > height || g.UnderBack && g.top() >= height {
		return &Refusal{Reason: ReasonGrooveOffBoard, Part: Side, Value: g.top(), Limit: height}
	}
	for _, part := range m.grooved() {
		if t := m.thickness(part); g.Depth >= t {
			return &Refusal{Reason: ReasonGrooveThrough, Part: part, Value: g.Depth, Limit: t}
		}
	}
	return nil
}

// grooved are the parts with a groove.
func (m *maker) grooved() []Name {
	if m.d.Groove.UnderBack {
		return []Name{Front, Side}
	}
	return []Name{Front, Side, Back}
}

func (m *maker) refusedBottom() *Refusal {
	g := m.d.Groove
	switch {
	case m.d.Bottom == NoBottom:
		return nil
	case !g.Given:
		return &Refusal{Reason: ReasonNoGroove, Part: Bottom}
	case g.Clearance >= g.Depth:
		return &Refusal{Reason: ReasonBottomLoose, Part: Bottom, Value: g.Clearance, Limit: g.Depth}
	case m.thickness(Bottom) > g.Width:
		return &Refusal{Reason: ReasonBottomTooThick, Part: Bottom, Value: m.thickness(Bottom), Limit: g.Width}
	}
	return nil
}

func (m *maker) refusedHousing() *Refusal {
	if b := m.d.Back; b.Joint == HousedBack && b.Housing >= m.ts {
		return &Refusal{Reason: ReasonHousingThrough, Part: Side, Value: b.Housing, Limit: m.ts}
	}
	return nil
}
