package diagnose

import (
	"math"
	"slices"

	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/joint/stock"
)

// branch is a cause with a normal distribution of its size; a cause may have
// several. What sizes mean is the effect's matter.
type branch struct {
	cause    Code
	weight   float64 // within the cause; all branches of a cause sum to 1
	mean, sd float64
	effect   func(*model, float64) effect
	measured bool // the size stated was measured, and is not the one wanted
	right    bool // the play is within the target
	kind     SizeKind
	// What seat and side stop scatter beside their usual.
	seatSD, stopSD float64
	tangent        tangent
}

func (b *branch) at(m *model, size float64) effect {
	if b.effect == nil {
		return effect{}
	}
	return b.effect(m, size)
}

// lump is one part of a distribution of sizes.
type lump struct{ weight, mean, sd float64 }

// either mirrors lumps: the size may as well be the other way.
func either(lumps ...lump) []lump {
	all := make([]lump, 0, 2*len(lumps))
	for _, l := range lumps {
		all = append(all, lump{l.weight / 2, l.mean, l.sd}, lump{l.weight / 2, -l.mean, l.sd})
	}
	return all
}

// way is one of the ways in which a cause works: its share, its sizes and what
// they do.
type way struct {
	share  float64
	kind   SizeKind
	sizes  []lump
	effect func(*model, float64) effect
}

// Sizes, mm and degrees. Judgement, no source: what people at the bench call
// small and large. Smaller ones than these do not spoil a joint, and are not
// asked about.
var (
	unevenSizes = []lump{{0.5, 0.3, 0.12}, {0.5, 0.8, 0.3}}
	slipSizes   = []lump{{0.5, 0.4, 0.2}, {0.5, 1.2, 0.5}}
	depthSizes  = either(lump{0.5, 0.5, 0.2}, lump{0.5, 1.2, 0.45}) // up to 1/16 in and more
	groundSizes = []lump{{0.4, 0.16, 0.06}, {0.4, 0.32, 0.1}, {0.2, 0.55, 0.15}}
	angleSizes  = either(lump{1, 0.8, 0.35})
	axesSizes   = either(lump{0.6, 0.2, 0.08}, lump{0.4, 0.4, 0.15})
	turnedSizes = []lump{{0.4, 0.3, 0.15}, {0.3, 0.7, 0.3}, {0.3, -0.3, 0.15}}
	missedSizes = []lump{{0.5, 0.25, 0.12}, {0.5, 0.7, 0.3}}
	tiltSizes   = either(lump{0.6, 0.45, 0.15}, lump{0.4, 1.0, 0.35})
	placeSizes  = either(lump{0.5, 0.5, 0.2}, lump{0.5, 1.2, 0.45})
	stopSizes   = either(lump{0.5, 0.5, 0.2}, lump{0.5, 1.2, 0.45})
	hollowSizes = []lump{{0.6, 0.45, 0.18}, {0.4, 0.9, 0.3}}
	thickSizes  = []lump{{0.5, 3.5, 0.6}, {0.35, 6.35, 0.6}, {0.15, -3, 1}}
	squareSizes = either(lump{0.6, 0.4, 0.18}, lump{0.4, 1.0, 0.4})
	chipSizes   = []lump{{0.6, 0.35, 0.12}, {0.4, 0.7, 0.2}}
	fuzzSizes   = []lump{{0.6, 0.12, 0.05}, {0.4, 0.25, 0.08}}
	movedSizes  = []lump{{0.6, 0.25, 0.1}, {0.4, 0.55, 0.2}}
	mixedSizes  = either(lump{0.5, 0.4, 0.2}, lump{0.5, 1.0, 0.4})
	// T - L, how far the cutter stands out of the bushing before it meets wood:
	// barrels are half to three quarters as long as the template is thick.
	tipSizes = []lump{{0.25, 1.8, 0.5}, {0.45, 3.0, 0.8}, {0.3, 5, 1.2}}
	// T, the template's thickness: 1/4, 3/8 and 1/2 in.
	baseSizes = []lump{{0.35, 6.35, 0.1}, {0.45, 9.525, 0.15}, {0.2, 12.7, 0.15}}
)

// branches returns the branches of a cause in the case at hand.
func (c Code) branches(m *model) []branch {
	switch c {
	case CauseSetUpRight:
		return []branch{{cause: c, weight: 1, right: true}}
	case CauseMixedBoards:
		all := spread(c, m.ways(c))
		for i := range all {
			all[i].seatSD, all[i].stopSD = 0.3, 0.3 // another set-up's, judgement
		}
		return all
	case CauseBushingDiameter, CauseCutterDiameter, CauseCutterAngle, CauseCutterResharpened:
		return m.wrongTool(c)
	}
	return spread(c, m.ways(c))
}

func spread(c Code, ways []way) []branch {
	var all []branch
	for _, w := range ways {
		for _, l := range w.sizes {
			all = append(all, branch{
				cause: c, weight: w.share * l.weight, mean: l.mean, sd: l.sd, effect: w.effect, kind: w.kind,
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
	return effect{intended: 2 * m.setup.Cutter.Angle.Tan() * s}
}

// ways returns in which ways a cause works (model, sections 6 and 10). Which
// way how often is judgement.
func (m *model) ways(c Code) []way {
	onePiece := m.setup.Template.Kind == joint.OnePiece
	switch c {
	case CauseDepthFromBushingTip:
		return []way{{1, SizeDepth, m.beyondTip(), bothShallower}}
	case CauseDepthFromRouterBase:
		return []way{{1, SizeDepth, m.beyondBase(), bothShallower}}
	case CauseDepthOff:
		return []way{{0.6, SizeDepth, depthSizes, bothDeeper}, {0.4, SizeDepth, depthSizes, depthWanted}}
	case CauseCutterCrept:
		if onePiece { // one pass cuts both boards: it creeps before it
			return []way{{0.6, SizeDepth, unevenSizes, bothDeeper}, {0.2, SizeTail, unevenSizes, tailDeeper}, {0.2, SizeTail, unevenSizes, pinDeeper}}
		}
		return []way{{0.5, SizeTail, unevenSizes, tailDeeper}, {0.5, SizeTail, unevenSizes, pinDeeper}}
	case CauseDepthLockSlipped:
		return []way{
			{0.55, SizeDepth, slipSizes, bothShallower},
			{0.15, SizeDepth, slipSizes, bothDeeper},
			{0.15, SizeTail, slipSizes, tailShallower},
			{0.15, SizeTail, slipSizes, pinShallower},
		}
	case CauseBoardsNotLevel:
		return []way{{0.5, SizeTail, unevenSizes, tailDeeper}, {0.5, SizeTail, unevenSizes, tailShallower}}
	case CauseBushingOffCentre:
		return []way{{1, SizeOffset, axesSizes, axesApart}}
	case CauseRouterTurned:
		return []way{{1, SizePlay, turnedSizes, swept}}
	case CauseOpeningsNotFollowed:
		if onePiece { // one opening, cut once for both boards
			return []way{{1, SizePlay, missedSizes, bothMissed}}
		}
		return []way{{0.4, SizePlay, missedSizes, pinSocketsMissed}, {0.4, SizePlay, missedSizes, tailSocketsMissed}, {0.2, SizePlay, missedSizes, bothMissed}}
	case CauseTemplateTilted:
		return []way{{0.75, SizeTilt, tiltSizes, tiltedAlong}, {0.25, SizeSeat, placeSizes, tiltedAcross}}
	}
	return m.waysOfBoards(c)
}

func (m *model) waysOfBoards(c Code) []way {
	switch c {
	case CauseTemplatePosition:
		return []way{{1, SizeSeat, placeSizes, misplaced}}
	case CauseSideStop:
		return []way{{1, SizeEdge, stopSizes, edgeMoved}}
	case CauseWrongFaceOrStop:
		half := m.pitch() / 2
		return []way{{0.7, SizeEdge, either(lump{1, half, 0.6}), edgeMoved}, {0.3, SizeEdge, either(lump{1, half / 2, 3}), edgeMoved}}
	case CauseBoardCupped:
		return []way{{0.4, SizeHollow, hollowSizes, pinBoardHollow}, {0.3, SizeHollow, hollowSizes, pinBoardCrowned}, {0.3, SizeHollow, either(hollowSizes...), tailBoardCupped}}
	case CauseBoardThickness:
		return []way{{1, SizeThick, thickSizes, otherThickness}}
	case CauseStockNotSquare:
		return []way{{1, SizeShoulder, squareSizes, notSquare}}
	case CauseChipsUnder:
		return []way{
			{0.3, SizeDepth, chipSizes, bothShallower},
			{0.2, SizeTilt, either(chipSizes...), tiltedAlong},
			{0.25, SizeSeat, either(chipSizes...), seatMoved},
			{0.25, SizeEdge, either(chipSizes...), edgeMoved},
		}
	case CauseDullCutter:
		return []way{{1, SizePlay, fuzzSizes, fuzzy}}
	case CauseWoodMoved:
		return []way{{1, SizePlay, movedSizes, outOfStep}}
	case CauseMixedBoards:
		return []way{{0.35, SizeTail, mixedSizes, tailDeeper}, {0.25, SizeTail, mixedSizes, pinDeeper}, {0.4, SizePlay, mixedSizes, otherTool}}
	}
	return nil
}

// beyondTip is T - L, from the set-up where it is known.
func (m *model) beyondTip() []lump {
	t, l := m.setup.Template.Thickness, m.setup.Bushing.Barrel
	if t.Given && l.Given {
		return []lump{{1, (t.Length - l.Length).MM(), 0.2}}
	}
	return tipSizes
}

func (m *model) beyondBase() []lump {
	if t := m.setup.Template.Thickness; t.Given {
		return []lump{{1, t.MM(), 0.15}}
	}
	return baseSizes
}

// axesApart: the cutter's axis off the bushing's by s towards the pin board,
// router never turned: no change of play, seat by 2 s.
func axesApart(m *model, s float64) effect { return effect{offsetY: s} }

// swept: router turned, s = 4 |e| of play gained where every side was swept, or
// lost where one side was cut at one angle and the other at another: as a
// cutter wider by s/2.
func swept(_ *model, s float64) effect { return effect{cutter: s / 2} }

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

// tiltedAlong: one end of the template stood |s| too high, so that end was cut
// shallower and half of it was lost in the middle; play changes by
// -4 t x tan a along x and the shoulder stands open at the deep end. The
// tighter end is what the hand feels.
func tiltedAlong(m *model, s float64) effect {
	slope := 2 * s * m.setup.Cutter.Angle.Tan()
	return effect{
		pinDepth: -math.Abs(s) / 2, tailDepth: -math.Abs(s) / 2,
		slopePlay: slope, whole: -0.6 * math.Abs(slope), slopeShoulder: -s / 2,
	}
}

// tiltedAcross: template or router leaned across the joint: play hardly
// changes, the seat does, by s.
func tiltedAcross(_ *model, s float64) effect {
	return effect{seat: s, shoulder: math.Abs(s) * 0.15}
}

// misplaced: the seat is off by s = 2 D, D the template's place.
func misplaced(m *model, s float64) effect {
	if m.reaches {
		return effect{moved: s / 2}
	}
	return effect{seat: s}
}

// pinBoardHollow: the template bridges the hollow s, the pin board's middle is
// cut shallower and the shoulder stands open there.
func pinBoardHollow(_ *model, s float64) effect {
	return effect{pinDepth: -s * 2 / 3, shoulder: s / 3, bowShoulder: -s, whole: -0.1 * s}
}

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
	if m.reaches && m.setup.TailBoard.Thickness.Given {
		return effect{thicker: s}
	}
	if s < 0 {
		return effect{seat: -s * 0.1}
	}
	return effect{thicker: s}
}

// notSquare: the shoulder is held open by s at one edge.
func notSquare(_ *model, s float64) effect {
	return effect{shoulder: math.Abs(s) / 2, slopeShoulder: s / 2, whole: -0.1 * math.Abs(s)}
}

// fuzzy: feels tighter by s and measures right; what the rounded corners leave
// on the sockets' floor holds the tails' ends off.
func fuzzy(_ *model, s float64) effect { return effect{feel: -s, shoulder: 0.6 * s} }

// outOfStep: sockets and tails out of step by s over the width, and the edges
// by half of it each.
func outOfStep(_ *model, s float64) effect {
	return effect{whole: -s, bowPlay: -s, slopeEdg: s / 2}
}

// otherTool: the tail board was cut with another cutter or bushing.
func otherTool(_ *model, s float64) effect { return effect{play: s, tail: -s, pinSocket: s} }

// wrongTool returns the branches of the four causes that say that a tool is
// not of the size stated: in part that the one in use is another, in part,
// where the size stated was measured, that another was wanted.
func (m *model) wrongTool(c Code) []branch {
	kind, inUse := toolKind[c], m.inUse(c)
	var all []branch
	for _, l := range m.otherSizes(c) {
		if inUse > 0 {
			all = append(all, branch{cause: c, weight: inUse * l.weight, mean: l.mean, sd: l.sd, kind: kind, effect: toolEffect[c]})
		}
	}
	if inUse < 1 {
		for _, l := range m.wantedSizes(c) {
			all = append(all, branch{
				cause: c, weight: (1 - inUse) * l.weight, mean: l.mean, sd: l.sd, kind: kind, effect: wantedEffect[c], measured: true,
			})
		}
	}
	return all
}

var toolKind = map[Code]SizeKind{
	CauseBushingDiameter: SizeBushing, CauseCutterDiameter: SizeCutter, CauseCutterAngle: SizeAngle, CauseCutterResharpened: SizeCutter,
}

// What the tool in use has, added to what is stated; less for a ground cutter.
var toolEffect = map[Code]func(*model, float64) effect{
	CauseBushingDiameter:   func(_ *model, s float64) effect { return effect{bushing: s} },
	CauseCutterDiameter:    func(_ *model, s float64) effect { return effect{cutter: s} },
	CauseCutterAngle:       func(_ *model, s float64) effect { return effect{angle: s} },
	CauseCutterResharpened: func(_ *model, s float64) effect { return effect{cutter: -s} },
}

// What the tool wanted has, added to what is stated: it gives another play at
// the depth as stated.
var wantedEffect = map[Code]func(*model, float64) effect{
	CauseBushingDiameter:   func(_ *model, s float64) effect { return effect{intended: -2 * s} },
	CauseCutterDiameter:    func(_ *model, s float64) effect { return effect{intended: 2 * s} },
	CauseCutterAngle:       angleWanted,
	CauseCutterResharpened: func(_ *model, s float64) effect { return effect{intended: 2 * s} },
}

func angleWanted(m *model, s float64) effect {
	a, h := m.setup.Cutter.Angle, m.cuts[0].depth.Deeper().MM()
	return effect{intended: -2 * h * ((a + joint.Angle(s)).Tan() - a.Tan())}
}

func (m *model) inUse(c Code) float64 {
	switch c {
	case CauseBushingDiameter:
		return actual(m.setup.Bushing.Diameter, m.bushingMeasured())
	case CauseCutterAngle:
		tolerance := m.setup.Cutter.AngleTolerance
		return actual(length.Size{
			Given: !m.missing.Angle, HasTolerance: m.setup.Cutter.HasAngleTolerance, Tolerance: length.Length(tolerance) / 5,
		}, m.angleMeasured())
	}
	size := m.setup.Cutter.Diameter
	size.Given = !m.missing.Cutter
	return actual(size, m.cutterMeasured())
}

// How near another size must lie to be taken by mistake: its chance falls by e
// for each, mm and degrees. Judgement.
const (
	mistakenBushing, farthestBushing = 2.5, 6.5
	mistakenCutter, farthestCutter   = 2.0, 5.0
	mistakenAngle, farthestAngle     = 3.0, 8.0
	leastDiameter, leastAngle        = 0.3, 0.6
	asMarkedNot                      = 0.35 // share of an angle that is not quite the one marked
)

// otherSizes returns by how much the size in use may be another.
func (m *model) otherSizes(c Code) []lump {
	always := func(float64) bool { return true }
	switch c {
	case CauseBushingDiameter:
		opening := m.setup.Template.Tail.Opening
		return near(bushingSizes, m.setup.Bushing.Diameter.MM(), leastDiameter, mistakenBushing, farthestBushing, func(g float64) bool {
			return !opening.Given || g < opening.MM()
		})
	case CauseCutterDiameter:
		need := 2 * m.setup.Depth.Deeper().MM() * m.setup.Cutter.Angle.Tan()
		return near(cutterSizes, m.setup.Cutter.Diameter.MM(), leastDiameter, mistakenCutter, farthestCutter, func(d float64) bool { return d > need })
	case CauseCutterAngle:
		sizes := near(cutterAngles, float64(m.setup.Cutter.Angle), leastAngle, mistakenAngle, farthestAngle, always)
		for i := range sizes {
			sizes[i].weight *= 1 - asMarkedNot
		}
		for _, l := range angleSizes {
			sizes = append(sizes, lump{asMarkedNot * l.weight, l.mean, l.sd})
		}
		return sizes
	}
	return groundSizes
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
func (m *model) wantedSizes(c Code) []lump {
	sizes := m.otherSizes(c)
	switch c {
	case CauseBushingDiameter:
		return wantedInstead(sizes, bushingSizes, m.setup.Bushing.Diameter.MM(), typicalBushing)
	case CauseCutterDiameter:
		return wantedInstead(sizes, cutterSizes, m.setup.Cutter.Diameter.MM(), typicalCutter)
	case CauseCutterResharpened:
		standard := sold(cutterSizes, m.setup.Cutter.Diameter.MM())
		return scaled(m.groundFrom(sizes), groundIfNot*(1-standard)+groundIfSold*standard)
	}
	return sizes
}

// commoner is how many times as common the commonest size is as any other.
// Judgement.
const commoner = 3

// wantedInstead weighs sizes wanted instead of the one in use: the commonest
// is wanted more often, and seldom is it the one taken by mistake.
func wantedInstead(sizes []lump, standard []float64, inUse, commonest float64) []lump {
	common := func(size float64) float64 {
		if math.Abs(size-commonest) < asSold {
			return commoner
		}
		return 1
	}
	for i := range sizes {
		sizes[i].weight *= common(inUse+sizes[i].mean) / common(inUse)
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

// scaled multiplies the weights of a list that is the caller's own.
func scaled(sizes []lump, by float64) []lump {
	for i := range sizes {
		sizes[i].weight *= by
	}
	return sizes
}

// usualDensity of losses is that of a common one; a cutter that would have lost
// more or less than cutters do is the less likely a ground one.
const usualDensity = 3

// groundFrom returns by how much the measured cutter is below the standard
// sizes that it may have had; if there is none, as much as cutters lose.
func (m *model) groundFrom(losses []lump) []lump {
	const least, most = 0.06, 0.9
	d := m.setup.Cutter.Diameter.MM()
	var all []lump
	sum := 0.0
	for _, size := range cutterSizes {
		lost := size - d
		if lost < least || lost > most {
			continue
		}
		density := 0.0
		for _, l := range losses {
			z := (lost - l.mean) / l.sd
			density += l.weight / l.sd * math.Exp(-z*z/2)
		}
		all = append(all, lump{density, lost, 0})
		sum += density
	}
	if sum == 0 {
		return scaled(slices.Clone(losses), groundFromNone)
	}
	return scaled(all, 1/math.Max(sum, usualDensity))
}

// near returns the standard sizes near the one stated, as differences from it,
// likelier the nearer.
func near(all []float64, stated, least, by, farthest float64, fits func(float64) bool) []lump {
	var sizes []lump
	sum := 0.0
	for _, size := range all {
		off := size - stated
		if math.Abs(off) < least || math.Abs(off) > farthest || !fits(size) {
			continue
		}
		w := math.Exp(-math.Abs(off) / by)
		sizes = append(sizes, lump{w, off, 0})
		sum += w
	}
	for i := range sizes {
		sizes[i].weight /= sum
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
