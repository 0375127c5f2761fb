package service

import (
	"encoding/json"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/api"
	"snugtail/service/transfer"
)

const diagnosisPath = "/v1/diagnoses"

// diagnosisBody is a call of which bushing, cutter, depth and what was seen vary.
func diagnosisBody(bushing, cutter, depth, cut, more string) string {
	return fmt.Sprintf(`{"setup":{"template":{"kind":"one_piece","pitch":"7/8 in","opening":"12.3 mm","opening_reach":14.2,"finger_reach":13.1},
		"bushing":{"diameter":%q},"cutter":{"diameter":%q,"angle":14},"depth":%q,"pin_board":{"thickness":"19 mm"}},"test_cuts":[{%s}]%s}`,
		bushing, cutter, depth, cut, more)
}

func diagnosed(t require.TestingT, c *caller, body string) api.DiagnosisAnswer {
	return answerOf[api.DiagnosisAnswer](t, c, diagnosisPath, body)
}

// A whole call: asked, answered and asked again, all of it posted each time.
// The cutter had lost 0.27 mm; widths as it leaves them at 10.9 mm, by the
// model's section 3: sockets S - g + d, tails P - S + g - d + 2 h tan a.
func TestACallInThreeExchanges(t *testing.T) {
	c := newCaller(t)
	const seen = `"feel":"will_not_start"`
	const widths = seen + `,"measured":{"pin_widest":14.04,"tail_widest":14.04,"pin_socket_widest":13.62,"tail_socket_widest":13.62}`
	first := diagnosed(t, c, diagnosisBody("7/16 in", "1/2 in", "10.9 mm", seen, ""))
	require.NotNil(t, first.NextCheck)
	require.Equal(t, "measure_widths", first.NextCheck.Code)
	assert.Less(t, first.Causes[0].Probability, 0.5)

	second := diagnosed(t, c, diagnosisBody("7/16 in", "1/2 in", "10.9 mm", widths, `,"answered":["measure_widths"],"findings":{"one_pin_off":false}`))
	require.Equal(t, "measure_cutter", second.NextCheck.Code)
	assert.Equal(t, "cutter_resharpened", second.Causes[0].Code)

	third := diagnosed(t, c, diagnosisBody("7/16 in", "12.43 +/- 0.03 mm", "10.9 mm", widths, `,"answered":["measure_widths","measure_cutter"],"findings":{"one_pin_off":false,"cutter_dull":false}`))
	cause := third.Causes[0]
	require.Equal(t, "cutter_resharpened", cause.Code)
	assert.Greater(t, cause.Probability, 0.9)
	assert.InDelta(t, 12.43, cause.Size.Length.MM, 1e-9, "in use, as measured")
	assert.InDelta(t, 12.7, cause.Size.InsteadOf.MM, 1e-9, "as it was sold")
	require.Equal(t, "raise_cutter", cause.Cure[0].Action)
	// 2 * 0.27 / (2 tan 14 deg) for what the cutter lost.
	assert.InDelta(t, 1.08, cause.Cure[0].Amount.MM, 0.1)
}

// What is asked to be posted where is a place that the contract takes, and
// evidence points at what was told.
func TestEvidencePointsIntoTheRequest(t *testing.T) {
	c := newCaller(t)
	body := `{"setup":{"template":{"kind":"one_piece","pitch":22.225,"opening":12.3},"bushing":{"diameter":"7/16 in"},"cutter":{"diameter":"1/2 in","angle":14},"depth":10.9},
		"test_cuts":[{"feel":"rattles","pulled_gap":2.4,"along":[{"position":5,"pulled_gap":2.4},{"position":100,"shoulder_gap":0.6}]}],"findings":{"template_rocks":true}}`
	var request any
	require.NoError(t, json.Unmarshal([]byte(body), &request))
	pointed := 0
	for _, cause := range diagnosed(t, c, body).Causes {
		for _, e := range append(cause.Explains, cause.DoesNotExplain...) {
			at := request
			for _, step := range strings.Split(strings.TrimPrefix(e.Pointer, "#/"), "/") {
				switch node := at.(type) {
				case map[string]any:
					at = node[step]
				case []any:
					var i int
					_, err := fmt.Sscan(step, &i)
					require.NoError(t, err)
					at = node[i]
				}
			}
			assert.NotNil(t, at, e.Pointer)
			pointed++
		}
	}
	assert.Positive(t, pointed)
}

// Moistures read from a meter say whether they are alike.
func TestMoistureReadings(t *testing.T) {
	c := newCaller(t)
	with := func(pin, tail float64) float64 {
		body := fmt.Sprintf(`{"setup":{"pin_board":{"moisture":%g},"tail_board":{"moisture":%g}},"test_cuts":[{"feel":"hard_blows"}]}`, pin, tail)
		for _, cause := range diagnosed(t, c, body).Causes {
			if cause.Code == "wood_moved" {
				return cause.Probability
			}
		}
		return 0
	}
	assert.Greater(t, with(8, 12), 3*with(8, 8.5))
}

// A record stands for the template, with what was learned of it.
func TestDiagnosisTakesARecord(t *testing.T) {
	c := newCaller(t)
	first := answerOf[api.CorrectionAnswer](t, c, "/v1/corrections", recordBody)
	raw, err := json.Marshal(first.Record)
	require.NoError(t, err)
	body := fmt.Sprintf(`{"setup":{"record":%s,"bushing":{"id":"ours","diameter":"7/16 in"},"cutter":{"diameter":"1/2 in","angle":14},"depth":10.4},"test_cuts":[{"feel":"will_not_start"}]}`, raw)
	assert.Len(t, diagnosed(t, c, body).Misfits, 0)
}

func TestDiagnosisRefusals(t *testing.T) {
	c := newCaller(t)
	for name, row := range map[string]struct {
		body    string
		status  int
		pointer string
	}{
		"bushing wider than opening":  {`{"setup":{"template":{"kind":"one_piece","pitch":22,"opening":11},"bushing":{"diameter":12},"cutter":{"diameter":13,"angle":14},"depth":9}}`, 422, "#/setup/template/opening"},
		"cone run out":                {`{"setup":{"cutter":{"diameter":6,"angle":30},"depth":9}}`, 422, "#/setup/depth"},
		"a position that is no place": {`{"test_cuts":[{"along":[{"position":"3 fathoms"}]}]}`, 400, "#/test_cuts/0/along/0/position"},
		"an unknown finding":          {`{"findings":{"wobbly":true}}`, 400, "#/findings/wobbly"},
		"a finding that is no answer": {`{"findings":{"tear_out":"yes"}}`, 400, "#/findings/tear_out"},
		"an unknown check":            {`{"answered":["measure_everything"]}`, 400, "#/answered/0"},
		"a damaged pass":              {`{"setup":{"template":{"kind":"two_position","tail_pass":{"opening":"wide"}}}}`, 400, "#/setup/template/tail_pass/opening"},
	} {
		t.Run(name, func(t *testing.T) {
			status, raw := c.post(t, diagnosisPath, row.body)
			require.Equal(t, row.status, status, "%s", raw)
			var p api.Problem
			require.NoError(t, json.Unmarshal(raw, &p))
			require.Len(t, p.Errors, 1)
			assert.Equal(t, row.pointer, p.Errors[0].Pointer)
		})
	}
}

// A cut through the pin board is what is wrong, where a diagnosis is asked for,
// and refused where a correction is.
func TestThroughThePinBoard(t *testing.T) {
	c := newCaller(t)
	a := diagnosed(t, c, `{"setup":{"depth":20,"pin_board":{"thickness":18}}}`)
	assert.Equal(t, "lap_broken", a.Causes[0].Code)
	assert.Equal(t, "change", a.Decision.Do)
	a = diagnosed(t, c, `{"setup":{"pin_board":{"thickness":18}},"test_cuts":[{"depth":8},{"depth":20}]}`)
	assert.Equal(t, "lap_broken", a.Causes[0].Code)
	status, raw := c.post(t, "/v1/corrections", diagnosisBody("7/16 in", "1/2 in", "20 mm", `"depth":"20 mm","feel":"rattles"`, ""))
	require.Equal(t, 422, status, "%s", raw)
}

// Any part of the set-up may be left out.
func TestAnyPartMayBeMissing(t *testing.T) {
	c := newCaller(t)
	full := map[string]any{
		"template": map[string]any{"kind": "two_position", "tail_pass": map[string]any{"opening": 14}},
		"bushing":  map[string]any{"barrel": 6}, "cutter": map[string]any{"angle": 14},
		"depth": 9.5, "pin_board": map[string]any{"thickness": 19},
	}
	for left := range full {
		setup := map[string]any{}
		for name, part := range full {
			if name != left {
				setup[name] = part
			}
		}
		body, err := json.Marshal(map[string]any{"setup": setup, "test_cuts": []any{map[string]any{"feel": "rattles"}}})
		require.NoError(t, err)
		a := diagnosed(t, c, string(body))
		assert.GreaterOrEqual(t, len(a.Causes), 3, left)
	}
	assert.Equal(t, "depth_off", diagnosed(t, c, `{}`).Causes[0].Code, "what goes wrong most often")
}

// The phone's form: at most 15 lines of 72 columns, whatever is asked.
func TestDiagnosisTextFitsThePhone(t *testing.T) {
	s, err := New(Config{})
	require.NoError(t, err)
	facts := newFacts(t, s)
	rapid.Check(t, func(rt *rapid.T) {
		body := facts.body(rt, diagnosisPath, "mm")
		w := ask(s.Handler(), request(http.MethodPost, diagnosisPath, body, "Accept", transfer.Text))
		if w.Code != http.StatusOK {
			return
		}
		lines := strings.Split(strings.TrimSuffix(w.Body.String(), "\n"), "\n")
		require.LessOrEqual(rt, len(lines), 15, "%s", w.Body)
		require.Contains(rt, w.Body.String(), "LIKELY")
		for _, line := range lines {
			require.LessOrEqual(rt, len([]rune(line)), 72, line)
		}
	})
}

// The arithmetic adds up: prior times likelihood ratio is the probability.
func TestDiagnosisWorking(t *testing.T) {
	c := newCaller(t)
	a := diagnosed(t, c, diagnosisBody("7/16 in", "1/2 in", "10.9 mm", `"feel":"rattles","pulled_gap":1.9`, `,"explain":true`))
	shown := 0
	for _, l := range a.Working {
		if strings.HasPrefix(l.Name, "probability_") {
			shown++
			assert.InDelta(t, l.Values["P(cause)"]*l.Values["R"], l.Result, 1e-4, l.Name)
		}
	}
	assert.GreaterOrEqual(t, shown, 3)
	// c = K + 2 (d - g) - 2 h tan a = 2.375 + 3.175 - 5.435 at 10.9 mm, 14 deg.
	for _, l := range a.Working {
		if l.Name == "stated_play" {
			assert.InDelta(t, 0.1146, l.Result, 1e-4)
		}
	}
}

func BenchmarkDiagnosis(b *testing.B) {
	s, err := New(Config{})
	require.NoError(b, err)
	body := diagnosisBody("7/16 in", "1/2 in", "10.9 mm", `"feel":"rattles","pulled_gap":1.9,"seat":0.3`, "")
	b.ReportAllocs()
	for b.Loop() {
		if w := ask(s.Handler(), request(http.MethodPost, diagnosisPath, body)); w.Code != http.StatusOK {
			b.Fatal(w.Body)
		}
	}
}

// Readings far from the set-up may point beyond what any tool is: such a size is
// not named.
func TestNoToolOfAnImpossibleSize(t *testing.T) {
	c := newCaller(t)
	a := answerOf[api.DiagnosisAnswer](t, c, diagnosisPath, `{"setup":{"template":{"kind":"one_piece","pitch":22.225,"opening":12.3},"bushing":{"diameter":11.11},`+
		`"cutter":{"diameter":12.7,"angle":4},"depth":5},"test_cuts":[{"depth":5,"feel":"will_not_start","measured":{"pin_widest":8.31,"pin_socket_widest":13.71}}]}`)
	of := slices.IndexFunc(a.Causes, func(cause api.DiagnosisCause) bool { return cause.Code == "cutter_angle" })
	require.GreaterOrEqual(t, of, 0)
	assert.Nil(t, a.Causes[of].Size)
	assert.NotContains(t, a.Causes[of].Name, "deg")
	_, answer := c.post(t, diagnosisPath, `{"setup":{"template":{"kind":"one_piece","pitch":22.225,"opening":12.3},"bushing":{"diameter":11.11},`+
		`"cutter":{"diameter":12.7,"angle":4,"angle_tolerance":2},"depth":5},"test_cuts":[{"depth":5,"feel":"rattles","measured":{"pin_widest":8.14,"pin_socket_widest":13.62}}]}`)
	assert.NotContains(t, string(answer), "about -", "what a check may show")
}
