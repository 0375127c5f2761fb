// Package inorder does things on several workers and takes their results in order.
package inorder

import (
	"context"
	"sync"
	"sync/atomic"
)

// ahead is how many results for each worker may wait for one that is slower.
const ahead = 16

// Run does n things on several workers and takes their results in order,
// each as soon as it and those before it are done; more says that the next one
// is done already. Not more than ahead results for each worker wait at a time.
// An error of take, or the end of ctx, ends it: what is under way is waited
// for, nothing new is begun, and the error is returned.
func Run[T any](ctx context.Context, n, workers int, do func(i int) T, take func(result T, more bool) error) error {
	ctx, cancel := context.WithCancel(ctx)
	var busy sync.WaitGroup
	defer busy.Wait()
	defer cancel()
	window := ahead * workers
	results := make([]chan T, window) // of i at i modulo window
	for i := range results {
		results[i] = make(chan T, 1)
	}
	room := make(chan struct{}, window)
	var next atomic.Int64 // to be begun; taken with room at hand, so never more than a window ahead
	for range workers {
		busy.Go(func() {
			for hasRoom(ctx, room) {
				i := int(next.Add(1)) - 1
				if i >= n {
					return
				}
				results[i%window] <- do(i) // never waits: there is room
			}
		})
	}
	for i := range n {
		select {
		case result := <-results[i%window]:
			<-room
			if err := take(result, len(results[(i+1)%window]) > 0); err != nil {
				return err
			}
		case <-ctx.Done():
			return ctx.Err()
		}
	}
	return nil
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
