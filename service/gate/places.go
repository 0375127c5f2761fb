package gate

import (
	"context"
	"errors"
	"io"
	"time"

	"snugtail/service/problem"
	"snugtail/service/watch"
)

// places lets AtOnce requests through and Queue more wait; who comes beyond is
// told to come back. Refusing early keeps those that are admitted fast.
type places struct {
	taken, queue chan struct{}
	wait         time.Duration
	metrics      *watch.Metrics
}

func newPlaces(l Limits, m *watch.Metrics) *places {
	return &places{taken: make(chan struct{}, l.AtOnce), queue: make(chan struct{}, l.Queue), wait: l.QueueWait, metrics: m}
}

// enter returns once there is a place, or a 503.
func (p *places) enter(ctx context.Context) error {
	select {
	case p.taken <- struct{}{}:
		return nil
	default:
	}
	select {
	case p.queue <- struct{}{}:
		defer func() { <-p.queue }()
	default:
		return p.shed(watch.ShedFull)
	}
	defer p.metrics.Queued()()
	patience := time.NewTimer(p.wait)
	defer patience.Stop()
	select {
	case p.taken <- struct{}{}:
		return nil
	case <-patience.C:
		return p.shed(watch.ShedLate)
	case <-ctx.Done():
		return ctx.Err()
	}
}

func (p *places) leave() { <-p.taken }

func (p *places) shed(reason string) error {
	p.metrics.Shed(reason)
	return problem.Unavailable("More requests came than can be answered.", 1)
}

// gatedBody passes the gate at its end.
type gatedBody struct {
	io.ReadCloser
	places  *places
	request context.Context
	entered bool
}

func (b *gatedBody) Read(p []byte) (int, error) {
	n, err := b.ReadCloser.Read(p)
	if !errors.Is(err, io.EOF) || b.entered {
		return n, err
	}
	if refused := b.places.enter(b.request); refused != nil {
		return n, refused
	}
	b.entered = true
	return n, err
}

func (b *gatedBody) leave() {
	if b.entered {
		b.places.leave()
	}
}
