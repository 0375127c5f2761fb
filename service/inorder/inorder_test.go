package inorder

import (
	"context"
	"errors"
	"runtime"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Results come in order whoever is fastest, and never more than a window of
// them wait.
func TestInOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, workers := rapid.IntRange(0, 200).Draw(t, "n"), rapid.IntRange(1, 6).Draw(t, "workers")
		slow := rapid.IntRange(0, 200).Draw(t, "slow one")
		var done, taken atomic.Int32
		next := 0
		held := rapid.SampledFrom([]int{0, 5, 1 << 20}).Draw(t, "held")
		line := Line[int]{Workers: workers, MostHeld: held, Size: func(i int) int { return i % 7 }}
		err := line.Run(context.Background(), n, func(i int) int {
			if i == slow {
				time.Sleep(100 * time.Microsecond)
			}
			assert.LessOrEqual(t, int(done.Add(1)-taken.Load()), ahead*workers+1)
			return i
		}, func(i int, _ bool) error {
			taken.Add(1)
			assert.Equal(t, next, i)
			next++
			return nil
		})
		require.NoError(t, err)
		assert.Equal(t, n, next)
	})
}

func TestInOrderEnds(t *testing.T) {
	before := runtime.NumGoroutine()
	failed := errors.New("no more")
	begun := atomic.Int32{}
	line := Line[int]{Workers: 3, MostHeld: 1, Size: func(int) int { return 1 }}
	err := line.Run(t.Context(), 10_000, func(i int) int { begun.Add(1); return i }, func(i int, _ bool) error {
		if i == 5 {
			return failed
		}
		return nil
	})
	require.ErrorIs(t, err, failed)
	assert.LessOrEqual(t, int(begun.Load()), 6+ahead*3+3)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	err = line.Run(ctx, 10_000, func(i int) int { return i }, func(int, bool) error { return nil })
	require.ErrorIs(t, err, context.Canceled)
	for range 60_000 {
		if runtime.NumGoroutine() <= before {
			return
		}
		time.Sleep(time.Millisecond)
	}
	t.Error("a worker is left")
}
