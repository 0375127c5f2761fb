package service

import (
	"bytes"
	"encoding/json"
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

// encoder is a buffer with an encoder that writes to it, both used again.
type encoder struct {
	buffer bytes.Buffer
	json   *json.Encoder
}

func newEncoder() any {
	e := new(encoder)
	e.json = json.NewEncoder(&e.buffer)
	e.json.SetEscapeHTML(false)
	return e
}

// writeJSON encodes all of the answer before the first byte is sent, so that a
// value that JSON can't hold, such as NaN, is a clean error.
func (s *Service) writeJSON(c echo.Context, status int, media string, answer any) error {
	e := s.encoders.Get().(*encoder)
	defer release(&s.encoders, e, &e.buffer)
	if err := e.json.Encode(answer); err != nil {
		return fmt.Errorf("encoding a %T: %w", answer, err)
	}
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

func write(c echo.Context, status int, media string, body []byte) error {
	header := c.Response().Header()
	if c.Request().Method != http.MethodGet || status >= http.StatusBadRequest {
		header.Set(echo.HeaderCacheControl, "no-store")
	}
	header.Set(echo.HeaderContentType, media)
	header.Set(echo.HeaderContentLength, strconv.Itoa(len(body)))
	c.Response().WriteHeader(status)
	// The status is out: an error here is the client hanging up, and nobody is left to tell.
	_, _ = c.Response().Write(body)
	return nil
}
