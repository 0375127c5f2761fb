package callers_test

import (
	"strings"
	"testing"
)

// The benchmarks print how the trade's rule, the service and an observer that
// knows every distribution do by the same callers. -v prints the tables whole.

// BenchmarkCallers is the callers' workshop.
func BenchmarkCallers(b *testing.B) {
	for _, a := range advisers(b) {
		b.Run(strings.ReplaceAll(a.name(), " ", "_"), func(b *testing.B) {
			for range b.N {
				outcomes := visits(a, *seedFlag, countOr(2000))
				b.Log("\n" + workshopHead + "\n" + workshopTable(a.name(), outcomes))
				summarize("all", outcomes).report(b, "")
				summarize("right", outcomes).report(b, "right-")
			}
			logRefused(b, a)
		})
	}
}

func (f workshopFigures) report(b *testing.B, of string) {
	b.ReportMetric(f.joints, of+"joints")
	b.ReportMetric(f.minutes, of+"minutes")
	b.ReportMetric(f.within2, of+"within2")
	b.ReportMetric(float64(f.against), of+"against")
	if f.later.n > 0 {
		b.ReportMetric(f.later.said, of+"said")
		b.ReportMetric(f.later.came, of+"true")
	}
}

// BenchmarkPlantedFaults is how well each names and cures what is wrong.
func BenchmarkPlantedFaults(b *testing.B) {
	names := newServed(b).names
	for _, a := range advisers(b) {
		b.Run(strings.ReplaceAll(a.name(), " ", "_"), func(b *testing.B) {
			for range b.N {
				examined := examineAll(a, names, *seedFlag, countOr(400))
				f := summarizePlanted(examined)
				b.Log("\n" + plantedHead + "\n" + f.row(a.name()) + "\n" + byFault(examined))
				f.report(b)
			}
			logRefused(b, a)
		})
	}
}

func (f plantedFigures) report(b *testing.B) {
	for k, unit := range []string{"first0", "first1", "first2", "first3"} {
		b.ReportMetric(f.first[k], unit)
	}
	b.ReportMetric(f.amongThree, "of-three")
	b.ReportMetric(f.answer[plantedChecks], "answer3")
	b.ReportMetric(f.calibration[plantedChecks], "worst-bin")
	b.ReportMetric(f.cured, "cured")
	b.ReportMetric(float64(f.against), "against")
}

// BenchmarkExactCallers counts whom an adviser fails who makes no error but one.
// The observer is left out: it knows its own world, and this is another.
func BenchmarkExactCallers(b *testing.B) {
	for _, a := range advisers(b)[:2] {
		b.Run(strings.ReplaceAll(a.name(), " ", "_"), func(b *testing.B) {
			for range b.N {
				for _, tells := range []telling{tellsGaps, tellsFeels} {
					f := exactCallers(a, *seedFlag, countOr(500), tells)
					b.Logf("%s %s: %d of %d failed, %.2f joints\n%s", a.name(), tells, f.failed, f.n, f.joints, strings.Join(f.some, "\n"))
					b.ReportMetric(float64(f.failed)/float64(max(1, f.n)), "failed-"+string(tells))
				}
			}
		})
	}
}

func advisers(t testing.TB) []adviser {
	s := newServed(t)
	return []adviser{trade{}, s, allKnowing(s.names)}
}

func logRefused(b *testing.B, a adviser) {
	if s, is := a.(*served); is && s.refused.count > 0 {
		b.Logf("%d refused %v", s.refused.count, s.refused.some)
	}
}

// allKnowing is the observer of both worlds, asking for the checks that the
// contract has.
func allKnowing(k *contractNames) observer {
	return observer{workshopBenches: 6000, faultBenches: 500, faults: faultsOf(k), checks: keysOf(k.checks)}
}
