package service

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/api"
	"snugtail/service/gate"
	"snugtail/service/transfer"
)

func streamOf(lines ...string) *http.Request {
	return request("POST", batchPath, strings.Join(lines, "\n"), "Content-Type", transfer.NDJSON)
}

func linesOf(t *testing.T, body string) (all []api.BatchResult) {
	for line := range strings.Lines(body) {
		var r api.BatchResult
		require.NoError(t, json.Unmarshal([]byte(line), &r), line)
		all = append(all, r)
	}
	return all
}

// Lines are answered as the same items are in a batch, byte for byte; empty ones
// say nothing, and those that are no item are told so.
func TestStreamsAnswerLineByLine(t *testing.T) {
	s := newProbeless(t)
	good := exampleOf(t, "/v1/fit-predictions")
	items := []string{item("a", "fit-predictions", good), item("b", "diagnoses", `{}`), item("c", "fit-predictions", `{"setup":{}}`)}
	batch := ask(s.Handler(), request("POST", batchPath, batchOf(items...), "Accept", transfer.NDJSON))
	w := ask(s.Handler(), streamOf(items[0], "", items[1]+"\r", items[2]))
	require.Equal(t, http.StatusOK, w.Code, w.Body.String())
	assert.Equal(t, transfer.NDJSON, w.Header().Get("Content-Type"))
	requestID := func(w *httptest.ResponseRecorder) string { return w.Header().Get("X-Request-ID") }
	assert.Equal(t, strings.ReplaceAll(batch.Body.String(), requestID(batch), "-"), strings.ReplaceAll(w.Body.String(), requestID(w), "-"))

	w = ask(s.Handler(), streamOf("nothing", items[0]+","+items[0], `{"id":"a","operation":"fit","body":{}}`, strings.Repeat("x", 300<<10), items[0]))
	all := linesOf(t, w.Body.String())
	require.Len(t, all, 5)
	for i, want := range []int{400, 400, 400, 413, 200} {
		assert.Equal(t, want, all[i].Status, i)
	}
	assert.Equal(t, "a", all[4].ID)
	assert.Contains(t, w.Body.String(), `"pointer":"#/operation"`)
	assert.Empty(t, ask(s.Handler(), streamOf("")).Body.String())
	assert.Equal(t, http.StatusNotAcceptable, ask(s.Handler(), request("POST", batchPath, items[0], "Content-Type", transfer.NDJSON, "Accept", "application/json")).Code)
}

// A client has the first answer before it sends the second line; and a line
// that never comes ends the stream with a word of how far it got.
func TestStreamsAnswerWhileTheyAreSent(t *testing.T) {
	s := newProbeless(t)
	s.SetReady(true)
	server := httptest.NewServer(s.Handler())
	defer server.Close()
	reader, writer := io.Pipe()
	ctx, cancel := context.WithTimeout(t.Context(), ample)
	defer cancel()
	r, err := http.NewRequestWithContext(ctx, http.MethodPost, server.URL+batchPath, reader)
	require.NoError(t, err)
	r.Header.Set("Content-Type", transfer.NDJSON)
	go func() { _, _ = fmt.Fprintln(writer, item("a", "diagnoses", `{}`)) }()
	answer, err := http.DefaultClient.Do(r)
	require.NoError(t, err)
	defer answer.Body.Close()
	lines := bufio.NewReader(answer.Body)
	for _, id := range []string{"a", "b"} {
		line, err := lines.ReadString('\n')
		require.NoError(t, err)
		assert.Contains(t, line, `{"id":"`+id+`","status":200`)
		_, err = fmt.Fprintln(writer, item("b", "diagnoses", `{}`))
		require.NoError(t, err)
	}
	line, err := lines.ReadString('\n')
	require.NoError(t, err)
	assert.Contains(t, line, `{"id":"b"`)
	s.SetReady(false) // it stops, though a line is still awaited
	rest, err := io.ReadAll(lines)
	require.NoError(t, err)
	assert.Contains(t, string(rest), `{"status":503,"answered":3,"body":{`)
	writer.Close()
}

// A stream is paced by the rate, not refused.
func TestStreamsArePaced(t *testing.T) {
	s, err := New(Config{Limits: gate.Limits{Rate: 100, Burst: 5}})
	require.NoError(t, err)
	var lines []string
	for range 25 {
		lines = append(lines, item("a", "diagnoses", `{}`))
	}
	start := time.Now()
	w := ask(s.Handler(), streamOf(lines...))
	assert.GreaterOrEqual(t, time.Since(start), 200*time.Millisecond, "21 more than come at once, at 100 a second")
	all := linesOf(t, w.Body.String())
	require.Len(t, all, 25)
	for _, r := range all {
		assert.Equal(t, 200, r.Status)
	}
}

// FuzzStream sends any lines: one answer for each that is not empty, in order,
// each a line of JSON with a status below 500.
func FuzzStream(f *testing.F) {
	good := item("a", "fit-predictions", goodPrediction)
	f.Add(good + "\n" + good)
	f.Add("\n\r\n x\n{}\n" + good + "," + good)
	f.Add(item("a", "diagnoses", `{}`) + "\n" + item("a", "layouts", `{"setup":1`))
	s := newProbeless(f)
	f.Fuzz(func(t *testing.T, body string) {
		w := ask(s.Handler(), streamOf(body))
		if body == "" { // then it says no form either
			return
		}
		require.Equal(t, http.StatusOK, w.Code, w.Body.String())
		want := 0
		for line := range strings.SplitSeq(body, "\n") {
			if strings.TrimSpace(line) != "" {
				want++
			}
		}
		all := linesOf(t, w.Body.String())
		require.Len(t, all, want)
		for _, r := range all {
			require.Less(t, r.Status, 500)
		}
	})
}
