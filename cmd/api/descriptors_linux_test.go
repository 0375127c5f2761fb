package main

import (
	"bufio"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"
)

func TestDescriptorsAreDivided(t *testing.T) {
	for _, row := range []struct {
		wanted         int
		descriptors    uint64
		served, turned int
	}{
		{1024, 1 << 20, 1024, 4096},
		{1024, 1024, 744, 248},
		{160, 1024, 160, 832},
		{1024, 96, 48, 16},
		{1024, 34, 1, 1},
		{1024, 0, 1, 1},
		{100_000, ^uint64(0), 100_000, 4096},
	} {
		served, turned := divide(row.wanted, row.descriptors)
		assert.Equal(t, [2]int{row.served, row.turned}, [2]int{served, turned}, row)
	}
}

// fewDescriptors is the built program with a low limit of descriptors.
func fewDescriptors(t *testing.T, limit int) (public, operators string, pid int) {
	t.Helper()
	address, admin := freePort(t), freePort(t)
	command := exec.CommandContext(t.Context(), "sh", "-c", fmt.Sprintf(`ulimit -n %d; exec "$0" "$@"`, limit),
		built(t, "snugtail"), "-addr", address, "-admin-addr", admin, "-drain-delay", "0s", "-connections-each", "1024")
	var log strings.Builder
	command.Stderr = &log
	require.NoError(t, command.Start())
	t.Cleanup(func() {
		_ = command.Process.Kill()
		_ = command.Wait()
		assert.NotContains(t, log.String(), "panic")
	})
	require.Eventually(t, answers("http://"+admin+"/readyz"), ample, 10*time.Millisecond)
	return address, admin, command.Process.Pid
}

// connections are the sockets that a process has open, listeners included.
func connections(t *testing.T, pid int) (n int) {
	dir := fmt.Sprintf("/proc/%d/fd", pid)
	files, err := os.ReadDir(dir)
	require.NoError(t, err)
	for _, file := range files {
		if to, err := os.Readlink(filepath.Join(dir, file.Name())); err == nil && strings.HasPrefix(to, "socket:") {
			n++
		}
	}
	return n
}

// holdMany opens connections, asks over each and keeps it; it returns how many
// got an answer of 200 within the time that all have together.
func holdMany(t *testing.T, address string, n int) (served int, release func()) {
	t.Helper()
	var held []net.Conn
	for range n {
		conn, err := net.DialTimeout("tcp", address, ample)
		require.NoError(t, err)
		held = append(held, conn)
		_, _ = io.WriteString(conn, "GET /v1/cutters HTTP/1.1\r\nHost: x\r\n\r\n") // it may have hung up
	}
	answered := make(chan bool, n)
	deadline := time.Now().Add(ample) // nobody waits for it: each is answered or hung up on
	for _, conn := range held {
		require.NoError(t, conn.SetReadDeadline(deadline))
		go func() {
			answer, err := http.ReadResponse(bufio.NewReader(conn), nil)
			answered <- err == nil && answer.StatusCode == 200
		}()
	}
	for range n {
		if <-answered {
			served++
		}
	}
	return served, func() {
		for _, conn := range held {
			conn.Close()
		}
	}
}

// Clients want more connections than there are descriptors: those that fit are
// served, operators still get in, and afterwards all is as before.
func TestFewDescriptors(t *testing.T) {
	public, operators, pid := fewDescriptors(t, 96)
	client := http.Client{Transport: &http.Transport{DisableKeepAlives: true}, Timeout: 2 * time.Second}
	healthy := func() bool {
		answer, err := client.Get("http://" + operators + "/healthz")
		if err != nil {
			return false
		}
		answer.Body.Close()
		return answer.StatusCode == 200
	}
	http.DefaultClient.CloseIdleConnections()
	require.Eventually(t, func() bool { return connections(t, pid) == 2 }, ample, 10*time.Millisecond, "both listeners, and no one else")
	for range 2 {
		served, release := holdMany(t, public, 150)
		assert.Equal(t, 48, served)
		assert.Eventually(t, healthy, ample, 10*time.Millisecond, "operators still get in")
		assert.LessOrEqual(t, connections(t, pid), 48+16+2+1, "what is served and turned away, listeners, this question")
		release()
		require.Eventually(t, answers("http://"+public+"/v1/cutters"), ample, 10*time.Millisecond)
	}
	http.DefaultClient.CloseIdleConnections()
	assert.Eventually(t, func() bool { return connections(t, pid) == 2 }, ample, 10*time.Millisecond, "nothing is left open")

	// And none at all, as when the limit is lowered under a running program. Whoever
	// is connected is answered on; accepting is tried again, but not all the time.
	ask := connect(t, public)
	require.Equal(t, 200, ask())
	var old unix.Rlimit
	require.NoError(t, unix.Prlimit(pid, unix.RLIMIT_NOFILE, nil, &old))
	require.NoError(t, unix.Prlimit(pid, unix.RLIMIT_NOFILE, &unix.Rlimit{Cur: 3, Max: old.Max}, nil))
	conn, err := net.Dial("tcp", public) // the system sets it up, nobody can accept it
	require.NoError(t, err)
	defer conn.Close()
	began, used := time.Now(), processorTimeOf(t, pid)
	assert.False(t, healthy())
	for time.Since(began) < 3*time.Second {
		assert.Equal(t, 200, ask())
		time.Sleep(100 * time.Millisecond)
	}
	busy := (processorTimeOf(t, pid) - used).Seconds() / time.Since(began).Seconds()
	t.Logf("without descriptors it takes %.3f of a core", busy)
	assert.Less(t, busy, 0.1)
	require.NoError(t, unix.Prlimit(pid, unix.RLIMIT_NOFILE, &old, nil))
	assert.Eventually(t, healthy, ample, 10*time.Millisecond, "it survives")
	assert.Eventually(t, answers("http://"+public+"/v1/cutters"), ample, 10*time.Millisecond)
}

// processorTimeOf is what a process has used of the processor, to 10 ms (proc_pid_stat(5):
// fields 14 and 15, in hundredths of a second).
func processorTimeOf(t *testing.T, pid int) time.Duration {
	t.Helper()
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", pid))
	require.NoError(t, err)
	_, behindName, found := strings.Cut(string(text), ") ")
	require.True(t, found)
	fields := strings.Fields(behindName) // from the third on
	user, err := strconv.Atoi(fields[14-3])
	require.NoError(t, err)
	system, err := strconv.Atoi(fields[15-3])
	require.NoError(t, err)
	return time.Duration(user+system) * 10 * time.Millisecond
}
