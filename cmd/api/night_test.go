//go:build unix

package main

import (
	"bufio"
	"fmt"
	"io"
	"net/http"
	"os"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// An estimator's night: as many predictions as are asked for, as one stream.
// SNUGTAIL_NIGHT=1000000 is the figure's own count.
// estimated is what an estimator asks of each: the play, the chance, and the depth to set.
const estimated = `["/fit/play/mm","/fit/in_target","/fit/likeliest","/best_depth/depth/mm"]`

func TestANightOfPredictions(t *testing.T) {
	v := attacked(t)
	items, err := strconv.Atoi(os.Getenv("SNUGTAIL_NIGHT"))
	if err != nil {
		items = 50_000
	}
	stop := v.mostHeld()
	used, begin := processorTime(t, v.admin), time.Now()
	reader, writer := io.Pipe()
	go func() {
		buffered := bufio.NewWriterSize(writer, 64<<10)
		for i := range items {
			if _, err := fmt.Fprintf(buffered, `{"id":"%d","operation":"fit-predictions","fields":%s,"body":%s}`+"\n", i, estimated, predictionBody); err != nil {
				return
			}
		}
		_ = buffered.Flush()
		_ = writer.Close()
	}()
	r, err := http.NewRequestWithContext(t.Context(), http.MethodPost, "http://"+v.address+"/v1/batches", reader)
	require.NoError(t, err)
	r.Header.Set("Content-Type", "application/x-ndjson")
	answer, err := http.DefaultClient.Do(r)
	require.NoError(t, err)
	defer answer.Body.Close()
	lines, bytes := bufio.NewReaderSize(answer.Body, 64<<10), 0
	for i := range items {
		line, err := lines.ReadSlice('\n')
		require.NoError(t, err, i)
		bytes += len(line)
		if want := fmt.Sprintf(`{"id":"%d","status":200,`, i); string(line[:len(want)]) != want {
			t.Fatalf("line %d is %.100s", i, line)
		}
	}
	_, err = lines.ReadByte()
	require.ErrorIs(t, err, io.EOF)
	took, processor, most := time.Since(begin), processorTime(t, v.admin)-used, stop()
	t.Logf("%d predictions in %s, %.0f a core-second, %d bytes each, %.0f MB resident at most", items, took, float64(items)/processor, bytes/items, most)
	assert.Less(t, most, 128.0)
	assert.Less(t, bytes/items, 200)
}
