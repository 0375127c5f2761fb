package transfer

import (
	"bytes"
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"sync"

	"github.com/labstack/echo/v4"
	"github.com/segmentio/encoding/json"
)

// maxPooled is the largest buffer worth keeping; one huge answer must not
// stay in memory for good.
const maxPooled = 256 << 10

// Encode writes v as JSON and ends the line, or writes nothing and returns an
// error. Nothing is escaped for HTML: "<" is as readable as it was said.
func Encode(to *bytes.Buffer, v any) error {
	text, err := json.Append(to.AvailableBuffer(), v, json.SortMapKeys)
	if err != nil {
		return fmt.Errorf("encoding a %T: %w", v, err)
	}
	_, _ = to.Write(append(text, '\n')) // never fails
	return nil
}

// Buffers are memory for bodies and answers, used again.
type Buffers struct{ pool sync.Pool }

func NewBuffers() *Buffers { return &Buffers{sync.Pool{New: func() any { return new(bytes.Buffer) }}} }

// Get returns an empty buffer.
func (b *Buffers) Get() *bytes.Buffer { return b.pool.Get().(*bytes.Buffer) }

// Put takes a buffer back.
func (b *Buffers) Put(buffer *bytes.Buffer) {
	if buffer.Cap() > maxPooled {
		return
	}
	buffer.Reset()
	b.pool.Put(buffer)
}

// WriteJSON encodes all of the answer before the first byte is sent, so that a
// value that JSON can't hold, such as NaN, is a clean error.
func (b *Buffers) WriteJSON(c echo.Context, status int, media string, answer any) error {
	buffer := b.Get()
	defer b.Put(buffer)
	if err := Encode(buffer, answer); err != nil {
		return err
	}
	return Write(c, status, media, buffer.Bytes())
}

func WriteText(c echo.Context, text string) error {
	return Write(c, http.StatusOK, Text+"; charset=utf-8", EndLine(text))
}

// EndLine is a text whose last line ends.
func EndLine(text string) []byte {
	if !strings.HasSuffix(text, "\n") {
		text += "\n"
	}
	return []byte(text)
}

// Values of headers that most answers have, made once. Nothing changes them in
// place: Set replaces them, and Add to a full slice copies it.
var (
	noStore  = []string{"no-store"}
	jsonOnly = []string{JSON}
	byAccept = []string{"Accept, Accept-Language"}
)

// contentType is a header's value, ready made for what most answers are.
func contentType(media string) []string {
	if media == JSON {
		return jsonOnly
	}
	return []string{media}
}

// Write sends an answer whole. An error says that the client does not get it.
func Write(c echo.Context, status int, media string, body []byte) error {
	if status < http.StatusBadRequest {
		if err := c.Request().Context().Err(); err != nil {
			return fmt.Errorf("answering: %w", err) // nobody is left to read it
		}
		if err := accountOf(c).Hold(int64(len(body))); err != nil {
			return err
		}
	}
	header := c.Response().Header()
	if c.Request().Method == http.MethodPost || status >= http.StatusBadRequest {
		header[echo.HeaderCacheControl] = noStore
	}
	header[echo.HeaderContentType] = contentType(media)
	header[echo.HeaderContentLength] = []string{strconv.Itoa(len(body))}
	c.Response().WriteHeader(status)
	if _, err := c.Response().Write(body); err != nil && !errors.Is(err, http.ErrBodyNotAllowed) {
		return fmt.Errorf("answering: %w", err) // the status is out: it hung up, or hardly read
	}
	return nil
}
