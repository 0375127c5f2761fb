//go:build unix

package service

import (
	"encoding/json"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/api"
)

// Whatever is let in takes no more than half a second of a processor, and not many
// times its estimate, however its readings and sizes are chosen.
func TestNothingIsDearerThanThought(t *testing.T) {
	if os.Getenv("SNUGTAIL_FAULTS") == "" {
		t.Skip("SNUGTAIL_FAULTS=1 runs this, for a few minutes")
	}
	s, err := New(Config{BatchWithin: time.Hour, AnswerWithin: time.Hour})
	require.NoError(t, err)
	along := func(n int) string {
		var all []string
		for i := range n {
			all = append(all, fmt.Sprintf(`{"position":%d,"seat":"0.%d mm","edge_step":"0.1 mm","pulled_gap":"0.3 mm","measured":{"pin_widest":"12.6 mm","tail_widest":"12.5 mm","pin_socket_widest":"12.9 mm","tail_socket_widest":"12.8 mm"}}`, i+1, i%9))
		}
		return `"along":[` + strings.Join(all, ",") + `]`
	}
	cut := func(i int, extra string) string {
		c := fmt.Sprintf(`{"depth":"%.2f mm","feel":"slides_free","pulled_gap":"%.2f mm","shoulder_gap":"0.2 mm","seat":"0.1 mm","edge_step":"0.1 mm","measured":{"pin_socket_widest":"12.9 mm","pin_widest":"12.6 mm","tail_widest":"12.5 mm","tail_socket_widest":"12.8 mm","depth_pin_board":"10.3 mm","depth_tail_board":"10.2 mm"}`, 10.2+0.01*float64(i), 0.3+0.01*float64(i%7))
		if extra != "" {
			c += "," + extra
		}
		return c + "}"
	}
	cuts := func(n int, extra string) string {
		var all []string
		for i := range n {
			all = append(all, cut(i, extra))
		}
		return "[" + strings.Join(all, ",") + "]"
	}
	setups := map[string]string{
		"one":   heavySetup,
		"allow": `{"template":{"kind":"allowance","allowance":2.5},"bushing":{"diameter":11.11},"cutter":{"diameter":12.7,"angle":14},"depth":10}`,
		"wide":  `{"template":{"kind":"allowance","allowance":"2.5 +/- 2 mm"},"bushing":{"diameter":"11.11 +/- 2 mm"},"cutter":{"diameter":"12.7 +/- 2 mm","angle":14},"depth":"10 +/- 3 mm"}`,
		"two":   `{"template":{"kind":"two_position","tail_pass":{"opening":13.5,"finger":9},"pin_pass":{"opening":13.5,"finger":9}},"bushing":{"diameter":11.11},"cutter":{"diameter":12.7,"angle":14},"depth":10}`,
		"none":  `{}`,
	}
	record := func(setup string, sessions int, cs string) string {
		text := `{"version":1,"learned":{"play_offset":"0 mm","standard_uncertainty":"0.1 mm"},"gauge":"10","checksum":"","sessions":[` +
			strings.TrimSuffix(strings.Repeat(`{"setup":`+setup+`,"test_cuts":`+cs+`},`, sessions), ",") + `]}`
		var r api.Record
		require.NoError(t, json.Unmarshal([]byte(text), &r))
		return signed(r)
	}
	try := func(name, path, body string, q any) {
		require.NoError(t, json.Unmarshal([]byte(body), q))
		start := cpu()
		w := ask(s.Handler(), request("POST", path, body))
		took := cpu() - start
		estimate := costOf(q)
		t.Logf("%-32s %d, %6d bytes: took %s of a processor, estimated %s", name, w.Code, len(body), took, estimate)
		assert.Contains(t, []int{200, 413, 422}, w.Code, w.Body.String())
		assert.Less(t, took, 500*time.Millisecond, name)
		assert.Less(t, took, 4*estimate+20*time.Millisecond, name)
	}
	for name, setup := range setups {
		for _, n := range []int{1, 3, 10, 50} {
			for _, a := range []int{0, 5, 20} {
				extra := ""
				if a > 0 {
					extra = along(a)
				}
				try(fmt.Sprint("diagnose ", name, n, " along ", a), "/v1/diagnoses", `{"setup":`+setup+`,"test_cuts":`+cuts(n, extra)+`}`, &api.DiagnosisRequest{})
			}
		}
		if name == "none" {
			continue
		}
		for _, sc := range [][2]int{{1, 1}, {1, 10}, {3, 10}, {10, 10}, {10, 50}} {
			for _, a := range []int{0, 5} {
				extra := ""
				if a > 0 {
					extra = along(a)
				}
				r := record(setup, sc[0], cuts(sc[1], extra))
				rest := setup[strings.Index(setup, `"bushing"`):]
				try(fmt.Sprint("predict record ", name, sc, a), "/v1/fit-predictions", `{"setup":{"record":`+r+`,`+rest+`}`, &api.FitPredictionRequest{})
				try(fmt.Sprint("recommend 10 record ", name, sc, a), "/v1/cutter-recommendations", `{"cutters":`+heavyCutters(10)+`,"setup":{"record":`+r+`,`+rest+`}`, &api.CutterRecommendationRequest{})
				try(fmt.Sprint("diagnose record ", name, sc, a), "/v1/diagnoses", `{"test_cuts":`+cuts(10, along(20))+`,"setup":{"record":`+r+`,`+rest+`}`, &api.DiagnosisRequest{})
			}
		}
	}
}
