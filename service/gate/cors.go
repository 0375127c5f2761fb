package gate

import (
	"net/http"
	"slices"

	"github.com/labstack/echo/v4"
)

// CORS lets pages of the listed origins call the service through a browser;
// to all others it says nothing, and the browser refuses.
func (g *Gate) CORS(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if len(g.origins) == 0 {
			return next(c)
		}
		request, header := c.Request(), c.Response().Header()
		header.Add(echo.HeaderVary, echo.HeaderOrigin)
		origin := request.Header.Get(echo.HeaderOrigin)
		if !slices.Contains(g.origins, origin) {
			return next(c)
		}
		header.Set(echo.HeaderAccessControlAllowOrigin, origin)
		header.Set(echo.HeaderAccessControlExposeHeaders, "X-Request-ID, Retry-After")
		methods, known := g.watch.Methods(c)
		if request.Method != http.MethodOptions || !known || request.Header.Get(echo.HeaderAccessControlRequestMethod) == "" {
			return next(c)
		}
		header.Set(echo.HeaderAccessControlAllowMethods, methods)
		header.Set(echo.HeaderAccessControlAllowHeaders, "Accept, Authorization, Content-Type, Traceparent, X-Request-ID")
		header.Set(echo.HeaderAccessControlMaxAge, "600")
		return c.NoContent(http.StatusNoContent)
	}
}
