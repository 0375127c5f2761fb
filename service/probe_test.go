package service

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"log/slog"
	"math"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/require"

	"snugtail/api"
	"snugtail/api/apitest"
	"snugtail/service/message"
	"snugtail/service/problem"
	"snugtail/service/site"
)

// probe is what the test operation takes; Do tells it how to end.
type probe struct {
	Units   api.Units      `json:"units"`
	Do      string         `json:"do"`
	Setup   *api.Setup     `json:"setup"`
	Cutters []api.Cutter   `json:"cutters"`
	Rest    map[string]any `json:"-"`
}

type probeAnswer struct {
	Done  string  `json:"done"`
	Value float64 `json:"value"`
}

// probesWaiting counts the probes that were told to wait.
var probesWaiting atomic.Int32

func doProbe(ctx context.Context, q *probe) (*probeAnswer, error) {
	switch q.Do {
	case "panic":
		panic("the probe's secret")
	case "nan":
		return &probeAnswer{Value: math.NaN()}, nil
	case "infinity":
		return &probeAnswer{Value: math.Inf(-1)}, nil
	case "fail":
		return nil, errors.New("the probe's secret")
	case "impossible":
		return nil, problem.Impossible(problem.Field{Pointer: "#/setup/depth", Code: "too_deep", Detail: message.Verbatim("the cutter comes out of the far side")})
	case "wait":
		probesWaiting.Add(1)
		<-ctx.Done()
		return nil, ctx.Err()
	case "abort":
		panic(http.ErrAbortHandler)
	}
	return &probeAnswer{Done: "<" + q.Do + "> & done", Value: 0.1}, nil
}

func probeText(_ *message.Printer, a *probeAnswer) string { return "The probe is done: " + a.Done }

func probeThings(context.Context) (*probeAnswer, error) { return &probeAnswer{Done: "things"}, nil }

func probeTable(s *Service) []operation {
	return append(s.platformOperations(),
		post("/v1/probes", doProbe, probeText),
		get("/v1/things", probeThings, nil))
}

func loadProbeContract(t testing.TB) *site.Contract {
	document := apitest.ProbeDocument(t)
	return site.NewContract([]byte(apitest.ProbeContract), document.MarshalJSON, document)
}

func newProbe(t testing.TB, config Config) *Service {
	s, err := newService(config, loadProbeContract(t), probeTable)
	require.NoError(t, err)
	return s
}

// logged is a Service whose log can be read.
func logged(t testing.TB, config Config) (*Service, *bytes.Buffer) {
	log := new(bytes.Buffer)
	config.Logger = slog.New(slog.NewJSONHandler(log, nil))
	return newProbe(t, config), log
}

// doing is a good request that makes the probe end in some way.
func doing(what string) string {
	return strings.Replace(apitest.GoodProbe, "{", `{"do":"`+what+`",`, 1)
}

func request(method, path, body string, headers ...string) *http.Request {
	var reader io.Reader
	if body != "" {
		reader = strings.NewReader(body)
	}
	r := httptest.NewRequest(method, path, reader)
	if body != "" {
		r.Header.Set("Content-Type", "application/json")
	}
	for i := 0; i < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	return r
}

func ask(h http.Handler, r *http.Request) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

// problemIn checks the form that every error must have, and returns it.
func problemIn(t testing.TB, w *httptest.ResponseRecorder) api.Problem {
	t.Helper()
	require.Equal(t, "no-store", w.Header().Get("Cache-Control"))
	require.Contains(t, strings.Join(w.Header().Values("Vary"), ","), "Accept")
	var p api.Problem
	if w.Header().Get("Content-Type") == "text/plain; charset=utf-8" {
		p = problemInText(t, w.Body.String())
	} else {
		require.Equal(t, "application/problem+json", w.Header().Get("Content-Type"), w.Body.String())
		decoder := json.NewDecoder(w.Body)
		decoder.DisallowUnknownFields()
		require.NoError(t, decoder.Decode(&p))
		require.Equal(t, w.Code, p.Status)
		require.True(t, strings.HasPrefix(p.Type, problem.TypePrefix), p.Type)
	}
	require.NotEmpty(t, p.Title)
	require.Equal(t, w.Header().Get("X-Request-ID"), p.RequestID)
	require.NotEmpty(t, p.RequestID)
	return p
}

// problemInText reads a problem that was written to be read, in either language:
// its words, its fields' pointers and reasons, and the request's id.
func problemInText(t testing.TB, text string) (p api.Problem) {
	t.Helper()
	const wrap = "\x00"
	for line := range strings.Lines(strings.ReplaceAll(strings.ReplaceAll(text, "\n  ", wrap), wrap, " ")) {
		line = strings.TrimSuffix(line, "\n")
		if id, ok := strings.CutPrefix(strings.Replace(line, "Anfrage ", "Request ", 1), "Request "); ok {
			p.RequestID = id
		} else if field, ok := strings.CutPrefix(line, "- #"); ok {
			pointer, reason, found := strings.Cut(field, ": ")
			require.True(t, found, line)
			p.Errors = append(p.Errors, api.FieldError{Pointer: "#" + pointer, Detail: reason})
		} else {
			p.Detail = strings.TrimPrefix(p.Detail+" "+line, " ")
		}
	}
	p.Title, p.Detail, _ = strings.Cut(p.Detail, ": ")
	if len(p.Errors) == 1 { // as JSON has it
		p.Detail = p.Errors[0].Pointer + ": " + p.Errors[0].Detail
	}
	return p
}

// seen is what the metrics say of a series, such as `snugtail_panics_total` or
// `snugtail_shed_requests_total{reason="queue_full"}`; 0 where there is none.
func seen(t testing.TB, s *Service, series string) float64 {
	t.Helper()
	for line := range strings.Lines(ask(s.AdminHandler(), request("GET", "/metrics", "")).Body.String()) {
		if value, ok := strings.CutPrefix(line, series+" "); ok {
			number, err := strconv.ParseFloat(strings.TrimSpace(value), 64)
			require.NoError(t, err)
			return number
		}
	}
	return 0
}

// seriesOf counts the series whose names begin so.
func seriesOf(s *Service, name string) (n int) {
	for line := range strings.Lines(ask(s.AdminHandler(), request("GET", "/metrics", "")).Body.String()) {
		if strings.HasPrefix(line, name) {
			n++
		}
	}
	return n
}
