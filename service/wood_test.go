package service

import (
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/api"
	"snugtail/joint/seasons"
	"snugtail/joint/wood"
	"snugtail/service/message"
	"snugtail/service/paper"
	"snugtail/service/say"
	"snugtail/service/transfer"
)

const woodPath = "/v1/wood-movements"

// getAs asks for a path of the contract and validates JSON answers.
func (c *caller) getAs(t testing.TB, path, template string) (int, []byte) {
	w := ask(c.handler, request(http.MethodGet, path, ""))
	c.validate(t, http.MethodGet, template, w.Code, w.Header().Get("Content-Type"), w.Body.Bytes())
	return w.Code, w.Body.Bytes()
}

// The table is answered as it is: every wood, every figure with its source,
// what is missing left out.
func TestSpecies(t *testing.T) {
	c := newCaller(t)
	_, raw := c.getAs(t, "/v1/species", "/v1/species")
	var list api.SpeciesListAnswer
	require.NoError(t, json.Unmarshal(raw, &list))
	all := wood.Species()
	require.Len(t, list.Species, len(all))
	assert.GreaterOrEqual(t, len(all), 20)
	for i := range all {
		t.Run(all[i].ID, func(t *testing.T) {
			status, raw := c.getAs(t, "/v1/species/"+all[i].ID, "/v1/species/{id}")
			require.Equal(t, http.StatusOK, status)
			var one api.SpeciesAnswer
			require.NoError(t, json.Unmarshal(raw, &one))
			assert.Equal(t, list.Species[i], one.Species)
			assert.Equal(t, all[i].ID, one.Species.ID)
			botanical := &one.Species.BotanicalName
			assertWoodSaid(t, say.BotanicalNote(all[i].Botanical.Note), botanical.Note, botanical.NoteMessage)
			assertFigures(t, &all[i], raw)
			assertLines(t, ask(c.handler, request(http.MethodGet, "/v1/species/"+all[i].ID, "", "Accept", "text/plain")).Body.String())
		})
	}
	assertLines(t, ask(c.handler, request(http.MethodGet, "/v1/species", "", "Accept", "text/plain")).Body.String())
}

// assertFigures holds an answer's properties against the table, both ways.
func assertFigures(t *testing.T, w *wood.Wood, raw []byte) {
	t.Helper()
	var answer struct{ Species map[string]json.RawMessage }
	require.NoError(t, json.Unmarshal(raw, &answer))
	const besides = 4 // id, name, group, botanical_name
	properties := 0
	for name, p := range w.Properties() {
		properties++
		var f api.WoodFigure
		require.NoError(t, json.Unmarshal(answer.Species[string(name)], &f), name)
		assert.Equal(t, p.Value, f.Value, name)
		assert.Equal(t, p.Unit, f.Unit, name)
		assert.Equal(t, p.Source, f.Source, name)
		assertWoodSaid(t, say.WoodNotes(p.Notes()), f.Note, f.NoteMessage)
		if p.Row == "" {
			assert.Equal(t, p.Table, f.Table, name)
		} else {
			assertWoodSaid(t, say.WoodRow(p.Table, p.Row), f.Table, f.TableMessage)
		}
		assert.Equal(t, p.Memory, f.Found == "memory", name)
		assert.Equal(t, p.InchPound.Known, f.InchPound != nil, name)
		if f.InchPound != nil {
			assert.Equal(t, p.InchPound.Value, f.InchPound.Value, name)
		}
	}
	assert.Len(t, answer.Species, besides+properties, "nothing that the table does not have")
}

// assertWoodSaid holds a text and its message against what is to be said: in English in
// the answer, in German without a gap and in other words.
func assertWoodSaid(t *testing.T, want message.Message, text string, m *api.Message) {
	t.Helper()
	if !want.Says() {
		assert.Empty(t, text)
		assert.Nil(t, m)
		return
	}
	en, de := texts(t)["en"], texts(t)["de"]
	assert.Equal(t, en.Text(want), text)
	require.NotNil(t, m)
	assert.Equal(t, want.Code, m.Code)
	assert.Equal(t, text, m.Text)
	assert.NotEqual(t, text, de.Text(want))
	assert.NotContains(t, text+de.Text(want), "[")
}

func assertLines(t *testing.T, text string) {
	t.Helper()
	require.NotEmpty(t, text)
	for _, line := range strings.Split(text, "\n") {
		assert.LessOrEqual(t, len([]rune(line)), receiptWidth, "%q", line)
		assert.Equal(t, strings.TrimRight(line, " "), line)
	}
}

// White oak, as read in the tables of the Wood Handbook (FPL-GTR-190, 13-5 and
// 4-3; FPL-GTR-282, 5-3b; ratios 5-1).
func TestWhiteOak(t *testing.T) {
	c := newCaller(t)
	_, raw := c.getAs(t, "/v1/species/white_oak", "/v1/species/{id}")
	var a api.SpeciesAnswer
	require.NoError(t, json.Unmarshal(raw, &a))
	assert.Equal(t, 0.0018, a.Species.RadialCoefficient.Value)
	assert.Equal(t, 0.00365, a.Species.TangentialCoefficient.Value)
	assert.Equal(t, 10.5, a.Species.TangentialShrinkage.Value)
	assert.Equal(t, 1360.0, a.Species.SideHardness.InchPound.Value)
	assert.Equal(t, "lbf", a.Species.SideHardness.InchPound.Unit)
	assert.Equal(t, "read", a.Species.TangentialRatio.Found)
	assert.Nil(t, a.Species.BasicSpecificGravity)
	text := ask(c.handler, request(http.MethodGet, "/v1/species/white_oak", "", "Accept", "text/plain")).Body.String()
	assert.Contains(t, text, "not in the table")
	assert.Contains(t, text, "basic spec. gravity")
}

func TestSpeciesNotFound(t *testing.T) {
	c := newCaller(t)
	for id, says := range map[string]string{
		"wite_oak":                      `did you mean "white_oak"?`,
		"White%20Oak":                   `did you mean "white_oak"?`,
		"walnut":                        `did you mean "black_walnut"?`,
		"ironwood":                      `"ironwood". GET /v1/species lists them.`,
		"%2e%2e%2fcutters":              `GET /v1/species lists them.`,
		"%22%3Csvg%3E":                  `GET /v1/species lists them.`,
		strings.Repeat("oak", 1000):     `oakoako...". GET`,
		"white_oak%00":                  `did you mean "white_oak"?`,
		"\u00e9rable":                   `GET /v1/species lists them.`,
		"hard%20maple":                  `did you mean "sugar_maple"?`,
		strings.Repeat("%E2%82%AC", 60): `..."`,
	} {
		w := ask(c.handler, request(http.MethodGet, "/v1/species/"+id, "", "Accept", "text/plain"))
		require.Equal(t, http.StatusNotFound, w.Code, id)
		p := problemIn(t, w)
		assert.Contains(t, p.Detail, says, id)
	}
	status, _ := c.getAs(t, "/v1/species/wite_oak", "/v1/species/{id}")
	assert.Equal(t, http.StatusNotFound, status, "and as the contract promises")
	assert.Equal(t, http.StatusMethodNotAllowed, ask(c.handler, request(http.MethodPost, "/v1/species/white_oak", "{}")).Code)
}

// redOakAndPoplar is worked by hand in joint/wood: red oak front, yellow-poplar
// side, 154 mm wide, cut at 11 % with 0.1 mm of play.
const redOakAndPoplar = `{"joint":{"play":"0.1 +/- 0 mm","pitch":22,"tail_widest":13,"depth":9,"nose_reach":16},
	"pin_board":{"width":154,"thickness":19,"species":"red_oak","grain":"flat_sawn","moisture":11},
	"tail_board":{"species":"yellow_poplar","grain":"flat_sawn","moisture":11}}`

// Table 13-5: C_T 0.00369 and 0.00289, C_R 0.00158 for both; the sums are in
// joint/wood's TestMovementByHand. Answers are rounded to 1e-6.
func TestMovementByHand(t *testing.T) {
	a := answerOf[api.WoodMovementAnswer](t, newCaller(t), woodPath, redOakAndPoplar)
	require.Len(t, a.Climates, 3)
	assert.Equal(t, []string{"now", "dry", "damp"}, []string{a.Climates[0].Season, a.Climates[1].Season, a.Climates[2].Season})
	dry := a.Climates[1]
	for _, row := range []struct {
		name      string
		want, got float64
	}{
		{"moisture", 6, dry.Moisture},
		{"pin board's change", 154 * -0.01845, dry.PinBoard.Change.MM},
		{"tail board's width, that of the pin board when cut", 154 * (1 - 0.01445), dry.TailBoard.Width.MM},
		{"thickness", 19 * (1 - 5*0.00158), dry.PinBoard.Thickness.MM},
		{"middle", 0.048, dry.Middle.Play.MM},
		{"outermost", -0.48, dry.Outermost.Play.MM},
		{"closing", -0.24, dry.Closing.MM},
		{"opening", 0.288, dry.Opening.MM},
		{"edge step", -0.308, dry.EdgeStep.MM},
		{"seat", 0.1264, dry.SeatChange.MM},
		{"shoulder", 0.0711, dry.ShoulderGap.MM},
		{"floor", 0, dry.FloorGap.MM},
	} {
		assert.InDelta(t, row.want, row.got, 1e-6, row.name)
	}
	assert.Equal(t, "tight", dry.State)
	assert.Equal(t, "outer", dry.Closes)
	assert.Equal(t, "will_not_close", dry.Outermost.Band)
	assert.Equal(t, "coefficient", dry.PinBoard.Basis)
	assert.Nil(t, dry.TailBoard.Thickness)
	require.NotNil(t, a.ClimatesSource)
	assert.Equal(t, "memory", a.ClimatesSource.Found)
	codes := adviceCodes(&a)
	assert.Subset(t, codes, []string{"same_wood", "wait", "cut_looser"})
	assert.NotContains(t, codes, "measure_moisture")
	for _, advice := range a.Advice {
		if advice.Code == "cut_looser" {
			assert.InDelta(t, 0.43, advice.Amount.MM, 1e-6, "-0.05 less -0.48")
			assert.Nil(t, advice.Depth, "no set-up")
		}
	}
}

func adviceCodes(a *api.WoodMovementAnswer) []string {
	codes := make([]string, len(a.Advice))
	for i := range a.Advice {
		codes[i] = a.Advice[i].Code
	}
	return codes
}

// Issue: same species on both boards: play hardly changes.
func TestSameSpeciesKeepsPlay(t *testing.T) {
	c := newCaller(t)
	for _, w := range wood.Species() {
		if !w.RadialShrinkage.Known {
			continue
		}
		board := fmt.Sprintf(`{"width":154,"species":%q,"grain":"flat_sawn","moisture":13}`, w.ID)
		a := answerOf[api.WoodMovementAnswer](t, c, woodPath,
			`{"joint":{"play":0.1,"pitch":22,"tail_widest":13,"depth":9},"same_stock":true,"pin_board":`+board+`,"tail_board":`+board+`}`)
		for _, climate := range a.Climates {
			assert.InDelta(t, 0.1, climate.Middle.Play.MM, 1e-6, w.ID)
			assert.InDelta(t, 0.1, climate.Outermost.Play.MM, 1e-6, w.ID)
			assert.Equal(t, "none", climate.Closes, w.ID)
			assert.NotEqual(t, "tight", climate.State, w.ID)
			assert.Negative(t, climate.PinBoard.Change.MM, "though both boards move")
		}
	}
}

// Issue: mixed: the mismatch grows with width.
func TestMismatchGrowsWithWidth(t *testing.T) {
	c := newCaller(t)
	lost := func(t *rapid.T, width float64) float64 {
		a := answerOf[api.WoodMovementAnswer](t, c, woodPath, strings.Replace(redOakAndPoplar, `"width":154`, fmt.Sprintf(`"width":%g`, width), 1))
		return 0.1 - a.Climates[1].Outermost.Play.MM
	}
	rapid.Check(t, func(t *rapid.T) {
		narrow := rapid.Float64Range(22, 400).Draw(t, "narrow")
		wide := rapid.Float64Range(narrow+1, 500).Draw(t, "wide")
		assert.InDelta(t, 0.004*(wide-narrow), lost(t, wide)-lost(t, narrow), 1e-5, "|e_p - e_t| (W2 - W1)")
	})
}

func TestMovementInEitherUnit(t *testing.T) {
	c := newCaller(t)
	rapid.Check(t, func(t *rapid.T) {
		width, play, depth := rapid.Float64Range(50, 600).Draw(t, "width"), rapid.Float64Range(-0.2, 0.5).Draw(t, "play"), rapid.Float64Range(5, 14).Draw(t, "depth")
		m := rapid.Float64Range(4, 20).Draw(t, "moisture")
		body := func(units string, per float64) string {
			return fmt.Sprintf(`{"units":%q,"joint":{"play":%g,"pitch":%g,"tail_widest":%g,"depth":%g},
				"pin_board":{"width":%g,"species":"white_oak","moisture":%g},"tail_board":{"species":"yellow_poplar","grain":"quarter_sawn","moisture":9}}`,
				units, play/per, 22.225/per, 13.5/per, depth/per, width/per, m)
		}
		mm := answerOf[api.WoodMovementAnswer](t, c, woodPath, body("mm", 1))
		in := answerOf[api.WoodMovementAnswer](t, c, woodPath, body("in", 25.4))
		for i := range mm.Climates {
			assert.InDelta(t, mm.Climates[i].Outermost.Play.MM, in.Climates[i].Outermost.Play.MM, 2e-6)
			assert.InDelta(t, mm.Climates[i].Outermost.Uncertainty.Low.MM, in.Climates[i].Outermost.Uncertainty.Low.MM, 2e-6)
			assert.Equal(t, mm.Climates[i].State, in.Climates[i].State)
			assert.True(t, strings.HasSuffix(mm.Climates[i].PinBoard.Width.Text, "mm") && strings.Contains(in.Climates[i].PinBoard.Width.Text, "in"))
		}
		assert.Equal(t, adviceCodes(&mm), adviceCodes(&in))
	})
}

const oakSetup = `{"template":{"kind":"one_piece","pitch":22.225,"opening":12.3,"finger_reach":13.5,"opening_reach":14.2},"bushing":{"diameter":11.11},
	"cutter":{"diameter":12.7,"angle":14},"depth":10.9,"pin_board":{"thickness":18.6%s},"tail_board":{"thickness":12.7%s}}`

// Boards may stand in the set-up or beside it: the answer is the same, and what
// stands beside it counts.
func TestBoardsOfTheSetup(t *testing.T) {
	c := newCaller(t)
	pin := `"width":155.6,"species":"white_oak","grain":"flat_sawn","moisture":12,"moisture_tolerance":0.5`
	tail := `"width":155.6,"species":"yellow_poplar","grain":"mixed","moisture":11`
	inside := answerOf[api.WoodMovementAnswer](t, c, woodPath, `{"setup":`+fmt.Sprintf(oakSetup, ","+pin, ","+tail)+`}`)
	beside := answerOf[api.WoodMovementAnswer](t, c, woodPath, `{"setup":`+fmt.Sprintf(oakSetup, "", "")+`,"pin_board":{`+pin+`},"tail_board":{`+tail+`}}`)
	assert.Equal(t, inside, beside)
	over := answerOf[api.WoodMovementAnswer](t, c, woodPath, `{"setup":`+fmt.Sprintf(oakSetup, `,"width":155.6,"species":"teak","grain":"quarter_sawn","moisture":5`, ","+tail)+
		`,"pin_board":{`+pin+`}}`)
	assert.Equal(t, inside, over)
	assert.Equal(t, "white_oak", *over.Joint.PinBoard.Species)
	assert.Equal(t, 0.25, over.Joint.PinBoard.MoistureUncertainty)

	// The play as cut is the prediction's, and so is its uncertainty.
	p := answerOf[api.FitPredictionAnswer](t, c, "/v1/fit-predictions", `{"setup":`+fmt.Sprintf(oakSetup, ","+pin, ","+tail)+`}`)
	assert.Equal(t, p.Fit.Play, inside.Joint.Play.Play)
	assert.Equal(t, p.Fit.Uncertainty, inside.Joint.Play.Uncertainty)
	assert.Equal(t, p.Widths.TailWidest, inside.Joint.TailWidest)
	measured := answerOf[api.WoodMovementAnswer](t, c, woodPath, `{"setup":`+fmt.Sprintf(oakSetup, ","+pin, ","+tail)+`,"joint":{"play":"0.3 +/- 0.02 mm"}}`)
	assert.Equal(t, 0.3, measured.Joint.Play.Play.MM)
	assert.Equal(t, 0.01, measured.Joint.Play.Uncertainty.Standard.MM)

	// Cut at the depth advised, the worst climate leaves the least play.
	var depth *api.Length
	for _, advice := range inside.Advice {
		if advice.Code == "cut_looser" {
			depth = advice.Depth
		}
	}
	require.NotNil(t, depth)
	looser := answerOf[api.WoodMovementAnswer](t, c, woodPath, strings.Replace(
		`{"setup":`+fmt.Sprintf(oakSetup, ","+pin, ","+tail)+`}`, `"depth":10.9`, fmt.Sprintf(`"depth":%g`, depth.MM), 1))
	assert.InDelta(t, -0.05, leastPlay(&looser), 0.02, "its tails are narrower too, which counts for a mismatch of 1 %% of that")
}

func leastPlay(a *api.WoodMovementAnswer) float64 {
	least := math.Inf(1)
	for i := range a.Climates {
		least = math.Min(least, a.Climates[i].Outermost.Play.MM)
	}
	return least
}

// What a record taught counts here as everywhere.
func TestMovementOfARecord(t *testing.T) {
	c := newCaller(t)
	first := answerOf[api.CorrectionAnswer](t, c, "/v1/corrections", recordBody)
	raw, err := json.Marshal(first.Record)
	require.NoError(t, err)
	setup := fmt.Sprintf(`"setup":{"record":%s,"bushing":{"id":"ours","diameter":"7/16 in"},"cutter":{"id":"old","diameter":"1/2 in","angle":14},"depth":10}`, raw)
	p := answerOf[api.FitPredictionAnswer](t, c, "/v1/fit-predictions", `{`+setup+`}`)
	a := answerOf[api.WoodMovementAnswer](t, c, woodPath, `{`+setup+`,"joint":{"pitch":22,"tail_widest":13},"pin_board":{"width":150}}`)
	assert.Equal(t, p.Fit.Play, a.Joint.Play.Play)
	assert.Equal(t, p.Fit.Uncertainty, a.Joint.Play.Uncertainty)
	assert.Equal(t, "unknown", a.Joint.PinBoard.Grain)
	assert.Nil(t, a.Joint.PinBoard.Species)
	assert.Equal(t, "default", a.Joint.TailBoard.MoistureFrom)
	assert.Contains(t, adviceCodes(&a), "measure_moisture")
}

// Air stands for the moisture that the handbook's table gives: 21.1 deg C (70
// degF) and 50 %: 9.2 % (Wood Handbook, FPL-GTR-190, Table 4-2).
func TestAir(t *testing.T) {
	a := answerOf[api.WoodMovementAnswer](t, newCaller(t), woodPath, `{"joint":{"play":0.1,"pitch":22,"tail_widest":13,"depth":9},
		"pin_board":{"width":154,"climate":{"temperature":21.1,"humidity":50}},"tail_board":{"moisture":9,"moisture_tolerance":3},
		"climates":[{"temperature":21.1,"humidity":50,"name":"here"},{"moisture":9.2}]}`)
	assert.InDelta(t, 9.2, a.Joint.PinBoard.Moisture, 0.06)
	assert.Equal(t, "climate", a.Joint.PinBoard.MoistureFrom)
	assert.Equal(t, 1.5, a.Joint.TailBoard.MoistureUncertainty)
	assert.Equal(t, a.Joint.PinBoard.Moisture, a.Climates[0].Moisture)
	assert.Equal(t, "here", a.Climates[0].Name)
	assert.Equal(t, "other", a.Climates[1].Season)
	assert.Nil(t, a.ClimatesSource)
}

// What the table lacks is said, climate by climate, and nothing in its place.
func TestMissingShrinkage(t *testing.T) {
	c := newCaller(t)
	const body = `{"explain":true,"joint":{"play":0.1,"pitch":22,"tail_widest":13,"depth":9},"pin_board":{"width":154,"species":"limba","moisture":9},
		"tail_board":{"species":"limba","moisture":9},"climates":[{"moisture":8},{"moisture":16},{"moisture":4,"name":"attic"}]}`
	a := answerOf[api.WoodMovementAnswer](t, c, woodPath, body)
	require.Nil(t, a.Climates[0].Missing)
	for _, lacking := range a.Climates[1:] {
		assert.Equal(t, &api.MissingProperty{Species: "limba", Property: "tangential_shrinkage"}, lacking.Missing)
		assert.Equal(t, "unknown", lacking.State)
		assert.Equal(t, "unknown", lacking.Closes)
		assert.Nil(t, lacking.Outermost)
		assert.Nil(t, lacking.PinBoard)
		assert.Contains(t, lacking.Text, "no tangential shrinkage of limba")
	}
	assert.Contains(t, a.Summary, "2 climates")
	assertPlain(t, c, woodPath, body)
	all := strings.Replace(body, `{"moisture":8},`, "", 1)
	none := answerOf[api.WoodMovementAnswer](t, c, woodPath, all)
	assert.Empty(t, none.Advice)
	assertPlain(t, c, woodPath, all)
}

// The arithmetic can be checked by hand: each strain is its coefficient times
// the change, or part by part.
func TestMovementWorking(t *testing.T) {
	c := newCaller(t)
	a := answerOf[api.WoodMovementAnswer](t, c, woodPath, `{"explain":true,"setup":`+fmt.Sprintf(oakSetup,
		`,"width":155.6,"species":"white_oak","grain":"flat_sawn","moisture":12`, `,"grain":"mixed","moisture":11`)+
		`,"climates":[{"moisture":8},{"moisture":4},{"moisture":5,"name":"x"},{"temperature":20,"humidity":40},{"moisture":12}]}`)
	lines := map[string]api.WorkingLine{}
	for _, l := range a.Working {
		lines[l.Name] = l
		assert.NotEmpty(t, l.Formula)
		assert.NotEmpty(t, l.Source)
	}
	pin, tail := lines["climates/0/pin_board/strain"], lines["climates/0/tail_board/strain"]
	assert.InDelta(t, pin.Values["C_T"]*(pin.Values["M"]-pin.Values["M_0"]), pin.Result, 1e-6)
	assert.Equal(t, 0.00365, pin.Values["C_T"])
	assert.NotContains(t, pin.Values, "S_T")
	assert.InDelta(t, (tail.Values["C_T"]+tail.Values["C_R"])/2*(8-11), tail.Result, 1e-6)
	assert.InDelta(t, 12.0, lines["climates/4/pin_board/strain"].Values["M"], 1e-9)
	assert.Zero(t, lines["climates/4/pin_board/strain"].Result)

	both := lines["climates/1/pin_board/strain"]
	inside := both.Values["C_T"] * (6 - 12)
	outside := (4 - 6) / (30*100/both.Values["S_T"] - 30 + 6)
	assert.InDelta(t, inside+outside+inside*outside, both.Result, 1e-6)

	o := lines["climates/0/outermost"]
	v := o.Values
	assert.InDelta(t, v["c"]-math.Abs(v["e_p"]-v["e_t"])*(v["W"]-v["P"]+v["s"]*v["w"]), o.Result, 2e-4, "strains are shown to 1e-6")
	assert.Equal(t, a.Climates[0].Outermost.Play.MM, o.Result)
	u := lines["climates/0/outermost/standard_uncertainty"]
	assert.InDelta(t, math.Hypot(u.Values["u_c"], u.Values["u_wood"]), u.Result, 1e-6)
	assert.Equal(t, a.Climates[3].Moisture, lines["climates/3/moisture"].Result)
	assert.Equal(t, a.Joint.Play.Play.MM, lines["play"].Result)
	seat := lines["climates/0/seat_change"]
	assert.InDelta(t, -seat.Values["e"]*seat.Values["y_n + R_n"], seat.Result, 2e-5)
}

// Every bad field at once, each with its pointer.
func TestWrongMovements(t *testing.T) {
	c := newCaller(t)
	joint := func(more string) string {
		return `{"joint":{"play":0.1,"pitch":22,"tail_widest":13,"depth":9},` + more + `}`
	}
	for name, row := range map[string]struct {
		body   string
		status int
		want   map[string]string // code by pointer
		says   string
	}{
		"unknown species": {
			joint(`"pin_board":{"width":154,"species":"wite_oak"},"tail_board":{"species":"yelow_poplar"}`), 400,
			map[string]string{"#/pin_board/species": "unknown_id", "#/tail_board/species": "unknown_id"},
			`did you mean \"white_oak\"?`,
		},
		"unknown species of the set-up": {
			`{"setup":` + fmt.Sprintf(oakSetup, `,"width":155,"species":"teack"`, "") + `}`, 400,
			map[string]string{"#/setup/pin_board/species": "unknown_id"},
			`did you mean \"teak\"?`,
		},
		"narrower than a pitch": {
			joint(`"pin_board":{"width":20},"tail_board":{"width":21.9}`), 400,
			map[string]string{"#/pin_board/width": "out_of_range", "#/tail_board/width": "out_of_range"},
			"",
		},
		"narrow boards of the set-up": {
			`{"setup":` + fmt.Sprintf(oakSetup, `,"width":20`, "") + `}`, 400,
			map[string]string{"#/setup/pin_board/width": "out_of_range"},
			"narrower than one pitch, 22.225 mm",
		},
		"tail wider than a pitch": {
			`{"joint":{"play":0.1,"pitch":22,"tail_widest":22.1,"depth":9},"pin_board":{"width":154}}`, 400,
			map[string]string{"#/joint/tail_widest": "out_of_range"},
			"leave no pins on a pitch of 22 mm",
		},
		"air out of range": {
			joint(`"pin_board":{"width":154,"climate":{"temperature":60,"humidity":2}},"climates":[{"temperature":-20,"humidity":99},{"moisture":31}]`), 400,
			map[string]string{
				"#/pin_board/climate/temperature": "out_of_range", "#/pin_board/climate/humidity": "out_of_range",
				"#/climates/0/temperature": "out_of_range", "#/climates/0/humidity": "out_of_range", "#/climates/1/moisture": "out_of_range",
			},
			"",
		},
		"range, species and width at once": {
			joint(`"pin_board":{"width":20,"species":"oke","moisture":-1},"tail_board":{"width":"20 mn","grain":"curly"}`), 400,
			map[string]string{
				"#/pin_board/width": "out_of_range", "#/pin_board/species": "unknown_id", "#/pin_board/moisture": "out_of_range",
				"#/tail_board/width": "unit_unknown", "#/tail_board/grain": "not_allowed",
			},
			"",
		},
		"climates half said": {
			joint(`"pin_board":{"width":154},"climates":[{"temperature":20},{"humidity":50},{"moisture":8,"humidity":50},{},{"season":"dry","name":"x"}]`), 400,
			map[string]string{
				"#/climates/0/humidity": "missing", "#/climates/1/temperature": "missing", "#/climates/2/moisture": "conflict",
				"#/climates/3/moisture": "missing", "#/climates/4/moisture": "missing",
			},
			"",
		},
		"moisture twice, tolerance of none": {
			joint(`"pin_board":{"width":154,"moisture":9,"climate":{"temperature":20,"humidity":50}},"tail_board":{"moisture_tolerance":1}`), 400,
			map[string]string{"#/pin_board/climate": "conflict", "#/tail_board/moisture": "missing"},
			"",
		},
		"no joint":       {`{"pin_board":{"width":154}}`, 400, map[string]string{"#/setup": "missing"}, ""},
		"nothing at all": {`{}`, 400, map[string]string{"#/setup": "missing", "#/pin_board/width": "missing"}, ""},
		"half a joint": {
			`{"joint":{"pitch":22},"pin_board":{"width":154}}`, 400,
			map[string]string{"#/joint/play": "missing", "#/joint/depth": "missing", "#/joint/tail_widest": "missing"},
			"",
		},
		"only an allowance": {
			`{"setup":{"template":{"kind":"allowance","allowance":2.3},"bushing":{"diameter":11},"cutter":{"diameter":12,"angle":14},"depth":9},"pin_board":{"width":154}}`, 400,
			map[string]string{"#/joint/pitch": "missing", "#/joint/tail_widest": "missing"},
			"",
		},
		"a name with a line break": {joint(`"pin_board":{"width":154},"climates":[{"moisture":8,"name":"a\nb"}]`), 400, map[string]string{"#/climates/0/name": "bad_format"}, ""},
		"a misspelt member":        {joint(`"pin_board":{"width":154,"specis":"teak"}`), 400, map[string]string{"#/pin_board/specis": "unknown_field"}, "did you mean `species`?"},
		"target upside down":       {joint(`"pin_board":{"width":154},"target":{"from":0.3}`), 400, map[string]string{"#/target": "conflict"}, ""},
		"through the front": {
			`{"setup":` + fmt.Sprintf(oakSetup, `,"width":155`, "") + `,"pin_board":{"thickness":10}}`, 422,
			map[string]string{"#/setup/depth": "impossible"},
			"come out at the drawer's face",
		},
	} {
		t.Run(name, func(t *testing.T) {
			status, raw := c.post(t, woodPath, row.body)
			require.Equal(t, row.status, status, "%s", raw)
			var p api.Problem
			require.NoError(t, json.Unmarshal(raw, &p))
			got := map[string]string{}
			for _, e := range p.Errors {
				got[e.Pointer] = e.Code
			}
			assert.Equal(t, row.want, got, "%s", raw)
			assert.Contains(t, string(raw), row.says)
			drawn := ask(c.handler, request(http.MethodPost, woodPath, row.body, "Accept", "image/svg+xml"))
			assert.Equal(t, status, drawn.Code, "the plot refuses what the answer refuses")
			assert.Equal(t, transfer.Problem, drawn.Header().Get("Content-Type"))
		})
	}
}

// The contract's ranges are those of the domain.
func TestRangesOfAirAndMoisture(t *testing.T) {
	schemas := newCaller(t).contract.Components.Schemas
	for _, row := range []struct {
		schema, property string
		low, high        float64
	}{
		{"Air", "temperature", wood.LeastTemperature, wood.GreatestTemperature},
		{"Air", "humidity", wood.LeastHumidity, wood.GreatestHumidity},
		{"WoodClimate", "temperature", wood.LeastTemperature, wood.GreatestTemperature},
		{"WoodClimate", "humidity", wood.LeastHumidity, wood.GreatestHumidity},
		{"WoodClimate", "moisture", wood.LeastMoisture, wood.FiberSaturation},
		{"WoodBoard", "moisture", wood.LeastMoisture, wood.FiberSaturation},
	} {
		s := schemas[row.schema].Value.Properties[row.property].Value
		assert.Equal(t, row.low, *s.Min, "%s.%s", row.schema, row.property)
		assert.Equal(t, row.high, *s.Max, "%s.%s", row.schema, row.property)
	}
	assert.Equal(t, 2*wood.ReadingUncertainty, 1.0, "the tolerance that the contract tells")
	assert.Equal(t, wood.Moisture{Percent: 8, StandardUncertainty: 1}, wood.UnknownMoisture(), "8 % within 2 %, as the contract tells")
	_, err := (&seasons.Question{}).OverHumidity(paper.Sweep)
	assert.NotEmpty(t, wood.RangeErrors(err), "the sweep itself is in range: what is wrong is the empty joint")
}

// Plywood hardly moves: an oak front with plywood sides is worse than one with
// sides of any wood, and by hand its outermost tails lose what the front alone
// gains, e (W - P - w) with e = (0.00365 - 0.2/3000) x 4.
func TestPlywoodSidesAreTheWorstMismatch(t *testing.T) {
	c := newCaller(t)
	body := func(tail string) string {
		return `{"joint":{"play":0.1,"pitch":22.225,"tail_widest":13,"depth":10},"pin_board":{"width":155.575,"species":"white_oak","grain":"flat_sawn","moisture":6},` +
			`"tail_board":{` + tail + `,"grain":"flat_sawn","moisture":6},"climates":[{"moisture":10}]}`
	}
	left := func(tail string) float64 {
		a := answerOf[api.WoodMovementAnswer](t, c, "/v1/wood-movements", body(tail))
		return a.Climates[0].Outermost.Play.MM
	}
	ply := left(`"material":"plywood"`)
	assert.InDelta(t, 0.1-(0.00365-0.002/30)*4*(155.575-22.225-13), ply, 1e-6)
	for _, w := range wood.Species() {
		assert.Less(t, ply, left(`"species":"`+w.ID+`"`), w.ID)
	}
	a := answerOf[api.WoodMovementAnswer](t, c, "/v1/wood-movements", body(`"material":"plywood","species":"yellow_poplar"`))
	assert.Equal(t, "plywood", a.Joint.TailBoard.Material)
	require.NotEmpty(t, a.Advice)
	assert.Contains(t, a.Advice[0].Text, "white oak and yellow poplar plywood do not swell by the same amount")
}

// Every wood of the table is named where its movement is told, in either language.
func TestEveryWoodIsNamed(t *testing.T) {
	c := newCaller(t)
	for _, s := range wood.Species() {
		body := strings.Replace(exampleOf(t, woodPath), `"species":"white_oak"`, `"species":"`+s.ID+`"`, 1)
		for language, p := range texts(t) {
			status, text := answered(t, c.handler, request(http.MethodPost, woodPath, body, "Accept", "text/plain", "Accept-Language", language))
			require.Equal(t, http.StatusOK, status, "%s: %s", s.ID, text)
			assert.Contains(t, text, p.Text(message.New("wood").As(s.ID)), language)
		}
	}
}
