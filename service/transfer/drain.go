package transfer

import (
	"io"
	"net/http"
	"time"

	"github.com/labstack/echo/v4"
)

// How much of a refused body is taken in and thrown away before the connection
// is closed. Most clients read no answer before they have sent all of their
// request: closed under them, they see a broken connection and never the refusal.
const (
	drainUpTo = 16 << 20 // bytes
	drainFor  = 2 * time.Second
	// drainedAnyway is what net/http itself takes in before it answers.
	drainedAnyway = 256 << 10
)

// restKey is where a request's context says that the rest of its body is to be
// taken in.
const restKey = "snugtail.rest"

// KeepOpen readies the refusal of a request of which much may not have been read
// yet: it is written at once, and the rest of the body taken in by Drained.
func KeepOpen(c echo.Context) {
	request := c.Request()
	length := request.ContentLength
	nothing := length >= 0 && length <= drainedAnyway
	const hopeless = drainUpTo + drainedAnyway
	if nothing || length > hopeless || request.Header.Get("Expect") != "" { // who asks first hears the answer
		return
	}
	c.Response().Header().Set(echo.HeaderConnection, "close")
	if http.NewResponseController(c.Response()).EnableFullDuplex() == nil { // or net/http reads before it writes
		c.Set(restKey, true)
	}
}

// Drained takes in the rest of a refused body, when all else is done with its
// request: it holds no memory, no place, and counts for no time.
func Drained(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		err := next(c)
		if c.Response().Status < http.StatusBadRequest || c.Get(restKey) == nil {
			return err
		}
		control := http.NewResponseController(c.Response())
		if control.Flush() == nil && control.SetReadDeadline(time.Now().Add(drainFor)) == nil {
			_, _ = io.CopyN(io.Discard, c.Request().Body, drainUpTo) // how it ends tells nobody anything
		}
		return err
	}
}
