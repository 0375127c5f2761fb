//go:build unix

package service

import (
	"syscall"
	"time"
)

// cpu is the time of processors that this process has taken.
func cpu() time.Duration {
	var u syscall.Rusage
	_ = syscall.Getrusage(syscall.RUSAGE_SELF, &u)
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
