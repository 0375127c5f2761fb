package watch

import (
	"os"
	"path/filepath"
	"runtime/debug"
	"strconv"
	"strings"

	"github.com/prometheus/client_golang/prometheus"
)

// What the system allows the process, where it is in a Linux control group
// (kernel documentation, Control Group v2: cpu.stat, memory.max).

// groupFile reads a file of the process's own group; empty where there is none.
func groupFile(name string) string {
	groups, err := os.ReadFile("/proc/self/cgroup")
	if err != nil {
		return ""
	}
	for line := range strings.Lines(string(groups)) {
		if path, ok := strings.CutPrefix(strings.TrimSpace(line), "0::"); ok {
			text, _ := os.ReadFile(filepath.Join("/sys/fs/cgroup", filepath.Clean("/"+path), name)) // #nosec G304 -- the kernel names it
			return string(text)
		}
	}
	return ""
}

// MemoryLimit is the most memory that the process's group may have, bytes; 0
// where there is no limit.
func MemoryLimit() int64 { return limitIn(groupFile("memory.max")) }

func limitIn(text string) int64 {
	limit, err := strconv.ParseInt(strings.TrimSpace(text), 10, 64)
	if err != nil || limit < 0 { // "max"
		return 0
	}
	return limit
}

// throttled is for how long the process was kept from running by its quota, seconds.
func throttled() float64 { return throttledIn(groupFile("cpu.stat")) }

func throttledIn(text string) float64 {
	for line := range strings.Lines(text) {
		if figure, ok := strings.CutPrefix(strings.TrimSpace(line), "throttled_usec "); ok {
			microseconds, _ := strconv.ParseFloat(figure, 64)
			return microseconds / 1e6
		}
	}
	return 0
}

// quotas are the metrics of these.
func quotas() []prometheus.Collector {
	return []prometheus.Collector{
		prometheus.NewCounterFunc(prometheus.CounterOpts{
			Name: "snugtail_cpu_throttled_seconds_total",
			Help: "Time for which the container's quota of processors was used up.",
		}, throttled),
		prometheus.NewGaugeFunc(prometheus.GaugeOpts{
			Name: "snugtail_memory_limit_bytes",
			Help: "Memory that the process may have: its container's limit, else what Go's collector keeps to.",
		}, func() float64 {
			if limit := MemoryLimit(); limit > 0 {
				return float64(limit)
			}
			return float64(debug.SetMemoryLimit(-1))
		}),
	}
}
