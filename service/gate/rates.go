package gate

import (
	"sync"
	"time"

	"golang.org/x/time/rate"
)

// maxClients is how many clients' rates are kept, twice over.
const maxClients = 10_000

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

// take counts n questions and returns 0 if as many are left to the client, or
// the bound if that is less; else after what time they will be.
func (r *rates) take(client string, n, bound int, now time.Time) time.Duration {
	r.mu.Lock()
	defer r.mu.Unlock()
	bucket := r.bucket(client)
	if missing := float64(min(n, bound)) - bucket.TokensAt(now); missing > 0 && bound > 0 {
		return max(time.Duration(missing/float64(r.limit)*float64(time.Second)), 1)
	}
	for n > 0 { // a bucket takes no more than its burst at a time, but goes below 0
		bucket.ReserveN(now, min(n, r.burst))
		n -= r.burst
	}
	return 0
}

// bucket is a client's, a full one for who has none.
func (r *rates) bucket(client string) *rate.Limiter {
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
