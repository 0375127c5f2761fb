package service

import (
	"bufio"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/api/apitest"
)

// sendsFirst is what most clients are: it reads nothing before it has sent all.
// The status is 0 where the connection broke.
func sendsFirst(t *testing.T, address, head, body string) (status int, text string) {
	t.Helper()
	conn, err := net.Dial("tcp", address)
	require.NoError(t, err)
	defer conn.Close()
	require.NoError(t, conn.SetDeadline(time.Now().Add(ample)))
	if _, err := io.WriteString(conn, head+body); err != nil {
		return 0, err.Error()
	}
	answer, err := http.ReadResponse(bufio.NewReader(conn), nil)
	if err != nil {
		return 0, err.Error()
	}
	defer answer.Body.Close()
	raw, err := io.ReadAll(answer.Body)
	if err != nil {
		return 0, err.Error()
	}
	return answer.StatusCode, string(raw)
}

// A client that reads nothing before it has sent all hears its refusal, up to
// 16 MB; every place is free again afterwards.
func TestRefusalsOfLargeBodiesAreRead(t *testing.T) {
	s := newProbe(t, Config{})
	server := httptest.NewServer(s.Handler())
	defer server.Close()
	address := server.Listener.Addr().String()
	const head = "POST /v1/probes HTTP/1.1\r\nHost: x\r\n"
	body := strings.Repeat("x", 10<<20)
	chunk := fmt.Sprintf("%x\r\n%s\r\n0\r\n\r\n", len(body), body)
	for name, row := range map[string]struct {
		head, body string
		status     int
		says       string
	}{
		"announced":     {head + "Content-Type: application/json\r\nContent-Length: 10485760\r\n\r\n", body, 413, "262144 bytes"},
		"in chunks":     {head + "Content-Type: application/json\r\nTransfer-Encoding: chunked\r\n\r\n", chunk, 413, "262144 bytes"},
		"of no type":    {head + "Content-Length: 10485760\r\n\r\n", body, 415, "no Content-Type"},
		"to no path":    {strings.Replace(head, "/v1/probes", "/v1/prob", 1) + "Content-Length: 10485760\r\n\r\n", body, 404, "Did you mean /v1/probes?"},
		"just under 16": {head + "Content-Type: application/json\r\nContent-Length: 16777216\r\n\r\n", strings.Repeat("x", 16<<20), 413, "262144 bytes"},
	} {
		t.Run(name, func(t *testing.T) {
			for heard, late := 0, 0; heard < 6; {
				begun := time.Now()
				status, text := sendsFirst(t, address, row.head, row.body)
				if status == 0 && time.Since(begun) > time.Second && late < 50 {
					late++ // on a busy machine even this one may not have sent all within 2 s
					continue
				}
				require.Equal(t, row.status, status, text)
				assert.Contains(t, text, row.says)
				heard++
			}
		})
	}
	assert.Zero(t, seen(t, s, "snugtail_http_requests_queued"))
	for range 200 { // more than there are places
		require.Equal(t, http.StatusOK, ask(s.Handler(), request("POST", "/v1/probes", apitest.GoodProbe)).Code)
	}
}

// Who announces much and sends nothing hears the refusal at once, and is hung up
// on after two seconds.
func TestRefusalsDoNotWaitForTheBody(t *testing.T) {
	server := httptest.NewServer(newProbe(t, Config{}).Handler())
	defer server.Close()
	for _, length := range []string{"10485760", "104857600"} {
		atOnce := false
		for tries := 0; tries < 20 && !atOnce; tries++ { // a busy machine may be late, but one answer that does not wait is enough
			atOnce = heardAfter(t, server.Listener.Addr().String(), length) < 1500*time.Millisecond
		}
		assert.True(t, atOnce, "the answer waits for %s bytes", length)
	}
}

// heardAfter is how long it takes until a client hears that it announced too much;
// then its connection is closed.
func heardAfter(t *testing.T, address, length string) time.Duration {
	t.Helper()
	conn, err := net.Dial("tcp", address)
	require.NoError(t, err)
	defer conn.Close()
	require.NoError(t, conn.SetDeadline(time.Now().Add(ample)))
	begun := time.Now()
	_, err = io.WriteString(conn, "POST /v1/probes HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nContent-Length: "+length+"\r\n\r\n{")
	require.NoError(t, err)
	reader := bufio.NewReader(conn)
	answer, err := http.ReadResponse(reader, nil)
	require.NoError(t, err)
	assert.Equal(t, 413, answer.StatusCode)
	assert.True(t, answer.Close)
	_, err = io.Copy(io.Discard, answer.Body)
	require.NoError(t, err)
	heard := time.Since(begun)
	_, err = reader.ReadByte()
	require.ErrorIs(t, err, io.EOF)
	return heard
}
