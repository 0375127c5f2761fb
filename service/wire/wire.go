// Package wire sends each answer of an HTTP/1.1 server with one call of the
// system, where net/http makes two.
//
// Its buffer holds 4 KiB: an answer of 6 KB leaves as a packet of 4096 bytes,
// for which the client is woken, and one of the rest. Of what a short
// computation costs over a connection a tenth or more is that second call.
package wire

import (
	"bytes"
	"net"
	"strconv"
	"sync"
)

const (
	full     = 4 << 10  // net/http's buffer: as much is written when there is more to come
	mostHeld = 32 << 10 // bytes of an answer that is held; a longer one gains little
)

// Conn is a connection that holds the first part of an answer back until it has
// the rest, up to the Content-Length that the answer announces. It is for
// servers that write their answers whole: one that announces a length and then
// takes its time, or flushes just when the buffer is full, would keep its client
// waiting for what it has written.
type Conn struct {
	net.Conn
	begins  bool    // the next write is the first of an answer
	held    *[]byte // of pieces; nil where nothing is held
	missing int     // bytes of the answer that are not held yet
}

var pieces = sync.Pool{New: func() any { return new([]byte) }}

// NewConn returns a connection to a client that nothing was written to.
func NewConn(conn net.Conn) *Conn { return &Conn{Conn: conn, begins: true} }

// Answered says that an answer is over, as http.Server does by the state
// http.StateIdle of the connection.
func (c *Conn) Answered() { c.begins = true }

// Write holds p or writes it with what is held. A p that is held counts as
// written; if it can't be, the write of the rest fails.
func (c *Conn) Write(p []byte) (int, error) {
	if c.held != nil {
		return c.writeOn(p)
	}
	begins := c.begins
	c.begins = false
	if !begins || len(p) != full {
		return c.Conn.Write(p)
	}
	whole := answerLength(p)
	if whole <= len(p) || whole > mostHeld {
		return c.Conn.Write(p)
	}
	c.held, _ = pieces.Get().(*[]byte)
	*c.held = append((*c.held)[:0], p...)
	c.missing = whole - len(p)
	return len(p), nil
}

// writeOn adds p to what is held and writes all of it once it is complete.
func (c *Conn) writeOn(p []byte) (int, error) {
	*c.held = append(*c.held, p...)
	c.missing -= len(p)
	if c.missing > 0 {
		return len(p), nil
	}
	_, err := c.Conn.Write(*c.held)
	pieces.Put(c.held)
	c.held = nil
	if err != nil {
		return 0, err
	}
	return len(p), nil
}

// answerLength is the number of bytes of the answer that p begins, header and
// body; 0 where p does not say.
func answerLength(p []byte) int {
	header, _, found := bytes.Cut(p, []byte("\r\n\r\n"))
	if !found || !bytes.HasPrefix(header, []byte("HTTP/1.1 ")) {
		return 0
	}
	_, length, found := bytes.Cut(header, []byte("\r\nContent-Length: "))
	if !found {
		return 0
	}
	digits, _, _ := bytes.Cut(length, []byte("\r\n"))
	body, err := strconv.Atoi(string(digits))
	if err != nil || body < 0 || body > mostHeld {
		return 0
	}
	return len(header) + len("\r\n\r\n") + body
}
