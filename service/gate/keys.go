package gate

import (
	"bufio"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"net/http"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"snugtail/service/problem"
	"snugtail/service/watch"
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
	if len(parts) != 2 || !watch.IsSaneID(parts[0]) {
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

// Authenticate asks for a key where keys are set. What explains the service,
// the contract and its page, is open to all.
func (g *Gate) Authenticate(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if len(*g.keys.Load()) == 0 || !g.watch.IsData(c) {
			return next(c)
		}
		name := g.nameOf(c.Request().Header.Get(echo.HeaderAuthorization))
		if name == "" {
			g.watch.Unauthorized()
			c.Response().Header().Set(echo.HeaderWWWAuthenticate, `Bearer realm="snugtail"`)
			return problem.New(http.StatusUnauthorized, problem.Detail("key"))
		}
		c.Set(watch.ClientKey, name)
		g.watch.Client(name)
		return next(c)
	}
}

// nameOf compares with every key, always, so that time tells nothing.
func (g *Gate) nameOf(authorization string) string {
	scheme, sent, _ := strings.Cut(authorization, " ")
	if !strings.EqualFold(scheme, "Bearer") {
		return ""
	}
	hash, name := sha256.Sum256([]byte(strings.TrimSpace(sent))), ""
	keys := *g.keys.Load()
	for i := range keys {
		if subtle.ConstantTimeCompare(hash[:], keys[i].Hash[:]) == 1 {
			name = keys[i].Name
		}
	}
	return name
}
