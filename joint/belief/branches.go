package belief

import (
	"math"

	"snugtail/joint"
	"snugtail/joint/belief/sizes"
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

// depthMiswritten: the depth was set s deeper than is told, as the sizes ask for.
func depthMiswritten(m *model, s float64) effect {
	return effect{pinDepth: s, tailDepth: s, intended: -2 * m.filled.setup.Cutter.Angle.Tan() * s}
}

// meantRoughly: who asks about a set-up that was written down wrongly asks because
// it has not the play either that it was meant to have. Judgement.
func meantRoughly(*model, float64) effect { return effect{intended: roughly} }

const roughly = 0.3 // mm of play

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
		return []way{
			by(0.68, SizeDepth, of[sizes.Depth], bothDeeper), by(0.29, SizeDepth, of[sizes.Depth], depthWanted),
			by(0.03, SizeDepth, []Lump{anyDepth}, depthMiswritten).and(meantRoughly),
		}
	case CauseCutterCrept: // while cutting, or before it; between the boards where these are cut one by one
		uneven, between := of[sizes.Uneven], 0.1
		if !onePiece {
			between = 0.2
		}
		return []way{
			by(0.6-1.5*between, SizeDepth, sizes.Either(uneven...), creptAlong), by(0.2-0.5*between, SizeDepth, sizes.Either(uneven...), creptBack),
			by(0.15, SizeDepth, uneven, bothDeeper), by(0.05, SizeDepth, uneven, bothShallower),
			by(between, SizeTail, uneven, tailDeeper), by(between, SizeTail, uneven, pinDeeper),
		}
	case CauseDepthLockSlipped:
		slip := of[sizes.Slip]
		return []way{
			by(0.55, SizeDepth, slip, bothShallower), by(0.15, SizeDepth, slip, bothDeeper),
			by(0.15, SizeTail, slip, tailShallower), by(0.15, SizeTail, slip, pinShallower),
		}
	case CauseBoardsNotLevel:
		return []way{by(0.5, SizeTail, of[sizes.Uneven], tailDeeper), by(0.5, SizeTail, of[sizes.Uneven], tailShallower)}
	case CauseBushingOffCentre:
		return []way{by(1, SizeOffset, of[sizes.Axes], axesApart)}
	case CauseRouterTurned:
		return []way{by(1, SizePlay, of[sizes.Turned], swept).and(sweptSeat)}
	case CauseOpeningsNotFollowed:
		missed, one := of[sizes.Missed], 0.35
		if onePiece { // one opening, cut once for both boards, but in two parts of it
			one = 0.2
		}
		return []way{
			by(one, SizePlay, missed, pinSocketsMissed), by(one, SizePlay, missed, tailSocketsMissed),
			by(1-2*one, SizePlay, missed, bothMissed).and(missedUnevenly),
		}
	case CauseTemplateTilted:
		return []way{by(0.4, SizeTilt, of[sizes.Tilt], tiltedAlong), by(0.35, SizeTilt, of[sizes.Tilt], tiltedAbout), by(0.25, SizeSeat, of[sizes.Place], tiltedAcross)}
	}
	return m.waysOfBoards(c)
}

func (m *model) waysOfBoards(c Code) []way {
	of := &m.priors.Sizes
	switch c {
	case CauseTemplatePosition:
		return []way{by(1, SizeSeat, of[sizes.Place], misplaced)}
	case CauseTemplateSkewed:
		return []way{by(1, SizeSeat, of[sizes.Skew], skewed)}
	case CauseTemplateSize:
		wrong := m.miswritten(c)
		return []way{by(1-wrong, SizeOpening, of[sizes.Opening], otherOpening), by(wrong, SizeOpening, []Lump{anyAmount}, openingMiswritten).and(meantRoughly)}
	case CauseSideStop:
		return []way{by(1, SizeEdge, of[sizes.Stop], edgeMoved)}
	case CauseWrongFaceOrStop:
		half := m.pitch() / 2
		return []way{by(0.7, SizeEdge, sizes.Either(Lump{Weight: 1, Mean: half, SD: 0.6}), edgeMoved), by(0.3, SizeEdge, sizes.Either(Lump{Weight: 1, Mean: half / 2, SD: 3}), edgeMoved)}
	case CauseBoardCupped:
		hollow := of[sizes.Hollow]
		return []way{
			by(0.4, SizeHollow, hollow, pinBoardHollow).and(shallowerThere), by(0.3, SizeHollow, hollow, pinBoardCrowned),
			by(0.3, SizeHollow, sizes.Either(hollow...), tailBoardCupped),
		}
	case CauseBoardThickness:
		return []way{by(1, SizeThick, of[sizes.Thick], otherThickness)}
	case CauseStockNotSquare:
		return []way{by(1, SizeShoulder, of[sizes.Square], notSquare)}
	case CauseChipsUnder:
		chip := of[sizes.Chip]
		return []way{
			by(0.3, SizeDepth, chip, bothShallower),
			by(0.1, SizeTilt, sizes.Either(chip...), tiltedAlong), by(0.1, SizeTilt, sizes.Either(chip...), tiltedAbout),
			by(0.25, SizeSeat, sizes.Either(chip...), seatMoved), by(0.25, SizeEdge, sizes.Either(chip...), edgeMoved),
		}
	case CauseDullCutter:
		return []way{by(1, SizePlay, of[sizes.Fuzz], fuzzy)}
	case CauseGlueSwelled:
		return []way{by(1, SizePlay, of[sizes.Swelled], swelled)}
	case CauseWoodMoved:
		return []way{by(1, SizePlay, of[sizes.Moved], outOfStep)}
	case CauseMixedBoards:
		mixed := of[sizes.Mixed]
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
		return []Lump{{Weight: 1, Mean: (t.Length - l.Length).MM(), SD: 0.2}}
	}
	return m.priors.Sizes[sizes.Tip]
}

func (m *model) beyondBase() []Lump {
	if t := m.filled.setup.Template.Thickness; t.Given {
		return []Lump{{Weight: 1, Mean: t.MM(), SD: 0.15}}
	}
	return m.priors.Sizes[sizes.Base]
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

// openingMiswritten: the template is the one that was meant, and its openings are
// wider by s than was written down.
func openingMiswritten(_ *model, s float64) effect { return effect{opening: s, intended: 2 * s} }

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

func (m *model) pitch() float64 {
	if p := m.filled.setup.Template.Pitch.MM(); p > 0 {
		return p
	}
	return typicalPitch
}
