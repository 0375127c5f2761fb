package callers_test

import (
	"math"
	"math/rand/v2"
)

// trade is the rule of thumb: chart depth; loose: lower by the gap; jam: raise
// by 1/32 in; hard blows or taps: raise by 1/64 in. Common practice, no source.
type trade struct{}

const (
	thirtySecond = 25.4 / 32
	sixtyFourth  = 25.4 / 64
)

func (trade) name() string { return "trade's rule" }

func (trade) advise(c *call, _ *rand.Rand) advice {
	out := advice{do: doCut, depth: c.stated.depth, chance: math.NaN()}
	l := c.last()
	if l == nil {
		return out
	}
	change, ok := l.tradeChange()
	if !ok { // nothing to go by: look at the joint once more
		out.do, out.check, out.minute = doCheck, "pull_joint", complainMinutes
		if l.pulled {
			out.do, change = doCut, sixtyFourth
		}
	}
	out.depth = l.setting + change
	return out
}

// tradeChange is by how much deeper the next joint is cut.
func (s *seen) tradeChange() (float64, bool) {
	switch word := feelIndex(s.feel); {
	case word >= 0 && word <= 1:
		return -thirtySecond, true
	case word == 2 || word == 3:
		return -sixtyFourth, true
	case s.gap != nil && *s.gap > 0:
		return *s.gap, true
	case word == rattles:
		return thirtySecond, true
	case word == slidesFree:
		return sixtyFourth, true
	}
	return 0, false
}

// diagnose has no causes to name: it sets right what is seen to be off.
func (trade) diagnose(c *call, _ *rand.Rand) diagnosis {
	l := c.last()
	m := remedy{}
	m.deeper, _ = l.tradeChange()
	if l.seat != nil && (*l.seat > seatInsideMost || *l.seat < -seatProudMost) {
		m.onto = -*l.seat / 2
	}
	if l.edge != nil && math.Abs(*l.edge) > edgeMost {
		m.inLine = math.Abs(*l.edge)
	}
	if l.shoulder != nil && *l.shoulder > shoulderMost {
		m.repairs = append(m.repairs, "level")
	}
	return diagnosis{advice: advice{do: doChange, remedy: m, chance: math.NaN()}}
}
