package watch

import (
	"log"
	"net/http"
	"strconv"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"

	"snugtail/api"
	"snugtail/service/problem"
)

// Metrics are what operators see of a Service. Each Service has its own
// registry; every label has few values, known beforehand.
type Metrics struct {
	registry *prometheus.Registry

	requests      *prometheus.CounterVec   // by route, method, code
	duration      *prometheus.HistogramVec // by route, method
	inFlight      prometheus.Gauge
	refusedFields *prometheus.CounterVec // by route, code of the field error
	batchItems    *prometheus.CounterVec // by operation, code
	panics        prometheus.Counter
	linesDropped  prometheus.Counter

	queued       prometheus.Gauge
	shed         *prometheus.CounterVec // by reason
	limited      prometheus.Counter
	unauthorized prometheus.Counter
	clients      *prometheus.CounterVec // by name of the key

	predictions     *prometheus.CounterVec // by band
	recommendations *prometheus.CounterVec // by outcome
	refusedCutters  *prometheus.CounterVec // by code
	corrections     *prometheus.CounterVec // by verdict
	diagnoses       *prometheus.CounterVec // by code of the likeliest cause
}

// NewMetrics makes the metrics of one Service.
func NewMetrics(version, commit, model string) *Metrics {
	m := &Metrics{
		registry: prometheus.NewRegistry(),
		requests: counters("snugtail_http_requests_total", "Requests answered, by route template, method and status code.", "route", "method", "code"),
		duration: prometheus.NewHistogramVec(prometheus.HistogramOpts{
			Name:                        "snugtail_http_request_duration_seconds",
			Help:                        "Time from the request's headers to its last byte written, by route template and method.",
			NativeHistogramBucketFactor: 1.1, NativeHistogramMaxBucketNumber: 100, NativeHistogramMinResetDuration: time.Hour,
			Buckets: []float64{25e-6, 50e-6, 100e-6, 250e-6, 500e-6, 1e-3, 2.5e-3, 5e-3, 10e-3, 25e-3, 100e-3, 250e-3, 500e-3, 1, 2.5, 5, 10, 20, 30},
		}, []string{"route", "method"}),
		inFlight:        gauge("snugtail_http_requests_in_flight", "Requests being answered now."),
		refusedFields:   counters("snugtail_refused_fields_total", "Fields of requests that were refused, by route template and the code told to the client.", "route", "code"),
		batchItems:      counters("snugtail_batch_items_total", "Items of batches answered, by operation and status code.", "operation", "code"),
		panics:          counter("snugtail_panics_total", "Panics caught while answering; each one is a bug."),
		linesDropped:    counter("snugtail_log_lines_dropped_total", "Lines of the log that were dropped because nobody took them."),
		queued:          gauge("snugtail_http_requests_queued", "Requests that wait to be computed now."),
		shed:            counters("snugtail_shed_requests_total", "Requests refused with 503 because too many came at once, by reason.", "reason"),
		limited:         counter("snugtail_rate_limited_requests_total", "Requests refused with 429 because one client sent too many."),
		unauthorized:    counter("snugtail_unauthorized_requests_total", "Requests refused with 401 because they came without a known key."),
		clients:         counters("snugtail_client_requests_total", "Requests let in, by the name of their key.", "client"),
		predictions:     counters("snugtail_predictions_total", "Fits predicted, by band.", "band"),
		recommendations: counters("snugtail_recommendations_total", "Recommendations answered, by whether any cutter serves.", "outcome"),
		refusedCutters:  counters("snugtail_refused_cutters_total", "Cutters refused in recommendations, by why.", "code"),
		corrections:     counters("snugtail_corrections_total", "Corrections answered, by verdict.", "verdict"),
		diagnoses:       counters("snugtail_diagnoses_total", "Diagnoses answered, by the likeliest cause.", "cause"),
	}
	for _, reason := range []string{ShedFull, ShedLate, ShedOpen} {
		m.shed.WithLabelValues(reason) // there from the start, so that the first one is an increase
	}
	m.registry.MustRegister(m.requests, m.duration, m.inFlight, m.refusedFields, m.batchItems, m.panics, m.linesDropped, buildInfo(version, commit, model),
		m.queued, m.shed, m.limited, m.unauthorized, m.clients, m.predictions, m.recommendations, m.refusedCutters, m.corrections, m.diagnoses,
		collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	m.registry.MustRegister(quotas()...)
	return m
}

// buildInfo says what is running.
func buildInfo(version, commit, model string) prometheus.Gauge {
	build := prometheus.NewGauge(prometheus.GaugeOpts{
		Name:        "snugtail_build_info",
		Help:        "Always 1; the labels say what is running.",
		ConstLabels: prometheus.Labels{"version": version, "commit": commit, "model": model},
	})
	build.Set(1)
	return build
}

// Handler serves the metrics to a few scrapers at a time.
func (m *Metrics) Handler(errors *log.Logger) http.Handler {
	const scrapes, longest = 4, 10 * time.Second
	return promhttp.HandlerFor(m.registry, promhttp.HandlerOpts{
		ErrorLog: errors, MaxRequestsInFlight: scrapes, Timeout: longest, Registry: m.registry,
	})
}

// Why a request is shed.
const (
	ShedFull = "queue_full"
	ShedLate = "waited_too_long"
	ShedOpen = "connections"
)

// Shed counts a request that was refused because too many came.
func (m *Metrics) Shed(reason string) { m.shed.WithLabelValues(reason).Inc() }

// Queued counts a request that waits, until done is called.
func (m *Metrics) Queued() (done func()) {
	m.queued.Inc()
	return m.queued.Dec
}

// Limited counts a request of a client that sent too many.
func (m *Metrics) Limited() { m.limited.Inc() }

// Unauthorized counts a request without a known key.
func (m *Metrics) Unauthorized() { m.unauthorized.Inc() }

// Client counts a request by the name of its key.
func (m *Metrics) Client(name string) { m.clients.WithLabelValues(name).Inc() }

// LineDropped counts a line of the log that was dropped.
func (m *Metrics) LineDropped() { m.linesDropped.Inc() }

// Panicked counts a panic that was caught.
func (m *Metrics) Panicked() { m.panics.Inc() }

// Item counts an item of a batch.
func (m *Metrics) Item(operation string, status int) {
	m.batchItems.WithLabelValues(operation, strconv.Itoa(status)).Inc()
}

// Refused counts the bad fields of a request.
func (m *Metrics) Refused(route string, fields []problem.Field) {
	for _, field := range fields {
		m.refusedFields.WithLabelValues(route, field.Code).Inc()
	}
}

func counter(name, help string) prometheus.Counter {
	return prometheus.NewCounter(prometheus.CounterOpts{Name: name, Help: help})
}

func gauge(name, help string) prometheus.Gauge {
	return prometheus.NewGauge(prometheus.GaugeOpts{Name: name, Help: help})
}

func counters(name, help string, labels ...string) *prometheus.CounterVec {
	return prometheus.NewCounterVec(prometheus.CounterOpts{Name: name, Help: help}, labels)
}

// Tell counts what an answer says of joints. Its codes are enums of the contract.
func (m *Metrics) Tell(answer any) {
	switch a := answer.(type) {
	case *api.FitPredictionAnswer:
		m.predictions.WithLabelValues(string(a.Fit.Band)).Inc()
	case *api.CutterRecommendationAnswer:
		outcome := "some"
		if len(a.Recommendations) == 0 {
			outcome = "none"
		}
		m.recommendations.WithLabelValues(outcome).Inc()
		for i := range a.Refused {
			m.refusedCutters.WithLabelValues(string(a.Refused[i].Code)).Inc()
		}
	case *api.CorrectionAnswer:
		m.corrections.WithLabelValues(string(a.Verdict)).Inc()
	case *api.DiagnosisAnswer:
		m.diagnoses.WithLabelValues(string(a.Causes[0].Code)).Inc() // there are always a few, the likeliest first
	}
}
