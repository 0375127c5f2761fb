package parts_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/joint/layout"
	"snugtail/joint/length"
	"snugtail/joint/parts"
	"snugtail/joint/wood"
)

// warningsOf are all of a made drawer.
func warningsOf(made *parts.Made) []parts.Warning {
	all := append([]parts.Warning{}, made.Warnings...)
	all = append(append(all, made.Front.Warnings...), made.Back.Warnings...)
	for i := range made.Parts {
		all = append(all, made.Parts[i].Warnings...)
	}
	return all
}

// find returns the first warning of a code; ok is false where there is none.
func find(made *parts.Made, code parts.WarningCode) (w parts.Warning, ok bool) {
	for _, w := range warningsOf(made) {
		if w.Code == code {
			return w, true
		}
	}
	return parts.Warning{}, false
}

// Edge pins over all heights from 60 to 199.6 mm, the place of the edge worked out
// by itself: with n pitches between the outermost pins' centres these lie
// first = (W - n P)/2 inside the edge, and so much of half a pin's root is cut off,
// or added.
func TestEdgePinsOverAllHeights(t *testing.T) {
	weak, all := 0, 0
	for mm10 := 600; mm10 <= 1996; mm10++ {
		d := chartDrawer()
		d.Outside.Height = length.Length(float64(mm10) / 10)
		p := plan(t, job(d))
		made := &p.Drawers[0]
		require.Nil(t, made.Refusal)
		widths := made.Front.Joint.Widths
		edge := edgePin(d.Outside.Height.MM(), 22.225, widths.PinRoot.MM(), widths.PinWidest.MM())
		assert.InDelta(t, edge, made.Front.Layout.Edge.MM(), 1e-9, "%g", d.Outside.Height.MM())
		w, warned := find(made, parts.EdgePinWeak)
		require.Equal(t, edge < 3-1e-9, warned, "%g mm high: %g", d.Outside.Height.MM(), edge)
		all++
		if !warned {
			continue
		}
		weak++
		assert.InDelta(t, edge, w.Value.MM(), 1e-9)
		require.NotEmpty(t, w.Instead, "%g", d.Outside.Height.MM())
		for _, cure := range w.Instead {
			got := edgePin(cure.Length.MM(), 22.225, widths.PinRoot.MM(), widths.PinWidest.MM())
			assert.GreaterOrEqual(t, got, 3-1e-6, "%g instead of %g", cure.Length.MM(), d.Outside.Height.MM())
		}
	}
	share := float64(weak) / float64(all)
	t.Logf("%d of %d heights leave weak edge pins: %.0f %%", weak, all, 100*share)
	assert.InDelta(t, 0.29, share, 0.05)
}

// edgePin is the wood at the root of the edge pins of a board w wide: that of the
// better of the two ways to centre it.
func edgePin(w, pitch, root, face float64) float64 {
	of := func(n float64) float64 {
		first := (w - n*pitch) / 2
		if first > face/2 {
			return 0
		}
		return math.Min(math.Max(root/2+first, 0), root)
	}
	n := math.Floor(w / pitch)
	if n == 0 {
		return of(1)
	}
	return math.Max(of(n), of(n+1))
}

// Each warning comes at its own limit, and not a tenth of a mm before it.
func TestWarningsAtTheirLimits(t *testing.T) {
	for name, row := range map[string]struct {
		code       parts.WarningCode
		good, bad  func(*parts.Job)
		value, lim float64
	}{
		"lap": {
			parts.LapThin,
			func(j *parts.Job) { j.Stock[back15].Thickness = 10.929378 + 4.8 + 0.0001 },
			func(j *parts.Job) { j.Stock[back15].Thickness = 10.929378 + 4.8 - 0.01 },
			4.79, 4.8,
		},
		"thickness": {
			parts.ThicknessVaries,
			func(j *parts.Job) { j.Stock[back15].Tolerance = mm(0.8) }, // 15 - 10.929378 - 3.175 = 0.895622
			func(j *parts.Job) { j.Stock[back15].Tolerance = mm(0.9) },
			0.9, 0.895622,
		},
		"groove": {
			parts.GrooveDeep,
			func(j *parts.Job) { j.Drawers[0].Groove.Depth = 6.2 },
			func(j *parts.Job) { j.Drawers[0].Groove.Depth = 6.3 },
			6.3, 6.2,
		},
		"wood below": {
			parts.GrooveLow,
			func(j *parts.Job) { j.Drawers[0].Groove.FromBottom = 3 },
			func(j *parts.Job) { j.Drawers[0].Groove.FromBottom = 2.9 },
			2.9, 3,
		},
		"housing": {
			parts.HousingDeep,
			func(j *parts.Job) { j.Drawers[0].Back = parts.BackPanel{Joint: parts.HousedBack, Housing: 6.2} },
			func(j *parts.Job) { j.Drawers[0].Back = parts.BackPanel{Joint: parts.HousedBack, Housing: 6.4} },
			6.4, 6.2,
		},
		"hold": {
			parts.BottomHeldLittle,
			func(j *parts.Job) { j.Drawers[0].Groove.Clearance = 4 },
			func(j *parts.Job) { j.Drawers[0].Groove.Clearance = 4.1 },
			1.9, 2,
		},
	} {
		t.Run(name, func(t *testing.T) {
			made := func(change func(*parts.Job)) *parts.Made {
				j := job(chartDrawer())
				change(&j)
				p := plan(t, j)
				require.Nil(t, p.Drawers[0].Refusal)
				return &p.Drawers[0]
			}
			_, ok := find(made(row.good), row.code)
			assert.False(t, ok, "good")
			w, ok := find(made(row.bad), row.code)
			require.True(t, ok, "bad")
			assert.InDelta(t, row.value, w.Value.MM(), 1e-5)
			assert.InDelta(t, row.lim, w.Limit.MM(), 1e-5)
			assert.NotEmpty(t, w.Instead)
		})
	}
}

// solid is the chart drawer of white oak throughout, in an opening.
func solid(room parts.Room) (parts.Drawer, []parts.Stock) {
	d := chartDrawer()
	d.Room = room
	s := shelf()
	for i := range s {
		s[i].Material, s[i].Species = parts.Solid, "white_oak"
	}
	return d, s
}

// White oak moves by C_T = 0.00365 for each percent (Wood Handbook, FPL-GTR-190,
// Table 13-5) and a heated home's year goes from 6 to 10 %: 133.5 mm by
// 133.5 x 0.00365 x 4 = 1.9491, in an opening of 134; what goes in is
// 134 / 1.0146 = 132.07.
func TestADrawerSwells(t *testing.T) {
	d, stock := solid(parts.Room{Known: true, Height: 0.5, Width: 3})
	d.Outside.Height = 133.5
	j := job(d)
	j.Stock = stock
	p := plan(t, j)
	made := &p.Drawers[0]
	require.True(t, made.Seasons.Known)
	assert.True(t, made.Seasons.Assumed)
	assert.InDelta(t, 1.9491, made.Seasons.Height.Swells.MM(), 1e-9)
	assert.InDelta(t, 132.0, made.Seasons.Height.Fits.MM(), 1e-9)
	w, ok := find(made, parts.DrawerSwells)
	require.True(t, ok)
	assert.InDelta(t, 0.5, w.Limit.MM(), 1e-9)
	require.NotEmpty(t, w.Instead)
	for _, cure := range w.Instead {
		assert.LessOrEqual(t, cure.Length.MM()*1.0146, 134.0)
	}

	j.Drawers[0].Room.Height = 1.95
	p = plan(t, j)
	_, ok = find(&p.Drawers[0], parts.DrawerSwells)
	assert.False(t, ok, "1.95 are enough")

	j.Drawers[0].Room.Height = 0.5
	for i := range j.Stock {
		j.Stock[i].Moisture, j.Stock[i].MoistureKnown = wood.Reading(10), true
	}
	p = plan(t, j)
	assert.InDelta(t, 0, p.Drawers[0].Seasons.Height.Swells.MM(), 1e-9, "made at its dampest it swells no more")
	_, ok = find(&p.Drawers[0], parts.DrawerSwells)
	assert.False(t, ok)
}

// A bottom 624 mm across the grain moves 624 x 0.00365 x 4 = 9.1104; two grooves
// leave 1.0 free; 4.6 in each would do, which grooves 6 deep do not have.
func TestASolidBottomMoves(t *testing.T) {
	d, stock := solid(parts.Room{})
	d.Groove.Clearance = 0.5
	d.Outside.Depth = 624 + 18.6 + 15 - 11
	j := job(d)
	j.Stock = stock
	p := plan(t, j)
	made := &p.Drawers[0]
	require.InDelta(t, 624, made.Parts[parts.Bottom].Width.MM(), 1e-9)
	w, ok := find(made, parts.BottomMoves)
	require.True(t, ok)
	assert.InDelta(t, 9.1104, w.Value.MM(), 1e-9)
	assert.InDelta(t, 1.0, w.Limit.MM(), 1e-9)
	assert.InDelta(t, 4.6, w.Needed.MM(), 1e-9)
	assert.True(t, w.UnderBack)
	assert.Empty(t, w.Instead, "no clearance alone cures it")

	j.Drawers[0].Back.Joint = parts.ButtedBack
	p = plan(t, j)
	w, ok = find(&p.Drawers[0], parts.BottomMoves)
	require.True(t, ok)
	assert.Equal(t, []parts.Instead{{Field: parts.FieldUnderBack, Part: parts.Bottom}}, w.Instead)
	j.Drawers[0].Groove.UnderBack = true
	p = plan(t, j)
	_, ok = find(&p.Drawers[0], parts.BottomMoves)
	assert.False(t, ok)

	j.Drawers[0].Groove.UnderBack = false
	j.Stock[ply6].Material = parts.Plywood
	p = plan(t, j)
	_, ok = find(&p.Drawers[0], parts.BottomMoves)
	assert.False(t, ok, "plywood stays")
}

// Whatever is drawn: each value that a warning offers is put into the job, and the
// job, planned anew as a whole, is without that warning.
func TestCuresCure(t *testing.T) {
	cured := map[parts.WarningCode]int{}
	rapid.Check(t, func(t *rapid.T) {
		d := drawDrawer(t)
		d.Room = parts.Room{Known: rapid.Bool().Draw(t, "in an opening"), Height: length.Length(rapid.Float64Range(0, 3).Draw(t, "room")), Width: 3}
		j := job(d)
		j.Stock = drawStock(t)
		for i := range j.Stock {
			j.Stock[i].Species = "white_oak"
			j.Stock[i].Tolerance = mm(rapid.Float64Range(0, 0.6).Draw(t, "tolerance"))
		}
		p := plan(t, j)
		if p.Drawers[0].Refusal != nil {
			t.Skip("this one can't be made")
		}
		for _, w := range warningsOf(&p.Drawers[0]) {
			for _, cure := range w.Instead {
				again := j
				again.Drawers = []parts.Drawer{j.Drawers[0]}
				again.Stock = append([]parts.Stock{}, j.Stock...)
				put(&again, cure)
				after := plan(t, again)
				require.Nil(t, after.Drawers[0].Refusal)
				for _, left := range warningsOf(&after.Drawers[0]) {
					require.False(t, left.Code == w.Code && left.Part == w.Part && left.End == w.End, "%+v does not cure %+v: %+v", cure, w, left)
				}
				cured[w.Code]++
			}
		}
	})
	for _, code := range []parts.WarningCode{parts.EdgePinWeak, parts.GrooveShows, parts.LapThin, parts.DrawerSwells} {
		assert.Positive(t, cured[code], "code %d is never cured", code)
	}
	t.Log(cured)
}

// put writes a cure into the job, as a caller does.
func put(j *parts.Job, cure parts.Instead) {
	d := &j.Drawers[0]
	switch cure.Field {
	case parts.FieldHeight:
		d.Room.Height += d.Outside.Height - cure.Length
		d.Outside.Height = cure.Length
	case parts.FieldWidth:
		d.Room.Width += d.Outside.Width - cure.Length
		d.Outside.Width = cure.Length
	case parts.FieldGrooveFrom:
		d.Groove.FromBottom = cure.Length
	case parts.FieldGrooveDepth:
		d.Groove.Depth = cure.Length
	case parts.FieldClearance:
		d.Groove.Clearance = cure.Length
	case parts.FieldUnderBack:
		d.Groove.UnderBack = true
	case parts.FieldHousing:
		d.Back.Housing = cure.Length
	case parts.FieldThickness:
		j.Stock[map[parts.Name]int{parts.Front: front18, parts.Side: side12, parts.Back: back15, parts.Bottom: ply6}[cure.Part]].Thickness = cure.Length
	default:
		panic("a field that no cure changes")
	}
}

// Heights by their rule: 100 mm hold four pitches of 22.225, 88.9, and the next
// one up is 111.125; 88.85 already ends in half pins, within 0.1.
func TestHeightRules(t *testing.T) {
	for _, row := range []struct {
		height, want float64
		rule         parts.HeightRule
	}{
		{100, 100, parts.ExactHeight},
		{100, 88.9, parts.HalfPinsDown},
		{100, 111.125, parts.HalfPinsUp},
		{88.85, 88.85, parts.HalfPinsDown},
		{88.95, 88.95, parts.HalfPinsUp},
		{88.9, 88.9, parts.HalfPinsUp},
		{89.1, 88.9, parts.HalfPinsDown},
		{88.7, 66.675, parts.HalfPinsDown},
	} {
		d := chartDrawer()
		d.Outside.Height, d.HeightRule = length.Length(row.height), row.rule
		d.Room = parts.Room{Known: true, Height: 2}
		p := plan(t, job(d))
		made := &p.Drawers[0]
		require.Nil(t, made.Refusal)
		assert.InDelta(t, row.want, made.Outside.Height.MM(), 1e-9)
		assert.InDelta(t, row.want, made.Parts[parts.Side].Width.MM(), 1e-9)
		assert.Equal(t, row.rule != parts.ExactHeight, made.Front.Layout.HalfPins)
	}
	d := chartDrawer()
	d.Outside.Height, d.HeightRule = 22, parts.HalfPinsDown
	p := plan(t, job(d))
	require.NotNil(t, p.Drawers[0].Refusal)
	assert.Equal(t, parts.ReasonNoHalfPins, p.Drawers[0].Refusal.Reason)
}

// A groove at the very bottom edge is laid out, warned of, and spoils nothing of
// the job's labour.
func TestAGrooveAtTheEdgeSpoilsNothing(t *testing.T) {
	odd := chartDrawer()
	odd.Groove.FromBottom = 0
	p := plan(t, job(chartDrawer(), odd))
	require.Nil(t, p.Drawers[1].Refusal)
	assert.True(t, p.Labour.OpeningsKnown)
	assert.Equal(t, 40, p.Labour.Openings)
	_, ok := find(&p.Drawers[1], parts.GrooveLow)
	assert.True(t, ok)
	high := chartDrawer()
	high.Outside.Height = (layout.MostPitches + 1) * 22.225
	p = plan(t, job(chartDrawer(), high))
	assert.False(t, p.Labour.OpeningsKnown, "more pitches than a board has")
}

// Sides lower than the front and a back lower than the sides: joints end with
// the lower board, the front's pins stop there.
func TestLowerSidesAndBack(t *testing.T) {
	d := chartDrawer()
	d.SidesHeight, d.BackHeight = mm(66.675), mm(44.45)
	d.Lip = parts.Lip{Given: true, Width: 9, Thickness: 7}
	p := plan(t, job(d))
	made := &p.Drawers[0]
	require.Nil(t, made.Refusal)
	assert.InDelta(t, 88.9+18, made.Parts[parts.Front].Width.MM(), 1e-9)
	assert.InDelta(t, 66.675, made.Parts[parts.Side].Width.MM(), 1e-9)
	assert.InDelta(t, 44.45, made.Parts[parts.Back].Width.MM(), 1e-9)
	assert.Equal(t, []int{3, 2}, []int{made.Front.Layout.Pitches, made.Back.Layout.Pitches})
	pins := made.Parts[parts.Front].Work[0]
	assert.InDelta(t, 9, pins.From.MM(), 1e-9)
	assert.InDelta(t, 66.675, pins.Width.MM(), 1e-9)
	assert.InDelta(t, 44.45, made.Parts[parts.Side].Work[1].Width.MM(), 1e-9)

	d.SidesHeight = mm(95)
	p = plan(t, job(d))
	assert.Equal(t, parts.Refusal{Reason: parts.ReasonSidesTooHigh, Part: parts.Side, Value: 95, Limit: 88.9}, *p.Drawers[0].Refusal)
	d.SidesHeight, d.BackHeight = mm(60), mm(61)
	p = plan(t, job(d))
	assert.Equal(t, parts.Refusal{Reason: parts.ReasonSidesTooHigh, Part: parts.Back, Value: 61, Limit: 60}, *p.Drawers[0].Refusal)
}

// Fiberboard is refused where it would be dovetailed, and serves elsewhere.
func TestFiberboard(t *testing.T) {
	for part, stock := range map[parts.Name]int{parts.Front: front18, parts.Side: side12, parts.Back: back15} {
		j := job(chartDrawer())
		j.Stock[stock].Material = parts.MDF
		p := plan(t, j)
		require.NotNil(t, p.Drawers[0].Refusal)
		assert.Equal(t, parts.Refusal{Reason: parts.ReasonFiberboard, Part: part}, *p.Drawers[0].Refusal)
	}
	j := job(chartDrawer())
	j.Stock[ply6].Material, j.Stock[back15].Material = parts.MDF, parts.MDF
	j.Drawers[0].Back.Joint = parts.ButtedBack
	p := plan(t, j)
	assert.Nil(t, p.Drawers[0].Refusal)
}

// The stops for lipped fronts, by where the lip runs.
func TestStopsOfLippedFronts(t *testing.T) {
	for edges, want := range map[parts.LipEdges]parts.Stops{
		parts.LipAllRound:   {Lip: 9, Side: 9},
		parts.LipEndsAndTop: {Lip: 9},
		parts.LipEnds:       {Lip: 9},
	} {
		d := chartDrawer()
		d.Lip = parts.Lip{Given: true, Width: 9, Thickness: 7, Edges: edges}
		p := plan(t, job(d))
		require.Len(t, p.Setups, 2)
		assert.Equal(t, parts.Stops{}, p.Setups[0].Stops)
		assert.Equal(t, want, p.Setups[1].Stops)
		// What the template cuts of the front, measured from its own edges, lies
		// where the drawer behind the lip is: its bottom edge is Side above the front's.
		front := p.Drawers[0].Parts[parts.Front]
		below := front.Work[len(front.Work)-1].From - d.Groove.FromBottom
		assert.InDelta(t, below.MM(), want.Side.MM(), 1e-9)
		assert.InDelta(t, (front.Length-d.Outside.Width).MM()/2, want.Lip.MM(), 1e-9)
	}
}
