package main

import (
	"bytes"
	"io"
	"sync"
	"time"
)

// lossyLog writes lines to somewhere that may not take them, such as a pipe that
// nobody reads: nobody waits for it, and lines beyond what it holds are dropped
// and counted.
type lossyLog struct {
	to      io.Writer
	dropped func()
	lines   chan []byte
	ended   chan struct{}
	ending  sync.Once
	mu      sync.RWMutex // of over
	over    bool
}

// heldLines is how many lines wait to be written; they are some 300 bytes each.
const heldLines = 1024

func newLossyLog(to io.Writer, dropped func()) *lossyLog {
	l := &lossyLog{to: to, dropped: dropped, lines: make(chan []byte, heldLines), ended: make(chan struct{})}
	go func() {
		defer close(l.ended)
		for line := range l.lines {
			if _, err := l.to.Write(line); err != nil {
				l.dropped()
			}
		}
	}()
	return l
}

// Write takes one line, or drops it. It never fails.
func (l *lossyLog) Write(line []byte) (int, error) {
	l.mu.RLock()
	defer l.mu.RUnlock()
	if l.over {
		l.dropped()
		return len(line), nil
	}
	select {
	case l.lines <- bytes.Clone(line): // the logger uses its own again
	default:
		l.dropped()
	}
	return len(line), nil
}

// close waits a little until what is held is written.
func (l *lossyLog) close() {
	const patience = time.Second
	l.ending.Do(func() {
		l.mu.Lock()
		l.over = true
		l.mu.Unlock()
		close(l.lines)
	})
	select {
	case <-l.ended:
	case <-time.After(patience):
	}
}
