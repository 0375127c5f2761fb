package service

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/api"
	"snugtail/api/apitest"
	"snugtail/service/transfer"
)

// caller asks the real service and holds every answer against the contract
// with its answers closed.
type caller struct {
	t        testing.TB
	handler  http.Handler
	contract *openapi3.T
	partial  *openapi3.T // of whose answers any part may be left out
}

func newCaller(t testing.TB) *caller { return newCallerOf(t, Config{}) }

func newCallerOf(t testing.TB, config Config) *caller {
	s, err := New(config)
	require.NoError(t, err)
	return &caller{t, s.Handler(), apitest.ClosedDocument(t), apitest.PartialDocument(t)}
}

// post sends a body and returns the status and the answer, which validates.
func (c *caller) post(t require.TestingT, path, body string) (int, []byte) {
	w := ask(c.handler, request(http.MethodPost, path, body))
	c.validate(t, http.MethodPost, path, w.Code, w.Header().Get("Content-Type"), w.Body.Bytes())
	return w.Code, w.Body.Bytes()
}

func (c *caller) validate(t require.TestingT, method, path string, status int, media string, body []byte) {
	validateBy(t, c.contract, method, path, status, media, body)
}

func validateBy(t require.TestingT, contract *openapi3.T, method, path string, status int, media string, body []byte) {
	response := contract.Paths.Value(path).GetOperation(method).Responses.Status(status)
	require.NotNil(t, response, "%s does not promise %d: %s", path, status, body)
	content := response.Value.Content.Get(media)
	require.NotNil(t, content, "%s %d does not promise %s", path, status, media)
	var value any
	require.NoError(t, json.Unmarshal(body, &value))
	require.NoError(t, content.Schema.Value.VisitJSON(value, openapi3.MultiErrors()), "%s", body)
}

func answerOf[A any](t require.TestingT, c *caller, path, body string) A {
	status, raw := c.post(t, path, body)
	require.Equal(t, http.StatusOK, status, "%s", raw)
	var a A
	require.NoError(t, json.Unmarshal(raw, &a))
	return a
}

// Every example of the contract is answered as the contract says, explained
// or not, in either unit, as JSON and as text of at most 72 columns.
func TestEveryExampleIsAnswered(t *testing.T) {
	c := newCaller(t)
	for path, item := range c.contract.Paths.Map() {
		if item.Post == nil || !answersJSON(item.Post) { // drawings have tests of their own
			continue
		}
		for name, example := range item.Post.RequestBody.Value.Content.Get(transfer.JSON).Examples {
			for _, units := range []string{"mm", "in"} {
				for _, explain := range []bool{false, true} {
					t.Run(fmt.Sprintf("%s/%s/%s/%v", path, name, units, explain), func(t *testing.T) {
						body := withMembers(t, example.Value.Value, map[string]any{"units": units, "explain": explain})
						status, raw := c.post(t, path, body)
						if units == example.Value.Value.(map[string]any)["units"] {
							require.Equal(t, http.StatusOK, status, "%s", raw)
						}
						assertPlain(t, c, path, body)
					})
				}
			}
		}
	}
}

func answersJSON(op *openapi3.Operation) bool {
	return op.Responses.Status(http.StatusOK).Value.Content.Get(transfer.JSON) != nil
}

func withMembers(t testing.TB, value any, members map[string]any) string {
	object := map[string]any{}
	for name, member := range value.(map[string]any) {
		object[name] = member
	}
	for name, member := range members {
		object[name] = member
	}
	raw, err := json.Marshal(object)
	require.NoError(t, err)
	return string(raw)
}

func assertPlain(t *testing.T, c *caller, path, body string) {
	t.Helper()
	w := ask(c.handler, request(http.MethodPost, path, body, "Accept", "text/plain"))
	if w.Code != http.StatusOK {
		return
	}
	assert.Equal(t, "text/plain; charset=utf-8", w.Header().Get("Content-Type"))
	for _, line := range strings.Split(w.Body.String(), "\n") {
		assert.LessOrEqual(t, len([]rune(line)), receiptWidth, "%q", line)
		assert.Equal(t, strings.TrimRight(line, " "), line)
	}
}

func TestBuiltInSetsAreAnswered(t *testing.T) {
	c := newCaller(t)
	for _, path := range []string{"/v1/cutters", "/v1/bushings"} {
		w := ask(c.handler, request(http.MethodGet, path, ""))
		require.Equal(t, http.StatusOK, w.Code)
		c.validate(t, http.MethodGet, path, w.Code, w.Header().Get("Content-Type"), w.Body.Bytes())
		plain := ask(c.handler, request(http.MethodGet, path, "", "Accept", "text/plain"))
		for _, line := range strings.Split(plain.Body.String(), "\n") {
			assert.LessOrEqual(t, len(line), receiptWidth)
		}
	}
}

// The solid cases, over HTTP: joints cut as solids by an independent kernel
// and measured (testdata/solid-joint.json says how), each within the
// tolerance that the case states and the resolution of answers.
func TestSolidsOverHTTP(t *testing.T) {
	c := newCaller(t)
	raw, err := os.ReadFile(filepath.Join("..", "testdata", "solid-joint.json"))
	require.NoError(t, err)
	var file struct{ Cases []map[string]any }
	require.NoError(t, json.Unmarshal(raw, &file))
	require.NotEmpty(t, file.Cases)
	for _, solid := range file.Cases {
		t.Run(solid["id"].(string), func(t *testing.T) {
			a := answerOf[api.FitPredictionAnswer](t, c, "/v1/fit-predictions", solidRequest(t, solid))
			measured, tolerance := solid["measured"].(map[string]any), solid["tolerance"].(map[string]any)
			near := func(name, tolerated string, got *api.Length) {
				t.Helper()
				want, known := measured[name].(float64)
				require.Equal(t, known, got != nil, name)
				if known {
					assert.InDelta(t, want, got.MM, tolerance[tolerated].(float64)+1e-6, name)
				}
			}
			near("play", "play", &a.Fit.Play)
			near("shoulder_gap", "shoulder_gap", &a.Fit.ShoulderGap)
			near("floor_gap", "floor_gap", &a.Fit.FloorGap)
			near("edge_step", "play", &a.Fit.EdgeStep)
			near("seat_offset", "seat_offset", a.Fit.Seat.Offset)
			near("first_touch_proud", "first_touch_proud", a.Fit.FirstTouch)
			require.NotNil(t, a.Widths)
			near("pin_widest", "widths", &a.Widths.PinWidest)
			near("pin_narrowest", "widths", &a.Widths.PinRoot)
			near("tail_widest", "widths", &a.Widths.TailWidest)
			near("tail_narrowest", "widths", &a.Widths.TailRoot)
			near("pin_socket_widest", "widths", &a.Widths.PinSocketWidest)
			near("tail_socket_widest", "widths", &a.Widths.TailSocketWidest)
		})
	}
}

// solidRequest writes a solid case as a client would.
func solidRequest(t *testing.T, solid map[string]any) string {
	t.Helper()
	passes := solid["template"].(map[string]any)
	pass := func(name string) map[string]any {
		p := passes[name].(map[string]any)
		shift := p["template_shift"].(float64)
		return map[string]any{
			"opening": p["opening_width"], "finger": p["finger_width"],
			"opening_reach": p["opening_reach"].(float64) + shift, "finger_reach": p["finger_reach"].(float64) - shift,
		}
	}
	template := map[string]any{"kind": "two_position", "tail_pass": pass("tail_pass"), "pin_pass": pass("pin_pass")}
	if solid["template_kind"] == "one_piece" {
		template = pass("tail_pass")
		delete(template, "finger")
		template["kind"], template["pitch"] = "one_piece", passes["pitch"]
	}
	raw, err := json.Marshal(map[string]any{"setup": map[string]any{
		"template": template,
		"bushing": map[string]any{
			"diameter": solid["bushing_diameter"],
			"offset":   map[string]any{"x": solid["bushing_offset_x"], "y": solid["bushing_offset_y"]},
		},
		"cutter":          map[string]any{"diameter": solid["cutter_diameter"], "angle": solid["cutter_angle_deg"], "runout": solid["cutter_runout"]},
		"depth":           map[string]any{"pin_board": solid["depth_pin_board"], "tail_board": solid["depth_tail_board"]},
		"router":          map[string]any{"turned_in_use": solid["router_turned_in_use"]},
		"pin_board":       map[string]any{"thickness": solid["pin_board_thickness"]},
		"tail_board":      map[string]any{"thickness": solid["tail_board_thickness"]},
		"side_stop_error": solid["side_stop_error"],
	}})
	require.NoError(t, err)
	return string(raw)
}

// drawnSetup is a set-up as a request writes it, in mm or in inches.
type drawnSetup struct{ pitch, opening, bushing, cutter, angle, depth, front float64 }

func drawSetup(t *rapid.T) drawnSetup {
	s := drawnSetup{
		pitch:   rapid.Float64Range(20, 28).Draw(t, "pitch"),
		bushing: rapid.Float64Range(8, 9.8).Draw(t, "bushing"),
		angle:   rapid.Float64Range(8, 15).Draw(t, "angle"),
		front:   rapid.Float64Range(16, 25).Draw(t, "front"),
	}
	s.opening = s.pitch/2 + rapid.Float64Range(0.9, 1.6).Draw(t, "allowance")/2
	wanted := rapid.Float64Range(7, 12).Draw(t, "fitting depth")
	tan := math.Tan(s.angle * math.Pi / 180)
	s.cutter = s.bushing + wanted*tan - (2*s.opening-s.pitch-0.1)/2
	s.depth = wanted - rapid.Float64Range(0.6, 1.5).Draw(t, "shallow by")
	return s
}

// body writes every length divided by unit.
func (s drawnSetup) body(units string, more string) string {
	per := 1.0
	if units == "in" {
		per = 25.4
	}
	return fmt.Sprintf(`{"units":%q,"setup":{"template":{"kind":"one_piece","pitch":%g,"opening":%g},"bushing":{"diameter":%g},`+
		`"cutter":{"diameter":%g,"angle":%g},"depth":%g,"pin_board":{"thickness":%g}}%s}`,
		units, s.pitch/per, s.opening/per, s.bushing/per, s.cutter/per, s.angle, s.depth/per, s.front/per, more)
}

func TestInchAndMillimetreRequestsAgree(t *testing.T) {
	c := newCaller(t)
	rapid.Check(t, func(t *rapid.T) {
		s := drawSetup(t)
		mm := answerOf[api.FitPredictionAnswer](t, c, "/v1/fit-predictions", s.body("mm", ""))
		in := answerOf[api.FitPredictionAnswer](t, c, "/v1/fit-predictions", s.body("in", ""))
		assert.InDelta(t, mm.Fit.Play.MM, in.Fit.Play.MM, 2e-6)
		assert.InDelta(t, mm.DepthForTarget.MM, in.DepthForTarget.MM, 2e-6)
		assert.InDelta(t, mm.Fit.InTarget, in.Fit.InTarget, 1e-5)
		assert.Equal(t, mm.Fit.Band, in.Fit.Band)
		assert.True(t, strings.HasSuffix(mm.DepthForTarget.Text, "mm") && strings.Contains(in.DepthForTarget.Text, "in"))
	})
}

// Predict, see what was predicted, correct, predict at the depth answered,
// posting lengths back as they were answered: the play lands within the target,
// about its middle.
func TestPredictCorrectPredict(t *testing.T) {
	c := newCaller(t)
	rapid.Check(t, func(t *rapid.T) {
		s := drawSetup(t)
		first := answerOf[api.FitPredictionAnswer](t, c, "/v1/fit-predictions", s.body("mm", ""))
		require.NotNil(t, first.Fit.PulledGap)
		gap, err := json.Marshal(first.Fit.PulledGap)
		require.NoError(t, err)
		correction := answerOf[api.CorrectionAnswer](t, c, "/v1/corrections",
			s.body("mm", fmt.Sprintf(`,"test_cuts":[{"depth":%g,"pulled_gap":%s}]`, s.depth, gap)))
		require.Equal(t, "too_loose", correction.Verdict)
		s.depth = correction.NextDepth.MM
		again := answerOf[api.FitPredictionAnswer](t, c, "/v1/fit-predictions", s.body("mm", ""))
		assert.InDelta(t, (0.20-0.05)/2, again.Fit.Play.MM, 0.04)
	})
}

const recordBody = `{"setup":{"template":{"kind":"allowance","allowance":2.3},"bushing":{"id":"ours","diameter":"7/16 in"},` +
	`"cutter":{"id":"old","diameter":"1/2 in","angle":14},"depth":10},"test_cuts":[{"depth":10,"pulled_gap":"0.7 +/- 0.1 mm"}]}`

// A record posted back is evidence about the template: with the same pieces
// of steel it teaches all it taught, with another cutter less.
func TestRecord(t *testing.T) {
	c := newCaller(t)
	first := answerOf[api.CorrectionAnswer](t, c, "/v1/corrections", recordBody)
	raw, err := json.Marshal(first.Record)
	require.NoError(t, err)
	setup := func(cutter string) string {
		return fmt.Sprintf(`{"setup":{"record":%s,"bushing":{"id":"ours","diameter":"7/16 in"},"cutter":{"id":%q,"diameter":"1/2 in","angle":14},"depth":10}}`, raw, cutter)
	}
	same := answerOf[api.CorrectionAnswer](t, c, "/v1/corrections", setup("old"))
	assert.InDelta(t, first.Estimate.PlayOffset.MM, same.Estimate.PlayOffset.MM, 1e-5)
	assert.InDelta(t, first.Estimate.StandardUncertainty.MM, same.Estimate.StandardUncertainty.MM, 1e-5)
	other := answerOf[api.CorrectionAnswer](t, c, "/v1/corrections", setup("new"))
	assert.Greater(t, other.Estimate.StandardUncertainty.MM, same.Estimate.StandardUncertainty.MM)
	assert.Len(t, other.Record.Sessions, 2)

	predicted := answerOf[api.FitPredictionAnswer](t, c, "/v1/fit-predictions", setup("old"))
	assert.InDelta(t, 10+(predicted.Fit.Play.MM-0.1)/(2*math.Tan(14*math.Pi/180)), predicted.DepthForTarget.MM, 1e-5)
	assert.Equal(t, "learned", predicted.Fit.Contributions[0].Source)
	choices := answerOf[api.CutterRecommendationAnswer](t, c, "/v1/cutter-recommendations", fmt.Sprintf(
		`{"setup":{"record":%s,"bushing":{"id":"ours","diameter":"7/16 in"}},"cutters":[{"id":"old","diameter":"1/2 in","angle":14},{"id":"new","diameter":"1/2 in","angle":14}]}`, raw))
	require.Len(t, choices.Recommendations, 2)
	assert.Equal(t, "old", choices.Recommendations[0].Cutter.ID, "the cutter that is known better comes first")
}

func TestDamagedRecord(t *testing.T) {
	c := newCaller(t)
	first := answerOf[api.CorrectionAnswer](t, c, "/v1/corrections", recordBody)
	for name, row := range map[string]struct {
		damage        func(*api.Record)
		pointer, code string
	}{
		"another reading": {func(r *api.Record) { r.Sessions[0].TestCuts[0].PulledGap.Text = "0.9 mm" }, "#/setup/record/checksum", "conflict"},
		"another version": {func(r *api.Record) { r.Version = 2 }, "#/setup/record/version", "not_allowed"},
		"no checksum":     {func(r *api.Record) { r.Checksum = "" }, "#/setup/record/checksum", "conflict"},
	} {
		t.Run(name, func(t *testing.T) {
			raw, err := json.Marshal(first.Record)
			require.NoError(t, err)
			var record api.Record
			require.NoError(t, json.Unmarshal(raw, &record))
			row.damage(&record)
			raw, err = json.Marshal(record)
			require.NoError(t, err)
			status, answer := c.post(t, "/v1/fit-predictions", fmt.Sprintf(
				`{"setup":{"record":%s,"bushing":{"diameter":11},"cutter":{"diameter":12,"angle":14},"depth":10}}`, raw))
			assert.Equal(t, http.StatusBadRequest, status)
			var problem api.Problem
			require.NoError(t, json.Unmarshal(answer, &problem))
			require.Len(t, problem.Errors, 1)
			assert.Equal(t, row.pointer, problem.Errors[0].Pointer)
			assert.Equal(t, row.code, problem.Errors[0].Code)
		})
	}
}

// Joints that cannot be cut: 422 with a pointer and the reason in terms of
// wood and tool. Broken limits and interference are answers.
func TestImpossibleJoints(t *testing.T) {
	c := newCaller(t)
	body := func(opening, bushing, cutter, angle, depth, front string) string {
		return fmt.Sprintf(`{"setup":{"template":{"kind":"one_piece","pitch":22.225,"opening":%s},"bushing":{"diameter":%s},"cutter":{"diameter":%s,"angle":%s},"depth":%s,"pin_board":{"thickness":%s}}}`,
			opening, bushing, cutter, angle, depth, front)
	}
	for name, row := range map[string]struct {
		body    string
		status  int
		pointer string
		detail  string
	}{
		"through the front":        {body("12.3", "11.1", "12.7", "14", "10", "10"), 422, "#/setup/depth", "come out at the drawer's face"},
		"cutter runs out":          {body("12.3", "11.1", "12.7", "40", "10", "19"), 422, "#/setup/depth", "run out to nothing"},
		"bushing too wide":         {body("11", "11.1", "12.7", "14", "10", "19"), 422, "#/setup/template/opening", "doesn't go into an opening"},
		"no pin left":              {body("12.3", "11.1", "21.5", "14", "10", "19"), 422, "#/setup/cutter/diameter", "leaves no pin"},
		"interference":             {body("12.3", "11.1", "12.7", "14", "12", "19"), 200, "", ""},
		"lap too thin":             {body("12.3", "11.1", "12.7", "14", "10", "11"), 200, "", ""},
		"one_piece wider than all": {body("12.3", "0.1", "0.1", "0.001", "10", "2000"), 200, "", ""},
	} {
		t.Run(name, func(t *testing.T) {
			status, raw := c.post(t, "/v1/fit-predictions", row.body)
			require.Equal(t, row.status, status, "%s", raw)
			if status == http.StatusOK {
				return
			}
			var problem api.Problem
			require.NoError(t, json.Unmarshal(raw, &problem))
			require.Len(t, problem.Errors, 1)
			assert.Equal(t, row.pointer, problem.Errors[0].Pointer)
			assert.Equal(t, "impossible", problem.Errors[0].Code)
			assert.Contains(t, problem.Errors[0].Detail, row.detail)
		})
	}
}

// All that stands in the way is told at once.
func TestSeveralThingsImpossible(t *testing.T) {
	c := newCaller(t)
	pass := `{"opening":"%s","finger":"%s"}`
	template := `{"kind":"two_position","tail_pass":` + fmt.Sprintf(pass, "11 mm", "11.225 mm") + `,"pin_pass":` + fmt.Sprintf(pass, "10 mm", "12.225 mm") + `}`
	status, raw := c.post(t, "/v1/fit-predictions", `{"setup":{"template":`+template+`,"bushing":{"diameter":"11.1 mm"},
		"cutter":{"diameter":"12.7 mm","angle":14},"depth":"20 mm","pin_board":{"thickness":"19 mm"}}}`)
	require.Equal(t, http.StatusUnprocessableEntity, status, "%s", raw)
	var problem api.Problem
	require.NoError(t, json.Unmarshal(raw, &problem))
	var pointers []string
	for _, field := range problem.Errors {
		pointers = append(pointers, field.Pointer)
		assert.Equal(t, "impossible", field.Code)
	}
	assert.Equal(t, []string{"#/setup/depth", "#/setup/template/pin_pass/opening", "#/setup/template/tail_pass/opening"}, pointers)
}

// Answers are a pure function of the request: the same bytes every time.
func TestSameBodySameBytes(t *testing.T) {
	c := newCaller(t)
	_, first := c.post(t, "/v1/corrections", recordBody)
	for range 5 {
		_, again := c.post(t, "/v1/corrections", recordBody)
		require.Equal(t, string(first), string(again))
	}
}

// What the contract refuses and what only reading finds is told at once.
func TestEveryBadFieldAtOnce(t *testing.T) {
	c := newCaller(t)
	status, raw := c.post(t, "/v1/corrections", `{"unit":"in","setup":{"template":{"kind":"one_piece","pitch":"7/8 in","opening":"12.3 mn"},
		"bushing":{"diametr":"7/16 in","bore":"0 mm"},"cutter":{"diameter":"1e308","angle":90},"depth":true,"side_stop_error":"-3000 mm"},
		"test_cuts":[{"depth":"10 mm","pulled_gap":"-1 mm","feel":"lose"}]}`)
	assert.Equal(t, http.StatusBadRequest, status)
	var problem api.Problem
	require.NoError(t, json.Unmarshal(raw, &problem))
	got := map[string]string{}
	for _, e := range problem.Errors {
		got[e.Pointer] = e.Code
	}
	assert.Equal(t, map[string]string{
		"#/unit":                   "unknown_field",
		"#/setup/template/opening": "unit_unknown",
		"#/setup/bushing/diameter": "missing",
		"#/setup/bushing/diametr":  "unknown_field",
		"#/setup/bushing/bore":     "out_of_range",
		"#/setup/cutter/diameter":  "not_a_length",
		"#/setup/cutter/angle":     "out_of_range",
		"#/setup/depth":            "not_a_length",
		"#/setup/side_stop_error":  "out_of_range",
		"#/test_cuts/0/pulled_gap": "out_of_range",
		"#/test_cuts/0/feel":       "not_allowed",
	}, got, "%s", raw)
}

// Species, grain and moisture: a tight joint says how hard it closes, the
// crush limit comes from the wood, and boards that will move are warned of.
func TestWoodInASetup(t *testing.T) {
	c := newCaller(t)
	body := func(depth float64, pin, tail string) string {
		return fmt.Sprintf(`{"setup":{"template":{"kind":"one_piece","pitch":"7/8 in","opening":12.3},"bushing":{"diameter":"7/16 in"},`+
			`"cutter":{"diameter":"1/2 in","angle":14},"depth":%g,"pin_board":{"thickness":19,"width":155.575,%s},"tail_board":{"thickness":12.7,"width":155.575,%s}}}`,
			depth, pin, tail)
	}
	oak := `"species":"white_oak","grain":"flat_sawn","moisture":12`
	tight := answerOf[api.FitPredictionAnswer](t, c, "/v1/fit-predictions", body(11.4, oak, oak))
	require.NotNil(t, tight.Fit.Assembly)
	require.NotNil(t, tight.Fit.Assembly.ForceN)
	assert.Positive(t, tight.Fit.Assembly.ForceN.Low)
	require.NotNil(t, tight.Fit.Assembly.CrushLimit)
	assert.Equal(t, "squeezed_dry", tight.Fit.Glue)

	loose := answerOf[api.FitPredictionAnswer](t, c, "/v1/fit-predictions", body(10.5, oak, oak))
	assert.Nil(t, loose.Fit.Assembly)
	assert.Equal(t, "thick", loose.Fit.Glue)
	poplar := `"species":"yellow_poplar","grain":"flat_sawn","moisture":6`
	moving := answerOf[api.FitPredictionAnswer](t, c, "/v1/fit-predictions", body(10.9, oak, poplar))
	assert.Contains(t, cautionCodes(moving.Cautions), "wood_moves")

	status, raw := c.post(t, "/v1/fit-predictions", body(10.5, `"species":"white_oka"`, oak))
	assert.Equal(t, http.StatusBadRequest, status)
	assert.Contains(t, string(raw), `#/setup/pin_board/species`)
	assert.Contains(t, string(raw), `did you mean \"white_oak\"`)
}

// Answers that are made one after the other, and many at once, are those of
// each question alone.
func TestAnswersAreOfTheirOwnQuestions(t *testing.T) {
	s, err := New(Config{})
	require.NoError(t, err)
	var bodies, want []string
	for i := range 24 {
		units, more := "mm", ""
		if i%2 == 0 {
			units = "in"
		}
		if i%3 == 0 { // limits that are known, a cutter that is reground, a target to miss
			more = `,"pin_board":{"thickness":"19 mm"},"tail_board":{"thickness":"13 mm"}`
		}
		body := fmt.Sprintf(`{"units":%q,"setup":{"template":{"kind":"allowance","allowance":"2.5 mm"},"bushing":{"diameter":"11 mm"},`+
			`"cutter":{"diameter":"%.2f mm","angle":%d,"condition":%q},"depth":"%.1f mm"%s}}`,
			units, 12+float64(i)/20, 8+i%6, []string{"new", "used", "unknown"}[i%3], 8+float64(i)/10, more)
		question := new(api.FitPredictionRequest)
		require.NoError(t, json.Unmarshal([]byte(body), question))
		answer, err := s.predictFit(context.Background(), question)
		require.NoError(t, err, body)
		text := new(bytes.Buffer)
		require.NoError(t, transfer.Encode(text, answer))
		bodies, want = append(bodies, body), append(want, text.String())
	}
	var wait sync.WaitGroup
	for range 4 {
		wait.Go(func() {
			for i := range 10 * len(bodies) {
				w := ask(s.Handler(), request("POST", "/v1/fit-predictions", bodies[i%len(bodies)]))
				if !assert.Equal(t, want[i%len(bodies)], w.Body.String()) {
					return
				}
			}
		})
	}
	wait.Wait()
}
