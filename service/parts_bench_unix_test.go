//go:build unix

package service

import (
	"fmt"
	"net/http"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// hundredDrawers is a job of 100 drawers, no two alike, of oak with plywood sides,
// most of them warned of several things, with twelve cutters to choose from.
func hundredDrawers() string {
	var b strings.Builder
	b.WriteString(`{"setup":{"template":{"kind":"one_piece","pitch":22.225,"opening":12.3},"bushing":{"diameter":11.1125}},"cutters":[`)
	for i := range 12 {
		fmt.Fprintf(&b, `{"id":"c%d","diameter":%.2f,"angle":%d},`, i, 12.3+0.05*float64(i), 10+i/2)
	}
	text := strings.TrimSuffix(b.String(), ",") + `],"stock":[{"id":"fronts","thickness":18.6,"species":"white_oak"},{"id":"sides","thickness":12.4,"material":"plywood"},` +
		`{"id":"backs","thickness":15,"species":"white_oak"},{"id":"bottoms","thickness":6,"species":"white_oak"}],` +
		`"rough_allowance":{"length":25,"width":5,"thickness":3},"drawers":[`
	b.Reset()
	b.WriteString(text)
	for i := range 100 {
		if i > 0 {
			b.WriteByte(',')
		}
		fmt.Fprintf(&b, `{"id":"d%d","count":%d,"opening":{"width":%d,"height":%.2f,"depth":%d},"allowance":{"width":2,"height":1,"depth":10},"front":"fronts","sides":"sides","back":"backs","bottom":"bottoms","groove":{"from_bottom":8,"width":6.2,"depth":6,"clearance":0.5}}`,
			i, 1+i%3, 300+5*i, 61+1.37*float64(i), 460+2*i)
	}
	b.WriteString("]}")
	return b.String()
}

// A job of 100 drawers with all that is told of them, read, planned and written: the
// target is 30 ms of processor time for the JSON.
//
//	go test ./service -run - -bench HundredDrawers -cpu 1
func BenchmarkHundredDrawers(b *testing.B) {
	s, err := New(Config{})
	require.NoError(b, err)
	h, body := s.Handler(), hundredDrawers()
	for _, accept := range []string{"application/json", "text/plain", "text/csv", "text/csv;profile=pieces", "text/csv;profile=setups;decimal=comma"} {
		b.Run(accept, func(b *testing.B) {
			size, start := 0, processorTime(b)
			for b.Loop() {
				w := ask(h, request(http.MethodPost, partsPath, body, "Accept", accept))
				require.Equal(b, http.StatusOK, w.Code, "%s", w.Body)
				size = w.Body.Len()
			}
			b.ReportMetric(float64(processorTime(b)-start)/float64(b.N)/1e6, "ms-of-processor/op")
			b.ReportMetric(float64(size)/1000, "kB")
		})
	}
}

// processorTime is what this process has taken so far, its collector too, whatever
// else runs on the machine.
func processorTime(b *testing.B) time.Duration {
	var used syscall.Rusage
	require.NoError(b, syscall.Getrusage(syscall.RUSAGE_SELF, &used))
	return time.Duration(used.Utime.Nano() + used.Stime.Nano())
}
