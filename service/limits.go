package service

import (
	"context"
	"errors"
	"io"
	"net/http"
	"runtime"
	"strings"
	"sync"
	"time"

	"snugtail/service/problem"

	"github.com/labstack/echo/v4"
	"golang.org/x/time/rate"
)

const (
	defaultQueueWait = 250 * time.Millisecond
	// defaultElements leaves 500 values to each item of the largest batch, and 8
	// bytes of its 4 MiB to each value.
	defaultElements = 500_000
	maxClients      = 10_000 // whose rate is kept, twice over
)

// Why a request is shed.
const (
	shedFull = "queue_full"
	shedLate = "waited_too_long"
	shedOpen = "connections"
)

// Limits say how much is taken on at once. The zero value has the standards.
type Limits struct {
	AtOnce    int           // requests computed at once; 0 takes 4 for each core, at least 8. Batches have places of their own
	Queue     int           // requests that may wait for that; 0 takes 8 for each place
	QueueWait time.Duration // the longest wait; 0 takes 250 ms
	Elements  int           // JSON values in a body, a batch's items included; 0 takes 500,000

	Rate  float64 // requests a second of one client; 0 sets no limit
	Burst int     // requests that a client may send at once; 0 takes Rate, rounded up
}

func (l Limits) withDefaults() (Limits, error) {
	if l.AtOnce < 0 || l.Queue < 0 || l.QueueWait < 0 || l.Elements < 0 || l.Burst < 0 || !(l.Rate >= 0) {
		return l, errors.New("service: Limits must not be negative")
	}
	if l.AtOnce == 0 {
		l.AtOnce = max(4*runtime.GOMAXPROCS(0), 8)
	}
	if l.Queue == 0 {
		l.Queue = 8 * l.AtOnce
	}
	if l.QueueWait == 0 {
		l.QueueWait = defaultQueueWait
	}
	if l.Elements == 0 {
		l.Elements = defaultElements
	}
	if l.Burst == 0 {
		l.Burst = int(l.Rate) + 1
	}
	return l, nil
}

// gate lets AtOnce requests through and Queue more wait; who comes beyond is
// told to come back. Refusing early keeps those that are admitted fast.
type gate struct {
	places, queue chan struct{}
	wait          time.Duration
	metrics       *metrics
}

func newGate(l Limits, m *metrics) *gate {
	for _, reason := range []string{shedFull, shedLate, shedOpen} {
		m.shed.WithLabelValues(reason) // there from the start, so that the first one is an increase
	}
	return &gate{places: make(chan struct{}, l.AtOnce), queue: make(chan struct{}, l.Queue), wait: l.QueueWait, metrics: m}
}

// enter returns once there is a place, or a 503.
func (g *gate) enter(ctx context.Context) error {
	select {
	case g.places <- struct{}{}:
		return nil
	default:
	}
	select {
	case g.queue <- struct{}{}:
		defer func() { <-g.queue }()
	default:
		return g.shed(shedFull)
	}
	g.metrics.queued.Inc()
	defer g.metrics.queued.Dec()
	patience := time.NewTimer(g.wait)
	defer patience.Stop()
	select {
	case g.places <- struct{}{}:
		return nil
	case <-patience.C:
		return g.shed(shedLate)
	case <-ctx.Done():
		return ctx.Err()
	}
}

func (g *gate) leave() { <-g.places }

func (g *gate) shed(reason string) error {
	g.metrics.shed.WithLabelValues(reason).Inc()
	return problem.Unavailable("More requests came than can be answered.", 1)
}

// TurnedAway counts a connection that was turned away before it asked anything.
func (s *Service) TurnedAway() { s.metrics.shed.WithLabelValues(shedOpen).Inc() }

// admit holds back what is too much for the service or from one client. A
// place is taken when the body is read in full, not before, so that clients
// who send slowly hold none.
func (s *Service) admit(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if !strings.HasPrefix(s.routeLabel(c), "/v1/") {
			return next(c)
		}
		if err := s.checkRate(c); err != nil {
			return err
		}
		if c.Path() == batchPath { // see batches.enter
			return next(c)
		}
		request := c.Request()
		if request.Method == http.MethodPost {
			body := &gatedBody{ReadCloser: request.Body, gate: s.gate, request: request.Context()}
			request.Body = body
			defer body.leave()
			return next(c)
		}
		if err := s.gate.enter(request.Context()); err != nil {
			return err
		}
		defer s.gate.leave()
		return next(c)
	}
}

// gatedBody passes the gate at its end.
type gatedBody struct {
	io.ReadCloser
	gate    *gate
	request context.Context
	entered bool
}

func (b *gatedBody) Read(p []byte) (int, error) {
	n, err := b.ReadCloser.Read(p)
	if !errors.Is(err, io.EOF) || b.entered {
		return n, err
	}
	if refused := b.gate.enter(b.request); refused != nil {
		return n, refused
	}
	b.entered = true
	return n, err
}

func (b *gatedBody) leave() {
	if b.entered {
		b.gate.leave()
	}
}

func (s *Service) checkRate(c echo.Context) error {
	if s.rates == nil {
		return nil
	}
	wait := s.rates.take(s.clientOf(c), time.Now())
	if wait == 0 {
		return nil
	}
	s.metrics.limited.Inc()
	f := problem.New(http.StatusTooManyRequests, "This client sends more requests than it may.")
	f.RetryAfter = int((wait + time.Second - 1) / time.Second)
	return f
}

// rates is a bucket of requests for each client, for a bounded number of
// clients: of two generations the older is dropped when the newer is full.
type rates struct {
	limit rate.Limit
	burst int

	mu         sync.Mutex
	young, old map[string]*rate.Limiter
}

// newRates is nil where there is no limit.
func newRates(l Limits) *rates {
	if l.Rate == 0 {
		return nil
	}
	return &rates{limit: rate.Limit(l.Rate), burst: l.Burst, young: map[string]*rate.Limiter{}}
}

// take returns 0 if the client may go on, else after what time it may.
func (r *rates) take(client string, now time.Time) time.Duration {
	bucket := r.bucket(client)
	if bucket.AllowN(now, 1) {
		return 0
	}
	missing := 1 - bucket.TokensAt(now)
	return max(time.Duration(missing/float64(r.limit)*float64(time.Second)), 1)
}

// bucket is a client's, a full one for who has none.
func (r *rates) bucket(client string) *rate.Limiter {
	r.mu.Lock()
	defer r.mu.Unlock()
	if b := r.young[client]; b != nil {
		return b
	}
	b := r.old[client]
	if b == nil {
		b = rate.NewLimiter(r.limit, r.burst)
	}
	if len(r.young) >= maxClients {
		r.old, r.young = r.young, make(map[string]*rate.Limiter)
	}
	r.young[client] = b
	return b
}
