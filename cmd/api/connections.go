package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/netip"
	"sync"
	"sync/atomic"
	"time"

	"snugtail/service/wire"
)

// fewConnections bounds how many connections are open at once. Work that the
// processor can't keep up with waits in its connections, before any request is
// read: their number is what bounds the wait, the memory and the descriptors.
type fewConnections struct {
	net.Listener
	places chan struct{}
	shed   func()       // is told of each one turned away
	close  func() error // once: program and http.Server both do

	each  int                   // that one address may have open
	bound func(netip.Addr) bool // false for those that may have all, such as a proxy's

	mu   sync.Mutex
	open map[*placedConn]struct{} // accepted and not closed yet
	of   map[netip.Prefix]int     // how many each address has open

	away     sync.WaitGroup // those that are being turned away
	turning  chan struct{}  // that many get an answer, so that descriptors last
	patience time.Duration  // with what they ask, and with their reading the answer
}

// divide shares the descriptors out: connections that are served, at most those
// wanted, connections that are turned away, and a rest for operators, the
// listeners and Go itself. Without a descriptor nobody is accepted, operators
// neither.
func divide(wanted int, descriptors uint64) (served, turned int) {
	const others, mostTurned, mostOfAll = 32, 4096, 1 << 20
	left := int(min(max(descriptors, others+2)-others, mostOfAll)) // two at least
	served = min(wanted, max(left*3/4, 1))
	return served, min(left-served, mostTurned)
}

func newFewConnections(l net.Listener, served, turned int, shed func()) *fewConnections {
	return &fewConnections{
		Listener: l, places: make(chan struct{}, served), shed: shed, close: sync.OnceValue(l.Close),
		each: served, bound: func(netip.Addr) bool { return true },
		open: map[*placedConn]struct{}{}, of: map[netip.Prefix]int{}, turning: make(chan struct{}, turned),
		patience: 500 * time.Millisecond,
	}
}

// Accept turns away what is beyond the bound and waits for what is not.
func (l *fewConnections) Accept() (net.Conn, error) {
	for {
		conn, err := l.Listener.Accept()
		if err != nil {
			return nil, err // as net/http wants it, which tries again when descriptors are short
		}
		address := clientOf(conn)
		if !l.enter(address) {
			l.shed()
			l.refuse(conn)
			continue
		}
		select {
		case l.places <- struct{}{}:
			return l.place(conn, address), nil
		default:
			l.left(address)
			l.shed()
			l.refuse(conn)
		}
	}
}

// clientOf is whose connection it is: an IPv6 client has as many addresses as it
// likes within its /64.
func clientOf(conn net.Conn) netip.Prefix {
	at, err := netip.ParseAddrPort(conn.RemoteAddr().String())
	if err != nil {
		return netip.Prefix{}
	}
	address := at.Addr().Unmap().WithZone("")
	bits := address.BitLen()
	if address.Is6() {
		bits = 64
	}
	prefix, _ := address.Prefix(bits) // of a valid address there is one
	return prefix
}

// enter counts a connection of an address unless it has too many.
func (l *fewConnections) enter(of netip.Prefix) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.of[of] >= l.each && l.bound(of.Addr()) {
		return false
	}
	l.of[of]++
	return true
}

func (l *fewConnections) left(of netip.Prefix) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.of[of]--; l.of[of] == 0 {
		delete(l.of, of)
	}
}

// refuse tells the client why, or hangs up where too many are being told.
func (l *fewConnections) refuse(conn net.Conn) {
	select {
	case l.turning <- struct{}{}:
		l.away.Go(func() {
			defer func() { <-l.turning }()
			turnAway(conn, l.patience)
		})
	default:
		_ = conn.Close()
	}
}

func (l *fewConnections) Close() error { return l.close() }

func (l *fewConnections) place(conn net.Conn, of netip.Prefix) *placedConn {
	c := &placedConn{Conn: wire.NewConn(patientConn{conn}), client: conn, since: time.Now()}
	c.leave = sync.OnceFunc(func() {
		<-l.places
		l.left(of)
		l.mu.Lock()
		defer l.mu.Unlock()
		delete(l.open, c)
	})
	l.mu.Lock()
	defer l.mu.Unlock()
	l.open[c] = struct{}{}
	return c
}

// takeLast returns when nobody is left who waits to be accepted: closing a
// listener cuts off those who wait, with what they have sent. So new ones are
// kept away first. It needs the server to go on accepting.
func (l *fewConnections) takeLast(ctx context.Context) error {
	tcp, ok := l.Listener.(*net.TCPListener)
	if !ok {
		return errors.ErrUnsupported
	}
	if err := ignoreNew(tcp); err != nil {
		return fmt.Errorf("keeping new connections away: %w", err)
	}
	const (
		quiet = 100 * time.Millisecond // longer than a handshake that has begun takes to end
		step  = 2 * time.Millisecond
	)
	for last := time.Now(); ctx.Err() == nil; time.Sleep(step) { // which a busy machine may make longer than quiet
		n, err := waitingToBeAccepted(tcp)
		if err != nil {
			return fmt.Errorf("counting the connections that wait: %w", err)
		}
		if n > 0 {
			last = time.Now()
		} else if time.Since(last) >= quiet {
			return nil
		}
	}
	return ctx.Err()
}

// answered waits until no connection waits for an answer. That http.Server does
// so in Shutdown is not enough: it throws away what it reads from then on.
func (l *fewConnections) answered(ctx context.Context) error {
	const step = 2 * time.Millisecond
	for l.anyWaits() {
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(step):
		}
	}
	l.away.Wait()
	return nil
}

func (l *fewConnections) anyWaits() bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	for c := range l.open {
		if c.waits() {
			return true
		}
	}
	return false
}

// patientConn waits for a reader as long as it keeps reading: a client that takes
// what it asked for more slowly than leastRate loses its connection, whatever
// the answer's length.
type patientConn struct{ net.Conn }

// Judgement: as slow as a telephone line, and a pause beside.
const (
	leastRate  = 8 << 10 // bytes a second
	readPause  = 5 * time.Second
	writtenPer = 32 << 10 // bytes for which the reader is given its time anew
)

// Write writes in pieces, each with its own time.
func (c patientConn) Write(p []byte) (written int, err error) {
	for first := true; first || len(p) > 0; first = false {
		piece := p[:min(len(p), writtenPer)]
		patience := readPause + time.Duration(len(piece))*time.Second/leastRate
		if err := c.Conn.SetWriteDeadline(time.Now().Add(patience)); err != nil {
			return written, err
		}
		n, err := c.Conn.Write(piece)
		written += n
		if err != nil {
			return written, err
		}
		p = p[n:]
	}
	return written, nil
}

// placedConn is a connection that has a place, which it leaves when it closes.
type placedConn struct {
	*wire.Conn
	client net.Conn // as it was accepted
	leave  func()
	since  time.Time
	state  atomic.Int32
}

// What a placedConn's client has done.
const (
	connected = iota // and asked nothing yet
	asking
	served // and silent since
)

// waits reports whether an answer is due, or may soon be: who has just
// connected has perhaps sent what is not read yet.
func (c *placedConn) waits() bool {
	const fresh = 5 * time.Second // as long as a header may take
	state := c.state.Load()
	return state == asking || state == connected && time.Since(c.since) < fresh
}

// Read also watches for the client's leaving. While a request is computed net/http
// reads one byte ahead, which fails when the client goes. Who has sent its next
// request by then gave it that byte, and it would look no further: so the byte is
// kept back until the client goes or net/http ends the reading by a deadline.
func (c *placedConn) Read(p []byte) (int, error) {
	n, err := c.Conn.Read(p)
	if n > 0 {
		c.state.Store(asking)
	}
	if n == 1 && len(p) == 1 && err == nil && hasLeft(c.client) {
		return n, io.EOF
	}
	return n, err
}

func (c *placedConn) Close() error {
	defer c.leave()
	return c.Conn.Close()
}

// noteServed is told by the server how its connections are.
func noteServed(conn net.Conn, state http.ConnState) {
	if c, ok := conn.(*placedConn); ok && state == http.StateIdle {
		c.state.Store(served)
		c.Answered()
	}
}

// turnedAway is a problem as package service writes them, with no request to name.
const turnedAway = `{"type":"urn:snugtail:problem:unavailable","title":"The service can't answer now","status":503,` +
	`"detail":"More clients are connected than can be served.","request_id":"none"}` + "\n"

// turnAway answers whatever is asked. It waits a little for the question, since
// clients drop an answer that comes before it, and reads what has arrived
// before the connection closes, since else the system drops the answer.
func turnAway(conn net.Conn, patience time.Duration) {
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
