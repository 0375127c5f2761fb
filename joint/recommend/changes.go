package recommend

import (
	"math"

	"snugtail/joint"
	"snugtail/joint/length"
)

// ChangeCode names something to change when no cutter serves.
type ChangeCode uint8

// What may be changed.
const (
	SteeperAngle   ChangeCode = iota // cuts shallower
	ShallowerAngle                   // cuts deeper
	LargerBushing                    // asks for less depth
	SmallerBushing                   // asks for more depth
	ThickerBoard
	AnotherTemplate
)

// Change is one thing to change, and the pair it is told for.
type Change struct {
	Code    ChangeCode
	Cutter  joint.Cutter
	Bushing joint.Bushing
	Angle   joint.Angle   // at least (SteeperAngle) or at most (ShallowerAngle)
	Size    length.Length // bushing diameter or board thickness, at least or at most
	// CuttingLength that the cutter has to have as well; 0 where its own will do.
	CuttingLength length.Length
}

// changes says, for the pair that misses by least, what else would serve.
func changes(s joint.Setup, refused []Refusal) []Change {
	nearest, found := nearestMiss(s, refused)
	if !found {
		return []Change{{Code: AnotherTemplate}}
	}
	s.Cutter, s.Bushing = nearest.Cutter, nearest.Bushing
	all := changesFor(s, nearest)
	for i := range all {
		all[i].Cutter, all[i].Bushing = s.Cutter, s.Bushing
	}
	return all
}

func changesFor(s joint.Setup, nearest Refusal) []Change {
	switch nearest.Limit.Code {
	case joint.LimitLap:
		return shallower(s, nearest, s.PinBoard.Thickness.MM()-joint.LeastLap, true)
	case joint.LimitCuttingLength:
		return shallower(s, nearest, s.Cutter.CuttingLength.MM(), false)
	case joint.LimitFlareInTemplate:
		return smallerBushing(s, nearest)
	case joint.LimitCutterInBushing, joint.LimitGrooveDepth:
		return []Change{{Code: ShallowerAngle}} // any angle below this one's
	default:
		return []Change{{Code: AnotherTemplate}}
	}
}

// nearestMiss returns the refusal whose broken limit is broken by least, of those
// that would leave a joint by the template's reaches. A cutter through the pin
// board misses the lap; count it as such.
func nearestMiss(s joint.Setup, refused []Refusal) (nearest Refusal, found bool) {
	for _, r := range refused {
		if noTails(s, &r) {
			continue
		}
		if r.Obstacle == ObstacleImpossible && r.Impossible.Reason == joint.ReasonThroughPinBoard {
			missing := length.Length(r.Impossible.Limit - r.Impossible.Value - joint.LeastLap)
			r.Limit = joint.Limit{Code: joint.LimitLap, Known: true, Margin: missing}
		} else if r.Obstacle != ObstacleLimit {
			continue
		}
		if !found || r.Limit.Margin > nearest.Limit.Margin {
			nearest, found = r, true
		}
	}
	return nearest, found
}

// noTails reports whether by the template's reaches a pair leaves no joint to
// speak of, whatever else stands in its way.
func noTails(s joint.Setup, r *Refusal) bool {
	s.Cutter, s.Bushing = r.Cutter, r.Bushing
	j, _ := joint.New(s.AtDepth(r.Depth)) // geometry answers even where limits are broken
	limits := j.Limits()
	return limits[joint.LimitTailLeft].Broken() || limits[joint.LimitTailEnters].Broken() || limits[joint.LimitStraightFlank].Broken()
}

// shallower: the fitting depth must come down to hMax. tan a grows as h
// falls, and K + 2(d - g) - c = 2 h tan a falls by 2 for each mm of bushing.
func shallower(s joint.Setup, r Refusal, hMax float64, byBoard bool) []Change {
	var all []Change
	wanted := r.Depth.MM() * s.Cutter.Angle.Tan() // (K + 2(d - g) - c*) / 2
	if hMax > 0 {
		steeper := math.Atan(wanted/hMax) * 180 / math.Pi
		if steeper <= 20 {
			all = append(all, Change{Code: SteeperAngle, Angle: joint.Angle(steeper)})
		}
		larger := s.Bushing.Diameter.MM() + wanted - hMax*s.Cutter.Angle.Tan()
		all = append(all, Change{Code: LargerBushing, Size: length.Length(larger)})
	}
	if byBoard {
		all = append(all, Change{Code: ThickerBoard, Size: r.Depth + joint.LeastLap})
	}
	return all
}

// smallerBushing: at the fitting depth the flare clears the template only if
// d >= g + c* - K + 2 (|e| + clearance): each mm off the bushing is one gained.
func smallerBushing(s joint.Setup, r Refusal) []Change {
	missing := -2 * r.Limit.Margin
	return []Change{
		{Code: SmallerBushing, Size: s.Bushing.Diameter.Length - missing},
		{Code: AnotherTemplate},
	}
}
