//go:build unix

package main

import (
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"slices"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// One client that takes all it can, by little work of its own, against what
// everybody else then gets. The program runs as it is released; the greedy
// client comes from 127.0.0.2 and 127.0.0.3, the others from 127.0.0.1.

// victim is the program under attack.
type victim struct {
	t              *testing.T
	address, admin string
	process        *os.Process
	dialled        int
}

func attacked(t *testing.T, args ...string) *victim {
	undisturbed(t)
	path := os.Getenv("SNUGTAIL_PROGRAM") // another build of it, to compare with
	if path == "" {
		path = built(t, "snugtail")
	}
	return startVictim(t, exec.Command(path), args...)
}

func startVictim(t *testing.T, command *exec.Cmd, args ...string) *victim {
	v := &victim{t: t, address: freePort(t), admin: freePort(t)}
	command.Args = append(command.Args, append([]string{"-addr", v.address, "-admin-addr", v.admin, "-log-level", "error"}, args...)...)
	require.NoError(t, command.Start())
	v.process = command.Process
	t.Cleanup(func() {
		_ = command.Process.Kill()
		_ = command.Wait()
	})
	require.Eventually(t, answers("http://"+v.admin+"/readyz"), ample, 10*time.Millisecond)
	return v
}

var greedyAddress = &net.TCPAddr{IP: net.IPv4(127, 0, 0, 2)}

// dial connects as the greedy client, with a small window for what it is sent.
// It has two addresses, or it could not have half of the connections.
func (v *victim) dial() net.Conn {
	v.dialled++
	from := &net.TCPAddr{IP: net.IPv4(127, 0, 0, byte(2+v.dialled%2))}
	dialer := net.Dialer{LocalAddr: from, Control: func(_, _ string, c syscall.RawConn) error {
		return c.Control(func(fd uintptr) { _ = syscall.SetsockoptInt(int(fd), syscall.SOL_SOCKET, syscall.SO_RCVBUF, 4096) })
	}}
	conn, err := dialer.Dial("tcp", v.address)
	require.NoError(v.t, err)
	v.t.Cleanup(func() { conn.Close() })
	return conn
}

// greedy is a client from the greedy address.
func greedy() *http.Client {
	return &http.Client{Timeout: 30 * time.Second, Transport: &http.Transport{
		MaxIdleConnsPerHost: 100, DialContext: (&net.Dialer{LocalAddr: greedyAddress}).DialContext,
	}}
}

// others asks one after the other for a while, as four people would, and says
// how long it took.
func (v *victim) others(name, path, body string, during time.Duration) (p50, p99 time.Duration) {
	var l load
	ctx, cancel := context.WithTimeout(v.t.Context(), during)
	defer cancel()
	l.run(ctx, 4, 2*time.Millisecond, "http://"+v.address+path, body)()
	require.NotEmpty(v.t, l.took, name)
	p99 = l.p99()
	p50 = l.took[len(l.took)/2]
	v.t.Logf("%s: %d answered, p50 %s, p99 %s; %d times 503, %d lost", name, l.good.Load(), p50, p99, l.shed.Load(), l.lost.Load()+l.refused.Load())
	assert.Zero(v.t, l.lost.Load()+l.shed.Load()+l.refused.Load(), "%s: %v", name, l.first)
	return p50, p99
}

// mostHeld watches the program's memory until the returned function is called.
func (v *victim) mostHeld() (stop func() float64) {
	done, ended, most := make(chan struct{}), make(chan struct{}), 0
	go func() {
		defer close(ended)
		for {
			most = max(most, residentKB(v.t, v.process.Pid))
			select {
			case <-done:
				return
			case <-time.After(20 * time.Millisecond):
			}
		}
	}()
	return func() float64 { close(done); <-ended; return float64(most) / 1000 }
}

const layoutBody = `{"setup":{"template":{"kind":"one_piece","pitch":22.225,"opening":12.3},"bushing":{"diameter":11.1125},"cutter":{"diameter":12.7,"angle":14},"depth":10,"pin_board":{"thickness":18.6},"tail_board":{"thickness":12.4}},"board_width":1500}`

func posted(path, body string) string {
	return fmt.Sprintf("POST %s HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nContent-Length: %d\r\n\r\n%s", path, len(body), body)
}

// Twelve connections send requests one behind the other and hardly read.
func TestGreedyPipelines(t *testing.T) {
	v := attacked(t)
	_, calm := v.others("calm", "/v1/fit-predictions", predictionBody, 2*time.Second)
	for range 12 {
		conn := v.dial()
		go func() {
			text := strings.Repeat(posted("/v1/layouts", layoutBody), 50)
			for {
				if _, err := io.WriteString(conn, text); err != nil {
					return
				}
			}
		}()
		go func() {
			for few := make([]byte, 256); ; time.Sleep(50 * time.Millisecond) {
				if _, err := conn.Read(few); err != nil {
					return
				}
			}
		}()
	}
	time.Sleep(500 * time.Millisecond)
	_, p99 := v.others("beside 12 that pipeline and hardly read", "/v1/fit-predictions", predictionBody, 3*time.Second)
	assert.Less(t, p99, max(4*calm, 25*time.Millisecond))
}

// Clients that ask for batches and hardly read them.
func TestGreedyBatchReaders(t *testing.T) {
	v := attacked(t)
	small := batchBody(10, "fit-predictions", predictionBody)
	_, calm := v.others("calm", "/v1/batches", small, 2*time.Second)
	batch := posted("/v1/batches", batchBody(1000, "layouts", layoutBody))
	for range 4 {
		conn := v.dial()
		_, err := io.WriteString(conn, batch)
		require.NoError(t, err)
		go func() {
			for few := make([]byte, 256); ; time.Sleep(50 * time.Millisecond) {
				if _, err := conn.Read(few); err != nil {
					return
				}
			}
		}()
	}
	time.Sleep(3 * time.Second) // until they are full
	_, p99 := v.others("batches beside 4 that hardly read theirs", "/v1/batches", small, 3*time.Second)
	assert.Less(t, p99, max(4*calm, 25*time.Millisecond))
}

// Ten clients ask for diagnoses, and then four for batches of them.
func TestGreedyAskers(t *testing.T) {
	v := attacked(t)
	for _, way := range []struct {
		name, path, body string
		clients          int
	}{
		{"10 that ask for diagnoses", "/v1/diagnoses", `{}`, 10},
		{"4 batches of diagnoses", "/v1/batches", batchBody(1000, "diagnoses", `{}`), 4},
	} {
		t.Run(way.name, func(t *testing.T) {
			calm, _ := v.others("calm", "/v1/fit-predictions", predictionBody, 2*time.Second)
			ctx, cancel := context.WithCancel(t.Context())
			var all sync.WaitGroup
			client := greedy()
			for range way.clients {
				all.Go(func() {
					for ctx.Err() == nil {
						r, _ := http.NewRequestWithContext(ctx, http.MethodPost, "http://"+v.address+way.path, strings.NewReader(way.body))
						r.Header.Set("Content-Type", "application/json")
						if answer, err := client.Do(r); err == nil {
							_, _ = io.Copy(io.Discard, answer.Body)
							answer.Body.Close()
						}
					}
				})
			}
			time.Sleep(500 * time.Millisecond)
			p50, _ := v.others("beside "+way.name, "/v1/fit-predictions", predictionBody, 3*time.Second)
			cancel()
			all.Wait()
			assert.Less(t, p50, 3*calm)
		})
	}
}

// Connections that announce 4 MiB, some of which send nearly all of it.
func TestGreedyBodies(t *testing.T) {
	const announced = 4 << 20
	header := fmt.Sprintf("POST /v1/batches HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nContent-Length: %d\r\n\r\n", announced)
	for _, way := range []struct{ connections, sent int }{{150, 0}, {1000, 0}, {1000, 15 << 10}, {150, announced - 1}} {
		t.Run(fmt.Sprint(way.connections, " send ", way.sent), func(t *testing.T) {
			v := attacked(t)
			stop := v.mostHeld()
			text := header + strings.Repeat(" ", way.sent)
			var all sync.WaitGroup
			for range way.connections {
				conn := v.dial()
				all.Go(func() {
					_ = conn.SetDeadline(time.Now().Add(5 * time.Second))
					_, _ = io.WriteString(conn, text)
				})
			}
			all.Wait()
			time.Sleep(500 * time.Millisecond)
			v.others("beside them", "/v1/fit-predictions", predictionBody, time.Second)
			most := stop()
			t.Logf("%d connections that announce 4 MiB and send %d bytes: %.0f MB resident at most", way.connections, way.sent, most)
			assert.Less(t, most, 128.0)
		})
	}
}

// Bodies of all kinds that are whole, and answers that nobody reads.
func TestGreedyMemory(t *testing.T) {
	for name, text := range map[string]string{
		"batches of predictions": posted("/v1/batches", batchBody(1000, "fit-predictions", predictionBody)),
		"batches of diagnoses":   posted("/v1/batches", batchBody(1000, "diagnoses", `{"explain":true}`)),
		"many values":            posted("/v1/batches", `{"items":[`+strings.Repeat("[],", 400_000)+`1]}`),
		"large answers":          strings.Repeat(posted("/v1/layouts", layoutBody), 20),
	} {
		t.Run(name, func(t *testing.T) {
			v := attacked(t)
			stop := v.mostHeld()
			for range 150 {
				conn := v.dial()
				go func() { _, _ = io.WriteString(conn, text) }()
			}
			time.Sleep(6 * time.Second)
			most := stop()
			t.Logf("150 connections with %s of %d bytes, never read: %.0f MB resident at most", name, len(text), most)
			assert.Less(t, most, 128.0)
		})
	}
}

// A log that nobody reads keeps nobody waiting.
func TestGreedyLog(t *testing.T) {
	undisturbed(t)
	path := os.Getenv("SNUGTAIL_PROGRAM")
	if path == "" {
		path = built(t, "snugtail")
	}
	reader, writer, err := os.Pipe()
	require.NoError(t, err)
	defer reader.Close()
	command := exec.Command(path)
	command.Stderr = writer
	v := startVictim(t, command, "-log-level", "info")
	writer.Close()
	v.others("with a log that nobody reads", "/v1/fit-predictions", predictionBody, 3*time.Second)
	answer, err := http.Get("http://" + v.admin + "/metrics")
	require.NoError(t, err)
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	i := strings.Index(string(text), "\nsnugtail_log_lines_dropped_total ")
	require.Positive(t, i)
	line, _, _ := strings.Cut(string(text)[i+1:], "\n")
	t.Log(line)
	assert.NotEqual(t, "snugtail_log_lines_dropped_total 0", line)
}

// Slow senders in a thousand, from two addresses, keep nobody waiting.
func TestAThousandSlowSenders(t *testing.T) {
	v := attacked(t)
	var conns []net.Conn
	for i := range 1000 {
		dialer := net.Dialer{LocalAddr: &net.TCPAddr{IP: net.IPv4(127, 0, 0, byte(2+i%4))}}
		conn, err := dialer.Dial("tcp", v.address)
		require.NoError(t, err)
		defer conn.Close()
		_, err = io.WriteString(conn, "POST /v1/fit-predictions HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nContent-Length: 200\r\n\r\n{")
		require.NoError(t, err)
		conns = append(conns, conn)
	}
	stop := v.mostHeld()
	v.others("beside 1,000 slow senders", "/v1/fit-predictions", predictionBody, 2*time.Second)
	t.Logf("%.0f MB resident", stop())
	assert.False(t, slices.Contains(conns, nil))
}
