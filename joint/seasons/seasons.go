// Package seasons takes a joint, as it was cut, through the climates that it
// has to live in: package wood moves the boards; this one adds how sure the
// play was when the joint was cut, the band it ends in, and how it goes with
// the air's humidity.
//
// Start with [CutBy] for the joint that a set-up cuts, then [Question.Through]
// for some climates or [Question.OverHumidity] for a curve.
//
// The package is pure: no clock, no state, no text. Errors are those of
// wood.Movement and wood.EquilibriumMoisture.
package seasons

import (
	"fmt"
	"math"

	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/joint/wood"
)

// z95 is how many standard deviations either way hold 95 % of a normal
// distribution.
const z95 = 1.959963984540054

// Cut is a joint as it comes off the router.
type Cut struct {
	Play                      Play // its band is not set
	Pitch, TailWidest         length.Length
	DepthPinBoard             length.Length
	DepthTailBoard, NoseReach length.Size
	// PlayPerDepth is by how much play falls for each unit of depth, 2 tan a;
	// 0 where no set-up is known.
	PlayPerDepth float64
}

// Play is a play, and how sure it is.
type Play struct {
	Play      length.Length
	Standard  length.Length // standard uncertainty
	Low, High length.Length // the 95 % range
	Band      joint.Band
}

// CutBy returns the joint that a prediction is about. Pitch and tail width are
// 0 for templates that are not known by their openings.
func CutBy(p *joint.Prediction) Cut {
	s := p.Joint.Setup()
	cut := Cut{
		Play:          Play{Play: p.Fit.Play, Standard: p.Fit.Standard, Low: p.Fit.Low, High: p.Fit.High},
		DepthPinBoard: s.Depth.PinBoard.Length, DepthTailBoard: s.Depth.TailBoard,
		PlayPerDepth: p.Joint.PlayPerDepth(),
	}
	if p.WidthsKnown {
		cut.Pitch, cut.TailWidest = s.Template.Pitch.Length, p.Widths.TailWidest
		cut.NoseReach = noseReach(&s)
	}
	return cut
}

// noseReach returns y_n + R_n = f0 - ey + g/2 - r(u0), how far the tail's nose
// reaches along y at the lowest level that both boards share, u0 = max(0, h_t -
// h_p); at most the thickness of a tail board that cuts the nose off. Not
// stated without the finger's reach, and where the nose ends in front of the
// board's outside face. Source: joint/model.md, section 5.
func noseReach(s *joint.Setup) length.Size {
	if !s.Template.Tail.FingerReach.Given {
		return length.Size{}
	}
	d, ey := s.Cutter.TipDiameter().MM(), s.Bushing.OffsetY.MM()
	if s.Router.TurnedInUse {
		d, ey = d+2*s.Bushing.Eccentricity().MM(), 0
	}
	u0 := math.Max(0, s.Depth.TailBoard.MM()-s.Depth.PinBoard.MM())
	reach := s.Template.Tail.FingerReach.MM() - ey + s.Bushing.Diameter.MM()/2 - (d/2 - u0*s.Cutter.Angle.Tan())
	if t := s.TailBoard.Thickness; t.Given {
		reach = math.Min(reach, t.MM())
	}
	if reach <= 0 {
		return length.Size{}
	}
	return length.Exactly(length.Length(reach))
}

// Measured returns a play that was read off the joint, ToleranceCaliper where
// no tolerance is stated.
func Measured(play length.Size) Play {
	u := play.StandardUncertainty(joint.ToleranceCaliper)
	reach := length.Length(z95 * u)
	return Play{Play: play.Length, Standard: length.Length(u), Low: play.Length - reach, High: play.Length + reach}
}

// Question is a joint, its boards and what counts as assembling.
type Question struct {
	Cut                 Cut
	PinBoard, TailBoard wood.Board
	SameStock           bool          // see wood.Joint
	LeastPlay           length.Length // that still assembles
	Bands               joint.Bands
}

// Outcome is what one climate does to the joint.
type Outcome struct {
	wood.Outcome
	// Middle is the play of a tail in the middle, Outermost the play that the
	// outermost tails leave, both with how sure the play as cut was; zero where
	// the Outcome is Missing something.
	Middle, Outermost Play
}

// Year is what the climates do to the joint.
type Year struct {
	Outcomes []Outcome // one per climate, in order
	Advice   wood.Advice
	// LooserDepth is the depth of cut, of both boards, that cuts it looser as
	// advised; not stated without a set-up, or where none above 0 does.
	LooserDepth length.Size
}

// Through returns what the climates do to the joint. See wood.Movement for
// formulas, ranges and errors. The play as cut and the wood's movement are
// taken as independent:
//
//	u^2 = u_c^2 + u_wood^2                               JCGM 100:2008, equation 10
//
// and so are the two halves of the 95 % range. Boards out of step only take
// play from the outermost tails, so there the two halves differ.
func (q *Question) Through(climates []wood.Climate) (Year, error) {
	moved, err := wood.Movement(q.joint(climates))
	if err != nil {
		return Year{}, fmt.Errorf("moving the boards: %w", err)
	}
	year := Year{Outcomes: make([]Outcome, len(climates)), Advice: moved.Advice}
	for i := range moved.Outcomes {
		year.Outcomes[i] = q.outcome(&moved.Outcomes[i])
	}
	year.LooserDepth = q.looserDepth(moved.Advice.CutLooser)
	return year, nil
}

// Check returns the errors that Through would.
func (q *Question) Check() error {
	_, err := q.Through(nil)
	return err
}

func (q *Question) joint(climates []wood.Climate) *wood.Joint {
	c := &q.Cut
	return &wood.Joint{
		PinBoard: q.PinBoard, TailBoard: q.TailBoard, SameStock: q.SameStock,
		Play: c.Play.Play, LeastPlay: q.LeastPlay, Pitch: c.Pitch, TailWidth: c.TailWidest,
		DepthPinBoard: c.DepthPinBoard, DepthTailBoard: c.DepthTailBoard, NoseReach: c.NoseReach,
		Climates: climates,
	}
}

func (q *Question) outcome(o *wood.Outcome) Outcome {
	out := Outcome{Outcome: *o}
	if o.Missing != nil {
		return out
	}
	middle := z95 * o.UncertaintyMiddle.MM()
	out.Middle = q.play(o.PlayMiddle, o.UncertaintyMiddle, middle, middle)
	down, up := q.outermostRange(o)
	out.Outermost = q.play(o.PlayOutermost, o.Uncertainty, down, up)
	return out
}

// outermostRange returns how much less and how much more play the outermost
// tails may have, mm, while the boards' mismatch m is within its 95 %. What
// they lose, |m| W', grows either way from 0, more steeply where the tails
// swelled more (see wood.Movement), so the extremes lie at the range's ends or,
// where it is in the range, at no mismatch.
func (q *Question) outermostRange(o *wood.Outcome) (down, up float64) {
	width, w := min(q.PinBoard.Width, q.TailBoard.Width).MM(), q.Cut.TailWidest.MM()
	lost := func(m float64) float64 {
		reach := width - q.Cut.Pitch.MM() + w
		if m > 0 {
			reach -= 2 * w
		}
		return math.Abs(m) * reach
	}
	m, u := 2*o.EdgeStep.MM()/width, z95*o.UncertaintyMiddle.MM()/w
	most, least := max(lost(m-u), lost(m+u)), min(lost(m-u), lost(m+u))
	if u >= math.Abs(m) {
		most, least = max(most, 0), min(least, 0)
	}
	return most - lost(m), lost(m) - least
}

// play joins what the wood adds to how sure the play as cut was.
func (q *Question) play(play, wood length.Length, down, up float64) Play {
	cut := &q.Cut.Play
	return Play{
		Play:     play,
		Standard: length.Length(math.Hypot(cut.Standard.MM(), wood.MM())),
		Low:      play - length.Length(math.Hypot((cut.Play-cut.Low).MM(), down)),
		High:     play + length.Length(math.Hypot((cut.High-cut.Play).MM(), up)),
		Band:     q.Bands.Of(play),
	}
}

// looserDepth returns h - dc/(2 tan a), the depth that leaves dc more play.
func (q *Question) looserDepth(dc length.Length) length.Size {
	c := &q.Cut
	if c.PlayPerDepth == 0 || dc <= 0 {
		return length.Size{}
	}
	depth := max(c.DepthPinBoard, c.DepthTailBoard.Length) - dc/length.Length(c.PlayPerDepth)
	if depth <= 0 {
		return length.Size{}
	}
	return length.Exactly(depth)
}
