package service

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"log/slog"
	"math"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/stretchr/testify/require"

	"snugtail/api"
)

// The tests of the platform bring a contract and operations of their own, so
// that they stay when the real ones change.
const probeContract = `
openapi: 3.0.3
info: {title: probe, version: "1"}
paths:
  /v1/probes:
    post:
      requestBody:
        required: true
        content: {application/json: {schema: {$ref: '#/components/schemas/Probe'}}}
      responses: {"200": {description: ok}}
  /v1/things:
    get: {responses: {"200": {description: ok}}}
components:
  schemas:
    Probe:
      type: object
      additionalProperties: false
      required: [setup]
      properties:
        units: {type: string, enum: [mm, in]}
        explain: {type: boolean}
        do: {type: string, description: "what the probe does\nmore text", pattern: '^[a-z]*$', minLength: 2, maxLength: 12}
        setup: {$ref: '#/components/schemas/Setup'}
        cutters: {type: array, minItems: 1, maxItems: 3, uniqueItems: true, items: {$ref: '#/components/schemas/Cutter'}}
    Setup:
      type: object
      additionalProperties: false
      required: [template, bushing]
      properties:
        template: {$ref: '#/components/schemas/Template'}
        bushing: {$ref: '#/components/schemas/Bushing'}
        pin_board: {$ref: '#/components/schemas/PinBoard'}
        depth: {$ref: '#/components/schemas/Length'}
        a/b~c d: {type: integer}
    PinBoard:
      type: object
      additionalProperties: false
      properties: {thickness: {$ref: '#/components/schemas/Length'}}
    Template:
      oneOf: [{$ref: '#/components/schemas/OnePiece'}, {$ref: '#/components/schemas/Allowance'}]
      discriminator:
        propertyName: kind
        mapping: {one_piece: '#/components/schemas/OnePiece', allowance: '#/components/schemas/Allowance'}
    OnePiece:
      type: object
      additionalProperties: false
      required: [kind, pitch, opening]
      properties:
        kind: {type: string, enum: [one_piece]}
        pitch: {$ref: '#/components/schemas/Length'}
        opening: {$ref: '#/components/schemas/Length'}
    Allowance:
      type: object
      additionalProperties: false
      required: [kind, allowance]
      properties:
        kind: {type: string, enum: [allowance]}
        allowance: {$ref: '#/components/schemas/Length'}
    Bushing:
      type: object
      additionalProperties: false
      required: [diameter]
      properties:
        id: {type: string, maxLength: 40}
        diameter: {$ref: '#/components/schemas/Length'}
    Cutter:
      type: object
      additionalProperties: false
      required: [diameter, angle]
      properties:
        diameter: {$ref: '#/components/schemas/Length'}
        angle: {type: number, format: double, minimum: 0, exclusiveMinimum: true, maximum: 45}
    Length:
      description: a length
      not: {anyOf: [{type: boolean}, {type: array, items: {}}]}
      pattern: '^[0-9. /]+( (mm|in))?$'
      maxLength: 30
      minimum: 0.1
      maximum: 2000
      additionalProperties: false
      required: [mm]
      properties: {mm: {type: number, minimum: 0.1, maximum: 2000}, in: {type: number}, text: {type: string}}
`

// probe is what the test operation takes; Do tells it how to end.
type probe struct {
	Units   api.Units      `json:"units"`
	Do      string         `json:"do"`
	Setup   *api.Setup     `json:"setup"`
	Cutters []api.Cutter   `json:"cutters"`
	Rest    map[string]any `json:"-"`
}

type probeAnswer struct {
	Done  string  `json:"done"`
	Value float64 `json:"value"`
}

func doProbe(ctx context.Context, q *probe) (*probeAnswer, error) {
	switch q.Do {
	case "panic":
		panic("the probe's secret")
	case "nan":
		return &probeAnswer{Value: math.NaN()}, nil
	case "infinity":
		return &probeAnswer{Value: math.Inf(-1)}, nil
	case "fail":
		return nil, errors.New("the probe's secret")
	case "impossible":
		return nil, impossible(api.FieldError{Pointer: "#/setup/depth", Code: "too_deep", Detail: "the cutter comes out of the far side"})
	case "wait":
		<-ctx.Done()
		return nil, ctx.Err()
	case "abort":
		panic(http.ErrAbortHandler)
	}
	return &probeAnswer{Done: "<" + q.Do + "> & done", Value: 0.1}, nil
}

func probeText(a *probeAnswer) string { return "The probe is done: " + a.Done }

func probeThings(context.Context) (*probeAnswer, error) { return &probeAnswer{Done: "things"}, nil }

func probeTable(s *Service) []operation {
	return append(s.platformOperations(),
		post("/v1/probes", doProbe, probeText),
		get("/v1/things", probeThings, nil))
}

func loadProbeContract(t testing.TB) *contract {
	document, err := openapi3.NewLoader().LoadFromData([]byte(probeContract))
	require.NoError(t, err)
	require.NoError(t, document.Validate(t.Context()))
	asJSON, err := document.MarshalJSON()
	require.NoError(t, err)
	return newContract([]byte(probeContract), asJSON, document)
}

func newProbe(t testing.TB, config Config) *Service {
	s, err := newService(config, loadProbeContract(t), probeTable)
	require.NoError(t, err)
	return s
}

// logged is a Service whose log can be read.
func logged(t testing.TB, config Config) (*Service, *bytes.Buffer) {
	log := new(bytes.Buffer)
	config.Logger = slog.New(slog.NewJSONHandler(log, nil))
	return newProbe(t, config), log
}

const goodProbe = `{"units":"in","setup":{"template":{"kind":"one_piece","pitch":"7/8 in","opening":12.7},"bushing":{"diameter":{"mm":11.1125,"in":0.4375,"text":"7/16 in"}}}}`

// doing is a good request that makes the probe end in some way.
func doing(what string) string { return strings.Replace(goodProbe, "{", `{"do":"`+what+`",`, 1) }

func request(method, path, body string, headers ...string) *http.Request {
	var reader io.Reader
	if body != "" {
		reader = strings.NewReader(body)
	}
	r := httptest.NewRequest(method, path, reader)
	if body != "" {
		r.Header.Set("Content-Type", "application/json")
	}
	for i := 0; i < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	return r
}

func ask(h http.Handler, r *http.Request) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

// problemIn checks the form that every error must have, and returns it.
func problemIn(t testing.TB, w *httptest.ResponseRecorder) api.Problem {
	t.Helper()
	require.Equal(t, "application/problem+json", w.Header().Get("Content-Type"), w.Body.String())
	require.Equal(t, "no-store", w.Header().Get("Cache-Control"))
	var p api.Problem
	decoder := json.NewDecoder(w.Body)
	decoder.DisallowUnknownFields()
	require.NoError(t, decoder.Decode(&p))
	require.Equal(t, w.Code, p.Status)
	require.True(t, strings.HasPrefix(p.Type, problemType), p.Type)
	require.NotEmpty(t, p.Title)
	require.Equal(t, w.Header().Get("X-Request-ID"), p.RequestID)
	require.NotEmpty(t, p.RequestID)
	return p
}
