package advise

import (
	"fmt"
	"testing"
	"time"

	"snugtail/joint"
	"snugtail/joint/belief"
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

var doNames = []string{"cut", "check", "stop", "change"}

func show(name string, c *Case) *Advice {
	start := time.Now()
	a, err := On(belief.Default(), c)
	if err != nil {
		fmt.Println(name, err)
		return nil
	}
	d := a.Decision
	fmt.Printf("%s: %s why %d check %d depth %.3f chance %.3f minutes %.1f | next %.3f %.3f  verdict %d  %v\n", name, doNames[d.Do], d.Why, d.Check, d.Depth.MM(), d.Chance, d.Minutes, a.NextDepth.MM(), a.ChanceNext, a.Verdict, time.Since(start))
	fmt.Print("    ")
	for i, s := range a.Answers {
		if i < 5 {
			fmt.Printf(" %v:%.3f", s.Codes, s.Probability)
		}
	}
	if a.NextCheck != nil {
		fmt.Printf("  next check %d %.2f bits", a.NextCheck.Check, a.NextCheck.Gain)
	}
	fmt.Print("  steps")
	for _, s := range a.Steps {
		fmt.Printf(" %d", s.Action)
	}
	fmt.Println("  doubts", a.Doubts)
	return a
}

func cut1(h float64, s belief.Sight) belief.Cut {
	return belief.Cut{Depth: joint.EqualDepth(mm(h)), Sight: s}
}

func TestTry(t *testing.T) {
	target, bands := joint.DefaultTarget(0), joint.Bands{Crush: joint.DefaultCrush}
	one := func(h float64, cuts ...belief.Cut) *Case {
		return &Case{Case: belief.Case{Setup: harbour(h), Cuts: cuts, Target: target, Bands: bands}}
	}
	show("none", one(10.9))
	for range 3 {
		show("jam 9.6", one(9.6, cut1(9.6, belief.Sight{Feel: belief.FeelWillNotStart})))
	}
	show("jam 9", one(9, cut1(9, belief.Sight{Feel: belief.FeelWillNotStart})))
	show("three jams", one(23*25.4/64, cut1(27*25.4/64, belief.Sight{Feel: belief.FeelWillNotStart}), cut1(25*25.4/64, belief.Sight{Feel: belief.FeelWillNotStart}), cut1(23*25.4/64, belief.Sight{Feel: belief.FeelWillNotStart})))
	for _, g := range []float64{0.5, 1, 1.5, 2, 3.2, 6} {
		show(fmt.Sprint("rattles gap ", g), one(9.5, cut1(9.5, belief.Sight{Feel: belief.FeelRattles, PulledGap: mm(g)})))
		show(fmt.Sprint("gap ", g), one(9.5, cut1(9.5, belief.Sight{PulledGap: mm(g)})))
	}
	show("rattles", one(10.9, cut1(10.9, belief.Sight{Feel: belief.FeelRattles})))
	show("light taps", one(10.9, cut1(10.9, belief.Sight{Feel: belief.FeelLightTaps})))
	show("hand", one(10.9, cut1(10.9, belief.Sight{Feel: belief.FeelHandPressure})))
	show("jam", one(10.9, cut1(10.9, belief.Sight{Feel: belief.FeelWillNotStart})))
	show("jam twice", one(10.9, cut1(10.9, belief.Sight{Feel: belief.FeelWillNotStart}), cut1(10.9, belief.Sight{Feel: belief.FeelWillNotStart})))
	show("jam thrice", one(10.9, cut1(10.9, belief.Sight{Feel: belief.FeelWillNotStart}), cut1(10.9, belief.Sight{Feel: belief.FeelWillNotStart}), cut1(10.9, belief.Sight{Feel: belief.FeelWillNotStart})))
	show("jam widths", one(10.9, cut1(10.9, belief.Sight{Feel: belief.FeelWillNotStart, Measured: belief.Measured{PinWidest: mm(14.06), TailWidest: mm(14.04), PinSocketWidest: mm(13.6), TailSocketWidest: mm(13.62)}})))
	show("one end", one(10.9, cut1(10.9, belief.Sight{Feel: belief.FeelClosesOneEnd})))
	show("seat", one(10.9, cut1(10.9, belief.Sight{Feel: belief.FeelHandPressure, Seat: mm(-0.8)})))
	show("edge", one(10.9, cut1(10.9, belief.Sight{Feel: belief.FeelHandPressure, EdgeStep: mm(0.8)})))
	var ten []belief.Cut
	for i := range 10 {
		ten = append(ten, cut1(10.5+0.05*float64(i), belief.Sight{Feel: belief.FeelRattles, PulledGap: mm(1.2 - 0.05*float64(i))}))
	}
	show("ten", one(10.9, ten...))
	show("nothing", &Case{Case: belief.Case{Target: target, Bands: bands}})
	c := one(10.9, cut1(10.9, belief.Sight{Feel: belief.FeelHardBlows}))
	c.Setup.Bushing.Labelled = mm(12.7)
	c.Setup.Bushing.Diameter = length.Within(12, 0.05)
	show("labelled", c)
}
