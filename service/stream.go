package service

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"
	"os"
	"runtime"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"snugtail/service/check"
	"snugtail/service/gate"
	"snugtail/service/inorder"
	"snugtail/service/problem"
	"snugtail/service/strict"
	"snugtail/service/transfer"
)

// A batch as lines (application/x-ndjson) is a stream: one item on each line is
// read, answered and written in order, however many there are. A client that
// does not read its answers is not read from either.

const (
	// silence is how long a stream waits for the rest of a line.
	silence = 30 * time.Second
	// beside is what a line may hold beside its item's body.
	beside = 8 << 10
	// readAhead is the buffer for lines.
	readAhead = 64 << 10
)

// isLines knows a body of lines.
func isLines(r *http.Request) bool {
	media, _, err := mime.ParseMediaType(r.Header.Get(echo.HeaderContentType))
	return err == nil && media == transfer.NDJSON
}

// stream is one under way.
type stream struct {
	batch
	item  *check.Shape
	lines *bufio.Reader
	to    *http.ResponseController
	ctx   context.Context
	// reading ends before ctx where the service stops: what was read is answered.
	reading context.Context
	ended   error // why no more lines were read; nil at their end
}

// answerStream answers lines until they end, the client goes or stops reading,
// or the service stops.
func (s *Service) answerStream(c echo.Context, item *check.Shape) error {
	if _, err := transfer.Negotiate(c, transfer.NDJSON); err != nil {
		return err
	}
	if coding := c.Request().Header.Get(echo.HeaderContentEncoding); coding != "" && !strings.EqualFold(coding, "identity") {
		return problem.UnsupportedMedia("lines_coded")
	}
	if err := transfer.Hold(c, heldAhead+readAhead); err != nil {
		return err
	}
	to := http.NewResponseController(c.Response())
	if err := to.EnableFullDuplex(); err != nil && !errors.Is(err, http.ErrNotSupported) {
		return fmt.Errorf("reading while writing: %w", err)
	}
	// To net/http whoever does not send in time has gone, and with it the request's own
	// context; here it is told. Who has really gone is found out by reading and writing.
	ctx, cancel := context.WithCancel(context.WithoutCancel(c.Request().Context()))
	defer cancel()
	// Who waits for a line is woken when there is no more to wait for.
	wake := func() { _ = to.SetReadDeadline(time.Now()) }
	defer context.AfterFunc(ctx, wake)()
	reading, stop := context.WithCancel(ctx)
	defer stop()
	defer context.AfterFunc(s.stops, func() { stop(); wake() })()
	st := &stream{reading: reading, batch: batch{service: s, pass: gate.PassOf(c), request: c.Request(), requestID: c.Response().Header().Get(echo.HeaderXRequestID)}, item: item, to: to, ctx: ctx}
	st.lines = bufio.NewReaderSize(timedReader{st, c.Request().Body}, readAhead)
	// Who waits for leave to send is told before the answer begins.
	if _, err := st.lines.Peek(1); err != nil && !errors.Is(err, io.EOF) {
		return problem.New(http.StatusRequestTimeout, problem.Detail("no_line"))
	}
	s.beginLines(c, transfer.NDJSON)
	out := &batchWriter{to: to, buffer: bufio.NewWriterSize(c.Response(), 32<<10), lines: true}
	answered := 0
	line := inorder.Line[*bytes.Buffer]{Workers: runtime.GOMAXPROCS(0), MostHeld: heldAhead, Size: (*bytes.Buffer).Len}
	err := line.RunWhile(ctx, st.next, func(result *bytes.Buffer, more bool) error {
		defer s.buffers.Put(result)
		answered++
		if err := out.write(result.Bytes(), more); err != nil {
			cancel()
			return err
		}
		return nil
	})
	if err == nil && st.ended != nil {
		err = st.last(out, answered)
	}
	if err == nil {
		err = out.end()
	}
	if err == nil && st.ended != nil && !st.stopped() && !errors.Is(st.ended, os.ErrDeadlineExceeded) {
		err = st.ended // it hung up
	}
	if err != nil {
		return fmt.Errorf("answering a stream: %w", err)
	}
	return nil
}

// timedReader gives the client its time anew for each read.
type timedReader struct {
	*stream
	from io.Reader
}

func (r timedReader) Read(p []byte) (int, error) {
	_ = r.to.SetReadDeadline(time.Now().Add(silence)) // a recorder of tests has none
	if r.reading.Err() != nil {
		return 0, errStops // after the deadline was set, which would undo the waking
	}
	return r.from.Read(p)
}

var errStops = errors.New("the service stops")

// next reads a line and returns what answers it; false where there is none.
// One worker at a time calls it.
func (st *stream) next() (func() *bytes.Buffer, bool) {
	line, tooLong, err := st.line()
	if err != nil && !errors.Is(err, io.EOF) {
		st.ended = err
		return nil, false
	}
	if line == "" && !tooLong {
		return nil, false
	}
	if err := st.pass.Pace(st.reading); err != nil {
		st.ended = err
		return nil, false
	}
	return func() *bytes.Buffer { return st.answerLine(line, tooLong) }, true
}

// line is the next one that is not empty, without its end.
func (st *stream) line() (line string, tooLong bool, err error) {
	var text []byte
	for {
		piece, err := st.lines.ReadSlice('\n')
		if int64(len(text)+len(piece)) > st.service.config.BodyLimit+beside {
			tooLong, text = true, nil
		}
		if !tooLong {
			text = append(text, piece...)
		}
		switch {
		case errors.Is(err, bufio.ErrBufferFull):
			continue
		case err != nil && !errors.Is(err, io.EOF):
			return "", false, err
		}
		if line = string(bytes.TrimSpace(text)); line != "" || tooLong || err != nil {
			return line, tooLong, err
		}
		text = text[:0]
	}
}

// answerLine answers the item of a line, or says what is wrong with it.
func (st *stream) answerLine(line string, tooLong bool) *bytes.Buffer {
	var item batchItem
	var err error = problem.TooLarge(st.service.config.BodyLimit + beside)
	if !tooLong {
		item, err = st.itemOf(line)
	}
	if err != nil {
		result := st.service.buffers.Get()
		st.refuse(result, &item, err)
		return result
	}
	return st.answer(st.ctx, &item)
}

// itemOf holds a line against the contract, but for the item's body.
func (st *stream) itemOf(line string) (batchItem, error) {
	body := ""
	isBody := func(at []strict.Step) bool { return len(at) == 1 && at[0].Name == "body" }
	value, err := st.item.Value(line, strict.Skim{Over: isBody, Text: func(_ []strict.Step, text string) { body = text }}, nil)
	if err != nil {
		return batchItem{}, err
	}
	return newBatchItem(value, body), nil
}

func (st *stream) stopped() bool { return st.service.stops.Err() != nil }

// last is the line that says why there are no more answers, and how many lines
// were answered.
func (st *stream) last(out *batchWriter, answered int) error {
	f := problem.Unavailable("stops", 1)
	if !st.stopped() {
		f = problem.New(http.StatusRequestTimeout, problem.Detail("rest_missing"))
	}
	result := st.service.buffers.Get()
	defer st.service.buffers.Put(result)
	if err := transfer.Encode(result, streamEnd{Status: f.Status, Answered: answered, Body: st.told(f)}); err != nil {
		return err
	}
	return out.write(result.Bytes(), false)
}

// streamEnd is the last line of a stream that was cut off.
type streamEnd struct {
	Status   int `json:"status"`
	Answered int `json:"answered"`
	Body     any `json:"body"`
}
