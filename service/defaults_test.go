package service

import (
	"encoding/json"
	"net/http"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/api/apitest"
)

// fillDefaults puts in what a schema says of members that are missing, as some
// generated clients do whenever they decode.
func fillDefaults(schema *openapi3.Schema, value any) (filled int) {
	switch value := value.(type) {
	case []any:
		for _, item := range value {
			filled += fillDefaults(schema.Items.Value, item)
		}
	case map[string]any:
		if schema.Discriminator != nil {
			kind, _ := value[schema.Discriminator.PropertyName].(string)
			for _, branch := range schema.OneOf {
				if branch.Ref == schema.Discriminator.Mapping[kind].Ref {
					return fillDefaults(branch.Value, value)
				}
			}
		}
		for name, property := range schema.Properties {
			if member, ok := value[name]; ok {
				filled += fillDefaults(property.Value, member)
			} else if property.Value.Default != nil {
				value[name] = property.Value.Default
				filled++
			}
		}
	}
	return filled
}

// A default that is stated is the default: the answer is the same, byte for byte.
func TestDefaultsMayBeStated(t *testing.T) {
	s, err := New(Config{})
	require.NoError(t, err)
	document := apitest.Document(t)
	filled := 0
	for path, bodies := range apitest.Bodies(t, document) {
		for _, body := range bodies {
			plain, err := json.Marshal(body)
			require.NoError(t, err)
			filled += fillDefaults(apitest.SchemaOf(document, path), body)
			stated, err := json.Marshal(body)
			require.NoError(t, err)
			want, got := ask(s.Handler(), request(http.MethodPost, path, string(plain), "X-Request-ID", "one")), ask(s.Handler(), request(http.MethodPost, path, string(stated), "X-Request-ID", "one"))
			require.Equal(t, want.Code, got.Code, "%s %s", path, got.Body)
			assert.True(t, want.Body.String() == got.Body.String(), "%s %s", path, stated)
		}
	}
	assert.Greater(t, filled, 50)
}

func TestRecordWithDefaultsIsWhole(t *testing.T) {
	s, err := New(Config{})
	require.NoError(t, err)
	schema := apitest.Document(t).Components.Schemas["Record"].Value
	for _, cutter := range []string{`{"diameter":"1/2 in","angle":14}`, `{"diameter":"1/2 in","angle":14,"angle_tolerance":0.3}`, `{"diameter":"1/2 in","angle":14,"angle_tolerance":0.1}`} {
		body := `{"setup":{"template":{"kind":"proven","cutter":` + cutter + `,"bushing":{"diameter":11},"depth":10},"bushing":{"diameter":11},"cutter":` + cutter +
			`,"depth":10,"router":{"adjuster_lead":1.5}},"test_cuts":[{"depth":10,"feel":"rattles"}]}`
		w := ask(s.Handler(), request(http.MethodPost, "/v1/corrections", body))
		require.Equal(t, http.StatusOK, w.Code, w.Body)
		var answer struct{ Record map[string]any }
		require.NoError(t, json.Unmarshal(w.Body.Bytes(), &answer))
		fillDefaults(schema, answer.Record)
		record, err := json.Marshal(answer.Record)
		require.NoError(t, err)
		again := ask(s.Handler(), request(http.MethodPost, "/v1/fit-predictions", `{"setup":{"record":`+string(record)+`,"bushing":{"diameter":11},"cutter":`+cutter+`,"depth":10}}`))
		assert.Equal(t, http.StatusOK, again.Code, again.Body)
	}
}
