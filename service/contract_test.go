package service

import (
	"encoding/json"
	"maps"
	"net/http"
	"net/http/httptest"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/service/problem"
	"snugtail/service/site"
	"snugtail/service/strict"
	"snugtail/service/transfer"
)

// Routes and contract are the same list, both ways.
func TestRoutesAreTheContract(t *testing.T) {
	s, err := New(Config{})
	require.NoError(t, err)
	promised := map[string]bool{}
	for path, item := range s.contract.Document.Paths.Map() {
		for method := range item.Operations() {
			promised[method+" "+path] = true
		}
	}
	for _, op := range s.operations() {
		name := op.method + " " + op.path
		if op.outside != "" {
			assert.False(t, promised[name], "%s is said to be outside of the contract (%s), but is in it", name, op.outside)
			continue
		}
		assert.True(t, promised[name], "%s is served, but not in the contract", name)
		delete(promised, name)
	}
	assert.Empty(t, slices.Sorted(maps.Keys(promised)), "in the contract, but not served")
	for _, route := range s.public.Routes() {
		method := route.Method
		if method == http.MethodHead {
			method = http.MethodGet
		}
		assert.True(t, slices.ContainsFunc(s.operations(), func(op operation) bool { return op.method == method && op.route() == route.Path }),
			"%s %s: every route comes from the table", route.Method, route.Path)
	}
}

// HEAD is answered as GET is, header for header, wherever that is taken.
func TestHeadIsGet(t *testing.T) {
	s, err := New(Config{})
	require.NoError(t, err)
	server := httptest.NewServer(s.Handler())
	defer server.Close()
	plain := &http.Client{Transport: &http.Transport{DisableCompression: true}} // else Get hides that the answer was zipped
	for _, op := range s.operations() {
		if op.method != http.MethodGet {
			continue
		}
		url := server.URL + strings.NewReplacer("{id}", "white_oak", "{operation}", "layouts", ":asset", "style.css", ":module", "main.js").Replace(op.path)
		get, err := plain.Get(url)
		require.NoError(t, err)
		get.Body.Close()
		require.Equal(t, 200, get.StatusCode, url)
		head, err := plain.Head(url)
		require.NoError(t, err)
		head.Body.Close()
		assert.Equal(t, get.StatusCode, head.StatusCode, url)
		assert.Equal(t, get.ContentLength, head.ContentLength, url)
		for _, both := range []http.Header{get.Header, head.Header} {
			both.Del("X-Request-ID")
			both.Del("Date")
		}
		assert.Equal(t, get.Header, head.Header, url)
	}
}

// An operation that the contract does not hold is an error at the start.
func TestOperationsNeedTheContract(t *testing.T) {
	for path, reason := range map[string]string{"/v1/unknown": "no such operation", "/v1/things": "no such operation"} {
		_, err := newService(Config{}, loadProbeContract(t), func(*Service) []operation {
			return []operation{post(path, doProbe, probeText)}
		})
		require.ErrorContains(t, err, reason)
		require.ErrorContains(t, err, path)
	}
	_, err := New(Config{BodyLimit: -1})
	require.Error(t, err)
}

// The codes that are given here are those that the contract lists.
func TestCodesAreInTheContract(t *testing.T) {
	k, err := site.EmbeddedContract()
	require.NoError(t, err)
	listed := k.Document.Components.Schemas["FieldError"].Value.Properties["code"].Value.Enum
	for _, code := range []string{
		strict.CodeNotJSON, strict.CodeTrailing, strict.CodeTooDeep, strict.CodeTooManyValues, strict.CodeDuplicate, problem.CodeUnknownField, problem.CodeMissing, problem.CodeWrongType,
		problem.CodeNotALength, problem.CodeNotAllowed, problem.CodeBadFormat, problem.CodeOutOfRange, problem.CodeTooLong, problem.CodeTooMany, problem.CodeTooCostly,
	} {
		assert.Contains(t, listed, any(code))
	}
}

// Every problem validates against the contract, of every status.
func TestProblemsAreInTheContract(t *testing.T) {
	s, err := New(Config{})
	require.NoError(t, err)
	schema := s.contract.Document.Components.Schemas["Problem"].Value
	const path = "/v1/fit-predictions"
	for name, r := range map[string]*http.Request{
		"400":          request("POST", path, `{"setup":{"cutter":1},"setup":2,"unit":3}`),
		"400 not JSON": request("POST", path, `{`),
		"400 trailing": request("POST", path, `{} {}`),
		"400 nesting":  request("POST", path, nested(50)),
		"404":          request("GET", "/v1/nothing", ""),
		"405":          request("PUT", path, "{}"),
		"406":          request("POST", path, "{}", "Accept", "image/png"),
		"413":          request("POST", path, string(make([]byte, defaultBodyLimit+1))),
		"415":          request("POST", path, "{}", "Content-Type", "text/plain"),
	} {
		t.Run(name, func(t *testing.T) {
			w := ask(s.Handler(), r)
			assert.Equal(t, name[:3], strconv.Itoa(w.Code))
			var problem any
			require.NoError(t, json.Unmarshal(w.Body.Bytes(), &problem))
			require.NoError(t, schema.VisitJSON(problem, openapi3.MultiErrors()))
			assertDescribed(t, s, path, w.Code)
		})
	}
}

// assertDescribed: 404 and 405 belong to no operation; the contract's text has them.
func assertDescribed(t *testing.T, s *Service, path string, status int) {
	if status == http.StatusNotFound || status == http.StatusMethodNotAllowed {
		return
	}
	responses := s.contract.Document.Paths.Value(path).Post.Responses
	require.NotNil(t, responses.Status(status), "the contract does not say that %s may answer %d", path, status)
	assert.NotNil(t, responses.Status(status).Value.Content.Get(transfer.Problem))
}
