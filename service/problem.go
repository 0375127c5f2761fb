package service

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"snugtail/api"
	"snugtail/service/strict"
)

// problemType is in front of every problem's slug. A URN, because it names a
// kind of problem and promises no page at an address.
const problemType = "urn:snugtail:problem:"

// statusClientGone is what others call 499: the client hung up, nobody reads
// the answer, and the log should not blame the service.
const statusClientGone = 499

// maxFields is how many bad fields one problem lists.
const maxFields = 50

// fault is an error that the client is told of in full. Every other error is
// told as a 500 that says nothing.
type fault struct {
	status     int
	slug       string
	title      string
	detail     string
	fields     []api.FieldError
	retryAfter int // seconds; 0 leaves it out
}

func (f *fault) Error() string { return f.title + ": " + f.detail }

// newFault is a fault of a status; one kind of problem belongs to each.
func newFault(status int, detail string, fields ...api.FieldError) *fault {
	slug, title := problemKind(status)
	return &fault{status: status, slug: slug, title: title, detail: detail, fields: tidy(fields)}
}

func problemKind(status int) (slug, title string) {
	switch status {
	case http.StatusBadRequest:
		return "bad-request", "The request is not as the contract says"
	case http.StatusUnauthorized:
		return "unauthorized", "Who asks is not known"
	case http.StatusNotFound:
		return "not-found", "Nothing is here"
	case http.StatusMethodNotAllowed:
		return "method-not-allowed", "This path does not take that method"
	case http.StatusNotAcceptable:
		return "not-acceptable", "The answer does not come in that form"
	case http.StatusRequestTimeout:
		return "request-timeout", "The request took too long to arrive"
	case http.StatusRequestEntityTooLarge:
		return "too-large", "The request is too large"
	case http.StatusUnsupportedMediaType:
		return "unsupported-media-type", "The request does not come in a form that is read here"
	case http.StatusUnprocessableEntity:
		return "impossible-joint", "No such joint can be cut"
	case http.StatusTooManyRequests:
		return "too-many-requests", "Too many requests"
	case statusClientGone:
		return "client-gone", "The client hung up"
	case http.StatusServiceUnavailable:
		return "unavailable", "The service can't answer now"
	default:
		return "internal", "The service failed"
	}
}

// badFields is the 400 for fields that are not as the contract says.
func badFields(fields ...api.FieldError) error {
	return newFault(http.StatusBadRequest, fieldsDetail(fields), fields...)
}

// impossible is the 422 for a request that is well formed but describes no
// joint that can be cut.
func impossible(fields ...api.FieldError) error {
	return newFault(http.StatusUnprocessableEntity, fieldsDetail(fields), fields...)
}

// badJSON is the 400 for a body that is no JSON, so that no field can be named.
func badJSON(code, detail string) error {
	return newFault(http.StatusBadRequest, "The body can't be read: "+detail+".",
		api.FieldError{Pointer: strict.Pointer(), Code: code, Detail: detail})
}

// fieldsDetail gives one field's reason itself, and counts several.
func fieldsDetail(fields []api.FieldError) string {
	wrong := tidy(append([]api.FieldError(nil), fields...))
	switch {
	case len(wrong) == 0:
		return ""
	case len(wrong) == 1:
		return wrong[0].Pointer + ": " + sentence(wrong[0].Detail)
	case len(wrong) >= maxFields:
		return fmt.Sprintf("At least %d fields are wrong; errors lists the first %d.", maxFields, maxFields)
	default:
		return fmt.Sprintf("%d fields are wrong; errors lists them all.", len(wrong))
	}
}

// sentence ends a detail as a sentence ends.
func sentence(text string) string {
	if strings.HasSuffix(text, ".") || strings.HasSuffix(text, "?") {
		return text
	}
	return text + "."
}

func notAcceptable(forms []string) error {
	return newFault(http.StatusNotAcceptable, "The answer comes as "+inWords(forms)+".")
}

// inWords lists at least one name as a sentence does: a, b and c.
func inWords(names []string) string {
	last := len(names) - 1
	if last == 0 {
		return names[0]
	}
	return strings.Join(names[:last], ", ") + " and " + names[last]
}

func unsupportedMedia(detail string) error {
	return newFault(http.StatusUnsupportedMediaType, "It can't be read: "+detail+".")
}

func tooLarge(limit int64) error {
	return newFault(http.StatusRequestEntityTooLarge, "A body may have up to "+strconv.FormatInt(limit, 10)+" bytes.")
}

func unavailable(detail string, retryAfter int) error {
	f := newFault(http.StatusServiceUnavailable, detail)
	f.retryAfter = retryAfter
	return f
}

// panicked is a panic that was caught, with where it came from.
type panicked struct {
	value any
	stack []byte
}

func (p *panicked) Error() string { return fmt.Sprintf("panic: %v", p.value) }

// handleError is the one place where errors become answers.
func (s *Service) handleError(err error, c echo.Context) {
	f := faultOf(err, c.Request())
	if f.status == http.StatusInternalServerError {
		s.logFailure(err, c)
	}
	if c.Response().Committed {
		return
	}
	if methods, known := s.allowed[c.Path()]; known && f.status == http.StatusMethodNotAllowed {
		c.Response().Header().Set(echo.HeaderAllow, methods) // echo's own list has OPTIONS in it
	}
	for _, field := range f.fields {
		s.metrics.refusedFields.WithLabelValues(field.Code).Inc()
	}
	if err := s.writeProblem(c, f); err != nil {
		s.logFailure(err, c)
	}
}

// faultOf gives every error its problem.
func faultOf(err error, r *http.Request) *fault {
	var known *fault
	var routed *echo.HTTPError
	switch {
	case errors.As(err, &known):
		return known
	case r.Context().Err() != nil:
		return newFault(statusClientGone, "")
	case errors.Is(err, context.DeadlineExceeded):
		return unavailable("The answer took too long to compute.", 1).(*fault)
	case errors.As(err, &routed):
		return routingFault(routed.Code)
	default:
		return newFault(http.StatusInternalServerError, "It is not your request's fault. The operators find this failure by its request_id.")
	}
}

// routingFault is for what echo itself refuses.
func routingFault(status int) *fault {
	switch status {
	case http.StatusNotFound:
		return newFault(status, "GET /openapi.yaml lists what is here, GET /docs lets you try it.")
	case http.StatusMethodNotAllowed:
		return newFault(status, "The Allow header lists the methods of this path.")
	default:
		return newFault(status, http.StatusText(status)+".")
	}
}

func (s *Service) writeProblem(c echo.Context, f *fault) error {
	header := c.Response().Header()
	if f.retryAfter > 0 {
		header.Set(echo.HeaderRetryAfter, strconv.Itoa(f.retryAfter))
	}
	return s.writeJSON(c, f.status, mediaProblem, problemOf(f, header.Get(echo.HeaderXRequestID)))
}

func problemOf(f *fault, requestID string) *api.Problem {
	return &api.Problem{
		Type:      problemType + f.slug,
		Title:     f.title,
		Status:    f.status,
		Detail:    f.detail,
		RequestID: requestID,
		Errors:    f.fields,
	}
}

// logFailure keeps for the operators what the client is not told.
func (s *Service) logFailure(err error, c echo.Context) {
	s.logError(c.Request().Context(), err, s.routeLabel(c), c.Response().Header().Get(echo.HeaderXRequestID))
}

func (s *Service) logError(ctx context.Context, err error, route, requestID string) {
	attrs := []slog.Attr{
		slog.String("error", err.Error()),
		slog.String("route", route),
		slog.String("request_id", requestID),
	}
	var p *panicked
	if errors.As(err, &p) {
		attrs = append(attrs, slog.String("stack", string(p.stack)))
	}
	s.log.LogAttrs(ctx, slog.LevelError, "failure", attrs...)
}
