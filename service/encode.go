package service

import (
	"bytes"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"sync"

	"github.com/labstack/echo/v4"
)

// maxPooled is the largest buffer worth keeping; one huge answer must not
// stay in memory for good.
const maxPooled = 1 << 20

// encoder is a buffer that JSON is appended to, used again.
type encoder struct {
	buffer bytes.Buffer
	known  appenders
}

// encode appends the JSON of v, or nothing and an error.
func (e *encoder) encode(v any) error {
	b, err := e.known.append(e.buffer.AvailableBuffer(), v)
	if err != nil {
		return fmt.Errorf("encoding a %T: %w", v, err)
	}
	e.buffer.Write(b)
	return nil
}

// writeJSON encodes all of the answer before the first byte is sent, so that a
// value that JSON can't hold, such as NaN, is a clean error.
func (s *Service) writeJSON(c echo.Context, status int, media string, answer any) error {
	e := s.encoders.Get().(*encoder)
	defer release(&s.encoders, e, &e.buffer)
	if err := e.encode(answer); err != nil {
		return err
	}
	e.buffer.WriteByte('\n')
	return write(c, status, media, e.buffer.Bytes())
}

// release gives a pooled value back, its buffer emptied.
func release(pool *sync.Pool, value any, buffer *bytes.Buffer) {
	if buffer.Cap() > maxPooled {
		return
	}
	buffer.Reset()
	pool.Put(value)
}

func writeText(c echo.Context, text string) error {
	if !strings.HasSuffix(text, "\n") {
		text += "\n"
	}
	return write(c, http.StatusOK, mediaText+"; charset=utf-8", []byte(text))
}

// contentType is a header's value, ready made for what most answers are.
func contentType(media string) []string {
	if media == mediaJSON {
		return jsonOnly
	}
	return []string{media}
}

func write(c echo.Context, status int, media string, body []byte) error {
	header := c.Response().Header()
	if c.Request().Method == http.MethodPost || status >= http.StatusBadRequest {
		header[echo.HeaderCacheControl] = noStore
	}
	header[echo.HeaderContentType] = contentType(media)
	header[echo.HeaderContentLength] = []string{strconv.Itoa(len(body))}
	c.Response().WriteHeader(status)
	// The status is out: an error here is the client hanging up, and nobody is left to tell.
	_, _ = c.Response().Write(body)
	return nil
}
