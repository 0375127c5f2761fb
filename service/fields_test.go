package service

import (
	"encoding/json"
	"math/rand/v2"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/api/apitest"
	"snugtail/service/answers"
	"snugtail/service/fields"
)

const predictPath = "/v1/fit-predictions"

// predictBody has boards and a template whose sizes are known, so that most of
// the answer is.
const predictBody = `{"setup":{"template":{"kind":"one_piece","pitch":22.225,"opening":12.3},"bushing":{"diameter":"7/16 in"},` +
	`"cutter":{"diameter":12.7,"angle":14},"depth":10.5,"pin_board":{"thickness":18.6,"width":155.6}}}`

func asking(path, pointers string) string { return path + "?fields=" + url.QueryEscape(pointers) }

// The rows are written by hand: members in the answer's order, lists as long as
// they are, nothing else.
func TestFields(t *testing.T) {
	c := newCaller(t)
	for pointers, want := range map[string]string{
		"/fit/play/mm,/fit/in_target,/depth_for_target/mm": `{"fit":{"play":{"mm":0.31438},"in_target":0.3024},"depth_for_target":{"mm":10.92991}}`,
		"/fit/band":                 `{"fit":{"band":"loose"}}`,
		" /fit/band , /model ":      `{"model":"` + answers.ModelVersion + `","fit":{"band":"loose"}}`,
		"/fit/seat/offset/mm":       `{"fit":{"seat":{"offset":null}}}`,
		"/measure_first/1/quantity": `{"measure_first":[{},{"quantity":"cutter_angle"}]}`,
		"/working":                  `{}`, // not asked for in the body
	} {
		w := ask(c.handler, request(http.MethodPost, asking(predictPath, pointers), predictBody))
		require.Equal(t, http.StatusOK, w.Code, w.Body)
		validateBy(t, c.partial, http.MethodPost, predictPath, w.Code, w.Header().Get("Content-Type"), w.Body.Bytes())
		if strings.Contains(want, "0.31438") { // the figures are held by part of the whole, below
			assert.Less(t, w.Body.Len(), 200, "play, chance and depth")
			continue
		}
		assert.Equal(t, want+"\n", w.Body.String(), pointers)
	}
	twice := ask(c.handler, request(http.MethodPost, predictPath+"?fields=/model&fields=/fit/band", predictBody))
	assert.Equal(t, `{"model":"`+answers.ModelVersion+`","fit":{"band":"loose"}}`+"\n", twice.Body.String())
}

func TestFieldsRefused(t *testing.T) {
	c := newCaller(t)
	for target, row := range map[string]struct{ accept, code, says string }{
		asking(predictPath, "/fit/plai/mm"):                            {"", "unknown_field", "did you mean `play` for `plai`?"},
		asking(predictPath, "/fit/plai,/fitt"):                         {"", "unknown_field", "did you mean `fit` for `fitt`?"},
		asking(predictPath, "fit/play"):                                {"", "unknown_field", "one begins with /"},
		asking(predictPath, "/limits/code"):                            {"", "unknown_field", "all by *"},
		asking(predictPath, "/limits/01/code"):                         {"", "unknown_field", "all by *"},
		asking(predictPath, "/fit/band/x"):                             {"", "unknown_field", "nothing is below"},
		asking(predictPath, "/"):                                       {"", "unknown_field", "known for `` are "},
		predictPath + "?fields=":                                       {"", "missing", "leave it out"},
		asking(predictPath, strings.Repeat("/model,", 33)):             {"", "too_many", "32"},
		asking(predictPath, "/model"):                                  {"text/plain", "", "is asked for as text/plain"},
		asking("/v1/drawer-parts", "/model"):                           {"text/csv", "conflict", "is asked for as text/csv"},
		asking("/v1/corrections", "/record/sessions/0/setup/depth/mm"): {"", "unknown_field", "nothing is below"},
		predictPath + "?units=in":                                      {"", "unknown_parameter", "`units` is no parameter here: it belongs into the body"},
		predictPath + "?explain&units=in":                              {"", "unknown_parameter", "`explain` is no parameter here: it belongs into the body; `units`"},
		predictPath + "?field=/model":                                  {"", "unknown_parameter", "did you mean `fields`?"},
		"/v1/batches?fields=/items":                                    {"", "unknown_parameter", "each item of a batch takes `fields` of its own"},
		"/v1/joint-drawings?fields=/model":                             {"image/svg+xml", "unknown_parameter", "nor is any other"},
	} {
		body := predictBody
		if strings.HasPrefix(target, "/v1/drawer-parts") || strings.HasPrefix(target, "/v1/batches") || strings.HasPrefix(target, "/v1/corrections") {
			raw, err := json.Marshal(apitest.Bodies(t, c.contract)[strings.SplitN(target, "?", 2)[0]][0])
			require.NoError(t, err)
			body = string(raw)
		}
		w := ask(c.handler, request(http.MethodPost, target, body, "Accept", row.accept))
		require.Equal(t, http.StatusBadRequest, w.Code, "%s: %s", target, w.Body)
		p := problemIn(t, w)
		require.Len(t, p.Errors, 1, target)
		assert.Equal(t, "#", p.Errors[0].Pointer, target)
		assert.Equal(t, row.code, p.Errors[0].Code, target)
		assert.Contains(t, p.Errors[0].Detail, row.says, target)
	}
	for _, path := range []string{"/v1/species?units=in", "/v1/cutters?x", "/v1/species/white_oak?units=in", "/v1?x=1", "/v1/schemas/layouts.json?x=1"} {
		p := problemIn(t, ask(c.handler, request(http.MethodGet, path, "")))
		assert.Equal(t, "unknown_parameter", p.Errors[0].Code, path)
	}
	for _, path := range []string{"/?units=in", "/docs?x", "/openapi.json?x=%zz"} { // what is not under /v1 is sent as it is
		assert.Equal(t, http.StatusOK, ask(c.handler, request(http.MethodGet, path, "")).Code, path)
	}
	assert.Equal(t, http.StatusBadRequest, ask(c.handler, request(http.MethodPost, predictPath+"?fields=%zz", predictBody)).Code)
}

// pointersInto draws pointers into a schema.
func pointersInto(r *rand.Rand, s *openapi3.Schema) string {
	switch {
	case s.Type.Is(openapi3.TypeArray) && r.IntN(4) > 0:
		return "/" + []string{"*", "0", "1"}[r.IntN(3)] + pointersInto(r, s.Items.Value)
	case s.Type.Is(openapi3.TypeObject) && len(s.Properties) > 0 && r.IntN(6) > 0:
		names := make([]string, 0, len(s.Properties))
		for name := range s.Properties {
			names = append(names, name)
		}
		name := names[r.IntN(len(names))]
		return "/" + name + pointersInto(r, s.Properties[name].Value)
	}
	return ""
}

// partOf is the plain way to take the parts that pointers name out of a whole
// answer; it is what the service's own is held against.
func partOf(whole any, pointers [][]string) any {
	for _, p := range pointers {
		if len(p) == 0 {
			return whole
		}
	}
	below := func(name string) (rest [][]string) {
		for _, p := range pointers {
			if p[0] == name || p[0] == "*" {
				rest = append(rest, p[1:])
			}
		}
		return rest
	}
	switch whole := whole.(type) {
	case map[string]any:
		part := map[string]any{}
		for name, member := range whole {
			if rest := below(name); rest != nil {
				part[name] = partOf(member, rest)
			}
		}
		return part
	case []any:
		part := make([]any, len(whole))
		for i, item := range whole {
			rest := below(strconv.Itoa(i))
			if _, isObject := item.(map[string]any); rest == nil && isObject {
				part[i] = map[string]any{}
			} else if rest == nil {
				part[i] = item
			} else {
				part[i] = partOf(item, rest)
			}
		}
		return part
	}
	return whole
}

// Whatever is asked for is the part of the whole answer, for every operation and
// every example, alone and as an item of a batch.
func TestFieldsArePartsOfTheAnswer(t *testing.T) {
	c := newCaller(t)
	r, sent, words := rand.New(rand.NewPCG(17, 3)), 0, 0
	for path, bodies := range apitest.Bodies(t, c.contract) {
		operation := c.contract.Paths.Value(path).Post
		schema := answerSchema(operation)
		if schema == nil || len(queryParameters(operation)) == 0 {
			continue
		}
		for _, body := range bodies {
			text, err := json.Marshal(body)
			require.NoError(t, err)
			var whole any
			require.NoError(t, json.Unmarshal(ask(c.handler, request(http.MethodPost, path, string(text))).Body.Bytes(), &whole))
			for range apitest.Rounds(60, 150*time.Millisecond) {
				var pointers []string
				var split [][]string
				for range 1 + r.IntN(4) {
					pointer := pointersInto(r, schema)
					if pointer == "" {
						continue
					}
					pointers = append(pointers, pointer)
					split = append(split, strings.Split(pointer[1:], "/"))
				}
				if pointers == nil {
					continue
				}
				w := ask(c.handler, request(http.MethodPost, asking(path, strings.Join(pointers, ",")), string(text)))
				require.Equal(t, http.StatusOK, w.Code, "%s %s: %s", path, pointers, w.Body)
				validateBy(t, c.partial, http.MethodPost, path, w.Code, "application/json", w.Body.Bytes())
				var part any
				require.NoError(t, json.Unmarshal(w.Body.Bytes(), &part))
				require.Equal(t, partOf(whole, split), part, "%s %s", path, pointers)
				sent++
				words += strings.Count(strings.Join(pointers, ","), "/text")
				batch, err := json.Marshal(map[string]any{"items": []any{map[string]any{"id": "a", "operation": strings.TrimPrefix(path, "/v1/"), "body": body, "fields": pointers}}})
				require.NoError(t, err)
				if w := ask(c.handler, request(http.MethodPost, "/v1/batches", string(batch))); assert.Equal(t, http.StatusOK, w.Code, w.Body) {
					c.holds(t, "/v1/batches", w, "application/json", string(batch))
					alone := ask(c.handler, request(http.MethodPost, asking(path, strings.Join(pointers, ",")), string(text)))
					assert.Contains(t, w.Body.String(), `"body":`+strings.TrimSpace(alone.Body.String()), "the same bytes")
				}
			}
		}
	}
	assert.Greater(t, sent, 100)
	assert.Greater(t, words, 10, "words are asked for too")
}

// A batch tells of an item's own fields as its own path would, and refuses two
// items of one id.
func TestBatchFieldsAndIDs(t *testing.T) {
	c := newCaller(t)
	item := func(id, fields string) string {
		return `{"id":"` + id + `","operation":"fit-predictions","body":` + predictBody + fields + `}`
	}
	w := ask(c.handler, request(http.MethodPost, "/v1/batches", `{"items":[`+item("a", `,"fields":["/fit/band"]`)+`,`+item("b", `,"fields":["/fit/bend"]`)+`]}`))
	require.Equal(t, http.StatusOK, w.Code, w.Body)
	assert.Contains(t, w.Body.String(), `{"id":"a","status":200,"body":{"fit":{"band":"loose"}}}`)
	assert.Contains(t, w.Body.String(), "did you mean `band` for `bend`?")
	p := problemIn(t, ask(c.handler, request(http.MethodPost, "/v1/batches", `{"items":[`+item("a", "")+`,`+item("b", "")+`,`+item("a", "")+`]}`)))
	require.Len(t, p.Errors, 1)
	assert.Equal(t, "#/items/2/id", p.Errors[0].Pointer)
	assert.Equal(t, "conflict", p.Errors[0].Code)
	assert.Contains(t, p.Errors[0].Detail, "item 0")
	p = problemIn(t, ask(c.handler, request(http.MethodPost, "/v1/batches", `{"items":[`+item("a", `,"fields":[]`)+`]}`)))
	assert.Equal(t, "#/items/0/fields", p.Errors[0].Pointer)
}

// What is not wanted is not put into words.
func TestWordsThatNobodyAsksForAreNotMade(t *testing.T) {
	schema := apitest.Document(t).Components.Schemas["FitPredictionAnswer"].Value
	s, err := fields.Parse([]string{"/fit/play/mm", "/fit/in_target"}, schema)
	require.NoError(t, err)
	assert.Equal(t, map[string]bool{"fit": true, "play": true, "mm": true, "in_target": true}, s.Members())
	s, err = fields.Parse([]string{"/limits/*/text"}, schema)
	require.NoError(t, err)
	assert.Equal(t, map[string]bool{"limits": true, "text": true}, s.Members())
	s, err = fields.Parse([]string{"/router_settings"}, schema)
	require.NoError(t, err)
	assert.True(t, s.Members()["text"], "the texts of its lengths")
	assert.False(t, s.Members()["summary"])
}

// BenchmarkFields is one prediction whole, and the three figures that a planner
// wants of it.
func BenchmarkFields(b *testing.B) {
	h := benchService(b)
	for name, path := range map[string]string{"whole": predictPath, "three": asking(predictPath, "/fit/play/mm,/fit/in_target,/depth_for_target/mm")} {
		b.Run(name, func(b *testing.B) {
			repeat(b, benchCase{path: path, body: predictBody}.sender(b, h))
		})
	}
}
