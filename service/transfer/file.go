package transfer

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"net/http"
	"strings"
	"sync"

	"github.com/labstack/echo/v4"
)

// How long a client may keep what it was sent.
const (
	AskAgain  = "no-cache"     // with the ETag, each time
	ForAnHour = "max-age=3600" // lists that change only with a new version of the service
)

// worthZipping is how many bytes a file must have before gzip is tried: shorter
// ones fit into one packet as they are.
const worthZipping = 1400

// File is content that stays the same as long as the program runs. It has an
// ETag, and comes as gzip to clients that take that. The form that nobody asks
// for is never made.
type File struct {
	media, cache string
	plain        func() (coded, error)
	zipped       func() (coded, error) // not there where the plain form is as small
}

// coded is content in one coding, with the name of just this form.
type coded struct {
	body []byte
	etag string
}

// NewFile is a file of some content; cache is what Cache-Control says.
func NewFile(media, cache string, content []byte) *File {
	return LateFile(media, cache, func() ([]byte, error) { return content, nil })
}

// LateFile is a file whose content is made when somebody first asks for it.
func LateFile(media, cache string, content func() ([]byte, error)) *File {
	plain := sync.OnceValues(func() (coded, error) {
		body, err := content()
		return coded{body, etagOf(body, "")}, err
	})
	zipped := sync.OnceValues(func() (coded, error) {
		of, err := plain()
		if err != nil || len(of.body) < worthZipping {
			return of, err
		}
		body, err := zip(of.body)
		return coded{body, etagOf(of.body, "-gzip")}, err
	})
	return &File{media, cache, plain, zipped}
}

// ZippedFile is a file whose content is at hand as gzip.
func ZippedFile(media, cache string, content []byte) *File {
	plain := sync.OnceValues(func() (coded, error) {
		body, err := unzip(content)
		return coded{body, etagOf(body, "")}, err
	})
	zipped := coded{content, etagOf(content, "-gzip")}
	return &File{media, cache, plain, func() (coded, error) { return zipped, nil }}
}

func etagOf(body []byte, coding string) string {
	sum := sha256.Sum256(body)
	return `"` + hex.EncodeToString(sum[:12]) + coding + `"`
}

func zip(body []byte) ([]byte, error) {
	b := new(bytes.Buffer)
	w := gzip.NewWriter(b)
	if _, err := w.Write(body); err != nil {
		return nil, fmt.Errorf("zipping a file: %w", err)
	}
	if err := w.Close(); err != nil {
		return nil, fmt.Errorf("zipping a file: %w", err)
	}
	return b.Bytes(), nil
}

func unzip(zipped []byte) ([]byte, error) {
	r, err := gzip.NewReader(bytes.NewReader(zipped))
	if err != nil {
		return nil, fmt.Errorf("unzipping a file: %w", err)
	}
	body, err := io.ReadAll(r)
	if err != nil {
		return nil, fmt.Errorf("unzipping a file: %w", err)
	}
	return body, nil
}

// Serve sends the file, or says that the client's copy is still good.
func (f *File) Serve(c echo.Context) error {
	header := c.Response().Header()
	header.Add(echo.HeaderVary, echo.HeaderAcceptEncoding)
	form, zipped := f.plain, false
	if accepted := c.Request().Header.Get(echo.HeaderAcceptEncoding); accepted != "" && Quality(accepted, "gzip") > 0 {
		form, zipped = f.zipped, true
	}
	content, err := form()
	if err != nil {
		return err
	}
	header.Set("ETag", content.etag)
	header.Set(echo.HeaderCacheControl, f.cache)
	if given := c.Request().Header.Get("If-None-Match"); given == "*" || strings.Contains(given, content.etag) {
		return c.NoContent(http.StatusNotModified)
	}
	if zipped && strings.HasSuffix(content.etag, `-gzip"`) {
		header.Set(echo.HeaderContentEncoding, "gzip")
	}
	return Write(c, http.StatusOK, f.media, content.body)
}
