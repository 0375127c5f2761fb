package shape_test

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/joint"
	"snugtail/joint/jointtest"
	"snugtail/joint/length"
	"snugtail/joint/shape"
)

func mm(x float64) length.Size { return length.Exactly(length.Length(x)) }

// cut is the joint that a solid's set-up cuts.
func cut(t *testing.T, c *jointtest.Solid) joint.Joint {
	t.Helper()
	j, err := joint.New(c.Setup(t))
	require.NoError(t, err)
	return j
}

// points flattens an outline, so that it can be measured without knowing how
// it was made.
func points(o shape.Outline) []shape.Point {
	all, at := []shape.Point{o.Start}, o.Start
	for _, e := range o.Edges {
		if e.Radius > 0 {
			all = append(all, along(at, e)...)
		}
		all = append(all, e.To)
		at = e.To
	}
	return all
}

// centre of an arc of at most a quarter of a circle.
func centre(from shape.Point, e shape.Edge) shape.Point {
	mx, my := (from.X+e.To.X)/2, (from.Y+e.To.Y)/2
	dx, dy := e.To.X-from.X, e.To.Y-from.Y
	half := math.Hypot(dx, dy) / 2
	off := math.Sqrt(math.Max(0, e.Radius*e.Radius-half*half)) / (2 * half)
	if !e.Left {
		off = -off
	}
	return shape.Point{X: mx - dy*off, Y: my + dx*off}
}

func along(from shape.Point, e shape.Edge) []shape.Point {
	const steps = 60
	c := centre(from, e)
	a0, a1 := math.Atan2(from.Y-c.Y, from.X-c.X), math.Atan2(e.To.Y-c.Y, e.To.X-c.X)
	for e.Left && a1 < a0 {
		a1 += 2 * math.Pi
	}
	for !e.Left && a1 > a0 {
		a1 -= 2 * math.Pi
	}
	var all []shape.Point
	for i := 1; i < steps; i++ {
		a := a0 + (a1-a0)*float64(i)/steps
		all = append(all, shape.Point{X: c.X + e.Radius*math.Cos(a), Y: c.Y + e.Radius*math.Sin(a)})
	}
	return all
}

// spans are where a level line is inside the outline of a part, left to right.
func spans(v *shape.View, part shape.Part, y float64) []shape.Point {
	var all []shape.Point
	for _, piece := range v.Pieces {
		if piece.Part == part {
			all = append(all, cross(points(piece.Outline), y)...)
		}
	}
	return all
}

func cross(ring []shape.Point, y float64) []shape.Point {
	var xs []float64
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if (a.Y <= y) != (b.Y <= y) {
			xs = append(xs, a.X+(b.X-a.X)*(y-a.Y)/(b.Y-a.Y))
		}
	}
	for i := 1; i < len(xs); i++ {
		for k := i; k > 0 && xs[k] < xs[k-1]; k-- {
			xs[k], xs[k-1] = xs[k-1], xs[k]
		}
	}
	var all []shape.Point
	for i := 0; i+1 < len(xs); i += 2 {
		all = append(all, shape.Point{X: xs[i], Y: xs[i+1]})
	}
	return all
}

func width(s shape.Point) float64 { return s.Y - s.X }

// inside is how deep a point lies in the ring, negative outside.
func inside(ring []shape.Point, p shape.Point) float64 {
	least, in := math.Inf(1), false
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		least = math.Min(least, toSegment(p, a, b))
		if (a.Y <= p.Y) != (b.Y <= p.Y) && p.X < a.X+(b.X-a.X)*(p.Y-a.Y)/(b.Y-a.Y) {
			in = !in
		}
	}
	if in {
		return least
	}
	return -least
}

func toSegment(p, a, b shape.Point) float64 {
	dx, dy := b.X-a.X, b.Y-a.Y
	if dx == 0 && dy == 0 {
		return math.Hypot(p.X-a.X, p.Y-a.Y)
	}
	t := math.Max(0, math.Min(1, ((p.X-a.X)*dx+(p.Y-a.Y)*dy)/(dx*dx+dy*dy)))
	return math.Hypot(p.X-a.X-t*dx, p.Y-a.Y-t*dy)
}

// The outlines of the end view, measured, are the solids, measured.
func TestEndViewIsTheSolid(t *testing.T) {
	for _, c := range jointtest.Solids(t, "../..") {
		t.Run(c.ID, func(t *testing.T) {
			j := cut(t, &c)
			e := shape.EndOf(&j, shape.Pitches(&j, 2))
			h := math.Max(c.DepthPinBoard, c.DepthTailBoard)
			tailEnd, in := h-c.DepthTailBoard, 1e-7 // just inside the ends of the flanks
			near := func(want, got float64, quantity, tolerance string) {
				t.Helper()
				assert.InDelta(t, want, got, c.Tolerance[tolerance]+1e-6, quantity)
			}
			pins := func(u float64) []shape.Point { return spans(&e.View, shape.PinBoard, u) }
			tails := func(u float64) []shape.Point { return spans(&e.View, shape.TailBoard, u) }
			require.Len(t, pins(in), 3, "half a pin, a pin, half a pin")
			require.Len(t, tails(h-in), 2, "two tails")
			m := &c.Measured
			near(m.PinWidest, width(pins(c.DepthPinBoard - in)[1]), "pin", "widths")
			near(m.PinNarrowest, width(pins(in)[1]), "pin root", "widths")
			near(m.TailWidest, width(tails(tailEnd + in)[0]), "tail", "widths")
			near(m.TailNarrowest, width(tails(h - in)[0]), "tail root", "widths")
			near(m.PinSocketWidest, tails(h - in)[1].X-tails(h - in)[0].Y, "pin socket", "widths")
			near(m.TailSocketWidest, pins(in)[1].X-pins(in)[0].Y, "tail socket", "widths")
			u := (tailEnd + c.DepthPinBoard) / 2
			near(m.Play, pins(u)[1].X-pins(u)[0].Y-width(tails(u)[0]), "play", "play")
			near(m.ShoulderGap, h-c.DepthPinBoard, "shoulder gap", "shoulder_gap")
			assert.Len(t, tails(h+in), 1, "the tail board's body begins at the shoulder")
			near(m.FloorGap, tailEnd, "floor gap", "floor_gap")
			assert.Empty(t, tails(tailEnd-1e-6), "no tail below its end")
			overlaps := 0
			for _, piece := range e.Pieces {
				if piece.Part == shape.Overlap {
					overlaps++
				}
			}
			assert.Equal(t, map[bool]int{true: 4, false: 0}[m.Play < 0], overlaps)
		})
	}
}

// The plan's tail board comes to rest where the solid did, and touches the pin
// board there.
func TestPlanIsTheSolid(t *testing.T) {
	arcs, touching, rests := 0, 0, map[shape.Rest]int{}
	for _, c := range jointtest.Solids(t, "../..") {
		t.Run(c.ID, func(t *testing.T) {
			j := cut(t, &c)
			p := shape.PlanOf(&j)
			require.True(t, p.Known)
			require.True(t, p.Round)
			rests[p.Rest]++
			front := math.Inf(1)
			for _, piece := range p.Pieces {
				if piece.Part == shape.TailBoard {
					front = math.Min(front, piece.Outline.Start.Y)
				}
			}
			switch m := &c.Measured; p.Rest {
			case shape.Seated:
				assert.InDelta(t, *m.SeatOffset, front, c.Tolerance["seat_offset"])
			case shape.Pressed:
				assert.True(t, m.Play <= 0 && m.Play > joint.TightBelow, "%v", m.Play)
				return // rigid solids cannot be pressed
			case shape.FirstTouched:
				assert.InDelta(t, *m.FirstTouchProud, -front, c.Tolerance["first_touch_proud"])
			default:
				t.Fatal("it comes to rest somewhere")
			}
			near := func(m shape.Measure, byLevel []*float64) {
				for _, d := range p.Dimensions {
					if d.Measure != m || len(byLevel) == 0 || byLevel[len(byLevel)-1] == nil {
						continue
					}
					arcs++
					assert.InDelta(t, *byLevel[len(byLevel)-1], d.Value.MM(), 2e-3)
				}
			}
			near(shape.NoseRadius, c.Measured.NoseRadius)
			near(shape.SocketRadius, c.Measured.SocketEndRadius)
			deepest := deepestTouch(&p)
			assert.Less(t, deepest, 2e-3, "no wood in common")
			if j.Seat().Contact == joint.ContactNose {
				touching++
				assert.Greater(t, deepest, -2e-3, "they touch")
			}
		})
	}
	assert.Greater(t, arcs, 60)
	assert.Greater(t, touching, 20)
	assert.Greater(t, rests[shape.Seated], 30)
	assert.Greater(t, rests[shape.FirstTouched], 5)
}

// deepestTouch is how deep the boards of a plan reach into each other;
// negative: how far they stay apart.
func deepestTouch(p *shape.Plan) float64 {
	var pin []shape.Point
	deepest := math.Inf(-1)
	for _, piece := range p.Pieces {
		ring := points(piece.Outline)
		if piece.Part == shape.PinBoard {
			pin = ring
			continue
		}
		for _, at := range ring {
			if at.Y > 1e-9 { // what is in front of the board's end touches nothing
				deepest = math.Max(deepest, inside(pin, at))
			}
		}
	}
	for _, at := range pin {
		for _, piece := range p.Pieces {
			if piece.Part == shape.TailBoard {
				deepest = math.Max(deepest, inside(points(piece.Outline), at))
			}
		}
	}
	return deepest
}

// drawn is a set-up of any kind with what may be known of it.
func drawn(t *rapid.T) joint.Joint {
	range_ := func(from, to float64, name string) float64 { return rapid.Float64Range(from, to).Draw(t, name) }
	maybe := func(from, to float64, name string) length.Size {
		if !rapid.Bool().Draw(t, name+" known") {
			return length.Size{}
		}
		return mm(range_(from, to, name))
	}
	g, angle, h := range_(6, 14, "bushing"), range_(5, 20, "angle"), range_(3, 12, "depth")
	s := joint.Setup{
		Bushing: joint.Bushing{Diameter: mm(g), Bore: maybe(4, g-1, "bore"), Barrel: maybe(2, 9, "barrel"), OffsetY: maybe(-1, 1, "offset")},
		Cutter: joint.Cutter{
			Diameter: mm(g + range_(0.2, 4, "flare")), Angle: joint.Angle(angle),
			CuttingLength: maybe(4, 30, "cutting length"), Shank: maybe(6, 12.7, "shank"),
		},
		Depth:     joint.Depth{PinBoard: mm(h), TailBoard: mm(h + rapid.SampledFrom([]float64{0, 0, 0.3, -0.3}).Draw(t, "deeper"))},
		PinBoard:  joint.PinBoard{Thickness: maybe(h+0.1, 60, "pin board")},
		TailBoard: joint.TailBoard{Thickness: maybe(5, 30, "tail board")},
		Router:    joint.Router{TurnedInUse: rapid.Bool().Draw(t, "turned")},
	}
	opening := g + range_(0.1, 6, "opening")
	reach, finger := maybe(0.1, 40, "opening reach"), maybe(0.1, 40, "finger reach")
	switch rapid.IntRange(0, 2).Draw(t, "kind") {
	case 0:
		s.Template = joint.NewOnePiece(mm(2*opening-range_(-2, 4, "allowance")), mm(opening), reach, finger)
	case 1:
		fingers := range_(6, 14, "finger")
		tail := joint.Pass{Opening: mm(opening), Finger: mm(fingers), OpeningReach: reach, FingerReach: finger}
		pin := joint.Pass{Opening: mm(opening + 0.5), Finger: mm(fingers - 0.5), OpeningReach: maybe(0.1, 40, "pin opening reach"), FingerReach: finger}
		s.Template, _ = joint.NewTwoPosition(tail, pin)
	default:
		s.Template = joint.NewAllowance(mm(range_(-3, 4, "allowance")))
	}
	s.Template.Thickness = maybe(3, 15, "template")
	if rapid.Bool().Draw(t, "learned") {
		s.Offset = joint.Offset{Mean: length.Length(range_(-30, 30, "offset of play")), Known: true}
	}
	j, err := joint.New(s)
	if err != nil {
		t.Skip(err.Error())
	}
	return j
}

// Whatever the set-up: everything is finite and within the view, and every
// dimension that does not say otherwise lies between points that far apart.
func TestViews(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j := drawn(t)
		frame := shape.Pitches(&j, 2)
		frame.Factor = rapid.SampledFrom([]float64{0, 1, 5, 50}).Draw(t, "factor")
		end, plan, tool := shape.EndOf(&j, frame), shape.PlanOf(&j), shape.ToolOf(&j)
		assertSound(t, &end.View)
		assertSound(t, &tool.View)
		if plan.Known {
			assertSound(t, &plan.View)
		}
		require.Equal(t, plan.Known, !end.Schematic)
		require.LessOrEqual(t, end.Factor, math.Max(1, frame.Factor))
		assertFigures(t, &j, &end.View)
		assertFigures(t, &j, &tool.View)
	})
}

func assertSound(t *rapid.T, v *shape.View) {
	const slack = 1e-9
	require.NotEmpty(t, v.Pieces)
	within := func(p shape.Point) {
		b := v.Bounds
		require.True(t, p.X >= b.Left-slack && p.X <= b.Right+slack && p.Y >= b.Bottom-slack && p.Y <= b.Top+slack, "%v is not in %v", p, b)
	}
	require.Positive(t, v.Bounds.Width())
	require.Positive(t, v.Bounds.Height())
	for _, piece := range v.Pieces {
		require.NotEmpty(t, piece.Outline.Edges, "part %d", piece.Part)
		for _, p := range points(piece.Outline) {
			within(p)
		}
		require.Equal(t, piece.Outline.Open, piece.Outline.Edges[len(piece.Outline.Edges)-1].To != piece.Outline.Start)
	}
	require.NotEmpty(t, v.Spots)
	for _, spot := range v.Spots {
		within(spot.At)
	}
	for _, d := range v.Dimensions {
		within(d.From)
		within(d.To)
		if !d.NotToScale && d.Measure != shape.CutterAngle {
			require.InDelta(t, math.Abs(d.Value.MM()), math.Hypot(d.To.X-d.From.X, d.To.Y-d.From.Y), 1e-6, "measure %d", d.Measure)
		}
	}
}

// assertFigures: what the dimensions say is what package joint says.
func assertFigures(t *rapid.T, j *joint.Joint, v *shape.View) {
	w, _ := j.Widths()
	lap, _ := j.Lap()
	s, projection := j.Setup(), j.Projection()
	want := map[shape.Measure]length.Length{
		shape.PinWidest: w.PinWidest, shape.PinRoot: w.PinRoot, shape.TailWidest: w.TailWidest, shape.TailRoot: w.TailRoot,
		shape.PinSocketWidest: w.PinSocketWidest, shape.TailSocketWidest: w.TailSocketWidest,
		shape.Lap: lap, shape.Play: j.Play(), shape.ShoulderGap: j.ShoulderGap(), shape.FloorGap: j.FloorGap(),
		shape.Depth: s.Depth.PinBoard.Length, shape.BelowBase: projection.BelowBase, shape.BelowBushing: projection.BelowBushing,
		shape.FlareClearance: j.FlareClearance(s.Depth.PinBoard.Length),
	}
	for _, d := range v.Dimensions {
		if figure, listed := want[d.Measure]; listed {
			require.InDelta(t, figure.MM(), d.Value.MM(), 1e-9, "measure %d", d.Measure)
		}
	}
}

// Play drawn larger is play times the factor, measured.
func TestPlayDrawnLarger(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j := drawn(t)
		frame := shape.OneTail(&j)
		frame.Factor = rapid.Float64Range(1, 50).Draw(t, "factor")
		e := shape.EndOf(&j, frame)
		for _, d := range e.Dimensions {
			if d.Measure == shape.Play {
				require.InDelta(t, e.Factor*j.Play().MM(), 2*(d.To.X-d.From.X), 1e-6)
			}
		}
		s := j.Setup()
		u := s.Depth.Deeper().MM() - 1e-9
		require.NotEmpty(t, spans(&e.View, shape.TailBoard, u), "something is left of the tail")
	})
}

// A window shows no more than it is large, and something of the joint.
func TestWindow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j := drawn(t)
		width, height := rapid.Float64Range(2, 150).Draw(t, "width"), rapid.Float64Range(2, 60).Draw(t, "height")
		pitches := rapid.IntRange(1, 20).Draw(t, "pitches")
		e := shape.EndOf(&j, shape.Window(&j, pitches, width, height))
		require.LessOrEqual(t, e.Bounds.Width(), width+1e-9)
		require.LessOrEqual(t, e.Bounds.Height(), height+1e-9)
		require.LessOrEqual(t, e.Bounds.Width(), float64(pitches)*e.Pitch+1e-9+width*map[bool]float64{true: 1}[e.Pitch > width])
		require.Less(t, e.Bounds.Bottom, 0.0)
		require.Greater(t, e.Bounds.Top, 0.0)
		require.NotEmpty(t, e.Pieces)
	})
}

func TestFactorToSee(t *testing.T) {
	for _, row := range []struct{ allowance, want float64 }{ // g = d, so c = K - 2 h tan a
		{2*10*math.Tan(14*math.Pi/180) + 0.1, 10},
		{2*10*math.Tan(14*math.Pi/180) - 0.1, 10},
		{2*10*math.Tan(14*math.Pi/180) + 0.01, 50},
		{2*10*math.Tan(14*math.Pi/180) + 0.3, 2},
		{2*10*math.Tan(14*math.Pi/180) + 0.8, 1},
	} {
		j, err := joint.New(joint.Setup{
			Template: joint.NewAllowance(mm(row.allowance)), Bushing: joint.Bushing{Diameter: mm(12)},
			Cutter: joint.Cutter{Diameter: mm(12), Angle: 14}, Depth: joint.EqualDepth(mm(10)),
		})
		require.NoError(t, err)
		assert.Equal(t, row.want, shape.FactorToSee(&j), "play %v", j.Play())
	}
}

// The tail of a board whose pin sockets end round within it, or before its
// outside face, is all of one piece with its neighbours there.
func TestPinSocketsThatEndInTheBoard(t *testing.T) {
	for _, reach := range []float64{3, -2} {
		tail := joint.Pass{Opening: mm(12), Finger: mm(10), FingerReach: mm(20), OpeningReach: mm(reach)}
		pin := joint.Pass{Opening: mm(12), Finger: mm(10), FingerReach: mm(20), OpeningReach: mm(22)}
		template, err := joint.NewTwoPosition(tail, pin)
		require.NoError(t, err)
		j, err := joint.New(joint.Setup{
			Template: template, Bushing: joint.Bushing{Diameter: mm(11)}, Cutter: joint.Cutter{Diameter: mm(12), Angle: 10},
			Depth: joint.EqualDepth(mm(8)), TailBoard: joint.TailBoard{Thickness: mm(19)},
		})
		require.NoError(t, err)
		p := shape.PlanOf(&j)
		require.True(t, p.Round)
		seat := j.Seat().Offset.MM()
		first, second := points(p.Pieces[1].Outline), points(p.Pieces[2].Outline)
		assert.InDelta(t, seat, first[0].Y, 1e-9, "outlines begin at the outside face")
		face, next := spansOf(first, seat+1e-6)[0], spansOf(second, seat+1e-6)[0]
		deep := spansOf(first, seat+9)[0]
		assert.Greater(t, width(face), width(deep)+1, "wider at the face")
		if reach < 0 {
			assert.InDelta(t, face.Y, next.X, 1e-9, "tails meet before the sockets")
		} else {
			assert.Less(t, face.Y, next.X)
		}
	}
}

func spansOf(ring []shape.Point, y float64) []shape.Point { return cross(ring, y) }

func BenchmarkViews(b *testing.B) {
	template := joint.NewOnePiece(mm(22.225), mm(12.35), mm(15.1), mm(13.9))
	j, err := joint.New(joint.Setup{
		Template: template, Bushing: joint.Bushing{Diameter: mm(11.11)}, Cutter: joint.Cutter{Diameter: mm(12.7), Angle: 14},
		Depth: joint.EqualDepth(mm(11)), PinBoard: joint.PinBoard{Thickness: mm(18.9)}, TailBoard: joint.TailBoard{Thickness: mm(12.5)},
	})
	require.NoError(b, err)
	b.ReportAllocs()
	for b.Loop() {
		shape.EndOf(&j, shape.Pitches(&j, 2))
		shape.PlanOf(&j)
		shape.ToolOf(&j)
	}
}

// The cutter and its slot, by hand: 12.7 mm at the tip, 14 deg, flank 12.7 mm high,
// 10 mm deep. It is 6.35 - 12.7 tan a wide above the flank, and the slot's mouth
// 6.35 - 10 tan a, each to a side.
func TestCutterIsACone(t *testing.T) {
	j, err := joint.New(joint.Setup{
		Template: joint.Template{Kind: joint.AllowanceOnly, Allowance: length.Exactly(2.3), Thickness: length.Exactly(8)},
		Bushing:  joint.Bushing{Diameter: length.Exactly(11.1125)},
		Cutter:   joint.Cutter{Diameter: length.Exactly(12.7), Angle: 14, CuttingLength: length.Exactly(12.7)},
		Depth:    joint.EqualDepth(length.Exactly(10)), PinBoard: joint.PinBoard{Thickness: length.Exactly(19)},
	})
	require.NoError(t, err)
	tool := shape.ToolOf(&j)
	require.True(t, tool.FlankKnown)
	tan := math.Tan(14 * math.Pi / 180)
	slim, mouth := 6.35-12.7*tan, 6.35-10*tan
	assert.True(t, hasPoints(&tool.View, shape.Cutter, []shape.Point{{X: -6.35, Y: -10}, {X: 6.35, Y: -10}, {X: slim, Y: 2.7}, {X: -slim, Y: 2.7}}))
	assert.True(t, hasPoints(&tool.View, shape.Wood, []shape.Point{{X: mouth, Y: 0}, {X: 6.35, Y: -10}, {X: -6.35, Y: -10}, {X: -mouth, Y: 0}}))
	for _, d := range tool.Dimensions {
		if d.Measure == shape.FlareClearance {
			assert.InDelta(t, -mouth, d.To.X, 1e-9)
			assert.False(t, d.NotToScale)
		}
	}
}

// hasPoints reports whether one outline of a part goes through all the points.
func hasPoints(v *shape.View, part shape.Part, points []shape.Point) bool {
	return slices.ContainsFunc(v.Pieces, func(p shape.Piece) bool {
		corners := []shape.Point{p.Outline.Start}
		for _, e := range p.Outline.Edges {
			corners = append(corners, e.To)
		}
		for _, want := range points {
			if !slices.ContainsFunc(corners, func(c shape.Point) bool { return math.Hypot(c.X-want.X, c.Y-want.Y) < 1e-9 }) {
				return false
			}
		}
		return p.Part == part
	})
}
