package layout_test

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/joint"
	"snugtail/joint/jointtest"
	. "snugtail/joint/layout"
	"snugtail/joint/length"
)

// exact is what rounding leaves of figures of up to 2,000 mm, mm.
const exact = 1e-9

func mm(x float64) length.Size { return length.Exactly(length.Length(x)) }

// chartDrawer is the set-up of the worked example below: an invented drawer of
// a chart cabinet.
func chartDrawer() joint.Setup {
	return joint.Setup{
		Template:  joint.NewOnePiece(mm(22), mm(12), mm(15), mm(14)),
		Bushing:   joint.Bushing{Diameter: mm(11)},
		Cutter:    joint.Cutter{Diameter: mm(12.5), Angle: joint.Angle(math.Atan(0.25) * 180 / math.Pi)},
		Depth:     joint.EqualDepth(mm(9.6)),
		PinBoard:  joint.PinBoard{Thickness: mm(19)},
		TailBoard: joint.TailBoard{Thickness: mm(12)},
	}
}

func lay(t require.TestingT, p Plan) Layout {
	l, err := New(p)
	require.NoError(t, err)
	return l
}

func near(t assert.TestingT, want float64, got length.Length, what ...any) {
	assert.InDelta(t, want, got.MM(), exact, what...)
}

// A drawer worked by hand.
//
// Pitch P = 22, opening S = 12, so finger F = 10. Bushing g = 11, cutter
// d = 12.5, flank 1 in 4 (tan a = 1/4), both boards 9.6 deep: 2 h tan a = 4.8.
//
//	pin:         root 10 + 11 - 12.5 = 8.5      face 8.5 + 4.8 = 13.3
//	tail:        root 22 - 12 + 11 - 12.5 = 8.5 end  8.5 + 4.8 = 13.3
//	pin socket:  shoulder 12 - 11 + 12.5 = 13.5  mouth 22 - 13.3 = 8.7
//	tail socket: floor 22 - 10 - 11 + 12.5 = 13.5 mouth 22 - 13.3 = 8.7
//
// (play 13.5 - 13.3 = 0.2). On a board of 88 = 4 P the pins stand at 0, 22, 44,
// 66 and 88, half pins at both edges of 4.25 at the root; the tails at 11, 33,
// 55 and 77. The first tail reaches from 11 - 6.65 = 4.35 to 17.65 at its end
// and from 6.75 to 15.25 at its root. Half pins on either side of 88: 66, 110.
//
// A groove 6 wide, 8 deep, 9 from the bottom, ends at 15, inside 6.75 to 15.25:
// hidden, 0.25 to spare above. At 10 it ends at 16, 0.75 beyond the tail: seen
// in the pin from 15.25 to 16. It hides 15.25 - 6 = 9.25 and below, and from
// 22 + 6.75 = 28.75 on.
//
// On a board of 95 = 4 P + 7 four pitches leave the pins 3.5 inside the edges,
// 4.25 + 3.5 = 7.75 at the root; five leave them 7.5 outside, 4.25 - 7.5 < 0:
// no pin. So four, centred on a pin as 4 is even. The stops hold the edge on a
// finger's centre, so the spacer is 22 - 3.5 = 18.5.
//
// An opening of 100 takes 4 pitches, 88, with 12 left, or 66, 44, 22.
func TestByHand(t *testing.T) {
	groove := Groove{Given: true, FromBottom: 9, Width: 6, Depth: 8}
	l := lay(t, Plan{Setup: chartDrawer(), Width: 88, Groove: groove})

	assert.True(t, l.HalfPins)
	assert.Equal(t, OnPin, l.Centre)
	assert.Equal(t, 4, l.Pitches)
	near(t, 22, l.Pitch)
	near(t, 4.25, l.SmallestEdgePin())
	near(t, 1.25, l.Limits[joint.LimitEdgePin].Margin)
	assert.False(t, l.Spacer.Known)
	assert.False(t, l.Otherwise.Known)
	assertParts(t, l.PinBoard.Pins, Half, []float64{0, 22, 44, 66, 88}, 13.3, 8.5)
	assertParts(t, l.TailBoard.PinSockets, Half, []float64{0, 22, 44, 66, 88}, 13.5, 8.7)
	assertParts(t, l.TailBoard.Tails, Whole, []float64{11, 33, 55, 77}, 13.3, 8.5)
	assertParts(t, l.PinBoard.TailSockets, Whole, []float64{11, 33, 55, 77}, 13.5, 8.7)
	first := l.TailBoard.Tails[0]
	near(t, 4.35, first.Widest.From)
	near(t, 17.65, first.Widest.To)
	near(t, 6.75, first.Narrowest.From)
	near(t, 15.25, first.Narrowest.To)
	assert.True(t, l.Nearest.SmallerKnown)
	near(t, 66, l.Nearest.Smaller)
	near(t, 110, l.Nearest.Larger)

	assert.True(t, l.Groove.Hidden)
	near(t, 0.25, l.Groove.Margin)
	assert.Equal(t, 0, l.Groove.Tail)
	assert.Empty(t, l.Groove.Beside)
	assert.False(t, l.Groove.Lower.Known || l.Groove.Higher.Known)
	near(t, 1.6, l.Limits[joint.LimitGrooveDepth].Margin)

	groove.FromBottom = 10
	f := lay(t, Plan{Setup: chartDrawer(), Width: 88, Groove: groove}).Groove
	assert.False(t, f.Hidden)
	assert.False(t, f.UnderTail)
	near(t, -0.75, f.Margin)
	require.Len(t, f.Beside, 1)
	near(t, 15.25, f.Beside[0].From)
	near(t, 16, f.Beside[0].To)
	assert.True(t, f.Lower.Known && f.Higher.Known)
	near(t, 9.25, f.Lower.From)
	near(t, 28.75, f.Higher.From)

	// A wall 0.015 beyond the tail, or 0.015 of depth, is not seen.
	f = lay(t, Plan{Setup: chartDrawer(), Width: 88, Groove: Groove{Given: true, FromBottom: 9.265, Width: 6, Depth: 9.615}}).Groove
	assert.True(t, f.Hidden)
	near(t, 0, f.Margin)

	l = lay(t, Plan{Setup: chartDrawer(), Width: 95})
	assert.False(t, l.HalfPins)
	assert.Equal(t, OnPin, l.Centre)
	near(t, 3.5, l.FirstPin)
	assert.Equal(t, EndsInPartPin, l.Edge.Ending)
	near(t, 7.75, l.Edge.Root)
	near(t, 10.15, l.Edge.Widest) // 6.65 + 3.5
	assert.Equal(t, Alternative{true, OnTail, EdgePin{Ending: EndsInTail}}, l.Otherwise)
	assert.Equal(t, Spacer{true, 18.5}, l.Spacer)
	assert.False(t, l.Groove.Known)

	heights, err := Heights(chartDrawer(), Spacing{}, 100)
	require.NoError(t, err)
	assert.Equal(t, []Height{{4, 88, 88, 12}, {3, 66, 66, 34}, {2, 44, 44, 56}, {1, 22, 22, 78}}, heights)
}

// assertParts: centres, and the widths of the whole ones; those at the edges
// are cut in half where ends says so.
func assertParts(t *testing.T, parts []Part, ends Share, centres []float64, widest, narrowest float64) {
	t.Helper()
	require.Len(t, parts, len(centres))
	for i, part := range parts {
		near(t, centres[i], part.Centre, "part %d", i)
		share, whole := Whole, 1.0
		if ends == Half && (i == 0 || i == len(parts)-1) {
			share, whole = Half, 0.5
		}
		assert.Equal(t, share, part.Share, "part %d", i)
		near(t, whole*widest, part.Widest.Width(), "part %d", i)
		near(t, whole*narrowest, part.Narrowest.Width(), "part %d", i)
	}
}

// What each width of the drawer above ends in, with its edge pins by hand: with
// n = int(W / 22) pitches the outermost pins stand (W - 22 n) / 2 inside the
// edges, with one more 11 less. Root: 4.25 + that, from 0 to 8.5, and none
// beyond half a face, 6.65.
func TestEndings(t *testing.T) {
	for _, row := range []struct {
		width  float64
		ending Ending
		first  float64
		root   float64
		centre Centre
	}{
		{88, EndsInHalfPin, 0, 4.25, OnPin},
		{88.08, EndsInHalfPin, 0.04, 4.29, OnPin},
		{87.92, EndsInHalfPin, -0.04, 4.21, OnPin},
		{110, EndsInHalfPin, 0, 4.25, OnTail},
		{88.4, EndsInPartPin, 0.2, 4.45, OnPin},
		{96.4, EndsInPartPin, 4.2, 8.45, OnPin},   // 5 pitches: 4.25 - 6.8, none
		{97.5, EndsInWholePin, 4.75, 8.5, OnPin},  // root 4.25 < 4.75 < face 6.65
		{102, EndsInPartPin, -4, 0.25, OnTail},    // 4 pitches: 7 > 6.65, no pin; 5: 4.25 - 4
		{109, EndsInPartPin, -0.5, 3.75, OnTail},  // 5 pitches
		{106, EndsInPartPin, -2, 2.25, OnTail},    // 5 pitches, too thin
		{22, EndsInHalfPin, 0, 4.25, OnTail},      // a single tail
		{21, EndsInPartPin, -0.5, 3.75, OnTail},   // narrower than the pitch
		{5, EndsInTail, -8.5, 0, OnTail},          // nothing but tail
		{2000, EndsInPartPin, -1, 3.25, OnTail},   // 91 pitches, 2002
		{30, EndsInPartPin, 4, 8.25, OnTail},      // 1 pitch
		{35.4, EndsInTail, 6.7, 0, OnTail},        // neither: 6.7 > 6.65, and 4.25 - 4.3 < 0
		{35.3, EndsInWholePin, 6.65, 8.5, OnTail}, // the pin's face just reaches the edge
	} {
		l := lay(t, Plan{Setup: chartDrawer(), Width: length.Length(row.width)})
		assert.Equal(t, row.ending, l.Edge.Ending, "%g", row.width)
		near(t, row.first, l.FirstPin, "%g", row.width)
		near(t, row.root, l.Edge.Root, "%g", row.width)
		assert.Equal(t, row.centre, l.Centre, "%g", row.width)
		assert.Equal(t, row.root >= joint.LeastRoot, l.Limits[joint.LimitEdgePin].OK(), "%g", row.width)
	}
}

// A two-position template whose openings are spaced freely keeps its pins,
// 6.2 + 11 - 12.5 = 4.7 at the root, and gives the rest to the tails.
func TestSpacedFreely(t *testing.T) {
	s := chartDrawer()
	var err error
	s.Template, err = joint.NewTwoPosition(joint.Pass{Opening: mm(14), Finger: mm(8)}, joint.Pass{Opening: mm(15.8), Finger: mm(6.2)})
	require.NoError(t, err)
	for _, row := range []struct {
		width, least, most float64
		pitch              float64
		pitches            int
		half               bool
		smaller, larger    float64
	}{
		{100, 18, 30, 20, 5, true, 80, 120},                                 // 25 (4) is 3 from 22, 20 (5) is 2
		{90, 22, 22, 22, 4, false, 88, 110},                                 // no freedom at all
		{115, 18, 30, 115.0 / 5, 5, true, 92, 138},                          // 23
		{61, 25, 30, 30, 2, false, 60, 75},                                  // between 2 x 30 and 3 x 25
		{74, 25, 30, 25, 3, false, 60, 75},                                  // 4.7/2 + 7 against 4.7/2 - 0.5: see below
		{24, 25, 30, 25, 1, false, 0, 25},                                   // below one pitch
		{60.04, 25, 30, 30, 2, true, 30, 90},                                // within the tolerance
		{1000, 23, 23.5, 1000.0 / 43, 43, true, 42000.0 / 43, 44000.0 / 43}, // 42 would take 23.8, 44 22.7
	} {
		l := lay(t, Plan{Setup: s, Width: length.Length(row.width), Spacing: Spacing{length.Length(row.least), length.Length(row.most)}})
		near(t, row.pitch, l.Pitch, "%g", row.width)
		assert.Equal(t, row.pitches, l.Pitches, "%g", row.width)
		assert.Equal(t, row.half, l.HalfPins, "%g", row.width)
		assert.Equal(t, row.smaller > 0, l.Nearest.SmallerKnown, "%g", row.width)
		near(t, row.smaller, l.Nearest.Smaller, "%g", row.width)
		near(t, row.larger, l.Nearest.Larger, "%g", row.width)
		assert.False(t, l.Spacer.Known)
		near(t, 4.7, l.Widths.PinRoot)
		near(t, row.pitch-14+11-12.5, l.Widths.TailRoot, "%g", row.width)
		fixed, err := joint.New(s)
		require.NoError(t, err)
		near(t, fixed.Play().MM(), l.Joint.Play(), "spacing leaves the fit alone")
	}
}

func TestRefused(t *testing.T) {
	freely, err := joint.NewTwoPosition(joint.Pass{Opening: mm(14), Finger: mm(8)}, joint.Pass{Opening: mm(14), Finger: mm(8)})
	require.NoError(t, err)
	groove := Groove{Given: true, FromBottom: 9, Width: 6, Depth: 8}
	for name, row := range map[string]struct {
		change func(*Plan)
		want   Refused
	}{
		"allowance only": {func(p *Plan) { p.Setup.Template = joint.NewAllowance(mm(2)) }, Refused{QuantityTemplate, 0, 0, ReasonOpeningsUnknown}},
		"one pass":       {func(p *Plan) { p.Spacing = Spacing{20, 30} }, Refused{QuantitySpacing, 20, 22, ReasonOnePass}},
		"reversed":       {func(p *Plan) { p.Setup.Template, p.Spacing = freely, Spacing{30, 20} }, Refused{QuantityPitchFrom, 30, 20, ReasonSpacingReversed}},
		"no pitch":       {func(p *Plan) { p.Setup.Template, p.Spacing = freely, Spacing{-1, 20} }, Refused{QuantityPitchFrom, -1, 0, ReasonNotPositive}},
		"no width":       {func(p *Plan) { p.Width = 0 }, Refused{QuantityBoardWidth, 0, 0, ReasonNotPositive}},
		"too many":       {func(p *Plan) { p.Width = 22 * 501 }, Refused{QuantityBoardWidth, 501, MostPitches, ReasonTooManyPitches}},
		"endless":        {func(p *Plan) { p.Width = length.Length(math.Inf(1)) }, Refused{QuantityBoardWidth, math.Inf(1), MostPitches, ReasonTooManyPitches}},
		"off the board":  {func(p *Plan) { p.Groove = groove; p.Width = 14 }, Refused{QuantityGroove, 15, 14, ReasonOffBoard}},
		"no groove":      {func(p *Plan) { p.Groove = Groove{Given: true, FromBottom: 9, Depth: 8} }, Refused{QuantityGroove, 0, 0, ReasonNotPositive}},
	} {
		t.Run(name, func(t *testing.T) {
			p := Plan{Setup: chartDrawer(), Width: 88}
			row.change(&p)
			_, err := New(p)
			var refused *Refused
			require.ErrorAs(t, err, &refused)
			assert.Equal(t, row.want, *refused)
			assert.Contains(t, err.Error(), string(row.want.Reason))
		})
	}
	_, err = New(Plan{Setup: chartDrawer(), Width: length.Length(math.NaN())})
	require.Error(t, err)

	everything := Plan{
		Setup: joint.Setup{Template: joint.NewAllowance(mm(2))}, Spacing: Spacing{30, 20}, Width: 14, Groove: groove,
	}
	assert.Equal(t, []*Refused{
		{QuantityTemplate, 0, 0, ReasonOpeningsUnknown}, {QuantityPitchFrom, 30, 20, ReasonSpacingReversed}, {QuantityGroove, 15, 14, ReasonOffBoard},
	}, everything.Refusals(), "all at once")

	for _, opening := range []float64{22 * 501, math.NaN()} {
		_, err := Heights(chartDrawer(), Spacing{}, length.Length(opening))
		var refused *Refused
		require.ErrorAs(t, err, &refused)
		assert.Equal(t, ReasonTooManyPitches, refused.Reason)
	}
	for _, opening := range []length.Length{21, 0, -100} {
		heights, err := Heights(chartDrawer(), Spacing{}, opening)
		require.NoError(t, err)
		assert.Empty(t, heights)
	}
	_, err = Heights(chartDrawer(), Spacing{20, 30}, 100)
	require.Error(t, err)
}

// What can't be cut can't be laid out.
func TestImpossible(t *testing.T) {
	thinPins, err := joint.NewTwoPosition(joint.Pass{Opening: mm(14), Finger: mm(8)}, joint.Pass{Opening: mm(20), Finger: mm(2)})
	require.NoError(t, err)
	through := chartDrawer().AtDepth(19)
	noTail := chartDrawer()
	noTail.Template = thinPins
	for _, row := range []struct {
		plan Plan
		want joint.Reason
	}{
		{Plan{Setup: through, Width: 88}, joint.ReasonThroughPinBoard},
		{Plan{Setup: noTail, Width: 30, Spacing: Spacing{15, 15}}, joint.ReasonNoTailLeft}, // 15 - 14 + 11 - 12.5 < 0
	} {
		_, err := New(row.plan)
		var impossible *joint.Impossible
		require.ErrorAs(t, err, &impossible)
		assert.Equal(t, row.want, impossible.Reason)
		assert.Equal(t, row.plan.Spacing.Free(), errors.As(err, new(*TooClose)))
	}
	_, err = Heights(through, Spacing{}, 100)
	var impossible *joint.Impossible
	require.ErrorAs(t, err, &impossible)
}

// A side stop that is off takes its error from one edge's pin.
func TestSideStopTakesFromTheEdgePin(t *testing.T) {
	for off, want := range map[float64]float64{0: 4.25, 0.5: 3.75, -0.5: 3.75, 6: 0} {
		s := chartDrawer()
		s.SideStopError = mm(off)
		l := lay(t, Plan{Setup: s, Width: 88})
		near(t, want, l.SmallestEdgePin(), "%g", off)
		near(t, want-joint.LeastRoot, l.Limits[joint.LimitEdgePin].Margin, "%g", off)
	}
}

// The solid cases' widths: whole pins, tails and sockets of a layout measure
// what was measured on the solids, at either end of their flanks.
func TestSolids(t *testing.T) {
	for _, c := range jointtest.Solids(t, "../..") {
		s := c.Setup(t)
		pitch := s.Template.Pitch.Length
		for _, pitches := range []length.Length{5, 5.2, 5.8} {
			l := lay(t, Plan{Setup: s, Width: pitches * pitch})
			m, near := c.Measured, c.Tolerance["widths"]
			require.Positive(t, near)
			for _, row := range []struct {
				parts             []Part
				widest, narrowest float64
			}{
				{l.PinBoard.Pins, m.PinWidest, m.PinNarrowest},
				{l.PinBoard.TailSockets, m.TailSocketWidest, m.TailSocketNarrowest},
				{l.TailBoard.Tails, m.TailWidest, m.TailNarrowest},
				{l.TailBoard.PinSockets, m.PinSocketWidest, m.PinSocketNarrowest},
			} {
				whole := 0
				for _, part := range row.parts {
					if part.Share == Whole {
						whole++
						assert.InDelta(t, row.widest, part.Widest.Width().MM(), near, c.ID)
						assert.InDelta(t, row.narrowest, part.Narrowest.Width().MM(), near, c.ID)
					}
				}
				assert.GreaterOrEqual(t, whole, 4, c.ID)
			}
		}
	}
}

// plans draws set-ups that can be cut, of either kind, on any board.
func plans(t *rapid.T) Plan {
	s := joint.Setup{
		Bushing: joint.Bushing{Diameter: mm(rapid.Float64Range(8, 20).Draw(t, "g"))},
		Cutter: joint.Cutter{
			Diameter: mm(rapid.Float64Range(6, 20).Draw(t, "d")),
			Angle:    joint.Angle(rapid.Float64Range(5, 20).Draw(t, "a")),
		},
		Depth: joint.Depth{
			PinBoard:  mm(rapid.Float64Range(2, 14).Draw(t, "hp")),
			TailBoard: mm(rapid.Float64Range(2, 14).Draw(t, "ht")),
		},
	}
	opening := func(name string) float64 { return s.Bushing.Diameter.MM() + rapid.Float64Range(0.2, 6).Draw(t, name) }
	pitch := rapid.Float64Range(15, 60).Draw(t, "P")
	if rapid.Bool().Draw(t, "one piece") {
		s.Template = joint.NewOnePiece(mm(pitch), mm(opening("S")), length.Size{}, length.Size{})
	} else {
		st, sp := opening("St"), opening("Sp")
		var err error
		s.Template, err = joint.NewTwoPosition(joint.Pass{Opening: mm(st), Finger: mm(pitch - st)}, joint.Pass{Opening: mm(sp), Finger: mm(pitch - sp)})
		require.NoError(t, err)
	}
	j, err := joint.New(s)
	if err != nil {
		t.Skip("no such joint can be cut")
	}
	if w, _ := j.Widths(); w.PinWidest >= length.Length(pitch) || w.TailWidest >= length.Length(pitch) {
		t.Skip("flanks that meet leave no sockets")
	}
	p := Plan{Setup: s, Width: length.Length(rapid.Float64Range(1, 900).Draw(t, "W"))}
	if rapid.Bool().Draw(t, "whole pitches") {
		p.Width = length.Length(float64(rapid.IntRange(1, 20).Draw(t, "n")) * pitch)
	}
	if s.Template.Kind == joint.TwoPosition && rapid.Bool().Draw(t, "spaced freely") {
		p.Spacing.Least = length.Length(rapid.Float64Range(0.8, 1.2).Draw(t, "least") * pitch)
		p.Spacing.Most = p.Spacing.Least + length.Length(rapid.Float64Range(0, 30).Draw(t, "range"))
	}
	return p
}

// layouts draws plans that can be laid out.
func layouts(t *rapid.T) (Plan, Layout) {
	p := plans(t)
	l, err := New(p)
	if errors.As(err, new(*TooClose)) {
		t.Skip("spaced so, no tail is left")
	}
	require.NoError(t, err)
	if l.Widths.TailWidest >= l.Pitch {
		t.Skip("flanks that meet leave no sockets")
	}
	return p, l
}

// At every level pins and tail sockets, tails and pin sockets, fill the width
// from edge to edge, in turns.
func TestPartsFillTheWidth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		_, l := layouts(t)
		widest, narrowest := func(p Part) Span { return p.Widest }, func(p Part) Span { return p.Narrowest }
		for _, level := range []struct {
			parts, between []Part
			of, ofBetween  func(Part) Span
		}{
			{l.PinBoard.Pins, l.PinBoard.TailSockets, widest, narrowest},   // the pin board's face
			{l.PinBoard.Pins, l.PinBoard.TailSockets, narrowest, widest},   // its sockets' floor
			{l.TailBoard.Tails, l.TailBoard.PinSockets, widest, narrowest}, // the tails' end
			{l.TailBoard.Tails, l.TailBoard.PinSockets, narrowest, widest}, // the shoulder
		} {
			reached := fill(t, level.parts, level.between, level.of, level.ofBetween)
			assert.InDelta(t, l.Width.MM(), reached, 2*length.Resolution)
		}
	})
}

// fill goes from part to part, each starting where the last one ended.
func fill(t *rapid.T, parts, between []Part, of, ofBetween func(Part) Span) (reached float64) {
	for len(parts)+len(between) > 0 {
		var s Span
		if len(between) == 0 || len(parts) > 0 && parts[0].Centre < between[0].Centre {
			s, parts = of(parts[0]), parts[1:]
		} else {
			s, between = ofBetween(between[0]), between[1:]
		}
		if s.Width() == 0 {
			continue // nothing of it is left at this level
		}
		require.InDelta(t, reached, s.From.MM(), 2*length.Resolution)
		require.Positive(t, s.Width().MM())
		reached = s.To.MM()
	}
	return reached
}

// Put together, every tail stands in the middle of a socket and every pin too,
// and only what an edge cuts off lacks its partner.
func TestAssembling(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		_, l := layouts(t)
		meet := func(wood, sockets []Part) {
			for _, part := range wood {
				found := false
				for _, socket := range sockets {
					found = found || math.Abs((part.Centre-socket.Centre).MM()) < exact
				}
				lost := part.Widest.Width() < length.Length(l.Pitch)/2 && part.Share == Partly
				assert.True(t, found || lost, "%+v meets no socket", part)
			}
		}
		meet(l.TailBoard.Tails, l.PinBoard.TailSockets)
		meet(l.PinBoard.Pins, l.TailBoard.PinSockets)
		play := l.Joint.Play().MM()
		if l.Joint.Setup().Depth.PinBoard == l.Joint.Setup().Depth.TailBoard {
			assert.InDelta(t, play, (l.Widths.TailSocketWidest - l.Widths.TailWidest).MM(), exact)
		}
	})
}

// The right end is the left end's mirror image: the layout reads the same from
// either edge.
func TestMirrored(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		_, l := layouts(t)
		for _, parts := range [][]Part{l.PinBoard.Pins, l.PinBoard.TailSockets, l.TailBoard.Tails, l.TailBoard.PinSockets} {
			for i, part := range parts {
				other := parts[len(parts)-1-i]
				near(t, (l.Width - other.Centre).MM(), part.Centre)
				near(t, (l.Width - other.Widest.To).MM(), part.Widest.From)
				near(t, (l.Width - other.Narrowest.To).MM(), part.Narrowest.From)
				assert.Equal(t, other.Share, part.Share)
			}
		}
	})
}

// edgePin measures the wood of the pin at a board's edge, x = 0, where a pin
// stands in its middle or half a pitch beside it: at the root the part of the
// pin that lies on the board, if the edge runs through the pin's face.
func edgePin(l Layout, centre Centre) float64 {
	root, face, pitch := l.Widths.PinRoot.MM(), l.Widths.PinWidest.MM(), l.Pitch.MM()
	x := l.Width.MM() / 2
	if centre == OnTail {
		x += pitch / 2
	}
	for x -= pitch * math.Ceil(l.Width.MM()/pitch+2); x < l.Width.MM(); x += pitch {
		if x-face/2 <= 0 && x+face/2 > 0 {
			return math.Max(0, math.Min(root, x+root/2))
		}
	}
	return 0
}

// Of the two ways to centre the layout, the one with the stronger pin at the
// edges is taken, and the pin that is told is the one that is there.
func TestStrongerEdgePin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, l := layouts(t)
		if l.Width < l.Pitch {
			assert.Equal(t, OnTail, l.Centre, "a board of less than a pitch takes one tail")
			return
		}
		assert.InDelta(t, edgePin(l, l.Centre), l.Edge.Root.MM(), 1e-6)
		if !p.Spacing.Free() && !l.HalfPins {
			assert.NotEqual(t, l.Centre, l.Otherwise.Centre)
			assert.InDelta(t, edgePin(l, l.Otherwise.Centre), l.Otherwise.Edge.Root.MM(), 1e-6)
			assert.GreaterOrEqual(t, l.Edge.Root, l.Otherwise.Edge.Root)
		}
		if l.Edge.Ending != EndsInTail {
			first := l.PinBoard.Pins[0]
			near(t, l.Edge.Root.MM(), first.Narrowest.Width())
			near(t, l.Edge.Widest.MM(), first.Widest.Width())
		}
	})
}

// Widths named as ending in half pins do, nothing between them does, and so do
// the heights, none of which is missed.
func TestHalfPinWidths(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, l := layouts(t)
		p.Groove = Groove{}
		ends := func(w length.Length) bool {
			q := p
			q.Width = w
			return lay(t, q).HalfPins
		}
		if l.Nearest.SmallerKnown {
			assert.True(t, ends(l.Nearest.Smaller), "%v", l.Nearest.Smaller)
			assert.Less(t, l.Nearest.Smaller, l.Width)
		}
		assert.Greater(t, l.Nearest.Larger, l.Width)
		assert.True(t, ends(l.Nearest.Larger), "%v", l.Nearest.Larger)
		if !l.HalfPins && l.Nearest.SmallerKnown {
			x := rapid.Float64Range(0.01, 0.99).Draw(t, "between")
			between := l.Nearest.Smaller + length.Length(x)*(l.Nearest.Larger-l.Nearest.Smaller)
			off := min(between-l.Nearest.Smaller, l.Nearest.Larger-between)
			assert.Equal(t, off <= HalfPinTolerance, ends(between), "%v", between)
		}
	})
}

func TestHeightsEndInHalfPins(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, l := layouts(t)
		opening := l.Width
		heights, err := Heights(p.Setup, p.Spacing, opening)
		require.NoError(t, err)
		least := p.Setup.Template.Pitch.Length
		if p.Spacing.Free() {
			least = p.Spacing.Least
		}
		assert.Len(t, heights, int((opening.MM()+length.Resolution)/least.MM()), "every number of tails that there is room for")
		left := length.Length(-1)
		for _, h := range heights {
			assert.GreaterOrEqual(t, h.Left.Rounded(), left.Rounded(), "those that fill the opening come first")
			left = h.Left
			near(t, opening.MM(), h.Height+h.Left)
			assert.LessOrEqual(t, h.Least, h.Height+length.Resolution)
			for _, width := range []length.Length{h.Height, h.Least} {
				half := lay(t, Plan{Setup: p.Setup, Spacing: p.Spacing, Width: width})
				assert.True(t, half.HalfPins, "%v", width)
			}
		}
	})
}

// A groove hides where it is said to, no nearer place hides it, and what is
// seen of it lies beside or under the tails.
func TestGroove(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, l := layouts(t)
		if l.Width < 20 {
			t.Skip("too narrow for a groove")
		}
		g := Groove{
			Given:      true,
			FromBottom: length.Length(rapid.Float64Range(0.1, 0.7).Draw(t, "from")) * l.Width,
			Width:      length.Length(rapid.Float64Range(0.5, 6).Draw(t, "wide")),
			Depth:      length.Length(rapid.Float64Range(0.5, 15).Draw(t, "deep")),
		}
		at := func(from length.Length) Finding {
			p.Groove = g
			p.Groove.FromBottom = from
			return lay(t, p).Groove
		}
		f := at(g.FromBottom)
		depth := l.Joint.Setup().Depth.PinBoard.Length
		assert.Equal(t, g.Depth > depth+SeenFrom, f.UnderTail)
		assert.Equal(t, !f.UnderTail && f.Margin >= 0, f.Hidden)
		assert.Equal(t, f.Margin >= 0, len(f.Beside) == 0)
		seen := 0.0
		for _, s := range f.Beside {
			seen += s.Width().MM()
			assert.True(t, s.From >= g.FromBottom && s.To <= g.FromBottom+g.Width)
		}
		assert.LessOrEqual(t, seen, g.Width.MM()+exact)
		if f.Margin >= 0 {
			assert.False(t, f.Lower.Known || f.Higher.Known)
			return
		}
		for _, place := range []Place{f.Lower, f.Higher} {
			if !place.Known {
				continue
			}
			assert.GreaterOrEqual(t, at(place.From).Margin.MM(), 0.0)
			x := rapid.Float64Range(0.01, 0.99).Draw(t, "nearer")
			nearer := place.From + length.Length(x)*(g.FromBottom-place.From)
			if math.Abs((nearer-place.From).MM()) > SeenFrom+exact && at(nearer).Margin > -SeenFrom {
				assert.Fail(t, "nearer than said", "%v", nearer)
			}
		}
		if !f.Lower.Known && !f.Higher.Known {
			for _, tail := range l.TailBoard.Tails {
				assert.Less(t, tail.Narrowest.Width(), g.Width)
			}
		}
	})
}

// vector is a direction: of the drawer (X right, Y back, Z up, seen from its
// front) or of the jig (x to the operator's right, y away, z up).
type vector [3]float64

func (a vector) cross(b vector) vector {
	return vector{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

func (a vector) times(k float64) vector { return vector{k * a[0], k * a[1], k * a[2]} }

func (a vector) dot(b vector) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

// turned says where the drawer's down points when a board is turned so that two
// of its directions point where they must in the jig. A turn keeps the cross
// product, so the third direction follows.
func turned(inside, end, insideTo, endTo vector) vector {
	third, thirdTo := inside.cross(end), insideTo.cross(endTo)
	down := vector{0, 0, -1}
	return thirdTo.times(third.dot(down)) // the third of any of these boards is its up or down
}

// Each corner's stop, found by turning both of its boards into the jig: pin
// board flat, inside up, end towards the operator; tail board upright, inside
// towards the operator, end up.
func TestCornersByTurningTheBoards(t *testing.T) {
	right, back := vector{1, 0, 0}, vector{0, 1, 0}
	x, up, away := vector{1, 0, 0}, vector{0, 0, 1}, vector{0, 1, 0}
	seen := map[Corner]bool{}
	for _, c := range Corners() {
		side, depthwise := 1.0, 1.0 // of the corner, seen from the drawer's middle
		if c.Side == Left {
			side = -1
		}
		if c.Depthwise == Front {
			depthwise = -1
		}
		stop := x
		if c.Stop == Left {
			stop = x.times(-1)
		}
		pinBoard := turned(back.times(-depthwise), right.times(side), up, away.times(-1))
		tailBoard := turned(right.times(-side), back.times(depthwise), away.times(-1), up)
		assert.Equal(t, stop, pinBoard.times(1), "%+v: the pin board's bottom edge", c)
		assert.Equal(t, stop, tailBoard.times(1), "%+v: the tail board's bottom edge", c)
		c.Stop = Left
		assert.False(t, seen[c], "%+v is told once", c)
		seen[c] = true
	}
}

func BenchmarkNew(b *testing.B) {
	p := Plan{Setup: chartDrawer(), Width: 178, Groove: Groove{Given: true, FromBottom: 9, Width: 6, Depth: 8}}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := New(p); err != nil {
			b.Fatal(err)
		}
	}
}
