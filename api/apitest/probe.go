package apitest

import (
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
)

// ProbeContract is what tests of the platform hold requests against, so that
// they stay when the real contract changes.
const ProbeContract = `
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

// GoodProbe is a request that probeContract takes.
const GoodProbe = `{"units":"in","setup":{"template":{"kind":"one_piece","pitch":"7/8 in","opening":12.7},"bushing":{"diameter":{"mm":11.1125,"in":0.4375,"text":"7/16 in"}}}}`

// ProbeDocument returns probeContract, loaded anew.
func ProbeDocument(t testing.TB) *openapi3.T {
	t.Helper()
	document, err := openapi3.NewLoader().LoadFromData([]byte(ProbeContract))
	if err != nil {
		t.Fatal(err)
	}
	if err := document.Validate(t.Context()); err != nil {
		t.Fatal(err)
	}
	return document
}
