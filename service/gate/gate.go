// Package gate says who gets in, and how much is taken on at once:
//
//	keys.go    clients with a key
//	cors.go    pages of other origins
//	rates.go   questions of one client
//	pass.go    how one request takes its place
//	places.go  requests that are computed at once, and those that wait
package gate

import (
	"net"
	"net/http"
	"net/netip"
	"sync/atomic"
	"time"

	"github.com/labstack/echo/v4"

	"snugtail/service/problem"
	"snugtail/service/transfer"
	"snugtail/service/watch"
)

// Gate stands before the operations.
type Gate struct {
	keys    atomic.Pointer[[]Key]
	origins []string
	rates   *rates // nil without limit
	places  *places
	budget  *transfer.Budget
	watch   *watch.Watch
}

// New makes a gate for clients with these keys, or for all if there are none,
// and for pages of these origins.
func New(l Limits, keys []Key, origins []string, w *watch.Watch) *Gate {
	g := &Gate{origins: origins, rates: newRates(l), places: newPlaces(l, w.Metrics), budget: transfer.NewBudget(l.Held), watch: w}
	g.SetKeys(keys)
	return g
}

// SetKeys lets in who has one of these keys from now on.
func (g *Gate) SetKeys(keys []Key) { g.keys.Store(&keys) }

// Admit holds back what is too much for the service or from one client. What is
// posted takes its place when the body is read in full, by what it will cost, and
// everything gives it back before the answer is written, so that clients who
// send or read slowly hold none.
func (g *Gate) Admit(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if !g.watch.IsData(c) {
			return next(c)
		}
		if err := g.checkRate(c); err != nil {
			return err
		}
		pass := &Pass{gate: g, client: g.clientOf(c), ctx: c.Request().Context()}
		c.Set(passKey, pass)
		account := g.budget.Account(pass.client)
		defer account.Close()
		c.Set(transfer.AccountKey, account)
		if c.Request().Method != http.MethodPost {
			if err := pass.Enter(0); err != nil {
				return err
			}
		}
		defer pass.Leave()
		c.Response().Before(pass.Leave)
		return next(c)
	}
}

func (g *Gate) checkRate(c echo.Context) error {
	if g.rates == nil {
		return nil
	}
	return g.limited(g.rates.take(g.clientOf(c), 1, 1, time.Now()))
}

// limited is the refusal of what has to wait.
func (g *Gate) limited(wait time.Duration) error {
	if wait == 0 {
		return nil
	}
	g.watch.Limited()
	f := problem.New(http.StatusTooManyRequests, problem.Detail("rate"))
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
