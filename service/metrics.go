package service

import (
	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
)

// metrics are what operators see of a Service. Each Service has its own
// registry; every label has few values, known beforehand.
type metrics struct {
	registry *prometheus.Registry

	requests      *prometheus.CounterVec   // by route, method, code
	duration      *prometheus.HistogramVec // by route, method
	inFlight      prometheus.Gauge
	refusedFields *prometheus.CounterVec // by code of the field error
	batchItems    *prometheus.CounterVec // by operation, code
	panics        prometheus.Counter
}

func newMetrics(version, commit string) *metrics {
	m := &metrics{
		registry: prometheus.NewRegistry(),
		requests: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "snugtail_http_requests_total",
			Help: "Requests answered, by route template, method and status code.",
		}, []string{"route", "method", "code"}),
		duration: prometheus.NewHistogramVec(prometheus.HistogramOpts{
			Name:    "snugtail_http_request_duration_seconds",
			Help:    "Time from the request's headers to its last byte written, by route template and method.",
			Buckets: []float64{25e-6, 50e-6, 100e-6, 250e-6, 500e-6, 1e-3, 2.5e-3, 5e-3, 10e-3, 25e-3, 100e-3, 1, 5},
		}, []string{"route", "method"}),
		inFlight: prometheus.NewGauge(prometheus.GaugeOpts{
			Name: "snugtail_http_requests_in_flight",
			Help: "Requests being answered now.",
		}),
		refusedFields: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "snugtail_refused_fields_total",
			Help: "Fields of requests that were refused, by the code told to the client.",
		}, []string{"code"}),
		batchItems: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "snugtail_batch_items_total",
			Help: "Items of batches answered, by operation and status code.",
		}, []string{"operation", "code"}),
		panics: prometheus.NewCounter(prometheus.CounterOpts{
			Name: "snugtail_panics_total",
			Help: "Panics caught while answering; each one is a bug.",
		}),
	}
	build := prometheus.NewGauge(prometheus.GaugeOpts{
		Name:        "snugtail_build_info",
		Help:        "Always 1; the labels say what is running.",
		ConstLabels: prometheus.Labels{"version": version, "commit": commit},
	})
	build.Set(1)
	m.registry.MustRegister(m.requests, m.duration, m.inFlight, m.refusedFields, m.batchItems, m.panics, build,
		collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	return m
}
