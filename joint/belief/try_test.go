package belief

import (
	"fmt"
	"testing"
	"time"

	"snugtail/joint"
	"snugtail/joint/length"
)

func mm(x float64) length.Size { return length.Exactly(length.Length(x)) }

func harbour(h float64) joint.Setup {
	return joint.Setup{
		Template: joint.NewOnePiece(mm(22.225), mm(0.484*25.4), length.Size{}, length.Size{}),
		Bushing:  joint.Bushing{Diameter: mm(11.1125)},
		Cutter:   joint.Cutter{Diameter: mm(12.7), Angle: 14, Condition: joint.ConditionUnknown},
		Depth:    joint.EqualDepth(mm(h)),
	}
}

func show(t *testing.T, name string, c *Case) {
	start := time.Now()
	p, err := Default().Of(c)
	if err != nil {
		t.Fatal(err)
	}
	mid := time.Since(start)
	h, chance, _ := p.Best(func(length.Length) bool { return true })
	fmt.Printf("%s: best %.3f chance %.3f parts %d grid %d fields %d, %v + %v\n", name, h.MM(), chance, len(p.parts), p.grid.n, len(p.fields), mid, time.Since(start)-mid)
	mean, sd := p.Estimate()
	fmt.Printf("   b %.3f +- %.3f; right %.3f;", mean, sd, p.right)
	for i, s := range p.Causes() {
		if i < 6 {
			fmt.Printf(" %d:%.3f", s.Code, s.Probability)
		}
	}
	fmt.Println()
	for i, r := range p.m.readings {
		if p.misread[i] > 0.02 {
			fmt.Printf("   misread %d %.3f\n", r.Seen, p.misread[i])
		}
	}
}

func cut1(h float64, s Sight) Cut { return Cut{Depth: joint.EqualDepth(mm(h)), Sight: s} }

func TestTry(t *testing.T) {
	target, bands := joint.DefaultTarget(0), joint.Bands{Crush: joint.DefaultCrush}
	one := func(h float64, cuts ...Cut) *Case {
		return &Case{Setup: harbour(h), Cuts: cuts, Target: target, Bands: bands}
	}
	for range 2 {
		show(t, "none", one(10.9))
		show(t, "jam 9.6", one(9.6, cut1(9.6, Sight{Feel: FeelWillNotStart})))
		show(t, "jam 9", one(9, cut1(9, Sight{Feel: FeelWillNotStart})))
		show(t, "three jams", one(23*25.4/64, cut1(27*25.4/64, Sight{Feel: FeelWillNotStart}), cut1(25*25.4/64, Sight{Feel: FeelWillNotStart}), cut1(23*25.4/64, Sight{Feel: FeelWillNotStart})))
	}
	for _, g := range []float64{0.5, 1, 1.5, 2, 3.2, 6} {
		show(t, fmt.Sprint("rattles gap ", g), one(9.5, cut1(9.5, Sight{Feel: FeelRattles, PulledGap: mm(g)})))
		show(t, fmt.Sprint("gap ", g), one(9.5, cut1(9.5, Sight{PulledGap: mm(g)})))
	}
	show(t, "light taps", one(10.9, cut1(10.9, Sight{Feel: FeelLightTaps})))
	show(t, "hand", one(10.9, cut1(10.9, Sight{Feel: FeelHandPressure})))
	show(t, "jam", one(10.9, cut1(10.9, Sight{Feel: FeelWillNotStart})))
	show(t, "jam twice", one(10.9, cut1(10.9, Sight{Feel: FeelWillNotStart}), cut1(10.9, Sight{Feel: FeelWillNotStart})))
	show(t, "jam thrice", one(10.9, cut1(10.9, Sight{Feel: FeelWillNotStart}), cut1(10.9, Sight{Feel: FeelWillNotStart}), cut1(10.9, Sight{Feel: FeelWillNotStart})))
	show(t, "jam widths", one(10.9, cut1(10.9, Sight{Feel: FeelWillNotStart, Measured: Measured{PinWidest: mm(14.06), TailWidest: mm(14.04), PinSocketWidest: mm(13.6), TailSocketWidest: mm(13.62)}})))
	var ten []Cut
	for i := range 10 {
		ten = append(ten, cut1(10.5+0.05*float64(i), Sight{Feel: FeelRattles, PulledGap: mm(1.2 - 0.05*float64(i))}))
	}
	for range 3 {
		show(t, "ten", one(10.9, ten...))
	}
	var fifty []Cut
	for range 5 {
		fifty = append(fifty, ten...)
	}
	show(t, "fifty", one(10.9, fifty...))
	show(t, "nothing", &Case{Target: target, Bands: bands})
}

func TestCases(t *testing.T) {
	target, bands := joint.DefaultTarget(0), joint.Bands{Crush: joint.DefaultCrush}
	// 1: ground cutter measured
	c := &Case{Target: target, Bands: bands}
	c.Setup = joint.Setup{
		Template: joint.NewOnePiece(mm(26), mm(14.1), mm(11.8), mm(10.8)), Bushing: joint.Bushing{Diameter: mm(12)},
		Cutter: joint.Cutter{Diameter: length.Within(13.79, 0.08), Angle: 15, Condition: joint.ConditionUnknown}, Depth: joint.EqualDepth(mm(11.509)),
		PinBoard: joint.PinBoard{Thickness: mm(20)},
	}
	c.Answered[CheckMeasureWidths], c.Answered[CheckMeasureCutter], c.Answered[CheckMeasureDepth] = true, true, true
	c.Findings[FoundCutterDull], c.Findings[FoundDepthMoved], c.Findings[FoundOnePinOff], c.Findings[FoundOneSetting], c.Findings[FoundRouterTurned] = No, No, No, Yes, Yes
	c.Cuts = []Cut{cut1(11.509, Sight{Feel: FeelSticksPartWay, Measured: Measured{DepthPinBoard: mm(11.33), DepthTailBoard: mm(11.3), PinSocketWidest: mm(15.86), PinWidest: mm(16.26), TailSocketWidest: mm(15.84), TailWidest: mm(16.15)}})}
	show(t, "ground", c)
	p, _ := Default().Of(c)
	for i := range p.parts[:8] {
		q := p.parts[i]
		fmt.Printf("   part %d w %.3f measured %v mean %.2f sd %.2f flaws %v none %v size %.2f b %.2f\n", q.branch.cause, q.weight, q.branch.measured, q.branch.mean, q.branch.sd, q.flaws, q.branch.none, q.size, q.bMean)
	}
	for i, r := range p.m.readings {
		fmt.Println("   reading", i, r.Seen, r.value, r.u)
	}
	// 2: tilt
	c = &Case{Target: target, Bands: bands}
	c.Setup = joint.Setup{
		Template: joint.NewOnePiece(mm(22.225), mm(12.35), length.Size{}, length.Size{}), Bushing: joint.Bushing{Diameter: mm(11.1125)},
		Cutter: joint.Cutter{Diameter: mm(12.7), Angle: 14, Condition: joint.ConditionUnknown}, Depth: joint.EqualDepth(mm(11.1125)),
		PinBoard: joint.PinBoard{Thickness: mm(18.6)},
	}
	c.Cuts = []Cut{cut1(11.1125, Sight{Feel: FeelClosesOneEnd, Measured: Measured{PinSocketWidest: mm(13.87), PinWidest: mm(13.81), TailSocketWidest: mm(13.95), TailWidest: mm(13.8)}})}
	c.Cuts[0].Along = []Place{{0, Sight{Feel: FeelRattles}}, {150, Sight{Feel: FeelWillNotStart}}}
	show(t, "tilt", c)
	p, _ = Default().Of(c)
	for i := range p.parts[:8] {
		q := p.parts[i]
		fmt.Printf("   part %d w %.3f measured %v mean %.2f sd %.2f flaws %v none %v size %.2f b %.2f\n", q.branch.cause, q.weight, q.branch.measured, q.branch.mean, q.branch.sd, q.flaws, q.branch.none, q.size, q.bMean)
	}
	for i, r := range p.m.readings {
		fmt.Println("   reading", i, r.Seen, r.value, r.u, r.where)
	}
}
