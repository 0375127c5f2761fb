package parts_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/joint"
	"snugtail/joint/belief"
	"snugtail/joint/length"
	"snugtail/joint/parts"
	"snugtail/joint/recommend"
	"snugtail/joint/stock"
)

// tolerance is what sums of a handful of lengths may lose, mm.
const tolerance = 1e-9

func mm(x float64) length.Size { return length.Exactly(length.Length(x)) }

// ours is the template and bushing of the community workshop.
func ours() joint.Setup {
	return joint.Setup{
		Template: joint.NewOnePiece(mm(22.225), mm(12.3), mm(14.2), mm(10.86)),
		Bushing:  joint.Bushing{Diameter: mm(11.1125)},
	}
}

func cutter(id string, d float64, angle joint.Angle) joint.Cutter {
	return joint.Cutter{ID: id, Diameter: mm(d), Angle: angle}
}

// Stock of the tests, by index.
const (
	front18 = iota
	side12
	back15
	ply6
	thin9
	tinyBack
)

func shelf() []parts.Stock {
	return []parts.Stock{
		front18:  {Thickness: 18.6, Species: "hard_maple"},
		side12:   {Thickness: 12.4, Material: parts.Plywood},
		back15:   {Thickness: 15, Species: "hard_maple"},
		ply6:     {Thickness: 6, Material: parts.Plywood},
		thin9:    {Thickness: 9, Species: "hard_maple"},
		tinyBack: {Thickness: 11, Species: "hard_maple"},
	}
}

// chartDrawer is a drawer of the chart cabinet, half-blind at both ends.
func chartDrawer() parts.Drawer {
	return parts.Drawer{
		Count:   1,
		Outside: parts.Size{Width: 900, Height: 88.9, Depth: 650},
		Front:   front18, Sides: side12, BackFrom: back15, Bottom: ply6,
		Groove: parts.Groove{Given: true, FromBottom: 8, Width: 6.2, Depth: 6},
	}
}

func job(drawers ...parts.Drawer) parts.Job {
	return parts.Job{
		Setup: ours(), Cutters: []joint.Cutter{cutter("half-14", 12.7, 14)},
		Target: joint.DefaultTarget(0), Bands: joint.Bands{Crush: joint.DefaultCrush},
		Stock: shelf(), Drawers: drawers,
	}
}

func plan(t require.TestingT, j parts.Job) parts.Plan {
	p, err := parts.New(j)
	require.NoError(t, err)
	require.Len(t, p.Drawers, len(j.Drawers))
	return p
}

// A whole drawer by hand (model, sections 4 and 12; no published source).
//
// The set-up: K = 2 S - P = 24.6 - 22.225 = 2.375, 2 (d - g) = 2 (12.7 -
// 11.1125) = 3.175, so with the target c* = 0.10 and tan 14 deg = 0.249328
//
//	h = (2.375 + 3.175 - 0.10) / (2 x 0.249328) = 5.45 / 0.498656 = 10.929378
//
// A lap of 18.6 - 10.929 = 7.67 at the front and 15 - 10.929 = 4.07 at the back
// is left: both are above 3.175. The drawer is 900 wide, 88.9 = 4 x 22.225
// high, 650 deep, front 18.6, sides 12.4, back 15, the groove 8 from the bottom, 6.2
// wide, 6 deep, 0.5 free behind the bottom's edge.
//
//	front and back  900 x 88.9
//	sides           650 - (18.6 - 10.929378) - (15 - 10.929378) = 638.258756
//	bottom          900 - 2 x 12.4 + 2 x (6 - 0.5) = 886.2 across,
//	                650 - 18.6 - 15 + 2 x (6 - 0.5) = 627.4 front to back
//
// Four pitches are four tail sockets and, on the sides, three sockets and two
// halves: five openings. The cutter goes in and out of 9 sockets over 12.4, and once
// along 88.9: 2 x 12.4 x 9 + 88.9 = 312.1 at each of four corners.
func TestAWholeDrawerByHand(t *testing.T) {
	d := chartDrawer()
	d.Groove.Clearance = 0.5
	p := plan(t, job(d))
	made := p.Drawers[0]
	require.Nil(t, made.Refusal)

	const h = 10.929378
	size := func(name parts.Name, long, wide, thick float64, count int) {
		t.Helper()
		part := made.Parts[name]
		assert.Equal(t, name, part.Name)
		assert.InDelta(t, long, part.Length.MM(), 1e-5, "length of %d", name)
		assert.InDelta(t, wide, part.Width.MM(), tolerance, "width of %d", name)
		assert.InDelta(t, thick, part.Thickness.MM(), tolerance, "thickness of %d", name)
		assert.Equal(t, count, part.Count)
	}
	size(parts.Front, 900, 88.9, 18.6, 1)
	size(parts.Side, 638.258756, 88.9, 12.4, 2)
	size(parts.Back, 900, 88.9, 15, 1)
	size(parts.Bottom, 886.2, 627.4, 6, 1)

	groove := parts.Work{Code: parts.GrooveWork, At: parts.InsideFace, From: 8, Width: 6.2, Depth: 6}
	for name, want := range [][]parts.Work{
		parts.Front:  {{Code: parts.Pins, At: parts.BothEnds, Depth: h}, groove},
		parts.Side:   {{Code: parts.Tails, At: parts.FrontEnd, Depth: h}, {Code: parts.Tails, At: parts.BackEnd, Depth: h}, groove},
		parts.Back:   {{Code: parts.Pins, At: parts.BothEnds, Depth: h}, groove},
		parts.Bottom: nil,
	} {
		assertWork(t, want, made.Parts[name].Work)
	}

	assert.InDelta(t, h, made.Front.Depth.PinBoard.MM(), 1e-6)
	assert.Equal(t, 4, made.Front.Layout.Pitches)
	assert.True(t, made.Front.Layout.HalfPins)
	assert.Equal(t, parts.Labour{
		Drawers: 1, Parts: 5, Joints: 4, Setups: 1, TestJoints: p.Labour.TestJoints,
		Openings: 20, Cut: p.Labour.Cut, OpeningsKnown: true,
	}, p.Labour)
	assert.InDelta(t, 4*312.1, p.Labour.Cut.MM(), tolerance)
}

func assertWork(t *testing.T, want, got []parts.Work) {
	t.Helper()
	require.Len(t, got, len(want))
	for i := range want {
		assert.Equal(t, want[i].Code, got[i].Code)
		assert.Equal(t, want[i].At, got[i].At)
		assert.InDelta(t, want[i].From.MM(), got[i].From.MM(), 1e-5)
		assert.InDelta(t, want[i].Width.MM(), got[i].Width.MM(), 1e-5)
		assert.InDelta(t, want[i].Depth.MM(), got[i].Depth.MM(), 1e-5)
	}
}

// The ways of the back and of the bottom, by the formulas of the package's
// doc. h = 10.929378 as above; the front alone is half-blind.
func TestBacksBetweenTheSides(t *testing.T) {
	side := 650 - (18.6 - 10.929378)
	for name, row := range map[string]struct {
		back                           parts.BackPanel
		underBack                      bool
		backLength, backHeight, bottom float64
		sideWork                       []parts.WorkCode
	}{
		"butted":          {parts.BackPanel{Joint: parts.ButtedBack}, false, 900 - 24.8, 88.9, 650 - 18.6 - 15 + 12, []parts.WorkCode{parts.Tails, parts.GrooveWork}},
		"butted, inside":  {parts.BackPanel{Joint: parts.ButtedBack, Setback: 10}, false, 900 - 24.8, 88.9, 650 - 18.6 - 15 - 10 + 12, []parts.WorkCode{parts.Tails, parts.GrooveWork}},
		"housed":          {parts.BackPanel{Joint: parts.HousedBack, Housing: 5, Setback: 10}, false, 900 - 24.8 + 10, 88.9, 650 - 18.6 - 15 - 10 + 12, []parts.WorkCode{parts.Tails, parts.HousingWork, parts.GrooveWork}},
		"over the bottom": {parts.BackPanel{Joint: parts.HousedBack, Housing: 5, Setback: 10}, true, 900 - 24.8 + 10, 88.9 - 14.2, 650 - 18.6 - 10 + 6, []parts.WorkCode{parts.Tails, parts.HousingWork, parts.GrooveWork}},
	} {
		t.Run(name, func(t *testing.T) {
			d := chartDrawer()
			d.Back, d.Groove.UnderBack = row.back, row.underBack
			p := plan(t, job(d))
			made := p.Drawers[0]
			require.Nil(t, made.Refusal)
			assert.InDelta(t, side, made.Parts[parts.Side].Length.MM(), 1e-5)
			assert.InDelta(t, row.backLength, made.Parts[parts.Back].Length.MM(), tolerance)
			assert.InDelta(t, row.backHeight, made.Parts[parts.Back].Width.MM(), tolerance)
			assert.InDelta(t, 900-24.8+12, made.Parts[parts.Bottom].Length.MM(), tolerance)
			assert.InDelta(t, row.bottom, made.Parts[parts.Bottom].Width.MM(), tolerance)
			var work []parts.WorkCode
			for _, w := range made.Parts[parts.Side].Work {
				work = append(work, w.Code)
			}
			assert.Equal(t, row.sideWork, work)
			assert.Equal(t, row.underBack, len(made.Parts[parts.Back].Work) == 0, "a back over the bottom has no groove")
			assert.False(t, made.Back.Known)
			assert.Equal(t, 2, p.Labour.Joints)
		})
	}
}

// A lip of 9 by 7: the front is 18 longer and, all round, 18 higher; its groove is
// 9 higher up on it. Its lip lies in front of the opening.
func TestLippedFront(t *testing.T) {
	for edges, row := range map[parts.LipEdges]struct {
		length, height, groove float64
		at                     parts.Place
	}{
		parts.LipAllRound:   {918, 106.9, 17, parts.AllEdges},
		parts.LipEndsAndTop: {918, 97.9, 8, parts.EndsAndTop},
		parts.LipEnds:       {918, 88.9, 8, parts.BothEnds},
	} {
		d := chartDrawer()
		d.Lip = parts.Lip{Given: true, Width: 9, Thickness: 7, Edges: edges}
		p := plan(t, job(d))
		require.Nil(t, p.Drawers[0].Refusal)
		front := p.Drawers[0].Parts[parts.Front]
		assert.InDelta(t, row.length, front.Length.MM(), tolerance)
		assert.InDelta(t, row.height, front.Width.MM(), tolerance)
		assertWork(t, []parts.Work{
			{Code: parts.Pins, At: parts.BothEnds, Depth: 10.929378},
			{Code: parts.RabbetWork, At: row.at, Width: 9, Depth: 11.6},
			{Code: parts.GrooveWork, At: parts.InsideFace, From: length.Length(row.groove), Width: 6.2, Depth: 6},
		}, front.Work)
		require.Len(t, p.Setups, 2, "lipped fronts and their backs are cut by themselves")
		assert.InDelta(t, 0, p.Setups[0].Lip.MM(), 0)
		assert.InDelta(t, 9, p.Setups[1].Lip.MM(), 0)
		assert.InDelta(t, 1, p.Setups[1].TestJoints, 0, "cutter and depth stay, and have shown that they fit")
	}
	opening := parts.FromOpening(parts.Size{Width: 902, Height: 90, Depth: 660}, parts.Size{Width: 2, Height: 1.1, Depth: 10}, parts.Lip{Given: true, Thickness: 7})
	assert.Equal(t, parts.Size{Width: 900, Height: 88.9, Depth: 657}, opening)
}

// drawSetup draws a set-up with any depths, equal or not, that can be cut
// within its limits.
func drawSetup(t *rapid.T) joint.Setup {
	s := ours()
	s.Template.Tail.FingerReach, s.Template.Pin.FingerReach = length.Size{}, length.Size{}
	s.Cutter = cutter("any", rapid.Float64Range(11.2, 13.2).Draw(t, "cutter"), joint.Angle(rapid.Float64Range(8, 18).Draw(t, "angle")))
	least := math.Max(6.5, (s.Cutter.Diameter.MM()-s.Bushing.Diameter.MM()+0.6)/2/s.Cutter.Angle.Tan())
	if least > 11 {
		t.Skip("the flare does not clear the template at any depth")
	}
	s.Depth.PinBoard = mm(rapid.Float64Range(least, 11).Draw(t, "depth in the pin board"))
	s.Depth.TailBoard = s.Depth.PinBoard
	if rapid.Bool().Draw(t, "unequal") {
		s.Depth.TailBoard = mm(rapid.Float64Range(least, 11).Draw(t, "depth in the tail board"))
	}
	return s
}

func drawStock(t *rapid.T) []parts.Stock {
	thick := func(name string, least, most float64) parts.Stock {
		return parts.Stock{Thickness: length.Length(rapid.Float64Range(least, most).Draw(t, name))}
	}
	return []parts.Stock{
		front18: thick("front", 15, 25), side12: thick("side", 9, 16), back15: thick("back", 15, 20), ply6: thick("bottom", 3, 6),
	}
}

func drawDrawer(t *rapid.T) parts.Drawer {
	size := func(name string, least, most float64) length.Length {
		return length.Length(rapid.Float64Range(least, most).Draw(t, name))
	}
	d := parts.Drawer{
		Count:   rapid.IntRange(1, 40).Draw(t, "count"),
		Outside: parts.Size{Width: size("width", 60, 1500), Height: size("height", 30, 400), Depth: size("depth", 100, 1000)},
		Front:   front18, Sides: side12, BackFrom: back15, Bottom: ply6,
		Groove: parts.Groove{Given: true, FromBottom: size("groove", 5, 15), Width: size("groove width", 6, 9), Depth: size("groove depth", 3, 6), Clearance: size("clearance", 0, 2)},
	}
	d.Back.Joint = parts.BackJoint(rapid.IntRange(0, 2).Draw(t, "back"))
	if d.Back.Joint != parts.HalfBlindBack {
		d.Back.Housing, d.Back.Setback = size("housing", 1, 8), size("setback", 0, 30)
		d.Groove.UnderBack = rapid.Bool().Draw(t, "under the back")
	}
	if rapid.Bool().Draw(t, "lipped") {
		d.Lip = parts.Lip{Given: true, Width: size("lip", 3, 12), Thickness: size("lip's thickness", 2, 4), Edges: parts.LipEdges(rapid.IntRange(0, 2).Draw(t, "edges"))}
	}
	return d
}

// assembled is a drawer put together from its parts on paper: y runs from the
// front's face to the back, x across from the left.
type assembled struct {
	outside                  parts.Size
	freeLeft, freeRight      float64 // behind the bottom's edges, in the grooves
	freeFront, freeBack      float64
	insideWidth, insideDepth float64
}

// assemble puts the parts together as their works say, with no formula of the
// package: a side slides into a front until its tails touch the sockets'
// floor or its shoulders the inside face, whichever comes first.
func assemble(t require.TestingT, d *parts.Drawer, all []parts.Part) assembled {
	front, side, back, bottom := &all[parts.Front], &all[parts.Side], &all[parts.Back], &all[parts.Bottom]
	into := func(pinBoard, tailBoard parts.Work) float64 {
		require.Equal(t, parts.Pins, pinBoard.Code)
		require.Equal(t, parts.Tails, tailBoard.Code)
		return math.Min(pinBoard.Depth.MM(), tailBoard.Depth.MM())
	}
	sideFrom := front.Thickness.MM() - into(front.Work[0], side.Work[0])
	sideTo := sideFrom + side.Length.MM()

	// y of the back's two faces, and what the back and sides measure across.
	var backInside, backOutside, across float64
	switch d.Back.Joint {
	case parts.HalfBlindBack:
		backInside = sideTo - into(back.Work[0], side.Work[1])
		backOutside = backInside + back.Thickness.MM()
		across = back.Length.MM()
	case parts.HousedBack:
		housing := side.Work[1]
		require.Equal(t, parts.HousingWork, housing.Code)
		backOutside = sideTo - housing.From.MM()
		backInside = backOutside - housing.Width.MM()
		across = 2*side.Thickness.MM() + back.Length.MM() - 2*housing.Depth.MM()
	default:
		backOutside = sideTo - d.Back.Setback.MM()
		backInside = backOutside - back.Thickness.MM()
		across = 2*side.Thickness.MM() + back.Length.MM()
	}
	a := assembled{
		outside: parts.Size{
			Width: length.Length(across), Height: side.Width,
			Depth: length.Length(math.Max(sideTo, backOutside)),
		},
		insideWidth: across - 2*side.Thickness.MM(), insideDepth: backInside - front.Thickness.MM(),
	}
	groove := side.Work[len(side.Work)-1]
	require.Equal(t, parts.GrooveWork, groove.Code)
	room := a.insideWidth + 2*groove.Depth.MM() - bottom.Length.MM()
	a.freeLeft, a.freeRight = room/2, room/2

	// The bottom lies in the front's groove but for the clearance.
	a.freeFront = d.Groove.Clearance.MM()
	bottomFrom := front.Thickness.MM() - groove.Depth.MM() + a.freeFront
	bottomTo := bottomFrom + bottom.Width.MM()
	if d.Groove.UnderBack {
		a.freeBack = backOutside - bottomTo
		return a
	}
	a.freeBack = backInside + groove.Depth.MM() - bottomTo
	return a
}

// Assembled from its parts, every drawer has exactly the outside size that was
// asked for, whatever the set-up, and its bottom the free room asked for.
func TestPartsAssembleToTheOutsideSize(t *testing.T) {
	made := 0
	rapid.Check(t, func(t *rapid.T) {
		j := job(drawDrawer(t))
		j.Stock, j.Setup, j.Cutters = drawStock(t), drawSetup(t), nil
		p := plan(t, j)
		if p.Drawers[0].Refusal != nil {
			t.Skip("this one can't be made")
		}
		made++
		d, all := &j.Drawers[0], p.Drawers[0].Parts
		a := assemble(t, d, all)
		assert.InDelta(t, d.Outside.Width.MM(), a.outside.Width.MM(), tolerance)
		assert.InDelta(t, d.Outside.Height.MM(), a.outside.Height.MM(), tolerance)
		assert.InDelta(t, d.Outside.Depth.MM(), a.outside.Depth.MM(), tolerance)
		e := d.Groove.Clearance.MM()
		assert.InDelta(t, e, a.freeLeft, tolerance)
		assert.InDelta(t, e, a.freeRight, tolerance)
		if d.Groove.UnderBack {
			assert.InDelta(t, 0, a.freeBack, tolerance, "it ends flush with the back's face")
		} else {
			assert.InDelta(t, e, a.freeBack, tolerance)
		}
		assertFront(t, d, all)
	})
	assert.Greater(t, made, 20, "enough that the test says something")
}

// assertFront: the front covers the drawer and its lips, and its groove lies
// at the height of the sides' groove.
func assertFront(t require.TestingT, d *parts.Drawer, all []parts.Part) {
	front, side := &all[parts.Front], &all[parts.Side]
	lip, below := 0.0, 0.0
	if d.Lip.Given {
		lip = d.Lip.Width.MM()
		rabbet := front.Work[1]
		assert.Equal(t, parts.RabbetWork, rabbet.Code)
		assert.InDelta(t, d.Lip.Thickness.MM(), (front.Thickness - rabbet.Depth).MM(), tolerance)
		assert.LessOrEqual(t, front.Work[0].Depth.MM(), rabbet.Depth.MM()+1e-6, "the cutter stays out of the lip")
	}
	if d.Lip.Edges == parts.LipAllRound {
		below = lip
	}
	assert.InDelta(t, d.Outside.Width.MM()+2*lip, front.Length.MM(), tolerance)
	frontGroove, sideGroove := front.Work[len(front.Work)-1], side.Work[len(side.Work)-1]
	assert.InDelta(t, sideGroove.From.MM(), frontGroove.From.MM()-below, tolerance)
}

// A mm more of depth asks for a mm more of side at each half-blind end.
func TestSidesGrowWithTheDepth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j := job(drawDrawer(t))
		j.Drawers[0].Lip = parts.Lip{}
		j.Cutters, j.Setup.Cutter = nil, cutter("any", 12.7, 14)
		dh := rapid.Float64Range(0.01, 1).Draw(t, "deeper")
		side := func(h float64) float64 {
			j.Setup = j.Setup.AtDepth(length.Length(h))
			p := plan(t, j)
			if p.Drawers[0].Refusal != nil {
				t.Skip("this one can't be made")
			}
			return p.Drawers[0].Parts[parts.Side].Length.MM()
		}
		ends := 1.0
		if j.Drawers[0].Back.Joint == parts.HalfBlindBack {
			ends = 2
		}
		assert.InDelta(t, ends*dh, side(10+dh)-side(10), 1e-8)
	})
}

// One reason each; the others of the job are answered.
func TestRefusals(t *testing.T) {
	lip := func(thickness length.Length) func(*parts.Drawer) {
		return func(d *parts.Drawer) {
			d.Lip = parts.Lip{Given: true, Width: 9, Thickness: thickness}
		}
	}
	for name, row := range map[string]struct {
		change       func(*parts.Drawer)
		reason       parts.Reason
		value, limit float64
	}{
		"no room left":          {func(d *parts.Drawer) { d.Outside.Depth = -1 }, parts.ReasonNoRoom, -1, 0},
		"nothing between sides": {func(d *parts.Drawer) { d.Outside.Width = 24.8 }, parts.ReasonTooNarrow, 0, 0},
		"nothing front to back": {func(d *parts.Drawer) { d.Outside.Depth = 30 }, parts.ReasonTooShort, -3.6, 0},
		"the setback counts": {func(d *parts.Drawer) {
			d.Outside.Depth = 43.6
			d.Back = parts.BackPanel{Joint: parts.ButtedBack, Setback: 10}
		}, parts.ReasonTooShort, 0, 0},
		"all of it lip":           {lip(18.6), parts.ReasonLipTooThick, 18.6, 18.6},
		"bottom, no groove":       {func(d *parts.Drawer) { d.Groove = parts.Groove{} }, parts.ReasonNoGroove, 0, 0},
		"groove above the side":   {func(d *parts.Drawer) { d.Groove.FromBottom = 83 }, parts.ReasonGrooveOffBoard, 89.2, 88.9},
		"groove through the side": {func(d *parts.Drawer) { d.Groove.Depth = 12.4 }, parts.ReasonGrooveThrough, 12.4, 12.4},
		"bottom held by nothing":  {func(d *parts.Drawer) { d.Groove.Clearance = 6 }, parts.ReasonBottomLoose, 6, 6},
		"bottom thicker":          {func(d *parts.Drawer) { d.Groove.Width = 5.9 }, parts.ReasonBottomTooThick, 6, 5.9},
		"under pins":              {func(d *parts.Drawer) { d.Groove.UnderBack = true }, parts.ReasonUnderPins, 0, 0},
		"nothing left of the back": {func(d *parts.Drawer) {
			d.Back.Joint = parts.ButtedBack
			d.Groove.UnderBack, d.Groove.FromBottom, d.Groove.Width = true, 80.9, 8
		}, parts.ReasonGrooveOffBoard, 88.9, 88.9},
		"housing through the side": {func(d *parts.Drawer) { d.Back = parts.BackPanel{Joint: parts.HousedBack, Housing: 13} }, parts.ReasonHousingThrough, 13, 12.4},
		"back too thin":            {func(d *parts.Drawer) { d.BackFrom = tinyBack }, parts.ReasonNoCutter, 0, 0},
		"groove under the tails":   {func(d *parts.Drawer) { d.Groove.Depth = 11.5 }, parts.ReasonNoCutter, 0, 0},
		"into the lip":             {lip(8), parts.ReasonIntoLip, 10.929378, 10.6},
		"sides sawn short":         {func(d *parts.Drawer) { d.Sawn = mm(620) }, parts.ReasonNoCutter, 0, 0},
	} {
		t.Run(name, func(t *testing.T) {
			d := chartDrawer()
			row.change(&d)
			p := plan(t, job(chartDrawer(), d, chartDrawer()))
			for _, i := range []int{0, 2} {
				assert.Nil(t, p.Drawers[i].Refusal)
				assert.Len(t, p.Drawers[i].Parts, 4)
			}
			r := p.Drawers[1].Refusal
			require.NotNil(t, r)
			assert.Equal(t, row.reason, r.Reason)
			assert.InDelta(t, row.value, r.Value.MM(), 1e-5)
			assert.InDelta(t, row.limit, r.Limit.MM(), 1e-5)
			assert.Empty(t, p.Drawers[1].Parts)
			assert.Equal(t, 2, p.Labour.Drawers, "what is refused is not counted")
			assert.Equal(t, []int{0, 2}, p.Setups[0].Drawers)
		})
	}
}

func TestWhichCutterMissesAndWhatWouldServe(t *testing.T) {
	d := chartDrawer()
	d.BackFrom = tinyBack // 11: a lap of 0.07 is left behind 10.929
	p := plan(t, job(d))
	r := p.Drawers[0].Refusal
	require.NotNil(t, r)
	assert.Equal(t, parts.AtBack, r.End)
	assert.Equal(t, "half-14", r.Cutter.Cutter.ID)
	assert.Equal(t, recommend.ObstacleLimit, r.Cutter.Obstacle)
	assert.Equal(t, joint.LimitLap, r.Cutter.Limit.Code)
	assert.InDelta(t, 11-10.929378-joint.LeastLap, r.Cutter.Limit.Margin.MM(), 1e-5)
	assert.NotEmpty(t, r.Changes)
	assert.Empty(t, p.Setups)
}

// steep cuts shallower: h = (2.375 + 2 (11.9 - 11.1125) - 0.1)/(2 tan 18 deg) = 5.9.
var steep = cutter("steep-18", 11.9, 18)

// Two kinds of front take the half-inch cutter; a back of 11 mm does not, and
// then the steeper one cuts both ends, unless it is barred from the front.
func TestOneCutterForAsManyDrawersAsPossible(t *testing.T) {
	thin := chartDrawer()
	thin.BackFrom, thin.Count, thin.Groove.Depth = tinyBack, 3, 5
	many := chartDrawer()
	many.Count = 20
	many.Groove.Depth = 7 // deeper than the steep cutter cuts: the groove would show
	j := job(many, thin)
	j.Cutters = append(j.Cutters, steep)
	p := plan(t, j)
	require.Nil(t, p.Drawers[0].Refusal)
	require.Nil(t, p.Drawers[1].Refusal)
	require.Len(t, p.Setups, 2)
	assert.Equal(t, "half-14", p.Cutters[p.Setups[0].Cutter].ID, "the most joints first")
	assert.Equal(t, []int{0}, p.Setups[0].Drawers)
	assert.Equal(t, 80, p.Setups[0].Joints)
	assert.Equal(t, "steep-18", p.Cutters[p.Setups[1].Cutter].ID)
	assert.Equal(t, []int{1}, p.Setups[1].Drawers)
	assert.Equal(t, 12, p.Setups[1].Joints)
	setups, cutters := p.Changes()
	assert.Equal(t, []int{1, 1}, []int{setups, cutters})

	// Without what bars it from the fronts, the steep cutter does everything.
	j.Drawers[0].Groove.Depth = 5
	p = plan(t, j)
	require.Len(t, p.Setups, 1)
	assert.Equal(t, "steep-18", p.Cutters[p.Setups[0].Cutter].ID)

	// A lip leaves 10 behind it: no half-inch cutter at the front. A groove 7 deep
	// bars the steep one from either end of the second drawer.
	both := chartDrawer()
	both.Back, both.BackFrom = parts.BackPanel{}, back15
	both.Groove = parts.Groove{}
	both.Bottom = parts.NoBottom
	both.Lip = parts.Lip{Given: true, Width: 9, Thickness: 8.6}
	p = plan(t, with(j, many, both))
	require.Nil(t, p.Drawers[1].Refusal)
	assert.Equal(t, "steep-18", p.Cutters[p.Setups[p.Drawers[1].Front.Setup].Cutter].ID)
	assert.Equal(t, "steep-18", p.Cutters[p.Setups[p.Drawers[1].Back.Setup].Cutter].ID)
}

func with(j parts.Job, drawers ...parts.Drawer) parts.Job {
	j.Drawers = drawers
	return j
}

// Where each end of a drawer is served, some cutter serves both.
func TestEndsAgreeOnACutter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawDrawer(t)
		d.Back, d.Groove.UnderBack = parts.BackPanel{}, false
		alone := d
		alone.Back.Joint = parts.ButtedBack // its front alone
		back := d
		back.Front, back.BackFrom, back.Back.Joint, back.Lip = d.BackFrom, d.Front, parts.ButtedBack, parts.Lip{}
		j := job(d, alone, back)
		j.Stock = drawStock(t)
		j.Stock[back15].Thickness = length.Length(rapid.Float64Range(6, 20).Draw(t, "thin back"))
		j.Cutters = stock.Cutters()
		p := plan(t, j)
		if p.Drawers[1].Refusal == nil && p.Drawers[2].Refusal == nil {
			assert.Nil(t, p.Drawers[0].Refusal)
		}
	})
}

func TestNoCutterAtAll(t *testing.T) {
	j := job(chartDrawer())
	j.Cutters = nil
	_, err := parts.New(j)
	assert.ErrorIs(t, err, parts.ErrNoCutter)
}

// A set-up with its own depth is taken as it stands, and judged.
func TestDepthAsStated(t *testing.T) {
	j := job(chartDrawer())
	j.Cutters, j.Setup.Cutter = nil, cutter("half-14", 12.7, 14)
	j.Setup.Depth = joint.Depth{PinBoard: mm(10.5), TailBoard: mm(10.8)}
	p := plan(t, j)
	require.Nil(t, p.Drawers[0].Refusal)
	assert.Equal(t, j.Setup.Depth, p.Drawers[0].Front.Depth)
	assert.InDelta(t, 650-18.6-15+21, p.Drawers[0].Parts[parts.Side].Length.MM(), tolerance, "the lesser depth counts")
	assert.InDelta(t, 10.5, p.Drawers[0].Parts[parts.Front].Work[0].Depth.MM(), tolerance)
	assert.InDelta(t, 10.8, p.Drawers[0].Parts[parts.Side].Work[0].Depth.MM(), tolerance)

	for name, row := range map[string]struct {
		depth    float64
		obstacle recommend.Obstacle
	}{
		"through the back": {15.2, recommend.ObstacleImpossible},
		"a lap too thin":   {12.5, recommend.ObstacleLimit},
		"too shallow":      {2.9, recommend.ObstacleTooShallow},
	} {
		j.Setup = j.Setup.AtDepth(length.Length(row.depth))
		p := plan(t, j)
		require.NotNil(t, p.Drawers[0].Refusal, name)
		assert.Equal(t, parts.ReasonNoCutter, p.Drawers[0].Refusal.Reason, name)
		assert.Equal(t, row.obstacle, p.Drawers[0].Refusal.Cutter.Obstacle, name)
	}
}

// Sides sawn as the plan says ask for the plan's depth; others for another.
func TestSidesAlreadySawn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j := job(drawDrawer(t))
		j.Stock = drawStock(t)
		first := plan(t, j)
		if first.Drawers[0].Refusal != nil {
			t.Skip("this one can't be made")
		}
		side := first.Drawers[0].Parts[parts.Side].Length
		j.Drawers[0].Sawn = length.Exactly(side)
		again := plan(t, j)
		sawn := again.Drawers[0].Sawn
		assert.InDelta(t, first.Drawers[0].Front.Depth.PinBoard.MM(), sawn.Depth.MM(), 1e-8)
		assert.True(t, sawn.Fits)
		assert.InDelta(t, j.Target.Play.MM(), sawn.Prediction.Fit.Play.MM(), 1e-8)
		require.Nil(t, again.Drawers[0].Refusal)
		assert.InDelta(t, side.MM(), again.Drawers[0].Parts[parts.Side].Length.MM(), 1e-8)

		// A mm off is 1 mm of depth with one half-blind end and 0.5 with two: past the
		// target by 0.5 or 0.25 of play. The drawer comes out as much too deep.
		off := rapid.SampledFrom([]float64{-1, 1}).Draw(t, "off")
		j.Drawers[0].Sawn = length.Exactly(side + length.Length(off))
		other := plan(t, j).Drawers[0]
		require.NotNil(t, other.Refusal)
		assert.False(t, other.Sawn.Fits)
		require.True(t, other.Sawn.ComesOutKnown)
		assert.InDelta(t, j.Drawers[0].Outside.Depth.MM()+off, other.Sawn.ComesOut.MM(), 1e-8)
	})
}

// Of 650 with front 18.6 and back 15, sides sawn 638.5 need (638.5 - 650 + 18.6 +
// 15)/2 = 11.05: by 0.120622 deeper than what fits, c = 0.1 - 0.498656 x 0.120622.
func TestSawnByHand(t *testing.T) {
	d := chartDrawer()
	d.Sawn = mm(638.5)
	made := plan(t, job(d)).Drawers[0]
	require.Nil(t, made.Refusal)
	assert.InDelta(t, 11.05, made.Sawn.Depth.MM(), tolerance)
	assert.InDelta(t, 0.1-0.498656*0.120622, made.Sawn.Prediction.Fit.Play.MM(), 1e-6)
	assert.Equal(t, joint.HandFit, made.Sawn.Prediction.Fit.Band)
	assert.InDelta(t, 638.5, made.Parts[parts.Side].Length.MM(), tolerance)

	d.Sawn = mm(640) // 11.8 deep
	made = plan(t, job(d)).Drawers[0]
	require.NotNil(t, made.Refusal)
	assert.Equal(t, parts.ReasonSawnPlay, made.Refusal.Reason)
	assert.InDelta(t, 0.1-0.498656*(11.8-10.929378), made.Refusal.Value.MM(), 1e-6)
	assert.InDelta(t, joint.TightBelow, made.Refusal.Limit.MM(), tolerance)
	assert.Equal(t, 0, made.Sawn.Cutter)
	assert.InDelta(t, 650+640-638.258756, made.Sawn.ComesOut.MM(), 1e-5)

	d.Sawn = mm(600) // -8.2 deep
	made = plan(t, job(d)).Drawers[0]
	require.NotNil(t, made.Refusal)
	assert.InDelta(t, -8.2, made.Sawn.Depth.MM(), tolerance)
	assert.Equal(t, -1, made.Sawn.Cutter)
}

// Of two cutters that fit at the depth needed, the surer one is taken: +/- 0.5
// deg and a reground tip leave more to chance.
func TestSawnTakesTheSurerCutter(t *testing.T) {
	d := chartDrawer()
	d.Sawn = mm(638.3)
	j := job(d)
	worn := j.Cutters[0]
	worn.ID, worn.Condition, worn.AngleTolerance, worn.HasAngleTolerance = "worn", joint.ConditionResharpened, 0.5, true
	j.Cutters = []joint.Cutter{steep, worn, j.Cutters[0], j.Cutters[0]}
	p := plan(t, j)
	require.Nil(t, p.Drawers[0].Refusal)
	require.Len(t, p.Cutters, 3, "each once")
	assert.Equal(t, "half-14", p.Cutters[p.Drawers[0].Sawn.Cutter].ID)

	d.Sawn = mm(638.258756 + 4) // nothing fits 2 mm deeper; the half-inch one comes nearest
	p = plan(t, with(j, d))
	require.NotNil(t, p.Drawers[0].Refusal)
	assert.Equal(t, "worn", p.Cutters[p.Drawers[0].Sawn.Cutter].ID, "as near as its like, and before it")
}

// learned is a session with a bushing and a cutter of the same steel that
// showed 0.3 mm less play than stated, with nothing left unsure.
func learned(t *testing.T, s joint.Setup) belief.Session {
	t.Helper()
	s = s.AtDepth(10)
	j, err := joint.New(s)
	require.NoError(t, err)
	gap := (j.Play() - 0.3).MM() / j.PlayPerDepth()
	cut := belief.Cut{Depth: joint.EqualDepth(mm(10)), Sight: belief.Sight{PulledGap: length.Within(length.Length(gap), 0.01), Measured: belief.Measured{
		DepthPinBoard: length.Within(10, 0.01), DepthTailBoard: length.Within(10, 0.01),
	}}}
	return belief.Session{Setup: s, Cuts: []belief.Cut{cut}}
}

// What an earlier session taught counts: 0.3 mm less play is 0.3/0.498656 less
// depth, in a recommendation and at a depth as stated alike.
func TestEarlierSessionsCount(t *testing.T) {
	j := job(chartDrawer())
	j.Setup.Bushing.ID = "brass"
	withCutter := j.Setup
	withCutter.Cutter = j.Cutters[0]
	j.Earlier = []belief.Session{learned(t, withCutter)}
	p := plan(t, j)
	require.Nil(t, p.Drawers[0].Refusal)
	depth := p.Drawers[0].Front.Depth.PinBoard
	assert.InDelta(t, 10.929378-0.3/0.498656, depth.MM(), 0.02, "the prior still pulls a little")

	j.Setup.Cutter, j.Cutters = j.Cutters[0], nil
	j.Setup = j.Setup.AtDepth(depth.Length)
	p = plan(t, j)
	require.Nil(t, p.Drawers[0].Refusal)
	assert.InDelta(t, 0.1, p.Setups[0].Prediction.Fit.Play.MM(), 0.01)
	j.Setup = j.Setup.AtDepth(15.2)
	assert.Equal(t, recommend.ObstacleImpossible, plan(t, j).Drawers[0].Refusal.Cutter.Obstacle)

	j.Earlier[0].Setup = j.Earlier[0].Setup.AtDepth(40) // no such joint
	j.Earlier[0].Cuts[0].Depth = joint.EqualDepth(mm(40))
	_, err := parts.New(j)
	var impossible *joint.Impossible
	require.ErrorAs(t, err, &impossible)
}

// More pitches than a layout takes: parts all the same.
func TestTooHighToLayOut(t *testing.T) {
	d := chartDrawer()
	d.Outside.Height = 20000
	p := plan(t, job(d))
	require.Nil(t, p.Drawers[0].Refusal)
	assert.False(t, p.Drawers[0].Front.Layout.Known)
	assert.False(t, p.Labour.OpeningsKnown)
}

// Totals and test stock of two kinds of drawer, by hand.
func TestTotalsAndTestStock(t *testing.T) {
	a, b := chartDrawer(), chartDrawer()
	a.Count, b.Count = 3, 2
	b.Outside.Height = 66.675
	b.BackFrom, b.Back.Joint, b.Bottom, b.Groove = front18, parts.ButtedBack, parts.NoBottom, parts.Groove{}
	j := job(a, b)
	j.Stock = append(j.Stock, j.Stock[front18]) // the same wood and thickness by another name
	j.Drawers[1].Front = len(j.Stock) - 1
	j.Rates = parts.Rates{Given: true, Setup: 30, TestJoint: 10, Joint: 4, Opening: 0.5, Metre: 2, Part: 3}
	p := plan(t, j)
	sideA, sideB := 638.258756, 650-(18.6-10.929378)
	total := func(stock, pieces int, long, area float64) {
		t.Helper()
		assert.Equal(t, pieces, p.Totals[stock].Pieces)
		assert.InDelta(t, long, p.Totals[stock].Length.MM(), 1e-4)
		assert.InDelta(t, area, p.Totals[stock].Area, 1e-2)
	}
	total(front18, 5, 3*900+2*875.2, 3*900*88.9+2*875.2*66.675) // three fronts, two backs
	total(len(j.Stock)-1, 2, 1800, 1800*66.675)
	total(side12, 10, 6*sideA+4*sideB, 6*sideA*88.9+4*sideB*66.675)
	total(back15, 3, 2700, 2700*88.9)
	total(ply6, 3, 3*887.2, 3*887.2*628.4)
	total(thin9, 0, 0, 0)

	require.Len(t, p.Setups, 1)
	chance := p.Setups[0].Prediction.Fit.InTarget
	require.True(t, chance > 0.5 && chance < 1, "%g", chance)
	// Fronts of either name with sides: one pair; backs with sides: another.
	assert.InDelta(t, 1/chance+1, p.Setups[0].TestJoints, tolerance)
	require.Len(t, p.TestStock, 3)
	front, side, back := p.TestStock[0], p.TestStock[1], p.TestStock[2]
	assert.Equal(t, []int{front18, len(j.Stock) - 1}, front.From)
	assert.Equal(t, []int{2, 0}, []int{front.Pins, front.Tails}, "whole pieces")
	assert.Equal(t, []int{0, 3}, []int{side.Pins, side.Tails})
	assert.Equal(t, []int{1, 0}, []int{back.Pins, back.Tails})
	assert.InDelta(t, 600, side.LengthAll.MM(), tolerance)
	assert.InDelta(t, 88.9, side.Width.MM(), tolerance)

	// Openings: 5 at each corner of a (4 pitches), 4 of b: 12 x 5 + 4 x 4. Cut: 312.1 and
	// 2 x 12.4 x 7 + 66.675 = 240.275.
	l := p.Labour
	assert.Equal(t, []int{5, 3*5 + 2*4, 16, 76}, []int{l.Drawers, l.Parts, l.Joints, l.Openings})
	cut := 12*312.1 + 4*240.275
	assert.InDelta(t, cut, l.Cut.MM(), 1e-6)
	require.True(t, l.HoursKnown)
	assert.InDelta(t, (30+(1/chance+1)*10+16*4+76*0.5+cut/1000*2+23*3)/60, l.Hours, 1e-9)
}

func TestHoursNeedWhatTheyCount(t *testing.T) {
	j := job(chartDrawer())
	j.Setup.Template = joint.NewAllowance(mm(2.375))
	p := plan(t, j)
	assert.False(t, p.Labour.OpeningsKnown)
	assert.False(t, p.Labour.HoursKnown, "no rates")
	j.Rates = parts.Rates{Given: true, Joint: 30}
	p = plan(t, j)
	assert.True(t, p.Labour.HoursKnown)
	assert.InDelta(t, 2, p.Labour.Hours, tolerance)
	j.Rates.Opening = 1
	assert.False(t, plan(t, j).Labour.HoursKnown, "openings are not known of this template")
}

// Test joints: 1/chance, from 1 to MostTestJoints.
func TestTestJointsAreBounded(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j := job(chartDrawer())
		at := rapid.Float64Range(0.01, 0.4).Draw(t, "half-width")
		j.Target = joint.Target{Play: 0.1, From: length.Length(0.1 - at), To: length.Length(0.1 + at)}
		s := plan(t, j).Setups[0]
		first := s.TestJoints - 1 // fronts and backs are two pairs
		assert.GreaterOrEqual(t, first, 1.0)
		assert.LessOrEqual(t, first, float64(parts.MostTestJoints))
		if chance := s.Prediction.Fit.InTarget; chance > 1.0/parts.MostTestJoints {
			assert.InDelta(t, 1/chance, first, tolerance)
		}
	})
}

// Two position templates are gone along twice and count both boards' openings.
func TestTwoPositionTemplate(t *testing.T) {
	j := job(chartDrawer())
	pass := joint.Pass{Opening: mm(12.3), Finger: mm(9.925)}
	var err error
	j.Setup.Template, err = joint.NewTwoPosition(pass, pass)
	require.NoError(t, err)
	p := plan(t, j)
	require.Nil(t, p.Drawers[0].Refusal)
	assert.Equal(t, 4*(4+5), p.Labour.Openings)
	assert.InDelta(t, 4*(2*12.4*9+2*88.9), p.Labour.Cut.MM(), tolerance)
}

// hundred is a job of 100 kinds of drawer with all built-in cutters at hand.
func hundred() parts.Job {
	j := job()
	j.Cutters = stock.Cutters()
	for i := range 100 {
		d := chartDrawer()
		d.Count = 1 + i%5
		d.Outside = parts.Size{Width: length.Length(400 + 7*i), Height: 22.225 * length.Length(3+i%6), Depth: length.Length(500 + i)}
		d.Back.Joint = parts.BackJoint(i % 3)
		d.Back.Housing = 5
		j.Drawers = append(j.Drawers, d)
	}
	return j
}

func TestHundredDrawersAreMade(t *testing.T) {
	p := plan(t, hundred())
	for i := range p.Drawers {
		assert.Nil(t, p.Drawers[i].Refusal, "drawer %d", i)
	}
	assert.Len(t, p.Setups, 1, "one cutter for all")
}

// The target: 100 drawers in less than 2 ms.
func BenchmarkHundredDrawers(b *testing.B) {
	j := hundred()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := parts.New(j); err != nil {
			b.Fatal(err)
		}
	}
}

// Told is the cutter that misses by least: 9.5 deg, 6.8 mm deep, lacks 0.97 mm of
// lap in a front of 9 mm; 14 deg, 10.93 mm deep, comes out 1.93 mm in front of
// it, which is 5.1 mm of lap.
func TestToldIsTheNearestCutter(t *testing.T) {
	d := chartDrawer()
	d.Front = thin9
	j := job(d)
	j.Cutters = []joint.Cutter{cutter("half-14", 12.7, 14), cutter("slim", 11.1125, 9.5)}
	p := plan(t, j)
	require.NotNil(t, p.Drawers[0].Refusal)
	assert.Equal(t, "slim", p.Drawers[0].Refusal.Cutter.Cutter.ID)
	assert.InDelta(t, -0.97, p.Drawers[0].Refusal.Cutter.Limit.Margin.MM(), 0.01)
}
