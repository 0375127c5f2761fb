package gate

import (
	"errors"
	"runtime"
	"time"
)

const (
	defaultQueueWait = 250 * time.Millisecond
	defaultHeld      = 32 << 20
	// defaultElements leaves 500 values to each item of the largest batch, and 8
	// bytes of its 4 MiB to each value.
	defaultElements = 500_000
)

// Limits say how much is taken on at once. The zero value has the standards.
type Limits struct {
	AtOnce    int           // quick questions computed at once; 0 takes 4 for each core, at least 8. Long ones have places of their own
	Queue     int           // requests that may wait for that; 0 takes 8 for each place
	QueueWait time.Duration // the longest wait; 0 takes 250 ms
	Elements  int           // JSON values in a body, a batch's items included; 0 takes 500,000
	Held      int64         // bytes of bodies and unsent answers, of all together; 0 takes 32 MiB

	Rate  float64 // questions a second of one client; 0 sets no limit
	Burst int     // questions that a client may send at once; 0 takes Rate, rounded up
}

// WithDefaults puts the standards where nothing is said.
func (l Limits) WithDefaults() (Limits, error) {
	if l.AtOnce < 0 || l.Queue < 0 || l.QueueWait < 0 || l.Elements < 0 || l.Held < 0 || l.Burst < 0 || !(l.Rate >= 0) {
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
	if l.Held == 0 {
		l.Held = defaultHeld
	}
	if l.Burst == 0 {
		l.Burst = int(l.Rate) + 1
	}
	return l, nil
}
