package service

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/api"
	"snugtail/service/codes"
	"snugtail/service/gate"
)

// hold fills every place with requests that wait until release is called.
func hold(t *testing.T, s *Service, n int) (release func()) {
	ctx, cancel := context.WithCancel(t.Context())
	before, done := int(probesWaiting.Load()), make(chan struct{}, n)
	for range n {
		go func() {
			ask(s.Handler(), request("POST", "/v1/probes", doing("wait")).WithContext(ctx))
			done <- struct{}{}
		}()
	}
	placed := min(n, s.config.Limits.AtOnce)
	require.Eventually(t, func() bool {
		return int(probesWaiting.Load())-before == placed && int(seen(t, s, "snugtail_http_requests_queued")) == n-placed
	}, ample, time.Millisecond)
	return func() {
		cancel()
		for range n {
			<-done
		}
	}
}

func TestBeyondTheQueueIs503(t *testing.T) {
	s := newProbe(t, Config{Limits: gate.Limits{AtOnce: 2, Queue: 1, QueueWait: time.Minute}})
	s.SetReady(true)
	release := hold(t, s, 3)
	for _, r := range []*http.Request{request("POST", "/v1/probes", doing("it")), request("GET", "/v1/things", "")} {
		w := ask(s.Handler(), r)
		assert.Equal(t, 503, w.Code)
		assert.Equal(t, "1", w.Header().Get("Retry-After"))
		assert.Equal(t, "urn:snugtail:problem:unavailable", problemIn(t, w).Type)
	}
	assert.Equal(t, 1.0, seen(t, s, "snugtail_http_requests_queued"))
	assert.Equal(t, 2.0, seen(t, s, `snugtail_shed_requests_total{reason="queue_full"}`))
	for _, path := range []string{"/healthz", "/readyz", "/metrics"} {
		assert.Equal(t, 200, ask(s.AdminHandler(), request("GET", path, "")).Code, "operators always get an answer")
	}
	release()
	assert.Equal(t, 200, ask(s.Handler(), request("POST", "/v1/probes", doing("it"))).Code)
	assert.Zero(t, seen(t, s, "snugtail_http_requests_queued"))
	hold(t, s, 3)() // every place is given back
}

func TestPlacesComeBackAfterPanics(t *testing.T) {
	s := newProbe(t, Config{Limits: gate.Limits{AtOnce: 1, Queue: 1, QueueWait: time.Millisecond}})
	for range 3 {
		assert.Equal(t, 500, ask(s.Handler(), request("POST", "/v1/probes", doing("panic"))).Code)
	}
	assert.Equal(t, 200, ask(s.Handler(), request("POST", "/v1/probes", doing("it"))).Code)
}

func TestTheQueueIsShortInTime(t *testing.T) {
	s := newProbe(t, Config{Limits: gate.Limits{AtOnce: 1, QueueWait: 5 * time.Millisecond}})
	release := hold(t, s, 1)
	defer release()
	assert.Equal(t, 503, ask(s.Handler(), request("GET", "/v1/things", "")).Code)
	assert.Equal(t, 1.0, seen(t, s, `snugtail_shed_requests_total{reason="waited_too_long"}`))
}

// A client that has not sent its body holds no place.
func TestSlowSendersHoldNoPlace(t *testing.T) {
	s := newProbe(t, Config{Limits: gate.Limits{AtOnce: 1, Queue: 1, QueueWait: time.Millisecond}})
	server := httptest.NewServer(s.Handler())
	defer server.Close()
	for range 50 {
		conn, err := net.Dial("tcp", server.Listener.Addr().String())
		require.NoError(t, err)
		defer conn.Close()
		_, err = io.WriteString(conn, "POST /v1/probes HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nContent-Length: 300\r\n\r\n{")
		require.NoError(t, err)
	}
	require.Eventually(t, func() bool { return seen(t, s, "snugtail_http_requests_in_flight") == 50 }, ample, time.Millisecond)
	assert.NoError(t, askFor(server, "it"))
}

func TestRateOfOneClient(t *testing.T) {
	s := newProbe(t, Config{Limits: gate.Limits{Rate: 0.01, Burst: 2}})
	from := func(addr, path string) *httptest.ResponseRecorder {
		r := request("GET", path, "", "X-Forwarded-For", "10.0.0.9") // nobody's word is taken
		r.RemoteAddr = addr
		return ask(s.Handler(), r)
	}
	begin := time.Now()
	for _, want := range []int{200, 200, 429} {
		assert.Equal(t, want, from("192.0.2.1:1", "/v1/things").Code)
	}
	w := from("192.0.2.1:2", "/v1/things")
	assert.Equal(t, "urn:snugtail:problem:too-many-requests", problemIn(t, w).Type)
	wait, err := strconv.Atoi(w.Header().Get("Retry-After"))
	require.NoError(t, err)
	assert.InDelta(t, 100, wait, math.Ceil(time.Since(begin).Seconds()), "one request each 100 s")
	assert.Equal(t, 200, from("192.0.2.1:2", "/openapi.yaml").Code)
	assert.Equal(t, 200, from("192.0.2.2:1", "/v1/things").Code)
	for i, want := range []int{200, 200, 429} { // one /64 is one client
		assert.Equal(t, want, from(fmt.Sprintf("[2001:db8::%d]:1", i+1), "/v1/things").Code)
	}
	assert.Equal(t, 3.0, seen(t, s, "snugtail_rate_limited_requests_total"))
}

func TestForwardedForOfATrustedProxy(t *testing.T) {
	_, proxies, err := net.ParseCIDR("192.0.2.0/24")
	require.NoError(t, err)
	s := newProbe(t, Config{Limits: gate.Limits{Rate: 0.01, Burst: 1}, Proxies: []*net.IPNet{proxies}})
	for i, row := range []struct {
		remote, forwarded string
		want              int
	}{
		{"192.0.2.1:1", "198.51.100.1", 200},
		{"192.0.2.1:1", "198.51.100.2", 200},
		{"192.0.2.1:1", "203.0.113.7, 198.51.100.2", 429}, // what a client claims is passed over
		{"203.0.113.9:1", "198.51.100.3", 200},
		{"203.0.113.9:1", "198.51.100.4", 429}, // no trusted proxy
	} {
		r := request("GET", "/v1/things", "", "X-Forwarded-For", row.forwarded)
		r.RemoteAddr = row.remote
		assert.Equal(t, row.want, ask(s.Handler(), r).Code, i)
	}
}

func keyLine(name, key string) string {
	hash := sha256.Sum256([]byte(key))
	return name + " " + hex.EncodeToString(hash[:]) + "\n"
}

func TestKeys(t *testing.T) {
	keys, err := gate.ReadKeys(strings.NewReader("# who may ask\n\n" + keyLine("museum", "first-secret") + keyLine("workshop", "second-secret")))
	require.NoError(t, err)
	s, log := logged(t, Config{Keys: keys})
	for given, want := range map[string]int{
		"": 401, "Bearer wrong": 401, "Basic first-secret": 401, "Bearer": 401, "first-secret": 401, "Bearer " + hex.EncodeToString(keys[0].Hash[:]): 401,
		"Bearer first-secret": 200, "bearer second-secret": 200,
	} {
		w := ask(s.Handler(), request("POST", "/v1/probes", doing("it"), "Authorization", given))
		assert.Equal(t, want, w.Code, given)
		if want == 401 {
			assert.Equal(t, `Bearer realm="snugtail"`, w.Header().Get("WWW-Authenticate"))
			assert.Equal(t, "urn:snugtail:problem:unauthorized", problemIn(t, w).Type)
		}
	}
	assert.Equal(t, 200, ask(s.Handler(), request("GET", "/openapi.yaml", "")).Code)
	assert.Equal(t, 6.0, seen(t, s, "snugtail_unauthorized_requests_total"))
	assert.Equal(t, 1.0, seen(t, s, `snugtail_client_requests_total{client="museum"}`))
	metrics := ask(s.AdminHandler(), request("GET", "/metrics", "")).Body.String()
	assert.Contains(t, log.String(), `"client":"workshop"`)
	for _, text := range []string{log.String(), metrics} {
		assert.NotContains(t, text, "secret")
		assert.NotContains(t, text, hex.EncodeToString(keys[0].Hash[:8]))
	}
}

func TestCORS(t *testing.T) {
	const planner = "https://planner.example"
	preflight := func(s *Service, origin, path string) *httptest.ResponseRecorder {
		return ask(s.Handler(), request("OPTIONS", path, "", "Origin", origin, "Access-Control-Request-Method", "POST"))
	}
	off := newProbe(t, Config{})
	w := preflight(off, planner, "/v1/probes")
	assert.Equal(t, 405, w.Code)
	assert.NotContains(t, fmt.Sprint(w.Header()), "Access-Control")

	keys, err := gate.ReadKeys(strings.NewReader(keyLine("museum", "key")))
	require.NoError(t, err)
	s := newProbe(t, Config{Origins: []string{planner}, Keys: keys})
	w = preflight(s, planner, "/v1/probes")
	assert.Equal(t, 204, w.Code, "a browser sends no key beforehand")
	assert.Equal(t, planner, w.Header().Get("Access-Control-Allow-Origin"))
	assert.Equal(t, "POST", w.Header().Get("Access-Control-Allow-Methods"))
	w = ask(s.Handler(), request("POST", "/v1/probes", doing("it"), "Origin", planner, "Authorization", "Bearer key"))
	assert.Equal(t, 200, w.Code)
	assert.Equal(t, planner, w.Header().Get("Access-Control-Allow-Origin"))
	assert.Equal(t, "Origin", w.Header().Get("Vary"))
	assert.Equal(t, 404, preflight(s, planner, "/v1/nothing").Code)
	for _, other := range []string{"", "null", "*", planner + ".evil.example", "http://planner.example", planner + ":444", strings.ToUpper(planner)} {
		w = preflight(s, other, "/v1/probes")
		assert.Equal(t, 405, w.Code, other)
		assert.NotContains(t, fmt.Sprint(w.Header()), "Access-Control", other)
	}
}

func TestTraceIDIsLogged(t *testing.T) {
	const id, parent = "4bf92f3577b34da6a3ce929d0e0e4736", "00f067aa0ba902b7"
	s, log := logged(t, Config{})
	ask(s.Handler(), request("GET", "/v1/things", "", "Traceparent", "00-"+id+"-"+parent+"-01"))
	assert.Equal(t, id, logLines(t, log)[0]["trace_id"])
}

// However hostile the requests, the labels stay those of the table.
func TestHostileRequestsMakeNoLabels(t *testing.T) {
	s, err := New(Config{})
	require.NoError(t, err)
	series := func() int { return seriesOf(s, "snugtail_") }
	hostile := func(i int) {
		for _, path := range []string{fmt.Sprintf("/%d", i), fmt.Sprintf("/v1/species/x%d", i), fmt.Sprintf("/v1/fit-predictions/%d", i), fmt.Sprintf("/docs/%d", i), fmt.Sprintf("/%%00%d", i)} {
			for _, method := range []string{"GET", "POST", "OPTIONS", fmt.Sprintf("M%d", i)} {
				ask(s.Handler(), request(method, path, fmt.Sprintf(`{"f%d":%d}`, i, i), "Origin", fmt.Sprint(i), "Authorization", fmt.Sprint("Bearer ", i)))
			}
		}
		for _, path := range []string{"/v1/fit-predictions", "/v1/corrections", "/v1/diagnoses"} {
			ask(s.Handler(), request("POST", path, fmt.Sprintf(`{"f%d":%d}`, i, i)))
		}
		ask(s.Handler(), request("POST", "/v1/batches", fmt.Sprintf(`{"items":[{"id":"a","operation":"x%d","body":{}}]}`, i)))
	}
	hostile(0)
	before := series()
	for i := range 200 {
		hostile(i + 1)
	}
	assert.Equal(t, before, series())
}

func TestAnswersAreCounted(t *testing.T) {
	s, err := New(Config{})
	require.NoError(t, err)
	for path, body := range map[string]string{
		"/v1/fit-predictions":        `{"setup":{"template":{"kind":"allowance","allowance":2.5},"bushing":{"diameter":11.11},"cutter":{"diameter":12.7,"angle":14},"depth":10}}`,
		"/v1/cutter-recommendations": `{"setup":{"template":{"kind":"allowance","allowance":2.5},"bushing":{"diameter":11.11},"pin_board":{"thickness":18.8}}}`,
		"/v1/diagnoses":              `{"test_cuts":[{"depth":10,"feel":"rattles"}]}`,
	} {
		w := ask(s.Handler(), request("POST", path, body))
		require.Equal(t, 200, w.Code, w.Body.String())
		name := strings.TrimPrefix(path, "/v1/")
		batch := `{"items":[{"id":"a","operation":"` + name + `","body":` + body + `}]}`
		require.Equal(t, 200, ask(s.Handler(), request("POST", batchPath, batch)).Code)
	}
	count := 0.0
	for _, band := range codes.Bands {
		count += seen(t, s, `snugtail_predictions_total{band="`+band+`"}`)
	}
	assert.Equal(t, 2.0, count)
	assert.Equal(t, 2.0, seen(t, s, `snugtail_recommendations_total{outcome="some"}`))
	var diagnosis api.DiagnosisAnswer
	w := ask(s.Handler(), request("POST", "/v1/diagnoses", `{"test_cuts":[{"depth":10,"feel":"rattles"}]}`))
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &diagnosis))
	assert.Equal(t, 3.0, seen(t, s, `snugtail_diagnoses_total{cause="`+diagnosis.Causes[0].Code+`"}`), "the likeliest cause, batches' items included")
	assert.Equal(t, 1, seriesOf(s, "snugtail_diagnoses_total{"))
}

func TestPromtoolLikesTheMetrics(t *testing.T) {
	promtool, err := exec.LookPath("promtool")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("promtool is missing")
		}
		t.Skip("promtool is missing")
	}
	s, err := New(Config{Version: "1.2.3", Commit: "abc"})
	require.NoError(t, err)
	ask(s.Handler(), request("POST", "/v1/fit-predictions", "{}"))
	check := exec.CommandContext(t.Context(), promtool, "check", "metrics")
	check.Stdin = strings.NewReader(ask(s.AdminHandler(), request("GET", "/metrics", "")).Body.String())
	said, err := check.CombinedOutput()
	assert.NoError(t, err, string(said))
	assert.Empty(t, string(said))
}
