package main

import (
	"bufio"
	"io"
	"net"
	"net/http"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Who has connected before the end is accepted, however late; who comes after
// finds nobody.
func TestTakeLastLeavesNobodyWaiting(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("only Linux can keep new connections away")
	}
	tcp, err := listenPlainly("127.0.0.1:0")
	require.NoError(t, err)
	const most = 1000
	l := newFewConnections(tcp, most, most, func() {})
	defer l.Close()
	for range 3 {
		conn, err := net.Dial("tcp", l.Addr().String())
		require.NoError(t, err)
		defer conn.Close()
	}
	taken := make(chan error, 1)
	go func() { taken <- l.takeLast(t.Context()) }()
	waiting := 3
	for ; waiting < most; waiting++ { // those that come before it has begun wait too
		conn, err := net.DialTimeout("tcp", l.Addr().String(), time.Second)
		if err != nil {
			var timeout net.Error
			require.ErrorAs(t, err, &timeout)
			require.True(t, timeout.Timeout(), "new ones get no answer: %v", err)
			break
		}
		defer conn.Close()
		time.Sleep(5 * time.Millisecond)
	}
	require.Less(t, waiting, most, "it never begins")
	assert.Empty(t, taken, "they still wait")
	for range waiting {
		conn, err := l.Accept()
		require.NoError(t, err)
		defer conn.Close()
	}
	require.NoError(t, <-taken)
	n, err := waitingToBeAccepted(tcp.(*net.TCPListener))
	require.NoError(t, err)
	assert.Zero(t, n)
	require.NoError(t, l.Close())
	require.NoError(t, l.Close(), "twice is as good as once")
	_, err = net.DialTimeout("tcp", l.Addr().String(), time.Second)
	require.Error(t, err)
}

// A client that has connected, and asks when the stop has long begun, is answered;
// one that is silent after an answer is not waited for.
func TestStopAnswersWhoHasConnected(t *testing.T) {
	r := start(t)
	dial := func() (net.Conn, *bufio.Reader) {
		conn, err := net.Dial("tcp", r.publicOn.Addr().String())
		require.NoError(t, err)
		t.Cleanup(func() { conn.Close() })
		return conn, bufio.NewReader(conn)
	}
	ask := func(conn net.Conn, answers *bufio.Reader) *http.Response {
		_, err := io.WriteString(conn, "GET /v1/cutters HTTP/1.1\r\nHost: x\r\n\r\n")
		require.NoError(t, err)
		answer, err := http.ReadResponse(answers, nil)
		require.NoError(t, err)
		_, err = io.Copy(io.Discard, answer.Body)
		require.NoError(t, err)
		answer.Body.Close()
		return answer
	}
	idle, idleAnswers := dial()
	assert.False(t, ask(idle, idleAnswers).Close)
	late, lateAnswers := dial()
	r.stop()
	require.Eventually(t, func() bool {
		conn, err := net.Dial("tcp", r.publicOn.Addr().String())
		if err == nil {
			conn.Close()
		}
		return err != nil
	}, ample, 5*time.Millisecond, "its listener is never closed")
	answer := ask(late, lateAnswers)
	assert.Equal(t, 200, answer.StatusCode)
	assert.True(t, answer.Close, "and its connection with it")
	r.endsWell(t)
	_, err := idleAnswers.ReadByte()
	assert.ErrorIs(t, err, io.EOF)
}
