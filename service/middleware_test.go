package service

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/prometheus/client_golang/prometheus/testutil/promlint"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/api/apitest"
	"snugtail/service/answers"
	"snugtail/service/problem"
)

func TestAnswers(t *testing.T) {
	s := newProbe(t, Config{})
	w := ask(s.Handler(), request("POST", "/v1/probes", doing("it"), "Content-Type", "application/json; charset=UTF-8"))
	assert.Equal(t, 200, w.Code)
	assert.Equal(t, "{\"done\":\"<it> & done\",\"value\":0.1}\n", w.Body.String(), "no HTML escapes, a newline at the end")
	assert.Equal(t, "no-store", w.Header().Get("Cache-Control"))
	assert.Equal(t, "nosniff", w.Header().Get("X-Content-Type-Options"))
	assert.Equal(t, "no-referrer", w.Header().Get("Referrer-Policy"))
	assert.Equal(t, "35", w.Header().Get("Content-Length"))

	w = ask(s.Handler(), request("POST", "/v1/probes", doing("it"), "Accept", "text/plain"))
	assert.Equal(t, "The probe is done: <it> & done\n", w.Body.String())
}

// Every failure of ours is the same plain 500 outside, and told in full inside.
func TestFailuresSayNothing(t *testing.T) {
	for how, told := range map[string]string{
		"panic":    "the probe's secret",
		"fail":     "the probe's secret",
		"nan":      "unsupported value: NaN",
		"infinity": "unsupported value: inf",
	} {
		t.Run(how, func(t *testing.T) {
			s, log := logged(t, Config{})
			w := ask(s.Handler(), request("POST", "/v1/probes", doing(how), "X-Request-ID", "id-1"))
			require.Equal(t, 500, w.Code)
			assert.NotContains(t, w.Body.String(), "secret")
			p := problemIn(t, w)
			assert.Equal(t, "urn:snugtail:problem:internal", p.Type)
			assert.Equal(t, "id-1", p.RequestID)
			lines := logLines(t, log)
			require.Len(t, lines, 2)
			assert.Equal(t, "failure", lines[0]["msg"])
			assert.Contains(t, lines[0]["error"], told)
			assert.Equal(t, "id-1", lines[0]["request_id"])
			assert.Equal(t, "ERROR", lines[1]["level"])
			_, hasStack := lines[0]["stack"]
			assert.Equal(t, how == "panic", hasStack)
			if hasStack {
				assert.Contains(t, lines[0]["stack"], "doProbe", "the stack names where it was")
			}
		})
	}
}

func TestPanicsAreCounted(t *testing.T) {
	s := newProbe(t, Config{})
	for range 3 {
		ask(s.Handler(), request("POST", "/v1/probes", doing("panic")))
	}
	assert.Equal(t, 3.0, seen(t, s, "snugtail_panics_total"))
	assert.Equal(t, 0.0, seen(t, s, "snugtail_http_requests_in_flight"))
	assert.Panics(t, func() { ask(s.Handler(), request("POST", "/v1/probes", doing("abort"))) }, "net/http's own panic goes through")
	assert.Equal(t, 3.0, seen(t, s, "snugtail_panics_total"))
	assert.Equal(t, 0.0, seen(t, s, "snugtail_http_requests_in_flight"))
}

func TestAnswersHaveADeadline(t *testing.T) {
	s := newProbe(t, Config{AnswerWithin: time.Millisecond})
	w := ask(s.Handler(), request("POST", "/v1/probes", doing("wait")))
	assert.Equal(t, 503, w.Code)
	assert.Equal(t, "1", w.Header().Get("Retry-After"))
	assert.Equal(t, "urn:snugtail:problem:unavailable", problemIn(t, w).Type)
}

func TestClientThatHungUp(t *testing.T) {
	s, log := logged(t, Config{})
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	w := ask(s.Handler(), request("POST", "/v1/probes", doing("wait")).WithContext(ctx))
	assert.Equal(t, problem.StatusClientGone, w.Code)
	lines := logLines(t, log)
	require.Len(t, lines, 1, "it is no failure of ours")
	assert.Equal(t, "INFO", lines[0]["level"])
}

func TestRequestID(t *testing.T) {
	s := newProbe(t, Config{})
	for given, kept := range map[string]bool{
		"abc-DEF_123":                      true,
		strings.Repeat("a", 64):            true,
		strings.Repeat("a", 65):            false,
		"":                                 false,
		"two words":                        false,
		"<script>":                         false,
		"é":                                false,
		"a\tb":                             false,
		"4bf92f3577b34da6a3ce929d0e0e4736": true,
	} {
		w := ask(s.Handler(), request("GET", "/v1/things", "", "X-Request-ID", given))
		id := w.Header().Get("X-Request-ID")
		if kept {
			assert.Equal(t, given, id)
			continue
		}
		assert.Regexp(t, "^[0-9a-f]{32}$", id, given)
		assert.NotContains(t, w.Body.String(), id, "bodies name it only in problems")
	}
}

func TestLogHasOneLineAndNoBodies(t *testing.T) {
	s, log := logged(t, Config{})
	ask(s.Handler(), request("POST", "/v1/probes", doing("it"), "X-Request-ID", "id-2"))
	ask(s.Handler(), request("POST", "/v1/probes?token=secret", `{"password":"secret"}`))
	ask(s.Handler(), request("BREW", "/secret", ""))
	assert.NotContains(t, log.String(), "secret")
	lines := logLines(t, log)
	require.Len(t, lines, 3)
	first := lines[0]
	assert.Equal(t, "request", first["msg"])
	assert.Equal(t, "POST", first["method"])
	assert.Equal(t, "/v1/probes", first["route"])
	assert.Equal(t, 200.0, first["status"])
	assert.Equal(t, float64(len(doing("it"))), first["bytes_in"])
	assert.Equal(t, 35.0, first["bytes_out"])
	assert.Equal(t, "id-2", first["request_id"])
	assert.Contains(t, first, "duration_ms")
	assert.Equal(t, 400.0, lines[1]["status"])
	assert.Equal(t, "other", lines[2]["route"])
	assert.Equal(t, "other", lines[2]["method"])
}

func logLines(t *testing.T, log *bytes.Buffer) (lines []map[string]any) {
	for line := range strings.Lines(log.String()) {
		var parsed map[string]any
		require.NoError(t, json.Unmarshal([]byte(line), &parsed), line)
		lines = append(lines, parsed)
	}
	return lines
}

func TestMetrics(t *testing.T) {
	s := newProbe(t, Config{Version: "1.2.3", Commit: "abc"})
	ask(s.Handler(), request("POST", "/v1/probes", apitest.GoodProbe))
	ask(s.Handler(), request("POST", "/v1/probes", `{"a":1,"b":2}`))
	for i := range 20 {
		ask(s.Handler(), request(http.MethodGet, fmt.Sprintf("/nothing-%d", i), ""))
		ask(s.Handler(), request(fmt.Sprintf("X%d", i), "/v1/things", ""))
	}
	w := ask(s.AdminHandler(), request("GET", "/metrics", ""))
	require.Equal(t, 200, w.Code)
	text := w.Body.String()
	problems, err := promlint.New(strings.NewReader(text)).Lint()
	require.NoError(t, err)
	assert.Empty(t, problems)
	for _, line := range []string{
		`snugtail_http_requests_total{code="200",method="POST",route="/v1/probes"} 1`,
		`snugtail_http_requests_total{code="400",method="POST",route="/v1/probes"} 1`,
		`snugtail_http_requests_total{code="404",method="GET",route="other"} 20`,
		`snugtail_http_requests_total{code="405",method="other",route="/v1/things"} 20`,
		`snugtail_http_request_duration_seconds_count{method="POST",route="/v1/probes"} 2`,
		`snugtail_refused_fields_total{code="missing",route="/v1/probes"} 1`,
		`snugtail_refused_fields_total{code="unknown_field",route="/v1/probes"} 2`,
		`snugtail_http_requests_in_flight 0`,
		`snugtail_panics_total 0`,
		`snugtail_build_info{commit="abc",model="` + answers.ModelVersion + `",version="1.2.3"} 1`,
	} {
		assert.Contains(t, text, line+"\n")
	}
	assert.Contains(t, text, "go_goroutines ")
	assert.Contains(t, text, "process_cpu_seconds_total ")
}

func TestAdmin(t *testing.T) {
	s := newProbe(t, Config{})
	get := func(path string) *httptest.ResponseRecorder { return ask(s.AdminHandler(), request("GET", path, "")) }
	assert.Equal(t, "alive\nversion \ncommit \nmodel "+answers.ModelVersion+"\n", get("/healthz").Body.String())
	w := get("/readyz")
	assert.Equal(t, 503, w.Code)
	assert.Equal(t, "1", w.Header().Get("Retry-After"))
	problemIn(t, w)
	s.SetReady(true)
	assert.Equal(t, "ready\n", get("/readyz").Body.String())
	s.SetReady(false)
	assert.Equal(t, 503, get("/readyz").Code)
	assert.Equal(t, 200, ask(s.AdminHandler(), request("HEAD", "/healthz", "")).Code)

	for _, path := range []string{"/", "/v1/things", "/docs", "/openapi.yaml"} {
		w := get(path)
		assert.Equal(t, 404, w.Code, path)
		problemIn(t, w)
	}
	w = ask(s.AdminHandler(), request("POST", "/metrics", "{}"))
	assert.Equal(t, 405, w.Code)
	assert.Contains(t, w.Header().Get("Allow"), "GET")
	for _, path := range []string{"/healthz", "/readyz", "/metrics"} {
		assert.Equal(t, 404, ask(s.Handler(), request("GET", path, "")).Code, "the public listener has no %s", path)
	}
}

// One pool of buffers serves all: no answer may show bytes of another.
func TestManyAtOnce(t *testing.T) {
	server := httptest.NewServer(newProbe(t, Config{}).Handler())
	defer server.Close()
	done := make(chan error)
	for i := range 8 {
		what := strings.Repeat(string(rune('a'+i)), 3+i)
		go func() {
			for range 50 {
				if err := askFor(server, what); err != nil {
					done <- err
					return
				}
			}
			done <- nil
		}()
	}
	for range 8 {
		assert.NoError(t, <-done)
	}
}

func askFor(server *httptest.Server, what string) error {
	answer, err := server.Client().Post(server.URL+"/v1/probes", "application/json", strings.NewReader(doing(what)))
	if err != nil {
		return err
	}
	defer answer.Body.Close()
	var a probeAnswer
	if err := json.NewDecoder(answer.Body).Decode(&a); err != nil {
		return err
	}
	if want := "<" + what + "> & done"; a.Done != want {
		return fmt.Errorf("asked for %q, got %q", want, a.Done)
	}
	return nil
}
