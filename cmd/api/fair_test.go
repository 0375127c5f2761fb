//go:build unix

package main

import (
	"bufio"
	"crypto/sha256"
	"encoding/hex"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// statusFrom asks over a connection from an address, which stays open.
func statusFrom(t *testing.T, r *running, from string) int {
	t.Helper()
	conn, err := (&net.Dialer{LocalAddr: &net.TCPAddr{IP: net.ParseIP(from)}}).Dial("tcp", r.publicOn.Addr().String())
	require.NoError(t, err)
	t.Cleanup(func() { conn.Close() })
	_, err = io.WriteString(conn, "GET /v1/cutters HTTP/1.1\r\nHost: x\r\n\r\n")
	require.NoError(t, err)
	answer, err := http.ReadResponse(bufio.NewReader(conn), nil)
	require.NoError(t, err)
	_, err = io.Copy(io.Discard, answer.Body)
	require.NoError(t, err)
	return answer.StatusCode
}

// patientWhenFull waits for the question of a client that is turned away, as long as
// a busy machine may take to send it.
func patientWhenFull(p *program) { p.publicOn.patience = ample }

// One address has no more than its share of the connections, but for a trusted
// proxy's, behind which are many.
func TestConnectionsOfOneAddress(t *testing.T) {
	for _, args := range [][]string{{"-connections", "6"}, {"-connections", "6", "-connections-each", "3"}} {
		r := startChanged(t, patientWhenFull, args...)
		for range 3 {
			assert.Equal(t, 200, statusFrom(t, r, "127.0.0.2"))
		}
		assert.Equal(t, 503, statusFrom(t, r, "127.0.0.2"))
		assert.Equal(t, 200, statusFrom(t, r, "127.0.0.3"))
		assert.Equal(t, 1.0, metric(t, r, "snugtail_shed_requests_total"))
	}
	r := startChanged(t, patientWhenFull, "-connections", "6", "-trusted-proxies", "127.0.0.2/32")
	for range 6 {
		assert.Equal(t, 200, statusFrom(t, r, "127.0.0.2"))
	}
	assert.Equal(t, 503, statusFrom(t, r, "127.0.0.2"))
}

func writeKeys(t *testing.T, path, text string) {
	require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
}

func keyLine(name, key string) string {
	hash := sha256.Sum256([]byte(key))
	return name + " " + hex.EncodeToString(hash[:]) + "\n"
}

// On SIGHUP the keys are those of the file as it is now; one that can't be read
// changes nothing.
func TestKeysAreReadAnew(t *testing.T) {
	path := filepath.Join(t.TempDir(), "keys")
	writeKeys(t, path, keyLine("museum", "first"))
	address := freePort(t)
	ended, log := make(chan error, 1), &sharedLog{}
	go func() {
		ended <- run(t.Context(), []string{"-addr", address, "-admin-addr", "127.0.0.1:0", "-drain-delay", "0s", "-keys-file", path}, noEnv, io.Discard, log)
	}()
	allowed := func(key string) bool {
		r, err := http.NewRequest(http.MethodGet, "http://"+address+"/v1/cutters", nil)
		require.NoError(t, err)
		r.Header.Set("Authorization", "Bearer "+key)
		answer, err := http.DefaultClient.Do(r)
		if err != nil {
			return false
		}
		answer.Body.Close()
		return answer.StatusCode == 200
	}
	soon := func(key string) {
		t.Helper()
		require.Eventually(t, func() bool { return allowed(key) }, ample, 5*time.Millisecond, key)
	}
	again := func() { require.NoError(t, syscall.Kill(os.Getpid(), syscall.SIGHUP)) }
	unread := func(times int) {
		t.Helper()
		require.Eventually(t, func() bool { return log.count("their file can't be read") == times }, ample, 5*time.Millisecond)
	}
	soon("first")
	writeKeys(t, path, keyLine("museum", "second"))
	assert.False(t, allowed("second"))
	again()
	soon("second")
	assert.False(t, allowed("first"))
	writeKeys(t, path, "museum no-hash\n")
	again()
	unread(1)
	assert.True(t, allowed("second"), "a broken file changes nothing")
	require.NoError(t, os.Remove(path))
	again()
	unread(2)
	assert.True(t, allowed("second"))
	select {
	case err := <-ended:
		t.Fatal("the signal ended it: ", err)
	default:
	}
}

// sharedLog is a log that a test reads while it is written.
type sharedLog struct {
	mu   sync.Mutex
	text strings.Builder
}

func (l *sharedLog) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.text.Write(p)
}

func (l *sharedLog) count(part string) int {
	l.mu.Lock()
	defer l.mu.Unlock()
	return strings.Count(l.text.String(), part)
}

// stuck takes nothing until it is let.
type stuck struct {
	let   chan struct{}
	lines atomic.Int32
}

func (s *stuck) Write(p []byte) (int, error) {
	<-s.let
	s.lines.Add(1)
	return len(p), nil
}

// Who waited for this log would wait for ever.
func TestNobodyWaitsForTheLog(t *testing.T) {
	to, dropped := &stuck{let: make(chan struct{})}, atomic.Int32{}
	l := newLossyLog(to, func() { dropped.Add(1) })
	for range heldLines + 100 {
		_, err := l.Write([]byte("a line\n"))
		require.NoError(t, err)
	}
	assert.InDelta(t, 100, dropped.Load(), 1, "one may be under way")
	close(to.let)
	l.close()
	assert.Equal(t, int32(heldLines+100), to.lines.Load()+dropped.Load(), "each is written or counted")
	_, err := l.Write([]byte("too late\n"))
	require.NoError(t, err)
}

// Who does not read at all loses the connection after a while.
func TestWhoNeverReadsIsLeft(t *testing.T) {
	undisturbed(t)
	server, client := net.Pipe()
	defer client.Close()
	begin := time.Now()
	_, err := patientConn{server}.Write(make([]byte, 1<<20))
	require.ErrorIs(t, err, os.ErrDeadlineExceeded)
	assert.InDelta(t, 9, time.Since(begin).Seconds(), 1, "5 s and 32 KiB at 8 KiB a second")
}

// Who reads, however long it takes, gets all of it.
func TestWhoReadsGetsItAll(t *testing.T) {
	server, client := net.Pipe()
	defer client.Close()
	got := make(chan int64, 1)
	go func() {
		n, _ := io.Copy(io.Discard, client)
		got <- n
	}()
	n, err := patientConn{server}.Write(make([]byte, 3*writtenPer+7))
	require.NoError(t, err)
	assert.Equal(t, 3*writtenPer+7, n)
	n, err = patientConn{server}.Write(nil)
	require.NoError(t, err)
	assert.Zero(t, n)
	server.Close()
	assert.Equal(t, int64(3*writtenPer+7), <-got)
}

func TestProfilesAreAskedFor(t *testing.T) {
	r := start(t)
	assert.Equal(t, 404, status(t, r.admin+"/debug/pprof/heap"))
	r = start(t, "-pprof")
	assert.Equal(t, 200, status(t, r.admin+"/debug/pprof/heap"))
	assert.Equal(t, 200, status(t, r.admin+"/metrics"))
	assert.Equal(t, 404, status(t, r.public+"/debug/pprof/heap"))
}
