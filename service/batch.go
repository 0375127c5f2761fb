package service

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"net/http"
	"path"
	"runtime"
	"runtime/debug"
	"strconv"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/labstack/echo/v4"

	"snugtail/api"
	"snugtail/service/check"
	"snugtail/service/fields"
	"snugtail/service/gate"
	"snugtail/service/inorder"
	"snugtail/service/message"
	"snugtail/service/problem"
	"snugtail/service/strict"
	"snugtail/service/transfer"
	"snugtail/service/watch"
)

const (
	batchPath = "/v1/batches"
	// heldAhead is how many bytes of answers of a batch may wait to be written before
	// the next item is begun: those that are under way come on top.
	heldAhead = 512 << 10
)

// batches is what the service needs to run batches: the operations that an item
// may ask for, by the last segments of their paths, and what those answer.
type batches struct {
	runners map[string]runner
	answers map[string]*openapi3.Schema
}

// runner answers one item's body.
type runner func(ctx context.Context, body string) (any, error)

func newBatches() batches {
	return batches{runners: map[string]runner{}, answers: map[string]*openapi3.Schema{}}
}

// take enters an operation that can be an item; its answers are of a schema.
func (b batches) take(op operation, request *check.Shape, answer *openapi3.Schema) {
	name := path.Base(op.path)
	b.answers[name] = answer
	b.runners[name] = func(ctx context.Context, body string) (any, error) {
		return op.inBatch(ctx, request, body)
	}
}

// wanted is what an item asks for of its answer, nil for all of it.
func (b batches) wanted(item *batchItem) (*fields.Selection, error) {
	if item.fields == nil {
		return nil, nil
	}
	return fields.Parse(item.fields, b.answers[item.operation])
}

// batchItem is one question of a batch, its body still text.
type batchItem struct {
	id, operation, body string
	fields              []string // of its answer that are wanted; nil for all
}

// answerBatch answers every item by itself, in order, and writes each as soon
// as it and those before it are done: no more than a handful of answers is
// ever held.
func answerBatch(s *Service, request *check.Shape) echo.HandlerFunc {
	item := request.Items("items", s.config.Limits.Elements)
	return func(c echo.Context) error {
		if isLines(c.Request()) {
			return s.answerStream(c, item)
		}
		media, err := transfer.Negotiate(c, transfer.JSON, transfer.NDJSON)
		if err != nil {
			return err
		}
		text, err := s.buffers.ReadBody(c, s.config.BatchLimit)
		if err != nil {
			return err
		}
		if err := transfer.Hold(c, heldAhead); err != nil {
			return err
		}
		pass := gate.PassOf(c)
		if err := pass.Enter(costOfText(text)); err != nil {
			return err
		}
		items, err := itemsOf(text, request)
		if err != nil {
			return err
		}
		if err := pass.Charge(len(items) - 1); err != nil {
			return err
		}
		return s.runBatch(c, media, items)
	}
}

// itemsOf holds a batch against the contract. The items' bodies are only
// skimmed: whether they are as their operations want is each item's matter.
func itemsOf(text string, request *check.Shape) ([]batchItem, error) {
	bodies := map[int]string{}
	value, err := request.Value(text, strict.Skim{Over: isItemBody, Text: func(at []strict.Step, text string) { bodies[at[1].Item] = text }}, nil)
	if err != nil {
		return nil, err
	}
	listed := value.(map[string]any)["items"].([]any) // the contract has seen to it
	items := make([]batchItem, len(listed))
	for i := range listed {
		items[i] = newBatchItem(listed[i], bodies[i])
	}
	return items, sameIDs(items)
}

// newBatchItem is an item that the contract has seen, with its body as it was written.
func newBatchItem(value any, body string) batchItem {
	item := value.(map[string]any)
	out := batchItem{id: item["id"].(string), operation: item["operation"].(string), body: body}
	if wanted, ok := item["fields"].([]any); ok {
		for _, pointer := range wanted {
			out.fields = append(out.fields, pointer.(string))
		}
	}
	return out
}

// sameIDs refuses items that share an id: who asks could not tell their answers apart.
func sameIDs(items []batchItem) error {
	var wrong []problem.Field
	first := map[string]int{}
	for i := range items {
		at, known := first[items[i].id]
		if !known {
			first[items[i].id] = i
			continue
		}
		wrong = append(wrong, problem.At(strict.Pointer("items", strconv.Itoa(i), "id"), problem.CodeConflict, "item_id", message.Count("other", at)))
	}
	if wrong == nil {
		return nil
	}
	return problem.BadFields(wrong...)
}

// isItemBody knows #/items/0/body.
func isItemBody(at []strict.Step) bool {
	return len(at) == 3 && at[0].Name == "items" && at[1].IsItem && at[2].Name == "body"
}

// runBatch computes on all cores and streams what is done, in order.
func (s *Service) runBatch(c echo.Context, media string, items []batchItem) error {
	s.beginLines(c, media)
	b := &batch{service: s, pass: gate.PassOf(c), request: c.Request(), requestID: c.Response().Header().Get(echo.HeaderXRequestID)}
	within, cancel := context.WithTimeout(c.Request().Context(), s.config.BatchWithin)
	defer cancel()
	out := &batchWriter{to: http.NewResponseController(c.Response().Writer), buffer: bufio.NewWriterSize(c.Response(), 32<<10), lines: media == transfer.NDJSON}
	line := inorder.Line[*bytes.Buffer]{Workers: runtime.GOMAXPROCS(0), MostHeld: heldAhead, Size: (*bytes.Buffer).Len}
	err := line.Run(c.Request().Context(), len(items),
		func(i int) *bytes.Buffer { return b.answer(within, &items[i]) },
		func(result *bytes.Buffer, more bool) error {
			defer s.buffers.Put(result)
			return out.write(result.Bytes(), more)
		})
	if err == nil {
		err = out.end()
	}
	if err != nil { // the client hung up; nobody is left to tell
		return fmt.Errorf("answering a batch: %w", errors.Join(err, c.Request().Context().Err()))
	}
	return nil
}

// batch is one batch under way.
type batch struct {
	service   *Service
	pass      *gate.Pass
	request   *http.Request
	requestID string
}

// beginLines sends the header of an answer whose items follow as they are done.
func (s *Service) beginLines(c echo.Context, media string) {
	header := c.Response().Header()
	header.Set(echo.HeaderCacheControl, "no-store")
	header.Set(echo.HeaderContentType, media)
	c.Response().WriteHeader(http.StatusOK)
}

// answer computes one item and writes it, with its own status, as a line.
func (b *batch) answer(ctx context.Context, item *batchItem) *bytes.Buffer {
	s := b.service
	result := s.buffers.Get()
	status := http.StatusOK
	a, err := b.compute(ctx, item)
	if err == nil {
		err = transfer.Encode(result, batchResult{item.id, status, a})
	}
	if err != nil {
		b.refuse(result, item, err)
		return result
	}
	s.watch.Item(item.operation, status)
	return result
}

// refuse writes what is wrong with an item as its line.
func (b *batch) refuse(result *bytes.Buffer, item *batchItem, err error) {
	f := b.fault(err, item)
	if err := transfer.Encode(result, batchResult{item.id, f.Status, b.told(f)}); err != nil {
		b.service.watch.Failed(b.request.Context(), err, batchPath, b.requestID) // a problem is plain text and always encodes
	}
	operation := item.operation
	if operation == "" {
		operation = "unread" // a line that is no item
	}
	b.service.watch.Item(operation, f.Status)
}

// told is a problem in the language of the batch.
func (b *batch) told(f *problem.Fault) *api.Problem {
	return f.Answer(b.requestID, b.service.language(b.request.Context()))
}

// compute runs an item's operation as its own path would: a body of its own
// size, within the time of one answer, and a panic is that item's failure.
func (b *batch) compute(ctx context.Context, item *batchItem) (a any, err error) {
	s := b.service
	if ctx.Err() != nil {
		return nil, problem.Unavailable("batch_too_slow", 1)
	}
	if int64(len(item.body)) > s.config.BodyLimit {
		return nil, problem.TooLarge(s.config.BodyLimit)
	}
	defer func() {
		if value := recover(); value != nil {
			s.watch.Panicked()
			a, err = nil, &watch.Panic{Value: value, Stack: debug.Stack()}
		}
	}()
	asked, err := s.batch.wanted(item)
	if err != nil {
		return nil, err
	}
	pass := b.pass.Item(ctx)
	if err := pass.Enter(costOfText(item.body) + costOfAnswer); err != nil {
		return nil, err
	}
	defer pass.Leave()
	ctx, cancel := context.WithTimeout(fields.With(ctx, asked), s.config.AnswerWithin)
	defer cancel()
	a, err = s.batch.runners[item.operation](pass.With(ctx), item.body)
	if ended := ctx.Err(); ended != nil {
		return nil, ended
	}
	if err != nil {
		return nil, err
	}
	s.watch.Tell(a)
	return asked.Of(a), nil
}

// fault gives an item's error its problem, logged and counted as any other.
func (b *batch) fault(err error, item *batchItem) *problem.Fault {
	f := faultOf(err, b.request)
	if f.Status == http.StatusInternalServerError {
		b.service.watch.Failed(b.request.Context(), err, batchPath+": "+item.operation, b.requestID)
	}
	route := batchPath // of a line that is no item
	if item.operation != "" {
		route = path.Join(path.Dir(batchPath), item.operation)
	}
	b.service.watch.Refused(route, f.Fields)
	return f
}

// batchResult is one item's answer.
type batchResult struct {
	ID     string `json:"id"`
	Status int    `json:"status"`
	Body   any    `json:"body"`
}

// batchWriter writes items as they come: one on each line, or as one object.
type batchWriter struct {
	to      *http.ResponseController
	buffer  *bufio.Writer
	lines   bool
	started bool
}

// write writes an item, given as a line.
func (w *batchWriter) write(line []byte, more bool) error {
	if w.lines {
		if _, err := w.buffer.Write(line); err != nil || more {
			return err
		}
		return w.flush() // the next item is not done: let the client have this one
	}
	separator := `{"items":[`
	if w.started {
		separator = ","
	}
	w.started = true
	if _, err := w.buffer.WriteString(separator); err != nil {
		return err
	}
	_, err := w.buffer.Write(bytes.TrimSuffix(line, []byte("\n")))
	return err
}

func (w *batchWriter) end() error {
	if !w.lines {
		if _, err := w.buffer.WriteString("]}\n"); err != nil {
			return err
		}
	}
	return w.flush()
}

func (w *batchWriter) flush() error {
	if err := w.buffer.Flush(); err != nil {
		return err
	}
	if err := w.to.Flush(); err != nil && !errors.Is(err, http.ErrNotSupported) {
		return err
	}
	return nil
}
