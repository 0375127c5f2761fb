package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/url"
	"os"
	"strconv"
	"strings"
	"time"

	"snugtail/api"
	"snugtail/service"
	"snugtail/service/gate"
	"snugtail/service/priors"
)

// settings are what flags and environment variables say.
type settings struct {
	addr, adminAddr string
	logFormat       string
	logLevel        slog.Level
	drainDelay      time.Duration
	shutdownGrace   time.Duration
	bodyLimit       int64
	priors          *priors.Priors
	shop            *api.Shop
	publicURL       string

	connections int
	each        int // connections of one address; 0 takes half of all
	keysFile    string
	limits      gate.Limits
	keys        []gate.Key
	origins     []string
	proxies     []*net.IPNet

	healthcheck, showVersion, pprof bool
}

// setting is one flag with its variable. set reads a text of the form that
// format describes.
type setting struct {
	flag, variable, standard string
	format, help             string
	set                      func(text string) error
}

// list is the one table of settings: -h prints it, and errors name its rows.
func (c *settings) list() []setting {
	return append([]setting{
		{"addr", "SNUGTAIL_ADDR", ":8080", "host:port, port 0 for a free one", "where the service listens", address(&c.addr)},
		{"admin-addr", "SNUGTAIL_ADMIN_ADDR", "127.0.0.1:8081", "host:port, port 0 for a free one", "where /healthz, /readyz and /metrics listen", address(&c.adminAddr)},
		{"log-format", "SNUGTAIL_LOG_FORMAT", "json", "json or text", "how lines of the log look", oneOf(&c.logFormat, "json", "text")},
		{"log-level", "SNUGTAIL_LOG_LEVEL", "info", "debug, info, warn or error", "the least level that is logged", level(&c.logLevel)},
		{"drain-delay", "SNUGTAIL_DRAIN_DELAY", "1s", "a time such as 500ms or 5s, at most 10m", "how long to go on serving, not ready, after SIGTERM, so that balancers notice", duration(&c.drainDelay)},
		{"shutdown-grace", "SNUGTAIL_SHUTDOWN_GRACE", "10s", "a time such as 500ms or 5s, at most 10m", "how long requests under way may take after that", duration(&c.shutdownGrace)},
		{"body-limit", "SNUGTAIL_BODY_LIMIT", "262144", "a whole number of bytes, 1024 to 67108864", "the largest body of a request", bytesOf(&c.bodyLimit)},
		{"priors", "SNUGTAIL_PRIORS", "", "a JSON file such as deploy/priors.json; empty takes the tables of judgement", "how often what is wrong, and by how much, before anything is seen", fileOf(&c.priors, priors.Read)},
		{"shop", "SNUGTAIL_SHOP", "", "a JSON file such as deploy/shop.json; empty lists nothing", "the templates, bushings, cutters and boards that customers pick from on the page (GET /v1/shop)", fileOf(&c.shop, service.ReadShop)},
		{"public-url", "SNUGTAIL_PUBLIC_URL", "", "an address such as https://joints.example.org/; empty takes the page's own, unless that is only this machine's", "where the QR codes of page and bench sheet lead to", webAddress(&c.publicURL)},
	}, c.limitRows()...)
}

// readSettings takes each setting from its flag, else from its variable, else
// the standard, and returns everything that is wrong at once.
func readSettings(args []string, env func(string) string, stdout io.Writer) (*settings, error) {
	c := new(settings)
	flags := flag.NewFlagSet("snugtail", flag.ContinueOnError)
	flags.SetOutput(io.Discard)
	flags.BoolVar(&c.healthcheck, "healthcheck", false, "")
	flags.BoolVar(&c.showVersion, "version", false, "")
	flags.BoolVar(&c.pprof, "pprof", false, "")
	given := map[string]*string{}
	for _, s := range c.list() {
		given[s.flag] = flags.String(s.flag, "", "")
	}
	err := flags.Parse(args)
	if errors.Is(err, flag.ErrHelp) {
		printHelp(c, stdout)
		return nil, err
	}
	var wrong []error
	if err != nil {
		wrong = append(wrong, fmt.Errorf("%w (-h lists the flags)", err))
	} else if flags.NArg() > 0 {
		wrong = append(wrong, fmt.Errorf("%q is no flag (-h lists them)", flags.Arg(0)))
	}
	isGiven := map[string]bool{}
	flags.Visit(func(f *flag.Flag) { isGiven[f.Name] = true })
	for _, s := range c.list() {
		if err := s.read(isGiven[s.flag], *given[s.flag], env(s.variable)); err != nil {
			wrong = append(wrong, err)
		}
	}
	if c.healthcheck && isPortZero(c.adminAddr) {
		wrong = append(wrong, errors.New("-healthcheck needs -admin-addr or SNUGTAIL_ADMIN_ADDR with the port that the service has, not 0"))
	}
	if len(wrong) > 0 {
		return nil, fmt.Errorf("the settings are wrong:\n%w", errors.Join(wrong...))
	}
	return c, nil
}

// read sets one setting; an error names where the value came from.
func (s setting) read(isGiven bool, fromFlag, fromEnv string) error {
	name, text := "the standard of -"+s.flag, s.standard
	switch {
	case isGiven:
		name, text = "-"+s.flag+" ("+s.variable+")", fromFlag
	case fromEnv != "":
		name, text = s.variable+" (-"+s.flag+")", fromEnv
	}
	if err := s.set(text); err != nil {
		return fmt.Errorf("  %s is %q, but must be %s: %w", name, text, s.format, err)
	}
	return nil
}

func printHelp(c *settings, w io.Writer) {
	fmt.Fprint(w, "snugtail predicts whether half-blind dovetail joints fit, over HTTP.\n\n"+
		"Flags, each with an environment variable of the same meaning (the flag wins):\n\n")
	for _, s := range c.list() {
		fmt.Fprintf(w, "  -%s, %s (%s)\n        %s; %s\n", s.flag, s.variable, s.standard, s.help, s.format)
	}
	fmt.Fprint(w, "  -healthcheck\n        ask the running service's /readyz on its admin address, and exit 0 or 1\n"+
		"  -version\n        print the version and exit\n"+
		"  -pprof\n        serve profiles of processor and memory on the admin address, under /debug/pprof/\n")
}

func address(to *string) func(string) error {
	return func(text string) error {
		_, port, err := net.SplitHostPort(text)
		if err != nil {
			return errors.New("it is no host and port")
		}
		if _, err := strconv.ParseUint(port, 10, 16); err != nil {
			return errors.New("the port is no number up to 65535")
		}
		*to = text
		return nil
	}
}

func isPortZero(addr string) bool {
	_, port, err := net.SplitHostPort(addr)
	return err == nil && port == "0"
}

// fileOf reads the file that a setting names; none is named by an empty text.
func fileOf[T any](to *T, read func(text []byte) (T, error)) func(string) error {
	return func(path string) error {
		if path == "" {
			return nil
		}
		text, err := os.ReadFile(path) // #nosec G304 -- whoever starts the program names it
		if err != nil {
			return fmt.Errorf("opening it: %w", err)
		}
		*to, err = read(text)
		return err
	}
}

// webAddress reads where the page is to be found from elsewhere. It ends in a
// slash: set-ups follow behind a #.
func webAddress(to *string) func(string) error {
	const longest = 200 // a QR code holds only so much
	return func(text string) error {
		if text == "" {
			return nil
		}
		at, err := url.Parse(text)
		switch {
		case err != nil || at.Scheme != "http" && at.Scheme != "https" || at.Host == "":
			return errors.New("it is no http or https address")
		case at.RawQuery != "" || at.Fragment != "" || at.User != nil:
			return errors.New("it has a query, a fragment or a name in it")
		case len(text) > longest:
			return fmt.Errorf("it is longer than %d characters", longest)
		}
		*to = strings.TrimSuffix(text, "/") + "/"
		return nil
	}
}

func oneOf(to *string, allowed ...string) func(string) error {
	return func(text string) error {
		for _, each := range allowed {
			if text == each {
				*to = text
				return nil
			}
		}
		return errors.New("it is neither")
	}
}

func level(to *slog.Level) func(string) error {
	return func(text string) error {
		switch text {
		case "debug", "info", "warn", "error":
			return to.UnmarshalText([]byte(text))
		default:
			return errors.New("it is none of them")
		}
	}
}

func duration(to *time.Duration) func(string) error {
	const longest = 10 * time.Minute
	return func(text string) error {
		d, err := time.ParseDuration(text)
		if err != nil {
			return errors.New("it is no time")
		}
		if d < 0 || d > longest {
			return errors.New("it is out of range")
		}
		*to = d
		return nil
	}
}

func bytesOf(to *int64) func(string) error { return between(to, 1<<10, 64<<20) }

func between(to *int64, least, most int64) func(string) error {
	return func(text string) error {
		n, err := strconv.ParseInt(text, 10, 64)
		if err != nil {
			return errors.New("it is no whole number")
		}
		if n < least || n > most {
			return errors.New("it is out of range")
		}
		*to = n
		return nil
	}
}
