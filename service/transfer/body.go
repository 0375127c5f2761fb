package transfer

import (
	"bytes"
	"errors"
	"io"
	"mime"
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"

	"snugtail/service/message"
	"snugtail/service/problem"
	"snugtail/service/spelling"
)

// ReadBody is the text of a request's body that says that it is JSON.
func (b *Buffers) ReadBody(c echo.Context, limit int64) (string, error) {
	if err := checkContentType(c.Request().Header); err != nil {
		return "", err
	}
	buffer := b.Get()
	defer b.Put(buffer)
	if err := readUpTo(c, buffer, limit); err != nil {
		return "", err
	}
	return buffer.String(), nil
}

func checkContentType(header http.Header) error {
	if coding := header.Get(echo.HeaderContentEncoding); coding != "" && !strings.EqualFold(coding, "identity") {
		return problem.UnsupportedMedia("coded", message.Name("coding", spelling.Brief(coding)))
	}
	given := header.Get(echo.HeaderContentType)
	if given == JSON { // what nearly every client sends, without the allocations below
		return nil
	}
	media, params, err := mime.ParseMediaType(given)
	if given == "" {
		return problem.UnsupportedMedia("no_type")
	}
	if err != nil || media != JSON {
		return problem.UnsupportedMedia("type", message.Name("type", spelling.Brief(given)))
	}
	if charset := params["charset"]; charset != "" && !strings.EqualFold(charset, "utf-8") {
		return problem.UnsupportedMedia("charset", message.Name("charset", spelling.Brief(charset)), message.Name("always", "UTF-8"))
	}
	return nil
}

// readUpTo reads up to the limit, whether the length was announced or not.
func readUpTo(c echo.Context, buffer *bytes.Buffer, limit int64) error {
	request := c.Request()
	if request.ContentLength > limit {
		c.Response().Header().Set(echo.HeaderConnection, "close") // or net/http waits for some of it before it answers
		return problem.TooLarge(limit)
	}
	// The buffer grows with what has arrived, not with what was announced.
	body := http.MaxBytesReader(c.Response().Writer, request.Body, limit)
	if _, err := buffer.ReadFrom(&heldReader{body, accountOf(c)}); err != nil {
		return unread(c, err, limit)
	}
	return nil
}

// heldReader counts what is read twice: the buffer grows by doubling.
type heldReader struct {
	from io.Reader
	in   *Account
}

func (r *heldReader) Read(p []byte) (int, error) {
	n, err := r.from.Read(p)
	if refused := r.in.Hold(2 * int64(n)); refused != nil {
		return n, refused
	}
	return n, err
}

// unread is what to tell of a body that could not be read to its end.
func unread(c echo.Context, err error, limit int64) error {
	var beyond *http.MaxBytesError
	var full *problem.Fault
	switch {
	case errors.As(err, &full):
		c.Response().Header().Set(echo.HeaderConnection, "close") // or net/http waits for the rest before it answers
		return full
	case errors.As(err, &beyond):
		return problem.TooLarge(limit)
	case errors.Is(err, io.ErrUnexpectedEOF):
		return problem.New(http.StatusBadRequest, problem.Detail("body_short"))
	case isTimeout(err):
		return problem.New(http.StatusRequestTimeout, problem.Detail("body_late"))
	}
	return problem.New(http.StatusBadRequest, problem.Detail("body_broken"))
}

func isTimeout(err error) bool {
	var timeout interface{ Timeout() bool }
	return errors.As(err, &timeout) && timeout.Timeout()
}
