package service

import (
	"encoding/binary"
	"encoding/hex"
	"errors"
	"io"
	"log/slog"
	"math/rand/v2"
	"net/http"
	"runtime/debug"
	"strconv"
	"time"

	"github.com/labstack/echo/v4"
	"github.com/prometheus/client_golang/prometheus"
)

// other is the label of whatever is not in the table, so that no client can
// make labels.
const other = "other"

// identify gives the request its id, and every answer the headers that keep
// browsers from guessing.
func (s *Service) identify(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		header := c.Response().Header()
		header.Set(echo.HeaderXRequestID, requestID(c.Request().Header.Get(echo.HeaderXRequestID)))
		if s.stopping.Load() {
			header.Set(echo.HeaderConnection, "close")
		}
		header[echo.HeaderXContentTypeOptions] = noSniff
		header[echo.HeaderReferrerPolicy] = noReferrer
		header[echo.HeaderContentSecurityPolicy] = nothingElse
		return next(c)
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
	if isSaneID(given) {
		return given
	}
	var random [16]byte
	binary.NativeEndian.PutUint64(random[:8], rand.Uint64()) // #nosec G404 -- ids are no secret
	binary.NativeEndian.PutUint64(random[8:], rand.Uint64()) // #nosec G404 -- ids are no secret
	return hex.EncodeToString(random[:])
}

func isSaneID(id string) bool {
	for _, char := range []byte(id) {
		isLetter, isDigit := 'a' <= char|0x20 && char|0x20 <= 'z', '0' <= char && char <= '9'
		if !isLetter && !isDigit && char != '-' && char != '_' {
			return false
		}
	}
	return 1 <= len(id) && len(id) <= 64
}

// record counts and logs each request once, when it is over. An error becomes
// an answer here, so that its status is known.
func (s *Service) record(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		start := time.Now()
		s.metrics.inFlight.Inc()
		defer s.metrics.inFlight.Dec()
		request := c.Request()
		body := &countedBody{ReadCloser: request.Body}
		request.Body = body
		if err := next(c); err != nil {
			c.Error(err)
		}
		s.observe(c, start, time.Since(start), body.read)
		return nil
	}
}

func (s *Service) observe(c echo.Context, start time.Time, took time.Duration, bytesIn int64) {
	status := c.Response().Status
	seen := s.observedOf(c)
	if status == http.StatusOK && seen.answered != nil {
		seen.answered.Inc()
	} else {
		s.metrics.requests.WithLabelValues(seen.route, seen.method, strconv.Itoa(status)).Inc()
	}
	seen.duration.Observe(took.Seconds())
	level := levelOf(status)
	if !s.log.Enabled(c.Request().Context(), level) {
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
	if name, ok := c.Get(nameKey).(string); ok {
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

func (s *Service) observed(route, method string) *observed {
	return &observed{
		route: route, method: method,
		duration: s.metrics.duration.WithLabelValues(route, method),
		line:     s.log.Handler().WithAttrs([]slog.Attr{slog.String("method", method), slog.String("route", route)}),
	}
}

// observedOf is made once for what the table has.
func (s *Service) observedOf(c echo.Context) *observed {
	route, method := s.routeLabel(c), methodLabel(c.Request().Method)
	if known := s.observers[routeMethod{route, method}]; known != nil {
		return known
	}
	return s.observed(route, method)
}

type routeMethod struct{ route, method string }

// routeLabel is the matched template, never the path that was asked for.
func (s *Service) routeLabel(c echo.Context) string {
	if _, known := s.allowed[c.Path()]; known {
		return c.Path()
	}
	return other
}

func methodLabel(method string) string {
	switch method {
	case http.MethodGet, http.MethodPost, http.MethodHead, http.MethodOptions,
		http.MethodPut, http.MethodPatch, http.MethodDelete:
		return method
	default:
		return other
	}
}

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

// rescue turns a panic into an error, its value and stack kept for the log.
func (s *Service) rescue(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) (err error) {
		defer func() {
			value := recover()
			if value == nil {
				return
			}
			if aborted, ok := value.(error); ok && errors.Is(aborted, http.ErrAbortHandler) {
				panic(value) // net/http's own way to hang up
			}
			s.metrics.panics.Inc()
			err = &panicked{value: value, stack: debug.Stack()}
		}()
		return next(c)
	}
}

// refuseOptions takes OPTIONS as any other method: the table has no row for
// it; what a listed origin's browser asks beforehand, cors has answered.
func (s *Service) refuseOptions(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if c.Request().Method != http.MethodOptions {
			return next(c)
		}
		if s.routeLabel(c) == other {
			return echo.ErrNotFound
		}
		return echo.ErrMethodNotAllowed
	}
}
