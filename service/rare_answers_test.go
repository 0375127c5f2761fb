package service

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/api"
)

// rareReaches are reaches of the template in a set-up with a bearing.
func rareReaches(opening, finger string) string {
	return rareSetup(strings.Replace(rareTemplate, "}", `,"opening_reach":`+opening+`,"finger_reach":`+finger+`}`, 1) +
		`,` + rareBearing + `,` + rareCutter + `,"depth":10.9,"tail_board":{"thickness":12}`)
}

// assertSaid asks each, and holds that its answer says what it should.
func assertSaid(t *testing.T, c *caller, rows []rare) {
	t.Helper()
	for _, row := range rows {
		t.Run(row.key, func(t *testing.T) {
			status, text := answered(t, c.handler, request(http.MethodPost, row.path, row.body, "Accept", row.media))
			assert.Equal(t, http.StatusOK, status, text)
			assert.Contains(t, text, row.says)
		})
	}
}

// Answers about joints that few set-ups have.
func TestRareAnswers(t *testing.T) {
	c := newCaller(t)
	var cutters, drawers []string
	for i := range 13 {
		cutters = append(cutters, fmt.Sprintf(`{"diameter":"%.2f mm","angle":14}`, 12.6+0.02*float64(i)))
	}
	for _, lip := range []string{"6", "7"} {
		drawers = append(drawers, `{"id":"lip of `+lip+`","outside":{"width":400,"height":133.35,"depth":400},"front":"fronts","sides":"sides","back":"fronts","lip":{"width":`+lip+`,"thickness":6,"edges":"ends_and_top"}}`)
	}
	lipped := `{"setup":{` + rareTemplate + `,` + rareBushing + `},"cutters":[` + strings.Join(cutters, ",") + `],"stock":[{"id":"fronts","thickness":22},{"id":"sides","thickness":12}],"drawers":[` + strings.Join(drawers, ",") + `]}`
	four := `{"setup":{` + rareTemplate + `,` + rareBushing + `,"pin_board":{"thickness":19}},"cutters":[{"id":"1_2in_14deg"},{"diameter":12.6,"angle":14},{"diameter":12.5,"angle":14},{"diameter":12.4,"angle":14}]}`
	// Reaches at which pins and tails just lose their straight flanks: none is short of its own round end.
	const justNone = "The template's reaches are just at the limit: for a joint that holds its fingers, its openings or both have to reach further."
	assertSaid(t, c, []rare{
		{"choice_others.all_work", "/v1/cutter-recommendations", four, "All 3 other pairs work too.", "text/plain"},
		{"no_joint.template", predictPath, rareSetup(strings.Replace(rareTemplate, "}", `,"opening_reach":6.15,"finger_reach":30}`, 1) + `,` + rareTools + `,"depth":10.9`), justNone, "text/plain"},
		{"no_joint.template", predictPath, rareReaches("20", "4.9625"), justNone, "text/plain"},
		{"plain.drawers.set_ups_are.perhaps_more", partsPath, lipped, "set-ups 3, 0 changes of cutter, perhaps not the fewest, which are 2 or more", "text/plain"},
		{
			"reading.seat.flush", diagnosisPath,
			`{"setup":{"template":{"kind":"one_piece","pitch":22.225,"opening":12.6,"opening_reach":14.2,"finger_reach":13.1},"bushing":{"diameter":10.8},"depth":9.5,"pin_board":{"thickness":19,"width":178}},"test_cuts":[{"feel":"rattles","measured":{"tail_widest":13.7,"tail_socket_widest":13}},{"pulled_gap":1.8}],"answered":["ask_cut_weeks_ago","ask_second_pass"]}`,
			"the side is about flush", "application/json",
		},
		{
			"reading.opening", diagnosisPath,
			`{"setup":{"template":{"kind":"one_piece","pitch":22.225,"opening":12.6},"bushing":{"diameter":11.1},"cutter":{"diameter":12.7,"angle":14},"depth":10.5},"test_cuts":[{"feel":"rattles"}],"answered":["measure_bushing","measure_cutter","measure_depth","measure_cutter_angle","ask_cut_weeks_ago","ask_tear_out","measure_widths","look_both_ends","straightedge","moisture_meter","scrap_slot","pull_joint","see_seat","see_edges","rock_template","ask_one_setting","ask_router_turned","ask_second_pass","ask_cutter_changed","measure_boards"]}`,
			"an opening is about", "application/json",
		},
		{
			"reading.pin_play.narrower", diagnosisPath,
			`{"setup":{"bushing":{"diameter":12},"cutter":{"diameter":12.7,"angle":8},"depth":{"pin_board":10.9,"tail_board":10.2},"tail_board":{"thickness":12,"width":178}},"test_cuts":[{"feel":"rattles","measured":{"tail_widest":13.7,"tail_socket_widest":13}}],"answered":["ask_cut_weeks_ago","ask_second_pass","measure_cutter","moisture_meter","measure_boards","measure_depth","ask_tear_out","rock_template","pull_joint","ask_cutter_changed","measure_cutter_angle","measure_bushing","measure_template","look_both_ends","measure_widths","see_edges","see_seat","straightedge"]}`,
			"a pin socket is narrower than a pin by about", "application/json",
		},
	})
}

// Answers that say more as a page, a drawing, a plot or a list.
func TestRareForms(t *testing.T) {
	c := newCaller(t)
	blocks := `{"setup":{"template":{"kind":"one_piece","pitch":22.225,"opening":12.3,"thickness":8},"bushing":{"diameter":11.11,"barrel":5},` + rareCutter +
		`,"depth":10.9,"router":{"gauge_blocks":[16,10,2,1,0.5]},"pin_board":{"thickness":19},"tail_board":{"thickness":12}},"test_cuts":[{"depth":10.9,"pulled_gap":0.9}]}`
	shortFingers := rareSetup(`"template":{"kind":"two_position","tail_pass":{"opening":17.4,"finger":13.4,"opening_reach":25.5,"finger_reach":9.5},"pin_pass":{"opening":17.4,"finger":13.4,"opening_reach":31.5,"finger_reach":-3}},` +
		`"bushing":{"diameter":13.6},"cutter":{"diameter":12.2,"angle":20},"depth":13.8,"tail_board":{"thickness":12.8}`)
	assertSaid(t, c, []rare{
		{"sheet.row.set_by", sheetPath, blocks, "set by", "image/svg+xml"},
		{"drawing.size.pin_end_radius", drawingPath, shortFingers, "pin end", "image/svg+xml"},
		{"plain.fit.floor", predictPath, rareSetup(rareTemplate + `,` + rareTools + `,"depth":{"pin_board":11.8,"tail_board":10.9}`), "hidden floor gap", "text/plain"},
		{"plain.layout.ending.whole_pin", "/v1/layouts", strings.TrimSuffix(rareDepth("10.9"), "}") + `,"board_width":100}`, "whole pin", "text/plain"},
		{"csv.refused", partsPath, partsExample(t, c, "odd_ones", nil), "thin back refused,drawer thin back,,refused,", "text/csv;profile=pieces"},
	})
}

// What a record keeps for the test board, with a bearing on the cutter.
func TestRareGauges(t *testing.T) {
	c := newCaller(t)
	fits := `{"setup":{` + rareTemplate + `,` + rareBearing + `,` + rareCutter + `,"depth":10.9},"test_cuts":[{"depth":10.9,"feel":"hand_pressure"}]}`
	for _, row := range []rare{
		{key: "gauge.fits@bearing", body: fits, says: "Cutter 12.7 mm 14 deg, bearing 11.11 mm, depth 10.9 mm: fits. Depth gauge, do not cut."},
		{key: "gauge.no_joint@bearing", body: rareReaches("-2", "0"), says: "Cutter 12.7 mm 14 deg, bearing 11.11 mm, depth 10.95 mm: no joint, not to be cut."},
	} {
		t.Run(row.key, func(t *testing.T) {
			assert.Equal(t, row.says, answerOf[api.CorrectionAnswer](t, c, correctionPath, row.body).Record.Gauge)
		})
	}
}

// A shop says lengths as its operator wrote them, and what kind each template is.
func TestRareShop(t *testing.T) {
	shop, err := ReadShop([]byte(`{"units":"in","templates":[
		{"name":"A","template":{"kind":"two_position","tail_pass":{"opening":0.5,"finger":0.5},"pin_pass":{"opening":0.5,"finger":0.5}}},
		{"name":"B","template":{"kind":"allowance","allowance":0.04}},
		{"name":"C","template":{"kind":"proven","cutter":{"diameter":0.5,"angle":14},"bushing":{"diameter":"7/16 in"},"depth":0.45}}],
		"bushings":[{"name":"D","bushing":{"diameter":0.4375}}],"cutters":[],"boards":[{"name":"E","thickness":{"mm":16}}]}`))
	require.NoError(t, err)
	_, text := answered(t, newCallerOf(t, Config{Shop: shop}).handler, request(http.MethodGet, "/v1/shop", "", "Accept", "text/plain"))
	assert.Equal(t, "TEMPLATES - A: two position - B: allowance - C: proven BUSHINGS - D: 0.4375 in BOARDS - E: 16 mm", text)
}

// rareMovement asks about a joint that is known by its sizes.
func rareMovement(joint, pinBoard, tailBoard, more string) string {
	return `{"joint":{` + joint + `},"pin_board":{` + pinBoard + `},"tail_board":{` + tailBoard + `}` + more + `}`
}

// Woods and plots of which seldom anything is said.
func TestRareWood(t *testing.T) {
	c := newCaller(t)
	const (
		drawer = `"play":0.12,"pitch":22.225,"tail_widest":13.6,"depth":10.9`
		coarse = `"play":-0.1,"pitch":300,"tail_widest":146,"depth":30`
		board  = `"width":133.4`
	)
	climates := make([]string, 12)
	for i := range climates {
		climates[i] = fmt.Sprintf(`{"name":"room %d of the harbour museum","moisture":%.1f}`, i, 8+0.2*float64(i))
	}
	assertSaid(t, c, []rare{
		{"wood.sweetgum", woodPath, rareMovement(drawer, board+`,"species":"sweetgum"`, board, ""), "pin board sweetgum, grain not stated", "text/plain"},
		{"wood_property.radial_shrinkage", woodPath, rareMovement(drawer, board+`,"species":"limba","grain":"quarter_sawn","moisture":9`, board, `,"climates":[{"moisture":3}]`), "Not known: the table has no radial shrinkage of limba.", "text/plain"},
		{"plot.unnamed", woodPath, rareMovement(drawer, board, board, `,"climates":[`+strings.Join(climates, ",")+`]`), "No room for the name of 7 lines.", "image/svg+xml"},
		{"plot.beyond.both", woodPath, rareMovement(coarse, `"width":440,"species":"white_oak","grain":"flat_sawn","moisture":0`, `"width":400,"material":"plywood","moisture":8`, ""), "Both curves run on beyond the plot.", "image/svg+xml"},
		{"plot.beyond.middle", woodPath, rareMovement(`"play":-0.1,"pitch":100,"tail_widest":61,"depth":11`, `"width":125.3,"species":"white_oak","grain":"quarter_sawn","moisture":2`, `"width":129.7,"species":"teak","grain":"quarter_sawn","moisture":20,"material":"plywood"`, ""), "The curve of the tails in the middle runs on beyond the plot.", "image/svg+xml"},
	})
}
