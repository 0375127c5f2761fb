package gate

import (
	"context"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/service/watch"
)

func testPlaces(t *testing.T, l Limits) *places {
	l, err := l.WithDefaults()
	require.NoError(t, err)
	return newPlaces(l, watch.NewMetrics("", "", ""))
}

// wait has a client's work wait in the queue and returns how it ended.
func wait(t *testing.T, c *class, client string, cost time.Duration, isItem bool) chan error {
	t.Helper()
	count := func() (n int) {
		c.mu.Lock()
		defer c.mu.Unlock()
		for _, w := range c.queue {
			if w.of == c.clients[client] {
				n++
			}
		}
		return n
	}
	before := count()
	ended := make(chan error, 1)
	go func() { ended <- c.enter(context.Background(), client, cost, isItem) }()
	require.Eventually(t, func() bool { return count() > before }, time.Minute, 10*time.Microsecond)
	return ended
}

// Of clients that wait, who has asked for less comes first; items of batches
// come behind single questions.
func TestPlacesAreGivenFairly(t *testing.T) {
	p := testPlaces(t, Limits{AtOnce: 1, Queue: 100, QueueWait: 10 * time.Minute})
	c := &p.long
	require.NoError(t, c.enter(t.Context(), "greedy", 10*time.Millisecond, false))
	entered, all := make(chan string), 0
	for _, w := range []struct {
		name, client string
		isItem       bool
	}{
		{"item 1", "batch", true},
		{"item 2", "batch", true},
		{"greedy 1", "greedy", false},
		{"greedy 2", "greedy", false},
		{"greedy 3", "greedy", false},
		{"modest 1", "modest", false},
		{"modest 2", "modest", false},
	} {
		all++
		ended := wait(t, c, w.client, 10*time.Millisecond, w.isItem)
		go func() {
			assert.NoError(t, <-ended)
			entered <- w.name
		}()
	}
	var order []string
	for range all {
		c.leave() // lets one in, who leaves only after that
		order = append(order, <-entered)
	}
	place := func(name string) int {
		for i, n := range order {
			if n == name {
				return i
			}
		}
		return -1
	}
	t.Log(order)
	assert.Less(t, place("modest 1"), place("greedy 2"))
	assert.Less(t, place("modest 2"), place("greedy 3"))
	assert.Less(t, place("greedy 3"), place("item 2"), "an item counts for four")
}

// When the queue is full, the last one of who has most in it makes room.
func TestAFullQueueMakesRoomForWhoHasLess(t *testing.T) {
	p := testPlaces(t, Limits{AtOnce: 1, Queue: 3, QueueWait: 10 * time.Minute})
	c := &p.quick
	require.NoError(t, c.enter(t.Context(), "greedy", 0, false))
	var greedy []chan error
	for range 3 {
		greedy = append(greedy, wait(t, c, "greedy", time.Millisecond, false))
	}
	require.Error(t, c.enter(t.Context(), "greedy", time.Millisecond, false), "it may not push out itself")
	modest := wait(t, c, "modest", time.Millisecond, false)
	require.Error(t, <-greedy[2])
	for range 3 {
		c.leave()
	}
	require.NoError(t, <-modest)
	require.NoError(t, <-greedy[0])
	require.NoError(t, <-greedy[1])
	assert.Zero(t, c.waiting)
}

// Who has waited too long, or has gone, leaves nothing behind.
func TestWhoGivesUpLeavesTheQueue(t *testing.T) {
	p := testPlaces(t, Limits{AtOnce: 1, QueueWait: time.Millisecond})
	c := &p.quick
	require.NoError(t, c.enter(t.Context(), "a", 0, false))
	require.ErrorContains(t, c.enter(t.Context(), "b", 0, false), "More requests came")
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	require.ErrorIs(t, c.enter(ctx, "b", 0, true), context.Canceled)
	assert.Zero(t, c.waiting+len(c.queue))
	c.leave()
	require.NoError(t, c.enter(t.Context(), "b", 0, false))
}

// While quick questions come, one processor is kept free of long work.
func TestQuickQuestionsKeepAProcessor(t *testing.T) {
	if runtime.GOMAXPROCS(0) < 2 {
		t.Skip("there is but one")
	}
	p := testPlaces(t, Limits{})
	all := runtime.GOMAXPROCS(0)
	ago := func(d time.Duration) { p.lastQuick.Store(int64(time.Since(p.began) - d)) }
	assert.Equal(t, all, p.long.most())
	p.classOf(Quick)
	assert.GreaterOrEqual(t, p.lastQuick.Load(), int64(0), "it is noted")
	ago(-time.Minute) // as if it came later: a busy machine may take longer to look than a processor is kept
	assert.Equal(t, all-1, p.long.most())
	ago(recently)
	p.classOf(Quick + 1)
	assert.Equal(t, all, p.long.most())
}

// A batch larger than the burst is let in at a full bucket and leaves a debt,
// which is what Retry-After tells.
func TestDebts(t *testing.T) {
	r := newRates(Limits{Rate: 1, Burst: 5})
	now := time.Unix(0, 0)
	assert.Zero(t, r.take("a", 1, 1, now)) // every request counts for one
	assert.Zero(t, r.take("a", 199, 4, now))
	assert.Equal(t, 196*time.Second, r.take("a", 1, 1, now))
	assert.Equal(t, time.Second, r.take("a", 1, 1, now.Add(195*time.Second)), "it is true")
	assert.Zero(t, r.take("a", 1, 1, now.Add(196*time.Second)))
	assert.Zero(t, r.take("b", 1, 1, now))
	assert.Zero(t, r.take("b", 2, 4, now))
	assert.Equal(t, time.Second, r.take("b", 3, 4, now), "less than the burst waits for all of it")
}
