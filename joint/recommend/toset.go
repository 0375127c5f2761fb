package recommend

import (
	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/joint/setting"
)

// ToSet returns the depth to set for one joint, as Pairs does for each pair: of
// the depths that can be set within the limits the one with the best chance,
// counted from the depth that the joint is cut at now. ok is false where none can
// be set.
func ToSet(j *joint.Joint, target joint.Target, chance func(length.Length) float64) (best setting.Best, ok bool) {
	s := j.Setup()
	ladder := setting.New(s.Router, s.Template, s.Bushing).At(s.Depth.Deeper().Length)
	from, to := within(j)
	return ladder.Best(chance, from, to, j.BestDepth(target))
}
