package main

import (
	"fmt"
	"io"
	"net"
	"sync"
	"time"
)

// fewConnections bounds how many connections are open at once. Work that the
// processor can't keep up with waits in its connections, before any request is
// read: their number is what bounds the wait, the memory and the descriptors.
type fewConnections struct {
	net.Listener
	places chan struct{}
	shed   func() // is told of each one turned away
}

func newFewConnections(l net.Listener, most int, shed func()) *fewConnections {
	return &fewConnections{Listener: l, places: make(chan struct{}, most), shed: shed}
}

// Accept turns away what is beyond the bound and waits for what is not.
func (l *fewConnections) Accept() (net.Conn, error) {
	for {
		conn, err := l.Listener.Accept()
		if err != nil {
			return nil, err // as net/http wants it, which tries again when descriptors are short
		}
		select {
		case l.places <- struct{}{}:
			return &placedConn{Conn: conn, leave: sync.OnceFunc(func() { <-l.places })}, nil
		default:
			l.shed()
			go turnAway(conn)
		}
	}
}

type placedConn struct {
	net.Conn
	leave func()
}

func (c *placedConn) Close() error {
	defer c.leave()
	return c.Conn.Close()
}

// turnedAway is a problem as package service writes them, with no request to name.
const turnedAway = `{"type":"urn:snugtail:problem:unavailable","title":"The service can't answer now","status":503,` +
	`"detail":"More clients are connected than can be served.","request_id":"none"}` + "\n"

// turnAway answers whatever is asked. It waits a little for the question, since
// clients drop an answer that comes before it, and reads what has arrived
// before the connection closes, since else the system drops the answer.
func turnAway(conn net.Conn) {
	const patience = 100 * time.Millisecond
	defer conn.Close()
	_ = conn.SetDeadline(time.Now().Add(patience))
	if _, err := conn.Read(make([]byte, 4<<10)); err != nil {
		return // it asked nothing
	}
	_ = conn.SetDeadline(time.Now().Add(patience))
	fmt.Fprintf(conn, "HTTP/1.1 503 Service Unavailable\r\nContent-Type: application/problem+json\r\nRetry-After: 1\r\nX-Request-ID: none\r\n"+
		"Connection: close\r\nContent-Length: %d\r\n\r\n%s", len(turnedAway), turnedAway)
	if half, ok := conn.(interface{ CloseWrite() error }); ok {
		_ = half.CloseWrite()
	}
	_, _ = io.CopyN(io.Discard, conn, 64<<10)
}
