package advise

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/joint"
	"snugtail/joint/belief"
	"snugtail/joint/length"
)

// exact is somebody at the bench who states one size wrongly, errs in nothing
// else, reads exactly and does as told.
type exact struct {
	told  *Case
	is    joint.Setup   // what stands there
	zero  length.Length // depth in the wood less depth as set
	off   float64       // play that the error makes
	cut   joint.Joint   // the latest
	spent float64       // minutes
	made  int           // joints
	path  string
}

// newExact draws one, nil where no joint of his could fit.
func newExact(t *rapid.T) *exact {
	s := harbour(10)
	s.Cutter.Condition = joint.ConditionNew
	s.PinBoard.Thickness = mm(30)
	stated, err := joint.New(s)
	require.NoError(t, err)
	s = s.AtDepth(length.Length(math.Round(stated.DepthFor(target.Play).MM()*100) / 100))
	e := &exact{told: caseOf(s), is: s, off: rapid.Float64Range(-3, 3).Draw(t, "play")}
	half := length.Length(e.off / 2)
	switch rapid.SampledFrom([]string{"bushing", "cutter", "opening", "scale"}).Draw(t, "wrong") {
	case "bushing":
		e.is.Bushing.Diameter.Length -= half
	case "cutter":
		e.is.Cutter.Diameter.Length += half
	case "opening":
		o := s.Template.Tail.Opening.Length + half
		e.is.Template = joint.NewOnePiece(s.Template.Pitch, length.Exactly(o), length.Size{}, length.Size{})
	default:
		e.zero = -length.Length(e.off / (2 * s.Cutter.Angle.Tan()))
	}
	is, err := joint.New(e.is)
	if err != nil {
		return nil
	}
	h := is.DepthFor(target.Play)
	if _, broken := blocking(e.is.AtDepth(h)); broken || h < 3 || e.is.Bushing.Diameter.Length+0.05 > e.is.Template.Tail.Opening.Length {
		return nil
	}
	if _, broken := blocking(s.AtDepth(h - e.zero)); broken || h-e.zero < 3 {
		return nil
	}
	return e
}

// play of the joint cut last.
func (e *exact) play() float64 { return e.cut.Play().MM() }

// joint cuts one with the depth set to h, and tells how it went; the gap only
// where that is told.
func (e *exact) joint(h length.Length, tellsGap bool) (fits bool) {
	e.made++
	e.spent += 15
	e.cut, _ = joint.New(e.is.AtDepth(h + e.zero)) // geometry answers even where limits are broken
	play := e.play()
	e.path += fmt.Sprintf(" cut %.2f: %.2f;", h.MM(), play)
	cut := belief.Cut{Depth: joint.EqualDepth(length.Exactly(h)), Sight: belief.Sight{Feel: feelOf(play)}}
	if tellsGap && play > joint.LooseAbove {
		cut.PulledGap = mm(play / e.cut.PlayPerDepth())
	}
	e.told.Cuts = append(e.told.Cuts, cut)
	e.told.Setup.Depth = cut.Depth
	return target.Holds(length.Length(play))
}

// feelOf is the word for a play: the ranges of the words, without their soft edges.
func feelOf(play float64) belief.Feel {
	switch {
	case play <= -joint.DefaultCrush:
		return belief.FeelWillNotStart
	case play <= -0.11:
		return belief.FeelHardBlows
	case play < joint.TightBelow:
		return belief.FeelLightTaps
	case play <= joint.LooseAbove:
		return belief.FeelHandPressure
	case play <= joint.TooLooseAbove:
		return belief.FeelSlidesFree
	}
	return belief.FeelRattles
}

// check makes a check and tells what it reads.
func (e *exact) check(t require.TestingT, c belief.Check, minutes float64) {
	e.spent += minutes
	e.path += fmt.Sprintf(" check %d;", c)
	e.told.Answered[c] = true
	last, set := &e.told.Cuts[len(e.told.Cuts)-1], &e.told.Setup
	w, known := e.cut.Widths()
	require.True(t, known)
	switch c {
	case belief.CheckMeasureBushing:
		set.Bushing.Labelled, set.Bushing.Diameter = set.Bushing.Diameter, length.Within(e.is.Bushing.Diameter.Length, 0.04)
	case belief.CheckMeasureCutter, belief.CheckScrapSlot:
		if !set.Cutter.Labelled.Given {
			set.Cutter.Labelled = set.Cutter.Diameter
		}
		set.Cutter.Diameter = length.Within(e.is.Cutter.Diameter.Length, 0.08)
	case belief.CheckMeasureTemplate:
		opening := length.Within(e.is.Template.Tail.Opening.Length, 0.08)
		set.Template = joint.NewOnePiece(set.Template.Pitch, opening, length.Size{}, length.Size{})
	case belief.CheckMeasureDepth:
		d := length.Exactly(last.Depth.PinBoard.Length + e.zero)
		last.Measured.DepthPinBoard, last.Measured.DepthTailBoard = d, d
	case belief.CheckMeasureWidths:
		last.Measured.PinWidest, last.Measured.TailWidest = length.Exactly(w.PinWidest), length.Exactly(w.TailWidest)
		last.Measured.PinSocketWidest, last.Measured.TailSocketWidest = length.Exactly(w.PinSocketWidest), length.Exactly(w.TailSocketWidest)
	case belief.CheckPullJoint:
		if gap := e.play() / e.cut.PlayPerDepth(); gap > 0 {
			last.PulledGap, last.ShoulderGap = mm(gap), mm(0)
		}
	case belief.CheckSeeEdges:
		last.EdgeStep = mm(0)
	case belief.CheckLookBothEnds:
		feel := belief.Sight{Feel: last.Feel}
		last.Along = []belief.Place{{Position: 0, Sight: feel}, {Position: 150, Sight: feel}}
	}
	for _, f := range c.SeenWith() {
		e.told.Findings[f] = belief.No
		if f == belief.FoundOneSetting {
			e.told.Findings[f] = belief.Yes
		}
	}
}

// follow does as told until a joint fits or four joints' minutes are spent, and
// says whether one did.
func (e *exact) follow(t require.TestingT, tellsGap bool) bool {
	for range 12 {
		a := on(t, e.told)
		switch a.Decision.Do {
		case DoCheck:
			e.check(t, a.Decision.Check, a.Minutes[a.Decision.Check])
		case DoChange: // the tool that was stated is fitted, which is then right
			if step := a.Steps[0]; step.Action == ChangeBushing && step.SizeKnown {
				e.is.Bushing.Diameter.Length = step.Size
			} else if step.Action == ChangeCutter && step.SizeKnown {
				e.is.Cutter.Diameter.Length = step.Size
			}
			fallthrough
		default:
			if e.joint(a.NextDepth, tellsGap) {
				return e.spent <= 4*15
			}
		}
		if e.spent >= 4*15 {
			return false
		}
	}
	return false
}

// A caller with any one constant error of play, at most 3 mm, who starts with a
// jam and tells nothing but how each joint goes together, gets a fit within four
// joints, or as many minutes, checks and all.
func TestAJamByFeelAloneFitsWithinFour(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := newExact(t)
		if e == nil {
			return
		}
		a := on(t, e.told)
		if e.joint(a.NextDepth, false) || e.play() > -0.05 {
			return // it fits, or it is loose
		}
		require.True(t, e.follow(t, false), "off by %g:%s", e.off, e.path)
	})
}

// looseAtFirst is an exact caller who has cut a loose joint and read its gap; nil
// where the first one fits or jams.
func looseAtFirst(t *rapid.T) *exact {
	e := newExact(t)
	if e == nil {
		return nil
	}
	a := on(t, e.told)
	if e.joint(a.NextDepth, true) || e.play() <= joint.LooseAbove {
		return nil
	}
	return e
}

// One who starts with a loose joint and reads its gap gets a fit with the second,
// after what checks he is asked to make.
func TestAGapReadFitsWithTheSecond(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := looseAtFirst(t)
		if e == nil {
			return
		}
		require.True(t, e.follow(t, true), "off by %g:%s", e.off, e.path)
		require.LessOrEqual(t, e.made, 2, "off by %g:%s", e.off, e.path)
	})
}

// A joint that jams where it was to fit, by all that was measured of the one before,
// is looked at itself: what was answered of an earlier joint may be asked again.
func TestASecondJamIsLookedAtItself(t *testing.T) {
	s := joint.Setup{
		Template: joint.NewOnePiece(mm(24), mm(13.2), length.Size{}, length.Size{}),
		Bushing:  joint.Bushing{Diameter: mm(11)},
		Cutter:   joint.Cutter{Diameter: mm(12), Angle: 10, Condition: joint.ConditionNew},
		Depth:    joint.EqualDepth(mm(12.264)),
		PinBoard: joint.PinBoard{Thickness: mm(30)},
	}
	// 6.5 mm deeper than set: what was measured of the first joint is as well that
	// of a cutter of 16 degrees.
	e := &exact{told: caseOf(s), is: s, zero: length.Length(2.3 / (2 * s.Cutter.Angle.Tan()))}
	require.False(t, e.joint(12.264, false))
	require.True(t, e.follow(t, false), e.path)
	require.LessOrEqual(t, e.made, 3, e.path)
}
