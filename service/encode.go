package service

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"
)

// maxPooled is the largest buffer worth keeping; one huge answer must not
// stay in memory for good.
const maxPooled = 1 << 20

// encode writes v as JSON and ends the line, or writes nothing and returns an
// error. Nothing is escaped for HTML: "<" is as readable as it was said.
func encode(to *bytes.Buffer, v any) error {
	e := json.NewEncoder(to)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		return fmt.Errorf("encoding a %T: %w", v, err)
	}
	return nil
}

// writeJSON encodes all of the answer before the first byte is sent, so that a
// value that JSON can't hold, such as NaN, is a clean error.
func (s *Service) writeJSON(c echo.Context, status int, media string, answer any) error {
	buffer := s.buffers.Get().(*bytes.Buffer)
	defer s.release(buffer)
	if err := encode(buffer, answer); err != nil {
		return err
	}
	return write(c, status, media, buffer.Bytes())
}

// release gives a buffer back, emptied.
func (s *Service) release(buffer *bytes.Buffer) {
	if buffer.Cap() > maxPooled {
		return
	}
	buffer.Reset()
	s.buffers.Put(buffer)
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
