package main

import (
	"fmt"
	"net"

	"golang.org/x/sys/unix"
)

// ignoreNew has the system drop the first packet (SYN) of every new connection.
// What it has begun to set up goes on and waits to be accepted. A client whose
// packet is dropped sends it again after a second, and then finds nobody.
func ignoreNew(l *net.TCPListener) error {
	const flags, syn = 13, 0x02 // RFC 9293, section 3.1: the byte with the flags, and the flag
	program := []unix.SockFilter{
		{Code: unix.BPF_LD | unix.BPF_B | unix.BPF_ABS, K: flags},
		{Code: unix.BPF_JMP | unix.BPF_JSET | unix.BPF_K, Jf: 1, K: syn},
		{Code: unix.BPF_RET | unix.BPF_K, K: 0},       // drop
		{Code: unix.BPF_RET | unix.BPF_K, K: 1 << 16}, // keep that many bytes: all
	}
	filter := unix.SockFprog{Len: uint16(len(program)), Filter: &program[0]}
	return onSocket(l, func(fd int) error {
		return unix.SetsockoptSockFprog(fd, unix.SOL_SOCKET, unix.SO_ATTACH_FILTER, &filter)
	})
}

// waitingToBeAccepted is how many connections the system has set up that
// nobody has accepted yet.
func waitingToBeAccepted(l *net.TCPListener) (n int, err error) {
	err = onSocket(l, func(fd int) error {
		info, err := unix.GetsockoptTCPInfo(fd, unix.IPPROTO_TCP, unix.TCP_INFO)
		if err == nil {
			n = int(info.Unacked) // which of a listener is the length of its queue
		}
		return err
	})
	return n, err
}

// hasLeft waits until the other side of a connection sends no more, whatever of it is
// not read yet, or until the time for reading is over.
func hasLeft(conn net.Conn) bool {
	tcp, ok := conn.(*net.TCPConn)
	if !ok {
		return false
	}
	socket, err := tcp.SyscallConn()
	if err != nil {
		return false
	}
	err = socket.Read(func(fd uintptr) (left bool) { // asks again whenever something comes
		is := []unix.PollFd{{Fd: int32(fd), Events: unix.POLLRDHUP}}
		_, err := unix.Poll(is, 0)
		return err == nil && is[0].Revents&(unix.POLLRDHUP|unix.POLLHUP|unix.POLLERR) != 0
	})
	return err == nil
}

// descriptors is how many files and connections the system lets the program have.
func descriptors() (uint64, error) {
	var limit unix.Rlimit
	if err := unix.Getrlimit(unix.RLIMIT_NOFILE, &limit); err != nil {
		return 0, fmt.Errorf("asking for the limit of descriptors: %w", err)
	}
	return limit.Cur, nil
}

func onSocket(l *net.TCPListener, do func(fd int) error) error {
	socket, err := l.SyscallConn()
	if err != nil {
		return fmt.Errorf("the listener's socket: %w", err)
	}
	var done error
	if err := socket.Control(func(fd uintptr) { done = do(int(fd)) }); err != nil {
		return fmt.Errorf("the listener's socket: %w", err)
	}
	return done
}
