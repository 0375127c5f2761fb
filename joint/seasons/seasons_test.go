package seasons_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/joint/seasons"
	"snugtail/joint/wood"
)

func byID(t require.TestingT, id string) wood.Wood {
	w, ok := wood.ByID(id)
	require.True(t, ok, id)
	return w
}

// setup is a joint of our own scenario: 7/8 in pitch, seven tails.
func setup() joint.Setup {
	in := func(x float64) length.Size { return length.Exactly(length.Length(x) * length.Inch) }
	s := joint.Setup{
		Template: joint.NewOnePiece(in(7.0/8), in(0.484), in(0.56), in(0.53)),
		Bushing:  joint.Bushing{Diameter: in(7.0 / 16)},
		Cutter:   joint.Cutter{Diameter: in(0.5), Angle: 14},
		Depth:    joint.EqualDepth(length.Exactly(10.9)),
	}
	s.TailBoard.Thickness = length.Exactly(12.7)
	return s
}

func predict(t require.TestingT, s joint.Setup) joint.Prediction {
	p, err := joint.Predict(s, joint.DefaultTarget(7), joint.Bands{Crush: joint.DefaultCrush})
	require.NoError(t, err)
	return p
}

// question has boards of two woods, cut at 11 %.
func question(t require.TestingT, pin, tail string) seasons.Question {
	p := predict(t, setup())
	board := func(id string) wood.Board {
		return wood.Board{Wood: byID(t, id), Grain: wood.FlatSawn, Width: 155.575, Moisture: wood.Reading(11)}
	}
	return seasons.Question{
		Cut: seasons.CutBy(&p), PinBoard: board(pin), TailBoard: board(tail),
		LeastPlay: wood.DefaultLeastPlay, Bands: joint.Bands{Crush: joint.DefaultCrush},
	}
}

func through(t require.TestingT, q *seasons.Question, moistures ...float64) []seasons.Outcome {
	climates := make([]wood.Climate, len(moistures))
	for i, m := range moistures {
		climates[i].Moisture = wood.Moisture{Percent: m, StandardUncertainty: wood.AirUncertainty}
	}
	year, err := q.Through(climates)
	require.NoError(t, err)
	return year.Outcomes
}

// By hand: f0 = 13.462, g/2 = 5.55625, r(0) = 6.35: y_n + R_n = 12.66825,
// which a tail board 12 mm thick cuts off; tails cut 0.5 deeper than the
// sockets share no level below u0 = 0.5, r = 6.35 - 0.5 tan 14.
func TestNoseReach(t *testing.T) {
	for name, row := range map[string]struct {
		change func(*joint.Setup)
		want   length.Size
	}{
		"whole":           {func(*joint.Setup) {}, length.Exactly(12.66825)},
		"cut off":         {func(s *joint.Setup) { s.TailBoard.Thickness.Length = 12 }, length.Exactly(12)},
		"thickness open":  {func(s *joint.Setup) { s.TailBoard.Thickness = length.Size{} }, length.Exactly(12.66825)},
		"deeper tails":    {func(s *joint.Setup) { s.Depth.TailBoard.Length += 0.5; s.TailBoard.Thickness.Length = 13 }, length.Exactly(length.Length(12.66825 + 0.5*math.Tan(14*math.Pi/180)))},
		"off centre":      {func(s *joint.Setup) { s.Bushing.OffsetY = length.Exactly(0.1) }, length.Exactly(12.56825)},
		"turned":          {func(s *joint.Setup) { s.Bushing.OffsetY = length.Exactly(0.1); s.Router.TurnedInUse = true }, length.Exactly(12.56825)},
		"reach not known": {func(s *joint.Setup) { s.Template.Tail.FingerReach = length.Size{} }, length.Size{}},
		"no nose":         {func(s *joint.Setup) { s.Template.Tail.FingerReach.Length = 0.5 }, length.Size{}},
		"allowance only":  {func(s *joint.Setup) { s.Template = joint.NewAllowance(length.Exactly(2.3)) }, length.Size{}},
	} {
		t.Run(name, func(t *testing.T) {
			s := setup()
			row.change(&s)
			p := predict(t, s)
			got := seasons.CutBy(&p).NoseReach
			assert.Equal(t, row.want.Given, got.Given)
			assert.InDelta(t, row.want.MM(), got.MM(), 1e-9)
		})
	}
}

// Pitch, widths, depths and play are the prediction's own.
func TestCutBy(t *testing.T) {
	p := predict(t, setup())
	cut := seasons.CutBy(&p)
	assert.Equal(t, p.Fit.Play, cut.Play.Play)
	assert.Equal(t, p.Fit.Standard, cut.Play.Standard)
	assert.Equal(t, p.Widths.TailWidest, cut.TailWidest)
	assert.InDelta(t, 22.225, cut.Pitch.MM(), 1e-9)
	s := setup()
	s.Template = joint.NewAllowance(length.Exactly(2.3))
	p = predict(t, s)
	cut = seasons.CutBy(&p)
	assert.Zero(t, cut.Pitch)
	assert.Zero(t, cut.TailWidest)
}

// What the wood does is wood.Movement's; the play as cut adds its own share,
// and alone it is left where nothing moves and nothing is unsure.
func TestUncertaintyOfThePlayAsCut(t *testing.T) {
	q := question(t, "white_oak", "yellow_poplar")
	for _, o := range through(t, &q, 6, 11, 16) {
		u := q.Cut.Play.Standard.MM()
		assert.InDelta(t, math.Hypot(u, o.Uncertainty.MM()), o.Outermost.Standard.MM(), 1e-12)
		assert.InDelta(t, math.Hypot(u, o.UncertaintyMiddle.MM()), o.Middle.Standard.MM(), 1e-12)
		assert.Equal(t, o.PlayOutermost, o.Outermost.Play)
		assert.InDelta(t, o.PlayMiddle.MM()*2, (o.Middle.Low + o.Middle.High).MM(), 1e-9, "symmetrical")
	}
	q.Cut.Play.Standard, q.Cut.Play.Low, q.Cut.Play.High = 0, q.Cut.Play.Play, q.Cut.Play.Play
	q.TailBoard = q.PinBoard
	q.SameStock = true
	q.PinBoard.Moisture.StandardUncertainty, q.TailBoard.Moisture.StandardUncertainty = 0, 0
	o := through(t, &q, 6)[0]
	assert.InDelta(t, q.Cut.Play.Play.MM(), o.Outermost.Low.MM(), 1e-12)
	assert.InDelta(t, q.Cut.Play.Play.MM(), o.Outermost.High.MM(), 1e-12)
}

// The 95 % range against draws of what is unsure: play as cut, and a mismatch
// of the boards about the expected one, which takes play from the outermost
// tails whichever way it goes. The range holds 95 % of them or a little more:
// both halves are taken at their widest.
func TestRangeAgainstDraws(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 8))
	for _, pair := range [][2]string{{"white_oak", "white_oak"}, {"white_oak", "yellow_poplar"}, {"yellow_poplar", "white_oak"}} {
		q := question(t, pair[0], pair[1])
		for _, o := range through(t, &q, 7, 9.5, 14) {
			pitch, w, width := q.Cut.Pitch.MM(), q.Cut.TailWidest.MM(), 155.575
			mismatch := 2 * o.EdgeStep.MM() / width
			u := o.UncertaintyMiddle.MM() / w
			const draws = 20_000
			inside := 0
			for range draws {
				c := q.Cut.Play.Play.MM() + q.Cut.Play.Standard.MM()*random.NormFloat64()
				m := mismatch + u*random.NormFloat64()
				reach := width - pitch + w
				if m > 0 {
					reach = width - pitch - w
				}
				play := c - math.Abs(m)*reach
				if play >= o.Outermost.Low.MM() && play <= o.Outermost.High.MM() {
					inside++
				}
			}
			share := float64(inside) / draws
			assert.GreaterOrEqual(t, share, 0.945, "%v at %g %%", pair, o.Climate.Moisture.Percent)
			assert.LessOrEqual(t, share, 0.985, "%v at %g %%", pair, o.Climate.Moisture.Percent)
		}
	}
}

// Boards of one pitch: being out of step leaves the only tail more play, and
// then it is the lower half that the wood adds little to.
func TestOneTail(t *testing.T) {
	q := question(t, "yellow_poplar", "white_oak")
	q.PinBoard.Width, q.TailBoard.Width = q.Cut.Pitch, q.Cut.Pitch
	o := through(t, &q, 6)[0]
	assert.Greater(t, o.Outermost.Play, q.Cut.Play.Play)
	assert.GreaterOrEqual(t, o.Outermost.Low+length.Resolution, q.Cut.Play.Low)
}

// The range does not jump where the boards pass from one mismatch to the other.
func TestRangeIsContinuous(t *testing.T) {
	for _, pair := range [][2]string{{"white_oak", "yellow_poplar"}, {"yellow_poplar", "white_oak"}} {
		q := question(t, pair[0], pair[1])
		points, err := q.OverHumidity(seasons.Sweep{TemperatureC: 21, From: 55, To: 65, Steps: 1000})
		require.NoError(t, err)
		for i := range points[1:] {
			assert.InDelta(t, points[i].Outermost.Low.MM(), points[i+1].Outermost.Low.MM(), 2e-3, "at %g", points[i].Humidity)
			assert.InDelta(t, points[i].Outermost.High.MM(), points[i+1].Outermost.High.MM(), 2e-3, "at %g", points[i].Humidity)
		}
	}
}

// A stated play takes its own tolerance, or a caliper's.
func TestMeasured(t *testing.T) {
	stated := seasons.Measured(length.Within(0.12, 0.06))
	assert.InDelta(t, 0.03, stated.Standard.MM(), 1e-12)
	assert.InDelta(t, 0.12+0.0588, stated.High.MM(), 1e-4)
	assert.InDelta(t, 0.12-0.0588, stated.Low.MM(), 1e-4)
	assert.InDelta(t, joint.ToleranceCaliper/2, seasons.Measured(length.Exactly(0.12)).Standard.MM(), 1e-12)
}

// Cut at the depth advised, the worst climate leaves the least play.
func TestLooserDepth(t *testing.T) {
	year := wood.HeatedHome()
	q := question(t, "white_oak", "yellow_poplar")
	first, err := q.Through(year[:])
	require.NoError(t, err)
	require.True(t, first.LooserDepth.Given)
	s := setup().AtDepth(first.LooserDepth.Length)
	p := predict(t, s)
	q.Cut = seasons.CutBy(&p)
	again, err := q.Through(year[:])
	require.NoError(t, err)
	least := slices.MinFunc(again.Outcomes, func(a, b seasons.Outcome) int {
		return int(math.Copysign(1, (a.PlayOutermost - b.PlayOutermost).MM()))
	})
	// Shallower tails are narrower at their end, by the play that was gained,
	// and W' with them: a mismatch of 0.4 % of that.
	assert.InDelta(t, wood.DefaultLeastPlay, least.PlayOutermost.MM(), 0.004*first.Advice.CutLooser.MM()+1e-3)

	q.Cut.PlayPerDepth = 0
	unknown, err := q.Through(year[:])
	require.NoError(t, err)
	assert.False(t, unknown.LooserDepth.Given)
	q = question(t, "white_oak", "white_oak")
	q.Cut.PlayPerDepth = 1e-3 // a cutter so straight that no depth is shallow enough
	q.Cut.Play.Play = -1
	steep, err := q.Through(year[:])
	require.NoError(t, err)
	assert.False(t, steep.LooserDepth.Given)
}

// A curve's points are what Through says of that air, in order.
func TestOverHumidity(t *testing.T) {
	q := question(t, "white_oak", "yellow_poplar")
	points, err := q.OverHumidity(seasons.Sweep{TemperatureC: 21, From: 20, To: 85, Steps: 13})
	require.NoError(t, err)
	require.Len(t, points, 14)
	for i, p := range points {
		assert.InDelta(t, 20+5*float64(i), p.Humidity, 1e-9)
		m, err := wood.EquilibriumMoisture(21, p.Humidity)
		require.NoError(t, err)
		want := through(t, &q, m)[0]
		assert.Equal(t, want, p.Outcome)
	}
}

// Limba has no shrinkage in the table: outside 6 to 14 % its points say so,
// and tell nothing else.
func TestMissingIsToldPointByPoint(t *testing.T) {
	q := question(t, "limba", "limba")
	points, err := q.OverHumidity(seasons.Sweep{TemperatureC: 21, From: 20, To: 85, Steps: 65})
	require.NoError(t, err)
	missing := 0
	for _, p := range points {
		m := p.Climate.Moisture.Percent
		require.Equal(t, m < 6 || m > 14, p.Missing != nil, "%g %%", m)
		if p.Missing != nil {
			missing++
			assert.Zero(t, p.Outermost)
		}
	}
	assert.Greater(t, missing, 10)
	assert.Less(t, missing, len(points)-10)
}

func TestErrors(t *testing.T) {
	q := question(t, "white_oak", "white_oak")
	q.PinBoard.Width, q.TailBoard.Moisture.Percent = 20, 31
	got := wood.RangeErrors(q.Check())
	require.Len(t, got, 2)
	assert.Equal(t, wood.QuantityPinBoardWidth, got[0].Quantity)
	assert.InDelta(t, 22.225, got[0].Low, 1e-9)
	assert.Equal(t, wood.QuantityTailBoardMoisture, got[1].Quantity)

	q = question(t, "white_oak", "white_oak")
	require.NoError(t, q.Check())
	for quantity, s := range map[wood.Quantity]seasons.Sweep{
		seasons.QuantitySteps:    {TemperatureC: 21, From: 20, To: 85},
		wood.QuantityHumidity:    {TemperatureC: 21, From: 20, To: 96, Steps: 4},
		wood.QuantityTemperature: {TemperatureC: 60, From: 20, To: 85, Steps: 4},
	} {
		_, err := q.OverHumidity(s)
		var outside *wood.RangeError
		require.ErrorAs(t, err, &outside)
		assert.Equal(t, quantity, outside.Quantity)
	}
}

// HumidityOf undoes the handbook's equation, and says where it can't.
func TestHumidityOf(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		temperature := rapid.Float64Range(wood.LeastTemperature, wood.GreatestTemperature).Draw(t, "temperature")
		humidity := rapid.Float64Range(wood.LeastHumidity, wood.GreatestHumidity).Draw(t, "humidity")
		m, err := wood.EquilibriumMoisture(temperature, humidity)
		require.NoError(t, err)
		got, ok := seasons.HumidityOf(m, temperature)
		require.True(t, ok)
		assert.InDelta(t, humidity, got, 1e-5)
	})
	for _, row := range []struct{ moisture, temperature float64 }{{0.5, 21}, {29, 21}, {8, 60}, {math.NaN(), 21}, {8, math.NaN()}} {
		_, ok := seasons.HumidityOf(row.moisture, row.temperature)
		assert.False(t, ok, "%v", row)
	}
}

func BenchmarkOverHumidity(b *testing.B) {
	q := question(b, "white_oak", "yellow_poplar")
	b.ReportAllocs()
	for b.Loop() {
		if _, err := q.OverHumidity(seasons.Sweep{TemperatureC: 21, From: 20, To: 85, Steps: 65}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkThrough(b *testing.B) {
	q := question(b, "white_oak", "yellow_poplar")
	year := wood.HeatedHome()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := q.Through(year[:]); err != nil {
			b.Fatal(err)
		}
	}
}

// The range of the outermost play where the sockets swelled more, by hand: the
// mismatch m adds up over W - P - w, and its 95 % is z times the uncertainty of
// the play in the middle over w.
func TestOutermostRangeOfSwollenSockets(t *testing.T) {
	board := func(coefficient float64) wood.Board {
		figure := wood.Property{Figure: wood.Figure{Value: coefficient, Known: true}}
		w := wood.Wood{ID: "one", RadialCoefficient: figure, TangentialCoefficient: figure}
		return wood.Board{Wood: w, Grain: wood.FlatSawn, Width: 154, Moisture: wood.Moisture{Percent: 7}}
	}
	q := seasons.Question{
		Cut:      seasons.Cut{Pitch: 22, TailWidest: 13, DepthPinBoard: 10},
		PinBoard: board(0.004), TailBoard: board(0.001),
		LeastPlay: -0.05, Bands: joint.Bands{Crush: joint.DefaultCrush},
	}
	q.Cut.Play = seasons.Play{Play: 0.1, Low: 0.1, High: 0.1}
	year, err := q.Through([]wood.Climate{{Moisture: wood.Moisture{Percent: 11}}})
	require.NoError(t, err)
	o := year.Outcomes[0]
	const m, z = 4 * (0.004 - 0.001), 1.959963984540054
	u := z * 0.15 * math.Hypot(4*0.004, 4*0.001)
	require.Less(t, u, m)
	assert.InDelta(t, 0.1-m*(154-22-13), o.Outermost.Play.MM(), 1e-9)
	assert.InDelta(t, u*(154-22-13), (o.Outermost.Play - o.Outermost.Low).MM(), 1e-9)
	assert.InDelta(t, u*(154-22-13), (o.Outermost.High - o.Outermost.Play).MM(), 1e-9)
}
