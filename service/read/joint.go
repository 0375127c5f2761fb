package read

import (
	"errors"
	"fmt"
	"slices"
	"strconv"

	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/belief"
	"snugtail/joint/effort"
	"snugtail/joint/layout"
	"snugtail/joint/length"
	"snugtail/joint/wood"
	"snugtail/service/problem"
)

func Prediction(r *Reader, in *api.FitPredictionRequest) {
	setup, _ := r.Setup(in.Setup)
	r.Target(in.Target, setup.Tails())
}

func Drawing(r *Reader, in *api.JointDrawingRequest) { r.DrawingAsked(in) }

// DrawingAsked reads what is to be drawn; the plan is nil where no width is asked
// about.
func (r *Reader) DrawingAsked(in *api.JointDrawingRequest) (joint.Setup, []belief.Session, *layout.Plan) {
	setup, sessions := r.Setup(in.Setup)
	at := slices.Index(in.Views, "corner")
	if in.BoardWidth == nil {
		if at >= 0 {
			r.fail("/views", strconv.Itoa(at), problem.CodeMissing, "corner_needs_width")
		}
		return setup, sessions, nil
	}
	width := r.size(in.BoardWidth, positive, "", "board_width")
	if in.Setup != nil && (in.Setup.Template != nil || in.Setup.Record != nil) && !setup.Template.KnownByOpenings() {
		r.fail("", "board_width", problem.CodeConflict, "corner_needs_openings")
		return setup, sessions, nil
	}
	if !width.Given {
		return setup, sessions, nil
	}
	plan := &layout.Plan{Setup: setup, Width: width.Length}
	r.refusePlan(plan, &api.LayoutRequest{Setup: in.Setup, BoardWidth: in.BoardWidth})
	return setup, sessions, plan
}

func Recommendation(r *Reader, in *api.CutterRecommendationRequest) {
	setup, _ := r.Setup(in.Setup)
	r.CuttersAtHand(in, setup.Cutter)
	r.BushingsAtHand(in)
	r.Target(in.Target, setup.Tails())
}

// Chance is that of play within the target, at a depth of cut in both boards.
type Chance func(h length.Length) float64

// Predicted puts what earlier sessions taught into a set-up, and the crush
// limit of its wood into the bands, and predicts the fit, and the chance at other
// depths.
func (r *Reader) Predicted(s *joint.Setup, sessions []belief.Session, target joint.Target) (joint.Prediction, Chance, error) {
	j, err := joint.New(*s)
	if err != nil {
		return joint.Prediction{}, nil, r.Refusal(fmt.Errorf("reading the set-up: %w", err))
	}
	if err := r.bandsFor(&j); err != nil {
		return joint.Prediction{}, nil, err
	}
	if len(sessions) == 0 {
		return j.Predict(target, r.Bands), func(h length.Length) float64 { return j.ChanceAt(h, target) }, nil
	}
	taught, err := r.Observer.Taught(*s, sessions, target, r.Bands)
	if err != nil {
		return joint.Prediction{}, nil, r.Refusal(fmt.Errorf("learning from the record: %w", err))
	}
	s.Offset = taught.Offset
	if j, err = joint.New(*s); err != nil {
		return joint.Prediction{}, nil, r.Refusal(err)
	}
	p := j.Predict(target, r.Bands)
	p.Fit = j.FitWith(taught.Posterior.At(s.Depth.Deeper().Length), target, r.Bands)
	return p, taught.Posterior.Chance, nil
}

// BandsOf sets the bands of play for the set-up's wood. A set-up that cannot be
// cut keeps the bands it has: it is refused later.
func (r *Reader) BandsOf(s joint.Setup) error {
	j, err := joint.New(s)
	if err != nil {
		return nil
	}
	return r.bandsFor(&j)
}

// bandsFor sets the bands of play for the joint's wood.
func (r *Reader) bandsFor(j *joint.Joint) error {
	bands, err := effort.Bands(j)
	if err != nil {
		return OutsideTable(err)
	}
	r.Bands = bands
	return nil
}

// OutsideTable: sizes that a joint may have, but that the wood's formulas do
// not reach, leave the wood out of the answer.
func OutsideTable(err error) error {
	if err == nil {
		return nil
	}
	var outside *wood.RangeError
	if errors.As(err, &outside) {
		return nil
	}
	return err
}
