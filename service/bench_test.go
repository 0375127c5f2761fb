package service

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"maps"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/labstack/echo/v4"
	"github.com/stretchr/testify/require"

	"snugtail/api/apitest"
	"snugtail/service/check"
	"snugtail/service/site"
	"snugtail/service/strict"
	"snugtail/service/transfer"
)

// What the whole path of a request costs, in units of an echo server that only
// decodes and encodes the same bodies with encoding/json. Run both in one go, on
// one core, so that the collector's work counts too; the targets stand with
// BenchmarkEcho:
//
//	go test ./service -run - -bench 'Plain|Whole|Ratio' -cpu 1 -benchmem

// benchCase is one operation with an example of the contract as its body.
type benchCase struct {
	name, path, body string
	plain            http.Handler // the server that only decodes and encodes
	library          operation    // what the operation would be by libraries alone
	typed            func() any   // a new question
	answer           any
}

func benchCases(b *testing.B) []benchCase {
	svc, err := New(Config{})
	require.NoError(b, err)
	return []benchCase{
		newBenchCase(b, "recommend", "/v1/cutter-recommendations", svc.recommendCutter),
		newBenchCase(b, "predict", "/v1/fit-predictions", svc.predictFit),
		newBenchCase(b, "correct", "/v1/corrections", svc.correctSetup),
		newBenchCase(b, "layout", "/v1/layouts", svc.layOut),
		newBenchCase(b, "movement", "/v1/wood-movements", svc.moveWood),
	}
}

func newBenchCase[Q, A any](b *testing.B, name, path string, answer func(context.Context, *Q) (*A, error)) benchCase {
	c := benchCase{name: name, path: path, body: exampleOf(b, path), typed: func() any { return new(Q) }}
	q := new(Q)
	require.NoError(b, json.Unmarshal([]byte(c.body), q))
	a, err := answer(b.Context(), q)
	require.NoError(b, err)
	c.answer, c.plain, c.library = a, plainServer[Q](path, a), libraryOperation(path, answer)
	return c
}

// exampleOf is the first of the contract's examples that does not ask for the
// arithmetic, which is for the few who check it.
func exampleOf(b testing.TB, path string) string {
	k, err := site.EmbeddedContract()
	require.NoError(b, err)
	examples := k.Document.Paths.Value(path).Post.RequestBody.Value.Content.Get(transfer.JSON).Examples
	for _, name := range slices.Sorted(maps.Keys(examples)) {
		value := maps.Clone(examples[name].Value.Value.(map[string]any))
		delete(value, "explain")
		text, err := json.Marshal(value)
		require.NoError(b, err)
		return string(text)
	}
	b.Fatalf("no example of %s", path)
	return ""
}

// benchLog takes what the program logs, from a level on, and throws it away.
func benchLog(level slog.Level) *slog.Logger {
	return slog.New(slog.NewJSONHandler(io.Discard, &slog.HandlerOptions{Level: level}))
}

// benchService logs and counts as the program does.
func benchService(b *testing.B) http.Handler {
	s, err := New(Config{Logger: benchLog(slog.LevelInfo)})
	require.NoError(b, err)
	return s.Handler()
}

// libraryOperation is an operation without JSON code of our own: encoding/json
// reads and writes, and kin-openapi judges every body.
func libraryOperation[Q, A any](path string, answer func(context.Context, *Q) (*A, error)) operation {
	return operation{method: http.MethodPost, path: path, handler: func(s *Service, _ *check.Shape) echo.HandlerFunc {
		schema := apitest.SchemaOf(s.contract.Document, path)
		return func(c echo.Context) error {
			body, err := io.ReadAll(http.MaxBytesReader(c.Response(), c.Request().Body, s.config.BodyLimit))
			if err != nil {
				return err
			}
			var value any
			if err := json.Unmarshal(body, &value); err != nil {
				return err
			}
			if err := schema.VisitJSON(value, openapi3.MultiErrors()); err != nil {
				return err
			}
			question := new(Q)
			if err := json.Unmarshal(body, question); err != nil {
				return err
			}
			ctx, cancel := context.WithTimeout(c.Request().Context(), s.config.AnswerWithin)
			defer cancel()
			a, err := answer(ctx, question)
			if err != nil {
				return err
			}
			s.watch.Tell(a)
			return writeByLibrary(s.buffers, c, a)
		}
	}}
}

func writeByLibrary(buffers *transfer.Buffers, c echo.Context, answer any) error {
	body := buffers.Get()
	defer buffers.Put(body)
	e := json.NewEncoder(body)
	e.SetEscapeHTML(false)
	if err := e.Encode(answer); err != nil {
		return err
	}
	return transfer.Write(c, http.StatusOK, transfer.JSON, body.Bytes())
}

// libraryService is the service with one operation by libraries alone, which logs
// and counts as the program does.
func libraryService(b *testing.B, op operation, log *slog.Logger) http.Handler {
	contract, err := site.EmbeddedContract()
	require.NoError(b, err)
	s, err := newService(Config{Logger: log}, contract, func(*Service) []operation { return []operation{op} })
	require.NoError(b, err)
	return s.Handler()
}

// plainServer decodes and encodes, and does nothing else.
func plainServer[Q, A any](path string, answer *A) http.Handler {
	e := echo.New()
	e.POST(path, func(c echo.Context) error {
		if err := json.NewDecoder(c.Request().Body).Decode(new(Q)); err != nil {
			return err
		}
		return c.JSON(http.StatusOK, answer)
	})
	return e
}

// sender posts the case's body again and again.
func (c benchCase) sender(b *testing.B, h http.Handler) func() {
	first := httptest.NewRequest(http.MethodPost, c.path, strings.NewReader(c.body))
	first.Header.Set("Content-Type", transfer.JSON)
	send := func() int {
		r := *first // making a whole request anew would cost both alike, and flatter the ratio
		r.Body = io.NopCloser(strings.NewReader(c.body))
		w := sink{header: http.Header{}}
		h.ServeHTTP(&w, &r)
		return w.status
	}
	require.Equal(b, http.StatusOK, send())
	return func() { send() }
}

// sink is a ResponseWriter that throws the body away.
type sink struct {
	header http.Header
	status int
}

func (s *sink) Header() http.Header         { return s.header }
func (s *sink) WriteHeader(status int)      { s.status = status }
func (s *sink) Write(p []byte) (int, error) { return len(p), nil }

func BenchmarkPlain(b *testing.B) {
	for _, c := range benchCases(b) {
		b.Run(c.name, func(b *testing.B) { repeat(b, c.sender(b, c.plain)) })
	}
}

func BenchmarkWhole(b *testing.B) {
	h := benchService(b)
	for _, c := range benchCases(b) {
		b.Run(c.name, func(b *testing.B) { repeat(b, c.sender(b, h)) })
	}
}

func repeat(b *testing.B, do func()) {
	b.ReportAllocs()
	for b.Loop() {
		do()
	}
}

// BenchmarkRatio takes turns between the two, so that a busy machine slows
// both alike.
func BenchmarkRatio(b *testing.B) {
	h := benchService(b)
	for _, c := range benchCases(b) {
		b.Run(c.name, func(b *testing.B) { reportRatio(b, c.sender(b, c.plain), c.sender(b, h)) })
	}
}

func reportRatio(b *testing.B, plain, whole func()) {
	const turn = 50
	var plainTime, wholeTime time.Duration
	for b.Loop() {
		start := time.Now()
		for range turn {
			plain()
		}
		middle := time.Now()
		for range turn {
			whole()
		}
		plainTime += middle.Sub(start)
		wholeTime += time.Since(middle)
	}
	b.ReportMetric(float64(wholeTime)/float64(plainTime), "whole/plain")
}

// BenchmarkSteps says where the time of BenchmarkWhole goes.
func BenchmarkSteps(b *testing.B) {
	k, err := site.EmbeddedContract()
	require.NoError(b, err)
	for _, c := range benchCases(b) {
		schema := apitest.SchemaOf(k.Document, c.path)
		value, _, broken := strict.Parse(c.body, 0, strict.Skim{})
		require.Nil(b, broken)
		buffer := new(bytes.Buffer)
		b.Run(c.name+"/parse", func(b *testing.B) { repeat(b, func() { _, _, _ = strict.Parse(c.body, 0, strict.Skim{}) }) })
		precheck := strict.Prechecks{}.Make(schema)
		require.True(b, precheck.Passes(value))
		b.Run(c.name+"/precheck", func(b *testing.B) { repeat(b, func() { _ = precheck.Passes(value) }) })
		b.Run(c.name+"/visit", func(b *testing.B) { repeat(b, func() { _ = schema.VisitJSON(value) }) })
		b.Run(c.name+"/typed", func(b *testing.B) { repeat(b, func() { _ = json.Unmarshal([]byte(c.body), c.typed()) }) })
		b.Run(c.name+"/encode", func(b *testing.B) { repeat(b, func() { buffer.Reset(); _ = transfer.Encode(buffer, c.answer) }) })
	}
}

// BenchmarkPairs is a hundred cutters by twenty bushings over the whole HTTP path,
// answered in full: under 20 ms is the target.
func BenchmarkPairs(b *testing.B) {
	s, err := New(Config{})
	require.NoError(b, err)
	cutters, bushings := make([]string, 100), make([]string, 20)
	for i := range cutters {
		cutters[i] = fmt.Sprintf(`{"diameter":%g,"angle":%g}`, 10.5+0.03*float64(i), 8+0.1*float64(i%70))
	}
	for i := range bushings {
		bushings[i] = fmt.Sprintf(`{"diameter":%g}`, 9.5+0.1*float64(i))
	}
	body := chooseFrom(`,"cutters":[` + strings.Join(cutters, ",") + `],"bushings":[` + strings.Join(bushings, ",") + `]`)
	b.ReportAllocs()
	for b.Loop() {
		w := ask(s.Handler(), request(http.MethodPost, "/v1/cutter-recommendations", body))
		require.Equal(b, http.StatusOK, w.Code)
	}
}
