//go:build !linux

package main

import (
	"errors"
	"math"
	"net"
)

// Other systems close what waits when the listener is closed: stop's drain delay
// is what keeps clients from it there.

func ignoreNew(*net.TCPListener) error { return errors.ErrUnsupported }

func waitingToBeAccepted(*net.TCPListener) (int, error) { return 0, errors.ErrUnsupported }

// Elsewhere a client that pipelines has gone when it is written to.

func hasLeft(net.Conn) bool { return false }

func descriptors() (uint64, error) { return math.MaxUint64, nil }
