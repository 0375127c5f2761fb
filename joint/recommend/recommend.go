// Package recommend answers: which cutter, at which depth? It ranks the
// cutters at hand for a set-up and says what stands in the way of the rest.
package recommend

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"snugtail/joint"
	"snugtail/joint/learn"
	"snugtail/joint/length"
)

// Choice is a cutter that serves, at the depth that gives the target play.
type Choice struct {
	Cutter     joint.Cutter
	Prediction joint.Prediction
	// Comfortable counts the comforts that a choice has to spare: a lap of
	// joint.ComfortableLap, a flare joint.ComfortableFlare off the template,
	// and a depth of at least a third of the pin board.
	Comfortable int
}

// LeastDepth is the depth, mm, below which a tail holds nothing. Judgement.
const LeastDepth = 3

// deepEnough is the depth that a comfortable joint has: a third of the pin
// board where its thickness is known, else twice LeastDepth. Judgement.
func deepEnough(s *joint.Setup) length.Length {
	if t := s.PinBoard.Thickness; t.Given {
		return t.Length / 3
	}
	return 2 * LeastDepth
}

// Obstacle says what keeps a cutter from serving.
type Obstacle uint8

// Obstacles.
const (
	ObstacleLimit      Obstacle = iota // a limit is broken at the fitting depth
	ObstacleNoDepth                    // no depth above 0 gives the target play
	ObstacleTooShallow                 // it fits only above LeastDepth
	ObstacleImpossible                 // no such joint can be cut
)

// Refusal is a cutter that does not serve.
type Refusal struct {
	Cutter     joint.Cutter
	Obstacle   Obstacle
	Depth      length.Length     // at which the target play would be met
	PlayAtNone length.Length     // ObstacleNoDepth: all the play there can be
	Limit      joint.Limit       // ObstacleLimit: the one broken furthest
	Impossible *joint.Impossible // ObstacleImpossible
}

// Result is the answer: best choice first, refusals in the cutters' order.
type Result struct {
	Choices []Choice
	Refused []Refusal
	Changes []Change
}

// Cutters ranks cutters for the set-up s, whose own cutter and depth do not
// count. Changes are given when none serves. Earlier sessions with the same
// template, oldest first, count for what they share with each cutter's
// set-up; the error is that of learn.FromTestCuts for one of them.
func Cutters(s joint.Setup, cutters []joint.Cutter, target joint.Target, bands joint.Bands, earlier ...learn.Session) (Result, error) {
	var result Result
	for _, cutter := range cutters {
		s.Cutter = cutter
		if err := learned(&s, target, bands, earlier); err != nil {
			return Result{}, err
		}
		choice, refusal := judge(s, target, bands)
		if refusal != nil {
			result.Refused = append(result.Refused, *refusal)
			continue
		}
		result.Choices = append(result.Choices, choice)
	}
	slices.SortStableFunc(result.Choices, better)
	if len(result.Choices) == 0 {
		result.Changes = changes(s, result.Refused)
	}
	return result, nil
}

// learned sets what earlier sessions taught of the set-up with its cutter.
func learned(s *joint.Setup, target joint.Target, bands joint.Bands, earlier []learn.Session) error {
	if len(earlier) == 0 {
		return nil
	}
	s.Offset = joint.Offset{}
	p, err := learn.FromTestCuts(s.AtDepth(fittingDepth(*s, target)), nil, bands, earlier...)
	if err != nil {
		return fmt.Errorf("learning from earlier sessions: %w", err)
	}
	s.Offset = p.Offset()
	return nil
}

// judge predicts the joint that s cuts at the depth for the target.
func judge(s joint.Setup, target joint.Target, bands joint.Bands) (Choice, *Refusal) {
	depth := fittingDepth(s, target)
	if depth.Rounded() <= 0 {
		return Choice{}, &Refusal{Cutter: s.Cutter, Obstacle: ObstacleNoDepth, Depth: depth, PlayAtNone: playAtNone(s)}
	}
	p, err := joint.Predict(s.AtDepth(depth), target, bands)
	var impossible *joint.Impossible
	if errors.As(err, &impossible) {
		return Choice{}, &Refusal{
			Cutter: s.Cutter, Obstacle: ObstacleImpossible, Depth: depth, Impossible: impossible,
		}
	}
	if worst, broken := furthestBroken(&p.Limits); broken {
		return Choice{}, &Refusal{
			Cutter: s.Cutter, Obstacle: ObstacleLimit, Depth: depth, Limit: worst,
		}
	}
	if depth.Rounded() < LeastDepth {
		return Choice{}, &Refusal{Cutter: s.Cutter, Obstacle: ObstacleTooShallow, Depth: depth}
	}
	return Choice{Cutter: s.Cutter, Prediction: p, Comfortable: comforts(&p)}, nil
}

// playAtNone is the play that the widest possible joint, one of no depth, has.
func playAtNone(s joint.Setup) length.Length {
	flat, _ := joint.New(s.AtDepth(0))
	return flat.Play()
}

// fittingDepth is h* for the target play. A joint of no depth is always
// possible to state, so its geometry answers even where the set-up is not.
func fittingDepth(s joint.Setup, target joint.Target) length.Length {
	flat, _ := joint.New(s.AtDepth(0))
	return flat.DepthFor(target.Play)
}

func furthestBroken(limits *joint.Limits) (worst joint.Limit, broken bool) {
	for _, l := range limits {
		if l.Broken() && (!broken || l.Margin < worst.Margin) {
			worst, broken = l, true
		}
	}
	return worst, broken
}

func comforts(p *joint.Prediction) int {
	count := 0
	if lap, ok := p.Joint.Lap(); ok && lap >= joint.ComfortableLap {
		count++
	}
	if p.Limits[joint.LimitFlareInTemplate].Margin >= joint.ComfortableFlare-joint.FlareClearance {
		count++
	}
	if setup := p.Joint.Setup(); p.DepthForTarget >= deepEnough(&setup) {
		count++
	}
	return count
}

// better orders choices: comforts first, then the chance that the first test
// joint fits (to a hundredth: less is not told apart), then the touchiness,
// then the deeper cut, which has more wood to glue.
func better(a, b Choice) int {
	return cmp.Or(
		-cmp.Compare(a.Comfortable, b.Comfortable),
		-cmp.Compare(hundredths(a.Prediction.Fit.InTarget), hundredths(b.Prediction.Fit.InTarget)),
		cmp.Compare(a.Prediction.PlayPerTenth.Rounded(), b.Prediction.PlayPerTenth.Rounded()),
		-cmp.Compare(a.Prediction.Joint.Setup().Depth.PinBoard.Rounded(), b.Prediction.Joint.Setup().Depth.PinBoard.Rounded()),
	)
}

func hundredths(p float64) int { return int(math.Round(100 * p)) }
