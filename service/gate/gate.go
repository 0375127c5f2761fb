// Package gate says who gets in, and how much is taken on at once:
//
//	keys.go    clients with a key
//	cors.go    pages of other origins
//	rates.go   requests of one client
//	places.go  requests that are computed at once, and those that wait
package gate

import (
	"net"
	"net/http"
	"net/netip"
	"time"

	"github.com/labstack/echo/v4"

	"snugtail/service/problem"
	"snugtail/service/watch"
)

// Gate stands before the operations.
type Gate struct {
	keys    []Key
	origins []string
	rates   *rates // nil without limit
	places  *places
	ungated map[string]bool
	watch   *watch.Watch
}

// New makes a gate for clients with these keys, or for all if there are none,
// and for pages of these origins. Routes that are ungated have places of their own.
func New(l Limits, keys []Key, origins []string, w *watch.Watch, ungated ...string) *Gate {
	g := &Gate{keys: keys, origins: origins, rates: newRates(l), places: newPlaces(l, w.Metrics), ungated: map[string]bool{}, watch: w}
	for _, route := range ungated {
		g.ungated[route] = true
	}
	return g
}

// Admit holds back what is too much for the service or from one client. A
// place is taken when the body is read in full, not before, so that clients
// who send slowly hold none.
func (g *Gate) Admit(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if !g.watch.IsData(c) {
			return next(c)
		}
		if err := g.checkRate(c); err != nil {
			return err
		}
		if g.ungated[c.Path()] {
			return next(c)
		}
		request := c.Request()
		if request.Method == http.MethodPost {
			body := &gatedBody{ReadCloser: request.Body, places: g.places, request: request.Context()}
			request.Body = body
			defer func() {
				request.Body = body.ReadCloser // what is thrown away later takes no place
				body.leave()
			}()
			return next(c)
		}
		if err := g.places.enter(request.Context()); err != nil {
			return err
		}
		defer g.places.leave()
		return next(c)
	}
}

func (g *Gate) checkRate(c echo.Context) error {
	if g.rates == nil {
		return nil
	}
	wait := g.rates.take(g.clientOf(c), time.Now())
	if wait == 0 {
		return nil
	}
	g.watch.Limited()
	f := problem.New(http.StatusTooManyRequests, "This client sends more requests than it may.")
	f.RetryAfter = int((wait + time.Second - 1) / time.Second)
	return f
}

// clientOf is whose rate is limited: the key's name, else the address, of
// which an IPv6 client has as many as it likes within its /64.
func (g *Gate) clientOf(c echo.Context) string {
	if name, ok := c.Get(watch.ClientKey).(string); ok {
		return name
	}
	ip := c.RealIP()
	addr, err := netip.ParseAddr(ip)
	if err != nil || addr.Unmap().Is4() {
		return ip
	}
	prefix, err := addr.WithZone("").Prefix(64)
	if err != nil {
		return ip
	}
	return prefix.String()
}

// IPExtractor takes the address of the connection, or what a trusted proxy
// says in X-Forwarded-For.
func IPExtractor(proxies []*net.IPNet) echo.IPExtractor {
	if len(proxies) == 0 {
		return echo.ExtractIPDirect()
	}
	trust := []echo.TrustOption{echo.TrustLoopback(false), echo.TrustLinkLocal(false), echo.TrustPrivateNet(false)}
	for _, each := range proxies {
		trust = append(trust, echo.TrustIPRange(each))
	}
	return echo.ExtractIPFromXFFHeader(trust...)
}
