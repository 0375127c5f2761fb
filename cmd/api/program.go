package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"math"
	"net"
	"net/http"
	"net/http/pprof" // #nosec G108 -- it also registers with the default mux, which nothing serves
	"runtime/debug"
	"time"

	"snugtail/service"
	model "snugtail/service/answers"
)

// program is the running service: two listeners, one log.
type program struct {
	settings *settings
	stdout   io.Writer
	lines    *lossyLog
	log      *slog.Logger
	service  *service.Service

	public, admin *http.Server
	publicOn      *fewConnections
	adminOn       net.Listener

	wait func(time.Duration) // while balancers notice that it stops
}

// newProgram opens both listeners, so that a taken port is an error before
// anything is said or served.
func newProgram(s *settings, stdout, stderr io.Writer) (*program, error) {
	p := &program{settings: s, stdout: stdout, wait: time.Sleep}
	p.lines = newLossyLog(stderr, func() { // there is none before the first line of its own
		if p.service != nil {
			p.service.LineDropped()
		}
	})
	p.log = newLogger(s, p.lines)
	number, hash := build()
	var err error
	p.service, err = service.New(service.Config{
		Version: number, Commit: hash, Logger: p.log, BodyLimit: s.bodyLimit,
		Limits: s.limits, Keys: s.keys, Origins: s.origins, Proxies: s.proxies, Priors: s.priors, Shop: s.shop, PublicURL: s.publicURL,
	})
	if err != nil {
		return nil, fmt.Errorf("making the service: %w", err)
	}
	listener, err := listenPlainly(s.addr)
	if err != nil {
		return nil, fmt.Errorf("listening for the service (-addr, SNUGTAIL_ADDR): %w", err)
	}
	if p.adminOn, err = net.Listen("tcp", s.adminAddr); err != nil {
		listener.Close()
		return nil, fmt.Errorf("listening for operators (-admin-addr, SNUGTAIL_ADMIN_ADDR): %w", err)
	}
	served, turned := p.affordableConnections()
	p.publicOn = newFewConnections(listener, served, turned, p.service.TurnedAway)
	p.publicOn.each, p.publicOn.bound = s.connectionsEach(served), s.isNoProxy
	p.public = p.newServer(p.service.Handler())
	p.public.ConnState = noteServed
	operators := p.service.AdminHandler()
	if s.pprof {
		operators = withProfiles(operators)
	}
	p.admin = p.newServer(operators)
	return p, nil
}

// withProfiles adds Go's profiles, for operators only.
func withProfiles(others http.Handler) http.Handler {
	mux := http.NewServeMux()
	mux.Handle("/", others)
	mux.HandleFunc("/debug/pprof/", pprof.Index)
	mux.HandleFunc("/debug/pprof/profile", pprof.Profile)
	mux.HandleFunc("/debug/pprof/trace", pprof.Trace)
	return mux
}

// listenPlainly listens without Multipath TCP, which Go takes by itself and whose
// sockets know no filter (ignoreNew).
func listenPlainly(addr string) (net.Listener, error) {
	var config net.ListenConfig
	config.SetMultipathTCP(false)
	return config.Listen(context.Background(), "tcp", addr)
}

// affordableConnections says so where there are too few descriptors for the setting.
func (p *program) affordableConnections() (served, turned int) {
	limit, err := descriptors()
	if err != nil {
		p.log.Warn("the limit of descriptors is unknown", "error", err)
		limit = math.MaxUint64
	}
	served, turned = divide(p.settings.connections, limit)
	if served < p.settings.connections {
		p.log.Warn("fewer connections than -connections says: the limit of descriptors is too low (ulimit -n, LimitNOFILE)",
			"connections", served, "wanted", p.settings.connections, "descriptors", limit)
	}
	return served, turned
}

func newLogger(s *settings, w io.Writer) *slog.Logger {
	options := &slog.HandlerOptions{Level: s.logLevel}
	if s.logFormat == "text" {
		return slog.New(slog.NewTextHandler(w, options))
	}
	return slog.New(slog.NewJSONHandler(w, options))
}

// newServer limits what a slow or greedy client can hold.
func (p *program) newServer(h http.Handler) *http.Server {
	return &http.Server{
		Handler:                      distrustFraming(h),
		DisableGeneralOptionsHandler: true, // it would answer OPTIONS * past h, its limits and its log
		ReadHeaderTimeout:            5 * time.Second,
		ReadTimeout:                  15 * time.Second,
		WriteTimeout:                 30 * time.Second, // of the service's own connections each piece has its time: patientConn
		IdleTimeout:                  60 * time.Second,
		MaxHeaderBytes:               16 << 10,
		ErrorLog:                     slog.NewLogLogger(p.log.Handler(), slog.LevelWarn),
	}
}

// serve runs until ctx is done or a listener fails, and then stops in the
// order that loses no request.
func (p *program) serve(ctx context.Context) error {
	failed := make(chan error, 2)
	go func() { failed <- p.admin.Serve(p.adminOn) }()
	go func() { failed <- p.public.Serve(p.publicOn) }()
	p.service.SetReady(true)
	p.announce()
	defer p.lines.close()
	go debug.FreeOSMemory() // that was needed to start: most of what is held by then
	select {
	case <-ctx.Done():
		p.log.Info("stopping", "drain_delay", p.settings.drainDelay.String())
		return p.stop()
	case err := <-failed:
		return errors.Join(fmt.Errorf("serving: %w", err), p.stop())
	}
}

// readKeysAnew takes the keys that the file has now; one that can't be read
// changes nothing.
func (p *program) readKeysAnew() {
	if p.settings.keysFile == "" {
		p.log.Info("nothing to read anew: there is no -keys-file")
		return
	}
	keys, err := readKeys(p.settings.keysFile)
	if err != nil {
		p.log.Error("the keys are as they were: their file can't be read", "file", p.settings.keysFile, "error", err)
		return
	}
	p.service.SetKeys(keys)
	p.log.Info("keys were read anew", "keys", len(keys))
}

// announce prints the one line that says where to ask.
func (p *program) announce() {
	at := reachable(p.publicOn.Addr())
	fmt.Fprintf(p.stdout, "snugtail listens on %s; try: curl -H 'Accept: text/plain' %s/v1/cutters\n", at, at)
	p.log.Info("serving", "addr", p.publicOn.Addr().String(), "admin_addr", p.adminOn.Addr().String(), "version", buildName())
}

// reachable is an address to type into curl: one that listens everywhere is
// reached at localhost.
func reachable(addr net.Addr) string {
	host, port, err := net.SplitHostPort(addr.String())
	if err != nil {
		return "http://" + addr.String()
	}
	if ip := net.ParseIP(host); ip != nil && ip.IsUnspecified() {
		host = "localhost"
	}
	return "http://" + net.JoinHostPort(host, port)
}

// stop says not ready, goes on serving while balancers notice, takes the last
// connections that wait, lets the requests under way end, and closes the
// operators' listener last.
func (p *program) stop() error {
	p.service.SetReady(false)
	p.wait(p.settings.drainDelay)
	ctx, cancel := context.WithTimeout(context.Background(), p.settings.shutdownGrace)
	defer cancel()
	if err := p.publicOn.takeLast(ctx); err != nil {
		p.log.Warn("clients that are connecting may lose their connection", "error", err)
	}
	p.publicOn.Close()
	err := p.publicOn.answered(ctx)
	if err == nil {
		err = p.public.Shutdown(ctx) // nothing is left but to close connections
	}
	if err != nil {
		err = fmt.Errorf("requests were still under way after %s: %w", p.settings.shutdownGrace, err)
		p.public.Close()
	}
	p.admin.Close() // a probe or a scrape may be cut off
	p.log.Info("stopped")
	return err
}

// checkHealth asks the service that runs beside, as a container's health check does.
func checkHealth(ctx context.Context, adminAddr string) error {
	host, port, err := net.SplitHostPort(adminAddr)
	if err != nil {
		return fmt.Errorf("checking health: %w", err)
	}
	if ip := net.ParseIP(host); host == "" || ip != nil && ip.IsUnspecified() {
		host = "127.0.0.1"
	}
	const patience = 3 * time.Second
	ctx, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	request, err := http.NewRequestWithContext(ctx, http.MethodGet, "http://"+net.JoinHostPort(host, port)+"/readyz", nil)
	if err != nil {
		return fmt.Errorf("checking health: %w", err)
	}
	answer, err := http.DefaultClient.Do(request)
	if err != nil {
		return fmt.Errorf("checking health: %w", err)
	}
	defer answer.Body.Close()
	if answer.StatusCode != http.StatusOK {
		return fmt.Errorf("the service is not ready: %s", answer.Status)
	}
	return nil
}

// build is the version and commit set at link time, else what Go noted itself.
func build() (number, hash string) {
	number, hash = version, commit
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return orUnknown(number), orUnknown(hash)
	}
	if number == "" {
		number = info.Main.Version
	}
	for _, s := range info.Settings {
		if s.Key == "vcs.revision" && hash == "" {
			hash = s.Value
		}
	}
	return orUnknown(number), orUnknown(hash)
}

func orUnknown(text string) string {
	if text == "" {
		return "unknown"
	}
	return text
}

func buildName() string {
	number, hash := build()
	return "snugtail " + number + " (" + hash + "), model " + model.ModelVersion
}
