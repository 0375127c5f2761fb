package advise

import (
	"github.com/stretchr/testify/require"

	"snugtail/joint"
	"snugtail/joint/belief"
	"snugtail/joint/length"
)

var (
	target = joint.DefaultTarget(0)
	bands  = joint.Bands{Crush: joint.DefaultCrush}
)

func mm(x float64) length.Size { return length.Exactly(length.Length(x)) }

// harbour is a set-up for the drawers of a chart cabinet.
func harbour(h float64) joint.Setup {
	return joint.Setup{
		Template: joint.NewOnePiece(mm(22.225), mm(0.484*25.4), length.Size{}, length.Size{}),
		Bushing:  joint.Bushing{Diameter: mm(11.1125)},
		Cutter:   joint.Cutter{Diameter: mm(12.7), Angle: 14, Condition: joint.ConditionUnknown},
		Depth:    joint.EqualDepth(mm(h)),
	}
}

// fitting is a set-up with reaches, chosen to fit.
func fitting(t require.TestingT) joint.Setup {
	s := joint.Setup{
		Template: joint.NewOnePiece(mm(22.225), mm(12.3), mm(14.2), mm(13.1)),
		Bushing:  joint.Bushing{Diameter: mm(11.1125), Barrel: mm(7.4)},
		Cutter:   joint.Cutter{Diameter: mm(12.7), Angle: 14},
		Depth:    joint.EqualDepth(mm(10)),
		PinBoard: joint.PinBoard{Thickness: mm(19), Width: mm(178)},
	}
	s.Template.Thickness = mm(9.5)
	j, err := joint.New(s)
	require.NoError(t, err)
	return s.AtDepth(j.DepthFor(joint.DefaultPlay))
}

func cut1(h float64, s belief.Sight) belief.Cut {
	return belief.Cut{Depth: joint.EqualDepth(mm(h)), Sight: s}
}

func caseOf(s joint.Setup, cuts ...belief.Cut) *Case {
	return &Case{Case: belief.Case{Setup: s, Cuts: cuts, Target: target, Bands: bands}}
}

// seen is a case with one joint at the set-up's depth.
func seen(s joint.Setup, sight belief.Sight) *Case {
	return caseOf(s, belief.Cut{Depth: s.Depth, Sight: sight})
}

func on(t require.TestingT, c *Case) *Advice {
	a, err := On(belief.Default(), c)
	require.NoError(t, err)
	return a
}

func rank(a *Advice, code belief.Code) int {
	for i, c := range a.Causes {
		if c.Code == code {
			return i + 1
		}
	}
	return 0
}
