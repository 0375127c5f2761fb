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
