package gate

import (
	"container/heap"
	"context"
	"runtime"
	"sync"
	"sync/atomic"
	"time"

	"snugtail/service/problem"
	"snugtail/service/watch"
)

const (
	// Quick is the estimated cost up to which a question is answered at once, beside
	// whatever else is computed. Judgement.
	Quick = 3 * time.Millisecond
	// recently is how long a processor is kept free of long work after the last
	// quick question came. Judgement.
	recently = 100 * time.Millisecond
	// patient is how many times as long as a quick question a long one waits, which
	// itself takes as many times as long. Judgement.
	patient = 8
	// behind is how many times its cost an item of a batch counts for against single
	// questions. Judgement.
	behind = 4
)

// places lets through as many requests as are computed at once; more wait, and
// who comes beyond those is told to come back. Refusing early keeps those that
// are admitted fast. Long work has places of its own, so that it never stands
// before quick questions: one for each processor, but for one while quick
// questions come.
type places struct {
	quick, long class
	began       time.Time
	lastQuick   atomic.Int64 // when one came, ns since then
}

func newPlaces(l Limits, m *watch.Metrics) *places {
	p := &places{began: time.Now()}
	p.lastQuick.Store(-int64(recently))
	processors := runtime.GOMAXPROCS(0)
	p.quick = class{most: func() int { return l.AtOnce }, room: l.Queue, wait: l.QueueWait, metrics: m, clients: map[string]*share{}}
	p.long = class{room: l.Queue, wait: patient * l.QueueWait, metrics: m, clients: map[string]*share{}, most: func() int {
		most := min(processors, l.AtOnce)
		if int64(time.Since(p.began))-p.lastQuick.Load() < int64(recently) {
			most--
		}
		return max(most, 1)
	}}
	return p
}

// classOf is where work of a cost belongs.
func (p *places) classOf(cost time.Duration) *class {
	if cost > Quick {
		return &p.long
	}
	p.lastQuick.Store(int64(time.Since(p.began)))
	return &p.quick
}

// class is places of one kind, given fairly by estimated cost: each client has
// a clock that moves on by the cost of what it asks, and who is furthest behind
// comes first (start-time fair queueing: Goyal, Vin and Cheng, SIGCOMM 1996).
type class struct {
	most    func() int // at once
	room    int        // that may wait, items of batches not counted
	wait    time.Duration
	metrics *watch.Metrics

	mu      sync.Mutex
	running int
	waiting int // of room
	queue   waiters
	clients map[string]*share
	now     time.Duration // the clock of who was let in last
}

// share is what a client has asked for.
type share struct {
	clock   time.Duration
	waiting int
}

// waiter waits for a place.
type waiter struct {
	start   time.Duration // its client's clock before it
	of      *share
	isItem  bool
	told    chan error // nil lets it in
	atIndex int        // in the queue, -1 when it has left it
}

// enter returns once there is a place, or a 503. An item of a batch waits as
// long as its batch may take.
func (c *class) enter(ctx context.Context, client string, cost time.Duration, isItem bool) error {
	w, err := c.apply(client, cost, isItem)
	if w == nil {
		return err
	}
	defer c.metrics.Queued()()
	var late <-chan time.Time
	if !isItem {
		patience := time.NewTimer(c.wait)
		defer patience.Stop()
		late = patience.C
	}
	select {
	case err = <-w.told:
		return err
	case <-late:
		err = c.shed(watch.ShedLate)
	case <-ctx.Done():
		err = ctx.Err()
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	if w.atIndex < 0 {
		return <-w.told // in this very moment
	}
	c.remove(w)
	return err
}

// apply takes a place or a place in the queue, where it is not nil.
func (c *class) apply(client string, cost time.Duration, isItem bool) (*waiter, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	of := c.share(client)
	start := max(of.clock, c.now)
	if len(c.queue) == 0 && c.running < c.most() {
		c.running++
		c.now, of.clock = start, start+weight(cost, isItem)
		return nil, nil
	}
	if !isItem && c.waiting >= c.room && !c.makeRoom(of) {
		return nil, c.shed(watch.ShedFull)
	}
	of.clock = start + weight(cost, isItem)
	w := &waiter{start: start, of: of, isItem: isItem, told: make(chan error, 1)}
	if !isItem {
		c.waiting++
		of.waiting++
	}
	heap.Push(&c.queue, w)
	return w, nil
}

func weight(cost time.Duration, isItem bool) time.Duration {
	if isItem {
		return behind * cost
	}
	return cost
}

// share is a client's. Clients that nobody waits for are forgotten when there are many.
func (c *class) share(client string) *share {
	of := c.clients[client]
	if of == nil {
		if len(c.clients) >= maxClients {
			for name, s := range c.clients {
				if s.waiting == 0 {
					delete(c.clients, name)
				}
			}
		}
		of = &share{}
		c.clients[client] = of
	}
	return of
}

// makeRoom refuses the last one of the client that has most waiting, unless
// that is the client for whom there should be room.
func (c *class) makeRoom(newcomer *share) bool {
	var last *waiter
	for _, w := range c.queue {
		if !w.isItem && (last == nil || w.of.waiting > last.of.waiting || w.of == last.of && w.start > last.start) {
			last = w
		}
	}
	if last == nil || last.of.waiting <= newcomer.waiting+1 {
		return false
	}
	c.remove(last)
	last.told <- c.shed(watch.ShedFull)
	return true
}

func (c *class) remove(w *waiter) {
	heap.Remove(&c.queue, w.atIndex)
	c.left(w)
}

func (c *class) left(w *waiter) {
	if !w.isItem {
		c.waiting--
		w.of.waiting--
	}
}

// charge moves a client's clock on by what its question costs more than was thought.
func (c *class) charge(client string, more time.Duration, isItem bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.share(client).clock += weight(more, isItem)
}

func (c *class) leave() {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.running--
	for len(c.queue) > 0 && c.running < c.most() {
		w := heap.Pop(&c.queue).(*waiter)
		c.left(w)
		c.running++
		c.now = max(c.now, w.start)
		w.told <- nil
	}
}

func (c *class) shed(reason string) error {
	c.metrics.Shed(reason)
	return problem.Unavailable("overloaded", 1)
}

// waiters are a heap (package container/heap) by their clients' clocks.
type waiters []*waiter

func (q waiters) Len() int           { return len(q) }
func (q waiters) Less(i, k int) bool { return q[i].start < q[k].start }

func (q waiters) Swap(i, k int) {
	q[i], q[k] = q[k], q[i]
	q[i].atIndex, q[k].atIndex = i, k
}

func (q *waiters) Push(x any) {
	w := x.(*waiter)
	w.atIndex = len(*q)
	*q = append(*q, w)
}

func (q *waiters) Pop() any {
	last := len(*q) - 1
	w := (*q)[last]
	(*q)[last] = nil
	*q = (*q)[:last]
	w.atIndex = -1
	return w
}
