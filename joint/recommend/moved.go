package recommend

import (
	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/joint/setting"
)

// elsewhere looks for the depth with the best chance of those that keep every limit
// with a play within the target's range, for a pair that breaks a limit where the
// target's play is met, or is too shallow there; nil where there is none. flat is the joint of no depth.
func (q *asked) elsewhere(s *joint.Setup, flat *joint.Joint, ladder setting.Ladder, r *Refusal) *option {
	from, to := flat.DepthsWithin()
	from = max(from, LeastDepth, flat.DepthFor(q.Target.To))
	to = min(to, flat.DepthFor(q.Target.From))
	if (to - from).Rounded() < 0 {
		return nil
	}
	set, ok := q.setWithin(flat, ladder, from, max(from, to))
	if !ok {
		return nil
	}
	at, err := joint.New(s.AtDepth(set.Setting.Depth))
	if err != nil {
		return nil
	}
	limits := at.Limits()
	if _, broken := limits.Broken(); broken || !q.Target.Holds(at.Play()) {
		return nil
	}
	o := q.option(s, &at, set, ladder)
	o.moved = r
	return o
}

// setWithin returns the depth to set within a range.
func (q *asked) setWithin(j *joint.Joint, ladder setting.Ladder, from, to length.Length) (best setting.Best, ok bool) {
	chance := func(h length.Length) float64 { return j.ChanceAt(h, q.Target) }
	wanted := j.BestDepth(q.Target)
	if !q.exact {
		return ladder.Best(chance, from, to, wanted)
	}
	h := min(max(wanted, from), to)
	return setting.Best{Setting: setting.Setting{Depth: h}, Ideal: h, Chance: chance(h)}, true
}
