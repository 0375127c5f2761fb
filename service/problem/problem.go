// Package problem is what a client is told of a request that gets no answer:
// application/problem+json (RFC 9457), of one kind for each status.
//
// A fault carries messages; they become texts where the answer is written, in the
// language of the request. The catalogues have "problem.KIND" for titles,
// "problem_detail.CODE" for what happened, and for what is wrong with a field
// "field.CODE" by its code, or "field.CODE.STATE" where that has several sentences.
package problem

import (
	"cmp"
	"net/http"
	"slices"
	"strings"

	"snugtail/api"
	"snugtail/joint/length"
	"snugtail/service/message"
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

// Field is one bad field of a request, and what is said of it.
type Field struct {
	Pointer, Code string
	Detail        message.Message
}

// At is a bad field at a pointer, with the sentence of its code, or of a state of
// it where state is not empty.
func At(pointer, code, state string, params ...message.Param) Field {
	return Field{Pointer: pointer, Code: code, Detail: message.New("field."+code, params...).As(state)}
}

// Fault is an error that the client is told of in full. Every other error is
// told as a 500 that says nothing.
type Fault struct {
	Status     int
	detail     message.Message
	Fields     []Field
	RetryAfter int         // seconds; 0 leaves it out
	Unit       length.Unit // of the request's lengths
}

// Error is the fault in the default language, for operators.
func (f *Fault) Error() string {
	all, err := message.Load()
	if err != nil {
		return slugOf(f.Status)
	}
	in := message.Printer{Catalogue: all.Default(), Unit: f.Unit}
	return in.Text(f.title()) + ": " + in.Text(f.detail)
}

// New is a fault of a status; one kind of problem belongs to each.
func New(status int, detail message.Message, fields ...Field) *Fault {
	return &Fault{Status: status, detail: detail, Fields: tidy(fields)}
}

// Detail is what happened this time.
func Detail(code string, params ...message.Param) message.Message {
	return message.New("problem_detail."+code, params...)
}

// title is the kind of problem in words.
func (f *Fault) title() message.Message {
	return message.New("problem." + strings.ReplaceAll(slugOf(f.Status), "-", "_"))
}

// slugOf names the kind of problem that belongs to a status.
func slugOf(status int) string {
	switch status {
	case http.StatusBadRequest:
		return "bad-request"
	case http.StatusUnauthorized:
		return "unauthorized"
	case http.StatusNotFound:
		return "not-found"
	case http.StatusMethodNotAllowed:
		return "method-not-allowed"
	case http.StatusNotAcceptable:
		return "not-acceptable"
	case http.StatusRequestTimeout:
		return "request-timeout"
	case http.StatusRequestEntityTooLarge:
		return "too-large"
	case http.StatusUnsupportedMediaType:
		return "unsupported-media-type"
	case http.StatusUnprocessableEntity:
		return "impossible-joint"
	case http.StatusTooManyRequests:
		return "too-many-requests"
	case StatusClientGone:
		return "client-gone"
	case http.StatusServiceUnavailable:
		return "unavailable"
	default:
		return "internal"
	}
}

// BadFields is the 400 for fields that are not as the contract says.
func BadFields(fields ...Field) *Fault { return ofFields(http.StatusBadRequest, fields) }

// Impossible is the 422 for a request that is well formed but describes no
// joint that can be cut.
func Impossible(fields ...Field) *Fault { return ofFields(http.StatusUnprocessableEntity, fields) }

// ofFields gives one field's reason itself, and counts several.
func ofFields(status int, fields []Field) *Fault {
	f := New(status, message.Message{}, fields...)
	switch n := len(f.Fields); {
	case n == 1:
		f.detail = Detail("one_field", message.Name("pointer", f.Fields[0].Pointer), message.Said("reason", f.Fields[0].Detail))
	case n >= MaxFields:
		f.detail = Detail("fields", message.Count("count", MaxFields)).As("first")
	case n > 1:
		f.detail = Detail("fields", message.Count("count", n)).As("all")
	}
	return f
}

// BadJSON is the 400 for a body that is no JSON, so that no field can be named.
func BadJSON(code, state string, params ...message.Param) *Fault {
	field := At(strict.Pointer(), code, state, params...)
	return New(http.StatusBadRequest, Detail("body_unreadable", message.Said("reason", field.Detail)), field)
}

// NotAcceptable is for a form that the answer does not come in.
func NotAcceptable(forms []string) *Fault {
	return New(http.StatusNotAcceptable, Detail("forms", message.Names("forms", forms...)))
}

// UnsupportedMedia is for a body in a form that is not read; state says why.
func UnsupportedMedia(state string, params ...message.Param) *Fault {
	return New(http.StatusUnsupportedMediaType, Detail("media", params...).As(state))
}

// TooLarge is for a body that has more bytes than the limit.
func TooLarge(limit int64) *Fault {
	return New(http.StatusRequestEntityTooLarge, Detail("body_limit", message.Count("bytes", int(limit))))
}

// TooCostly is the 413 for a request that would take too long to compute; fields
// say what to ask less of.
func TooCostly(fields ...Field) *Fault {
	return New(http.StatusRequestEntityTooLarge, Detail("too_costly"), fields...)
}

// Unavailable is for what may be answered when it is sent again; code says why.
func Unavailable(code string, retryAfter int) *Fault {
	f := New(http.StatusServiceUnavailable, Detail(code))
	f.RetryAfter = retryAfter
	return f
}

// InUnit is the fault of a request whose lengths are in a unit.
func (f *Fault) InUnit(unit length.Unit) *Fault {
	f.Unit = unit
	return f
}

// Answer is the problem as the client is told of it, in a language.
func (f *Fault) Answer(requestID string, language *message.Catalogue) *api.Problem {
	in := message.Printer{Catalogue: language, Unit: f.Unit}
	out := &api.Problem{
		Type: TypePrefix + slugOf(f.Status), Status: f.Status, RequestID: requestID,
		TitleMessage: told(&in, f.title()), DetailMessage: told(&in, f.detail),
	}
	out.Title = out.TitleMessage.Text
	if out.DetailMessage != nil {
		out.Detail = out.DetailMessage.Text
	}
	for i := range f.Fields {
		field := &f.Fields[i]
		out.Errors = append(out.Errors, api.FieldError{
			Pointer: field.Pointer, Code: field.Code, Detail: in.Text(field.Detail), Params: in.Params(field.Detail),
		})
	}
	return out
}

// ForOperators are the bad fields in the default language.
func (f *Fault) ForOperators() []api.FieldError {
	all, err := message.Load()
	if err != nil { // then there is no service either
		return make([]api.FieldError, len(f.Fields))
	}
	return f.Answer("", all.Default()).Errors
}

func told(in *message.Printer, m message.Message) *api.Message {
	if !m.Says() {
		return nil
	}
	return &api.Message{Code: m.Code, Params: in.Params(m), Text: in.Text(m)}
}

// tidy sorts the fields, drops what says the same twice, and keeps the first
// maxFields.
func tidy(fields []Field) []Field {
	fields = slices.Clone(fields)
	slices.SortStableFunc(fields, func(a, b Field) int {
		return cmp.Or(strict.ComparePointers(a.Pointer, b.Pointer), strings.Compare(a.Code, b.Code))
	})
	fields = slices.CompactFunc(fields, func(a, b Field) bool {
		return a.Pointer == b.Pointer && a.Code == b.Code
	})
	return fields[:min(len(fields), MaxFields)]
}
