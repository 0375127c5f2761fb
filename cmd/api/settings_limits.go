package main

import (
	"errors"
	"fmt"
	"net"
	"net/netip"
	"net/url"
	"os"
	"slices"
	"strconv"
	"strings"

	"snugtail/service/gate"
)

// limitRows are the settings of who gets in and how much is taken on.
func (c *settings) limitRows() []setting {
	return []setting{
		{"connections", "SNUGTAIL_CONNECTIONS", "1024", "a whole number, 1 to 100000", "how many connections may be open; the rest get 503", atLeastOne(whole(&c.connections, 100_000))},
		{"connections-each", "SNUGTAIL_CONNECTIONS_EACH", "0", "a whole number, 0 to 100000; 0 takes half of -connections", "how many of them one address may have, a trusted proxy's apart; the rest get 503", whole(&c.each, 100_000)},
		{"at-once", "SNUGTAIL_AT_ONCE", "0", "a whole number, 0 to 10000; 0 takes 4 for each core, at least 8", "how many quick questions are computed at once; long ones take turns, one for each core", whole(&c.limits.AtOnce, 10_000)},
		{"queue", "SNUGTAIL_QUEUE", "0", "a whole number, 0 to 100000; 0 takes 8 for each one at once", "how many more may wait for that; the rest get 503", whole(&c.limits.Queue, 100_000)},
		{"queue-wait", "SNUGTAIL_QUEUE_WAIT", "250ms", "a time such as 500ms or 5s, at most 10m", "how long they may wait", duration(&c.limits.QueueWait)},
		{"elements", "SNUGTAIL_ELEMENTS", "500000", "a whole number, 1 to 10000000", "how many JSON values a body may hold, a batch's items included; more get 400", atLeastOne(whole(&c.limits.Elements, 10_000_000))},
		{"held", "SNUGTAIL_HELD", "33554432", "a whole number of bytes, 1048576 to 68719476736", "how much of bodies and unsent answers is held, of all together; one client may have half; beyond it 503", between(&c.limits.Held, 1<<20, 64<<30)},
		{"rate", "SNUGTAIL_RATE", "0", "a number, 0 to 1000000; 0 sets no limit", "how many questions a second one client may ask, by key or else by address, each item of a batch one, long ones more; the rest get 429", number(&c.limits.Rate, 1e6)},
		{"burst", "SNUGTAIL_BURST", "0", "a whole number, 0 to 1000000; 0 takes the rate", "how many of them may come at once", whole(&c.limits.Burst, 1_000_000)},
		{"keys-file", "SNUGTAIL_KEYS_FILE", "", "a file of lines: a name and the SHA-256 of its key; empty lets everyone in", "who may call /v1, with Authorization: Bearer KEY; read anew on SIGHUP", keysOf(&c.keysFile, &c.keys)},
		{"origins", "SNUGTAIL_ORIGINS", "", "origins such as https://planner.example, with commas between; empty allows none", "whose pages may call the service through a browser", origins(&c.origins)},
		{"trusted-proxies", "SNUGTAIL_TRUSTED_PROXIES", "", "networks such as 10.1.0.0/16, with commas between; empty trusts none", "whose X-Forwarded-For says who the client is", networks(&c.proxies)},
	}
}

// connectionsEach is how many of those that are served one address may have.
func (c *settings) connectionsEach(served int) int {
	if c.each > 0 {
		return c.each
	}
	return max(served/2, 1)
}

// isNoProxy is false for the addresses of trusted proxies, behind which are many.
func (c *settings) isNoProxy(address netip.Addr) bool {
	return !slices.ContainsFunc(c.proxies, func(n *net.IPNet) bool { return n.Contains(address.AsSlice()) })
}

func whole(to *int, most int) func(string) error {
	return func(text string) error {
		n, err := strconv.Atoi(text)
		if err != nil {
			return errors.New("it is no whole number")
		}
		if n < 0 || n > most {
			return errors.New("it is out of range")
		}
		*to = n
		return nil
	}
}

func atLeastOne(set func(string) error) func(string) error {
	return func(text string) error {
		if err := set(text); err != nil {
			return err
		}
		if strings.Trim(text, "+-0") == "" {
			return errors.New("it is out of range")
		}
		return nil
	}
}

func number(to *float64, most float64) func(string) error {
	return func(text string) error {
		n, err := strconv.ParseFloat(text, 64)
		if err != nil {
			return errors.New("it is no number")
		}
		if !(n >= 0 && n <= most) { // NaN too
			return errors.New("it is out of range")
		}
		*to = n
		return nil
	}
}

func keysOf(path *string, to *[]gate.Key) func(string) error {
	return func(text string) error {
		if text == "" {
			return nil
		}
		*path = text
		var err error
		*to, err = readKeys(text)
		return err
	}
}

func readKeys(path string) ([]gate.Key, error) {
	file, err := os.Open(path) // #nosec G304 G703 -- whoever starts the program names it
	if err != nil {
		return nil, fmt.Errorf("opening it: %w", err)
	}
	defer file.Close()
	return gate.ReadKeys(file)
}

// origins takes what a browser sends as Origin, exactly: no path, no wildcard.
func origins(to *[]string) func(string) error {
	return each(func(text string) error {
		u, err := url.Parse(text)
		if err != nil || (u.Scheme != "https" && u.Scheme != "http") || u.Host == "" || u.Scheme+"://"+u.Host != text || strings.Contains(text, "*") {
			return fmt.Errorf("%q is no origin", text)
		}
		*to = append(*to, text)
		return nil
	})
}

func networks(to *[]*net.IPNet) func(string) error {
	return each(func(text string) error {
		_, network, err := net.ParseCIDR(text)
		if err != nil {
			return fmt.Errorf("%q is no network", text)
		}
		*to = append(*to, network)
		return nil
	})
}

// each gives a list's parts to set, one by one.
func each(set func(string) error) func(string) error {
	return func(text string) error {
		if text == "" {
			return nil
		}
		for part := range strings.SplitSeq(text, ",") {
			if err := set(strings.TrimSpace(part)); err != nil {
				return err
			}
		}
		return nil
	}
}
