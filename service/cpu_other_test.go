//go:build !unix

package service

import "time"

var began = time.Now()

// cpu stands in for the time of processors by that of the clock.
func cpu() time.Duration { return time.Since(began) }
