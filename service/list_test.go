package service

import (
	"compress/gzip"
	"encoding/json"
	"io"
	"math/rand/v2"
	"net/http"
	"path"
	"strings"
	"testing"
	"time"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/api"
	"snugtail/api/apitest"
)

// What never changes is kept by clients: it has an ETag that is good for 304, it
// says how long, and comes as gzip.
func TestWhatNeverChangesIsKept(t *testing.T) {
	c := newCaller(t)
	for at, cache := range map[string]string{
		"/v1/species": "max-age=3600", "/v1/species/white_oak": "max-age=3600", "/v1/cutters": "max-age=3600", "/v1/bushings": "max-age=3600",
		"/v1": "max-age=3600", "/v1/schemas/layouts.json": "max-age=3600",
		"/openapi.yaml": "no-cache", "/openapi.json": "no-cache", "/docs": "no-cache",
	} {
		plain := ask(c.handler, request(http.MethodGet, at, ""))
		require.Equal(t, http.StatusOK, plain.Code, at)
		assert.Equal(t, cache, plain.Header().Get("Cache-Control"), at)
		zipped := ask(c.handler, request(http.MethodGet, at, "", "Accept-Encoding", "gzip, br"))
		require.Equal(t, http.StatusOK, zipped.Code, at)
		if plain.Body.Len() > 1400 {
			assert.Equal(t, "gzip", zipped.Header().Get("Content-Encoding"), at)
			assert.Less(t, zipped.Body.Len(), plain.Body.Len()/2+1, at)
			reader, err := gzip.NewReader(zipped.Body)
			require.NoError(t, err)
			unzipped, err := io.ReadAll(reader)
			require.NoError(t, err)
			assert.Equal(t, plain.Body.Bytes(), unzipped, at)
			assert.NotEqual(t, plain.Header().Get("ETag"), zipped.Header().Get("ETag"), at)
		}
		assert.Contains(t, strings.Join(zipped.Header().Values("Vary"), ", "), "Accept-Encoding", at)
		for _, w := range []http.Header{plain.Header(), zipped.Header()} {
			etag, coding := w.Get("ETag"), ""
			if strings.HasSuffix(etag, `-gzip"`) {
				coding = "gzip"
			}
			again := ask(c.handler, request(http.MethodGet, at, "", "If-None-Match", `"other", `+etag, "Accept-Encoding", coding))
			assert.Equal(t, http.StatusNotModified, again.Code, at)
			assert.Empty(t, again.Body.Bytes(), at)
			assert.Equal(t, etag, again.Header().Get("ETag"), at)
		}
	}
	asText := ask(c.handler, request(http.MethodGet, "/v1/species", "", "Accept", "text/plain"))
	asJSON := ask(c.handler, request(http.MethodGet, "/v1/species", ""))
	assert.NotEqual(t, asText.Header().Get("ETag"), asJSON.Header().Get("ETag"), "each form has its own")
	assert.Empty(t, ask(c.handler, request(http.MethodPost, "/v1/layouts", "{}")).Header().Get("ETag"))
}

// An id that is not known is refused each time, and not kept.
func TestUnknownIDsAreNotKept(t *testing.T) {
	c := newCaller(t)
	for range 2 {
		assert.Equal(t, http.StatusNotFound, ask(c.handler, request(http.MethodGet, "/v1/species/wite_oak", "")).Code)
	}
}

func TestOperationsAreListed(t *testing.T) {
	c := newCaller(t)
	status, body := c.getAs(t, "/v1", "/v1")
	require.Equal(t, http.StatusOK, status)
	var answer api.OperationsAnswer
	require.NoError(t, json.Unmarshal(body, &answer))
	listed := map[string]bool{}
	for _, op := range answer.Operations {
		listed[op.Method+" "+op.Path] = true
		assert.Equal(t, op.Method == http.MethodPost, op.Schema != nil, op.Path)
		if op.Schema != nil {
			assert.Equal(t, http.StatusOK, ask(c.handler, request(http.MethodGet, *op.Schema, "")).Code, *op.Schema)
		}
	}
	for at, item := range c.contract.Paths.Map() {
		for method := range item.Operations() {
			assert.True(t, listed[method+" "+at], "%s %s", method, at)
		}
	}
	text := ask(c.handler, request(http.MethodGet, "/v1", "", "Accept", "text/plain")).Body.String()
	assert.Contains(t, text, "POST /v1/fit-predictions\n    Will it fit, how surely, and what decides it?\n")
	requireNarrow(t, []byte(text), "")
}

// The JSON Schemas take what the contract takes, by a validator that is not the
// service's.
func TestJSONSchemas(t *testing.T) {
	c := newCaller(t)
	published := c.contract
	r, taken, refused := rand.New(rand.NewPCG(5, 17)), 0, 0
	for at, bodies := range apitest.Bodies(t, published) {
		w := ask(c.handler, request(http.MethodGet, "/v1/schemas/"+path.Base(at)+".json", ""))
		require.Equal(t, http.StatusOK, w.Code)
		assert.Equal(t, "application/schema+json", w.Header().Get("Content-Type"))
		document, err := jsonschema.UnmarshalJSON(w.Body)
		require.NoError(t, err)
		compiler := jsonschema.NewCompiler()
		require.NoError(t, compiler.AddResource("request.json", document))
		schema, err := compiler.Compile("request.json")
		require.NoError(t, err, at)
		for _, body := range bodies {
			require.NoError(t, schema.Validate(body), at)
			pool := apitest.Gather(body, apitest.Edges())
			for range apitest.Rounds(100, 100*time.Millisecond) {
				mutant := apitest.MutantOf(r, body, pool)
				byContract := apitest.SchemaOf(published, at).VisitJSON(mutant)
				byJSONSchema := schema.Validate(mutant)
				assert.Equal(t, byContract == nil, byJSONSchema == nil, "%s: %v: %v, %v", at, mutant, byContract, byJSONSchema)
				if byContract == nil {
					taken++
				} else {
					refused++
				}
			}
		}
	}
	assert.Greater(t, taken, (taken+refused)/20)
	assert.Greater(t, refused, (taken+refused)/20)
	for _, wrong := range []string{"/v1/schemas/layout.json", "/v1/schemas/layouts", "/v1/schemas/.json", "/v1/schemas/species.json"} {
		p := problemIn(t, ask(c.handler, request(http.MethodGet, wrong, "")))
		assert.Equal(t, http.StatusNotFound, p.Status, wrong)
		assert.Contains(t, p.Detail, "layouts", wrong)
	}
}

func TestCutListIsSavedAsAFile(t *testing.T) {
	c := newCaller(t)
	body, err := json.Marshal(apitest.Bodies(t, c.contract)["/v1/drawer-parts"][0])
	require.NoError(t, err)
	w := ask(c.handler, request(http.MethodPost, "/v1/drawer-parts", string(body), "Accept", "text/csv"))
	assert.Equal(t, `attachment; filename="cut-list.csv"`, w.Header().Get("Content-Disposition"))
	assert.Empty(t, ask(c.handler, request(http.MethodPost, "/v1/drawer-parts", string(body))).Header().Get("Content-Disposition"))
}

// The questions stand in the contract, and in each language.
func TestOperationsAreAskedInEachLanguage(t *testing.T) {
	c := newCaller(t)
	asked := map[string][]api.OperationListed{}
	for _, language := range []string{"en", "de"} {
		var a api.OperationsAnswer
		require.NoError(t, json.Unmarshal(ask(c.handler, request(http.MethodGet, "/v1", "", "Accept-Language", language)).Body.Bytes(), &a))
		asked[language] = a.Operations
	}
	require.NotEmpty(t, asked["en"])
	for i, english := range asked["en"] {
		german := asked["de"][i]
		assert.Equal(t, c.contract.Paths.Value(english.Path).GetOperation(english.Method).Summary, english.Summary, english.ID)
		assert.NotEqual(t, english.Summary, german.Summary, english.ID)
		assert.NotContains(t, german.Summary, "[", english.ID)
		assert.Equal(t, "operation", english.SummaryMessage.Code, english.ID)
	}
}
