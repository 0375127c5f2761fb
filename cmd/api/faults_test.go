package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"net"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v3"
)

const (
	predictionBody     = `{"setup":{"template":{"kind":"allowance","allowance":2.5},"bushing":{"diameter":11.11},"cutter":{"diameter":12.7,"angle":14},"depth":10}}`
	recommendationBody = `{"setup":{"template":{"kind":"allowance","allowance":2.5},"bushing":{"diameter":11.11},"pin_board":{"thickness":18.8}}}`
)

// tool is the path of a program from the distribution.
func tool(t *testing.T, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil && os.Getenv("CI") == "true" {
		t.Fatal(name + " is missing")
	}
	if err != nil {
		t.Skip(name + " is missing")
	}
	return path
}

// load is what clients saw.
type load struct {
	good, shed, refused, lost atomic.Int64
	mu                        sync.Mutex
	took                      []time.Duration // of good ones
	last                      time.Time       // a good one came
	first                     error           // that was lost
}

// post sends one request and counts how it ended.
func (l *load) post(client *http.Client, url, body string) {
	start := time.Now()
	answer, err := client.Post(url, "application/json", strings.NewReader(body))
	status := 0
	if err == nil {
		_, err = io.Copy(io.Discard, answer.Body)
		answer.Body.Close()
		status = answer.StatusCode
	}
	var network *net.OpError
	switch {
	case err == nil && status == 200:
		l.good.Add(1)
		l.mu.Lock()
		l.last = time.Now()
		l.took = append(l.took, l.last.Sub(start))
		l.mu.Unlock()
	case err == nil && status == 503 && answer.Header.Get("Retry-After") != "":
		l.shed.Add(1)
		time.Sleep(time.Second) // as Retry-After says
	case errors.As(err, &network) && network.Op == "dial":
		l.refused.Add(1)
	default:
		l.lost.Add(1)
		l.mu.Lock()
		l.first = errors.Join(l.first, err, fmt.Errorf("status %d", status))
		l.mu.Unlock()
	}
}

// p99 is the time within which 99 of 100 good answers came.
func (l *load) p99() time.Duration {
	slices.Sort(l.took)
	return l.took[len(l.took)*99/100]
}

// run has workers post until ctx is done, with pause after each answer.
func (l *load) run(ctx context.Context, workers int, pause time.Duration, url, body string) (wait func()) {
	return l.runWith(ctx, &http.Transport{MaxIdleConnsPerHost: workers}, workers, pause, url, body)
}

func (l *load) runWith(ctx context.Context, over *http.Transport, workers int, pause time.Duration, url, body string) (wait func()) {
	var all sync.WaitGroup
	client := &http.Client{Transport: over, Timeout: 20 * time.Second}
	for range workers {
		all.Go(func() {
			for ctx.Err() == nil {
				l.post(client, url, body)
				time.Sleep(pause)
			}
		})
	}
	return func() { all.Wait(); client.CloseIdleConnections() }
}

// undisturbed skips what only a machine with nothing else to do can tell: it
// is run by hand, and its figures are read.
func undisturbed(t *testing.T) {
	t.Helper()
	if os.Getenv("SNUGTAIL_FAULTS") == "" {
		t.Skip("SNUGTAIL_FAULTS=1 runs this, on an undisturbed machine")
	}
}

// A stop under load: every request that was sent over a connection that the
// service, or the system for it, had taken gets its answer. These clients ask to
// the last moment, as no balancer would, half of them over a new connection for
// each request; those that find nobody have lost nothing.
func TestStopUnderLoadLosesNothing(t *testing.T) {
	undisturbed(t)
	for range 5 {
		r := start(t, "-drain-delay", "300ms")
		var l load
		ctx, cancel := context.WithCancel(t.Context())
		url := r.public + "/v1/fit-predictions"
		keeping := l.run(ctx, 16, time.Millisecond, url, predictionBody)
		dialling := l.runWith(ctx, &http.Transport{DisableKeepAlives: true}, 16, time.Millisecond, url, predictionBody)
		time.Sleep(300 * time.Millisecond)
		r.stop()
		require.NoError(t, <-r.ended)
		cancel()
		keeping()
		dialling()
		t.Logf("%d answered, %d found nobody, %d ended without an answer", l.good.Load(), l.refused.Load(), l.lost.Load())
		assert.Greater(t, l.good.Load(), int64(100))
		assert.Zero(t, l.lost.Load()+l.shed.Load(), l.first)
		assert.Equal(t, taken(t, r), l.good.Load(), "what is on the service's books has been answered")
	}
}

// taken is how many predictions the service has on its books, even when stopped.
func taken(t *testing.T, r *running) (sum int64) {
	w := httptest.NewRecorder()
	r.service.AdminHandler().ServeHTTP(w, httptest.NewRequest(http.MethodGet, "/metrics", nil))
	for _, found := range regexp.MustCompile(`(?m)^snugtail_http_requests_total\{.*route="/v1/fit-predictions"\} (\S+)$`).FindAllStringSubmatch(w.Body.String(), -1) {
		n, err := strconv.ParseFloat(found[1], 64)
		require.NoError(t, err)
		sum += int64(n)
	}
	return sum
}

// freePort is an address that nobody listens at, below the ports that systems give
// away by themselves: no connection of another test takes it meanwhile.
func freePort(t *testing.T) string {
	const first, last = 15_000, 32_000
	for range 1000 {
		at := net.JoinHostPort("127.0.0.1", strconv.Itoa(first+rand.IntN(last-first)))
		if listener, err := net.Listen("tcp", at); err == nil {
			listener.Close()
			return at
		}
	}
	require.Fail(t, "no port is free")
	return ""
}

// startTool runs a program until the test ends, and stops that one only.
func startTool(t *testing.T, path string, args ...string) *os.Process {
	t.Helper()
	command := exec.CommandContext(context.WithoutCancel(t.Context()), path, args...)
	var said strings.Builder
	command.Stdout, command.Stderr = &said, &said
	require.NoError(t, command.Start())
	t.Cleanup(func() {
		_ = command.Process.Kill()
		_ = command.Wait()
		if t.Failed() {
			t.Log(said.String())
		}
	})
	return command.Process
}

func answers(url string) func() bool {
	return func() bool {
		answer, err := http.Get(url)
		if err != nil {
			return false
		}
		answer.Body.Close()
		return answer.StatusCode == 200
	}
}

// Three replicas are replaced one after the other behind the balancer of deploy/.
func TestRollingReplacementLosesNothing(t *testing.T) {
	undisturbed(t)
	haproxy := tool(t, "haproxy")
	var addresses [3][2]string
	var replicas [3]*running
	begin := func(i int) {
		replicas[i] = start(t, "-addr", addresses[i][0], "-admin-addr", addresses[i][1], "-drain-delay", "500ms")
	}
	for i := range replicas {
		addresses[i] = [2]string{freePort(t), freePort(t)}
		begin(i)
	}
	file, front, client := balancer(t, addresses)
	startTool(t, haproxy, "-db", "-f", file)
	var l load
	require.Eventually(t, func() bool {
		l = load{}
		l.post(client(1), front+"/v1/fit-predictions", predictionBody)
		return l.good.Load() == 1
	}, ample, 20*time.Millisecond)
	ctx, cancel := context.WithCancel(t.Context())
	transport := client(8).Transport.(*http.Transport)
	wait := l.runWith(ctx, transport, 8, 2*time.Millisecond, front+"/v1/fit-predictions", predictionBody)
	for i := range replicas {
		time.Sleep(500 * time.Millisecond) // its check has found the one before
		replicas[i].stop()
		require.NoError(t, <-replicas[i].ended)
		begin(i)
	}
	time.Sleep(300 * time.Millisecond)
	cancel()
	wait()
	t.Logf("%d answered, %d lost", l.good.Load(), l.lost.Load()+l.refused.Load()+l.shed.Load())
	assert.Greater(t, l.good.Load(), int64(100))
	assert.Zero(t, l.lost.Load()+l.refused.Load()+l.shed.Load(), l.first)
}

// Clients that send byte by byte, or never read, don't keep others waiting.
func TestSlowClientsStarveNobody(t *testing.T) {
	undisturbed(t)
	r := start(t)
	address := r.publicOn.Addr().String()
	const head = "POST /v1/fit-predictions HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\n"
	batch := batchBody(500, "fit-predictions", predictionBody)
	dial := func(text string) {
		conn, err := net.Dial("tcp", address)
		require.NoError(t, err)
		t.Cleanup(func() { conn.Close() })
		_, err = io.WriteString(conn, text)
		require.NoError(t, err)
	}
	for range 100 {
		dial("POST /v1/fit-pre")                                                  // half a header
		dial(head + "Content-Length: 200\r\n\r\n{")                               // half a body
		dial(strings.Repeat("GET /openapi.yaml HTTP/1.1\r\nHost: x\r\n\r\n", 20)) // never reads
	}
	for range 4 {
		dial(fmt.Sprintf("POST /v1/batches HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nContent-Length: %d\r\n\r\n%s", len(batch), batch))
	}
	var l load
	ctx, cancel := context.WithTimeout(t.Context(), time.Second)
	defer cancel()
	l.run(ctx, 4, 0, r.public+"/v1/fit-predictions", predictionBody)()
	t.Logf("beside 304 slow clients: %d answered, p99 %s", l.good.Load(), l.p99())
	assert.Zero(t, l.lost.Load()+l.shed.Load()+l.refused.Load(), l.first)
	assert.Less(t, l.p99(), time.Second)
}

// built is the program as it is released, with flags for the build beside.
func built(t *testing.T, to string, flags ...string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), to)
	args := slices.Concat([]string{"build", "-trimpath", "-buildvcs=false", "-ldflags", "-s -w -X main.version=v0 -X main.commit=c", "-o", path}, flags, []string{"."})
	build := exec.CommandContext(t.Context(), "go", args...)
	build.Env = append(os.Environ(), "CGO_ENABLED=0")
	said, err := build.CombinedOutput()
	require.NoError(t, err, string(said))
	return path
}

// Four times the clients that it can serve: what is admitted is still served, and soon.
func TestOverloadKeepsGoodput(t *testing.T) {
	undisturbed(t)
	if raceEnabled {
		t.Skip("it measures a release's build; the run without -race has it")
	}
	const connections, queueWait = 160, 250 * time.Millisecond
	address, operators := freePort(t), freePort(t)
	t.Setenv("GOMAXPROCS", "1") // the clients need the other core
	startTool(t, built(t, "snugtail"), "-addr", address, "-admin-addr", operators, "-log-level", "error",
		"-connections", strconv.Itoa(connections), "-queue-wait", queueWait.String())
	require.Eventually(t, answers("http://"+operators+"/readyz"), ample, 10*time.Millisecond)
	// Each client waits 50 ms between its requests.
	measure := func(workers int) (byClock, byProcessor float64, l *load) {
		l = new(load)
		ctx, cancel := context.WithTimeout(t.Context(), 2*time.Second)
		defer cancel()
		used, begin := processorTime(t, operators), time.Now()
		l.run(ctx, workers, 50*time.Millisecond, "http://"+address+"/v1/cutter-recommendations", recommendationBody)()
		good := float64(l.good.Load())
		return good / l.last.Sub(begin).Seconds(), good / (processorTime(t, operators) - used), l
	}
	peak, at := 0.0, 0
	for _, workers := range []int{16, 32, 64, 128, connections} {
		if rate, _, _ := measure(workers); rate > peak*1.05 {
			peak, at = rate, workers
		}
	}
	// In pairs, of which the median counts, and also by the processor's time that the service
	// got, since what else the machine does, these clients too, changes from second to second.
	var byClock, byProcessor, wait []float64
	for range 5 {
		usual, usualByProcessor, _ := measure(at)
		over, overByProcessor, l := measure(4 * at)
		byClock, byProcessor = append(byClock, over/usual), append(byProcessor, overByProcessor/usualByProcessor)
		// Who is admitted waits for all other connections to be served at most, and in the queue.
		bound := connections/over + queueWait.Seconds()
		wait = append(wait, l.p99().Seconds()/bound)
		t.Logf("goodput %.0f/s with %d clients, %.0f/s with %d (%.2f, by the processor's time %.2f); p99 %s (%.2f of the bound), %d shed",
			usual, at, over, 4*at, over/usual, overByProcessor/usualByProcessor, l.p99(), l.p99().Seconds()/bound, l.shed.Load())
		assert.Positive(t, l.shed.Load(), "it is more than it takes on")
		assert.Zero(t, l.lost.Load(), l.first)
		assert.Less(t, l.p99(), time.Second)
	}
	t.Logf("medians: goodput %.2f of the peak by the clock, %.2f by the processor's time; p99 %.2f of its bound", median(byClock), median(byProcessor), median(wait))
	assert.GreaterOrEqual(t, median(byClock), 0.8)
	assert.GreaterOrEqual(t, median(byProcessor), 0.8)
	assert.LessOrEqual(t, median(wait), 1.0)
	assert.True(t, answers("http://"+operators+"/healthz")())
}

// median is the middle one of an odd number.
func median(of []float64) float64 {
	return slices.Sorted(slices.Values(of))[len(of)/2]
}

// processorTime is what the service has used so far, in seconds.
func processorTime(t *testing.T, operators string) float64 {
	answer, err := http.Get("http://" + operators + "/metrics")
	require.NoError(t, err)
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	found := regexp.MustCompile(`(?m)^process_cpu_seconds_total (\S+)$`).FindSubmatch(text)
	require.NotNil(t, found)
	seconds, err := strconv.ParseFloat(string(found[1]), 64)
	require.NoError(t, err)
	return seconds
}

// Of a batch whose client leaves, what is not begun is left. Which items were
// computed is counted, since time depends on what else the machine does.
func TestClientsGone(t *testing.T) {
	const items, few = 1000, 8 // of a few milliseconds each
	r := start(t)
	count := func() int { return int(metric(t, r, "snugtail_batch_items_total")) }
	codes, _ := sendRaw(t, r.publicOn.Addr().String(), batchOf(few), 1)
	require.Equal(t, []int{200}, codes)
	require.Equal(t, few, count(), "what is computed is counted")
	for _, way := range []struct {
		name  string
		leave func(*net.TCPConn) error
	}{
		{"hangs up", (*net.TCPConn).Close},
		// Writing to this one goes on to succeed: that it is gone, as net/http takes it, can
		// only be learned from the request's context.
		{"sends no more", (*net.TCPConn).CloseWrite},
		{"pipelines and sends no more", func(conn *net.TCPConn) error {
			_, err := io.WriteString(conn, strings.Repeat(getCutters, 1000)) // more than anyone reads ahead
			return errors.Join(err, conn.CloseWrite())
		}},
	} {
		t.Run(way.name, func(t *testing.T) {
			for range 5 { // one more than there are places for batches
				before := count()
				conn, err := net.Dial("tcp", r.publicOn.Addr().String())
				require.NoError(t, err)
				defer conn.Close()
				go func() { _, _ = io.Copy(io.Discard, conn) }()
				_, err = io.WriteString(conn, batchOf(items))
				require.NoError(t, err)
				require.Eventually(t, func() bool { return count() > before }, ample, time.Millisecond, "it is under way")
				require.NoError(t, way.leave(conn.(*net.TCPConn)))
				require.Eventually(t, func() bool { return inFlight(t, r) == 0 }, 2*ample, time.Millisecond)
				t.Logf("%d of %d computed", count()-before, items)
				assert.Less(t, count()-before, items/4)
			}
		})
	}
	codes, _ = sendRaw(t, r.publicOn.Addr().String(), batchOf(few), 1)
	assert.Equal(t, []int{200}, codes, "the places are free again")
}

// batchOf is the request for that many diagnoses, which compute longest.
func batchOf(items int) string {
	body := batchBody(items, "diagnoses", `{"test_cuts":[{"depth":10,"feel":"rattles"}]}`)
	return fmt.Sprintf("POST /v1/batches HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nContent-Length: %d\r\n\r\n%s", len(body), body)
}

// From the start of the process until it is ready, and what it then holds.
func TestStartIsQuickAndSmall(t *testing.T) {
	undisturbed(t)
	if runtime.GOOS != "linux" {
		t.Skip("memory is read where Linux tells it")
	}
	path := built(t, "snugtail")
	var took []time.Duration
	var held []int
	for range 9 {
		operators := freePort(t)
		begin := time.Now()
		process := startTool(t, path, "-addr", "127.0.0.1:0", "-admin-addr", operators)
		for ready := answers("http://" + operators + "/readyz"); !ready(); {
			require.Less(t, time.Since(begin), 10*time.Second)
			time.Sleep(time.Millisecond)
		}
		took = append(took, time.Since(begin))
		time.Sleep(300 * time.Millisecond) // idle
		held = append(held, residentKB(t, process.Pid))
		require.NoError(t, process.Kill())
	}
	slices.Sort(took)
	slices.Sort(held)
	t.Logf("ready after %s (median of %d; %s to %s), idle with %.1f MB resident (%.1f to %.1f)", took[4], len(took), took[0], took[8],
		float64(held[4])/1000, float64(held[0])/1000, float64(held[8])/1000)
	assert.Less(t, took[4], 150*time.Millisecond)
	assert.Less(t, held[4], 40_000)
}

// residentKB is what a process holds of memory, in kB.
func residentKB(t *testing.T, pid int) int {
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	require.NoError(t, err)
	found := regexp.MustCompile(`(?m)^VmRSS:\s+(\d+) kB$`).FindSubmatch(text)
	require.NotNil(t, found)
	kibibytes, err := strconv.Atoi(string(found[1]))
	require.NoError(t, err)
	return kibibytes * 1024 / 1000
}

// Every query of the dashboard and of the rules finds data in a real Prometheus.
func TestQueriesFindData(t *testing.T) {
	prometheus := tool(t, "prometheus")
	r := start(t)
	at, dir := freePort(t), t.TempDir()
	rules, err := filepath.Abs("../../deploy/prometheus/rules.yaml")
	require.NoError(t, err)
	text, err := os.ReadFile("../../deploy/prometheus/prometheus.yaml")
	require.NoError(t, err)
	config := strings.NewReplacer("15s", "1s", "rules.yaml", rules, "snugtail:8081", r.adminOn.Addr().String()).Replace(string(text))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "prometheus.yaml"), []byte(config), 0o600))
	startTool(t, prometheus, "--config.file="+filepath.Join(dir, "prometheus.yaml"), "--storage.tsdb.path="+dir, "--web.listen-address="+at)
	ctx, cancel := context.WithCancel(t.Context())
	var l load
	waits := []func(){}
	for path, body := range map[string]string{
		"/v1/fit-predictions": predictionBody, "/v1/cutter-recommendations": recommendationBody, "/v1/layouts": `{}`,
		"/v1/corrections": strings.TrimSuffix(predictionBody, "}") + `,"test_cuts":[{"depth":10,"feel":"rattles"}]}`,
		"/v1/diagnoses":   `{"test_cuts":[{"depth":10,"feel":"rattles"}]}`,
		"/v1/batches":     batchBody(2, "fit-predictions", predictionBody),
	} {
		waits = append(waits, l.run(ctx, 1, 20*time.Millisecond, r.public+path, body))
	}
	defer func() {
		cancel()
		for _, wait := range waits {
			wait()
		}
	}()
	for _, query := range queries(t) {
		assert.Eventually(t, func() bool { return hasData(at, query) }, 2*ample, 250*time.Millisecond, query)
	}
}

func batchBody(items int, operation, body string) string {
	all := make([]string, items)
	for i := range all {
		all[i] = fmt.Sprintf(`{"id":"%d","operation":%q,"body":%s}`, i, operation, body)
	}
	return `{"items":[` + strings.Join(all, ",") + `]}`
}

func hasData(at, query string) bool {
	answer, err := http.Get("http://" + at + "/api/v1/query?query=" + url.QueryEscape(query))
	if err != nil {
		return false
	}
	defer answer.Body.Close()
	var found struct {
		Data struct{ Result []struct{ Value [2]any } }
	}
	if json.NewDecoder(answer.Body).Decode(&found) != nil {
		return false
	}
	return slices.ContainsFunc(found.Data.Result, func(r struct{ Value [2]any }) bool { return r.Value[1] != "NaN" })
}

// queries are the dashboard's, and the rules' without the comparisons that
// hold only when something is wrong.
func queries(t *testing.T) (all []string) {
	var board struct {
		Panels []struct{ Targets []struct{ Expr string } }
	}
	text, err := os.ReadFile("../../deploy/grafana/dashboards/snugtail.json")
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(text, &board))
	for _, panel := range board.Panels {
		for _, target := range panel.Targets {
			all = append(all, target.Expr)
		}
	}
	require.Greater(t, len(all), 10)
	text, err = os.ReadFile("../../deploy/prometheus/rules.yaml")
	require.NoError(t, err)
	var file ruleFile
	require.NoError(t, yaml.Unmarshal(text, &file))
	limit := regexp.MustCompile(` [<>] [0-9.]+( \* [0-9.]+)?`)
	for _, group := range file.Groups {
		for _, rule := range group.Rules {
			if rule.Alert != "" {
				assert.NotEmpty(t, rule.Annotations["runbook"], rule.Alert)
			}
			if !strings.HasPrefix(rule.Expr, "absent(") { // it finds data only when there is none
				all = append(all, limit.ReplaceAllString(rule.Expr, ""))
			}
		}
	}
	return all
}

type ruleFile struct {
	Groups []struct {
		Rules []struct {
			Alert, Expr string
			Annotations map[string]string
		}
	}
}
