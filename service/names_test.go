package service

import (
	"encoding/json"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/api"
	"snugtail/service/transfer"
)

// explained are the requests whose answers show their arithmetic: every example of
// the contract that can ask for it, and two that have what those leave out.
func explained(t *testing.T, c *caller, each func(path, body string)) {
	t.Helper()
	for path, item := range c.contract.Paths.Map() {
		if item.Post == nil || !answersJSON(item.Post) {
			continue
		}
		content := item.Post.RequestBody.Value.Content.Get(transfer.JSON)
		if content.Schema.Value.Properties["explain"] == nil {
			continue
		}
		for _, example := range content.Examples {
			each(path, withMembers(t, example.Value.Value, map[string]any{"explain": true}))
		}
	}
	each(woodPath, `{"explain":true,"joint":{"play":0.1,"pitch":22,"tail_widest":13,"depth":9},"pin_board":{"width":154,"species":"teak",`+
		`"climate":{"temperature":20,"humidity":50}},"tail_board":{"species":"teak","moisture":9},"climates":[{"temperature":18,"humidity":70}]}`)
	each("/v1/layouts", `{"explain":true,"opening_height":140,"groove":{"depth":6,"width":6,"from_bottom":9},`+strings.TrimPrefix(predictBody, "{"))
}

// namesIn are the lines of an explained answer in a language.
func namesIn(t *testing.T, c *caller, path, body, language string) []api.WorkingLine {
	t.Helper()
	w := ask(c.handler, request(http.MethodPost, path, body, "Accept-Language", language))
	require.Equal(t, http.StatusOK, w.Code, "%s: %s", body, w.Body)
	c.validate(t, http.MethodPost, path, w.Code, w.Header().Get("Content-Type"), w.Body.Bytes())
	var answer struct {
		Working []api.WorkingLine `json:"working"`
	}
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &answer))
	return answer.Working
}

// What is worked out has a name in each language, and a message that is the same in
// all of them but for its text; formula, values, result and source are no matter of
// language.
func TestWorkingIsNamedInTheLanguageAskedFor(t *testing.T) {
	c := newCaller(t)
	said := map[string]bool{}
	operations := map[string]bool{}
	explained(t, c, func(path, body string) {
		english, german := namesIn(t, c, path, body, "en"), namesIn(t, c, path, body, "de")
		require.Len(t, german, len(english), "%s %s", path, body)
		for i := range english {
			e, g := english[i], german[i]
			require.NotNil(t, e.NameMessage, e.Name)
			require.NotNil(t, g.NameMessage, g.Name)
			assert.Equal(t, e.Name, e.NameMessage.Text)
			assert.Equal(t, g.Name, g.NameMessage.Text)
			assert.NotEqual(t, e.Name, g.Name)
			assert.NotContains(t, g.Name, "[")
			said[keyOf(t, e.NameMessage)] = true
			e.NameMessage.Text = g.NameMessage.Text
			e.Name = g.Name
			assert.Equal(t, e, g)
			operations[path] = true
		}
	})
	for _, key := range english(t).Keys() {
		if strings.HasPrefix(key, "working.") {
			assert.True(t, said[key], "%s names nothing", key)
		}
	}
	assert.Len(t, operations, 7, "%v", operations)
}

// keyOf is a message's key in the catalogues.
func keyOf(t *testing.T, m *api.Message) string {
	t.Helper()
	var params struct {
		State string `json:"state"`
	}
	if m.Params != nil {
		require.NoError(t, json.Unmarshal(m.Params, &params))
	}
	if params.State != "" {
		return m.Code + "." + params.State
	}
	return m.Code
}

// Which climate, board, drawer or cause is meant programs take from the values, not
// from the text.
func TestWorkingNamesHaveTheirValues(t *testing.T) {
	c := newCaller(t)
	got := map[string]string{}
	explained(t, c, func(path, body string) {
		for _, line := range namesIn(t, c, path, body, "de") {
			got[line.Name] = string(line.NameMessage.Params)
		}
	})
	for name, params := range map[string]string{
		"Spiel": "",
		"climates/0, Schwalbenstück: Quellung in der Breite": `{"state":"width","climate":0,"board":"tail_board"}`,
		"climates/0: Kantenversatz":                          `{"climate":0}`,
		"Zinkenstück: Holzfeuchte":                           `{"board":"pin_board"}`,
		"Chance, dass es das ist: ein stumpfer Fräser":       `{"cause":"dull_cutter"}`,
		"Aufbau 1: Spiel":                                    `{"setup":1}`,
		"housed: Länge des Hinterstücks":                     `{"drawer":"housed"}`,
	} {
		if assert.Contains(t, got, name) && params != "" {
			assert.JSONEq(t, params, got[name], name)
		}
	}
}

// Parts of the arithmetic can be had without its names, and then the same lines.
func TestWorkingWithoutItsNames(t *testing.T) {
	c := newCaller(t)
	explained(t, c, func(path, body string) {
		whole := namesIn(t, c, path, body, "de")
		w := ask(c.handler, request(http.MethodPost, asking(path, "/working/*/result"), body))
		var part struct{ Working []map[string]any }
		require.NoError(t, json.Unmarshal(w.Body.Bytes(), &part), "%s", w.Body)
		require.Len(t, part.Working, len(whole), "%s %s %s", path, w.Body, body)
		for i := range whole {
			assert.Equal(t, map[string]any{"result": whole[i].Result}, part.Working[i])
		}
	})
}
