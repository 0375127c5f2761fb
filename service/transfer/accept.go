// Package transfer moves bodies: it picks the form of an answer that a client
// takes (accept.go), reads what is posted up to a limit (body.go), writes answers
// whole (write.go), sends what never changes (file.go), and bounds what all of
// these hold (budget.go).
package transfer

import (
	"net/http"
	"slices"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"snugtail/service/message"
	"snugtail/service/problem"
)

// Media types, as Accept and Content-Type name them.
const (
	JSON    = "application/json"
	Text    = "text/plain"
	SVG     = "image/svg+xml"
	PDF     = "application/pdf"
	CSV     = "text/csv"
	NDJSON  = "application/x-ndjson"
	Problem = "application/problem+json"
)

// Negotiate picks the form of the answer before anything is computed: the one
// that the client likes best, of equals the first.
func Negotiate(c echo.Context, forms ...string) (string, error) {
	varyByAccept(c.Response().Header())
	c.Response().Header().Set("Content-Language", languageOf(c))
	header := accepted(c)
	best, liked := "", 0.0
	for _, form := range forms {
		if q := Quality(header, form); q > liked {
			best, liked = form, q
		}
	}
	if best == "" {
		return "", problem.NotAcceptable(forms)
	}
	return best, nil
}

// LikesText is true for a client that would rather read a problem than parse it.
func LikesText(c echo.Context) bool {
	header := c.Response().Header()
	header.Set("Content-Language", languageOf(c))
	if !slices.Contains(header[echo.HeaderVary], byAccept[0]) {
		varyByAccept(header)
	}
	liked := accepted(c)
	return Quality(liked, Text) > max(Quality(liked, Problem), Quality(liked, JSON))
}

// languageOf is the language in which a request is answered.
func languageOf(c echo.Context) string {
	if spoken := message.From(c.Request().Context()); spoken != nil {
		return spoken.Language
	}
	return message.Default
}

func accepted(c echo.Context) string {
	return strings.Join(c.Request().Header.Values(echo.HeaderAccept), ",")
}

func varyByAccept(header http.Header) {
	if header[echo.HeaderVary] == nil {
		header[echo.HeaderVary] = byAccept
		return
	}
	header.Add(echo.HeaderVary, byAccept[0])
}

// Quality is what an Accept or Accept-Encoding header gives to an offer, 0 to
// 1. The most specific range counts (RFC 9110, 12.5.1); parameters other than
// q are passed over, since no offer comes in two of them.
func Quality(header, offer string) float64 {
	if strings.TrimSpace(header) == "" {
		return 1
	}
	best, specific := 0.0, -1
	for part := range strings.SplitSeq(header, ",") {
		name, params, _ := strings.Cut(part, ";")
		match := specificity(strings.TrimSpace(name), offer)
		if match > specific {
			best, specific = weight(params), match
		}
	}
	return best
}

// specificity is 2 for the offer itself, 1 for its type with any subtype, 0
// for anything, and -1 for a range that does not hold the offer.
func specificity(name, offer string) int {
	major, _, isMedia := strings.Cut(offer, "/")
	switch {
	case strings.EqualFold(name, offer):
		return 2
	case isMedia && strings.EqualFold(name, major+"/*"):
		return 1
	case name == "*/*" || name == "*":
		return 0
	default:
		return -1
	}
}

// weight reads q out of a range's parameters; one that is no number counts as
// 0, so that it never wins.
func weight(params string) float64 {
	for param := range strings.SplitSeq(params, ";") {
		name, value, _ := strings.Cut(param, "=")
		if !strings.EqualFold(strings.TrimSpace(name), "q") {
			continue
		}
		q, err := strconv.ParseFloat(strings.TrimSpace(value), 64)
		if err != nil || !(q >= 0 && q <= 1) {
			return 0
		}
		return q
	}
	return 1
}
