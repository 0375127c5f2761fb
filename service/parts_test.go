package service

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/api"
	"snugtail/api/apitest"
	"snugtail/service/strict"
	"snugtail/service/transfer"
)

const partsPath = "/v1/drawer-parts"

// partsExample is an example of the contract, as a body.
func partsExample(t testing.TB, c *caller, name string, members map[string]any) string {
	t.Helper()
	examples := c.contract.Paths.Value(partsPath).Post.RequestBody.Value.Content.Get(transfer.JSON).Examples
	require.Contains(t, examples, name)
	return withMembers(t, examples[name].Value.Value, members)
}

func askCSV(t *testing.T, c *caller, body string) []byte {
	t.Helper()
	w := ask(c.handler, request(http.MethodPost, partsPath, body, "Accept", "text/csv"))
	require.Equal(t, http.StatusOK, w.Code, "%s", w.Body)
	require.Equal(t, "text/csv; charset=utf-8", w.Header().Get("Content-Type"))
	return w.Body.Bytes()
}

// The 36 drawers of the chart cabinet, as a cut list. The golden file is written
// only with -update.
func TestChartCabinetAsCSV(t *testing.T) {
	c := newCaller(t)
	got := askCSV(t, c, partsExample(t, c, "chart_cabinet", nil))
	golden := filepath.Join("testdata", "chart-cabinet.csv")
	if *update {
		require.NoError(t, os.WriteFile(golden, got, 0o644))
	}
	want, err := os.ReadFile(golden)
	require.NoError(t, err, "go test ./service -run ChartCabinet -update writes it")
	assert.Equal(t, string(want), string(got))
	a := answerOf[api.DrawerPartsAnswer](t, c, partsPath, partsExample(t, c, "chart_cabinet", nil))
	assert.Equal(t, 36, a.Labour.Drawers)
	assert.Equal(t, 1, a.Labour.Setups, "one cutter for all")
}

// csvTable reads a cut list as RFC 4180 has it, by column.
func csvTable(t *testing.T, raw []byte) []map[string]string {
	t.Helper()
	assert.Zero(t, bytes.Count(bytes.ReplaceAll(raw, []byte("\r\n"), nil), []byte("\n")), "every line ends in CRLF")
	rows, err := csv.NewReader(bytes.NewReader(raw)).ReadAll()
	require.NoError(t, err)
	require.NotEmpty(t, rows)
	table := make([]map[string]string, len(rows)-1)
	for i, row := range rows[1:] {
		table[i] = map[string]string{}
		for k, name := range rows[0] {
			table[i][name] = row[k]
		}
	}
	return table
}

// Each row of the CSV is what the JSON says, figure by figure, in either unit.
func TestCSVAgainstJSON(t *testing.T) {
	c := newCaller(t)
	for _, example := range []string{"chart_cabinet", "odd_ones", "sides_already_sawn"} {
		t.Run(example, func(t *testing.T) {
			body := partsExample(t, c, example, nil)
			a, rows := answerOf[api.DrawerPartsAnswer](t, c, partsPath, body), csvTable(t, askCSV(t, c, body))
			next := func() map[string]string {
				require.NotEmpty(t, rows)
				row := rows[0]
				rows = rows[1:]
				return row
			}
			for _, d := range a.Drawers {
				if d.Refused != nil {
					row := next()
					assert.Equal(t, []string{d.ID, "refused", strconv.Itoa(d.Count), d.Refused.Text, ""}, []string{row["drawer"], row["part"], row["count"], row["note"], row["length_mm"]})
					continue
				}
				for _, p := range d.Parts {
					assertPartRow(t, &d, &p, next())
				}
			}
			for _, s := range a.TestStock {
				for part, count := range map[string]int{"test_pin_board": s.PinBoards, "test_tail_board": s.TailBoards} {
					i := slices.IndexFunc(rows, func(row map[string]string) bool {
						return row["part"] == part && row["stock"] == strings.Join(s.Stock, " ")
					})
					require.Equal(t, count > 0, i >= 0)
					if count > 0 {
						assert.Equal(t, strconv.Itoa(count), rows[i]["count"])
						assertCell(t, rows[i], "length", s.Length)
						assertCell(t, rows[i], "width", s.Width)
						assertCell(t, rows[i], "thickness", s.Thickness)
						rows = slices.Delete(rows, i, i+1)
					}
				}
			}
			assert.Empty(t, rows)
		})
	}
}

func assertCell(t *testing.T, row map[string]string, name string, want api.Length) {
	t.Helper()
	for unit, value := range map[string]float64{"_mm": want.MM, "_in": want.In} {
		got, err := strconv.ParseFloat(row[name+unit], 64)
		require.NoError(t, err, "%s%s", name, unit)
		assert.InDelta(t, value, got, 0, "%s%s", name, unit)
	}
}

func assertPartRow(t *testing.T, d *api.DrawerMade, p *api.DrawerPart, row map[string]string) {
	t.Helper()
	assert.Equal(t, []string{d.ID, p.Part, strconv.Itoa(p.Count), p.Stock, p.Material, p.Species},
		[]string{row["drawer"], row["part"], row["count"], row["stock"], row["material"], row["species"]})
	assertCell(t, row, "length", p.Length)
	assertCell(t, row, "width", p.Width)
	assertCell(t, row, "thickness", p.Thickness)
	grooved := false
	for _, w := range p.Work {
		assert.Contains(t, row["work"], w.Text)
		if w.Code == "groove" {
			grooved = true
			assertCell(t, row, "groove_from_bottom", *w.From)
			assertCell(t, row, "groove_width", *w.Width)
			assertCell(t, row, "groove_depth", w.Depth)
		}
	}
	assert.Equal(t, grooved, row["groove_depth_mm"] != "")
	for _, j := range d.Joints {
		if p.Part == j.End || p.Part == "side" {
			assert.Equal(t, strconv.Itoa(j.Setup), row[j.End+"_setup"])
		}
	}
}

// A label that a spreadsheet would take for a formula is kept from it.
func TestCSVLabelsAreNoFormulas(t *testing.T) {
	c := newCaller(t)
	label := `=HYPERLINK("x",1)`
	quoted, err := json.Marshal(label)
	require.NoError(t, err)
	rows := csvTable(t, askCSV(t, c, smallJob(`"id":`+string(quoted))))
	for _, row := range rows {
		if row["drawer"] != "" {
			assert.Equal(t, "'"+label, row["drawer"])
		}
	}
	status, _ := c.post(t, partsPath, smallJob(`"id":"a\u0000b"`))
	assert.Equal(t, http.StatusBadRequest, status, "control characters are no label")
}

// smallJob is one drawer with these members more.
func smallJob(members string) string {
	return `{"setup":{"template":{"kind":"one_piece","pitch":22.225,"opening":12.3},"bushing":{"diameter":11.1125},"cutter":{"id":"half","diameter":12.7,"angle":14}},` +
		`"stock":[{"id":"fronts","thickness":18.6},{"id":"sides","thickness":12.4},{"id":"thin","thickness":11}],` +
		`"drawers":[{"front":"fronts","sides":"sides","back":"fronts","outside":{"width":900,"height":88.9,"depth":650},` + members + `}]}`
}

// replaced is smallJob with one text in place of another.
func replaced(old, now string) string {
	body := smallJob(`"id":"d"`)
	if !strings.Contains(body, old) {
		panic(old + " is not in the job")
	}
	return strings.Replace(body, old, now, 1)
}

// Sizes that can't be made: 200, the reason, and the field to look at.
func TestRefusedDrawers(t *testing.T) {
	c := newCaller(t)
	const groove = `"bottom":"thin","groove":{"from_bottom":8,"width":12,"depth":6}`
	for name, row := range map[string]struct{ body, code, pointer, text string }{
		"no room":           {replaced(`"outside":{"width":900,`, `"allowance":{"width":901},"opening":{"width":900,`), "no_room", "#/drawers/0/allowance", "-1 mm"},
		"too narrow":        {replaced(`"width":900`, `"width":24`), "too_narrow", "#/drawers/0/outside/width", "-0.8 mm"},
		"too short":         {replaced(`"depth":650`, `"depth":37`), "too_short", "#/drawers/0/outside/depth", "-0.2 mm"},
		"lip too thick":     {smallJob(`"id":"d","lip":{"width":9,"thickness":18.6}`), "lip_too_thick", "#/drawers/0/lip/thickness", "nothing of a front 18.6 mm thick"},
		"no groove":         {smallJob(`"id":"d","bottom":"thin"`), "no_groove", "#/drawers/0/bottom", "needs the groove"},
		"groove off board":  {smallJob(`"id":"d","groove":{"from_bottom":83,"width":6,"depth":6}`), "groove_off_board", "#/drawers/0/groove/from_bottom", "reach 89 mm up"},
		"groove through":    {smallJob(`"id":"d","groove":{"from_bottom":8,"width":6,"depth":12.4}`), "groove_through", "#/drawers/0/groove/depth", "through the side"},
		"bottom loose":      {smallJob(`"id":"d",` + strings.Replace(groove, `"depth":6`, `"depth":6,"clearance":6`, 1)), "bottom_loose", "#/drawers/0/groove/clearance", "nothing holds"},
		"bottom too thick":  {smallJob(`"id":"d",` + strings.Replace(groove, `12`, `10`, 1)), "bottom_too_thick", "#/drawers/0/bottom", "11 mm thick"},
		"under pins":        {smallJob(`"id":"d","groove":{"from_bottom":8,"width":6,"depth":6,"under_back":true}`), "under_pins", "#/drawers/0/groove/under_back", "half-blind back"},
		"housing through":   {smallJob(`"id":"d","back_joint":"housed","housing_depth":12.4`), "housing_through", "#/drawers/0/housing_depth", "12.4 mm"},
		"no cutter":         {replaced(`"front":"fronts"`, `"front":"thin"`), "no_cutter", "#/drawers/0/front", "leaves 0.07 mm of lap"},
		"no cutter, back":   {replaced(`"back":"fronts"`, `"back":"thin"`), "no_cutter", "#/drawers/0/back", "At the back no cutter at hand serves"},
		"of several":        {strings.Replace(replaced(`"back":"fronts"`, `"back":"thin"`), `"stock"`, `"cutters":[{"id":"1_2in_8deg"},{"id":"1_2in_14deg"}],"stock"`, 1), "no_cutter", "#/drawers/0/back", "Nearest is the 12.7 mm cutter, 14 deg (half)"},
		"as set":            {replaced(`"angle":14}`, `"angle":14},"depth":16`), "no_cutter", "#/drawers/0/front", "At the front the set-up does not serve: At 16 mm deep 2.6 mm of lap"},
		"as set, shallow":   {replaced(`"angle":14}`, `"angle":14},"depth":2`), "no_cutter", "#/drawers/0/front", "too shallow"},
		"as set, through":   {replaced(`"angle":14}`, `"angle":14},"depth":19`), "no_cutter", "#/drawers/0/front", "come out at the drawer's face"},
		"as set, in groove": {strings.Replace(smallJob(`"id":"d","groove":{"from_bottom":8,"width":6,"depth":11}`), `"angle":14}`, `"angle":14},"depth":10`, 1), "no_cutter", "#/drawers/0/front", "at a depth of 10 mm the groove shows as a notch"},
		"into the lip":      {smallJob(`"id":"d","lip":{"width":9,"thickness":8}`), "into_lip", "#/drawers/0/lip/thickness", "10.6 mm of wood behind the lip"},
		"sawn, no fit":      {smallJob(`"id":"d","sides_sawn":637`), "sides_sawn", "#/drawers/0/sides_sawn", "play -0.48 mm, beyond -0.05 mm"},
		"sawn, too short":   {smallJob(`"id":"d","sides_sawn":600`), "sides_sawn", "#/drawers/0/sides_sawn", "too short for any"},
		"sawn, shallow":     {smallJob(`"id":"d","sides_sawn":615`), "sides_sawn", "#/drawers/0/sides_sawn", "At the front: 1.1 mm is too shallow"},
		"sawn, into lip":    {smallJob(`"id":"d","sides_sawn":634.7,"lip":{"width":9,"thickness":8}`), "sides_sawn", "#/drawers/0/sides_sawn", "only 10.6 mm of wood are behind the lip"},
		"sawn, too deep":    {smallJob(`"id":"d","sides_sawn":660`), "sides_sawn", "#/drawers/0/sides_sawn", "come out at the drawer's face"},
	} {
		t.Run(name, func(t *testing.T) {
			a := answerOf[api.DrawerPartsAnswer](t, c, partsPath, row.body)
			require.Len(t, a.Drawers, 1)
			require.NotNil(t, a.Drawers[0].Refused)
			assert.False(t, a.Drawers[0].Made)
			assert.Equal(t, row.code, a.Drawers[0].Refused.Code)
			assert.Equal(t, row.pointer, a.Drawers[0].Refused.Pointer)
			assert.Contains(t, a.Drawers[0].Refused.Text, row.text)
			assert.Equal(t, "This drawer can't be made; see below.", a.Summary)
			assertPlain(t, c, partsPath, row.body)
			assertPointsAt(t, row.body, row.pointer)
		})
	}
}

// assertPointsAt: the field is there, or the object that it is missing from.
func assertPointsAt(t *testing.T, body, pointer string) {
	t.Helper()
	var value any
	require.NoError(t, json.Unmarshal([]byte(body), &value))
	tokens := strings.Split(strings.TrimPrefix(pointer, "#/"), "/")
	for _, token := range tokens[:len(tokens)-1] {
		switch at := value.(type) {
		case map[string]any:
			require.Contains(t, at, token, pointer)
			value = at[token]
		case []any:
			i, err := strconv.Atoi(token)
			require.NoError(t, err)
			value = at[i]
		}
	}
}

// What is no drawer at all is refused with every bad field at once.
func TestWrongDrawers(t *testing.T) {
	c := newCaller(t)
	const more = `,{"id":"d","count":0,"front":"frnts","sides":"sides","back":"fronts","bottom":"x","outside":{"width":1,"height":1,"depth":1},"opening":{"width":"wide","height":1,"depth":5000}},` +
		`{"id":"e","count":1.5,"front":"fronts","sides":"sides","back":"fronts","back_joint":"housed","outside":{"width":1,"height":1,"depth":1},"allowance":{"width":-1}},` +
		`{"id":"f","front":"fronts","sides":"sides","back":"fronts","setback":3,"housing_depth":4},` +
		`{"id":" g","front":"fronts","sides":"sides","back":"fronts","outside":{"width":1,"height":1,"depth":1},"lip":{"width":0.01,"thickness":3,"edges":"top"}}]}`
	body := strings.TrimSuffix(smallJob(`"id":"d"`), "]}") + more
	body = strings.Replace(body, `{"id":"thin","thickness":11}`, `{"id":"sides","thickness":11,"species":"white_oka","material":"chipboard"}`, 1)
	status, raw := c.post(t, partsPath, body)
	require.Equal(t, http.StatusBadRequest, status)
	var problem api.Problem
	require.NoError(t, json.Unmarshal(raw, &problem))
	got := map[string]string{}
	for _, e := range problem.Errors {
		got[e.Pointer] = e.Code
	}
	assert.Equal(t, map[string]string{
		"#/stock/2/id":                "conflict",
		"#/stock/2/species":           "unknown_id",
		"#/stock/2/material":          "not_allowed",
		"#/drawers/1/id":              "conflict",
		"#/drawers/1/count":           "out_of_range",
		"#/drawers/1/front":           "unknown_id",
		"#/drawers/1/bottom":          "unknown_id",
		"#/drawers/1/opening":         "conflict",
		"#/drawers/1/opening/width":   "not_a_length",
		"#/drawers/1/opening/depth":   "out_of_range",
		"#/drawers/2/count":           "wrong_type",
		"#/drawers/2/housing_depth":   "missing",
		"#/drawers/2/allowance":       "conflict",
		"#/drawers/2/allowance/width": "out_of_range",
		"#/drawers/3/outside":         "missing",
		"#/drawers/3/setback":         "conflict",
		"#/drawers/3/housing_depth":   "conflict",
		"#/drawers/4/id":              "bad_format",
		"#/drawers/4/lip/width":       "out_of_range",
		"#/drawers/4/lip/edges":       "not_allowed",
	}, got, "%s", raw)
	assert.Contains(t, string(raw), `did you mean \"fronts\"?`)
}

// What an answer says can be posted back: the sides that it saws fit.
func TestSidesPostedBackFit(t *testing.T) {
	c := newCaller(t)
	first := answerOf[api.DrawerPartsAnswer](t, c, partsPath, smallJob(`"id":"d"`))
	side, err := json.Marshal(first.Drawers[0].Parts[1].Length)
	require.NoError(t, err)
	again := answerOf[api.DrawerPartsAnswer](t, c, partsPath, smallJob(`"id":"d","sides_sawn":`+string(side)))
	sawn := again.Drawers[0].Sawn
	require.NotNil(t, sawn)
	assert.True(t, sawn.Fits)
	assert.InDelta(t, first.Setups[0].DepthPinBoard.MM, sawn.Depth.MM, 1e-6)
	assert.InDelta(t, 0.1, sawn.Play.MM, 1e-6)
	assert.InDelta(t, 650, sawn.ComesOut.MM, 1e-6)
	assert.Equal(t, first.Drawers[0].Parts[1].Length.Text, again.Drawers[0].Parts[1].Length.Text)
	assert.NotContains(t, again.Cautions, api.Caution{Code: "sides_last", Text: english(t).Of("caution.sides_last")})
}

// Which cutters count: those named and the set-up's own, or that alone, or the
// built-in set.
func TestCuttersOfAJob(t *testing.T) {
	c := newCaller(t)
	taken := func(body string) api.CutterChoice {
		a := answerOf[api.DrawerPartsAnswer](t, c, partsPath, body)
		require.NotEmpty(t, a.Setups, "%+v", a.Drawers[0].Refused)
		return a.Setups[0].Cutter
	}
	assert.Equal(t, "half", taken(smallJob(`"id":"d"`)).ID)
	assert.Equal(t, "half", taken(strings.Replace(smallJob(`"id":"d"`), `"stock"`, `"cutters":[{"id":"1_2in_8deg"}],"stock"`, 1)).ID, "its own is one more")
	own := `,"cutter":{"id":"half","diameter":12.7,"angle":14}`
	assert.NotEmpty(t, taken(strings.Replace(smallJob(`"id":"d"`), own, "", 1)).ID, "built in")
	status, raw := c.post(t, partsPath, strings.Replace(smallJob(`"id":"d"`), `"stock"`, `"cutters":[{"id":"half_inch"}],"stock"`, 1))
	assert.Equal(t, http.StatusBadRequest, status)
	assert.Contains(t, string(raw), "#/cutters/0/id")
}

// A drawer of many pitches gives the whole job its default target.
func TestTargetByTheHighestDrawer(t *testing.T) {
	c := newCaller(t)
	low := answerOf[api.DrawerPartsAnswer](t, c, partsPath, smallJob(`"id":"d"`))
	assert.InDelta(t, 0.10, low.Setups[0].Play.MM, 1e-6)
	high := answerOf[api.DrawerPartsAnswer](t, c, partsPath, replaced(`"height":88.9`, `"height":222.25`))
	assert.InDelta(t, 0.15, high.Setups[0].Play.MM, 1e-6)
}

// Templates known by their tightness alone: parts all the same, but no layout,
// and no hours for what is not known.
func TestPartsWithoutOpenings(t *testing.T) {
	c := newCaller(t)
	body := replaced(`{"kind":"one_piece","pitch":22.225,"opening":12.3}`, `{"kind":"allowance","allowance":2.375}`)
	a := answerOf[api.DrawerPartsAnswer](t, c, partsPath, strings.Replace(body, `"stock"`, `"rates":{"opening":1},"stock"`, 1))
	require.True(t, a.Drawers[0].Made)
	assert.Nil(t, a.Drawers[0].Joints[0].Pitches)
	assert.Nil(t, a.Labour.Openings)
	assert.Nil(t, a.Labour.Hours)
	a = answerOf[api.DrawerPartsAnswer](t, c, partsPath, strings.Replace(body, `"stock"`, `"rates":{"joint":15},"stock"`, 1))
	require.NotNil(t, a.Labour.Hours)
	assert.InDelta(t, 1, *a.Labour.Hours, 1e-9, "four corners")
}

// The arithmetic of each drawer gives what the parts say.
func TestPartsWorking(t *testing.T) {
	c := newCaller(t)
	a := answerOf[api.DrawerPartsAnswer](t, c, partsPath, partsExample(t, c, "odd_ones", nil))
	results := map[string]float64{}
	for _, line := range a.Working {
		results[line.Name] = line.Result
	}
	for _, d := range a.Drawers {
		for _, p := range d.Parts {
			name := map[string]string{"side": "side length", "back": "back length", "bottom": "bottom across"}[p.Part]
			if name != "" {
				assert.InDelta(t, p.Length.MM, results[d.ID+": "+name], 2e-6, "%s %s", d.ID, p.Part)
			}
		}
	}
	assert.Contains(t, results, "housed: bottom front to back")
	assert.NotContains(t, results, "thin back: side length")
}

// Whatever a request says, its cut list is a table, or a problem.
func TestMutantsAsCSV(t *testing.T) {
	c := newCaller(t)
	for i, example := range []string{"chart_cabinet", "odd_ones", "sides_already_sawn"} {
		value, _, broken := strict.Parse(partsExample(t, c, example, nil), 0, strict.Skim{})
		require.Nil(t, broken)
		r, pool := rand.New(rand.NewPCG(uint64(i), 3)), append(apitest.Gather(value, nil), apitest.Edges()...)
		for range apitest.Rounds(150, 500*time.Millisecond) {
			text, err := json.Marshal(apitest.MutantOf(r, value, pool))
			require.NoError(t, err)
			w := ask(c.handler, request(http.MethodPost, partsPath, string(text), "Accept", "text/csv"))
			require.Contains(t, []int{200, 400, 422}, w.Code, "%s", text)
			if w.Code == http.StatusOK {
				csvTable(t, w.Body.Bytes())
			}
		}
	}
}

// As many rows as the contract takes are answered within the time of an answer.
func TestManyDrawers(t *testing.T) {
	c := newCaller(t)
	rows := make([]string, 500)
	for i := range rows {
		rows[i] = fmt.Sprintf(`{"id":"d%d","count":1000,"front":"fronts","sides":"sides","back":"fronts","outside":{"width":%d,"height":88.9,"depth":650}}`, i, 400+i)
	}
	body := smallJob(`"id":"d"`)
	body = body[:strings.Index(body, `"drawers":[`)+len(`"drawers":[`)] + strings.Join(rows, ",") + "]}"
	a := answerOf[api.DrawerPartsAnswer](t, c, partsPath, body)
	assert.Equal(t, 500_000, a.Labour.Drawers)
	assert.Equal(t, 1, a.Labour.Setups)
}
