// Package callers_test simulates people at the bench who ask the service, and
// judges what they are told from outside: through the HTTP handler, in JSON,
// with nothing but the contract's names.
//
// There are two worlds, and an exact one beside them.
//
//   - The callers' workshop (workshop_test.go): a joint is to be made to fit, by
//     somebody of whom one in three states a wrong size.
//   - Planted faults (planted_test.go): one thing is wrong with a set-up, and is
//     to be named and cured.
//   - Exact callers (exact_test.go): no scatter, no misreading, one constant error.
//
// Each judges three advisers alike: the trade's rule of thumb (trade_test.go),
// the service (service_test.go), and an observer that knows every distribution
// of the world (observer_test.go, culprit_test.go), which nobody can beat by
// much. The distributions all stand in sizes_test.go; what a set-up cuts
// (bench_test.go) is written out from the joint's geometry and not taken from
// package joint; what is seen of it is in hand_test.go, what is told of that in
// call_test.go.
//
// The tables:
//
//	go test ./service/callers -v -run - -bench Callers -benchtime 1x
//	go test ./service/callers -v -run - -bench PlantedFaults -benchtime 1x
//
// Without -v they are cut short. /trade, /service and /knows behind a name choose
// one adviser; the observer takes most of the time. With CI=true or
// SNUGTAIL_CALLERS=1 the tests hold large runs against what is aimed at.
//
// -callers.n and -callers.seed (or SNUGTAIL_CALLERS_N, SNUGTAIL_CALLERS_SEED)
// choose how many and which; a seed never used while something was tuned shows
// whether it holds.
package callers_test

import (
	"flag"
	"os"
	"strconv"
	"testing"
)

var (
	seedFlag  = flag.Uint64("callers.seed", fromEnv("SNUGTAIL_CALLERS_SEED", 1), "which set of simulated callers")
	countFlag = flag.Uint64("callers.n", fromEnv("SNUGTAIL_CALLERS_N", 0), "how many simulated callers the benchmarks take, 0: their own number")
)

func fromEnv(name string, otherwise uint64) uint64 {
	if n, err := strconv.ParseUint(os.Getenv(name), 10, 64); err == nil {
		return n
	}
	return otherwise
}

// countOr is how many callers to draw.
func countOr(own int) int {
	if *countFlag > 0 {
		return int(*countFlag)
	}
	return own
}

// skipUnlessBig skips what takes minutes but where it is asked for, and under
// the race detector always: nothing here shares memory.
func skipUnlessBig(t *testing.T) {
	t.Helper()
	if raceDetector {
		t.Skip("takes too long under the race detector")
	}
	if os.Getenv("CI") != "true" && os.Getenv("SNUGTAIL_CALLERS") == "" {
		t.Skip("runs with CI=true or SNUGTAIL_CALLERS=1")
	}
}
