package service

import (
	"encoding/csv"
	"encoding/json"
	"net/http"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/api"
)

// warnedOf are all warnings of a drawer, its joints and its parts.
func warnedOf(d *api.DrawerMade) []api.PartsWarning {
	all := append([]api.PartsWarning{}, d.Warnings...)
	for i := range d.Joints {
		all = append(all, d.Joints[i].Warnings...)
	}
	for i := range d.Parts {
		all = append(all, d.Parts[i].Warnings...)
	}
	return all
}

// put writes a value where a pointer of a warning points, adding what is not there.
func put(t require.TestingT, body, pointer string, value any) string {
	var root any
	require.NoError(t, json.Unmarshal([]byte(body), &root))
	tokens := strings.Split(strings.TrimPrefix(pointer, "#/"), "/")
	at := root
	for _, token := range tokens[:len(tokens)-1] {
		switch in := at.(type) {
		case map[string]any:
			if in[token] == nil {
				in[token] = map[string]any{}
			}
			at = in[token]
		case []any:
			i, err := strconv.Atoi(token)
			require.NoError(t, err)
			at = in[i]
		}
	}
	at.(map[string]any)[tokens[len(tokens)-1]] = value
	text, err := json.Marshal(root)
	require.NoError(t, err)
	return string(text)
}

// oakJob is one drawer of white oak in an opening, with these members more.
func oakJob(height, free float64, members string) string {
	body := smallJob(`"id":"d",` + members)
	number := func(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
	body = strings.Replace(body, `"outside":{"width":900,"height":88.9,"depth":650}`,
		`"opening":{"width":903,"height":`+number(height+free)+`,"depth":665},"allowance":{"width":3,"height":`+number(free)+`,"depth":15}`, 1)
	return strings.ReplaceAll(body, `"thickness":`, `"species":"white_oak","thickness":`)
}

// The figures of an oak drawer: 133.5 x 0.00365 x 4 = 1.9491 in 134 mm. The JSON,
// the text and the CSV tell the same.
func TestSwellingIsTold(t *testing.T) {
	c := newCaller(t)
	body := oakJob(133.5, 0.5, `"bottom":"thin","groove":{"from_bottom":8,"width":12,"depth":6,"clearance":0.5}`)
	a := answerOf[api.DrawerPartsAnswer](t, c, partsPath, body)
	d := &a.Drawers[0]
	require.NotNil(t, d.Seasons)
	assert.InDelta(t, 1.9491, d.Seasons.Height.Swells.MM, 1e-6)
	assert.InDelta(t, 0.5, d.Seasons.Height.Free.MM, 1e-6)
	assert.False(t, *d.Seasons.Height.Enough)
	assert.InDelta(t, 132, d.Seasons.Height.Fits.MM, 1e-6)
	assert.Equal(t, "driest", d.Seasons.MoistureFrom)
	require.Len(t, d.Warnings, 1)
	w := d.Warnings[0]
	assert.Equal(t, []string{"drawer_swells", "#/drawers/0/allowance/height"}, []string{w.Code, w.Pointer})
	assert.InDelta(t, 1.9491, w.Params.Value.MM, 1e-6)
	require.NotEmpty(t, w.Instead)
	assert.InDelta(t, 2, w.Instead[0].Length.MM, 1e-6, "132 in 134")

	text := ask(c.handler, request(http.MethodPost, partsPath, body, "Accept", "text/plain")).Body.String()
	rows := csvTable(t, askCSV(t, c, body))
	flat := strings.Join(strings.Fields(text), " ")
	notes := ""
	for _, row := range rows {
		notes += row["note"] + " "
	}
	all := warnedOf(d)
	require.Greater(t, len(all), 1)
	for _, w := range all {
		assert.Contains(t, flat, strings.Join(strings.Fields(w.Text), " "))
		assert.Contains(t, notes, w.Text)
	}
	assert.Contains(t, flat, "132 mm of height go in")
}

// What a layout tells of the same height is the same.
func TestLayoutTellsTheSeasons(t *testing.T) {
	c := newCaller(t)
	const setup = `{"setup":{"template":{"kind":"one_piece","pitch":22.225,"opening":12.3},"bushing":{"diameter":11.1125},"cutter":{"diameter":12.7,"angle":14},"depth":10.9,"pin_board":{"thickness":18.6,"species":"white_oak"}},"board_width":133.5,"opening_height":134`
	a := answerOf[api.LayoutAnswer](t, c, "/v1/layouts", setup+`}`)
	require.NotNil(t, a.Seasons)
	assert.InDelta(t, 1.9491, a.Seasons.Height.Swells.MM, 1e-6)
	assert.InDelta(t, 132, a.Seasons.Height.Fits.MM, 1e-6)
	assert.False(t, *a.Seasons.Height.Enough)
	a = answerOf[api.LayoutAnswer](t, c, "/v1/layouts", setup+`,"climates":[{"moisture":8},{"moisture":8.2}]}`)
	assert.InDelta(t, 133.5*0.00365*0.2, a.Seasons.Height.Swells.MM, 1e-6)
	assert.True(t, *a.Seasons.Height.Enough)
	a = answerOf[api.LayoutAnswer](t, c, "/v1/layouts", strings.Replace(setup, `,"species":"white_oak"`, "", 1)+`}`)
	assert.Nil(t, a.Seasons, "nothing is known of the wood")
}

// Every value that a warning offers, written where it points, cures it: the job
// planned anew is without that warning.
func TestInsteadCures(t *testing.T) {
	c := newCaller(t)
	cured := map[string]int{}
	rapid.Check(t, func(t *rapid.T) {
		number := func(name string, from, to float64) string {
			return strconv.FormatFloat(rounded3(rapid.Float64Range(from, to).Draw(t, name), within{from, to}), 'f', -1, 64)
		}
		back := rapid.SampledFrom([]string{"half_blind", "butted"}).Draw(t, "back")
		bottom, width := `"bottom":"thin",`, "12"
		if rapid.Bool().Draw(t, "narrow groove") {
			bottom, width = "", "5"
		}
		body := oakJob(rapid.Float64Range(60, 200).Draw(t, "height"), rapid.Float64Range(0, 3).Draw(t, "free"),
			`"back_joint":"`+back+`",`+bottom+`"groove":{"from_bottom":`+number("from", 0, 14)+`,"width":`+width+`,"depth":`+number("deep", 3, 8)+`,"clearance":`+number("clear", 0, 2)+`}`)
		body = strings.Replace(body, `"thickness":18.6`, `"thickness":`+number("thickness", 14.3, 19), 1)
		a := answerOf[api.DrawerPartsAnswer](t, c, partsPath, body)
		for _, w := range warnedOf(&a.Drawers[0]) {
			for _, cure := range w.Instead {
				value := any(cure.Length)
				if cure.Set != nil {
					value = *cure.Set
				}
				after := answerOf[api.DrawerPartsAnswer](t, c, partsPath, put(t, body, cure.Pointer, value))
				require.True(t, after.Drawers[0].Made)
				for _, left := range warnedOf(&after.Drawers[0]) {
					require.False(t, left.Code == w.Code && left.Pointer == w.Pointer && left.Text == w.Text, "%s at %s does not cure %s\n%s", left.Text, cure.Pointer, w.Text, body)
				}
				cured[w.Code]++
			}
		}
	})
	t.Log(cured)
	for _, code := range []string{"edge_pin_weak", "lap_thin", "groove_shows", "drawer_swells", "bottom_moves"} {
		assert.Positive(t, cured[code], code)
	}
}

// Each warning points at a field that is there, whatever way the size is stated.
func TestWarningsPointAtFields(t *testing.T) {
	c := newCaller(t)
	for _, body := range []string{
		oakJob(140, 0.5, `"bottom":"thin","groove":{"from_bottom":0,"width":12,"depth":8}`),
		strings.Replace(oakJob(140, 0, `"back_joint":"housed","housing_depth":8`), `,"allowance":{"width":3,"height":0,"depth":15}`, "", 1),
		strings.Replace(smallJob(`"id":"d","sides_height":80,"back_height":70`), `"thickness":18.6`, `"thickness":"15 mm +/- 1"`, 1),
	} {
		a := answerOf[api.DrawerPartsAnswer](t, c, partsPath, body)
		all := warnedOf(&a.Drawers[0])
		require.NotEmpty(t, all, body)
		for _, w := range all {
			assertPointsAt(t, body, w.Pointer)
		}
	}
}

// A rule of height, lower sides and fiberboard: what contradicts itself is a bad
// field, what can't be made is refused by itself.
func TestHeightsOverHTTP(t *testing.T) {
	c := newCaller(t)
	a := answerOf[api.DrawerPartsAnswer](t, c, partsPath, oakJob(100, 2, `"height_rule":"half_pins_down"`))
	assert.InDelta(t, 88.9, a.Drawers[0].Outside.Height.MM, 1e-6)
	assert.InDelta(t, 13.1, a.Drawers[0].Seasons.Height.Free.MM, 1e-6)
	near := a.Drawers[0].Joints[0].NearestHeights
	assert.InDelta(t, 66.675, near.HalfPinsBelow.MM, 1e-6)
	assert.InDelta(t, 111.125, near.HalfPinsAbove.MM, 1e-6)
	assert.Nil(t, near.StrongBelow, "it is strong itself")

	a = answerOf[api.DrawerPartsAnswer](t, c, partsPath, replaced(`"height":88.9`, `"height":105`))
	near = a.Drawers[0].Joints[0].NearestHeights
	require.NotNil(t, near.StrongBelow)
	again := answerOf[api.DrawerPartsAnswer](t, c, partsPath, replaced(`"height":88.9`, `"height":`+strconv.FormatFloat(near.StrongBelow.MM, 'f', -1, 64)))
	assert.GreaterOrEqual(t, again.Drawers[0].Joints[0].EdgePin.MM, 3.0)

	for member, want := range map[string]string{
		`"height_rule":"half_pins_up"`:                     "conflict",
		`"height_rule":"half_pins_down","sides_height":50`: "conflict",
		`"height_rule":"nearest"`:                          "not_allowed",
	} {
		status, raw := c.post(t, partsPath, oakJob(100, 2, member))
		require.Equal(t, http.StatusBadRequest, status)
		assert.Contains(t, string(raw), `"pointer":"#/drawers/0/height_rule","code":"`+want+`"`)
	}
	status, raw := c.post(t, partsPath, strings.Replace(smallJob(`"id":"d","height_rule":"half_pins_down"`),
		`{"kind":"one_piece","pitch":22.225,"opening":12.3}`, `{"kind":"allowance","allowance":2.375}`, 1))
	require.Equal(t, http.StatusBadRequest, status)
	assert.Contains(t, string(raw), "#/drawers/0/height_rule")

	for members, want := range map[string][2]string{
		`"sides_height":120`:                 {"too_high", "#/drawers/0/sides_height"},
		`"sides_height":60,"back_height":61`: {"too_high", "#/drawers/0/back_height"},
	} {
		a := answerOf[api.DrawerPartsAnswer](t, c, partsPath, smallJob(`"id":"d",`+members))
		require.NotNil(t, a.Drawers[0].Refused)
		assert.Equal(t, want, [2]string{a.Drawers[0].Refused.Code, a.Drawers[0].Refused.Pointer})
	}
	a = answerOf[api.DrawerPartsAnswer](t, c, partsPath, replaced(`"id":"sides",`, `"id":"sides","material":"mdf",`))
	require.NotNil(t, a.Drawers[0].Refused)
	assert.Equal(t, [2]string{"fiberboard", "#/drawers/0/sides"}, [2]string{a.Drawers[0].Refused.Code, a.Drawers[0].Refused.Pointer})
	assert.Contains(t, a.Drawers[0].Refused.Text, "No dovetail holds in fiberboard")
}

// Lipped fronts: which stop moves, which way, by how much.
func TestLippedFrontsSayWhichStops(t *testing.T) {
	c := newCaller(t)
	for edges, want := range map[string][2]string{
		"all_round":    {"each front 9 mm further forward", "the left side stop 9 mm to the left and the right one 9 mm to the right"},
		"ends_and_top": {"each front 9 mm further forward", "the side stops stay where they are"},
		"ends":         {"each front 9 mm further forward", "the side stops stay where they are"},
	} {
		a := answerOf[api.DrawerPartsAnswer](t, c, partsPath, smallJob(`"id":"d","lip":{"width":9,"thickness":7,"edges":"`+edges+`"}`))
		require.Len(t, a.Setups, 2)
		s := a.Setups[1]
		assert.Contains(t, s.Text, want[0])
		assert.Contains(t, s.Text, want[1])
		assert.InDelta(t, 9, s.Lip.MM, 1e-6)
		assert.Equal(t, edges == "all_round", s.SideStops != nil)
	}
}

// Rough sizes: what is added is added to each part, thickness to solid wood alone,
// and the sums are those of the parts.
func TestRoughSizes(t *testing.T) {
	c := newCaller(t)
	body := strings.Replace(partsExample(t, c, "chart_cabinet", nil), `"drawers"`, `"rough_allowance":{"length":25,"width":5,"thickness":3},"drawers"`, 1)
	a := answerOf[api.DrawerPartsAnswer](t, c, partsPath, body)
	area, volume, finished := map[string]float64{}, map[string]float64{}, map[string]float64{}
	for _, d := range a.Drawers {
		for _, p := range d.Parts {
			require.NotNil(t, p.Rough)
			assert.InDelta(t, p.Length.MM+25, p.Rough.Length.MM, 1e-6)
			assert.InDelta(t, p.Width.MM+5, p.Rough.Width.MM, 1e-6)
			thicker := 3.0
			if p.Material != "solid" {
				thicker = 0
			}
			assert.InDelta(t, p.Thickness.MM+thicker, p.Rough.Thickness.MM, 1e-6)
			n := float64(p.Count)
			area[p.Stock] += n * p.Rough.Length.MM * p.Rough.Width.MM / 1e6
			volume[p.Stock] += n * p.Rough.Length.MM * p.Rough.Width.MM * p.Rough.Thickness.MM / 1e9
			finished[p.Stock] += n * p.Length.MM * p.Width.MM * p.Thickness.MM / 1e9
		}
	}
	for _, s := range a.Stock {
		assert.InDelta(t, area[s.ID], s.Rough.Area.M2, 2e-6)
		assert.InDelta(t, volume[s.ID], s.Rough.Volume.M3, 2e-6)
		assert.InDelta(t, finished[s.ID], s.Volume.M3, 2e-6)
		assert.InDelta(t, s.Volume.M3/(0.3048*0.3048*0.3048), s.Volume.FT3, 1e-4)
	}
	assertPlain(t, c, partsPath, body)
}

// askSheet asks for a sheet and reads it by column.
func askSheet(t *testing.T, c *caller, body, accept string, comma rune, headers ...string) []map[string]string {
	t.Helper()
	w := ask(c.handler, request(http.MethodPost, partsPath, body, append([]string{"Accept", accept}, headers...)...))
	require.Equal(t, http.StatusOK, w.Code, "%s", w.Body)
	r := csv.NewReader(w.Body)
	r.Comma = comma
	rows, err := r.ReadAll()
	require.NoError(t, err)
	table := make([]map[string]string, len(rows)-1)
	for i, row := range rows[1:] {
		table[i] = map[string]string{}
		for k, name := range rows[0] {
			table[i][name] = row[k]
		}
	}
	return table
}

// One row for each physical piece, each with its own label; no cell is a bare id.
func TestPiecesSheet(t *testing.T) {
	c := newCaller(t)
	body := strings.Replace(partsExample(t, c, "chart_cabinet", nil), `"id":"middle"`, `"id":"1/2"`, 1)
	a := answerOf[api.DrawerPartsAnswer](t, c, partsPath, body)
	rows := askSheet(t, c, body, "text/csv;profile=pieces", ',')
	tests := 0
	for _, s := range a.TestStock {
		tests += s.PinBoards + s.TailBoards
	}
	assert.Len(t, rows, 36*5+tests)
	labels := map[string]map[string]string{}
	number := regexp.MustCompile(`^[-+0-9.,/:eE]+$`)
	for _, row := range rows {
		require.NotContains(t, labels, row["label"])
		labels[row["label"]] = row
		for _, column := range []string{"label", "drawer", "stock"} {
			assert.NotRegexp(t, number, row[column])
			assert.NotRegexp(t, `^[=+@-]`, row[column])
		}
	}
	left := labels["shallow-03 left side"]
	require.NotNil(t, left)
	assertCell(t, left, "length", a.Drawers[0].Parts[1].Length)
	assert.Equal(t, "left", left["side"])
	assert.Contains(t, labels, "1/2-09 back")
}

// By set-up: every corner that is cut is in one row of pieces for each of its
// boards, under its set-up.
func TestSetupsSheet(t *testing.T) {
	c := newCaller(t)
	body := smallJob(`"id":"d","count":2,"lip":{"width":9,"thickness":7}`)
	a := answerOf[api.DrawerPartsAnswer](t, c, partsPath, body)
	rows := askSheet(t, c, body, "text/csv;profile=setups", ',')
	var kinds []string
	for _, row := range rows {
		kinds = append(kinds, row["row"]+" "+row["setup"])
		if row["row"] == "setup" {
			s := a.Setups[len(row["setup"])-1+int(row["setup"][0]-'1')]
			assertCell(t, row, "depth_pin_board", s.DepthPinBoard)
			assert.Equal(t, s.Text, row["note"])
		}
	}
	assert.Equal(t, []string{
		"setup 1", "piece 1", "piece 1", "piece 1", "piece 1", "piece 1", "piece 1", // two lefts, two rights, two backs
		"setup 2", "piece 2", "piece 2", "piece 2", "piece 2", "piece 2", "piece 2",
	}, kinds)
}

// Sheets are for programs: what is said in words is in the language that was asked
// for, columns, codes and figures are not.
func TestSheetsOfALanguage(t *testing.T) {
	c := newCaller(t)
	body := partsExample(t, c, "chart_cabinet", nil)
	inWords := []string{"work", "note", "label", "cut"}
	for _, profile := range []string{"", ";profile=pieces", ";profile=setups"} {
		english := askSheet(t, c, body, "text/csv"+profile, ',')
		german := askSheet(t, c, body, "text/csv"+profile, ',', "Accept-Language", "de")
		require.Len(t, german, len(english))
		for i := range english {
			require.Len(t, german[i], len(english[i]))
			for column, cell := range english[i] {
				if slices.Contains(inWords, column) && cell != "" {
					assert.NotEqual(t, cell, german[i][column], column)
				} else {
					assert.Equal(t, cell, german[i][column], column)
				}
			}
		}
	}
}

// Decimal commas come with semicolons, and the figures are the same; what the form
// does not take is refused, with what it takes.
func TestDecimalComma(t *testing.T) {
	c := newCaller(t)
	body := partsExample(t, c, "chart_cabinet", nil)
	for _, profile := range []string{"", ";profile=pieces", ";profile=setups"} {
		points := askSheet(t, c, body, "text/csv"+profile, ',')
		commas := askSheet(t, c, body, "text/csv"+profile+"; decimal=comma", ';')
		require.Len(t, commas, len(points))
		for i := range points {
			for column, point := range points[i] {
				if strings.HasSuffix(column, "_mm") || strings.HasSuffix(column, "_in") || column == "test_joints" {
					assert.Equal(t, strings.Replace(point, ".", ",", 1), commas[i][column])
				} else if column != "in_target" {
					assert.Equal(t, point, commas[i][column])
				}
			}
		}
	}
	w := ask(c.handler, request(http.MethodPost, partsPath, body, "Accept", `text/csv; profile="Pieces"; decimal=comma`))
	assert.Equal(t, "text/csv; charset=utf-8; profile=pieces; decimal=comma", w.Header().Get("Content-Type"))
	for _, accept := range []string{"text/csv;profile=sheets", "text/csv;decimal=point"} {
		w := ask(c.handler, request(http.MethodPost, partsPath, body, "Accept", accept))
		assert.Equal(t, http.StatusNotAcceptable, w.Code)
		assert.Contains(t, w.Body.String(), "text/csv;profile=pieces")
	}
	w = ask(c.handler, request(http.MethodPost, partsPath, replaced(`"drawers":[{`, `"drawers":[{"count":1000,`), "Accept", "text/csv"))
	require.Equal(t, http.StatusOK, w.Code)
	const more = `,"count":1000,"front":"fronts","sides":"sides","back":"fronts","outside":{"width":900,"height":88.9,"depth":650}}`
	big := strings.TrimSuffix(replaced(`"drawers":[{`, `"drawers":[{"count":1000,`), "]}")
	for _, id := range []string{"e", "f", "g", "h", "i"} {
		big += `,{"id":"` + id + `"` + more
	}
	big += "]}"
	w = ask(c.handler, request(http.MethodPost, partsPath, big, "Accept", "text/csv;profile=pieces"))
	assert.Equal(t, http.StatusBadRequest, w.Code)
	assert.Contains(t, w.Body.String(), "#/drawers")
}

// A front 14 mm thick leaves 3.07 mm of lap where the target's play is met: it is cut
// 10.825 mm deep instead, where play, (2.375 + 3.175 - 2 x 10.825 tan 14) = 0.152,
// is still within the target, and the words say what stood in the way.
func TestADepthMovedByALimit(t *testing.T) {
	c := newCaller(t)
	body := replaced(`"front":"fronts"`, `"front":"thin"`)
	body = strings.Replace(body, `"thickness":11`, `"thickness":14`, 1)
	a := answerOf[api.DrawerPartsAnswer](t, c, partsPath, body)
	require.True(t, a.Drawers[0].Made)
	require.Len(t, a.Setups, 2, "the thicker back is cut at the target's play")
	s := a.Setups[0]
	assert.InDelta(t, 10.825, s.DepthPinBoard.MM, 1e-6)
	assert.InDelta(t, 0.152, s.Play.MM, 1e-3)
	assert.InDelta(t, 3.175, s.Lap.MM, 1e-6)
	assert.Contains(t, s.Text, "Set it at 10.8 mm, where play is 0.15 mm and every limit is kept; at the target's own play it would not work. It fits at 10.95 mm, which leaves 3.07 mm of lap in front")
	assert.Less(t, s.InTarget, a.Setups[1].InTarget)
	assert.Contains(t, s.Text, english(t).Percent(s.InTarget))

	r := answerOf[api.CutterRecommendationAnswer](t, c, "/v1/cutter-recommendations",
		`{"setup":{"template":{"kind":"one_piece","pitch":22.225,"opening":12.3},"bushing":{"diameter":11.1125},"pin_board":{"thickness":14}},"cutters":[{"diameter":12.7,"angle":14}]}`)
	require.Len(t, r.Recommendations, 1)
	assert.Contains(t, r.Recommendations[0].Why, "leaves 3.07 mm of lap in front")
}
