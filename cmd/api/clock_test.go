package main

import (
	"context"
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The machine's clock may jump: no answer, limit or deadline looks at the time of
// day. Times are only taken and compared within the process, and there Go counts
// on a clock that is never set (package time, "Monotonic Clocks"), unless one of
// its methods below throws that reading away. The log's stamps are the exception.
// TestClockJumps lets the clock jump.
func TestNothingLooksAtTheTimeOfDay(t *testing.T) {
	staysMonotonic := map[string]bool{
		"Now": true, "Since": true, "Duration": true, "ParseDuration": true, "NewTimer": true, "After": true, "Sleep": true,
		"Hour": true, "Minute": true, "Second": true, "Millisecond": true, "Microsecond": true, "Nanosecond": true, "Time": true,
	}
	throwsAway := map[string]bool{
		"Unix": true, "UnixNano": true, "UnixMicro": true, "UnixMilli": true, "UTC": true, "Local": true, "In": true, "Format": true,
		"AppendFormat": true, "Truncate": true, "Round": true, "AddDate": true, "Date": true, "Clock": true, "Weekday": true, "YearDay": true,
	}
	taken := 0
	for _, root := range []string{"../../joint", "../../service", "."} {
		files := goFiles(t, root)
		require.NotEmpty(t, files)
		for _, path := range files {
			set := token.NewFileSet()
			file, err := parser.ParseFile(set, path, nil, 0)
			require.NoError(t, err)
			ast.Inspect(file, func(n ast.Node) bool {
				if call, ok := n.(*ast.CallExpr); ok {
					if method, ok := call.Fun.(*ast.SelectorExpr); ok && throwsAway[method.Sel.Name] {
						of, isName := method.X.(*ast.Ident)
						knows := isName && (of.Name == "math" || of.Name == "unicode" ||
							of.Name == "w" && strings.HasSuffix(path, "fields/write.go") || // a buffer's
							of.Name == "advance" && strings.HasSuffix(path, "draw/metrics.go")) // of fixed point
						assert.True(t, knows, "%s: %s", set.Position(n.Pos()), method.Sel.Name)
					}
				}
				selector, ok := n.(*ast.SelectorExpr)
				if !ok {
					return true
				}
				if of, ok := selector.X.(*ast.Ident); ok && of.Name == "time" && of.Obj == nil {
					taken++
					where := set.Position(n.Pos())
					assert.True(t, staysMonotonic[selector.Sel.Name], "%s: time.%s", where, selector.Sel.Name)
					assert.False(t, strings.HasPrefix(path, "../../joint"), "%s: the textbook knows no clock", where)
				}
				return true
			})
		}
	}
	assert.Greater(t, taken, 20)
}

// The program as released, but for a clock that is set four times in 80 ms, by years:
// nobody is refused, cut off or let in because of it.
func TestClockJumps(t *testing.T) {
	if os.Getenv("CI") != "true" && os.Getenv("SNUGTAIL_FAULTS") == "" {
		t.Skip("CI=true or SNUGTAIL_FAULTS=1 runs this: every package is compiled anew, which takes a minute the first time")
	}
	path := built(t, "snugtail", "-overlay", jumpingClock(t))
	t.Run("service", func(t *testing.T) { serveWhileClockJumps(t, path) })
	t.Run("rate", func(t *testing.T) { limitWhileClockJumps(t, path) })
}

// jumpingClock is an overlay for the build, in which package time reads a clock of day
// that jumps, and the same monotonic clock.
func jumpingClock(t *testing.T) (overlay string) {
	root, err := exec.CommandContext(t.Context(), "go", "env", "GOROOT").Output()
	require.NoError(t, err)
	file := filepath.Join(strings.TrimSpace(string(root)), "src", "time", "time.go")
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	const reads = "\tsec, nsec, mono := runtimeNow()\n"
	require.Equal(t, 1, strings.Count(string(text), reads), "package time is another one than this test knows")
	jumps := strings.Replace(string(text), reads, reads+"\tsec += [...]int64{0, 1 << 27, -1 << 27, 3600}[mono/20e6%4]\n", 1) // 1 << 27 s are 4 years
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "time.go"), []byte(jumps), 0o600))
	replace, err := json.Marshal(map[string]map[string]string{"Replace": {file: filepath.Join(dir, "time.go")}})
	require.NoError(t, err)
	overlay = filepath.Join(dir, "overlay.json")
	require.NoError(t, os.WriteFile(overlay, replace, 0o600))
	return overlay
}

func serveWhileClockJumps(t *testing.T, path string) {
	const asking, drain = 2 * time.Second, 300 * time.Millisecond
	address, operators := freePort(t), freePort(t)
	begin := time.Now()
	command := exec.CommandContext(t.Context(), path, "-addr", address, "-admin-addr", operators, "-drain-delay", drain.String())
	var log strings.Builder
	command.Stderr = &log
	require.NoError(t, command.Start())
	t.Cleanup(func() { _ = command.Process.Kill() })
	require.Eventually(t, answers("http://"+operators+"/readyz"), ample, 10*time.Millisecond)

	idle := connect(t, address)
	require.Equal(t, 200, idle())
	var l, batches load
	ctx, cancel := context.WithTimeout(t.Context(), asking)
	defer cancel()
	wait := l.run(ctx, 4, 5*time.Millisecond, "http://"+address+"/v1/fit-predictions", predictionBody)
	_, batch, _ := strings.Cut(batchOf(20), "\r\n\r\n") // takes longer than the clock stays
	batches.run(ctx, 1, 0, "http://"+address+"/v1/batches", batch)()
	wait()
	assert.Equal(t, 200, idle(), "a silent connection is kept")
	assert.Greater(t, l.good.Load(), int64(50))
	assert.Positive(t, batches.good.Load())
	for _, l := range []*load{&l, &batches} {
		assert.Zero(t, l.shed.Load()+l.refused.Load()+l.lost.Load(), l.first)
	}

	stop := time.Now()
	require.NoError(t, command.Process.Signal(syscall.SIGTERM))
	require.NoError(t, command.Wait())
	assert.Greater(t, time.Since(stop), drain)
	assert.Less(t, time.Since(stop), drain+ample, "no jump is waited for, the least of which is an hour")
	years, longest := logged(t, log.String())
	assert.GreaterOrEqual(t, len(years), 3, "the clock does jump")
	assert.Less(t, longest, time.Since(begin))
}

// logged is in which years, by the clock, requests were logged, and what the longest took.
// None took less than no time, and each was answered 200.
func logged(t *testing.T, log string) (years map[string]bool, longest time.Duration) {
	years = map[string]bool{}
	for text := range strings.Lines(log) {
		var line struct {
			Time, Msg string
			Status    int
			Duration  float64 `json:"duration_ms"`
		}
		require.NoError(t, json.Unmarshal([]byte(text), &line), text)
		if line.Msg == "request" {
			assert.Equal(t, 200, line.Status, text)
			assert.GreaterOrEqual(t, line.Duration, 0.0, text)
			longest = max(longest, time.Duration(line.Duration*float64(time.Millisecond)))
			years[line.Time[:len("2006")]] = true
		}
	}
	return years, longest
}

func limitWhileClockJumps(t *testing.T, path string) {
	const rate, burst = 5, 30 // which no pause of a busy machine fills again
	address, operators := freePort(t), freePort(t)
	startTool(t, path, "-addr", address, "-admin-addr", operators, "-rate", strconv.Itoa(rate), "-burst", strconv.Itoa(burst))
	require.Eventually(t, answers("http://"+operators+"/readyz"), ample, 10*time.Millisecond)
	ask := connect(t, address)
	begin, codes := time.Now(), map[int]int{}
	var asking time.Duration
	for asking < 2*time.Second || codes[429] == 0 && asking < ample {
		codes[ask()]++
		asking = time.Since(begin)
		time.Sleep(5 * time.Millisecond)
	}
	allowed := burst + rate*asking.Seconds()
	assert.InDelta(t, allowed, codes[200], 2, codes)
	assert.Positive(t, codes[429])
	assert.Len(t, codes, 2, codes)
}

func goFiles(t *testing.T, root string) (paths []string) {
	require.NoError(t, filepath.WalkDir(root, func(path string, _ fs.DirEntry, err error) error {
		if strings.HasSuffix(path, ".go") && !strings.HasSuffix(path, "_test.go") {
			paths = append(paths, path)
		}
		return err
	}))
	return paths
}
