package belief

import (
	"github.com/stretchr/testify/require"

	"snugtail/joint"
	"snugtail/joint/length"
)

var (
	target = joint.DefaultTarget(0)
	bands  = joint.Bands{Crush: joint.DefaultCrush}
)

func mm(x float64) length.Size { return length.Exactly(length.Length(x)) }

func giveOrTake(x, tolerance float64) length.Size {
	return length.Within(length.Length(x), length.Length(tolerance))
}

// harbour is a set-up for the drawers of a chart cabinet, whose angle is known.
func harbour(h float64) joint.Setup {
	return joint.Setup{
		Template: joint.NewOnePiece(mm(22.225), mm(12.3), length.Size{}, length.Size{}),
		Bushing:  joint.Bushing{Diameter: mm(11.1125)},
		Cutter:   joint.Cutter{Diameter: mm(12.7), Angle: 14, HasAngleTolerance: true},
		Depth:    joint.EqualDepth(mm(h)),
	}
}

func caseOf(s joint.Setup, cuts ...Cut) *Case {
	return &Case{Setup: s, Cuts: cuts, Target: target, Bands: bands}
}

func cutAt(h float64, s Sight) Cut { return Cut{Depth: joint.EqualDepth(mm(h)), Sight: s} }

func playAt(t require.TestingT, s joint.Setup, h float64) float64 {
	j, err := joint.New(s.AtDepth(length.Length(h)))
	require.NoError(t, err)
	return j.Play().MM()
}

// gapCut is a cut whose pulled gap shows this play.
func gapCut(h, play float64) Cut {
	return cutAt(h, Sight{PulledGap: mm(play / (2 * joint.Angle(14).Tan()))})
}

func believed(t require.TestingT, o *Observer, c *Case) *Posterior {
	p, err := o.Of(c)
	require.NoError(t, err)
	return p
}

// plain is an observer to whom nothing is ever wrong or misread but the causes
// at hand: what it believes is worked by hand.
func plain(change func(*Priors)) *Observer {
	p := DefaultPriors()
	p.Share = [CauseCount]float64{}
	for k := range p.Misread {
		p.Misread[k].Chance = 1e-12
	}
	p.Misfelt, p.Odd, p.Scatter, p.Reground = 1e-12, 0, 0, 0
	p.AskedIfRight = 1
	if change != nil {
		change(p)
	}
	return NewObserver(p)
}
