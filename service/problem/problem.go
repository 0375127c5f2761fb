// Package problem is what a client is told of a request that gets no answer:
// application/problem+json (RFC 9457), of one kind for each status.
package problem

import (
	"cmp"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"snugtail/api"
	"snugtail/service/strict"
)

// TypePrefix is in front of every problem's slug. A URN, because it names a
// kind of problem and promises no page at an address.
const TypePrefix = "urn:snugtail:problem:"

// StatusClientGone is what others call 499: the client hung up, nobody reads
// the answer, and the log should not blame the service.
const StatusClientGone = 499

// Codes of bad fields, beside those of texts that are no JSON (package strict);
// the contract lists them with what each means, and a test holds the two together.
const (
	CodeUnknownField = "unknown_field"
	CodeMissing      = "missing"
	CodeWrongType    = "wrong_type"
	CodeNotALength   = "not_a_length"
	CodeUnitUnknown  = "unit_unknown"
	CodeNotAllowed   = "not_allowed"
	CodeOutOfRange   = "out_of_range"
	CodeBadFormat    = "bad_format"
	CodeTooLong      = "too_long"
	CodeTooMany      = "too_many"
	CodeTooCostly    = "too_costly"
	CodeConflict     = "conflict"
	CodeUnknownID    = "unknown_id"
	CodeImpossible   = "impossible" // of a joint that cannot be cut

	CodeUnknownParameter = "unknown_parameter" // of the query
)

// MaxFields is how many bad fields one problem lists.
const MaxFields = 50

// Fault is an error that the client is told of in full. Every other error is
// told as a 500 that says nothing.
type Fault struct {
	Status     int
	slug       string
	title      string
	detail     string
	Fields     []api.FieldError
	RetryAfter int // seconds; 0 leaves it out
}

func (f *Fault) Error() string { return f.title + ": " + f.detail }

// New is a fault of a status; one kind of problem belongs to each.
func New(status int, detail string, fields ...api.FieldError) *Fault {
	slug, title := problemKind(status)
	return &Fault{Status: status, slug: slug, title: title, detail: detail, Fields: tidy(fields)}
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
	case StatusClientGone:
		return "client-gone", "The client hung up"
	case http.StatusServiceUnavailable:
		return "unavailable", "The service can't answer now"
	default:
		return "internal", "The service failed"
	}
}

// BadFields is the 400 for fields that are not as the contract says.
func BadFields(fields ...api.FieldError) error {
	return New(http.StatusBadRequest, fieldsDetail(fields), fields...)
}

// Impossible is the 422 for a request that is well formed but describes no
// joint that can be cut.
func Impossible(fields ...api.FieldError) error {
	return New(http.StatusUnprocessableEntity, fieldsDetail(fields), fields...)
}

// BadJSON is the 400 for a body that is no JSON, so that no field can be named.
func BadJSON(code, detail string) error {
	return New(http.StatusBadRequest, "The body can't be read: "+detail+".",
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
	case len(wrong) >= MaxFields:
		return fmt.Sprintf("At least %d fields are wrong; errors lists the first %d.", MaxFields, MaxFields)
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

func NotAcceptable(forms []string) error {
	return New(http.StatusNotAcceptable, "The answer comes as "+inWords(forms)+".")
}

// inWords lists at least one name as a sentence does: a, b and c.
func inWords(names []string) string {
	last := len(names) - 1
	if last == 0 {
		return names[0]
	}
	return strings.Join(names[:last], ", ") + " and " + names[last]
}

func UnsupportedMedia(detail string) error {
	return New(http.StatusUnsupportedMediaType, "It can't be read: "+detail+".")
}

func TooLarge(limit int64) error {
	return New(http.StatusRequestEntityTooLarge, "A body may have up to "+strconv.FormatInt(limit, 10)+" bytes.")
}

// TooCostly is the 413 for a request that would take too long to compute; fields
// say what to ask less of.
func TooCostly(fields ...api.FieldError) error {
	return New(http.StatusRequestEntityTooLarge, "Computing it would take too long for one request; errors says what to ask less of. Sending it again won't help.", fields...)
}

func Unavailable(detail string, retryAfter int) *Fault {
	f := New(http.StatusServiceUnavailable, detail)
	f.RetryAfter = retryAfter
	return f
}

// Answer is the problem as the client is told of it.
func (f *Fault) Answer(requestID string) *api.Problem {
	return &api.Problem{
		Type:      TypePrefix + f.slug,
		Title:     f.title,
		Status:    f.Status,
		Detail:    f.detail,
		RequestID: requestID,
		Errors:    f.Fields,
	}
}

// tidy sorts the fields, drops what says the same twice, and keeps the first
// maxFields.
func tidy(fields []api.FieldError) []api.FieldError {
	slices.SortStableFunc(fields, func(a, b api.FieldError) int {
		return cmp.Or(strict.ComparePointers(a.Pointer, b.Pointer), strings.Compare(a.Code, b.Code))
	})
	fields = slices.CompactFunc(fields, func(a, b api.FieldError) bool {
		return a.Pointer == b.Pointer && a.Code == b.Code
	})
	return fields[:min(len(fields), MaxFields)]
}
