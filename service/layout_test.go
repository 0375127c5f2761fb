package service

import (
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/api"
)

// handSetup is the set-up worked by hand in joint/layout: pins and tails are
// 8.5 mm at the root, 4 in 1 flanks 9.6 mm deep make them 13.3 mm.
const handSetup = `"setup":{"template":{"kind":"one_piece","pitch":22,"opening":12},"bushing":{"diameter":11},` +
	`"cutter":{"diameter":12.5,"angle":14.036243467926479},"depth":9.6,"pin_board":{"thickness":19}}`

// freeSetup is a template whose openings can be spaced freely.
const freeSetup = `"setup":{"template":{"kind":"two_position","tail_pass":{"opening":14,"finger":8},"pin_pass":{"opening":15.8,"finger":6.2}},` +
	`"bushing":{"diameter":11},"cutter":{"diameter":12.5,"angle":14},"depth":9.6}`

func layoutOf(t require.TestingT, c *caller, members string) api.LayoutAnswer {
	return answerOf[api.LayoutAnswer](t, c, "/v1/layouts", "{"+members+"}")
}

func TestLayoutByHand(t *testing.T) {
	c := newCaller(t)
	a := layoutOf(t, c, handSetup+`,"board_width":88,"groove":{"from_bottom":9,"width":6,"depth":8},"opening_height":100`)
	near := func(want float64, got api.Length) {
		t.Helper()
		assert.InDelta(t, want, got.MM, 1e-6)
	}
	assert.True(t, a.HalfPins)
	assert.Equal(t, "pin", a.Layout.CentredOn)
	assert.Equal(t, 4, a.Layout.Pitches)
	assert.Nil(t, a.Layout.Spacer)
	assert.Equal(t, "half_pin", a.EdgePins.Ending)
	assert.True(t, a.EdgePins.StrongEnough)
	near(4.25, a.EdgePins.Smallest)
	near(6.65, a.EdgePins.Widest)
	near(66, *a.Nearest.Smaller)
	near(110, a.Nearest.Larger)

	require.Len(t, a.Layout.PinBoard.Pins, 5)
	require.Len(t, a.Layout.TailBoard.PinSockets, 5)
	require.Len(t, a.Layout.PinBoard.TailSockets, 4)
	require.Len(t, a.Layout.TailBoard.Tails, 4)
	pin, tail := a.Layout.PinBoard.Pins[0], a.Layout.TailBoard.Tails[0]
	assert.Equal(t, "half", pin.Share)
	near(0, pin.Centre)
	near(6.65, pin.To)
	near(4.25, pin.Narrowest)
	assert.Equal(t, 1, tail.Number)
	assert.Equal(t, "whole", tail.Share)
	near(11, tail.Centre)
	near(4.35, tail.From)
	near(17.65, tail.To)
	near(13.3, tail.Widest)
	near(6.75, tail.NarrowFrom)
	near(15.25, tail.NarrowTo)
	near(8.5, tail.Narrowest)

	require.NotNil(t, a.Groove)
	assert.True(t, a.Groove.Hidden)
	require.NotNil(t, a.Groove.Tail)
	assert.Equal(t, 1, *a.Groove.Tail)
	near(0.25, a.Groove.Margin)
	assert.Empty(t, a.Groove.Shows)
	require.Len(t, a.Heights, 4)
	assert.Equal(t, 4, a.Heights[0].Tails)
	near(88, a.Heights[0].Height)
	near(12, a.Heights[0].LeftOver)
}

// Each limit that a layout judges anew, and what its sentence says.
func TestLayoutLimits(t *testing.T) {
	c := newCaller(t)
	limit := func(a api.LayoutAnswer, code string) api.Limit {
		for _, l := range a.Limits {
			if l.Code == code {
				return l
			}
		}
		require.Fail(t, code)
		return api.Limit{}
	}
	thin := layoutOf(t, c, handSetup+`,"board_width":106`) // five pitches: 4.25 - 2
	assert.False(t, *limit(thin, "edge_pin").OK)
	assert.InDelta(t, -0.75, limit(thin, "edge_pin").Margin.MM, 1e-6)
	assert.False(t, thin.EdgePins.StrongEnough)
	assert.Contains(t, thin.Summary, "too weak")
	assert.Nil(t, limit(thin, "groove_in_tail").OK)
	assert.Nil(t, limit(thin, "groove_depth").OK)
	assert.Nil(t, thin.Groove)
	assert.Empty(t, thin.Heights)

	shows := layoutOf(t, c, handSetup+`,"board_width":88,"groove":{"from_bottom":10,"width":6,"depth":10}`)
	assert.False(t, *limit(shows, "groove_in_tail").OK)
	assert.InDelta(t, -0.75, limit(shows, "groove_in_tail").Margin.MM, 1e-6)
	assert.InDelta(t, -0.4, limit(shows, "groove_depth").Margin.MM, 1e-6)
	assert.Equal(t, []string{"beside_tail", "under_tail"}, []string{shows.Groove.Shows[0].Where, shows.Groove.Shows[1].Where})
	assert.Contains(t, shows.Summary, "down by 0.75 mm, to 9.25 mm, or up by 18.75 mm, to 28.75 mm")
	assert.Contains(t, shows.Summary, "at most 9.6 mm deep")

	wide := layoutOf(t, c, handSetup+`,"board_width":88,"groove":{"from_bottom":9,"width":9,"depth":8}`)
	assert.Nil(t, wide.Groove.HidesLower)
	assert.Nil(t, wide.Groove.MoveUp)
	assert.Contains(t, wide.Groove.Text, "it can't be hidden")
	last := layoutOf(t, c, handSetup+`,"board_width":88,"groove":{"from_bottom":80,"width":6,"depth":8}`)
	assert.NotNil(t, last.Groove.MoveDown)
	assert.Nil(t, last.Groove.HidesHigher)
	assert.Contains(t, last.Groove.Text, "moved down by")
	first := layoutOf(t, c, handSetup+`,"board_width":88,"groove":{"from_bottom":1,"width":6,"depth":8}`)
	assert.Contains(t, first.Groove.Text, "moved up by 5.75 mm, to 6.75 mm.")

	through := layoutOf(t, c, strings.Replace(handSetup, `"thickness":19`, `"thickness":12`, 1)+`,"board_width":88`)
	assert.Contains(t, through.Summary, "Do not cut yet: the front is left too thin")
}

// Every ending has its sentence.
func TestLayoutEndings(t *testing.T) {
	c := newCaller(t)
	for width, row := range map[string][2]string{
		"88":   {"half_pin", "half pins at both edges"},
		"95":   {"part_pin", "centred on a pin, the pins at both edges keep 7.75 mm"},
		"97.5": {"whole_pin", "a narrow open notch in front of them"},
		"35.4": {"part_tail", "both edges run through a tail"},
		"5":    {"part_tail", "Boards of 22 mm would end in half pins."},
	} {
		a := layoutOf(t, c, handSetup+`,"board_width":`+width)
		assert.Equal(t, row[0], a.EdgePins.Ending, width)
		assert.Contains(t, a.Summary, row[1], width)
	}
	filled := layoutOf(t, c, handSetup+`,"opening_height":88`)
	assert.Contains(t, filled.Summary, "A drawer of 88 mm fills the opening")
	left := layoutOf(t, c, handSetup+`,"opening_height":100`)
	assert.InDelta(t, 88, left.Layout.BoardWidth.MM, 1e-6, "the highest drawer is laid out")
	assert.Contains(t, left.Summary, "is 88 mm, which leaves 12 mm.")
	none := layoutOf(t, c, handSetup+`,"board_width":30,"opening_height":20`)
	assert.Empty(t, none.Heights)
}

// What may be posted back: a width answered ends in half pins, a groove moved
// as told hides, a spacing asked for is kept.
func TestLayoutPostedBack(t *testing.T) {
	c := newCaller(t)
	rapid.Check(t, func(t *rapid.T) {
		setup := rapid.SampledFrom([]string{handSetup, freeSetup + `,"spacing":{"pitch_from":19,"pitch_to":30}`}).Draw(t, "setup")
		width := rapid.Float64Range(60, 300).Draw(t, "width")
		groove := rapid.Float64Range(1, 50).Draw(t, "groove")
		members := func(width, groove any) string {
			raw, err := json.Marshal(map[string]any{
				"board_width": width, "groove": map[string]any{"from_bottom": groove, "width": 2, "depth": 8},
			})
			require.NoError(t, err)
			return setup + "," + strings.Trim(string(raw), "{}") + "}"
		}
		a := layoutOf(t, c, members(width, groove)+fmt.Sprintf(`,"opening_height":%g`, width))
		assert.Equal(t, a.HalfPins, a.EdgePins.Otherwise == nil)
		require.NotEmpty(t, a.Heights)
		for _, again := range []*api.Length{a.Nearest.Smaller, &a.Nearest.Larger, &a.Heights[0].Height, &a.Heights[0].LeastHeight} {
			if again.MM > groove+2 {
				assert.True(t, layoutOf(t, c, members(again, groove)).HalfPins, "%v", again)
			}
		}
		for _, place := range []*api.Length{a.Groove.HidesLower, a.Groove.HidesHigher} {
			if place != nil {
				assert.True(t, layoutOf(t, c, members(width, place)).Groove.Hidden)
			}
		}
	})
}

// The solid cases' widths, over HTTP: each within the tolerance that the case
// states and the resolution of answers.
func TestSolidLayoutsOverHTTP(t *testing.T) {
	c := newCaller(t)
	raw, err := os.ReadFile(filepath.Join("..", "testdata", "solid-joint.json"))
	require.NoError(t, err)
	var file struct{ Cases []map[string]any }
	require.NoError(t, json.Unmarshal(raw, &file))
	require.NotEmpty(t, file.Cases)
	for _, solid := range file.Cases {
		request := solidRequest(t, solid)
		width := 5 * solid["template"].(map[string]any)["pitch"].(float64)
		a := answerOf[api.LayoutAnswer](t, c, "/v1/layouts", fmt.Sprintf(`%s,"board_width":%g}`, strings.TrimSuffix(request, "}"), width))
		assert.True(t, a.HalfPins)
		measured, tolerance := solid["measured"].(map[string]any), solid["tolerance"].(map[string]any)["widths"].(float64)
		for name, part := range map[string]api.LayoutPart{
			"pin": a.Layout.PinBoard.Pins[1], "tail_socket": a.Layout.PinBoard.TailSockets[1],
			"tail": a.Layout.TailBoard.Tails[1], "pin_socket": a.Layout.TailBoard.PinSockets[1],
		} {
			assert.InDelta(t, measured[name+"_widest"], part.Widest.MM, tolerance+1e-6, "%s %s", solid["id"], name)
			assert.InDelta(t, measured[name+"_narrowest"], part.Narrowest.MM, tolerance+1e-6, "%s %s", solid["id"], name)
		}
	}
}

// The rule for the four corners, and that it reads without a table.
func TestLayoutCorners(t *testing.T) {
	a := layoutOf(t, newCaller(t), handSetup+`,"board_width":88`)
	var got []string
	for _, corner := range a.Corners {
		got = append(got, strings.Join([]string{corner.Label, corner.Corner, corner.PinBoard, corner.TailBoard, corner.Stop, corner.PositionsRun}, " "))
		assert.Equal(t, []string{"bottom", "inside", "inside"}, []string{corner.EdgeAtStop, corner.PinBoardUp, corner.TailBoardOut})
		assert.Contains(t, corner.Text, "bottom edge at the "+corner.Stop+" stop")
	}
	assert.Equal(t, []string{
		"FL front_left front left_side left left_to_right",
		"FR front_right front right_side right right_to_left",
		"BL back_left back left_side right right_to_left",
		"BR back_right back right_side left left_to_right",
	}, got)
}

func TestLayoutRefusals(t *testing.T) {
	c := newCaller(t)
	first := answerOf[api.CorrectionAnswer](t, c, "/v1/corrections", recordBody)
	record, err := json.Marshal(first.Record)
	require.NoError(t, err)
	const rest = `"bushing":{"diameter":11},"cutter":{"diameter":12.5,"angle":14},"depth":9.6`
	boards := func(more string) string { return strings.Replace(handSetup, `"thickness":19}`, more, 1) }
	for name, row := range map[string]struct {
		members string
		status  int
		want    map[string]string
	}{
		"allowance":      {`"setup":{"template":{"kind":"allowance","allowance":2},` + rest + `},"board_width":88`, 400, map[string]string{"#/setup/template/kind": "conflict"}},
		"its record":     {`"setup":{"record":` + string(record) + `,` + rest + `},"board_width":88`, 400, map[string]string{"#/setup/record": "conflict"}},
		"no width":       {handSetup, 400, map[string]string{"#/board_width": "missing"}},
		"no set-up":      {`"board_width":88`, 400, map[string]string{"#/setup": "missing"}},
		"widths differ":  {boards(`"width":88},"tail_board":{"width":89}`), 400, map[string]string{"#/setup/tail_board/width": "conflict"}},
		"width unread":   {boards(`"width":"88 mn"}`), 400, map[string]string{"#/setup/pin_board/width": "unit_unknown"}},
		"too narrow":     {handSetup + `,"board_width":0.01`, 400, map[string]string{"#/board_width": "out_of_range"}},
		"one pass":       {handSetup + `,"board_width":88,"spacing":{"pitch_from":20,"pitch_to":30}`, 400, map[string]string{"#/spacing": "conflict"}},
		"reversed":       {freeSetup + `,"board_width":88,"spacing":{"pitch_from":30,"pitch_to":20}`, 400, map[string]string{"#/spacing/pitch_from": "conflict"}},
		"too close":      {freeSetup + `,"board_width":88,"spacing":{"pitch_from":15,"pitch_to":20}`, 422, map[string]string{"#/spacing/pitch_from": "impossible"}},
		"off the board":  {handSetup + `,"board_width":10,"groove":{"from_bottom":9,"width":6,"depth":8}`, 400, map[string]string{"#/groove/from_bottom": "conflict"}},
		"off the drawer": {handSetup + `,"opening_height":25,"groove":{"from_bottom":19,"width":6,"depth":8}`, 400, map[string]string{"#/groove/from_bottom": "conflict"}},
		"two depths":     {boards(`"groove_depth":7}`) + `,"board_width":88,"groove":{"from_bottom":9,"width":6,"depth":8}`, 400, map[string]string{"#/groove/depth": "conflict"}},
		"opening":        {handSetup + `,"opening_height":21`, 400, map[string]string{"#/opening_height": "out_of_range"}},
		"no pin":         {strings.Replace(handSetup, "12.5", "25", 1) + `,"board_width":88`, 422, map[string]string{"#/setup/cutter/diameter": "impossible"}},
		"no pin, opening": {
			strings.Replace(handSetup, "12.5", "25", 1) + `,"opening_height":88`, 422, map[string]string{"#/setup/cutter/diameter": "impossible"},
		},
		"too many": {
			freeSetup + `,"board_width":2000,"opening_height":2000,"spacing":{"pitch_from":1,"pitch_to":20}`,
			400,
			map[string]string{"#/board_width": "out_of_range"},
		},
		"all at once": {
			boards(`"width":2000,"groove_depth":7}`) + `,"spacing":{"pitch_from":30,"pitch_to":2},"groove":{"from_bottom":1999,"width":6,"depth":8}`, 400,
			map[string]string{"#/spacing": "conflict", "#/spacing/pitch_from": "conflict", "#/groove/depth": "conflict", "#/groove/from_bottom": "conflict"},
		},
		"all unread": {
			handSetup + `,"board_width":"wide","opening_height":-1,"spacing":{"pitch_from":"x","pitch_to":0},"groove":{"from_bottom":"1 mn","width":0,"depth":3000}`, 400,
			map[string]string{
				"#/board_width": "not_a_length", "#/opening_height": "out_of_range", "#/spacing/pitch_from": "not_a_length", "#/spacing/pitch_to": "out_of_range",
				"#/groove/from_bottom": "unit_unknown", "#/groove/width": "out_of_range", "#/groove/depth": "out_of_range",
			},
		},
	} {
		t.Run(name, func(t *testing.T) {
			status, raw := c.post(t, "/v1/layouts", "{"+row.members+"}")
			require.Equal(t, row.status, status, "%s", raw)
			var problem api.Problem
			require.NoError(t, json.Unmarshal(raw, &problem))
			got := map[string]string{}
			for _, e := range problem.Errors {
				got[e.Pointer] = e.Code
			}
			assert.Equal(t, row.want, got, "%s", raw)
		})
	}
}

// A width in the set-up is where too many pitches are told.
func TestTooManyPitchesPointAtTheWidth(t *testing.T) {
	c := newCaller(t)
	for board, pointer := range map[string]string{
		"pin_board": "#/setup/pin_board/width", "tail_board": "#/setup/tail_board/width",
	} {
		status, raw := c.post(t, "/v1/layouts", `{"setup":{"template":{"kind":"one_piece","pitch":3,"opening":1.8},"bushing":{"diameter":1},`+
			`"cutter":{"diameter":1.2,"angle":5},"depth":1,"`+board+`":{"width":2000}}}`)
		assert.Equal(t, http.StatusBadRequest, status)
		assert.Contains(t, string(raw), `"`+pointer+`"`)
		assert.Contains(t, string(raw), "667 pitches")
	}
	status, raw := c.post(t, "/v1/layouts", `{"setup":{"template":{"kind":"one_piece","pitch":3,"opening":1.8},"bushing":{"diameter":1},`+
		`"cutter":{"diameter":1.2,"angle":5},"depth":1},"opening_height":2000}`)
	assert.Equal(t, http.StatusBadRequest, status)
	assert.Contains(t, string(raw), `"#/opening_height"`)
}

// A cutting guide holds what the bench needs, in order.
func TestLayoutText(t *testing.T) {
	c := newCaller(t)
	text := func(members string) string {
		w := ask(c.handler, request(http.MethodPost, "/v1/layouts", "{"+members+"}", "Accept", "text/plain"))
		require.Equal(t, http.StatusOK, w.Code)
		return w.Body.String()
	}
	guide := text(handSetup + `,"board_width":95,"opening_height":400,"groove":{"from_bottom":14,"width":6,"depth":8}`)
	at := 0
	for _, part := range []string{
		"LAYOUT\n", "board width         95 mm (3 47/64 in)\n", "spacer at each stop 18.5 mm (0.728 in)\n", "half pins below     88 mm",
		"whole tail          13.3 mm wide, 8.5 mm at the root\n", "! Broken by 1.25 mm: the groove shows beside the tail",
		"PIN BOARD", "1    0 mm                10.15 mm            3.5 mm, part\n", "5    84.85 mm            95 mm               91.5 mm, part\n",
		"TAIL BOARD", "1    7.85 mm             21.15 mm            14.5 mm\n",
		"CORNERS", "FL Front left corner", "BR Back right corner", "DRAWER HEIGHTS", "18 tails            396 mm", "... and 8 more in the JSON.", "CAUTION",
	} {
		i := strings.Index(guide[at:], part)
		require.GreaterOrEqual(t, i, 0, "%q in its place in\n%s", part, guide)
		at += i
	}
	assert.Contains(t, text(handSetup+`,"board_width":5`), "the bottom edge\nnone\n", "no pin on it")
	assert.Contains(t, unwrapped([]byte(text(freeSetup+`,"board_width":100,"opening_height":100,"spacing":{"pitch_from":18,"pitch_to":30}`))), "or down to 90 mm")
}
