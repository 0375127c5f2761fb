package watch

import (
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"
)

// other is the label of whatever is not routed, so that no client can make labels.
const other = "other"

// Routes are the methods of each route, by its template, as the Allow header
// lists them.
type Routes map[string]string

func (r Routes) add(route, method string) {
	if others := r[route]; others != "" {
		method = others + ", " + method
	}
	r[route] = method
}

// Methods are those of the request's route; known is false where it has none.
func (r Routes) Methods(c echo.Context) (methods string, known bool) {
	methods, known = r[c.Path()]
	return methods, known
}

// Label is the matched template, never the path that was asked for.
func (r Routes) Label(c echo.Context) string {
	if _, known := r.Methods(c); known {
		return c.Path()
	}
	return other
}

// IsData is true for routes of the contract's operations, which are gated; what
// explains the service is open to all.
func (r Routes) IsData(c echo.Context) bool {
	label := r.Label(c)
	return strings.HasPrefix(label, "/v1/") && !strings.HasPrefix(label, "/v1/schemas/")
}

// RefuseOptions takes OPTIONS as any other method: no route has it; what a listed
// origin's browser asks beforehand was answered before.
func (r Routes) RefuseOptions(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if c.Request().Method != http.MethodOptions {
			return next(c)
		}
		if r.Label(c) == other {
			return echo.ErrNotFound
		}
		return echo.ErrMethodNotAllowed
	}
}

func methodLabel(method string) string {
	switch method {
	case http.MethodGet, http.MethodPost, http.MethodHead, http.MethodOptions,
		http.MethodPut, http.MethodPatch, http.MethodDelete:
		return method
	default:
		return other
	}
}

// traceID is that of a W3C traceparent, or empty where there is none that is sound.
func traceID(traceparent string) string {
	if traceparent == "" {
		return ""
	}
	parts := strings.Split(traceparent, "-")
	if len(parts) < 4 || len(parts[0]) != 2 || parts[0] == "ff" || parts[0] == "00" && len(parts) != 4 {
		return ""
	}
	for i, width := range []int{2, 32, 16, 2} {
		if len(parts[i]) != width || strings.Trim(parts[i], "0123456789abcdef") != "" {
			return ""
		}
	}
	if strings.Trim(parts[1], "0") == "" || strings.Trim(parts[2], "0") == "" {
		return ""
	}
	return parts[1]
}
