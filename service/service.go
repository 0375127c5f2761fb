// Package service answers the HTTP requests of the contract in package api.
//
// Start with operations.go: its one table holds every operation. post.go makes
// handlers of them, and shows what happens to a request, in order; each
// operation has a file, which reads, calls the domain, and writes. errors.go
// turns what went wrong into problems, batch.go asks many questions in one call.
//
// Each of its packages has one subject, and calls only what stands below it:
//
//	site      what is sent as it is: the contract, its page, the page for people
//	gate      who gets in, and how much at once
//	watch     what operators see: log and metrics
//	transfer  bodies: the form that is asked for, what is read, what is written
//	paper     drawings, the page for the bench, the plot; draw writes pages as SVG or PDF
//	plain     answers as text, and the cut list
//	working   the arithmetic that answers show
//	answers   results as parts of answers
//	read      requests as the domain's quantities
//	priors    what an operator believes before anything is seen
//	check     what is posted, held against the contract
//	fields    which parts of an answer are asked for
//	problem   what a client is told of a request that gets no answer
//	say       every sentence about joints, wood and drawers
//	codes     the contract's names of the domain's codes
//	strict    JSON without guessing, schemas that pass most good values, pointers
//	spelling  names as clients wrote them
//	message   what is said: codes and values, and sentences in each language
//
// inorder and wire stand alone. Nothing here keeps state between requests but
// counters, and buffers to use again.
package service

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"github.com/labstack/echo/v4"

	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/advise"
	"snugtail/joint/belief"
	"snugtail/joint/length"
	"snugtail/service/answers"
	"snugtail/service/check"
	"snugtail/service/fields"
	"snugtail/service/gate"
	"snugtail/service/message"
	"snugtail/service/priors"
	"snugtail/service/read"
	"snugtail/service/say"
	"snugtail/service/site"
	"snugtail/service/strict"
	"snugtail/service/transfer"
	"snugtail/service/watch"
)

const (
	defaultBodyLimit    = 256 << 10
	defaultAnswerWithin = 5 * time.Second
	defaultBatchLimit   = 4 << 20
	defaultBatchWithin  = 20 * time.Second // the program cuts a connection off after 30 s
)

// Config is what a Service needs to know. The zero value serves.
type Config struct {
	Version string // of the program, for metrics
	Commit  string

	Logger       *slog.Logger  // of requests and failures; nil throws them away
	BodyLimit    int64         // bytes of a request's body; 0 takes 256 KiB
	AnswerWithin time.Duration // that one answer may take to compute; 0 takes 5 s
	BatchLimit   int64         // bytes of a batch's body; 0 takes 4 MiB
	BatchWithin  time.Duration // that a batch may take to compute; 0 takes 20 s

	Priors    *priors.Priors // what is believed before anything is seen; nil takes the default
	PublicURL string         // where people find the page, ends in a slash; empty: where they opened it
	Shop      *api.Shop      // what customers can take here, from ReadShop; nil for a shop of which nothing is listed

	Limits  gate.Limits
	Keys    []gate.Key   // who gets in; none lets everyone in
	Origins []string     // of pages that may call the service through a browser
	Proxies []*net.IPNet // whose X-Forwarded-For is believed
}

// Service answers the operations of the contract. It is safe for concurrent use.
type Service struct {
	config   Config
	log      *slog.Logger
	contract *site.Contract
	docs     *site.Docs
	kiosk    *site.Kiosk
	ready    atomic.Bool
	stopping atomic.Bool
	stops    context.Context // done when it stops, so that streams end
	stop     context.CancelFunc

	watch  *watch.Watch
	gate   *gate.Gate
	batch  batches
	listed []operation // those of the contract
	public *echo.Echo
	admin  *echo.Echo

	buffers   *transfer.Buffers
	languages *message.Catalogues
	observer  *belief.Observer
	adviser   *advise.Adviser // by that observer
	untold    sync.Map        // what is answered to who tells nothing, by language
	model     string          // version of the formulas, and of the priors where they are the operator's
}

// New makes a Service of the embedded contract. It is not ready until SetReady says so.
func New(config Config) (*Service, error) {
	contract, err := site.EmbeddedContract()
	if err != nil {
		return nil, fmt.Errorf("loading the contract: %w", err)
	}
	return newService(config, contract, (*Service).operations)
}

// newService lets tests bring their own contract and operations.
func newService(config Config, contract *site.Contract, table func(*Service) []operation) (*Service, error) {
	config, err := config.withDefaults()
	if err != nil {
		return nil, err
	}
	docs, err := site.LoadDocs()
	if err != nil {
		return nil, err
	}
	languages, err := message.Load()
	if err != nil {
		return nil, fmt.Errorf("reading what is said: %w", err)
	}
	kiosk, err := site.LoadKiosk(config.PublicURL, languages)
	if err != nil {
		return nil, err
	}
	s := &Service{
		config:    config,
		log:       config.Logger,
		watch:     watch.New(config.Logger, watch.NewMetrics(config.Version, config.Commit, answers.ModelVersion+config.Priors.Suffix())),
		contract:  contract,
		docs:      docs,
		kiosk:     kiosk,
		buffers:   transfer.NewBuffers(),
		languages: languages,
		batch:     newBatches(),
		observer:  config.Priors.BelievedBy(),
		model:     answers.ModelVersion + config.Priors.Suffix(),
	}
	s.stops, s.stop = context.WithCancel(context.Background())
	nothing := read.New("", s.observer)
	if s.adviser, err = advise.NewAdviser(s.observer, nothing.Target(nil, 0), nothing.Bands); err != nil {
		return nil, fmt.Errorf("advising on a case of which nothing is told: %w", err)
	}
	s.gate = gate.New(config.Limits, config.Keys, config.Origins, s.watch)
	if err := s.mount(table(s)); err != nil {
		return nil, err
	}
	s.admin = s.newAdmin()
	return s, nil
}

// Handler serves the public operations.
func (s *Service) Handler() http.Handler { return s.public }

// AdminHandler serves what is for operators only: /healthz, /readyz, /metrics.
func (s *Service) AdminHandler() http.Handler { return s.admin }

// LineDropped counts a line of the log that nobody took.
func (s *Service) LineDropped() { s.watch.LineDropped() }

// SetKeys lets in who has one of these keys, and nobody else, from now on.
func (s *Service) SetKeys(keys []gate.Key) { s.gate.SetKeys(keys) }

// TurnedAway counts a connection that was turned away before it asked anything.
func (s *Service) TurnedAway() { s.watch.Shed(watch.ShedOpen) }

// reader and writer are for one request, in its units. What the reader's
// observer is asked is given up when ctx ends; ctx knows what of the answer is wanted.
func (s *Service) reader(ctx context.Context, units api.Units) *read.Reader {
	r := read.New(units, s.observer.Until(func() bool { return ctx.Err() != nil }))
	r.Adviser = s.adviser
	r.Wanted = fields.From(ctx).Members()
	return r
}

func (s *Service) writer(ctx context.Context, unit length.Unit) answers.Writer {
	return answers.NewWriter(unit, s.language(ctx), s.model)
}

// language is that of the request, or the default.
func (s *Service) language(ctx context.Context) *message.Catalogue {
	if c := message.From(ctx); c != nil {
		return c
	}
	return s.languages.Default()
}

// speak chooses the language of the answer.
func (s *Service) speak(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		r := c.Request()
		if accept := r.Header.Get("Accept-Language"); accept != "" {
			c.SetRequest(r.WithContext(message.With(r.Context(), s.languages.For(accept))))
		}
		return next(c)
	}
}

// writerOf writes what is wanted, in the request's units.
func (s *Service) writerOf(ctx context.Context, r *read.Reader) answers.Writer {
	w := s.writer(ctx, r.Unit)
	w.Wanted = r.Wanted
	return w
}

// writerFor writes settings in steps that the router can set.
func (s *Service) writerFor(ctx context.Context, r *read.Reader, setup *joint.Setup) answers.Writer {
	w := s.writerOf(ctx, r)
	if setup.Bushing.Kind == joint.KindBearing {
		w.Variant = say.Bearing
	}
	w.AdjusterStep = setup.Router.AdjusterStep.Length
	w.KnownSteps = len(setup.Router.GaugeBlocks) > 0 || w.AdjusterStep > 0
	return w
}

// SetReady says whether balancers should send requests here.
// Once it was ready and is so no more it stops, and asks clients to connect anew
// elsewhere: a connection that is closed under a client may cost it a request.
func (s *Service) SetReady(ready bool) {
	wasReady := s.ready.Swap(ready)
	s.stopping.Store(wasReady && !ready)
	if wasReady && !ready {
		s.stop()
	}
}

func (c Config) withDefaults() (Config, error) {
	if c.BodyLimit < 0 || c.AnswerWithin < 0 || c.BatchLimit < 0 || c.BatchWithin < 0 {
		return c, errors.New("service: limits of Config must not be negative")
	}
	if c.Logger == nil {
		c.Logger = slog.New(slog.DiscardHandler)
	}
	if c.BodyLimit == 0 {
		c.BodyLimit = defaultBodyLimit
	}
	if c.AnswerWithin == 0 {
		c.AnswerWithin = defaultAnswerWithin
	}
	if c.BatchLimit == 0 {
		c.BatchLimit = defaultBatchLimit
	}
	if c.BatchWithin == 0 {
		c.BatchWithin = defaultBatchWithin
	}
	var err error
	c.Limits, err = c.Limits.WithDefaults()
	return c, err
}

// mount makes the public server of a table of operations.
func (s *Service) mount(table []operation) error {
	s.public = s.newEcho()
	// On the root, never on a group: there they turn 405 into 404.
	s.public.Use(inTurn(transfer.Drained, s.identify(), s.watch.Record, s.watch.Rescue, s.speak, s.gate.CORS, s.watch.RefuseOptions, s.gate.Authenticate, s.gate.Admit))
	prechecks := strict.Prechecks{}
	for _, op := range table {
		request, err := s.requestShape(op, prechecks)
		if err != nil {
			return fmt.Errorf("registering %s %s: %w", op.method, op.path, err)
		}
		if op.inBatch != nil {
			s.batch.take(op, request, answerSchema(s.contract.Document.Paths.Value(op.path).Post))
		}
		if op.outside == "" {
			s.listed = append(s.listed, op)
		}
		handler := s.parameters(op, op.handler(s, request))
		s.route(op.method, op.route(), handler)
		if op.method == http.MethodGet {
			s.route(http.MethodHead, op.route(), handler) // net/http sends the header alone
		}
	}
	return nil
}

// route adds a row's method to what is routed and watched.
func (s *Service) route(method, path string, handler echo.HandlerFunc) {
	s.public.Add(method, path, handler)
	s.watch.Add(path, method)
}

func (s *Service) identify() echo.MiddlewareFunc { return watch.Identify(s.stopping.Load) }

// inTurn makes one of all, the first outermost. They are put together once:
// echo would do it anew for each request.
func inTurn(all ...echo.MiddlewareFunc) echo.MiddlewareFunc {
	whole := func(c echo.Context) error { return c.Handler()(c) }
	for _, wrap := range slices.Backward(all) {
		whole = wrap(whole)
	}
	return func(echo.HandlerFunc) echo.HandlerFunc { return whole }
}

// requestShape is nil for what takes no body.
func (s *Service) requestShape(op operation, prechecks strict.Prechecks) (*check.Shape, error) {
	if op.method != http.MethodPost {
		return nil, nil
	}
	return check.New(s.contract.Document, op.path, prechecks, s.config.Limits.Elements)
}

// newEcho is a server whose every error goes through the one mapper.
func (s *Service) newEcho() *echo.Echo {
	e := echo.New()
	e.HTTPErrorHandler = s.handleError
	e.IPExtractor = gate.IPExtractor(s.config.Proxies)
	return e
}
