package belief

import (
	"math"
	"slices"

	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/joint/stock"
)

// branch is one way in which something may be wrong, with a normal
// distribution of its size. What sizes mean is the effect's matter.
type branch struct {
	cause    Code
	weight   float64 // prior probability; all branches sum to 1
	mean, sd float64
	effect   func(*model, float64) effect
	none     bool // nothing wrong but tolerances
	measured bool // the size stated was measured, and is not the one wanted
	kind     SizeKind
	// other is what else may differ by as much either way: its effect for one
	// standard deviation; nil where nothing does.
	other func(*model, float64) effect
}

func (b *branch) at(m *model, size float64) effect {
	if b.effect == nil {
		return effect{}
	}
	e := b.effect(m, size)
	if m.fromWood {
		e = m.asRead(e)
	}
	return e
}

// asRead is an effect where the depth was not told as set but read in the pin
// board: that it was cut deeper than meant then shows in what the sizes were
// meant for.
func (m *model) asRead(e effect) effect {
	e.intended += m.perDepth * e.pinDepth
	e.tailDepth -= e.pinDepth
	e.pinDepth = 0
	return e
}

// SizeKind says what a cause's size is a size of.
type SizeKind uint8

// Kinds of size.
const (
	SizeNone     SizeKind = iota
	SizeBushing           // diameter of the bushing
	SizeCutter            // diameter of the cutter
	SizeAngle             // angle of the cutter
	SizeDepth             // added to the depth of cut
	SizeTail              // depth of the tail board less that of the pin board
	SizeOffset            // of the axes
	SizePlay              // added to play
	SizeSeat              // added to the seat
	SizeEdge              // added to the edge step
	SizeTilt              // how much higher the template stood at one end
	SizeHollow            // hollow or crown of a board
	SizeThick             // added to the tail board's thickness
	SizeShoulder          // how far the shoulder is held open at one end
	SizeOpening           // added to the template's opening
)

// way is one of the ways in which a cause works: its share, its sizes and what
// they do.
type way struct {
	share  float64
	kind   SizeKind
	sizes  []Lump
	effect func(*model, float64) effect
	other  func(*model, float64) effect
}

// branches returns the branches of a cause in the case at hand; their weights
// sum to 1, or less where part of it cannot be.
func (m *model) branchesOf(c Code) []branch {
	switch c {
	case CauseSetUpRight:
		return []branch{{cause: c, weight: 1, none: true}}
	case CauseBushingDiameter, CauseCutterDiameter, CauseCutterAngle, CauseCutterResharpened:
		return m.wrongTool(c)
	case CauseLapBroken:
		return []branch{{cause: c, weight: 1}}
	}
	return spread(c, m.ways(c))
}

func spread(c Code, ways []way) []branch {
	var all []branch
	for _, w := range ways {
		for _, l := range w.sizes {
			all = append(all, branch{
				cause: c, weight: w.share * l.Weight, mean: l.Mean, sd: l.SD, effect: w.effect, other: w.other, kind: w.kind,
			})
		}
	}
	return all
}

// Effects that several causes share.

func bothDeeper(_ *model, s float64) effect    { return effect{pinDepth: s, tailDepth: s} }
func bothShallower(_ *model, s float64) effect { return effect{pinDepth: -s, tailDepth: -s} }
func pinDeeper(_ *model, s float64) effect     { return effect{pinDepth: s} }
func tailDeeper(_ *model, s float64) effect    { return effect{tailDepth: s} }
func pinShallower(_ *model, s float64) effect  { return effect{pinDepth: -s} }
func tailShallower(_ *model, s float64) effect { return effect{tailDepth: -s} }
func seatMoved(_ *model, s float64) effect     { return effect{seat: s} }
func edgeMoved(_ *model, s float64) effect     { return effect{edge: s} }

// depthWanted: the depth is as set, but the sizes as stated ask for one that
// is s shallower.
func depthWanted(m *model, s float64) effect {
	return effect{intended: 2 * m.filled.setup.Cutter.Angle.Tan() * s}
}

func by(share float64, kind SizeKind, sizes []Lump, effect func(*model, float64) effect) way {
	return way{share: share, kind: kind, sizes: sizes, effect: effect}
}

// and adds what else may differ either way.
func (w way) and(other func(*model, float64) effect) way {
	w.other = other
	return w
}

// ways returns in which ways a cause works (model, sections 6 and 10). Which
// way how often is judgement.
func (m *model) ways(c Code) []way {
	onePiece, of := m.filled.setup.Template.Kind == joint.OnePiece, &m.priors.Sizes
	switch c {
	case CauseDepthFromBushingTip:
		return []way{by(1, SizeDepth, m.beyondTip(), bothShallower)}
	case CauseDepthFromRouterBase:
		return []way{by(1, SizeDepth, m.beyondBase(), bothShallower)}
	case CauseDepthOff:
		return []way{by(0.7, SizeDepth, of[SizesDepth], bothDeeper), by(0.3, SizeDepth, of[SizesDepth], depthWanted)}
	case CauseCutterCrept: // while cutting, or before it; between the boards where these are cut one by one
		uneven, between := of[SizesUneven], 0.1
		if !onePiece {
			between = 0.2
		}
		return []way{
			by(0.6-1.5*between, SizeDepth, either(uneven...), creptAlong), by(0.2-0.5*between, SizeDepth, either(uneven...), creptBack),
			by(0.15, SizeDepth, uneven, bothDeeper), by(0.05, SizeDepth, uneven, bothShallower),
			by(between, SizeTail, uneven, tailDeeper), by(between, SizeTail, uneven, pinDeeper),
		}
	case CauseDepthLockSlipped:
		slip := of[SizesSlip]
		return []way{
			by(0.55, SizeDepth, slip, bothShallower), by(0.15, SizeDepth, slip, bothDeeper),
			by(0.15, SizeTail, slip, tailShallower), by(0.15, SizeTail, slip, pinShallower),
		}
	case CauseBoardsNotLevel:
		return []way{by(0.5, SizeTail, of[SizesUneven], tailDeeper), by(0.5, SizeTail, of[SizesUneven], tailShallower)}
	case CauseBushingOffCentre:
		return []way{by(1, SizeOffset, of[SizesAxes], axesApart)}
	case CauseRouterTurned:
		return []way{by(1, SizePlay, of[SizesTurned], swept).and(sweptSeat)}
	case CauseOpeningsNotFollowed:
		missed, one := of[SizesMissed], 0.35
		if onePiece { // one opening, cut once for both boards, but in two parts of it
			one = 0.2
		}
		return []way{
			by(one, SizePlay, missed, pinSocketsMissed), by(one, SizePlay, missed, tailSocketsMissed),
			by(1-2*one, SizePlay, missed, bothMissed).and(missedUnevenly),
		}
	case CauseTemplateTilted:
		return []way{by(0.4, SizeTilt, of[SizesTilt], tiltedAlong), by(0.35, SizeTilt, of[SizesTilt], tiltedAbout), by(0.25, SizeSeat, of[SizesPlace], tiltedAcross)}
	}
	return m.waysOfBoards(c)
}

func (m *model) waysOfBoards(c Code) []way {
	of := &m.priors.Sizes
	switch c {
	case CauseTemplatePosition:
		return []way{by(1, SizeSeat, of[SizesPlace], misplaced)}
	case CauseTemplateSkewed:
		return []way{by(1, SizeSeat, of[SizesSkew], skewed)}
	case CauseTemplateSize:
		return []way{by(1, SizeOpening, of[SizesOpening], otherOpening)}
	case CauseSideStop:
		return []way{by(1, SizeEdge, of[SizesStop], edgeMoved)}
	case CauseWrongFaceOrStop:
		half := m.pitch() / 2
		return []way{by(0.7, SizeEdge, either(Lump{1, half, 0.6}), edgeMoved), by(0.3, SizeEdge, either(Lump{1, half / 2, 3}), edgeMoved)}
	case CauseBoardCupped:
		hollow := of[SizesHollow]
		return []way{
			by(0.4, SizeHollow, hollow, pinBoardHollow).and(shallowerThere), by(0.3, SizeHollow, hollow, pinBoardCrowned),
			by(0.3, SizeHollow, either(hollow...), tailBoardCupped),
		}
	case CauseBoardThickness:
		return []way{by(1, SizeThick, of[SizesThick], otherThickness)}
	case CauseStockNotSquare:
		return []way{by(1, SizeShoulder, of[SizesSquare], notSquare)}
	case CauseChipsUnder:
		chip := of[SizesChip]
		return []way{
			by(0.3, SizeDepth, chip, bothShallower),
			by(0.1, SizeTilt, either(chip...), tiltedAlong), by(0.1, SizeTilt, either(chip...), tiltedAbout),
			by(0.25, SizeSeat, either(chip...), seatMoved), by(0.25, SizeEdge, either(chip...), edgeMoved),
		}
	case CauseDullCutter:
		return []way{by(1, SizePlay, of[SizesFuzz], fuzzy)}
	case CauseGlueSwelled:
		return []way{by(1, SizePlay, of[SizesSwelled], swelled)}
	case CauseWoodMoved:
		return []way{by(1, SizePlay, of[SizesMoved], outOfStep)}
	case CauseMixedBoards:
		mixed := of[SizesMixed]
		return []way{
			by(0.3, SizeTail, mixed, tailDeeper).and(otherPlace), by(0.2, SizeTail, mixed, pinDeeper).and(otherPlace),
			by(0.25, SizePlay, mixed, otherToolTail).and(otherPlace), by(0.25, SizePlay, mixed, otherToolPin).and(otherPlace),
		}
	}
	return nil
}

// beyondTip is T - L, from the set-up where it is known.
func (m *model) beyondTip() []Lump {
	t, l := m.filled.setup.Template.Thickness, m.filled.setup.Bushing.Barrel
	if t.Given && l.Given {
		return []Lump{{1, (t.Length - l.Length).MM(), 0.2}}
	}
	return m.priors.Sizes[SizesTip]
}

func (m *model) beyondBase() []Lump {
	if t := m.filled.setup.Template.Thickness; t.Given {
		return []Lump{{1, t.MM(), 0.15}}
	}
	return m.priors.Sizes[SizesBase]
}

// axesApart: the cutter's axis off the bushing's by s towards the pin board,
// router never turned: no change of play, seat by 2 s.
func axesApart(_ *model, s float64) effect { return effect{offsetY: s} }

// swept: router turned, s = 4 |e| of play gained where every side was swept, or
// lost where one side was cut at one angle and the other at another: all
// sockets wider by s/2, pins and tails narrower. The seat moves inside by up to
// 2 |e| more.
func swept(_ *model, s float64) effect {
	return effect{play: s, pinSocket: s / 2, tailSocket: s / 2, pin: -s / 2, tail: -s / 2, seat: math.Max(0, s) / 4}
}

func sweptSeat(_ *model, s float64) effect { return effect{seat: math.Abs(s) / 4} }

// creptAlong: the cutter crept out while it went along the joint, so the last
// end is cut deeper by s, to the right (s > 0) or to the left.
func creptAlong(m *model, s float64) effect {
	deeper, tanA := math.Abs(s)/2, m.filled.setup.Cutter.Angle.Tan()
	return effect{pinDepth: deeper, tailDepth: deeper, slopePlay: -s * tanA, whole: -0.8 * math.Abs(s) * tanA}
}

// creptBack: the cutter was pushed back into the collet as it went along.
func creptBack(m *model, s float64) effect {
	deeper, tanA := -math.Abs(s)/2, m.filled.setup.Cutter.Angle.Tan()
	return effect{pinDepth: deeper, tailDepth: deeper, slopePlay: s * tanA, whole: -0.8 * math.Abs(s) * tanA}
}

// Openings not followed to both sides: cut narrower by s.
func pinSocketsMissed(_ *model, s float64) effect {
	return effect{play: -s, pinSocket: -s, tail: s}
}

func tailSocketsMissed(_ *model, s float64) effect {
	return effect{play: -s, tailSocket: -s, pin: s}
}

func bothMissed(_ *model, s float64) effect {
	return effect{play: -s, pinSocket: -s / 2, tail: s / 2, tailSocket: -s / 2, pin: s / 2}
}

// missedUnevenly: more in one part of the opening than in the other.
func missedUnevenly(_ *model, s float64) effect {
	return effect{pinSocket: -0.3 * s, tail: 0.3 * s, tailSocket: 0.3 * s, pin: -0.3 * s}
}

// tiltedAlong: one end of the template stood |s| too high, so that end was cut
// shallower and half of it was lost in the middle; play changes by
// -4 t x tan a along x and the shoulder stands open at the deep end. The
// tighter end is what the hand feels.
func tiltedAlong(m *model, s float64) effect {
	slope := 2 * s * m.filled.setup.Cutter.Angle.Tan()
	return effect{
		pinDepth: -math.Abs(s) / 2, tailDepth: -math.Abs(s) / 2,
		slopePlay: slope, whole: -0.6 * math.Abs(slope), slopeShoulder: -s / 2,
	}
}

// tiltedAbout: the same with the depth set for the middle: the other end was cut
// deeper by half of it.
func tiltedAbout(m *model, s float64) effect {
	slope := 2 * s * m.filled.setup.Cutter.Angle.Tan()
	return effect{slopePlay: slope, whole: -0.8 * math.Abs(slope), slopeShoulder: -s / 2}
}

// tiltedAcross: template or router leaned across the joint: play hardly
// changes, the seat does, by s.
func tiltedAcross(_ *model, s float64) effect {
	return effect{seat: s, shoulder: math.Abs(s) * 0.15}
}

// misplaced: the seat is off by s = 2 D, D the template's place.
func misplaced(m *model, s float64) effect {
	if m.filled.reaches {
		return effect{moved: s / 2}
	}
	return effect{seat: s}
}

// skewed: the template turned in plan, further onto the pin board by s/2 at
// the right-hand end than in the middle; tails and sockets no longer run
// straight home together, which takes some play. Judgement.
func skewed(_ *model, s float64) effect {
	return effect{slopeSeat: s, seat: -0.4 * math.Abs(s), whole: -0.1 * math.Abs(s)}
}

// otherOpening: the template's openings are wider by s than stated.
func otherOpening(m *model, s float64) effect { return effect{opening: s} }

// pinBoardHollow: the template bridges the hollow s, the pin board's middle is
// cut shallower and the shoulder stands open there; a board that the clamps
// press flat is cut right and springs back. Where the shoulder is read, it is
// read where it gapes.
func pinBoardHollow(_ *model, s float64) effect {
	return effect{pinDepth: -s / 3, shoulder: 0.6 * s, bowShoulder: -s, whole: -0.1 * s}
}

// shallowerThere is by how much more, or less, the depth suffers.
func shallowerThere(_ *model, s float64) effect { return effect{pinDepth: -s / 3} }

// pinBoardCrowned: the template rides on the crown s, both edges are cut shallower.
func pinBoardCrowned(_ *model, s float64) effect {
	return effect{pinDepth: -s / 3, shoulder: -s / 3, bowShoulder: s, whole: -0.1 * s}
}

// tailBoardCupped: the side leans out of its place by s from middle to edges:
// seats vary, and the tails are no longer parallel.
func tailBoardCupped(_ *model, s float64) effect {
	return effect{seat: 0.7 * s, whole: -0.3 * math.Abs(s), bowPlay: -0.3 * math.Abs(s)}
}

// otherThickness: the tail board is s thicker than stated.
func otherThickness(m *model, s float64) effect {
	if s < 0 && !(m.filled.reaches && m.filled.setup.TailBoard.Thickness.Given) {
		return effect{seat: -s * 0.1, thicker: s}
	}
	return effect{thicker: s}
}

// notSquare: the shoulder is held open by s at one edge, where it is mostly read.
func notSquare(_ *model, s float64) effect {
	return effect{shoulder: 0.75 * math.Abs(s), slopeShoulder: s / 2, whole: -0.1 * math.Abs(s)}
}

// fuzzy: feels tighter by s and measures right; what the rounded corners leave
// on the sockets' floor holds the tails' ends off.
func fuzzy(_ *model, s float64) effect { return effect{feel: -s, shoulder: 0.6 * s} }

// swelled: feels tighter by s with glue than dry.
func swelled(_ *model, s float64) effect { return effect{feel: -s} }

// outOfStep: sockets and tails out of step by s over the width, and the edges
// by half of it each.
func outOfStep(_ *model, s float64) effect {
	return effect{whole: -s, bowPlay: -s, slopeEdg: s / 2}
}

// otherToolTail: the tail board was cut with another cutter or bushing,
// otherToolPin: the pin board was.
func otherToolTail(_ *model, s float64) effect { return effect{play: s, tail: -s, pinSocket: s} }
func otherToolPin(_ *model, s float64) effect  { return effect{play: s, pin: -s, tailSocket: s} }

// otherPlace: another set-up stood elsewhere too.
func otherPlace(_ *model, _ float64) effect { return effect{seat: 0.3, edge: 0.3} }

// wrongTool returns the branches of the four causes that say that a tool is
// not of the size stated: in part that the one in use is another, in part,
// where the size stated was measured and no label is known, that another was
// wanted.
func (m *model) wrongTool(c Code) []branch {
	kind, inUse := toolKind[c], m.inUse(c)
	var all []branch
	if inUse > 0 {
		for _, l := range m.otherSizes(c) {
			all = append(all, branch{cause: c, weight: inUse * l.Weight, mean: l.Mean, sd: l.SD, kind: kind, effect: toolEffect[c]})
		}
	}
	if inUse < 1 {
		for _, l := range m.wantedSizes(c) {
			all = append(all, branch{
				cause: c, weight: (1 - inUse) * l.Weight, mean: l.Mean, sd: l.SD, kind: kind, effect: wantedEffect[c], measured: true,
			})
		}
	}
	return all
}

var toolKind = [CauseCount]SizeKind{
	CauseBushingDiameter: SizeBushing, CauseCutterDiameter: SizeCutter, CauseCutterAngle: SizeAngle, CauseCutterResharpened: SizeCutter,
}

// What the tool in use has, added to what its label says; less for a ground cutter.
var toolEffect = [CauseCount]func(*model, float64) effect{
	CauseBushingDiameter:   func(_ *model, s float64) effect { return effect{bushing: s} },
	CauseCutterDiameter:    func(_ *model, s float64) effect { return effect{cutter: s} },
	CauseCutterAngle:       func(_ *model, s float64) effect { return effect{angle: s} },
	CauseCutterResharpened: func(_ *model, s float64) effect { return effect{cutter: -s} },
}

// What the tool wanted has, added to what is stated: it gives another play at
// the depth as stated.
var wantedEffect = [CauseCount]func(*model, float64) effect{
	CauseBushingDiameter:   func(_ *model, s float64) effect { return effect{intended: -2 * s} },
	CauseCutterDiameter:    func(_ *model, s float64) effect { return effect{intended: 2 * s} },
	CauseCutterAngle:       angleWanted,
	CauseCutterResharpened: func(_ *model, s float64) effect { return effect{intended: 2 * s} },
}

func angleWanted(m *model, s float64) effect {
	a, h := m.filled.setup.Cutter.Angle, m.meant.Deeper().MM()
	return effect{intended: -2 * h * ((a + joint.Angle(s)).Tan() - a.Tan())}
}

func (m *model) inUse(c Code) float64 {
	s := &m.filled.setup
	switch c {
	case CauseBushingDiameter:
		return actual(s.Bushing.Diameter, m.bushingMeasured(), s.Bushing.Labelled.Given || m.filled.missing.Bushing)
	case CauseCutterAngle:
		tolerance := s.Cutter.AngleTolerance
		return actual(length.Size{
			Given: true, HasTolerance: s.Cutter.HasAngleTolerance, Tolerance: length.Length(tolerance) / 5,
		}, m.angleMeasured(), m.filled.missing.Angle)
	}
	return actual(s.Cutter.Diameter, m.cutterMeasured(), s.Cutter.Labelled.Given || m.filled.missing.Cutter)
}

// How far a size that was stated may still not be the size in use: a caliper
// is misread now and then, and a size stated with a narrow tolerance was
// probably measured. Judgement.
const (
	misreadTool  = 0.06
	surelyStated = 0.35
	narrow       = 0.06 // tolerance, mm
)

// actual returns which share of a cause's weight is for a size in use that is
// not the one stated; the rest is for a size stated that is not the one wanted.
func actual(size length.Size, measured, labelKnown bool) float64 {
	switch {
	case labelKnown:
		return 1
	case measured:
		return misreadTool
	case size.HasTolerance && size.Tolerance <= narrow:
		return surelyStated
	}
	return 1
}

func (m *model) bushingMeasured() bool { return m.answered[CheckMeasureBushing] }

func (m *model) cutterMeasured() bool {
	return m.answered[CheckMeasureCutter] || m.answered[CheckScrapSlot]
}

func (m *model) angleMeasured() bool {
	return m.answered[CheckMeasureCutterAngle] || m.answered[CheckScrapSlot]
}

// How near another size must lie to be taken by mistake: its chance falls by e
// for each, mm and degrees. Judgement.
const (
	mistakenBushing, farthestBushing = 2.5, 6.5
	mistakenCutter, farthestCutter   = 2.0, 5.0
	mistakenAngle, farthestAngle     = 3.0, 8.0
	leastDiameter, leastAngle        = 0.05, 0.6
	asMarkedNot                      = 0.35 // share of an angle that is not quite the one marked
	offByAny                         = 0.10 // share of a diameter that is none of the standard ones
)

// otherSizes returns by how much the size in use may be another than the label
// says.
func (m *model) otherSizes(c Code) []Lump {
	s := &m.filled.setup
	switch c {
	case CauseBushingDiameter:
		opening := s.Template.Tail.Opening
		sizes := near(bushingSizes, m.label(s.Bushing.Diameter, s.Bushing.Labelled), leastDiameter, mistakenBushing, farthestBushing, func(g float64) bool {
			return !opening.Given || g < opening.MM()
		})
		return mixed(sizes, m.priors.Sizes[SizesTool], offByAny)
	case CauseCutterDiameter:
		need := 2 * m.latest.depth.Deeper().MM() * s.Cutter.Angle.Tan()
		sizes := near(cutterSizes, m.label(s.Cutter.Diameter, s.Cutter.Labelled), leastDiameter, mistakenCutter, farthestCutter, func(d float64) bool { return d > need })
		return mixed(sizes, m.priors.Sizes[SizesTool], offByAny)
	case CauseCutterAngle:
		sizes := near(cutterAngles, float64(s.Cutter.Angle), leastAngle, mistakenAngle, farthestAngle, func(float64) bool { return true })
		return mixed(sizes, m.priors.Sizes[SizesAngle], asMarkedNot)
	}
	return m.priors.Sizes[SizesGround]
}

func (m *model) label(stated, labelled length.Size) float64 {
	if labelled.Given {
		return labelled.MM()
	}
	return stated.MM()
}

func mixed(spikes, broad []Lump, share float64) []Lump {
	all := make([]Lump, 0, len(spikes)+len(broad))
	for _, l := range spikes {
		all = append(all, Lump{(1 - share) * l.Weight, l.Mean, l.SD})
	}
	for _, l := range broad {
		all = append(all, Lump{share * l.Weight, l.Mean, l.SD})
	}
	return all
}

// asSold is the standard uncertainty with which a measured size must be a
// standard one to count as that of another tool, mm. Judgement.
const asSold = 0.06

// How much likelier than other causes' a measured diameter is a ground
// cutter's if it is no standard size, if it is one, and if there is none above
// it that it may have been ground from. Judgement.
const (
	groundIfNot    = 2.5
	groundIfSold   = 0.2
	groundFromNone = 0.2
)

// wantedSizes returns by how much the size wanted may be another than the one
// measured. Another tool was taken only if the measured size is a standard
// one; a ground cutter was once one of the standard sizes above it.
func (m *model) wantedSizes(c Code) []Lump {
	sizes := m.otherSizes(c)
	s := &m.filled.setup
	switch c {
	case CauseBushingDiameter:
		return wantedInstead(sizes, bushingSizes, s.Bushing.Diameter.MM(), typicalBushing)
	case CauseCutterDiameter:
		return wantedInstead(sizes, cutterSizes, s.Cutter.Diameter.MM(), typicalCutter)
	case CauseCutterResharpened:
		standard := sold(cutterSizes, s.Cutter.Diameter.MM())
		return scaled(m.groundFrom(sizes), groundIfNot*(1-standard)+groundIfSold*standard)
	}
	return sizes
}

// commoner is how many times as common the commonest size is as any other.
// Judgement.
const commoner = 3

// wantedInstead weighs sizes wanted instead of the one in use: the commonest
// is wanted more often, and seldom is it the one taken by mistake.
func wantedInstead(sizes []Lump, standard []float64, inUse, commonest float64) []Lump {
	common := func(size float64) float64 {
		if math.Abs(size-commonest) < asSold {
			return commoner
		}
		return 1
	}
	sizes = slices.Clone(sizes)
	for i := range sizes {
		sizes[i].Weight *= common(inUse+sizes[i].Mean) / common(inUse)
	}
	return scaled(sizes, sold(standard, inUse))
}

// sold returns how well a size agrees with the nearest standard one, 0 to 1.
func sold(all []float64, size float64) float64 {
	best := 0.0
	for _, s := range all {
		z := (s - size) / asSold
		best = math.Max(best, math.Exp(-z*z/2))
	}
	return math.Max(best, 1e-3)
}

func scaled(sizes []Lump, by float64) []Lump {
	all := slices.Clone(sizes)
	for i := range all {
		all[i].Weight *= by
	}
	return all
}

// usualDensity of losses is that of a common one; a cutter that would have lost
// more or less than cutters do is the less likely a ground one.
const usualDensity = 3

// groundFrom returns by how much the measured cutter is below the standard
// sizes that it may have had; if there is none, as much as cutters lose.
func (m *model) groundFrom(losses []Lump) []Lump {
	const least, most = 0.06, 0.9
	d := m.filled.setup.Cutter.Diameter.MM()
	var all []Lump
	sum := 0.0
	for _, size := range cutterSizes {
		lost := size - d
		if lost < least || lost > most {
			continue
		}
		density := 0.0
		for _, l := range losses {
			z := (lost - l.Mean) / l.SD
			density += l.Weight / l.SD * math.Exp(-z*z/2)
		}
		all = append(all, Lump{density, lost, 0})
		sum += density
	}
	if sum == 0 {
		return scaled(losses, groundFromNone)
	}
	return scaled(all, 1/math.Max(sum, usualDensity))
}

// near returns the standard sizes near the one stated, as differences from it,
// likelier the nearer.
func near(all []float64, stated, least, by, farthest float64, fits func(float64) bool) []Lump {
	var sizes []Lump
	sum := 0.0
	for _, size := range all {
		off := size - stated
		if math.Abs(off) < least || math.Abs(off) > farthest || !fits(size) {
			continue
		}
		w := math.Exp(-math.Abs(off) / by)
		sizes = append(sizes, Lump{w, off, 0})
		sum += w
	}
	for i := range sizes {
		sizes[i].Weight /= sum
	}
	return sizes
}

// The standard sizes, from the built-in sets.
var (
	bushingSizes = func() []float64 {
		var all []float64
		for _, b := range stock.Bushings() {
			all = append(all, b.Diameter.MM())
		}
		return distinct(all)
	}()
	cutterSizes = func() []float64 {
		var all []float64
		for _, c := range stock.Cutters() {
			all = append(all, c.Diameter.MM())
		}
		return distinct(all)
	}()
	cutterAngles = func() []float64 {
		var all []float64
		for _, c := range stock.Cutters() {
			all = append(all, float64(c.Angle))
		}
		return distinct(all)
	}()
)

func distinct(all []float64) []float64 {
	slices.Sort(all)
	return slices.Compact(all)
}

func (m *model) pitch() float64 {
	if p := m.filled.setup.Template.Pitch.MM(); p > 0 {
		return p
	}
	return typicalPitch
}
