package main

import (
	"bufio"
	"context"
	"encoding/json"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func noEnv(string) string { return "" }

func fromMap(m map[string]string) func(string) string {
	return func(name string) string { return m[name] }
}

// running is a program on free ports.
type running struct {
	*program
	public, admin string // addresses to ask
	line          string // what it said on stdout
	stop          context.CancelFunc
	ended         chan error
}

// ample is for whatever a busy machine has to come to: only what never comes fails.
const ample = time.Minute

func start(t *testing.T, args ...string) *running {
	t.Helper()
	return startChanged(t, func(*program) {}, args...)
}

// startChanged has a test change what no setting does.
func startChanged(t *testing.T, change func(*program), args ...string) *running {
	t.Helper()
	config, err := readSettings(append([]string{"-addr", "127.0.0.1:0", "-admin-addr", "127.0.0.1:0", "-drain-delay", "0s"}, args...), noEnv, io.Discard)
	require.NoError(t, err)
	reader, writer := io.Pipe()
	p, err := newProgram(config, writer, io.Discard)
	require.NoError(t, err)
	change(p)
	ctx, cancel := context.WithCancel(t.Context())
	r := &running{program: p, stop: cancel, ended: make(chan error, 1)}
	go func() { r.ended <- p.serve(ctx) }()
	r.line, err = bufio.NewReader(reader).ReadString('\n')
	require.NoError(t, err)
	r.public = "http://" + p.publicOn.Addr().String()
	r.admin = "http://" + p.adminOn.Addr().String()
	t.Cleanup(cancel)
	return r
}

func status(t *testing.T, url string) int {
	t.Helper()
	answer, err := http.Get(url)
	require.NoError(t, err)
	defer answer.Body.Close()
	return answer.StatusCode
}

func TestServesAndStops(t *testing.T) {
	r := start(t)
	address := regexp.MustCompile(`^snugtail listens on (http://127\.0\.0\.1:\d+); try: curl -H 'Accept: text/plain' (http://\S+)/v1/cutters\n$`).FindStringSubmatch(r.line)
	require.NotNil(t, address, r.line)
	assert.Equal(t, r.public, address[1])
	assert.Equal(t, r.public, address[2])
	assert.Equal(t, 200, status(t, r.public+"/openapi.yaml"))
	assert.Equal(t, 404, status(t, r.public+"/readyz"))
	assert.Equal(t, 200, status(t, r.admin+"/readyz"))
	assert.Equal(t, 200, status(t, r.admin+"/metrics"))
	assert.Equal(t, 404, status(t, r.admin+"/openapi.yaml"))
	require.NoError(t, checkHealth(t.Context(), r.adminOn.Addr().String()))
	r.stop()
	require.NoError(t, <-r.ended)
	_, err := net.Dial("tcp", r.publicOn.Addr().String())
	require.Error(t, err)
	require.Error(t, checkHealth(t.Context(), r.adminOn.Addr().String()))
}

// The line that the program prints must work as it stands.
func TestTheLineToTry(t *testing.T) {
	r := start(t)
	url := regexp.MustCompile(`http://\S+/v1/cutters`).FindString(r.line)
	request, err := http.NewRequest("GET", url, nil)
	require.NoError(t, err)
	request.Header.Set("Accept", "text/plain")
	answer, err := http.DefaultClient.Do(request)
	require.NoError(t, err)
	defer answer.Body.Close()
	assert.Equal(t, 200, answer.StatusCode)
	assert.Equal(t, "text/plain; charset=utf-8", answer.Header.Get("Content-Type"))
}

// endsWell is when a program that was stopped has ended, which it must.
func (r *running) endsWell(t *testing.T) {
	t.Helper()
	select {
	case err := <-r.ended:
		require.NoError(t, err)
	case <-time.After(ample):
		require.Fail(t, "it never ends")
	}
}

// The drain delay ends when the test says so, however slowly it asks.
func TestDrains(t *testing.T) {
	draining, noticed := make(chan time.Duration), make(chan struct{})
	r := startChanged(t, func(p *program) {
		p.wait = func(d time.Duration) {
			draining <- d
			<-noticed
		}
	}, "-drain-delay", "7s")
	assert.Equal(t, 200, status(t, r.admin+"/readyz"))
	r.stop()
	select {
	case delay := <-draining:
		assert.Equal(t, 7*time.Second, delay)
	case err := <-r.ended:
		require.Fail(t, "it ended at once", "%v", err)
	case <-time.After(ample):
		require.Fail(t, "it does not stop")
	}
	assert.Equal(t, 503, status(t, r.admin+"/readyz"))
	require.Error(t, checkHealth(t.Context(), r.adminOn.Addr().String()), "not ready is not healthy")
	assert.Equal(t, 200, status(t, r.public+"/openapi.json"), "it goes on serving while balancers notice")
	assert.Equal(t, 200, status(t, r.admin+"/healthz"))
	assert.Empty(t, r.ended)
	close(noticed)
	r.endsWell(t)
	_, err := net.Dial("tcp", r.publicOn.Addr().String())
	require.Error(t, err)
}

// And as long as the setting says.
func TestDrainDelayIsWaitedFor(t *testing.T) {
	const delay = 300 * time.Millisecond
	r := start(t, "-drain-delay", delay.String())
	begin := time.Now()
	r.stop()
	r.endsWell(t)
	assert.GreaterOrEqual(t, time.Since(begin), delay)
}

// A request that is under way when the signal comes gets its answer.
func TestLetsRequestsEnd(t *testing.T) {
	r := start(t)
	conn, err := net.Dial("tcp", r.publicOn.Addr().String())
	require.NoError(t, err)
	defer conn.Close()
	const body = "[1]"
	_, err = io.WriteString(conn, "POST /v1/fit-predictions HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nContent-Length: 3\r\n\r\n"+body[:1])
	require.NoError(t, err)
	require.Eventually(t, func() bool { return inFlight(t, r) == 1 }, ample, 5*time.Millisecond)
	r.stop()
	time.Sleep(100 * time.Millisecond) // let Shutdown begin
	_, err = io.WriteString(conn, body[1:])
	require.NoError(t, err)
	answer, err := http.ReadResponse(bufio.NewReader(conn), nil)
	require.NoError(t, err)
	defer answer.Body.Close()
	assert.Equal(t, 400, answer.StatusCode)
	require.NoError(t, <-r.ended)
}

func inFlight(t *testing.T, r *running) int {
	return int(metric(t, r, "snugtail_http_requests_in_flight"))
}

// metric is the sum of all series of a name, as operators see it.
func metric(t *testing.T, r *running, name string) (sum float64) {
	answer, err := http.Get(r.admin + "/metrics")
	require.NoError(t, err)
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	for _, found := range regexp.MustCompile(`(?m)^`+name+`(?:\{.*\})? (\S+)$`).FindAllSubmatch(text, -1) {
		value, err := strconv.ParseFloat(string(found[1]), 64)
		require.NoError(t, err)
		sum += value
	}
	return sum
}

func TestGraceEnds(t *testing.T) {
	r := start(t, "-shutdown-grace", "50ms")
	conn, err := net.Dial("tcp", r.publicOn.Addr().String())
	require.NoError(t, err)
	defer conn.Close()
	_, err = io.WriteString(conn, "POST /v1/fit-predictions HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nContent-Length: 3\r\n\r\n[")
	require.NoError(t, err)
	require.Eventually(t, func() bool { return inFlight(t, r) == 1 }, ample, 5*time.Millisecond)
	r.stop()
	require.ErrorContains(t, <-r.ended, "still under way after 50ms")
}

func TestTakenPort(t *testing.T) {
	r := start(t)
	taken := r.publicOn.Addr().String()
	for _, args := range [][]string{{"-addr", taken}, {"-addr", "127.0.0.1:0", "-admin-addr", taken}} {
		err := run(t.Context(), args, noEnv, io.Discard, io.Discard)
		require.ErrorContains(t, err, args[len(args)-2])
		require.ErrorContains(t, err, taken)
	}
}

func TestSettings(t *testing.T) {
	c, err := readSettings(nil, noEnv, io.Discard)
	require.NoError(t, err)
	assert.Equal(t, ":8080", c.addr)
	assert.Equal(t, "127.0.0.1:8081", c.adminAddr)
	assert.Equal(t, int64(256<<10), c.bodyLimit)
	c, err = readSettings([]string{"-addr", ":1", "-log-format=text"}, fromMap(map[string]string{
		"SNUGTAIL_ADDR": ":2", "SNUGTAIL_ADMIN_ADDR": "[::1]:3", "SNUGTAIL_LOG_LEVEL": "debug", "SNUGTAIL_DRAIN_DELAY": "3s",
	}), io.Discard)
	require.NoError(t, err)
	assert.Equal(t, ":1", c.addr, "the flag wins")
	assert.Equal(t, "[::1]:3", c.adminAddr)
	assert.Equal(t, "text", c.logFormat)
	assert.Equal(t, "DEBUG", c.logLevel.String())
	assert.Equal(t, 3*time.Second, c.drainDelay)
}

func TestWrongSettingsAreToldAtOnce(t *testing.T) {
	_, err := readSettings([]string{"-addr", "nowhere", "-body-limit", "1e6", "-shutdown-grace", "-1s", "-drain-delay", "soon"}, fromMap(map[string]string{
		"SNUGTAIL_ADMIN_ADDR": ":99999", "SNUGTAIL_LOG_FORMAT": "xml", "SNUGTAIL_LOG_LEVEL": "loud", "SNUGTAIL_BODY_LIMIT": "5",
	}), io.Discard)
	require.Error(t, err)
	for _, part := range []string{
		`-addr (SNUGTAIL_ADDR) is "nowhere", but must be host:port`,
		`SNUGTAIL_ADMIN_ADDR (-admin-addr) is ":99999", but must be host:port`,
		`SNUGTAIL_LOG_FORMAT (-log-format) is "xml", but must be json or text`,
		`SNUGTAIL_LOG_LEVEL (-log-level) is "loud", but must be debug, info, warn or error`,
		`-drain-delay (SNUGTAIL_DRAIN_DELAY) is "soon", but must be a time such as`,
		`-shutdown-grace (SNUGTAIL_SHUTDOWN_GRACE) is "-1s", but must be a time such as`,
		`-body-limit (SNUGTAIL_BODY_LIMIT) is "1e6", but must be a whole number of bytes`,
	} {
		assert.Contains(t, err.Error(), part)
	}
	for _, args := range [][]string{{"-nonsense"}, {"serve"}, {"-addr"}, {"-healthcheck", "-admin-addr", ":0"}} {
		assert.Error(t, run(t.Context(), args, noEnv, io.Discard, io.Discard), args)
	}
}

func TestHelpNamesEverySetting(t *testing.T) {
	var out strings.Builder
	require.NoError(t, run(t.Context(), []string{"-h"}, noEnv, &out, io.Discard))
	for _, s := range new(settings).list() {
		assert.Contains(t, out.String(), "-"+s.flag+", "+s.variable+" ("+s.standard+")")
		assert.Equal(t, "SNUGTAIL_"+strings.ToUpper(strings.ReplaceAll(s.flag, "-", "_")), s.variable)
	}
	assert.Contains(t, out.String(), "-healthcheck")
}

func TestVersion(t *testing.T) {
	var out strings.Builder
	require.NoError(t, run(t.Context(), []string{"-version"}, noEnv, &out, io.Discard))
	assert.Regexp(t, `^snugtail \S+ \(\S+\), model \S+\n$`, out.String())
}

func TestHealthcheckFindsAServiceThatListensEverywhere(t *testing.T) {
	r := start(t)
	_, port, err := net.SplitHostPort(r.adminOn.Addr().String())
	require.NoError(t, err)
	for _, host := range []string{"", "0.0.0.0"} {
		args := []string{"-healthcheck", "-admin-addr", net.JoinHostPort(host, port)}
		assert.NoError(t, run(t.Context(), args, noEnv, io.Discard, io.Discard))
	}
}

func TestReachable(t *testing.T) {
	for addr, want := range map[string]string{"[::]:80": "http://localhost:80", "0.0.0.0:80": "http://localhost:80", "[::1]:80": "http://[::1]:80", "10.0.0.1:80": "http://10.0.0.1:80"} {
		resolved, err := net.ResolveTCPAddr("tcp", addr)
		require.NoError(t, err)
		assert.Equal(t, want, reachable(resolved))
	}
}

// The log goes to stderr as JSON, and only the one line to stdout.
func TestSignalsEndTheProgram(t *testing.T) {
	var stdout, stderr strings.Builder
	ctx, cancel := context.WithCancel(t.Context())
	cancel() // as a signal does
	args := []string{"-addr", "127.0.0.1:0", "-admin-addr", "127.0.0.1:0", "-drain-delay", "0s"}
	require.NoError(t, run(ctx, args, noEnv, &stdout, &stderr))
	assert.Equal(t, 1, strings.Count(stdout.String(), "\n"))
	for line := range strings.Lines(stderr.String()) {
		var parsed map[string]any
		require.NoError(t, json.Unmarshal([]byte(line), &parsed), line)
	}
	assert.Contains(t, stderr.String(), `"stopped"`)
}

// A file of priors is read at start, changes what is believed, and marks the model.
func TestPriorsFile(t *testing.T) {
	file := filepath.Join(t.TempDir(), "priors.json")
	require.NoError(t, os.WriteFile(file, []byte(`{"share": {"bushing_diameter": 0.3}}`), 0o600))
	ask := func(r *running) (model string, bushing float64) {
		answer, err := http.Post(r.public+"/v1/diagnoses", "application/json", strings.NewReader("{}"))
		require.NoError(t, err)
		defer answer.Body.Close()
		var body struct {
			Model  string
			Causes []struct {
				Code        string
				Probability float64
			}
		}
		require.NoError(t, json.NewDecoder(answer.Body).Decode(&body))
		for _, c := range body.Causes {
			if c.Code == "bushing_diameter" {
				bushing = c.Probability
			}
		}
		return body.Model, bushing
	}
	plain, usual := ask(start(t))
	model, often := ask(start(t, "-priors", file))
	assert.Regexp(t, regexp.QuoteMeta(plain)+`\+priors\.[0-9a-f]{8}$`, model)
	assert.Greater(t, often, 3*usual)

	require.NoError(t, os.WriteFile(file, []byte(`{"share": {"bushing": 2}}`), 0o600))
	_, err := readSettings([]string{"-priors", file}, noEnv, io.Discard)
	assert.ErrorContains(t, err, `nothing is called "bushing"`)
	_, err = readSettings([]string{"-priors", file + ".no"}, noEnv, io.Discard)
	assert.ErrorContains(t, err, "opening it")
}

// A shop's file is answered, and one that is wrong says where before anything
// listens.
func TestShopOfTheOperator(t *testing.T) {
	at := start(t, "-shop", "../../deploy/shop.json")
	answer, err := http.Get(at.public + "/v1/shop")
	require.NoError(t, err)
	defer answer.Body.Close()
	got, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	want, err := os.ReadFile("../../deploy/shop.json")
	require.NoError(t, err)
	assert.JSONEq(t, string(want), string(got))

	file := filepath.Join(t.TempDir(), "shop.json")
	require.NoError(t, os.WriteFile(file, []byte(`{"templates": [], "bushings": [{"name": "A", "bushing": {"diameter": "wide"}}], "cutters": []}`), 0o600))
	_, err = readSettings([]string{"-shop", file}, noEnv, io.Discard)
	assert.ErrorContains(t, err, "-shop (SNUGTAIL_SHOP)")
	assert.ErrorContains(t, err, "#/bushings/0/bushing/diameter: ")
	assert.ErrorContains(t, err, "#/boards: ")
}

func TestPublicAddress(t *testing.T) {
	for text, want := range map[string]string{"": "", "https://joints.example.org": "https://joints.example.org/", "http://10.0.0.4:8080/joints/": "http://10.0.0.4:8080/joints/"} {
		c, err := readSettings([]string{"-public-url", text}, noEnv, io.Discard)
		require.NoError(t, err, text)
		assert.Equal(t, want, c.publicURL)
	}
	for _, text := range []string{"joints.example.org", "ftp://joints.example.org", "https://joints.example.org/?a=b", "https://joints.example.org/#fit", "https://a:b@joints.example.org", "https://" + strings.Repeat("a", 300)} {
		_, err := readSettings([]string{"-public-url", text}, noEnv, io.Discard)
		assert.ErrorContains(t, err, "-public-url", text)
	}
}
