package service

import (
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"net/http"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/api"
	"snugtail/service/message"
	"snugtail/service/site"
)

// refusedBody has a text that is no length, a depth that is none, a set-up without
// its bushing, and a name that was misspelt.
const refusedBody = `{"units":"in","setup":{"template":{"kind":"allowance","allowance":"3 ells"},"cutter":{"diameter":3000,"angle":14},"depht":5,"depth":[]}}`

// Whoever asks in German is refused in German, with the same pointers, codes and
// values: alone, as an item of a batch, and as text.
func TestRefusalsInGerman(t *testing.T) {
	c := newCaller(t)
	english, german := refusal(t, c, refusedBody, "en"), refusal(t, c, refusedBody, "de")
	assert.Equal(t, "Die Anfrage ist nicht so, wie die Schnittstelle sie beschreibt", german.Title)
	assert.Equal(t, "problem.bad_request", german.TitleMessage.Code)
	assert.Equal(t, strconv.Itoa(len(english.Errors))+" Felder sind falsch; errors nennt sie alle.", german.Detail)
	require.Len(t, german.Errors, len(english.Errors))
	for i, e := range english.Errors {
		g := german.Errors[i]
		assert.NotEqual(t, e.Detail, g.Detail)
		assert.NotContains(t, g.Detail, "[")
		e.Detail, g.Detail = "", ""
		assert.Equal(t, e, g)
	}
	at := slices.IndexFunc(german.Errors, func(f api.FieldError) bool { return f.Code == "unknown_field" })
	assert.Equal(t, "`depht` ist hier nicht bekannt; war `depth` gemeint?", german.Errors[at].Detail)
	assert.JSONEq(t, `{"name": "depht", "near": "depth"}`, string(german.Errors[at].Params))

	w := ask(c.handler, request(http.MethodPost, batchPath, batchOf(item("a", "fit-predictions", refusedBody)), "Accept-Language", "de"))
	var batch api.BatchAnswer
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &batch))
	var inBatch api.Problem
	require.NoError(t, json.Unmarshal(batch.Items[0].Body, &inBatch))
	inBatch.RequestID = german.RequestID
	assert.Equal(t, german, inBatch)

	w = ask(c.handler, request(http.MethodPost, "/v1/fit-predictions", refusedBody, "Accept-Language", "de", "Accept", "text/plain"))
	assert.Equal(t, "de", w.Header().Get("Content-Language"))
	assert.Contains(t, w.Body.String(), german.Title+".\n")
	assert.Contains(t, w.Body.String(), "\nAnfrage ")
}

func refusal(t *testing.T, c *caller, body, language string) (p api.Problem) {
	t.Helper()
	w := ask(c.handler, request(http.MethodPost, "/v1/fit-predictions", body, "Accept-Language", language))
	require.Equal(t, http.StatusBadRequest, w.Code, w.Body)
	c.validate(t, http.MethodPost, "/v1/fit-predictions", w.Code, w.Header().Get("Content-Type"), w.Body.Bytes())
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &p))
	return p
}

// Lengths in a refusal are in the unit of the request, whichever ring of checks
// found them.
func TestRefusalsAreInTheRequestsUnit(t *testing.T) {
	c := newCaller(t)
	setup := `"setup":{"template":{"kind":"one_piece","pitch":"22 mm","opening":"13 mm"},"bushing":{"diameter":"14 mm"},"cutter":{"diameter":"12.7 mm","angle":14},"depth":"10 mm"}`
	const far = "354.3307 in is out of range: it must be -78.7402 in to 78.7402 in."
	for _, row := range [][2]string{
		{``, "A bushing of 14 mm doesn't go into an opening of 13 mm."},
		{`"units":"in",`, "A bushing of 0.551 in doesn't go into an opening of 0.512 in."},
		{`"units":"in","target":{"play":"9000 mm"},`, far},
		{`"units":"in","target":{"play":"9000 mm"},"nonsense":1,`, far},
	} {
		body, want := "{"+row[0]+setup+"}", row[1]
		w := ask(c.handler, request(http.MethodPost, "/v1/fit-predictions", body))
		var p api.Problem
		require.NoError(t, json.Unmarshal(w.Body.Bytes(), &p))
		assert.True(t, slices.ContainsFunc(p.Errors, func(f api.FieldError) bool { return f.Detail == want }), "%s: %+v", body, p.Errors)
	}
}

// What is wrong with a field is said by its code: "field.CODE.STATE".
func TestFieldsAreToldByCodesOfTheContract(t *testing.T) {
	k, err := site.EmbeddedContract()
	require.NoError(t, err)
	listed := k.Document.Components.Schemas["FieldError"].Value.Properties["code"].Value.Enum
	all, err := message.Load()
	require.NoError(t, err)
	for rest := range all.Default().Under("field.") {
		code, _, _ := strings.Cut(rest, ".")
		assert.Contains(t, listed, any(code), rest)
	}
}

// Every refusal that the code names has its sentence.
func TestRefusalsHaveSentences(t *testing.T) {
	all, err := message.Load()
	require.NoError(t, err)
	files, err := filepath.Glob("*/*.go")
	require.NoError(t, err)
	own, err := filepath.Glob("*.go")
	require.NoError(t, err)
	named := 0
	for _, name := range append(files, own...) {
		if strings.HasSuffix(name, "_test.go") || name == "problem/problem.go" { // which puts the keys together
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		require.NoError(t, err)
		ast.Inspect(file, func(n ast.Node) bool {
			if call, ok := n.(*ast.CallExpr); ok {
				if key := refusalKey(call); key != "" {
					named++
					assert.True(t, all.Default().Has(key), "%s: %s is said by no sentence", name, key)
				}
			}
			return true
		})
	}
	assert.Greater(t, named, 80)
}

// refusalKey is that of the sentence of a refusal which a call names in full.
func refusalKey(call *ast.CallExpr) string {
	fun := ""
	switch f := call.Fun.(type) {
	case *ast.SelectorExpr:
		fun = f.Sel.Name
	case *ast.Ident:
		fun = f.Name
	}
	switch fun {
	case "Detail", "Unavailable":
		return joined("problem_detail", textOf(call, 0))
	case "UnsupportedMedia":
		return joined("problem_detail.media", textOf(call, 0))
	case "fail":
		return joined("field", codeOf(call, 2), textOf(call, 3))
	case "At":
		return joined("field", codeOf(call, 1), textOf(call, 2))
	case "because":
		return joined("field", codeOf(call, 0), textOf(call, 1))
	}
	return ""
}

// joined is a key, of parts that the code may spell out; "" where it does not.
func joined(parts ...string) string {
	if slices.Contains(parts, "") {
		return ""
	}
	return strings.TrimSuffix(strings.ReplaceAll(strings.Join(parts, "."), `"`, ""), ".")
}

// textOf is a literal in its quotes.
func textOf(call *ast.CallExpr, i int) string {
	if i < len(call.Args) {
		if text, ok := call.Args[i].(*ast.BasicLit); ok && text.Kind == token.STRING {
			return text.Value
		}
	}
	return ""
}

// codeOf takes problem.CodeNotAllowed for not_allowed.
func codeOf(call *ast.CallExpr, i int) string {
	if i >= len(call.Args) {
		return ""
	}
	code, ok := call.Args[i].(*ast.SelectorExpr)
	if !ok || !strings.HasPrefix(code.Sel.Name, "Code") {
		return ""
	}
	name := regexp.MustCompile(`[A-Z]+[a-z]*`).ReplaceAllStringFunc(strings.TrimPrefix(code.Sel.Name, "Code"), func(word string) string {
		if strings.HasPrefix(word, "AL") { // NotALength
			word = "A_" + word[1:]
		}
		return "_" + strings.ToLower(word)
	})
	return strings.TrimPrefix(name, "_")
}
