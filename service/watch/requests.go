// Package watch is what operators see: a line of the log and metrics for each
// request (requests.go, metrics.go), by the route that it took (routes.go).
package watch

import (
	"context"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"math/rand/v2"
	"net/http"
	"runtime/debug"
	"strconv"
	"time"

	"github.com/labstack/echo/v4"
	"github.com/prometheus/client_golang/prometheus"

	"snugtail/service/problem"
)

// ClientKey is where a request's context keeps the name of its client.
const ClientKey = "client"

// Watch counts and logs what a Service does, and names each request.
type Watch struct {
	*Metrics
	Routes
	log  *slog.Logger
	seen map[routeMethod]*observed
}

// New watches with a log; no route is known yet.
func New(log *slog.Logger, metrics *Metrics) *Watch {
	return &Watch{Metrics: metrics, Routes: Routes{}, log: log, seen: map[routeMethod]*observed{}}
}

// Add adds a route's method to what is allowed, counted and logged.
func (w *Watch) Add(route, method string) {
	w.Routes.add(route, method)
	seen := w.observed(route, method)
	seen.answered = w.requests.WithLabelValues(route, method, "200")
	w.seen[routeMethod{route, method}] = seen
}

// Identify gives the request its id, and every answer the headers that keep
// browsers from guessing. A service that stops asks clients to connect anew.
func Identify(stopping func() bool) echo.MiddlewareFunc {
	return func(next echo.HandlerFunc) echo.HandlerFunc {
		return func(c echo.Context) error {
			header := c.Response().Header()
			header.Set(echo.HeaderXRequestID, requestID(c.Request().Header.Get(echo.HeaderXRequestID)))
			if stopping() {
				header.Set(echo.HeaderConnection, "close")
			}
			header[echo.HeaderXContentTypeOptions] = noSniff
			header[echo.HeaderReferrerPolicy] = noReferrer
			header[echo.HeaderContentSecurityPolicy] = nothingElse
			return next(c)
		}
	}
}

// Values of headers that every answer has, made once. Nothing changes them in
// place: Set replaces them, and Add to a full slice copies it.
var (
	noSniff     = []string{"nosniff"}
	noReferrer  = []string{"no-referrer"}
	nothingElse = []string{"default-src 'none'; frame-ancestors 'none'"}
)

// requestID takes the client's id if it is short and plain, and else makes one,
// which must be like no other but need not be secret.
func requestID(given string) string {
	if IsSaneID(given) {
		return given
	}
	var random [16]byte
	binary.NativeEndian.PutUint64(random[:8], rand.Uint64()) // #nosec G404 -- ids are no secret
	binary.NativeEndian.PutUint64(random[8:], rand.Uint64()) // #nosec G404 -- ids are no secret
	return hex.EncodeToString(random[:])
}

// IsSaneID is true for 1 to 64 letters, digits, - and _.
func IsSaneID(id string) bool {
	for _, char := range []byte(id) {
		isLetter, isDigit := 'a' <= char|0x20 && char|0x20 <= 'z', '0' <= char && char <= '9'
		if !isLetter && !isDigit && char != '-' && char != '_' {
			return false
		}
	}
	return 1 <= len(id) && len(id) <= 64
}

// Record counts and logs each request once, when it is over. An error becomes
// an answer here, so that its status is known.
func (w *Watch) Record(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		start := time.Now()
		w.inFlight.Inc()
		defer w.inFlight.Dec()
		request := c.Request()
		body := &countedBody{ReadCloser: request.Body}
		request.Body = body
		err := next(c)
		status := problem.StatusClientGone // of one that got a part of its answer
		if err == nil || !c.Response().Committed {
			if err != nil {
				c.Error(err)
			}
			status = c.Response().Status
		}
		w.observe(c, status, start, time.Since(start), body.read)
		return nil
	}
}

func (w *Watch) observe(c echo.Context, status int, start time.Time, took time.Duration, bytesIn int64) {
	seen := w.observedOf(c)
	if status == http.StatusOK && seen.answered != nil {
		seen.answered.Inc()
	} else {
		w.requests.WithLabelValues(seen.route, seen.method, strconv.Itoa(status)).Inc()
	}
	seen.duration.Observe(took.Seconds())
	level := levelOf(status)
	if !w.log.Enabled(c.Request().Context(), level) {
		return
	}
	line := slog.NewRecord(start.Add(took), level, "request", 0) // Logger would look up the caller, which is always here
	line.AddAttrs(
		slog.Int("status", status),
		slog.Float64("duration_ms", float64(took.Microseconds())/1000),
		slog.Int64("bytes_in", bytesIn),
		slog.Int64("bytes_out", c.Response().Size),
		slog.String("request_id", c.Response().Header().Get(echo.HeaderXRequestID)),
	)
	if trace := traceID(c.Request().Header.Get("Traceparent")); trace != "" {
		line.AddAttrs(slog.String("trace_id", trace))
	}
	if name, ok := c.Get(ClientKey).(string); ok {
		line.AddAttrs(slog.String("client", name))
	}
	_ = seen.line.Handle(c.Request().Context(), line) // as Logger does: there is nowhere to tell
}

// levelOf is how loudly an answer is logged. That too many ask is no failure.
func levelOf(status int) slog.Level {
	switch {
	case status == http.StatusServiceUnavailable:
		return slog.LevelWarn
	case status >= http.StatusInternalServerError:
		return slog.LevelError
	default:
		return slog.LevelInfo
	}
}

// observed is what counts and logs the requests of one route and method.
type observed struct {
	route, method string
	answered      prometheus.Counter // with 200; nil where the table has no such row
	duration      prometheus.Observer
	line          slog.Handler // which has both
}

func (w *Watch) observed(route, method string) *observed {
	return &observed{
		route: route, method: method,
		duration: w.duration.WithLabelValues(route, method),
		line:     w.log.Handler().WithAttrs([]slog.Attr{slog.String("method", method), slog.String("route", route)}),
	}
}

// observedOf is made once for what the table has.
func (w *Watch) observedOf(c echo.Context) *observed {
	route, method := w.Label(c), methodLabel(c.Request().Method)
	if known := w.seen[routeMethod{route, method}]; known != nil {
		return known
	}
	return w.observed(route, method)
}

type routeMethod struct{ route, method string }

// countedBody counts what was really read of a body.
type countedBody struct {
	io.ReadCloser
	read int64
}

func (b *countedBody) Read(p []byte) (int, error) {
	n, err := b.ReadCloser.Read(p)
	b.read += int64(n)
	return n, err
}

// Rescue turns a panic into an error, its value and stack kept for the log.
func (w *Watch) Rescue(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) (err error) {
		defer func() {
			value := recover()
			if value == nil {
				return
			}
			if aborted, ok := value.(error); ok && errors.Is(aborted, http.ErrAbortHandler) {
				panic(value) // net/http's own way to hang up
			}
			w.Panicked()
			err = &Panic{Value: value, Stack: debug.Stack()}
		}()
		return next(c)
	}
}

// Panic is a panic that was caught, with where it came from.
type Panic struct {
	Value any
	Stack []byte
}

func (p *Panic) Error() string { return fmt.Sprintf("panic: %v", p.Value) }

// Failed logs for the operators what the client is not told.
func (w *Watch) Failed(ctx context.Context, err error, route, requestID string) {
	attrs := []slog.Attr{
		slog.String("error", err.Error()),
		slog.String("route", route),
		slog.String("request_id", requestID),
	}
	var p *Panic
	if errors.As(err, &p) {
		attrs = append(attrs, slog.String("stack", string(p.Stack)))
	}
	w.log.LogAttrs(ctx, slog.LevelError, "failure", attrs...)
}
