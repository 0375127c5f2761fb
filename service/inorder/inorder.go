// Package inorder does things on several workers and takes their results in order.
package inorder

import (
	"context"
	"sync"
)

// ahead is how many results for each worker may wait for one that is slower.
const ahead = 16

// Line is how things are done in order.
type Line[T any] struct {
	Workers int
	// MostHeld is how much of results, by Size, may wait to be taken before the next
	// thing is begun.
	MostHeld int
	Size     func(T) int
}

// Run does n things on several workers and takes their results in order,
// each as soon as it and those before it are done; more says that the next one
// is done already. Not more than ahead results for each worker wait at a time.
// An error of take, or the end of ctx, ends it: what is under way is waited
// for, nothing new is begun, and the error is returned.
func (l *Line[T]) Run(ctx context.Context, n int, do func(i int) T, take func(result T, more bool) error) error {
	i := -1
	return l.RunWhile(ctx, func() (func() T, bool) {
		i++
		at := i
		return func() T { return do(at) }, at < n
	}, take)
}

// RunWhile is Run for things of which nobody knows how many there will be: next
// returns the next one until it returns false. One worker at a time calls it.
func (l *Line[T]) RunWhile(ctx context.Context, next func() (do func() T, ok bool), take func(result T, more bool) error) error {
	ctx, cancel := context.WithCancel(ctx)
	var busy sync.WaitGroup
	defer busy.Wait()
	defer cancel()
	window := ahead * l.Workers
	held := newStore(ctx, l.MostHeld)
	results := make([]chan T, window) // of i at i modulo window
	for i := range results {
		results[i] = make(chan T, 1)
	}
	room := make(chan struct{}, window)
	begun := counter[T]{next: next, over: make(chan struct{})} // with room at hand, so never more than a window ahead
	for range l.Workers {
		busy.Go(func() {
			for held.hasRoom() && hasRoom(ctx, room) {
				i, do := begun.begin()
				if do == nil {
					return
				}
				result := do()
				held.add(l.Size(result))
				results[i%window] <- result // never waits: there is room
			}
		})
	}
	over := begun.over
	for i := 0; ; {
		select {
		case result := <-results[i%window]:
			<-room
			size := l.Size(result) // before it is taken, who may use it again
			if err := take(result, len(results[(i+1)%window]) > 0); err != nil {
				return err
			}
			held.add(-size)
			i++
		case <-over:
			over = nil // and what is under way is waited for
		case <-ctx.Done():
			return ctx.Err()
		}
		if over == nil && i == begun.n {
			return nil
		}
	}
}

// counter gives each thing its number.
type counter[T any] struct {
	mu   sync.Mutex
	next func() (func() T, bool)
	n    int           // that were begun
	over chan struct{} // closed when there are no more; n stays then
	done bool
}

// begin returns nil where there is nothing more.
func (c *counter[T]) begin() (i int, do func() T) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.done {
		return 0, nil
	}
	do, ok := c.next()
	if !ok {
		c.done = true
		close(c.over)
		return 0, nil
	}
	c.n++
	return c.n - 1, do
}

// store counts what waits to be taken. Who waits for room holds nothing that is
// to be taken before it, so somebody always goes on.
type store struct {
	ctx     context.Context
	most    int
	mu      sync.Mutex
	changed sync.Cond
	held    int
}

func newStore(ctx context.Context, most int) *store {
	s := &store{ctx: ctx, most: most}
	s.changed.L = &s.mu
	context.AfterFunc(ctx, func() {
		s.mu.Lock()
		defer s.mu.Unlock()
		s.changed.Broadcast()
	})
	return s
}

func (s *store) add(n int) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.held += n
	s.changed.Broadcast()
}

// hasRoom waits until no more is held than may be; false when ctx ends first.
func (s *store) hasRoom() bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	for s.held > s.most && s.ctx.Err() == nil {
		s.changed.Wait()
	}
	return s.ctx.Err() == nil
}

// hasRoom waits for room for one more result; false when ctx ends first.
func hasRoom(ctx context.Context, room chan<- struct{}) bool {
	if ctx.Err() != nil {
		return false
	}
	select {
	case room <- struct{}{}:
		return true
	case <-ctx.Done():
		return false
	}
}
