package joint_test

import (
	"fmt"

	"snugtail/joint"
	"snugtail/joint/length"
)

// size returns a size as people write it.
func size(text string) length.Size {
	s, err := length.Parse(text, length.UnitMillimetre)
	if err != nil {
		panic(err)
	}
	return s
}

// chartDrawer is the set-up that the examples have in common.
func chartDrawer() joint.Setup {
	return joint.Setup{
		Template:  joint.NewOnePiece(size("7/8 in"), size("0.484 in"), size("13.2"), size("12")),
		Bushing:   joint.Bushing{Diameter: size("7/16 in")},
		Cutter:    joint.Cutter{Diameter: size("1/2 in"), Angle: 14},
		Depth:     joint.EqualDepth(size("10.5")),
		PinBoard:  joint.PinBoard{Thickness: size("3/4 in")},
		TailBoard: joint.TailBoard{Thickness: size("12")},
	}
}

func chartJoint() *joint.Joint {
	j, err := joint.New(chartDrawer())
	if err != nil {
		panic(err)
	}
	return &j
}

// What will the joint be like?
func ExamplePredict() {
	p, err := joint.Predict(chartDrawer(), joint.DefaultTarget(6), joint.Bands{Crush: joint.DefaultCrush})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("play %.3f mm, fits with %.0f %%; at %.2f mm deep it would be 0.10 mm\n",
		p.Fit.Play.MM(), 100*p.Fit.InTarget, p.DepthForTarget.MM())
	// Output: play 0.301 mm, fits with 19 %; at 10.90 mm deep it would be 0.10 mm
}

func ExampleJoint_Play() {
	fmt.Printf("%.4f mm\n", chartJoint().Play().MM())
	// Output: 0.3013 mm
}

func ExampleJoint_DepthFor() {
	fmt.Printf("%.3f mm deep for a play of 0.10 mm\n", chartJoint().DepthFor(0.10).MM())
	// Output: 10.904 mm deep for a play of 0.10 mm
}

func ExampleJoint_PulledGap() {
	gap, ok := chartJoint().PulledGap()
	fmt.Printf("%.3f mm %v: lowering the cutter by as much leaves no play\n", gap.MM(), ok)
	// Output: 0.604 mm true: lowering the cutter by as much leaves no play
}

func ExampleJoint_Widths() {
	w, _ := chartJoint().Widths()
	fmt.Printf("tail %.3f mm in a socket of %.3f mm\n", w.TailWidest.MM(), w.TailSocketWidest.MM())
	// Output: tail 13.580 mm in a socket of 13.881 mm
}

func ExampleJoint_Seat() {
	seat := chartJoint().Seat()
	fmt.Printf("%.3f mm inside\n", seat.Offset.MM())
	// Output: 0.170 mm inside
}

func ExampleJoint_Limits() {
	limits := chartJoint().Limits()
	lap := limits[joint.LimitLap]
	_, broken := limits.Broken()
	fmt.Printf("lap: %.3f mm to spare; something broken: %v\n", lap.Margin.MM(), broken)
	// Output: lap: 5.375 mm to spare; something broken: false
}

func ExampleJoint_Engagement() {
	e := chartJoint().Engagement()
	shortfall := e.Shortfall()
	fmt.Printf("straight flank %.2f mm of a side of 12 mm; no joint: %v\n", e.StraightFlank.MM(), shortfall.NoJoint)
	// Output: straight flank 7.03 mm of a side of 12 mm; no joint: false
}

func ExampleNewProven() {
	s := chartDrawer()
	template, err := joint.NewProven(joint.ProvenJoint{Cutter: s.Cutter, Bushing: s.Bushing, Depth: size("10.9"), Play: size("0.1")})
	fmt.Printf("allowance %.3f mm, %v\n", template.TotalAllowance().MM(), err)
	// Output: allowance 2.360 mm, <nil>
}

func ExampleJoint_ChanceAt() {
	target := joint.DefaultTarget(6)
	for _, h := range []length.Length{10.7, 10.9, 11.1} {
		fmt.Printf("%.1f mm: %.0f %%\n", h.MM(), 100*chartJoint().ChanceAt(h, target))
	}
	// Output:
	// 10.7 mm: 48 %
	// 10.9 mm: 71 %
	// 11.1 mm: 63 %
}
