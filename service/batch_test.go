package service

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"path"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/api"
	"snugtail/api/apitest"
	"snugtail/service/check"
	"snugtail/service/gate"
	"snugtail/service/site"
	"snugtail/service/strict"
	"snugtail/service/transfer"
)

// item is one question of a batch.
func item(id, operation, body string) string {
	return fmt.Sprintf(`{"id":%q,"operation":%q,"body":%s}`, id, operation, body)
}

func batchOf(items ...string) string { return `{"items":[` + strings.Join(items, ",") + `]}` }

const (
	goodPrediction  = `{"setup":{"template":{"kind":"allowance","allowance":2.375},"bushing":{"diameter":11.1125},"cutter":{"diameter":12.7,"angle":14},"depth":10.9,"pin_board":{"thickness":19}}}`
	deepPrediction  = `{"setup":{"template":{"kind":"allowance","allowance":2.375},"bushing":{"diameter":11.1125},"cutter":{"diameter":12.7,"angle":14},"depth":19.5,"pin_board":{"thickness":19}}}`
	wrongPrediction = `{"setup":{"template":{"kind":"allowance","allowance":2.375},"bushing":{"diametre":11.1125},"cutter":{"diameter":12.7,"angle":14},"depth":10.9}}`
)

// alone asks an item's operation by its own path.
func alone(t *testing.T, c *caller, operation, body string) (int, string) {
	t.Helper()
	status, raw := c.post(t, "/v1/"+operation, body)
	return status, strings.TrimSpace(string(raw))
}

// Each item is answered as its own path answers it, byte by byte, with its own
// status, in order; refused ones stop no other.
func TestBatchItemsAreAnsweredAsAlone(t *testing.T) {
	c := newCaller(t)
	var items, operations, bodies []string
	s := newProbeless(t)
	for path, examples := range apitest.Bodies(t, s.contract.Document) {
		if s.batch.runners[strings.TrimPrefix(path, "/v1/")] == nil {
			continue
		}
		for _, example := range examples {
			body, err := json.Marshal(example)
			require.NoError(t, err)
			operations, bodies = append(operations, strings.TrimPrefix(path, "/v1/")), append(bodies, string(body))
		}
	}
	for _, body := range []string{deepPrediction, wrongPrediction, `{}`, `{"setup":1,"setup":2}`, `{"setup":{"depth":1e999}}`} {
		operations, bodies = append(operations, "fit-predictions"), append(bodies, body)
	}
	for i := range bodies {
		items = append(items, item("i"+strconv.Itoa(i), operations[i], bodies[i]))
	}
	a := answerOf[api.BatchAnswer](t, c, batchPath, batchOf(items...))
	require.Len(t, a.Items, len(items))
	statuses := map[int]int{}
	for i, result := range a.Items {
		status, want := alone(t, c, operations[i], bodies[i])
		assert.Equal(t, "i"+strconv.Itoa(i), result.ID)
		assert.Equal(t, status, result.Status, bodies[i])
		statuses[status]++
		if status == http.StatusOK {
			assert.Equal(t, want, string(result.Body))
			continue
		}
		var got, problem api.Problem
		require.NoError(t, json.Unmarshal(result.Body, &got))
		require.NoError(t, json.Unmarshal([]byte(want), &problem))
		problem.RequestID = got.RequestID // that of the batch
		assert.Equal(t, problem, got)
	}
	assert.Positive(t, statuses[400])
	assert.Positive(t, statuses[422])
}

func newProbeless(t testing.TB) *Service {
	s, err := New(Config{})
	require.NoError(t, err)
	return s
}

// Every operation that takes a body can be asked in a batch, and the contract
// says so; batches can't.
func TestBatchesKnowEveryOperation(t *testing.T) {
	s := newProbeless(t)
	listed := s.contract.Document.Components.Schemas["BatchItem"].Value.Properties["operation"].Value.Enum
	var want []any
	for _, op := range s.operations() {
		isData := op.path != batchPath && op.method == http.MethodPost && answersJSON(s.contract.Document.Paths.Value(op.path).Post)
		if isData {
			want = append(want, path.Base(op.path))
			assert.Contains(t, s.batch.runners, path.Base(op.path))
		}
	}
	assert.ElementsMatch(t, want, listed)
	assert.Len(t, s.batch.runners, len(want))
}

// What is wrong with the batch itself refuses all of it, every bad field at once.
func TestWrongBatches(t *testing.T) {
	c := newCaller(t)
	good := item("a", "fit-predictions", goodPrediction)
	for name, row := range map[string]struct {
		body string
		want map[string]string
	}{
		"none":                {`{"items":[]}`, map[string]string{"#/items": "out_of_range"}},
		"1,001":               {batchOf(slices.Repeat([]string{good}, 1001)...), map[string]string{"#/items": "too_many"}},
		"no items":            {`{}`, map[string]string{"#/items": "missing"}},
		"a batch in it":       {batchOf(good, item("b", "batches", batchOf(good))), map[string]string{"#/items/1/operation": "not_allowed"}},
		"unknown operation":   {batchOf(item("a", "fit-prediction", goodPrediction)), map[string]string{"#/items/0/operation": "not_allowed"}},
		"body is a text":      {batchOf(item("a", "fit-predictions", `"x"`)), map[string]string{"#/items/0/body": "wrong_type"}},
		"body is null":        {batchOf(item("a", "fit-predictions", `null`)), map[string]string{"#/items/0/body": "wrong_type"}},
		"body is an array":    {batchOf(item("a", "fit-predictions", `[{}]`)), map[string]string{"#/items/0/body": "wrong_type"}},
		"item is a text":      {`{"items":["a"]}`, map[string]string{"#/items/0": "wrong_type"}},
		"empty":               {` `, map[string]string{"#": "not_json"}},
		"no JSON in an item":  {batchOf(good, item("b", "fit-predictions", `{"setup":NaN}`)), map[string]string{"#": "not_json"}},
		"no JSON, deep in it": {batchOf(item("b", "fit-predictions", `{"setup":{"a":[1,{"b":01}]}}`)), map[string]string{"#": "not_json"}},
		"cut off in an item":  {`{"items":[{"id":"a","operation":"layouts","body":{"setup":{`, map[string]string{"#": "not_json"}},
		"trailing":            {batchOf(good) + "{}", map[string]string{"#": "trailing_bytes"}},
		"too deep":            {batchOf(item("a", "layouts", `{"a":`+nested(40)+`}`)), map[string]string{"#": "too_deep"}},
		"all at once":         {`{"itmes":1,"items":[{"id":"=1","operation":"layouts","body":{}},{"id":"b","id":"c","operation":"layouts","body":{},"body":{}},{"body":{"x":[{}]}}]}`, map[string]string{"#/itmes": "unknown_field", "#/items/0/id": "bad_format", "#/items/1/id": "duplicate_key", "#/items/1/body": "duplicate_key", "#/items/2/id": "missing", "#/items/2/operation": "missing"}},
	} {
		t.Run(name, func(t *testing.T) {
			status, raw := c.post(t, batchPath, row.body)
			require.Equal(t, http.StatusBadRequest, status, "%s", raw)
			var problem api.Problem
			require.NoError(t, json.Unmarshal(raw, &problem))
			got := map[string]string{}
			for _, e := range problem.Errors {
				got[e.Pointer] = e.Code
			}
			assert.Equal(t, row.want, got, "%s", raw)
		})
	}
}

func TestBatchLimits(t *testing.T) {
	c := newCaller(t)
	w := ask(c.handler, request("POST", batchPath, strings.Repeat(" ", 4<<20+1)))
	assert.Equal(t, http.StatusRequestEntityTooLarge, w.Code)
	assert.Contains(t, w.Body.String(), "4194304 bytes")

	body := batchOf(item("a", "fit-predictions", goodPrediction))
	body += strings.Repeat(" ", 4<<20-len(body))
	assert.Equal(t, http.StatusOK, ask(c.handler, request("POST", batchPath, body)).Code)

	// An item is no larger than its own path takes.
	large := strings.Replace(goodPrediction, `{`, `{`+strings.Repeat(" ", defaultBodyLimit), 1)
	a := answerOf[api.BatchAnswer](t, c, batchPath, batchOf(item("a", "fit-predictions", large), item("b", "fit-predictions", goodPrediction)))
	assert.Equal(t, []int{413, 200}, []int{a.Items[0].Status, a.Items[1].Status})

	w = ask(c.handler, request("POST", batchPath, body, "Accept", "text/plain"))
	assert.Equal(t, http.StatusNotAcceptable, w.Code)
	assert.Contains(t, w.Body.String(), "application/json and application/x-ndjson")
}

// The lines of NDJSON are the items of the JSON, byte by byte.
func TestNDJSONLinesAreTheItems(t *testing.T) {
	c := newCaller(t)
	var items []string
	for i := range 50 {
		items = append(items, item("i"+strconv.Itoa(i), "fit-predictions", []string{goodPrediction, deepPrediction, wrongPrediction}[i%3]))
	}
	ask := func(accept string) *httptest.ResponseRecorder {
		w := ask(c.handler, request("POST", batchPath, batchOf(items...), "Accept", accept, "X-Request-ID", "same"))
		require.Equal(t, http.StatusOK, w.Code)
		require.Equal(t, accept, w.Header().Get("Content-Type"))
		require.Equal(t, "no-store", w.Header().Get("Cache-Control"))
		return w
	}
	var whole struct{ Items []json.RawMessage }
	require.NoError(t, json.Unmarshal(ask("application/json").Body.Bytes(), &whole))
	lines := bufio.NewScanner(ask("application/x-ndjson").Body)
	n := 0
	for ; lines.Scan(); n++ {
		require.Less(t, n, len(whole.Items))
		assert.Equal(t, string(whole.Items[n]), lines.Text())
	}
	assert.Equal(t, len(items), n)
}

// slowTable has one operation that waits until it is let go, and counts.
type slowTable struct {
	begun atomic.Int32
	let   chan struct{}
}

func (s *slowTable) do(ctx context.Context, q *probe) (*probeAnswer, error) {
	s.begun.Add(1)
	switch q.Do {
	case "panic":
		panic("the probe's secret")
	case "fail":
		return nil, errors.New("the probe's secret")
	case "nan":
		return doProbe(ctx, q)
	case "wait":
		select {
		case <-s.let:
		case <-ctx.Done():
			return nil, ctx.Err()
		}
	}
	return &probeAnswer{Done: q.Do}, nil
}

// newSlow is a Service whose batches ask the slow operation under the name of
// fit-predictions.
func newSlow(t testing.TB, slow *slowTable, config Config) *Service {
	k, err := site.EmbeddedContract()
	require.NoError(t, err)
	probes, err := check.New(apitest.ProbeDocument(t), "/v1/probes", strict.Prechecks{}, 0)
	require.NoError(t, err)
	op := post("/v1/fit-predictions", slow.do, nil)
	answer := op.inBatch
	op.inBatch = func(ctx context.Context, _ *check.Shape, body string) (any, error) { return answer(ctx, probes, body) }
	s, err := newService(config, k, func(*Service) []operation {
		return []operation{op, {method: http.MethodPost, path: batchPath, handler: answerBatch}}
	})
	require.NoError(t, err)
	return s
}

func waiting(n int) string {
	items := make([]string, n)
	for i := range items {
		items[i] = item("i"+strconv.Itoa(i), "fit-predictions", doing("wait"))
	}
	return batchOf(items...)
}

// A failure of one item, a panic too, is that item's 500, logged, and says
// nothing of its cause.
func TestFailingItems(t *testing.T) {
	log := new(syncBuffer)
	s := newSlow(t, &slowTable{}, Config{Logger: slog.New(slog.NewJSONHandler(log, nil))})
	w := ask(s.Handler(), request("POST", batchPath, batchOf(
		item("a", "fit-predictions", doing("panic")), item("b", "fit-predictions", doing("fail")),
		item("c", "fit-predictions", doing("nan")), item("d", "fit-predictions", doing("ok")))))
	var a api.BatchAnswer
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &a), w.Body)
	var statuses []int
	for _, result := range a.Items {
		statuses = append(statuses, result.Status)
	}
	assert.Equal(t, []int{500, 500, 500, 200}, statuses)
	assert.NotContains(t, w.Body.String(), "secret")
	assert.Equal(t, 2, strings.Count(log.String(), "the probe's secret"))
	assert.Contains(t, log.String(), "/v1/batches: fit-predictions")
	metrics := ask(s.AdminHandler(), request("GET", "/metrics", "")).Body.String()
	assert.Contains(t, metrics, `snugtail_batch_items_total{code="500",operation="fit-predictions"} 3`)
	assert.Contains(t, metrics, `snugtail_panics_total 1`)
}

// Each item has the time of one answer, and all together that of a batch;
// whatever is not reached says so.
func TestBatchesTakeNoLongerThanTheyMay(t *testing.T) {
	slow := &slowTable{let: make(chan struct{})}
	s := newSlow(t, slow, Config{BatchWithin: 50 * time.Millisecond})
	w := ask(s.Handler(), request("POST", batchPath, waiting(100)))
	var a api.BatchAnswer
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &a))
	require.Len(t, a.Items, 100)
	for _, result := range a.Items {
		assert.Equal(t, http.StatusServiceUnavailable, result.Status)
	}
	assert.LessOrEqual(t, int(slow.begun.Load()), runtime.GOMAXPROCS(0), "no item is begun after the time is over")

	s = newSlow(t, slow, Config{AnswerWithin: 5 * time.Millisecond})
	w = ask(s.Handler(), request("POST", batchPath, waiting(3)))
	assert.Equal(t, 3, strings.Count(w.Body.String(), `"detail":"The answer took too long to compute."`))
}

// When the client goes away, nothing new is begun.
func TestCancelledBatch(t *testing.T) {
	slow := &slowTable{let: make(chan struct{})}
	s := newSlow(t, slow, Config{})
	server := httptest.NewServer(s.Handler())
	defer server.Close()
	ctx, cancel := context.WithCancel(t.Context())
	r, err := http.NewRequestWithContext(ctx, http.MethodPost, server.URL+batchPath, strings.NewReader(waiting(500)))
	require.NoError(t, err)
	r.Header.Set("Content-Type", "application/json")
	gone := make(chan struct{})
	go func() {
		defer close(gone)
		if answer, err := http.DefaultClient.Do(r); err == nil {
			answer.Body.Close()
		}
	}()
	workers := int32(runtime.GOMAXPROCS(0))
	require.Eventually(t, func() bool { return slow.begun.Load() == workers }, ample, time.Millisecond)
	cancel()
	<-gone
	require.Eventually(t, func() bool { return seen(t, s, "snugtail_http_requests_in_flight") == 0 }, ample, time.Millisecond, "the batch is over")
	assert.Equal(t, workers, slow.begun.Load(), "what was under way, and no more")
}

// Items are streamed: the client has the first while the second is computed.
func TestNDJSONIsStreamed(t *testing.T) {
	slow := &slowTable{let: make(chan struct{})}
	server := httptest.NewServer(newSlow(t, slow, Config{}).Handler())
	defer server.Close()
	body := batchOf(item("first", "fit-predictions", doing("ok")), item("second", "fit-predictions", doing("wait")))
	r, err := http.NewRequestWithContext(t.Context(), http.MethodPost, server.URL+batchPath, strings.NewReader(body))
	require.NoError(t, err)
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("Accept", "application/x-ndjson")
	answer, err := http.DefaultClient.Do(r)
	require.NoError(t, err)
	defer answer.Body.Close()
	lines := bufio.NewReader(answer.Body)
	first, err := lines.ReadString('\n')
	require.NoError(t, err)
	assert.Contains(t, first, `{"id":"first","status":200,`)
	close(slow.let)
	second, err := lines.ReadString('\n')
	require.NoError(t, err)
	assert.Contains(t, second, `{"id":"second","status":200,`)
}

// items are as many as n of one kind, each with an id of its own.
func items(n int, operation, body string) []string {
	all := make([]string, n)
	for i := range all {
		all[i] = item(strconv.Itoa(i), operation, body)
	}
	return all
}

// Clients that do not read their batches keep nobody from asking another.
func TestSlowReadersOfBatchesHoldNoPlace(t *testing.T) {
	s, err := New(Config{BatchWithin: time.Hour, AnswerWithin: time.Hour, Limits: gate.Limits{QueueWait: ample}}) // however busy the machine is
	require.NoError(t, err)
	server := httptest.NewServer(s.Handler())
	defer server.Close()
	body := batchOf(items(1000, "fit-predictions", exampleOf(t, "/v1/fit-predictions"))...)
	for range 5 {
		conn, err := net.Dial("tcp", server.Listener.Addr().String())
		require.NoError(t, err)
		defer conn.Close()
		require.NoError(t, conn.(*net.TCPConn).SetReadBuffer(4096))
		_, err = fmt.Fprintf(conn, "POST %s HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nContent-Length: %d\r\n\r\n%s", batchPath, len(body), body)
		require.NoError(t, err)
	}
	require.Eventually(t, func() bool {
		before := seen(t, s, `snugtail_batch_items_total{code="200",operation="fit-predictions"}`)
		time.Sleep(500 * time.Millisecond)
		return before > 0 && seen(t, s, "snugtail_http_requests_in_flight") == 5 && seen(t, s, `snugtail_batch_items_total{code="200",operation="fit-predictions"}`) == before
	}, 2*ample, time.Millisecond, "all wait for their readers")
	assert.Equal(t, 5.0, seen(t, s, "snugtail_http_requests_in_flight"))
	assert.Equal(t, http.StatusOK, ask(s.Handler(), request("POST", batchPath, batchOf(item("a", "fit-predictions", exampleOf(t, "/v1/fit-predictions"))))).Code)
}

// A batch holds no more of its answers than a handful at a time: a thousand
// recommendations are far more text than the heap grows by.
func TestBatchMemoryIsBounded(t *testing.T) {
	s := newProbeless(t)
	const wanted = `{"setup":{"template":{"kind":"allowance","allowance":2.5},"bushing":{"diameter":11.11},"pin_board":{"thickness":18.8}}}`
	items := make([]string, 1000)
	for i := range items {
		items[i] = item("i"+strconv.Itoa(i), "cutter-recommendations", wanted)
	}
	r := request("POST", batchPath, batchOf(items...), "Accept", "application/x-ndjson")
	w := &heapWatcher{header: http.Header{}}
	runtime.GC()
	w.look()
	start := w.most
	s.Handler().ServeHTTP(w, r)
	require.Equal(t, http.StatusOK, w.status)
	assert.Greater(t, w.written, 40<<20, "the answer is large")
	assert.Less(t, w.most-start, uint64(16<<20), "%d bytes were answered", w.written)
}

// heapWatcher throws an answer away and looks at what stays in memory meanwhile.
type heapWatcher struct {
	header        http.Header
	status        int
	written, seen int
	most          uint64
}

func (w *heapWatcher) Header() http.Header    { return w.header }
func (w *heapWatcher) WriteHeader(status int) { w.status = status }
func (w *heapWatcher) Write(p []byte) (int, error) {
	if w.written += len(p); w.written-w.seen > 4<<20 {
		w.seen = w.written
		runtime.GC()
		w.look()
	}
	return len(p), nil
}

func (w *heapWatcher) look() {
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	w.most = max(w.most, m.HeapAlloc)
}

// predictions is a batch of 1,000 predictions, and its items.
func predictions(b *testing.B) (string, []string) {
	bodies, items := make([]string, 1000), make([]string, 1000)
	example := exampleOf(b, "/v1/fit-predictions")
	for i := range items {
		bodies[i] = example
		items[i] = item("i"+strconv.Itoa(i), "fit-predictions", example)
	}
	return batchOf(items...), bodies
}

// The target: a batch of 1,000 predictions takes at most 1.5 times the CPU of
// decoding, validating, computing and encoding its items one by one, and on
// two cores near half the wall time:
//
//	go test ./service -run - -bench Batch -benchmem
func BenchmarkBatch(b *testing.B) {
	s := newProbeless(b)
	body, bodies := predictions(b)
	server := httptest.NewServer(s.Handler())
	defer server.Close()
	batch := func() { // the client, which throws the answer away, counts too
		answer, err := http.Post(server.URL+batchPath, transfer.JSON, strings.NewReader(body))
		if err != nil {
			b.Fatal(err)
		}
		defer answer.Body.Close()
		if _, err := io.Copy(io.Discard, answer.Body); err != nil || answer.StatusCode != http.StatusOK {
			b.Fatal(answer.StatusCode, err)
		}
	}
	oneByOne := func() {
		buffer := new(bytes.Buffer)
		for _, body := range bodies {
			a, err := s.batch.runners["fit-predictions"](b.Context(), body)
			if err != nil {
				b.Fatal(err)
			}
			buffer.Reset()
			if err := transfer.Encode(buffer, a); err != nil {
				b.Fatal(err)
			}
		}
	}
	b.Run("whole", func(b *testing.B) { repeat(b, batch) })
	b.Run("one by one", func(b *testing.B) { repeat(b, oneByOne) })
	b.Run("ratio", func(b *testing.B) {
		var whole, single time.Duration
		for b.Loop() {
			start := time.Now()
			batch()
			middle := time.Now()
			oneByOne()
			whole += middle.Sub(start)
			single += time.Since(middle)
		}
		b.ReportMetric(float64(whole)/float64(single), "batch/single")
	})
	b.Run("two cores", func(b *testing.B) { wallOnTwoCores(b, batch) })
}

// wallOnTwoCores alternates batches on one core and on two, so that a machine
// whose speed changes from second to second slows both alike.
func wallOnTwoCores(b *testing.B, batch func()) {
	if runtime.NumCPU() < 2 {
		b.Skip("needs two cores")
	}
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	var wall [3]time.Duration
	for b.Loop() {
		for cores := 1; cores <= 2; cores++ {
			runtime.GOMAXPROCS(cores)
			start := time.Now()
			batch()
			wall[cores] += time.Since(start)
		}
	}
	b.ReportMetric(float64(wall[2])/float64(wall[1]), "two/one")
}

// syncBuffer is a log that several workers write to.
type syncBuffer struct {
	mu     sync.Mutex
	buffer bytes.Buffer
}

func (b *syncBuffer) Write(p []byte) (int, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.buffer.Write(p)
}

func (b *syncBuffer) String() string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.buffer.String()
}
