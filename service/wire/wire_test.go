package wire

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// counted counts the calls of Write.
type counted struct {
	net.Conn
	writes *atomic.Int32
}

func (c counted) Write(p []byte) (int, error) {
	c.writes.Add(1)
	return c.Conn.Write(p)
}

// listener makes a Conn of each connection, above one that counts.
type listener struct {
	net.Listener
	writes *atomic.Int32
}

func (l listener) Accept() (net.Conn, error) {
	conn, err := l.Listener.Accept()
	if err != nil {
		return nil, err
	}
	return NewConn(counted{conn, l.writes}), nil
}

// serve serves h over Conns, and returns the count of writes.
func serve(t *testing.T, h http.HandlerFunc) (address string, writes *atomic.Int32) {
	writes = new(atomic.Int32)
	server := httptest.NewUnstartedServer(h)
	server.Listener = listener{server.Listener, writes}
	server.Config.ConnState = func(conn net.Conn, state http.ConnState) {
		if state == http.StateIdle {
			conn.(*Conn).Answered()
		}
	}
	server.Start()
	t.Cleanup(server.Close)
	return server.Listener.Addr().String(), writes
}

// plan is how a handler answers: in pieces, announced or not, flushed or not.
type plan struct {
	Announce, Flush bool
	Header          int // bytes more of it
	Pieces          []string
}

func (p *plan) serveHTTP(w http.ResponseWriter, r *http.Request) {
	_, _ = io.Copy(io.Discard, r.Body) // or net/http closes where the client asked for leave to send it
	body := strings.Join(p.Pieces, "")
	if p.Announce {
		w.Header().Set("Content-Length", strconv.Itoa(len(body)))
	}
	w.Header().Set("X-Padding", strings.Repeat("x", p.Header))
	for _, piece := range p.Pieces {
		_, _ = io.WriteString(w, piece)
		if p.Flush {
			w.(http.Flusher).Flush()
		}
	}
}

// piece is one of an answer's body: a text, over and over, up to a size.
type piece struct {
	Text string
	Size int
}

func (p piece) text() string { return strings.Repeat(p.Text, p.Size/len(p.Text)+1)[:p.Size] }

// Whatever a handler writes arrives, on one connection after the other answers,
// also where a body looks like the start of an answer.
func TestAnswersArriveWhole(t *testing.T) {
	var next atomic.Pointer[plan]
	address, _ := serve(t, func(w http.ResponseWriter, r *http.Request) { next.Load().serveHTTP(w, r) })
	conn, err := net.Dial("tcp", address)
	require.NoError(t, err)
	defer conn.Close()
	answers := bufio.NewReader(conn)
	pieces := rapid.Custom(func(t *rapid.T) piece {
		size := rapid.SampledFrom([]int{0, 1, 100, 2000, 2048, 3800, 4096, 5733, 8192, mostHeld, 3 * mostHeld}).Draw(t, "size") + rapid.IntRange(0, 300).Draw(t, "more")
		return piece{rapid.SampledFrom([]string{"x", "HTTP/1.1 200 OK\r\nContent-Length: 30000\r\n\r\n"}).Draw(t, "text"), size}
	})
	rapid.Check(t, func(t *rapid.T) {
		now := &plan{
			Announce: rapid.Bool().Draw(t, "announce"), Flush: rapid.Bool().Draw(t, "flush"),
			Header: rapid.IntRange(0, 4500).Draw(t, "header"),
		}
		for _, p := range rapid.SliceOfN(pieces, 0, 4).Draw(t, "pieces") {
			now.Pieces = append(now.Pieces, p.text())
		}
		next.Store(now)
		method := rapid.SampledFrom([]string{"GET", "HEAD", "POST"}).Draw(t, "method")
		times := rapid.IntRange(1, 3).Draw(t, "pipelined")
		request := method + " / HTTP/1.1\r\nHost: x\r\nContent-Length: 2\r\nExpect: 100-continue\r\n\r\n{}"
		require.NoError(t, conn.SetDeadline(time.Now().Add(time.Minute)))
		_, err := io.WriteString(conn, strings.Repeat(request, times))
		require.NoError(t, err)
		for range times {
			got := readAnswer(t, answers, method)
			want := strings.Join(now.Pieces, "")
			if method == "HEAD" {
				want = ""
			}
			require.Equal(t, len(want), len(got))
			require.True(t, want == got, "the bytes differ")
		}
	})
}

func readAnswer(t require.TestingT, from *bufio.Reader, method string) string {
	answer, err := http.ReadResponse(from, &http.Request{Method: method})
	for err == nil && answer.StatusCode == http.StatusContinue {
		answer, err = http.ReadResponse(from, &http.Request{Method: method})
	}
	require.NoError(t, err)
	body, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	return string(body)
}

// An answer that net/http writes in two or more pieces leaves in one.
func TestAnswersLeaveAtOnce(t *testing.T) {
	address, writes := serve(t, func(w http.ResponseWriter, r *http.Request) {
		size, _ := strconv.Atoi(r.URL.Path[1:])
		(&plan{Announce: true, Pieces: []string{strings.Repeat("x", size)}}).serveHTTP(w, r)
	})
	conn, err := net.Dial("tcp", address)
	require.NoError(t, err)
	defer conn.Close()
	answers := bufio.NewReader(conn)
	for size := range 3 * full { // also where the last piece is an empty one
		if size > 4100 && size%7 != 0 && size%full > 10 && size%full < full-300 {
			continue
		}
		writes.Store(0)
		_, err := fmt.Fprintf(conn, "GET /%d HTTP/1.1\r\nHost: x\r\n\r\n", size)
		require.NoError(t, err)
		require.Len(t, readAnswer(t, answers, "GET"), size)
		require.Equal(t, int32(1), writes.Load(), size)
	}
}

// failing is a connection that takes nothing.
type failing struct{ net.Conn }

func (failing) Write([]byte) (int, error) { return 0, io.ErrClosedPipe }

func TestFailedWritesAreTold(t *testing.T) {
	c := NewConn(failing{})
	head := fmt.Appendf(nil, "HTTP/1.1 200 OK\r\nContent-Length: %d\r\n\r\n", full)
	n, err := c.Write(append(head, bytes.Repeat([]byte("x"), full-len(head))...))
	require.NoError(t, err, "held")
	assert.Equal(t, full, n)
	_, err = c.Write(make([]byte, len(head)))
	require.ErrorIs(t, err, io.ErrClosedPipe)
	_, err = c.Write([]byte("x"))
	assert.True(t, errors.Is(err, io.ErrClosedPipe), "nothing is held any more")
}

func TestAnswerLengths(t *testing.T) {
	for text, want := range map[string]int{
		"HTTP/1.1 200 OK\r\nContent-Length: 5\r\n\r\nabc":                             43,
		"HTTP/1.1 200 OK\r\nA: b\r\nContent-Length: 0\r\nC: d\r\n\r\n":                50,
		"HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\n5\r\nContent-Length: 9": 0,
		"HTTP/1.1 200 OK\r\nContent-Length: 5\r\n":                                    0,
		"HTTP/1.1 200 OK\r\n\r\n\r\nContent-Length: 5\r\n":                            0,
		"HTTP/1.1 200 OK\r\nContent-Length: -5\r\n\r\n":                               0,
		"HTTP/1.1 200 OK\r\nContent-Length: 99999999999999999999\r\n\r\n":             0,
		"HTTP/1.0 200 OK\r\nContent-Length: 5\r\n\r\n":                                0,
		"x": 0,
	} {
		assert.Equal(t, want, answerLength([]byte(text)), text)
	}
}
