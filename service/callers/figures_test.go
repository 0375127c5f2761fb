package callers_test

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"sync"
)

// counter counts what should not happen, from many goroutines.
type counter struct {
	lock  sync.Mutex
	count int
	some  []string
}

func (c *counter) add(what string) {
	c.lock.Lock()
	defer c.lock.Unlock()
	if c.count++; len(c.some) < 5 {
		c.some = append(c.some, what)
	}
}

// workshopFigures is how an adviser did by the callers of one kind.
type workshopFigures struct {
	kind                    string
	n, failed               int
	joints, minutes, checks float64
	within2                 float64
	first, later            honesty
	against                 int
	advices                 int
}

// honesty compares what was claimed with what came true.
type honesty struct {
	n            int
	said, came   float64 // means
	sumSaid, sum float64
}

func (h *honesty) add(c claim) {
	if math.IsNaN(c.chance) {
		return
	}
	h.n++
	h.sumSaid += c.chance
	if c.fits {
		h.sum++
	}
	h.said, h.came = h.sumSaid/float64(h.n), h.sum/float64(h.n)
}

func (h honesty) String() string {
	if h.n == 0 {
		return "     -     "
	}
	return fmt.Sprintf("%.2f / %.2f", h.said, h.came)
}

func summarize(kind string, outcomes []outcome) workshopFigures {
	f := workshopFigures{kind: kind}
	for _, o := range outcomes {
		if kind != "all" && o.kind != kind && (kind != "wrong" || o.kind == "right") {
			continue
		}
		f.n++
		f.joints += float64(o.joints)
		f.minutes += o.minutes
		f.checks += float64(o.checks)
		if o.joints <= 2 {
			f.within2++
		}
		if o.failed {
			f.failed++
		}
		f.first.add(o.first)
		for _, c := range o.later {
			f.later.add(c)
			f.advices++
		}
		f.against += len(o.against)
	}
	n := math.Max(1, float64(f.n))
	f.joints /= n
	f.minutes /= n
	f.checks /= n
	f.within2 /= n
	return f
}

// kindsOf is all callers, those who state rightly, those who don't, and each way of that.
func kindsOf() []string {
	kinds := []string{"all", "right", "wrong"}
	for _, s := range wrongShares {
		kinds = append(kinds, s.code)
	}
	return kinds
}

const workshopHead = "adviser       callers        n  joints minutes within 2 checks failed  first said/true  later said/true  against feel"

func (f workshopFigures) row(adviser string) string {
	return fmt.Sprintf("%-13s %-11s %5d  %6.2f %7.1f %8.2f %6.2f %6d  %15s  %15s  %d of %d",
		adviser, f.kind, f.n, f.joints, f.minutes, f.within2, f.checks, f.failed, f.first, f.later, f.against, f.advices)
}

func workshopTable(adviser string, outcomes []outcome) string {
	var rows []string
	for _, kind := range kindsOf() {
		rows = append(rows, summarize(kind, outcomes).row(adviser))
	}
	return strings.Join(rows, "\n")
}

// keysOf is a map's keys in order.
func keysOf[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }
