package apitest

import (
	"iter"
	"os"
	"time"
)

// Within returns whether there is still time, of a test's own: a slow machine
// does fewer rounds of a property, so that the tests stay quick. With CI=true
// there always is.
func Within(limit time.Duration) func() bool {
	if os.Getenv("CI") == "true" {
		return func() bool { return true }
	}
	began := time.Now()
	return func() bool { return time.Since(began) < limit }
}

// Rounds counts up to most rounds, as many as there is time for, but a tenth at
// the least.
func Rounds(most int, within time.Duration) iter.Seq[int] {
	return func(yield func(int) bool) {
		inTime := Within(within)
		for i := range most {
			if i > most/10 && !inTime() || !yield(i) {
				return
			}
		}
	}
}
