package service

import (
	"bufio"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/netip"
	"slices"
	"strings"

	"snugtail/service/problem"

	"github.com/labstack/echo/v4"
)

// Key lets a client in: its name, and the SHA-256 of what it sends.
type Key struct {
	Name string
	Hash [sha256.Size]byte
}

// ReadKeys reads lines of a name and a SHA-256 in hexadecimal; empty lines and
// those that start with # say nothing. Names are 1 to 64 letters, digits, - and _.
func ReadKeys(from io.Reader) ([]Key, error) {
	var keys []Key
	lines := bufio.NewScanner(from)
	for number := 1; lines.Scan(); number++ {
		parts := strings.Fields(lines.Text())
		if len(parts) == 0 || strings.HasPrefix(parts[0], "#") {
			continue
		}
		key, err := keyOf(parts)
		if err != nil {
			return nil, fmt.Errorf("line %d: %w", number, err)
		}
		if slices.ContainsFunc(keys, func(k Key) bool { return k.Name == key.Name && k.Hash == key.Hash }) {
			return nil, fmt.Errorf("line %d stands twice", number)
		}
		keys = append(keys, key)
	}
	if err := lines.Err(); err != nil {
		return nil, fmt.Errorf("reading keys: %w", err)
	}
	if len(keys) == 0 {
		return nil, errors.New("there is no key, so nobody could get in")
	}
	return keys, nil
}

func keyOf(parts []string) (Key, error) {
	if len(parts) != 2 || !isSaneID(parts[0]) {
		return Key{}, errors.New("it must be a name of letters, digits, - and _, and a SHA-256")
	}
	key := Key{Name: parts[0]}
	hash, err := hex.DecodeString(parts[1])
	if err != nil || len(hash) != len(key.Hash) {
		return Key{}, errors.New("the SHA-256 must be 64 hexadecimal digits") // never the text itself: it may be a key
	}
	copy(key.Hash[:], hash)
	return key, nil
}

// nameKey is where a request's client keeps its name.
const nameKey = "client"

// authenticate asks for a key where keys are set. What explains the service,
// the contract and its page, is open to all.
func (s *Service) authenticate(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if len(s.config.Keys) == 0 || !strings.HasPrefix(s.routeLabel(c), "/v1/") {
			return next(c)
		}
		name := s.nameOf(c.Request().Header.Get(echo.HeaderAuthorization))
		if name == "" {
			s.metrics.unauthorized.Inc()
			c.Response().Header().Set(echo.HeaderWWWAuthenticate, `Bearer realm="snugtail"`)
			return problem.New(http.StatusUnauthorized, "Send your key as Authorization: Bearer KEY.")
		}
		c.Set(nameKey, name)
		s.metrics.clients.WithLabelValues(name).Inc()
		return next(c)
	}
}

// nameOf compares with every key, always, so that time tells nothing.
func (s *Service) nameOf(authorization string) string {
	scheme, sent, _ := strings.Cut(authorization, " ")
	if !strings.EqualFold(scheme, "Bearer") {
		return ""
	}
	hash, name := sha256.Sum256([]byte(strings.TrimSpace(sent))), ""
	for i := range s.config.Keys {
		if subtle.ConstantTimeCompare(hash[:], s.config.Keys[i].Hash[:]) == 1 {
			name = s.config.Keys[i].Name
		}
	}
	return name
}

// clientOf is whose rate is limited: the key's name, else the address, of
// which an IPv6 client has as many as it likes within its /64.
func (s *Service) clientOf(c echo.Context) string {
	if name, ok := c.Get(nameKey).(string); ok {
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

// ipExtractor takes the address of the connection, or what a trusted proxy
// says in X-Forwarded-For.
func ipExtractor(proxies []*net.IPNet) echo.IPExtractor {
	if len(proxies) == 0 {
		return echo.ExtractIPDirect()
	}
	trust := []echo.TrustOption{echo.TrustLoopback(false), echo.TrustLinkLocal(false), echo.TrustPrivateNet(false)}
	for _, each := range proxies {
		trust = append(trust, echo.TrustIPRange(each))
	}
	return echo.ExtractIPFromXFFHeader(trust...)
}

// cors lets pages of the listed origins call the service through a browser;
// to all others it says nothing, and the browser refuses.
func (s *Service) cors(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if len(s.config.Origins) == 0 {
			return next(c)
		}
		request, header := c.Request(), c.Response().Header()
		header.Add(echo.HeaderVary, echo.HeaderOrigin)
		origin := request.Header.Get(echo.HeaderOrigin)
		if !slices.Contains(s.config.Origins, origin) {
			return next(c)
		}
		header.Set(echo.HeaderAccessControlAllowOrigin, origin)
		header.Set(echo.HeaderAccessControlExposeHeaders, "X-Request-ID, Retry-After")
		methods, known := s.allowed[c.Path()]
		if request.Method != http.MethodOptions || !known || request.Header.Get(echo.HeaderAccessControlRequestMethod) == "" {
			return next(c)
		}
		header.Set(echo.HeaderAccessControlAllowMethods, methods)
		header.Set(echo.HeaderAccessControlAllowHeaders, "Accept, Authorization, Content-Type, Traceparent, X-Request-ID")
		header.Set(echo.HeaderAccessControlMaxAge, "600")
		return c.NoContent(http.StatusNoContent)
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
