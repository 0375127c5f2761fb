package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Pieces of requests. What is framed well is answered 200, so that 400 means the framing.
const (
	getCutters = "GET /v1/cutters HTTP/1.1\r\nHost: x\r\n\r\n"
	getStart   = "GET /v1/cutters HTTP/1.1\r\nHost: x\r\n"
	postStart  = "POST /v1/fit-predictions HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\n"
	inChunks   = "Transfer-Encoding: chunked\r\n"
)

var (
	bodyLength = fmt.Sprintf("Content-Length: %d\r\n", len(predictionBody))
	bodyChunk  = fmt.Sprintf("%x\r\n%s\r\n", len(predictionBody), predictionBody)
	kilobytes  = strings.Repeat("a", 64<<10)
)

// neverTimesOut is a program that closes no connection because of the time: what it
// closes, it closes for what was sent.
func neverTimesOut(p *program) {
	for _, server := range []*http.Server{p.public, p.admin} {
		server.ReadHeaderTimeout, server.ReadTimeout, server.IdleTimeout = 10*ample, 10*ample, 10*ample
	}
}

// sendRaw sends a text over a connection of its own and returns the status codes of at
// most that many answers, and whether the server closed the connection before.
func sendRaw(t *testing.T, address, text string, most int) (codes []int, closed bool) {
	t.Helper()
	conn, err := net.Dial("tcp", address)
	require.NoError(t, err)
	defer conn.Close()
	_, _ = io.WriteString(conn, text) // it may hang up before all is sent
	require.NoError(t, conn.SetReadDeadline(time.Now().Add(ample)))
	answers := bufio.NewReader(conn)
	for len(codes) < most {
		_, err := answers.Peek(1)
		if errors.Is(err, io.EOF) || errors.Is(err, syscall.ECONNRESET) { // the latter where it had not read all
			return codes, true
		}
		if !assert.NoError(t, err, "after %v", codes) {
			return codes, false
		}
		answer, err := http.ReadResponse(answers, nil)
		require.NoError(t, err)
		if _, err = io.Copy(io.Discard, answer.Body); !errors.Is(err, syscall.ECONNRESET) {
			require.NoError(t, err)
		}
		codes = append(codes, answer.StatusCode)
	}
	return codes, false
}

// connect opens a connection; ask sends a request over it and returns the answer's code.
func connect(t *testing.T, address string) (ask func() int) {
	t.Helper()
	conn, err := net.Dial("tcp", address)
	require.NoError(t, err)
	t.Cleanup(func() { conn.Close() })
	answers := bufio.NewReader(conn)
	return func() int {
		_, err := io.WriteString(conn, getCutters)
		require.NoError(t, err)
		require.NoError(t, conn.SetReadDeadline(time.Now().Add(ample)))
		answer, err := http.ReadResponse(answers, nil)
		require.NoError(t, err)
		_, err = io.Copy(io.Discard, answer.Body)
		require.NoError(t, err)
		return answer.StatusCode
	}
}

// Each text is sent with a proper request right behind it: either the connection is
// kept, and that is answered 200, or it is closed, and nobody answers that.
func TestMalformedHTTP(t *testing.T) {
	r := startChanged(t, neverTimesOut)
	address := r.publicOn.Addr().String()
	for _, row := range []struct {
		name, text string
		code       int
		kept       bool
	}{
		// The start line. An unknown major version is 505 (RFC 9110, section 15.6.6), a higher
		// minor one is answered as 1.1 (section 6.2). RFC 9112, section 3, would have 414 for too
		// long a line; net/http can't tell it from too large a header.
		{"bytes", "\x00\x01\x02\r\n\r\n", 400, false},
		{"TLS", "\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03\r\n", 400, false},
		{"a method alone", "GET\r\n\r\n", 400, false},
		{"HTTP/0.9", "GET /v1/cutters\r\n", 400, false},
		{"HTTP/2 unasked", "PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n\x00\x00\x00\x04\x00\x00\x00\x00\x00", 404, false},
		{"HTTP/2.0 as text", "GET /v1/cutters HTTP/2.0\r\nHost: x\r\n\r\n", 505, false},
		{"HTTP/9.9", "GET /v1/cutters HTTP/9.9\r\nHost: x\r\n\r\n", 505, false},
		{"HTTP/1.2", "GET /v1/cutters HTTP/1.2\r\nHost: x\r\n\r\n", 200, true},
		{"HTTP/1", "GET /v1/cutters HTTP/1\r\nHost: x\r\n\r\n", 400, false},
		{"http/1.1", "GET /v1/cutters http/1.1\r\nHost: x\r\n\r\n", 400, false},
		{"two spaces", "GET  /v1/cutters HTTP/1.1\r\nHost: x\r\n\r\n", 400, false},
		{"tabs", "GET\t/v1/cutters\tHTTP/1.1\r\nHost: x\r\n\r\n", 400, false},
		{"four words", "GET /v1/cutters x HTTP/1.1\r\nHost: x\r\n\r\n", 400, false},
		{"a bracket in the method", "G(T /v1/cutters HTTP/1.1\r\nHost: x\r\n\r\n", 400, false},
		{"a wrong escape", "GET /%zz HTTP/1.1\r\nHost: x\r\n\r\n", 400, false},
		{"no slash", "GET v1/cutters HTTP/1.1\r\nHost: x\r\n\r\n", 400, false},
		{"a long line", "GET /" + strings.Repeat("a", 8<<10) + " HTTP/1.1\r\nHost: x\r\n\r\n", 404, true},
		{"a line too long", "GET /" + kilobytes + " HTTP/1.1\r\nHost: x\r\n\r\n", 431, false},
		{"OPTIONS *", "OPTIONS * HTTP/1.1\r\nHost: x\r\n\r\n", 404, true},
		{"CONNECT", "CONNECT museum.example:443 HTTP/1.1\r\nHost: museum.example:443\r\n\r\n", 404, true},
		{"another host's, absolute", "GET http://museum.example/v1/cutters HTTP/1.1\r\nHost: x\r\n\r\n", 200, true}, // any host is this one

		// Ends of lines (RFC 9112, section 2.2): a bare LF may be taken for one, a bare CR may not.
		// That an empty line before the first request is refused is stricter than what it asks.
		{"LF", strings.ReplaceAll(getCutters, "\r\n", "\n"), 200, true},
		{"CR", strings.ReplaceAll(getCutters, "\r\n", "\r"), 400, false},
		{"CR in a value", getStart + "X: a\rY: b\r\n\r\n", 400, false},
		{"CR in the line", "GET /v1/cutters\r HTTP/1.1\r\nHost: x\r\n\r\n", 400, false},
		{"CR CR LF", getStart + "X: a\r\r\n\r\n", 400, false},
		{"an empty line first", "\r\n" + getCutters, 400, false},
		{"an empty line after a body", postStart + bodyLength + "\r\n" + predictionBody + "\r\n", 200, true},

		// The header (RFC 9112, sections 3.2 and 5).
		{"NUL in a value", getStart + "X: a\x00b\r\n\r\n", 400, false},
		{"UTF-8 in a value", getStart + "X: ä\r\n\r\n", 200, true},
		{"a space before the colon", getStart + "X : a\r\n\r\n", 400, false},
		{"a folded value", getStart + "X: a\r\n b\r\n\r\n", 200, true}, // the fold is one space: allowed
		{"a fold first", "GET /v1/cutters HTTP/1.1\r\n Host: x\r\n\r\n", 400, false},
		{"no colon", getStart + "nonsense\r\n\r\n", 400, false},
		{"no name", getStart + ": a\r\n\r\n", 400, false},
		{"too large", getStart + "X: " + kilobytes + "\r\n\r\n", 431, false},
		{"no host", "GET /v1/cutters HTTP/1.1\r\n\r\n", 400, false},
		{"two hosts", getStart + "Host: y\r\n\r\n", 400, false},
		{"no host's name", "GET /v1/cutters HTTP/1.1\r\nHost: x y/<\r\n\r\n", 400, false},
		{"an unknown expectation", getStart + "Expect: tea\r\n\r\n", 417, false},

		// Content-Length (RFC 9112, section 6.3, and RFC 9110, section 8.6).
		{"length -1", postStart + "Content-Length: -1\r\n\r\n", 400, false},
		{"length +2", postStart + "Content-Length: +2\r\n\r\n{}", 400, false},
		{"length 0x2", postStart + "Content-Length: 0x2\r\n\r\n{}", 400, false},
		{"length 2.0", postStart + "Content-Length: 2.0\r\n\r\n{}", 400, false},
		{"length empty", postStart + "Content-Length:\r\n\r\n{}", 400, false},
		{"length of 20 digits", postStart + "Content-Length: 99999999999999999999\r\n\r\n{}", 400, false},
		{"lengths 1 and 2", postStart + "Content-Length: 1\r\nContent-Length: 2\r\n\r\n{}", 400, false},
		{"lengths 2, 2 in one", postStart + "Content-Length: 2, 2\r\n\r\n{}", 400, false},
		{"more than is taken, none of it sent", postStart + "Content-Length: 300000\r\n\r\n", 413, false}, // at once, not when it gives up waiting
		{"the same length twice", postStart + bodyLength + bodyLength + "\r\n" + predictionBody, 200, true},

		// Transfer-Encoding. An unknown coding is 501 (RFC 9112, section 6.1).
		{"gzip", postStart + "Transfer-Encoding: gzip\r\n\r\n", 501, false},
		{"gzip, chunked", postStart + "Transfer-Encoding: gzip, chunked\r\n\r\n" + bodyChunk + "0\r\n\r\n", 501, false},
		{"identity", postStart + "Transfer-Encoding: identity\r\n\r\n", 501, false},
		{"no coding", postStart + "Transfer-Encoding:\r\n\r\n" + bodyChunk + "0\r\n\r\n", 501, false},
		{"chunked, chunked", postStart + "Transfer-Encoding: chunked, chunked\r\n\r\n" + bodyChunk + "0\r\n\r\n", 501, false},
		{"chunked twice", postStart + inChunks + inChunks + "\r\n" + bodyChunk + "0\r\n\r\n", 501, false},
		{"vertical tab and chunked", postStart + "Transfer-Encoding: \vchunked\r\n\r\n" + bodyChunk + "0\r\n\r\n", 400, false},
		{"a space before chunked's colon", postStart + "Transfer-Encoding : chunked\r\n\r\n" + bodyChunk + "0\r\n\r\n", 400, false},
		{"chunked, folded, in capitals", postStart + "TRANSFER-ENCODING:\r\n CHUNKED\r\n\r\n" + bodyChunk + "0\r\n\r\n", 200, false},
		{"chunked in HTTP/1.0", strings.Replace(postStart, "1.1", "1.0", 1) + "Connection: keep-alive\r\n" + bodyLength + inChunks + "\r\n" + predictionBody, 200, false},
		{"length and chunked", postStart + bodyLength + inChunks + "\r\n" + bodyChunk + "0\r\n\r\n", 200, false},
		{"chunked and length", postStart + inChunks + "Content-Length: 4\r\n\r\n" + bodyChunk + "0\r\n\r\n", 200, false},
		{"chunked and no length", postStart + inChunks + "Content-Length: none\r\n\r\n" + bodyChunk + "0\r\n\r\n", 400, false},

		// Chunks (RFC 9112, section 7.1): what extends a size is ignored, within bounds.
		{"size zz", postStart + inChunks + "\r\nzz\r\n", 400, false},
		{"size -1", postStart + inChunks + "\r\n-1\r\n", 400, false},
		{"size 0x", postStart + inChunks + "\r\n0x" + bodyChunk + "0\r\n\r\n", 400, false},
		{"size of 17 digits", postStart + inChunks + "\r\n10000000000000002\r\n{}\r\n0\r\n\r\n", 400, false},
		{"a chunk longer than its size", postStart + inChunks + "\r\n1\r\n{}\r\n0\r\n\r\n", 400, false},
		{"LF after a size", postStart + inChunks + "\r\n" + strings.Replace(bodyChunk, "\r\n", "\n", 1) + "0\r\n\r\n", 400, false},
		{"an extension", postStart + inChunks + "\r\n" + strings.Replace(bodyChunk, "\r\n", ";a=b\r\n", 1) + "0\r\n\r\n", 200, false},
		{"a huge extension", postStart + inChunks + "\r\n" + strings.Replace(bodyChunk, "\r\n", ";a="+kilobytes+"\r\n", 1) + "0\r\n\r\n", 400, false},
		{"many long extensions", postStart + inChunks + "\r\n" + strings.Repeat("1;"+kilobytes[:3000]+"\r\n \r\n", 40) + bodyChunk + "0\r\n\r\n", 400, false},
		{"a length in the trailer", postStart + inChunks + "\r\n" + bodyChunk + "0\r\nContent-Length: 5\r\n\r\n", 200, false},
		{"a huge trailer", postStart + inChunks + "\r\n" + bodyChunk + "0\r\nX: " + kilobytes + "\r\n\r\n", 400, false},
	} {
		t.Run(row.name, func(t *testing.T) {
			want := []int{row.code}
			if row.kept {
				want = append(want, 200)
			}
			codes, closed := sendRaw(t, address, row.text+getCutters, 2)
			assert.Equal(t, want, codes)
			assert.Equal(t, row.kept, !closed)
			codes, _ = sendRaw(t, address, getCutters, 1)
			assert.Equal(t, []int{200}, codes, "others are still answered")
		})
	}
}

// Nothing behind a request is answered if a proxy may think it part of that request,
// or that request longer than it is; on neither listener, whatever the answer is.
func TestNothingIsSmuggled(t *testing.T) {
	r := startChanged(t, neverTimesOut)
	for _, listener := range []struct{ name, address, path string }{
		{"public", r.publicOn.Addr().String(), "/v1/cutters"},
		{"operators", r.adminOn.Addr().String(), "/healthz"},
	} {
		behind := "GET " + listener.path + " HTTP/1.1\r\nHost: x\r\n\r\n"
		for _, line := range []string{
			"POST /v1/fit-predictions HTTP/1.1", "GET " + listener.path + " HTTP/1.1", "POST /nowhere HTTP/1.1", "OPTIONS * HTTP/1.1",
			"DELETE " + listener.path + " HTTP/1.1", "POST " + listener.path + " HTTP/1.0\r\nConnection: keep-alive",
		} {
			for _, length := range []int{0, 5, 5 + len(behind)} { // nothing, the chunks, and what is behind them
				text := fmt.Sprintf("%s\r\nHost: x\r\nContent-Length: %d\r\n%s\r\n0\r\n\r\n", line, length, inChunks)
				codes, closed := sendRaw(t, listener.address, text+behind, 2)
				assert.Len(t, codes, 1, "%s: %q", listener.name, text)
				assert.True(t, closed, "%s: %q", listener.name, text)
			}
		}
		codes, _ := sendRaw(t, listener.address, behind+behind, 2)
		assert.Equal(t, []int{200, 200}, codes, "without chunks, both are answered")
	}
}

// Clients that don't know the length of what they send are served, each time over a
// new connection.
func TestChunkedUploads(t *testing.T) {
	r := start(t)
	for range 3 {
		unknownLength := io.MultiReader(strings.NewReader(predictionBody))
		answer, err := http.Post(r.public+"/v1/fit-predictions", "application/json", unknownLength)
		require.NoError(t, err)
		_, err = io.Copy(io.Discard, answer.Body)
		require.NoError(t, err)
		answer.Body.Close()
		assert.Equal(t, 200, answer.StatusCode)
		assert.True(t, answer.Close)
	}
}
