package recommend

import (
	"cmp"
	"math"
	"slices"

	"snugtail/joint"
	"snugtail/joint/hold"
	"snugtail/joint/length"
	"snugtail/joint/setting"
)

// Exchange rates between what a test joint costs once and what stays for the
// life of the drawer. Judgement, to be said in every answer: half of the hold is
// worth one test joint, and so are LapWorth of lap under the comfortable one and
// EdgePinWorth of edge pin under the least.
const (
	HoldWorth    = 1.0 // test joints, for twice the hold
	LapWorth     = 1.6 // mm
	EdgePinWorth = 1.0 // mm
)

// Cost is what a pair costs, in test joints.
type Cost struct {
	// Total is Trials + Hold + Lap + EdgePin.
	Total float64
	// Trials is T = 1 + (1 - First) + (1 - First)(1 - Second), the test joints
	// until one fits, counted to the third.
	Trials float64
	// First is the chance that the first joint fits, at the depth to set, and
	// Second that of the next, set by one reading of the gap: play off by
	// 2 tan a sqrt(u_set^2 + u_read^2), and by the depths that can't be set.
	First, Second float64
	// Hold is log2(H_best/H), H_best that of the pair at hand which holds most,
	// and Share is H/H_best.
	Hold, Share float64
	Lap         float64 // max(0, 4.8 mm - lap) / LapWorth; 0 where it is not known
	EdgePin     float64 // max(0, 3 mm - edge pin) / EdgePinWorth; 0 where it is not known
}

// costOf returns what the joint of a pair costs by itself, at the depth to set:
// all but the hold.
func (q *asked) costOf(j *joint.Joint, set *setting.Best, ladder setting.Ladder) Cost {
	cost := Cost{First: set.Chance, Second: q.second(j, set, ladder)}
	cost.Trials = Trials(cost.First, cost.Second)
	if lap, known := j.Lap(); known {
		cost.Lap = math.Max(0, joint.ComfortableLap-lap.MM()) / LapWorth
	}
	if pin, known := j.EdgePin(); known {
		cost.EdgePin = math.Max(0, joint.LeastRoot-pin.MM()) / EdgePinWorth
	}
	return cost
}

// Trials returns T = 1 + (1 - p1) + (1 - p1)(1 - p2), the test joints until one
// fits.
func Trials(p1, p2 float64) float64 { return 1 + (1 - p1) + (1-p1)*(1-p2) }

// second is the chance after one reading of the gap. The depth that is wanted
// then may lie anywhere between two that can be set.
func (q *asked) second(j *joint.Joint, set *setting.Best, ladder setting.Ladder) float64 {
	const read = joint.ToleranceGap / 2.0
	s := j.Setup()
	perDepth := j.PlayPerDepth()
	sd := perDepth * math.Hypot(s.Depth.Deeper().StandardUncertainty(joint.ToleranceDepthSet), read)
	apart := length.Length(0)
	if !q.exact {
		from, to := within(j)
		apart, _ = ladder.Spacing(from, to, set.Ideal)
	}
	middle := (q.Target.From + q.Target.To).MM() / 2
	return overStep(perDepth*apart.MM()/2, func(off float64) float64 {
		return joint.InTarget(joint.NormalSpread(middle+off, sd), q.Target)
	})
}

// overStep is the mean of f from 0 to most, by Simpson's rule.
func overStep(most float64, f func(off float64) float64) float64 {
	if most == 0 {
		return f(0)
	}
	const panels = 8
	sum := f(0) + f(most)
	for i := 1; i < panels; i++ {
		sum += float64(2+2*(i%2)) * f(most*float64(i)/panels)
	}
	return sum / (3 * panels)
}

// rank sets the terms that count against the others, and the order.
func rank(all []*option, by Preference) BreakEven {
	if len(all) == 0 {
		return BreakEven{}
	}
	best := all[0].hold
	for i := range all {
		if all[i].hold.Against(best) > 1 {
			best = all[i].hold
		}
	}
	for i := range all {
		all[i].weigh(best)
	}
	switch by {
	case LeastTrial:
		slices.SortStableFunc(all, func(a, b *option) int { return cmp.Compare(exactly(a.cost.Trials), exactly(b.cost.Trials)) })
	case MostHold:
		slices.SortStableFunc(all, byHold)
	default:
		slices.SortStableFunc(all, func(a, b *option) int { return cmp.Compare(exactly(a.cost.Total), exactly(b.cost.Total)) })
		breakTies(all)
		if len(all) > 1 {
			return leadOf(all[0], all[1])
		}
	}
	return BreakEven{}
}

// weigh sets the term of the hold, and with it the sum.
func (o *option) weigh(best hold.Hold) {
	cost := &o.cost
	cost.Share = o.hold.Against(best)
	cost.Hold = HoldWorth * math.Max(0, -math.Log2(cost.Share))
	cost.Total = cost.Trials + cost.Hold + cost.Lap + cost.EdgePin
}

// exactly rounds a figure to the resolution of answers, so that processors that
// fuse multiply and add rank alike.
func exactly(x float64) float64 { return length.Length(x).Rounded().MM() }

// byHold: those that end up flush first, then what holds more, then what costs
// less.
func byHold(a, b *option) int {
	return cmp.Or(
		cmp.Compare(a.notFlush, b.notFlush),
		-cmp.Compare(exactly(a.cost.Share), exactly(b.cost.Share)),
		cmp.Compare(exactly(a.cost.Total), exactly(b.cost.Total)),
	)
}

// Tie is the difference in cost that is not told apart. Judgement.
const Tie = 0.1

// lapStep, mm, is what laps are told apart by in a tie: 1/64 in. Judgement.
const lapStep = length.MillimetresPerInch / 64

// breakTies orders those that cost at most Tie more than the first of them among
// themselves, the rest likewise from the next on: fewer cautions, then more lap,
// then the higher chance.
func breakTies(ranked []*option) {
	for from := 0; from < len(ranked); {
		to := from + 1
		for to < len(ranked) && ranked[to].cost.Total-ranked[from].cost.Total <= Tie {
			to++
		}
		slices.SortStableFunc(ranked[from:to], func(a, b *option) int {
			order, _ := inTie(a, b)
			return order
		})
		from = to
	}
}

// TieBreaker is what puts one of two pairs first that cost about the same.
type TieBreaker uint8

// What breaks a tie, in the order in which it is asked.
const (
	TieNone TieBreaker = iota
	TieCautions
	TieLap
	TieFirst // the chance that the first joint fits
)

// inTie orders two pairs whose costs are not told apart, and says by what.
func inTie(a, b *option) (order int, by TieBreaker) {
	if order = cmp.Compare(len(a.cautions), len(b.cautions)); order != 0 {
		return order, TieCautions
	}
	if order = -cmp.Compare(math.Round(a.lap.MM()/lapStep), math.Round(b.lap.MM()/lapStep)); order != 0 {
		return order, TieLap
	}
	if order = -cmp.Compare(exactly(a.cost.First), exactly(b.cost.First)); order != 0 {
		return order, TieFirst
	}
	return 0, TieNone
}

// BreakEven is how much the hold has to be worth for the first choice to stay
// before the second, whose hold is another: with Worth test joints for twice the
// hold both cost the same. At the exchange rate that is taken it is 1.
type BreakEven struct {
	Known bool
	Worth float64
	// More says that the first choice holds more: it leads while twice the hold is
	// worth more than Worth; else it leads while that is worth less.
	More bool
	// Always says that the first choice leads at any worth above 0.
	Always bool
	// Tie is what puts the first choice before a second that costs less, by Less
	// test joints, which is not told apart; no Worth is then what its lead hangs on.
	Tie  TieBreaker
	Less float64
}

// leadOf says what the lead of the first of two options hangs on.
func leadOf(first, second *option) BreakEven {
	if exactly(first.cost.Total) <= exactly(second.cost.Total) {
		return BreakEvenOf(&first.cost, &second.cost)
	}
	_, by := inTie(first, second)
	return BreakEven{Known: true, Tie: by, Less: first.cost.Total - second.cost.Total}
}

// BreakEvenOf returns the break-even between two costs, of which the first leads;
// not known where both hold the same.
func BreakEvenOf(first, second *Cost) BreakEven {
	hold := second.Hold - first.Hold // > 0: the first holds more
	if exactly(hold) == 0 {
		return BreakEven{}
	}
	rest := (first.Total - first.Hold) - (second.Total - second.Hold)
	b := BreakEven{Known: true, More: hold > 0, Worth: rest / hold}
	b.Always = b.More && b.Worth <= 0
	return b
}
