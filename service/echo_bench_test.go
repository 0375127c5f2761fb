//go:build unix

package service

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"os"
	"os/exec"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/labstack/echo/v4"
	"github.com/stretchr/testify/require"

	"snugtail/service/transfer"
	"snugtail/service/wire"
)

// The targets: of the CPU that one prediction takes over loopback HTTP, a bare
// echo server, which reads the body and answers fixed bytes of the answer's size,
// would have taken at least 0.28; and it takes at most 0.75 of what it would with
// kin-openapi judging every body and encoding/json alone.
//
//	GOGC=400 go test ./service -run - -bench Echo -cpu 1
//
// GOGC is as the program sets it for itself.
// All three servers run in this process, the client in another, so that the CPU time
// that the system accounts to this one (net/http, the kernel's work for it and
// the collector's included) is the servers' alone. They take turns, so that a
// busy machine slows all alike, and the median of the turns counts.

// loadClient is set in the environment of the client's process to the file of
// the request that it is to send.
const loadClient = "SNUGTAIL_BENCH_REQUEST"

const (
	loadConnections = 8   // that are busy at once: a server that sleeps between requests costs more
	loadTurn        = 500 // requests on each of them, before the other server's turn
)

func TestMain(m *testing.M) {
	if file := os.Getenv(loadClient); file != "" {
		if err := serveLoad(file); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		return
	}
	os.Exit(everySentence(m))
}

// serveLoad sends a turn of requests to each address that it reads, and says when it is done.
func serveLoad(file string) error {
	request, err := os.ReadFile(file)
	if err != nil {
		return fmt.Errorf("reading the request to send: %w", err)
	}
	targets := map[string]*target{}
	for lines := bufio.NewScanner(os.Stdin); lines.Scan(); {
		address := lines.Text()
		if targets[address] == nil {
			if targets[address], err = connect(address, request); err != nil {
				return err
			}
		}
		if err := targets[address].turn(request); err != nil {
			return fmt.Errorf("sending to %s: %w", address, err)
		}
		fmt.Println("done")
	}
	return nil
}

// target is a server with the connections to it, and the size of its answer.
type target struct {
	connections [loadConnections]*os.File
	size        int
}

func connect(address string, request []byte) (*target, error) {
	t := new(target)
	for i := range t.connections {
		var err error
		if t.connections[i], err = connectBlocking(address); err != nil {
			return nil, fmt.Errorf("connecting: %w", err)
		}
	}
	var err error
	if t.size, err = answerSize(t.connections[0], request); err != nil {
		return nil, err
	}
	return t, nil
}

// connectBlocking makes a connection whose reads block in the kernel. One that
// Go's poller watches wakes the client at every answer if it has nothing else
// to do, and waking it is the server's time, though only because both are on
// one machine: the slower server would pay more.
func connectBlocking(address string) (*os.File, error) {
	connection, err := net.Dial("tcp", address)
	if err != nil {
		return nil, err
	}
	defer connection.Close()
	file, err := connection.(*net.TCPConn).File()
	if err != nil {
		return nil, err
	}
	file.Fd() // makes it blocking
	return file, nil
}

// answerSize asks once and counts the bytes of the answer, headers and all.
func answerSize(connection io.ReadWriter, request []byte) (int, error) {
	if _, err := connection.Write(request); err != nil {
		return 0, fmt.Errorf("asking once: %w", err)
	}
	var taken bytes.Buffer
	answer, err := http.ReadResponse(bufio.NewReader(io.TeeReader(connection, &taken)), nil)
	if err != nil {
		return 0, fmt.Errorf("reading the first answer: %w", err)
	}
	if _, err := io.Copy(io.Discard, answer.Body); err != nil || answer.StatusCode != http.StatusOK {
		return 0, fmt.Errorf("the first answer is %s: %w", answer.Status, err)
	}
	return taken.Len(), nil
}

// turn asks on all connections and then reads all answers, again and again, so
// that the server always finds the next request waiting.
func (t *target) turn(request []byte) error {
	answer := make([]byte, t.size)
	for range loadTurn {
		for _, connection := range t.connections {
			if _, err := connection.Write(request); err != nil {
				return err
			}
		}
		for _, connection := range slices.Backward(t.connections[:]) { // the last is answered last: the client sleeps once
			if _, err := io.ReadFull(connection, answer); err != nil {
				return err
			}
			if !bytes.HasPrefix(answer, []byte("HTTP/1.1 200 ")) {
				return fmt.Errorf("answered %.40q", answer)
			}
		}
	}
	return nil
}

func BenchmarkEcho(b *testing.B) { benchmarkEcho(b, slog.LevelInfo) }

// BenchmarkEchoUnlogged is the same with -log-level warn: every request is counted,
// but has no line in the log.
func BenchmarkEchoUnlogged(b *testing.B) { benchmarkEcho(b, slog.LevelWarn) }

func benchmarkEcho(b *testing.B, level slog.Level) {
	s, err := New(Config{Logger: benchLog(level)})
	require.NoError(b, err)
	for _, c := range benchCases(b) {
		b.Run(c.name, func(b *testing.B) {
			reportShares(b, c, s.Handler(), libraryService(b, c.library, benchLog(level)))
		})
	}
}

// reportShares lets three servers take turns: the bare one, the service, and the
// service by libraries alone.
func reportShares(b *testing.B, c benchCase, service, library http.Handler) {
	load := startLoad(b, c.requestBytes())
	servers := [...]string{listen(b, bareServer(c.path, c.answerSize(b, service))), listenAsProgram(b, service), listenAsProgram(b, library)}
	for _, address := range servers { // connects, and fills the pools
		load.send(b, address)
	}
	var times [len(servers)][]float64
	var ofBare, ofLibrary []float64
	for b.Loop() {
		var took [len(servers)]float64
		for i, address := range servers {
			start := processTime(b)
			load.send(b, address)
			took[i] = float64(processTime(b) - start)
			times[i] = append(times[i], took[i])
		}
		ofBare, ofLibrary = append(ofBare, took[0]/took[1]), append(ofLibrary, took[1]/took[2])
	}
	const turn = loadTurn * loadConnections
	b.ReportMetric(median(ofBare), "share")
	b.ReportMetric(median(ofLibrary), "of-library")
	b.ReportMetric(median(times[0])/turn, "bare-ns/request")
	b.ReportMetric(median(times[1])/turn, "whole-ns/request")
	b.ReportMetric(median(times[2])/turn, "library-ns/request")
}

// median is the middle one: a turn during which the machine did something else
// counts no more than any other.
func median(of []float64) float64 { return slices.Sorted(slices.Values(of))[len(of)/2] }

// requestBytes is what a client of few words sends.
func (c benchCase) requestBytes() []byte {
	return fmt.Appendf(nil, "POST %s HTTP/1.1\r\nHost: localhost\r\nContent-Type: %s\r\nContent-Length: %d\r\n\r\n%s",
		c.path, transfer.JSON, len(c.body), c.body)
}

func (c benchCase) answerSize(b *testing.B, h http.Handler) int {
	w := counted{sink: sink{header: http.Header{}}}
	request, err := http.NewRequest(http.MethodPost, c.path, strings.NewReader(c.body))
	require.NoError(b, err)
	request.Header.Set("Content-Type", transfer.JSON)
	h.ServeHTTP(&w, request)
	require.Equal(b, http.StatusOK, w.status)
	return w.size
}

// counted is a sink that counts.
type counted struct {
	sink
	size int
}

func (c *counted) Write(p []byte) (int, error) {
	c.size += len(p)
	return len(p), nil
}

func bareServer(path string, size int) http.Handler {
	fixed := bytes.Repeat([]byte("x"), size)
	e := echo.New()
	e.POST(path, func(c echo.Context) error {
		if _, err := io.Copy(io.Discard, c.Request().Body); err != nil {
			return err
		}
		return c.JSONBlob(http.StatusOK, fixed)
	})
	return e
}

// listen serves on a free port, with the timeouts that the program sets.
func listen(b *testing.B, h http.Handler) (address string) {
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(b, err)
	return serveOn(b, listener, newServer(h))
}

// listenAsProgram serves over connections as the program's.
func listenAsProgram(b *testing.B, h http.Handler) (address string) {
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(b, err)
	server := newServer(h)
	server.ConnState = func(conn net.Conn, state http.ConnState) {
		if state == http.StateIdle {
			conn.(*wire.Conn).Answered()
		}
	}
	return serveOn(b, wiredListener{listener}, server)
}

type wiredListener struct{ net.Listener }

func (l wiredListener) Accept() (net.Conn, error) {
	conn, err := l.Listener.Accept()
	if err != nil {
		return nil, err
	}
	return wire.NewConn(conn), nil
}

func newServer(h http.Handler) *http.Server {
	return &http.Server{Handler: h, ReadHeaderTimeout: 5 * time.Second, ReadTimeout: 10 * time.Second, WriteTimeout: 30 * time.Second}
}

func serveOn(b *testing.B, listener net.Listener, server *http.Server) (address string) {
	go func() { _ = server.Serve(listener) }() // ends with the close below
	b.Cleanup(func() { _ = server.Close() })
	return listener.Addr().String()
}

// load is the client's process.
type load struct {
	orders io.Writer
	done   *bufio.Reader
}

func startLoad(b *testing.B, request []byte) *load {
	file := b.TempDir() + "/request"
	require.NoError(b, os.WriteFile(file, request, 0o600))
	client := exec.Command(os.Args[0])
	client.Env = append(os.Environ(), loadClient+"="+file)
	client.Stderr = os.Stderr
	orders, err := client.StdinPipe()
	require.NoError(b, err)
	done, err := client.StdoutPipe()
	require.NoError(b, err)
	require.NoError(b, client.Start())
	b.Cleanup(func() {
		_ = orders.Close()
		require.NoError(b, client.Wait())
	})
	return &load{orders: orders, done: bufio.NewReader(done)}
}

func (l *load) send(b *testing.B, address string) {
	_, err := fmt.Fprintln(l.orders, address)
	require.NoError(b, err)
	_, err = l.done.ReadString('\n')
	require.NoError(b, err)
}

// processTime is the CPU time that this process has taken, its own and the kernel's for it.
func processTime(b *testing.B) time.Duration {
	var usage syscall.Rusage
	require.NoError(b, syscall.Getrusage(syscall.RUSAGE_SELF, &usage))
	return time.Duration(usage.Utime.Nano() + usage.Stime.Nano())
}
