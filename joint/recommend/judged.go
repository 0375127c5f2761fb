package recommend

import (
	"math"

	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/joint/setting"
)

// Steps in which tips are told, so that what is told serves when it is done
// exactly so: degrees, and mm of a bushing and of a board. Judgement.
const (
	angleStep   = 0.1
	bushingStep = 0.01
	boardStep   = 0.1
)

// judged makes every tip as it is told and keeps those with which the pair then
// serves, by the whole set of limits. What one tip alone leaves broken, longer
// cutting edges complete where they are all that is missing. Where nothing is left
// another template is.
func (q *asked) judged(tips []Change) []Change {
	var kept []Change
	for _, tip := range tips {
		if tip.Code == AnotherTemplate {
			continue
		}
		tip = rounded(tip)
		if tip.Code == ShallowerAngle {
			if found, ok := q.shallowerAngle(tip); ok {
				kept = append(kept, found)
			}
			continue
		}
		if q.servesWith(tip) {
			kept = append(kept, tip)
			continue
		}
		if completed, ok := q.completed(tip); ok {
			kept = append(kept, completed)
		}
	}
	if len(kept) == 0 {
		return []Change{{Code: AnotherTemplate}}
	}
	return kept
}

// rounded puts a tip's number on the step that it is told in, on the side that
// serves.
func rounded(tip Change) Change {
	up := func(x, step float64) float64 { return math.Round(math.Ceil(x/step-1e-6)*step*1e6) / 1e6 }
	down := func(x, step float64) float64 { return math.Round(math.Floor(x/step+1e-6)*step*1e6) / 1e6 }
	switch tip.Code {
	case SteeperAngle:
		tip.Angle = joint.Angle(up(float64(tip.Angle), angleStep))
	case LargerBushing:
		tip.Size = length.Length(up(tip.Size.MM(), bushingStep))
	case SmallerBushing:
		tip.Size = length.Length(down(tip.Size.MM(), bushingStep))
	case ThickerBoard:
		tip.Size = length.Length(up(tip.Size.MM(), boardStep))
	}
	return tip
}

// completed adds the cutting edges that a tip's deeper cut needs.
func (q *asked) completed(tip Change) (Change, bool) {
	_, refusal := q.tried(tip)
	if refusal == nil || refusal.Obstacle != ObstacleLimit || refusal.Limit.Code != joint.LimitCuttingLength {
		return tip, false
	}
	tip.CuttingLength = length.Length(math.Ceil(refusal.Depth.MM()/boardStep-1e-6) * boardStep).Rounded()
	return tip, q.servesWith(tip)
}

func (q *asked) servesWith(tip Change) bool {
	o, _ := q.tried(tip)
	return o != nil
}

// tried judges the pair of a tip with the tip done.
func (q *asked) tried(tip Change) (*option, *Refusal) {
	s := q.Setup
	s.Cutter, s.Bushing = tip.Cutter, tip.Bushing
	switch tip.Code {
	case SteeperAngle, ShallowerAngle:
		s.Cutter.Angle = tip.Angle
	case LargerBushing, SmallerBushing:
		s.Bushing.Diameter = length.Exactly(tip.Size)
	case ThickerBoard:
		s.PinBoard.Thickness = length.Exactly(tip.Size)
	}
	if tip.CuttingLength > 0 {
		s.Cutter.CuttingLength = length.Exactly(tip.CuttingLength)
	}
	if q.learned(&s) != nil || s.Template.KnownByOpenings() && s.Bushing.Diameter.Length >= s.Template.Tail.Opening.Length {
		return nil, nil
	}
	return q.judge(&s, setting.New(s.Router, s.Template, s.Bushing).At(q.DepthNow.Length))
}

// shallowerAngle finds the steepest angle below the pair's own at which it serves:
// by 0.1 degrees down to half of it.
func (q *asked) shallowerAngle(tip Change) (Change, bool) {
	own := float64(tip.Cutter.Angle)
	for a := own - angleStep; a >= own/2; a -= angleStep {
		tip.Angle = joint.Angle(math.Round(a/angleStep) * angleStep)
		if q.servesWith(tip) {
			return tip, true
		}
	}
	return tip, false
}
